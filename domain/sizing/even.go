package sizing

import (
	"fmt"
	"slices"
)

// Convention is one of the three ways in which the trade spreads events across a
// row; which is used must be said, for they give different rows.
type Convention int

const (
	// Sections makes one section more than there are events, an event between each
	// two: 40 sts, 4 increases, 5 sections of 8. For flat rows.
	// Source: Dummies.com "Increase at several points in the same row".
	Sections Convention = iota
	// HalfEdges makes as many sections as events, one of them halved between the
	// two edges: 51 sts, 4 increases, after 6, 19, 32 and 45. For flat rows.
	// Source: Woolpack Yarn "Calculating where to place the increases".
	HalfEdges
	// Groups makes as many groups as events, each closed by one: 48 sts, 6
	// increases, 6 groups of 8. For rounds.
	// Source: K. Atherley, "Evenly across", Modern Daily Knitting.
	Groups
)

// Event is what is worked at each place: "m1" uses no stitch and makes one,
// "k2tog" uses 2 and makes 1, "kfb" uses 1 and makes 2.
type Event struct {
	Text        string
	Uses, Makes int
}

// Make1 and K2tog are the usual events.
var (
	Make1 = Event{"m1", 0, 1}
	K2tog = Event{"k2tog", 2, 1}
)

// Evenly says how events are spread across a row. With a Repeat above one they
// fall between whole repeats only, Left stitches standing before the first.
type Evenly struct {
	Convention Convention
	Event      Event
	ShortFirst bool     // the shorter gaps come first
	Repeat     Multiple // zero value: between any two stitches
	Left       int      // of Repeat.Plus, those before the first repeat
}

// Gap is that many plain stitches, that many times.
type Gap struct{ Plain, Times int }

// EvenRow is a row with its events spread: Lead stitches, an event, and after it
// each gap and an event, then Tail stitches. Lead + Σ Plain×Times + Tail +
// events × Uses is the row. Without events Tail is the row.
type EvenRow struct {
	Events int
	Lead   int   // plain stitches before the first event
	Inner  []Gap // between events, at most two, never of no times
	Tail   int   // plain stitches after the last event
}

// Gaps are the plain stitches before, between and after the events: one more
// than there are events.
func (e EvenRow) Gaps() []int {
	if e.Events == 0 {
		return []int{e.Tail}
	}
	out := append(make([]int, 0, e.Events+1), e.Lead)
	for _, g := range e.Inner {
		for range g.Times {
			out = append(out, g.Plain)
		}
	}
	return append(out, e.Tail)
}

// Row spreads k events over n stitches. Between events the gaps differ by one
// stitch at most, or by one repeat. Errors: a negative number, over a million
// stitches, stitches that are not of the repeat, or more events than there are
// places; two increases never fall into one place.
func (p Evenly) Row(n, k int) (EvenRow, error) {
	of, u := max(1, p.Repeat.Of), p.Event.Uses
	if n < 0 || k < 0 || n > maxCount || u < 0 || p.Left < 0 || p.Repeat.Plus < 0 || of > maxCount {
		return EvenRow{}, fmt.Errorf("%d times %s over %d stitches: numbers must be from 0 to a million", k, p.Event.Text, n)
	}
	if k == 0 {
		return EvenRow{Tail: n}, nil
	}
	if of > 1 {
		return p.between(n, k)
	}
	plain := n - k*u
	e, ok := p.split(plain, k)
	if !ok || !p.open(e) {
		return EvenRow{}, fmt.Errorf("%d times %s do not fit into %d stitches: work them over two rows, or fewer of them", k, p.Event.Text, n)
	}
	return e, nil
}

// between spreads over whole repeats as Row does over stitches. An event that
// uses stitches takes them from the repeats beside it, the odd one from before;
// in Groups from the repeat that it closes.
func (p Evenly) between(n, k int) (EvenRow, error) {
	of, u := p.Repeat.Of, p.Event.Uses
	repeats, right := (n-p.Repeat.Plus)/of, p.Repeat.Plus-p.Left
	if n < p.Repeat.Plus || (n-p.Repeat.Plus)%of != 0 || right < 0 || u > of {
		return EvenRow{}, fmt.Errorf("%d stitches are no multiple of %s with %d before the first repeat", n, p.Repeat, p.Left)
	}
	e, ok := p.split(repeats, k)
	if ok = ok && !slices.ContainsFunc(e.Inner, func(g Gap) bool { return g.Plain < 1 }); !ok {
		return EvenRow{}, fmt.Errorf("%d times %s do not fit between %d repeats of %d stitches: work them over two rows, or fewer of them", k, p.Event.Text, repeats, of)
	}
	after := u / 2
	if p.Convention == Groups { // the event closes its group
		after = 0
	}
	e.Lead = e.Lead*of + p.Left - (u - after)
	for i := range e.Inner {
		e.Inner[i].Plain = e.Inner[i].Plain*of - u
	}
	e.Tail = e.Tail*of + right - after
	if e.Lead < 0 || e.Tail < 0 || !p.open(e) {
		return EvenRow{}, fmt.Errorf("%d times %s do not fit between %d repeats of %d stitches: take another convention, or fewer of them", k, p.Event.Text, repeats, of)
	}
	return e, nil
}

// split divides total into the gaps of k events, by the convention.
func (p Evenly) split(total, k int) (EvenRow, bool) {
	parts := k
	if p.Convention == Sections {
		parts = k + 1
	}
	if total < 0 {
		return EvenRow{}, false
	}
	size, long := total/parts, total%parts
	a, b := Gap{size + 1, long}, Gap{size, parts - long}
	if p.ShortFirst {
		a, b = b, a
	}
	take := func(g, other *Gap) int {
		if g.Times == 0 {
			g = other
		}
		g.Times--
		return g.Plain
	}
	e := EvenRow{Events: k}
	switch p.Convention {
	case Sections:
		e.Lead, e.Tail = take(&a, &b), take(&b, &a)
	case HalfEdges:
		edges := take(&b, &a)
		e.Lead, e.Tail = edges/2, edges-edges/2
	case Groups:
		e.Lead = take(&a, &b)
	}
	for _, g := range [...]Gap{a, b} {
		if g.Times > 0 {
			e.Inner = append(e.Inner, g)
		}
	}
	return e, true
}

// open says whether events that use nothing have stitches between them, and
// beside them at the edges of a flat row.
func (p Evenly) open(e EvenRow) bool {
	if p.Event.Uses > 0 {
		return true
	}
	for _, g := range e.Inner {
		if g.Plain < 1 {
			return false
		}
	}
	return e.Lead >= 1 && (p.Convention == Groups || e.Tail >= 1)
}

// Rows is [Evenly.Row] for all sizes. The error names the size.
func (p Evenly) Rows(n, k []int) ([]EvenRow, error) {
	if len(n) != len(k) {
		return nil, fmt.Errorf("%d sizes of stitches, but %d of events: give one number for each size", len(n), len(k))
	}
	out := make([]EvenRow, len(n))
	for i := range n {
		var err error
		if out[i], err = p.Row(n[i], k[i]); err != nil {
			return nil, fmt.Errorf("size %d: %w", i+1, err)
		}
	}
	return out, nil
}

// Counts are the stitches after the row, per size.
func (p Evenly) Counts(n, k []int) []int {
	out := make([]int, len(n))
	for i := range n {
		out[i] = n[i] + k[i]*(p.Event.Makes-p.Event.Uses)
	}
	return out
}
