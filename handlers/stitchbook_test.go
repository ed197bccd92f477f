package handlers

import (
	"bytes"
	"image/png"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"

	"rowproof/domain/store"
	"rowproof/domain/studio"
)

// pebble is a stitch of our own, and pebble2 with another third row.
const pebble = `Multiple of 4 sts + 2.
Row 1 (RS): K1, *p2, k2; rep from * to last st, k1.
Row 2: Purl.
Row 3: K1, *k2, p2; rep from * to last st, k1.
Row 4: Purl.
`

var pebble2 = strings.Replace(pebble, "k2, p2;", "k1, p2, k1;", 1)

// fenScarf works it over 26 stitches.
const fenScarf = `Fen Scarf

Yarn: DK weight wool, 50 g = 110 m
Needles: 4 mm

Scarf
CO 26 sts.
Row 1 (RS): Knit.
Row 2: Purl.
Bind off all sts.
`

// stitch puts a stitch into the studio.
func (a *app) stitch(name, text string) studio.Stitch {
	a.t.Helper()
	st, err := a.db.CreateStitch(a.t.Context(), a.studio.ID, name, text, 0)
	if err != nil {
		a.t.Fatal(err)
	}
	return st
}

func (a *app) changeStitch(st studio.Stitch, text string) studio.Stitch {
	a.t.Helper()
	st, err := a.db.SaveStitch(a.t.Context(), a.studio.ID, store.StitchSave{StitchID: st.ID, BaseVersion: st.Version, Name: st.Name, Manuscript: text})
	if err != nil {
		a.t.Fatal(err)
	}
	return st
}

func (a *app) now(p studio.Pattern) studio.Pattern {
	a.t.Helper()
	p, err := a.db.Pattern(a.t.Context(), a.studio.ID, p.ID)
	if err != nil {
		a.t.Fatal(err)
	}
	return p
}

// place places a stitch before the first section of a pattern, through the page.
func (v *visitor) place(p studio.Pattern, st studio.Stitch, form, where string) answer {
	v.t.Helper()
	return v.post(patternURL(p)+"/stitch", url.Values{"base": {version(p)}, "stitch": {strconv.FormatInt(st.ID, 10)}, "form": {form}, "place": {where}, "do": {"place"}})
}

