package notation

import (
	"reflect"
	"testing"
)

// TestSizeNames: what sizes go by that no line of sizes names (common practice: the numbers of the
// people they fit), and lines that say more than the names.
func TestSizeNames(t *testing.T) {
	for _, c := range []struct {
		name, text string
		want       []string
	}{
		{"by the chest", "Vest\nTo fit chest: 71 (76, 81) cm\nCO 60 (64, 68) sts.\nRow 1: K.", []string{"71", "76", "81"}},
		{"by age", "Mitts\nAge: 2-3 years (4-5 years, 6-7 years)\nCO 28 (32, 36) sts.\nRow 1: K.", []string{"2-3 years", "4-5 years", "6-7 years"}},
		{"age before chest", "Vest\nActual chest: 60 (66) cm\nTo fit age: 4 (6) years\nCO 60 (64) sts and k 2 rows.\nRow 1: K20 (22), k to end.", []string{"4", "6"}},
		{"in inches, by hyphens", "Jersey\nChest sizes: 34 (36-38-40) ins.\nCO 80 (84-88-92) sts.\nRow 1: K. 80 (84-88-92) sts.", []string{"34", "36", "38", "40"}},
		{"numbers where two are alike", "Vest\nTo fit chest: 71 (71, 81) cm\nCO 60 (64, 68) sts.\nRow 1: K.", []string{"1", "2", "3"}},
		{"the names go first", "Vest\nSizes: S (M, L)\nTo fit chest: 71 (76, 81) cm\nCO 60 (64, 68) sts.", []string{"S", "M", "L"}},
		{"a label below the head", "Vest\n\nSIZES\nTo fit chest: 71 [76, 81] cm\nActual chest: 80 [85, 90] cm\n\nCast on 60 [64, 68] sts.\nRow 1: K.", []string{"71", "76", "81"}},
		{"what they fit behind a dash", "Socks\nSizes: A (B) – to fit foot circumference 8 (9)\"\nCO 16 (20) sts.\nRnd 1: K.", []string{"A", "B"}},
		{"letters by hyphens in a bracket", "Back\n\nSIZES: S (M-L-XL)\n\nCO 84 (92-100-108) sts.\nRow 1: K.", []string{"S", "M", "L", "XL"}},
		{"letters alone", "Bands\n\nS/M/L\n\nCO 93/98/103 sts.\nRow 1: K.", []string{"S", "M", "L"}},
		{"a count behind a row is no size", "Shawl\nCO 7 sts.\nRow 1: K3, yo, k1, yo, k3: 9 sts.\nRow 2: K.", []string{""}},
	} {
		if got := Read(c.text).Sizes; !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// TestResizeRefusesSome: a number for some sizes only would go to others when sizes change.
func TestResizeRefusesSome(t *testing.T) {
	text := "Back\nSizes: S (M, L, XL)\nCO 60 (64, 68, 72) sts.\nRow 1: K.\n\nSizes L and XL only:\nDec 1 st at each end of next 4 (6) rows.\n"
	if out, err := Resize(Read(text), text, []NewSize{{From: 0}, {From: 3}}); err == nil {
		t.Errorf("resized to\n%s", out)
	}
}
