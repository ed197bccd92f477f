package notation

import "slices"

// This file reads how a piece begins: cast on, picked up, returned from a holder.

// begin reads a cast-on or pick-up sentence.
func (p *parser) begin(i int) (*Begin, int, bool) {
	end := p.sentenceEnd(i)
	if at, _, ok := p.find(i, end, "sample", "swatch", "example", "e . g", "eg", "for instance", "such as", "to practise|practice", "i . e"); ok && !(p.swatch && hasWord(p, at, "sample", "swatch")) {
		return nil, i, false
	}
	if b, ok := p.assembled(i, end); ok {
		j := p.afterBegin(b, end)
		for _, k := range [...]int{end, j} {
			if st, e, ok := p.stated(k); ok && st[0].Kind == CountAll {
				if !equalInts(st[0].N.Vals, b.N.Vals) { // the proof tells that they differ
					b.Sum, b.Addends, b.Stated, b.N = b.N, 2, st, st[0].N
				}
				return b, max(e, j), true
			}
		}
		for k := end - 1; k > i; k-- { // "…, pick up and knit 25 sts along the other edge: 89 sts"
			if w := p.w(k); w != ":" && w != "=" && !isDash(w) && openers[w] == "" || isDash(w) && p.at(k).Glued && p.at(k).Text == "-" {
				continue
			}
			if st, e, ok := p.stated(k); ok && e >= end && st[0].Kind == CountAll && p.hasSts(k, e) && !equalInts(st[0].N.Vals, b.N.Vals) {
				b.Sum, b.Addends, b.Stated, b.N = b.N, 2, st, st[0].N
				return b, max(e, j), true
			}
		}
		return b, j, true
	}
	if b, next, ok := p.unpicked(i, end); ok {
		return b, max(next, p.afterBegin(b, end)), true
	}
	if _, _, ok := p.gusset(i); ok {
		return nil, i, false // a row
	}
	how := "cast on"
	at, j, ok := p.find(i, end, "cast on", "co", "c . o .", "c / o", "caston", "cast - on", "by casting on")
	for ok && at > i && p.w(at+1) == "-" && p.w(j) != "" && p.at(j).Kind != Number { // "using a toe-up cast-on of your choice, cast on 16 sts"
		more, k, again := p.find(j, end, "cast on", "co", "cast - on")
		if !again {
			break
		}
		at, j = more, k
	}
	if _, q, isNum := p.num(i + 1); !ok && isNum && p.w(i) == "cast" && p.w(q) == "st" && p.w(q+1) == "on" { // "Cast 60 sts on to No. 10 needles"
		at, j, ok = i, i+1, true
	}
	if _, q, isNum := p.num(i + 1); !ok && isNum && p.w(i) == "mount" && p.w(q) == "st" { // "Mount 61 sts", as the French have it
		at, j, ok = i, i+1, true
	}
	if _, q, isNum := p.num(i + 1); ok && isNum && at > q && p.w(i) == "make" && p.w(q) == "st" { // "Make 53 stitches with a knitted cast on"
		at, j = i, i+1
	}
	if ok && at > i+2 && hasWord(p, i, "k", "knit", "p", "purl", "rib", "slip", "sl") { // "K. first 8 sts, slip all but the last 8 sts on to a thread, cast on 2 sts"
		if _, q, worked := p.num(p.skipWords(i+1, "first", "next", "last", "rem")); worked && p.w(q) == "st" {
			ok = false
		}
	}
	for k := i; ok && k < at; k++ { // "Divide: K27, slip next 36 sts to waste yarn, CO 6 sts, k54": a row
		if k > i && p.w(k-1) != "," && p.w(k-1) != ":" {
			continue
		}
		if d, q, isStitch := p.stitch(k); isStitch && d.Times.Given() && p.w(q) == "," {
			ok = false
		}
	}
	if _, _, worked := p.find(i, at, "k|knit|p|purl|work to end ,|and|then", "k|knit|p|purl|work across ,|and|then", "k|knit|p|purl row ,|and|then"); ok && worked { // "join yarn and knit to end, then cast on 4 sts": a row
		ok = false
	}
	if w := p.w(i); ok && at > i && (w == "rep" || w == "row" || w == "dec" || w == "inc" || w == "bo" || w == "after" || w == "note" || w == "work" && p.w(i+1) != "provisional" || w == "knit" || w == "turn" || w == "next") {
		ok = false
	}
	if ok && (p.w(at) == "the" || p.w(at-1) == "the" || p.w(at-1) == "from" || p.w(at-1) == "those" || p.w(at-1) == "as" || p.w(at-1) == "of" || p.w(at+1) == "-" && p.w(at+2) == "on" && p.w(at-1) != "provisional" && !(at == i && p.w(j) == ":") || p.w(j) == "edge" || p.w(j) == "row") {
		ok = false
	}
	if k, _, picks := p.find(i, end, "pick up and|& knit|purl|k|p"); ok && picks && k < at {
		ok = false // "pick up and knit 4 sts from the underarm CO"
	}
	if !ok {
		at, j, ok = p.find(i, end, "pick up and|& knit|purl|k|p", "pick up", "pu & k", "pu and k", "puk", "pick up & k", "knit up", "pu")
		how = "pick up"
		if ok && p.w(i) != "pick" && p.w(i) != "pu" && p.w(i) != "puk" && at > i {
			switch p.w(i) {
			case "slip", "sl", "put", "transfer", "replace", "move":
				ok = p.takesBack(i, at)
			case "with", "using", "take", "rs", "from", "rejoin", "join", "beg", "starting", "return", "place", "hold", "now", "on", "then", "facing", "right", "at", "along", "for", "knit", "k", "turn", "rotate", "instead", "do", "holding", "change", "attach", "and", "ws", "wrong":
			default:
				ok = false
			}
		}
	}
	if !ok {
		if k, ok2 := p.words(i, "start|begin|beg with", "start|begin on", "set up", "put|place on needle?", "on needle"); ok2 {
			if _, q, ok3 := p.num(k); ok3 && p.w(q) == "st" {
				at, j, ok, how = i, k, true, "cast on"
			}
		}
	}
	if !ok {
		// returned from a holder to begin a piece
		for p.w(i) == "with" || p.w(i) == "," || p.w(i) == "and" {
			if k, ok := p.words(i, "with rs|ws facing ,?", "with right|wrong side facing ,?", ",", "and"); ok {
				i = k
				continue
			}
			break
		}
		depth := 0
		for k := i + 1; k < end; k++ { // on with the row behind the comma
			depth += nesting(p.w(k))
			if p.w(k) == "," && depth <= 0 {
				end = k
				break
			}
		}
		_, _, pinned := p.find(i, end, "onto|to|on a? safety? pin", "on to a? safety? pin") // from one holder to another
		if k, ok2 := p.words(i, "return|place|slip|sl|put|transfer|replace|move"); ok2 && !pinned && !p.heelTaken(k) {
			if _, _, ok3 := p.find(k, end, "from holder", "from st|first|second|the holder", "held", "from waste yarn", "from scrap yarn", "from thread", "on holder", "back on needle", "from spare needle|wool|yarn|thread", "from the? wool|yarn"); ok3 || p.toNeedles(k, end) || p.w(i) == "return" && p.returned(k, end) || p.sleeveSts(k, end) {
				if _, _, ok4 := p.find(k, end, "to needle", "onto needle", "on needle", "to|onto|on dpn", "to|onto|on larger|smaller|dpns|dpn|double|circular", "on to", "onto", "back to|on|onto|in"); ok4 || p.ontoNeedles(k, end) || p.w(i) == "return" || end > k && p.w(end-1) == "back" || p.sleeveSts(k, end) {
					b := &Begin{How: "return", Text: p.raw(i, end), Span: p.span(i, end)}
					for q := k; q < end; q++ {
						if n, r, ok := p.num(q); ok {
							if !ok3 || p.w(r) == "held" || p.w(r) == "st" || p.w(r) == "thumb" || p.w(r) == "sleeve" || p.w(r) == "front" || p.w(r) == "back" || p.w(r) == "instep" || p.w(r) == "gusset" || p.w(r) == "neck" || p.w(r) == "rem" {
								b.N = n
								break
							}
						}
					}
					if _, _, more := p.find(k, end, "and pick up", "then pick up"); more { // "… back on the needles and pick up 4 sts behind the thumb = 18 sts"
						for q := k; q < end; q++ {
							if st, e, ok := p.stated(q); ok && st[0].Kind == CountAll && (p.w(q) == "=" || isDash(p.w(q)) || openers[p.w(q)] != "") {
								b.N, end = st[0].N, e
								break
							}
						}
					}
					return b, p.afterBegin(b, end), true
				}
			}
		}
		if b, e, ok := p.besideNeck(i); ok {
			return b, p.afterBegin(b, e), true
		}
		if b, e, ok := p.rejoins(i, end); ok {
			return b, p.afterBegin(b, e), true
		}
		if b, ok := p.rejoined(i, end); ok {
			return b, p.afterBegin(b, end), true
		}
		return nil, i, false
	}
	if _, _, ok := p.find(i, at, "at|on end|beg of next|following|each|every", "at neck|sleeve|side|front|armhole|inner|outer|centre|same edge"); ok && how == "cast on" && p.w(at) != "by" && !hasWord(p, i, "beg", "starting", "start", "begin") { // "At end of next row cast on 7 sts"
		return nil, i, false
	}
	if how == "cast on" && at > i+2 { // "Knit 33 sts, slip the next 42 sts on a thread, cast on 6 sts under the sleeve": a row
		if _, _, slips := p.find(i, at, "slip|place|put|leave|sl|transfer next", "slip|place|put|leave|sl|transfer the next"); slips && hasWord(p, p.skipWords(i, "now", "divide", "for", "body", "and", "sleeves", ":"), "knit", "k", "work") {
			return nil, i, false
		}
	}
	b := &Begin{How: how}
	j = p.skipWords(j, "a", "total", "of", "loosely", "provisionally", "using", "evenly", "another", "long", "tail", "-", "method", "cable", "knitted", "about")
	if p.dashVector(j - 1) {
		j-- // CO - (56, 58) sts: the first size is left out
	}
	q := j
	found := false
	for ; q < end && q < j+16; q++ {
		if _, works := p.words(q, "and work"); works && how == "cast on" {
			return nil, i, false // "Cast on and work the cuff and the 2 plain rounds as for the right glove"
		}
		if k, works := p.words(q, "and knit|purl|k|p|rib"); works && how == "cast on" {
			if _, e, ok := p.num(k); ok && (p.w(e) == "row" || p.w(e) == "rnd" || p.w(e+1) == "row" || p.w(e+1) == "rnd") {
				return nil, i, false // "With A, cast on and knit one WS row": any number of the multiple
			}
		}
		if p.at(q).Kind != Number && !p.dashVector(q) {
			continue
		}
		n, r, ok := p.num(q)
		if !ok {
			continue
		}
		if hasWord(p, q-1, "k", "p") && !hasWord(p, q-2, "and", "&", "up", "+") || p.w(q-1) == "." && hasWord(p, q-2, "k", "p") && !hasWord(p, q-3, "and", "&", "up", "+") {
			q = r // "pick up neatly round the neck, work 6 rows k. 1, p. 1 rib"
			continue
		}
		if w := p.w(r); w == "mm" || w == "cm" || p.w(q-1) == "us" || p.w(q-1) == "size" || p.at(r).Text == "." && p.at(r).Glued && p.at(r+1).Kind == Number || w == "needle" || w == "dpn" || w == "row" || w == "rnd" || w == "strands" || w == "strand" || w == "ply" || w == "x" {
			q = r
			continue
		}
		b.N, q, found = n, r, true
		break
	}
	if !found {
		return nil, i, false
	}
	if p.w(q) == "st" {
		q++
	}
	// "cast on 8 sts at beg of next 2 rows" shapes, it does not begin
	if _, _, ok := p.find(q, end, "at beg of next", "at beg of following", "at beg of each", "at beg of every", "at end of next", "at end of following", "at end of each", "at each end", "at both ends", "beg of next", "over buttonhole", "over those", "over gap", "next row", "next 2 row"); ok && how == "cast on" {
		return nil, i, false
	}
	if how == "pick up" && p.atRate(q) {
		st, _, ok := []Stated(nil), 0, false
		for k := q; k < end && !ok; k++ {
			st, _, ok = p.stated(k)
			ok = ok && st[0].Kind == CountAll
		}
		if !ok {
			return nil, i, false // "Pick up 3 sts for every 4 rows": how many comes of it
		}
	}
	if how == "pick up" {
		if k, ok := p.words(q, "along|on|from|down|at|across|in|to each of|the?", "along|on|from|down|at|across|in|to each"); ok { // "24 sts along each of the four sides"
			for p.w(k) == "the" {
				k++
			}
			if n, e, ok := p.num(k); ok && n.Single() && n.For(0) > 1 && n.For(0) < 100 {
				if _, ok := p.words(e, "side|sides|edge|edges", "long|short|straight|outer|raw|open|other|rem side|sides|edge|edges"); ok {
					b.N, q = mulNum(b.N, n), e+1
				}
			}
		}
		p.sumPickUp(b, q, end)
		if k, ok := p.words(i, "take up"); ok && at > k { // "Take up the remaining 12 sts and pick up and k 2 sts …"
			if n, r, ok := p.num(p.skipWords(k, "the", "rem", "held", "other", "first", "last")); ok && r < at {
				b.N = sumNum(n, b.N)
				p.addends++
			}
		}
	}
	if how == "cast on" && p.castOnAround(b, q, end) {
		b.Text, b.Span = p.raw(i, end), p.span(i, end)
		return b, p.afterBegin(b, end), true
	}
	picked := b.N
	b.Text = p.raw(i, end)
	b.Span = p.span(i, end)
	if how == "cast on" { // only as far as the number, then what follows is read on
		for k := q; k < end; k++ {
			if st, r, ok := p.stated(k); ok && p.w(k-1) != "until" {
				b.Stated, end = st, r
				break
			}
		}
	} else {
		for k := q; k < end; k++ {
			if st, r, ok := p.stated(k); ok && (isDash(p.w(k)) || openers[p.w(k)] != "" || p.w(k) == ":" || p.w(k) == "=" || p.w(k) == "," || p.w(k) == ";" || p.w(k) == "." && !hasWord(p, k-1, "rem", "k", "p")) {
				b.Stated = st
				if st[0].Kind == CountAll {
					b.N = st[0].N
				}
				end = r
				break
			}
		}
		if k := end; k < len(p.toks) && len(b.Stated) == 0 {
			if p.w(k) == "." {
				if st, r, ok := p.stated(k); ok {
					b.Stated, b.N, end = st, st[0].N, r
				}
			}
		}
		if before, sure := p.before(i, at); how == "pick up" && len(b.Stated) > 0 && b.Stated[0].Kind == CountAll && sure && !p.unsure {
			b.Sum, b.Before, b.Addends = picked, before, p.addends
		} else if how == "pick up" && len(b.Stated) == 0 && sure && before.Given() && p.takesBack(i, at) {
			b.N = sumNum(before, b.N)
		}
	}
	if how == "pick up" {
		p.roundCorners(b, at)
	}
	// rows may follow on the line after a comma: "Cast on 30 sts, knit 4 rows"
	for k := q; k < end && k < q+60; k++ {
		if (p.w(k) == "," || p.w(k) == ";" || p.w(k) == "and") && (how == "cast on") {
			r := k + 1
			if p.w(r) == "and" || p.w(r) == "then" {
				r++
			}
			if p.sentenceStarts(r) && !p.joinAt(r) {
				end = k
				b.Span = p.span(i, end)
				b.Text = p.raw(i, end)
				break
			}
		}
	}
	return b, p.afterBegin(b, end), true
}

