package notation

// This file reads what sentences carry behind their main clause, and rows told again in words: a shaping in the
// last row repeated, a repeat that changes as it goes on, a count.

// repRowsShaped reads "repeat these two rows until rib measures 5 cm, and decreasing
// 2 sts evenly across last row": rows repeated, and a shaping within the last.
func (p *parser) repRowsShaped(i, end int) (*RepRows, *Shape, int, bool) {
	if p.w(i) != "rep" && p.w(i) != "repeat" {
		return nil, nil, i, false
	}
	for k := i + 3; k < end; k++ {
		if !hasWord(p, k, "dec", "decreasing", "decrease", "inc", "increasing", "increase") || p.w(k-1) != "," && p.w(k-1) != "and" {
			continue
		}
		n, q, ok := p.num(k + 1)
		if !ok || p.w(q) != "st" {
			continue
		}
		if _, _, ok := p.find(q, end, "last ws|rs? row|rnd", "final ws|rs? row|rnd"); !ok {
			continue
		}
		cut := k
		for cut > i && (p.w(cut-1) == "," || p.w(cut-1) == "and") {
			cut--
		}
		short := *p
		short.toks = p.toks[:cut]
		rr, _, ok := short.repRows(i)
		if !ok {
			return nil, nil, i, false
		}
		s := &Shape{Do: "dec", N: n, Places: 1, Same: true, When: When{Next: 1}}
		if _, ok := p.words(q+1, "at|on each|both end|ends|side|sides|edge"); ok {
			s.Places = 2
		}
		if p.w(k)[0] == 'i' {
			s.Do = "inc"
		}
		j := end
		for r := q + 1; r < end; r++ {
			if st, e, ok := p.stated(r); ok {
				s.Stated, j = st, e
				break
			}
		}
		if st, e, ok := p.stated(j); ok && len(s.Stated) == 0 {
			s.Stated, j = st, e
		}
		if p.w(j) == "." {
			j++
		}
		s.Words, s.Span = p.raw(k, j), p.span(k, j)
		return rr, s, j, true
	}
	return nil, nil, i, false
}

// countBehind finds a count of all stitches that ends a sentence: "… = 74 (82) sts".
func (p *parser) countBehind(i, end int) ([]Stated, int, bool) {
	for k := i + 2; k < end; k++ {
		if q, ok := p.words(k, "which? brings|takes|bringing|taking you|it|us to", "which? gives|leaves you"); ok { // "…, which brings you to 113 sts"
			if n, e, ok := p.num(q); ok && p.w(e) == "st" && p.rowEnds(e+1, "") {
				st := []Stated{{Kind: CountAll, N: n, Span: p.span(q, e+1)}}
				return st, e + 1, true
			}
		}
		if w := p.w(k); w != "=" && !isDash(w) && w != "…" && openers[w] == "" {
			continue
		}
		if p.w(k) == "-" && p.at(k).Glued {
			continue
		}
		st, j, ok := p.stated(k)
		if ok && st[0].Kind == CountAll && st[0].N.Given() && (!st[0].N.Single() || p.sizes == 1) && p.hasSts(k, j) {
			return st, j, true
		}
	}
	return nil, i, false
}

func (p *parser) hasSts(i, j int) bool {
	_, _, ok := p.find(i, j, "st")
	return ok
}

func clip(s string) string {
	rs := []rune(s)
	if len(rs) > 60 {
		return string(rs[:57]) + "…"
	}
	return s
}

