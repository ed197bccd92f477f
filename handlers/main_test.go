package handlers

import (
	"io"
	"log/slog"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"strconv"
	"strings"
	"testing"

	"rowproof/domain/review"
	"rowproof/domain/store"
	"rowproof/domain/store/storetest"
	"rowproof/domain/studio"
)

func TestMain(m *testing.M) { storetest.Main(m) }

// app is the web app over a database of its own.
type app struct {
	t      *testing.T
	db     *store.DB
	studio studio.Studio
	web    http.Handler
	URL    string
}

const (
	ownerEmail    = "ottilie@quarry.example"
	ownerPassword = "seven sheep on a slope"
)

// newApp starts the app with an empty studio.
func newApp(t *testing.T) *app {
	t.Helper()
	db := storetest.New(t)
	st, err := db.EnsureStudio(t.Context(), "Test Studio")
	if err != nil {
		t.Fatal(err)
	}
	srv := httptest.NewUnstartedServer(nil)
	h, err := New(Config{DB: db, StudioID: st.ID, Reach: "http://" + srv.Listener.Addr().String(), Version: "test", Logger: slog.New(slog.NewTextHandler(t.Output(), nil))})
	if err != nil {
		t.Fatal(err)
	}
	srv.Config.Handler = h
	srv.Start()
	t.Cleanup(srv.Close)
	return &app{t, db, st, h, srv.URL}
}

// owner makes the owner's account.
func (a *app) owner() studio.Account {
	a.t.Helper()
	acc, err := a.db.CreateFirstAccount(a.t.Context(), a.studio.ID, studio.NewAccount{Email: ownerEmail, Name: "Ottilie Brandreth", Password: ownerPassword})
	if err != nil {
		a.t.Fatal(err)
	}
	return acc
}

// add puts a pattern into the studio.
func (a *app) add(text string) studio.Pattern {
	a.t.Helper()
	p, err := a.db.CreatePattern(a.t.Context(), a.studio.ID, text, Project(review.Check(text)), 0)
	if err != nil {
		a.t.Fatal(err)
	}
	return p
}

// publish sends a pattern out.
func (a *app) publish(p studio.Pattern) {
	a.t.Helper()
	pub, err := publication(p, review.Check(p.Manuscript), "test", "", func(int) string { return "as a test" })
	if err != nil {
		a.t.Fatal(err)
	}
	if _, err := a.db.Publish(a.t.Context(), a.studio.ID, p.ID, 0, pub); err != nil {
		a.t.Fatal(err)
	}
}

// visitor is a browser without scripts: it keeps cookies and follows nothing.
type visitor struct {
	*app
	client *http.Client
}

func (a *app) visitor() *visitor {
	jar, err := cookiejar.New(nil)
	if err != nil {
		a.t.Fatal(err)
	}
	return &visitor{a, &http.Client{Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}}
}

// signedIn is a visitor who is signed in as the owner.
func (a *app) signedIn() *visitor {
	a.t.Helper()
	v := a.visitor()
	got := v.post("/sign-in", url.Values{"email": {ownerEmail}, "password": {ownerPassword}})
	if got.status != http.StatusSeeOther {
		a.t.Fatalf("signing in: %d %s", got.status, got.body)
	}
	return v
}

type answer struct {
	status   int
	body     string
	location string
	header   http.Header
}

func (v *visitor) do(req *http.Request) answer {
	v.t.Helper()
	res, err := v.client.Do(req)
	if err != nil {
		v.t.Fatal(err)
	}
	defer res.Body.Close()
	b, err := io.ReadAll(res.Body)
	if err != nil {
		v.t.Fatal(err)
	}
	return answer{res.StatusCode, string(b), res.Header.Get("Location"), res.Header}
}

func (v *visitor) request(method, path string, form url.Values) *http.Request {
	v.t.Helper()
	var body io.Reader
	if form != nil {
		body = strings.NewReader(form.Encode())
	}
	req, err := http.NewRequestWithContext(v.t.Context(), method, v.URL+path, body)
	if err != nil {
		v.t.Fatal(err)
	}
	if form != nil {
		req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	return req
}

func (v *visitor) get(path string) answer { v.t.Helper(); return v.do(v.request("GET", path, nil)) }

func (v *visitor) post(path string, form url.Values) answer {
	v.t.Helper()
	if form == nil {
		form = url.Values{}
	}
	return v.do(v.request("POST", path, form))
}

// want fails unless an answer has the status and holds the words.
func (a answer) want(t *testing.T, what string, status int, words ...string) {
	t.Helper()
	if a.status != status {
		t.Errorf("%s: status %d, want %d; %s", what, a.status, status, a.location)
	}
	for _, w := range words {
		if !strings.Contains(a.body, w) {
			t.Errorf("%s: page does not hold %q", what, w)
		}
	}
}

func version(p studio.Pattern) string { return strconv.Itoa(p.Version) }

// a scarf of our own that is right at every size, and the same with a row that
// leaves a stitch over.
const (
	rightScarf = `Ditch Scarf

Sizes: S, M, L
Gauge: 20 sts and 28 rows = 10 cm in stockinette
Yarn: DK weight wool, 50 g = 110 m
Needles: 4 mm

Scarf
CO 27 (33, 39) sts.
Row 1 (RS): K3, *p3, k3; rep from * to end.
Row 2 (WS): P3, *k3, p3; rep from * to end.
Row 3: K2, *yo, ssk, k4; rep from * to last st, k1.
Row 4: Purl.
Bind off all sts.
`
)

var wrongScarf = strings.Replace(rightScarf, "to last st, k1.", "to last st, k2.", 1)
