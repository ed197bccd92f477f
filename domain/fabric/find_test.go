package fabric

import (
	"strings"
	"testing"

	"rowproof/domain/finding"
)

// striped is a band of rows of B between plain rows of A, and what comes after;
// stitches to begin with are 11.
func striped(band int, then ...string) string {
	s := "Yarn: A, B\nMultiple of 6 sts + 5\nRow 1 (RS): With A, knit.\nRow 2: With A, purl.\n"
	n := 3
	for ; n < 3+band; n++ {
		s += rowText(n, map[bool]string{true: "With B, knit.", false: "With B, purl."}[n%2 == 1])
	}
	for _, t := range then {
		s += rowText(n, t)
		n++
	}
	return s
}

func rowText(n int, body string) string {
	return "Row " + string(rune('0'+n/10)) + string(rune('0'+n%10)) + ": " + body + "\n"
}

// TestFindings: for each code a fabric that must raise it and one that must not.
func TestFindings(t *testing.T) {
	drop := "With A, k2, *k4b, k5; rep from * to last 3 sts, k4b, k2."
	find := func(f *Fabric) []Found { return f.Find(Limits{}) }
	for _, test := range []struct {
		code     finding.Code
		sts      int
		bad      string
		row      string // it stands on
		column   int
		says     string
		good     string
		find     func(*Fabric) []Found
		goodFind func(*Fabric) []Found
	}{
		{code: TooFewRows, sts: 11, bad: striped(4, drop, "With A, purl.", "With B, knit.", "With B, purl.", drop), row: "11", column: 2,
			says: "4 single rows wanted under this stitch, only 3 rows above another stitch worked below",
			good: striped(4, drop, "With A, purl.", "With B, knit.", "With B, purl.", "With B, knit.", drop)},
		{code: TooFewRows, sts: 11, bad: "Multiple of 6 + 5\nRow 1 (RS): Knit.\nRow 2: Purl.\nRow 3: K2, *k3b, k5; rep from * to last 3 sts, k3b, k2.", row: "3", column: 2,
			says: "3 single rows wanted under this stitch, only 2 rows above the cast-on",
			good: "Multiple of 6 + 5\nRow 1 (RS): Knit.\nRow 2: Purl.\nRow 3: K2, *k2b, k5; rep from * to last 3 sts, k2b, k2."},
		{code: ThroughShape, sts: 8, bad: "Multiple of 1\nRow 1 (RS): Knit.\nRow 2: Purl.\nRow 3: K2, k2tog, yo, k to end.\nRow 4: Purl.\nRow 5: K2, k3b, k to end.", row: "5", column: 2,
			says: "the column is let down 3 rows, through a decrease in row 3; only 1 row above it can be let down",
			good: "Multiple of 1\nRow 1 (RS): Knit.\nRow 2: Purl.\nRow 3: K2, k2tog, yo, k to end.\nRow 4: Purl.\nRow 5: K5, k3b, k to end."},
		{code: DropsCollide, sts: 8, bad: "Multiple of 1\nRow 1 (RS): Knit.\nRow 2: Purl.\nRow 3: Knit.\nRow 4: K3, k2b, k2b, k to end.", row: "4", column: 3,
			says: "columns 4 and 5 from the right are both let down over 2 rows",
			good: "Multiple of 1\nRow 1 (RS): Knit.\nRow 2: Purl.\nRow 3: Knit.\nRow 4: K2, k2b, k1, k2b, k to end."},
		{code: DropAtEdge, sts: 8, bad: "Multiple of 1\nRow 1 (RS): Knit.\nRow 2: Purl.\nRow 3: K2b, k to end.", row: "3", column: 0,
			says: "the selvedge becomes a loose strand", good: "Multiple of 1\nRow 1 (RS): Knit.\nRow 2: Purl.\nRow 3: K1, k2b, k to end."},
		{code: OpenBindOff, sts: 11, bad: striped(4, drop), row: "7", column: -1, says: "work one plain row first", good: striped(4, drop, "With A, purl.")},
		{code: OpenBindOff, sts: 11, bad: striped(4, drop, "With A, purl.", "With B, knit.", "With B, purl."), row: "10", column: -1, says: "3 plain rows lie on top that belong to the next row of the texture; bind off after row 8",
			good: striped(4, drop, "With A, purl.", "With A, knit.", "With A, knit.", "With A, knit.", "With A, knit.")},
		{code: YarnElsewhere, sts: 6, bad: "Yarn: A, B\nMultiple of 1\nRow 1 (RS): With A, knit.\nRow 2: With B, purl.\nRow 3: With B, knit.\nRow 4: With B, purl.\nRow 5: With A, knit.", row: "5", column: -1,
			says: "A hangs at the left edge since row 1, and this row begins at the right one",
			good: "Yarn: A, B\nMultiple of 1\nRow 1 (RS): With A, knit.\nRow 2: With A, purl.\nRow 3: With B, knit.\nRow 4: With B, purl.\nRow 5: With A, knit."},
		{code: LongFloat, sts: 24, bad: "Yarn: A, B\nMultiple of 8\nRnd 1: *K7 A, k1 B; rep from * around.", row: "1", column: 7, says: "B floats over 7 stitches; at most 5",
			good: "Yarn: A, B\nMultiple of 8\nRnd 1: *K3 A, k1 B; rep from * around."},
		{code: LongFloat, sts: 8, bad: "Yarn: A, B\nMultiple of 8\nRnd 1: *K4 A, k1 B, k3 A; rep from * around.\nRnd 2: *K4 A, k1 B, k3 A; rep from * around.", row: "1", column: 4, says: "B floats over 7 stitches",
			good: "Yarn: A, B\nMultiple of 4\nRnd 1: *K3 A, k1 B; rep from * around.\nRnd 2: *K3 A, k1 B; rep from * around."},
		{code: LongFloat, sts: 24, bad: "Yarn: A, B\nMultiple of 6\nRnd 1: *K5 A, k1 B; rep from * around.", row: "1", column: 5, says: "B floats over 5 stitches, 4.0 cm; at most 5 stitches or 2.5 cm",
			find:     func(f *Fabric) []Found { return f.LongFloats(Limits{Gauge: 15, FloatCM: 2.5}) },
			goodFind: func(f *Fabric) []Found { return f.LongFloats(Limits{Gauge: 30, FloatCM: 2.5}) },
			good:     "Yarn: A, B\nMultiple of 6\nRnd 1: *K5 A, k1 B; rep from * around."},
		{code: LongSlip, sts: 5, bad: slipped(5), row: "6", column: 2, says: "the stitch is carried slipped over 5 rows; at most 4", good: slipped(4)},
		{code: EarlyCross, sts: 8, bad: "Multiple of 8\nRow 1 (RS): 4/4 LC.\nRow 2: Purl.\nRow 3: 4/4 LC.", row: "3", column: 0, says: "in a crossing of 4 over 4 a stitch moves over 4 others 2 rows after its last crossing; 4 at the least",
			good: "Multiple of 8\nRow 1 (RS): 4/4 LC.\nRow 2: Purl.\nRow 3: Knit.\nRow 4: Purl.\nRow 5: 4/4 LC."},
		{code: EarlyCross, sts: 6, bad: "Multiple of 6\nRow 1 (RS): 3/3 LC.\nRow 2: Purl.\nRow 3: 3/3 LC.", row: "3", column: 0, says: "3 at the least",
			good: "Multiple of 6\nRow 1 (RS): 2/2 LC, k2.\nRow 2: Purl.\nRow 3: K2, 2/2 RC.\nRow 4: Purl.\nRow 5: 2/2 LC, k2."}, // a plait
		{code: EarlyCross, sts: 7, bad: "Multiple of 7\nRow 1 (RS): P1, 3/3 LC.\nRow 2: Purl.\nRow 3: 3/3 LC, p1.", row: "3", column: 0, says: "3 others 2 rows after",
			good: "Multiple of 7\nRow 1 (RS): P3, 3/1 RPC.\nRow 2: P1, k3, p3.\nRow 3: P2, 3/1 RPC, k1.\nRow 4: Purl.\nRow 5: P1, 3/1 RPC, k2."}, // a travelling rope
		{code: WrongFace, sts: 6, bad: "Multiple of 6\nRow 1 (RS): Knit.\nRow 2: P3, k1, p2.\nRow 3: Knit.", row: "2", column: 2, says: "a purl bump shows on the right side, in what is called stockinette",
			find: as("St st"), good: "Multiple of 6\nRow 1 (RS): Knit.\nRow 2: Purl.\nRow 3: K2tog, yo, k4."},
		{code: WrongFace, sts: 8, bad: "Multiple of 4\nRow 1 (RS): *K2, p2; rep from * to end.\nRow 2: *P2, k2; rep from * to end.\nRow 3: *K2, p2; rep from * to end.\nRow 4: *K2, p2; rep from * to end.", row: "2", column: 7, says: "k2, p2 rib",
			find: as("2x2 rib"), good: "Multiple of 4\nRow 1 (RS): *K2, p2; rep from * to end.\nRow 2: *K2, p2; rep from * to end."},
		{code: WrongFace, sts: 6, bad: "Multiple of 2\nRow 1 (RS): *K1, p1; rep from * to end.\nRow 2: *K1, p1; rep from * to end.\nRow 3: *K1, p1; rep from * to end.", row: "2", column: 5, says: "a purl bump",
			find: as("seed st"), good: "Multiple of 2\nRow 1 (RS): *K1, p1; rep from * to end.\nRow 2: *P1, k1; rep from * to end."},
		{code: WrongFace, sts: 6, bad: "Multiple of 2\nRow 1 (RS): Knit.\nRow 2: Knit.\nRow 3: Knit.\nRow 4: K2, p1, k3.", row: "4", column: 3, says: "a knit V", find: as("garter stitch"), good: "Multiple of 2\nRow 1 (RS): Knit.\nRow 2: Knit.\nRow 3: Knit."},
		{code: ColoursAlike, sts: 6, bad: "Yarn: A, B\nMultiple of 1\nRow 1 (RS): With A, knit.\nRow 2: With B, purl.", row: "2", column: 5, says: "differ by 1 in lightness",
			find:     func(f *Fabric) []Found { return f.AlikeColours(map[string]string{"A": "#7a3b3b", "B": "#2f5a3c"}) },
			goodFind: func(f *Fabric) []Found { return f.AlikeColours(map[string]string{"A": "#f2e8d0", "B": "#2f5a3c"}) },
			good:     "Yarn: A, B\nMultiple of 1\nRow 1 (RS): With A, knit.\nRow 2: With B, purl."},
	} {
		if test.find == nil {
			test.find = find
		}
		if test.goodFind == nil {
			test.goodFind = test.find
		}
		var got *Found
		all := test.find(build(t, test.bad, test.sts, 1))
		for i := range all {
			if all[i].Code == test.code {
				got = &all[i]
				break
			}
		}
		switch {
		case got == nil:
			t.Errorf("%s is not raised, %+v\n%s", test.code, all, test.bad)
		case got.Name != test.row || got.Column != test.column || !strings.Contains(got.Message, test.says):
			t.Errorf("%s: row %s, column %d: %q, want row %s, column %d: %q", test.code, got.Name, got.Column, got.Message, test.row, test.column, test.says)
		}
		for _, x := range test.goodFind(build(t, test.good, test.sts, 1)) {
			if x.Code == test.code {
				t.Errorf("%s is raised by a sound fabric: row %s, column %d: %s\n%s", test.code, x.Name, x.Column, x.Message, test.good)
			}
		}
	}
}

