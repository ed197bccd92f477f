package notation

// This file reads increases and decreases spread evenly over a row.

// evenly reads "dec 8 sts evenly across row" behind a row that is all knit or purled,
// or as the whole of a row. Where the stitches lie is the knitter's choice; here the
// decreases are worked last, and the increases behind the last stitch: the count is
// the same.
func (p *parser) evenly(b *bodyState, i int) (int, bool) {
	j := i
	for p.w(j) == "and" || p.w(j) == "while" || p.w(j) == "whilst" || p.w(j) == "but" || p.w(j) == "by" {
		j++
	}
	same := false // "Knit, and at the same time decrease 1 st"
	if k, ok := p.words(j, "at same time"); ok {
		j, same = k, true
	}
	down := false
	switch {
	case hasWord(p, j, "dec", "decrease", "decreasing"):
		down = true
	case hasWord(p, j, "inc", "increase", "increasing"):
	default:
		return i, false
	}
	n, j, ok := p.num(j + 1)
	if !ok {
		return i, false
	}
	if p.w(j) == "st" {
		j++
	}
	k, ok := p.words(j, "evenly", "spaced? at even intervals", "spaced evenly", "across|around|over row|rnd evenly", "across evenly")
	if same && !ok && (j >= len(p.toks) || hasWord(p, j, ".", ";", "=", "–", "(", "[")) {
		k, ok = j, true
	}
	if !ok {
		return i, false
	}
	if q, ok := p.words(k, "spaced? across|around|over|along|in|on|to|through this|next|last|entire? row|rnd|end", "spaced? across|around", "spaced"); ok {
		k = q
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
	base := "k"
	if n := len(b.ops); n > 0 {
		if d, bare := b.ops[n-1].(*Do); bare && onlyYarn(b.ops[:n-1]) && !d.Times.Given() && (d.Key == "k" || d.Key == "p" || d.Key == "patt" || d.Key == "as-set") { // "Knit, dec …"
			b.ops[n-1] = &Until{Body: []Op{&Do{Key: d.Key, Times: N(1), Span: d.Span}}, To: Target{Kind: ToEnd}, Span: d.Span}
		}
		u, whole := b.ops[len(b.ops)-1].(*Until)
		if !whole || u.To.Kind != ToEnd || len(u.Body) != 1 {
			return i, false
		}
		d, plain := u.Body[0].(*Do)
		if !plain || d.Key != "k" && d.Key != "p" && d.Key != "patt" && d.Key != "as-set" {
			return i, false
		}
		base = d.Key
	} else {
		b.ops = append(b.ops, &Until{Body: []Op{&Do{Key: "k", Times: N(1), Span: p.span(i, k)}}, To: Target{Kind: ToEnd}, Span: p.span(i, k)})
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
