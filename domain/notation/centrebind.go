package notation

import "strings"

// This file reads sentences that bind off for a neck or an armhole without giving the row: "Now cast off the middle 30
// sts and finish each side separately", "Cast off for the neck at the beginning of the next row: 8 sts".

// bindsCentre reads the first: the row, and that one side waits where it says so.
func (p *parser) bindsCentre(i, end int) (*Row, *HoldAll, int, bool) {
	start := i
	j, ok := p.words(p.skipWords(i, "now", "then", "next", ","), "bind|cast off", "bo")
	if !ok {
		return nil, nil, start, false
	}
	binds := j
	if j, ok = p.words(j, "centre|middle|central"); !ok {
		return nil, nil, start, false
	}
	n, j, ok := p.num(j)
	if !ok || p.w(j) != "st" {
		return nil, nil, start, false
	}
	j++
	if k, ok := p.words(j, "for the? back|front? neck|neckline", "for v neck"); ok {
		j = k
	}
	bound := j
	side := false
	k := p.skipWords(j, ",", ";", "and", "then")
	if q, ok := p.words(k, "finish|work|working|complete|continue|cont|finishing|completing each side|shoulder|half separately", "finish|work|complete|continue|cont each|both side|shoulder|sides|shoulders|halves on its|their own", "finish|work|complete the? two|both|2 sides|shoulders separately", "finish|work|complete one|each side|shoulder at a time"); ok {
		j, side = q, true
	}
	sideEnd := j
	st, j, ok := p.statedToEnd(j, end)
	if !ok {
		return nil, nil, start, false
	}
	for x := range st {
		if st[x].Kind == CountAll && side {
			st[x].Kind = CountSide
		}
	}
	half := Num{Span: n.Span}
	for _, v := range n.Vals {
		half.Vals = append(half.Vals, max(0, v)/2)
	}
	at := p.span(binds, bound)
	knit := func() []Op { return []Op{&Do{Key: "patt", Times: N(1), Span: at}} }
	row := &Row{Head: Head{Words: p.headless(start, bound)}, Stated: st, Span: p.span(start, j), Body: []Op{
		&Until{Body: knit(), To: Target{Kind: TargetCentre, N: half, Span: at}, Span: at},
		&BindOff{N: n, Span: at},
		&Until{Body: knit(), To: Target{Kind: ToEnd, Span: at}, Span: at},
	}}
	if !side {
		return row, nil, j, true
	}
	row.Span = p.span(start, bound)
	return row, &HoldAll{Side: true, Words: strings.TrimSpace(p.raw(k, sideEnd)), Span: p.span(k, sideEnd)}, j, true
}

// bindsNext reads "Bind off the next 8 sts (4 sts on each side of the marker). 48 sts.": some of them, in a sentence that
// does not work the rest of the row; the count behind it says so.
func (p *parser) bindsNext(i, end int) (*Shape, int, bool) {
	j, ok := p.words(p.skipWords(i, "now", "then", ","), "bind|cast off next|following", "bo next|following")
	if !ok {
		return nil, i, false
	}
	n, j, ok := p.num(j)
	if !ok || p.w(j) != "st" {
		return nil, i, false
	}
	if k := p.closerOf(j + 1); openers[p.w(j+1)] != "" && k > j+1 {
		j = k
	}
	if j+1 < end {
		return nil, i, false
	}
	st, k, ok := p.stated(end)
	if !ok || st[0].Kind != CountAll {
		return nil, i, false
	}
	return &Shape{Do: "bind", N: n, At: "beg", Places: 1, When: When{Next: 1}, Stated: st, Words: p.raw(i, end), Span: p.span(i, k)}, k, true
}

