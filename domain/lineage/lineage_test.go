package lineage_test

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"rowproof/domain/lineage"
)

// rows reads "Piece / Head: text" lines; old rows get the ids 1, 2, 3 …
func rows(text string) []lineage.Row {
	var out []lineage.Row
	for i, l := range lines(text) {
		out = append(out, lineage.Row{ID: int64(i + 1), Piece: l.Piece, Head: l.Head, Text: l.Text})
	}
	return out
}

func lines(text string) []lineage.Line {
	var out []lineage.Line
	piece := "Swatch"
	for s := range strings.Lines(text) {
		s = strings.TrimSpace(s)
		if s == "" {
			continue
		}
		if name, ok := strings.CutPrefix(s, "= "); ok {
			piece = name
			continue
		}
		head, body, ok := strings.Cut(s, ": ")
		if !ok {
			head, body = "", s
		}
		out = append(out, lineage.Line{Piece: piece, Head: head, Text: body})
	}
	return out
}

// show writes matches as "1 2 new 3<4,5": 3<4,5 is row 3 with parents 4 and 5.
func show(ms []lineage.Match) string {
	var out []string
	for _, m := range ms {
		s := "new"
		if m.ID != 0 {
			s = fmt.Sprint(m.ID)
		}
		for i, p := range m.Parents {
			s += map[bool]string{true: "<", false: ","}[i == 0] + fmt.Sprint(p)
		}
		out = append(out, s)
	}
	return strings.Join(out, " ")
}

func TestTrace(t *testing.T) {
	for _, test := range []struct{ name, old, new, want string }{
		{
			"unchanged",
			"Row 1: k to end\nRow 2: p to end\nRow 3: k to end\nRow 4: p to end",
			"Row 1: k to end\nRow 2: p to end\nRow 3: k to end\nRow 4: p to end",
			"1 2 3 4",
		},
		{
			"only spacing and case",
			"Row 1: K2,  P2", "row 1: k2, p2", "1",
		},
		{
			"a pair of rows put in, the rest renumbered",
			"Row 1: *k2, p2; rep from *\nRow 2: purl\nRow 3: k1, yo, k2tog\nRow 4: purl\nRow 5: knit all",
			"Row 1: *k2, p2; rep from *\nRow 2: purl\nRow 3: sl1, k1, psso, k4\nRow 4: purl\nRow 5: k1, yo, k2tog\nRow 6: purl\nRow 7: knit all",
			"1 2 new new 3 4 5",
		},
		{
			"a row taken out, the rest renumbered",
			"Row 1: k3, p1\nRow 2: purl\nRow 3: k1, yo, k2tog\nRow 4: purl\nRow 5: bobble in next st",
			"Row 1: k3, p1\nRow 2: k1, yo, k2tog\nRow 3: purl\nRow 4: bobble in next st",
			"1 3 4 5",
		},
		{
			"one number mended",
			"Row 1: k3, *p2, k4; rep from * to end\nRow 2: purl\nRow 3: k3, *p2, k5; rep from * to end",
			"Row 1: k3, *p2, k4; rep from * to end\nRow 2: purl\nRow 3: k2, *p2, k5; rep from * to end",
			"1 2 3",
		},
		{
			"a row rewritten altogether in its place",
			"Row 1: k3, p1\nRow 2: purl\nRow 3: *yo, k2tog; rep from *",
			"Row 1: k3, p1\nRow 2: sl 1 wyif to last st, turn\nRow 3: *yo, k2tog; rep from *",
			"1 2 3",
		},
		{
			"a pair of rounds put in before a mended one, with the usual words in each",
			"Rnd 1: *k2, p2; rep from * around\nRnd 2: knit\nRnd 3: *k2tog, k6; rep from * around\nRnd 4: knit",
			"Rnd 1: *k2, p2; rep from * around\nRnd 2: knit\nRnd 3: *sl 1, p3; rep from * around\nRnd 4: knit\nRnd 5: *k2tog, k5; rep from * around\nRnd 6: knit",
			"1 2 new new 3 4",
		},
		{
			"two rows change places",
			"Row 1: k3, p1, k3\nRow 2: p3, k1, p3\nRow 3: *yo, k2tog; rep from *\nRow 4: sl 1, purl to end",
			"Row 1: *yo, k2tog; rep from *\nRow 2: p3, k1, p3\nRow 3: k3, p1, k3\nRow 4: sl 1, purl to end",
			"3 2 1 4",
		},
		{
			"the same rows in two pieces; one in the second is changed",
			"= Back\nRow 1: k2, p2\nRow 2: p2, k2\nRow 3: k1, yo, k2tog\n= Front\nRow 1: k2, p2\nRow 2: p2, k2\nRow 3: k1, yo, k2tog",
			"= Back\nRow 1: k2, p2\nRow 2: p2, k2\nRow 3: k1, yo, k2tog\n= Front\nRow 1: k2, p2\nRow 2: p2, k2\nRow 3: k1, yo, ssk",
			"1 2 3 4 5 6",
		},
		{
			"pieces change places",
			"= Back\nRow 1: k2, p2\nRow 2: p2, k2\n= Front\nRow 1: k2, p2\nRow 2: p2, k2",
			"= Front\nRow 1: k2, p2\nRow 2: p2, k2\n= Back\nRow 1: k2, p2\nRow 2: p2, k2",
			"3 4 1 2",
		},
		{
			"a piece renamed, a row in it put in",
			"= Back\nRow 1: k2, p2\nRow 2: purl\nRow 3: knit\nRow 4: purl",
			"= Back and Front\nRow 1: k2, p2\nRow 2: purl\nRow 3: k1, m1, k to end\nRow 4: purl\nRow 5: knit\nRow 6: purl",
			"1 2 new new 3 4",
		},
		{
			"a row moved to another piece with its telling words",
			"= Back\nRow 1: k2, p2\nRow 2: k1, yo, sl1, k2tog, psso, yo, k1\n= Crown\nRow 1: purl",
			"= Back\nRow 1: k2, p2\n= Crown\nRow 1: purl\nRow 2: k1, yo, sl1, k2tog, psso, yo, k1",
			"1 3 2",
		},
		{
			"a plain row of another piece is not the same row",
			"= Back\nRow 1: k2, p2\nRow 2: purl\n= Crown\nRow 1: k9, m1",
			"= Back\nRow 1: k2, p2\n= Crown\nRow 1: k9, m1\nRow 2: purl",
			"1 3 new",
		},
		{
			"a row split in two",
			"Row 1: k4, yo, k2tog, p3, sl 1 wyif, k6, ssk, yo, k1\nRow 2: purl",
			"Row 1: k4, yo, k2tog, p3\nRow 2: sl 1 wyif, k6, ssk, yo, k1\nRow 3: purl",
			"new<1 1 2",
		},
		{
			"a row split in three",
			"Row 1: k4, yo, k2tog, p3, sl 1 wyif, k6, ssk, yo, k1, dc 9 tr, mb, c4f, k4\nRow 2: purl",
			"Row 1: k4, yo, k2tog, p3\nRow 2: sl 1 wyif, k6, ssk, yo, k1\nRow 3: dc 9 tr, mb, c4f, k4\nRow 4: purl",
			"new<1 1 new<1 2",
		},
		{
			"two rows merged",
			"Row 1: k4, yo, k2tog, p3\nRow 2: sl 1 wyif, k6, ssk, yo, k1\nRow 3: purl",
			"Row 1: k4, yo, k2tog, p3, sl 1 wyif, k6, ssk, yo, k1\nRow 2: purl",
			"1<2 3",
		},
		{
			"a range split by its numbers",
			"Rows 1-4: knit\nRow 5: purl", "Rows 1 and 2: knit\nRows 3 and 4: knit\nRow 5: purl",
			"1 new<1 2",
		},
		{
			"ranges merged by their numbers",
			"Rows 1-2: knit\nRows 3-4: knit\nRow 5: purl", "Rows 1–4: knit\nRow 5: purl",
			"1<2 3",
		},
		{
			"two plain rows joined by their numbers, with one between",
			"Row 1: knit\nRow 2: k2, p2\nRow 3: knit", "Rows 1 and 3: knit\nRow 2: k2, p2",
			"1<3 2",
		},
		{
			"rows without heads",
			"k2, p2 to end\nknit one row\nbind off loosely in patt", "k2, p2 to end\npurl two rows even\nknit one row\nbind off loosely in patt",
			"1 new 2 3",
		},
		{"nothing before", "", "Row 1: knit", "new"},
		{"nothing left", "Row 1: knit", "", ""},
	} {
		t.Run(test.name, func(t *testing.T) {
			got := show(lineage.Trace(rows(test.old), lines(test.new)))
			if got != test.want {
				t.Errorf("Trace:\nold\n%s\nnew\n%s\ngot  %s\nwant %s", test.old, test.new, got, test.want)
			}
		})
	}
}

