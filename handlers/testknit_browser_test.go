package handlers

import (
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"rowproof/domain/post/smtptest"
	"rowproof/domain/studio"
)

// letterTo waits for the n-th mail to an address and reads it.
func letterTo(t *testing.T, mail *smtptest.Server, to string, n int) smtptest.Letter {
	t.Helper()
	for all := n; ; all++ {
		var hers []smtptest.Mail
		for _, m := range mail.Wait(t, all) {
			if m.To == to {
				hers = append(hers, m)
			}
		}
		if len(hers) >= n {
			return hers[n-1].Read(t)
		}
	}
}

var entryIn = regexp.MustCompile(`/knit/enter\?k=\S+`)

// TestTestKnitInTheBrowser does the job as new users would: a designer and two knitters on
// their phones, with a mail server between them.
func TestTestKnitInTheBrowser(t *testing.T) {
	mail := smtptest.Start(t)
	a := newApp(t).mailing(mail)
	a.owner()
	p := a.add(rightScarf)
	d := a.newBrowser()
	d.signIn()
	base := patternURL(p)

	// The designer opens the test knit and invites two.
	d.open(base + "/test")
	deadline := time.Now().AddDate(0, 0, 90)
	d.do(chromedp.SetValue("#deadline", deadline.Format(time.DateOnly)))
	d.do(chromedp.Click("main form.form button"), chromedp.WaitVisible(".seat-list"))
	if n := d.value(`String(document.querySelectorAll(".nobody").length)`); n != "3" {
		t.Errorf("%s sizes have nobody, want 3", n)
	}
	for i, k := range []struct{ name, email string }{{"Ada Thwaite", "ada@wold.example"}, {"Bea Ireby", "bea@fell.example"}} {
		d.do(chromedp.SendKeys("#name", k.name), chromedp.SendKeys("#email", k.email))
		d.value(fmt.Sprintf(`(document.querySelector("#size").selectedIndex = %d, "")`, i+1))
		d.do(chromedp.Click("[aria-labelledby=invite] button"))
		d.until(fmt.Sprintf(`document.querySelectorAll(".knitter-line").length === %d`, i+1))
	}

	// Their letters come through a real mail server, with the day for their calendars.
	phones := map[string]*browser{}
	for _, email := range []string{"ada@wold.example", "bea@fell.example"} {
		l := letterTo(t, mail, email, 1)
		if !strings.Contains(l.Calendar, "BEGIN:VEVENT") || !strings.Contains(l.Calendar, "DTSTART;VALUE=DATE:"+deadline.Format("20060102")) || l.Header.Get("List-Unsubscribe") == "" {
			t.Errorf("the invitation to %s: %+v", email, l)
		}
		b := a.newBrowser()
		b.do(chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch))
		b.open(entryIn.FindString(l.Body))
		b.do(chromedp.Click("main form button"), chromedp.WaitVisible(".knit"))
		phones[email] = b
	}

	// Both work a few rows on the phone and note what is wrong on row 3.
	for _, k := range []struct{ email, had string }{{"ada@wold.example", "34 sts"}, {"bea@fell.example", "40"}} {
		b := phones[k.email]
		b.do(chromedp.Click(".big-door a"), chromedp.WaitVisible("#next"))
		for range 3 {
			b.do(chromedp.Click("#next"))
		}
		b.until(`document.querySelector("#head").innerText.startsWith("Row 3")`)
		b.do(chromedp.Click("#open-wrong"), chromedp.WaitVisible("#wrong-had"), chromedp.SendKeys("#wrong-had", k.had), chromedp.SendKeys("#wrong-did", "left out the last yo"),
			chromedp.Click("#wrong-form button[type=submit]"))
		b.until(`document.querySelector("#noted").children.length > 0 && document.querySelector("#sent").innerText.includes("All sent")`)
	}
	es, err := a.db.Errata(t.Context(), a.studio.ID, p.ID)
	for range 50 {
		if err != nil || len(es) == 2 {
			break
		}
		d.open(base + "/test/errata")
		es, err = a.db.Errata(t.Context(), a.studio.ID, p.ID)
	}
	if err != nil || len(es) != 2 || es[0].Size != "M" || !strings.HasPrefix(es[0].Label, "Row 3") || es[0].Had != "34 sts" {
		t.Fatalf("the errata that arrived: %+v, %v", es, err)
	}

	// The designer sees how far they are. The errata stand together on their row: one is
	// accepted, the other kept with it.
	d.open(base + "/test")
	d.until(`document.querySelectorAll(".knitter-line progress").length === 2`)
	d.open(base + "/test/errata")
	d.until(`document.querySelectorAll(".triage-group").length === 1`)
	d.do(chromedp.Click(".alike button"))
	d.until(`!document.querySelector(".alike") && document.querySelector(".is-duplicate")`)
	d.open(base + fmt.Sprintf("/test/errata/%d", es[0].ID))
	d.do(chromedp.Click("[name=state][value=accepted]"))
	d.until(`document.querySelector(".is-accepted")`)
	if l := letterTo(t, mail, "ada@wold.example", 2); !strings.Contains(l.Body, "you are right") {
		t.Errorf("the letter about her erratum: %s", l.Body)
	}

	// The row is mended, and the revision sent.
	mend := func(from, to string) {
		t.Helper()
		now, err := a.db.Pattern(t.Context(), a.studio.ID, p.ID)
		if err != nil {
			t.Fatal(err)
		}
		d.open(base)
		d.value(fmt.Sprintf(`(() => { const t = document.querySelector("#manuscript"); t.value = t.value.replace(%q, %q); t.dispatchEvent(new Event("input", {bubbles: true})); return "" })()`, from, to))
		d.do(chromedp.Click("#save"))
		for range 200 {
			d.until(`document.querySelector("#saved").innerText !== "Not saved yet"`)
			got, err := a.db.Pattern(t.Context(), a.studio.ID, p.ID)
			if err != nil {
				t.Fatal(err)
			}
			if got.Version != now.Version {
				return
			}
		}
		t.Fatal("the text was not saved")
	}
	mend("to last st, k1.", "to last st, p1.")
	d.open(base + "/test/revision")
	d.until(`document.querySelector("main").innerText.includes("Errata put right by it") && document.querySelector("main").innerText.includes("for “k1” read “p1”")`)
	d.do(chromedp.Click("main form.form button"), chromedp.WaitVisible(".seat-list"))
	if l := letterTo(t, mail, "ada@wold.example", 3); !strings.Contains(l.Body, "Row 3") || !strings.Contains(l.Subject, "revision 2") {
		t.Errorf("the letter about the new draft: %s\n%s", l.Subject, l.Body)
	}
	ada := phones["ada@wold.example"]
	ada.open("/knit/1")
	ada.until(`document.querySelector(".what-changed").innerText.includes("p1") && document.querySelector(".erratum-lines").innerText.includes("fixed in revision 2")`)
	ada.do(chromedp.Click(".big-door a"), chromedp.WaitVisible("#next"))
	ada.until(`document.querySelector("#head").innerText.startsWith("Row 3") && document.querySelector("#text").innerText.includes("p1")`) // her place is kept

	// What came off the needles moves the yarn.
	d.open(base + "/amounts")
	worked := d.value(`document.querySelector("[aria-label='Yarn of each size'] tbody tr td").innerText`)
	for _, email := range []string{"ada@wold.example", "bea@fell.example"} {
		b := phones[email]
		knit := map[string]string{"ada@wold.example": "/knit/1", "bea@fell.example": "/knit/2"}[email]
		b.open(knit + "/report")
		hint := b.value(`document.querySelector("main").innerText`)
		if !strings.Contains(hint, "20 stitches and 28 rows") {
			t.Errorf("the report says nothing of the pattern’s gauge")
		}
		grams := "6"
		if email == "bea@fell.example" {
			grams = "7"
		}
		b.do(chromedp.SendKeys("#grams-0", grams), chromedp.SendKeys("#after-sts", "20"), chromedp.Click(`[name=do][value=finish]`), chromedp.WaitVisible(".knit"))
	}
	d.open(base + "/test/needles")
	d.until(`document.querySelectorAll(".needles-report").length === 2 && document.querySelector(".plot svg circle")`)
	for range 2 { // what stands far off is asked about, and used when she says so
		d.open(base + "/test/needles")
		if d.value(`String(document.querySelectorAll(".needles .far [value=use]").length)`) == "0" {
			break
		}
		d.do(chromedp.Click(".needles .far [value=use]"), chromedp.WaitVisible(".flash"))
	}
	d.open(base + "/amounts")
	if now := d.value(`document.querySelector("[aria-label='Yarn of each size'] tbody tr td").innerText`); now == worked {
		t.Errorf("the yarn is %s m before and after the reports", now)
	}
	d.until(`document.querySelector("main").innerText.includes("2 test knitters weighed")`)

	// It is published, put right once more, and the public page says what to write into an
	// older copy.
	publish := func() {
		d.open(base + "/publish")
		d.do(chromedp.Click("main form.form button"), chromedp.WaitVisible(".pattern"))
	}
	publish()
	mend("Row 4: Purl.", "Row 4: Knit.")
	publish()
	d.until(`document.querySelector(".corrections").innerText.includes("Scarf, Row 4: for “Purl.” read “Knit.”")`)
}

