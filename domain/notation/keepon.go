package notation

// This file reads which stitches are gone on with, the others waiting.

// keepOn reads "Continue on the last 38 sts" behind a row that has bound off between two sides.
func (p *parser) keepOn(i, end int) (*HoldAll, int, bool) {
	if k, ok := p.words(i, "working|work each|both side|sides separately ,?"); ok && k < end {
		i = p.skipWords(k, "and", "then")
	}
	for _, read := range [...]func(*parser, int, int) (*HoldAll, int, bool){(*parser).keepAside, (*parser).keepThese, (*parser).keepSide, (*parser).keepLast} {
		if h, j, ok := read(p, i, end); ok {
			return h, j, true
		}
	}
	return nil, i, false
}

// keepAside reads where the others go first: "Place the sts of the right front on a holder and continue on the 23 sts of
// the left front", "Let the front rest and continue with the back".
func (p *parser) keepAside(i, end int) (*HoldAll, int, bool) {
	if _, ok := p.words(i, "place|put|slip|leave|transfer"); ok { // "Place the sts of the right front and the back on holders and continue on the 23 sts of the left front"
		if _, k, ok := p.find(i, end, "holder|holders|hold|waste yarn and cont|continue|work on|over", "holder|holders|hold and cont|continue|work on|over"); ok {
			if n, q, ok := p.num(p.skipWords(k, "last", "first", "rem", "these")); ok && p.w(q) == "st" {
				return &HoldAll{Keep: n, Words: p.raw(i, end), Span: p.span(i, end)}, end, true
			}
		}
	}
	if k, ok := p.words(i, "let|leave the? front|back rest|wait|aside and cont|continue|work|go on? with|on|over the? back|front"); ok && k >= end { // "Let the front rest and continue with the back"
		return &HoldAll{Side: true, Words: p.raw(i, end), Span: p.span(i, end)}, end, true
	}
	if from := p.pastColon(i, end, "divide", "parting", "division"); p.w(from) == "let" { // "Now divide the work: let the last 84 sts rest on a spare needle (= front) and continue with the first 84 sts (= back)"
		if _, k, ok := p.find(from, end, "and cont|continue|work on|over|with"); ok {
			if n, q, ok := p.num(p.skipWords(k, "the", "last", "first", "rem", "these", "other")); ok && p.w(q) == "st" {
				return &HoldAll{Keep: n, Words: p.raw(i, end), Span: p.span(i, end)}, end, true
			}
		}
	}
	return nil, i, false
}

// keepThese reads "Work on these 18 sts only", "Continue in rows on the remaining 72 sts for the back".
func (p *parser) keepThese(i, end int) (*HoldAll, int, bool) {
	if j, ok := p.words(i, "work|working|continue|cont|proceed only? on|over|with these|those", "work|working|continue|cont back and forth on|over|with these|those", "now work|working|continue|cont on|over|with these|those"); ok { // "Work on these 18 sts only"
		if n, k, ok := p.num(j); ok && p.w(k) == "st" {
			k = p.skipWords(k+1, "only", "for", "this", "the", "first", "left", "right", "side", "of", "neck", "front", "shoulder", "as", "follows", "alone", "thumb", "back", "and", "forth")
			if k >= end || p.w(k) == "," && p.w(i) == "working" {
				return &HoldAll{Keep: n, Words: p.raw(i, k), Span: p.span(i, k)}, k, true
			}
		}
	}
	if j, ok := p.words(i, "cont|continue|work|working in row on|over rem|these|those", "cont|continue|work|working back and forth in? row? on|over rem|these|those"); ok { // "Continue in rows on the remaining 72 sts for the back"
		if n, k, ok := p.num(j); ok && p.w(k) == "st" {
			if k = p.skipWords(k+1, "only", "alone", "for", "the", "front", "back"); k >= end {
				return &HoldAll{Keep: n, Words: p.raw(i, k), Span: p.span(i, k)}, k, true
			}
		}
	}
	if j, ok := p.words(i, "work|working heel? flap? back? and? forth? on|over these|those", "heel? flap? is worked back? and? forth? on|over these|those"); ok { // "Work heel on these 28 sts"
		if n, k, ok := p.num(j); ok && p.w(k) == "st" {
			if k = p.skipWords(k+1, "only", "alone", "back", "and", "forth", "in", "row", "as", "follows"); k >= end {
				return &HoldAll{Keep: n, Words: p.raw(i, k), Span: p.span(i, k)}, k, true
			}
		}
	}
	if j, ok := p.words(i, "on|upon these|those", "on|upon last|first|next"); ok { // "On the last 33 sts proceed thus: Purl 1 row."
		if n, k, ok := p.num(p.skipWords(j, "last", "first")); ok && p.w(k) == "st" {
			if k, ok := p.words(p.skipWords(k+1, "only", "alone", ","), "proceed|work|continue|cont thus :?", "proceed|work|continue|cont as follows :?"); ok {
				k = p.skipWords(k, ":", "–", "—", "-")
				return &HoldAll{Keep: n, Words: p.raw(i, k), Span: p.span(i, k)}, k, true
			}
		}
	}
	if j, ok := p.words(i, "on these|those"); ok { // "On these 18 sts work 4 rows"
		if n, k, ok := p.num(j); ok && p.w(k) == "st" {
			k = p.skipWords(k+1, "only", "alone", ",")
			if w := p.w(k); w == "work" || w == "knit" || w == "cont" {
				return &HoldAll{Keep: n, Words: p.raw(i, k), Span: p.span(i, k)}, k, true
			}
		}
	}
	return nil, i, false
}

