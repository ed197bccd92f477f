package handlers

import (
	"encoding/json"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"rowproof/domain/chart"
	"rowproof/domain/review"
)

// a lace of our own, with words around its rows that no drawing may touch
const wavesText = `Waves

Yarn: DK weight wool, 50 g = 110 m

Wave lace
Multiple of 6 sts + 1
Row 1 (RS):  K1, *yo, k1, s2kp, k1, yo, k1; rep from * to end.
Rows 2 and 4: Purl across.
Row 3: Knit all sts.
Rep Rows 1-4 for pattern.

Block it hard.
`

// drawnOn gives the chart of the first section of a text, and its check.
func drawnOn(t *testing.T, text string) (*chart.Chart, *review.Result) {
	t.Helper()
	res := review.Check(text)
	c, err := sectionOf(res, 0, "plain")
	if err != nil {
		t.Fatal(err)
	}
	return c, res
}

func cellOf(c *chart.Chart, row, column int) *chart.Cell {
	for k := range c.Rows[row].Cells {
		if x := &c.Rows[row].Cells[k]; x.Column == column {
			return x
		}
	}
	return nil
}

func TestDrawingChangesItsRowsOnly(t *testing.T) {
	for _, test := range []struct {
		name   string
		change func(*chart.Chart)
		from   string
		to     string
	}{
		{"nothing", func(*chart.Chart) {}, "", ""},
		{"a purl in row 3", func(c *chart.Chart) { cellOf(c, 2, 1).Symbol = "purl" }, "Row 3: Knit all sts.", "Row 3: K1, *p1, k5; rep from * to end."},
		{"one row of two on a line", func(c *chart.Chart) { cellOf(c, 3, 1).Symbol = "purl" }, "Rows 2 and 4: Purl across.\nRow 3: Knit all sts.", "Row 2: P to end.\nRow 3: Knit all sts.\nRow 4: *p5, k1; rep from * to last st, p1."},
		{"a row less", func(c *chart.Chart) { c.Rows, c.Box.From = c.Rows[:3], c.Box.From[:3] }, "Rows 2 and 4: Purl across.", "Row 2: P to end."},
	} {
		c, res := drawnOn(t, wavesText)
		test.change(c)
		got, err := replaceSection(res, wavesText, 0, c)
		if err != nil {
			t.Errorf("%s: %v", test.name, err)
			continue
		}
		if want := strings.Replace(wavesText, test.from, test.to, 1); got != want {
			t.Errorf("%s: the text is\n%s\nwant\n%s", test.name, got, want)
		}
	}
}

func TestDrawingChangesTheMultiple(t *testing.T) {
	c, res := drawnOn(t, wavesText)
	for i := range c.Rows { // the edge stitch goes
		var cells []chart.Cell
		for _, x := range c.Rows[i].Cells {
			if x.Column > 0 {
				x.Column--
				cells = append(cells, x)
			}
		}
		c.Rows[i].Cells, c.Box.From[i] = cells, 0
	}
	c.Columns--
	got, err := replaceSection(res, wavesText, 0, c)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(got, "Multiple of 6 sts\n") || strings.Contains(got, "K1, *yo") {
		t.Errorf("the text is\n%s", got)
	}
}

func TestNewSectionIsAppended(t *testing.T) {
	c, err := chart.Blank(4, 2, true, "")
	if err != nil {
		t.Fatal(err)
	}
	c.Yarns = []chart.Yarn{{Letter: "A", Name: "A"}, {Letter: "B", Name: "B"}}
	for i := range c.Rows {
		c.Rows[i].Yarn = i
		for k := range c.Rows[i].Cells {
			c.Rows[i].Cells[k].Yarn = i
		}
	}
	got, err := appendSection("Hat\n", "Band", c)
	if err != nil {
		t.Fatal(err)
	}
	if want := "Hat\nYarn: A, B\n\nBand\nCO 4 sts, join to work in the round.\nRnd 1: With A, k to end.\nRnd 2: With B, k to end.\n"; got != want {
		t.Errorf("the text is\n%q\nwant\n%q", got, want)
	}
	for _, f := range review.Check(got).Findings {
		if f.Severity() == "error" {
			t.Errorf("%s: %s", f.Code, f.Message)
		}
	}
}

