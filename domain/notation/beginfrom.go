package notation

import (
	"regexp"
	"strings"
)

// This file reads pieces that begin from what waits: returned from a holder, put together from
// several, or picked up side by side.

// returned reads "the last 20 sts to the needle", said of held stitches.
func (p *parser) returned(i, end int) bool {
	if k, ok := p.words(i, "left|right|second|first|other shoulder|front|side|half|neck? st to|onto|on? needle", "left|right|second|first|other shoulder|front|side|half st"); ok && k <= end {
		return true
	}
	i = p.skipWords(i, "the", "last", "rem", "first", "next", "other", "these", "those")
	_, q, ok := p.num(i)
	if ok && hasWord(p, q, "front", "back", "shoulder", "neck") { // "Return 82 front sts to larger needle"
		q++
	}
	if !ok || p.w(q) != "st" {
		return false
	}
	_, _, ok = p.find(q, min(end, q+6), "to|onto|on larger|smaller|working|circular? needle")
	return ok
}

// assembled reads a finger that is begun from what waits and what is cast on or picked up beside it:
// "K. next 7 sts from thread, cast on 2 sts, k. last 7 sts from thread, pick up and k. 2 sts". A count that stands
// behind it is none of its clauses.
func (p *parser) assembled(i, end int) (*Begin, bool) {
	start, sum, held, clauses := i, Num{}, 0, 0
	if hasWord(p, i, "with", "using") { // "With RS facing and 3¼ mm needles, k across …"
		if k := p.skipTo(i, ",", "."); k < i+16 && (p.w(k) == "," || p.w(k) == ":") {
			if at, _, casts := p.find(i, k, "cast on", "co"); casts { // "With circular needle CO 14 sts, …"
				k = at - 1
			}
			i = k + 1
		}
	}
	for i < end {
		i = p.skipWords(i, ",", ";", "and", "then")
		if k, turned := p.words(i, "turn work? back?", "pm", "place m"); turned && clauses > 0 {
			i = k
			continue
		}
		if i >= end || p.w(i) == "." {
			end = min(i, end)
			break
		}
		j, ok := p.words(i, "co", "cast on", "pick up and|& knit|purl|k|p", "pick up", "knit up")
		taken := !ok
		if taken {
			if j, ok = p.words(i, "k|knit|rib|work|p|purl|slip|sl across?", "take up", "return|place|put|transfer|replace"); !ok {
				if j = i; clauses == 0 || p.at(i).Kind != Number {
					return nil, false
				}
			}
		}
		n, q, ok := p.num(p.skipWords(j, "the", "first", "next", "last", "rem", "other", "these"))
		if !ok {
			return nil, false
		}
		waits := p.w(q) == "held" || p.w(q+1) == "held"
		q = p.skipWords(q, "held", "sleeve", "thumb", "st")
		e := p.skipTo(q, ",", ";", ".", "and")
		if taken && !waits {
			if _, ok := p.fromHolder(q); !ok {
				e, ok := p.words(q, "of|from left|right|first|second|other|one? back|front|sleeve|neck|body|earflap|flap|leg", "of|from left|right|first|second|other|one? ear flap")
				if k, held := p.fromHolder(e); ok && held {
					e = k
				}
				if !ok || e < end && !hasWord(p, e, ",", ";", "and", "neck", "holder", "st") {
					return nil, false
				}
			}
		}
		if taken {
			held++
		}
		if clauses > 0 {
			n = sumNum(sum, n)
		}
		sum, i = n, e
		clauses++
	}
	if held == 0 || clauses < 2 {
		return nil, false
	}
	b := &Begin{How: "return", N: sum, Text: p.raw(start, end), Span: p.span(start, end)}
	return b, true
}

// joinsFlaps says that a row joins pieces that were worked apart: two flaps at least, of which no more than one can be
// on the needle.
func (p *parser) joinsFlaps(i, end int) bool {
	if _, ok := p.assembled(i, end); !ok {
		return false
	}
	n := 0
	for k := i; k < end; k++ {
		if hasWord(p, k, "earflap", "flap", "leg") && hasWord(p, k-1, "first", "second", "one", "other", "left", "right", "ear") {
			n++
		}
	}
	return n > 1
}

