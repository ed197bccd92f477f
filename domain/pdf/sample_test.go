package pdf

import (
	"fmt"
	"time"

	"rowproof/domain/document"
)

var p = document.P

func day() time.Time { return time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC) }

var nine = []string{"XS", "S", "M", "L", "XL", "2X", "3X", "4X", "5X"}

func each(from, step int) []int {
	v := make([]int, len(nine))
	for i := range v {
		v[i] = from + i*step
	}
	return v
}

func vec(from, step int) string { return document.Counts{Each: each(from, step)}.Figures() }

func cells(head string, vs []int, unit string) []string {
	out := []string{head}
	for _, v := range vs {
		out = append(out, fmt.Sprint(v)+unit)
	}
	return out
}

// pullover is a long pattern in nine sizes, of our own devising.
func pullover() *document.Document {
	w := document.WordsFor("en-US")
	d := &document.Document{Title: "Fjærland Pullover", Designer: "Ada Holm", Lang: "en-US", Revision: 3, Date: day(), URL: "https://studio.example/fjaerland", Sizes: nine, Words: w}
	add := func(b ...document.Block) { d.Blocks = append(d.Blocks, b...) }
	id := 0
	h := func(l int, t string) { id++; add(&document.Heading{Level: l, Text: t, ID: fmt.Sprintf("s%d", id)}) }
	add(&document.TitleBlock{Title: d.Title, Designer: "by Ada Holm", Facts: []string{"Nine sizes", "Revision 3", "25 November 2026"}},
		&document.Notice{Kind: document.NotProved, Head: "Not proved: 2 findings", Text: []document.Runs{p("The proof of these rows still has 2 findings. Counts may be wrong; do not knit from this copy.")}},
		&document.Paragraph{Lead: true, Text: p("A pullover worked in pieces from the hem up, in a dropped-stitch texture that opens like ice on a lake in March. The body is straight and roomy; the sleeves are set in with a shallow cap, and the neckband is picked up at the end. Knit it in a wool with some tooth: the ladders want something to hold on to.")})
	h(1, w.Measurements)
	add(&document.Table{Columns: append([]string{"Size"}, nine...), Rows: [][]string{
		cells("To fit bust, cm", each(76, 8), ""), cells("Finished bust, cm", each(86, 8), ""), cells("in", each(34, 3), "¼"), cells("Length to shoulder, cm", each(56, 1), ""), cells("Sleeve to underarm, cm", each(44, 0), ".5"),
	}})
	h(1, w.Materials)
	add(&document.Definitions{Items: []document.Definition{
		{Term: "Yarn", Text: p("DK weight wool (100% wool; 105 m per 50 g): 9 (10, 11, 12, 13, 14, 15, 16, 17) balls in A, Rook; 2 balls in B, Oat for all sizes. Buy all of one lot.")},
		{Term: "Needles", Text: p("4 mm (US 6) straight needles and 3.5 mm (US 4) circular needle, 40 cm long, or whatever gives gauge")},
		{Term: "Notions", Text: p("2 stitch holders, tapestry needle, 4 markers")},
	}})
	h(1, w.Gauge)
	add(&document.Paragraph{Text: p("22 sts and 30 rows = 10 cm (4 in) in stockinette stitch on the larger needles, blocked; 20 sts and 32 rows = 10 cm in Ice pattern.")})
	h(1, w.Abbreviations)
	add(&document.Definitions{Kind: document.Short, Items: []document.Definition{
		{Term: "dec", Text: p("decrease")}, {Term: "k", Text: p("knit")}, {Term: "k2tog", Text: p("knit 2 together, leans right")}, {Term: "k3b", Text: p("knit into the loop 4 rows down in this column; the 3 loops above it ravel to ladders")},
		{Term: "p", Text: p("purl")}, {Term: "RS", Text: p("right side")}, {Term: "skp", Text: p("slip, knit, pass over, leans left")}, {Term: "ssk", Text: p("slip, slip, knit together, leans left")}, {Term: "st(s)", Text: p("stitch(es)")}, {Term: "WS", Text: p("wrong side")}, {Term: "yo", Text: p("yarn over")},
	}})
	h(1, w.Special)
	add(&document.Definitions{Kind: document.Terms, Items: []document.Definition{{Term: "k3b", Text: p("Insert the right needle into the loop 4 rows down, directly below the next stitch on the left needle; draw up a loop, slip the stitch off and let it run down to the loop that was caught.")}}})
	h(1, w.Instructions)
	for pi, piece := range []string{"Back", "Front", "Left sleeve", "Right sleeve"} {
		h(2, piece)
		co := 83 + 2*pi
		add(&document.Instruction{Text: p("With smaller needles and A, cast on"), Counts: document.Counts{Each: each(co, 12)}},
			&document.Instruction{Head: "Row 1 (RS)", Text: p("K1, *k1, p1; rep from * to last 2 sts, k2.")},
			&document.Instruction{Head: "Row 2", Text: p("P2, *k1, p1; rep from * to last st, p1.")},
			&document.Instruction{Text: p("Rep Rows 1 and 2 until piece measures 6 cm, ending with a WS row. Change to larger needles.")})
		h(3, "Ice pattern")
		for r := 1; r <= 12; r++ {
			head := fmt.Sprintf("Row %d", r)
			if r%2 == 1 {
				head += " (RS)"
			}
			b := &document.Instruction{Head: head, Text: p("K2, *k3b, k5; rep from * to last 3 sts, k3b, k2.")}
			if r%4 == 0 {
				b.Text = p("P2, *yo, p2tog, k1, [p1, k1] twice, sl 1 wyif, p" + vec(2, 1) + "; rep from * to last 4 (5, 6, 7, 8, 9, 10, 11, 12) sts, p2tog, p2.")
				b.Counts = document.Counts{Each: each(co-r/4, 12)}
			}
			add(b)
		}
		h(3, "Shape armholes")
		add(&document.Instruction{Text: p("Bind off " + vec(4, 1) + " sts at beg of next 2 rows."), Counts: document.Counts{Each: each(co-8, 10)}},
			&document.Instruction{Head: "Dec row (RS)", Text: p("K2, ssk, k to last 4 sts, k2tog, k2."), Counts: document.Counts{Each: each(co-10, 10)}},
			&document.Instruction{Head: "Row 2 and all WS rows to underarm", Text: p("Purl.")},
			&document.Instruction{Text: p("Rep Dec row every RS row " + vec(3, 1) + " times more."), Counts: document.Counts{Each: each(co-16, 8)}},
			&document.Instruction{Text: p("Work even until armhole measures 18 (18.5, 19, 20, 21, 22, 23, 24, 25) cm, ending with a WS row. Bind off.")})
	}
	h(1, "Finishing")
	add(&document.Paragraph{Text: p("Block the pieces to measurements. Sew the shoulders, set in the sleeves, sew side and sleeve seams. Weave in every end.")})
	h(1, w.CountTable)
	add(&document.Paragraph{Text: p(w.CountNote)})
	for pi, piece := range []string{"Back", "Front", "Left sleeve", "Right sleeve"} {
		t := &document.Table{Caption: piece, Counts: true, Columns: append([]string{"Row"}, nine...)}
		for r := range 9 {
			vs := each(83+2*pi-r, 12)
			c := cells(fmt.Sprintf("Row %d", r*4), vs, "")
			if r == 4 {
				c[1] = "–"
			}
			t.Rows = append(t.Rows, c)
		}
		add(t)
	}
	add(&document.Notice{Kind: document.Caution, Head: w.Cautions, Text: []document.Runs{p(w.CautionCords), p(w.CautionButtons), p(w.CautionClose)}},
		&document.Colophon{Lines: []document.Runs{p(d.Title + " · Revision 3 · 25 November 2026"), p("© 2026 Ada Holm. For private use."), {{Text: w.Corrections}, {Text: d.URL, URL: d.URL}}}})
	return d
}

