package notation

import (
	"fmt"
	"slices"
	"strings"

	"rowproof/domain/finding"
)

// This file finds stitches that a pattern has to explain and does not.

// ownOnly says that a stitch of the trade is worked in more than one way by its books, so that a
// pattern has to tell which: twists and crosses over three stitches and more (common practice).
func ownOnly(key string) bool {
	switch key {
	case "t-f", "t-b", "t-l", "t-r", "tw-f", "tw-b", "tw-l", "tw-r", "cr-f", "cr-b", "cr-l", "cr-r":
		return true
	}
	return false
}

// findUnexplained tells of twists that only rows speak of: "Tw5R" with no word anywhere of how it
// is worked.
func (r *reader) findUnexplained() {
	var used, cables []*Do
	rows := map[int]bool{} // lines of rows
	names := map[*Do]string{}
	for _, it := range r.ms.Items {
		row, ok := it.(*Row)
		if !ok {
			continue
		}
		for l := row.Line; l <= row.EndLine; l++ {
			rows[l] = true
		}
		each(row.Body, func(o Op) {
			d, ok := o.(*Do)
			if !ok || d.Line == 0 || d.Line != d.EndLine {
				return
			}
			switch {
			case ownOnly(d.Key):
				used, names[d] = append(used, d), row.Name()
			case strings.HasPrefix(d.Key, "c-"):
				cables, names[d] = append(cables, d), row.Name()
			}
		})
	}
	told := map[string]bool{}
	if r.explainsOne(cables) {
		used = append(used, cables...) // some are explained, and then all have to be
	}
	for _, d := range used {
		src := []rune(r.ms.Source[d.Line-1])
		words := string(src[min(d.Col-1, len(src)):min(d.EndCol-1, len(src))])
		w := r.abbreviationIn(words)
		if w == "" || told[w] || r.spokenOf(w, rows) {
			continue
		}
		told[w] = true
		r.ms.Findings.Add(finding.Finding{Code: "undefined-stitch", Span: d.Span, Row: names[d],
			Message: fmt.Sprintf("“%s” is explained nowhere, and books differ in what such a twist knits and purls; define it among the special stitches", strings.TrimSpace(words))})
	}
}

// explainsOne says that another cable, of those worked or their mirror images, is explained: the list of
// terms has BC6, and FC6 is worked.
func (r *reader) explainsOne(cables []*Do) bool {
	if len(cables) == 0 {
		return false
	}
	for _, it := range r.ms.Items {
		def, ok := it.(*Define)
		if !ok {
			continue
		}
		p := r.parser(scanLine(def.Name, 1))
		p.quiet, p.vocab = true, Standard().extend()
		if d, _, ok := p.stitch(0); ok && strings.HasPrefix(d.Key, "c-") {
			return true
		}
	}
	return false
}

// abbreviationIn is the first word of a stitch as written, folded.
func (r *reader) abbreviationIn(words string) string {
	if !slices.ContainsFunc(scanLine(words, 1), func(t Token) bool { return t.Kind == Word }) {
		return ""
	}
	return strings.ToLower(strings.Fields(words)[0])
}

// spokenOf says that a line which is no row has the word in it.
func (r *reader) spokenOf(word string, rows map[int]bool) bool {
	word = strings.Trim(word, ".,;:()[]*")
	for i, l := range r.ms.Source {
		if rows[i+1] {
			continue
		}
		if strings.Contains(strings.ToLower(l), word) {
			return true
		}
	}
	return false
}
