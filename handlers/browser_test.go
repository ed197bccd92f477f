package handlers

import (
	"context"
	_ "embed"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/storage"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"rowproof/domain/review"
)

// step is one thing done in the browser.
type step = chromedp.Action[chromedp.Void]

// stepTime bounds one step: far more than it needs on an idle machine, so that a
// busy one does not fail the tests.
const stepTime = 90 * time.Second

// browser is a real Chromium with a page open.
type browser struct {
	*app
	ctx context.Context
}

// newBrowser starts Chromium. The tests need it, and fail without it.
func (a *app) newBrowser() *browser {
	a.t.Helper()
	path, err := exec.LookPath("chromium")
	if err != nil {
		a.t.Fatal("the browser tests need chromium in the PATH; `make test` installs it")
	}
	ctx, cancel := chromedp.NewExecAllocator(a.t.Context(), chromedp.ExecPath(path), chromedp.Headless, chromedp.DisableGPU, chromedp.NoSandbox)
	a.t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(ctx)
	a.t.Cleanup(cancel)
	ctx, cancel = context.WithTimeout(ctx, 8*time.Minute)
	a.t.Cleanup(cancel)
	return (&browser{a, ctx}).ready()
}

// tab is another page of the same browser, signed in alike.
func (b *browser) tab() *browser {
	b.t.Helper()
	ctx, cancel := chromedp.NewContext(b.ctx)
	b.t.Cleanup(cancel)
	return (&browser{b.app, ctx}).ready()
}

// ready opens the page. It lives as long as the context of its first step, which
// therefore has no time limit of its own.
func (b *browser) ready() *browser {
	b.t.Helper()
	if err := chromedp.Do(b.ctx, chromedp.EmulateViewport(1280, 900)); err != nil {
		b.t.Fatalf("starting chromium: %v", err)
	}
	return b
}

func (b *browser) do(steps ...step) {
	b.t.Helper()
	for i, s := range steps {
		ctx, cancel := context.WithTimeout(b.ctx, stepTime)
		err := chromedp.Do(ctx, s)
		cancel()
		if err != nil {
			where, _ := chromedp.Run(b.ctx, chromedp.Location())
			b.t.Fatalf("step %d at %s: %v", i+1, where, err)
		}
	}
}

func (b *browser) open(path string) {
	b.t.Helper()
	b.do(chromedp.Navigate(b.URL+path), chromedp.WaitReady("main"))
	b.until(`document.fonts.status === "loaded"`) // what is clicked moves no more
}

// until waits for an expression to be true in the page, or in the one that follows it.
func (b *browser) until(expression string) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, stepTime)
	defer cancel()
	_, err := chromedp.Run(ctx, chromedp.Poll[bool]("!!("+expression+")"))
	for err != nil && ctx.Err() == nil && leftPage(err) {
		_, err = chromedp.Run(ctx, chromedp.Poll[bool]("!!("+expression+")"))
	}
	if err != nil {
		state, _ := chromedp.Run(b.ctx, chromedp.Evaluate[string](`document.querySelector("main")?.innerText ?? ""`))
		b.t.Fatalf("waiting for %s: %v; the page says:\n%s", expression, err, state)
	}
}

// leftPage reports whether a step failed because the browser went on to another page.
func leftPage(err error) bool {
	return strings.Contains(err.Error(), "navigated or closed") || strings.Contains(err.Error(), "context was destroyed") || strings.Contains(err.Error(), "Cannot find context")
}

func (b *browser) value(expression string) string {
	b.t.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[string](expression))
	if err != nil {
		b.t.Fatalf("%s: %v", expression, err)
	}
	return v
}

func (b *browser) signIn() {
	b.t.Helper()
	b.open("/sign-in")
	b.do(chromedp.SendKeys("#email", ownerEmail), chromedp.SendKeys("#password", ownerPassword), chromedp.Click("main button"), chromedp.WaitVisible(".patterns, .empty"))
}

