package notation

import "rowproof/domain/finding"

// This file reads what is told of a row as a whole: where it is made wider or narrower.

// endsOfRow reads "dec 1 st at each end", "inc in first and last st", "k2tog at beg of row" and
// "inc in every 4th st": in a row that is all knit, purled or in pattern, or as the whole of a row.
func (p *parser) endsOfRow(b *bodyState, i int) (int, bool) {
	j := p.skipWords(i, "and", "while", "whilst", "but", "by")
	if k, ok := p.words(j, "at same time"); ok {
		j = k
	}
	where, down, n := "every", true, N(1)
	every, j, ok := p.everyPair(j)
	if !ok {
		down, n, j, ok = p.wider(j)
		if !ok {
			return i, false
		}
		counted := false
		if where, every, j, ok = p.whereInRow(j); !ok {
			every, j, counted = p.everyMany(j)
			where = "every"
			if !counted {
				return i, false
			}
		}
		if every > 0 && (down && !counted || !n.Single() || n.For(0) != 1) {
			return i, false
		}
	}
	at := p.span(i, j)
	base, wide := b.wholeRowOf(at)
	if wide == nil && len(b.ops) > 0 {
		return i, false
	}
	if wide == nil { // ", work in patt to end" may stand behind
		if p.w(j) == "," {
			var rest bodyState
			q := *p
			q.quiet = true
			if k, ok := q.op(&rest, j+1); ok && (q.rowEnds(k, b.closer) || k >= len(p.toks)) {
				if s, u := rest.wholeRowOf(at); u != nil {
					base, wide, j = s, u, k
				}
			}
		}
		if wide == nil {
			base = "as-set"
			wide = &Until{Body: []Op{&Do{Key: base, Span: at}}, Span: at}
		}
	} else {
		b.ops = b.ops[:len(b.ops)-1]
	}
	if !p.rowEnds(j, b.closer) && p.w(j) != ")" && !p.endsBehind(j) {
		p.addf("end-but-more", at, "“%s” is told of the row as a whole, but more stitches follow; it is worked before them", p.raw(i, j))
	}
	b.ops = append(b.ops, shapedRow(base, wide, where, every, down, n, at)...)
	return j, true
}

// endsBehind says that the other end of the row is told next: ", k2tog at end".
func (p *parser) endsBehind(i int) bool {
	for p.w(i) == "," || p.w(i) == "and" {
		i++
	}
	_, _, j, ok := p.wider(i)
	if ok {
		_, _, _, ok = p.whereInRow(j)
	}
	return ok
}

// everyPair reads "working every 10th and 11th st together": decreases of two stitches each, 11 to a repeat.
func (p *parser) everyPair(i int) (every, end int, ok bool) {
	q, ok := p.words(i, "working|knitting|work|knit|purling|k|taking tog? every|each")
	a, b := p.at(q), p.at(q+2)
	if !ok || a.Kind != Ordinal || b.Kind != Ordinal || b.Val != a.Val+1 || !hasWord(p, q+1, "and", "&") || b.Val > MaxRowNumber {
		return 0, i, false
	}
	k := p.skipWords(q+3, "st")
	if p.w(k) == "tog" {
		k++
	} else if p.w(q-2) != "tog" {
		return 0, i, false
	}
	return b.Val, p.skipWords(k, "across", "throughout"), true
}

// everyMany reads "every 11 sts", "in every 11 sts": how many stitches have one change.
func (p *parser) everyMany(i int) (every, end int, ok bool) {
	q, ok := p.words(i, "in|on|over? every|each")
	if t := p.at(q); !ok || t.Kind != Number || t.Val < 2 || t.Val >= MaxRowNumber || p.w(q+1) != "st" {
		return 0, i, false
	}
	return p.at(q).Val, q + 2, true
}

