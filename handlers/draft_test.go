package handlers

import (
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

const thicket = `Thicket
Multiple of 5 sts + 4.
Row 1 (RS): Knit.
Row 2: Purl.
Row 3: Knit.
Row 4: Purl.
Row 5: K4, *k3b, k4; rep from * to end.
Row 6: Purl.
`

// A pullover in nine sizes is drafted, made, edited by hand and drafted anew; a cowl
// is drafted in a dropped-stitch texture of the designer's own. By hand, in a real browser.
func TestDraftInTheBrowser(t *testing.T) {
	a := newApp(t)
	a.owner()
	a.stitch("Thicket", thicket)
	b := a.newBrowser()
	b.signIn()
	b.open("/studio/new")
	b.do(chromedp.Click(`a[href="/studio/draft"]`), chromedp.WaitVisible(".form-cards"), chromedp.Click(`.form-cards a[href$="=set-in"]`), chromedp.WaitVisible("#measures"))
	b.until(`document.querySelectorAll(".measure-table thead th").length === 10`)
	b.do(chromedp.SetValue("#title", "Alder Pullover"), chromedp.SetValue("#yarn", "DK wool, 50 g = 110 m"), chromedp.SetValue("#needle", "4 mm"),
		chromedp.SetValue(`input[name="m-length-0"]`, "57"), chromedp.Click(`button[value="show"]`), chromedp.WaitVisible("#result"))
	b.until(`document.querySelector("#result + .verdict").textContent.includes("Every row proved")`)
	b.until(`document.querySelectorAll(".schematic-row svg").length === 3 && document.querySelector("pre.manuscript").textContent.includes("Shape cap")`)
	b.until(`[...document.querySelectorAll("th[scope=row]")].some(e => e.textContent === "Yarn, balls to buy")`)
	b.do(chromedp.Click(`button[value="make"]`), chromedp.WaitVisible(".tabs"))
	p, err := a.db.Pattern(t.Context(), a.studio.ID, 1)
	if err != nil || p.Title != "Alder Pullover" || p.Errors != 0 || !strings.Contains(p.Manuscript, "Sizes: XS (S, M, L, 1X, 2X, 3X, 4X, 5X)\n") {
		t.Fatalf("%v, %d errors in\n%s", err, p.Errors, p.Manuscript)
	}

	// It is edited, and drafted anew at another gauge: the words stay.
	text := strings.Replace(p.Manuscript, "Back\nCO ", "Back\nUsing the long-tail method, CO ", 1)
	v := a.signedIn()
	v.post(patternURL(p), url.Values{"base": {version(p)}, "manuscript": {text}, "do": {"save"}}).want(t, "edited", 303)
	b.open(patternURL(p) + "/amounts")
	b.until(`document.querySelectorAll(".schematic-row svg").length === 3`)
	b.do(chromedp.Click(`a[href$="/draft"]`), chromedp.WaitVisible("#measures"))
	b.until(`document.querySelector('input[name="m-length-0"]').value === "57"`)
	b.do(chromedp.SetValue("#sts", "22"), chromedp.SetValue("#rows", "30"), chromedp.Click(`button[value="show"]`), chromedp.WaitVisible("#merge"))
	b.until(`document.querySelector(".diff").textContent.includes("Gauge: 22 sts and 30 rows")`)
	b.do(chromedp.Click(`button[value="take"]`), chromedp.WaitVisible(".flash"))
	p = a.now(p)
	if !strings.Contains(p.Manuscript, "Using the long-tail method, CO ") || !strings.Contains(p.Manuscript, "Gauge: 22 sts and 30 rows = 10 cm in St st\n") || p.Errors != 0 {
		t.Errorf("drafted anew, %d errors:\n%s", p.Errors, p.Manuscript)
	}

	// The print has the schematic and the numbers of every size.
	file := filepath.Join(t.TempDir(), "p.pdf")
	pdf := v.get(patternURL(p) + "/prints/" + p.Slug + ".pdf")
	if err := os.WriteFile(file, []byte(pdf.body), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("pdftotext", "-layout", file, "-").CombinedOutput()
	if err != nil || !strings.Contains(string(out), "Schematic") || !strings.Contains(string(out), "Shape cap") {
		t.Errorf("%v: the print says\n%s", err, out)
	}

	// A cowl in the designer's own stitch, brought into the round.
	b.open("/studio/draft?form=cowl")
	b.do(chromedp.SetValue("#sts", "18"), chromedp.SetValue("#rows", "26"), chromedp.SetValue(`select[name="stitch"]`, "1"), chromedp.Click(`button[value="show"]`), chromedp.WaitVisible("#result"))
	b.until(`document.querySelector("pre.manuscript").textContent.includes("of Thicket 9 times") && document.querySelector(".notice").textContent.includes("stockinette")`)
	b.do(chromedp.Click(`button[value="make"]`), chromedp.WaitVisible(".tabs"))
	if q, err := a.db.Pattern(t.Context(), a.studio.ID, 2); err != nil || q.Errors != 0 || !strings.Contains(q.Manuscript, "CO 115 sts") {
		t.Errorf("%v\n%s", err, q.Manuscript)
	}
}

// What cannot be drafted says why, and nothing that was typed is lost.
func TestDraftRefuses(t *testing.T) {
	a := newApp(t)
	a.owner()
	v := a.signedIn()
	v.get("/studio/draft").want(t, "the forms", 200, "Crescent shawl", "Pullover with set-in sleeves")
	v.get("/studio/draft?form=cape").want(t, "no such form", 404)
	good := url.Values{"form": {"scarf"}, "title": {"Reed Scarf"}, "sts": {"20"}, "rows": {"28"}, "do": {"show"}}
	with := func(pairs ...string) url.Values {
		out := url.Values{}
		for k, x := range good {
			out[k] = x
		}
		for i := 0; i < len(pairs); i += 2 {
			out.Set(pairs[i], pairs[i+1])
		}
		return out
	}
	v.post("/studio/draft", good).want(t, "a scarf", 200, "CO 50 sts.", "Every row proved")
	v.post("/studio/draft", with("sts", "many")).want(t, "no gauge", 422, "for example 20x28", "Reed Scarf")
	v.post("/studio/draft", with("sizes", "small")).want(t, "no measurement", 422, "write its width in cm")
	v.post("/studio/draft", with("sizes", "a=20", "table-for", "|a=20|", "m-length-0", "no")).want(t, "a length", 422, "Length of size a is “no”")
	v.post("/studio/draft", with("form", "set-in", "who", "dogs")).want(t, "no such body", 422, "women, men, children, babies")
	v.post("/studio/draft", with("form", "set-in", "excess", "9")).want(t, "too long a cap", 422, "0 to 2.5 cm")
	v.post("/studio/draft", with("stitch", "9")).want(t, "no such stitch", 422, "no longer in the library")
	a.stitch("Wrong", "Multiple of 4 sts.\nRow 1: *K3; rep from * to end.\n")
	v.post("/studio/draft", with("stitch", "1")).want(t, "a wrong stitch", 422, "it has errors of its own", "Reed Scarf")
	v.post("/studio/draft", with("do", "measure", "sizes", "a=20, b=30")).want(t, "measured", 200, "Length, size b")

	// A pattern that was not drafted has no draft; a stale page says so.
	p := a.add(fenScarf)
	v.get(patternURL(p)+"/draft").want(t, "never drafted", 404)
	v.get(patternURL(p)+"/amounts").want(t, "its amounts", 200, "No gauge in stitches and rows is stated")
	v.post("/studio/draft", with("do", "make")).want(t, "made", 303)
	v.post("/studio/patterns/2/draft", with("base", "7")).want(t, "an older text", 409, "saved since this page was opened")
	v.get("/studio/patterns/2/amounts?metres=125&grams=50").want(t, "another ball", 200, "balls to buy")
	v.get("/studio/patterns/2/amounts?metres=x").want(t, "no ball", 200, "the label tells")
	v.post("/studio/patterns/2/draft", with("base", "1")).want(t, "the same again", 200, "Nothing: the numbers are the same.")
}

// Where both changed a line the designer chooses.
func TestRedraftChoice(t *testing.T) {
	a := newApp(t)
	a.owner()
	v := a.signedIn()
	form := url.Values{"form": {"scarf"}, "title": {"Reed Scarf"}, "sts": {"20"}, "rows": {"28"}, "do": {"make"}}
	v.post("/studio/draft", form).want(t, "made", 303)
	p, err := a.db.Pattern(t.Context(), a.studio.ID, 1)
	if err != nil {
		t.Fatal(err)
	}
	v.post(patternURL(p), url.Values{"base": {"1"}, "manuscript": {strings.Replace(p.Manuscript, "CO 50 sts", "CO 54 sts", 1)}, "do": {"save"}}).want(t, "edited", 303)
	form.Set("sts", "24")
	form.Set("base", "2")
	form.Set("do", "show")
	v.post(patternURL(p)+"/draft", form).want(t, "shown", 200, "CO 54 sts.", "CO 60 sts.", "choice-0")
	form.Set("do", "take")
	v.post(patternURL(p)+"/draft", form).want(t, "kept mine", 303)
	if now := a.now(p); !strings.Contains(now.Manuscript, "CO 54 sts.") || !strings.Contains(now.Manuscript, "Gauge: 24 sts") {
		t.Errorf("mine is kept:\n%s", now.Manuscript)
	}
}

// The pages of drafts and amounts are held to the same as all others.
func TestAccessibilityOfDrafts(t *testing.T) {
	a := newApp(t)
	a.owner()
	b := a.newBrowser()
	b.signIn()
	a.signedIn().post("/studio/draft", url.Values{"form": {"cardigan"}, "title": {"Reed Jacket"}, "sts": {"20"}, "rows": {"28"}, "do": {"make"}}).want(t, "made", 303)
	b.axe("/studio/draft", "/studio/draft?form=set-in", "/studio/draft?form=scarf", "/studio/patterns/1/amounts", "/studio/patterns/1/draft")
	b.open("/studio/draft?form=hat")
	b.do(chromedp.Click(`button[value="show"]`), chromedp.WaitVisible("#result"))
}
