package chart

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

// grid writes a chart as letters, the top row first, as it is looked at.
func grid(c *Chart) []string {
	letters := map[string]string{"knit": ".", "purl": "-", "yo": "o", "dec-r-2": "/", "dec-l-2": `\`, "dec-l-3": "A", "dec-c-3": "^"}
	var out []string
	for i := len(c.Rows) - 1; i >= 0; i-- {
		line := ""
		for k := range c.Rows[i].Cells {
			x := &c.Rows[i].Cells[k]
			s := letters[x.Symbol]
			if x.Kind == NoStitch {
				s = "#"
			}
			if s == "" {
				s = "?"
			}
			line = s + line
		}
		out = append(out, line)
	}
	return out
}

// TestTraditionalLace: the charts of two laces as handed down (traditional, of
// Shetland and of every stitch collection since): Old Shale and Horseshoe.
func TestTraditionalLace(t *testing.T) {
	for _, test := range []struct {
		text  string
		want  []string
		from  int
		width int
	}{
		{`Old Shale
Multiple of 18 sts
Row 1 (RS): Knit.
Row 2: Purl.
Row 3: *[K2tog] 3 times, [yo, k1] 6 times, [k2tog] 3 times; rep from * to end.
Row 4: Knit.`, []string{
			"------------------",
			"///.o.o.o.o.o.o///",
			"..................",
			".................."}, 0, 18},
		{`Horseshoe
Multiple of 10 sts + 1
Row 1 (RS): K1, *yo, k3, sk2p, k3, yo, k1; rep from * to end.
Row 2: Purl.
Row 3: P1, *k1, yo, k2, sk2p, k2, yo, k1, p1; rep from * to end.
Row 4: *K1, p9; rep from * to last st, k1.
Row 5: P1, *k2, yo, k1, sk2p, k1, yo, k2, p1; rep from * to end.
Row 6: As Row 4.
Row 7: P1, *k3, yo, sk2p, yo, k3, p1; rep from * to end.
Row 8: Purl.`, []string{
			"...........",
			"-...oAo...-",
			"-.........-",
			"-..o.A.o..-",
			"-.........-",
			"-.o..A..o.-",
			"...........",
			".o...A...o."}, 1, 10},
	} {
		c, _ := of(t, test.text, Options{})
		if got := grid(c); !slices.Equal(got, test.want) {
			t.Errorf("%s:\n%s\nwant\n%s", c.Title, strings.Join(got, "\n"), strings.Join(test.want, "\n"))
		}
		if c.Box == nil || c.Box.Width != test.width || c.Box.From[0] != test.from {
			t.Errorf("%s: the repeat is %+v, want %d from column %d", c.Title, c.Box, test.width, test.from)
		}
		for i := range c.Rows {
			if c.Rows[i].Left != (i%2 == 1) {
				t.Errorf("%s: the number of row %s stands at the left: %v", c.Title, c.Rows[i].Number, c.Rows[i].Left)
			}
		}
	}
}

// sample has a crossing, a drop, two colours, an increase and no-stitch cells.
const sample = `Sample
Yarn: A, B
Multiple of 8 sts + 2
Row 1 (RS): With A, k1, *2/2 LC, p1, k1, yo, k2tog; rep from * to last st, k1.
Row 2: With A, p1, *p3, k1, p4; rep from * to last st, p1.
Row 3: With B, k1, *sl 1, k3, (k1, p1, k1) in next st, k3; rep from * to last st, k1.
Row 4: With B, p1, *p3, p3tog, p3, sl 1 wyif; rep from * to last st, p1.
Row 5: With A, k2, k3b, k to last 2 sts, k2.
Row 6: *P1 A, p1 B; rep from * to end.
`

// TestSVG: well-formed, named and described, without anything a strict
// Content-Security-Policy refuses, and every row in a group of its own.
func TestSVG(t *testing.T) {
	for _, set := range Sets {
		c, _ := of(t, sample, Options{Symbols: set, Colours: map[string]string{"a": "#f3ead3", "B": "red; x"}})
		var b bytes.Buffer
		if err := c.SVG(&b, `a"b`, Look{}); err != nil {
			t.Fatal(err)
		}
		if s := b.String(); !strings.Contains(s, "#f3ead3") || strings.Contains(s, "red;") {
			t.Errorf("%s: the chart is not drawn in its colours", set)
		}
		d := xml.NewDecoder(bytes.NewReader(b.Bytes()))
		groups, ids, labelled := 0, map[string]string{}, ""
		open := ""
		for {
			tok, err := d.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				t.Fatalf("%s: %v", set, err)
			}
			switch tok := tok.(type) {
			case xml.StartElement:
				open = ""
				for _, a := range tok.Attr {
					switch a.Name.Local {
					case "style", "href", "onload", "class":
						if a.Value != "row" {
							t.Errorf("%s: attribute %s=%q", set, a.Name.Local, a.Value)
						}
					case "id":
						open = a.Value
					case "aria-labelledby":
						labelled = a.Value
					case "data-row":
						groups++
					}
				}
				switch tok.Name.Local {
				case "svg", "title", "desc", "g", "path", "text":
				default:
					t.Errorf("%s: element %s", set, tok.Name.Local)
				}
			case xml.CharData:
				if open != "" {
					ids[open] += string(tok)
				}
			case xml.EndElement:
				open = ""
			}
		}
		for _, id := range strings.Fields(labelled) {
			if ids[id] == "" {
				t.Errorf("%s: nothing stands under the id %q", set, id)
			}
		}
		if want := `Chart of Sample`; !strings.HasPrefix(ids[`a"b-title`], want) {
			t.Errorf("%s: titled %q", set, ids[`a"b-title`])
		}
		if groups < len(c.Rows) || strings.Contains(b.String(), "red; x") {
			t.Errorf("%s: %d groups of rows for %d rows, or a colour was let through", set, groups, len(c.Rows))
		}
	}
}

