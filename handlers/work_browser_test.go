package handlers

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"rowproof/assets"
	"rowproof/domain/studio"
)

// wire is what lies between a phone and the server. It can be cut, so that the service
// worker, too, finds no network.
type wire struct {
	*app
	cut  atomic.Bool
	none atomic.Bool   // the server knows nothing of what was sent before
	deny atomic.Bool   // notes of errata are not taken
	hash atomic.Value  // other than the files' own: as if another version were running
	lost atomic.Int32  // answers to notes that are swallowed before the wire is whole again
	took chan struct{} // a swallowed answer: the server holds the notes, the phone does not know
}

func (a *app) wire() *wire {
	a.t.Helper()
	to, err := url.Parse(a.URL)
	if err != nil {
		a.t.Fatal(err)
	}
	w := &wire{took: make(chan struct{}, 8)}
	proxy := httputil.NewSingleHostReverseProxy(to)
	proxy.ModifyResponse = func(res *http.Response) error {
		hash, _ := w.hash.Load().(string)
		if kind := res.Header.Get("Content-Type"); hash == "" || !strings.HasPrefix(kind, "text/html") && !strings.HasPrefix(kind, "text/javascript") {
			return nil
		}
		body, err := io.ReadAll(res.Body)
		body = bytes.ReplaceAll(body, []byte(assets.Hash), []byte(hash))
		res.Body, res.ContentLength = io.NopCloser(bytes.NewReader(body)), int64(len(body))
		res.Header.Set("Content-Length", strconv.Itoa(len(body)))
		return err
	}
	srv := httptest.NewServer(http.HandlerFunc(func(rw http.ResponseWriter, r *http.Request) {
		if w.cut.Load() {
			panic(http.ErrAbortHandler)
		}
		if strings.HasSuffix(r.URL.Path, "/events") && w.none.Load() {
			w.none.Store(false)
			rw.Header().Set("Content-Type", "application/json")
			fmt.Fprint(rw, `{"upto":0,"refused":{}}`)
			return
		}
		if strings.HasSuffix(r.URL.Path, "/events") && w.deny.Load() {
			body, err := io.ReadAll(r.Body)
			if err == nil && bytes.Contains(body, []byte(`"kind":"erratum"`)) {
				rw.Header().Set("Content-Type", "application/json")
				rw.WriteHeader(http.StatusUnprocessableEntity)
				fmt.Fprint(rw, `{"error":"This does not fit","text":"The note is too long."}`)
				return
			}
			r.Body = io.NopCloser(bytes.NewReader(body))
		}
		if strings.HasSuffix(r.URL.Path, "/events") && w.lost.Load() > 0 {
			w.lost.Add(-1)
			proxy.ServeHTTP(nowhere{http.Header{}}, r)
			w.took <- struct{}{}
			panic(http.ErrAbortHandler)
		}
		proxy.ServeHTTP(rw, r)
	}))
	a.t.Cleanup(srv.Close)
	here := *a
	here.URL = srv.URL
	w.app = &here
	return w
}

// nowhere is where answers are lost.
type nowhere struct{ h http.Header }

func (n nowhere) Header() http.Header         { return n.h }
func (n nowhere) Write(b []byte) (int, error) { return len(b), nil }
func (n nowhere) WriteHeader(int)             {}

// phone is a browser of a phone's size that is touched.
func (w *wire) phone() *browser {
	w.t.Helper()
	b := w.newBrowser()
	b.do(chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch))
	return b
}

// kill crashes the tab's process. Its answer never comes.
func (b *browser) kill() {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, 2*time.Second)
	defer cancel()
	if _, err := chromedp.Call(ctx, page.Crash, cdp.Empty{}); err == nil {
		b.t.Error("the tab outlived its crash")
	}
}

// network cuts the wire or makes it whole, and tells the phone so.
func (w *wire) network(b *browser, on bool) {
	w.t.Helper()
	w.cut.Store(!on)
	if _, err := chromedp.Call(b.ctx, network.OverrideNetworkState, network.OverrideNetworkStateParams{Offline: !on, DownloadThroughput: -1, UploadThroughput: -1}); err != nil {
		w.t.Fatal(err)
	}
}

