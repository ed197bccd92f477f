package needle

import (
	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// columns follows every loop on the needles, where a stitch worked below asks
// how many single loops lie in its column. It is fed by the same worker that
// counts; only the closed forms are put aside.
//
// A loop's age is how many single, undisturbed loops were worked straight above
// the last event of its column: a cast-on, an increase, a decrease, a crossing,
// or an earlier stitch worked below. Working n below wants age ≥ n: the n loops
// above the event's own loop are ravelled, and the loop under them is caught,
// which may be the event's own.
type columns struct {
	left, right []int16 // ages; the tip of the needle is last
	lost        bool    // stitches were moved in a way that is not followed
	record      bool
	events      []Event // of the row at hand, where recorded
	traced      bool
	trace       []byte // what was done to each stitch taken, in the order of working
}

// oldAge marks a loop of which nothing is known: it is never too young.
const oldAge = 4000

func newColumns(n int) *columns {
	return &columns{left: make([]int16, n)}
}

func (c *columns) clone() *columns {
	if c == nil {
		return nil
	}
	return &columns{left: append([]int16(nil), c.left...), right: append([]int16(nil), c.right...), lost: c.lost,
		record: c.record, events: append([]Event(nil), c.events...)}
}

func (c *columns) pop() int16 {
	if k := len(c.left); k > 0 {
		a := c.left[k-1]
		c.left = c.left[:k-1]
		return a
	}
	c.lost = true
	return oldAge
}

// work passes one working of a stitch of the given class over the needles. It
// returns the age found where the stitch is worked below.
func (c *columns) work(class notation.Class, in, out int) int16 {
	if c.traced {
		mark := byte('*')
		switch class {
		case notation.Knit:
			mark = 'k'
		case notation.Purl:
			mark = 'p'
		case notation.Patt:
			mark = '.'
		case notation.Slip:
			mark = 's'
		}
		for i := 0; i < in; i++ {
			c.trace = append(c.trace, mark)
		}
	}
	switch {
	case in == 0 && out < 0: // passed over: what remains was disturbed
		for ; out < 0 && len(c.right) > 0; out++ {
			c.right = c.right[:len(c.right)-1]
		}
		if k := len(c.right); k > 0 {
			c.right[k-1] = 0
		}
		return oldAge
	case in == 1 && out == 1:
		a := c.pop()
		switch class {
		case notation.Knit, notation.Purl, notation.Patt:
			c.right = append(c.right, min(a+1, oldAge))
		case notation.Slip:
			c.right = append(c.right, a)
		default:
			c.right = append(c.right, 0)
		}
		return a
	}
	for ; in > 0; in-- {
		c.pop()
	}
	for ; out > 0; out-- {
		c.right = append(c.right, 0)
	}
	return oldAge
}

// fit makes the columns agree with the counts again after moves that are not
// followed stitch by stitch.
func (c *columns) fit(left, right int) {
	c.left, c.right = fitTo(c.left, left), fitTo(c.right, right)
	c.lost = false
}

func fitTo(a []int16, n int) []int16 {
	if len(a) == n || n < 0 {
		return a
	}
	a = a[:0]
	for len(a) < n {
		a = append(a, oldAge)
	}
	return a
}

// below reports a stitch worked below that has too few single loops under it.
func (w *worker) below(l *lane, o *notation.Do, age int16) *failure {
	n := 1
	if len(o.Params) > 0 {
		n = o.Params[0]
	}
	if s := w.stitch(o.Key); s != nil && s.Class == notation.Below && len(s.Body) == 1 {
		if d, ok := s.Body[0].(*notation.Do); ok && len(d.Params) > 0 {
			n = d.Params[0]
		}
	}
	if int(age) >= n {
		return nil
	}
	rows := "rows are"
	if age == 1 {
		rows = "row is"
	}
	return l.fail("too-few-rows-under-drop", o.Span, "%d single rows are wanted under this stitch, only %d %s there since the last event in its column", n, age, rows)
}

// drops says that rows of the part are worked below.
func drops(w *worker, items []notation.Item) bool {
	found := false
	for _, it := range items {
		row, ok := it.(*notation.Row)
		if !ok {
			continue
		}
		notation.Each(row.Body, func(o notation.Op) {
			if d, ok := o.(*notation.Do); ok {
				if s := w.stitch(d.Key); s != nil && s.Class == notation.Below {
					found = true
				}
			}
		})
	}
	return found
}

// columnPasses is how often a repeat of rows is worked in the search for a drop
// that has too few rows under it: after the second pass every column's history
// since its last event lies within the repeat, so a third shows nothing new; one
// more is worked for repeats that shift by half.
const columnPasses = 3

// proveColumns works the part loop by loop: each size, or the first multiples.
// Two repeats next to each other, and both edges, are there from the second
// multiple on; the third is worked beside it.
func proveColumns(ms *notation.Manuscript, res *Result, p *Part, mk maker) {
	probe := mk(p, &Result{}, nil)
	if !drops(probe.w, p.items) {
		return
	}
	var lanes []*lane
	add := func(size, n int) {
		l := newLane(size, K(n))
		l.round = p.Round
		l.cols = newColumns(n)
		lanes = append(lanes, l)
	}
	window := 0
	switch {
	case p.CastOn != nil:
		for i, n := range p.CastOn {
			if n > 0 && n < 20000 {
				add(i, n)
			}
		}
	case p.Stated != nil:
		min := 1
		if p.Needs != nil && p.Needs.Of > 0 && p.Stated.Of == p.Needs.Of {
			min = max(1, ceilDiv(p.Needs.Min*p.Needs.Of+p.Needs.Plus-p.Stated.Plus-2*p.Stated.Edge, p.Stated.Of))
		}
		for n := min; n < min+3; n++ {
			add(0, p.Stated.Of*n+p.Stated.Plus+2*p.Stated.Edge)
			window++
		}
	default:
		return
	}
	if len(lanes) == 0 {
		return
	}
	trial := *p
	trial.Rows, trial.Final = nil, nil
	out := &Result{}
	r := mk(&trial, out, lanes)
	r.cols = true
	r.window = window
	r.items(p.items)
	for _, f := range out.Findings.Findings {
		if f.Code == "too-few-rows-under-drop" {
			if window > 0 {
				f.Sizes = nil
			}
			f.Message = trimWindow(f.Message)
			res.Findings.Add(f)
			if f.Severity() == finding.Error {
				p.Proved = ""
			}
		}
	}
}

func trimWindow(s string) string {
	if len(s) > 9 && s[:9] == "with n = " {
		for i := 9; i < len(s); i++ {
			if s[i] == ':' {
				return s[i+2:]
			}
		}
	}
	return s
}
