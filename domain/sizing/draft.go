package sizing

import (
	"errors"
	"fmt"
	"slices"
	"strings"
)

// MaxSizes is the most sizes a draft has.
const MaxSizes = 20

// Request is what a piece or garment is drafted from.
type Request struct {
	Form   string       // one of Forms
	Title  string       // "" takes the form's own
	Gauge  Gauge        // of the stitch that it is worked in, from 10 to 40 stitches to 10 cm
	Stitch *DraftStitch // nil: the form's plain stitch
	Sizes  []DraftSize  // 1 to MaxSizes, smallest first
	Excess Length       // by which a set-in cap is longer than its armhole, 0 to 25 mm
	Yarn   string       // line of the materials; "" says what is to be filled in
	Needle string       // the same
}

// DraftSize is a size with the finished measurements wanted of it, by the keys
// of the form's measures. A measure that is missing, or 0, is worked out from the others.
type DraftSize struct {
	Label string
	Wants map[string]Length
}

// DraftStitch is a stitch pattern to draft with.
type DraftStitch struct {
	Name     string
	Of, Plus int      // its multiple, worked flat, or in the round for a form that is
	Lines    []string // of its section: the multiple and the rows
	Repeat   int      // rows of its repeat
	Own      []string // stitches that it explains: "MB: (k1, yo, k1) in next st …"
	Yarns    []string // that its rows name; none where there is one
}

// Draft is what comes out: a manuscript to be proved like any other.
type Draft struct {
	Manuscript string
	Finished   []Finished
	Pieces     []Outline
	Problems   []DraftProblem
}

// Finished is a finished measurement as the drafted numbers give it.
type Finished struct {
	Name, Part string
	Want, Got  []Length // per size; Want is 0 where none was asked for
}

// DraftProblem is what does not come out as wanted, with what would mend it.
type DraftProblem struct {
	Measure string
	Sizes   []int // indices
	Problem string
	Choices []string
}

// Form is a kind of piece that can be drafted.
type Form struct {
	Name     string // of the command line
	Title    string
	Round    bool      // a stitch is wanted in its form for the round
	Group    string    // whose bodies it is drafted for, see Bodies; "" for none
	Measures []Measure // finished measurements it asks for
	draft    func(*drafting) error
}

// Measure is a finished measurement that a form asks for.
type Measure struct {
	Key, Name string
	Usual     Length                           // where nothing is known of a body
	From      func(w map[string]Length) Length // from the others, where it can be
}

// Forms lists the forms in the order of a page.
func Forms() []Form { return slices.Clone(forms) }

// FormNamed finds a form.
func FormNamed(name string) (Form, error) {
	for _, f := range forms {
		if f.Name == name {
			return f, nil
		}
	}
	var names []string
	for _, f := range forms {
		names = append(names, f.Name)
	}
	return Form{}, fmt.Errorf("there is no form %q; there are %s", name, strings.Join(names, ", "))
}

// ErrDraft is wrapped by what cannot be drafted as asked for.
var ErrDraft = errors.New("cannot be drafted")

// Make drafts. It fails where the numbers asked for leave nothing to knit; what
// merely comes out otherwise than wanted is in Draft.Problems.
func Make(r Request) (*Draft, error) {
	f, err := FormNamed(r.Form)
	if err != nil {
		return nil, err
	}
	switch {
	case len(r.Sizes) == 0 || len(r.Sizes) > MaxSizes:
		return nil, fmt.Errorf("%w: %d sizes; from 1 to %d", ErrDraft, len(r.Sizes), MaxSizes)
	case !(r.Gauge.Sts >= 4 && r.Gauge.Sts <= 80 && r.Gauge.Rows >= 4 && r.Gauge.Rows <= 120):
		return nil, fmt.Errorf("%w: a gauge of %g sts and %g rows = 10 cm; from 4 to 80 sts and 4 to 120 rows", ErrDraft, r.Gauge.Sts, r.Gauge.Rows)
	case r.Excess < 0 || r.Excess > 25:
		return nil, fmt.Errorf("%w: a cap is 0 to 2.5 cm longer than its armhole, not %g cm", ErrDraft, r.Excess.Cm())
	}
	if r.Stitch != nil && (r.Stitch.Of < 1 || r.Stitch.Repeat < 1 || r.Stitch.Name == "") {
		return nil, fmt.Errorf("%w: a stitch wants a name, a multiple and rows", ErrDraft)
	}
	if r.Title == "" {
		r.Title = f.Title
	}
	d := &drafting{req: &r, form: f, n: len(r.Sizes), out: &Draft{}}
	if err := d.wants(); err != nil {
		return nil, err
	}
	if err := f.draft(d); err != nil {
		return nil, err
	}
	d.out.Manuscript = d.manuscript()
	d.compare()
	return d.out, nil
}

// drafting is a draft being written.
type drafting struct {
	req  *Request
	form Form
	n    int
	want map[string][]Length // per size, all of them known
	b    strings.Builder     // what stands below the head
	out  *Draft
}

