package sizing

import (
	"fmt"
	"slices"
	"strings"
)

// NeckCurve is a round neck by bind-offs and decreases. Centre + 2 × the side
// (bind-offs, then single decreases) are its stitches, exactly.
type NeckCurve struct {
	Centre int   // stitches bound off, or held, in the middle on the first row
	Binds  []int // then bound off at each neck edge, every other row, falling
	Other  int   // then 1 decreased every other row, that many times
	Fourth int   // then 1 decreased every 4th row, that many times
	Tail   int   // rows worked even after that
}

// Side is the number of stitches shaped away at one edge of the neck.
func (c NeckCurve) Side() int {
	n := c.Other + c.Fourth
	for _, b := range c.Binds {
		n += b
	}
	return n
}

// Stitches is the whole neck.
func (c NeckCurve) Stitches() int { return c.Centre + 2*c.Side() }

// Rows is the depth: the centre's row, two for every bind-off and decrease, four
// for each of the last, and the even rows.
func (c NeckCurve) Rows() int {
	return 1 + 2*len(c.Binds) + 2*c.Other + 4*c.Fourth + c.Tail
}

// Neck shapes a neck of that many stitches over that many rows: about two fifths
// in the middle, then steps like 3, 2, 2, then singles every other row and the
// last ones every 4th (common practice). Where rows are short the 4th rows go
// first, then steps grow, then the middle. centre above 0 asks for that middle,
// and is taken as the least. Errors: no stitches or over 10000, a negative number, or a centre
// that is too wide or leaves an odd number.
func Neck(stitches, rows, centre int) (NeckCurve, error) {
	if stitches < 1 || rows < 1 || centre < 0 || stitches > 10000 || rows > 10000 {
		return NeckCurve{}, fmt.Errorf("a neck of %d stitches over %d rows: both must be from 1 to 10000", stitches, rows)
	}
	if centre > stitches || centre > 0 && (stitches-centre)%2 != 0 {
		return NeckCurve{}, fmt.Errorf("a neck of %d stitches with %d in the middle does not leave two equal sides: take one more or less", stitches, centre)
	}
	if centre == 0 {
		centre = stitches * 2 / 5
		if (stitches-centre)%2 != 0 {
			centre++
		}
	}
	room := rows - 1
	for c := centre; c <= stitches; c += 2 {
		side := (stitches - c) / 2
		if side > 0 && 2*max(1, side/4) > room { // not even in the largest steps
			continue
		}
		for bound := (side + 1) / 2; bound <= side; bound++ {
			single := side - bound
			for most := 2; most <= 4; most++ {
				binds := stepsOf(bound, most)
				used := 2*len(binds) + 2*single
				if used > room {
					continue
				}
				fourth := min(single/3, (room-used)/2)
				return NeckCurve{c, binds, single - fourth, fourth, room - used - 2*fourth}, nil
			}
		}
	}
	return NeckCurve{stitches, nil, 0, 0, room}, nil
}

// stepsOf parts n into falling steps of about size each: 7 by 2 is 3, 2, 2.
func stepsOf(n, size int) []int {
	if n <= 0 {
		return nil
	}
	return evenSteps(n, max(1, n/size))
}

// evenSteps parts n into k steps that differ by one at most, larger first.
func evenSteps(n, k int) []int {
	out := make([]int, k)
	for i := range out {
		out[i] = n / k
		if i < n%k {
			out[i]++
		}
	}
	return out
}

// SplitNeck parts a row at its neck: shoulder, neck, shoulder. The error says how
// to make the shoulders equal.
func SplitNeck(stitches, neck int) (shoulder int, err error) {
	if neck < 0 || neck > stitches {
		return 0, fmt.Errorf("a neck of %d stitches in %d: give fewer", neck, stitches)
	}
	if (stitches-neck)%2 != 0 {
		return 0, fmt.Errorf("a neck of %d stitches leaves unequal shoulders of %d: take %d or %d", neck, stitches-neck, neck-1, neck+1)
	}
	return (stitches - neck) / 2, nil
}

// Slope is a shoulder in steps, from the armhole to the neck; they sum to its
// stitches and differ by one at most.
type Slope struct{ Steps []int }

// Shoulder parts a shoulder's stitches into steps, one for every two rows, larger
// ones at the armhole. At least one step, and no step of less than one stitch.
func Shoulder(stitches, rows int) Slope {
	if stitches <= 0 {
		return Slope{}
	}
	return Slope{evenSteps(stitches, min(stitches, max(1, rows/2)))}
}

// Turns are the stitches left unworked at the armhole when the slope is made by
// short rows: one turn fewer than there are steps, since the last works them all.
func (s Slope) Turns() []int {
	var out []int
	left := 0
	for _, n := range s.Steps[:max(0, len(s.Steps)-1)] {
		left += n
		out = append(out, left)
	}
	return out
}

// Slopes writes the slopes of both shoulders in all sizes: "Bind off 7 (8, 8) sts
// at beg of next 4 rows. Bind off 6 (7, 8) sts at beg of next 2 rows." A size
// with fewer steps than another works it with 0 stitches in its last rows.
func Slopes(ss []Slope) string {
	most := 0
	for _, s := range ss {
		most = max(most, len(s.Steps))
	}
	var out []string
	for i := 0; i < most; {
		at := func(i int) []int {
			v := make([]int, len(ss))
			for j, s := range ss {
				if i < len(s.Steps) {
					v[j] = s.Steps[i]
				}
			}
			return v
		}
		v, n := at(i), 1
		for i+n < most && slices.Equal(at(i+n), v) {
			n++
		}
		out = append(out, fmt.Sprintf("Bind off %s sts at beg of next %d rows.", Vector(v), 2*n))
		i += n
	}
	return strings.Join(out, " ")
}