// swipe draws a finger across the row.
func (b *browser) swipe(from, to float64) {
	b.t.Helper()
	touch := func(kind input.DispatchTouchEventType, points ...*input.TouchPoint) {
		if _, err := chromedp.Call(b.ctx, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: points}); err != nil {
			b.t.Fatal(err)
		}
	}
	touch(input.DispatchTouchEventTypeTouchStart, &input.TouchPoint{X: from, Y: 300})
	for k := range 4 {
		touch(input.DispatchTouchEventTypeTouchMove, &input.TouchPoint{X: from + (to-from)*float64(k+1)/4, Y: 302})
	}
	touch(input.DispatchTouchEventTypeTouchEnd)
}

// live waits for the row at hand.
func (b *browser) live(path string) {
	b.t.Helper()
	b.open(path)
	b.until(`document.body.classList.contains("live")`)
}

func (b *browser) row(number string) {
	b.t.Helper()
	b.until(fmt.Sprintf(`document.getElementById("where").textContent === %q`, number))
}

func lanternHat(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile("../cmd/rowproof/demo/lantern-hat.txt")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// A reader works thirty rows of a hat with button, finger and keys, is reloaded, loses the
// network, and is where she was.
func TestAReaderWorksThroughAPattern(t *testing.T) {
	a := newApp(t)
	a.owner()
	a.publish(a.add(lanternHat(t)))
	w := a.wire()
	b := w.phone()
	b.open("/p/lantern-hat")
	b.do(chromedp.Click(`a[href="/p/lantern-hat/work"]`), chromedp.WaitVisible(".work-sizes"), chromedp.Click(`a[href="/p/lantern-hat/work?size=2"]`), chromedp.WaitVisible("#next"))
	b.row("53 rows") // the cast-on is none
	b.until(`document.getElementById("text").textContent.includes("104") && document.getElementById("count").textContent.includes("104 stitches")`)
	for i := range 10 {
		b.do(chromedp.Click("#next"))
		b.row(fmt.Sprintf("Row %d of 53", i+1))
	}
	b.until(`document.getElementById("pass").textContent === "repeat 10 of 14" && document.getElementById("head").textContent === "Rib rnd"`)
	for i := range 10 {
		b.swipe(320, 90)
		b.row(fmt.Sprintf("Row %d of 53", i+11))
	}
	for i := range 5 {
		b.do(chromedp.KeyEvent(kb.ArrowRight))
		b.row(fmt.Sprintf("Row %d of 53", i+21))
	}
	b.do(chromedp.Evaluate[chromedp.Void](`document.activeElement.blur()`))
	for i := range 5 {
		b.do(chromedp.KeyEvent(" "))
		b.row(fmt.Sprintf("Row %d of 53", i+26))
	}
	b.do(chromedp.KeyEvent(kb.ArrowLeft))
	b.row("Row 29 of 53")
	b.swipe(90, 320)
	b.row("Row 28 of 53")
	b.do(chromedp.Click("#back"))
	b.row("Row 27 of 53")

	// What is counted along the row comes back with it.
	b.do(chromedp.Click(".work-tap"), chromedp.Click(".work-tap"), chromedp.Click(".work-tap"))
	b.until(`document.querySelector(".work-tap-n").textContent.startsWith("3")`)
	b.do(chromedp.Click("#next"), chromedp.Click("#back"))
	b.row("Row 27 of 53")
	b.until(`document.querySelector(".work-tap-n").textContent.startsWith("3")`)

	// Reloaded, then without a network, then in a new tab without one.
	b.live("/p/lantern-hat/work?size=2")
	b.row("Row 27 of 53")
	b.until(`document.body.dataset.kept === "yes"`)
	w.network(b, false)
	b.do(chromedp.Reload())
	b.until(`document.body.classList.contains("live")`)
	b.row("Row 27 of 53")
	for i := range 5 {
		b.do(chromedp.Click("#next"))
		b.row(fmt.Sprintf("Row %d of 53", i+28))
	}
	other := b.tab()
	other.open("/working")
	other.until(`document.querySelector(".work-projects a")?.innerText.includes("Lantern Hat")`)
	other.do(chromedp.Click(".work-projects a"), chromedp.WaitVisible("#next"))
	other.row("Row 32 of 53")
	other.do(chromedp.Click("#next"))
	other.row("Row 33 of 53")
	b.row("Row 33 of 53") // both show one place
	w.network(b, true)
	b.live("/p/lantern-hat/work?size=2")
	b.row("Row 33 of 53")

	// A jump, taken back; the letters larger.
	b.do(chromedp.Click("#open-list"), chromedp.WaitVisible(`#list li[aria-current] button`))
	b.do(chromedp.Click(`#list li[data-step="0"] button`))
	b.row("53 rows")
	b.do(chromedp.WaitVisible("#undo"), chromedp.Click("#undo"))
	b.row("Row 33 of 53")
	b.do(chromedp.Click("#open-help"), chromedp.WaitVisible("#choices"), chromedp.Click(`#choices [value="1.6"]`), chromedp.Click("#help form button"))
	b.until(`document.documentElement.dataset.letters === "1.6"`)

	// The screen stays on, until she says otherwise.
	b.until(`document.body.dataset.awake === "yes"`)
	b.do(chromedp.Click("#open-help"), chromedp.WaitVisible("#choices"), chromedp.Click("#wake"))
	b.until(`document.body.dataset.awake === ""`)
	b.do(chromedp.Click("#wake"))
	b.until(`document.body.dataset.awake === "yes"`)
	b.do(chromedp.Click("#help form button"))

	// To the end, and off the list.
	for i := 34; i <= 53; i++ {
		b.do(chromedp.Click("#next"))
	}
	b.until(`document.getElementById("head").textContent === "Bind off" || document.getElementById("where").textContent === "Row 53 of 53"`)
	b.until(`(document.getElementById("next").disabled || document.getElementById("next").click(), document.getElementById("head").textContent === "All done")`)
	b.open("/working")
	b.until(`document.querySelector(".work-projects").innerText.includes("All done")`)
	b.do(chromedp.Click(".work-projects button"))
	b.until(`document.querySelector(".work-projects").innerText.includes("off the list")`)
	b.do(chromedp.Click(".work-projects button"))
	b.until(`document.querySelector(".work-projects a")`)

	// Nothing but these pages is kept.
	kept, err := chromedp.Run(b.ctx, chromedp.Evaluate[string](`(async () => JSON.stringify((await Promise.all((await caches.keys()).map(async (n) => (await (await caches.open(n)).keys()).map((r) => new URL(r.url).pathname + new URL(r.url).search)))).flat().filter((p) => !p.startsWith("/assets/")).sort()))()`, chromedp.EvalAwaitPromise))
	if err != nil || kept != `["/p/lantern-hat/work?size=2","/working"]` {
		t.Errorf("the device keeps %s, error %v", kept, err)
	}
}

// A pattern with a chart, worked to a length: the row lit in the chart, and a way on.
func TestALoopUntilEnough(t *testing.T) {
	a := newApp(t)
	a.owner()
	a.publish(a.add(wavesText))
	w := a.wire()
	b := w.phone()
	b.live("/p/waves/work")
	b.row("Row 1 of 4")
	b.until(`document.querySelector("#chart g.row.lit")?.dataset.row === "0" && document.querySelector("#chart .lit-frame")`)
	for range 6 {
		b.do(chromedp.Click("#next"))
	}
	b.row("Row 3 of 4")
	b.until(`document.getElementById("pass").textContent === "repeat 2" && document.querySelector("#chart g.row.lit").dataset.row === "2"`)
	b.do(chromedp.Click("#through"))
	b.until(`document.getElementById("text").textContent.includes("Block it hard")`)
	b.do(chromedp.Click("#undo"))
	b.row("Row 3 of 4")
	b.until(`document.getElementById("pass").textContent === "repeat 2"`)
	b.do(chromedp.Click("#terms summary"))
	b.until(`document.getElementById("terms").open`)
}

// Without scripts the page holds every row, with anchors.
func TestWorkingThroughWithoutScripts(t *testing.T) {
	a := newApp(t)
	a.owner()
	a.publish(a.add(lanternHat(t)))
	a.publish(a.add(wrongScarf))
	v := a.visitor()
	v.get("/p/lantern-hat/work").want(t, "the sizes", 200, "Which size do you knit?", "/p/lantern-hat/work?size=5")
	v.get("/p/lantern-hat/work?size=17").want(t, "a size that is not there", 422, "There is no size 17", "/p/lantern-hat/work?size=1")
	page := v.get("/p/lantern-hat/work?size=2")
	page.want(t, "all rows", 200, "CO 104 sts", `id="step-0"`, "Rep Rib rnd 13 times more.", `id="work-data"`)
	if strings.Contains(page.body, "120, 136") {
		t.Error("size S has the numbers of other sizes")
	}
	v.get("/p/ditch-scarf/work?size=1").want(t, "a pattern with an error", 200, "Not proved", "1 error is left")
	a.publish(a.add("Moor Wrap\nCO 20 sts.\nRow 1: Knit.\nRep Row 1 19999 more times.\nRow 2: Purl.\nRow 3: Knit.\n"))
	v.get("/p/moor-wrap/work").want(t, "more rows than can be stepped through", 200, "more than 20,000 rows")
	m := v.get("/manifest.webmanifest")
	m.want(t, "the manifest", 200, `"start_url":"/working"`, "icon-maskable.png")
	for _, path := range regexp.MustCompile(`/assets/[^"]+\.png`).FindAllString(m.body, -1) {
		v.get(path).want(t, path, 200)
	}
	worker := v.get("/worker.js")
	worker.want(t, "the worker", 200, "/js/work.js")
	if worker.header.Get("Cache-Control") != "no-cache" || !strings.HasPrefix(worker.header.Get("Content-Type"), "text/javascript") {
		t.Errorf("the worker comes as %v", worker.header)
	}
	for _, path := range regexp.MustCompile(`/assets/[^"]+`).FindAllString(worker.body[:strings.Index(worker.body, "const cacheName")], -1) {
		v.get(path).want(t, path, 200)
	}
}

// knitting is a test knitter at work on her phone.
func (w *wire) knitting(text string) (*browser, studio.Pattern, string) {
	w.t.Helper()
	p := w.add(text)
	d := w.signedIn()
	d.openTest(p, url.Values{"reason-0": {"to see whether it is found"}})
	d.invites(p, "ada@wold.example", "Ada Thwaite", w.sizesOf(p)[1])
	b := w.phone()
	b.open(w.entryOf("ada@wold.example"))
	b.do(chromedp.Click("main form button"), chromedp.WaitVisible(`a[href$="/work"]`))
	path := b.value(`document.querySelector('a[href$="/work"]').getAttribute("href")`)
	b.live(path)
	b.until(`document.body.dataset.kept === "yes"`)
	return b, p, path
}

// notes the row at hand as wrong.
func (b *browser) notes(had, photo string) {
	b.t.Helper()
	b.do(chromedp.Click("#open-wrong"), chromedp.WaitVisible("#wrong-had"), chromedp.SetValue("#wrong-had", had))
	if photo != "" {
		b.do(chromedp.SetUploadFiles("#wrong-photo", []string{photo}), chromedp.WaitVisible("#wrong-shown canvas"))
	}
	b.do(chromedp.Click("#wrong-form [type=submit]"), chromedp.WaitNotVisible("#wrong"))
	b.until(fmt.Sprintf(`document.getElementById("noted").textContent.includes(%q)`, had))
}

// hears are a knitter's errata as the studio has them, oldest first.
func (w *wire) hears(path string) []studio.Erratum {
	w.t.Helper()
	var id int64
	if _, err := fmt.Sscanf(path, "/knit/%d/work", &id); err != nil {
		w.t.Fatal(err)
	}
	es, err := w.db.ErrataOfKnitter(w.t.Context(), id)
	if err != nil {
		w.t.Fatal(err)
	}
	for i, j := 0, len(es)-1; i < j; i, j = i+1, j-1 {
		es[i], es[j] = es[j], es[i]
	}
	return es
}

// What is noted without a network arrives later, in order, each once: also when the answer
// is lost, and when the page is closed between sending and answer.
func TestNotesArriveExactlyOnce(t *testing.T) {
	a := newApp(t)
	a.owner()
	w := a.wire()
	b, p, path := w.knitting(rightScarf)
	b.until(`document.getElementById("sent").textContent === "All sent."`)
	photo := filepath.Join(t.TempDir(), "gap.jpg")
	if err := os.WriteFile(photo, knitted(t, 2400, 1800), 0o600); err != nil {
		t.Fatal(err)
	}

	// Three notes without a network, one with a photograph; the page is reloaded.
	w.network(b, false)
	b.do(chromedp.Click("#next"))
	b.notes("2 sts left over", "")
	b.do(chromedp.Click("#next"))
	b.notes("a hole", photo)
	b.do(chromedp.Click("#next"))
	b.notes("one too few", "")
	b.until(`document.getElementById("sent").textContent === "3 notes wait for the network."`)
	b.do(chromedp.Click("#open-wrong"), chromedp.WaitVisible("#wrong-had"), chromedp.Click("#wrong-form [type=submit]"), chromedp.WaitVisible("#wrong-problem"), chromedp.Click("#wrong-close"))
	b.do(chromedp.Reload())
	b.until(`document.body.classList.contains("live") && document.getElementById("sent").textContent === "3 notes wait for the network."`)
	b.until(`document.getElementById("noted").textContent.includes("one too few") && document.getElementById("noted").textContent.includes("waits")`)
	if es := w.hears(path); len(es) != 0 {
		t.Fatalf("%d errata without a network", len(es))
	}

	// The first answer is lost on its way, and the page killed before the second.
	w.lost.Store(2)
	w.network(b, true)
	<-w.took
	if len(w.took) == 0 { // she looks whether it has gone
		b.do(chromedp.Evaluate[chromedp.Void](`void dispatchEvent(new Event("online"))`))
	}
	<-w.took
	b.kill()
	again := b.tab()
	again.do(chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch))
	again.live(path)
	again.until(`document.getElementById("sent").textContent === "All sent."`)
	again.until(`document.getElementById("noted").textContent.includes("(sent)")`)
	es := w.hears(path)
	if len(es) != 3 || es[0].Had != "2 sts left over" || es[1].Had != "a hole" || es[2].Had != "one too few" {
		t.Fatalf("the studio has %+v", es)
	}
	rows, err := w.db.Rows(t.Context(), w.studio.ID, p.ID)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []struct{ head, label string }{{"Row 1 (RS)", "Row 1 (RS)"}, {"Row 2 (WS)", "Row 2 (WS)"}, {"Row 3", "Row 3 (RS)"}} {
		if es[i].RowID != rows[i+1].ID || rows[i+1].Head != want.head || es[i].Label != want.label {
			t.Errorf("erratum %d stands on row %d %q as %q; want %d %q", i, es[i].RowID, rows[i+1].Head, es[i].Label, rows[i+1].ID, want.label)
		}
	}
	if !es[1].Photo || es[0].Photo {
		t.Errorf("photographs: %v, %v", es[0].Photo, es[1].Photo)
	}
	var id int64
	fmt.Sscanf(path, "/knit/%d/work", &id)
	k, err := w.db.KnitterOfStudio(t.Context(), w.studio.ID, p.ID, id)
	if err != nil || k.Place.RowID != rows[3].ID || k.Place.Step != 3 {
		t.Errorf("she is at %+v, error %v", k.Place, err)
	}

	// Signed out meanwhile: it says so, keeps the note, and sends it when she is back.
	again.do(chromedp.Evaluate[chromedp.Void](`void fetch("/knit/sign-out", {method: "POST"}).then(() => { document.body.dataset.out = "yes" })`))
	again.until(`document.body.dataset.out === "yes"`)
	again.notes("and one more", "")
	again.until(`document.getElementById("sent").textContent.includes("Sign in again") && document.querySelector("#sent a[href='/knit/sign-in']")`)
	again.open(w.entryOf("ada@wold.example"))
	again.do(chromedp.Click("main form button"), chromedp.WaitVisible(`a[href$="/work"]`))
	again.live(path)
	again.until(`document.getElementById("sent").textContent === "All sent."`)
	if es := w.hears(path); len(es) != 4 {
		t.Errorf("%d errata, want 4", len(es))
	}
}