// Two designers look at the same erratum: the first decides, the second is shown what was
// decided meanwhile, and what she wrote is still there.
func TestTwoDesignersTriageAtOnce(t *testing.T) {
	a, _, _, _ := inTests(t)
	one, two := a.newBrowser(), a.newBrowser()
	for _, b := range []*browser{one, two} {
		b.signIn()
		b.open("/studio/patterns/2/test/errata/1")
	}
	one.do(chromedp.SendKeys("#body", "Thank you, Ada."), chromedp.Click("[name=state][value=accepted]"))
	one.until(`document.querySelector(".is-accepted")`)
	two.do(chromedp.SendKeys("#body", "I count the same as the pattern."), chromedp.Click("[name=state][value='not-an-error']"))
	two.until(`document.querySelector("[role=alert]")?.innerText.includes("Somebody else decided this meanwhile")`)
	if got := two.value(`document.querySelector("#body").value.trim()`); got != "I count the same as the pattern." {
		t.Errorf("what the second wrote is %q", got)
	}
	two.until(`document.querySelector(".talk").innerText.includes("Thank you, Ada.") && document.querySelector(".is-accepted")`)
	// Having seen it, she decides all the same, and both words stand.
	two.do(chromedp.Click("[name=state][value='not-an-error']"))
	two.until(`document.querySelectorAll(".talk > li").length === 2`)
	e, err := a.db.Erratum(t.Context(), a.studio.ID, 2, 1)
	if err != nil || e.State != studio.NotAnError || len(e.Messages) != 2 || e.Messages[0].Body != "Thank you, Ada." {
		t.Errorf("the erratum: %+v, %v", e, err)
	}
}