func TestStitchIsBegunProvedAndSaved(t *testing.T) {
	a := newApp(t)
	a.owner()
	v := a.signedIn()
	v.get("/studio/stitches").want(t, "an empty list", 200, "No stitch of your own yet", "/studio/stitches/new")
	post := func(form url.Values) answer { return v.post("/studio/stitches/new", form) }
	post(url.Values{"name": {"Pebble"}}).want(t, "no rows", 422, "There are no rows in it yet")
	post(url.Values{"name": {"Row 1: knit"}, "manuscript": {pebble}}).want(t, "a row for a name", 422, "would not be read as one")
	post(url.Values{"do": {"blank"}, "blank-name": {"Plain"}, "of": {"0"}, "plus": {"x"}}).want(t, "a multiple of nothing", 422, "A number from 1 to 400", "A number from 0 to 400")
	if got := post(url.Values{"manuscript": {"Pebble\r\n\r\n" + strings.ReplaceAll(pebble, "\n", "\r\n")}}); got.status != 303 || got.location != "/studio/stitches/1" {
		t.Fatalf("a title that was pasted along: %d %s", got.status, got.location)
	}
	post(url.Values{"do": {"blank"}, "blank-name": {"Plain"}, "of": {"6"}, "plus": {"5"}, "worked": {"round"}}).want(t, "from blank", 303)
	v.get("/studio/stitches/2").want(t, "from blank", 200, "Multiple of 6 sts + 5.", "Rnd 1: Knit.")
	v.get("/studio/stitches").want(t, "the list", 200, "Pebble", "Multiple of 4 + 2", "not placed yet", "picture.png?side=rs&amp;v=1&amp;small=1")
	v.get("/studio/stitches/1").want(t, "its page", 200, "Every row proved", "Multiple of 4 + 2 · version 1 · not placed yet", "side=ws&amp;v=1", "<svg", "Right side",
		"Rnd 1: *", "as written", "Work Row 1 of Pebble over next 22 sts.", "stands now")

	// Check keeps nothing; a wrong row is found and its mend is a click.
	wrong := strings.Replace(pebble, "to last st, k1.\nRow 4", "to last st, k2.\nRow 4", 1)
	checked := v.post("/studio/stitches/1", url.Values{"base": {"1"}, "name": {"Pebble"}, "manuscript": {wrong}, "do": {"check"}})
	checked.want(t, "a wrong row", 200, "Row 3", "Not saved yet", `value="mend-0-0"`)
	if st, err := a.db.Stitch(t.Context(), a.studio.ID, 1); err != nil || st.Version != 1 {
		t.Errorf("after a check: version %d, %v", st.Version, err)
	}
	v.post("/studio/stitches/1", url.Values{"base": {"1"}, "name": {"Pebble"}, "manuscript": {wrong}, "do": {"mend-0-0"}}).want(t, "a mend", 303)
	v.post("/studio/stitches/1", url.Values{"base": {"2"}, "name": {"Fen pebble"}, "manuscript": {pebble2}, "do": {"save"}}).want(t, "a save", 303)
	v.get("/studio/stitches/1").want(t, "saved", 200, "Fen pebble", "version 3", "called “Pebble” before", "k1, p2, k1")
	lost := v.post("/studio/stitches/1", url.Values{"base": {"1"}, "name": {"Fen pebble"}, "manuscript": {pebble + "Row 5: Knit."}, "do": {"save"}})
	lost.want(t, "a save that lost", 409, "saved meanwhile", "Row 5: Knit.", `name="base" value="3"`, "Your text against the one that stands")
	v.post("/studio/stitches/1", url.Values{"base": {"3"}, "name": {"Plain"}, "manuscript": {pebble2}, "do": {"save"}}).want(t, "a taken name", 422, "Another stitch is called")
	v.get("/studio/stitches/1/versions/1").want(t, "an earlier text", 200, "Bring this text back", "line-come")

	v.post("/studio/stitches/1/gauges", url.Values{"yarn": {"DK wool"}, "needle": {"4 mm"}, "sts": {"22,5"}, "rows": {"30"}, "over": {"10"}, "note": {"blocked"}}).want(t, "a gauge", 303)
	v.get("/studio/stitches/1").want(t, "its gauge", 200, "22.5 sts and 30 rows = 10 cm", "DK wool, 4 mm", "blocked")
	v.post("/studio/stitches/1/gauges", url.Values{"yarn": {"DK wool"}, "over": {"10"}}).want(t, "no gauge", 422, "needs stitches or rows", `value="DK wool"`)
	v.post("/studio/stitches/1/gauges/1/remove", nil).want(t, "no longer", 303)

	v.post("/studio/stitches/2/delete", nil).want(t, "to the bin", 303)
	v.get("/studio/stitches").want(t, "the list", 200, "The bin of stitches")
	v.get("/studio/stitches/bin").want(t, "the bin", 200, "Plain", "/studio/stitches/2/restore")
	v.post("/studio/stitches/2/restore", nil).want(t, "back", 303)
}

func TestStitchPicture(t *testing.T) {
	a := newApp(t)
	a.owner()
	st := a.stitch("Pebble", pebble)
	a.changeStitch(st, pebble2)
	v := a.signedIn()
	url := stitchURL(st.ID) + "/picture.png"
	pictures := map[string]string{}
	for _, q := range []string{"?side=rs&v=1", "?side=ws&v=1", "?side=rs&v=2", "?side=rs&v=2&small=1", "?side=rs"} {
		got := v.get(url + q)
		got.want(t, q, 200)
		img, err := png.Decode(bytes.NewReader([]byte(got.body)))
		if err != nil || got.header.Get("Content-Type") != "image/png" {
			t.Fatalf("%s: %v, %s", q, err, got.header.Get("Content-Type"))
		}
		if strings.Contains(q, "small") && img.Bounds().Dx() > 400 {
			t.Errorf("%s is %d wide", q, img.Bounds().Dx())
		}
		caching := got.header.Get("Cache-Control")
		if kept := strings.Contains(caching, "immutable"); kept != strings.Contains(q, "v=") || !strings.Contains(caching, "private") {
			t.Errorf("%s: Cache-Control %q", q, caching)
		}
		pictures[q] = got.body
	}
	if pictures["?side=rs&v=1"] == pictures["?side=ws&v=1"] || pictures["?side=rs&v=1"] == pictures["?side=rs&v=2"] || pictures["?side=rs&v=2"] != pictures["?side=rs"] {
		t.Error("sides or versions look alike, or what stands is not the newest")
	}
}