// toNeedles says that stitches which waited go onto the needles: "the remaining 12 sts on to needles", "12 sts
// to dpns". A needle to hold them is none of these.
func (p *parser) toNeedles(i, end int) bool {
	i = p.skipWords(i, "the", "rem", "next", "last", "other", "first", "these", "those")
	_, j, ok := p.num(i)
	if !ok {
		return false
	}
	j = p.skipWords(j, "thumb", "rem", "sleeve", "finger", "heel", "instep", "body")
	if p.w(j) != "st" {
		return false
	}
	if k, ok := p.words(j+1, "back? on to|onto a|the?"); ok { // "Slip the 25 sts on to a No. 12 needle"
		for q := k; q < end && q < k+6 && !hasWord(p, q, ",", "spare", "waste", "cable", "st", "safety", "other", "second", "and"); q++ {
			if hasWord(p, q, "needle", "dpn", "dpns") {
				return true
			}
		}
	}
	k, ok := p.words(j+1, "back? on to|onto|on the? three|four|two? needle|dpns|dpn", "back? on to|onto|on the? double", "back? on to|onto|on needle")
	return ok && k <= end
}

// ontoNeedles says that stitches are put on needles of some kind: "on 4 mm double-pointed needles".
func (p *parser) ontoNeedles(i, end int) bool {
	for ; i < end; i++ {
		if !hasWord(p, i, "on", "onto", "to") {
			continue
		}
		for k := i + 1; k < min(i+7, end); k++ {
			if hasWord(p, k, "needle", "dpn", "dpns", "circular") {
				return true
			}
			if hasWord(p, k, "holder", "spare", "waste", "scrap", "thread", ",") {
				break
			}
		}
	}
	return false
}

