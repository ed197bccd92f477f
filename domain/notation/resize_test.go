package notation_test

import (
	"strings"
	"testing"

	"rowproof/domain/notation"
)

func plan(from ...int) []notation.NewSize {
	var out []notation.NewSize
	for _, f := range from {
		out = append(out, notation.NewSize{From: f})
	}
	return out
}

func resize(t *testing.T, text string, p []notation.NewSize) string {
	t.Helper()
	out, err := notation.Resize(notation.Read(text), text, p)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

const vest = `A Vest
Sizes: S (M, L)
Finished chest: 92 (102, 112½) cm [36¼ (40¼, 44) in]
Yarn: DK wool, 5 (6, 6) balls, 50 g = 120 m
Gauge: 22 sts and 30 rows = 10 cm in St st
Length 4 (5, 6) rows of nothing

CO 90 [100, 110] sts.
Row 1 (RS): K5/6/7, k to end.
Row 2: Purl.
Dec 1 st each end of every 8th (6th, 6th) row 3 (4, 5) times.
Sizes M and L only:
Row 3 (RS): Knit.
Row 4: Purl.
All sizes:
Row 5 (RS): Bind off 0 (2, 3) sts, k to end.
Work even until piece measures 30 (32, 34) cm.
`

func TestResize(t *testing.T) {
	for _, c := range []struct {
		name string
		plan []notation.NewSize
		want map[string]string // lines that change, by their start
		gone []string
	}{
		{"without the middle", plan(0, 2), map[string]string{
			"Sizes:":           "Sizes: S (L)",
			"Finished chest:":  "Finished chest: 92 (112½) cm [36¼ (44) in]",
			"Yarn:":            "Yarn: DK wool, 5 (6) balls, 50 g = 120 m",
			"Length":           "Length 4 (6) rows of nothing",
			"CO":               "CO 90 [110] sts.",
			"Row 1":            "Row 1 (RS): K5/7, k to end.",
			"Dec 1":            "Dec 1 st each end of every 8th (6th) row 3 (5) times.",
			"Sizes M and L on": "Size L only:",
			"Row 5":            "Row 5 (RS): Bind off 0 (3) sts, k to end.",
			"Work even":        "Work even until piece measures 30 (34) cm.",
		}, nil},
		{"the smallest alone", plan(0), map[string]string{
			"Sizes:":          "Sizes: One size (S)",
			"Finished chest:": "Finished chest: 92 cm [36¼ in]",
			"Yarn:":           "Yarn: DK wool, 5 balls, 50 g = 120 m",
			"Length":          "Length 4 rows of nothing",
			"CO":              "CO 90 sts.",
			"Row 1":           "Row 1 (RS): K5, k to end.",
			"Dec 1":           "Dec 1 st each end of every 8th row 3 times.",
			"Row 5":           "Row 5 (RS): Bind off 0 sts, k to end.",
			"Work even":       "Work even until piece measures 30 cm.",
		}, []string{"Sizes M and L only:", "Row 3", "Row 4", "All sizes:"}},
		{"one between", []notation.NewSize{{From: 0}, {From: 1}, {From: 1, Name: "ML"}, {From: 2}}, map[string]string{
			"Sizes:":           "Sizes: S (M, ML, L)",
			"Finished chest:":  "Finished chest: 92 (102, 102, 112½) cm [36¼ (40¼, 40¼, 44) in]",
			"Yarn:":            "Yarn: DK wool, 5 (6, 6, 6) balls, 50 g = 120 m",
			"Length":           "Length 4 (5, 5, 6) rows of nothing",
			"CO":               "CO 90 [100, 100, 110] sts.",
			"Row 1":            "Row 1 (RS): K5/6/6/7, k to end.",
			"Dec 1":            "Dec 1 st each end of every 8th (6th, 6th, 6th) row 3 (4, 4, 5) times.",
			"Sizes M and L on": "Sizes M, ML and L only:",
			"Row 5":            "Row 5 (RS): Bind off 0 (2, 2, 3) sts, k to end.",
			"Work even":        "Work even until piece measures 30 (32, 32, 34) cm.",
		}, nil},
		{"a name", []notation.NewSize{{From: 0}, {From: 1, Name: "Medium"}, {From: 2}}, map[string]string{
			"Sizes:": "Sizes: S (Medium, L)", "Sizes M and L on": "Sizes Medium and L only:",
		}, nil},
		{"as it is", plan(0, 1, 2), nil, nil},
	} {
		var want []string
	lines:
		for _, l := range strings.Split(vest, "\n") {
			for _, g := range c.gone {
				if strings.HasPrefix(l, g) {
					continue lines
				}
			}
			for start, now := range c.want {
				if strings.HasPrefix(l, start) && (start != "Sizes:" || strings.HasPrefix(l, "Sizes: ")) {
					l = now
					break
				}
			}
			want = append(want, l)
		}
		if got := resize(t, vest, c.plan); got != strings.Join(want, "\n") {
			t.Errorf("%s:\n%s", c.name, diff(strings.Join(want, "\n"), got))
		}
	}
}

func TestResizeForms(t *testing.T) {
	for _, c := range []struct {
		name, text string
		plan       []notation.NewSize
		want       string
	}{
		{"line ends stay", "Sizes: S (M, L)\r\nCO 10 (12, 14) sts.\r\nRow 1: Knit.\r\n", plan(2, 1, 0), "Sizes: L (M, S)\r\nCO 14 (12, 10) sts.\r\nRow 1: Knit.\r\n"},
		{"two brackets", "Sizes: XS (S, M) [L, XL]\nCO 10 (12, 14) [16, 18] sts.", plan(0, 1, 2, 3), "Sizes: XS (S, M) [L]\nCO 10 (12, 14) [16] sts."},
		{"by turns", "Sizes: S (M) L (XL)\nCO 10 (12) 14 (16) sts.", plan(0, 1, 2, 3, 3), ""},
		{"a unit behind", "Sizes: 2 [4, 6, 8] years\nCO 10 [12, 14, 16] sts.", plan(0, 1), "Sizes: 2 [4] years\nCO 10 [12] sts."},
		{"colons", "Sizes S [M: L]\nCO 10 [12: 14] sts.", plan(0, 0, 1, 2), ""},
		{"dashes", "Sizes: 1 (2, 3)\nCO 10 (12, 14) sts.\nRow 1: Knit.\nRow 2: Bind off - (-, 2) sts, k to end. - (-, 12) sts\n", plan(0), "Sizes: One size (1)\nCO 10 sts.\nRow 1: Knit.\n"},
		{"dashes in a sentence", "Sizes: S (M)\nCO 10 (20) sts.\nRow 1: Knit.\nRow 2: Purl.\nRep Rows 1 and 2 - (3) times more.\n", plan(0), "Sizes: One size (S)\nCO 10 sts.\nRow 1: Knit.\nRow 2: Purl.\nRep Rows 1 and 2 0 times more.\n"},
		{"numbered only", "CO 10 (12, 14) sts.\nSizes 2 and 3 only:\nRow 1: Knit.\n", plan(2, 1, 0), "CO 14 (12, 10) sts.\nSizes 1 and 2 only:\nRow 1: Knit.\n"},
		{"the largest", "Sizes: S (M, L)\nCO 10 (12, 14) sts.\nLargest size only: Row 1: Knit.\n", plan(2, 1, 0), "Sizes: L (M, S)\nCO 14 (12, 10) sts.\nSmallest size only: Row 1: Knit.\n"},
		{"by their place", "Sizes: S (M, L)\nCO 10 (12, 14) sts.\n2nd and 3rd sizes only: Row 1: Knit.\n", plan(1, 0, 2), "Sizes: M (S, L)\nCO 12 (10, 14) sts.\n1st and 3rd sizes only: Row 1: Knit.\n"},
		{"in a row's head", "Sizes: S (M, L)\nCO 10 (12, 14) sts.\nRow 1 (size L only): Knit.\nRow 2: Purl.\n", plan(0, 1), "Sizes: S (M)\nCO 10 (12) sts.\nRow 2: Purl.\n"},
		{"stated in brackets", "Sizes: S (M, L)\nCO 10 (12, 14) sts.\nRow 1: Knit. (10 (12, 14) sts)\n", plan(1), "Sizes: One size (M)\nCO 12 sts.\nRow 1: Knit. (12 sts)\n"},
		{"one size to three", "A Cowl\n\nCO 60 sts.\nRow 1: Knit.\n", []notation.NewSize{{Name: "S"}, {Name: "M"}, {Name: "L"}}, "A Cowl\nSizes: S (M, L)\n\nCO 60 sts.\nRow 1: Knit.\n"},
		{"and back, and forth", "A Cowl\nSizes: One size (S)\n\nCO 60 sts.\nRow 1: Knit.\n", []notation.NewSize{{Name: "S"}, {Name: "M"}}, "A Cowl\nSizes: S (M)\n\nCO 60 sts.\nRow 1: Knit.\n"},
		{"what one size measured stays", "A Cowl\nSize: 66 cm around\nCO 60 sts.\nRow 1: Knit.\n", []notation.NewSize{{Name: "S"}, {Name: "M"}}, "A Cowl\nSizes: S (M)\nSize: 66 cm around\nCO 60 sts.\nRow 1: Knit.\n"},
	} {
		if c.want == "" { // a size twice needs a name
			if _, err := notation.Resize(notation.Read(c.text), c.text, c.plan); err == nil || !strings.Contains(err.Error(), "name of its own") {
				t.Errorf("%s: %v", c.name, err)
			}
			continue
		}
		if got := resize(t, c.text, c.plan); got != c.want {
			t.Errorf("%s:\n%s", c.name, diff(c.want, got))
		}
	}
}

func TestResizeRefuses(t *testing.T) {
	text := "Sizes: S (M, L)\nCO 10 (12, 14) sts.\nRow 1: Knit."
	for name, p := range map[string][]notation.NewSize{
		"no size": nil, "a size that is not there": plan(0, 3), "a size before the first": plan(-1), "a bracket": {{Name: "S (2)"}},
		"too many": make([]notation.NewSize, notation.MaxResized+1),
	} {
		if got, err := notation.Resize(notation.Read(text), text, p); err == nil {
			t.Errorf("%s: %q", name, got)
		}
	}
}

// A number of several words in a list of sizes is not found by its look: it is refused, so that nothing is lost.
func TestResizeRefusesSpelledNumbers(t *testing.T) {
	text := "Sizes: M (L)\nCast on ninety-six (one hundred and twelve) sts.\nRow 1: Knit."
	got, err := notation.Resize(notation.Read(text), text, plan(1))
	if err == nil || !strings.Contains(err.Error(), "line 2") {
		t.Errorf("%q, %v", got, err)
	}
}