// wider reads the verb and how many stitches: "dec 1 st", "increasing", "k2tog", "working 2 tog".
func (p *parser) wider(i int) (down bool, n Num, end int, ok bool) {
	n = N(1)
	switch {
	case hasWord(p, i, "dec", "decrease", "decreasing"):
		down, i = true, p.overPoint(i+1)
	case hasWord(p, i, "inc", "increase", "increasing"):
		i = p.overPoint(i + 1)
	case hasWord(p, i, "k2tog", "p2tog", "ssk", "skpo"):
		return true, n, i + 1, true
	default:
		k, tog := p.words(i, "k|knit|p|purl|work|take|knitting|purling|working|taking first|last? 2 st? tog", "k 2 tog", "p 2 tog", "s s k")
		return true, n, k, tog
	}
	if v, k, num := p.num(i); num {
		n, i = v, k
	}
	if p.w(i) == "st" {
		i = p.overPoint(i + 1)
	}
	return down, n, i, true
}

// whereInRow reads where: at "both" ends, its "beg" or "end", or in every so-many-eth stitch.
func (p *parser) whereInRow(i int) (where string, every, end int, ok bool) {
	if k, ok := p.words(i, "at|on|in? each|both|either end|ends|side|sides|edge|edges", "at|on|in beg and at? end", "at|in start and at? end", "in? each|both of? first|1st and last st", "in? first|1st and in? last st"); ok {
		where, i = "both", k
		if q, ok := p.words(i, "of marked|centre|middle|corner st", "of m"); ok { // "at each side of the marked st": of one
			switch p.at(q - 1).Text {
			case "st", "stitch", "m", "marker":
				i = q
			}
		}
	} else if k, ok := p.words(i, "at|on|in beg|start"); ok {
		where, i = "beg", k
	} else if k, ok := p.words(i, "at|on|in end", "at|on? neck|front|armhole|side|left|right|inner|outer edge|end|side"); ok {
		where, i = "end", k
	} else if k, ok := p.words(i, "at|in|on centre|middle"); ok {
		where, i = "centre", k
	} else if k, ok := p.words(i, "in? every|each"); ok {
		switch t := p.at(k); {
		case t.Kind == Ordinal && t.Val > 1 && t.Val < MaxRowNumber:
			every = t.Val
		case t.Text == "other" || t.Text == "alt" || t.Text == "second":
			every = 2
		default:
			return "", 0, i, false
		}
		if p.w(k+1) != "st" {
			return "", 0, i, false
		}
		return "every", every, k + 2, true
	} else {
		return "", 0, i, false
	}
	if k, ok := p.words(i, "of|on this? row|rnd|needle", "of|on every|each|both row|rnd"); ok {
		i = k
	}
	switch p.w(i) {
	case "", ",", ".", ";", ")", "]", "(", "[", "–", "=", ":", "and", "!":
		return where, 0, i, true
	}
	return "", 0, i, false
}

// wholeRowOf is the one stitch that all of the row before is worked in, and nil where there is
// no such: "Knit", "Purl across", "Work in patt to end".
func (b *bodyState) wholeRowOf(at finding.Span) (string, *Until) {
	if len(b.ops) == 0 {
		return "", nil
	}
	switch o := b.ops[len(b.ops)-1].(type) {
	case *Do:
		if onlyYarn(b.ops[:len(b.ops)-1]) && !o.Times.Given() && bareAll[o.Key] {
			return o.Key, &Until{Body: []Op{o}, Span: o.Span}
		}
	case *Until:
		if d, plain := o.Body[0].(*Do); plain && len(o.Body) == 1 && bareAll[d.Key] && (o.To.Kind == ToEnd || o.To.Kind == ToRest) {
			return d.Key, &Until{Body: o.Body, Span: o.Span}
		}
	}
	return "", nil
}

