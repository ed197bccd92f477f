package notation

import "strings"

// maxSentence bounds a sentence, in words and signs; a longer one is read in pieces.
const maxSentence = 250

// sentenceEnd is the place of the full stop that ends the sentence at i (points
// of abbreviations and within brackets do not count), or the end.
func (p *parser) sentenceEnd(i int) int {
	depth := 0
	for j := i; j < len(p.toks); j++ {
		if j-i > maxSentence {
			return j
		}
		switch w := p.w(j); {
		case nesting(w) != 0:
			depth += nesting(w)
		case (w == "!" || w == "?") && depth <= 0 && p.at(j).Glued && j+1 < len(p.toks) && !p.at(j+1).Glued && !lowerWord(p.at(j+1)):
			return j + 1 // it stays with its sentence
		case w == "." && depth <= 0:
			prev := p.at(j - 1)
			if p.at(j).Glued && prev.Kind == Word && (prev.Text == "foll" || prev.Text == "st" || prev.Text == "sts" || prev.Text == "in" || prev.Text == "ins" || prev.Text == "cm" || prev.Text == "rep" || prev.Text == "beg" || prev.Text == "rem" || prev.Text == "dec" || prev.Text == "inc" || prev.Text == "cont" || prev.Text == "patt" || prev.Text == "alt" || len(prev.Text) == 1) && j+1 < len(p.toks) && lowerWord(p.at(j+1)) && !countEnding(p.toks, j) {
				continue
			}
			return j
		}
	}
	return len(p.toks)
}

func lowerWord(t Token) bool {
	return t.Kind == Number || t.Raw != "" && t.Raw[0] >= 'a' && t.Raw[0] <= 'z'
}

// find looks for a phrase between i and end; it returns its place.
func (p *parser) find(i, end int, phrases ...string) (at, next int, ok bool) {
	for k := i; k < end; k++ {
		if j, ok := p.words(k, phrases...); ok {
			return k, j, true
		}
	}
	return end, end, false
}

// worksRows says that a sentence at i repeats rows, shapes them, works them even or closes them off.
func (p *parser) worksRows(i int) bool {
	if _, _, ok := p.repRows(i); ok {
		return true
	}
	if _, _, ok := p.shape(i); ok {
		return true
	}
	if _, _, ok := p.straight(i); ok {
		return true
	}
	_, _, ok := p.closes(i)
	return ok
}

// sentenceStarts says that a sentence other than row instructions begins at i.
func (p *parser) sentenceStarts(i int) bool {
	if i >= len(p.toks) {
		return false
	}
	if p.trial > 1 {
		return false
	}
	q := *p
	q.quiet = true
	q.trial++
	if _, _, ok := q.head(i); ok {
		return true
	}
	if q.worksRows(i) {
		return true
	}
	if _, _, ok := q.edgeBinds(i, q.sentenceEnd(i)); ok {
		return true
	}
	if _, _, ok := q.keepOn(i, q.sentenceEnd(i)); ok {
		return true
	}
	if _, ok := q.words(i, "join to|in|and|into", "join", "bind|cast off all? rem? st", "bo all", "fasten off", "cut|break yarn", "change to", "at same time"); ok {
		return true
	}
	return false
}

// joinExclaimed joins prose that goes on in its line behind "!" or "?": these end a sentence, but
// what follows may be the rest of the same remark.
func joinExclaimed(items []Item) []Item {
	out := items[:0]
	for _, it := range items {
		if it, ok := it.(*Prose); ok && len(out) > 0 {
			if above, ok := out[len(out)-1].(*Prose); ok && above.Span.EndLine == it.Span.Line && (strings.HasSuffix(above.Text, "!") || strings.HasSuffix(above.Text, "?")) {
				above.Text += " " + it.Text
				above.Span = above.Span.Cover(it.Span)
				continue
			}
		}
		out = append(out, it)
	}
	return out
}