// roundCorners hangs the markers of stitches picked up side by side: "*pick up and knit 120 sts along
// the side, pm, pick up and knit 1 st in the corner; repeat from * around all four sides. 484 sts".
func (p *parser) roundCorners(b *Begin, at int) {
	if !isMark(p.w(at-1)) || !b.N.Given() || len(b.Markers) > 0 {
		return
	}
	stop, _, ok := p.find(at, len(p.toks), "rep from "+p.w(at-1))
	if !ok {
		return
	}
	unit := N(0)
	var offsets []Num
	for k := at; k < stop; {
		if q, ok := p.words(k, "pick up and|& knit|purl|k|p", "pick up", "knit up"); ok {
			if n, e, ok := p.num(q); ok {
				unit, k = sumNum(unit, n), e
				continue
			}
		}
		if q, ok := p.words(k, "pm", "place a? m"); ok {
			offsets, k = append(offsets, unit), q
			continue
		}
		k++
	}
	times := 0
	for s, v := range b.N.Vals {
		u := unit.For(s)
		if u <= 0 || v <= 0 || v%u != 0 || times > 0 && v/u != times {
			return
		}
		times = v / u
	}
	if times < 2 || times > 40 || len(offsets) == 0 {
		return
	}
	last := N(0)
	for t := range times {
		for _, o := range offsets {
			here := sumNum(mulNum(unit, N(t)), o)
			gap := Num{}
			for s := range here.Vals {
				gap.Vals = append(gap.Vals, here.Vals[s]-last.For(s))
			}
			b.Markers, last = append(b.Markers, gap), here
		}
	}
	b.Marked = true
}

// castOnAround adds up a cast-on that takes in pieces from their holders: "CO 12 sts, k19 sts of
// first earflap from holder, CO 26 sts, k19 sts of second earflap from holder, CO 12 sts".
func (p *parser) castOnAround(b *Begin, i, end int) bool {
	sum, pieces, untold := b.N, 0, false
	for i < end {
		i = p.skipWords(i, ",", ";", "and", "then", "with", "rs", "ws", "facing")
		if i >= end || p.w(i) == "." {
			end = min(i, end)
			break
		}
		j, ok := p.words(i, "co", "cast on")
		taken := false
		if !ok {
			if j, ok = p.words(i, "k|knit|work|p|purl across?"); !ok {
				return false
			}
			taken = true
		}
		n, q, ok := p.num(p.skipWords(j, "the"))
		if !ok && taken {
			e := p.skipTo(j, ",", ";", ".")
			if _, _, flap := p.find(j, e, "flap", "earflap"); flap && e <= end { // "knit across one earflap": how many, the count behind tells
				untold, pieces, i = true, pieces+1, e
				continue
			}
		}
		if !ok {
			return false
		}
		e := p.skipTo(q, ",", ";", ".")
		if taken {
			if _, _, held := p.find(q, e, "holder", "flap", "earflap", "held", "waiting"); !held {
				return false
			}
			pieces++
		}
		sum, i = sumNum(sum, n), e
	}
	if pieces == 0 {
		return false
	}
	if untold {
		st, _, ok := p.stated(end)
		if !ok || st[0].Kind != CountAll {
			return false
		}
		sum = st[0].N
	}
	b.N = sum
	return true
}

// sleeveSts reads "54 sleeve sts to larger dpns", said of stitches that were put aside.
func (p *parser) sleeveSts(i, end int) bool {
	_, q, ok := p.num(p.skipWords(i, "the", "rem", "next", "first", "second"))
	if k, of := p.words(q, "st of|for|from one|a|each|first|second|left|right|the? sleeve|thumb|front|back"); of && ok { // "the 40 sts of one sleeve on larger dpns"
		q = k - 2
	} else if !ok || !hasWord(p, q, "sleeve", "thumb", "front", "back") || p.w(q+1) != "st" {
		return false
	}
	at, _, ok := p.find(q+2, end, "needle", "needle", "dpn", "dpns", "circular")
	_, _, away := p.find(q+2, end, "holder", "waste", "yarn", "hold", "spare", "thread", "pin")
	return ok && !away && at < q+8
}