// download fetches a file with the browser's cookies.
func (b *browser) download(path string) []byte {
	b.t.Helper()
	cookies, err := chromedp.CallBrowser(b.ctx, storage.GetCookies, storage.GetCookiesParams{})
	if err != nil {
		b.t.Fatal(err)
	}
	req, err := http.NewRequestWithContext(b.t.Context(), "GET", b.URL+path, nil)
	if err != nil {
		b.t.Fatal(err)
	}
	for _, c := range cookies.Cookies {
		req.AddCookie(&http.Cookie{Name: c.Name, Value: c.Value})
	}
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		b.t.Fatal(err)
	}
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	if err != nil || res.StatusCode != 200 || res.Header.Get("Content-Type") != "application/pdf" {
		b.t.Fatalf("%s: status %d, %s, error %v", path, res.StatusCode, res.Header.Get("Content-Type"), err)
	}
	return body
}

// The job as a new user does it: account, a pasted pattern with a wrong row, the
// finding, its mend, the save, the PDF, with every count for every size in it.
func TestANewDesignerDoesTheJob(t *testing.T) {
	b := newApp(t).newBrowser()
	b.open("/")
	b.do(chromedp.Click(`a[href="/start"].button`), chromedp.WaitVisible("#password"),
		chromedp.SendKeys("#name", "Ottilie Brandreth"), chromedp.SendKeys("#email", ownerEmail), chromedp.SendKeys("#password", ownerPassword),
		chromedp.Click("main button"), chromedp.WaitVisible(".empty"),
		chromedp.Click(".empty .button"), chromedp.WaitVisible("#manuscript"),
		chromedp.SetValue("#manuscript", wrongScarf), chromedp.Click(`form[action="/studio/new"] button`), chromedp.WaitVisible(".live #lines .line"))

	// The finding stands on its row, and beside every row its counts.
	b.until(`document.querySelector(".note.level-error .note-where")?.textContent.includes("Row 3")`)
	b.until(`document.querySelectorAll("#lines .line")[9].querySelector(".counts").textContent === "27 (33, 39)"`)
	b.until(`document.querySelector("#lines .line.level-error .text")?.textContent.startsWith("Row 3")`)
	b.do(chromedp.KeyEvent(kb.ArrowDown, chromedp.KeyModifiers(kb.ModifierAlt)))
	b.until(`document.activeElement.id === "manuscript" && document.querySelector(".note.lit")`)

	// One click mends it, and the browser's own undo takes the mend back.
	written := b.value(`document.getElementById("manuscript").value`)
	b.do(chromedp.Click(".note.level-error .mend"))
	b.until(`document.getElementById("verdict-text").textContent.startsWith("Every row proved, at all 3 sizes")`)
	mended := b.value(`document.getElementById("manuscript").value`)
	b.do(chromedp.KeyEvent("z", chromedp.KeyModifiers(kb.ModifierCtrl)))
	if got := b.value(`document.getElementById("manuscript").value`); got != written {
		t.Errorf("after undo the text is\n%s", got)
	}
	b.until(`document.querySelector(".note.level-error .mend")`)
	b.do(chromedp.Click(".note.level-error .mend"))
	b.until(`document.getElementById("verdict-text").textContent.startsWith("Every row proved")`)

	b.do(chromedp.KeyEvent("s", chromedp.KeyModifiers(kb.ModifierCtrl)))
	b.until(`document.getElementById("saved").textContent.startsWith("Saved") && document.getElementById("live").textContent.startsWith("Saved")`)
	ps, err := b.db.ListPatterns(t.Context(), b.studio.ID)
	if err != nil || len(ps) != 1 {
		t.Fatalf("%d patterns, error %v", len(ps), err)
	}
	p, err := b.db.Pattern(t.Context(), b.studio.ID, ps[0].ID)
	if err != nil || p.Manuscript != mended {
		t.Errorf("what is saved is not what was mended (error %v):\n%s", err, p.Manuscript)
	}

	b.do(chromedp.Click(`.tabs a[href$="/prints"]`), chromedp.WaitVisible(".prints"))
	href := b.value(`document.querySelector('.prints a[href*="paper=a4"]').getAttribute("href")`)
	checkPDF(t, b.download(href), "27 (33, 39)", "Ditch Scarf", "27", "33", "39")
}

