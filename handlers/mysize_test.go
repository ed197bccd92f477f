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

const sedgeCowl = `Sedge Cowl

Finished circumference: 60 cm
Yarn: DK wool, 50 g = 110 m
Needles: 4 mm
Gauge: 20 sts and 28 rnds = 10 cm in St st

Cowl
CO 120 sts and join to work in the round.
Rnd 1: *K4, p2; rep from * around. 120 sts.
Rnd 2: Knit.
Rep Rnds 1 and 2 29 times more.
Bind off.
`

// text is what pdftotext reads in a PDF.
func pdfText(t *testing.T, body string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "p.pdf")
	if err := os.WriteFile(file, []byte(body), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("pdftotext", "-layout", file, "-").CombinedOutput()
	if err != nil {
		t.Fatalf("pdftotext: %v\n%s", err, out)
	}
	return string(out)
}

// A reader without an account makes a published cowl her own size and takes its PDF.
func TestMySize(t *testing.T) {
	a := newApp(t)
	a.owner()
	a.publish(a.add(sedgeCowl))
	b := a.newBrowser()
	b.open("/p/sedge-cowl")
	b.do(chromedp.Click(`a[href$="/my-size"]`), chromedp.WaitVisible("#sts"), chromedp.SetValue("#sts", "24"), chromedp.SetValue("#rows", "32"), chromedp.SetValue("#width", "64"),
		chromedp.Click(`.my-size button`), chromedp.WaitVisible("#mine"))
	b.until(`document.querySelector("#mine ~ ul").textContent.includes("156 stitches: 65 cm")`)
	b.until(`document.querySelector("article.pattern").textContent.includes("CO 156 sts") && document.querySelectorAll(".table table").length >= 1`)

	b.axe("/p/sedge-cowl/my-size?sts=24&rows=32&width=64", "/p/sedge-cowl/my-size?width=wide")

	v := a.visitor()
	pdf := v.get("/p/sedge-cowl/my-size/sedge-cowl.pdf?sts=24&rows=32&width=64")
	pdf.want(t, "its PDF", 200)
	if text := pdfText(t, pdf.body); !strings.Contains(text, "CO 156 sts") || strings.Contains(text, "120") || !strings.Contains(text, "33 times more") {
		t.Errorf("the print says\n%s", text)
	}
	v.get("/p/sedge-cowl/my-size").want(t, "the form", 200, "Make it my size", "20 and 28")
	v.get("/p/sedge-cowl/my-size?width=wide").want(t, "no number", 422, "write a number from 2 to 400", "wide")
	v.get("/p/sedge-cowl/my-size?size=7&width=60").want(t, "no such size", 422, "no size 7")
	v.get("/p/nothing/my-size").want(t, "no such pattern", 404)
	v.get("/p/sedge-cowl/my-size/sedge-cowl.pdf?width=wide").want(t, "no such print", 404)
}

// A pattern whose rows name stitches of one width says why it cannot be made another.
func TestMySizeRefuses(t *testing.T) {
	a := newApp(t)
	a.owner()
	a.publish(a.add(strings.Replace(sedgeCowl, "Rnd 2: Knit.", "Rnd 2: K120.", 1)))
	a.visitor().get("/p/sedge-cowl/my-size?width=70").want(t, "one width", 422, "cannot be made another size", "name no multiple")
}

// A drafted garment in several sizes is drafted anew for the reader, in her size alone,
// with the designer's words.
func TestMySizeOfADraft(t *testing.T) {
	a := newApp(t)
	a.owner()
	v := a.signedIn()
	v.post("/studio/draft", url.Values{"form": {"set-in"}, "title": {"Alder Pullover"}, "sts": {"20"}, "rows": {"28"}, "sizes": {"S, M, L"}, "who": {"women"}, "yarn": {"DK wool, 50 g = 110 m"}, "needle": {"4 mm"}, "do": {"make"}}).want(t, "made", 303)
	p, err := a.db.Pattern(t.Context(), a.studio.ID, 1)
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Replace(p.Manuscript, "Back\nCO ", "Back\nUsing the long-tail method, CO ", 1)
	v.post(patternURL(p), url.Values{"base": {version(p)}, "manuscript": {text}, "do": {"save"}}).want(t, "edited", 303)
	a.publish(a.now(p))
	r := a.visitor()
	r.get("/p/alder-pullover/my-size?size=2&sts=22&rows=30&width=98").want(t, "her size", 200, "Every row proved", "Finished chest: 98", "long-tail", "balls to buy")
	pdf := r.get("/p/alder-pullover/my-size/alder-pullover.pdf?size=2&sts=22&rows=30&width=98")
	pdf.want(t, "its PDF", 200)
	if text := pdfText(t, pdf.body); !strings.Contains(text, "long-tail") || strings.Contains(text, "(") && strings.Contains(text, " (9") {
		t.Errorf("the print says\n%s", text)
	}
}