// rejoined reads "rejoin yarn to the 33 sts on the spare needle": stitches that waited, by
// their number.
func (p *parser) rejoined(i, end int) (*Begin, bool) {
	k, ok := p.words(i, "rejoin|join|attach|reattach|reconnect a|new|ball? yarn|wool|thread|colour|color|a|b|c|mc|cc to|at", "rejoin|join|attach|reattach main|working yarn|wool to|at", "rejoin|join|attach|reattach a|b|c|d|mc|cc to|at", "return|go back to")
	if !ok {
		return nil, false
	}
	if e, ok := p.words(k, "st on|from holder", "st on|from spare needle", "st on|from first|second|st|other holder", "st left on holder|hold", "st on thread|pin"); ok { // "rejoin yarn to sts on holder, k1, skpo, …"
		return &Begin{How: "return", Text: p.raw(i, e), Span: p.span(i, e)}, true
	}
	if e, ok := p.words(k, "inner|inside|outer|neck|armhole|centre end|edge of? st left? on|from holder|thread|pin", "inner|inside|outer|neck|armhole|centre end|edge of? st left? on|from spare|other|second needle"); ok {
		return &Begin{How: "return", Text: p.raw(i, e), Span: p.span(i, e)}, true
	}
	k = p.skipWords(k, "first", "next", "last", "rem", "held", "other", "second", "centre", "center", "middle", "set", "of", "inner", "inside", "outer", "neck", "armhole", "edge", "left", "right", "hand", "these", "those", "waiting", "front", "back", "shoulder", "side")
	n, q, ok := p.num(k)
	if e, held := p.words(k, "st"); !ok && held && hasWord(p, k-1, "held", "rem") && p.w(k) == "st" { // "rejoin yarn to held sts at neck edge and purl 1 row"
		for e < end && p.w(e) != "and" && p.w(e) != "," {
			e++
		}
		return &Begin{How: "return", Text: p.raw(i, e), Span: p.span(i, e)}, true
	}
	if !ok {
		return nil, false
	}
	told := hasWord(p, i, "rejoin", "reattach", "reconnect") && hasWord(p, k-1, "next", "centre", "center", "middle") || k > i && (p.w(k-1) == "rem" || p.w(k-1) == "held" || p.w(k-1) == "waiting")
	if r, ok := p.words(q, "held|rem|waiting|unworked|front|back|shoulder? st"); ok {
		told = told || p.w(q) == "held" || p.w(q) == "rem" || p.w(q) == "waiting" || p.w(q) == "unworked"
		q = r
	} else {
		return nil, false
	}
	named := p.w(q-1) == "st" && hasWord(p, q-2, "back", "front", "shoulder")
	if _, _, ok := p.find(q, end, "holder", "spare needle", "spare", "pin", "thread", "waste yarn", "scrap yarn", "hold", "other needle", "second needle", "spare yarn", "st holder"); !ok && !told && !named {
		return nil, false
	}
	return &Begin{How: "return", N: n, Text: p.raw(i, end), Span: p.span(i, end)}, true
}

// besideNeck reads "leave centre 26 (28) sts on holder, rejoin yarn and patt to end. 34 (37) sts": the
// second side of a neck, by the number that is stated behind it.
func (p *parser) besideNeck(i int) (*Begin, int, bool) {
	if k, ok := p.words(i, "with rs|ws facing ,?", "with right|wrong side facing ,?", "rs|ws facing ,?"); ok {
		i = k
	}
	stop := p.sentenceEnd(i)
	k, ok := p.words(i, "leave|slip|place|put first|next|centre|middle")
	if !ok {
		return nil, i, false
	}
	_, k, ok = p.num(k)
	if !ok || p.w(k) != "st" {
		return nil, i, false
	}
	if _, _, ok := p.find(k, stop, "rejoin|join yarn|wool"); !ok {
		return nil, i, false
	}
	if _, _, ok := p.find(k, stop, "to end", "to last", "across"); !ok {
		return nil, i, false
	}
	st, e, ok := p.stated(stop)
	if !ok || len(st) == 0 || st[0].Kind != CountAll {
		return nil, i, false
	}
	return &Begin{How: "return", N: st[0].N, Text: p.raw(i, e), Span: p.span(i, e)}, e, true
}

// beginAs reads a piece that begins like another one and goes its own way: "Cast on and work the cuff
// as for the right glove". As many are cast on; the rows told as the other's change no count.
func (r *reader) beginAs(p *parser, i, end int) (*Begin, bool) {
	if _, _, ok := p.find(i, end, "cast|pick on|up and|&? knit|k? the? same number of st", "pu and|&? knit|k? the? same number of st"); !ok { // "pick up same number of sts as for button band"
		if _, ok := p.words(i, "cast on and|, work", "co and|, work", "begin|start and work"); !ok {
			return nil, false
		}
	}
	_, j, ok := p.find(i, end, "as given|worked|written? for|on", "to match", "same as for?")
	if !ok {
		return nil, false
	}
	name := strings.ToLower(strings.TrimPrefix(strings.ToLower(strings.Trim(p.raw(j, end), " .")), "the "))
	for k := len(r.ms.Items) - 1; k >= 0; k-- {
		h, isHead := r.ms.Items[k].(*Heading)
		if !isHead || !strings.HasPrefix(name, strings.ToLower(cutBracket(h.Text))) {
			continue
		}
		for _, it := range r.ms.Items[k:] {
			if b, isBegin := it.(*Begin); isBegin && b.N.Given() {
				r.like, r.likeFrom = h.Text, len(r.ms.Items)
				return &Begin{N: Num{Vals: b.N.Vals, Span: p.span(i, end)}, How: b.How, Round: b.Round, Marked: b.Marked, Markers: b.Markers, Text: p.raw(i, end), Span: p.span(i, end)}, true
			}
		}
	}
	return nil, false
}

