package notation

// shape reads a shaping sentence: "dec 1 st each end of next and every foll 6th
// row 5 times", "bind off 6 sts at beg of next 2 rows".
func (p *parser) shape(i int) (*Shape, int, bool) {
	start := i
	s := &Shape{}
	for {
		if k, ok := p.words(i, "at same time ,?", "at the same time ,?", "and at same time ,?", "and", "then", "but", "also", "now", "shape armhole|armholes|neck by", "next ,"); ok && k > i {
			if p.w(i) == "at" || p.w(k-1) == "time" || p.w(k-2) == "time" || p.w(k-1) == "times" || p.w(k-2) == "times" {
				s.Same = true
			}
			i = k
			continue
		}
		if p.w(i) == "," || p.w(i) == ":" || isDash(p.w(i)) {
			i++
			continue
		}
		break
	}
	j, ok := p.words(i, "keeping|keep|working patt? correct ,?", "keeping in patt ,?", "working in patt ,?", "keeping patt correct ,?", "working inc|incs|increased st into|in patt ,?", "cont in patt ,?", "maintaining patt ,?", "keeping continuity of patt ,?", "cont in patt , and?", "cont in st st ,? and?")
	if ok {
		i = j
	}
	if k, ok := p.words(i, "keeping|with shaping|decs|incs in line ,?", "keeping in line ,?"); ok {
		i = k
	}
	told := false // "continue decreasing 4 sts on next and every alt round": shaping that is told whole
	if k, ok := p.words(i, "cont|continue to? dec|inc|decreasing|increasing"); ok {
		if _, q, ok := p.num(k); ok && p.w(q) == "st" {
			q = p.shapedAsBefore(q + 1)
			told = hasWord(p, q, "on", "in", "at", "each", "every", "next") && !p.ofGroup(q, p.sentenceEnd(q))
			if told {
				i = k - 1
			}
		}
	}
	if t, j, ok := p.towards(start, i); ok && !told {
		return t, j, true
	}
	switch p.w(i) {
	case "change", "cont", "continue", "beg", "beginning", "work", "working", "keep", "keeping", "knit", "starting":
		e := p.sentenceEnd(i)
		for q := i + 1; q < e && q < i+24; q++ {
			if hasWord(p, q, "dec", "inc", "decrease", "increase", "decreasing", "increasing", "decs", "incs") && (p.w(q-1) == "," || p.w(q-1) == "and" || p.w(q-1) == "but" || p.w(q-1) == "then") && (p.at(q+1).Kind == Number || p.at(q+1).Kind == Ordinal) {
				i = q
				break
			}
		}
	}
	switch {
	case hasWord(p, i, "dec", "decrease", "decreasing"):
		s.Do, i = "dec", i+1
	case hasWord(p, i, "inc", "increase", "increasing"):
		s.Do, i = "inc", i+1
	default:
		if j, ok := p.words(i, "bo", "bind|cast|casting|binding off"); ok {
			s.Do, i = "bind", j
		} else if j, ok := p.words(i, "co", "cast|casting on"); ok {
			s.Do, i = "cast", j
		} else if j, ok := p.words(i, "work dec|decs", "make 1 dec"); ok {
			s.Do, i = "dec", j
		} else if p.verb != "" && i > 0 && i > start && p.at(i).Kind == Number { // ", then 8 sts at beg of foll 2 rows"
			s.Do = p.verb
		} else {
			return nil, start, false
		}
	}
	if p.w(i) == "." && p.at(i).Glued {
		i++
	}
	i = p.skipWords(i, "in", "patt", "rib", "loosely", "first", "next", "then", "by")
	s.N = N(1)
	if n, j, ok := p.num(i); ok {
		s.N, i = n, j
	} else if p.at(i).Kind == Ordinal && p.at(i).Val == 1 {
		i++
	}
	i = p.shapedAsBefore(p.skipWords(i, "st", "more"))
	i = p.skipWords(i, "in", "patt")
	end := p.sentenceEnd(i)
	seenAt := false
	// where
	s.Places = 1
	read := func() bool {
		if k, ok := p.words(i, "at|on|in? each|both end|ends|side|sides|edge|edges of m", "each|either side of each|every|all m", "at|on? either|each side of each raglan? m", "each|either side of 4 m"); ok && p.w(k-1) == "m" {
			// each side of a marker: how many markers is not said here; two for one
			s.At, s.Places, i = "marker", 2, k
			return true
		}
		if k, ok := p.words(i, "at|on|in? each|both|either end|ends|side|sides|edge|edges", "at|on each|both armhole|neck? edge|edges|end|side", "at|on|in beg|end and end|beg"); ok {
			s.At, s.Places, i = "both", 2, k
			return true
		}
		if k, ok := p.words(i, "at|on|in beg", "at|on|in start", "at the beginning", "at|on|in first|right edge|end"); ok {
			s.At, i = "beg", k
			return true
		}
		if k, ok := p.words(i, "at|on|in end"); ok {
			s.At, i = "end", k
			return true
		}
		if k, ok := p.words(i, "at|on|in? neck|front|armhole|side|seam|left|right|inner|outer|center|centre|raglan|wrist|same|both? edge|edges|side|end"); ok {
			s.At, i = p.w(k-2), k
			return true
		}
		return false
	}
	for read() {
		seenAt = true
		i = p.skipWords(i, "of", "on", "in", "st")
		if openers[p.w(i)] != "" { // (end of RS rows)
			for k := i + 1; k < end && k < i+8; k++ {
				if p.w(k) == openers[p.w(i)] {
					if s2, _, ok := p.sideWord(i + 1); ok {
						s.When.Side = s2
					} else if _, q, ok := p.find(i, k, "of"); ok {
						if s2, _, ok := p.sideWord(q); ok {
							s.When.Side = s2
						}
					}
					i = k + 1
					break
				}
			}
		}
	}
	i = p.skipWords(i, "of", "on", "in", "st")
	w, j, ok := p.when(i)
	if ok {
		side := s.When.Side
		s.When, i = w, j
		if s.When.Side == "" {
			s.When.Side = side
		}
		if !seenAt && s.Do != "bind" && s.Do != "cast" {
			s.Places = 1
		}
	} else if !seenAt {
		return nil, start, false
	} else if u, j, ok := p.untilCond(i); ok && u.Sts.Given() {
		s.Until, i = u.Sts, j
		s.When.Every = 1
	} else {
		return nil, start, false
	}
	// where, behind when: "dec 1 st on next row at neck edge"
	if !seenAt {
		i = p.skipWords(i, ",")
		if read() {
			seenAt = true
		}
	}
	if !seenAt && s.Do != "dec" && s.Do != "inc" {
		return nil, start, false
	}
	for {
		if k, ok := p.words(i, ",? then on?", ",? and then on?", ",? and on", "and"); ok {
			if q, ok := p.words(k, "at|on each|both end|ends|side of?", "at same edge of?|on?", "at armhole|neck|front|side edge of?|on?"); ok {
				k = q
			}
			if w, q, ok := p.when(k); ok {
				s.When.add(&w)
				i = q
				continue
			}
		}
		if u, q, ok := p.untilCond(i); ok && u.Sts.Given() {
			s.Until, i = u.Sts, q
			continue
		}
		break
	}
	if _, ok := p.words(i, "at same time"); !ok {
		i = p.skipWords(i, "as", "est", "set", "in", "patt", "at", "the", "same", "edge", "for", "armhole", "armholes", "raglan", "neck", "shaping", "sleeve")
	}
	if st, q, ok := p.stated(i); ok {
		s.Stated, i = st, q
	} else {
		e := p.sentenceEnd(i)
		for q := i; q < e; q++ {
			if st, r, ok := p.stated(q); ok {
				s.Stated, e = st, r
				break
			}
			if u, _, ok := p.untilCond(q); ok && u.Sts.Given() {
				s.Until = u.Sts
			}
			if k, ok := p.words(q, "at same time ,?", "and at same time ,?", "whilst|while at same time ,?"); ok && k < e && hasWord(p, k, "dec", "inc", "decrease", "increase", "decreasing", "increasing", "bind", "cast", "bo", "shape", "work") {
				e = q // another shaping, in the same rows
				break
			}
			if (p.w(q) == "," || p.w(q) == ";" || p.w(q) == "and") && q >= i {
				r := q + 1
				for p.w(r) == "and" || p.w(r) == "then" || p.w(r) == "," {
					r++
				}
				if p.sentenceStarts(r) {
					e = q
					break
				}
			}
		}
		i = e
		if st, q, ok := p.stated(i); ok && len(s.Stated) == 0 {
			s.Stated, i = st, q
		}
	}
	if p.w(i) == "." || p.w(i) == ";" || p.w(i) == "," {
		i++
	}
	p.verb = s.Do
	s.Words = p.raw(start, i)
	s.Span = p.span(start, i)
	return s, i, true
}

