package sizing

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// nine asks for a form in nine sizes, by its first measure, at a gauge.
func nine(form string, g Gauge, stitch *DraftStitch) Request {
	f, err := FormNamed(form)
	if err != nil {
		panic(err)
	}
	r := Request{Form: form, Gauge: g, Stitch: stitch}
	m := f.Measures[0]
	for i, l := range []string{"XS", "S", "M", "L", "XL", "2X", "3X", "4X", "5X"} {
		r.Sizes = append(r.Sizes, DraftSize{l, map[string]Length{m.Key: m.Usual * Length(0.8+0.1*float64(i))}})
	}
	return r
}

func (d *Draft) got(name string) []Length {
	for _, m := range d.Finished {
		if m.Name == name {
			return m.Got
		}
	}
	return nil
}

// TestCap: a set-in sleeve's cap is never shorter than its armhole, and longer by
// 2.5 cm at most, near to the excess that is asked for. Both edges are measured here from the words.
func TestCap(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 4))
	for range 300 {
		sts := 10 + 30*r.Float64()
		req := nine("set-in", Gauge{sts, sts * (1.25 + 0.35*r.Float64())}, nil)
		req.Excess = Length(5 + 15*r.Float64())
		d, err := Make(req)
		if err != nil {
			t.Fatal(err)
		}
		edge, arm := d.got("cap edge"), d.got("armhole edge, front and back")
		for i := range edge {
			over := edge[i] - arm[i]
			if over < 0 || over > 25 || math.Abs(float64(over-req.Excess)) > float64(req.Gauge.RowHeight())*4 {
				t.Errorf("%v, size %s: a cap %.0f mm longer than its armhole, %.0f wanted", req.Gauge, req.Sizes[i].Label, over, req.Excess)
			}
		}
	}
}

// TestArmholeEdge against a sum by hand: 20 sts and 28 rows to 10 cm, 5 sts bound off
// (25 mm), 4 decreases, each a diagonal of 5 mm by two rows of 3.571 mm (8.719 mm), and of 56
// rows the 46 left: 25 + 34.87 + 164.29.
func TestArmholeEdge(t *testing.T) {
	if got := armholeEdge(Gauge{20, 28}, 5, 4, 56); math.Abs(float64(got)-224.16) > 0.01 {
		t.Errorf("%.2f mm", got)
	}
}

// TestDraftsMeasure: what comes out is within half a repeat of what is wanted, and no
// stitch count or length falls from one size to the next.
func TestDraftsMeasure(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 5))
	for _, f := range Forms() {
		for range 60 {
			sts := 10 + 30*r.Float64()
			req := nine(f.Name, Gauge{sts, sts * (1.25 + 0.35*r.Float64())}, nil)
			d, err := Make(req)
			if err != nil {
				t.Fatalf("%s: %v", f.Name, err)
			}
			for _, m := range d.Finished {
				if m.Part != "" {
					continue
				}
				for i := range m.Got {
					if i > 0 && m.Got[i] < m.Got[i-1]-0.001 {
						t.Errorf("%s at %v: %s falls from %v to %v", f.Name, req.Gauge, m.Name, m.Got[i-1], m.Got[i])
					}
				}
			}
			first := d.Finished[slices.IndexFunc(d.Finished, func(m Finished) bool { return m.Part == "" })]
			repeat := 2 // back and front, or a pair of rows
			switch f.Name {
			case "mitten", "raglan":
				repeat = 4
			case "hat":
				repeat = wedges
			case "cardigan":
				repeat = 3
			}
			half := max(req.Gauge.Width(repeat), req.Gauge.Height(4)) / 2 * 1.01
			for i := range first.Got {
				if diff := first.Got[i] - first.Want[i]; diff > half || -diff > half {
					t.Errorf("%s at %v, size %d: %s %v, wanted %v", f.Name, req.Gauge, i, first.Name, first.Got[i], first.Want[i])
				}
			}
		}
	}
}

// TestSpreadOver: the events add up, intervals differ by one step, RS rows stay RS rows.
func TestSpreadOver(t *testing.T) {
	for k := range 40 {
		for rows := range 160 {
			for _, flat := range []bool{true, false} {
				s, ok := spreadOver(k, rows, flat)
				step := pickInt(flat, 2, 1)
				if ok != (k == 0 || rows/step >= k) {
					t.Fatalf("%d over %d, flat %v: ok %v", k, rows, flat, ok)
				}
				if !ok {
					continue
				}
				if s.longTimes+s.shortTimes != k || s.rows() > rows || k > 0 && rows-s.rows() >= step {
					t.Fatalf("%d over %d, flat %v: %+v", k, rows, flat, s)
				}
				if s.longTimes > 0 && s.shortTimes > 0 && s.long-s.short != step || flat && (s.long%2 != 0 || s.short%2 != 0) {
					t.Fatalf("%d over %d, flat %v: %+v", k, rows, flat, s)
				}
			}
		}
	}
}

func TestMakeRefuses(t *testing.T) {
	good := nine("scarf", Gauge{20, 28}, nil)
	for name, change := range map[string]func(*Request){
		`there is no form "cape"`:     func(r *Request) { r.Form = "cape" },
		"0 sizes":                     func(r *Request) { r.Sizes = nil },
		"a gauge of 0 sts":            func(r *Request) { r.Gauge.Sts = 0 },
		"2.5 cm longer":               func(r *Request) { r.Excess = 40 },
		`has no measurement "chest"`:  func(r *Request) { r.Sizes[0].Wants = map[string]Length{"chest": 900} },
		"from 0 to 500":               func(r *Request) { r.Sizes[0].Wants = map[string]Length{"width": -9} },
		"a name, a multiple and rows": func(r *Request) { r.Stitch = &DraftStitch{} },
	} {
		r := good
		r.Sizes = append([]DraftSize(nil), good.Sizes...)
		change(&r)
		if _, err := Make(r); err == nil || !strings.Contains(err.Error(), name) || r.Form != "cape" && !errors.Is(err, ErrDraft) {
			t.Errorf("%q: %v", name, err)
		}
	}
}

// TestDraftWords: the numbers of a hand calculation stand in the draft.
//
// A scarf of 25 cm at 20 x 28 in a multiple of 6 + 1: 50 stitches; 49 = 8 x 6 + 1 is nearest.
// 170 cm are 476 rows; less 8 of the borders 468 are 117 repeats of 4.
func TestDraftWords(t *testing.T) {
	d, err := Make(Request{Form: "scarf", Gauge: Gauge{20, 28}, Sizes: []DraftSize{{Label: "one"}},
		Stitch: &DraftStitch{Name: "Fern", Of: 6, Plus: 1, Repeat: 4, Lines: []string{"Multiple of 6 sts + 1."}}})
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"CO 49 sts.\n", "Work Rows 1–4 of Fern 117 times.\n", "Finished width: 24.5 cm\n", "Finished length: 170 cm\n", "Gauge: 20 sts and 28 rows = 10 cm in Fern\n"} {
		if !strings.Contains(d.Manuscript, want) {
			t.Errorf("%q is not in\n%s", want, d.Manuscript)
		}
	}
}

// BenchmarkDraftPullover drafts a pullover with set-in sleeves in nine sizes.
func BenchmarkDraftPullover(b *testing.B) {
	r := nine("set-in", Gauge{22, 30}, nil)
	for b.Loop() {
		if _, err := Make(r); err != nil {
			b.Fatal(err)
		}
	}
}
