package notation

// This file reads steps that old leaflets and careful writers tell in words where others
// have an abbreviation.

// inWords reads such a step at i and appends it.
func (p *parser) inWords(b *bodyState, i int) (int, bool) {
	for _, f := range [...]func(*bodyState, int) (int, bool){p.passedOver, p.crossedTwist, p.offCableNeedle, p.sameAgain, p.frontsAndBacks, p.woolMoved, p.allPurl, p.atMarkers, p.wrapThese, p.intoDoubles, p.oversTwisted, p.knitAgain} {
		if j, ok := f(b, i); ok {
			return j, true
		}
	}
	return i, false
}

// passedOver reads "pass 2nd, 3rd and 4th sts over first st", "pass the first of these 3 sts
// over the other 2 and off the needle", "lift the third st on right needle over the first two",
// "pass yo over the 2 knit sts".
func (p *parser) passedOver(b *bodyState, i int) (int, bool) {
	j, ok := p.words(i, "pass|lift|draw|pull|slip|sl|take|bring")
	if !ok {
		return i, false
	}
	for p.w(j) == "the" {
		j++
	}
	n := 0
	for p.at(j).Kind == Ordinal && j < len(p.toks) {
		n++
		for j++; p.w(j) == "," || p.w(j) == "and" || p.w(j) == "&" || p.w(j) == "the"; j++ {
		}
	}
	switch k, ok := p.words(j, "of those|these|last|next? # st", "of those|these|last"); {
	case n > 0 && ok:
		j = k
		if _, q, num := p.num(j); num {
			j = q
		}
	case n == 0:
		if k, ok := p.words(j, "slipped|sl st"); ok && p.at(k-1).Text != "sts" && p.at(k-1).Text != "stitches" {
			n, j = 1, k-1
		} else if k, ok := p.words(j, "yo|yfwd|yrn|yon|yf|yfrn", "yarn over|forward"); ok { // "yo, k2, pass yo over both"
			n, j = 1, k
		} else {
			return i, false
		}
	}
	if p.w(j) == "st" {
		j++
	}
	if k, ok := p.words(j, "on right needle", "on rh needle", "on right - hand needle", "on right-hand needle", "on needle", "one at a time", "one by one"); ok {
		j = k
	}
	if p.w(j) != "over" {
		return i, false
	}
	k := j + 1
	var often Num
	over := 0
	for k < len(p.toks) {
		if t, q, ok := p.times(k); ok && k > j+1 { // "- (1) times" begins with a dash
			often, over = t.N, q
			break
		}
		if hasWord(p, k, ",", ";", ".", "(", "[", ")", "]", "*", "and", "then") || isDash(p.w(k)) && !p.at(k).Glued {
			break
		}
		if _, _, ok := p.target(k); ok && hasWord(p, k, "to", "until", "till") && k > j+1 { // "pass 2nd st over first to last st"
			break
		}
		k++
	}
	if k == j+1 {
		return i, false
	}
	if q, ok := p.words(k, "and|, off needle|it?", "and drop it off", "and off needle?"); ok {
		k = q
	}
	key := "pso"
	if n == 1 && (p.w(i+1) == "slipped" || p.w(i+2) == "slipped" || p.w(i+1) == "sl" || p.w(i+2) == "sl") {
		key = "psso"
	}
	if over > 0 {
		k = over
	}
	d := &Do{Key: key, Times: often, Span: p.span(i, k)}
	if n > 1 {
		d.Times = mulNum(often, N(n))
	}
	if t, q, ok := p.target(k); ok && hasWord(p, k, "to", "until", "till") {
		return p.until(b, d, t, false, i, q)
	}
	b.ops = append(b.ops, d)
	return k, true
}

