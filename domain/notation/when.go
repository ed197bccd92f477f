package notation

// This file reads when shaping happens: "every 4th row 5 times, then every other row twice".

// add hangs what comes then behind the last.
func (w *When) add(then *When) {
	last := w
	for last.Then != nil {
		last = last.Then
	}
	last.Then = then
}

// thenWhen reads what comes behind w: ", then every other row twice, and on every row 3 times".
func (p *parser) thenWhen(w *When, j int) int {
	for {
		k, ok := p.words(j, ",? then on?", ",? and then on?", ",? and on", "and")
		if !ok {
			return j
		}
		v, q, ok := p.when(k)
		if !ok || v.Every == 0 || !v.Times.Given() {
			return j
		}
		w.add(&v)
		j = q
	}
}

// when reads "next and every foll 6th row 5 times", "every RS row", "next 3 rows".
func (p *parser) when(i int) (When, int, bool) {
	start := i
	var w When
	i = p.skipWords(i, "of", "on", "in", "following", "this")
	if n, k, ok := p.num(p.skipWords(i, "the")); ok && n.Single() && p.w(k) == "row" { // "10 sts at the beg of the 2 rows after that"
		if q, ok := p.words(k+1, "after that|those|these|them"); ok {
			w.Next = min(n.For(0), 100000)
			return w, q, true
		}
	}
	if v, k, ok := p.countedRows(p.skipWords(i, "the", "then")); ok { // "on 7 foll 4th rows"
		return v, k, true
	}
	if p.w(i-1) == "this" && p.w(i) == "and" { // "on this and every following alternate round"
		v := When{}
		if k, ok := p.eventRows(p.skipWords(i+1, "then", "on"), &v); ok {
			w.Next, w.First, w.Every, w.Each, w.Side, w.Times, w.More = 1, true, v.Every, v.Each, v.Side, v.Times, v.Times.Given()
			return w, k, true
		}
	}
	if p.w(i-1) == "this" && (p.w(i) == "row" || p.w(i) == "rnd") {
		w.Next = 1
		i++
	} else if p.w(i-1) == "following" && i > start {
		// "foll 6th row", "foll 3 rows", "foll alt row"
		i--
		if k, ok := p.eventRows(i, &w); ok {
			i = k
		} else {
			return w, start, false
		}
	} else if p.w(i) == "next" || p.w(i) == "first" || p.w(i) == "last" || p.at(i).Kind == Ordinal && p.at(i).Val == 1 && p.at(i).Text != "1st" {
		i++
		w.Next = 1
		if n, k, ok := p.num(i); ok {
			if !n.Single() {
				w.Times, w.Every, w.Next = n, 1, 0
			} else {
				w.Next = min(n.For(0), 100000)
			}
			i = k
		} else if p.at(i).Kind == Ordinal { // "next 4th row"
			w.Next, w.Every, w.Times = 0, p.at(i).Val, N(1)
			i++
		}
		if s, k, ok := p.sideWord(i); ok {
			w.Side, i = s, k
			if w.Every == 1 {
				w.Every = 2
			} else if w.Next > 1 {
				w.Times, w.Every, w.Next = N(w.Next), 2, 0
			}
		}
		if hasWord(p, i, "k", "knit", "p", "purl") && p.w(i+1) == "row" && w.Side == "" { // "next 5 knit rows"
			if i++; w.Every == 1 {
				w.Every = 2
			} else if w.Next > 1 {
				w.Times, w.Every, w.Next = N(w.Next), 2, 0
			}
		}
		if p.w(i) == "alt" || p.w(i) == "other" {
			i++
			if w.Every == 1 {
				w.Every = 2
			} else if w.Next >= 1 {
				w.Times, w.Every, w.Next = N(w.Next), 2, 0
			}
		}
		and := p.w(i) == "and" || p.w(i) == "&"
		if p.w(i) == "row" || p.w(i) == "rnd" {
			i++
		} else if !and {
			return w, start, false
		}
		j := i
		for p.w(j) == "and" || p.w(j) == "&" || p.w(j) == "," || p.w(j) == "then" || p.w(j) == "on" || p.w(j) == "in" {
			j++
		}
		if j > i && w.Next == 1 {
			v := When{}
			if k, ok := p.eventRows(p.skipWords(j, "of"), &v); ok && v.Every > 0 && !v.Times.Given() { // "next row, then of every 2nd row, 26 times in all"
				if t, q, ok := p.times(p.skipWords(k, ",")); ok && t.Kind == TimesTotal {
					w.First, w.Every, w.Side, w.Times, w.More = true, v.Every, v.Side, addNum(t.N, -1), true
					return w, q, true
				}
			}
			v = When{}
			if c, k, ok := p.countedRows(j); ok { // "next and 13 foll 6th rows"
				w.Then, i = &c, k
				return w, i, true
			}
			if k, ok := p.eventRows(j, &v); ok {
				if v.Total && v.Times.Given() { // "next and every alt row 11 times in all": ten behind the first
					v.Times = addNum(v.Times, -1)
				}
				w.First, w.Every, w.Each, w.Side = true, v.Every, v.Each, v.Side
				w.Times, w.More = v.Times, v.Times.Given() // "next and foll 3 alt rows": four of them
				i = k
			} else if n, k, ok := p.num(j); ok {
				if q, ok := p.words(k, "following alt row", "following row"); ok {
					w.First, w.Every, w.Times = true, 2, n
					if p.w(q-2) != "alt" {
						w.Every = 1
					}
					i = q
					w.More = true
				}
			} else if and && p.w(i-1) != "row" && p.w(i-1) != "rnd" {
				return w, start, false
			}
		}
	} else if k, ok := p.eventRows(i, &w); ok {
		i = k
	} else if p.at(i).Kind == Ordinal { // "5th and every foll 4th row"
		first := p.at(i).Val
		j := i + 1
		if p.w(j) == "row" || p.w(j) == "rnd" {
			j++
			w.Every, w.Times = first, N(1)
		}
		for p.w(j) == "and" || p.w(j) == "&" || p.w(j) == "," || p.w(j) == "then" || p.w(j) == "of" && p.w(j-1) == "and" {
			j++
		}
		if k, ok := p.words(j, "at each|both end|ends|side|sides of?", "on"); ok && j > i+2 {
			j = k
		}
		v := When{}
		if c, k, ok := p.countedRows(j); ok { // "5th and 13 foll 6th rows"
			return When{Every: first, Times: N(1), Then: &c}, k, true
		}
		if k, ok := p.eventRows(j, &v); ok {
			w = When{Every: first, Times: N(1), Then: &v}
			i = k
			if _, q, ok := p.times(i + 1); ok && p.w(i) == "," && (q >= len(p.toks) || hasWord(p, q, ".", ",", ";", ":", "(", "=", "–", "[")) {
				i++ // "7th and every foll 6th row, 14 times in all"
			}
			if t, q, ok := p.times(i); ok {
				v.Times = t.N
				i = q
				if t.Kind == TimesTotal { // the first is one of them
					v.Times = addNum(t.N, -1)
				}
			}
			return w, i, true
		}
		if w.Every == 0 {
			return w, start, false
		}
		i = j
	} else {
		return w, start, false
	}
	if _, k, ok := p.times(i + 1); ok && p.w(i) == "," && !w.Times.Given() && w.Next == 0 && (k >= len(p.toks) || hasWord(p, k, ".", ",", ";", ":", "(", "=", "–", "[")) {
		i++ // "every 6th row, 5 times"
	}
	if t, k, ok := p.times(i); ok && !w.Times.Given() || ok && w.First {
		w.Times, i = t.N, k
		w.More = t.Kind == TimesMore
		w.Total = t.Kind == TimesTotal
		if w.First && w.Total { // "next and alt rows 11 times in all": ten behind the first
			w.Times, w.More, w.Total = addNum(w.Times, -1), true, false
		}
	}
	if n, k, ok := p.forNextRows(i, w.Every); ok && w.Every > 0 && !w.Times.Given() && !w.First {
		w.Times, i = n, k
	}
	if w.Next == 0 && w.Every == 0 {
		return w, start, false
	}
	if p.w(i) == "for" && w.Every > 0 && !w.Each.Given() && !w.Times.Given() && !w.First { // "every alt row for 8 rows"
		if n, k, ok := p.num(i + 1); ok && (p.w(k) == "row" || p.w(k) == "rnd") {
			w.Times, i = divNum(n, w.Every), k+1
		}
	}
	return w, i, true
}

