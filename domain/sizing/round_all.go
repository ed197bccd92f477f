package sizing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// ProblemKind says what is wrong with counts that were fitted for all sizes.
type ProblemKind int

const (
	OffTarget  ProblemKind = iota // a measurement is further from its target than the tolerance
	SameAsNext                    // two sizes with different targets come out the same
	OutOfOrder                    // a size comes out smaller than the one before it
)

// Problem is one thing wrong, with the choices that would mend it, best first.
type Problem struct {
	Kind      ProblemKind
	Size      int    // index of the size, from 0
	Other     int    // the next size, for SameAsNext and OutOfOrder; else -1
	Count     int    // stitches or rows of Size
	Deviation Length // of Size
	Tolerance Length // that OffTarget was held to
	Choices   []Choice
}

// String is the problem in words, without its choices; sizes count from 1.
func (p Problem) String() string {
	switch p.Kind {
	case SameAsNext:
		return fmt.Sprintf("sizes %d and %d come out the same, %d", p.Size+1, p.Other+1, p.Count)
	case OutOfOrder:
		return fmt.Sprintf("size %d comes out larger than size %d", p.Size+1, p.Other+1)
	}
	more := "more"
	if p.Deviation < 0 {
		more = "less"
	}
	return fmt.Sprintf("size %d comes out %.1f cm %s than asked", p.Size+1, math.Abs(p.Deviation.Cm()), more)
}

// ChoiceKind says what a [Choice] changes.
type ChoiceKind int

const (
	ChangeRounding ChoiceKind = iota // another rounding for every size
	ChangeOffset                     // another Plus, or SetUp of rows, for every size
	AddEdge                          // plain stitches, or rows, for some sizes only
	ChangeLast                       // one more row of the repeat may be the last
)

// Choice is one way to mend a problem: with it the problem is gone and no new
// one has come. Exactly one of Fits and Rows is given.
type Choice struct {
	Kind     ChoiceKind
	Rounding Rounding
	Multiple Multiple  // of widths
	Repeat   RowRepeat // of heights
	Edge     []int     // per size, plain stitches or rows more; nil without
	Fits     []Fitted
	Rows     []FittedRows
	Worst    Length // largest deviation of any size, without its sign
}

// maxChoices of each kind are offered for one problem.
const maxChoices = 3

// FitAll fits the widths of all sizes, smallest first, and lists what is wrong.
// A tolerance of 0 is half a repeat, but one stitch at the least: no rounding in
// one direction can promise less. The error names the size.
func FitAll(targets []Length, g Gauge, m Multiple, extra int, rule Rounding, tolerance Length) ([]Fitted, []Problem, error) {
	var out []Fitted
	fit := func(m Multiple, rule Rounding, edge []int) ([]Fitted, error) {
		fits := make([]Fitted, len(targets))
		for i, t := range targets {
			m := m
			if edge != nil {
				if fits[i] = out[i]; edge[i] == 0 {
					continue
				}
				m.Plus += edge[i]
			}
			var err error
			if fits[i], err = Fit(t, g, m, extra, rule); err != nil {
				return nil, fmt.Errorf("size %d: %w", i+1, err)
			}
		}
		return fits, nil
	}
	out, err := fit(m, rule, nil)
	if err != nil {
		return nil, nil, err
	}
	if tolerance <= 0 {
		tolerance = g.Width(max(2, m.Of)) / 2
	}
	problems := look(linesOf(out), tolerance)
	was := len(problems)
	for i := range problems {
		p := &problems[i]
		try := func(kind ChoiceKind, m Multiple, rule Rounding, edge []int) {
			if fits, err := fit(m, rule, edge); err == nil && mends(linesOf(fits), was, *p, tolerance) {
				p.Choices = append(p.Choices, Choice{Kind: kind, Rounding: rule, Multiple: m, Edge: edge, Fits: fits, Worst: worst(linesOf(fits))})
			}
		}
		for _, r := range otherRoundings(rule) {
			try(ChangeRounding, m, r, nil)
		}
		for plus := range min(m.Of, 60) {
			if plus != m.Plus {
				try(ChangeOffset, Multiple{m.Of, plus}, rule, nil)
			}
		}
		for edge := 1; edge < min(m.Of, 60); edge++ {
			try(AddEdge, m, rule, some(len(targets), p.Size, edge))
			if p.Other >= 0 {
				try(AddEdge, m, rule, some(len(targets), p.Other, edge))
			}
		}
		p.Choices = best(p.Choices)
	}
	return out, problems, nil
}

