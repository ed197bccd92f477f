package handlers

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"log/slog"
	"net/http"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"rowproof/domain/studio"
)

// letters are the bodies of the letters written to an address, newest first.
func (a *app) letters(to string) []string {
	a.t.Helper()
	ms, err := a.db.Messages(a.t.Context(), a.studio.ID, 0, 100)
	if err != nil {
		a.t.Fatal(err)
	}
	var out []string
	for _, m := range ms {
		if m.ToEmail != to {
			continue
		}
		whole, err := a.db.Message(a.t.Context(), a.studio.ID, m.ID)
		if err != nil {
			a.t.Fatal(err)
		}
		out = append(out, whole.Subject+"\n\n"+whole.Body)
	}
	return out
}

var linkIn = regexp.MustCompile(`(/knit/enter|/mail/stop)\?k=\S+`)

// entryOf is the path of the link in the newest letter to an address.
func (a *app) entryOf(to string) string {
	a.t.Helper()
	ls := a.letters(to)
	if len(ls) == 0 {
		a.t.Fatalf("no letter to %s", to)
	}
	link := linkIn.FindString(ls[0])
	if link == "" {
		a.t.Fatalf("no link in the letter to %s:\n%s", to, ls[0])
	}
	return link
}

// comesIn is a browser that came in by the newest link mailed to an address.
func (a *app) comesIn(to string) *visitor {
	a.t.Helper()
	v := a.visitor()
	path := a.entryOf(to)
	v.get(path).want(a.t, "the page of the link", 200, "Come in")
	u, err := url.Parse(path)
	if err != nil {
		a.t.Fatal(err)
	}
	if got := v.post("/knit/enter", url.Values{"k": {u.Query().Get("k")}}); got.status != http.StatusSeeOther {
		a.t.Fatalf("coming in: %d %s", got.status, got.body)
	}
	return v
}

// sizesOf are the ids of a pattern's sizes.
func (a *app) sizesOf(p studio.Pattern) []int64 {
	a.t.Helper()
	zs, err := a.db.Sizes(a.t.Context(), a.studio.ID, p.ID)
	if err != nil {
		a.t.Fatal(err)
	}
	var out []int64
	for _, z := range zs {
		out = append(out, z.ID)
	}
	return out
}

// openTest opens a test knit of a pattern as its designer does, two knitters for each size.
func (v *visitor) openTest(p studio.Pattern, more url.Values) {
	v.t.Helper()
	form := url.Values{"base": {version(p)}, "wants": {"Gauge, please."}, "note": {"A note for us."}}
	for _, z := range v.sizesOf(p) {
		form.Set(fmt.Sprintf("seat-%d", z), "2")
	}
	for k, vs := range more {
		form[k] = vs
	}
	if got := v.post(patternURL(p)+"/test", form); got.status != http.StatusSeeOther {
		v.t.Fatalf("opening a test knit: %d %s", got.status, got.body)
	}
}

func (v *visitor) invites(p studio.Pattern, email, name string, size int64) {
	v.t.Helper()
	got := v.post(patternURL(p)+"/test/invite", url.Values{"email": {email}, "name": {name}, "size": {strconv.FormatInt(size, 10)}})
	if got.status != http.StatusSeeOther {
		v.t.Fatalf("inviting %s: %d %s", email, got.status, got.body)
	}
}

// event is a note of a device.
func event(seq int, kind string, more map[string]any) map[string]any {
	e := map[string]any{"seq": seq, "kind": kind, "at": "2026-11-25T10:00:00Z"}
	for k, v := range more {
		e[k] = v
	}
	return e
}

func (v *visitor) sends(path, device string, events ...map[string]any) answer {
	v.t.Helper()
	b, err := json.Marshal(map[string]any{"device": device, "events": events})
	if err != nil {
		v.t.Fatal(err)
	}
	req, err := http.NewRequestWithContext(v.t.Context(), "POST", v.URL+path, bytes.NewReader(b))
	if err != nil {
		v.t.Fatal(err)
	}
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set("Accept", "application/json")
	return v.do(req)
}

