package notation

// This file reads how the yarn comes back to stitches that wait: for the second side of a neck, or a front.

// sideWords are the words in which a sentence tells which stitches these are, and from which edge they are worked.
var sideWords = map[string]bool{"the": true, "first": true, "next": true, "last": true, "rem": true, "held": true, "other": true, "second": true, "centre": true, "middle": true, "set": true, "of": true, "inner": true, "inside": true, "outer": true, "neck": true,
	"armhole": true, "edge": true, "left": true, "right": true, "hand": true, "these": true, "those": true, "waiting": true, "front": true, "back": true, "shoulder": true, "side": true, "at": true, "to": true, "in": true, "end": true, "beg": true, "st": true, "unworked": true,
	"holder": true, "on": true, "hold": true, "half": true, "from": true, "stitch": true, "for": true, "beginning": true, "your": true, "unfinished": true, "base": true, "thumb": true}

// rejoins reads "With RS facing, rejoin yarn to rem 12 sts at neck edge" at i, as far as the row that follows in the
// same sentence: ", knit to last 3 sts, k2tog, k1", "and knit to end".
func (p *parser) rejoins(i, end int) (*Begin, int, bool) {
	j := i
	if k, ok := p.words(j, "left|right|first|second|other|opposite front|back|neck? side|shoulder|front|half :", "left|right|first|second|other|opposite side|shoulder|front|half :"); ok { // "Left side: rejoin yarn to …"
		j = k
	}
	if k, ok := p.words(j, "with rs|ws of? work? facing ,?", "with right|wrong side of? work? facing ,?", "rs|ws facing ,?", "right|wrong side facing ,?"); ok {
		j = k
	}
	again := hasWord(p, j, "rejoin", "reattach", "reconnect", "rejoining")
	k, ok := p.words(j, "rejoin|join|attach|reattach|reconnect in? a|new|second? ball? of? yarn|wool|thread|cotton", "rejoin|join|attach|reattach main|working yarn|wool", "rejoin|join|attach|reattach a|b|c|d|mc|cc")
	back := false
	if !ok {
		k, ok = p.words(j, "return|go back? to", "now? return|go to")
		back = ok
	}
	if !ok || !back && !hasWord(p, k, "to", "at", "in") {
		return nil, i, false
	}
	b := &Begin{How: "return"}
	waits, some, edge := false, false, false
	e := k
	for e < len(p.toks) {
		if p.at(e).Kind == Number || p.dashVector(e) {
			n, q, ok := p.num(e)
			if !ok || b.N.Given() || p.w(p.skipWords(q, "held", "rem", "waiting", "unworked", "front", "back", "shoulder", "neck")) != "st" {
				return nil, i, false
			}
			b.N, e = n, q
			continue
		}
		if !sideWords[p.w(e)] {
			break
		}
		switch p.w(e) {
		case "rem", "held", "unworked", "hold", "holder", "waiting", "other", "second":
			waits = true
		case "left":
			waits = waits || some && hasWord(p, e+1, "for", "on", "unworked") // "to the 48 sts left for Right Front"
		case "st":
			some = true
		case "thumb": // "at base of thumb", which was worked on its own
			again = p.w(e-1) == "of"
			edge = edge || again
		case "edge", "centre", "middle", "side":
			edge = true
			waits = waits || p.at(e+1).Kind == Number && p.w(e) != "side" && p.w(e) != "edge" // "to centre 43 sts"
		}
		e++
	}
	switch w := p.w(e); {
	case e >= len(p.toks), w == ",", w == ";", w == ".", w == ":":
	case w == "and", w == "then", w == "&":
		if !p.opStarts(e+1) && !hasWord(p, e+1, "k", "p", "knit", "purl", "work", "bind", "cast", "bo", "dec", "patt", "cont", "continue", "rib") {
			return nil, i, false
		}
	default:
		return nil, i, false
	}
	if b.N.Given() && !waits && !back && !again || !b.N.Given() && !(some && (waits || back)) && !(again && edge && !some) {
		return nil, i, false
	}
	if back && !b.N.Given() && !waits {
		return nil, i, false
	}
	b.Text, b.Span = p.raw(i, e), p.span(i, e)
	if hasWord(p, e, "and", "then", "&") {
		e++
	}
	return b, e, true
}
