package review

import (
	"strings"
	"testing"

	"rowproof/domain/notation"
)

func TestResizeHolds(t *testing.T) {
	text := "Sizes: S (M, L)\nCO 10 (12, 14) sts.\nRow 1: K2tog, k to end. 9 (11, 13) sts\n"
	got, err := Resize(text, []notation.NewSize{{From: 1}, {From: 2}})
	if want := "Sizes: M (L)\nCO 12 (14) sts.\nRow 1: K2tog, k to end. 11 (13) sts\n"; err != nil || got != want {
		t.Errorf("%v\n%s", err, got)
	}
	// with two sizes "8 (40)" would be read as 8 and 40: not lost unseen
	text = "A Cowl\nCO 56 sts, join in the round.\nRnd 1: [K5, k2tog] 8 (48) times.\nRnd 2: Knit.\n"
	if got, err = Resize(text, []notation.NewSize{{Name: "S"}, {Name: "M"}}); err == nil && !failed(notation.Read(text).Findings) {
		for _, c := range []int{0, 1} {
			if row, ok := sameCounts(prove(text).Needle, 0, prove(got).Needle, c); !ok {
				t.Errorf("lost unseen: %s\n%s", row, got)
			}
		}
	}
	text = "Sizes: S (M, L)\nCO 10 (12, 14) sts.\nRow 1: Size S: k10; size M: k12; size L: k14.\n"
	if _, err = Resize(text, []notation.NewSize{{From: 0}, {From: 9}}); err == nil || !strings.Contains(err.Error(), "no size 10") {
		t.Error(err)
	}
}
