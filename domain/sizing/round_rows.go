package sizing

import (
	"fmt"
	"math"
	"slices"
)

// RowRepeat says after which rows a piece may end. The zero value allows any.
type RowRepeat struct {
	Of    int   // rows in one repeat; 0 and 1 allow any number of rows
	SetUp int   // rows before the first repeat
	Last  []int // rows of the repeat, from 1 to Of, after which one may end; none given: only the last
	Min   int   // least number of rows; 0 means 1
}

// FittedRows is a height in whole rows.
type FittedRows struct {
	Rows      int
	Repeats   int    // whole repeats worked
	Last      int    // the row of the repeat that is worked last, 1 to Of; 0 without a repeat
	Target    Length // as asked
	Height    Length // as it results
	Deviation Length // Height - Target
	Step      Length // widest gap between neighbouring allowed heights
}

// allows says whether a piece may end after n rows.
func (r RowRepeat) allows(n int) bool {
	n -= r.SetUp
	if n < 1 {
		return false
	}
	if r.Of <= 1 {
		return true
	}
	last := (n-1)%r.Of + 1
	if len(r.Last) == 0 {
		return last == r.Of
	}
	return slices.Contains(r.Last, last)
}

// FitRows brings a height to rows that end where the repeat may end, by the
// rounding rule; a parity is that of all rows, SetUp included, so that Even ends
// with the side one did not begin with. Errors: no gauge, over a million rows, a
// repeat of more than 1000 rows, or no row that may be the last.
func FitRows(target Length, g Gauge, r RowRepeat, rule Rounding) (FittedRows, error) {
	if g.Rows <= 0 || math.IsNaN(g.Rows) {
		return FittedRows{}, fmt.Errorf("no row gauge: give how many rows make 10 cm")
	}
	if r.Of < 0 || r.Of > 1000 || len(r.Last) > 1000 || r.SetUp < 0 || r.SetUp > maxCount || r.Min < 0 || r.Min > maxCount {
		return FittedRows{}, fmt.Errorf("a row repeat of %d rows after %d, with %d last rows: give up to 1000 of each", r.Of, r.SetUp, len(r.Last))
	}
	if rule&Even != 0 && rule&Odd != 0 {
		return FittedRows{}, fmt.Errorf("a count cannot be both even and odd: choose one")
	}
	exact := g.RowsIn(target)
	if math.IsNaN(exact) || exact > maxCount {
		return FittedRows{}, fmt.Errorf("%s at %s rows to 10 cm is over a million rows", target, number(g.Rows))
	}
	least := max(1, r.Min)
	allowed := func(n int) bool {
		return n >= least && r.allows(n) && (rule&Even == 0 || n%2 == 0) && (rule&Odd == 0 || n%2 != 0)
	}
	// A repeat of allowed rows comes round after 2×Of rows, whatever the parity.
	from := max(least, r.SetUp+1, int(exact))
	reach := 2*max(1, r.Of) + 1
	below, above := 0, 0
	for n := from; n <= from+reach && above == 0; n++ {
		if allowed(n) && float64(n) >= exact-1e-6 {
			above = n
		}
	}
	for n := from; n >= least && n >= from-reach && below == 0; n-- {
		if allowed(n) && float64(n) <= exact+1e-6 {
			below = n
		}
	}
	n := above
	switch {
	case above == 0:
		return FittedRows{}, fmt.Errorf("no row may be the last: allow another last row of the repeat of %d, or the other parity", r.Of)
	case below == 0: // asked for less than the least
	case rule&Down != 0 || rule&Up == 0 && float64(above)-exact > exact-float64(below)+noise:
		n = below
	}
	return fittedRows(target, g, r, n, max(above-below, 1), below > 0), nil
}

func fittedRows(target Length, g Gauge, r RowRepeat, n, gap int, between bool) FittedRows {
	f := FittedRows{Rows: n, Target: target, Height: g.Height(n), Step: g.Height(1)}
	f.Deviation = f.Height - target
	if between {
		f.Step = g.Height(gap)
	}
	if r.Of > 1 {
		f.Repeats = (n - r.SetUp) / r.Of
		f.Last = (n-r.SetUp-1)%r.Of + 1
	}
	return f
}
