package notation

// This file reads sentences that hang markers before a row or round.

// markedIn reads what hangs a marker in a row that is worked plain: "placing a second marker after 28 sts", "placing a
// marker at the halfway point (28 sts)".
func (p *parser) markedIn(i int) (Num, int, bool) {
	k := p.skipWords(i, "and", "also")
	if !hasWord(p, k, "placing", "place", "putting", "put", "hanging", "inserting", "pm") {
		return Num{}, i, false
	}
	if p.w(k) == "pm" {
		k++
	} else if k = p.skipWords(k+1, "a", "one", "another", "second", "third", "side", "new", "st", "stitch"); p.w(k) == "m" {
		k++
	} else {
		return Num{}, i, false
	}
	k = p.skipWords(k, "at", "halfway", "midway", "point", "(", ",", "after", "first", "half", "half-way", "centre", "center", "round", "way")
	n, e, ok := p.num(k)
	if t := p.at(k); !ok && t.Kind == Ordinal { // "after the 28th st"
		n, e, ok = N(t.Val), k+1, true
	}
	if !ok || p.w(e) != "st" {
		return Num{}, i, false
	}
	e = p.skipWords(e+1, ")", "and", "at", "end", "for", "side", "to", "mark", "of", "rnd", "halfway", "point")
	if e < len(p.toks) && !hasWord(p, e, ".", ";", ",", "(") {
		return Num{}, i, false
	}
	return n, e, true
}

// plainWhole is the stitch of which all of a row consists that says no more: "Knit", "Purl to end".
func plainWhole(o Op) string {
	if u, ok := o.(*Until); ok && u.To.Kind == ToEnd && len(u.Body) == 1 {
		o = u.Body[0]
	}
	if d, ok := o.(*Do); ok && !d.Times.Given() && (d.Key == "k" || d.Key == "p") {
		return d.Key
	}
	return ""
}

// markedRow reads a row worked plain that hangs a marker: "Knit 1 rnd, placing a second marker after 28 sts."
func (p *parser) markedRow(i int) (*Row, int, bool) {
	k, ok := p.words(i, "k|knit|p|purl 1|one|next|this? row|rnd ,?", "k|knit|p|purl to end ,?", "k|knit|p|purl across|around ,?")
	if !ok {
		return nil, i, false
	}
	n, e, ok := p.markedIn(k)
	if !ok {
		return nil, i, false
	}
	key := p.w(i)[:1]
	row := &Row{Head: Head{Words: p.headless(i, k), Round: hasWord(p, k-1, "rnd") || hasWord(p, k-2, "rnd")}, Body: p.plainMarked(key, n, i, e), Span: p.span(i, e)}
	row.Stated, e = p.statedOrStop(e)
	return row, e, true
}

// marksStitch reads that the stitch just worked is marked, "k1 (marked st)", "k1 and mark this st": a marker hangs before it.
func (p *parser) marksStitch(b *bodyState, i int) (int, bool) {
	j, ok := p.words(i, "( = marked st )", "( marked st )", "( mark|marking this st )", "( this is the? marked st )", "and mark this st", ", marking this st", ", mark this st", "( mark it )")
	if !ok || len(b.ops) == 0 {
		return i, false
	}
	for k := i; k < j; k++ {
		if p.w(k) == "the" { // "k1 (the marked st)": it is marked already
			b.ops = append(b.ops, &Remark{Text: p.raw(i, j), Span: p.span(i, j)})
			return j, true
		}
	}
	last := len(b.ops) - 1
	d, isDo := b.ops[last].(*Do)
	if !isDo || d.Times.Given() && (!d.Times.Single() || d.Times.For(0) != 1) {
		return i, false
	}
	b.ops = append(b.ops[:last:last], &Mark{Do: "place", Span: p.span(i, j)}, d)
	return j, true
}

