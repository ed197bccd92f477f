package notation

import (
	"slices"
	"strings"

	"rowproof/domain/finding"
)

// This file reads stitches put on holders within a row, and those that come from them.

// holder reads "place next 12 sts on holder" and "return held sts to needle".
func (p *parser) holder(b *bodyState, i int) (Op, int, bool) {
	if j, ok := p.words(i, "return|transfer|put|place|slip|sl|move held st", "return|place|slip|sl|put|transfer|move"); ok {
		n := Num{}
		k := j
		if p.w(j-1) != "st" {
			if q, ok := p.words(k, "the|next|rem|these|those"); ok {
				k = q
			}
			if v, q, ok := p.num(k); ok {
				n, k = v, q
			}
		}
		if q, ok := p.words(k, "held? thumb|gusset|front|back|sleeve|underarm|neck|shoulder|body? st", "held st", "st"); ok {
			k = q
		}
		if q, ok := p.words(k, "from holder|waste|scrap yarn|needle?", "from first|second|st|the holder", "held", "from thread"); ok {
			if r, ok := p.words(q, "back? to|onto|on left? needle", "back? to|onto|on dpn|needle|circular|larger|smaller", "to working needle", "onto needle", "to|onto lh needle"); ok {
				q = p.skipWords(r, "needle", "needles")
			}
			return &Unhold{N: n, Span: p.span(i, q)}, q, true
		}
	}
	if h, q, ok := p.rests(i); ok {
		return h, q, true
	}
	j, ok := p.words(i, "sl|slip|place|put|leave|leaving|transfer|placing|slipping|thread|hold|move|pass|set")
	if n := len(b.ops); !ok && n > 0 { // "… on a pin and the last 45 sts on a holder"
		_, ok = b.ops[n-1].(*Hold)
		j = i
	}
	if !ok {
		return nil, i, false
	}
	if n, q, ok := p.justWorked(b, j); ok {
		b.ops = append(b.ops, &Return{N: n, Span: p.span(i, q)})
		return &Hold{N: n, Span: p.span(i, q)}, q, true
	}
	all, toMark := false, false
	k := j
	if e, ok := p.words(k, "all but|except"); ok { // "slip all but the last 8 sts of the round on to a thread"
		if n, q, ok := p.num(p.skipWords(e, "the", "last", "first")); ok {
			q = p.skipWords(q, "st")
			if more, r, both := p.num(p.skipWords(q, "and", "the", "last", "first")); both && p.w(q) == "and" { // "all but the first 7 and the last 7 sts"
				n, q = sumNum(n, more), r
			}
			q = p.skipWords(q, "st", "of", "the", "rnd", "row")
			if r, ok := p.holderNamed(q); ok {
				return &Hold{N: n, All: true, Span: p.span(i, r)}, r, true
			}
		}
	}
	single := false
	if q, ok := p.words(k, "next|first|last|centre|middle|these|following|all|rem|rest|the|thumb|gusset|other|others|unworked|same|held|marked|those"); ok {
		all = hasWord(p, q-1, "rem", "rest", "others", "all", "other", "unworked")
		k = q
		single = p.w(k) == "st" && (p.at(k).Text == "st" || p.at(k).Text == "stitch") && !all
	}
	for p.w(k) == "the" {
		k++
	}
	n, q, ok := p.num(k)
	if single {
		n, q, ok = N(1), k, true // the next st
	}
	if ok {
		k, all = q, false
	} else if p.w(k) != "st" && !all {
		return nil, i, false
	}
	if q, ok := p.words(k, "of? rem? sleeve|thumb|gusset|body|neck|front|back|instep|heel|underarm|centre? st", "of st"); ok {
		k = q
	}
	if openers[p.w(k)] != "" && n.Given() { // "next 8 sts (last 4 and first 4 of rnd)"
		depth := 0
		for q := k; q < len(p.toks) && q < k+60; q++ {
			if depth += nesting(p.w(q)); depth == 0 {
				k = q + 1
				break
			}
		}
	}
	if p.w(k) == "of" && k > 0 && p.w(k-1) == "st" && n.Given() { // "the 14 sts of the wedge"
		if q, ok := p.pieceThenHolder(k); ok {
			k = q
		}
	}
	if q, ok := p.words(k, "st and? first|next", "and? first|next", "st and next"); ok && n.Given() { // "these 4 sts and the first 4 sts of the rnd"
		if more, e, ok := p.num(q); ok && p.w(e) == "st" {
			n, k = sumNum(n, more), e+1
		}
	}
	if q, ok := p.words(k, "up to next? m", "to next? m", "as far as next? m"); ok && !n.Given() {
		k = q
		toMark = true
	}
	if q, ok := p.words(k, "of rnd|row", "at end|beg of rnd|row"); ok {
		k = q
	}
	if q, ok := p.words(k, "pwise", "between m", "for thumb|sleeve|neck|front|back|heel|instep|body|leg|hand|finger"); ok {
		k = q
	}
	if p.heelNeedle(k) && n.Given() && !hasWord(p, k, "heel") { // "Transfer 30 sts onto one needle to work the heel": the others wait
		if r, held := p.holderNamed(p.skipWords(k, "st", "for", "heel", "the")); !held || r == k {
			return nil, i, false
		}
	}
	q, ok = p.words(k, "to|on|onto|upon|in|over a? second|2nd|third|other|another|first|long|one|same? st|spare|safety|separate|length|piece|waste|scrap|contrast|smooth? of? holder|yarn|needle|pin|thread|strand", "to|on|onto a? holder|hold|thread|needle", "on their|its own? needle", "to|on|onto holders", "on hold", "on|onto two|2|other needle for instep", "on|onto two|2 needle and leave for instep", "unworked on holder", "unworked for instep", "for instep", "on|onto one|1|two|2 needle for instep", "resting|waiting", "to rest|wait", "aside")
	if ok && hasWord(p, i, "leave", "leaving") && p.w(q-1) == "needle" && q <= k+3 && hasWord(p, q-2, "on", "the") {
		return nil, i, false // "leaving 5 sts on the needle": none goes to another
	}
	if r, named := p.holderNamed(k); named && (!ok || r > q) {
		q, ok = r, true
	}
	if !ok && p.w(k-1) == "instep" && n.Given() && p.hasSts(i, k) && hasWord(p, i, "leave", "leaving", "hold") && (k >= len(p.toks) || hasWord(p, k, ".", ",", ";")) { // "Leave the rem 28 sts for the instep"
		q, ok = k, true
	}
	if !ok {
		return nil, i, false
	}
	q = p.skipWords(q, "for", "leg", "arm", "hand", "finger", "thumb", "underarm", "underarms", "sleeve", "neck", "later", "front", "heel", "or", "waste", "yarn", "holder", "instep", "body", "right", "left", "back", "side", "shoulder", "centre", "of", "scrap", "and", "be", "worked", "hold", "too", "also")
	for q > 0 && (p.w(q-1) == "and" || p.w(q-1) == "for" || p.w(q-1) == "the") {
		q--
	}
	if p.w(q) == "for" && p.at(q+1).Kind == Word && hasWord(p, p.skipWords(q+1, "the", "left", "right", "first", "second", "other")+1, ",", ".", ";", ")", "") { // "on a length of wool for the chin"
		q = p.skipWords(q+1, "the", "left", "right", "first", "second", "other") + 1
	}
	if r, ok := p.words(q, "and leave them|these|it? for? later|thumb|sleeve|neck|heel|instep", "and leave", "and leave aside"); ok { // "and leave for the thumb"
		q = r
	}
	if !n.Given() && !all {
		toMark = true // those up to the next marker, where one hangs
	}
	if toMark || strings.Contains(strings.ToLower(p.raw(i, q)), "between m") && !n.Given() {
		return &Hold{ToMark: true, Span: p.span(i, q)}, q, true
	}
	return &Hold{N: n, All: all && !n.Given(), Span: p.span(i, q)}, q, true
}