// The pages of test knits, for people who see little or nothing.
func TestAccessibilityOfTestKnits(t *testing.T) {
	a, _, _, _ := inTests(t)
	d := a.newBrowser()
	d.signIn()
	base := "/studio/patterns/2/test"
	d.axe(base, base+"/revision", base+"/errata", base+"/errata?by=knitter", base+"/errata/1", base+"/needles", base+"/export", "/studio/patterns/1/test")
	k := a.newBrowser()
	k.open(a.entryOf("ada@wold.example"))
	k.axeHere("the page of a link")
	k.do(chromedp.Click("main form button"), chromedp.WaitVisible(".knit"))
	k.axe("/knit", "/knit/1", "/knit/1/read", "/knit/1/report", "/knit/1/errata/1", "/knit/1/errata/new")
}

// Who signs out leaves no draft on the device.
func TestSigningOutForgetsTheDraft(t *testing.T) {
	a, _, _, _ := inTests(t)
	b := a.newBrowser()
	b.open(a.entryOf("ada@wold.example"))
	b.do(chromedp.Click("main form button"), chromedp.WaitVisible(".knit"))
	b.open("/knit/1/work")
	kept := `(async () => { let n = 0; for (const name of await caches.keys()) for (const r of await (await caches.open(name)).keys()) n += r.url.includes("/knit/"); return String(n) })()`
	count := func() string {
		n, err := chromedp.Run(b.ctx, chromedp.Evaluate[string](kept, chromedp.EvalAwaitPromise))
		if err != nil {
			t.Fatal(err)
		}
		return n
	}
	b.until(`navigator.serviceWorker.controller && document.querySelector("#sent").innerText !== ""`)
	for n := 0; count() == "0" && n < 200; n++ {
		b.open("/knit/1/work")
	}
	if n := count(); n != "1" {
		t.Fatalf("%s drafts are kept on the device, want 1", n)
	}
	b.open("/knit")
	b.do(chromedp.Click(".sign-out button"), chromedp.WaitVisible("#email"))
	for n := 0; count() != "0" && n < 200; n++ {
		b.open("/knit/sign-in")
	}
	if n := count(); n != "0" {
		t.Errorf("%s drafts are kept after she signed out", n)
	}
}
