package handlers

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"rowproof/domain/notation"
)

const stitched = `Fen Hood

Sizes: S, M, L
Finished circumference: 50 (57, 64) cm

Materials
2 balls of DK weight wool
4 mm needles

Special stitches
C4F:  slip 2 sts to cable needle, hold in front, k2, k2 from cable needle
MB = (k1, yo, k1) in next st, turn, p3, turn, sl1, k2tog, psso.

Hood
CO 27 (33, 39) sts.
Row 1 (RS): Knit.
`

func TestStitchesChangeTheirLines(t *testing.T) {
	have := func() []stitch { return readStitches(notation.Read(stitched)) }
	if got := have(); len(got) != 2 || got[0].name != "C4F" || got[1].name != "MB" {
		t.Fatalf("readStitches gives %+v", got)
	}
	r := func(pairs ...string) string { return strings.NewReplacer(pairs...).Replace(stitched) }
	mb := "MB = (k1, yo, k1) in next st, turn, p3, turn, sl1, k2tog, psso.\n"
	for _, test := range []struct {
		name   string
		change func([]stitch) []stitch
		want   string
	}{
		{"nothing", func(s []stitch) []stitch { return append(s, stitch{}) }, stitched},
		{"a name", func(s []stitch) []stitch { s[0].name = "2/2 LC"; return s }, r("C4F:", "2/2 LC:")},
		{"words", func(s []stitch) []stitch { s[1].words = "k1, yo, k1 in next st."; return s }, r(mb, "MB = k1, yo, k1 in next st.\n")},
		{"one less", func(s []stitch) []stitch { s[1] = stitch{}; return s }, r(mb, "")},
		{"one more", func(s []stitch) []stitch { return append(s, stitch{name: "T2", words: "k2tog, k first st again"}) }, r(mb, mb+"T2: k2tog, k first st again\n")},
	} {
		if got := writeStitches(stitched, test.change(have())); got != test.want {
			t.Errorf("%s: writeStitches gives\n%s\nwant\n%s", test.name, got, test.want)
		}
	}
	got := writeStitches(rightScarf, []stitch{{name: "MB", words: "k1, yo, k1 in next st"}})
	if want := strings.Replace(rightScarf, "4 mm\n", "4 mm\n\nSpecial stitches\nMB: k1, yo, k1 in next st\n", 1); got != want {
		t.Errorf("the first stitch: writeStitches gives\n%s", got)
	}
}

func TestStitchesForm(t *testing.T) {
	a := newApp(t)
	a.owner()
	p := a.add(stitched)
	v := a.signedIn()
	v.get(patternURL(p)+"/materials").want(t, "the page", 200, `value="C4F"`, "Also in the head", "2 balls of DK weight wool", "4 mm needles", "50 (57, 64) cm")
	form := url.Values{"base": {version(p)}, "stitch-1": {"C4F"}, "words-1": {"slip 2 sts to cable needle, hold in front, k2, k2 from cable needle"}, "stitch-2": {""}, "words-2": {""}}
	v.post(patternURL(p)+"/stitches", form).want(t, "taking one out", http.StatusSeeOther)
	now, err := a.db.Pattern(t.Context(), a.studio.ID, p.ID)
	if err != nil || strings.Contains(now.Manuscript, "MB") || !strings.Contains(now.Manuscript, "C4F:  slip") {
		t.Errorf("the text is (error %v)\n%s", err, now.Manuscript)
	}
	form.Set("words-2", "k1, yo, k1")
	v.post(patternURL(p)+"/stitches", form).want(t, "an old page", http.StatusConflict, "k1, yo, k1", "saved since")
	form.Set("base", version(now))
	v.post(patternURL(p)+"/stitches", form).want(t, "words without a name", http.StatusUnprocessableEntity, "needs a name")
	form.Set("stitch-2", "Row 1")
	v.post(patternURL(p)+"/stitches", form).want(t, "a row as a name", http.StatusUnprocessableEntity, "would not be read")
}
