package document

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"

	"rowproof/domain/notation"
)

// corpus gives the manuscripts of the review's corpus by name.
func corpus(t testing.TB) map[string]string {
	t.Helper()
	files, err := filepath.Glob("../review/testdata/corpus/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatalf("no corpus in ../review/testdata/corpus: %v", err)
	}
	out := map[string]string{}
	for _, f := range files {
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		_, ms, ok := strings.Cut(string(b), "-- manuscript.txt --\n")
		if !ok {
			continue
		}
		ms, _, _ = strings.Cut(ms, "-- expect.json --")
		out[filepath.Base(f)] = ms
	}
	return out
}

func wordsOf(s string) []string {
	s = strings.ReplaceAll(s, "\u00ad", "")
	return strings.FieldsFunc(s, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
}

// Every word of a manuscript is in its print: nothing a designer wrote is lost
// between the reader's items. Abbreviations that are not used are left out on
// purpose, and a fraction may have become one sign.
func TestNothingLost(t *testing.T) {
	for name, text_ := range corpus(t) {
		ms := notation.Read(text_)
		d := Build(Input{Manuscript: ms, Size: -1})
		have := map[string]bool{}
		for _, w := range wordsOf(strings.ToLower(text(t, d))) {
			have[w] = true
		}
		defined := map[int]bool{}
		for _, it := range ms.Items {
			if df, ok := it.(*notation.Define); ok {
				defined[df.Line] = true
			}
			if h, ok := it.(*notation.Heading); ok { // heads of sections are set in our words
				if _, known := labelBucket(h.Text); known || h.Kind != notation.HeadPiece {
					defined[h.Line] = true
				}
			}
			if f, ok := it.(*notation.Field); ok && strings.HasPrefix(strings.ToLower(f.Label), "design") { // the name stands below the title, with "by"
				defined[f.Line] = true
			}
			if h, ok := it.(*notation.Field); ok && h.Text == ms.Title { // "Pattern: …" heads the document
				defined[h.Line] = true
			}
			if h, ok := it.(*notation.Sizes); ok {
				defined[h.Line] = true
			}
		}
		for n, line := range ms.Source {
			if defined[n+1] {
				continue
			}
			for _, w := range wordsOf(strings.ToLower(line)) {
				if !have[w] && w != "x" && !have[strings.TrimSuffix(w, "x")] && !strings.Contains(line, "/") {
					t.Errorf("%s, line %d: the print lacks %q of %q", name, n+1, w, line)
					break
				}
			}
		}
	}
}

// One size's edition holds no size vector in its rows and never fails.
func TestCorpusOneSize(t *testing.T) {
	for name, text_ := range corpus(t) {
		ms := notation.Read(text_)
		for size := range ms.Sizes {
			d := Build(Input{Manuscript: ms, Report: reported(ms), Size: size})
			for _, b := range d.Blocks {
				in, ok := b.(*Instruction)
				if !ok || len(ms.Sizes) < 3 {
					continue
				}
				if vs := vectors(in.Text.String(), len(ms.Sizes)); len(vs) > 0 && in.Head != "" {
					t.Errorf("%s, size %d: %q still holds the numbers of all sizes", name, size, in.Text)
				}
			}
		}
	}
}
