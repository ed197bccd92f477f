package notation

// This file reads what stands behind the rows of a repeat: whose they are, on which rows, how often and until when.

// ofPattern reads whose rows they are: "of lace patt", "as given for Back".
func (p *parser) ofPattern(r *RepRows, j int) int {
	if k, ok := p.words(j, "of|from|in"); ok && p.at(k).Kind == Word && !(p.w(j) == "in" && hasWord(p, k, "total", "all", "turn", "order", "sequence", "this", "same", "patt")) {
		q := k
		for q < len(p.toks) && q < k+6 {
			w := p.w(q)
			if w == "." || w == "," || w == ";" || p.at(q).Kind == Number && q > k || w == "until" || w == "twice" || w == "once" || w == "for" || w == "over" || w == "a" || w == "every" || w == "on" && hasWord(p, q+1, "next", "every", "the") {
				break
			}
			q++
		}
		r.Ref.Section = p.raw(k, q)
		j = q
	}
	if k, ok := p.words(j, "as given? for", "as for"); ok {
		for _, it := range p.pieces {
			nt := scanLine(it, 1)
			n := 0
			for n < len(nt) && nt[n].Kind == Word && p.w(k+n) == folded(nt[n].Text) {
				n++
			}
			if n > 0 {
				r.Ref.Section, j = it, k+n
			}
		}
	}
	if k, ok := p.words(j, "as for back|front|right|left|first|second front|side|sleeve?", "as for back"); ok {
		j = k
	}
	return j
}

// onRows reads on which rows a row is worked again: "every 4th row 5 times".
func (p *parser) onRows(r *RepRows, j int) int {
	if p.w(j) == "," && hasWord(p, j+1, "every", "on") || hasWord(p, j, "every", "on", "each", "following") {
		k := p.skipWords(j, ",", "on")
		if w, q, ok := p.when(k); ok && w.First && w.Every > 0 && w.Times.Given() && (w.Total || w.More) { // "on next and every foll 4th row 3 times in all"
			n := w.Times
			if w.More {
				n = addNum(n, 1)
			}
			r.When, j = When{Every: w.Every, Each: w.Each, Times: n, First: true}, q
		} else if ok && w.Every > 0 && w.Next == 0 && (w.Times.Given() || w.Then != nil) {
			r.When, j = w, q
			j = p.thenWhen(&r.When, j)
		}
	}
	return j
}

