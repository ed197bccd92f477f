package draft

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/needle"
	"rowproof/domain/notation"
	"rowproof/domain/review"
	"rowproof/domain/sizing"
)

// Own is what a reader asks of a pattern: her own gauge, and how wide and high she
// wants the piece that is cast on first. What is zero stays as the pattern has it.
type Own struct {
	Gauge  sizing.Gauge
	Width  sizing.Length
	Height sizing.Length
}

// Refitted is a pattern in a reader's own size, proved.
type Refitted struct {
	Text    string
	Checked *review.Result
	Notes   []string // what came out otherwise than asked for
}

// ErrRefit is wrapped by what keeps a pattern from being made another size.
var ErrRefit = errors.New("this pattern cannot be made another size by its numbers alone")

// Refit gives a pattern of one size other stitch and row numbers: each cast-on is
// brought to the multiple that its rows need, each repeat of rows to the height. It works where
// the rows follow from a multiple; where they name stitches of one width, the proof fails
// and nothing is given out.
func Refit(text string, own Own) (*Refitted, error) {
	ms := notation.Read(text)
	if len(ms.Sizes) > 1 {
		return nil, fmt.Errorf("%w: choose one of its sizes first", ErrRefit)
	}
	nd := needle.Work(ms)
	var was sizing.Gauge
	for _, g := range ms.Gauges() {
		if g.Stitches > 0 {
			was = sizing.Gauge{Sts: g.Stitches, Rows: g.Rows}
			break
		}
	}
	if was.Sts <= 0 {
		return nil, fmt.Errorf("%w: it states no gauge", ErrRefit)
	}
	g := own.Gauge
	if g.Sts <= 0 {
		g.Sts = was.Sts
	}
	if g.Rows <= 0 {
		g.Rows = was.Rows
	}
	r := &refit{ms: ms, nd: nd, was: was, now: g, own: own}
	if err := r.castOns(); err != nil {
		return nil, err
	}
	r.heights()
	r.heads()
	out := apply(ms.Source, r.edits)
	res, err := settle(out)
	if err != nil {
		return nil, err
	}
	return &Refitted{Text: strings.Join(res.Manuscript.Source, "\n") + "\n", Checked: res, Notes: r.notes}, nil
}

// refit collects the edits.
type refit struct {
	ms       *notation.Manuscript
	nd       *needle.Result
	was, now sizing.Gauge
	own      Own
	edits    []edit
	notes    []string
}

// edit puts text in the place of what a line says there; columns count from 1, in characters.
type edit struct {
	at   finding.Span
	text string
}

func (r *refit) put(n notation.Num, v int) {
	if n.Line > 0 && n.Line == n.EndLine {
		r.edits = append(r.edits, edit{n.Span, strconv.Itoa(v)})
	}
}

// part is the part of the work that a line belongs to.
func (r *refit) part(line int) *needle.Part {
	var out *needle.Part
	for _, p := range r.nd.Parts {
		if p.Line <= line && p.CastOn != nil {
			out = p
		}
	}
	return out
}

// castOns brings every cast-on to its new number.
func (r *refit) castOns() error {
	first := sizing.Length(0)
	n := 0
	for _, it := range r.ms.Items {
		b, ok := it.(*notation.Begin)
		if !ok || !b.N.Given() || b.N.For(0) <= 0 {
			continue
		}
		p := r.part(b.Span.Line)
		if p == nil {
			continue
		}
		if p.Needs == nil || p.Needs.Of < 1 {
			return fmt.Errorf("%w: the rows of %s name no multiple", ErrRefit, orElse(p.Name, "the piece"))
		}
		have := b.N.For(0)
		width := r.was.Width(have)
		if first == 0 {
			first = width
		}
		want := width
		if r.own.Width > 0 {
			want = r.own.Width * width / first
		}
		fit, err := sizing.Fit(want, r.now, sizing.Multiple{Of: p.Needs.Of, Plus: p.Needs.Plus}, 0, sizing.Nearest)
		if err != nil {
			return fmt.Errorf("%w: %w", ErrRefit, err)
		}
		sts := max(fit.Stitches, p.Needs.Of*max(1, p.Needs.Min)+p.Needs.Plus)
		r.put(b.N, sts)
		if n++; n == 1 {
			got := r.now.Width(sts)
			note := fmt.Sprintf("%d stitches: %s", sts, got)
			if d := got - want; math.Abs(float64(d)) > 2.5 {
				note += fmt.Sprintf(", the nearest to %s that fits the repeat of %d", want, p.Needs.Of)
			}
			r.notes = append(r.notes, note+".")
		}
	}
	if n == 0 {
		return fmt.Errorf("%w: it casts on no number of stitches", ErrRefit)
	}
	return nil
}

// heights brings repeats of rows, and rows worked even, to the height.
func (r *refit) heights() {
	ratio := 1.0
	if r.was.Rows > 0 && r.now.Rows > 0 {
		ratio = r.now.Rows / r.was.Rows
	}
	if r.own.Height > 0 && r.was.Rows > 0 && len(r.nd.Parts) > 0 {
		for _, p := range r.nd.Parts {
			if rows := rowsOf(p); p.CastOn != nil && rows > 0 {
				ratio *= float64(r.own.Height) / float64(r.was.Height(rows))
				break
			}
		}
	}
	if math.Abs(ratio-1) < 0.01 {
		return
	}
	for _, it := range r.ms.Items {
		switch it := it.(type) {
		case *notation.RepRows:
			if !it.Times.N.Given() {
				continue
			}
			n := it.Times.N.For(0)
			if it.Times.Kind != notation.TimesTotal { // the rows have been worked once
				r.put(it.Times.N, max(1, int(math.Round(float64(n+1)*ratio))-1))
			} else {
				r.put(it.Times.N, max(1, int(math.Round(float64(n)*ratio))))
			}
		case *notation.Straight:
			if it.Rows.Given() {
				n := it.Rows.For(0)
				r.put(it.Rows, max(2-n%2, n%2+2*int(math.Round(float64(n-n%2)*ratio/2))))
			}
		}
	}
}

