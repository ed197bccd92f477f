package notation

// This file reads increases and decreases spread evenly over a row.

// evenly reads "dec 8 sts evenly across row" behind a row that is all knit or purled,
// or as the whole of a row. Where the stitches lie is the knitter's choice; here the
// decreases are worked last, and the increases behind the last stitch: the count is
// the same.
func (p *parser) evenly(b *bodyState, i int) (int, bool) {
	j := i
	for hasWord(p, j, "and", "while", "whilst", "but", "by", "with", ",") && j < i+3 {
		j++
	}
	same := false // "Knit, and at the same time decrease 1 st"
	if k, ok := p.words(j, "at same time ,?"); ok {
		j, same = k, true
	}
	c, k, ok := p.spreadChange(j, same)
	if !ok {
		return i, false
	}
	if r, ok := p.words(k, "and ending|end|finishing with|after|on a|an?", ", ending|end|finishing with|after|on a|an?"); ok { // "inc 6 sts evenly across last row and ending with a WS row"
		if _, e, ok := p.lastSide(r); ok {
			k = p.skipWords(e, "row")
		}
	}
	n, down := c.n, c.down
	if !n.Given() {
		return p.spreadTo(b, c, i, k)
	}
	if over, q, ok := p.overNext(p.skipWords(k, "spaced")); ok { // "inc 7 sts evenly across next 35 sts"
		at := p.span(i, q)
		ops := []Op{&Do{Key: "k", Times: over, Span: at}, &Do{Key: "m1", Times: n, Span: at}}
		if down {
			twice := mulNum(n, N(-2))
			ops = []Op{&Do{Key: "k", Times: sumNum(over, twice), Span: at}, &Do{Key: "ktog", Params: []int{2}, Times: n, Span: at}}
		}
		b.ops = append(b.ops, ops...)
		return q, true
	}
	base, ok := p.spreadBase(b, i, k)
	if !ok {
		return i, false
	}
	n.Vals = append([]int(nil), n.Vals...)
	for v := range n.Vals {
		n.Vals[v] = max(0, n.Vals[v])
	}
	at := p.span(i, k)
	change := &Do{Key: "m1", Times: n, Span: at}
	if down {
		last := Num{Vals: append([]int(nil), n.Vals...)}
		for v := range last.Vals {
			last.Vals[v] *= 2
		}
		u := b.ops[len(b.ops)-1].(*Until)
		short := *u
		short.To = Target{Kind: ToLast, N: last}
		b.ops[len(b.ops)-1] = &short
		change.Key, change.Params = "ktog", []int{2}
		if base == "p" {
			change.Key = "ptog"
		}
	} else if base == "p" {
		change.Key = "m1p"
	}
	b.ops = append(b.ops, change)
	return k, true
}

// spreadBase is the stitch of the row that a change is spread over, which then ends the ops as one
// that is worked to the end; a row of nothing else is knit.
func (p *parser) spreadBase(b *bodyState, i, k int) (key string, ok bool) {
	n := len(b.ops)
	if n == 0 {
		b.ops = append(b.ops, &Until{Body: []Op{&Do{Key: "k", Times: N(1), Span: p.span(i, k)}}, To: Target{Kind: ToEnd}, Span: p.span(i, k)})
		return "k", true
	}
	spreads := func(key string) bool { return key == "k" || key == "p" || key == "patt" || key == "as-set" }
	if d, bare := b.ops[n-1].(*Do); bare && onlyYarn(b.ops[:n-1]) && !d.Times.Given() && spreads(d.Key) { // "Knit, dec …"
		b.ops[n-1] = &Until{Body: []Op{&Do{Key: d.Key, Times: N(1), Span: d.Span}}, To: Target{Kind: ToEnd}, Span: d.Span}
	}
	u, whole := b.ops[n-1].(*Until)
	if !whole || u.To.Kind != ToEnd || len(u.Body) != 1 {
		return "", false
	}
	d, plain := u.Body[0].(*Do)
	if !plain || !spreads(d.Key) {
		return "", false
	}
	return d.Key, true
}

// spreadTo reads on where the change is told by the stitches it comes to: "knit, decreasing evenly to 60 sts".
func (p *parser) spreadTo(b *bodyState, c spread, i, k int) (int, bool) {
	if !c.to.Given() { // "knit, decreasing evenly. 60 sts."
		q := k
		if p.w(q) == "." || p.w(q) == "," {
			q++
		}
		st, _, ok := p.stated(q)
		if !ok || st[0].Kind != CountAll {
			return i, false
		}
		c.to = st[0].N
	}
	key, ok := p.spreadBase(b, i, k)
	if !ok {
		return i, false
	}
	at := SpanOf(b.ops[len(b.ops)-1]).Cover(p.span(i, k))
	b.ops[len(b.ops)-1] = &Spread{Key: key, To: c.to, Down: c.down, Span: at}
	return k, true
}