// takesBack says that a sentence takes stitches back on the needles, from i to end.
func (p *parser) takesBack(i, end int) bool {
	_, _, ok := p.find(i, end, "back", "held", "from the? holder|thread", "waste|scrap yarn", "onto|to needle|dpn", "on to needle|dpn", "on needle|dpn")
	return ok
}

// afterBegin marks the joining that stands in the same sentence or the next ones.
func (p *parser) afterBegin(b *Begin, end int) int {
	if _, _, ok := p.find(0, len(p.toks), "work in rnd", "working in rnd", "knit in rnd", "for rnd", "in rnd", "in the rnd for", "in the rnd until", "in rnd for|until"); ok {
		b.Round = true
	}
	if _, _, ok := p.find(0, len(p.toks), "close to|in|into rnd", "close to|in|into a|the rnd|ring|circle", "close rnd|ring|circle"); ok {
		b.Round = true
	}
	if at, _, ok := p.find(0, len(p.toks), "join"); ok && p.w(at+1) != "yarn" && p.w(at+1) != "wool" && p.w(at+1) != "the" {
		if _, _, ok := p.find(0, len(p.toks), "in rnd", "in the rnd", "for working in rnd", "into a rnd", "into rnd", "join , being", "join being", "join rnd", "join into a circle", "into a circle", "into a ring", "in ring", "to form a rnd", "join , taking care", "and join", "join for", "work in rnd", "working in rnd", "work in rnd", "a circle", "ring", "a ring", "pm"); ok {
			b.Round = true
		}
	}
	if at, _, ok := p.find(0, len(p.toks), "on each of? needle", "on each of n 1 and n 2", "on each of n1 and n2"); ok && at > 1 { // "cast on 20 sts, 10 on each needle"
		for k := max(0, at-2*max(1, p.sizes)-4); k < at; k++ {
			n, r, ok := p.num(k)
			if ok && (r == at || p.w(r) == "st" && r+1 == at) && b.N.Given() && equalInts(sumNum(n, n).Vals, b.N.Vals) {
				b.Markers, b.Marked = append(b.Markers, n), true
				break
			}
		}
	}
	p.layMarkers(b, 0, end)
	for k := 0; k < len(p.toks); k++ { // "pm after 12 sts and at beg of rnd"
		if q, ok := p.words(k, "pm after", "place m after", "placing m after", "pm after first", "place m after first"); ok {
			if n, r, ok := p.num(q); ok && p.w(r) == "st" {
				b.Markers = append(b.Markers, n)
			}
		}
		if q, ok := p.words(k, "and another|second|one m? after first?", "another m? after first?", "and a second|2nd m? after first?"); ok && b.How == "cast on" && len(b.Markers) == 0 { // "a marker at the beginning of the round and another after 12 sts"
			if n, r, ok := p.num(q); ok && p.w(r) == "st" {
				b.Markers, b.Marked = append(b.Markers, n), true
			}
		}
		if _, ok := p.words(k, "pm", "place|placing|put|putting|hang|insert|thread|attach|add a|one|your? contrasting|contrast|removable|coloured|bor? st? m", "slip|slipping|sl a|one|your? st? m on|onto|to"); ok {
			b.Marked = true
		}
	}
	if st, j, ok := p.stated(end); ok && len(b.Stated) == 0 && p.w(end) != "." {
		if n := len(b.Markers); n == 0 || !slices.Equal(st[0].N.Vals, b.Markers[n-1].Vals) { // else it says where a marker hangs
			b.Stated = st
		}
		end = j
	}
	if p.w(end) == "." {
		end++
	}
	return end
}

