package chart

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"rowproof/domain/fabric"
	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

// of charts the first part of a text.
func of(t testing.TB, text string, o Options) (*Chart, *notation.Manuscript) {
	t.Helper()
	ms := notation.Read(text)
	c, err := Make(ms, needle.Work(ms), 0, o)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return c, ms
}

func TestText(t *testing.T) {
	for _, test := range []struct {
		text string
		want []string
	}{
		{"Multiple of 9 sts + 3\nRow 1 (RS): P3, *k6, p3; rep from * to end.\nRow 2: K3, *p6, k3; rep from * to end.\nRow 3: P3, *sl next 3 sts to cn and hold in back, k3, k3 from cn, p3; rep from * to end.",
			[]string{"Row 1 (RS): P3, *k6, p3; rep from * to end.", "Row 2: *k3, p6; rep from * to last 3 sts, k3.", "Row 3: P3, *3/3 rc, p3; rep from * to end."}},
		{"Yarn: A, B\nMultiple of 4 sts\nRnd 1: With A, knit.\nRnd 2: *K3 A, k1 B; rep from * around.",
			[]string{"Rnd 1: With A, k to end.", "Rnd 2: *with A, k3, with B, k1; rep from * to end."}},
		{"Yarn: A, B\nMultiple of 6 sts + 5\nRow 1 (RS): With A, knit.\nRow 2: With A, purl.\nRow 3: With B, knit.\nRow 4: With B, purl.\nRow 5: With A, k2, *k2b, k5; rep from * to last 3 sts, k2b, k2.",
			[]string{"Row 1 (RS): With A, k to end.", "Row 2: With A, p to end.", "Row 3: With B, k to end.", "Row 4: With B, p to end.", "Row 5: With A, k2, *k2b, k5; rep from * to last 3 sts, k2b, k2."}},
		{"CO 6 sts.\nRow 1 (RS): K4, turn.\nRow 2: Sl 1, p3.\nRow 3: Knit.",
			[]string{"Row 1 (RS): K4, turn.", "Row 2: Sl 1 wyif, p3.", "Row 3: K to end."}},
		{"CO 5 sts.\nRow 1 (RS): K1, m1l, k3, m1r, k1.\nRow 2: P1, ssp, p1, p2tog, p1.",
			[]string{"Row 1 (RS): K1, m1l, k3, m1r, k1.", "Row 2: P1, ssp, p1, p2tog, p1."}},
	} {
		c, ms := of(t, test.text, Options{})
		got, err := c.Text(ms)
		if err != nil {
			t.Errorf("%v\n%s", err, test.text)
			continue
		}
		if !slices.Equal(got, test.want) {
			t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(test.want, "\n"))
		}
	}
}

// TestCannotBeWorked: a chart that cannot be written says which row and cell,
// and why.
func TestCannotBeWorked(t *testing.T) {
	plain := func() *Chart {
		c, _ := of(t, "Multiple of 4 sts\nRow 1 (RS): *K3, p1; rep from * to end.\nRow 2: *K1, p3; rep from * to end.\nRow 3: Knit.", Options{})
		return c
	}
	cell := func(c *Chart, row, column int) *Cell { return c.Rows[row].at(column) }
	for _, test := range []struct {
		name        string
		spoil       func(*Chart)
		row, column int
		why         string
	}{
		{"a decrease that nothing makes up for", func(c *Chart) { *cell(c, 1, 0) = Cell{Span: 1, Symbol: "dec-r-2", Yarn: -1} }, 1, 0, "it takes 5 stitches, but row 1 leaves 4; from this cell on they do not meet"},
		{"a stitch missing", func(c *Chart) { cell(c, 1, 2).Kind = NoStitch }, 1, 2, "it takes 3 stitches, but row 1 leaves 4; from this cell on they do not meet"},
		{"two cells on one column", func(c *Chart) { cell(c, 2, 1).Span = 2 }, 2, 2, "two cells lie on one column"},
		{"a hole", func(c *Chart) { r := &c.Rows[2]; r.Cells = slices.Delete(r.Cells, 1, 2) }, 2, 2, "a cell is missing before it"},
		{"an unknown symbol", func(c *Chart) { cell(c, 0, 3).Symbol = "wobble" }, 0, 3, `the symbol "wobble" says no stitch`},
		{"a cluster without a name", func(c *Chart) { cell(c, 0, 3).Symbol, cell(c, 0, 3).Takes = "cluster", 1 }, 0, 3, "what is worked together is not said; define it as a stitch with a name"},
		{"a crossing cut by the repeat", func(c *Chart) {
			r := &c.Rows[2]
			r.Cells = append(r.Cells[:1], Cell{Column: 1, Span: 3, Symbol: "knit", Takes: 3, Yarn: -1})
			c.Box = &Box{Width: 2, From: []int{0, 0, 0}}
		}, 2, 1, "the edge of the repeat cuts the cell"},
		{"a repeat of nothing", func(c *Chart) {
			for k := range c.Rows[2].Cells {
				c.Rows[2].Cells[k].Kind = Unworked
			}
			for x := 0; x < 2; x++ {
				*cell(c, 2, x) = Cell{Kind: NoStitch, Column: x, Span: 1, Yarn: -1}
			}
			c.Rows[2].Gap = true
			c.Box = &Box{Width: 2, From: []int{0, 0, 0}}
		}, 2, 0, "the repeat takes no stitches in this row"},
	} {
		c := plain()
		if _, err := c.Statements(); err != nil {
			t.Fatalf("unspoilt: %v", err)
		}
		test.spoil(c)
		_, err := c.Statements()
		var e *RowError
		if !errors.As(err, &e) {
			t.Errorf("%s: %v", test.name, err)
			continue
		}
		if e.Row != test.row || e.Column != test.column || e.Why != test.why {
			t.Errorf("%s: row %d, column %d: %q; want row %d, column %d: %q", test.name, e.Row, e.Column, e.Why, test.row, test.column, test.why)
		}
	}
}