// checkPDF looks at a PDF with other people's eyes.
func checkPDF(t *testing.T, pdf []byte, words ...string) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "pattern.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("qpdf", "--check", file).CombinedOutput(); err != nil {
		t.Errorf("qpdf --check: %v\n%s", err, out)
	}
	out, err := exec.Command("pdftotext", "-layout", file, "-").Output()
	if err != nil {
		t.Fatalf("pdftotext: %v", err)
	}
	text := strings.Join(strings.Fields(string(out)), " ")
	for _, w := range words {
		if !strings.Contains(text, w) {
			t.Errorf("the PDF does not hold %q:\n%s", w, out)
		}
	}
}

// The counts of a pattern with shaping, for each size, are all in its PDF.
func TestEveryCountIsInThePDF(t *testing.T) {
	a := newApp(t)
	a.owner()
	demo, err := os.ReadFile("../cmd/rowproof/demo/lantern-hat.txt")
	if err != nil {
		t.Fatal(err)
	}
	p := a.add(string(demo))
	a.publish(p)
	want := []string{"Child", "XL"}
	for _, row := range proofView(review.Check(p.Manuscript)).Rows {
		want = append(want, row.Cells[0]+" ("+strings.Join(row.Cells[1:], ", ")+")")
	}
	for _, query := range []string{"", "?paper=letter", "?size=2", "?type=large"} {
		got := a.visitor().get("/p/lantern-hat/lantern-hat.pdf" + query)
		got.want(t, query, 200)
		switch query {
		case "?size=2":
			checkPDF(t, []byte(got.body), "104", "96", "88", "80", "72", "64", "56", "48", "40", "32", "16")
		case "?type=large":
			checkPDF(t, []byte(got.body), "Lantern Hat")
		default:
			checkPDF(t, []byte(got.body), want...)
		}
	}
}

func TestSecondTabInTheBrowser(t *testing.T) {
	a := newApp(t)
	a.owner()
	p := a.add(rightScarf)
	one := a.newBrowser()
	one.signIn()
	two := one.tab()
	one.open(patternURL(p))
	two.open(patternURL(p))
	type_ := func(b *browser, text string) {
		t.Helper()
		b.do(chromedp.WaitVisible(".live #manuscript"), chromedp.Focus("#manuscript"), chromedp.KeyEvent(kb.End, chromedp.KeyModifiers(kb.ModifierCtrl)), chromedp.KeyEvent(text))
	}
	type_(one, "Soak it.")
	one.until(`document.getElementById("saved").textContent.startsWith("Saved") && document.getElementById("manuscript").form.elements.base.value === "2"`) // by itself
	type_(two, "Steam it.")
	two.do(chromedp.WaitVisible("#trouble a"), chromedp.Click("#trouble a"), chromedp.WaitVisible(".diff"))
	two.until(`document.querySelector("main").innerText.includes("Soak it.") && document.getElementById("manuscript").value.includes("Steam it.")`)
	now, err := a.db.Pattern(t.Context(), a.studio.ID, p.ID)
	if err != nil || now.Manuscript != rightScarf+"Soak it." {
		t.Errorf("what stands is %q, error %v", now.Manuscript, err)
	}
}

//go:embed testdata/axe/axe.min.js
var axe string

// Each page is held to WCAG 2.2 A and AA as far as a program can tell, in light and
// dark, and to the width of a phone.
func TestAccessibility(t *testing.T) {
	a := newApp(t)
	b := a.newBrowser()
	b.open("/start")
	b.axe("/start")
	a.owner()
	b.axe("/sign-in", "/", "/nothing-here")
	right := a.add(rightScarf)
	a.publish(right)
	wrong := a.add(wrongScarf)
	waves := a.add(wavesText)
	a.publish(waves)
	if _, err := a.db.AddNote(t.Context(), a.studio.ID, wrong.ID, 1, "Ask Wilma."); err != nil {
		t.Fatal(err)
	}
	b.signIn()
	v := a.signedIn()
	v.post(patternURL(right), map[string][]string{"base": {"1"}, "manuscript": {rightScarf + "Block."}, "do": {"save"}})
	lost := v.post(patternURL(right), map[string][]string{"base": {"1"}, "manuscript": {rightScarf + "Soak."}, "do": {"save"}})
	snaps, err := a.db.Snapshots(t.Context(), a.studio.ID, right.ID)
	if err != nil {
		t.Fatal(err)
	}
	u := patternURL(wrong)
	b.open("/p/ditch-scarf/ditch-scarf.html")
	if got := b.value(`getComputedStyle(document.querySelector("main")).maxWidth`); got == "none" {
		t.Error("the web page to take away is shown without its own style")
	}
	b.axe("/", patternURL(waves)+"/chart", "/p/waves", "/p/waves/work", "/p/ditch-scarf/work", "/working", "/p/waves/waves.html", "/p/ditch-scarf", "/p/ditch-scarf/ditch-scarf.html", "/studio/", "/studio/new", "/studio/settings", "/studio/bin", u, u+"/materials", u+"/notes", u+"/history",
		u+"/prints", u+"/publish", u+"/chart", patternURL(right)+"/chart?symbols=jis", patternURL(right)+"/chart/draw?section=0", patternURL(right)+"/chart/draw?columns=60&rows=12", patternURL(right), patternURL(right)+"/publish", lost.location, historyText(right, snaps[len(snaps)-1]).URL)
}

