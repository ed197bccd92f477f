package pdf

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rowproof/domain/chart"
	"rowproof/domain/document"
	"rowproof/domain/review"
)

// chartedDocument is a lace in its edition of charts.
func chartedDocument(t testing.TB) *document.Document {
	t.Helper()
	res := review.Check("Waves\nMultiple of 6 sts + 1\nRow 1 (RS): K1, *yo, k1, s2kp, k1, yo, k1; rep from * to end.\nRow 2: Purl.\n")
	return document.Build(document.Input{Manuscript: res.Manuscript, Report: res.Report, Charts: true, Size: -1})
}

// wide is a chart of so many columns and rows.
func wide(t testing.TB, columns, rows int) *document.Document {
	t.Helper()
	c, err := chart.Blank(columns, rows, false, "")
	if err != nil {
		t.Fatal(err)
	}
	c.Title = "Meadow"
	return &document.Document{Title: "Meadow", Lang: "en-US", Words: document.WordsFor("en-US"), Blocks: []document.Block{&document.Chart{ID: "c", Title: "Chart of Meadow", Chart: c}}}
}

func TestChartIsAFigure(t *testing.T) {
	for _, o := range papers {
		file := write(t, chartedDocument(t), o)
		if out := run(t, "qpdf", "--check", file); strings.Contains(out, "WARNING") {
			t.Errorf("%+v: qpdf: %s", o, out)
		}
		plain := filepath.Join(t.TempDir(), "plain.pdf")
		run(t, "qpdf", "--qdf", "--object-streams=disable", file, plain)
		b, err := os.ReadFile(plain)
		if err != nil {
			t.Fatal(err)
		}
		for _, want := range []string{"/S /Figure", "/Alt ", "/BBox", "/Placement /Block"} {
			if !bytes.Contains(b, []byte(want)) {
				t.Errorf("%+v: the file lacks %q", o, want)
			}
		}
		if out := run(t, "pdfimages", "-list", file); strings.Count(out, "\n") > 2 {
			t.Errorf("%+v: the chart is a picture, not lines:\n%s", o, out)
		}
		if out := run(t, "pdftotext", file, "-"); !strings.Contains(out, "repeat of 6 sts") || !strings.Contains(out, "yarn over") {
			t.Errorf("%+v: the text lacks numbers or key:\n%s", o, out)
		}
	}
	if !bytes.Equal(render(t, chartedDocument(t), Options{}), render(t, chartedDocument(t), Options{})) {
		t.Error("a document with a chart differs from one call to the next")
	}
}

// Whatever the size, every sheet stands within the margins of its page.
func TestLargeChartsAreCut(t *testing.T) {
	for _, test := range []struct{ columns, rows, sheets int }{{8, 8, 1}, {40, 10, 1}, {45, 60, 1}, {120, 40, 4}, {60, 200, 8}, {400, 4, 12}} {
		for _, o := range papers {
			k := newLook(o)
			pages, _ := layout(mustShaper(t), wide(t, test.columns, test.rows), k)
			figures := 0
			for _, p := range pages {
				for _, b := range p.boxes {
					if b.drawn == nil || b.node == nil {
						continue
					}
					figures++
					if b.x < k.left-0.1 || b.x+b.w > k.w-k.right+0.1 || b.y < k.top-0.1 || b.y+b.h > k.h-k.bottom+0.1 {
						t.Errorf("%+v %+v: a sheet stands at %.0f, %.0f, %.0f by %.0f", test, o, b.x, b.y, b.w, b.h)
					}
				}
			}
			if test.sheets == 1 && !o.Large && figures != 1 || test.sheets > 1 && figures < 2 {
				t.Errorf("%+v %+v: %d sheets", test, o, figures)
			}
		}
	}
}

func BenchmarkChart(b *testing.B) {
	for _, n := range []int{12, 60} {
		d := wide(b, n, n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				if err := Write(&bytes.Buffer{}, d, Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
