package sizing

import (
	"fmt"
	"math"
)

// Multiple is "a multiple of Of stitches plus Plus". The zero value is any
// number of stitches. Plus may exceed Of (8 + 10) and holds the edge stitches
// that show; stitches that vanish in a seam are given to [Fit] apart.
type Multiple struct{ Of, Plus int }

// String is "8 + 10".
func (m Multiple) String() string { return fmt.Sprintf("%d + %d", max(1, m.Of), m.Plus) }

// Rounding says which count to take when the exact one falls between two.
// One direction may be joined with one parity: Down | Even. The zero value is
// Nearest, any parity.
type Rounding int

const (
	Nearest Rounding = 0 // the nearer count, halves up
	Up      Rounding = 1 // never less than asked
	Down    Rounding = 2 // never more than asked
	Even    Rounding = 4 // stitches on the needle, seam stitches included, are even
	Odd     Rounding = 8
)

// String is "down to an even number".
func (r Rounding) String() string {
	s := [...]string{"to the nearest", "up to the next", "down to the next", "to the nearest"}[r&3]
	switch {
	case r&Even != 0:
		return s + " even number"
	case r&Odd != 0:
		return s + " odd number"
	}
	return s
}

// Fitted is a width in whole stitches.
type Fitted struct {
	Stitches  int    // on the needle, Extra included
	Repeats   int    // whole repeats of the multiple
	Extra     int    // stitches counted apart, such as seam stitches; not in Width
	Target    Length // as asked
	Width     Length // as it results, Extra not counted
	Deviation Length // Width - Target
	Step      Length // between one allowed width and the next
}

// maxCount bounds stitches and rows so that no sum overflows.
const maxCount = 1_000_000

// Fit brings a width to stitches: gauge × width, to the multiple, by the
// rounding rule; extra stitches (for seams, steeks, band overlaps) are added and
// not counted in the width. At least one repeat is worked, and at least one
// stitch. Without a parity and above the smallest count, Nearest is within half
// a repeat of the target. Errors: no gauge, a count over a million, a negative
// multiple, or a parity that no count of this multiple has.
func Fit(target Length, g Gauge, m Multiple, extra int, rule Rounding) (Fitted, error) {
	if g.Sts <= 0 || math.IsNaN(g.Sts) {
		return Fitted{}, fmt.Errorf("no stitch gauge: give how many stitches make 10 cm")
	}
	if m.Of < 0 || m.Plus < 0 || extra < 0 || m.Of > maxCount || m.Plus > maxCount || extra > maxCount {
		return Fitted{}, fmt.Errorf("multiple of %s with %d extra stitches: numbers must be from 0 to a million", m, extra)
	}
	of := max(1, m.Of)
	exact := g.Stitches(target)
	if math.IsNaN(exact) || exact > maxCount {
		return Fitted{}, fmt.Errorf("%s at %s stitches to 10 cm is over a million stitches", target, number(g.Sts))
	}
	first, step := of+m.Plus, of // m.Plus may be the whole of it only for a multiple of 1
	if of == 1 {
		first = max(1, m.Plus)
	}
	first, step, err := withParity(first, step, extra, rule, m)
	if err != nil {
		return Fitted{}, err
	}
	n := first + step*steps((exact-float64(first))/float64(step), rule)
	return fitted(target, g, m, n, step, extra), nil
}

// fitted states n stitches, extra not included, against their target.
func fitted(target Length, g Gauge, m Multiple, n, step, extra int) Fitted {
	w := g.Width(n)
	return Fitted{Stitches: n + extra, Repeats: max(0, n-m.Plus) / max(1, m.Of), Extra: extra,
		Target: target, Width: w, Deviation: w - target, Step: g.Width(step)}
}

// steps rounds a number of steps from the first allowed count, never below 0.
func steps(x float64, rule Rounding) int {
	switch {
	case rule&Up != 0:
		x = math.Ceil(x - 1e-6)
	case rule&Down != 0:
		x = math.Floor(x + 1e-6)
	default:
		x = math.Floor(x + 0.5 + noise)
	}
	return int(max(0, x))
}

// withParity moves the first count to one of the wanted parity and widens the
// step where every other count has it.
func withParity(first, step, extra int, rule Rounding, m Multiple) (int, int, error) {
	want := -1
	switch {
	case rule&Even != 0 && rule&Odd != 0:
		return 0, 0, fmt.Errorf("a count cannot be both even and odd: choose one")
	case rule&Even != 0:
		want = 0
	case rule&Odd != 0:
		want = 1
	default:
		return first, step, nil
	}
	fits := (first+extra)%2 == want
	if step%2 == 0 {
		if !fits {
			return 0, 0, fmt.Errorf("no count is %s in a multiple of %s with %d extra stitches: add or take one edge stitch", [...]string{"even", "odd"}[want], m, extra)
		}
		return first, step, nil
	}
	if !fits {
		first += step
	}
	return first, 2 * step, nil
}
