package handlers

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/go-chi/chi/v5"
)

const gate, refused = http.StatusSeeOther, http.StatusUnauthorized

// routeCase is a request with what it answers to somebody without an account and to the
// owner. What it answers to a test knitter is what it answers to anybody; the addresses
// that are hers stand in knitCases.
type routeCase struct {
	method, route, path string
	form                url.Values
	anonymous, owner    int
}

// routeCases has a case for each route that is not in knitCases.
var routeCases = []routeCase{
	{"GET", "/healthz", "/healthz", nil, 200, 200},
	{"GET", "/robots.txt", "/robots.txt", nil, 200, 200},
	{"GET", "/manifest.webmanifest", "/manifest.webmanifest", nil, 200, 200},
	{"GET", "/worker.js", "/worker.js", nil, 200, 200},
	{"GET", "/working", "/working", nil, 200, 200},
	{"GET", "/p/{slug}/work", "/p/ditch-scarf/work", nil, 200, 200},
	{"GET", "/p/{slug}/work", "/p/ditch-scarf/work?size=2", nil, 200, 200},
	{"GET", "/p/{slug}/work", "/p/ditch-scarf/work?size=9", nil, 422, 422},
	{"GET", "/p/{slug}/work", "/p/draft-scarf/work", nil, 404, 404},
	{"GET", "/assets/{hash}/*", "/assets/old/css/rowproof.css", nil, 200, 200},
	{"GET", "/", "/", nil, 200, 200},
	{"GET", "/p/{slug}", "/p/ditch-scarf", nil, 200, 200},
	{"GET", "/p/{slug}", "/p/draft-scarf", nil, 404, 404},
	{"GET", "/p/{slug}/{file}", "/p/ditch-scarf/ditch-scarf.pdf", nil, 200, 200},
	{"GET", "/p/{slug}/{file}", "/p/ditch-scarf/ditch-scarf.txt", nil, 200, 200},
	{"GET", "/p/{slug}/{file}", "/p/ditch-scarf/ditch-scarf.html", nil, 200, 200},
	{"GET", "/p/{slug}/{file}", "/p/ditch-scarf/ditch-scarf.exe", nil, 404, 404},
	{"GET", "/p/{slug}/{file}", "/p/ditch-scarf/ditch-scarf.pdf?size=9", nil, 404, 404},
	{"GET", "/p/{slug}/{file}", "/p/ditch-scarf/ditch-scarf.pdf?edition=chart", nil, 200, 200},
	{"GET", "/p/{slug}/{file}", "/p/ditch-scarf/ditch-scarf.pdf?edition=braille", nil, 404, 404},
	{"GET", "/p/{slug}/{file}", "/p/draft-scarf/draft-scarf.pdf", nil, 404, 404},
	{"GET", "/p/{slug}/revision/{number}", "/p/ditch-scarf/revision/1", nil, 200, 200},
	{"GET", "/p/{slug}/revision/{number}", "/p/ditch-scarf/revision/2", nil, 404, 404},
	{"GET", "/p/{slug}/revision/{number}/{file}", "/p/ditch-scarf/revision/1/ditch-scarf.pdf", nil, 200, 200},
	{"GET", "/p/{slug}/my-size", "/p/ditch-scarf/my-size", nil, 200, 200},
	{"GET", "/p/{slug}/my-size", "/p/draft-scarf/my-size", nil, 404, 404},
	{"GET", "/p/{slug}/my-size/{file}", "/p/ditch-scarf/my-size/ditch-scarf.pdf?width=x", nil, 404, 404},
	{"GET", "/p/{slug}/my-size/{file}", "/p/draft-scarf/my-size/draft-scarf.pdf", nil, 404, 404},
	{"GET", "/p/{slug}/fabric/{side}", "/p/ditch-scarf/fabric/rs.png", nil, 200, 200},
	{"GET", "/p/{slug}/fabric/{side}", "/p/ditch-scarf/fabric/up.png", nil, 404, 404},
	{"GET", "/p/{slug}/fabric/{side}", "/p/ditch-scarf/fabric/rs.png?part=9", nil, 404, 404},
	{"GET", "/p/{slug}/fabric/{side}", "/p/draft-scarf/fabric/rs.png", nil, 404, 404},
	{"GET", "/p/{slug}/revision/{number}/fabric/{side}", "/p/ditch-scarf/revision/1/fabric/ws.png", nil, 200, 200},
	{"GET", "/start", "/start", nil, gate, gate}, // there is an account already
	{"POST", "/start", "/start", url.Values{"email": {"x@y.example"}, "password": {"a long enough one"}}, 409, 409},
	{"GET", "/sign-in", "/sign-in", nil, 200, gate},
	{"POST", "/sign-in", "/sign-in", url.Values{"email": {ownerEmail}, "password": {"wrong"}}, 422, 422},
	{"GET", "/studio/", "/studio/", nil, gate, 200},
	{"GET", "/studio", "/studio", nil, gate, 200},
	{"GET", "/studio/bin", "/studio/bin", nil, gate, 200},
	{"GET", "/studio/settings", "/studio/settings", nil, gate, 200},
	{"POST", "/studio/settings", "/studio/settings", url.Values{"name": {"Test Studio"}}, refused, gate},
	{"POST", "/studio/password", "/studio/password", url.Values{"current": {"wrong"}}, refused, 422},
	{"GET", "/studio/outbox", "/studio/outbox", nil, gate, 200},
	{"GET", "/studio/outbox", "/studio/outbox?before=x", nil, gate, 404},
	{"GET", "/studio/outbox/{message}", "/studio/outbox/99", nil, gate, 404},
	{"POST", "/studio/outbox/{message}/send", "/studio/outbox/99/send", nil, refused, 404},
	{"GET", "/studio/new", "/studio/new", nil, gate, 200},
	{"POST", "/studio/new", "/studio/new", url.Values{"manuscript": {"Hat"}}, refused, gate},
	{"POST", "/studio/new/blank", "/studio/new/blank", url.Values{"title": {"Hat"}}, refused, gate},
	{"GET", "/studio/draft", "/studio/draft?form=set-in", nil, gate, 200},
	{"GET", "/studio/draft", "/studio/draft?form=cape", nil, gate, 404},
	{"GET", "/studio/shaping", "/studio/shaping", nil, gate, 200},
	{"GET", "/studio/shaping/{task}", "/studio/shaping/crown?sts=96", nil, gate, 200},
	{"GET", "/studio/shaping/{task}", "/studio/shaping/crown?sts=95", nil, gate, 422},
	{"GET", "/studio/shaping/{task}", "/studio/shaping/hem", nil, gate, 404},
	{"POST", "/studio/draft", "/studio/draft", url.Values{"form": {"scarf"}, "sts": {"x"}}, refused, 422},
	{"GET", "/studio/patterns/{id}/amounts", "/studio/patterns/2/amounts", nil, gate, 200},
	{"GET", "/studio/patterns/{id}/draft", "/studio/patterns/2/draft", nil, gate, 404}, // never drafted
	{"POST", "/studio/patterns/{id}/draft", "/studio/patterns/2/draft", nil, refused, 404},
	{"POST", "/studio/check", "/studio/check", url.Values{"manuscript": {"Hat"}}, refused, 200},
	{"GET", "/studio/stitches", "/studio/stitches", nil, gate, 200},
	{"GET", "/studio/stitches/bin", "/studio/stitches/bin", nil, gate, 200},
	{"GET", "/studio/stitches/new", "/studio/stitches/new", nil, gate, 200},
	{"POST", "/studio/stitches/new", "/studio/stitches/new", url.Values{"name": {"Waves"}, "manuscript": {"Multiple of 2 sts.\nRow 1: Knit."}}, refused, gate},
	{"POST", "/studio/stitches/new", "/studio/stitches/new", url.Values{"name": {"Pebble"}, "manuscript": {"Multiple of 2 sts.\nRow 1: Knit."}}, refused, 422}, // taken
	{"GET", "/studio/stitches/{stitch}", "/studio/stitches/1", nil, gate, 200},
	{"GET", "/studio/stitches/{stitch}", "/studio/stitches/99", nil, gate, 404},
	{"POST", "/studio/stitches/{stitch}", "/studio/stitches/1", url.Values{"base": {"7"}, "name": {"Pebble"}, "manuscript": {"Row 1: Knit."}}, refused, 409},
	{"GET", "/studio/stitches/{stitch}/picture.png", "/studio/stitches/1/picture.png?side=rs&v=1", nil, gate, 200},
	{"GET", "/studio/stitches/{stitch}/picture.png", "/studio/stitches/1/picture.png?side=up", nil, gate, 404},
	{"GET", "/studio/stitches/{stitch}/picture.png", "/studio/stitches/1/picture.png?side=rs&v=9", nil, gate, 404},
	{"GET", "/studio/stitches/{stitch}/versions/{version}", "/studio/stitches/1/versions/1", nil, gate, 200},
	{"GET", "/studio/stitches/{stitch}/versions/{version}", "/studio/stitches/1/versions/x", nil, gate, 404},
	{"POST", "/studio/stitches/{stitch}/gauges", "/studio/stitches/1/gauges", url.Values{"sts": {"22"}, "over": {"10"}}, refused, gate},
	{"POST", "/studio/stitches/{stitch}/gauges", "/studio/stitches/1/gauges", url.Values{"sts": {"many"}, "over": {"10"}}, refused, 422},
	{"POST", "/studio/stitches/{stitch}/gauges/{gauge}/remove", "/studio/stitches/1/gauges/99/remove", nil, refused, 404},
	{"GET", "/studio/patterns/{id}/stitch", "/studio/patterns/2/stitch", nil, gate, 200},
	{"POST", "/studio/patterns/{id}/stitch", "/studio/patterns/2/stitch", url.Values{"base": {"7"}}, refused, 409},
	{"GET", "/studio/patterns/{id}/stitch/{use}", "/studio/patterns/2/stitch/99", nil, gate, 404},
	{"POST", "/studio/patterns/{id}/stitch/{use}", "/studio/patterns/2/stitch/99", url.Values{"do": {"keep"}}, refused, 404},
	{"POST", "/studio/stitches/{stitch}/delete", "/studio/stitches/1/delete", nil, refused, gate},
	{"POST", "/studio/stitches/{stitch}/restore", "/studio/stitches/1/restore", nil, refused, gate},
	{"GET", "/studio/swatches", "/studio/swatches", nil, gate, 200},
	{"GET", "/studio/swatches/new", "/studio/swatches/new", nil, gate, 200},
	{"POST", "/studio/swatches/new", "/studio/swatches/new", url.Values{"stitch": {"garter stitch"}}, refused, gate},
	{"POST", "/studio/swatches/new", "/studio/swatches/new", url.Values{"grams": {"12"}}, refused, 422},
	{"GET", "/studio/swatches/{swatch}", "/studio/swatches/1", nil, gate, 200},
	{"GET", "/studio/swatches/{swatch}", "/studio/swatches/99", nil, gate, 404},
	{"GET", "/studio/swatches/{swatch}/edit", "/studio/swatches/1/edit", nil, gate, 200},
	{"POST", "/studio/swatches/{swatch}/edit", "/studio/swatches/1/edit", url.Values{"base": {"7"}, "stitch": {"stockinette"}}, refused, 409},
	{"GET", "/studio/swatches/{swatch}/{side}", "/studio/swatches/1/rs.jpg", nil, gate, 404}, // no photograph
	{"GET", "/studio/swatches/{swatch}/{side}", "/studio/swatches/1/up.jpg", nil, gate, 404},
	{"GET", "/studio/swatches/{swatch}/delete", "/studio/swatches/1/delete", nil, gate, 200},
	{"POST", "/studio/swatches/{swatch}/delete", "/studio/swatches/99/delete", nil, refused, 404},
	{"GET", "/studio/patterns/{id}", "/studio/patterns/2", nil, gate, 200},
	{"GET", "/studio/patterns/{id}", "/studio/patterns/99", nil, gate, 404},
	{"GET", "/studio/patterns/{id}", "/studio/patterns/x", nil, gate, 404},
	{"POST", "/studio/patterns/{id}", "/studio/patterns/2", url.Values{"do": {"check"}}, refused, 200},
	{"GET", "/studio/patterns/{id}/materials", "/studio/patterns/2/materials", nil, gate, 200},
	{"POST", "/studio/patterns/{id}/materials", "/studio/patterns/2/materials", url.Values{"base": {"7"}}, refused, 409},
	{"POST", "/studio/patterns/{id}/stitches", "/studio/patterns/2/stitches", url.Values{"base": {"7"}}, refused, 409},
	{"POST", "/studio/patterns/{id}/sizes", "/studio/patterns/2/sizes", url.Values{"base": {"7"}, "do": {"names"}}, refused, 409},
	{"GET", "/studio/patterns/{id}/chart", "/studio/patterns/2/chart?symbols=jis", nil, gate, 200},
	{"GET", "/studio/patterns/{id}/chart/draw", "/studio/patterns/2/chart/draw?columns=8&rows=8", nil, gate, 200},
	{"GET", "/studio/patterns/{id}/chart/draw", "/studio/patterns/2/chart/draw?section=0", nil, gate, 200},
	{"GET", "/studio/patterns/{id}/chart/draw", "/studio/patterns/2/chart/draw?section=9", nil, gate, 404},
	{"POST", "/studio/patterns/{id}/chart/draw", "/studio/patterns/2/chart/draw", url.Values{"base": {"7"}}, refused, gate}, // nothing drawn
	{"POST", "/studio/patterns/{id}/chart/check", "/studio/patterns/2/chart/check", url.Values{}, refused, 400},
	{"GET", "/studio/patterns/{id}/fabric", "/studio/patterns/2/fabric", nil, gate, 200},
	{"GET", "/studio/patterns/{id}/fabric", "/studio/patterns/99/fabric", nil, gate, 404},
	{"POST", "/studio/patterns/{id}/fabric", "/studio/patterns/2/fabric", url.Values{"base": {"7"}}, refused, 409},
	{"GET", "/studio/patterns/{id}/fabric/{side}", "/studio/patterns/2/fabric/ws.png", nil, gate, 200},
	{"GET", "/studio/patterns/{id}/history", "/studio/patterns/2/history", nil, gate, 200},
	{"GET", "/studio/patterns/{id}/history/{snapshot}", "/studio/patterns/2/history/2", nil, gate, 200},
	{"GET", "/studio/patterns/{id}/history/{snapshot}", "/studio/patterns/2/history/1", nil, gate, 404}, // another pattern's
	{"POST", "/studio/patterns/{id}/history/{snapshot}/restore", "/studio/patterns/2/history/2/restore", url.Values{"base": {"7"}}, refused, 409},
	{"GET", "/studio/patterns/{id}/conflict/{snapshot}", "/studio/patterns/2/conflict/2", nil, gate, 404}, // no conflict
	{"GET", "/studio/patterns/{id}/notes", "/studio/patterns/2/notes", nil, gate, 200},
	{"POST", "/studio/patterns/{id}/notes", "/studio/patterns/2/notes", url.Values{"body": {"Ask Wilma."}}, refused, gate},
	{"POST", "/studio/patterns/{id}/notes/{note}", "/studio/patterns/2/notes/99", url.Values{"body-99": {"Ask."}}, refused, 404},
	{"POST", "/studio/patterns/{id}/notes/{note}/remove", "/studio/patterns/2/notes/99/remove", nil, refused, 404},
	{"GET", "/studio/patterns/{id}/prints", "/studio/patterns/2/prints", nil, gate, 200},
	{"GET", "/studio/patterns/{id}/prints/{file}", "/studio/patterns/2/prints/draft-scarf.pdf", nil, gate, 200},
	{"GET", "/studio/patterns/{id}/prints/{file}", "/studio/patterns/2/prints/other.pdf", nil, gate, 404},
	{"GET", "/studio/patterns/{id}/publish", "/studio/patterns/2/publish", nil, gate, 200},
	{"POST", "/studio/patterns/{id}/publish", "/studio/patterns/2/publish", url.Values{"base": {"7"}}, refused, 409},
	{"POST", "/studio/patterns/{id}/copy", "/studio/patterns/2/copy", nil, refused, gate},
	{"POST", "/studio/patterns/{id}/delete", "/studio/patterns/2/delete", nil, refused, gate},
	{"POST", "/studio/patterns/{id}/restore", "/studio/patterns/2/restore", nil, refused, gate},
	{"POST", "/sign-out", "/sign-out", nil, gate, gate}, // last: it ends the session
}

