package pdf

import (
	"fmt"
	"math/rand"
	"strings"
	"testing"

	"rowproof/domain/document"
)

func mustShaper(t testing.TB) *shaper {
	t.Helper()
	sh, err := newShaper()
	if err != nil {
		t.Fatal(err)
	}
	return sh
}

var papers = []Options{{}, {Paper: Letter}, {Large: true}, {Paper: Letter, Large: true}}

// samples are the documents that layout is held to.
func samples(t testing.TB) map[string]*document.Document {
	m := map[string]*document.Document{"pullover": pullover(), "stitch": icePattern(), "hat": hat(t, -1), "one size": hat(t, 2), "empty": {}}
	for i := range 6 {
		m[fmt.Sprintf("random %d", i)] = randomDocument(rand.New(rand.NewSource(int64(i))))
	}
	return m
}

// randomDocument strings blocks of all kinds together.
func randomDocument(r *rand.Rand) *document.Document {
	w := document.WordsFor("en")
	d := &document.Document{Title: randomWords(r, 6), Words: w}
	cells := func(n int) []string {
		var out []string
		for range n {
			out = append(out, fmt.Sprint(r.Intn(400)))
		}
		return out
	}
	for range 10 + r.Intn(60) {
		switch r.Intn(9) {
		case 0:
			d.Blocks = append(d.Blocks, &document.TitleBlock{Title: randomWords(r, 8), Designer: randomWords(r, 3), Facts: []string{randomWords(r, 4)}})
		case 1:
			d.Blocks = append(d.Blocks, &document.Heading{Level: 1 + r.Intn(3), Text: randomWords(r, 9)})
		case 2:
			d.Blocks = append(d.Blocks, &document.Paragraph{Text: p(randomWords(r, 120)), Lead: r.Intn(2) == 0})
		case 3:
			df := &document.Definitions{Kind: document.DefinitionKind(r.Intn(3))}
			for range r.Intn(40) {
				df.Items = append(df.Items, document.Definition{Term: randomWords(r, 3), Text: p(randomWords(r, 20))})
			}
			d.Blocks = append(d.Blocks, df)
		case 4:
			n := 1 + r.Intn(41)
			tb := &document.Table{Caption: randomWords(r, 3), Columns: cells(n), Counts: r.Intn(2) == 0}
			for range r.Intn(60) {
				tb.Rows = append(tb.Rows, append([]string{randomWords(r, 5)}, cells(n-1)...))
			}
			d.Blocks = append(d.Blocks, tb)
		case 5:
			d.Blocks = append(d.Blocks, &document.Notice{Kind: document.NotProved, Head: randomWords(r, 4), Text: []document.Runs{p(randomWords(r, 30))}})
		case 6:
			d.Blocks = append(d.Blocks, &document.List{Items: []document.Runs{p(randomWords(r, 30)), p(randomWords(r, 3))}})
		default:
			in := &document.Instruction{Head: randomWords(r, 1+r.Intn(12)), Text: p(randomWords(r, 90))}
			for range r.Intn(12) {
				in.Counts.Each = append(in.Counts.Each, r.Intn(300))
			}
			d.Blocks = append(d.Blocks, in)
		}
	}
	return d
}

func randomWords(r *rand.Rand, n int) string {
	var b strings.Builder
	for range r.Intn(n + 1) {
		for range 1 + r.Intn(14) {
			b.WriteByte("abcdefghijklmnopqrstuvwxyz0123456789*,;()-"[r.Intn(42)])
		}
		b.WriteByte(' ')
	}
	return b.String()
}

// Nothing outside the margins, nothing on top of another thing.
func TestBoxesKeepTheirPlace(t *testing.T) {
	docs := samples(t)
	for name, d := range corpusDocuments(t) {
		docs[name] = d
	}
	for name, d := range docs {
		for _, o := range papers {
			sh, k := mustShaper(t), newLook(o)
			pages, _ := layout(sh, d, k)
			foot(sh, d, k, pages)
			for no, pg := range pages {
				var text []placed
				for _, b := range pg.boxes {
					if b.x < k.left-0.5 || b.x+b.w > k.w-k.right+0.5 {
						t.Errorf("%s %+v: page %d: %q from %.1f to %.1f is outside the margins %.1f and %.1f", name, o, no+1, b.line.text(), b.x, b.x+b.w, k.left, k.w-k.right)
					}
					if b.y < k.top-8 || b.y+b.h > k.h-k.bottom*0.3 {
						t.Errorf("%s %+v: page %d: %q at %.1f is too high or too low", name, o, no+1, b.line.text(), b.y)
					}
					if b.fill == nil && !b.stitches {
						text = append(text, b)
					}
				}
				for i, a := range text {
					for _, b := range text[i+1:] {
						if a.x < b.x+b.w-0.1 && b.x < a.x+a.w-0.1 && a.y < b.y+b.h-0.1 && b.y < a.y+a.h-0.1 {
							t.Errorf("%s %+v: page %d: %q lies on %q", name, o, no+1, a.line.text(), b.line.text())
						}
					}
				}
			}
		}
	}
}

