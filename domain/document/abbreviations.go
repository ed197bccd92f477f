package document

import (
	"sort"
	"strings"
	"unicode"

	"rowproof/domain/notation"
)

// maxLongNames bounds how many names of several words are searched for, each
// through the whole text.
const maxLongNames = 200

// usedTerms lists the designer's short words that stand in rows, by lower case.
func usedTerms(ms *notation.Manuscript) map[string]bool {
	out := map[string]bool{}
	text := strings.ToLower(instructionText(ms))
	single := map[string]bool{}
	for _, w := range strings.FieldsFunc(text, func(r rune) bool { return r < 0x80 && !wordByte(byte(r)) }) {
		single[w] = true
	}
	long := 0
	for _, it := range ms.Items {
		d, ok := it.(*notation.Define)
		if !ok {
			continue
		}
		name := strings.ToLower(d.Name)
		found := single[name]
		if !found && long < maxLongNames { // a name of several words, or with signs
			long++
			found = hasWord(text, name)
		}
		if found {
			out[name], out[fine(name)] = true, true
		}
	}
	eachDo(ms, func(d *notation.Do, _ *notation.Row) {
		if k, own := strings.CutPrefix(d.Key, "own:"); own {
			out[k] = true
		}
		if s := ms.Own[d.Key]; s != nil {
			out[strings.ToLower(s.Name)] = true
		}
	})
	return out
}

func eachDo(ms *notation.Manuscript, f func(*notation.Do, *notation.Row)) {
	for _, it := range ms.Items {
		if r, ok := it.(*notation.Row); ok {
			notation.Each(r.Body, func(o notation.Op) {
				if d, ok := o.(*notation.Do); ok {
					f(d, r)
				}
			})
		}
	}
}

// instructionText is what stands from the first line that is worked to the end,
// as written.
func instructionText(ms *notation.Manuscript) string {
	for _, it := range ms.Items {
		if line := workLine(it); line > 0 && line <= len(ms.Source) {
			return strings.Join(ms.Source[line-1:], "\n")
		}
	}
	return ""
}

// abbreviations lists what the instructions abbreviate, and only that: the
// stitches of the rows in the spelling the designer uses, her own definitions,
// and the trade's little words.
func (b *builder) abbreviations() []Definition {
	out := map[string]Definition{}
	put := func(term string, text Runs) {
		k := strings.ToLower(term)
		if _, have := out[k]; !have && term != "" {
			out[k] = Definition{Term: term, Text: text}
		}
	}
	special := map[string]bool{}
	for _, d := range b.special {
		special[strings.ToLower(d.Term)] = true
	}
	for name, text := range b.abbr {
		put(name, text)
	}
	own := map[string]bool{} // the designer's, without points, one and many alike
	for k := range out {
		own[plainTerm(k)] = true
	}
	told := func(term string) bool { return own[plainTerm(term)] }
	forms := map[string]string{}
	eachDo(b.ms, func(d *notation.Do, _ *notation.Row) {
		if t, ok := b.termOf(d, forms); ok && !special[strings.ToLower(t.Term)] && !told(t.Term) {
			put(t.Term, t.Text)
		}
	})
	text := strings.ReplaceAll(instructionText(b.ms), "\u00a0", " ")
	low := strings.ToLower(text)
	for _, t := range b.w.Terms {
		for _, form := range strings.Split(t[0], "|") {
			in := low
			if form != strings.ToLower(form) {
				in = text
			}
			if hasWord(in, form) && !special[strings.ToLower(form)] {
				if base, other, ok := strings.Cut(t[0], "|"); ok && other == base+"s" {
					form = base + "(s)"
				}
				if !told(form) {
					put(form, P(t[1]))
				}
				break
			}
		}
	}
	list := make([]Definition, 0, len(out))
	for _, d := range out {
		list = append(list, d)
	}
	sort.Slice(list, func(i, j int) bool {
		a, c := strings.ToLower(list[i].Term), strings.ToLower(list[j].Term)
		if a != c {
			return a < c
		}
		return list[i].Term < list[j].Term
	})
	return list
}

// plainTerm is an abbreviation without its points and its plural: "k." is k, "st(s)" and "sts" are st.
func plainTerm(term string) string {
	term = strings.ReplaceAll(strings.ToLower(term), ".", "")
	term = strings.TrimSuffix(term, "(s)")
	if len(term) > 2 {
		term = strings.TrimSuffix(term, "s")
	}
	return term
}

// termOf is what a stitch is called where it stands, and what that means; not for
// the designer's own stitches, nor for words written out. forms keeps what was found.
func (b *builder) termOf(d *notation.Do, forms map[string]string) (Definition, bool) {
	if d.Line == 0 || d.EndLine != d.Line || strings.HasPrefix(d.Key, "own:") || b.ms.Own[d.Key] != nil {
		return Definition{}, false
	}
	var ch []change
	if d.Times.Line > 0 {
		ch = append(ch, change{Span: d.Times.Span})
	}
	written := b.src.words(place{d.Line, d.Col}, place{d.EndLine, d.EndCol}, ch)
	term, ok := forms[written]
	if !ok {
		term = shortForm(written)
		forms[written] = term
	}
	s := notation.Standard().Stitch(d.Key)
	if term == "" || s == nil || plainWord(term) && len(term) > 3 { // knit, purl, slip: words, not abbreviations
		return Definition{}, false
	}
	return Definition{Term: term, Text: P(helpFor(s.Help, d.Params))}, true
}

// shortForm brings a stitch as written to the form a list shows: "K2tog" is
// k2tog; a capital that is part of the name stays (BOB, M1L). What is written
// out in words has no short form.
func shortForm(s string) string {
	s = strings.Trim(fine(s), " .,;*()[]")
	s = strings.TrimSuffix(s, " to")
	if stem, n, ok := strings.Cut(s, " "); ok && strings.Trim(n, "0123456789") == "" {
		s = stem // "sl 1" is sl
	}
	if s == "" || len([]rune(s)) > 14 || strings.Count(s, " ") > 1 {
		return ""
	}
	upper := 0
	for _, r := range s {
		if unicode.IsUpper(r) {
			upper++
		}
	}
	if r := []rune(s); upper == 1 && unicode.IsUpper(r[0]) && !(r[0] == 'M' && len(r) > 1 && unicode.IsDigit(r[1])) {
		s = strings.ToLower(s)
	}
	return s
}

// helpFor puts the numbers of a name into its help: "n rows down".
func helpFor(help string, params []int) string {
	if len(params) == 1 {
		n := params[0]
		help = strings.ReplaceAll(help, "n + 1", figure(n+1))
		if strings.Contains(help, "the n ") {
			help = strings.ReplaceAll(help, "the n ", "the "+figure(n)+" ")
		}
		switch help {
		case "knit together, leans right", "knit together through the back loops, leans left", "purl together", "purl together through the back loops":
			verb, rest, _ := strings.Cut(help, " ")
			help = verb + " " + figure(n) + " " + rest
		}
	}
	return help
}

func plainWord(s string) bool {
	for _, r := range s {
		if !unicode.IsLetter(r) {
			return false
		}
	}
	return strings.ContainsAny(strings.ToLower(s), "aeiou") && (strings.HasPrefix("knit", strings.ToLower(s)) || strings.HasPrefix("purl", strings.ToLower(s)) || strings.HasPrefix("slip", strings.ToLower(s)) || strings.HasPrefix("drop", strings.ToLower(s)))
}