// Every route with what it answers to somebody without an account and to the owner. A route
// that is in no table fails the test.
func TestRoutesByRole(t *testing.T) {
	tested := map[string]bool{}
	for _, c := range knitCases {
		tested[c.method+" "+c.route] = true
	}
	a := newApp(t)
	a.owner()
	a.publish(a.add(rightScarf))
	a.add(strings.Replace(rightScarf, "Ditch", "Draft", 1))
	a.stitch("Pebble", pebble)
	anonymous, owner := a.visitor(), a.signedIn()
	for _, c := range routeCases {
		tested[c.method+" "+c.route] = true
		for _, role := range []struct {
			name string
			v    *visitor
			want int
		}{{"anonymous", anonymous, c.anonymous}, {"owner", owner, c.owner}} {
			var got answer
			if c.method == "GET" {
				got = role.v.get(c.path)
			} else {
				got = role.v.post(c.path, c.form)
			}
			if got.status != role.want {
				t.Errorf("%s %s as %s: status %d, want %d", c.method, c.path, role.name, got.status, role.want)
			}
			if c.anonymous == gate && role.name == "anonymous" && strings.HasPrefix(c.path, "/studio") && !strings.HasPrefix(got.location, "/sign-in?next=") {
				t.Errorf("%s %s as %s: goes to %q", c.method, c.path, role.name, got.location)
			}
		}
	}
	err := chi.Walk(a.web.(chi.Routes), func(method, route string, _ http.Handler, _ ...func(http.Handler) http.Handler) error {
		if !tested[method+" "+route] {
			return fmt.Errorf("no case for %s %s", method, route)
		}
		return nil
	})
	if err != nil {
		t.Error(err)
	}
}

