package notation

// This file reads the clauses of a sentence of shaping: what leads into it, how far it goes, and what goes on behind it.

// untilTakenOff reads "until 18 sts in all have been taken off at the front edge", "until 18 decs have been worked".
func (p *parser) untilTakenOff(i int) (Num, int, bool) {
	if !hasWord(p, i, "until", "till") {
		return Num{}, i, false
	}
	n, j, ok := p.num(p.skipWords(i+1, "a", "total", "of"))
	if !ok {
		return Num{}, i, false
	}
	j = p.skipWords(j, "st", "decs", "decrease", "such", "in", "all", "total", "altogether")
	k, ok := p.words(j, "have been taken off", "have been dec|decreased|worked|lost|removed|inc|increased|added", "decs|decrease|incs|increase have been worked|made", "been taken off")
	if !ok {
		return Num{}, i, false
	}
	if q, ok := p.words(k, "at neck|front|armhole|side|inner|outer edge", "at each|this|same edge", "at|on each|both|either side|sides|end|ends|edges"); ok {
		k = q
	}
	return n, p.skipWords(k, "in", "all", "total"), true
}

// timesOrOnce reads "twice", "3 times" at i, or the "once" that was passed before it.
func (p *parser) timesOrOnce(i int) (Target, int, bool) {
	if p.w(i-1) == "once" {
		return Target{Kind: TimesInAll, N: N(1), Span: p.span(i-1, i)}, i, true
	}
	return p.times(i)
}

// goesOnOtherwise reads what goes on behind the count of a shaping, at other rows: "Dec 1 st each side every RS row
// 8 times – 36 sts, then every 4th row twice – 32 sts".
func (p *parser) goesOnOtherwise(start, i int) (*Shape, int, bool) {
	above := p.shaped
	if k, ok := p.words(i, "at each|both end|ends|side|sides of|on"); ok && above != nil && above.Places == 2 { // "…, 84 sts, then at each end of foll 3 alternate rows"
		i = k
		if w, j, ok := p.when(i); ok && w.Times.Given() && len(above.Stated) > 0 {
			s := &Shape{Do: above.Do, N: above.N, At: above.At, Places: above.Places, When: w}
			if st, j, ok := p.statedToEnd(j, p.sentenceEnd(j)); ok {
				s.Stated, s.Words, s.Span = st, p.raw(start, j), p.span(start, j)
				p.shaped = s
				return s, j, true
			}
		}
		return nil, i, false
	}
	if above == nil || len(above.Stated) == 0 || !hasWord(p, start, "then", "and") && !hasWord(p, start-1, ",", ";") || p.w(i) != "every" && !hasWord(p, i, "on", "each") {
		return nil, i, false
	}
	w, j, ok := p.when(p.skipWords(i, "on"))
	if !ok || w.Every == 0 || !w.Times.Given() {
		return nil, i, false
	}
	s := &Shape{Do: above.Do, N: above.N, At: above.At, Places: above.Places, When: w}
	end := p.sentenceEnd(j)
	st, j, ok := p.statedToEnd(j, end)
	if !ok {
		return nil, i, false
	}
	s.Stated, s.Words, s.Span = st, p.raw(start, j), p.span(start, j)
	p.shaped = s
	return s, j, true
}

// besideShape gives a shaping that has no end of its own as many times as fit into the rows of the one beside it: "Dec 1 st at
// raglan edge on next row and every foll alt row, at the same time dec 1 st at neck edge on next row and every foll 4th row
// until 14 sts have been decreased at neck edge".
func besideShape(before Item, s *Shape) {
	a, ok := before.(*Shape)
	open := func(w *When) bool { return w.First && w.Every > 0 && !w.Each.Given() && w.Then == nil }
	if !ok || !s.Same || a.Same || a.Do != s.Do || a.When.Times.Given() || a.Until.Given() || len(a.Stated) > 0 || !open(&a.When) || !open(&s.When) || !s.When.Times.Given() || !s.When.More {
		return
	}
	n := Num{Span: s.When.Times.Span}
	for _, v := range s.When.Times.Vals {
		n.Vals = append(n.Vals, max(0, v)*s.When.Every/a.When.Every)
	}
	a.When.Times, a.When.More = n, true
}

