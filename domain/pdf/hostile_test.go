package pdf

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"rowproof/domain/document"
)

// Whatever stands in a document, Write neither fails nor hangs.
func TestHostileStrings(t *testing.T) {
	mega := strings.Repeat("k", 1<<20)
	for name, s := range map[string]string{
		"emoji": "🧶 wool 👩‍👩‍👧 x", "NUL": "a\x00b\x1b[31m", "invalid UTF-8": "\xff\xfe\x80 k2", "right to left": "\u202eשלום עליכם\u202c مرحبا",
		"combining": "e\u0301\u0301\u0301 o\u0308", "only spaces": "   \u00a0 \u2003 ", "line ends": "a\nb\r\nc\u2028d", "long word": mega, "long sentence": strings.Repeat("k2, p2; ", 1<<17),
		"parentheses": "((()) \\) ) ET Q endstream endobj", "private use": "\ue000\uf8ff\uffff", "variation": "☀\ufe0f✕\ufe0e", "Han": "編み物の記号", "empty": "", "one rune": "k",
	} {
		t.Run(name, func(t *testing.T) {
			start := time.Now()
			d := &document.Document{Title: s, Designer: s, Lang: s, URL: s, Copyright: s, Words: document.WordsFor("en"), Blocks: []document.Block{
				&document.TitleBlock{Title: s, Designer: s, Facts: []string{s}},
				&document.Heading{Level: 9, Text: s}, &document.Paragraph{Text: document.Runs{{Text: s}, {Text: s, Emph: document.Stress, URL: s}, {Text: s, Emph: document.Strong}}},
				&document.Definitions{Kind: document.Short, Items: []document.Definition{{Term: s, Text: p(s)}, {}}},
				&document.Definitions{Items: []document.Definition{{Term: s, Text: p(s)}}},
				&document.Table{Caption: s, Columns: []string{s, s, s}, Rows: [][]string{{s, s, s}, {"", "", ""}}}, &document.Table{}, &document.Table{Columns: []string{"a"}},
				&document.Instruction{Head: s, Text: p(s), Counts: document.Counts{Each: []int{1, -1, 1 << 40}}}, &document.Instruction{},
				&document.Notice{Kind: document.NotProved, Head: s, Text: []document.Runs{p(s)}}, &document.Notice{}, &document.List{Items: []document.Runs{p(s), nil}}, &document.Colophon{Lines: []document.Runs{p(s)}},
			}}
			for _, o := range papers[:1] {
				var b bytes.Buffer
				if err := Write(&b, d, o); err != nil {
					t.Fatalf("Write: %v", err)
				}
			}
			if el := time.Since(start); el > 10*time.Second {
				t.Errorf("Write took %v", el)
			}

		})
	}
}