func TestHeadersOfEveryPage(t *testing.T) {
	a := newApp(t)
	for _, path := range []string{"/", "/start", "/nothing", "/healthz"} {
		got := a.visitor().get(path)
		for name, want := range map[string]string{
			"Content-Security-Policy": contentPolicy, "X-Content-Type-Options": "nosniff", "Referrer-Policy": "same-origin",
		} {
			if got.header.Get(name) != want {
				t.Errorf("%s: %s is %q, want %q", path, name, got.header.Get(name), want)
			}
		}
		for _, bad := range []string{"<style", "style=", "onclick", "http://", "https://"} {
			if i := strings.Index(got.body, bad); i >= 0 {
				t.Errorf("%s holds %q: …%s", path, bad, got.body[i:min(i+60, len(got.body))])
			}
		}
	}
}

func TestAssetsMayBeKeptForGood(t *testing.T) {
	a := newApp(t)
	page := a.visitor().get("/").body
	i := strings.Index(page, "/assets/")
	sheet := page[i : i+strings.Index(page[i:], `"`)]
	got := a.visitor().get(sheet)
	if got.status != 200 || !strings.Contains(got.header.Get("Cache-Control"), "immutable") {
		t.Errorf("%s: status %d, Cache-Control %q", sheet, got.status, got.header.Get("Cache-Control"))
	}
	if got := a.visitor().get("/assets/x/css"); got.status != 404 {
		t.Errorf("a folder of assets: status %d, want 404", got.status)
	}
}