// spread is a change of stitches over a row: by n of them, or to so many; neither is given
// where only the count behind the row says it.
type spread struct {
	n, to Num
	down  bool
}

// spreadChange reads "dec 8 sts evenly across row", "evenly increasing 6 sts", "working 6 decreases evenly
// spaced", "k2tog 6 times evenly across", "decreasing evenly to 60 sts" at i. Where it is said to be done at the same
// time, "evenly" may be left out.
func (p *parser) spreadChange(i int, same bool) (c spread, next int, ok bool) {
	const even = "evenly spaced?"
	j := i
	if k, hit := p.words(j, even); hit {
		j, same = k, true
	}
	ends := func(k int) bool { return k >= len(p.toks) || hasWord(p, k, ".", ";", "=", "–", "(", "[", ",") }
	across := func(k int) (int, bool) { // "evenly spaced across the row"
		if p.w(k) == "," {
			k++
		}
		q, hit := p.words(k, even, "spaced? at even|equal|regular intervals|distances", "spaced evenly|equally", "equally spaced?", "across|around|over|in|along this|next? row|rnd evenly|equally", "across|around evenly|equally", "as evenly as possible")
		if !hit {
			return k, false
		}
		if r, hit := p.words(q, "spaced? across|around|over|along|in|on|to|through this|next|last|entire|whole? ws|rs? row|rnd|end", "spaced? across|around", "spaced"); hit {
			q = r
		}
		return q, true
	}
	// "working k2tog 6 times evenly across"
	q := p.skipWords(j, "working", "work", "making", "make", "placing", "place")
	if d, k, hit := p.spreadStitch(q); hit {
		n, r, counted := p.num(k)
		if counted && hasWord(p, r, "times", "time", "x", "×") {
			r++
			if e, hit := across(r); hit {
				return spread{n: n, down: d}, e, true
			}
			return c, i, false
		}
		if e, hit := across(k); hit {
			if n, r, counted = p.num(e); counted && hasWord(p, r, "times", "time", "x", "×") {
				return spread{n: n, down: d}, r + 1, true
			}
		}
		return c, i, false
	}
	// "with 6 evenly spaced decreases", "making 6 increases evenly across row"
	if n, k, counted := p.num(q); counted {
		spaced := false
		if r, hit := p.words(k, even); hit {
			k, spaced = r, true
		}
		d := hasWord(p, k, "decrease", "decs", "dec")
		if !d && !hasWord(p, k, "increase", "incs", "inc") || q == j && p.w(i-1) != "with" && !same {
			return c, i, false
		}
		if e, hit := across(k + 1); hit {
			return spread{n: n, down: d}, e, true
		}
		if spaced || same {
			return spread{n: n, down: d}, k + 1, true
		}
		return c, i, false
	}
	switch {
	case hasWord(p, j, "dec", "decrease", "decreasing"):
		c.down = true
	case hasWord(p, j, "inc", "increase", "increasing"):
	default:
		return c, i, false
	}
	j++
	if n, k, counted := p.num(j); counted {
		if c.n = n; p.w(k) == "st" {
			k++
		}
		if e, hit := across(k); hit {
			return c, e, true
		}
		if !same && p.w(k-1) == "st" && p.w(j-2) == "," || p.w(j-2) == "and" { // "Purl, dec 1 st."
			_, _, same = p.stated(k)
			same = same || k >= len(p.toks) || p.w(k) == "." && k+1 >= len(p.toks)
		}
		return c, k, same && ends(k)
	}
	if k, hit := p.words(j, "number of st? to", "st? count to"); hit {
		j, same = k-1, true
	}
	e, spaced := across(j)
	if spaced {
		j = e
	}
	if k, hit := p.words(j, "to give? ,?", "until ,?", "down to", "up to"); hit {
		n, q, counted := p.num(k)
		if !counted || p.w(q) != "st" && !ends(q) || p.w(j) == "until" && !hasWord(p, q+1, "rem", "left") && !spaced {
			return c, i, false
		}
		c.to, q = n, p.skipWords(q, "st", "rem", "in", "total", "left")
		if e, hit := across(q); hit {
			return c, e, true
		}
		if r, hit := p.words(q, "across|over|in|on this? row|rnd", "around|across"); hit {
			q = r
		}
		return c, q, spaced || same || ends(q)
	}
	return c, j, spaced && ends(j)
}

// spreadStitch reads a decrease or an increase of one stitch by its name.
func (p *parser) spreadStitch(i int) (down bool, next int, ok bool) {
	if k, ok := p.words(i, "k2tog", "p2tog", "ssk", "skp", "k 2 tog", "p 2 tog", "s s k"); ok {
		return true, k, true
	}
	k, ok := p.words(i, "m1", "kfb", "m1l", "m1r", "m1p", "m 1")
	return false, k, ok
}