// countOnTheWay reads a count between commas behind which a sentence goes on shaping: ", 84 sts, then at each end of foll 3
// alternate rows".
func (p *parser) countOnTheWay(i int) (Num, int, bool) {
	if p.w(i) != "," && !isDash(p.w(i)) && p.w(i) != "=" {
		return Num{}, i, false
	}
	n, k, ok := p.num(i + 1)
	if !ok || p.w(k) != "st" || p.w(k+1) != "," && p.w(k+1) != ";" {
		return Num{}, i, false
	}
	r := p.skipWords(k+2, "and")
	if !hasWord(p, r, "then", "at", "every", "on") {
		return Num{}, i, false
	}
	return n, k + 1, true
}

// shapeAtLength reads shaping behind a clause that tells when: "When work measures 14 (15-16) cm from
// the cast-on edge, ending with a p row, cast on 24 sts at beg of next 2 rows".
func (p *parser) shapeAtLength(i, end int) (*Shape, int, bool) {
	if !hasWord(p, i, "when", "once", "at", "after", "as") {
		return nil, i, false
	}
	length, depth := false, 0
	for k := i + 1; k < end; k++ {
		switch w := p.w(k); {
		case lengthUnit(w) || w == "long" || w == "length":
			length = true
		case nesting(w) != 0:
			depth += nesting(w)
		case w == "," && depth <= 0 && length:
			q := p.skipWords(k+1, "and", "then")
			if !hasWord(p, q, "cast", "bind", "bo", "dec", "inc", "decrease", "increase", "co") {
				continue
			}
			if s, j, ok := p.shape(q); ok {
				s.Words, s.Span = p.raw(i, j), p.span(i, j)
				return s, j, true
			}
			return nil, i, false
		}
	}
	return nil, i, false
}

// remainBehind says that a count of what remains stands at i: "; 1 st remains".
func (p *parser) remainBehind(i int) bool {
	if p.w(i) == "for" { // "for the sleeve. There remain 35 sts"
		i = p.skipWords(i+1, "the", "first", "second", "left", "right") + 1
	}
	if !hasWord(p, i, ";", ",", "–", "(", "[", ".") {
		return false
	}
	j := p.skipWords(i+1, "there", "rem", "you", "have", "and")
	_, q, ok := p.num(j)
	return ok && p.w(q) == "st" && (p.w(q+1) == "rem" || p.w(j-1) == "rem")
}