func TestAnotherSiteCannotPost(t *testing.T) {
	a := newApp(t)
	a.owner()
	v := a.signedIn()
	req := v.request("POST", "/studio/new", url.Values{"manuscript": {"Hat"}})
	req.Header.Set("Sec-Fetch-Site", "cross-site")
	req.Header.Set("Origin", "https://elsewhere.example")
	v.do(req).want(t, "a post from another site", http.StatusForbidden, "Not from here")
	ps, err := a.db.ListPatterns(t.Context(), a.studio.ID)
	if err != nil || len(ps) != 0 {
		t.Errorf("after it there are %d patterns, error %v", len(ps), err)
	}
}

func TestOnlyOurOwnNamesAreAnswered(t *testing.T) {
	a := newApp(t)
	s := &server{Config: Config{URL: "https://knit.example"}}
	for host, want := range map[string]bool{
		"localhost:8080": true, "127.0.0.1:8080": true, "[::1]:8080": true, "192.168.1.7": true, "knit.example": true, "KNIT.example:443": true,
		"elsewhere.example": false, "knit.example.elsewhere.example": false, "localhost.elsewhere.example:8080": false, "": false,
	} {
		if got := s.ourName(host); got != want {
			t.Errorf("ourName(%q) = %v, want %v", host, got, want)
		}
	}
	v := a.visitor()
	req := v.request("POST", "/start", url.Values{"email": {ownerEmail}, "password": {ownerPassword}})
	req.Host = "elsewhere.example"
	v.do(req).want(t, "a first account by another name", http.StatusMisdirectedRequest, "does not know itself")
}