// shapedRow are the steps of such a row.
func shapedRow(base string, wide *Until, where string, every int, down bool, n Num, at finding.Span) []Op {
	inc, dec := "kfb", "ktog"
	if base == "p" {
		inc, dec = "pfb", "ptog"
	}
	count := Num{} // without skipped sizes
	used := Num{}  // stitches that the change is worked over at one end
	for _, v := range n.Vals {
		v = max(0, v)
		count.Vals = append(count.Vals, v)
		if down {
			v *= 2
		}
		used.Vals = append(used.Vals, v)
	}
	change := func() Op { return &Do{Key: inc, Times: count, Span: at} }
	if down {
		change = func() Op { return &Do{Key: dec, Params: []int{2}, Times: count, Span: at} }
	}
	switch where {
	case "every":
		plain := every - 1
		if down {
			plain = every - 2
		}
		body := []Op{&Do{Key: base, Times: N(plain), Span: at}, change()}
		return []Op{&Until{Body: body, To: Target{Kind: ToEnd, Span: at}, Span: at}}
	case "centre":
		first := &Until{Body: wide.Body, To: Target{Kind: TargetCentre, N: N(0), Span: at}, Span: at}
		if down {
			first.To.N = count
		}
		wide.To = Target{Kind: ToEnd, Span: at}
		return []Op{first, change(), wide}
	case "beg":
		wide.To = Target{Kind: ToEnd, Span: at}
		return []Op{change(), wide}
	}
	wide.To = Target{Kind: ToLast, N: used, Span: at}
	if where == "end" {
		return []Op{wide, change()}
	}
	return []Op{change(), wide, change()}
}

// changeEachRow reads "dec 1 st at each end of every row" behind rows that are worked straight, and
// tells by how many stitches they change in all. Where the one row is told in another way,
// "inc in every 5th st", q is where that stands and ok is false.
func (p *parser) changeEachRow(i, end int, rows Num) (change Num, down bool, q int, ok bool) {
	for ; i < end; i++ {
		if !hasWord(p, i, "dec", "decrease", "decreasing", "inc", "increase", "increasing") {
			continue
		}
		down, n, j, _ := p.wider(i)
		where, _, j, ok := p.whereInRow(j)
		if !ok || !rows.Given() {
			return Num{}, false, 0, false
		}
		one := rows.Single() && rows.For(0) == 1
		if where == "every" && one {
			return Num{}, false, i, false
		}
		each := (p.w(j-1) == "row" || p.w(j-1) == "rnd") && hasWord(p, j-2, "every", "each", "both")
		if where == "centre" && one {
			if q, ok := p.words(j, "st"); ok {
				j = q
			}
			return n, down, j, true
		}
		if where == "both" && one { // "dec 1 st at each end and 1 st in centre"
			if m, q, ok := p.num(p.skipWords(j, "and")); ok {
				if w, _, e, ok := p.whereInRow(p.skipWords(q, "st")); ok && w == "centre" {
					return sumNum(mulNum(n, N(2)), m), down, e, true
				}
			}
		}
		if where == "every" || !each && !one {
			return Num{}, false, 0, false
		}
		if where == "both" {
			n = mulNum(n, N(2))
		}
		return mulNum(n, rows), down, j, true
	}
	return Num{}, false, 0, false
}

