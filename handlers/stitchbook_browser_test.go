package handlers

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// A stitch is kept, looked at, placed in a pattern and worked there; it changes, the
// pattern is told, and takes the new rows over. All by hand, in a real browser.
func TestAStitchIsKeptPlacedAndChanged(t *testing.T) {
	a := newApp(t)
	a.owner()
	p := a.add(fenScarf)
	b := a.newBrowser()
	b.signIn()
	b.do(chromedp.Click(`.top a[href="/studio/stitches"]`), chromedp.WaitVisible(".empty .button"), chromedp.Click(".empty .button"), chromedp.WaitVisible("#name"),
		chromedp.SendKeys("#name", "Pebble"), chromedp.SetValue("#manuscript", pebble), chromedp.Click(`button[value="pasted"]`), chromedp.WaitVisible(".stitch-sides img"))
	b.until(`[...document.querySelectorAll(".stitch-sides img")].length === 2 && [...document.querySelectorAll(".stitch-sides img")].every(i => i.complete && i.naturalWidth > 200)`)
	b.until(`document.querySelector(".verdict").textContent.includes("Every row proved") && document.querySelector(".chart-box svg")`)
	b.until(`document.querySelectorAll("button[data-copy]:not([hidden])").length === 4`)
	b.do(chromedp.Click(`button[data-copy="form-round"]`))
	b.until(`/^(Copied|Select)/.test(document.getElementById("copied").textContent)`)

	// Placed before the scarf, in the round as it happens, then flat after all.
	b.open(patternURL(p))
	b.do(chromedp.Click(`.tabs a[href$="/stitch"]`), chromedp.WaitVisible(".place-form"), chromedp.Click(`input[name="form"][value="mirrored"]`), chromedp.Click(`button[value="show"]`), chromedp.WaitVisible("#preview"))
	b.until(`document.querySelector(".preview-rows pre").textContent.startsWith("Pebble\nMultiple of 4 sts + 2.\n") && document.querySelector('input[value="mirrored"]').checked`)
	b.do(chromedp.Click(`input[name="form"][value="flat"]`), chromedp.Click(`button[value="place"]`), chromedp.WaitVisible(".placed"))
	b.until(`document.querySelector(".placed code").textContent === "Work Row 1 of Pebble over next 22 sts."`)
	if now := a.now(p); !strings.Contains(now.Manuscript, "Pebble\n"+pebble+"\nScarf\n") || now.Errors != 0 {
		t.Fatalf("%d errors in\n%s", now.Errors, now.Manuscript)
	}

	// The stitch changes.
	b.do(chromedp.Click(".placed a"), chromedp.WaitVisible("#manuscript"), chromedp.SetValue("#manuscript", pebble2), chromedp.Click(`button[value="save"]`), chromedp.WaitVisible(".flash"))
	b.until(`document.querySelector(".flash").textContent.includes("1 pattern that uses it is told")`)
	b.open("/studio")
	b.until(`document.querySelector(".patterns .stitch-notice")?.textContent.startsWith("Pebble has changed since you placed it: version 1 → 2.")`)
	b.do(chromedp.Click(".patterns .stitch-notice a"), chromedp.WaitVisible(".answer"))
	b.until(`document.querySelector(".row-changes ins").textContent.includes("k1, p2, k1") && document.querySelector(".diff .line-gone")`)
	b.do(chromedp.Click(`button[value="take"]`), chromedp.WaitVisible("#pattern"))
	if now := a.now(p); !strings.Contains(now.Manuscript, "Pebble\n"+pebble2+"\nScarf\n") || now.Errors != 0 {
		t.Errorf("%d errors in\n%s", now.Errors, now.Manuscript)
	}
	b.until(`!document.querySelector(".stitch-notice")`)
}

// The pages of stitches are held to the same as all others.
func TestAccessibilityOfStitches(t *testing.T) {
	a := newApp(t)
	a.owner()
	b := a.newBrowser()
	b.signIn()
	p := a.add(fenScarf)
	b.axe("/studio/stitches", patternURL(p)+"/stitch")
	st := a.stitch("Pebble", pebble)
	a.stitch("Wrong", "Multiple of 4 sts.\nRow 1: *K3; rep from * to end.\n")
	a.stitch("Rope and rungs", "Multiple of 10 sts + 2.\nRow 1 (RS): P2, *4/4 LC, p2; rep from * to end.\nRow 2: K2, *p8, k2; rep from * to end.\n")
	v := a.signedIn()
	v.place(p, st, "flat", "0").want(t, "placed", 303)
	v.post(stitchURL(st.ID)+"/gauges", map[string][]string{"yarn": {"DK wool"}, "sts": {"22"}, "over": {"10"}}).want(t, "a gauge", 303)
	a.changeStitch(st, pebble2)
	if err := a.db.DeleteStitch(t.Context(), a.studio.ID, a.stitch("Gone", pebble).ID); err != nil {
		t.Fatal(err)
	}
	b.axe("/studio", "/studio/stitches", "/studio/stitches/new", "/studio/stitches/bin", stitchURL(st.ID), stitchURL(2), stitchURL(3), stitchURL(st.ID)+"/versions/1",
		patternURL(p)+"/stitch", patternURL(p)+"/stitch/1")
}