// FitRowsAll fits the heights of all sizes, smallest first, and lists what is
// wrong. A tolerance of 0 is half the widest gap between allowed heights, but
// one row at the least. The error names the size.
func FitRowsAll(targets []Length, g Gauge, r RowRepeat, rule Rounding, tolerance Length) ([]FittedRows, []Problem, error) {
	var out []FittedRows
	fit := func(r RowRepeat, rule Rounding, edge []int) ([]FittedRows, error) {
		fits := make([]FittedRows, len(targets))
		for i, t := range targets {
			r := r
			if edge != nil {
				if fits[i] = out[i]; edge[i] == 0 {
					continue
				}
				r.SetUp += edge[i]
			}
			var err error
			if fits[i], err = FitRows(t, g, r, rule); err != nil {
				return nil, fmt.Errorf("size %d: %w", i+1, err)
			}
		}
		return fits, nil
	}
	out, err := fit(r, rule, nil)
	if err != nil {
		return nil, nil, err
	}
	if tolerance <= 0 {
		tolerance = g.Height(1)
		for _, f := range out {
			tolerance = max(tolerance, f.Step/2)
		}
	}
	problems := look(rowLines(out), tolerance)
	was := len(problems)
	for i := range problems {
		p := &problems[i]
		try := func(kind ChoiceKind, r RowRepeat, rule Rounding, edge []int) {
			if rows, err := fit(r, rule, edge); err == nil && mends(rowLines(rows), was, *p, tolerance) {
				p.Choices = append(p.Choices, Choice{Kind: kind, Rounding: rule, Repeat: r, Edge: edge, Rows: rows, Worst: worst(rowLines(rows))})
			}
		}
		for _, other := range otherRoundings(rule) {
			try(ChangeRounding, r, other, nil)
		}
		last := r.Last
		if len(last) == 0 {
			last = []int{r.Of}
		}
		for n := 1; n <= min(r.Of, 60); n++ {
			if !slices.Contains(last, n) {
				wider := r
				wider.Last = append(slices.Clone(last), n)
				try(ChangeLast, wider, rule, nil)
			}
		}
		for edge := 1; edge < min(r.Of, 60); edge++ {
			moved := r
			moved.SetUp += edge
			try(ChangeOffset, moved, rule, nil)
			try(AddEdge, r, rule, some(len(targets), p.Size, edge))
			if p.Other >= 0 {
				try(AddEdge, r, rule, some(len(targets), p.Other, edge))
			}
		}
		p.Choices = best(p.Choices)
	}
	return out, problems, nil
}

// line is one fitted count, of stitches or of rows.
type line struct {
	n           int
	target, dev Length
}

func linesOf(fits []Fitted) []line {
	out := make([]line, len(fits))
	for i, f := range fits {
		out[i] = line{f.Stitches, f.Target, f.Deviation}
	}
	return out
}

func rowLines(fits []FittedRows) []line {
	out := make([]line, len(fits))
	for i, f := range fits {
		out[i] = line{f.Rows, f.Target, f.Deviation}
	}
	return out
}

// look lists what is wrong, by size.
func look(ls []line, tolerance Length) []Problem {
	var out []Problem
	for i, l := range ls {
		p := Problem{Kind: OffTarget, Size: i, Other: -1, Count: l.n, Deviation: l.dev, Tolerance: tolerance}
		if math.Abs(float64(l.dev)) > float64(tolerance)+1e-6 {
			out = append(out, p)
		}
		if i+1 == len(ls) {
			break
		}
		next := ls[i+1]
		p.Other = i + 1
		if next.n < l.n {
			p.Kind = OutOfOrder
			out = append(out, p)
		} else if next.n == l.n && math.Abs(float64(next.target-l.target)) > 1e-6 {
			p.Kind = SameAsNext
			out = append(out, p)
		}
	}
	return out
}

// mends says whether p is gone in then, and fewer problems are left than were.
func mends(then []line, were int, p Problem, tolerance Length) bool {
	left := look(then, tolerance)
	if len(left) >= were {
		return false
	}
	return !slices.ContainsFunc(left, func(q Problem) bool { return q.Kind == p.Kind && q.Size == p.Size })
}

func otherRoundings(r Rounding) []Rounding {
	var out []Rounding
	for _, d := range []Rounding{Nearest, Up, Down} {
		if d != r&3 {
			out = append(out, d|r&^3)
		}
	}
	return out
}

// some is n for one size and 0 for the others.
func some(sizes, one, n int) []int {
	out := make([]int, sizes)
	out[one] = n
	return out
}

func worst(ls []line) Length {
	w := Length(0)
	for _, l := range ls {
		w = max(w, l.dev, -l.dev)
	}
	return w
}

// best keeps the few best choices of each kind, by their largest deviation.
func best(cs []Choice) []Choice {
	slices.SortStableFunc(cs, func(a, b Choice) int {
		return cmp.Or(cmp.Compare(math.Round(float64(a.Worst)*1000), math.Round(float64(b.Worst)*1000)), cmp.Compare(a.Kind, b.Kind))
	})
	var out []Choice
	seen := map[ChoiceKind]int{}
	for _, c := range cs {
		if seen[c.Kind]++; seen[c.Kind] <= maxChoices {
			out = append(out, c)
		}
	}
	return out
}