func TestFirstAccount(t *testing.T) {
	a := newApp(t)
	v := a.visitor()
	v.get("/").want(t, "the front page of a new studio", 200, "Make the owner’s account")
	v.post("/start", url.Values{"email": {ownerEmail}, "password": {"short"}}).want(t, "a short password", 422, "Password needs at least 12 letters", ownerEmail)
	got := v.post("/start", url.Values{"email": {ownerEmail}, "password": {ownerPassword}})
	if got.status != 303 || got.location != "/studio" {
		t.Fatalf("the first account: %d to %q: %s", got.status, got.location, got.body)
	}
	v.get("/studio/").want(t, "the studio after it", 200, "Begin the first one", "Your account is made")
	a.visitor().post("/start", url.Values{"email": {"second@quarry.example"}, "password": {ownerPassword}}).want(t, "a second first account", 409)
}

func TestSessionIsRenewedAndHashed(t *testing.T) {
	a := newApp(t)
	a.owner()
	v := a.visitor()
	got := v.post("/sign-in", url.Values{"email": {ownerEmail}, "password": {ownerPassword}, "next": {"//elsewhere.example/"}})
	if got.location != "/studio" {
		t.Errorf("signing in with a foreign next goes to %q", got.location)
	}
	cookie := got.header.Get("Set-Cookie")
	for _, want := range []string{"HttpOnly", "SameSite=Lax"} {
		if !strings.Contains(cookie, want) {
			t.Errorf("the cookie %q lacks %s", cookie, want)
		}
	}
	token := strings.TrimPrefix(strings.SplitN(cookie, ";", 2)[0], "rowproof=")
	if _, found, err := a.db.SessionStore().Find(token); err != nil || found {
		t.Errorf("the store holds the token as the cookie has it (error %v)", err)
	}
	v.post("/sign-out", nil)
	v.get("/studio/").want(t, "the studio after signing out", 303)
}