// keepSide reads a side without its number: "Work on the last set of sts only", "Cont on left shoulder sts only".
func (p *parser) keepSide(i, end int) (*HoldAll, int, bool) {
	if k, ok := p.words(i, "cont|continue|work|working|proceed|now on|over last|second set of? st? only?", "now work|cont on last|second set of? st? only?"); ok && (k >= end || p.w(k) == "(" || p.w(k) == ";" || p.w(k) == "," && hasWord(p, k+1, "leaving", "leave", "placing", "place", "putting", "put", "slipping", "slip", "keeping", "with", "and") || p.w(k) == "," && p.w(i) == "working") { // "Work on the last set of sts only, leaving the others on a holder"
		if !(p.w(k) == "," && p.w(i) == "working" && !hasWord(p, k+1, "leaving", "leave", "placing", "place", "putting", "put", "slipping", "slip", "keeping", "with", "and")) {
			k = end
		}
		return &HoldAll{Side: true, Words: p.raw(i, k), Span: p.span(i, k)}, k, true
	}
	if k, ok := p.words(i, "cont|continue|work|finish|complete on? each side|half|shoulder separately", "finish|complete the two sides|halves|shoulders separately"); ok && k >= end {
		return &HoldAll{Side: true, Words: p.raw(i, k), Span: p.span(i, k)}, k, true
	}
	if k, ok := p.words(i, "cont|continue|work|working|proceed|now on|over left|right shoulder|front|side|neck? st only|alone", "cont|continue|work|working|proceed|now on|over left|right shoulder|front|side only|alone"); ok && (k >= end || p.w(k) == "," || p.w(k) == ";") { // "Cont on left shoulder sts only; place right shoulder sts on hold"
		return &HoldAll{Side: true, Words: p.raw(i, end), Span: p.span(i, end)}, end, true
	}
	return nil, i, false
}

// keepLast reads a side by its number: "Continue on the last 38 sts".
func (p *parser) keepLast(i, end int) (*HoldAll, int, bool) {
	j, ok := p.words(i, "cont|continue|work|working|proceed|now on|over the? last|first|one", "now work|cont on|over the? last|first|one")
	if !ok {
		return nil, i, false
	}
	n, k, ok := p.num(p.skipWords(j, "last", "first", "second", "set", "group", "of", "these", "those"))
	if !ok || p.w(k) != "st" {
		return nil, i, false
	}
	k = p.skipWords(k+1, "only", "for", "this", "first", "left", "right", "side", "of", "neck", "front", "shoulder", "as", "follows", "alone")
	if p.w(k) == "and" && hasWord(p, k+1, "leaving", "placing", "putting", "slipping", "keeping") { // "… sts only and leaving the others on the stitch-holder, decrease 1 st …"
		for k < end && p.w(k) != "," && p.w(k) != ";" {
			k++
		}
	}
	if p.w(k) == "and" && hasWord(p, k+1, "place", "put", "leave", "slip", "hold") { // "… for the left front and place the other 50 sts on a holder"
		k = end
	}
	if p.w(k) == ":" && k+1 >= len(p.toks) {
		k++
	}
	if k < end && p.w(k) != "," && p.w(k) != ";" {
		return nil, i, false
	}
	return &HoldAll{Keep: n, Words: p.raw(i, k), Span: p.span(i, k)}, k, true
}
