package notation

import "strings"

// shape reads a shaping sentence: "dec 1 st each end of next and every foll 6th
// row 5 times", "bind off 6 sts at beg of next 2 rows".
func (p *parser) shape(i int) (*Shape, int, bool) {
	start := i
	s := &Shape{}
	for {
		if k, ok := p.words(i, "at same time ,?", "at the same time ,?", "and at same time ,?", "and by", "then by", "and then by", "and", "then", "but", "also", "now", "for sleeves|sleeve|armholes|armhole|neck|shoulders|shoulder|underarm|underarms|collar ,", "shape|shaping for? front|back|sleeve? armhole|armholes|neck|side|sides|raglan|raglans|shoulder|shoulders|sleeve|cap|crown|top edge|edges? by", "begin|start armhole|neck|shoulder|raglan|cap shaping by", "next ,"); ok && k > i {
			if p.w(i) == "at" || p.w(k-1) == "time" || p.w(k-2) == "time" || p.w(k-1) == "times" || p.w(k-2) == "times" {
				s.Same = true
			}
			i = k
			continue
		}
		if k, ok := p.words(i, "shape|shaping front|back|sleeve? armhole|armholes|neck|side|sides|raglan|raglans|shoulder|shoulders|sleeve|cap|crown|top|edge|edges", "shape|shaping raglan armhole|armholes", "shape|shaping armhole|armholes and divide for neck", "armhole|shoulder|neck shaping", "sleeve top|cap"); ok && (p.w(k) == ":" || isDash(p.w(k)) && !p.at(k).Glued || hasWord(p, k, "cast", "bind", "bo", "dec", "inc", "decrease", "increase") && p.at(k).Raw != strings.ToLower(p.at(k).Raw)) {
			i = k // "Shape shoulders: Cast off …" within a line
			continue
		}
		if p.w(i) == "," || p.w(i) == ":" || isDash(p.w(i)) {
			i++
			continue
		}
		break
	}
	atOnce := false
	if k, ok := p.sidesAtOnce(i); ok {
		i, atOnce = k, true
	} else if k, ok := p.leadClause(i); ok {
		i = k
	}
	if q, fewer, ok := p.whenFirst(i); ok {
		if t, j, ok := q.shape(i); ok && j+fewer <= len(p.toks) {
			t.Words, t.Span, t.Same = p.raw(start, j+fewer), p.span(start, j+fewer), t.Same || s.Same
			return t, j + fewer, true
		}
	}
	j, ok := p.words(i, "keeping|keep|working patt? correct ,?", "keeping in patt ,?", "working in patt ,?", "keeping patt correct ,?", "working inc|incs|increased st into|in patt ,?", "cont in patt ,?", "maintaining patt ,?", "keeping continuity of patt ,?", "cont in patt , and?", "cont in st st ,? and?")
	if ok {
		i = j
	}
	if k, ok := p.words(i, "keeping|with shaping|decs|incs in line ,?", "keeping in line ,?", "keeping|keep armhole|neck|front|side|raglan|other|outer|inner edge|edges straight ,?"); ok {
		i = k
	}
	if k, ok := p.words(i, "at armhole|neck|front|side|inner|outer|centre edge ,?"); ok { // "At neck edge, dec 1 st every row 4 times"
		s.At, i = p.w(i+1), k
		if w := p.w(i - 1); w != "," && w != "edge" {
			s.At = p.w(i - 2)
		}
	}
	if k, ok := p.words(i, "cont|continue|work in? patt? as set|est|established ,"); ok && hasWord(p, k, "inc", "increasing", "dec", "decreasing") { // "Continue as set, increasing 1 st at each end of 5th and every foll 6th row"
		if _, q, ok := p.num(p.overPoint(k + 1)); ok && p.w(q) == "st" && hasWord(p, q+1, "at", "on", "in", "each", "every") {
			i = k
		}
	}
	chained, seenPlaces := false, false
	told := false // "continue decreasing 4 sts on next and every alt round": shaping that is told whole
	if k, ok := p.words(i, "cont|continue to? dec|inc|decreasing|increasing|decrease|increase"); ok {
		if q, ok := p.words(k, "at"); ok && !p.ofGroup(q, p.sentenceEnd(q)) { // "cont to dec at neck edge only on every foll 4th row"
			told = true
			i = k - 1
		}
		if _, q, ok := p.num(k); ok && p.w(q) == "st" {
			q = p.shapedAsBefore(q + 1)
			told = hasWord(p, q, "on", "in", "at", "each", "every", "next") && !p.ofGroup(q, p.sentenceEnd(q))
			if told {
				i = k - 1
			}
		}
	}
	if t, j, ok := p.placeFirst(start, i); ok {
		return t, j, true
	}
	if t, j, ok := p.towards(start, i); ok && !told {
		return t, j, true
	}
	switch p.w(i) {
	case "finish", "complete", "change", "cont", "continue", "beg", "beginning", "work", "working", "keep", "keeping", "knit", "starting":
		e := p.sentenceEnd(i)
		for q := i + 1; q < e && q < i+24; q++ {
			if p.w(q) == "by" && hasWord(p, q+1, "casting", "binding", "dec", "decreasing", "inc", "increasing") { // "Work in patt, shaping armholes by casting off …"
				i = q + 1
				break
			}
			if hasWord(p, q, "dec", "inc", "decrease", "increase", "decreasing", "increasing", "decs", "incs") && (p.w(q-1) == "," || p.w(q-1) == "time" || p.w(q-1) == "and" || p.w(q-1) == "but" || p.w(q-1) == "then") && (p.at(p.overPoint(q+1)).Kind == Number || p.at(q+1).Kind == Ordinal) {
				i = q
				break
			}
		}
	}
	if t, j, ok := p.goesOnOtherwise(start, i); ok {
		return t, j, true
	}
	switch {
	case hasWord(p, i, "dec", "decrease", "decreasing", "narrow", "narrowing"):
		s.Do, i = "dec", i+1
		if k, ok := p.words(i, "by working|taking|knitting|k 2 st? tog"); ok {
			i = k
		}
	case hasWord(p, i, "inc", "increase", "increasing"):
		s.Do, i = "inc", i+1
	default:
		if j, ok := p.words(i, "bo", "bind|cast|casting|binding off"); ok {
			s.Do, i = "bind", j
		} else if j, ok := p.words(i, "co", "cast|casting on"); ok {
			s.Do, i = "cast", j
		} else if j, ok := p.words(i, "m1", "m 1", "make|making 1|one st?"); ok && hasWord(p, j, "at", "on", "each") { // "M1 at each end of next row"
			s.Do, i = "inc", j
		} else if j, ok := p.words(i, "work dec|decs", "make 1 dec"); ok {
			s.Do, i = "dec", j
		} else if j, ok := p.words(i, "taking|working|dec|decreasing by? working|taking? 2 st? tog", "working|taking 2 st? tog"); ok && hasWord(p, p.overPoint(j), "at", "on", "each") {
			s.Do, i = "dec", j
		} else if j, ok := p.words(i, "k|knit|p|purl|work|take 2 st? tog", "k|knit|p|purl|work|take the first|last 2 st? tog"); ok && hasWord(p, p.overPoint(j), "at", "on", "each") { // "knit 2 together at each end of …"
			s.Do, i = "dec", j
		} else if hasWord(p, i, "k2tog", "p2tog", "ssk", "skpo") && hasWord(p, i+1, "at", "on", "each") {
			s.Do, i = "dec", i+1
		} else if p.verb != "" && i > 0 && (i > start || hasWord(p, i-1, ",", "and", "then")) && p.at(i).Kind == Number { // ", then 8 sts at beg of foll 2 rows"
			s.Do, chained = p.verb, true
		} else {
			return nil, start, false
		}
	}
	if p.w(i) == "." && p.at(i).Glued {
		i++
	}
	if j, ok := p.inTriples(s, i); ok {
		p.verb = s.Do
		return p.triplesEnd(s, start, j)
	}
	if k, ok := p.words(i, "for sleeve|sleeves|armhole|armholes|neck|shoulder|shoulders|underarm|underarms|thumb"); ok && p.at(k).Kind == Number { // "cast on for the sleeves 24 sts at beg of next 2 rows"
		i = k
	}
	if _, ok := p.words(i, "in? first|1st and in? last st", "in? each|both of? first|1st and last st"); !ok {
		i = p.skipWords(i, "in", "patt", "rib", "loosely", "first", "next", "then", "by", "once")
	}
	s.N = N(1)
	numbered := false
	if n, j, ok := p.num(i); ok {
		s.N, i, numbered = n, j, true
	} else if p.at(i).Kind == Ordinal && p.at(i).Val == 1 {
		i++
	}
	i = p.shapedAsBefore(p.skipWords(i, "st", "more"))
	if openers[p.w(i)] != "" && s.Do != "bind" && s.Do != "cast" { // "dec 8 sts (1 st each side of each marker) every 2nd rnd"
		if k := p.closerOf(i); k > i && k < i+14 && p.at(i+1).Kind == Number && hasWord(p, k-1, "m", "marker", "markers", "end", "edge", "side") {
			i = k + 1
			seenPlaces = true
		}
	}
	i = p.skipWords(i, "in", "patt", "evenly", "spaced", "once")
	end := p.sentenceEnd(i)
	seenAt := s.At != "" || seenPlaces
	// where
	s.Places = 1
	read := func() bool {
		if k, ok := p.words(i, "at|on|in? each|both end|ends|side|sides|edge|edges of m", "each|either side of each|every|all m", "at|on? either|each side of each raglan? m", "each|either side of 4 m"); ok && p.w(k-1) == "m" {
			// each side of a marker: how many markers is not said here; two for one
			s.At, s.Places, i = "marker", 2, k
			if hasWord(p, k-2, "each", "every", "all") || hasWord(p, k-3, "each", "every", "all") && p.w(k-2) == "raglan" {
				s.At = "markers"
			}
			return true
		}
		if k, ok := p.words(i, "at|on|in? each|both|either end|ends|side|sides|edge|edges", "at|on? each|both armhole|neck|shoulder|raglan|sleeve? edge|edges|end|side", "at|on|in beg|end and at? end|beg", "in? each|both of? first|1st and last st", "in? first|1st and in? last st"); ok {
			s.At, s.Places, i = "both", 2, k
			return true
		}
		if k, ok := p.words(i, "at|in? centre|middle under|underneath|beneath sleeve|sleeves|arm|arms"); ok { // "bind off 8 sts at the centre under the sleeve"
			s.At, i = "seam", k
			return true
		}
		if k, ok := p.words(i, "under|at sleeve|sleeves|arm|arms|underarm|underarms", "at centre of? underarm|sleeve", "under|along|at sleeve seam"); ok && s.Do != "bind" && s.Do != "cast" { // "increase 2 sts under the sleeve (1 on each side of the first st)"
			s.At, i = "seam", k
			return true
		}
		if k, ok := p.words(i, "at|on|in beg", "at|on|in start", "at the beg", "at|on|in first|right edge|end"); ok {
			s.At, i = "beg", k
			return true
		}
		if _, ok := p.words(i, "beg|end of? next|following|each|every"); ok { // "bind off 6 sts beg next 2 rows"
			s.At, i = p.w(i), i+1
			return true
		}
		if k, ok := p.words(i, "at|on|in end"); ok {
			s.At, i = "end", k
			return true
		}
		if k, ok := p.words(i, "at|on|in? neck|front|armhole|sleeve|shoulder|side|seam|left|right|inner|outer|centre|raglan|wrist|same|both? edge|edges|side|end"); ok {
			s.At, i = p.w(k-2), k
			if atOnce || hasWord(p, k-1, "edges", "sides") {
				s.At, s.Places = "both", 2
			}
			return true
		}
		return false
	}
	for read() {
		seenAt = true
		if k, ok := p.words(i, "of row|rnd ,"); ok { // "at both ends of row, every 6 rows"
			i = k
		}
		if k, ok := p.words(i, ", on every|each|alt|next|following"); ok && !numbered { // "Decrease at the neck edge, on every row: 1 st 4 times"
			i = k - 2
		}
		i = p.skipWords(i, "of", "on", "in", "st", "needle", "only")
		if k := p.closerOf(i); openers[p.w(i)] != "" && k > i && k < i+18 && p.at(i+1).Kind == Number && s.At == "seam" {
			i = k + 1 // "(1 st on each side of the first st of the round)"
		}
		if openers[p.w(i)] != "" { // (end of RS rows)
			for k := i + 1; k < end && k < i+18; k++ {
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
		if p.w(i) == ":" && !numbered { // "Decrease at the neck edge, on every row: 1 st 4 times"
			i++
		}
		if n, k, ok := p.num(i); ok && p.w(k) == "st" && !numbered && w.Every > 0 && !w.Times.Given() { // "cast off at neck edge on every other row 3 sts once, …"
			if t, q, ok := p.timesOrOnce(k + 1); ok && t.Kind == TimesInAll {
				s.N, s.When.Times, i = n, t.N, q
			}
		}
	} else if s.Do == "bind" && !seenAt && p.remainBehind(i) { // "Cast off 6 sts; 1 st remains on the needle"
		s.When.Next, s.At, seenAt = 1, "beg", true
	} else if t, q, ok := p.timesOrOnce(i); ok && chained && p.shaped != nil && s.Do == p.shaped.Do && (s.Do == "bind" || s.Do == "cast") && t.Kind == TimesInAll && !seenPlaces {
		s.At, s.Places, s.When, i = p.shaped.At, p.shaped.Places, When{Every: 2, Times: t.N}, q // "BO 3 sts at neck edge once, 2 sts twice"
		seenAt = true
	} else if !seenAt {
		return nil, start, false
	} else if u, j, ok := p.untilCond(i); ok && u.Sts.Given() {
		s.Until, i = u.Sts, j
		s.When.Every = 1
	} else if q, once := p.words(i, "once"); (s.Do == "bind" || s.Do == "cast") && s.At != "beg" && (s.At != "both" || i >= end) && (once || i >= end || hasWord(p, i, ",", ":", "=", "–")) {
		s.When.Next = 1 // "Cast off 3 sts at neck edge, then …"
		if once {
			i = q
		}
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
	if !seenAt && s.Do != "dec" && s.Do != "inc" && !(chained && s.When.Every > 0 && s.When.Times.Given()) {
		return nil, start, false
	}
	for {
		if k, ok := p.words(i, ",? then on?", ",? and then on?", ",? and on", "and"); ok {
			if q, ok := p.words(k, "at|on each|both end|ends|side of?", "at same|this edge of|on?", "at armhole|neck|front|side edge of|on?"); ok {
				k = q
			}
			if w, q, ok := p.when(k); ok {
				s.When.add(&w)
				i = q
				continue
			}
		}
		if k := i + 1; p.w(i) == "," { // "every row 4 times, every alt row 3 times"
			if p.w(k) == "and" {
				k++
			}
			if w, q, ok := p.when(k); ok && w.Every > 0 && w.Next == 0 && w.Times.Given() {
				s.When.add(&w)
				i = q
				continue
			}
		}
		if n, q, ok := p.untilTakenOff(i); ok && s.Places == 1 && !s.When.Times.Given() && s.When.Every > 0 {
			s.When.Times, s.When.More, i = n, false, q
			if s.When.First { // the first is one of them
				s.When.Times, s.When.More = addNum(n, -1), true
			}
			continue
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
	} else if n, q, ok := p.countOnTheWay(i); ok { // "Dec 1 st at each end of next 5 rows, 84 sts, then at each end of …"
		s.Stated, i = []Stated{{Kind: CountAll, N: n, Span: n.Span}}, q
	} else {
		e := p.sentenceEnd(i)
		p.verb, p.shaped = s.Do, s // ", then 8 sts at beg of foll 2 rows" may follow
		depth := 0                 // a semicolon within a vector ends nothing
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
			depth += nesting(p.w(q))
			if depth <= 0 && (p.w(q) == "," || p.w(q) == ";" || p.w(q) == "and") && q >= i {
				r := q + 1
				for p.w(r) == "and" || p.w(r) == "then" || p.w(r) == "," || p.w(r) == "by" {
					r++
				}
				if p.sentenceStarts(r) || p.w(q+1) == "then" && p.sentenceStarts(q+1) {
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
	p.verb, p.shaped = s.Do, s
	s.Words = p.raw(start, i)
	s.Span = p.span(start, i)
	return s, i, true
}

// ofGroup says that a sentence counts some of the stitches alone: "until there are 15
// sts in gusset".
func (p *parser) ofGroup(i, end int) bool {
	for start := i; i < end; i++ {
		if _, ok := p.words(i, "that is", "i . e", "ie"); ok && i > start {
			return false // "until there are 62 sts, that is 15 sts for the thumb"
		}
		if k := p.closerOf(i); openers[p.w(i)] != "" && k > i && k < end && i > start && p.at(i+1).Kind == Number { // "… until there are 192 sts (24 sts in each section)"
			i = k
			continue
		}
		if p.w(i) == "each" && hasWord(p, i+1, "time", "row", "rnd", "shaping", "dec", "inc", "following", "alt", "other", "rs", "ws") {
			continue // "in each shaping round"
		}
		if p.w(i) == "between" && p.w(i-1) == "in" && !hasWord(p, i+1, "m", "the", "2", "two", "gusset") {
			continue // "and a plain round in between"
		}
		if hasWord(p, i, "gusset", "between", "thumb", "sleeve", "each") && (p.w(i-1) == "in" || p.w(i-1) == "for" || p.w(i-1) == "st" || p.w(i-1) == "the" || p.w(i+1) == "st" && (p.at(i-1).Kind == Number || p.w(i-1) == ")" || p.w(i-1) == "]")) {
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

func hasWord(p *parser, i int, ws ...string) bool {
	for _, w := range ws {
		if p.w(i) == w {
			return true
		}
	}
	return false
}