// bindsFor reads the second, as the shaping that has the number first.
func (p *parser) bindsFor(i, end int) (*Shape, int, bool) {
	j := p.skipWords(i, "now", "then", "next", ",")
	k, ok := p.words(j, "bind|cast off for the? neck|armhole|armholes|shoulder|shoulders|underarm", "bo for the? neck|armhole|armholes|shoulder|shoulders|underarm")
	if !ok || !hasWord(p, k, "at", "on", "in") {
		return nil, i, false
	}
	colon := -1
	for q := k; q < end && colon < 0; q++ {
		if p.w(q) == ":" {
			colon = q
		}
	}
	if colon < 0 {
		return nil, i, false
	}
	_, last, ok := p.num(colon + 1)
	if !ok || p.w(last) != "st" {
		return nil, i, false
	}
	verb := 1
	if p.w(j) != "bo" {
		verb = 2
	}
	q := *p
	q.toks = append([]Token(nil), p.toks[j:j+verb]...)
	q.toks = append(q.toks, p.toks[colon+1:last+1]...)
	q.toks = append(q.toks, p.toks[k:colon]...)
	s, e, ok := q.shape(0)
	if !ok || e < len(q.toks) {
		return nil, i, false
	}
	st, next, ok := p.statedToEnd(last+1, end)
	if !ok {
		return nil, i, false
	}
	s.Stated, s.Words, s.Span = st, p.raw(i, next), p.span(i, next)
	return s, next, true
}

// bindsAtRows reads "At beg of RS rows, BO 7 (7, 8) sts twice, then BO 6 (8, 8) sts once": one shaping for each number.
func (p *parser) bindsAtRows(i, end int) ([]*Shape, int, bool) {
	start := i
	i, ok := p.words(i, "at|on beg of rs|ws row ,?", "at beg of every|each rs|ws row ,?")
	if !ok {
		return nil, start, false
	}
	side := "RS"
	for k := start; k < i; k++ {
		if p.w(k) == "ws" {
			side = "WS"
		}
	}
	var out []*Shape
	from, lastFrom := start, start // where the words of the next one begin, and those of the last
	for i < end {
		k, ok := p.words(p.skipWords(i, ",", "then", "and"), "bo", "bind|cast off")
		if !ok && len(out) == 0 {
			return nil, start, false
		} else if !ok {
			k = p.skipWords(i, ",", "then", "and")
		}
		n, q, ok := p.num(k)
		if !ok || p.w(q) != "st" && len(out) == 0 {
			break
		}
		if p.w(q) == "st" {
			q++
		}
		often, q, ok := p.timesOrOnce(q)
		if !ok && p.w(q) == "once" {
			often, q, ok = Target{N: N(1)}, q+1, true
		}
		if !ok || often.Kind == TimesMore {
			break
		}
		when := When{Every: 2, Side: side, Times: often.N}
		if len(out) == 0 { // the first of them is the row that is due
			when = When{Next: 1}
			if !often.N.Single() || often.N.For(0) != 1 {
				when = When{Next: 1, First: true, Every: 2, Side: side, Times: addNum(often.N, -1), More: true}
			}
		}
		out = append(out, &Shape{Do: "bind", N: n, At: "beg", Places: 1, When: when, Words: p.raw(from, q), Span: p.span(from, q)})
		i, from, lastFrom = q, q, from
	}
	if len(out) == 0 {
		return nil, start, false
	}
	if k, ok := p.words(p.skipWords(i, "–", "-", "(", ","), "no st rem"); ok && k <= end {
		i = p.skipWords(k, ")")
	}
	st, next, ok := p.statedToEnd(i, end)
	if !ok {
		return nil, start, false
	}
	last := out[len(out)-1]
	last.Stated, last.Words, last.Span = st, p.raw(lastFrom, next), p.span(lastFrom, next)
	return out, next, true
}

// centreStitches reads "these 20 sts", "these sts", "them" at j, behind "work to centre 20 sts," in front of the verb at i.
func (p *parser) centreStitches(b *bodyState, i, j int) (Num, int, bool) {
	to, ok := lastOp(b).(*Until)
	if !ok || to.To.Kind != TargetCentre {
		return Num{}, i, false
	}
	if n, k, ok := p.num(j + 1); ok && p.w(k) == "st" {
		return n, k + 1, true
	}
	k := j + 1
	if p.w(j) != "them" {
		if p.w(k) != "st" {
			return Num{}, i, false
		}
		k++
	}
	for q := i - 1; q > max(0, i-12); q-- {
		if n, e, ok := p.num(q); ok && p.w(e) == "st" && p.at(q-1).Kind != Number {
			return n, k, true
		}
	}
	return Num{}, i, false
}