// The life of a test knit, from the call to the thanks, without scripts.
func TestTestKnitFromCallToThanks(t *testing.T) {
	a := newApp(t)
	a.owner()
	d := a.signedIn()
	p := a.add(rightScarf)
	base := patternURL(p)

	// The call.
	d.get(base+"/test").want(t, "before it is opened", 200, "Have it test-knitted", "Size M", "Revision 1 is frozen")
	d.post(base+"/test", url.Values{"base": {version(p)}}).want(t, "a call for nobody", 422, "needs a knitter for one size")
	d.post(base+"/test", url.Values{"base": {version(p)}, "seat-1": {"many"}}).want(t, "a word for a number", 422, "“many”")
	d.post(base+"/test", url.Values{"base": {version(p)}, "seat-1": {"1"}, "deadline": {"1999-01-01"}}).want(t, "a day that is past", 422, "from today on")
	d.openTest(p, url.Values{"offers": {"yes"}})
	d.post(base+"/test", url.Values{"base": {version(p)}, "seat-1": {"1"}}).want(t, "a second one", 409)
	page := d.get(base + "/test")
	page.want(t, "the test knit", 200, "nobody yet", "0 of 2", "/offer/", "No mail server is set", "A note for us.")

	// People: one invited, one who offers and is seated.
	zs := a.sizesOf(p)
	d.invites(p, "ada@wold.example", "Ada Thwaite", zs[1])
	d.post(base+"/test/invite", url.Values{"email": {"ada@wold.example"}}).want(t, "inviting her again", 422, "in the test knit already")
	offer := regexp.MustCompile(`/offer/[0-9a-f]+`).FindString(page.body)
	stranger := a.visitor()
	stranger.get(offer).want(t, "the page that takes offers", 200, "Ditch Scarf", "Gauge, please.")
	if body := stranger.get(offer).body; strings.Contains(body, "*p3, k3") || strings.Contains(body, "A note for us") {
		t.Error("the page that takes offers shows rows, or the private note")
	}
	stranger.post(offer, url.Values{"email": {"not an address"}}).want(t, "an offer without an address", 422, "does not look like an e-mail address")
	stranger.post(offer, url.Values{"email": {"bea@fell.example"}, "name": {"Bea Ireby"}, "size": {strconv.FormatInt(zs[0], 10)}, "words": {"I have the yarn."}}).
		want(t, "an offer", 200, "Thank you")
	if ls := a.letters(ownerEmail); len(ls) != 1 || !strings.Contains(ls[0], "I have the yarn.") {
		t.Errorf("letters to the owner about the offer: %q", ls)
	}
	page = d.get(base + "/test")
	page.want(t, "with an offer", 200, "Would like size S", "I have the yarn.")
	bea := regexp.MustCompile(`/test/knitters/(\d+)"[^>]*>\s*<label>\s*<span class="visually-hidden">Size of Bea`).FindStringSubmatch(page.body)
	if bea == nil {
		t.Fatal("the page has no form for the one who offers")
	}
	d.post(base+"/test/knitters/"+bea[1], url.Values{"do": {"seat"}, "size": {strconv.FormatInt(zs[0], 10)}}).want(t, "seating her", 303)

	// Ada comes in and works.
	ada := a.comesIn("ada@wold.example")
	home := ada.get("/knit")
	home.want(t, "her list", 200, "Ditch Scarf", "Size M")
	knit := regexp.MustCompile(`/knit/\d+`).FindString(home.body)
	ada.get(knit).want(t, "her test knit", 200, "Gauge, please.", "Revision 1", "Begin knitting")
	ada.get(knit+"/read").want(t, "the pattern in her size", 200, "CO 33 sts")
	if body := ada.get(knit + "/read").body; strings.Contains(body, "27 (33") {
		t.Error("the pattern in size M has the numbers of size L")
	}
	ada.get(knit+"/ditch-scarf.pdf").want(t, "its PDF", 200)
	ada.get(knit+"/ditch-scarf.txt").want(t, "its text", 200, "Draft for test knitting, revision 1")
	rows, err := a.db.Rows(t.Context(), a.studio.ID, p.ID)
	if err != nil {
		t.Fatal(err)
	}
	row3 := rows[3]
	if row3.Head != "Row 3" {
		t.Fatalf("the row is %q", row3.Head)
	}
	device := uuid.NewString()
	first := uuid.NewString()
	got := ada.sends(knit+"/events", device,
		event(1, "place", map[string]any{"row": row3.ID, "words": "Row 3, repeat 2 of 5", "step": 9, "of": 24}),
		event(2, "erratum", map[string]any{"uuid": first, "row": row3.ID, "label": "Row 3, repeat 2 of 5", "what": "count", "had": "34 sts", "did": "left out the last yo"}))
	got.want(t, "her notes", 200, `"upto":2`)
	ada.sends(knit+"/events", device, event(2, "erratum", map[string]any{"uuid": first, "row": row3.ID, "label": "x", "what": "count", "had": "x"})).want(t, "the same again", 200, `"upto":2`)
	ada.sends(knit+"/events", "me", event(1, "place", nil)).want(t, "a device without a UUID", 400)
	ada.get(knit).want(t, "her test knit after it", 200, "Row 3, repeat 2 of 5", "Go on knitting", "37 %")

	// Bea notes the same on a page without scripts, with a photograph.
	b := a.comesIn("bea@fell.example")
	bknit := regexp.MustCompile(`/knit/\d+`).FindString(b.get("/knit").body)
	b.get(bknit+"/errata/new").want(t, "the form", 200, "Scarf, Row 3: K2")
	b.post(bknit+"/errata/new", url.Values{"row": {strconv.FormatInt(row3.ID, 10)}, "what": {"count"}}).want(t, "nothing said", 422, "is empty")
	b.upload(bknit+"/errata/new", map[string]string{"row": strconv.FormatInt(row3.ID, 10), "what": "count", "had": "28"}, map[string][]byte{"photo": knitted(t, 60, 40)}).want(t, "noting it", 303)
	b.get(knit).want(t, "another’s test knit", 404)

	// Triage: both on their row, with the prover's word, and kept together by one click.
	page = d.get(base + "/test/errata")
	page.want(t, "triage", 200, "2 errata, 2 wait for you", "Scarf, Row 3", "It leaves 33 stitches after the row in size M", "34 sts", "Keep with Ada Thwaite’s", "with a photograph")
	alike := regexp.MustCompile(`name="(first|other)" value="([^"]+)"`).FindAllStringSubmatch(page.body, -1)
	form := url.Values{}
	for _, m := range alike {
		form.Add(m[1], m[2])
	}
	d.post(base+"/test/errata", form).want(t, "keeping them together", 303)
	adas := regexp.MustCompile(`/test/errata/(\d+)">Row 3, repeat`).FindStringSubmatch(page.body)
	if adas == nil {
		t.Fatal("triage has no link to Ada's erratum")
	}
	erratum := base + "/test/errata/" + adas[1]
	d.get(erratum).want(t, "her erratum", 200, "left out the last yo", "The row has not changed since it was read", "It leaves 33 stitches after the row in size M")
	d.post(erratum, url.Values{"base": {"1"}, "state": {"asked"}}).want(t, "a question without words", 422, "write what you ask")
	d.post(erratum, url.Values{"base": {"1"}, "state": {"asked"}, "body": {"With or without the edge?"}}).want(t, "asking back", 303)
	d.post(erratum, url.Values{"base": {"1"}, "state": {"not-an-error"}, "body": {"I count 33."}}).want(t, "a second designer, late", 409, "Somebody else decided this meanwhile", "I count 33.")
	if ls := a.letters("ada@wold.example"); !strings.Contains(ls[0], "With or without the edge?") {
		t.Errorf("the letter to Ada: %q", ls[0])
	}
	her := knit + "/errata/" + adas[1]
	ada.get(her).want(t, "her side", 200, "With or without the edge?")
	ada.post(her, url.Values{"body": {"Without."}}).want(t, "answering", 303)
	page = d.get(erratum)
	page.want(t, "her answer", 200, "Without.")
	standing := regexp.MustCompile(`name="base" value="(\d+)"`).FindStringSubmatch(page.body)[1]
	d.post(erratum, url.Values{"base": {standing}, "state": {"accepted"}}).want(t, "accepting", 303)

	// A new draft: row 3 changes for size M alone, and a row is put in before it.
	text := strings.NewReplacer("Row 3: K2, *yo, ssk, k4; rep from * to last st, k1.", "Row 3: Knit.\nRow 4: Purl.\nRow 5: K1 (2, 1), *yo, ssk, k4; rep from * to last 2 (1, 2) sts, k2 (1, 2).", "Row 4: Purl.\nBind", "Row 6: Purl.\nBind").Replace(rightScarf)
	d.post(base, url.Values{"do": {"save"}, "base": {version(p)}, "manuscript": {text}}).want(t, "saving the new text", 303)
	if p, err = a.db.Pattern(t.Context(), a.studio.ID, p.ID); err != nil {
		t.Fatal(err)
	}
	d.get(base+"/test").want(t, "with a newer text", 200, "The pattern has changed since")

	d.get(base+"/test/revision").want(t, "before it is sent", 200, "put in: Knit.", "Ada Thwaite (size M)")
	if body := ada.get(knit + "/read").body; strings.Contains(body, "Row 6") {
		t.Error("she reads a draft that was not sent to her")
	}
	d.post(base+"/test/revision", url.Values{"base": {version(p)}, "note": {"Row 3 again."}}).want(t, "sending it", 303)
	ada.get(knit).want(t, "her test knit with a new draft", 200, "A new draft has come", "Row 3 again.", "put in: Knit.", "Revision 2")
	ada.post(knit+"/seen", nil).want(t, "seeing it", 303)
	if body := ada.get(knit).body; strings.Contains(body, "A new draft has come") {
		t.Error("the changes are still shown after she saw them")
	}

	// What came off the needles.
	ada.get(knit+"/report").want(t, "the report", 200, "Grams used", "Stitches after blocking")
	ada.post(knit+"/report", url.Values{"base": {"0"}, "after-sts": {"twenty"}, "do": {"save"}}).want(t, "a word for a number", 422, "“twenty” is no number", "twenty")
	ada.post(knit+"/report", url.Values{"base": {"0"}, "after-sts": {"20,5"}, "after-rows": {"28"}, "grams-0": {"11"}, "measure-0": {"17"}, "hours": {"3"}, "fit": {"It warms."}, "credit": {"Ada of the Wold"}, "do": {"finish"}}).
		want(t, "reporting", 303)
	ada.post(knit+"/report", url.Values{"base": {"0"}, "hours": {"4"}, "do": {"save"}}).want(t, "from an old page", 422, "on another page meanwhile")
	b.post(bknit+"/report", url.Values{"base": {"0"}, "balls-0": {"1"}, "rest-0": {"41"}, "do": {"finish"}}).want(t, "in balls and what was left", 303)
	d.get(base+"/test/needles").want(t, "what came off the needles", 200, "Ada Thwaite", "It warms.", "20.5 sts and 28 rows", "Ada of the Wold")

	// It goes out, with what it puts right.
	d.post(base+"/publish", url.Values{"base": {version(p)}}).want(t, "publishing", 303)
	a.visitor().get("/p/ditch-scarf").want(t, "the public page", 200, "Revision 3")

	// Export, closing, thanks.
	all := d.get(base + "/test/export/all.json")
	var x exported
	if err := json.Unmarshal([]byte(all.body), &x); err != nil || len(x.Knitters) != 2 || len(x.Errata) != 2 || x.Knitters[1].Report == nil || len(x.Errata[0].Said) != 3 {
		t.Errorf("all.json: %v\n%s", err, all.body)
	}
	for _, file := range []string{"knitters.csv", "errata.csv", "reports.csv", "measurements.csv"} {
		got := d.get(base + "/test/export/" + file)
		lines, err := csv.NewReader(strings.NewReader(got.body)).ReadAll()
		if err != nil || len(lines) < 2 {
			t.Errorf("%s: %v, %d lines", file, err, len(lines))
		}
	}
	d.post(base+"/test/close", url.Values{"thanks": {"You were splendid."}}).want(t, "closing", 303)
	for _, who := range []string{"ada@wold.example", "bea@fell.example"} {
		if ls := a.letters(who); !strings.Contains(ls[0], "You were splendid.") {
			t.Errorf("the thanks to %s: %q", who, ls[0])
		}
	}
	ada.get(knit).want(t, "her test knit when it is closed", 200, "This test knit is closed", "You were splendid.")
}