// TestTeeth: the comparison of fabrics, by which rows and charts are held
// together, sees a single cell that is drawn otherwise.
func TestTeeth(t *testing.T) {
	for name, spoil := range map[string]func(*Chart){
		"a purl":                 func(c *Chart) { c.Rows[1].at(3).Symbol = "purl" },
		"a twist":                func(c *Chart) { c.Rows[1].at(3).Symbol = "knit-tbl" },
		"a lean":                 func(c *Chart) { *c.Rows[0].at(2) = Cell{Column: 2, Span: 1, Symbol: "dec-l-2", Yarn: 0} },
		"two cells changed over": func(c *Chart) { a, b := c.Rows[0].at(2), c.Rows[0].at(3); *a, *b = *b, *a; a.Column, b.Column = 2, 3 },
		"a crossing":             func(c *Chart) { s := c.Rows[2].at(1).Strands; s[0].Place, s[1].Place = s[1].Place, s[0].Place },
		"a yarn":                 func(c *Chart) { c.Rows[3].Yarn = 1 - c.Rows[3].Yarn },
		"a slip":                 func(c *Chart) { c.Rows[3].at(0).Symbol = "slip-front" },
		"a depth":                func(c *Chart) { c.Rows[4].at(1).Number = 1 },
		"nothing":                func(*Chart) {},
	} {
		const text = "Yarn: A, B\nCO 6 sts.\nRow 1 (RS): With A, k2, k2tog, yo, k2.\nRow 2: With A, purl.\nRow 3: With A, k1, 2/2 LC, k1.\nRow 4: With B, p5, sl 1 wyif.\nRow 5: With B, k1, k 2 below, k4."
		ms := notation.Read(text)
		res := needle.Work(ms)
		f, err := fabric.Build(ms, res, 0, 0, 0, 1)
		if err != nil {
			t.Fatal(err)
		}
		c, err := FromFabric(ms, f, "", Options{})
		if err != nil {
			t.Fatal(err)
		}
		spoil(c)
		out, err := c.Manuscript(ms)
		if err == nil {
			_, err = samePart(ms, res, 0, c, out, c.Stitches, true, 0)
		}
		if (err == nil) != (name == "nothing") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestSentencesRepeated: rounds that a sentence tells, and another repeats, are drawn as they are
// worked, and say that they are rounds where nothing is numbered.
func TestSentencesRepeated(t *testing.T) {
	ms := notation.Read("Cowl\n\nCast on 104 sts. Join to work in the round.\n\nPurl 1 rnd.\nKnit 1 rnd.\nRep the last 2 rnds twice more.\nRnd 7: *Yo, k2tog; rep from * to end.\n")
	c, err := Make(ms, needle.Work(ms), 0, Options{})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, r := range c.Rows {
		got = append(got, r.Number+" "+r.Cells[0].Key)
	}
	if s := strings.Join(got, ", "); s != "Purl 1 rnd p, Knit 1 rnd k, 7 ktog" && s != "Purl 1 rnd p, Knit 1 rnd k, 7 yo" {
		t.Errorf("charted %s", s)
	}
}

// TestPickedUpAlongEdges: rounds that go on from stitches picked up along flat rows are not drawn as
// if they had been cast on there; the message says where.
func TestPickedUpAlongEdges(t *testing.T) {
	ms := notation.Read("Bag\n\nBASE\nCO 20 sts.\nKnit 12 rows.\n\nBODY\nPm, pick up and knit 6 sts along the short edge, pm, pick up and knit 20 sts along the cast-on edge, pm, pick up and knit 6 sts along the other short edge, pm for beginning of rnd. 52 sts.\nRnd 1: *K2, p2; rep from * to end.\n")
	_, err := Make(ms, needle.Work(ms), 0, Options{})
	if err == nil || !strings.Contains(err.Error(), "in line 8") {
		t.Errorf("got %v", err)
	}
}
