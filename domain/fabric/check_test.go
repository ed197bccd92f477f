package fabric

import (
	"slices"
	"testing"

	"rowproof/domain/finding"
)

// checked lists the codes that a check of a text gives.
func checked(text string) []finding.Code {
	ms, res := read(text)
	var out []finding.Code
	for _, x := range Check(ms, res) {
		out = append(out, x.Code)
	}
	return out
}

// TestCheck: for each code a text that raises it, alone, and others near it that
// raise nothing.
func TestCheck(t *testing.T) {
	const plain = "Multiple of 1\nRow 1 (RS): Knit.\nRow 2: Purl.\nRow 3: "
	const two = "Yarn: A, B\nMultiple of 2\nRow 1 (RS): *K1 A, k1 B; rep from * to end.\n"
	const drops = "CO 9 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\nRow 3: K4, k2b, k4.\n"
	for _, test := range []struct {
		code finding.Code
		bad  string
		good []string
	}{
		{ThroughShape, "CO 8 sts.\nRow 1 (RS): P2, sl 2 sts to cn and hold in front, k2, k2 from cn, p2.\nRow 2: K2, p4, k2.\nRow 3: P2, k1, k2b, k2, p2.", []string{
			"CO 8 sts.\nRow 1 (RS): P2, sl 2 sts to cn and hold in front, k2, k2 from cn, p2.\nRow 2: K2, p4, k2.\nRow 3: P2, k1, k1b, k2, p2.",
			"CO 8 sts.\nRow 1 (RS): K2tog, k2, yo, k4.\nRow 2: Purl.\nRow 3: K5, k2b, k2."}},
		{DropsCollide, plain + "Knit.\nRow 4: K3, k2b, k2b, k to end.", []string{
			plain + "Knit.\nRow 4: K3, k2b, k1, k2b, k to end.", plain + "K3, k1b, k1b, k to end."}},
		{DropAtEdge, plain + "K2b, k to end.", []string{
			plain + "K1, k2b, k to end.", plain + "K1b, k to end.", "Multiple of 2\nRnd 1: Knit.\nRnd 2: Knit.\nRnd 3: *K2b, k1; rep from * around."}},
		{OpenBindOff, drops + "Bind off.", []string{
			drops + "Row 4: Purl.\nBind off.", drops, drops + "Row 4: Purl.\nRow 5: Knit.\nRow 6: Purl.\nRow 7: Knit.\nBind off."}},
		{YarnElsewhere, two + "Row 2: With A, purl.\nRow 3: *K1 B, k1 A; rep from * to end.", []string{
			two + "Row 2: With A, purl. Cut B.\nRow 3: *K1 B, k1 A; rep from * to end.",
			two + "Row 2: With A, purl.\nJoin B at the right edge.\nRow 3: *K1 B, k1 A; rep from * to end.",
			two + "Row 2: *P1 A, p1 B; rep from * to end.\nRow 3: *K1 B, k1 A; rep from * to end.",
			"Yarn: A, B\nCO 24 sts.\nRow 1 (RS): K9 A, k6 B, k9 A.\nRow 2: With A, purl.\nRow 3: K9 A, k6 B, k9 A.",
			"Worked in intarsia.\n" + two + "Row 2: With A, purl.\nRow 3: *K1 B, k1 A; rep from * to end."}},
		{LongFloat, "Yarn: A, B\nMultiple of 8\nRnd 1: *K7 A, k1 B; rep from * around.", []string{
			"Yarn: A, B\nMultiple of 6\nRnd 1: *K5 A, k1 B; rep from * around.",
			"Yarn: A, B\nCatch floats of more than 5 sts.\nMultiple of 8\nRnd 1: *K7 A, k1 B; rep from * around.",
			"Yarn: A, B\nCO 24 sts.\nRow 1 (RS): K9 A, k6 B, k9 A.\nRow 2: P9 A, p6 B, p9 A."}},
		{LongSlip, slipped(5), []string{slipped(4), "Multiple of 1\nRow 1 (RS): Sl 1, k to end.\nRow 2: Sl 1, p to end.\nRow 3: Sl 1, k to end.\nRow 4: Sl 1, p to end.\nRow 5: Sl 1, k to end."}},
		{EarlyCross, "Multiple of 8\nRow 1 (RS): 4/4 LC.\nRow 2: Purl.\nRow 3: 4/4 LC.", []string{
			"Multiple of 8\nRow 1 (RS): 4/4 LC.\nRow 2: Purl.\nRow 3: Knit.\nRow 4: Purl.\nRow 5: 4/4 LC."}},
		{WrongFace, "Stockinette stitch\nCO 6 sts.\nRow 1 (RS): Knit.\nRow 2: P3, k1, p2.", []string{
			"Stockinette stitch\nCO 6 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.",
			"Moss stitch\nMultiple of 2\nRow 1 (RS): *K1, p1; rep from * to end.\nRow 2: *K1, p1; rep from * to end.\nRow 3: *P1, k1; rep from * to end.\nRow 4: *P1, k1; rep from * to end.",
			"Broken garter\nMultiple of 2\nRow 1 (RS): Knit.\nRow 2: *K1, p1; rep from * to end."}},
	} {
		if got := checked(test.bad); len(got) != 1 || got[0] != test.code {
			t.Errorf("%s: %v is found\n%s", test.code, got, test.bad)
		}
		for _, good := range test.good {
			if got := checked(good); slices.Contains(got, test.code) || len(got) > 0 {
				t.Errorf("%s: %v is found in sound rows\n%s", test.code, got, good)
			}
		}
	}
}