// countedRows reads "13 (14, 15) foll 6th rows", "6 foll alt rows": so many rows, each so many rows behind the last.
func (p *parser) countedRows(i int) (When, int, bool) {
	n, j, ok := p.num(i)
	if !ok || p.at(i).Kind != Number && openers[p.w(i)] == "" && !isDash(p.w(i)) || !hasWord(p, j, "following", "subsequent", "more", "further") {
		return When{}, i, false
	}
	j++
	w := When{Every: 1, Times: n}
	if s, k, ok := p.sideWord(j); ok {
		w.Side, w.Every, j = s, 2, k
	} else if hasWord(p, j, "alt", "other") {
		w.Every = 2
		j++
	} else if m, k, ok := p.ordinals(j); ok {
		w.setEvery(m)
		j = k
	} else if !hasWord(p, j-1, "following", "subsequent") { // "and 3 foll rows"
		return When{}, i, false
	}
	if p.w(j) != "row" && p.w(j) != "rnd" {
		return When{}, i, false
	}
	return w, j + 1, true
}

// divNum is how often d goes into each value.
func divNum(n Num, d int) Num {
	out := Num{Span: n.Span}
	for _, v := range n.Vals {
		if v != Skip {
			v /= d
		}
		out.Vals = append(out.Vals, v)
	}
	return out
}