// icePattern is a short stitch pattern with a multiple.
func icePattern() *document.Document {
	w := document.WordsFor("en-US")
	d := &document.Document{Title: "Ladder Moss", Designer: "Ada Holm", Lang: "en-US", Revision: 1, Date: day(), Sizes: []string{""}, Words: w}
	d.Blocks = []document.Block{
		&document.TitleBlock{Title: d.Title, Designer: "by Ada Holm", Facts: []string{"Multiple of 6 sts + 5", "Revision 1", "25 November 2026"}},
		&document.Paragraph{Lead: true, Text: p("An eight-row texture of dropped stitches, flat on the right side and soft behind.")},
		&document.Heading{Level: 1, Text: w.Abbreviations, ID: "a"},
		&document.Definitions{Kind: document.Short, Items: []document.Definition{{Term: "k", Text: p("knit")}, {Term: "p", Text: p("purl")}, {Term: "yo", Text: p("yarn over")}}},
		&document.Heading{Level: 1, Text: w.Instructions, ID: "b"},
		&document.Instruction{Head: "Row 1 (RS)", Text: p("K2, *yo, k6; rep from * to last 3 sts, k3."), Counts: document.Counts{Of: 7, Plus: 5}},
		&document.Instruction{Head: "Row 2", Text: p("Purl.")},
		&document.Instruction{Head: "Rows 3–6", Text: p("Work in stockinette stitch.")},
		&document.Instruction{Head: "Row 7", Text: p("K2, *drop yo, k6; rep from * to last 3 sts, k3. Finish first: the five file flags fly."), Counts: document.Counts{Of: 6, Plus: 5}},
		&document.Instruction{Head: "Row 8", Text: p("Purl. ½ ¾ × – — é Ø ● ○ ✕")},
		&document.Colophon{Lines: []document.Runs{p("Ladder Moss · Revision 1 · 25 November 2026")}},
	}
	return d
}