// TestCheckSizes: a fault stands against the sizes that have it; those worked alike
// are one.
func TestCheckSizes(t *testing.T) {
	const head = "Sizes: S (M, L)\nYarn: A, B\nCO 24 (32, 36) sts and join to work in the round.\n"
	for _, test := range []struct {
		text string
		want []int
	}{
		{head + "Rnd 1: *K3 (7, 5) A, k1 B; rep from * around.", []int{1}},
		{head + "Rnd 1: *K3 (7, 8) A, k1 B; rep from * around.", []int{1, 2}},
		{head + "Rnd 1: *K7 (7, 8) A, k1 B; rep from * around.", nil},
		{"Sizes: S (M, L)\nYarn: A, B\nCO 24 (24, 36) sts and join to work in the round.\nRnd 1: *K7 (7, 5) A, k1 B; rep from * around.", []int{0, 1}},
	} {
		ms, res := read(test.text)
		got := Check(ms, res)
		if len(got) != 1 || got[0].Code != LongFloat || !slices.Equal(got[0].Sizes, test.want) {
			t.Errorf("%v is found, not the float of %v\n%s", got, test.want, test.text)
		}
	}
}

// TestCheckBounded: a piece too large to lay out whole is looked at as far as the
// bound goes, and the rest is let be.
func TestCheckBounded(t *testing.T) {
	huge := "CO 400 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\nRow 3: K2b, k to end.\nRow 4: Purl.\nRep Rows 1-4 60 times more.\nBind off."
	if got := checked(huge); len(got) != 1 || got[0] != DropAtEdge {
		t.Errorf("%v is found", got)
	}
	ms, res := read(huge)
	f, whole, err := buildWithin(ms, res, 0, 0, 0, 2, maxChecked)
	if err != nil || whole || len(f.Loops) > maxChecked {
		t.Errorf("whole %v, %d loops, %v", whole, len(f.Loops), err)
	}
}

// BenchmarkCheck checks twelve rows of dropped stitches in two colours; under
// 3 ms. Twelve rows that want no fabric cost next to nothing.
func BenchmarkCheck(b *testing.B) {
	texts := map[string]string{"drops": striped(4, "With A, k2, *k4b, k5; rep from * to last 3 sts, k4b, k2.", "With A, purl.", "With B, knit.", "With B, purl.", "With A, knit.", "With A, purl."),
		"lace": "Multiple of 6 + 1\nRow 1 (RS): *K1, yo, ssk, k1, k2tog, yo; rep from * to last st, k1.\nRow 2: Purl.\nRow 3: Knit.\nRow 4: Purl."}
	for name, text := range texts {
		ms, res := read(text)
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				Check(ms, res)
			}
		})
	}
}