func as(name string) func(*Fabric) []Found {
	return func(f *Fabric) []Found {
		t, ok := TextureOf(name)
		if !ok {
			return []Found{{Code: "no such texture"}}
		}
		return f.FacesAgainst(t, 0, -1)
	}
}

// slipped slips the middle stitch of five over n rows.
func slipped(n int) string {
	s := "Multiple of 5\nRow 1 (RS): Knit.\n"
	for i := 2; i < 2+n; i++ {
		if i%2 == 0 {
			s += rowText(i, "P2, sl 1 wyif, p2.")
		} else {
			s += rowText(i, "K2, sl 1 wyib, k2.")
		}
	}
	return s + rowText(2+n, "K5.")
}

// TestAgainstStated: the head of a section says what its rows should show.
func TestAgainstStated(t *testing.T) {
	for text, want := range map[string]int{
		"Stockinette stitch (any number)\nMultiple of 1\nRow 1 (RS): Knit.\nRow 2: Knit.": 6,
		"Stockinette stitch (any number)\nMultiple of 1\nRow 1 (RS): Knit.\nRow 2: Purl.": 0,
		"Pebbles\nMultiple of 1\nRow 1 (RS): Knit.\nRow 2: Knit.":                         0,
		"2x2 rib panel\nMultiple of 2\nRow 1 (RS): K2, p2, k2.\nRow 2: P2, k2, p2.":       0,
		"2x2 rib panel\nMultiple of 2\nRow 1 (RS): K2, p2, k2.\nRow 2: P2, k1, p3.":       1,
	} {
		ms, res := read(text)
		f, err := Build(ms, res, 0, 0, 6, 1)
		if err != nil {
			t.Fatal(err)
		}
		if got := f.AgainstStated(ms); len(got) != want {
			t.Errorf("%d found, want %d: %+v\n%s", len(got), want, got, text)
		}
	}
}
