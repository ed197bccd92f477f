package notation

import "strings"

// This file reads the instructions of a line, sentence by sentence.

// sentences reads the instructions of one line from i on.
func (r *reader) sentences(p *parser, i, line int) {
	ms := r.ms
	add := func(it Item) { ms.Items = append(ms.Items, it) }
	var only []int
	for guard := 0; i < len(p.toks) && guard < maxToks; guard++ {
		switch p.w(i) {
		case ".", ",", ";", "–", "-", "•", "!", "then", "…", ":":
			if p.w(i) != "then" {
				i++
				continue
			}
		}
		if j, ok := p.words(i, "rejoin yarn to rem? st?", "join yarn", "rejoin yarn", "rejoin wool", "join wool", "with rs|ws facing", "with right|wrong side facing", "using larger|smaller needle"); ok && p.w(j) == "," || ok && p.w(j) == "and" {
			q := *p
			q.quiet = true
			if _, _, isB := q.begin(i); !isB {
				i = j + 1
				continue
			}
		}
		if j, ok := p.words(i, "cast on ,? and|then", "cast on ,", "co and|then", "co ,"); ok { // "Cast on and knit one row": how many, the multiple tells
			q := *p
			q.quiet = true
			_, _, as := q.find(j, q.sentenceEnd(j), "as given|worked|for|on")
			if s, _, ok := q.straight(j); ok && s.Rows.Given() && !as {
				i = j
				continue
			}
		}
		if k, ok := p.words(i, "on|in next|following row|rnd ,?"); ok && hasWord(p, k, "inc", "dec", "increase", "decrease") { // "On next row inc 12 sts evenly"
			if _, q, ok := p.num(p.overPoint(k + 1)); ok && p.w(q) == "st" && hasWord(p, q+1, "evenly", "across", "over") {
				i = k
				continue
			}
		}
		if k, ok := p.words(i, "k|knit|p|purl|work next|following row|rnd"); ok && r.begun { // "Knit next row, increasing 12 sts evenly"
			k = p.skipWords(k, "in", "patt", "as", "set", ",", "and")
			if p.at(k-1).Text == "," || p.w(k-1) == "and" {
				if hasWord(p, k, "inc", "dec", "increase", "decrease", "increasing", "decreasing") {
					if row, j, ok := p.renamed(i+1, "across").strictRow(i); ok {
						row.Only = only
						r.addRow(row, p)
						i = r.again(p, j)
						continue
					}
				}
			}
		}
		if isMark(p.w(i)) && (i+1 >= len(p.toks) || p.w(i+1) == "rep" || p.w(i+1) == ".") {
			i++
			continue
		}
		if isMark(p.w(i)) && p.sentenceBehind(i+1) {
			add(&RowStar{Mark: p.w(i), Span: p.span(i, i+1)})
			i++
			continue
		}
		if end := p.sentenceEnd(i); r.legendOfTriples(p, i, end) {
			add(&Prose{Text: strings.TrimSpace(p.raw(i, end)), Span: p.span(i, end)})
			i = max(end, i+1)
			continue
		}
		if j, ok := p.words(i, "work|make|knit a|an|the? i - cord|cord as follows|thus? :", "work|make|knit a|an|the? icord|cord as follows|thus? :"); ok && isMark(p.w(j)) {
			i = j
			continue
		}
		if its, j, ok := p.cord(i); ok && r.begun {
			for _, it := range its {
				add(it)
			}
			r.rows = true
			i = j
			continue
		}
		if rr, j, ok := p.repStar(i); ok {
			rr.Only = only
			add(rr)
			i = j
			continue
		}
		if fs, j, ok := p.onlySizes(i, ms.Sizes); ok {
			if j >= len(p.toks) {
				add(fs)
				return
			}
			only, p.only = fs.Only, fs.Only
			if fs.Only == nil {
				add(fs)
			}
			i = j
			continue
		}
		if h, j, ok := p.head(i); ok {
			if len(h.Numbers) == 0 && !h.Every.On() && h.Next == 0 { // "Foundation rows: beg with a k row, work 4 rows in st st"
				if s, k, ok := p.straight(j); ok && s.Rows.Given() {
					s.Only, s.Words = only, h.Words
					add(s)
					r.begun = true
					i = k
					continue
				}
			}
			i = r.row(p, h, i, j, only)
			continue
		}
		end := p.sentenceEnd(i)
		if l, ok := p.laid(i, end); ok && r.begun {
			add(&Prose{Text: p.bracketed(strings.TrimSpace(p.raw(i, end))), Lay: l, Span: p.span(i, end)})
			i = end
			continue
		}
		if row, j, ok := p.pickUpRow(i, end); ok && (r.rows && !r.emptied() && !r.atFinger() || r.begun && r.inFoot()) {
			row.Only = only
			r.addRow(row, p)
			i = r.again(p, j)
			continue
		}
		if b, ok := r.beginAs(p, i, end); ok && r.begun {
			add(b)
			r.rows = false
			i = end
			continue
		}
		if row, j, ok := p.castOnRow(i, end); ok && r.rows && !r.emptied() && !r.atFinger() {
			if above, isRow := lastItem(ms.Items).(*Row); isRow && onlyCastOn(row.Body) && len(above.Body) > 0 {
				above.Body, above.Span = append(above.Body, row.Body...), above.Span.Cover(row.Span)
				if len(row.Stated) > 0 {
					above.Stated = row.Stated
				}
				i = j
				continue
			}
			row.Only = only
			r.addRow(row, p)
			i = r.again(p, j)
			continue
		}
		if b, j, ok := p.begin(i); ok && (b.N.Given() || b.How == "return") {
			if m, k, isM := p.multiple(i, end); isM {
				add(m)
				if b.N.Col >= m.Col || !b.N.Given() { // "Cast on a multiple of 6 sts plus 5"
					i = max(k, end)
					continue
				}
			}
			if b.How != "return" || r.begun {
				if !r.otherSizes(b, only) {
					add(b)
				}
				r.begun, r.rows = true, false
				i = j
				continue
			}
		}
		if m, j, ok := p.multiple(i, end); ok {
			add(m)
			i = max(j, end)
			continue
		}
		if rr, s, j, ok := p.repRowsShaped(i, end); ok {
			rr.Only, s.Only = only, only
			add(rr)
			add(s)
			i = j
			continue
		}
		if j, ok := r.inBackRows(p, i, only); ok {
			i = j
			continue
		}
		if s, j, ok := r.changingRepeat(p, i, end); ok {
			s.Only = only
			add(s)
			i = j
			continue
		}
		if j, ok := r.repAhead(p, i); ok {
			add(&Prose{Text: strings.TrimSpace(p.raw(i, j)), Span: p.span(i, j)})
			i = j
			continue
		}
		if rr, j, ok := r.firstOfThem(p, i); ok {
			rr.Only = only
			add(rr)
			i = j
			continue
		}
		if k := p.fabricLead(i, end); k > i {
			q := *p
			q.quiet = true
			if named, _, ok := q.repRows(k); ok && len(named.Ref.Numbers) == 0 {
				rr, j, _ := p.repRows(k)
				rr.Only = only
				add(rr)
				i = j
				continue
			}
		}
		if k, ok := p.words(i, "pm|place m for bor and|,", "pm|place m for beg of rnd and|,"); ok { // "Pm for BOR and work even in St st until …"
			i = k
			continue
		}
		if rr, j, ok := r.patternNamed(p, i, end); ok {
			rr.Only = only
			add(rr)
			i = j
			continue
		}
		if rr, j, ok := r.sectionAgain(p, i, end); ok {
			rr.Only = only
			add(rr)
			i = j
			continue
		}
		if rr, j, ok := p.repRows(i); ok {
			if above, shaping := lastWorked(ms.Items).(*Shape); shaping && above.Do == "towards" && rr.Until.Sts.Given() && unnamedShaping(rr) && !r.givesHead(rr.Ref.Words) { // "Now work a decrease rnd every rnd until 8 sts remain", of no head
				add(&Shape{Do: "towards", Until: rr.Until.Sts, Words: p.raw(i, j), Only: only, Stated: rr.Stated, Span: rr.Span})
				i = j
				continue
			}
			rr.Only = only
			add(rr)
			i = j
			continue
		}
		if a, j, ok := r.asPiece(p, i, end); ok {
			add(a)
			i = j
			continue
		}
		if b, j, ok := p.closes(i); ok {
			add(b)
			i = j
			continue
		}
		if its, j, ok := p.shapedTogether(i); ok && (r.begun || r.castOn < 0) {
			for _, it := range its {
				switch it := it.(type) {
				case *Straight:
					it.Only = only
				case *RepRows:
					it.Only = only
				case *Shape:
					it.Only = only
				}
				add(it)
			}
			r.begun = true
			i = j
			continue
		}
		if row, j, ok := p.toldRow(i, end); ok && r.begun {
			row.Only = only
			r.addRow(row, p)
			i = r.again(p, j)
			continue
		}
		if ss, j, ok := p.edgeBinds(i, end); ok && r.begun {
			for _, s := range ss {
				s.Only = only
				add(s)
			}
			i = j
			continue
		}
		if s, j, ok := p.shapeAtLength(i, end); ok && r.begun {
			s.Only = only
			add(s)
			i = j
			continue
		}
		if s, j, ok := p.shape(i); ok {
			s.Only = only
			add(s)
			i = j
			continue
		}
		if s, j, ok := p.straight(i); ok {
			s.Only = only
			if rr := r.ofEveryRow(s, p, i, j); rr != nil {
				add(rr)
			} else {
				add(s)
			}
			r.begun = true
			i = j
			continue
		}
		if j, ok := p.words(i, "join to|in|and|into|for", "join ,", "join rnd", "join", "place m and join", "pm and join", "pm , join", "being careful", "divide st", "place m for bor"); ok {
			if _, _, round := p.find(i, end, "rnd", "circle", "ring"); round || p.w(i) == "join" {
				if round {
					add(&JoinRound{Span: p.span(i, end)})
				} else {
					add(&Prose{Text: p.raw(i, end), Span: p.span(i, end)})
				}
				i = max(end, j)
				continue
			}
		}
		if m, j, ok := p.markersTold(i, end); ok && r.begun {
			add(m)
			i = j
			continue
		}
		if h, j, ok := p.oneSide(i, end); ok && r.begun {
			add(h)
			i = j
			continue
		}
		if h, j, ok := r.sideFirst(p, i, end); ok && r.begun {
			add(h)
			i = j
			continue
		}
		if h, j, ok := p.keepOn(i, end); ok && r.begun {
			add(h)
			i = j
			continue
		}
		if h, j, ok := p.waiting(i, end); ok {
			add(h)
			i = j
			continue
		}
		if h, ok := p.othersHeld(i, end); ok && r.begun {
			add(h)
			i = end
			continue
		}
		if h, ok := r.heelOver(p, i, end, line); ok && r.begun {
			add(h)
			i = end
			continue
		}
		if p.onTwoNeedles(i, end) {
			add(&Prose{Text: p.raw(i, end), Span: p.span(i, end)})
			i = end
			continue
		}
		var hold bodyState
		at := i
		if _, more := lastItem(ms.Items).(*HoldAll); more && p.w(i) == "and" {
			at = p.skipWords(i, "and", "the")
			hold.ops = []Op{&Hold{}} // ", and the centre 16 sts onto a second holder"
		}
		if o, j, ok := p.holder(&hold, at); ok {
			if h, isHold := o.(*Hold); isHold {
				_, _, rem := p.find(i, j, "rem")
				hold := &HoldAll{N: h.N, Rem: rem && h.N.Given(), Words: p.raw(i, j), Span: p.span(i, j)}
				if _, _, ok := p.find(i, j, "other", "rem"); ok && !h.N.Given() {
					hold.Keep = p.over
				}
				if h.All && h.N.Given() { // all but so many
					hold.N, hold.Rem, hold.Keep = Num{}, false, h.N
				}
				add(hold)
				i = j
				continue
			}
		}
		if row, j, ok := p.strictRow(i); ok {
			if above, isRow := lastItem(ms.Items).(*Row); isRow && onlyTurned(row) && holds(above.Body) {
				add(&Prose{Text: strings.TrimSpace(p.raw(i, j)), Span: p.span(i, j)})
				i = j
				continue
			}
			if toMarkerOnly(row) && hasWord(p, j, "graft", "kitchener", "bind", "cast", "bo", "break", "cut") { // "Knit to first marker.": on to where the toe is grafted
				row.Body = append(row.Body, &Leave{Span: row.Span})
			}
			row.Only = only
			r.addRow(row, p)
			i = r.again(p, j)
			continue
		}
		if st, j, ok := p.stated(i); ok && len(ms.Items) > 0 && (p.at(i).Kind == Number || p.w(i) == "there" || p.w(i) == "you" || openers[p.w(i)] != "" || p.w(i) == "=" || isDash(p.w(i))) {
			last := len(ms.Items) - 1
			if said, isProse := ms.Items[last].(*Prose); isProse && last > 0 && marksStart(said.Text) { // "…, pick up 3. Mark the start of the round. [48 sts]"
				if b, ok := ms.Items[last-1].(*Begin); ok && b.How != "cast on" && countBehindJoin(b, st) {
					i = j
					continue
				}
			}
			if _, joined := ms.Items[last].(*JoinRound); joined && last > 0 { // "…, k28. Join to work in the round. – 72 sts."
				last--
				if b, ok := ms.Items[last].(*Begin); ok && countBehindJoin(b, st) {
					i = j
					continue
				}
			}
			if attachMore(ms.Items[last], st, p.span(i, j)) {
				i = j
				continue
			}
		}
		if k := p.thenRepeat(i, end); k > i && r.begun {
			odd := !harmless(p, i)
			add(&Prose{Text: strings.TrimSpace(p.raw(i, k)), Odd: odd, Span: p.span(i, k)})
			if odd {
				p.addf("line-not-understood", p.span(i, k), "“%s” is kept as written; nothing was worked from it", clip(p.raw(i, k)))
			}
			i = k + 1
			continue
		}
		if end <= i {
			end = i + 1
		}
		for k := i + 1; k < end; k++ { // what stands behind a semicolon may be an instruction
			if p.w(k) == ";" {
				end = k
				break
			}
		}
		for k := i; k < end; k++ { // "worked back and forth over 28 sts"
			if n, _, ok := p.overNext(k); ok {
				p.over = n
				break
			}
		}
		p.miscounts(i, end)
		odd := r.begun && !harmless(p, i)
		if s, k, ok := p.shapesTowards(i, end); ok && r.begun {
			s.Only = only
			add(s)
			i = k
			continue
		}
		if r.begun {
			if st, k, ok := p.countBehind(i, end); ok { // not understood, but it tells where it ends
				add(&Shape{Do: "towards", Until: st[0].N, Words: p.raw(i, k), Only: only, Span: p.span(i, k)})
				p.addf("line-not-understood", p.span(i, end), "“%s” is not worked; the count behind it is taken", clip(p.raw(i, end)))
				i = k
				continue
			}
		}
		add(&Prose{Text: strings.TrimSpace(p.raw(i, end)), Odd: odd, Span: p.span(i, end)})
		switch {
		case odd && (p.tellsShaping(i) || p.tellsTimes(i)):
			p.addf("sentence-not-worked", p.span(i, end), "“%s” is not understood, and no stitch was worked from it; the counts behind it may be wrong", clip(p.raw(i, end)))
		case odd:
			p.addf("line-not-understood", p.span(i, end), "“%s” is kept as written; nothing was worked from it", clip(p.raw(i, end)))
		}
		i = end
	}
}

