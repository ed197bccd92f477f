package handlers

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// place gives the middle of a cell on the page, row from the bottom and column
// from the right, from 0.
func (b *browser) place(row, column int) (x, y float64) {
	b.t.Helper()
	at, err := chromedp.Run(b.ctx, chromedp.Evaluate[[]float64](fmt.Sprintf(`(() => {
		const svg = document.querySelector("#board svg");
		svg.scrollIntoView({block: "center"});
		const rows = svg.querySelectorAll(":scope > g");
		const cell = rows[%d].querySelectorAll("rect")[%d].getBoundingClientRect();
		return [cell.left + cell.width / 2, cell.top + cell.height / 2];
	})()`, row, column)))
	if err != nil {
		b.t.Fatalf("the place of row %d, column %d: %v", row, column, err)
	}
	return at[0], at[1]
}

func (b *browser) paint(symbol string, row, column int) {
	b.t.Helper()
	b.do(chromedp.Click(`.symbol:has(input[value="` + symbol + `"])`))
	x, y := b.place(row, column)
	b.do(chromedp.MouseClickXY(x, y))
}

// keys presses keys in the chart, one after the other.
func (b *browser) keys(keys ...string) {
	b.t.Helper()
	for _, k := range keys {
		b.do(chromedp.KeyEvent(k))
	}
}

func (b *browser) written(row string) {
	b.t.Helper()
	b.until(`[...document.querySelectorAll("#rows-written li")].some(l => l.textContent === ` + fmt.Sprintf("%q", row) + `) && !document.querySelector(".written.waiting")`)
}

