package handlers

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/google/uuid"
)

// knitCases has a case for each route of test knits: what it answers to somebody without
// an account, to the owner, to the knitter whose it is, and to a knitter of another
// pattern. Pattern 2 is hers, in test; her knitter has the id 1, her erratum 1.
var knitCases = []struct {
	method, route, path                string
	form                               url.Values
	anonymous, owner, knitter, another int
}{
	{"GET", "/offer/{code}", "/offer/nothing", nil, 404, 404, 404, 404},
	{"POST", "/offer/{code}", "/offer/nothing", url.Values{"email": {"x@y.example"}}, 404, 404, 404, 404},
	{"GET", "/mail/stop", "/mail/stop?k=made-up", nil, 410, 410, 410, 410},
	{"POST", "/mail/stop", "/mail/stop?k=made-up", nil, 410, 410, 410, 410},
	{"GET", "/knit/sign-in", "/knit/sign-in", nil, 200, 200, gate, gate},
	{"POST", "/knit/sign-in", "/knit/sign-in", url.Values{"email": {"nobody@moor.example"}}, 200, 200, 200, 200},
	{"GET", "/knit/enter", "/knit/enter?k=made-up", nil, 410, 410, 410, 410},
	{"POST", "/knit/enter", "/knit/enter", url.Values{"k": {"made-up"}}, 410, 410, 410, 410},
	{"GET", "/knit", "/knit", nil, gate, gate, 200, 200},
	{"GET", "/knit/{knitter}", "/knit/1", nil, gate, gate, 200, 404},
	{"GET", "/knit/{knitter}", "/knit/99", nil, gate, gate, 404, 404},
	{"GET", "/knit/{knitter}/work", "/knit/1/work", nil, gate, gate, 200, 404},
	{"GET", "/knit/{knitter}/read", "/knit/1/read", nil, gate, gate, 200, 404},
	{"POST", "/knit/{knitter}/seen", "/knit/1/seen", nil, refused, refused, gate, 404},
	{"POST", "/knit/{knitter}/events", "/knit/1/events", nil, refused, refused, 400, 404},
	{"GET", "/knit/{knitter}/errata/new", "/knit/1/errata/new", nil, gate, gate, 200, 404},
	{"POST", "/knit/{knitter}/errata/new", "/knit/1/errata/new", url.Values{"what": {"count"}}, refused, refused, 422, 404},
	{"GET", "/knit/{knitter}/errata/{erratum}", "/knit/1/errata/1", nil, gate, gate, 200, 404},
	{"GET", "/knit/{knitter}/errata/{erratum}", "/knit/1/errata/2", nil, gate, gate, 404, 404}, // another's, of her own pattern
	{"POST", "/knit/{knitter}/errata/{erratum}", "/knit/1/errata/1", url.Values{"body": {"And more."}}, refused, refused, gate, 404},
	{"POST", "/knit/{knitter}/errata/{erratum}", "/knit/1/errata/2", url.Values{"body": {"And more."}}, refused, refused, 404, 404},
	{"GET", "/knit/{knitter}/errata/{erratum}/photo.jpg", "/knit/1/errata/1/photo.jpg", nil, gate, gate, 200, 404},
	{"GET", "/knit/{knitter}/errata/{erratum}/photo.jpg", "/knit/1/errata/2/photo.jpg", nil, gate, gate, 404, 404},
	{"GET", "/knit/{knitter}/report", "/knit/1/report", nil, gate, gate, 200, 404},
	{"POST", "/knit/{knitter}/report", "/knit/1/report", url.Values{"base": {"0"}, "hours": {"x"}}, refused, refused, 422, 404},
	{"GET", "/knit/{knitter}/photo/{photo}", "/knit/1/photo/1", nil, gate, gate, 200, 404},
	{"GET", "/knit/{knitter}/photo/{photo}", "/knit/1/photo/2", nil, gate, gate, 404, 404},
	{"GET", "/knit/{knitter}/{file}", "/knit/1/draft-scarf.txt", nil, gate, gate, 200, 404},
	{"GET", "/knit/{knitter}/{file}", "/knit/1/ditch-scarf.txt", nil, gate, gate, 404, 404},
	{"GET", "/knit/{knitter}/{file}", "/knit/1/deadline.ics", nil, gate, gate, 404, 404}, // none was set
	{"GET", "/studio/patterns/{id}/test", "/studio/patterns/2/test", nil, gate, 200, gate, gate},
	{"POST", "/studio/patterns/{id}/test", "/studio/patterns/2/test", url.Values{"base": {"1"}}, refused, 409, refused, refused},
	{"POST", "/studio/patterns/{id}/test/call", "/studio/patterns/2/test/call", url.Values{"base": {"1"}}, refused, 422, refused, refused},
	{"POST", "/studio/patterns/{id}/test/invite", "/studio/patterns/2/test/invite", url.Values{"email": {"none"}}, refused, 422, refused, refused},
	{"POST", "/studio/patterns/{id}/test/knitters/{knitter}", "/studio/patterns/2/test/knitters/3", url.Values{"do": {"end"}}, refused, 404, refused, refused}, // of another pattern
	{"POST", "/studio/patterns/{id}/test/knitters/{knitter}", "/studio/patterns/2/test/knitters/1", url.Values{"do": {"sing"}}, refused, 400, refused, refused},
	{"GET", "/studio/patterns/{id}/test/knitters/{knitter}/photo/{photo}", "/studio/patterns/2/test/knitters/1/photo/1", nil, gate, 200, gate, gate},
	{"GET", "/studio/patterns/{id}/test/revision", "/studio/patterns/2/test/revision", nil, gate, 200, gate, gate},
	{"POST", "/studio/patterns/{id}/test/revision", "/studio/patterns/2/test/revision", url.Values{"base": {"7"}}, refused, 409, refused, refused},
	{"GET", "/studio/patterns/{id}/test/errata", "/studio/patterns/2/test/errata", nil, gate, 200, gate, gate},
	{"POST", "/studio/patterns/{id}/test/errata", "/studio/patterns/2/test/errata", url.Values{"first": {"x"}}, refused, 400, refused, refused},
	{"GET", "/studio/patterns/{id}/test/errata/{erratum}", "/studio/patterns/2/test/errata/1", nil, gate, 200, gate, gate},
	{"GET", "/studio/patterns/{id}/test/errata/{erratum}", "/studio/patterns/1/test/errata/1", nil, gate, 404, gate, gate}, // another pattern's
	{"POST", "/studio/patterns/{id}/test/errata/{erratum}", "/studio/patterns/2/test/errata/1", url.Values{"base": {"1"}}, refused, 422, refused, refused},
	{"POST", "/studio/patterns/{id}/test/errata/{erratum}/settle", "/studio/patterns/2/test/errata/1/settle", nil, refused, 422, refused, refused},
	{"GET", "/studio/patterns/{id}/test/errata/{erratum}/photo.jpg", "/studio/patterns/2/test/errata/1/photo.jpg", nil, gate, 200, gate, gate},
	{"GET", "/studio/patterns/{id}/test/needles", "/studio/patterns/2/test/needles", nil, gate, 200, gate, gate},
	{"POST", "/studio/patterns/{id}/test/needles", "/studio/patterns/2/test/needles", url.Values{"answer": {"maybe"}}, refused, 400, refused, refused},
	{"GET", "/studio/patterns/{id}/test/export", "/studio/patterns/2/test/export", nil, gate, 200, gate, gate},
	{"GET", "/studio/patterns/{id}/test/export/{file}", "/studio/patterns/2/test/export/errata.csv", nil, gate, 200, gate, gate},
	{"GET", "/studio/patterns/{id}/test/export/{file}", "/studio/patterns/2/test/export/secrets.csv", nil, gate, 404, gate, gate},
	{"POST", "/studio/patterns/{id}/test/credits", "/studio/patterns/2/test/credits", nil, refused, 409, refused, refused}, // nobody agreed
	{"POST", "/studio/patterns/{id}/test/close", "/studio/patterns/1/test/close", nil, refused, 404, refused, refused},
	{"POST", "/knit/{knitter}/leave", "/knit/3/leave", nil, refused, refused, 404, gate}, // another's; his own
	{"POST", "/knit/forget", "/knit/forget", nil, refused, refused, gate, gate},
	{"POST", "/knit/sign-out", "/knit/sign-out", nil, gate, gate, gate, gate}, // last: it ends the session
}