// TestSymbols: both sets have the same symbols, all within their cell.
func TestSymbols(t *testing.T) {
	if a, b := SymbolIDs("plain"), SymbolIDs("jis"); !slices.Equal(a, b) {
		t.Errorf("plain has %v, jis %v", a, b)
	}
	for _, set := range Sets {
		seen := map[string]string{}
		for _, id := range SymbolIDs(set) {
			s := SymbolOf(set, id)
			if s.Short == "" || id != "cross" && s.RS == "" || s.Source == "" {
				t.Errorf("%s %s lacks words", set, id)
			}
			shape := ""
			for _, m := range s.Shape {
				shape += pathData(m.Path) + m.Text
				if m.Fill {
					shape += "f"
				}
				for _, g := range m.Path {
					for _, p := range g.P {
						if p.X < 0 || p.X > 1 || p.Y < 0 || p.Y > 1 {
							t.Errorf("%s %s leaves its cell at %v", set, id, p)
						}
					}
				}
			}
			if other := seen[shape]; other != "" && id != "cross" {
				t.Errorf("%s: %s looks like %s", set, id, other)
			}
			seen[shape] = id
		}
	}
}

// TestTiles: each cell stands on a sheet, neighbours share what they say, no
// wide cell is cut where that can be helped.
func TestTiles(t *testing.T) {
	text := "Multiple of 60\nRow 1 (RS): *2/2 LC, k2; rep from * to end.\nRow 2: Purl.\n"
	for i := 3; i <= 40; i++ {
		text += rowOf(i)
	}
	c, _ := of(t, text, Options{})
	sheets, err := c.Tiles(25, 16, 2)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[[2]int]int{}
	for k, s := range sheets {
		if s.Columns > 25 || len(s.Rows) > 16 || s.Sheet.Number != k+1 || s.Sheet.Of != len(sheets) {
			t.Errorf("sheet %d: %d by %d, %+v", k, s.Columns, len(s.Rows), s.Sheet)
		}
		for i := range s.Rows {
			for _, x := range s.Rows[i].Cells {
				if x.Kind == Continued {
					t.Errorf("sheet %d, row %s: a cell is cut", k, s.Rows[i].Number)
				}
				for d := 0; d < x.Span; d++ {
					seen[[2]int{s.Sheet.FromRow + i, s.Sheet.FromColumn + x.Column + d}]++
				}
			}
		}
		var b bytes.Buffer
		if err := s.SVG(&b, "s", Look{}); err != nil || !strings.Contains(b.String(), "the neighbour&#39;s edge lies on the dashed line") {
			t.Errorf("sheet %d: %v, no overlap told", k, err)
		}
		if len(s.Key) > len(c.Key) {
			t.Errorf("sheet %d: %d lines of key, %d in the whole chart", k, len(s.Key), len(c.Key))
		}
	}
	if len(seen) != c.Columns*len(c.Rows) {
		t.Errorf("%d cells on sheets, %d in the chart", len(seen), c.Columns*len(c.Rows))
	}
	shared := 0
	for _, n := range seen {
		if n > 1 {
			shared++
		}
	}
	if shared == 0 {
		t.Error("no overlap")
	}
	if _, err := c.Tiles(2, 2, 1); err == nil {
		t.Error("sheets of 2 by 2 are allowed")
	}
	if one, _ := c.Tiles(400, 400, 2); len(one) != 1 || one[0] != c {
		t.Error("a chart that fits is cut")
	}
}