// A whole pattern from blank: a lace of 8 by 8 by mouse and keyboard, undone,
// mirrored, its rows used, proved, printed with its chart.
func TestAChartIsDrawnFromBlank(t *testing.T) {
	a := newApp(t)
	a.owner()
	p := a.add("Quarry Lace\n\nYarn: fingering weight wool, 50 g = 200 m\n")
	b := a.newBrowser()
	b.signIn()
	b.open(patternURL(p))
	b.do(chromedp.Click(`.tabs a[href$="/chart"]`), chromedp.WaitVisible(".blank-chart"))
	b.until(`document.querySelector(".empty")?.innerText.includes("no rows to chart")`)
	b.do(chromedp.Click(".blank-chart button"), chromedp.WaitVisible("#use-rows"))
	b.written("Row 1 (RS): K to end.")

	// By mouse: a yarn over without its decrease cannot be worked, and says where.
	b.paint("yo", 2, 3)
	b.until(`document.getElementById("trouble").textContent.startsWith("Row 3") && document.getElementById("use-rows").disabled`)
	b.paint("dec-r-2", 2, 4)
	b.written("Row 3: K3, yo, k2tog, k3.")

	// By keyboard: row 1 down from it, one stitch less.
	b.do(chromedp.Focus("#board svg"))
	b.keys(kb.ArrowDown, kb.ArrowDown, kb.ArrowRight, kb.ArrowRight, "o", kb.ArrowLeft, "t")
	b.written("Row 1 (RS): K2, yo, k2tog, k4.")

	// Undo and redo, of one step each.
	b.do(chromedp.KeyEvent("z", chromedp.KeyModifiers(kb.ModifierCtrl)))
	b.written("CO 7 sts.")
	b.do(chromedp.Click("#redo-step"))
	b.written("Row 1 (RS): K2, yo, k2tog, k4.")

	// Rows 1 to 4 selected, copied above and mirrored there: the decreases lean the other way.
	b.do(chromedp.Focus("#board svg"))
	b.keys(kb.ArrowDown, kb.ArrowDown, kb.ArrowDown, kb.ArrowDown, kb.End)
	shift := chromedp.KeyModifiers(kb.ModifierShift)
	for range 3 {
		b.do(chromedp.KeyEvent(kb.ArrowUp, shift))
	}
	for range 7 {
		b.do(chromedp.KeyEvent(kb.ArrowLeft, shift))
	}
	b.until(`document.getElementById("where").textContent === "8 by 4 selected"`)
	b.do(chromedp.KeyEvent("c", chromedp.KeyModifiers(kb.ModifierCtrl)))
	b.keys(kb.Escape, kb.ArrowUp, kb.End)
	b.do(chromedp.KeyEvent("v", chromedp.KeyModifiers(kb.ModifierCtrl)))
	b.written("Row 5: K2, yo, k2tog, k4.")
	for range 3 {
		b.do(chromedp.KeyEvent(kb.ArrowUp, shift))
	}
	for range 7 {
		b.do(chromedp.KeyEvent(kb.ArrowLeft, shift))
	}
	b.do(chromedp.Click("#mirror"))
	b.written("Row 5: K4, ssk, yo, k2.")
	b.written("Row 7: K3, ssk, yo, k3.")

	// A repeat with an edge stitch on either side serves every multiple.
	b.do(chromedp.SetValue("#box-width", "6"), chromedp.SetValue("#box-from", "1"))
	b.value(`String(document.getElementById("box-from").dispatchEvent(new Event("change")))`)
	b.written("Multiple of 6 sts + 2.")
	b.written("Row 1 (RS): K1, *k1, yo, k2tog, k3; rep from * to last st, k1.")
	b.until(`document.getElementById("verdict-text").textContent.startsWith("Every row proved")`)

	// Used, they stand in the manuscript, proved.
	b.do(chromedp.SetValue("#section-name", "Quarry lace"), chromedp.Click("#use-rows"), chromedp.WaitVisible(".chart-section"))
	b.until(`document.querySelector(".chart-section h2").textContent === "Quarry lace" && document.querySelector(".chart-section .chart-box svg a")`)
	now, err := a.db.Pattern(t.Context(), a.studio.ID, p.ID)
	if err != nil || !strings.Contains(now.Manuscript, "Quarry lace\nMultiple of 6 sts + 2.\nRow 1 (RS): K1, *k1, yo, k2tog, k3;") {
		t.Fatalf("the text is (error %v)\n%s", err, now.Manuscript)
	}
	b.open(patternURL(p))
	b.until(`document.getElementById("verdict-text").textContent.startsWith("Every row proved")`)
	pdf := b.download(patternURL(p) + "/prints/" + now.Slug + ".pdf?edition=chart")
	checkPDF(t, pdf, "Chart of Quarry lace", "repeat of 6 sts", "yarn over", "k2tog", "ssk")

	// Drawn on again: one row changed, the others left as they are.
	b.open(patternURL(p) + "/chart/draw?section=0")
	b.do(chromedp.WaitVisible("#use-rows"))
	b.paint("purl", 7, 0)
	b.written("Row 8: P1, *p6; rep from * to last st, k1.")
	b.do(chromedp.Click("#use-rows"), chromedp.WaitVisible(".chart-section"))
	again, err := a.db.Pattern(t.Context(), a.studio.ID, p.ID)
	if want := strings.Replace(now.Manuscript, "Row 8: P to end.", "Row 8: P1, *p6; rep from * to last st, k1.", 1); err != nil || again.Manuscript != want {
		t.Errorf("after drawing on it the text is (error %v)\n%s\nwant\n%s", err, again.Manuscript, want)
	}
}

// A finger paints on a phone, and the page does not move under it.
func TestAChartIsDrawnByTouch(t *testing.T) {
	a := newApp(t)
	a.owner()
	p := a.add("Moss\n")
	b := a.newBrowser()
	b.signIn()
	if _, err := chromedp.Call(b.ctx, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: true}); err != nil {
		t.Fatal(err)
	}
	b.do(chromedp.EmulateViewport(390, 844))
	b.open(patternURL(p) + "/chart/draw?columns=6&rows=2&worked=round")
	b.do(chromedp.WaitVisible("#use-rows"), chromedp.Click(`.symbol:has(input[value="purl"])`))
	x, y := b.place(0, 1)
	to, _ := b.place(0, 4)
	touch := func(kind input.DispatchTouchEventType, points ...*input.TouchPoint) {
		t.Helper()
		if points == nil {
			points = []*input.TouchPoint{}
		}
		if _, err := chromedp.Call(b.ctx, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: points}); err != nil {
			t.Fatal(err)
		}
	}
	touch("touchStart", &input.TouchPoint{X: x, Y: y})
	touch("touchMove", &input.TouchPoint{X: to, Y: y})
	touch("touchEnd")
	b.written("Rnd 1: K1, p4, k1.")
	b.do(chromedp.Click("#undo-step"))
	b.written("Rnd 1: K to end.")
}
