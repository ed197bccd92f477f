package studio_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"rowproof/domain/studio"
)

// Pebble is a stitch of our own.
const pebble = `Multiple of 4 sts + 2.
Row 1 (RS): K1, *p2, k2; rep from * to last st, k1.
Row 2: Purl.
Row 3: K1, *k2, p2; rep from * to last st, k1.
Row 4: Purl.
`

func TestValidateStitch(t *testing.T) {
	for _, test := range []struct{ name, in, want, field string }{
		{"plain", "Pebble", "Pebble", ""},
		{"two words, spaces", "  Wave   lace ", "Wave lace", ""},
		{"small letters", "wave lace", "Wave lace", ""},
		{"a number", "Pebble 2", "Pebble 2", ""},
		{"empty", " ", "", "name"},
		{"too long", strings.Repeat("wave ", 20), "", "name"},
		{"a row", "Row 1: K2", "", "name"},
		{"a sentence", "Knit to end.", "", "name"},
		{"a multiple", "Multiple of 6", "", "name"},
		{"a word of the head", "Notes", "", "name"},
	} {
		t.Run(test.name, func(t *testing.T) {
			got, err := studio.ValidateStitch(test.in, pebble)
			var inv *studio.InvalidError
			if test.field == "" && (err != nil || got != test.want) {
				t.Errorf("ValidateStitch(%q): got %q, %v; want %q", test.in, got, err, test.want)
			}
			if test.field != "" && (!errors.As(err, &inv) || inv.Field != test.field) {
				t.Errorf("ValidateStitch(%q): got %v, want one about %q", test.in, err, test.field)
			}
		})
	}
	var inv *studio.InvalidError
	if _, err := studio.ValidateStitch("Pebble", strings.Repeat("k", studio.LongestStitch+1)); !errors.As(err, &inv) || inv.Field != "manuscript" {
		t.Errorf("a long text: got %v", err)
	}
}

func TestStitchGaugeValidate(t *testing.T) {
	for _, test := range []struct {
		g  studio.StitchGauge
		ok bool
	}{
		{studio.StitchGauge{Yarn: "DK wool", Needle: "4 mm", Sts: 22, Rows: 30.5, OverCM: 10}, true},
		{studio.StitchGauge{Sts: 22, OverCM: 10}, true},
		{studio.StitchGauge{OverCM: 10}, false},
		{studio.StitchGauge{Sts: -1, OverCM: 10}, false},
		{studio.StitchGauge{Sts: 22}, false},
		{studio.StitchGauge{Sts: 22, OverCM: 10, Note: "a\nb"}, false},
	} {
		if err := test.g.Validate(); (err == nil) != test.ok {
			t.Errorf("%+v: %v", test.g, err)
		}
	}
}

func TestReadStitch(t *testing.T) {
	got := studio.ReadStitch("Pebble (multiple of 4 + 2)\nYarn: A, B\n\nSpecial stitches\nMB: (k1, yo, k1) in next st, turn, p3, turn, k3tog.\n\nIt lies flat.\nRow 1 (RS): K1, *mb, p1, k2; rep from * to last st, k1.\nRow 2: Purl.\nRep Rows 1 and 2.\n")
	want := []string{"Multiple of 4 + 2.", "Row 1 (RS): K1, *mb, p1, k2; rep from * to last st, k1.", "Row 2: Purl.", "Rep Rows 1 and 2."}
	if !slices.Equal(got.Lines, want) {
		t.Errorf("Lines: got %q", got.Lines)
	}
	if len(got.Defines) != 1 || got.Defines[0].Name != "MB" {
		t.Errorf("Defines: got %+v", got.Defines)
	}
}

