package notation

// This file tells sentences that ask for no row from those that work stitches.

// harmless says that a sentence among instructions asks for no row.
func harmless(p *parser, i int) bool {
	if p.tellsShaping(i, p.sentenceEnd(i)) || p.tellsTimes(i) {
		return false
	}
	if hasWord(p, i, "shape", "shaping") && p.sentenceEnd(i) <= i+5 {
		return true // "Shape armholes.—"
	}
	if k, ok := p.words(i, "each|both|every|two|2 side|shoulder|half|front|sides|shoulders|halves|fronts is|are now? finished|worked|completed|continued|knitted separately", "sides|shoulders|fronts are now? finished|worked|completed|continued|knitted separately"); ok && k >= p.sentenceEnd(i) {
		return true
	}
	if k, ok := p.words(i, "cont|continue|go on with|on needle"); ok && k > 0 && !p.tellsTimes(i) { // "Continue with needles no. 4 in stockinette stitch."
		return true
	}
	switch p.w(i) {
	case "now", "finally", "then":
		if p.worksStitches(i) {
			return false
		}
	}
	switch p.w(i) {
	case "change", "switch", "skip", "close", "cut", "break", "weave", "block", "sew", "turn", "do", "this", "these", "note", "mark", "row", "you", "with", "using", "make", "there", "it", "if", "when", "check", "place", "pm", "finish", "darn", "press", "fold", "steam", "wash", "work", "rejoin", "join", "attach", "divide", "try", "count", "leave", "the", "designed", "copyright", "©", "enjoy", "ws", "rs", "piece", "all", "for", "now", "sts", "st", "stuff", "insert", "tie", "add", "lay", "roll", "set", "put", "pull", "side", "tick", "thread", "wind", "soak", "pin", "repeat", "end", "see", "follow", "finally", "one", "two":
		return true
	}
	return false
}

// worksStitches says that a sentence, however it begins, tells of stitches that are worked
// again and again: "Now knit 2 together at each end of every alternate row".
func (p *parser) worksStitches(i int) bool {
	tog, often := false, false
	for k, end := i, p.sentenceEnd(i); k < end; k++ {
		switch p.w(k) {
		case "tog":
			tog = tog || p.at(k-1).Kind == Number && k > i
		case "k2tog", "p2tog", "ssk", "skpo", "dec", "inc", "decrease", "increase":
			tog = true
		case "every", "each", "alt", "foll", "following", "next":
			often = true
		}
	}
	return tog && often
}

// sentenceBehind: an asterisk that opens a run of sentences, not of stitches.
func (p *parser) sentenceBehind(i int) bool {
	for k := i; k < len(p.toks) && p.w(k) != "." && p.w(k) != ";"; k++ {
		if isMark(p.w(k)) && p.w(k) == p.w(i-1) && k > i {
			return false // "*k8, k2tog* around": closed within its sentence
		}
	}
	q := *p
	q.quiet = true
	if _, _, ok := q.head(i); ok {
		return true
	}
	if _, _, ok := q.repRows(i); ok && hasWord(p, i, "work", "rep") {
		return true // "*Work Rows 3 and 4 four times, then …. Repeat from *"
	}
	s, _, ok := q.straight(i)
	return ok && s.Rows.Given()
}

// miscounts finds numbers of stitches for the sizes, more or fewer than there are sizes, in a sentence
// that is not worked: "bind off the central 30 (32, 36) sts".
func (p *parser) miscounts(i, end int) {
	if p.sizes < 3 {
		return
	}
	for k := i; k < end; k++ {
		if p.at(k).Kind != Number || openers[p.w(k+1)] == "" {
			continue
		}
		vals, e, ok := p.bracketNums(k + 1)
		_, _, stroke := p.find(k-1, e, "/")
		if ok && !stroke && p.w(k-1) != "/" && len(vals) > 1 && len(vals)+1 != p.sizes && p.w(e) == "st" {
			p.addf("size-count", p.span(k, e), "%d numbers for %d sizes in “%s”", len(vals)+1, p.sizes, p.raw(k, e))
		}
		k = max(k, e-1)
	}
}

// tellsTimes says that a sentence asks for work so many times over: "Work the rib round 20 times".
func (p *parser) tellsTimes(i int) bool {
	i = p.skipWords(i, "then", "now", "and")
	if !hasWord(p, i, "work", "rep", "repeat", "knit", "purl") {
		return false
	}
	for k, end := i+1, p.sentenceEnd(i); k < end; k++ {
		if t, _, ok := p.times(k); ok && t.N.Given() {
			return true
		}
	}
	return false
}

// tellsShaping says that the words up to end make the work wider or narrower by so many stitches,
// whatever else they say.
func (p *parser) tellsShaping(i, end int) bool {
	for ; i < end; i++ {
		j := i
		if p.w(i) == "until" { // "… until you are back to 4 stitches"
			if u, _, ok := p.untilCond(i); ok && u.Sts.Given() {
				return true
			}
		}
		switch {
		case hasWord(p, i, "dec", "decrease", "decreasing", "inc", "increase", "increasing"):
			j = p.overPoint(i + 1)
		default:
			q, ok := p.words(i, "bind|cast off", "bo")
			if on, casts := p.words(i, "cast on", "co"); casts {
				_, _, where := p.find(on, p.sentenceEnd(on), "at beg|end|each|both")
				q, ok = on, where
			}
			if !ok {
				continue
			}
			j = p.skipWords(p.pastPlace(q), "the", "next", "first", "last", "middle", "centre", "center", "central", "rem", "these", "following")
		}
		if _, k, ok := p.num(j); ok && p.w(p.pastBracket(k)) == "st" {
			return true
		}
	}
	return false
}

// pastPlace passes the place that is told between the verb and the number: "on each side for the raglan".
func (p *parser) pastPlace(i int) int {
	if k, ok := p.words(i, "on|at|from each|both|the side|sides|edge|edges|end|ends|left|right edge|side?"); ok {
		i = k
	}
	if k, ok := p.words(i, "for the? raglan|armhole|armholes|neck|neckline|shoulder|shoulders|cap|thumb|underarm"); ok {
		i = k
	}
	i = p.skipWords(i, ",")
	if p.w(i) == "every" && p.at(i+1).Kind == Number && p.w(i+2) == "row" {
		i += 3
	}
	if i = p.skipWords(i, ",", ":"); p.at(i).Kind == Number && p.w(i+1) == "times" { // "1 time 3 sts"
		i += 2
	}
	return i
}

// pastBracket is behind the bracket that opens at i, a list that no reader took: "6 [7-8-9] sts" where the
// sizes are unknown. It is i where none opens or closes.
func (p *parser) pastBracket(i int) int {
	if openers[p.w(i)] == "" {
		return i
	}
	depth := 0
	for k := i; k < len(p.toks); k++ {
		if depth += nesting(p.w(k)); depth == 0 {
			return k + 1
		}
	}
	return i
}

// bareCount says that the words from i to end are a count that no reader took, "74 [80-86-92] sts".
func (p *parser) bareCount(i, end int) bool {
	if p.at(i).Kind != Number || openers[p.w(i+1)] == "" {
		return false
	}
	k := p.pastBracket(i + 1)
	return k < end && p.w(k) == "st" && p.sentenceEnd(k) <= k+2
}