// ofGroup says that a sentence counts some of the stitches alone: "until there are 15
// sts in gusset".
func (p *parser) ofGroup(i, end int) bool {
	for ; i < end; i++ {
		if hasWord(p, i, "gusset", "between", "thumb", "sleeve", "each") && (p.w(i-1) == "in" || p.w(i-1) == "for" || p.w(i-1) == "st" || p.w(i-1) == "the") {
			return true
		}
	}
	return false
}

// shapedAsBefore passes "in this way", "as before", "as set" behind a number of stitches.
func (p *parser) shapedAsBefore(i int) int {
	if k, ok := p.words(i, "in this|same way|manner", "in the same way|manner", "as before|set|est|established", "in patt as set"); ok {
		return k
	}
	return i
}

// towards reads "continue in this way until 3 sts remain": shaping that goes on
// as it was begun, told by where it ends.
func (p *parser) towards(start, i int) (*Shape, int, bool) {
	j, ok := p.words(i, "work|cont|continue|proceed|go on? in this way|manner", "cont|continue|work on? as set|est|established", "work on in this way", "cont|continue to? dec|inc|decreasing|increasing", "cont|continue in this|same way|manner", "keep on? dec|decreasing|inc|increasing", "cont|continue|work in patt as set", "work on in same way")
	if !ok {
		return nil, start, false
	}
	end := p.sentenceEnd(i)
	for k := j; k < end; k++ {
		if u, q, ok := p.untilCond(k); ok && u.Sts.Given() {
			s := &Shape{Do: "towards", Until: u.Sts}
			for r := q; r < end; r++ { // "… until 40 sts rem, then on every rnd until 8 sts rem"
				if more, e, ok := p.untilCond(r); ok && more.Sts.Given() {
					s.Until, q = more.Sts, e
				}
			}
			group := p.ofGroup(k, end)
			if group {
				q = end
				for p.w(q) == "." {
					q++
				}
				st, r, ok := p.stated(q)
				if !ok || len(st) == 0 || st[0].Kind != CountAll {
					return nil, start, false
				}
				s.Until, s.Stated, q = st[0].N, st, r
			}
			if st, r, ok := p.stated(q); ok && !group {
				s.Stated, q = st, r
			}
			q = max(q, min(end, len(p.toks)))
			if p.w(q) == "." {
				q++
			}
			s.Words, s.Span = p.raw(start, q), p.span(start, q)
			return s, q, true
		}
	}
	return nil, start, false
}