func TestStitchChanges(t *testing.T) {
	if !studio.SameStitch(pebble, "Pebble\n\n"+strings.ReplaceAll(pebble, "\n", "\n\n")+"Knits up fast.") {
		t.Error("a title, blank lines and a remark change a stitch")
	}
	if got := studio.StitchChanges(pebble, pebble); len(got) != 0 {
		t.Errorf("no change: got %+v", got)
	}
	now := strings.Replace(pebble, "k2, p2;", "k1, p3;", 1)
	now = strings.Replace(now, "Row 4: Purl.\n", "Row 4: Purl.\nRow 5: Knit.\n", 1)
	got := studio.StitchChanges(pebble, now)
	if len(got) != 2 || got[0].Head != "Row 3" || !strings.Contains(got[0].Was, "k2, p2") || !strings.Contains(got[0].Now, "k1, p3") || got[1].Head != "Row 5" || got[1].Was != "" {
		t.Errorf("got %+v", got)
	}
	got = studio.StitchChanges(now, strings.Replace(now, "Row 5: Knit.\n", "", 1))
	if len(got) != 1 || got[0].Now != "" || got[0].Head != "Row 5" {
		t.Errorf("a row less: got %+v", got)
	}
	if studio.SameStitch(pebble, strings.Replace(pebble, "+ 2", "+ 6", 1)) {
		t.Error("another multiple is the same stitch")
	}
}

const scarf = `Fen Scarf

Yarn: DK wool

Back
CO 26 sts.
Row 1 (RS): Work Row 1 of Pebble over next 26 sts.

Collar
CO 20 sts.
Row 1: Knit.
`

func TestPlaceFindReplaceSection(t *testing.T) {
	lines := studio.ReadStitch(pebble).Lines
	heads := func(text string) (out []string) {
		for _, s := range studio.Pieces(text) {
			out = append(out, s.Heading)
		}
		return out
	}
	back, ok := studio.FindSection(scarf, "back")
	if !ok || back.Line != 5 || back.From != 6 || back.To != 8 || len(back.Lines) != 2 {
		t.Fatalf("FindSection: %+v, %v", back, ok)
	}
	first := studio.PlaceSection(scarf, "Pebble", lines, back.Line)
	if got := heads(first); !slices.Equal(got, []string{"Pebble", "Back", "Collar"}) {
		t.Errorf("before Back: %q\n%s", got, first)
	}
	if !strings.Contains(first, "Yarn: DK wool\n\nPebble\nMultiple of 4 sts + 2.\n") || !strings.Contains(first, "Row 4: Purl.\n\nBack\n") {
		t.Errorf("before Back:\n%s", first)
	}
	last := studio.PlaceSection(scarf, "Pebble", lines, 0)
	if got := heads(last); !slices.Equal(got, []string{"Back", "Collar", "Pebble"}) || !strings.HasSuffix(last, "Row 4: Purl.\n") {
		t.Errorf("at the end: %q\n%s", got, last)
	}
	for _, text := range []string{first, last} {
		if s, ok := studio.FindSection(text, "Pebble"); !ok || !slices.Equal(s.Lines, lines) {
			t.Errorf("placed: %+v", s)
		}
		words := strings.Replace(text, "Row 3: K1", "Mind the edges here, they curl.\nRow 3: K1", 1)
		got, ok := studio.ReplaceSection(words, "Pebble", []string{"Multiple of 2 sts.", "Row 1: Knit."})
		s, _ := studio.FindSection(got, "Pebble")
		if !ok || !slices.Equal(s.Lines[:2], []string{"Multiple of 2 sts.", "Row 1: Knit."}) || !strings.Contains(got, "Mind the edges here") || strings.Contains(got, "Row 4: Purl") {
			t.Errorf("replaced:\n%s", got)
		}
		if again, _ := studio.ReplaceSection(text, "Pebble", lines); again != text {
			t.Errorf("replaced by itself:\n%s", again)
		}
	}
	if _, ok := studio.ReplaceSection(scarf, "Pebble", lines); ok {
		t.Error("a section that is not there was replaced")
	}
}

func TestUseChanged(t *testing.T) {
	u := studio.StitchUse{StitchVersion: 3, Answered: 2, Placed: 2, Stands: true, Was: pebble, Now: strings.Replace(pebble, "k2, p2;", "k1, p3;", 1)}
	if !u.Changed() {
		t.Error("a changed stitch is not told of")
	}
	for name, f := range map[string]func(*studio.StitchUse){
		"answered": func(u *studio.StitchUse) { u.Answered = 3 }, "gone from the text": func(u *studio.StitchUse) { u.Stands = false },
		"in the bin": func(u *studio.StitchUse) { u.StitchDeleted = true }, "renamed only": func(u *studio.StitchUse) { u.Now = u.Was },
	} {
		v := u
		if f(&v); v.Changed() {
			t.Errorf("%s: told of", name)
		}
	}
}