// plainMarked are so many stitches, a marker, and the rest.
func (p *parser) plainMarked(key string, n Num, i, e int) []Op {
	at := p.span(i, e)
	return []Op{&Do{Key: key, Times: n, Span: at}, &Mark{Do: "place", Span: at}, &Until{Body: []Op{&Do{Key: key, Span: at}}, To: Target{Kind: ToEnd, Span: at}, Span: at}}
}

// markersCounted reads "Now place 4 markers, without working the sts: Count 16 sts (= front piece), place a marker, count 8
// sts (= sleeve), place a marker, …": where each hangs is told by counting.
func (p *parser) markersCounted(i, end int) (*Markers, int, bool) {
	_, k, ok := p.find(i, end, "count")
	if _, _, first := p.find(i, end, "m"); !ok || !first || !hasWord(p, p.skipWords(i, "now", "then"), "place", "placing", "hang", "insert", "count", "put", "without") {
		return nil, i, false
	}
	m := &Markers{}
	at := Num{}
	for ok {
		n, q, isNum := p.num(k)
		if !isNum || p.w(q) != "st" {
			return nil, i, false
		}
		if at.Given() {
			n = sumNum(at, n)
		}
		at = n
		if openers[p.w(q+1)] != "" {
			if c := p.closerOf(q + 1); c > q+1 {
				q = c
			}
		}
		e, hung := p.words(p.skipWords(q+1, ",", "and", "then"), "place|hang|insert|put a|the? m", "pm")
		if !hung {
			break
		}
		m.After = append(m.After, at)
		_, k, ok = p.find(e, end, "count")
	}
	if len(m.After) < 2 {
		return nil, i, false
	}
	m.Span = p.span(i, end)
	return m, end, true
}

// markersTold reads "Place a marker after the first 18 sts", "place one marker at the beginning of the round and another
// after 18 sts", "Place markers so that there are 18 sts on each side".
func (p *parser) markersTold(i, end int) (*Markers, int, bool) {
	if k, ok := p.words(i, "on|in the? next|first|1st|following rnd|row ,?"); ok { // "On the 1st round place a marker after every 20 sts"
		i = k
	}
	k, ok := p.words(i, "place|put|hang|insert|pm a? second|another m opposite? first?", "place|put|hang|insert|pm|placing a|one|another|second|side? st? m", "place|put|hang|insert side|st? m", "place|put|hang a|one|another|second|the? st? m", "pm", "mark", "divide the? st")
	if !ok {
		return nil, i, false
	}
	m := &Markers{}
	if j, ok := p.words(k, "after? every|each"); ok {
		if n, e, ok := p.num(j); ok && p.w(e) == "st" && (e+1 >= end || hasWord(p, e+1, "=", ",", "(")) {
			m.After, m.Every, m.Span = []Num{n}, true, p.span(i, end)
			if p.w(end) == "." {
				end++
			}
			return m, end, true
		}
	}
	for j := k; j < end; j++ {
		q, after := p.words(j, "after the? first? ")
		if !after {
			q, after = p.words(j, "after the? first", "after st", "after")
		}
		if after {
			n, e, ok := p.num(q)
			if t := p.at(q); !ok && t.Kind == Ordinal && (p.w(q+1) == "st") { // "after the 18th st"
				n, e, ok = N(t.Val), q+1, true
			}
			if !ok || p.w(e) != "st" && p.w(q-1) != "st" {
				return nil, i, false
			}
			m.After = append(m.After, n)
			j = e
			continue
		}
		if n, e, ok := p.num(j); ok && p.w(e) == "st" {
			if _, from := p.words(e+1, "from beg|start of? rnd|row", "on|at each side", "on|for each? front|palm|instep", "for the? front|back|palm|instep|sole"); from && len(m.After) == 0 {
				m.After = append(m.After, n)
			}
			j = e
			continue
		}
		if hasWord(p, j, "every", "between", "either", "rem") {
			return nil, i, false
		}
	}
	if len(m.After) == 0 {
		return nil, i, false
	}
	if p.w(end) == "." {
		end++
	}
	m.Span = p.span(i, end)
	return m, end, true
}
