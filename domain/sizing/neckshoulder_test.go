package sizing

import (
	"math/rand/v2"
	"slices"
	"testing"
)

func TestNeck(t *testing.T) {
	// W74, W75, W76: American Red Cross 1917, The Garden Island 1917, Columbia Yarns
	// c. 1918: the same garment's neck, split three ways.
	for _, c := range []struct{ sts, neck, shoulder int }{{80, 24, 28}, {96, 26, 35}, {80, 28, 26}} {
		if got, err := SplitNeck(c.sts, c.neck); err != nil || got != c.shoulder {
			t.Errorf("W74–76: %d less %d leaves %d, %v, want %d", c.sts, c.neck, got, err, c.shoulder)
		}
	}
	if _, err := SplitNeck(80, 25); err == nil {
		t.Error("unequal shoulders went through")
	}
	c, err := Neck(38, 24, 14)
	if err != nil || c.Centre != 14 || !slices.Equal(c.Binds, []int{2, 2, 2}) || c.Stitches() != 38 || c.Rows() != 24 {
		t.Errorf("%+v, %v", c, err)
	}
	if c, err = Neck(40, 28, 12); err != nil || !slices.Equal(c.Binds, []int{3, 2, 2}) || c.Other+c.Fourth != 7 || c.Rows() != 28 {
		t.Errorf("%+v, %v", c, err)
	}
	r := rand.New(rand.NewPCG(4, 7))
	for range 5000 {
		sts, rows := 1+r.IntN(120), 1+r.IntN(60)
		c, err := Neck(sts, rows, 0)
		if err != nil {
			t.Fatalf("Neck(%d, %d): %v", sts, rows, err)
		}
		if c.Stitches() != sts || c.Rows() != rows || c.Tail < 0 || c.Other < 0 || c.Fourth < 0 || c.Centre < 0 {
			t.Fatalf("Neck(%d, %d) = %+v: %d sts, %d rows", sts, rows, c, c.Stitches(), c.Rows())
		}
		if !slices.IsSortedFunc(c.Binds, func(a, b int) int { return b - a }) {
			t.Fatalf("Neck(%d, %d) = %+v: steps rise", sts, rows, c)
		}
	}
	for _, c := range [][3]int{{0, 10, 0}, {20, 0, 0}, {20, 10, 21}, {20, 10, 5}, {20, 10, -2}, {99999, 9, 0}} {
		if _, err := Neck(c[0], c[1], c[2]); err == nil {
			t.Errorf("Neck%v went through", c)
		}
	}
}

func TestShoulder(t *testing.T) {
	if s := Shoulder(20, 6); !slices.Equal(s.Steps, []int{7, 7, 6}) || !slices.Equal(s.Turns(), []int{7, 14}) {
		t.Errorf("%+v %v", s, s.Turns())
	}
	ss := []Slope{Shoulder(20, 6), Shoulder(23, 6), Shoulder(24, 6)}
	if got, want := Slopes(ss), "Bind off 7 (8, 8) sts at beg of next 4 rows. Bind off 6 (7, 8) sts at beg of next 2 rows."; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	for sts := range 80 {
		for rows := range 14 {
			sum, s := 0, Shoulder(sts, rows)
			for _, n := range s.Steps {
				sum += n
				if n < 1 {
					t.Fatalf("Shoulder(%d, %d) = %v", sts, rows, s)
				}
			}
			if sum != sts || len(s.Steps) > 0 && s.Steps[0]-s.Steps[len(s.Steps)-1] > 1 {
				t.Fatalf("Shoulder(%d, %d) = %v", sts, rows, s)
			}
		}
	}
}