// thenRepeat finds the "and" behind a few words that work nothing, before rows repeated:
// "Tick each row off and repeat Rows 1–8". It is i where there is none.
func (p *parser) thenRepeat(i, end int) int {
	q := *p
	q.quiet = true
	for k := i; k < end && k < i+9; k++ {
		if p.at(k).Kind == Number || p.at(k).Kind == Punct && p.w(k) != "&" && p.w(k) != "," {
			return i
		}
		if w := p.w(k); (w == "and" || w == "&" || w == "then") && p.w(k+1) == "rep" {
			if _, _, ok := q.repRows(k + 1); ok {
				return k
			}
		}
	}
	return i
}

// repStar reads "Rep from * to * 6 times more" standing as a sentence.
func (p *parser) repStar(i int) (*RepRows, int, bool) {
	start := i
	j, ok := p.words(i, "rep from|between", "rep")
	if !ok || !isMark(p.w(j)) {
		return nil, i, false
	}
	mark := p.w(j)
	j++
	if w := p.w(j); (w == "to" || w == "and" || isDash(w)) && isMark(p.w(j+1)) {
		j += 2
	} else if isMark(w) {
		j++
	}
	t, k, ok := p.times(j)
	u, k2, okU := p.untilCond(j)
	if !ok && !okU {
		return nil, start, false
	}
	r := &RepRows{Ref: RowRef{Star: mark}, Words: p.raw(start, j)}
	if ok {
		r.Times, j = t, k
	} else {
		r.Until, j = u, k2
	}
	if st, q, ok := p.stated(j); ok {
		r.Stated, j = st, q
	}
	if p.w(j) == "." {
		j++
	}
	r.Span = p.span(start, j)
	return r, j, true
}