// wants fills in the measurements that are not asked for.
func (d *drafting) wants() error {
	d.want = map[string][]Length{}
	for _, m := range d.form.Measures {
		d.want[m.Key] = make([]Length, d.n)
	}
	for i, s := range d.req.Sizes {
		known := map[string]Length{}
		for k, v := range s.Wants {
			if _, ok := d.want[k]; !ok {
				return fmt.Errorf("%w: a %s has no measurement %q", ErrDraft, d.form.Title, k)
			}
			if v < 0 || v > 5000 || v != v {
				return fmt.Errorf("%w: %s of size %s is %g cm; from 0 to 500", ErrDraft, k, s.Label, v.Cm())
			}
			if v > 0 {
				known[k] = v
			}
		}
		for _, m := range d.form.Measures {
			v := known[m.Key]
			if v == 0 && m.From != nil {
				v = m.From(known)
			}
			if v == 0 {
				v = m.Usual
			}
			known[m.Key], d.want[m.Key][i] = v, v
		}
	}
	return nil
}

// each is a number for every size.
func (d *drafting) each(f func(i int) int) []int {
	out := make([]int, d.n)
	for i := range out {
		out[i] = f(i)
	}
	return out
}

// line adds a line of the manuscript.
func (d *drafting) line(format string, args ...any) {
	for i, a := range args {
		if v, ok := a.([]int); ok {
			args[i] = Vector(v)
		}
	}
	fmt.Fprintf(&d.b, format+"\n", args...)
}

// bracketed writes 83 (95, 107), however a value is written.
func bracketed[T any](v []T, write func(T) string) string {
	var b strings.Builder
	for i, x := range v {
		switch i {
		case 0:
		case 1:
			b.WriteString(" (")
		default:
			b.WriteString(", ")
		}
		b.WriteString(write(x))
	}
	if len(v) > 1 {
		b.WriteString(")")
	}
	return b.String()
}

// ordinals writes 8th (6th, 6th).
func ordinals(v []int) string {
	words := make([]string, len(v))
	for i, n := range v {
		words[i] = ordinal(n)
	}
	return bracket(words)
}

func same(v []int) bool {
	for _, x := range v {
		if x != v[0] {
			return false
		}
	}
	return true
}

func allAre(v []int, n int) bool { return len(v) > 0 && v[0] == n && same(v) }

// measured notes what a measurement comes to.
func (d *drafting) measured(name, part, key string, got func(i int) Length) {
	m := Finished{Name: name, Part: part, Got: make([]Length, d.n), Want: make([]Length, d.n)}
	for i := range m.Got {
		m.Got[i] = got(i)
		if key != "" {
			m.Want[i] = d.want[key][i]
		}
	}
	d.out.Finished = append(d.out.Finished, m)
}

func (d *drafting) problem(measure string, sizes []int, problem string, choices ...string) {
	d.out.Problems = append(d.out.Problems, DraftProblem{measure, sizes, problem, choices})
}

// manuscript is the head and what was drafted below it.
func (d *drafting) manuscript() string {
	var b strings.Builder
	b.WriteString(d.req.Title + "\n\n")
	if d.n > 1 {
		names := make([]string, d.n)
		for i, s := range d.req.Sizes {
			names[i] = s.Label
		}
		b.WriteString("Sizes: " + bracketed(names, func(s string) string { return s }) + "\n")
	}
	for _, m := range d.out.Finished {
		if m.Part == "" {
			b.WriteString("Finished " + m.Name + ": " + Lengths(m.Got, Metric) + "\n")
		}
	}
	b.WriteString("Gauge: " + d.gaugeLine() + "\n")
	if s := d.req.Stitch; s != nil && len(s.Yarns) > 0 && d.req.Yarn == "" {
		for _, y := range s.Yarns {
			b.WriteString("Yarn " + y + ": to be chosen\n")
		}
	} else {
		b.WriteString("Yarn: " + orElse(d.req.Yarn, "to be chosen") + "\n")
	}
	b.WriteString("Needles: " + orElse(d.req.Needle, "the size that gives the gauge") + "\n")
	if s := d.req.Stitch; s != nil {
		if len(s.Own) > 0 {
			b.WriteString("\nSpecial stitches\n" + strings.Join(s.Own, "\n") + "\n")
		}
		b.WriteString("\n" + s.Name + "\n" + strings.TrimSpace(strings.Join(s.Lines, "\n")) + "\n")
	}
	b.WriteString(d.b.String())
	return b.String()
}

func orElse(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

func (d *drafting) gaugeLine() string {
	rows := "rows"
	if d.form.Round {
		rows = "rnds"
	}
	return fmt.Sprintf("%s sts and %s %s = 10 cm in %s", number(d.req.Gauge.Sts), number(d.req.Gauge.Rows), rows, d.stitchName())
}

// stitchName is what the fabric is worked in.
func (d *drafting) stitchName() string {
	if d.req.Stitch != nil {
		return d.req.Stitch.Name
	}
	return "St st"
}

// centimetres writes to half a centimetre, as the trade prints it.
func centimetres(l Length) string {
	return l.Number(Metric)
}
