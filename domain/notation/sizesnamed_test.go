package notation

import (
	"slices"
	"testing"
)

// The ways in which leaflets name their sizes, with what stands around the names (common practice).
func TestSizesNamed(t *testing.T) {
	for _, c := range []struct {
		line string
		want []string
	}{
		{"Sizes.—38 [40, 42] inch chest. Instructions for the larger sizes are given in square brackets.", []string{"38", "40", "42"}},
		{"Sizes: 38 (40, 42) inch chest", []string{"38", "40", "42"}},
		{"Sizes: 38, 40, 42 inch chest", []string{"38", "40", "42"}},
		{"To fit a 34 (36, 38) inch bust", []string{"34", "36", "38"}},
		{"Sizes: to fit 34 [36: 38] in. bust.", []string{"34", "36", "38"}},
		{"Size: 81 (86, 91) cm bust", []string{"81", "86", "91"}},
		{"Sizes: S (M, L) to fit bust 32 (34, 36)\"", []string{"S", "M", "L"}},
		{"SIZES\nTo fit chest 56 (61, 66) cm", []string{"56", "61", "66"}},
		{"Sizes: Small, Medium and Large", []string{"Small", "Medium", "Large"}},
		{"Sizes: small/medium/large (shown in medium)", []string{"small", "medium", "large"}},
		{"Size: 6 mos (12 mos, 2 yrs)", []string{"6 mos", "12 mos", "2 yrs"}},
		{"Sizes: 2-4 (6-8, 10-12) yrs", []string{"2-4", "6-8", "10-12"}},
		{"SIZE S – M – L", []string{"S", "M", "L"}},
		{"Sizes: A (B, C) = 90 (100, 110) cm", []string{"A", "B", "C"}},
		{"Available in sizes S, M, L.", []string{"S", "M", "L"}},
		{"Sizes: Women's S (M, L)", []string{"Women's S", "M", "L"}},
		{"Sizes: Baby (Toddler) Child", []string{"Baby", "Toddler", "Child"}},
		{"Directions are for size Small. Changes for sizes Medium and Large are in parentheses.", []string{"Small", "Medium", "Large"}},
		{"Instructions are given for Small; changes for Medium and Large are in brackets.", []string{"Small", "Medium", "Large"}},
		{"The pattern is written for size S with M and L in brackets.", []string{"S", "M", "L"}},
		{"Directions are for smallest size (6 months), with larger sizes in parentheses.", []string{"1", "2", "3"}},
	} {
		got := Read("THE PULLOVER\n\n" + c.line + "\n\nBACK\nCast on 40 (44, 48) sts.\nRow 1: K40 (44, 48).\nRow 2: P40 (44, 48).\n").Sizes
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", c.line, got, c.want)
		}
	}
}