// pieceThenHolder passes "of the wedge" before what stitches are put on.
func (p *parser) pieceThenHolder(i int) (int, bool) {
	j := p.skipWords(i+1, "the", "left", "right", "first", "second", "other")
	if p.at(j).Kind != Word || j >= len(p.toks) {
		return i, false
	}
	if _, ok := p.holderNamed(j + 1); ok {
		return j + 1, true
	}
	_, ok := p.words(j+1, "to|on|onto a? holder|hold|thread")
	return j + 1, ok
}

// holderNamed reads what stitches wait on: "on to another length of spare wool", "onto a safety-pin".
func (p *parser) holderNamed(i int) (int, bool) {
	j, ok := p.words(i, "on to", "to|on|onto|upon|in|over")
	if !ok {
		return i, false
	}
	j = p.skipWords(j, "a", "an", "the", "another", "second", "other", "first", "separate", "new", "short", "long", "length", "piece", "strand", "bit", "of", "spare", "safety", "-", "waste", "scrap", "contrast", "contrasting", "coloured", "smooth", "some", "st", "auxiliary", "extra")
	switch p.w(j) {
	case "holder", "holders", "yarn", "wool", "needle", "pin", "pins", "thread", "strand", "cotton", "string", "cord", "cable":
		return j + 1, j > i+1 && (p.w(j) != "needle" || hasWord(p, j-1, "spare", "extra", "auxiliary", "separate"))
	}
	return i, false
}