// otherSizes takes a beginning of some sizes only together with those of the other sizes
// above it: "Size S: CO 60." and "Size M: CO 66." are one cast-on.
// It reports whether b went into the one above.
func (r *reader) otherSizes(b *Begin, only []int) bool {
	if len(only) == 0 || len(b.N.Vals) != 1 {
		return false
	}
	var above *Begin
search:
	for k := len(r.ms.Items) - 1; k >= 0; k-- {
		switch it := r.ms.Items[k].(type) {
		case *Blank, *ForSizes, *Prose, *JoinRound:
		case *Begin:
			above = it
			break search
		default:
			break search
		}
	}
	n := b.N.Vals[0]
	if above == nil || above.How != b.How || len(above.N.Vals) != r.sizes || slices.ContainsFunc(only, func(k int) bool { return above.N.Vals[k] != Skip }) {
		b.N.Vals = slices.Repeat([]int{Skip}, r.sizes)
		for _, k := range only {
			b.N.Vals[k] = n
		}
		return false
	}
	for _, k := range only {
		above.N.Vals[k] = n
	}
	above.Round, above.Marked = above.Round || b.Round, above.Marked || b.Marked
	return true
}

// atRate says that stitches are picked up at a rate: "(3 sts) for every 4 rows".
func (p *parser) atRate(i int) bool {
	k, ok := p.words(i, "for|in|from|out of? every|each", "per")
	if !ok {
		return false
	}
	if _, q, ok := p.num(k); ok {
		k = q
	}
	k = p.skipWords(k, "bound", "cast", "-", "off", "on", "slipped", "edge", "garter")
	return p.w(k) == "row" || p.w(k) == "st" || p.w(k) == "rnd"
}
