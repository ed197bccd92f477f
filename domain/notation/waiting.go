package notation

// This file reads stitches that wait, and the side that is gone on with meanwhile.

// waiting reads "the other 32 sts wait on their needles", "Divide the remaining 30 sts on to two needles and leave for
// the instep".
func (p *parser) waiting(i, end int) (*HoldAll, int, bool) {
	if j, ok := p.words(i, "divide|arrange|distribute|place|put|slip rem|other"); ok {
		if n, k, ok := p.num(j); ok && p.w(k) == "st" {
			_, _, two := p.find(k, end, "on? to two|2|three|3 needle", "over|onto|on two|2|three|3 needle")
			if _, _, left := p.find(k, end, "leave", "for the? instep"); two && left && p.w(end-1) != ")" {
				return &HoldAll{N: n, Words: p.raw(i, end), Span: p.span(i, end)}, end, true
			}
		}
	}
	j, ok := p.words(i, "other|rem")
	if !ok {
		return nil, i, false
	}
	n, j, ok := p.num(j)
	if j = p.skipWords(j, "instep", "front", "back", "body", "heel", "sleeve"); !ok || p.w(j) != "st" {
		return nil, i, false
	}
	switch p.w(j + 1) {
	case "wait", "rest", "stay", "sit", "remain", "rem", "are", "will":
		if _, _, ok := p.find(j, end, "needle", "needle", "holder", "hold", "unworked", "held", "waste yarn", "wait", "waiting", "resting", "rest", "aside", "cable"); ok {
			return &HoldAll{N: n, Words: p.raw(i, end), Span: p.span(i, end)}, end, true
		}
	}
	return nil, i, false
}

// pastColon is behind the colon of a few words with one of those among them, "Now divide the work:", and i without.
func (p *parser) pastColon(i, end int, words ...string) int {
	found := false
	for k := i; k < end && k < i+7; k++ {
		found = found || hasWord(p, k, words...)
		if p.w(k) == ":" && found {
			return k + 1
		}
	}
	return i
}

// rests reads "let the remaining 34 sts rest on a holder" in a row.
func (p *parser) rests(i int) (Op, int, bool) {
	j, ok := p.words(i, "let the? rem|next|other|following|last")
	if !ok {
		return nil, i, false
	}
	n, k, ok := p.num(j)
	if !ok || p.w(k) != "st" {
		return nil, i, false
	}
	k, ok = p.words(k+1, "rest|wait")
	if !ok {
		return nil, i, false
	}
	if q, ok := p.holderNamed(k); ok {
		k = q
	}
	return &Hold{N: n, Span: p.span(i, k)}, k, true
}

// holdsBehind says that a sentence behind a row that goes to its end puts stitches of it on a
// holder: "K33, cast off 6, k to end. Slip the first 33 sts onto a stitch holder."
func (p *parser) holdsBehind(b *bodyState, i int) bool {
	if len(b.ops) == 0 {
		return false
	}
	if _, turned := b.ops[len(b.ops)-1].(*Turn); turned { // "Knit across N1, turn. … Leave the other 28 sts for the instep."
		for k, n := i, 0; k < len(p.toks) && n < 3; n++ {
			end := p.sentenceEnd(k)
			if _, ok := p.othersHeld(k, end); ok {
				return true
			}
			k = end + 1
		}
	}
	if end := p.sentenceEnd(i); hasHeel(p, i, end) {
		if _, ok := p.othersHeld(i, end); ok {
			return true
		}
		if _, _, ok := p.keepOn(i, end); ok {
			return true
		}
	}
	u, ok := b.ops[len(b.ops)-1].(*Until)
	if !ok || u.To.Kind != ToEnd {
		return false
	}
	q := *p
	q.quiet = true
	if parts(&Row{Body: b.ops}) && q.sidesTalk(i, q.sentenceEnd(i)) {
		return true
	}
	if _, _, side := q.oneSide(i, q.sentenceEnd(i)); side {
		return true // "There are 30 sts each side. Place the sts of the right shoulder on hold."
	}
	var rest bodyState
	o, _, ok := q.holder(&rest, i)
	h, holds := o.(*Hold)
	return ok && holds && h.N.Given()
}

// hasHeel says that a sentence speaks of a heel.
func hasHeel(p *parser, i, end int) bool {
	_, _, ok := p.find(i, end, "heel", "flap")
	return ok
}

