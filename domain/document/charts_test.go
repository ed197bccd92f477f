package document

import (
	"strings"
	"testing"

	"rowproof/domain/chart"
	"rowproof/domain/review"
)

// oneChart is a small chart that says s wherever it says something.
func oneChart(s string) *chart.Chart {
	c, err := chart.Blank(4, 4, false, "")
	if err != nil {
		panic(err)
	}
	c.Title, c.Part, c.Rows[0].Number, c.Notes = s, s, s, []string{s}
	c.Yarns = []chart.Yarn{{Letter: s, Name: s}}
	c.Key[0].Words = s
	return c
}

const (
	waves = "Waves\nMultiple of 6 sts + 1\nRow 1 (RS): K1, *yo, k1, s2kp, k1, yo, k1; rep from * to end.\nRow 2: Purl.\nRep Rows 1 and 2 for pattern.\n"
	// two sizes and one that a chart cannot stand for
	bands = "Two Bands\nSizes: S, L\n\nBand\nCO 12 (18) sts.\nRow 1 (RS): *K3, p3; rep from * to end.\nRow 2: *K3, p3; rep from * to end.\nBind off.\n\n" +
		"Marked\nCO 6 (6) sts.\nRow 1 (RS): K2, pm, p2, k2.\nRow 2: P2, k2, p2.\nBind off.\n"
)

func charted(src string, only bool, size int) *Document {
	res := review.Check(src)
	return Build(Input{Manuscript: res.Manuscript, Report: res.Report, Charts: only, Size: size})
}

func chartsOf(d *Document) (out []*Chart) {
	for _, b := range d.Blocks {
		if c, ok := b.(*Chart); ok {
			out = append(out, c)
		}
	}
	return out
}

// A full edition charts stitch patterns and small pieces alike in all sizes,
// below their rows; the rows stay.
func TestFullEditionCharts(t *testing.T) {
	for _, test := range []struct {
		name, src string
		size      int
		want      []string
	}{
		{"a stitch pattern", waves, -1, []string{"Chart of Waves"}},
		{"a piece that is not alike in all sizes", bands, -1, []string{"Chart of Marked"}},
		{"one size of it", bands, 1, []string{"Chart of Band", "Chart of Marked"}},
		{"a large piece", strings.Replace(bands, "12 (18)", "120 (126)", 1), 0, []string{"Chart of Marked"}},
		{"nothing but knitting", "Flag\nCO 10 sts.\nRow 1: Knit.\nRow 2: Purl.\nBind off.\n", -1, nil},
		{"a pattern that does not come out", "Slip\nMultiple of 5 sts\nRow 1: *K3, p3; rep from * to end.\n", -1, nil},
	} {
		d := charted(test.src, false, test.size)
		var got []string
		for _, c := range chartsOf(d) {
			got = append(got, c.Title)
			if len(c.Rows) > 0 {
				t.Errorf("%s: %s stands for rows in the full edition", test.name, c.Title)
			}
		}
		if strings.Join(got, "; ") != strings.Join(test.want, "; ") {
			t.Errorf("%s: charts %q, want %q", test.name, got, test.want)
		}
	}
	d := charted(waves, false, -1)
	if got := text(t, d); !strings.Contains(got, "Row 2: Purl.") || !strings.Contains(got, "Chart of Waves: its rows are the rows given above.") {
		t.Errorf("the text is\n%s", got)
	}
	last := 0
	for i, b := range d.Blocks {
		switch b.(type) {
		case *Instruction:
			last = i
		case *Chart:
			if i != last+1 {
				t.Errorf("the chart is block %d, the last row %d", i, last)
			}
		}
	}
}

// The edition of charts leaves out the rows a chart shows whole, keeps the others
// and says why; no word is lost to those who cannot see.
func TestChartEdition(t *testing.T) {
	d := charted(waves, true, -1)
	cs := chartsOf(d)
	if len(cs) != 1 || len(cs[0].Rows) != 2 || d.Edition != "Charts" {
		t.Fatalf("edition %q has %d charts: %+v", d.Edition, len(cs), cs)
	}
	for _, b := range d.Blocks {
		if ins, ok := b.(*Instruction); ok && strings.HasPrefix(ins.Head, "Row") {
			t.Errorf("%s is printed beside its chart", ins.Head)
		}
	}
	for name, got := range map[string]string{"text": text(t, d), "description": cs[0].Alt(d.Words), "page": page(t, d)} {
		if !strings.Contains(got, "K1, *yo, k1, s2kp, k1, yo, k1; rep from * to end.") {
			t.Errorf("the %s has not the rows:\n%s", name, got)
		}
	}
	if got := text(t, d); !strings.Contains(got, "Rep Rows 1 and 2 for pattern.") {
		t.Errorf("the text has lost what repeats the rows:\n%s", got)
	}
	uneven := strings.Replace(bands, "Row 1 (RS): *K3, p3; rep from * to end.\nRow 2: *K3, p3; rep from * to end.", "Row 1 (RS): K3, yo, p9 (15).\nRow 2: P11 (17), k2tog.", 1)
	got := text(t, charted(uneven, true, -1))
	for _, want := range []string{"Band is not charted: its stitches differ from size to size; a print of one size shows it.",
		"The chart of Marked stands below its rows: “Row 1 (RS)” has markers, which a chart does not show.", "Row 1 (RS): K3, yo", "K2, pm, p2, k2."} {
		if !strings.Contains(strings.Join(strings.Fields(got), " "), want) {
			t.Errorf("the text lacks %q:\n%s", want, got)
		}
	}
}

// A page with a chart keeps to the policy it is sent with: no style of its own.
func TestChartInPage(t *testing.T) {
	got := page(t, charted(waves, true, -1))
	body := got[strings.Index(got, "</style>"):]
	for _, bad := range []string{"style=", "<style", "<script", "href=\"#"} {
		if strings.Contains(body, bad) {
			t.Errorf("the page holds %q", bad)
		}
	}
	for _, want := range []string{`<figure class="chart" id="chart-of-waves">`, `role="img"`, "The same in words", "yarn over"} {
		if !strings.Contains(body, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
}
