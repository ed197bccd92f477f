package shaping

import (
	"fmt"
	"math"
	"strings"

	"rowproof/domain/sizing"
)

var roundings = []Choice{{"nearest", "the nearest count"}, {"up", "never less than asked"}, {"down", "never more than asked"}}

func (in *input) rounding() sizing.Rounding {
	return map[string]sizing.Rounding{"up": sizing.Up, "down": sizing.Down}[in.choice("rounding")]
}

var width = Task{Key: "width", Title: "Width to stitches", Hint: "With a multiple, edges and a rounding; neighbouring sizes are compared",
	Fields: []Field{
		{Key: "width", Label: "Width, cm", Hint: "One, or one for each size: 45.5 (51, 56).", Usual: "45.5 (51, 56)"},
		{Key: "gauge", Label: "Stitches to 10 cm", Usual: "20"},
		{Key: "of", Label: "Multiple of", Hint: "Stitches of one repeat.", Usual: "1"},
		{Key: "plus", Label: "plus", Usual: "0"},
		{Key: "seams", Label: "Seam stitches in all", Hint: "Worked, but not counted in the width.", Usual: "2"},
		{Key: "rounding", Label: "Rounded to", Choices: roundings},
	},
	work: func(in *input) (Answer, error) {
		want := in.lengths("width")
		g := in.gauge()
		of := in.count("of", 1, 1)
		plus := in.count("plus", 0, 0)
		seams := in.count("seams", 0, 0)
		if in.err != nil {
			return Answer{}, in.err
		}
		fits, problems, err := sizing.FitAll(want, g, sizing.Multiple{Of: of, Plus: plus}, seams, in.rounding(), 0)
		if err != nil {
			return Answer{}, err
		}
		a := Answer{Rows: []string{"CO " + sizing.Vector(stitches(fits)) + " sts."}}
		sts, comes, off, reps := Line{Name: "Stitches"}, Line{Name: "Width"}, Line{Name: "Off by"}, Line{Name: "Repeats"}
		for _, f := range fits {
			sts.Cells = append(sts.Cells, fmt.Sprint(f.Stitches))
			comes.Cells = append(comes.Cells, f.Width.String())
			off.Cells = append(off.Cells, offBy(f.Deviation))
			reps.Cells = append(reps.Cells, fmt.Sprint(f.Repeats))
		}
		if a.Counts = []Line{sts, comes, off}; of > 1 {
			a.Counts = append(a.Counts, reps)
		}
		a.Wrong = wrongs(problems)
		return a, nil
	}}

var height = Task{Key: "height", Title: "Height to rows", Hint: "Ending where the stitch pattern may end",
	Fields: []Field{
		{Key: "height", Label: "Height, cm", Hint: "One, or one for each size.", Usual: "33 (34, 35)"},
		{Key: "gauge", Label: "Rows to 10 cm", Usual: "28"},
		{Key: "of", Label: "Rows of one repeat", Usual: "1"},
		{Key: "setup", Label: "Rows before the first repeat", Usual: "0"},
		{Key: "last", Label: "Rows of the repeat that may be the last", Hint: "Such as 4, 8. Empty: only the repeat’s last.", List: true},
		{Key: "rounding", Label: "Rounded to", Choices: roundings},
	},
	work: func(in *input) (Answer, error) {
		want := in.lengths("height")
		g := in.gauge()
		r := sizing.RowRepeat{}
		r.Of = in.count("of", 1, 1)
		r.SetUp = in.count("setup", 0, 0)
		if in.err != nil {
			return Answer{}, in.err
		}
		for _, x := range in.nums["last"] {
			if x < 1 || int(x) > r.Of || x != math.Trunc(x) {
				return Answer{}, fmt.Errorf("row %g is not one of the repeat, whose rows are 1 to %d", x, r.Of)
			}
			r.Last = append(r.Last, int(x))
		}
		fits, problems, err := sizing.FitRowsAll(want, g, r, in.rounding(), 0)
		if err != nil {
			return Answer{}, err
		}
		rows, comes, off, ends := Line{Name: "Rows"}, Line{Name: "Height"}, Line{Name: "Off by"}, Line{Name: "Ends with row"}
		n := make([]int, len(fits))
		for i, f := range fits {
			n[i] = f.Rows
			rows.Cells = append(rows.Cells, fmt.Sprint(f.Rows))
			comes.Cells = append(comes.Cells, f.Height.String())
			off.Cells = append(off.Cells, offBy(f.Deviation))
			ends.Cells = append(ends.Cells, fmt.Sprint(f.Last))
		}
		a := Answer{Rows: []string{"Work even for " + sizing.Vector(n) + " rows."}, Counts: []Line{rows, comes, off}, Wrong: wrongs(problems)}
		if r.Of > 1 {
			a.Counts = append(a.Counts, ends)
		}
		return a, nil
	}}

func stitches(fits []sizing.Fitted) []int {
	out := make([]int, len(fits))
	for i, f := range fits {
		out[i] = f.Stitches
	}
	return out
}

// wrongs tells each problem and what would mend it.
func wrongs(ps []sizing.Problem) []string {
	var out []string
	for _, p := range ps {
		s := p.String()
		s = strings.ToUpper(s[:1]) + s[1:] + "."
		for k, c := range p.Choices {
			if k == 3 {
				break
			}
			s += " " + mend(c) + "."
		}
		out = append(out, s)
	}
	return out
}

// mend is a choice in words, with the counts it gives.
func mend(c sizing.Choice) string {
	var n []int
	for _, f := range c.Fits {
		n = append(n, f.Stitches)
	}
	for _, f := range c.Rows {
		n = append(n, f.Rows)
	}
	gives := ": " + sizing.Vector(n)
	switch c.Kind {
	case sizing.ChangeRounding:
		return "Round " + c.Rounding.String() + gives
	case sizing.ChangeOffset:
		if c.Rows != nil {
			return fmt.Sprintf("Take %d rows before the first repeat%s", c.Repeat.SetUp, gives)
		}
		return fmt.Sprintf("Take a multiple of %d plus %d%s", max(1, c.Multiple.Of), c.Multiple.Plus, gives)
	case sizing.AddEdge:
		return "Add " + sizing.Vector(c.Edge) + " plain " + word(c.Rows != nil, "rows", "stitches") + gives
	}
	return "Let the repeat end after one more of its rows" + gives
}

// offBy is a deviation from what was asked.
func offBy(l sizing.Length) string {
	if math.Abs(l.Cm()) < 0.05 {
		return "–"
	}
	return strings.Replace(fmt.Sprintf("%+.1f cm", l.Cm()), "-", "−", 1)
}