// What no test knitter may see, wherever she looks: somebody else's address, what another
// noted, the studio's private note, another pattern in test, and a draft that was not sent
// to her.
const (
	otherAddress = "bea@fell.example"
	otherNote    = "what Bea wrote"
	privateNote  = "between ourselves"
	laterDraft   = "for the draft after hers"
	otherPattern = "Heron Cowl"
)

// inTests sets up a studio with pattern 2 in test for Ada (knitter 1) and Bea (2), and
// pattern 3 for Cor (3).
func inTests(t *testing.T) (a *app, owner, ada, cor *visitor) {
	t.Helper()
	a = newApp(t)
	a.owner()
	a.publish(a.add(rightScarf))
	draft := a.add(strings.Replace(rightScarf, "Ditch", "Draft", 1))
	a.stitch("Pebble", pebble)
	owner = a.signedIn()
	owner.openTest(draft, url.Values{"note": {privateNote}})
	zs := a.sizesOf(draft)
	owner.invites(draft, "ada@wold.example", "Ada", zs[1])
	owner.invites(draft, otherAddress, "", zs[0])
	heron := a.add(strings.Replace(rightScarf, "Ditch Scarf", otherPattern, 1))
	owner.openTest(heron, nil)
	owner.invites(heron, "cor@tarn.example", "", a.sizesOf(heron)[0])
	ada, cor = a.comesIn("ada@wold.example"), a.comesIn("cor@tarn.example")
	bea := a.comesIn(otherAddress)
	for i, v := range []*visitor{ada, bea} {
		path := fmt.Sprintf("/knit/%d", i+1)
		v.upload(path+"/errata/new", map[string]string{"what": "other", "note": map[int]string{0: "mine", 1: otherNote}[i]}, map[string][]byte{"photo": knitted(t, 60, 40)}).
			want(t, "noting something", 303)
		v.upload(path+"/report", map[string]string{"base": "0", "fit": map[int]string{0: "well", 1: otherNote}[i], "do": "save"}, map[string][]byte{"photo": knitted(t, 60, 40)}).
			want(t, "telling something", 303)
	}
	// A later draft that is not hers: saved, and even frozen, but not sent.
	later := strings.Replace(draft.Manuscript, "Bind off all sts.", "Row 5: Knit.\n"+laterDraft+"\nBind off all sts.", 1)
	owner.post(patternURL(draft), url.Values{"do": {"save"}, "base": {version(draft)}, "manuscript": {later}}).want(t, "a later draft", 303)
	return a, owner, ada, cor
}