func TestStitchIsPlaced(t *testing.T) {
	a := newApp(t)
	a.owner()
	v := a.signedIn()
	p := a.add(fenScarf)
	v.get(patternURL(p)+"/stitch").want(t, "without a stitch", 200, "no stitch of your own to place")
	st := a.stitch("Pebble", pebble)
	v.get(patternURL(p)+"/stitch").want(t, "the form", 200, "Before Scarf", "At the end", "In the round", "Mirrored")
	shown := v.post(patternURL(p)+"/stitch", url.Values{"base": {"1"}, "stitch": {"1"}, "form": {"round"}, "place": {"0"}, "do": {"show"}})
	shown.want(t, "shown", 200, "It would stand so", "Multiple of 4 sts.\nRnd 1:")
	if a.now(p).Version != 1 {
		t.Error("showing the rows saved them")
	}
	v.place(p, st, "flat", "0").want(t, "placed", 303)
	p = a.now(p)
	if want := strings.Replace(fenScarf, "Scarf\nCO", "Pebble\n"+pebble+"\nScarf\nCO", 1); p.Manuscript != want {
		t.Errorf("the text is\n%s", p.Manuscript)
	}
	v.get(patternURL(p)+"/stitch").want(t, "placed", 200, "In this pattern", "Work Row 1 of Pebble over next 22 sts.", "Over 6, 10, 14, 18 … stitches.")
	v.get(stitchURL(st.ID)).want(t, "its page", 200, "used in 1 pattern", "Fen Scarf")

	// The line to copy proves in the piece, as does the mirrored form under a name of its own.
	v.place(p, st, "mirrored", "end").want(t, "placed twice", 303)
	p = a.now(p)
	text := strings.Replace(p.Manuscript, "Row 1 (RS): Knit.\nRow 2: Purl.\nBind", "Row 1 (RS): Work Row 1 of Pebble over next 26 sts.\nRow 2: Work Row 2 of Mirrored Pebble over next 26 sts.\nBind", 1)
	v.post(patternURL(p), url.Values{"base": {version(p)}, "manuscript": {text}, "do": {"save"}}).want(t, "worked in the piece", 303)
	if p = a.now(p); !strings.Contains(p.Manuscript, "\n\nMirrored Pebble\nMultiple of 4 sts + 2.\n") || p.Errors != 0 {
		t.Errorf("%d errors in\n%s", p.Errors, p.Manuscript)
	}

	// What cannot be placed says why and changes nothing.
	v.place(p, a.stitch("Slip", "Multiple of 2 sts.\nTW: uses 2 sts, makes 2.\nRow 1 (RS): Knit.\nRow 2: *Tw; rep from * to end.\n"), "round", "end").want(t, "no round form", 422, "Slip cannot be written in the round", "TW")
	v.place(p, a.stitch("Wrong", "Multiple of 4 sts.\nRow 1: *K3; rep from * to end.\n"), "flat", "end").want(t, "a wrong stitch", 422, "Wrong has 1 error")
	v.post(patternURL(p)+"/stitch", url.Values{"base": {version(p)}, "stitch": {"77"}, "form": {"flat"}}).want(t, "no stitch", 422, "Choose a stitch")
	v.post(patternURL(p)+"/stitch", url.Values{"base": {"1"}, "stitch": {"1"}, "form": {"flat"}}).want(t, "an older text", 409, "saved since this page was opened")
	if now := a.now(p); now.Manuscript != p.Manuscript {
		t.Error("something was placed")
	}

	// Undo takes it out, and the stitch is no longer used there.
	q := a.add(strings.Replace(fenScarf, "Fen", "Moss", 1))
	v.place(q, st, "flat", "0").want(t, "placed elsewhere", 303)
	v.post(patternURL(q), url.Values{"base": {"2"}, "do": {"undo"}}).want(t, "undone", 303)
	if got := a.now(q); got.Manuscript != q.Manuscript {
		t.Errorf("undone:\n%s", got.Manuscript)
	}
	v.get(stitchURL(st.ID)).want(t, "its page", 200, "used in 1 pattern", "no longer stands")
}