// crossedTwist reads "k the second st on left needle, then k first st and slip both off
// together": two stitches that cross.
func (p *parser) crossedTwist(b *bodyState, i int) (int, bool) {
	j, ok := p.words(i, "k|p|knit|purl into? front|back? of? 2nd|second st")
	if !ok {
		return i, false
	}
	first, key := false, "rt"
	for k := j; k < len(p.toks) && k < j+40; k++ {
		switch w := p.w(k); {
		case w == "." && !p.at(k).Glued || w == "*" || w == "]" || w == ")":
			return i, false
		case w == "behind" || w == "back":
			if k < j+8 {
				key = "lt"
			}
		case p.at(k).Kind == Ordinal && p.at(k).Val == 1:
			first = true
		}
		q, ok := p.words(k, "slip|sl|slipping|drop|take|let both|two|2|these|them st? off|from", "slip|sl|drop both|the two|2 st? off|from")
		if !ok || !first {
			continue
		}
		q = p.skipWords(q, "left", "lh", "needle", "together", "tog", "at", "same", "time", "off", "hand", "-")
		b.ops = append(b.ops, &Do{Key: key, Span: p.span(i, q)})
		return q, true
	}
	return i, false
}

// offCableNeedle reads "slip the purl st from cn back to left needle and p1": worked off the
// cable needle, before the others on it.
func (p *parser) offCableNeedle(b *bodyState, i int) (int, bool) {
	j, ok := p.words(i, "return|slip|sl|put|place|move|transfer last|first|purl|knit|centre|middle|left-most|other?")
	if !ok {
		return i, false
	}
	n, k, ok := p.num(j)
	if ok {
		j = k
	} else {
		n = N(1)
	}
	j = p.skipWords(j, "purl", "knit", "p", "k")
	if p.w(j) != "st" {
		return i, false
	}
	j, ok = p.words(j+1, "from|off cn back? to|onto left|lh needle", "from|off cable needle back? to|onto left|lh needle", "on cn back? to|onto left|lh needle", "from|off cn back? to|onto left hand|- needle", "from|off cable needle back? to|onto left hand needle")
	if !ok {
		return i, false
	}
	j = p.skipWords(j, "and", ",", "then")
	key := map[string]string{"k": "k", "knit": "k", "p": "p", "purl": "p"}[p.w(j)]
	if key == "" {
		return i, false
	}
	j++
	if k, ok := p.words(j, "it|them|this st?"); ok {
		j = k
	} else if _, k, ok := p.num(j); ok {
		j = k
	}
	b.ops = append(b.ops, &Do{Key: key, Times: n, From: "cn", Span: p.span(i, j)})
	return j, true
}

// sameAgain reads "p3tog leaving sts on left needle, yo, purl same 3 sts tog again": several
// stitches out of the same ones.
func (p *parser) sameAgain(b *bodyState, i int) (int, bool) {
	left, ok := p.words(i, "but? leave|leaving these|those|them|st|it on left? needle", "but? leave|leaving these|those|them|st|it on lh|left hand? needle", "but? do not slip|drop|let|take them|st|it? from|off left? needle", "without slipping|dropping them|st|it off left|lh? needle", "and leave them|st on left|lh? needle", "but? leave|leaving on left|lh needle")
	if !ok || len(b.ops) == 0 {
		return i, false
	}
	d, ok := b.ops[len(b.ops)-1].(*Do)
	if !ok {
		return i, false
	}
	s := p.vocab.Stitch(d.Key)
	if s == nil {
		return i, false
	}
	in, _ := s.Counts(d.Params)
	q := *p
	q.quiet = true
	rest := bodyState{closer: b.closer}
	for k := left; k < len(p.toks) && k < left+40; {
		switch p.w(k) {
		case ",", "and", "then", "the":
			k++
			continue
		}
		again, m := p.sameSts(k)
		if m > k {
			n := in
			rest.ops = append(rest.ops, &Do{Key: again, Params: pickParams(n, d.Params), Span: p.span(k, m)})
			if m2, ok := p.words(m, ", and? slip|sl|drop all|them|st|both? off left? needle?", "and slip|drop all|them|st? off left? needle?"); ok {
				m = m2
			}
			body := append([]Op{&Do{Key: d.Key, Params: d.Params, Span: d.Span}}, rest.ops...)
			b.ops[len(b.ops)-1] = &Into{Body: body, Sts: N(in), Span: d.Span.Cover(p.span(left, m))}
			return m, true
		}
		e, ok := q.op(&rest, k)
		if !ok || e <= k {
			return i, false
		}
		k = e
	}
	return i, false
}

