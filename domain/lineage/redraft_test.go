package lineage

import (
	"strings"
	"testing"
)

const drafted = `Fen Pullover

Sizes: S (M)
Finished chest: 89 (101) cm

Back
CO 90 (102) sts.
Work in St st for 88 (90) rows, ending with a WS row.
Bind off 5 (6) sts at beg of next 2 rows. 80 (90) sts.
Dec row (RS): K1, ssk, k to last 3 sts, k2tog, k1. 78 (88) sts.
Bind off rem 78 (88) sts.
`

// redrafted is the same at another gauge, with a line more.
const redrafted = `Fen Pullover

Sizes: S (M)
Finished chest: 90 (100) cm

Back
CO 110 (122) sts.
Work in St st for 108 (110) rows, ending with a WS row.
Bind off 7 (8) sts at beg of next 2 rows. 96 (106) sts.
Dec row (RS): K1, ssk, k to last 3 sts, k2tog, k1. 94 (104) sts.
Rep Dec row every 2nd row twice. 90 (100) sts.
Bind off rem 90 (100) sts.
`

func TestMergeDrafts(t *testing.T) {
	edit := func(pairs ...string) string { return strings.NewReplacer(pairs...).Replace(drafted) }
	want := func(pairs ...string) string { return strings.NewReplacer(pairs...).Replace(redrafted) }
	for _, test := range []struct {
		name, mine string
		choices    int
		keeps      string // the merged text when the designer's is kept
	}{
		{"nothing by hand", drafted, 0, redrafted},
		{"a note between", edit("Back\n", "Back\nWorked from the hem up, a little tighter at the edge.\n"), 0,
			want("Back\n", "Back\nWorked from the hem up, a little tighter at the edge.\n")},
		{"words of a line", edit("CO 90 (102) sts.", "Using the long-tail method, CO 90 (102) sts."), 0,
			want("CO 110 (122) sts.", "Using the long-tail method, CO 110 (122) sts.")},
		{"another decrease", edit("K1, ssk, k to last 3 sts, k2tog, k1. 78", "K2, ssk, k to last 4 sts, k2tog, k2. 78"), 0,
			want("K1, ssk, k to last 3 sts, k2tog, k1. 94", "K2, ssk, k to last 4 sts, k2tog, k2. 94")},
		{"a number that the draft changes too", edit("CO 90 (102)", "CO 92 (104)"), 1, want("CO 110 (122)", "CO 92 (104)")},
		{"a line taken out that the draft changes", edit("Bind off 5 (6) sts at beg of next 2 rows. 80 (90) sts.\n", ""), 1,
			want("Bind off 7 (8) sts at beg of next 2 rows. 96 (106) sts.\n", "")},
		{"a title", edit("Fen Pullover", "Reedmace"), 0, want("Fen Pullover", "Reedmace")},
		{"a section more at the end", drafted + "\nNotes\nThank you.\n", 0, redrafted + "\nNotes\nThank you.\n"},
	} {
		r := MergeDrafts(drafted, test.mine, redrafted)
		if got := r.Text(nil); r.Choices() != test.choices || got != test.keeps {
			t.Errorf("%s: %d choices, want %d\n%s", test.name, r.Choices(), test.choices, got)
		}
		take := make([]bool, r.Choices())
		for i := range take {
			take[i] = true
		}
		if got := r.Text(take); test.choices > 0 && got != redrafted {
			t.Errorf("%s: all taken gives\n%s", test.name, got)
		}
	}
}

// TestMergeDraftsSame: what was not drafted anew stays as the designer has it,
// whatever that is.
func TestMergeDraftsSame(t *testing.T) {
	for _, mine := range []string{"", "Another text.\n", drafted + "x\n", strings.ToUpper(drafted), redrafted} {
		if got := MergeDrafts(drafted, mine, drafted).Text(nil); got != mine {
			t.Errorf("%q became %q", mine, got)
		}
	}
}