// A stitch with stitches and yarns of its own brings their words along.
func TestPlacedStitchBringsItsWords(t *testing.T) {
	a := newApp(t)
	a.owner()
	v := a.signedIn()
	p := a.add(fenScarf)
	st := a.stitch("Berries", "Multiple of 4 sts + 1.\nMB: (k1, yo, k1) in next st, turn, p3, turn, k3tog.\nRow 1 (RS): K1, *mb, k3; rep from * to end.\nRow 2: Purl.\n")
	v.place(p, st, "flat", "0").want(t, "placed", 303)
	p = a.now(p)
	if !strings.Contains(p.Manuscript, "Special stitches\nMB: (k1, yo, k1)") || p.Errors != 0 {
		t.Errorf("%d errors in\n%s", p.Errors, p.Manuscript)
	}
	a.changeStitch(st, strings.Replace(st.Manuscript, "k1, yo, k1) in next st, turn, p3, turn, k3tog", "k1, yo, k1, yo, k1) in next st, turn, p5, turn, k5tog", 1))
	us, err := a.db.PatternStitches(t.Context(), a.studio.ID, p.ID)
	if err != nil || len(us) != 1 {
		t.Fatal(us, err)
	}
	v.post(useURL(us[0]), url.Values{"base": {version(p)}, "stitch": {"2"}, "do": {"take"}}).want(t, "taken over", 303)
	if got := a.now(p); strings.Count(got.Manuscript, "MB:") != 1 || !strings.Contains(got.Manuscript, "k5tog") || got.Errors != 0 {
		t.Errorf("taken over:\n%s", got.Manuscript)
	}
}

// Yarns that its rows name are named in the pattern; a multiple that was not stated
// is, so that the section is proved by itself; of two sections of one name the one
// that was chosen follows.
func TestPlacedStitchStandsByItself(t *testing.T) {
	a := newApp(t)
	a.owner()
	v := a.signedIn()
	p := a.add(fenScarf + "\nFringe\nCO 8 sts.\nRow 1: Knit.\n\nFringe\nCO 9 sts.\nRow 1: Knit.\n")
	st := a.stitch("Band rib", "Yarn: A, B\nRow 1 (RS): With A, *k2, p1; rep from * to end.\nRow 2: With A, *k1, p2; rep from * to end.\nRow 3: With B, knit.\nRow 4: With B, purl.\n")
	v.place(p, st, "flat", "2").want(t, "placed", 303)
	p = a.now(p)
	for _, want := range []string{"Yarn: A, B\n", "\n\nBand rib\nMultiple of 3 sts.\nRow 1 (RS): With A", "With B, purl.\n\nFringe\nCO 9 sts."} {
		if !strings.Contains(p.Manuscript, want) {
			t.Errorf("%q is not in\n%s", want, p.Manuscript)
		}
	}
	if p.Errors != 0 {
		t.Errorf("%d errors", p.Errors)
	}
	us, err := a.db.PatternStitches(t.Context(), a.studio.ID, p.ID)
	if err != nil || len(us) != 1 || !us[0].Stands {
		t.Fatal(us, err)
	}
	a.changeStitch(st, strings.Replace(st.Manuscript, "With B, purl.", "With B, knit.", 1))
	page := v.get(useURL(us[0]))
	page.want(t, "its change", 200, "With B, knit.")
	if strings.Contains(page.body, "somebody changed them there") {
		t.Error("rows as they were placed are taken for changed ones")
	}
}