// What the server does not take stays with her in her own words, and holds nothing up.
func TestANoteThatIsRefused(t *testing.T) {
	a := newApp(t)
	a.owner()
	w := a.wire()
	b, _, path := w.knitting(rightScarf)
	b.do(chromedp.Click("#next"))
	w.deny.Store(true)
	b.notes("far too much", "")
	b.until(`document.getElementById("refused").innerText.includes("The note is too long.") && document.querySelector("#refused textarea").value === "far too much"`)
	w.deny.Store(false)
	b.notes("less", "")
	b.until(`document.getElementById("sent").textContent === "All sent."`)
	if es := w.hears(path); len(es) != 1 || es[0].Had != "less" {
		t.Errorf("the studio has %+v", es)
	}
	b.live(path)
	b.until(`document.querySelector("#refused textarea")?.value === "far too much"`)
	b.do(chromedp.Click("#refused button"))
	b.until(`document.getElementById("refused").hidden`)
}

// A server that was put back to an older state has gaps no phone can fill: the notes go on
// under another name, and none comes twice.
func TestNotesAfterTheServerForgot(t *testing.T) {
	a := newApp(t)
	a.owner()
	w := a.wire()
	b, _, path := w.knitting(rightScarf)
	b.do(chromedp.Click("#next"))
	b.notes("one over", "")
	b.until(`document.getElementById("noted").textContent.includes("(sent)")`)
	w.none.Store(true)
	b.do(chromedp.Click("#next"))
	b.notes("two over", "")
	b.until(`document.getElementById("noted").textContent.includes("(sent)") && document.getElementById("sent").textContent === "All sent."`)
	es := w.hears(path)
	if len(es) != 2 || es[0].Had != "one over" || es[1].Had != "two over" || w.none.Load() {
		t.Errorf("the studio has %+v", es)
	}
}