// knitAgain reads "…, slip these 9 sts back to the left needle and knit them again with MC": a
// thread knitted in, to be taken out for a thumb.
func (p *parser) knitAgain(b *bodyState, i int) (int, bool) {
	j := p.skipWords(i, "and", "then")
	if !hasWord(p, j, "k", "knit") || len(b.ops) == 0 {
		return i, false
	}
	back, ok := b.ops[len(b.ops)-1].(*Return)
	if !ok || !back.N.Given() {
		return i, false
	}
	k, ok := p.words(j+1, "them|those|these|same|over them|these|same? st? again", "across them|these|same|st again?", "them|those|these|it")
	if n, q, isNum := p.num(p.skipWords(j+1, "same", "these", "those", "the", "them", "across")); isNum && p.w(q) == "st" && equalInts(n.Vals, back.N.Vals) {
		k, ok = q+1, true
	}
	if !ok {
		return i, false
	}
	k = p.skipWords(k, "again", "st", "once", "more")
	if y, e, ok := p.stitchYarn(k); ok {
		b.ops = append(b.ops, &UseYarn{Yarn: y, Span: p.span(k, e)})
		k = e
	} else if e, ok := p.words(k, "with|in|using working|main|sock|mitten|glove|original|first|same yarn|wool", "with|in|using yarn|wool"); ok {
		k = e
	}
	b.ops = append(b.ops, &Do{Key: "k", Times: Num{Vals: append([]int(nil), back.N.Vals...)}, Span: p.span(i, k)})
	return k, true
}

// sameSts reads "purl same 3 sts together again", "k the same 2 sts tog", "p3tog again".
func (p *parser) sameSts(i int) (string, int) {
	verb := p.w(i)
	if verb != "k" && verb != "p" && verb != "knit" && verb != "purl" {
		return "", i
	}
	j := i + 1
	tog := false
	if n, k, ok := p.num(j); ok && n.Single() && p.w(k) == "tog" {
		j, tog = k+1, true
		if k, ok := p.words(j, "again", "in the? same st", "same st"); ok {
			return verb[:1] + "tog", k
		}
		return "", i
	}
	k, ok := p.words(j, "same|these|them|into|those", "the same|these")
	if !ok {
		return "", i
	}
	k = p.skipWords(k, "same", "these", "into")
	if _, q, num := p.num(k); num {
		k = q
	}
	if p.w(k) == "st" {
		k++
	}
	if p.w(k) == "tog" || p.w(k) == "together" {
		k, tog = k+1, true
	}
	if p.w(k) == "again" {
		k++
	}
	if !tog {
		return "", i
	}
	return verb[:1] + "tog", k
}

func pickParams(n int, params []int) []int {
	if len(params) > 0 {
		return params
	}
	return []int{n}
}

// frontsAndBacks reads "knit into front, back, front, back of next st": so many stitches
// out of one.
func (p *parser) frontsAndBacks(b *bodyState, i int) (int, bool) {
	j, ok := p.words(i, "k|p|knit|purl into|in|through")
	if !ok {
		return i, false
	}
	n := 0
	for {
		j = p.skipWords(j, "the", "and", ",", "then", "again", "into", "in")
		if p.w(j) != "front" && p.w(j) != "back" {
			break
		}
		n++
		j++
	}
	if n < 4 {
		return i, false // two and three have names of their own
	}
	k, ok := p.words(j, "of next|same|first|1st|last|this? st", "of st", "loop of next st")
	if !ok {
		return i, false
	}
	key := p.w(i)[:1]
	var body []Op
	for v := range n {
		d := &Do{Key: key, Span: p.span(i, k)}
		if v%2 == 1 {
			d.Key += "tbl"
		}
		body = append(body, d)
	}
	b.ops = append(b.ops, &Into{Body: body, Sts: N(1), Span: p.span(i, k)})
	return k, true
}

// backFromCable reads "slip the purl stitch back to left needle and purl it" within a crossing: that one is worked, and
// comes from the cable needle.
func (p *parser) backFromCable(b *bodyState, i int) (int, bool) {
	j, ok := p.words(i, "slip|sl|put|place purl|knit|centre|middle|last|end st back to|onto|on left|lh needle", "slip|sl|put|place purl|knit|centre|middle|last|end st from cable needle|cn? back to|onto|on left|lh needle")
	if !ok || !onCable(b.ops) {
		return i, false
	}
	j = p.skipWords(j, ",", "and", "then")
	if !hasWord(p, j, "k", "knit", "p", "purl") || p.w(j+1) != "it" {
		return i, false
	}
	b.ops = append(b.ops, &Do{Key: p.w(j)[:1], Times: N(1), From: "cn", Span: p.span(i, j+2)})
	return j + 2, true
}