// knitsHeld reads "Knit across 9 sts from holder.", with which a thumb begins, as a sentence of its own.
func (p *parser) knitsHeld(i, end int) (*Begin, bool) {
	j, ok := p.words(i, "k|knit|work|rejoin across?")
	if !ok {
		return nil, false
	}
	n, j, ok := p.num(p.skipWords(j, "the", "these"))
	if !ok {
		return nil, false
	}
	if j = p.skipWords(j, "thumb", "held", "finger", "sleeve"); p.w(j) != "st" {
		return nil, false
	}
	k, ok := p.words(j+1, "from|on|off st? holder", "from|on|off waste|scrap|spare yarn|wool|needle", "from|on|off safety? pin", "from|on|off thread")
	if !ok || k < end {
		return nil, false
	}
	return &Begin{N: n, How: "return", Text: p.raw(i, end), Span: p.span(i, end)}, true
}

// rowsOfLike says of rows told by their numbers, in a piece that is begun like another and gives none of its own, that
// they are the other's: "pick up the same number of sts as for the button band. Work rows 1 and 2 once".
func (r *reader) rowsOfLike(rr *RepRows) {
	if r.like == "" || len(rr.Ref.Numbers) == 0 || rr.Ref.Section != "" {
		return
	}
	for _, it := range r.ms.Items[min(r.likeFrom+1, len(r.ms.Items)):] {
		switch it := it.(type) {
		case *Row:
			if len(it.Head.Numbers) > 0 {
				return
			}
		case *Begin, *Heading:
			return
		}
	}
	rr.Ref.Section = r.like
}

// cutBracket is a name without what its bracket says: "Right glove (make 1)".
func cutBracket(s string) string {
	if k := strings.IndexByte(s, '('); k > 0 {
		s = s[:k]
	}
	return strings.Trim(s, " :.–—-")
}

// unpicked reads what comes onto the needles when waste yarn is taken out: "Remove the waste yarn, placing 30 sts from below
// and 30 sts from above onto the needles. 60 sts".
func (p *parser) unpicked(i, end int) (*Begin, int, bool) {
	j, ok := p.words(i, "remove|unpick|carefully? waste|scrap|contrasting|contrast|spare yarn|wool", "carefully remove|unpick|take|pull out? the? waste|scrap|contrasting|contrast|spare yarn|wool", "take|pull out waste|scrap|contrasting|contrast|spare yarn|wool")
	if !ok {
		return nil, i, false
	}
	if _, _, knits := p.find(j, end, "knit|k these|those|them", "pick up"); knits {
		return nil, i, false
	}
	sum, parts := Num{}, 0
	for k := j; k < end; k++ {
		n, q, ok := p.num(k)
		if q = p.skipWords(q, "extra"); !ok || p.w(q) != "st" {
			continue
		}
		if _, each := p.words(q+1, "at|on|from each side|end|edge|corner"); each {
			n = mulNum(n, N(2))
		}
		sum, parts, k = addGiven(sum, n), parts+1, q
	}
	if parts < 2 {
		return nil, i, false
	}
	b := &Begin{How: "pick up", N: sum, Text: p.raw(i, end), Span: p.span(i, end)}
	next := end
	if st, q, ok := p.stated(end); ok && st[0].Kind == CountAll {
		if !equalInts(st[0].N.Vals, sum.Vals) { // the proof tells that they differ
			b.Sum, b.Addends = sum, parts
		}
		b.N, b.Stated, next = st[0].N, st, q
	}
	return b, next, true
}

// pickedBeside takes the stitches of a thumb that were laid free for no beginning of their own where others are picked
// up beside them and counted with them: "Pick up 1 extra st at each end – 14 sts".
func (r *reader) pickedBeside(b *Begin) {
	if b.How == "return" || !b.N.Given() {
		return
	}
	for k := len(r.ms.Items) - 1; k >= 0; k-- {
		switch above := r.ms.Items[k].(type) {
		case *Blank:
			continue
		case *Begin:
			if reUnpicked.MatchString(above.Text) && len(above.Stated) == 0 && !above.Sum.Given() {
				r.ms.Items[k] = &Prose{Text: above.Text, Span: above.Span}
			}
		}
		return
	}
}

// reUnpicked is how such a sentence begins.
var reUnpicked = regexp.MustCompile(`(?i)^(?:carefully )?(?:remove|unpick|take|pull)\b`)
