package review

import "testing"

// A pattern that is worked within itself, once, twice or round about, is no way
// to bring the program down.
func TestPatternWithinItself(t *testing.T) {
	for _, text := range []string{
		"Wrister\n\nCO 42 sts.\nRow 7 (RS): K2, *p2, k2; rep from * to end.\nRow 8 (WS): P2, *k2, w&t, rep from * to end.\nRep Rows 7 and 8 twice more.\n", // it took minutes
		"Loop\n\nCO 20 sts.\nRow 1: K2, work Row 1 of Loop, p2.\n",
		"Loop\n\nCO 20 sts.\nRow 1: K2, work Row 1 of Loop over next 16 sts, p2.\nRow 2: P2, work Row 2 of Loop over next 16 sts, k2.\n",
		"Rope\nRow 1: P2, work Row 1 of Plait over next 4 sts.\n\nPlait\nRow 1: P2, work Row 1 of Rope over next 4 sts.\n\nBack\nCO 20 sts.\nRow 1: K6, work Row 1 of Rope over next 8 sts, k6.\n",
	} {
		r := Check(text)
		if len(r.Report.Parts) == 0 {
			t.Errorf("%q: no part", text)
		}
	}
}