// woolMoved reads "bring wool to front of work", "take yarn to back", which work nothing.
func (p *parser) woolMoved(b *bodyState, i int) (int, bool) {
	if _, _, ok := p.stitch(i); ok {
		return i, false
	}
	j, ok := p.words(i, "bring|take|move|put|carry|pass wool|yarn|thread|cotton forward? to|between front|back|needle of? work?", "wool|yarn|w|thread to front|back of work", "w . ? fwd . ? to front of work", "wool|yarn fwd|forward|back to front|back of work")
	if !ok || p.w(j) == "and" && p.w(j+1) == "over" || p.w(j) == "over" || p.w(j) == "and" && p.w(j+1) == "round" {
		return i, false
	}
	b.ops = append(b.ops, &Remark{Text: p.raw(i, j), Span: p.span(i, j)})
	return j, true
}

// wrapThese reads "wrap these 3 sts twice", which changes no count.
func (p *parser) wrapThese(b *bodyState, i int) (int, bool) {
	j, ok := p.words(i, "wrap|wind|tie these|those|last|the")
	if !ok || len(b.ops) == 0 {
		return i, false
	}
	_, k, ok := p.num(j)
	if !ok || p.w(k) != "st" {
		return i, false
	}
	k++
	if _, q, ok := p.times(k); ok {
		k = q
	}
	if c := openers[p.w(k)]; c != "" {
		if q := p.closerOf(k); q > k {
			k = q + 1
		}
	}
	b.ops = append(b.ops, &Remark{Text: p.raw(i, k), Span: p.span(i, k)})
	return k, true
}

// intoDoubles reads "working (k1, p1) into each double yo" behind a row that is purled or knit: two
// stitches out of the two loops, as many as are there.
func (p *parser) intoDoubles(b *bodyState, i int) (int, bool) {
	j := p.skipWords(i, "but", "and", "working", "work", "with")
	if j == i {
		return i, false
	}
	at := p.span(i, j)
	_, wide := b.wholeRowOf(at)
	if wide == nil {
		return i, false
	}
	k := p.skipWords(j, "(", "[", "k", "p", "knit", "purl", "1", ",", "and", "then", ")", "]")
	k, ok := p.words(k, "in|into each|every|all? double yo", "in|into each|every yo twice", "in|into each|every|all? double loop", "in|into each|every big yo", "in|into each|every yo 2")
	if !ok {
		return i, false
	}
	n := 0
	for q := j; q < k; q++ {
		if hasWord(p, q, "k", "p", "knit", "purl") {
			n++
		}
	}
	if n != 2 {
		return i, false
	}
	k = p.skipWords(k, "of", "previous", "row", "last")
	wide.To = Target{Kind: ToEnd}
	b.ops[len(b.ops)-1] = wide
	b.ops = append(b.ops, &Remark{Text: p.raw(i, k), Span: p.span(i, k)})
	return k, true
}

// oversTwisted reads "work the yo through the back of the loop" behind a row, which says how its
// yarn overs are worked and adds none.
func (p *parser) oversTwisted(b *bodyState, i int) (int, bool) {
	if !wholeRow(b.ops) {
		return i, false
	}
	j, ok := p.words(i, "work|working|knit|knitting|purl|purling|k|p all|each|every? yo", "work|working|knit|knitting|purl|purling all|the? yarn over")
	if !ok {
		return i, false
	}
	k, ok := p.words(j, "through back of? loop", "through back", "tbl", "twisted", "into the? back", "as st", "from back")
	if !ok {
		return i, false
	}
	for k < len(p.toks) && !hasWord(p, k, ".", ",", ";", "(", "=", "–") {
		k++
	}
	b.ops = append(b.ops, &Remark{Text: p.raw(i, k), Span: p.span(i, k)})
	return k, true
}