func rowsOf(p *needle.Part) int {
	n := 0
	for _, e := range p.Rows {
		if len(e.Times) > 0 {
			n += e.Times[0]
		}
	}
	return n
}

var finishedLine = regexp.MustCompile(`(?i)^\s*(finished|size|measure|to fit)`)

// heads states the new gauge, and takes out measurements that no longer hold.
func (r *refit) heads() {
	for _, it := range r.ms.Items {
		f, ok := it.(*notation.Field)
		if !ok {
			continue
		}
		line := r.ms.Source[f.Span.Line-1]
		whole := finding.Span{Line: f.Span.Line, Col: 1, EndLine: f.Span.Line, EndCol: len([]rune(line)) + 1}
		l := strings.ToLower(f.Label)
		switch {
		case strings.HasPrefix(l, "gauge") || strings.HasPrefix(l, "tension"):
			if r.now != r.was && f.Span.EndLine == f.Span.Line {
				r.edits = append(r.edits, edit{whole, r.gaugeLine(f, line)})
			}
		case finishedLine.MatchString(line) && f.Span.EndLine == f.Span.Line:
			r.edits = append(r.edits, edit{whole, ""})
		}
	}
}

var (
	gaugeRound = regexp.MustCompile(`(?i)\b(rnds?|rounds?)\b`)
	gaugeIn    = regexp.MustCompile(`(?i)\b(?:in|over)\s+([a-z][^.;]*)`)
)

// gaugeLine states a gauge as the reader has it: the first as she gives it, others, of
// other stitches, in proportion.
func (r *refit) gaugeLine(f *notation.Field, line string) string {
	one := notation.Manuscript{Items: []notation.Item{f}}
	gs := one.Gauges()
	if len(gs) == 0 {
		return line
	}
	unit := "rows"
	if gaugeRound.MatchString(line) {
		unit = "rnds"
	}
	out := strings.TrimSpace(f.Label) + ": " + figure(gs[0].Stitches*r.now.Sts/r.was.Sts) + " sts"
	if gs[0].Rows > 0 && r.was.Rows > 0 {
		out += " and " + figure(gs[0].Rows*r.now.Rows/r.was.Rows) + " " + unit
	}
	out += " = 10 cm"
	if m := gaugeIn.FindStringSubmatch(line); m != nil {
		out += " in " + strings.TrimSpace(m[1])
	}
	return out
}

func figure(x float64) string { return strconv.FormatFloat(math.Round(x*10)/10, 'f', -1, 64) }

// apply makes edits, the last first.
func apply(source []string, edits []edit) string {
	lines := append([]string(nil), source...)
	for done := map[int]bool{}; ; {
		best := -1
		for i, e := range edits {
			if !done[i] && (best < 0 || e.at.Line > edits[best].at.Line || e.at.Line == edits[best].at.Line && e.at.Col > edits[best].at.Col) {
				best = i
			}
		}
		if best < 0 {
			return strings.Join(lines, "\n") + "\n"
		}
		done[best] = true
		e := edits[best]
		if e.at.Line < 1 || e.at.Line > len(lines) || e.at.EndLine != e.at.Line {
			continue
		}
		rs := []rune(lines[e.at.Line-1])
		if e.at.Col < 1 || e.at.EndCol-1 > len(rs) || e.at.Col > e.at.EndCol {
			continue
		}
		lines[e.at.Line-1] = string(rs[:e.at.Col-1]) + e.text + string(rs[e.at.EndCol-1:])
	}
}

var workedCount = regexp.MustCompile(`(\d+) sts? worked`)

// settle proves a text whose stated counts are those of another size, and puts the
// counts right that the rows give.
func settle(text string) (*review.Result, error) {
	for range 60 {
		res := review.Check(text)
		var edits []edit
		for _, f := range res.Findings {
			if f.Severity() != finding.Error {
				continue
			}
			m := workedCount.FindStringSubmatch(f.Message)
			if f.Code != "stated-count-differs" || m == nil || f.Line < 1 || f.Line > len(res.Manuscript.Source) || f.EndLine != f.Line {
				return nil, fmt.Errorf("%w: at that width row %s does not come out: %s", ErrRefit, orElse(f.Row, "1"), f.Message)
			}
			rs := []rune(res.Manuscript.Source[f.Line-1])
			if f.Col < 1 || f.EndCol-1 > len(rs) {
				return nil, fmt.Errorf("%w: %s", ErrRefit, f.Message)
			}
			stated := string(rs[f.Col-1 : f.EndCol-1])
			digits := regexp.MustCompile(`\d+`).FindStringIndex(stated)
			if digits == nil {
				return nil, fmt.Errorf("%w: %s", ErrRefit, f.Message)
			}
			edits = append(edits, edit{f.Span, stated[:digits[0]] + m[1] + stated[digits[1]:]})
		}
		if len(edits) == 0 {
			return res, nil
		}
		text = apply(res.Manuscript.Source, edits)
	}
	return nil, fmt.Errorf("%w: its stated counts do not settle", ErrRefit)
}

func orElse(s, other string) string {
	if s == "" {
		return other
	}
	return s
}