func rowOf(i int) string {
	return "Row " + strings.TrimSpace(strings.Repeat(" ", i%2)) + itoa(i) + ": " + map[bool]string{true: "Knit.", false: "Purl."}[i%2 == 1] + "\n"
}

func itoa(n int) string { return num(float64(n)) }

// TestJSON: what the editor sends back is what it was sent.
func TestJSON(t *testing.T) {
	c, ms := of(t, sample, Options{})
	b, err := json.Marshal(c)
	if err != nil {
		t.Fatal(err)
	}
	d, err := Decode(b)
	if err != nil {
		t.Fatal(err)
	}
	for i := range c.Rows {
		if !reflect.DeepEqual(c.Rows[i].Cells, d.Rows[i].Cells) {
			t.Errorf("row %s differs", c.Rows[i].Number)
		}
	}
	x, err := c.Text(ms)
	if err != nil {
		t.Fatal(err)
	}
	y, err := d.Text(ms)
	if err != nil || !slices.Equal(x, y) {
		t.Errorf("%v: rows\n%s\nwant\n%s", err, strings.Join(y, "\n"), strings.Join(x, "\n"))
	}
}

// TestBlank: a chart drawn from blank is written as rows that prove.
func TestBlank(t *testing.T) {
	c, err := Blank(6, 4, false, "plain")
	if err != nil {
		t.Fatal(err)
	}
	c.Title = "Drawn"
	c.Box = &Box{Width: 4, From: []int{1, 1, 1, 1}, Of: 4}
	for _, k := range []int{2} {
		c.Rows[2].Cells[k] = Cell{Column: k, Span: 1, Symbol: "dec-r-2", Yarn: -1}
		c.Rows[2].Cells[k+1] = Cell{Column: k + 1, Span: 1, Symbol: "yo", Yarn: -1}
	}
	c.Rows[0].Cells = append(c.Rows[0].Cells[:1], Cell{Column: 1, Span: 4, Symbol: "cross", Yarn: -1, Strands: []Strand{{From: 0, To: 2, N: 2, Place: 1}, {From: 2, To: 0, N: 2, Place: 2}}}, c.Rows[0].Cells[5])
	c.Renew()
	got, err := c.Text(nil)
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"Row 1 (RS): K1, *2/2 lc; rep from * to last st, k1.", "Row 2: P to end.", "Row 3: K1, *k1, k2tog, yo, k1; rep from * to last st, k1.", "Row 4: P to end."}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	ms, err := c.Manuscript(nil)
	if err != nil {
		t.Fatal(err)
	}
	again := notation.Read(notation.Write(ms))
	d, err := Make(again, needle.Work(again), 0, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if a, b := grid(c), grid(d); !slices.Equal(a, b) || !slices.Equal(c.Box.From, d.Box.From) {
		t.Errorf("drawn\n%s\nand charted again\n%s", strings.Join(a, "\n"), strings.Join(b, "\n"))
	}
}

// FuzzDecode: no chart from outside may panic when it is drawn, cut or written.
func FuzzDecode(f *testing.F) {
	c, _ := of(f, sample, Options{})
	b, err := json.Marshal(c)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(b)
	f.Add([]byte(`{"columns":1,"rows":[{"number":"1","yarn":-1,"cells":[{"column":0,"span":1,"symbol":"cross","yarn":-1}]}]}`))
	f.Add([]byte(`{"columns":2,"rows":[{"yarn":-1,"cells":[]}],"box":{"width":1,"from":[0]}}`))
	f.Fuzz(func(t *testing.T, b []byte) {
		c, err := Decode(b)
		if err != nil {
			return
		}
		for s := range c.Draw(Look{}).Shapes() {
			for _, g := range s.Path {
				if math.IsNaN(g.P[0].X) || math.IsInf(g.P[0].X, 0) {
					t.Fatal("a shape lies nowhere")
				}
			}
		}
		if sheets, err := c.Tiles(10, 10, 2); err == nil {
			for _, s := range sheets {
				s.Draw(Look{})
			}
		}
		if ms, err := c.Manuscript(nil); err == nil {
			notation.Write(ms)
		}
	})
}

