package notation

// This file finds where a sentence, a phrase that is not understood, or what comes before a
// sign ends.

// proseEnd is the end of the sentence that holds i.
func (p *parser) proseEnd(i int, closer string) int {
	depth := 0
	for ; i < len(p.toks); i++ {
		w := p.w(i)
		if openers[w] != "" {
			depth++
		}
		if closes(w) {
			if depth == 0 && w == closer {
				return i
			}
			depth--
		}
		if w == "." && depth <= 0 && !(p.at(i).Glued && p.at(i-1).Kind == Word && len(p.at(i-1).Text) == 1) {
			return i
		}
	}
	return i
}

// unknownEnd is the end of the piece between commas that holds i.
func (p *parser) unknownEnd(i int, closer string) int {
	depth := 0
	for j := i; j < len(p.toks); j++ {
		w := p.w(j)
		if openers[w] != "" && depth <= 0 && j > i && closer == "" && p.at(j-1).Kind != Number {
			if _, _, ok := p.stated(j); ok {
				return j
			}
		}
		if openers[w] != "" {
			depth++
			continue
		}
		if closes(w) {
			if depth == 0 && w == closer {
				return j
			}
			depth--
			continue
		}
		if depth <= 0 && j > i && closer == "" && (isDash(w) || openers[w] != "") {
			if _, _, ok := p.stated(j); ok {
				return j
			}
		}
		if depth <= 0 && j > i && (w == "," || w == ";" || w == "." || isMark(w)) {
			return j
		}
	}
	return len(p.toks)
}

func (p *parser) skipTo(i int, stops ...string) int {
	for ; i < len(p.toks); i++ {
		for _, s := range stops {
			if p.w(i) == s {
				return i
			}
		}
	}
	return i
}