// oneSide reads "Place left front sts on a holder and cont on right side only": the stitches of one
// side, of two that a row has parted, without their number.
func (p *parser) oneSide(i, end int) (*HoldAll, int, bool) {
	j, ok := p.words(i, "place|put|slip|leave|transfer left|right|first|second|one? side|front|back|shoulder|neck? st", "place|put|slip|leave|transfer st of? left|right|first|second|one side|front|shoulder|neck?", "place|put|slip|leave|transfer left|right|first|second|one|other side|front|shoulder|neck st? to|on|onto")
	if !ok {
		return nil, i, false
	}
	if hasWord(p, j-1, "to", "on", "onto") {
		j--
	}
	if _, _, ok := p.find(j, end, "holder|hold|waste|spare|thread|pin"); !ok {
		return nil, i, false
	}
	sided, named := false, true
	for k := i; k < end; k++ {
		if p.at(k).Kind == Number {
			return nil, i, false
		}
		named = named && !hasWord(p, k, "on", "onto", "to")
		sided = sided || named && hasWord(p, k, "left", "right", "first", "second", "one", "other")
	}
	if _, _, ok := p.find(j, end, "cont|continue|work|working|complete"); !ok && !sided {
		return nil, i, false // "Leave sts on a holder": all of them
	}
	if p.w(end) == "." {
		end++
	}
	return &HoldAll{Side: true, Words: p.raw(i, end), Span: p.span(i, end)}, end, true
}

// sideTalk are all the words of a sentence that tells which of two sides is worked first.
var sideTalk = map[string]bool{"leave": true, "leaving": true, "place": true, "placing": true, "put": true, "slip": true, "keep": true, "going": true, "now": true, "work": true, "working": true, "worked": true, "continue": true, "continuing": true, "cont": true, "finish": true, "complete": true, "turn": true, "and": true, "on": true, "onto": true,
	"to": true, "the": true, "a": true, "of": true, "first": true, "second": true, "last": true, "other": true, "others": true, "set": true, "st": true, "side": true, "sides": true, "left": true, "right": true, "front": true, "back": true, "shoulder": true, "neck": true, "only": true, "holder": true, "hold": true, "these": true, "those": true, "this": true, "rem": true,
	"rest": true, "for": true, "separately": true, "each": true, "as": true, "follows": true, "waiting": true, "waste": true, "yarn": true, "spare": true, "needle": true, "stitch": true, "in": true, "half": true, "while": true, "one": true, "at": true, "time": true, "hand": true, "with": true, "same": true, "following": true, "both": true}

// sideFirst reads any other sentence behind a row that bound off in its midst, where all it talks of are the two
// sides, and one of them waits: "Leave the first set of stitches on a holder and keep going on the other set".
func (r *reader) sideFirst(p *parser, i, end int) (*HoldAll, int, bool) {
	if !parts(lastWorked(r.ms.Items)) {
		return nil, i, false
	}
	if !p.sidesTalk(i, end) {
		return nil, i, false
	}
	if p.w(end) == "." {
		end++
	}
	return &HoldAll{Side: true, Words: p.raw(i, end), Span: p.span(i, end)}, end, true
}

// sidesTalk says that a sentence speaks of two sides alone, and that one of them waits.
func (p *parser) sidesTalk(i, end int) bool {
	waits := false
	for k := i; k < end; k++ {
		switch w := p.w(k); {
		case w == "separately", w == "only", w == "holder", w == "hold", w == "waiting", w == "waste", w == "spare":
			waits = true
		case w == "first" && (p.w(k-1) == "side" || k+1 >= end):
			waits = true // "Finish this side first"
		}
		if !sideTalk[p.w(k)] && p.w(k) != "," && p.w(k) != ";" && p.w(k) != ":" && p.at(k).Kind != Number && p.w(k) != "(" && p.w(k) != ")" {
			return false
		}
	}
	_, _, both := p.find(i, end, "both side|sides", "at same time")
	_, _, which := p.find(i, end, "first|second|last|other|others|only|set|side|left|right|these|those|separately|rest")
	if !which { // "Place rem 2 sts on a holder" counts all there are
		for k := i; k < end; k++ {
			which = which || p.w(k) == "rem" && p.at(p.skipWords(k+1, "the")).Kind != Number
		}
	}
	return waits && which && !both
}