// howOften reads how often rows are repeated, until when, and with which row they end.
func (p *parser) howOften(r *RepRows, j int, work bool) int {
	for guard := 0; guard < 12 && j < len(p.toks); guard++ {
		if t, k, ok := p.times(j); ok && !r.Times.N.Given() && r.When.Every == 0 {
			r.Times, j = t, k
			if work && t.Kind == TimesInAll {
				r.Times.Kind = TimesInAll
			}
			continue
		}
		if k, ok := p.words(j, "more", "once more"); ok {
			j = k
			continue
		}
		if k, ok := p.words(j, "over and over again?", "again and again", "every|each time"); ok && hasWord(p, k, "until", "till") {
			j = k
			continue
		}
		if n, k, ok := p.untilTakenOff(j); ok && !r.Times.N.Given() && hasWord(p, k-1, "side", "sides", "end", "ends", "edge", "edges") { // "until 6 decreases have been worked at each side"
			r.Times, j = Target{Kind: TimesTotal, N: n, Span: p.span(j, k)}, k
			continue
		}
		if n, k, ok := p.untilRowsMade(j); ok && !r.Times.N.Given() {
			r.Times, j = Target{Kind: TimesTotal, N: n, Span: p.span(j, k)}, k
			continue
		}
		if u, k, ok := p.untilCond(j); ok {
			if u.Length != "" && k-2 > j && p.at(k-1).Kind == Number && p.w(k-2) == "row" && hasWord(p, k-3, "with", "after", "on", "a", "an", "in", "of") { // "…, ending with Row 4"
				r.EndRow = min(p.at(k-1).Val, MaxRowNumber)
			}
			if u.Length != "" && k-2 > j && p.at(k-2).Kind == Ordinal && hasWord(p, k-1, "row", "rnd") { // "…, ending after a 1st row"
				r.EndRow = min(p.at(k-2).Val, MaxRowNumber)
			}
			if u.AllWorked && u.Sts.Given() { // "until all heel sts have been worked; 18 sts remain": a count to hold it against
				r.Stated = []Stated{{Kind: CountAll, N: u.Sts, Span: u.Sts.Span}}
				u.Sts = Num{}
			}
			r.Until, j = u, k
			continue
		}
		if p.w(j) == "until" && !r.Times.N.Given() {
			if t, k, ok := p.times(j + 1); ok {
				r.Times, j = t, k
				continue
			}
		}
		if k, ok := p.words(j, ",? ending|end|finishing|finish with|after|on a|an?", ",? and ending|end with|after|on a|an?", ", then end with|after|on a|an?"); ok {
			if _, q, ok := p.rowWord(k); ok {
				if p.at(q).Kind == Number {
					r.EndRow = min(p.at(q).Val, MaxRowNumber)
					j = q + 1
					j = p.skipWords(j, "of", "patt", "pattern", "chart")
					continue
				}
			}
			if p.at(k).Kind == Ordinal {
				r.EndRow = p.at(k).Val
				j = k + 1
				if q, _, ok := p.rowAgain(j); ok {
					j = q
				}
				continue
			}
			if s, q, ok := p.lastSide(k); ok {
				r.Until.Ends = s
				if q2, ok := p.words(q, "row"); ok {
					q = q2
				}
				j = q
				continue
			}
			break
		}
		if k, ok := p.words(j, "for patt", "for patt", "for a? length|rest", "throughout", "as desired", "as required", "to form patt", "for desired length", "as many times as desired|required|needed", "for st patt", "for total length", "for patt", "until desired length", "until piece is desired length", "until long enough", "to desired length", "in sequence", "in order", "for the? rest|remainder of? scarf|piece|blanket|work|hat|cowl?", "as given", "as before", "as set", "as est", "in turn", "for? as long as you wish|like|want|please", "as many times as you wish|like|want", "as often as you wish|like|want|required", "to the? length required|wanted|desired"); ok {
			j = k
			continue
		}
		break
	}
	return j
}

// restOfRepeat reads the count stated behind, past words that say nothing of the rows.
func (p *parser) restOfRepeat(r *RepRows, j int) int {
	if st, k, ok := p.stated(j); ok {
		r.Stated, j = st, k
	} else if k := p.sentenceEnd(j); k > j {
		// some words more; a count at their end still counts
		for q := j; q < k; q++ {
			if st, e, ok := p.stated(q); ok {
				r.Stated, k = st, e
				break
			}
			if t, _, ok := p.times(q); ok && !r.Times.N.Given() && r.When.Every == 0 {
				r.Times = t
			}
			if n, e, ok := p.untilRowsMade(q); ok && !r.Times.N.Given() {
				r.Times = Target{Kind: TimesTotal, N: n, Span: p.span(q, e)}
			}
			if u, _, ok := p.untilCond(q); ok && !r.Until.Given() {
				r.Until = u
			}
			if (p.w(q) == "," || p.w(q) == ";") && q >= j && (p.w(q+1) == "then" && p.w(q+2) != "end" || p.sentenceStarts(q+1) || (p.w(q+1) == "then" || p.w(q+1) == "and") && p.sentenceStarts(q+2)) {
				k = q
				break
			}
		}
		j = k
	}
	if st, k, ok := p.stated(j); ok && len(r.Stated) == 0 {
		r.Stated, j = st, k
	}
	return j
}

// untilRowsMade reads "until there have been 6 increase rounds in all", "until you have worked 8 decrease rows".
func (p *parser) untilRowsMade(i int) (Num, int, bool) {
	j, ok := p.words(i, "until|till there have been", "until|till you have worked|made", "until|till you've worked|made")
	if !ok {
		return Num{}, i, false
	}
	n, k, ok := p.num(p.skipWords(j, "a", "total", "of"))
	if !ok || !hasWord(p, k, "dec", "decrease", "inc", "increase") || !hasWord(p, k+1, "row", "rnd") {
		return Num{}, i, false
	}
	return n, p.skipWords(k+2, "in", "all", "total", "altogether"), true
}