// firstOfThem reads what stands behind rows that are repeated: ", then the first of them once more",
// ", then first 2 rows once", ", then 1st and 2nd rows once", ", then the dec row once".
func (r *reader) firstOfThem(p *parser, i int) (*RepRows, int, bool) {
	if len(r.ms.Items) == 0 {
		return nil, i, false
	}
	above, ok := r.ms.Items[len(r.ms.Items)-1].(*RepRows)
	if !ok {
		return nil, i, false
	}
	j := p.skipWords(i, "then", "and", "work", "rep", "repeat", ",")
	rr := &RepRows{Times: Target{Kind: TimesMore, N: N(1)}}
	first := 0
	k, ok := p.words(j, "first of them|these|those row?", "first row|rnd", "first one")
	if ok {
		first = 1
	} else if q, hit := p.words(j, "first"); hit {
		if n, e, num := p.num(q); num && n.Single() && (p.w(e) == "row" || p.w(e) == "rnd") {
			first, k, ok = n.For(0), e+1, true
		}
	}
	if s, e, side := p.sideWord(j); side && !ok { // "then work the WS row once more"
		if p.w(e) == "row" {
			e++
		}
		if _, more := p.onceMore(e); more && above.Ref.Last == 2 && r.sideOfLast(2) == s {
			first, k, ok = 1, e, true
		}
	}
	switch {
	case ok && len(above.Ref.Numbers) >= first && !above.Ref.From:
		rr.Ref.Numbers, rr.Ref.Section = above.Ref.Numbers[:first], above.Ref.Section
	case ok && above.Ref.Last >= first && above.Ref.First == 0:
		rr.Ref.Last, rr.Ref.First = above.Ref.Last, first
	case ok:
		return nil, i, false
	case hasWord(p, j, "row", "rnd") && p.at(j+1).Kind == Number && p.w(j+2) == "only":
		rr.Ref.Numbers, k = []int{p.at(j + 1).Val}, j+3
	case p.at(j).Kind == Ordinal && p.w(j-1) != "every":
		ns, _, q, got := p.numbers(j)
		e, _, row := p.rowAgain(q)
		if !got || !row {
			return nil, i, false
		}
		rr.Ref.Numbers, k = ns, e
	default:
		e, named := p.words(j, "dec|inc|decrease|increase|decreasing|increasing|set-up|setup|rib|raglan|eyelet row|rnd")
		if !named {
			return nil, i, false
		}
		rr.Ref.Words, k = p.raw(p.skipWords(j), e), e
	}
	if u, e, ok := p.untilCond(k); ok && u.Sts.Given() { // ", then Rnd 1 only until 8 sts remain"
		rr.Times, rr.Until = Target{}, u
		if p.w(e) == "." {
			e++
		}
		rr.Words, rr.Span = p.raw(i, e), p.span(i, e)
		return rr, e, true
	}
	q, more := p.onceMore(k)
	if q2, only := p.words(k, "only once", "only once more"); only {
		q, more = q2, true
	}
	if more {
		k = q
	} else if !ok || first == 0 || k < len(p.toks) && p.w(k) != "." && p.w(k) != "," && p.w(k) != "(" && !isDash(p.w(k)) {
		return nil, i, false
	}
	rr.Stated, k = p.statedOrStop(k)
	rr.Words, rr.Span = p.raw(i, k), p.span(i, k)
	return rr, k, true
}

// onceMore reads "once more", "again", "1 more time".
func (p *parser) onceMore(i int) (int, bool) {
	return p.words(i, "once? more|again", "once", "1 times? more?", "1 more times?")
}

// sideOfLast is the side of the n-th row from the end.
func (r *reader) sideOfLast(n int) string {
	for k := len(r.ms.Items) - 1; k >= 0; k-- {
		row, ok := r.ms.Items[k].(*Row)
		if !ok {
			continue
		}
		if n--; n == 0 {
			return row.Head.Side
		}
	}
	return ""
}

// repAhead reads "Rep the following 2 rows 6 times in all:", said before the rows are given.
func (r *reader) repAhead(p *parser, i int) (int, bool) {
	j, ok := p.words(i, "rep|work the? following|next")
	if !ok {
		return i, false
	}
	n, k, ok := p.num(j)
	if !ok || !n.Single() || n.For(0) > 12 || p.w(k) != "row" && p.w(k) != "rnd" {
		return i, false
	}
	k++
	rr := &RepRows{Ref: RowRef{Last: n.For(0)}}
	if t, q, ok := p.times(k); ok {
		rr.Times, k = t, q
		if t.Kind == TimesInAll {
			rr.Times.Kind = TimesTotal
		}
	} else if u, q, ok := p.untilCond(k); ok && u.Given() {
		rr.Until, k = u, q
	} else {
		return i, false
	}
	if p.w(k) != ":" && k < len(p.toks) && p.w(k) != "." {
		return i, false
	}
	rr.Words, rr.Span = p.raw(i, k), p.span(i, k)
	r.ahead, r.aheadRows = rr, n.For(0)
	if k < len(p.toks) {
		k++
	}
	return k, true
}

