package sizing

import (
	"fmt"
	"slices"
)

// Rhythm says on which rows shaping may fall. Rows count from 1, the next row.
type Rhythm int

const (
	RSNext Rhythm = iota // flat, on RS rows only; the next row is RS
	WSNext               // flat, on RS rows only; the next row is WS
	AnyRow               // any row or round
)

// Placement says where the first and the last event stand.
type Placement int

const (
	// AfterInterval works one interval before each event; the last event falls on
	// the last row that may carry one. Sleeves: the rows sum to the length.
	AfterInterval Placement = iota
	// AtOnce has the first event on the next row that may carry one; the last is
	// followed by the rest of an interval. Armholes, necks and crowns.
	AtOnce
	// EndToEnd has events on the first and on the last row that may carry one.
	EndToEnd
	// Between leaves an interval before the first and after the last.
	Between
)

// Plan says how shaping is placed. The zero value: flat, RS rows, the next row
// is RS, an interval before each event, the longer intervals first.
type Plan struct {
	Rhythm     Rhythm
	Placement  Placement
	ShortFirst bool // the shorter intervals come first
}

// Run is "every Every-th row Times times", counted from the row worked last.
type Run struct{ Every, Times int }

// Schedule is k events over n rows. First + Σ Every×Times + Tail = n, and
// intervals differ by one step at most (a row; two where RS rows only carry
// events). Without events First is 0 and Tail is n.
type Schedule struct {
	First int   // row of the first event, from 1
	Runs  []Run // after the first event, at most two, never empty of times
	Tail  int   // rows worked even after the last event
}

// Count is the number of events.
func (s Schedule) Count() int {
	if s.First == 0 {
		return 0
	}
	k := 1
	for _, r := range s.Runs {
		k += r.Times
	}
	return k
}

// Rows is the number of rows, to the end of the even rows.
func (s Schedule) Rows() int {
	n := s.First + s.Tail
	for _, r := range s.Runs {
		n += r.Every * r.Times
	}
	return n
}

// Events are the rows that carry an event, from 1, rising.
func (s Schedule) Events() []int {
	if s.First == 0 {
		return nil
	}
	at := s.First
	out := append(make([]int, 0, s.Count()), at)
	for _, r := range s.Runs {
		for range r.Times {
			at += r.Every
			out = append(out, at)
		}
	}
	return out
}

// WholeRuns are the runs with the first event folded in where it comes exactly
// one interval after the start: 42 events over 176 rounds are every 4th round 34
// times and every 5th 8 times. ok is false where the first event stands apart.
func (s Schedule) WholeRuns() (runs []Run, ok bool) {
	switch {
	case s.First == 0:
		return nil, true
	case len(s.Runs) == 0:
		return []Run{{s.First, 1}}, true
	case s.Runs[0].Every == s.First:
		runs = slices.Clone(s.Runs)
		runs[0].Times++
		return runs, true
	case len(s.Runs) == 1:
		return []Run{{s.First, 1}, s.Runs[0]}, true
	}
	return nil, false
}

// Slots is how many of n rows may carry an event.
func (r Rhythm) Slots(n int) int {
	switch {
	case n <= 0:
		return 0
	case r == AnyRow:
		return n
	case r == WSNext:
		return n / 2
	}
	return (n + 1) / 2
}

// row is the row of a slot, both from 1.
func (r Rhythm) row(slot int) int {
	switch r {
	case AnyRow:
		return slot
	case WSNext:
		return 2 * slot
	}
	return 2*slot - 1
}

// step is the number of rows from one slot to the next.
func (r Rhythm) step() int {
	if r == AnyRow {
		return 1
	}
	return 2
}

// Schedule spreads k events over n rows, as evenly as the rhythm allows.
// Errors: a negative number, over a million rows, or more events than rows that
// may carry them.
func (p Plan) Schedule(k, n int) (Schedule, error) {
	slots := p.Rhythm.Slots(n)
	switch {
	case k < 0 || n < 0 || n > maxCount:
		return Schedule{}, fmt.Errorf("%d shaping rows over %d rows: both must be from 0 to a million", k, n)
	case k == 0:
		return Schedule{Tail: n}, nil
	case k > slots:
		where := "rows"
		if p.Rhythm != AnyRow {
			where = "RS rows"
		}
		return Schedule{}, fmt.Errorf("%d shaping rows do not fit into %d rows, of which %d are %s that may carry them: shape more stitches in a row, work more rows, or shape on every row", k, n, slots, where)
	}
	// Gaps in slots from 0: before the first event, between events, and to the end.
	gaps, sum, first := k, slots, -1
	switch p.Placement {
	case AtOnce:
		first = 1
	case EndToEnd:
		gaps, sum, first = k-1, slots-1, 1
	case Between:
		gaps, sum = k+1, slots+1
	}
	long, short := 0, 0 // how many
	size := 0           // of the short ones
	if gaps > 0 {
		size, long = sum/gaps, sum%gaps
		short = gaps - long
	}
	// The gap before the first event is of the run that comes first; the gap after
	// the last event is of the run that comes last.
	step := p.Rhythm.step()
	a, b := Run{size + 1, long}, Run{size, short}
	if p.ShortFirst {
		a, b = b, a
	}
	take := func(r *Run, other *Run) int {
		if r.Times == 0 {
			r = other
		}
		r.Times--
		return r.Every
	}
	if first < 0 {
		first = take(&a, &b)
	}
	if p.Placement == AtOnce || p.Placement == Between {
		take(&b, &a)
	}
	s := Schedule{First: p.Rhythm.row(first)}
	for _, r := range [...]Run{a, b} {
		if r.Times > 0 {
			s.Runs = append(s.Runs, Run{r.Every * step, r.Times})
		}
	}
	s.Tail = n - s.Rows()
	return s, nil
}

// Schedules is [Plan.Schedule] for all sizes; n may hold one number for all.
// The error names the size.
func (p Plan) Schedules(k, n []int) ([]Schedule, error) {
	if len(n) != len(k) && len(n) != 1 {
		return nil, fmt.Errorf("%d sizes of shaping over %d sizes of rows: give one number of rows for each size, or one for all", len(k), len(n))
	}
	out := make([]Schedule, len(k))
	for i := range k {
		rows := n[0]
		if len(n) > 1 {
			rows = n[i]
		}
		var err error
		if out[i], err = p.Schedule(k[i], rows); err != nil {
			return nil, fmt.Errorf("size %d: %w", i+1, err)
		}
	}
	return out, nil
}
