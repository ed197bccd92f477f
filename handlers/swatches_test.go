package handlers

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"mime/multipart"
	"net/http"
	"strconv"
	"strings"
	"testing"

	"rowproof/domain/photo"
	"rowproof/domain/review"
	"rowproof/domain/studio"
)

// upload posts a form with files, as a browser does.
func (v *visitor) upload(path string, fields map[string]string, files map[string][]byte) answer {
	v.t.Helper()
	var b bytes.Buffer
	m := multipart.NewWriter(&b)
	for k, f := range fields {
		if err := m.WriteField(k, f); err != nil {
			v.t.Fatal(err)
		}
	}
	for k, f := range files {
		part, err := m.CreateFormFile(k, "IMG_0001.JPG")
		if err != nil {
			v.t.Fatal(err)
		}
		if _, err := part.Write(f); err != nil {
			v.t.Fatal(err)
		}
	}
	if err := m.Close(); err != nil {
		v.t.Fatal(err)
	}
	req, err := http.NewRequestWithContext(v.t.Context(), "POST", v.URL+path, &b)
	if err != nil {
		v.t.Fatal(err)
	}
	req.Header.Set("Content-Type", m.FormDataContentType())
	return v.do(req)
}

// knitted is a photograph of sorts, with a place in a comment of the file.
func knitted(t *testing.T, w, h int) []byte {
	t.Helper()
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			d := uint8((x/12 + y/9) % 2 * 40)
			m.SetRGBA(x, y, color.RGBA{150 + d, 60 + d, 60 + d, 255})
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, nil); err != nil {
		t.Fatal(err)
	}
	const words = "Gablehook Lane 3"
	out := append([]byte{0xff, 0xd8, 0xff, 0xfe, 0, byte(len(words) + 2)}, words...)
	return append(out, b.Bytes()[2:]...)
}

var swatchTyped = map[string]string{
	"stitch": "stockinette", "yarn": "Harbour DK", "needle": "4 mm", "before-sts": "33", "before-width": "15", "before-rows": "44", "before-height": "15,2",
	"after-sts": "33", "after-width": "14.4", "after-rows": "44", "after-height": "16", "grams": "12.5", "width": "18", "height": "17", "ball-metres": "112", "ball-grams": "50",
	"verdict": "for the hat", "note": "Bled a little.",
}

func with(m map[string]string, more ...string) map[string]string {
	out := map[string]string{}
	for k, v := range m {
		out[k] = v
	}
	for i := 0; i+1 < len(more); i += 2 {
		out[more[i]] = more[i+1]
	}
	return out
}

