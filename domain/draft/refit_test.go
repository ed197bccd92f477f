package draft

import (
	"errors"
	"strings"
	"testing"

	"rowproof/domain/sizing"
)

const sedge = `Sedge Cowl

Finished circumference: 60 cm
Yarn: DK wool, 50 g = 110 m
Gauge: 20 sts and 28 rnds = 10 cm in St st

Cowl
CO 120 sts and join to work in the round.
Rnd 1: *K4, p2; rep from * around. 120 sts.
Rnd 2: Knit.
Rep Rnds 1 and 2 29 times more.
Bind off.
`

// A cowl of 120 stitches in a repeat of 6. At 24 sts and 32 rnds to 10 cm and 64 cm around
// 153.6 stitches are wanted: 156 = 26 x 6 is nearest (65 cm). Of 60 rounds 60 x 32 / 28 = 68.6 are
// wanted: 34 pairs, 33 times more.
func TestRefit(t *testing.T) {
	r, err := Refit(sedge, Own{Gauge: sizing.Gauge{Sts: 24, Rows: 32}, Width: sizing.Cm(64)})
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"CO 156 sts and join", "around. 156 sts.", "Rep Rnds 1 and 2 33 times more.", "Gauge: 24 sts and 32 rnds = 10 cm in St st\n"} {
		if !strings.Contains(r.Text, want) {
			t.Errorf("%q is not in\n%s", want, r.Text)
		}
	}
	if strings.Contains(r.Text, "60 cm") || r.Checked.Errors() > 0 || len(r.Notes) != 1 || !strings.Contains(r.Notes[0], "156 stitches: 65 cm, the nearest to 64 cm that fits the repeat of 6") {
		t.Errorf("%d errors, %q\n%s", r.Checked.Errors(), r.Notes, r.Text)
	}

	// As it is, and with a height of its own: 36 cm are 100.8 rounds, 50 pairs.
	r, err = Refit(sedge, Own{Height: sizing.Cm(36)})
	if err != nil || !strings.Contains(r.Text, "CO 120 sts") || !strings.Contains(r.Text, "49 times more") {
		t.Errorf("%v\n%+v", err, r)
	}
}

func TestRefitRefuses(t *testing.T) {
	for name, text := range map[string]string{
		"states no gauge":       strings.Replace(sedge, "Gauge: 20 sts and 28 rnds = 10 cm in St st\n", "", 1),
		"one of its sizes":      "Sizes: S (M)\n" + strings.Replace(sedge, "120 sts", "120 (132) sts", 2),
		"no number of stitches": strings.Replace(sedge, "CO 120 sts and join to work in the round.", "Multiple of 6", 1),
		"name no multiple":      strings.Replace(sedge, "Rnd 2: Knit.", "Rnd 2: K120.", 1),
	} {
		if _, err := Refit(text, Own{Width: sizing.Cm(70)}); !errors.Is(err, ErrRefit) || !strings.Contains(err.Error(), name) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