// ordinals reads "8th", "8th (6th, 6th)", "8 (6, 6)th".
func (p *parser) ordinals(i int) (Num, int, bool) {
	last := min(i+3*max(1, p.sizes), len(p.toks))
	first := p.at(i).Kind == Ordinal
	if !first {
		if p.at(i).Kind != Number {
			return Num{}, i, false
		}
		n, j, ok := p.num(i)
		if !ok || !hasWord(p, j, "th", "rd", "nd", "st") || !p.at(j).Glued {
			return Num{}, i, false
		}
		n.Span = p.span(i, j+1)
		return n, j + 1, true
	}
	q := *p
	q.toks = append([]Token(nil), p.toks...)
	for k := i; k < last; k++ {
		if q.toks[k].Kind == Ordinal {
			q.toks[k].Kind = Number
		}
	}
	if n, j, ok := q.num(i); ok && !n.Single() {
		return n, j, true
	}
	return N(p.at(i).Val), i + 1, true
}

// setEvery keeps the interval between rows, in rows, from 1 to 10000.
func (w *When) setEvery(n Num) {
	if n.Single() {
		w.Every, w.Each = min(max(1, n.For(0)), 10000), Num{}
		return
	}
	for i, v := range n.Vals {
		if v != Skip {
			n.Vals[i] = min(max(1, v), 10000)
		}
	}
	w.Every, w.Each = max(1, n.Vals[0]), n
}

// eventRows reads "every foll 6th row", "every RS row", "every alt row", "each rnd".
func (p *parser) eventRows(i int, w *When) (int, bool) {
	if p.w(i) == "on" || p.w(i) == "in" {
		i++
	}
	seen, each := false, false
	w.Every = 1
	for i < len(p.toks) {
		if s, j, ok := p.sideWord(i); ok {
			w.Side, w.Every = s, 2
			i, seen = j, true
			if p.w(i-1) == "row" {
				return i, true
			}
			continue
		}
		switch p.w(i) {
		case "of", "next": // "each of the next 4 RS rows"
			if !seen {
				return i, false
			}
			i++
			continue
		case "every", "each", "following", "all", "the", "subsequent":
			seen = true
			each = each || p.w(i) == "every" || p.w(i) == "each"
			i++
			continue
		case "eor": // every other row
			w.Every = 2
			return i + 1, true
		case "alt", "other", "alternating":
			w.Every = 2
			seen = true
			i++
			continue
		case "knit", "purl", "k", "p": // "every knit row" of stocking stitch
			if !seen || p.w(i+1) != "row" {
				return i, false
			}
			w.Every = 2
			i++
			continue
		case "row", "rnd":
			if !seen {
				return i, false
			}
			return i + 1, true
		}
		if j, ok := p.everyLength(i); ok && each { // "every 3 (2.5, 2) cm"
			w.Every, w.Length = 2, p.bracketed(p.raw(i, j))
			return j, true
		}
		if n, j, ok := p.ordinals(i); ok && seen && (each || n.Single()) {
			w.setEvery(n)
			i = j
			continue
		}
		if n, j, ok := p.num(i); ok && seen { // "foll 4 alt rows", "foll 4 RS rows"
			if q, ok := p.words(j, "alt|other row|rnd"); ok {
				w.Times, w.Every = n, 2
				return q, true
			}
			if s, q, ok := p.sideWord(j); ok && p.w(q) == "row" {
				w.Times, w.Every, w.Side = n, 2, s
				return q + 1, true
			}
		}
		if n, j, ok := p.num(i); ok && seen && (p.w(j) == "row" || p.w(j) == "rnd") {
			_, _, often := p.times(j + 1)
			switch before := p.w(i - 1); {
			case each && (before == "every" || before == "each" || often):
				w.setEvery(n) // "every 6 rows", "every foll 6 (4) rows 3 times"
			default:
				w.Times = n
			}
			i = j
			continue
		}
		return i, false
	}
	return i, false
}