// changingRepeat reads rows that are repeated with a change each time, by the count they end with: "Rep
// last 2 rnds, working one stitch fewer between decreases each time, until 12 sts", "Cont in this
// way, working 1 more st before the dec on each row, until all sts are worked. 16 sts."; and what
// goes on otherwise behind rows repeated: ", then on every other rnd until 40 sts rem".
func (r *reader) changingRepeat(p *parser, i, end int) (*Shape, int, bool) {
	from, ok := p.words(i, "rep|cont|continue|work", "keep on?", "go on")
	behind := false
	if !ok {
		if len(r.ms.Items) == 0 {
			return nil, i, false
		}
		if _, rep := r.ms.Items[len(r.ms.Items)-1].(*RepRows); !rep {
			return nil, i, false
		}
		if from, ok = p.words(i, "then? on every|each other|alt? row|rnd", "then? every other|alt row|rnd", "then? on every|each row|rnd", "then? every row|rnd"); !ok {
			return nil, i, false
		}
		behind = true
	} else if _, _, changes := p.find(from, end, "one|1 st? more|less|fewer", "one|1 more|less|fewer st", "stacked over", "in this|same manner|way|fashion", "like this", "as est|established|set", "thus"); !changes {
		return nil, i, false
	}
	for k := from; k < end; k++ {
		u, q, ok := p.untilCond(k)
		if !ok || u.Between || !u.Sts.Given() && (behind || !u.AllWorked && p.w(k) == "until") {
			continue
		}
		if !u.Sts.Given() && !u.AllWorked || u.Sts.Given() && hasWord(p, i, "cont", "continue", "work", "keep", "go") {
			continue // a count that is worked towards is read where shaping is
		}
		for later := q; later < end; later++ { // "… until 40 sts rem, then on every rnd until 8 sts rem"
			if more, e, ok := p.untilCond(later); ok && more.Sts.Given() && u.Sts.Given() {
				u, q = more, e
			}
		}
		n := u.Sts
		st, e, stated := p.stated(max(q, end))
		if !stated && q < end {
			st, e, stated = p.stated(q)
		}
		if u.AllWorked {
			if !stated || st[0].Kind != CountAll {
				return nil, i, false
			}
			n = st[0].N
		}
		s := &Shape{Do: "towards", Until: n, Stated: st}
		switch {
		case stated:
			end = e
		case p.w(end) == ".":
			end++
		}
		s.Words, s.Span = p.raw(i, end), p.span(i, end)
		return s, end, true
	}
	if !behind { // "Rep the last 8 rounds 11 times more, working 1 st more before the inc each time. (240 sts)"
		s := &Shape{Do: "towards"}
		q := *p
		q.quiet = true
		if rr, _, ok := q.repRows(i); ok && rr.Times.N.Given() && rr.When.Every == 0 {
			rr.Stated = nil
			s.Rep = rr
			if at, _, ok := p.find(i, end, "then on|in every|each", "then every|each"); ok { // "… 4 times more, then on every rnd 4 times"
				if _, k, ok := p.find(at, end, "every|each row|rnd", "every other|alt|2nd|second row|rnd"); ok {
					if n, _, ok := p.num(k); ok {
						rr.Times.N = sumNum(rr.Times.N, n)
					}
				}
			}
		}
		st, e, stated := p.stated(end)
		if !stated {
			st, e, stated = p.countBehind(i, end)
		}
		for k := end - 1; k > i && !stated; k-- { // "…, working 1 fewer st before each k2tog — 20 sts"
			if p.w(k) == "=" || isDash(p.w(k)) && !p.at(k).Glued {
				if st, e, stated = p.stated(k); e < end {
					stated = false
				}
			}
		}
		switch {
		case stated && st[0].Kind == CountAll && (s.Rep != nil || hasWord(p, i, "rep", "repeat")):
			s.Until, s.Stated, end = st[0].N, st, e
		case s.Rep == nil, !hasWord(p, i, "rep", "repeat", "work"):
			return nil, i, false
		case p.w(end) == ".":
			end++
		}
		s.Words, s.Span = p.raw(i, end), p.span(i, end)
		return s, end, true
	}
	return nil, i, false
}

// inBackRows reads "In the wrong-side rows work all stitches as they appear", as "All WS rows: …".
func (r *reader) inBackRows(p *parser, i int, only []int) (int, bool) {
	j, ok := p.words(i, "in|on the? all? wrong - side row ,?", "in|on the? all? ws|back row ,?", "in|on all|the wrong side row ,?")
	if !ok || i > 0 && p.w(i-1) != "." || !p.opStarts(j) && !hasWord(p, j, "work", "purl", "knit") {
		return i, false
	}
	end := p.sentenceEnd(j)
	at := p.at(i).Span
	head := []Token{{Kind: Word, Text: "all", fold: "all", Raw: "All", Span: at}, {Kind: Word, Text: "ws", fold: "ws", Raw: "WS", Span: at}, {Kind: Word, Text: "rows", fold: "row", Raw: "rows", Span: at}, {Kind: Punct, Text: ":", fold: ":", Raw: ":", Glued: true, Span: at}}
	q := r.parser(append(head, p.toks[j:min(end+1, len(p.toks))]...))
	h, k, ok := q.head(0)
	if !ok || !h.Every.On() {
		return i, false
	}
	r.row(q, h, 0, k, only)
	return min(end+1, len(p.toks)), true
}

// parts says that a row binds stitches off between others, so that two sides are left.
func parts(it Item) bool {
	row, ok := it.(*Row)
	if !ok {
		return false
	}
	for k, o := range row.Body {
		if b, binds := o.(*BindOff); binds && !b.All && k > 0 && k < len(row.Body)-1 {
			return true
		}
	}
	return false
}
