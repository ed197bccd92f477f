package notation

// This file reads sentences that have the rows of a stitch pattern worked which is called by its name.

// patternNamed reads "Work Gorse Lace Rounds 1-4 six times", "Work the 4 rounds of Gorse Lace 6 times" and "Work 6
// repeats of Gorse Lace", where a head above gives the rows of that pattern.
func (r *reader) patternNamed(p *parser, i, end int) (*RepRows, int, bool) {
	j := p.skipWords(i, "now", "then", "next", ",")
	k, ok := p.words(j, "work|rep|follow|knit|begin|do in?", "cont|continue in|with", "change to")
	if !ok {
		return nil, i, false
	}
	k = p.skipWords(k, "all")
	if n, q, counted := p.num(k); counted { // "6 repeats of Gorse Lace", "the 4 rounds of Gorse Lace"
		e, repeats := p.words(q, "rep of", "full|complete|whole rep of", "vertical? rep of")
		if !repeats {
			if e, ok = p.words(q, "row|rnd of"); !ok || !n.Single() {
				return nil, i, false
			}
		}
		e = p.skipWords(e, "the")
		if p.at(e).Kind == Number && p.w(e+1) == "-" && hasWord(p, e+2, "row", "rnd") { // "the 4-round Gorse Lace pattern"
			e += 3
		}
		name, rows, f, ok := r.patternAt(p, e)
		if !ok || !repeats && len(rows) != n.For(0) {
			return nil, i, false
		}
		rr := &RepRows{Ref: RowRef{Numbers: rows, Section: name}}
		if repeats {
			rr.Times = Target{Kind: TimesTotal, N: n, Span: n.Span}
		}
		return p.patternTimes(rr, i, f, end)
	}
	name, _, f, ok := r.patternAt(p, k)
	if !ok {
		return nil, i, false
	}
	closer := ""
	for p.w(f) == "," || p.w(f) == ":" || p.w(f) == "(" || p.w(f) == "working" || p.w(f) == "repeating" || p.w(f) == "rep" {
		if p.w(f) == "(" {
			closer = ")"
		}
		f++
	}
	_, f, ok = p.rowWord(f)
	if !ok {
		return nil, i, false
	}
	ns, letter, f, ok := p.numbers(f)
	if !ok || letter != "" || len(ns) == 0 {
		return nil, i, false
	}
	if closer != "" {
		if p.w(f) != closer {
			return nil, i, false
		}
		f++
	}
	return p.patternTimes(&RepRows{Ref: RowRef{Numbers: ns, Section: name}}, i, f, end)
}

// patternTimes reads how often rows are worked, or until when, to the end of the sentence.
func (p *parser) patternTimes(rr *RepRows, i, j, end int) (*RepRows, int, bool) {
	for p.w(j) == "," || p.w(j) == "for" || p.w(j) == "a" {
		j++
	}
	rr.Words = p.raw(i, min(j, end))
	if u, q, ok := p.untilCond(j); ok && !rr.Times.N.Given() {
		rr.Until, j = u, q
	} else if t, q, ok := p.times(j); ok && !rr.Times.N.Given() {
		if t.Kind == TimesInAll {
			t.Kind = TimesTotal // the rows stand elsewhere: none is worked yet
		}
		rr.Times, j = t, q
	} else if q, ok := p.words(j, "once"); ok && !rr.Times.N.Given() {
		rr.Times, j = Target{Kind: TimesTotal, N: N(1)}, q
	}
	j = p.skipWords(j, "in", "all", "total", "altogether")
	if st, q, ok := p.stated(j); ok {
		rr.Stated, j = st, q
	} else if j < end && p.w(j) != "." && p.w(j) != ";" {
		return nil, i, false
	}
	if p.w(j) == "." || p.w(j) == ";" {
		j++
	}
	rr.Span = p.span(i, j)
	return rr, j, true
}

// patternAt is the pattern whose name, as a head above gives it, stands at i, and the numbers of its rows.
func (r *reader) patternAt(p *parser, i int) (name string, rows []int, next int, ok bool) {
	i = p.skipWords(i, "the")
	for n := len(r.ms.Items) - 1; n >= 0; n-- {
		h, isHead := r.ms.Items[n].(*Heading)
		if !isHead || h.Kind != HeadPiece {
			continue
		}
		k, words := i, 0
		for _, t := range scanLine(h.Text, 1) {
			if p.w(k) != t.fold || t.Kind != Word {
				break
			}
			k++
			words++
		}
		if words == 0 || words == 1 && len(scanLine(h.Text, 1)) > 1 {
			continue
		}
		k = p.skipWords(k, "patt", "pattern", "stitch", "st")
		rows, last := []int{}, 0
		for _, it := range r.ms.Items[n+1:] {
			if _, again := it.(*Heading); again {
				break
			}
			row, isRow := it.(*Row)
			if !isRow {
				continue
			}
			for _, v := range row.Head.Numbers {
				if v > last && v <= MaxRowNumber {
					rows, last = append(rows, v), v
				}
			}
			if row.Head.Every != (Every{}) {
				last = max(last, 0)
			}
		}
		if len(rows) > 0 && rows[0] == 1 {
			return h.Text, rows, k, true
		}
	}
	return "", nil, i, false
}