// axe opens pages and reports what axe-core finds in them.
func (b *browser) axe(paths ...string) {
	b.t.Helper()
	for _, path := range paths {
		for _, mode := range []string{"light", "dark"} {
			b.scheme(mode)
			for _, width := range []int64{1280, 390} {
				b.do(chromedp.EmulateViewport(width, 900))
				b.open(path)
				if wide, err := chromedp.Run(b.ctx, chromedp.Evaluate[int64](`document.documentElement.scrollWidth`)); err != nil || wide > width {
					b.t.Errorf("%s at %d: is %d wide, error %v", path, width, wide, err)
				}
				b.axeHere(fmt.Sprintf("%s, %s, %d wide", path, mode, width))
			}
		}
	}
}

// scheme sets light or dark.
func (b *browser) scheme(mode string) {
	b.t.Helper()
	if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: mode}}}); err != nil {
		b.t.Fatal(err)
	}
}

// axeHere reports what axe-core finds in the page as it stands.
func (b *browser) axeHere(what string) {
	b.t.Helper()
	if _, err := chromedp.Run(b.ctx, chromedp.EvaluateAsDevTools[string](axe+`;""`)); err != nil {
		b.t.Fatal(err)
	}
	found, err := chromedp.Run(b.ctx, chromedp.Evaluate[string](`axe.run({runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}).then(r => JSON.stringify(
		r.violations.map(v => v.id + ": " + v.help + "\n" + v.nodes.map(n => "    " + n.html.slice(0, 200) + " " + (n.any[0]?.message ?? "")).join("\n"))))`, chromedp.EvalAwaitPromise))
	if err != nil {
		b.t.Fatal(err)
	}
	var violations []string
	if err := json.Unmarshal([]byte(found), &violations); err != nil {
		b.t.Fatal(err)
	}
	for _, v := range violations {
		b.t.Errorf("%s: %s", what, v)
	}
}

// The Undo button brings back the text before, also when the last letters were not
// saved yet, and leaves nothing out.
func TestUndoButtonInTheBrowser(t *testing.T) {
	a := newApp(t)
	a.owner()
	p := a.add(rightScarf)
	b := a.newBrowser()
	b.signIn()
	b.open(patternURL(p))
	b.do(chromedp.WaitVisible(".live #manuscript"), chromedp.Focus("#manuscript"), chromedp.KeyEvent(kb.End, chromedp.KeyModifiers(kb.ModifierCtrl)), chromedp.KeyEvent("Soak it."),
		chromedp.KeyEvent("s", chromedp.KeyModifiers(kb.ModifierCtrl)), chromedp.WaitEnabled("#undo"), chromedp.KeyEvent(" And pin it."), chromedp.Click("#undo"))
	b.do(chromedp.WaitVisible(`#pattern[data-version="4"]`))
	if got := b.value(`document.getElementById("manuscript").value`); got != rightScarf+"Soak it." {
		t.Errorf("after undo the page has %q", got)
	}
	b.do(chromedp.WaitEnabled("#redo"), chromedp.Click("#redo"))
	b.do(chromedp.WaitVisible(`#pattern[data-version="5"]`))
	if got := b.value(`document.getElementById("manuscript").value`); got != rightScarf+"Soak it. And pin it." {
		t.Errorf("after redo the page has %q", got)
	}
}