// placeFirst reads a shaping sentence that begins with its place: "At beg of next 2 rows, bind off 3 sts."
func (p *parser) placeFirst(start, i int) (*Shape, int, bool) {
	s := &Shape{At: "beg", Places: 1}
	k, ok := p.words(i, "at|on beg|end|start of|on")
	if !ok {
		if k, ok = p.words(i, "at|on each|both|either end|ends|side|sides of|on"); ok {
			s.At, s.Places = "both", 2
		} else if k, ok = p.words(i, "on|in"); ok {
			s.At = "" // "On the 5th row and every following 6th row, increase 1 stitch at each end"
		} else {
			return nil, i, false
		}
	} else if p.w(k-2) == "end" {
		s.At = "end"
	}
	w, k, ok := p.when(k)
	if !ok || w.Every > 0 && !w.Times.Given() && !w.First && s.At != "" {
		return nil, i, false
	}
	if p.w(k) == "," {
		k++
	}
	switch {
	case hasWord(p, k, "dec", "decrease"):
		s.Do, k = "dec", k+1
	case hasWord(p, k, "inc", "increase"):
		s.Do, k = "inc", k+1
	default:
		if q, ok := p.words(k, "co", "cast on"); ok {
			s.Do, k = "cast", q
		} else if q, ok := p.words(k, "bo", "bind|cast off"); ok {
			s.Do, k = "bind", q
		} else {
			return nil, i, false
		}
	}
	n, q, ok := p.num(k)
	if !ok || p.w(q) != "st" {
		return nil, i, false
	}
	s.N, s.When = n, w
	q++
	if s.At == "" {
		if e, ok := p.words(q, "at|on each|both|either end|ends|side|sides"); ok {
			s.At, s.Places, q = "both", 2, e
		} else if e, ok := p.words(q, "at beg|end"); ok {
			s.At, q = p.w(e-1), e
		} else {
			return nil, i, false
		}
	}
	if e, ok := p.words(q, ", k|knit|p|purl|work|patt in? patt? to end of? row?", ", k|knit|p|purl|work across", "and k|knit|p|purl|work|patt to end", "at|of beg|start of? row? , k|knit|p|purl|work|patt to end"); ok && w.Next == 1 { // "At beg of next RS row, BO 4 sts, knit to end."
		q = e
	}
	if p.w(q) == "," {
		if _, _, ok := p.untilCond(q + 1); ok {
			q++
		}
	}
	if u, e, ok := p.untilCond(q); ok && u.Sts.Given() {
		s.Until, q = u.Sts, e
	} else if w.Every > 0 && !w.Times.Given() || w.First && !w.Times.Given() || w.Then != nil && !w.Then.Times.Given() {
		return nil, i, false
	}
	if st, r, ok := p.stated(q); ok {
		s.Stated, q = st, r
	}
	if p.w(q) == "." || p.w(q) == ";" {
		q++
	} else if q < len(p.toks) && !(len(s.Stated) > 0 && p.w(q-1) == ".") {
		return nil, i, false
	}
	s.Words, s.Span = p.raw(start, q), p.span(start, q)
	return s, q, true
}

// overPoint passes the point of an abbreviation that ends before i.
func (p *parser) overPoint(i int) int {
	if p.w(i) == "." && p.at(i).Glued {
		i++
	}
	return i
}

// forPart passes words that say which part of the work stitches are: "for a sleeve", "for half of back", "at underarm".
func (p *parser) forPart(i int) (int, bool) {
	if k, ok := p.words(i, "at each? underarm|underarms", "at the? underarm|underarms", "under the arm|sleeve", "at neck edge"); ok && (k >= len(p.toks) || hasWord(p, k, ",", ";", ".", ")", "and")) {
		return k, true
	}
	if p.w(i) != "for" {
		return i, false
	}
	return p.pieceWords(i)
}

// forLength reads "for 6 cm" at the end of a sentence.
func (p *parser) forLength(i int) (int, bool) {
	if p.w(i) != "for" || p.at(i+1).Kind != Number {
		return i, false
	}
	j, ok := p.lengthAt(i + 1)
	if !ok || j < len(p.toks) && p.w(j) != "." && p.w(j) != ";" {
		return i, false
	}
	return j, true
}

// forRows reads "for 20 rounds" at the end of a sentence.
func (p *parser) forRows(i int) (Num, int, bool) {
	if p.w(i) != "for" {
		return Num{}, i, false
	}
	n, j, ok := p.num(i + 1)
	if !ok || p.w(j) != "row" && p.w(j) != "rnd" {
		return Num{}, i, false
	}
	j++
	if j < len(p.toks) && p.w(j) != "." && p.w(j) != ";" {
		return Num{}, i, false
	}
	return n, j, true
}