// fromHolder reads where stitches come from that wait: "from the length of wool", "off the thread".
func (p *parser) fromHolder(i int) (int, bool) {
	if !hasWord(p, i, "from", "off") {
		return i, false
	}
	j := p.skipWords(i+1, "a", "the", "first", "second", "one", "other", "same", "length", "piece", "strand", "of", "spare", "safety", "-", "waste", "scrap", "st")
	switch p.w(j) {
	case "holder", "holders", "yarn", "wool", "pin", "pins", "thread", "cotton", "string":
		return j + 1, true
	}
	if hasWord(p, j, "back", "front", "palm", "hand") { // "k. the 6 sts from back": of a finger
		return p.skipWords(j+1, "of", "the", "hand", "glove"), true
	}
	if p.w(j-1) == "length" || p.w(j-1) == "piece" {
		return j, true // "k7 from the other length"
	}
	return i, false
}

// justWorked reads "these 30 sts on a holder" and "on a holder" behind "k30": what was
// worked a moment ago goes there.
func (p *parser) justWorked(b *bodyState, i int) (Num, int, bool) {
	if len(b.ops) == 0 {
		return Num{}, i, false
	}
	var last Num
	switch o := b.ops[len(b.ops)-1].(type) {
	case *Do:
		if (o.Key == "k" || o.Key == "p") && o.Times.Given() {
			last = o.Times
		}
	case *Until:
		if o.To.Kind == ToWorked {
			last = o.To.N
		}
	}
	if !last.Given() {
		return Num{}, i, false
	}
	j := i
	if k, ok := p.words(i, "these|those|same|them"); ok {
		j = k
		if n, k, ok := p.num(j); ok {
			if !slices.Equal(n.Vals, last.Vals) {
				return Num{}, i, false
			}
			last, j = n, k
		}
		if k, ok := p.words(j, "sleeve|thumb|gusset|body|neck|front|back|shoulder? st"); ok {
			j = k
		}
	}
	k, ok := p.words(j, "to|on|onto hold", "to|on|onto a? first|second|third|another|separate|new? st|waste|scrap|spare? holder|yarn|needle|pin|thread")
	if !ok {
		k, ok = p.holderNamed(j)
	}
	if !ok {
		return Num{}, i, false
	}
	k = p.skipWords(k, "for", "thumb", "sleeve", "neck", "later", "front", "heel", "waste", "yarn", "holder", "instep", "body", "right", "left", "back", "shoulder", "of", "too", "also")
	last.Span = finding.Span{}
	return last, k, true
}
