package handlers

import (
	"bytes"
	"image/png"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"rowproof/domain/notation"
)

func TestColourwayLine(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"behind the yarn", "Cap\n\nYarn: DK\nNeedles: 4 mm\n", "Cap\n\nYarn: DK\nColourway: A: #112233\nNeedles: 4 mm\n"},
		{"in its place", "Cap\n\nColorway: A: #ffffff\nYarn: DK\n", "Cap\n\nColorway: A: #112233\nYarn: DK\n"},
		{"under the title", "Cap\n\nCO 9 sts.\nRow 1: Knit.\n", "Cap\nColourway: A: #112233\n\nCO 9 sts.\nRow 1: Knit.\n"},
	} {
		if got := withColourway(notation.Read(c.text), c.text, "A: #112233"); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

const striped = `Reed Band

Yarn A: DK weight wool
Yarn B: DK weight wool

Band
CO 21 sts.
Row 1 (RS): With A, knit.
Row 2: Purl.
Row 3: With B, k1, *sl 1 wyib, k1; rep from * to end.
Row 4: Purl.
Rep Rows 1-4 8 times more.
Bind off all sts.
`

func TestFabricPage(t *testing.T) {
	a := newApp(t)
	a.owner()
	p := a.add(striped)
	v := a.signedIn()
	base := patternURL(p) + "/fabric"
	v.get(base).want(t, "the page", 200, `name="c-A"`, `name="c-B"`, "rs.png?", "ws.png?", "Wrong side")
	picture := v.get(base + "/rs.png?c-A=%23aa3333")
	picture.want(t, "a picture", 200)
	img, err := png.Decode(bytes.NewReader([]byte(picture.body)))
	if err != nil || img.Bounds().Dx() < 200 {
		t.Fatalf("the picture: %v, %v", img, err)
	}
	if other := v.get(base + "/rs.png"); other.status != 200 || other.body == picture.body {
		t.Error("another colour makes the same picture")
	}
	v.get(base+"/rs.png?c-A=reddish").want(t, "no such colour", 404)

	form := url.Values{"base": {version(p)}, "c-A": {"#aa3333"}, "c-B": {"#eeddcc"}}
	v.post(base, form).want(t, "keeping colours", http.StatusSeeOther)
	now, err := a.db.Pattern(t.Context(), a.studio.ID, p.ID)
	if err != nil || !strings.Contains(now.Manuscript, "Colourway: A: #aa3333; B: #eeddcc\n") {
		t.Errorf("the text is (error %v)\n%s", err, now.Manuscript)
	}
	v.get(base).want(t, "the page with kept colours", 200, `value="#aa3333"`, `value="#eeddcc"`)
	v.post(base, form).want(t, "an old page", http.StatusConflict, "saved since")

	empty := a.add("Nothing Yet\n")
	v.get(patternURL(empty)+"/fabric").want(t, "no rows", 200, "no rows to knit a picture from yet")
	wrong := a.add("Broken Band\n\nCO 10 sts.\nRow 1: K3, *k4; rep from * to end.\n")
	v.get(patternURL(wrong)+"/fabric").want(t, "a wrong row", 200, "It cannot be drawn")
}

func TestReadersColours(t *testing.T) {
	a := newApp(t)
	a.owner()
	p := a.add(striped)
	a.publish(p)
	v := a.visitor()
	v.get(publicURL(p.Slug)).want(t, "the public page", 200, "How it looks", "In your own colours", `name="c-B"`)
	v.get(publicURL(p.Slug)+"?c-B=%2300ff00").want(t, "own colours", 200, `value="#00ff00"`, "c-B=%2300ff00")
	v.get(publicURL(p.Slug)+"/fabric/ws.png?c-B=%2300ff00").want(t, "own picture", 200)
}
