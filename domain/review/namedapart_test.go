package review

import "testing"

// Two stitches explained on one line are used where a row works either; neither is where none does.
func TestTwoStitchesExplainedAtOnce(t *testing.T) {
	for _, c := range []struct {
		row  string
		want int
	}{
		{"Row 1: K1, m1L, knit to last st, m1R, k1.", 0},
		{"Row 1: Knit.", 1},
	} {
		got := 0
		for _, f := range Check("HAT\n\nAbbreviations\nk: knit\nm1L / m1R: make one left / make one right\n\nCast on 20 sts.\n" + c.row + "\n").Report.Findings {
			if f.Code == "unused-definition" {
				got++
			}
		}
		if got != c.want {
			t.Errorf("%s: said %d times, want %d", c.row, got, c.want)
		}
	}
}