// Knitters are reminded a week and a day before reports are due, each once.
func TestKnittersAreReminded(t *testing.T) {
	a := newApp(t)
	a.owner()
	d := a.signedIn()
	p := a.add(rightScarf)
	due := time.Now().UTC().AddDate(0, 0, 30).Format(time.DateOnly)
	d.openTest(p, url.Values{"deadline": {due}})
	d.invites(p, "ada@wold.example", "Ada", a.sizesOf(p)[0])
	now := time.Now()
	s, err := newServer(Config{DB: a.db, StudioID: a.studio.ID, Reach: a.URL, Logger: slog.New(slog.NewTextHandler(t.Output(), nil)), testOnlyClock: func() time.Time { return now }})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		days, letters int
		says          string
	}{{0, 1, ""}, {20, 1, ""}, {23, 2, "in 7 days"}, {24, 2, ""}, {29, 3, "tomorrow"}, {40, 3, ""}} {
		now = time.Now().AddDate(0, 0, c.days)
		for range 2 { // as when an hour has passed
			if err := s.remind(t.Context()); err != nil {
				t.Fatal(err)
			}
		}
		ls := a.letters("ada@wold.example")
		if len(ls) != c.letters || !strings.Contains(ls[0], c.says) {
			t.Errorf("after %d days: %d letters, the last %q", c.days, len(ls), ls[0])
		}
	}
}