func TestNewPasswordEndsOtherSessions(t *testing.T) {
	a := newApp(t)
	a.owner()
	here, elsewhere := a.signedIn(), a.signedIn()
	elsewhere.get("/studio/").want(t, "elsewhere, before", 200)
	got := here.post("/studio/password", url.Values{"current": {ownerPassword}, "password": {"eight sheep in a valley"}})
	got.want(t, "a new password", 303)
	here.get("/studio/").want(t, "here, after it", 200)
	elsewhere.get("/studio/").want(t, "elsewhere, after it", 303)
	elsewhere.post("/studio/new", url.Values{"manuscript": {"Hat"}}).want(t, "a form from elsewhere", 401)
}

func TestSigningInIsLimited(t *testing.T) {
	a := newApp(t)
	a.owner()
	v := a.visitor()
	for range signInTries {
		v.post("/sign-in", url.Values{"email": {ownerEmail}, "password": {"wrong"}}).want(t, "a wrong password", 422, "do not belong together")
	}
	v.post("/sign-in", url.Values{"email": {ownerEmail}, "password": {ownerPassword}}).want(t, "one try more", 429, "Too many tries")
}

func TestTooMuchTextIsRefusedInWords(t *testing.T) {
	a := newApp(t)
	a.owner()
	v := a.signedIn()
	v.post("/studio/new", url.Values{"manuscript": {strings.Repeat("k", manuscriptBody)}}).want(t, "3 MiB", 413, "up to 1 MiB")
	v.post("/studio/new", url.Values{"manuscript": {strings.Repeat("k", 1<<20+1)}}).want(t, "a little over 1 MiB", 422, "longer than 1 MiB")
}
