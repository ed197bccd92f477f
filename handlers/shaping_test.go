package handlers

import (
	"testing"

	"github.com/chromedp/chromedp"
)

// A designer works a sleeve out, puts a mistake right, and finds two sizes alike.
func TestShaping(t *testing.T) {
	a := newApp(t)
	a.owner()
	b := a.newBrowser()
	b.signIn()
	b.open("/studio/new")
	b.do(chromedp.Click(`a[href="/studio/shaping"]`), chromedp.WaitVisible(".form-cards"), chromedp.Click(`a[href="/studio/shaping/sides"]`), chromedp.WaitVisible("#rows"))
	b.do(chromedp.SetValue("#from", "40 (44)"), chromedp.SetValue("#to", "61 (66)"), chromedp.SetValue("#rows", "90"), chromedp.Click("main form button"), chromedp.WaitVisible(".problem"))
	b.until(`document.querySelector(".problem").textContent.includes("take one more or less") && document.querySelector("#to").value === "61 (66)"`)
	b.do(chromedp.SetValue("#to", "60 (66)"), chromedp.Click("main form button"), chromedp.WaitVisible("#answer"))
	b.until(`document.querySelector("pre.manuscript").textContent.includes("Rep Inc row every") && document.querySelector(".verdict").textContent.includes("Every row proved")`)
	b.axe("/studio/shaping", "/studio/shaping/sides?from=40&to=60&rows=90", "/studio/shaping/crown?sts=95")

	v := a.signedIn()
	v.get("/studio/shaping/width?width=45+(46)&gauge=20&of=10&plus=1&seams=2").want(t, "two alike", 200, "Sizes 1 and 2 come out the same", "Add 0 (1) plain stitches")
	v.get("/studio/shaping/crown?sts=95").want(t, "no wedges", 422, "decrease to 88 or increase to 96")
}
