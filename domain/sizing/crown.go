package sizing

import (
	"fmt"
	"math"
)

// CrownRate says how fast a crown closes.
type CrownRate int

const (
	EveryOther CrownRate = iota // a plain round between
	EveryRound
	HalfAndHalf // every other round for the first half, then every round
	ToHeight    // over the number of rounds given, slower first
)

// CrownPlan is a crown in wedges. The zero value has eight wedges that each lose
// one stitch every other round until one is left.
type CrownPlan struct {
	Wedges int // 0 is 8
	Leave  int // stitches left in each wedge; 0 is 1
	Edge   int // stitches outside the wedges, such as two seam stitches of a flat crown
	Lose   int // stitches that a wedge loses in one decrease round; 0 is 1, 2 is a pair of leaning decreases
	Rate   CrownRate
	Rounds int // for ToHeight, from the first decrease round to the last
}

// Crown is a crown worked out. Edge + Wedges × Wedge are its stitches.
type Crown struct {
	Stitches int
	Edge     int
	Wedges   int
	Wedge    int // stitches in a wedge at the start
	Lose     int
	Left     int      // stitches at the end
	Schedule Schedule // of the decrease rounds, the first on round 1
}

// CrownRound is one round of a crown.
type CrownRound struct {
	Dec    bool
	Before int // in a decrease round of single decreases: plain stitches of a wedge before its k2tog
	Count  int // stitches after the round
}

func orOne(n, usual int) int {
	if n == 0 {
		return usual
	}
	return n
}

// Crown works out the crown of n stitches. Errors: n is not Edge + a whole number
// of wedges (it names the nearest counts that are), a wedge too small to lose
// anything, a remainder that its decreases do not meet, or too few rounds.
func (p CrownPlan) Crown(n int) (Crown, error) {
	w, leave, lose := orOne(p.Wedges, 8), orOne(p.Leave, 1), orOne(p.Lose, 1)
	if w < 1 || leave < 1 || lose < 1 || p.Edge < 0 || n < 0 || n > maxCount || w > maxCount {
		return Crown{}, fmt.Errorf("a crown of %d stitches in %d wedges: numbers must be above 0", n, w)
	}
	in := n - p.Edge
	if in < w || in%w != 0 {
		low := max(1, in/w)*w + p.Edge
		return Crown{}, fmt.Errorf("%d stitches are not %d wedges with %d stitches beside them: decrease to %d or increase to %d first, or take another number of wedges", n, w, p.Edge, low, low+w)
	}
	wedge := in / w
	if wedge < leave || (wedge-leave)%lose != 0 {
		return Crown{}, fmt.Errorf("a wedge of %d stitches does not come to %d by losing %d at a time: leave another number", wedge, leave, lose)
	}
	c := Crown{Stitches: n, Edge: p.Edge, Wedges: w, Wedge: wedge, Lose: lose, Left: w*leave + p.Edge}
	k := (wedge - leave) / lose
	if k == 0 {
		return c, nil
	}
	c.Schedule = Schedule{First: 1}
	run := func(every, times int) {
		if times > 0 {
			c.Schedule.Runs = append(c.Schedule.Runs, Run{every, times})
		}
	}
	switch p.Rate {
	case EveryOther:
		run(2, k-1)
	case EveryRound:
		run(1, k-1)
	case HalfAndHalf:
		run(2, k/2)
		run(1, k-1-k/2)
	default:
		s, err := Plan{Rhythm: AnyRow, Placement: EndToEnd}.Schedule(k, p.Rounds)
		if err != nil {
			return Crown{}, fmt.Errorf("crown of %d stitches: %w", n, err)
		}
		c.Schedule = s
	}
	return c, nil
}

// Rounds are the rounds of the crown, from the first decrease round to the end of
// its schedule.
func (c Crown) Rounds() []CrownRound {
	var out []CrownRound
	wedge := c.Wedge
	for _, at := range c.Schedule.Events() {
		for len(out) < at-1 {
			out = append(out, CrownRound{Count: c.Edge + c.Wedges*wedge})
		}
		before := wedge - 2
		wedge -= c.Lose
		out = append(out, CrownRound{true, before, c.Edge + c.Wedges*wedge})
	}
	for len(out) < c.Schedule.Rows() {
		out = append(out, CrownRound{Count: c.Edge + c.Wedges*wedge})
	}
	return out
}

// CrownWedges lists the numbers of wedges, from 4 to 12, into which n stitches
// divide with 3 stitches or more in each.
func CrownWedges(n int) []int {
	var out []int
	for w := 4; w <= 12; w++ {
		if n > 0 && n%w == 0 && n/w >= 3 {
			out = append(out, w)
		}
	}
	return out
}

// FlatRate is how many stitches a round must lose on average for a crown to lie
// flat as a disc: 2π × stitch gauge / row gauge. A hat closes faster or slower
// than this, for it is a dome. No row gauge gives 0.
func FlatRate(g Gauge) float64 {
	if g.Rows <= 0 {
		return 0
	}
	return 2 * math.Pi * g.Sts / g.Rows
}

// Radius is the radius of the circle that n stitches make.
func Radius(n int, g Gauge) Length { return Length(float64(g.Width(n)) / (2 * math.Pi)) }
