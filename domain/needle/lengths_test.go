package needle

import "testing"

// The ways in which leaflets tell a length for every size (common practice).
func TestLengthOfASize(t *testing.T) {
	for _, c := range []struct {
		text  string
		want  []float64
		sizes int
	}{
		{"17 (17½-18) ins [43 (44.5-45.5) cm]", []float64{43.18, 44.45, 45.72}, 3},
		{"33 (35: 36) cm", []float64{33, 35, 36}, 3},
		{"11 (12) 13 (14) cm", []float64{11, 12, 13, 14}, 4},
		{"58 / 60 / 62 cm", []float64{58, 60, 62}, 3},
		{"58-60-62 cm", []float64{58, 60, 62}, 3},
		{"15/17 cm", []float64{15, 17}, 2},
		{"5 (6) cm", []float64{5, 6}, 2},
		{"10-12 cm", []float64{10, 10, 10}, 3}, // a range, not lengths for sizes
		{"2 1/2 (2-3/4, 3) in", []float64{6.35, 6.985, 7.62}, 3},
		{"1½\"", []float64{3.81}, 1},
		{"38 cm", []float64{38, 38}, 2},
	} {
		for size, want := range c.want {
			if got := centimetresFor(c.text, size, c.sizes); got < want-0.01 || got > want+0.01 {
				t.Errorf("%q, size %d of %d: %g cm, want %g", c.text, size+1, c.sizes, got, want)
			}
		}
	}
}