func TestChartPage(t *testing.T) {
	a := newApp(t)
	a.owner()
	v := a.signedIn()
	waves, wrong, empty := a.add(wavesText), a.add(wrongScarf), a.add("Nothing Yet\n")
	got := v.get(patternURL(waves) + "/chart")
	got.want(t, "a lace", 200, "Wave lace", `href="#section-1-line-7"`, `id="section-1-line-7"`, "Row 1 (RS):  K1, *yo", "yarn over", `role="group"`, "Draw on it")
	if strings.Contains(got.body, "style=") {
		t.Error("the page holds a style of its own")
	}
	v.get(patternURL(waves)+"/chart?symbols=jis").want(t, "in the other set", 200, "JIS L 0201", `aria-current="true"`)
	v.get(patternURL(wrong)+"/chart").want(t, "a pattern with an error", 200, "Not proved: 1 error", "No chart: ")
	v.get(patternURL(empty)+"/chart").want(t, "an empty pattern", 200, "There are no rows to chart yet")
	v.get(patternURL(waves)+"/chart/draw?section=0").want(t, "drawing", 200, "<noscript>", "js/chart.js", "data-chart=", "Use these rows")
	v.get(patternURL(wrong)+"/chart/draw?section=0").want(t, "drawing what cannot be charted", http.StatusSeeOther)
	v.get(patternURL(empty)+"/chart/draw?columns=9999&rows=x").want(t, "a chart too wide", 200, "viewBox")
}

func (v *visitor) checkDrawing(path, body string) (out drawAnswer, status int) {
	v.t.Helper()
	req, err := http.NewRequestWithContext(v.t.Context(), "POST", v.URL+path, strings.NewReader(body))
	if err != nil {
		v.t.Fatal(err)
	}
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set("Accept", "application/json")
	got := v.do(req)
	if got.status == 200 {
		if err := json.Unmarshal([]byte(got.body), &out); err != nil {
			v.t.Fatal(err)
		}
	}
	return out, got.status
}

func TestDrawingIsCheckedAndSaved(t *testing.T) {
	a := newApp(t)
	a.owner()
	v := a.signedIn()
	p := a.add(wavesText)
	at := patternURL(p) + "/chart"
	c, _ := drawnOn(t, wavesText)
	cellOf(c, 2, 1).Symbol = "purl"
	b, err := json.Marshal(c)
	if err != nil {
		t.Fatal(err)
	}
	out, _ := v.checkDrawing(at+"/check", `{"seq":7,"chart":`+string(b)+`}`)
	if out.Seq != 7 || out.Problem != nil || len(out.Rows) != 4 || out.Begins != "Multiple of 6 sts + 1." || !strings.HasPrefix(out.Status, "Every row proved") {
		t.Errorf("the check says %+v", out)
	}
	*cellOf(c, 1, 0) = chart.Cell{Span: 1, Symbol: "yo", Yarn: -1}
	wrong, _ := json.Marshal(c)
	if out, _ = v.checkDrawing(at+"/check", `{"chart":`+string(wrong)+`}`); out.Problem == nil || out.Problem.Row != 1 || !strings.HasPrefix(out.Problem.Text, "Row 2, stitch") {
		t.Errorf("of a chart that cannot be worked the check says %+v", out.Problem)
	}
	for _, bad := range []string{"", "{", `{"chart":{"columns":-1}}`, `{"chart":{"columns":2,"rows":[{"cells":[{"span":999999}]}]}}`} {
		if out, status := v.checkDrawing(at+"/check", bad); status == 200 && out.Problem == nil || status > 400 {
			t.Errorf("of %q the check says %d %+v", bad, status, out)
		}
	}

	form := url.Values{"chart": {string(b)}, "section": {"0"}, "was": {"Wave lace"}, "base": {"9"}}
	v.post(at+"/draw", form).want(t, "a page that is too old", http.StatusConflict, "saved since", "purl")
	form.Set("base", version(p))
	form.Set("chart", string(wrong))
	v.post(at+"/draw", form).want(t, "a chart that cannot be worked", http.StatusUnprocessableEntity, "Row 2, stitch")
	form.Set("chart", string(b))
	named := url.Values{"chart": {string(b)}, "name": {"Row 9: Knit."}, "base": {version(p)}}
	v.post(at+"/draw", named).want(t, "a row for a name", http.StatusUnprocessableEntity, "would not be read as the head")
	v.post(at+"/draw", form).want(t, "the rows", http.StatusSeeOther)
	now, err := a.db.Pattern(t.Context(), a.studio.ID, p.ID)
	if err != nil || now.Manuscript != strings.Replace(wavesText, "Row 3: Knit all sts.", "Row 3: K1, *p1, k5; rep from * to end.", 1) || !now.CanUndo {
		t.Errorf("the text is (error %v, undo %v)\n%s", err, now.CanUndo, now.Manuscript)
	}
}