func TestSwatch(t *testing.T) {
	a := newApp(t)
	a.owner()
	st := a.stitch("Pebble", pebble)
	v := a.signedIn()
	v.get(swatchesURL).want(t, "no swatch", 200, "No swatch yet")
	v.get(swatchesURL+"/new").want(t, "the form", 200, "Pebble", "Before washing")
	v.get(stitchURL(st.ID)).want(t, "the page of a stitch", 200, swatchesURL+"/new?stitch=1")
	v.get(swatchesURL+"/new?stitch=1").want(t, "a swatch in it", 200, `<option value="1" selected>`)
	made := v.upload(swatchesURL+"/new", swatchTyped, map[string][]byte{"photo-rs": knitted(t, 2400, 1800)})
	if made.status != 303 {
		t.Fatalf("keeping: %d %s", made.status, made.body)
	}
	u := made.location
	page := v.get(u)
	page.want(t, "the page", 200, "22.9", "28.9", "4 % narrower", "5.3 % longer", "28 m, by 112 m in 50 g",
		"Gauge: 22.9 sts and 27.5 rows = 10 cm in stockinette on 4 mm needles, washed", "Swatch: 18 x 17 cm weighs 12.5 g", "for the hat", "Bled a little.", "/rs.jpg?v=")
	if strings.Contains(page.body, "/ws.jpg") {
		t.Error("a photograph of the wrong side that was not sent")
	}

	// The lines do in a manuscript what the page says they do.
	res := review.Check("A Hat\nYarn: Harbour DK, 50 g = 112 m\nNeedles: 4 mm\nGauge: 22.9 sts and 27.5 rows = 10 cm in stockinette on 4 mm needles, washed\nSwatch: 18 x 17 cm weighs 12.5 g\nCO 40 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\nRep Rows 1 and 2 20 times more.\nBind off.\n")
	if len(res.Findings) != 0 || !strings.Contains(res.Yarn.Basis, "weighed swatch") {
		t.Errorf("the lines in a manuscript: %v, %q", res.Findings, res.Yarn.Basis)
	}

	got := v.get(u + "/rs.jpg")
	cfg, kind, err := image.DecodeConfig(strings.NewReader(got.body))
	if err != nil || kind != "jpeg" || cfg.Width != 1600 || cfg.Height != 1200 || got.header.Get("Content-Type") != "image/jpeg" {
		t.Errorf("the photograph: %s %v %v", kind, cfg, err)
	}
	if strings.Contains(got.body, "Gablehook") {
		t.Error("what stood in the file beside the picture survives")
	}
	if small := v.get(u + "/rs.jpg?small=1"); len(small.body) == 0 || len(small.body) >= len(got.body) {
		t.Errorf("the small photograph is %d bytes, the other %d", len(small.body), len(got.body))
	}
	if got := a.visitor().get(u + "/rs.jpg"); got.status != 303 {
		t.Errorf("a stranger asks for the photograph: %d", got.status)
	}
	v.get(swatchesURL).want(t, "the list", 200, "22.9 sts, 27.5 rows to 10 cm, washed", "small=1")

	// Changing it: the photograph that is not sent again stays.
	v.get(u+"/edit").want(t, "the form again", 200, `value="15.2"`, "take away the one that is kept")
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, 40, 30))); err != nil {
		t.Fatal(err)
	}
	v.upload(u+"/edit", with(swatchTyped, "base", "1", "stitch-id", strconv.FormatInt(st.ID, 10), "grams", ""), map[string][]byte{"photo-ws": b.Bytes()}).want(t, "saving", 303)
	v.get(u).want(t, "changed", 200, "Pebble", stitchURL(st.ID), "/rs.jpg?v=", "/ws.jpg?v=", "Weigh the swatch")
	v.upload(u+"/edit", with(swatchTyped, "base", "1"), nil).want(t, "saving from an earlier one", 409, "saved meanwhile", `value="12.5"`, `name="base" value="2"`)
	v.upload(u+"/edit", with(swatchTyped, "base", "2", "remove-rs", "yes"), nil).want(t, "taking a photograph away", 303)
	v.get(u+"/rs.jpg").want(t, "it is gone", 404)
	if err := a.db.DeleteStitch(t.Context(), a.studio.ID, st.ID); err != nil {
		t.Fatal(err)
	}

	// What cannot be kept.
	for _, c := range []struct {
		what, words string
		fields      map[string]string
		files       map[string][]byte
		status      int
	}{
		{"no stitch", "Stitch is not said", with(swatchTyped, "stitch", ""), nil, 422},
		{"a count over nothing", "Stitches before washing need both", with(swatchTyped, "before-width", ""), nil, 422},
		{"words for a number", "Weight is a number", with(swatchTyped, "grams", "much"), nil, 422},
		{"half a band", "Ball needs both", with(swatchTyped, "ball-grams", ""), nil, 422},
		{"no picture", "cannot be read as a JPEG or PNG", swatchTyped, map[string][]byte{"photo-rs": []byte("<svg onload=alert(1)>")}, 422},
		{"a large file", "larger than 8 MiB", swatchTyped, map[string][]byte{"photo-ws": make([]byte, photo.MostBytes+1)}, 422},
		{"a very large file", "up to 8 MiB", swatchTyped, map[string][]byte{"photo-ws": make([]byte, photoBody)}, 413},
		{"a good picture beside a bad field", "Choose the photographs again", with(swatchTyped, "stitch", ""), map[string][]byte{"photo-ws": knitted(t, 30, 30)}, 422},
	} {
		v.upload(swatchesURL+"/new", c.fields, c.files).want(t, c.what, c.status, c.words)
	}
	if all, err := a.db.ListSwatches(t.Context(), a.studio.ID); err != nil || len(all) != 1 {
		t.Errorf("%d swatches, %v", len(all), err)
	}

	v.get(u+"/delete").want(t, "asking", 200, "Delete it for good", "no bin")
	v.post(u+"/delete", nil).want(t, "deleting", 303)
	v.get(u).want(t, "it is gone", 404)
}

// swatch puts a swatch into the studio.
func (a *app) swatch(s studio.Swatch) studio.Swatch {
	a.t.Helper()
	s, err := a.db.CreateSwatch(a.t.Context(), a.studio.ID, s, nil)
	if err != nil {
		a.t.Fatal(err)
	}
	return s
}

func TestSwatchPagesAreAccessible(t *testing.T) {
	a := newApp(t)
	a.owner()
	a.stitch("Pebble", pebble)
	v := a.signedIn()
	made := v.upload(swatchesURL+"/new", swatchTyped, map[string][]byte{"photo-rs": knitted(t, 800, 600), "photo-ws": knitted(t, 600, 800)})
	if made.status != 303 {
		t.Fatal(made.status)
	}
	bare := a.swatch(studio.Swatch{Stitch: strings.Repeat("a long name of a stitch ", 8)})
	p := a.add(sizedVest)
	b := a.newBrowser()
	b.signIn()
	b.axe(swatchesURL, swatchesURL+"/new", made.location, made.location+"/edit", made.location+"/delete", swatchURL(bare.ID), patternURL(p)+"/materials")
	b.open(made.location)
	if got := b.value(`String([...document.querySelectorAll(".stitch-sides img")].every(i => i.complete && i.naturalWidth > 0))`); got != "true" {
		t.Error("a photograph is not shown", got)
	}
}
