package notation

import "strings"

// This file reads sentences that part a heel's or a flap's stitches from the others.

// othersHeld reads, anywhere in a sentence, that the other stitches wait: "Slip the last 14 and
// the first 14 stitches on to one needle for the heel, and leave the other 28 stitches on a
// thread for the instep".
func (p *parser) othersHeld(i, end int) (*HoldAll, bool) {
	for k := i; k < end; k++ {
		if h, _, ok := p.waiting(k, end); ok { // "Remove the marker; the remaining 28 instep sts rest on the needle"
			h.Words, h.Span = p.raw(i, end), p.span(i, end)
			return h, true
		}
		j, ok := p.words(k, "leave|leaving|place|placing|put|putting|slip|slipping|keep|keeping other|rem")
		if !ok {
			continue
		}
		n, q, ok := p.num(j)
		if !ok {
			continue
		}
		q = p.skipWords(q, "instep", "front", "back", "heel", "body")
		if p.w(q) != "st" {
			continue
		}
		if _, _, needles := p.find(q, end, "on 2|two needle|dpn for instep"); k == i && p.w(j-1) != "other" && !needles && !hasWord(p, i, "keep", "keeping") {
			continue // read by itself
		}
		if _, _, ok := p.find(q, end, "on 2|two needle|dpn for instep", "holder", "thread", "hold", "waste yarn", "scrap yarn", "spare needle", "other needle?", "pin", "unworked", "waiting", "alone", "aside", "for now|later", "for the? instep", "be"); ok {
			return &HoldAll{N: n, Rem: p.w(j-1) == "rem", Words: p.raw(i, end), Span: p.span(i, end)}, true
		}
	}
	return nil, false
}

// heelOver reads that a heel is worked in rows over so many of the stitches, the others waiting
// meanwhile, where no other sentence says so: "Heel flap: over the 28 sts of needles 1 and 4".
// A heel of short rows needs none of this: its rows turn.
func (r *reader) heelOver(p *parser, i, end, line int) (*HoldAll, bool) {
	if _, _, ok := p.find(i, end, "heel", "flap"); !ok {
		_, _, rows := p.find(i, end, "back and forth", "back & forth", "to and fro", "flat", "in row") // under the head "Heel flap"
		k := len(r.pieces) - 1
		if low := ""; k >= 0 {
			low = strings.ToLower(r.pieces[k])
			rows = rows && (strings.Contains(low, "heel") || strings.Contains(low, "flap"))
		}
		if !rows || k < 0 {
			return nil, false
		}
	}
	if _, _, ok := p.find(i, len(p.toks), "other|rem st", "other|rem heel|instep? st", "hold", "holder", "thread", "leave", "leaving"); ok {
		return nil, false
	}
	for k := i; k < end; k++ {
		onto := hasWord(p, k, "take", "place", "put", "slip", "sl", "transfer", "arrange", "divide", ":") // "Take 30 stitches on to one needle for the heel"
		if !onto && !hasWord(p, k, "over", "on", "across", "upon") {
			continue
		}
		if k == i+1 && p.w(k) == "across" && hasWord(p, i, "knit", "k", "purl", "p") { // "Knit across 16 heel sts": they are worked
			continue
		}
		n, q, ok := p.num(p.skipWords(k+1, "the", "first", "last", "next", "these", "following", "centre"))
		if !ok || p.at(q-1).Frac != "" {
			continue
		}
		if onto && !p.heelNeedle(q) {
			continue
		}
		q = p.skipWords(q, "heel", "back", "flap")
		if p.w(q) != "st" {
			continue
		}
		if r.turnsAhead(line + 1) {
			r.heel = n
			continue
		}
		return &HoldAll{Keep: n, Words: p.raw(i, end), Span: p.span(i, end)}, true
	}
	return nil, false
}

// turnsAhead says that the next rows turn before their ends, or that no row follows, or that
// stitches are put on a holder first.
func (r *reader) turnsAhead(line int) bool {
	for i := line; i < len(r.lines) && i < line+6; i++ {
		p := r.parser(stripBullet(r.lines[i]))
		p.quiet = true
		if _, _, ok := p.find(0, len(p.toks), "holder", "hold", "thread", "leave", "rest", "rem st", "other st", "work on these|those"); ok {
			return true
		}
		_, _, isRow := p.head(0)
		s, _, isStraight := p.straight(0)
		if isRow || isStraight && s.Rows.Given() {
			_, _, turns := p.find(0, len(p.toks), "turn", "wrap", "w & t", "w + t", "wt", "turning")
			_, _, whole := p.find(0, len(p.toks), "to end|last ,|. turn", "to end of heel|flap? st ,|. turn", "across heel|flap? st ,|. turn") // no short row
			return turns && !whole
		}
	}
	return true
}

// heelNeedle reads "sts on to one needle for the heel", "heel sts on one needle", "sts for the heel" behind a number.
func (p *parser) heelNeedle(i int) bool {
	heel := p.w(i) == "heel"
	j := p.skipWords(i, "heel", "st", "of", "the", "rnd", "round")
	if k, ok := p.words(j, "for the? heel|flap"); ok {
		return k > 0
	}
	k, ok := p.words(j, "on|onto|to a|one|same? needle", "on to a|one|same? needle", "on|onto one")
	if !ok {
		return heel
	}
	_, ok = p.words(k, "for the? heel|flap", "to work|make|form the? heel", "to heel")
	return heel || ok
}

// heelTaken reads "the next 30 sts onto one needle for the heel" at i.
func (p *parser) heelTaken(i int) bool {
	_, q, ok := p.num(p.skipWords(i, "the", "next", "first", "last", "these", "those"))
	return ok && p.heelNeedle(q)
}

// onTwoNeedles says that a sentence shares all stitches out between two needles, so that none wait: "Place the first
// 30 sts on one needle and the last 30 sts on a second needle".
func (p *parser) onTwoNeedles(i, end int) bool {
	if !hasWord(p, i, "place", "put", "slip", "divide", "arrange", "transfer", "sl") {
		return false
	}
	_, k, one := p.find(i, end, "on|onto|to one|1|first needle")
	_, _, other := p.find(k, end, "on|onto|to a|another|the? second|2nd|other? needle", "on|onto|to another|other")
	n := 0
	for q := i; q < end; q++ {
		if _, e, ok := p.num(q); ok && p.w(e) == "st" {
			n++
			q = e - 1
		}
	}
	return one && other && n == 2
}