func TestKnitRoutesByRole(t *testing.T) {
	a, owner, ada, cor := inTests(t)
	anonymous := a.visitor()
	for _, c := range knitCases {
		for _, role := range []struct {
			name string
			v    *visitor
			want int
		}{{"anonymous", anonymous, c.anonymous}, {"owner", owner, c.owner}, {"the knitter", ada, c.knitter}, {"another knitter", cor, c.another}} {
			var got answer
			if c.method == http.MethodGet {
				got = role.v.get(c.path)
			} else {
				got = role.v.post(c.path, c.form)
			}
			if got.status != role.want {
				t.Errorf("%s %s as %s: status %d, want %d", c.method, c.path, role.name, got.status, role.want)
			}
			if role.v == ada || role.v == cor {
				seesNothing(t, role.name, c.path, got)
			}
		}
	}
}

// seesNothing fails when an answer holds what no test knitter may see.
func seesNothing(t *testing.T, who, path string, got answer) {
	t.Helper()
	for _, secret := range []string{otherAddress, otherNote, privateNote, laterDraft} {
		if strings.Contains(got.body, secret) {
			t.Errorf("%s at %s: %s may read %q", path, who, who, secret)
		}
	}
	if who == "the knitter" && strings.Contains(got.body, otherPattern) {
		t.Errorf("%s: the knitter may read of another pattern", path)
	}
}

// A test knitter is nobody to every other address.
func TestTestKnitterIsNobodyElsewhere(t *testing.T) {
	_, _, ada, _ := inTests(t)
	for _, c := range routeCases {
		if c.path == "/sign-out" || c.path == "/start" || c.path == "/sign-in" && c.method == http.MethodPost {
			continue // what they answer does not hang on her
		}
		var got answer
		if c.method == http.MethodGet {
			got = ada.get(c.path)
		} else {
			got = ada.post(c.path, c.form)
		}
		if got.status != c.anonymous {
			t.Errorf("%s %s as a test knitter: status %d, want %d", c.method, c.path, got.status, c.anonymous)
		}
		seesNothing(t, "the knitter", c.path, got)
	}
}

