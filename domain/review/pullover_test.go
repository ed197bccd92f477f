package review

import (
	"fmt"
	"strings"
	"testing"
)

// pullover writes a pullover of our own in nine sizes, every row given by its
// number: rib, a texture, armholes, neck and sleeves; over 400 rows.
func pullover() string {
	var b strings.Builder
	p := func(f string, a ...any) { fmt.Fprintf(&b, f+"\n", a...) }
	p("Fell Pullover")
	p("Sizes: XS (S, M, L, XL, 2XL, 3XL, 4XL, 5XL)")
	p("Gauge: 20 sts and 28 rows = 10 cm")
	p("")
	for _, piece := range []string{"Back", "Front"} {
		p("%s", piece)
		p("CO 86 (94, 102, 110, 118, 126, 134, 142, 150) sts.")
		n := 0
		row := func(body string) { n++; p("Row %d (%s): %s", n, []string{"WS", "RS"}[n%2], body) }
		for range 10 {
			row("K2, *p2, k2; rep from * to end.")
			row("P2, *k2, p2; rep from * to end.")
		}
		for range 13 {
			row("Knit.")
			row("Purl.")
			row("K1, *k2tog, yo, k2; rep from * to last st, k1.")
			row("Purl.")
			row("Knit.")
			row("P1, *p2, k2; rep from * to last st, p1.")
			row("K3, *p2, k2; rep from * to last 3 sts, p2, k1. 86 (94, 102, 110, 118, 126, 134, 142, 150) sts.")
			row("Purl.")
		}
		p("Shape armholes")
		row("BO 4 (4, 5, 5, 6, 7, 8, 9, 10) sts, k to end.")
		row("BO 4 (4, 5, 5, 6, 7, 8, 9, 10) sts, p to end. 78 (86, 92, 100, 106, 112, 118, 124, 130) sts.")
		for range 4 {
			row("K1, ssk, k to last 3 sts, k2tog, k1.")
			row("Purl.")
		}
		for range 12 {
			row("Knit.")
			row("Purl.")
		}
		p("Bind off.")
		p("")
	}
	p("Sleeves (make 2)")
	p("CO 42 (42, 46, 46, 50, 50, 54, 54, 58) sts.")
	n := 0
	row := func(body string) { n++; p("Row %d (%s): %s", n, []string{"WS", "RS"}[n%2], body) }
	for range 8 {
		row("K2, *p2, k2; rep from * to end.")
		row("P2, *k2, p2; rep from * to end.")
	}
	for range 12 {
		row("K1, m1l, k to last st, m1r, k1.")
		row("Purl.")
		row("Knit.")
		row("Purl.")
		row("Knit.")
		row("Purl.")
	}
	p("Bind off.")
	return b.String()
}

// TestPullover sees to it that what the benchmark measures is right.
func TestPullover(t *testing.T) {
	r := Check(pullover()).Report
	rows := 0
	for _, p := range r.Parts {
		rows += len(p.Rows)
	}
	if rows < 400 || len(r.Sizes) != 9 {
		t.Errorf("%d rows in %d sizes", rows, len(r.Sizes))
	}
	for _, f := range r.Findings {
		if f.Severity != "note" {
			t.Errorf("line %d: %s: %s", f.Line, f.Code, f.Message)
		}
	}
	for _, f := range Check(stitchPattern).Report.Findings {
		t.Errorf("stitch pattern: line %d: %s: %s", f.Line, f.Code, f.Message)
	}
	want := map[string][]int{"Back": {70, 78, 84, 92, 98, 104, 110, 116, 122}, "Front": {70, 78, 84, 92, 98, 104, 110, 116, 122}, "Sleeves": {66, 66, 70, 70, 74, 74, 78, 78, 82}}
	for _, p := range r.Parts {
		if got := vals(p.FinalCounts); got != fmt.Sprint(want[p.Name]) {
			t.Errorf("%s ends with %s, want %v", p.Name, got, want[p.Name])
		}
	}
}