func hasWord(p *parser, i int, ws ...string) bool {
	for _, w := range ws {
		if p.w(i) == w {
			return true
		}
	}
	return false
}

// add hangs what comes then behind the last.
func (w *When) add(then *When) {
	last := w
	for last.Then != nil {
		last = last.Then
	}
	last.Then = then
}

// when reads "next and every foll 6th row 5 times", "every RS row", "next 3 rows".
func (p *parser) when(i int) (When, int, bool) {
	start := i
	var w When
	i = p.skipWords(i, "of", "on", "in", "following", "this")
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
			if k, ok := p.eventRows(j, &v); ok {
				w.First, w.Every, w.Each, w.Side = true, v.Every, v.Each, v.Side
				w.Times = v.Times
				i = k
			} else if n, k, ok := p.num(j); ok {
				_ = n
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
		for p.w(j) == "and" || p.w(j) == "&" || p.w(j) == "," || p.w(j) == "then" {
			j++
		}
		v := When{}
		if k, ok := p.eventRows(j, &v); ok {
			w = When{Every: first, Times: N(1), Then: &v}
			i = k
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
	if t, k, ok := p.times(i); ok && !w.Times.Given() || ok && w.First {
		w.Times, i = t.N, k
		w.More = t.Kind == TimesMore
		w.Total = t.Kind == TimesTotal
	}
	if w.Next == 0 && w.Every == 0 {
		return w, start, false
	}
	return w, i, true
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
		case "alt", "other", "alternating":
			w.Every = 2
			seen = true
			i++
			continue
		case "row", "rnd":
			if !seen {
				return i, false
			}
			return i + 1, true
		}
		if n, j, ok := p.ordinals(i); ok && seen && (each || n.Single()) {
			w.setEvery(n)
			i = j
			continue
		}
		if n, j, ok := p.num(i); ok && seen { // "foll 4 alt rows", "foll 4 RS rows"
			if q, ok := p.words(j, "alt|other|alternate row|rnd"); ok {
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