func TestPatternsAreToldOfAChange(t *testing.T) {
	a := newApp(t)
	a.owner()
	v := a.signedIn()
	const told = "Pebble has changed since you placed it: version 1 → 2."
	st := a.stitch("Pebble", pebble)
	p, q, other := a.add(fenScarf), a.add(strings.Replace(fenScarf, "Fen", "Moss", 1)), a.add(strings.Replace(fenScarf, "Fen", "Rush", 1))
	v.place(p, st, "flat", "0").want(t, "placed", 303)
	v.place(q, st, "round", "end").want(t, "placed", 303)
	p, q = a.now(p), a.now(q)

	// Blank lines are no change.
	v.post(stitchURL(st.ID), url.Values{"base": {"1"}, "name": {"Pebble"}, "manuscript": {pebble2}, "do": {"save"}}).want(t, "changed", 303)
	v.get(stitchURL(st.ID)).want(t, "its page", 200, "2 patterns that use it are told", "has version 1", "See what changed")
	for _, page := range []string{"", "/materials", "/chart", "/fabric", "/history", "/prints", "/publish", "/stitch"} {
		v.get(patternURL(p)+page).want(t, page, 200, told, "/stitch/1")
	}
	list := v.get("/studio/")
	list.want(t, "the list", 200, told, "/studio/patterns/1/stitch/1", "/studio/patterns/2/stitch/2")
	if strings.Contains(v.get(patternURL(other)).body, "has changed since") || strings.Count(list.body, "<p class=\"notice stitch-notice\">") != 2 {
		t.Error("a pattern that does not use it is told")
	}

	// What changed, and what it would do.
	use := patternURL(p) + "/stitch/1"
	v.get(use).want(t, "the change", 200, told, "Row 3", "k1, p2, k1", "With the new rows: Every row proved", "Take the new rows over", "Keep what is there")
	v.get(patternURL(q)+"/stitch/1").want(t, "another pattern's", 404)
	v.post(use, url.Values{"base": {version(p)}, "stitch": {"1"}, "do": {"take"}}).want(t, "an older stitch", 409, "has changed again")
	v.post(use, url.Values{"base": {"1"}, "stitch": {"2"}, "do": {"take"}}).want(t, "an older pattern", 409, "saved since this page was opened")
	if now := a.now(p); now.Version != p.Version {
		t.Error("a late answer changed the pattern")
	}
	v.post(use, url.Values{"base": {version(p)}, "stitch": {"2"}, "do": {"take"}}).want(t, "taken over", 303)
	if now := a.now(p); now.Manuscript != strings.Replace(p.Manuscript, pebble, pebble2, 1) || now.Version != p.Version+1 {
		t.Errorf("taken over:\n%s", now.Manuscript)
	}
	if body := v.get(patternURL(p)).body; strings.Contains(body, "has changed since") {
		t.Error("the notice stays after taking over")
	}
	v.get(use).want(t, "answered", 200, "has not changed since you were last asked")

	// The other keeps what it has, and is told at the next change, in its form.
	use = patternURL(q) + "/stitch/2"
	v.post(use, url.Values{"stitch": {"2"}, "do": {"keep"}}).want(t, "kept", 303)
	if now := a.now(q); now.Manuscript != q.Manuscript || strings.Contains(v.get(patternURL(q)).body, "has changed since") {
		t.Error("keeping changed the text, or the notice stays")
	}
	v.post(stitchURL(st.ID), url.Values{"base": {"2"}, "name": {"Pebble"}, "manuscript": {strings.Replace(pebble2, "*p2, k2", "*p1, k3", 1)}, "do": {"save"}}).want(t, "changed again", 303)
	v.get(use).want(t, "the change", 200, "version 1 → 3", "Rnd 1: *p1, k3", "Take the new rows over")
	v.post(use, url.Values{"base": {version(q)}, "stitch": {"3"}, "do": {"take"}}).want(t, "taken over", 303)
	if now := a.now(q); !strings.Contains(now.Manuscript, "Pebble\nMultiple of 4 sts.\nRnd 1: *p1, k3") || now.Errors != 0 {
		t.Errorf("taken over in the round:\n%s", now.Manuscript)
	}
}

// Rows changed in the pattern are shown, errors that come with the new rows are told
// before they are taken, and a stitch with errors is not taken at all.
func TestChangeThatDoesNotFit(t *testing.T) {
	a := newApp(t)
	a.owner()
	v := a.signedIn()
	st := a.stitch("Pebble", pebble)
	p := a.add(fenScarf)
	v.place(p, st, "flat", "0").want(t, "placed", 303)
	p = a.now(p)
	text := strings.Replace(p.Manuscript, "Row 2: Purl.\nRow 3", "Row 2: P all sts.\nRow 3", 1)
	text = strings.Replace(text, "Row 1 (RS): Knit.", "Row 1 (RS): Work Row 1 of Pebble over next 26 sts.", 1)
	v.post(patternURL(p), url.Values{"base": {version(p)}, "manuscript": {text}, "do": {"save"}}).want(t, "changed by hand", 303)
	st = a.changeStitch(st, "Multiple of 4 sts + 2.\nRow 1 (RS): K1, *k2; rep from * to last st, k2.\n")
	us, err := a.db.PatternStitches(t.Context(), a.studio.ID, p.ID)
	if err != nil || len(us) != 1 {
		t.Fatal(us, err)
	}
	page := v.get(useURL(us[0]))
	page.want(t, "a stitch with errors", 200, "Mend it on its own page first", "Keep what is there")
	if strings.Contains(page.body, "Take the new rows over") {
		t.Error("wrong rows are offered")
	}
	a.changeStitch(st, "Multiple of 4 sts + 2.\nRow 1 (RS): Knit.\nRow 2: Purl.\n")
	v.get(useURL(us[0])).want(t, "changed by hand", 200, "somebody changed them there", "P all sts.", "is gone", "Take the new rows over")
	if p = a.now(p); http.StatusOK != v.get(patternURL(p)).status {
		t.Error("the pattern's page fails")
	}
}