// Every word of every block is set exactly once, in reading order of the tree.
func TestEveryBlockPlacedOnce(t *testing.T) {
	for name, d := range samples(t) {
		for _, o := range papers {
			sh, k := mustShaper(t), newLook(o)
			pages, root := layout(sh, d, k)
			texts := map[*node]string{}
			for _, pg := range pages {
				for _, b := range pg.boxes {
					if b.node != nil && b.fill == nil {
						texts[b.node] += b.line.text() + " "
					}
				}
			}
			var got strings.Builder
			var walk func(*node)
			walk = func(n *node) {
				got.WriteString(texts[n])
				for _, c := range n.kids {
					walk(c)
				}
			}
			walk(root)
			var want strings.Builder
			for _, b := range d.Blocks {
				want.WriteString(blockText(d, b))
			}
			g, w := squeeze(got.String()), squeeze(want.String())
			if tables(d) { // wide tables are set in parts, their row heads in each
				if len(g) < len(w) {
					t.Errorf("%s %+v: %d characters set, want %d at least", name, o, len(g), len(w))
				}
				continue
			}
			if g != w {
				t.Errorf("%s %+v: set text differs from the document's:\n got %.400q\nwant %.400q", name, o, g, w)
			}
		}
	}
}

func squeeze(s string) string {
	return strings.Map(func(r rune) rune {
		if r == ' ' || r == '\u00a0' || r == '·' || r == '•' {
			return -1
		}
		return r
	}, s)
}

func tables(d *document.Document) bool {
	for _, b := range d.Blocks {
		if _, ok := b.(*document.Table); ok {
			return true
		}
	}
	return false
}

// blockText is a block as it reads, head first.
func blockText(d *document.Document, b document.Block) string {
	s := ""
	switch b := b.(type) {
	case *document.TitleBlock:
		s = b.Title + b.Designer + strings.Join(b.Facts, "")
	case *document.Heading:
		s = b.Text
	case *document.Paragraph:
		s = b.Text.String()
	case *document.Definitions:
		for _, it := range b.Items {
			s += it.Term + it.Text.String()
		}
	case *document.List:
		for _, it := range b.Items {
			s += it.String()
		}
	case *document.Table:
		s = b.Caption + strings.Join(b.Columns, "")
		for _, r := range b.Rows {
			s += strings.Join(r, "")
		}
	case *document.Instruction:
		s = b.Head + b.Text.String() + d.Words.CountText(b.Counts)
	case *document.Notice:
		s = b.Head
		for _, t := range b.Text {
			s += t.String()
		}
	case *document.Colophon:
		for _, t := range b.Lines {
			s += t.String()
		}
	}
	return s
}

// A heading is never the last thing on a page, and short rows are whole.
func TestHeadingsKeepWithNext(t *testing.T) {
	for name, d := range samples(t) {
		for _, o := range papers {
			pages, _ := layout(mustShaper(t), d, newLook(o))
			for no, pg := range pages[:len(pages)-1] {
				if len(pg.boxes) == 0 {
					continue
				}
				last := pg.boxes[len(pg.boxes)-1]
				if last.node != nil && strings.HasPrefix(last.node.tag, "H") && pages[no+1].boxes[0].node != nil && !strings.HasPrefix(pages[no+1].boxes[0].node.tag, "H") {
					t.Errorf("%s %+v: page %d ends with the heading %q", name, o, no+1, last.line.text())
				}
			}
		}
	}
}

// The folio knows how many pages there are.
func TestPageTotals(t *testing.T) {
	d := pullover()
	sh, k := mustShaper(t), newLook(Options{})
	pages, _ := layout(sh, d, k)
	foot(sh, d, k, pages)
	for i, pg := range pages {
		want := fmt.Sprintf("page %d of %d", i+1, len(pages))
		found := false
		for _, b := range pg.boxes {
			found = found || b.line.text() == want
		}
		if !found {
			t.Errorf("page %d lacks the folio %q", i+1, want)
		}
	}
}

// The book face must have what patterns are made of, in every weight.
func TestGlyphCoverage(t *testing.T) {
	fs, err := faces()
	if err != nil {
		t.Fatal(err)
	}
	for i := book; i <= labelBold; i++ {
		for _, r := range "aZ09é–—×½¼¾“”‘’…·*†()[]{}″øÅßñ" {
			if fs[i].glyph(r) == 0 {
				t.Logf("%s lacks %q; DejaVu Sans sets it", fs[i].name, r)
				if fs[symbols].glyph(r) == 0 {
					t.Errorf("no face has %q", r)
				}
			}
		}
	}
	for _, r := range "●○■□▲△✕✓⅓⅔⅛⅜⅝⅞" {
		if fs[symbols].glyph(r) == 0 {
			t.Errorf("DejaVu Sans lacks %q", r)
		}
	}
}