// TestTraceOfHostileTexts holds the bound that the package promises.
func TestTraceOfHostileTexts(t *testing.T) {
	same := func(n int, text func(i int) string) ([]lineage.Row, []lineage.Line) {
		var o []lineage.Row
		var l []lineage.Line
		for i := range n {
			o = append(o, lineage.Row{ID: int64(i + 1), Text: text(i)})
			l = append(l, lineage.Line{Text: text(n - i + 7)})
		}
		return o, l
	}
	for _, test := range []struct {
		name string
		n    int
		text func(i int) string
	}{
		{"reversed", 100_000, func(i int) string { return fmt.Sprint("k", i) }},
		{"two texts in turn", 100_000, func(i int) string { return []string{"knit", "purl"}[i%2] }},
		{"alike", 20_000, func(i int) string { return fmt.Sprint("k2, p2, k2, p2, k", i, ", p", i+30_000) }},
		{"few long ones", 50, func(i int) string { return strings.Repeat(fmt.Sprint("k", i, " "), 5_000) }},
	} {
		t.Run(test.name, func(t *testing.T) {
			o, l := same(test.n, test.text)
			began := time.Now()
			a := lineage.Trace(o, l)
			took := time.Since(began)
			if took > 3*time.Second {
				t.Errorf("took %v", took)
			}
			t.Log(took)
			if b := lineage.Trace(o, l); !reflect.DeepEqual(a, b) {
				t.Error("two runs differ")
			}
		})
	}
}

func BenchmarkTraceOneRowMendedOf400(b *testing.B) {
	var old []lineage.Row
	var lines []lineage.Line
	for i := range 400 {
		text := fmt.Sprintf("k%d, *p2, k%d; rep from * to last %d sts, purl to end", i%7, i%11+1, i%5)
		old = append(old, lineage.Row{ID: int64(i + 1), Piece: "Body", Head: fmt.Sprint("Row ", i+1), Text: text})
		lines = append(lines, lineage.Line{Piece: "Body", Head: fmt.Sprint("Row ", i+1), Text: text})
	}
	lines[200].Text += ", k1"
	for b.Loop() {
		lineage.Trace(old, lines)
	}
}