// A frozen draft is not hers before it is sent to her; and what she knits ends with her
// seat.
func TestLaterDraftIsNotHers(t *testing.T) {
	a, owner, ada, _ := inTests(t)
	p, err := a.db.Pattern(t.Context(), a.studio.ID, 2)
	if err != nil {
		t.Fatal(err)
	}
	paths := []string{"/knit/1", "/knit/1/read", "/knit/1/work", "/knit/1/draft-scarf.txt", "/knit/1/errata/new", "/knit/1/report"}
	for _, path := range paths {
		if body := ada.get(path).body; strings.Contains(body, "Row 5") || strings.Contains(body, laterDraft) {
			t.Errorf("%s shows her a draft that was not sent", path)
		}
	}
	owner.post(patternURL(p)+"/test/revision", url.Values{"base": {version(p)}}).want(t, "sending it", 303)
	ada.get("/knit/1/read").want(t, "the draft that was sent", 200, "Row 5")
	// Then a release goes out that changes more; she still reads what she was given.
	text := strings.Replace(p.Manuscript, "Row 5: Knit.", "Row 5: Purl.", 1)
	owner.post(patternURL(p), url.Values{"do": {"save"}, "base": {version(p)}, "manuscript": {text}}).want(t, "another text", 303)
	if p, err = a.db.Pattern(t.Context(), a.studio.ID, 2); err != nil {
		t.Fatal(err)
	}
	a.publish(p)
	if body := ada.get("/knit/1/read").body; strings.Contains(body, "Row 5: Purl") || !strings.Contains(body, "Revision 2") && !strings.Contains(ada.get("/knit/1").body, "Revision 2") {
		t.Error("she reads the release instead of her revision")
	}
	owner.post(patternURL(p)+"/test/knitters/1", url.Values{"do": {"end"}}).want(t, "taking the seat back", 303)
	for _, path := range paths {
		ada.get(path).want(t, path+" without a seat", 404)
	}
}

// Links: of another purpose, past their time, changed, of another seal.
func TestLinks(t *testing.T) {
	a, _, ada, _ := inTests(t)
	entry := a.entryOf("ada@wold.example")
	u, err := url.Parse(entry)
	if err != nil {
		t.Fatal(err)
	}
	token := u.Query().Get("k")
	v := a.visitor()
	v.get("/mail/stop?k="+url.QueryEscape(token)).want(t, "an entry link used to stop mail", 410)
	v.get("/knit/enter?k="+url.QueryEscape(token[:len(token)-3]+"abc")).want(t, "a changed link", 410)
	v.get(entry).want(t, "the link", 200)
	// A letter's own link to stop notices works at one click (RFC 8058), and stops no entry.
	stop := ""
	for _, l := range a.letters("ada@wold.example") {
		for _, m := range linkIn.FindAllString(l, -1) {
			if strings.HasPrefix(m, "/mail/stop") {
				stop = m
			}
		}
	}
	req := v.request("POST", stop, url.Values{"List-Unsubscribe": {"One-Click"}})
	v.do(req).want(t, "one click", 200, "You get no more notices")
	if p, err := a.db.Person(t.Context(), a.studio.ID, 1); err != nil || !p.MailStopped {
		t.Errorf("after one click: %+v, %v", p, err)
	}
	// A link asked for comes all the same.
	v.post("/knit/sign-in", url.Values{"email": {"Ada@wold.example"}}).want(t, "asking for a link", 200, "a link is on its way")
	if l := a.letters("ada@wold.example")[0]; !strings.Contains(l, "the link you asked for") {
		t.Errorf("the letter: %q", l)
	}
	// Signing out everywhere ends links and sessions.
	other := a.comesIn("ada@wold.example")
	fresh := a.entryOf("ada@wold.example")
	other.get("/knit/1").want(t, "on another device", 200)
	ada.post("/knit/sign-out", url.Values{"everywhere": {"yes"}}).want(t, "signing out everywhere", 303)
	other.get("/knit/1").want(t, "on the other device after it", 303)
	v.get(fresh).want(t, "a link from before", 410)
}

// A device's uuid says nothing about who it is: another knitter cannot send into hers.
func TestDevicesAreApart(t *testing.T) {
	a, _, ada, cor := inTests(t)
	device := uuid.NewString()
	place := func(step int) map[string]any {
		return event(1, "place", map[string]any{"step": step, "of": 10, "words": "Row 1"})
	}
	ada.sends("/knit/1/events", device, place(3)).want(t, "hers", 200, `"upto":1`)
	cor.sends("/knit/1/events", device, event(2, "place", map[string]any{"step": 9, "of": 10})).want(t, "into hers", 404)
	cor.sends("/knit/3/events", device, place(5)).want(t, "the same uuid for his own", 200, `"upto":1`)
	k, err := a.db.Knit(t.Context(), a.studio.ID, 1, 1)
	if err != nil || k.Place.Step != 3 {
		t.Errorf("she is at %+v, %v", k.Place, err)
	}
}