// again adds what a row is worked in all, "for 20 rounds", as rows repeated.
func (r *reader) again(p *parser, i int) int {
	if j, ok := p.forLength(i); ok {
		r.ms.Items = append(r.ms.Items, &RepRows{Ref: RowRef{Last: 1}, Until: Until_{Length: p.bracketed(p.raw(i+1, j))}, Words: p.raw(i, j), Span: p.span(i, j)})
		return j
	}
	n, j, ok := p.forRows(i)
	if !ok {
		return i
	}
	more := Num{Span: n.Span}
	for _, v := range n.Vals {
		more.Vals = append(more.Vals, max(v-1, 0))
	}
	r.ms.Items = append(r.ms.Items, &RepRows{Ref: RowRef{Last: 1}, Times: Target{Kind: TimesMore, N: more, Span: n.Span}, Words: p.raw(i, j), Span: p.span(i, j)})
	return j
}

// unnamedShaping says that what is repeated is "a decrease round", by these words alone.
func unnamedShaping(rr *RepRows) bool {
	switch strings.ToLower(rr.Ref.Words) {
	case "decrease rnd", "decrease round", "decrease row", "dec rnd", "dec round", "dec row", "increase rnd", "increase round", "increase row", "inc rnd", "inc round", "inc row":
		return len(rr.Ref.Numbers) == 0
	}
	return len(rr.Ref.Numbers) == 0 && (strings.HasPrefix(strings.ToLower(rr.Ref.Words), "decreases ") || strings.HasPrefix(strings.ToLower(rr.Ref.Words), "increases ")) // "work the decreases in every round"
}

// givesHead says that a row was given under these words.
func (r *reader) givesHead(words string) bool { return r.rowHeads[headKey(scanLine(words, 1))] }