// everyLength reads the length between two rows that shape: "3 cm", "1¼ in [3 cm]", "3 (2.5, 2) cm".
func (p *parser) everyLength(i int) (int, bool) {
	if p.at(i).Kind != Number {
		return i, false
	}
	j := i
	for ; j < len(p.toks) && j < i+40; j++ {
		if t := p.at(j); t.Kind != Number && nesting(t.Text) == 0 && t.Text != "," && t.Text != ":" && t.Text != "/" && !isDash(t.Text) {
			break
		}
	}
	if !lengthUnit(p.w(j)) || p.at(j-1).Kind != Number && !closes(p.w(j-1)) {
		return i, false
	}
	j++
	for p.w(j) == "/" || openers[p.w(j)] != "" && p.at(j+1).Kind == Number { // the same in other units
		k, ok := p.everyLength(j + 1)
		if !ok {
			break
		}
		if j = k; closes(p.w(j)) {
			j++
		}
	}
	return j, true
}

// forNextRows reads "for the next 6 (7, 8) rows" behind "every row" or "every alt row": how often that is.
func (p *parser) forNextRows(i, every int) (Num, int, bool) {
	k, ok := p.words(i, "for? the? next|following", "for the?", "over the? next|following?")
	if !ok || every < 1 {
		return Num{}, i, false
	}
	n, j, ok := p.num(k)
	if !ok || p.w(j) != "row" && p.w(j) != "rnd" {
		return Num{}, i, false
	}
	out := Num{Span: n.Span}
	for _, v := range n.Vals {
		if v != Skip {
			if v%every != 0 && v%every != 1 { // "every alt row for 5 rows": the first one begins
				return Num{}, i, false
			}
			v = (v + every - 1) / every
		}
		out.Vals = append(out.Vals, v)
	}
	return out, j + 1, true
}

// whenFirst is a parser that reads "On every 6th row, inc 1 st at both ends 14 times" at i as "Inc 1 st at both
// ends on every 6th row 14 times"; fewer says by how many words it is shorter.
func (p *parser) whenFirst(i int) (q *parser, fewer int, ok bool) {
	at := i
	switch p.w(i) {
	case "on", "in":
	case "at":
		if at, ok = p.words(i, "at each|both|either end|ends|side|sides|edge|edges of?|on?"); !ok {
			return nil, 0, false
		}
	default:
		return nil, 0, false
	}
	w, k, ok := p.when(at)
	if !ok || w.Every == 0 && w.Next == 0 || w.Times.Given() {
		return nil, 0, false
	}
	c := k
	if p.w(c) == "," {
		c++
	}
	v, ok := p.words(c, "inc|increase|dec|decrease")
	if !ok {
		return nil, 0, false
	}
	_, e, ok := p.num(p.overPoint(v))
	if !ok || p.w(e) != "st" {
		return nil, 0, false
	}
	e++
	if q, ok := p.words(e, "at? each|both|either end|ends|side|sides|edge|edges"); ok {
		e = q
	}
	out := *p
	out.toks = append([]Token(nil), p.toks[:i]...)
	for _, part := range [...][]Token{p.toks[c:e], p.toks[i:k], p.toks[e:]} {
		out.toks = append(out.toks, part...)
	}
	return &out, c - k, true
}