// TestPiece: a shaped piece is charted row by row, in the size asked for.
func TestPiece(t *testing.T) {
	const text = `Sizes: S (L)
CO 19 (23) sts.
Row 1 (RS): K1, ssk, k to last 3 sts, k2tog, k1.
Row 2: Purl.
Rep Rows 1 and 2 1 (2) times more.
BO 2 sts at beg of next 2 rows.
Rep Rows 1 and 2 until piece measures 10 cm.
`
	for size := range 2 {
		c, _ := of(t, text, Options{Size: size})
		if !c.Through || c.Box != nil || c.Stitches != 19+4*size {
			t.Errorf("size %d: through %v, box %v, %d stitches", size, c.Through, c.Box, c.Stitches)
		}
		for i := range c.Rows {
			if c.Rows[i].Number != itoa(i+1) {
				t.Errorf("size %d: row %d is numbered %s", size, i+1, c.Rows[i].Number)
			}
		}
		n := 4 + 2*size
		for k := 0; k < 2; k++ { // bound off at the right edge of an RS row, the left one of a WS row
			r := &c.Rows[n+k]
			cells := slices.Clone(r.Cells)
			if r.WS {
				slices.Reverse(cells)
			}
			if cells[0].Symbol != "bo" || cells[1].Symbol != "bo" || cells[2].Symbol == "bo" {
				t.Errorf("size %d, row %s: begins with %s, %s, %s", size, r.Number, cells[0].Symbol, cells[1].Symbol, cells[2].Symbol)
			}
		}
		if got := strings.Join(c.Notes, " "); !strings.Contains(got, "repeated to a length are shown twice") {
			t.Errorf("size %d: %s", size, got)
		}
	}
}

// TestSections: a part may be charted head by head.
func TestSections(t *testing.T) {
	ms := notation.Read(`Mitten
Cuff
CO 24 sts, join to work in the round.
Rnd 1: *K2, p2; rep from * around.
Rep Rnd 1 5 times more.
Hand
Rnd 2: *K4, yo, k2tog; rep from * around.
Rnd 3: Knit.
Crown
Rnd 4: *K2, k2tog; rep from * around.
Rnd 5: Knit.
`)
	res := needle.Work(ms)
	var got []string
	for _, s := range Sections(ms, res) {
		c, err := Make(ms, res, s.Part, Options{From: s.From, To: s.To})
		if err != nil {
			t.Errorf("%s: %v", s.Name, err)
			continue
		}
		rows, err := c.Text(ms)
		if err != nil {
			t.Errorf("%s: %v", s.Name, err)
		}
		got = append(got, s.Name+": "+strings.Join(rows, " "))
	}
	want := []string{
		"Cuff: Rnd 1: *k2, p2; rep from * to end.",
		"Hand: Rnd 2: *k4, yo, k2tog; rep from * to end. Rnd 3: K to end.",
		"Crown: Rnd 4: *k2, k2tog; rep from * to end. Rnd 5: K to end."}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// TestHostile: what is too large is refused soon.
func TestHostile(t *testing.T) {
	for _, text := range []string{
		"CO 20000 sts.\nRow 1: Knit.\nRep Row 1 19000 times more.",
		"CO 9 sts.\n" + strings.Repeat("Row 1: [K1, yo] 9 times.\n", 1),
		"Multiple of 19000\nRow 1: Knit.\nRow 2: Purl.",
		"CO 300 sts.\nRow 1: Knit.\nRow 2: K2tog, k to end.\nRep Rows 1 and 2 290 times more.",
		"Multiple of 2\nRow 1: *K1, yo; rep from * to end.\nRep Row 1.",
	} {
		ms := notation.Read(text)
		res := needle.Work(ms)
		start := time.Now()
		for i := range res.Parts {
			if c, err := Make(ms, res, i, Options{}); err == nil {
				if err := c.SVG(io.Discard, "", Look{}); err != nil {
					t.Error(err)
				}
			}
		}
		if d := time.Since(start); d > 3*time.Second { // far above a second on a busy machine
			t.Errorf("%v for %.60q", d, text)
		} else {
			t.Logf("%v for %.60q", d, text)
		}
	}
}

// BenchmarkSVG charts a stitch pattern and draws it.
func BenchmarkSVG(b *testing.B) {
	ms := notation.Read(sample)
	res := needle.Work(ms)
	b.ReportAllocs()
	for b.Loop() {
		c, err := Make(ms, res, 0, Options{})
		if err != nil {
			b.Fatal(err)
		}
		if err := c.SVG(io.Discard, "", Look{}); err != nil {
			b.Fatal(err)
		}
	}
}
