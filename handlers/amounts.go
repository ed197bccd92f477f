package handlers

import (
	"fmt"
	"math"
	"net/http"
	"strconv"
	"strings"

	"rowproof/domain/document"
	"rowproof/domain/notation"
	"rowproof/domain/review"
	"rowproof/domain/sizing"
	"rowproof/domain/yarn"
	"rowproof/web"
)

// The page of a pattern's measurements and yarn.

func (s *server) showAmounts(w http.ResponseWriter, r *http.Request) error {
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	res, err := s.prove(r.Context(), p.Manuscript)
	if err != nil {
		return err
	}
	v := web.AmountsView{Page: s.sharedFlash(r, p.Title, "studio"), Tabs: s.tabs(r, p, "amounts")}
	if n := res.Errors(); n > 0 {
		v.Problem = "This pattern has " + plural(n, "error", "errors") + ". What stands here follows from rows that do not all come out."
	}
	v.Measures = measureTable(res)
	if d, f, err := s.drafted(r.Context(), p); err == nil {
		v.RedraftURL = patternURL(p) + "/draft"
		if draftStands(d, res.Manuscript) {
			v.Pieces = pieceDrawings(d.Pieces, f.Form)
		}
	}
	q := r.URL.Query()
	v.Metres.Value, v.Grams.Value = q.Get("metres"), q.Get("grams")
	var other *yarn.Ball
	if v.Metres.Value != "" || v.Grams.Value != "" {
		m, okM := typedNumber(v.Metres.Value)
		g, okG := typedNumber(v.Grams.Value)
		switch {
		case !okM || m < 5 || m > 5000:
			v.OtherProblem = "A ball has from 5 to 5000 metres; the label tells."
		case v.Grams.Value != "" && (!okG || g < 1 || g > 2000):
			v.OtherProblem = "A ball weighs from 1 to 2000 grams."
		default:
			other = &yarn.Ball{Metres: m, Grams: g}
		}
	}
	learnt, err := s.learnt(r.Context(), p, res)
	if err != nil {
		return err
	}
	v.Amounts = amountsOf(res, other)
	v.Amounts.Notes = append(learnt, v.Amounts.Notes...)
	return s.render(w, r, http.StatusOK, web.AmountsPage(v))
}

// typedNumber reads a number with a point or a comma.
func typedNumber(s string) (float64, bool) {
	n, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(s), ",", ".", 1), 64)
	return n, err == nil && !math.IsNaN(n) && !math.IsInf(n, 0)
}

// measureTable tells the width and height of each part in every size.
func measureTable(res *review.Result) web.NumberTable {
	t := web.NumberTable{Caption: "Measurements of the pieces, in centimetres and inches", Columns: sizeColumns(res.Manuscript.Sizes)}
	for _, m := range res.Measurements {
		row := web.NumberRow{Name: m.Name + ", cm / in"}
		if m.Part != "" {
			row.Name = m.Part + ", " + row.Name
		}
		for _, cm := range m.Cm {
			l := sizing.Cm(cm)
			row.Cells = append(row.Cells, l.Number(sizing.Metric)+" / "+l.Number(sizing.Imperial))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// sizeColumns are the heads of a table; none where there is one size without a name.
func sizeColumns(sizes []string) []string {
	if len(sizes) == 1 && sizes[0] == "" {
		return nil
	}
	return sizes
}

// amountsOf tells the yarn of a proved pattern, in its own balls or in another.
func amountsOf(res *review.Result, other *yarn.Ball) web.Amounts {
	e := res.Yarn
	if len(e.Uses) == 0 {
		return web.Amounts{Why: e.Why}
	}
	t := web.NumberTable{Caption: "Yarn of each size", Columns: sizeColumns(res.Manuscript.Sizes)}
	balls := yarn.Balls(res.Manuscript)
	swatch := 0.0
	for _, g := range res.Manuscript.Gauges() {
		if g.Stitches > 0 && g.Rows > 0 {
			swatch = yarn.SwatchMetres(sizing.Gauge{Sts: g.Stitches, Rows: g.Rows})
			break
		}
	}
	for i, u := range e.Uses {
		name := "Yarn"
		if u.Yarn != "" {
			name = "Yarn " + u.Yarn
		}
		ball, known := yarn.BallOf(balls, u.Yarn)
		if other != nil {
			ball, known = *other, true
		}
		metres, certain, yards := web.NumberRow{Name: name + ", m"}, web.NumberRow{Name: "range, m"}, web.NumberRow{Name: name + ", yd"}
		grams, count := web.NumberRow{Name: name + ", g to buy"}, web.NumberRow{Name: name + ", balls to buy"}
		extra := 0.0
		if i == 0 {
			extra = swatch
		}
		for size := range u.Metres {
			b := yarn.ToBuy(u, size, ball, extra)
			metres.Cells = append(metres.Cells, fmt.Sprintf("%.0f", b.Metres))
			certain.Cells = append(certain.Cells, fmt.Sprintf("%.0f–%.0f", b.Low, b.High))
			yards.Cells = append(yards.Cells, fmt.Sprintf("%.0f", yarn.Yards(b.Metres)))
			grams.Cells = append(grams.Cells, fmt.Sprintf("%.0f", b.Grams))
			count.Cells = append(count.Cells, strconv.Itoa(b.Balls))
		}
		t.Rows = append(t.Rows, metres, certain, yards)
		if known && ball.Metres > 0 {
			if ball.Grams > 0 {
				t.Rows = append(t.Rows, grams)
			}
			t.Rows = append(t.Rows, count)
		}
	}
	a := web.Amounts{Yarn: t, Basis: e.Basis}
	a.Notes = append(a.Notes, fmt.Sprintf("What you use will most likely lie within the range. Metres and yards are of the pieces alone; what is to be bought has a swatch of %s and %d %% more in it.", yarn.SwatchSide, int(yarn.Margin*100)))
	return a
}

// pieceDrawings draws schematics for a page, all at one scale.
func pieceDrawings(list []sizing.Outline, id string) []web.DraftPiece {
	block := document.Schematics{}
	for i, o := range list {
		if len(o.Edge) > 0 {
			block.Items = append(block.Items, document.Schematic{ID: fmt.Sprintf("%s-%d", id, i+1), Name: o.Name, Outline: o, Size: -1, Units: document.Metric})
		}
	}
	var out []web.DraftPiece
	scale := block.Scale(165, 70)
	for i := range block.Items {
		it := &block.Items[i]
		var b strings.Builder
		if err := it.Draw(165, 70, scale).SVG(&b, it.ID); err != nil {
			continue // a Builder takes everything
		}
		out = append(out, web.DraftPiece{Name: it.Name, SVG: b.String()})
	}
	return out
}

// draftStands says that the pieces of a draft are still cast on as it says: then its
// schematics hold.
func draftStands(d *sizing.Draft, now *notation.Manuscript) bool {
	was := notation.Read(d.Manuscript)
	cast := func(ms *notation.Manuscript) []string {
		var out []string
		for _, it := range ms.Items {
			if b, ok := it.(*notation.Begin); ok {
				out = append(out, fmt.Sprint(b.N.Vals))
			}
		}
		return out
	}
	a, b := cast(was), cast(now)
	return len(was.Sizes) == len(now.Sizes) && strings.Join(a, ";") == strings.Join(b, ";")
}
