package document

import (
	"bytes"
	"regexp"
	"strings"
	"testing"
)

func page(t testing.TB, d *Document) string {
	t.Helper()
	var b bytes.Buffer
	if err := d.HTML(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// one of each block, so that a printer that forgets a kind is found out.
func oneOfEach(s string) *Document {
	return &Document{Title: s, Designer: s, Lang: s, Words: WordsFor("en"), Blocks: []Block{
		&TitleBlock{Title: s, Designer: s, Facts: []string{s}}, &Heading{Level: 1, Text: s, ID: s}, &Paragraph{Text: Runs{{Text: s}, {Text: s, Emph: Strong, URL: s}}},
		&Definitions{Kind: Short, Items: []Definition{{Term: s, Text: P(s)}}}, &List{Items: []Runs{P(s)}}, &Table{Caption: s, Columns: []string{s, s}, Rows: [][]string{{s, s}}},
		&Instruction{Head: s, Text: P(s), Counts: Counts{Each: []int{83, 95}}}, &Notice{Kind: NotProved, Head: s, Text: []Runs{P(s)}}, &Colophon{Lines: []Runs{P(s)}},
		&Chart{ID: s, Title: s, Size: s, Chart: oneChart(s), Rows: []*Instruction{{Head: s, Text: P(s)}}},
	}}
}

func TestHTMLEscapesEverything(t *testing.T) {
	for _, s := range []string{"<script>alert(1)</script>", `" onload="x`, "javascript:alert(1)", "a & b", "\x00\x1b[0m\xff"} {
		got := page(t, oneOfEach(s))
		body := got[strings.Index(got, "</style>"):]
		for _, bad := range []string{"<script", `" onload`, `href="javascript`, "\x00", "\x1b", "\xff", "a & b"} {
			if strings.Contains(body, bad) {
				t.Errorf("HTML of %q holds %q unescaped", s, bad)
			}
		}
	}
}

func TestPrintersKnowEveryBlock(t *testing.T) {
	d := oneOfEach("k2")
	if got := page(t, d) + text(t, d); strings.Contains(got, "document.") {
		t.Errorf("a printer does not know a block:\n%s", got)
	}
}

func TestHTMLStructure(t *testing.T) {
	got := page(t, Build(hatInput(t, -1)))
	for _, want := range []string{`<html lang="en-US">`, "<h1>Skerry Cap</h1>", `<h2 id="materials">Materials</h2>`, `<h3 id="crown">Crown</h3>`, `<th scope="col">Adult M</th>`, `<th scope="row">`, `<b class="head">Rnd 1</b>`,
		`<span class="count">64 (72, 84, 96, 104) sts</span>`, `<a href="https://studio.example/skerry">`, `<dt>k2tog</dt><dd>knit 2 stitches together</dd>`} {
		if !strings.Contains(got, want) {
			t.Errorf("HTML lacks %q", want)
		}
	}
	if n := strings.Count(got, "<h1"); n != 1 {
		t.Errorf("%d h1 elements, want 1", n)
	}
	ids := map[string]bool{}
	for _, m := range regexp.MustCompile(` id="([^"]*)"`).FindAllStringSubmatch(got, -1) {
		if ids[m[1]] {
			t.Errorf("id %q is given twice", m[1])
		}
		ids[m[1]] = true
	}
	level := 1
	for _, m := range regexp.MustCompile(`<h(\d)`).FindAllStringSubmatch(got, -1) {
		l := int(m[1][0] - '0')
		if l > level+1 {
			t.Errorf("a heading jumps from h%d to h%d", level, l)
		}
		level = l
	}
	for _, tag := range []string{"ol", "dl", "div", "table", "main", "aside"} {
		if o, c := strings.Count(got, "<"+tag), strings.Count(got, "</"+tag+">"); o != c {
			t.Errorf("%d <%s> but %d </%s>", o, tag, c, tag)
		}
	}
}

func TestFine(t *testing.T) {
	for in, want := range map[string]string{
		`Rows 1-4: don't "rush"`:          "Rows 1–4: don’t “rush”",
		"[k2tog] x3, 10 x 10 cm":          "[k2tog] ×3, 10 × 10 cm",
		"k2 -- p2 - k2 --- p2":            "k2 – p2 – k2 – p2",
		`16 1/2" wide, 1/2 in more`:       "16½″ wide, ½ in more",
		"1/2 RC, 2/2 LC":                  "1/2 RC, 2/2 LC",
		"drop all yo's...":                "drop all yo’s…",
		"k2\u00a0tog   stocki\u00adnette": "k2 tog stockinette",
		"2-ply, 3-needle":                 "2-ply, 3-needle",
	} {
		if got := fine(in); got != want {
			t.Errorf("fine(%q) = %q, want %q", in, got, want)
		}
	}
}

func TestForSize(t *testing.T) {
	for _, x := range []struct {
		in   string
		n, i int
		want string
	}{
		{"92 (102, 112) cm", 3, 1, "102 cm"}, {"92 [102: 112] cm / 36¼ (40, 44) in", 3, 0, "92 cm / 36¼ in"}, {"4/5/6 balls", 3, 2, "6 balls"},
		{"k2 (3, 4) times", 2, 1, "k2 (3, 4) times"}, {"X4(1;3)R, 5 (6, 7)", 3, 1, "X4(1;3)R, 6"}, {"5 (–, 7) sts", 3, 1, "– sts"}, {"83 (95, 107)", 3, -1, "83 (95, 107)"},
	} {
		if got := forSize(x.in, x.n, x.i); got != x.want {
			t.Errorf("forSize(%q, %d, %d) = %q, want %q", x.in, x.n, x.i, got, x.want)
		}
	}
}

func TestCounts(t *testing.T) {
	w := WordsFor("en")
	for _, x := range []struct {
		c    Counts
		want string
	}{
		{Counts{}, ""}, {Counts{Each: []int{83}}, "83 sts"}, {Counts{Each: []int{83, 95, 107}}, "83 (95, 107) sts"}, {Counts{Each: []int{83, None, 107}}, "83 (–, 107) sts"},
		{Counts{Each: []int{8, 8}}, "8 sts"}, {Counts{Each: []int{1, 1}}, "1 st"}, {Counts{Of: 6, Plus: 5}, "6n + 5 sts"}, {Counts{Of: 1}, "n sts"}, {Counts{Plus: 5}, "5 sts"},
	} {
		if got := w.CountText(x.c); got != x.want {
			t.Errorf("CountText(%+v) = %q, want %q", x.c, got, x.want)
		}
	}
}
