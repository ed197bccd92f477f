package review

import (
	"fmt"
	"math"

	"rowproof/domain/finding"
	"rowproof/domain/needle"
	"rowproof/domain/notation"
	"rowproof/domain/sizing"
	"rowproof/domain/yarn"
)

// This file holds what follows from the proved rows and the gauge: measurements and
// yarn.

// measurements are the width of each cast-on, or its circumference, and the height of
// the rows, at the first gauge stated; none without one.
func measurements(ms *notation.Manuscript, nd *needle.Result) []Measurement {
	out := []Measurement{}
	var g sizing.Gauge
	for _, s := range ms.Gauges() {
		if s.Stitches > 0 && g.Sts == 0 {
			g = sizing.Gauge{Sts: s.Stitches, Rows: s.Rows}
		}
	}
	if g.Sts <= 0 {
		return out
	}
	for _, p := range nd.Parts {
		if p.CastOn == nil {
			continue
		}
		w := Measurement{Name: "width", Part: p.Name}
		if p.Round {
			w.Name = "circumference"
		}
		h := Measurement{Name: "height", Part: p.Name}
		rows := 0
		for i, n := range p.CastOn {
			w.Cm = append(w.Cm, round1(g.Width(n).Cm()))
			one := 0
			for _, e := range p.Rows {
				if i < len(e.Times) {
					one += e.Times[i]
				}
			}
			rows = max(rows, one)
			h.Cm = append(h.Cm, round1(g.Height(one).Cm()))
		}
		out = append(out, w)
		if rows > 0 && g.Rows > 0 {
			out = append(out, h)
		}
	}
	return out
}

func round1(x float64) float64 { return math.Round(x*10) / 10 }

// amounts puts measurements and yarn into the report, and holds the yarn that the head
// states against what the rows take.
func amounts(r *Result) {
	r.Measurements = measurements(r.Manuscript, r.Needle)
	if r.Errors() > 0 {
		r.Yarn = yarn.Estimate{Why: "The rows do not come out yet: what they take cannot be told."}
		return
	}
	r.Yarn = yarn.Of(r.Manuscript, r.Needle)
	balls := yarn.Balls(r.Manuscript)
	list := finding.List{Findings: r.Findings}
	for _, u := range r.Yarn.Uses {
		b, ok := yarn.BallOf(balls, u.Yarn)
		if !ok || b.Metres <= 0 || len(b.Count) == 0 || len(b.Count) != 1 && len(b.Count) != len(u.Metres) {
			continue
		}
		var short, much []int
		said := ""
		for i := range u.Metres {
			n := b.Count[0]
			if len(b.Count) > 1 {
				n = b.Count[i]
			}
			have := float64(n) * b.Metres
			switch {
			case have < u.Low[i]:
				if short = append(short, i); len(short) == 1 {
					said = fmt.Sprintf("%d balls are %.0f m; the rows take %.0f m (%.0f to %.0f)", n, have, u.Metres[i], u.Low[i], u.High[i])
				}
			case have-b.Metres > u.High[i]*(1+yarn.Margin)+yarn.SwatchMetres(sizing.Gauge{Sts: 20, Rows: 28}):
				if much = append(much, i); len(much) == 1 && len(short) == 0 {
					said = fmt.Sprintf("%d balls are %.0f m; the rows take %.0f m (%.0f to %.0f)", n, have, u.Metres[i], u.Low[i], u.High[i])
				}
			}
		}
		at := finding.Span{Line: b.Line, Col: 1, EndLine: b.Line, EndCol: 1 + len([]rune(r.Manuscript.Source[b.Line-1]))}
		name := "the yarn"
		if u.Yarn != "" {
			name = "yarn " + u.Yarn
		}
		one := func(code finding.Code, sizes []int) {
			if len(sizes) == len(u.Metres) {
				sizes = nil
			}
			list.Add(finding.Finding{Code: code, Span: at, Sizes: sizes, Message: name + ": " + said})
		}
		switch {
		case len(short) > 0:
			one("yarn-short", short)
		case len(much) > 0:
			one("yarn-much", much)
		}
	}
	finding.Sort(list.Findings)
	r.Findings = list.Findings
}