// Another version of the program comes: what was kept stays usable without a network, and
// the old files go.
func TestKeptPagesOutliveAnotherVersion(t *testing.T) {
	a := newApp(t)
	a.owner()
	a.publish(a.add(wavesText))
	w := a.wire()
	b := w.phone()
	b.live("/p/waves/work")
	b.do(chromedp.Click("#next"))
	b.until(`document.body.dataset.kept === "yes"`)
	w.hash.Store("0123456789ab")
	b.open("/working")
	caches := func() string {
		s, err := chromedp.Run(b.ctx, chromedp.Evaluate[string](`caches.keys().then((names) => names.join(" "))`, chromedp.EvalAwaitPromise))
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	for deadline := time.Now().Add(stepTime); caches() != "rowproof-work-0123456789ab"; {
		if time.Now().After(deadline) {
			t.Fatalf("the device keeps %s", caches())
		}
		b.until("true")
	}
	w.network(b, false)
	b.live("/p/waves/work")
	b.row("Row 2 of 4")
	b.until(`getComputedStyle(document.getElementById("next")).minHeight === "68px"`) // its style came along
}

// A new draft comes while she knits: she stands on the same row, wherever it is now, and
// what has changed is marked.
func TestAKnitterKeepsHerPlaceThroughARevision(t *testing.T) {
	a := newApp(t)
	a.owner()
	w := a.wire()
	b, p, path := w.knitting(rightScarf)
	for range 3 {
		b.do(chromedp.Click("#next"))
	}
	b.until(`document.getElementById("head").textContent === "Row 3 (RS)"`)
	text := strings.NewReplacer("Row 3: K2, *yo", "Row 3: Knit.\nRow 4: Purl.\nRow 5: K2, *yo", "Row 4: Purl.\nBind", "Row 6: Knit.\nBind").Replace(rightScarf)
	d := w.signedIn()
	d.post(patternURL(p), url.Values{"do": {"save"}, "base": {version(p)}, "manuscript": {text}}).want(t, "the new text", 303)
	p, err := w.db.Pattern(t.Context(), w.studio.ID, p.ID)
	if err != nil {
		t.Fatal(err)
	}
	d.post(patternURL(p)+"/test/revision", url.Values{"base": {version(p)}, "note": {"Two rows more."}}).want(t, "sending it", 303)
	b.live(path)
	b.until(`document.getElementById("head").textContent === "Row 5 (RS)" && document.getElementById("text").textContent.startsWith("K2, *yo")`)
	b.until(`document.getElementById("news").innerText.includes("Revision 2") && document.getElementById("news").innerText.includes("changed")`)
	b.do(chromedp.Click("#back"), chromedp.Click("#back"))
	b.until(`document.getElementById("pass").textContent.includes("changed")`)
}

// The page is held to WCAG as others are, its sheets open, too.
func TestWorkingThroughIsAccessible(t *testing.T) {
	a := newApp(t)
	a.owner()
	a.publish(a.add(wavesText))
	w := a.wire()
	b, _, path := w.knitting(wrongScarf)
	b.do(chromedp.Click("#next"))
	b.notes("a stitch over", "")
	b.axe(path, "/p/waves/work", "/p/ditch-scarf/work", "/working")
	for _, mode := range []string{"light", "dark"} {
		b.scheme(mode)
		b.live(path)
		for _, sheet := range []string{"list", "help", "wrong"} {
			b.do(chromedp.Click("#open-"+sheet), chromedp.WaitVisible("#"+sheet))
			b.axeHere(sheet + ", " + mode)
			b.do(chromedp.Evaluate[chromedp.Void](`document.getElementById("` + sheet + `").close()`))
		}
	}
	// What is to be touched is large enough for a thumb.
	b.do(chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch))
	b.live("/p/waves/work")
	for _, key := range []string{"next", "back", "through"} {
		if h, err := chromedp.Run(b.ctx, chromedp.Evaluate[float64](`document.getElementById("`+key+`").getBoundingClientRect().height`)); err != nil || h < 64 {
			t.Errorf("%s is %v high, error %v", key, h, err)
		}
	}
}