// towards reads "continue in this way until 3 sts remain": shaping that goes on
// as it was begun, told by where it ends.
func (p *parser) towards(start, i int) (*Shape, int, bool) {
	j, ok := p.words(i, "work|cont|continue|carry|keep on? like this|that", "work|cont|continue|proceed|go on? in this way|manner", "cont|continue|work on? as set|est|established", "work on in this way", "cont|continue to? dec|inc|decreasing|increasing|decrease|increase", "cont|continue in this|same way|manner", "keep on? dec|decreasing|inc|increasing", "cont|continue|work in patt as set", "work on in same way")
	if !ok {
		return nil, start, false
	}
	end := p.sentenceEnd(i)
	for k := j; k < end; k++ {
		if u, q, ok := p.untilCond(k); ok && u.Sts.Given() {
			s := &Shape{Do: "towards", N: p.stepOf(i, k), Until: u.Sts}
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

// shapesTowards reads any other sentence of shaping that tells where it ends: "Decrease in this
// way in every 3rd round until 56 sts remain", "Repeat these decreases in every 2nd round 5 times
// more, then in every round until 8 sts remain".
func (p *parser) shapesTowards(i, end int) (*Shape, int, bool) {
	shapes := false
	for k := i; k < end; k++ {
		shapes = shapes || hasWord(p, k, "dec", "decs", "decrease", "decreases", "decreasing", "inc", "incs", "increase", "increases", "increasing", "shaping", "shapings")
	}
	if hasWord(p, i, "carry", "go", "keep", "continue", "cont", "proceed", "work", "repeat") { // "Carry on like this, making 8 new sts every other rnd, …"
		_, _, alike := p.find(i, min(i+6, end), "like this|that", "in this|that|same way|manner", "this|that way", "thus", "as before|set|est")
		shapes = shapes || alike
	}
	if !shapes || p.ofGroup(i, end) {
		return nil, i, false
	}
	s := &Shape{Do: "towards"}
	for k := i; k < end; k++ {
		if u, q, ok := p.untilCond(k); ok && u.Sts.Given() && !u.Between && p.w(k) != "for" && q <= end {
			s.Until, k = u.Sts, q-1
			if st, r, ok := p.stated(q); ok {
				s.Stated, end = st, max(end, r)
			}
		}
	}
	if !s.Until.Given() {
		return nil, i, false
	}
	s.N = p.stepOf(i, end)
	if p.w(end) == "." {
		end++
	}
	s.Words, s.Span = p.raw(i, end), p.span(i, end)
	return s, end, true
}

// stepOf is by how many stitches a sentence of shaping goes each time: "decreasing 4 sts every other round".
func (p *parser) stepOf(i, end int) Num {
	for k := i; k < end; k++ {
		if !hasWord(p, k, "dec", "decrease", "decreasing", "inc", "increase", "increasing") {
			continue
		}
		n, q, ok := p.num(p.skipWords(k+1, "."))
		if at := p.skipWords(q+1, "at", "this", "same", "neck", "raglan", "armhole", "front", "side", "edge", "as", "before", "only"); ok && p.w(q) == "st" && p.w(q+1) == "at" && hasWord(p, at-1, "edge", "before", "only") && hasWord(p, at, "on", "every", "until", "in") {
			return n // "dec 1 st at raglan edge as before on every RS row"
		}
		if ok && p.w(q) == "st" && hasWord(p, p.skipWords(q+1, "in", "this", "way", "manner", "thus", "as", "before", "on"), "every", "each", "until", "alternate", "alt") {
			return n
		}
		break
	}
	return Num{}
}

// leadWords begin a clause that says how the fabric goes on while it is shaped.
var leadWords = map[string]bool{"keeping": true, "keep": true, "maintaining": true, "maintain": true, "working": true, "work": true, "continuing": true, "continue": true, "cont": true,
	"still": true, "in": true, "staying": true, "while": true, "remembering": true, "remember": true, "taking": true, "without": true, "beginning": true, "beg": true, "starting": true,
	"to": true, "from": true, "on": true, "using": true, "with": true, "for": true, "as": true, "always": true, "once": true, "after": true, "when": true, "being": true, "making": true}

// leadClause passes such a clause where shaping follows: "Keeping patt correct throughout, cast off 8 sts at
// the beg of the next 2 rows".
func (p *parser) leadClause(i int) (int, bool) {
	if !leadWords[p.w(i)] {
		return i, false
	}
	kept := hasWord(p, i, "keeping", "keep", "with") // "keeping 3 edge sts in garter st"
	if hasWord(p, i, "on", "at", "in", "to", "from") && hasWord(p, p.skipWords(i+1, "the", "each", "both"), "neck", "armhole", "front", "side", "inner", "outer", "edge", "end", "left", "right") && !hasWord(p, i+1, "shape") {
		return i, false // where it is shaped
	}
	for k, end := i+1, min(p.sentenceEnd(i), i+18); k < end; k++ {
		if p.w(k) == "," || p.w(k) == "and" {
			q := p.skipWords(k, ",", "and", "then", "now")
			if _, ok := p.words(q, "bo", "bind|cast off", "cast on", "co", "dec", "inc", "decrease|increase"); ok && q < end {
				if _, _, numbered := p.num(p.overPoint(p.skipWords(q+1, "off", "on"))); numbered {
					return q, true
				}
			}
			continue
		}
		if p.at(k).Kind == Number && !kept || openers[p.w(k)] != "" || isMark(p.w(k)) || p.w(k) == "rep" || p.w(k) == "until" || p.w(k) == "turn" {
			return i, false
		}
		if w := p.w(k); (w == "k" || w == "p" || w == "knit" || w == "purl") && p.at(k+1).Kind == Number {
			return i, false // a row
		}
		if hasWord(p, k, "dec", "decrease", "decreasing", "inc", "increase", "increasing") && hasWord(p, k+1, "at", "on", "each", "every", "as") {
			return i, false // another shaping, beside that behind the comma: "Still dec at raglan edge on every k row as before, dec 1 st at neck edge …"
		}
	}
	return i, false
}
