package notation

import "strings"

// This file reads rows of another piece that are worked again: "Rep the 2 raglan rows given for Back until 6 sts rem".

// rowsOfPiece reads them: the last rows with numbers of the piece, as many as are named. Where the piece repeats
// rows without numbers last, it is a shaping that is told by where it ends.
func (r *reader) rowsOfPiece(p *parser, i, end int) (Item, int, bool) {
	if !hasWord(p, i, "rep", "repeat", "work") {
		return nil, i, false
	}
	k := p.skipWords(i+1, "the", "same")
	n, j, ok := p.num(k)
	if !ok || !n.Single() || n.For(0) < 1 || n.For(0) > 12 {
		return nil, i, false
	}
	for j < end && j < k+5 && !hasWord(p, j, "row", "rnd") {
		if p.at(j).Kind != Word {
			return nil, i, false
		}
		j++
	}
	if !hasWord(p, j, "row", "rnd") {
		return nil, i, false
	}
	if p.w(j+1) == "of" && !r.namesPiece(p, p.skipWords(j+2, "the")) { // "the 2 rows of raglan shaping as given for back"
		for j++; j < end && j < k+8 && !hasWord(p, j+1, "as", "given", "worked"); j++ {
			if p.at(j).Kind != Word {
				return nil, i, false
			}
		}
	}
	of, ok := p.words(j+1, "as? given for|on|in", "as? worked for|on", "as for|on", "from|of|on")
	if !ok {
		return nil, i, false
	}
	of = p.skipWords(of, "the")
	piece, numbers, e := r.lastNumbered(p, of, n.For(0))
	if numbers == nil {
		return r.plainRowsOfPiece(p, i, k, of, n.For(0))
	}
	rr := &RepRows{Ref: RowRef{Numbers: numbers, Section: piece}}
	if u, q, ok := p.untilCond(e); ok && u.Sts.Given() && !u.Between && r.repeatsLast(piece, n.For(0)) {
		s := &Shape{Do: "towards", Until: u.Sts}
		if k, ok := p.words(q, ",? ending|end with|after|on a|an?", ",? ending|end with"); ok {
			if _, e, ok := p.sideWord(k); ok {
				q = p.skipWords(e, "row", "facing", "for", "next")
			}
		}
		s.Stated, q = p.statedOrStop(q)
		s.Words, s.Span = p.raw(i, q), p.span(i, q)
		return s, q, true
	} else if ok && u.Given() {
		rr.Until, e = u, q
	} else if t, q, ok := p.times(e); ok {
		rr.Times, e = t, q
	} else {
		return nil, i, false
	}
	rr.Words = p.raw(i, e)
	rr.Stated, e = p.statedOrStop(e)
	rr.Span = p.span(i, e)
	return rr, e, true
}

// lastNumbered finds the piece that is named at i and the numbers of its last n rows that have one.
func (r *reader) lastNumbered(p *parser, i, n int) (piece string, numbers []int, next int) {
	for k := len(r.ms.Items) - 1; k >= 0; k-- {
		h, ok := r.ms.Items[k].(*Heading)
		if !ok || h.Kind != HeadPiece {
			continue
		}
		name := scanLine(strings.TrimSuffix(h.Text, ":"), 1)
		for len(name) > 0 && name[0].Text == "the" {
			name = name[1:]
		}
		m := 0
		for m < len(name) && name[m].Kind == Word && p.w(i+m) == folded(name[m].Text) {
			m++
		}
		if m == 0 || m < len(name) && openers[name[m].Text] == "" {
			continue
		}
		for _, it := range r.ms.Items[k+1:] {
			if b, begins := it.(*Begin); begins && b.How == "cast on" && len(numbers) > 0 {
				break
			}
			if row, isRow := it.(*Row); isRow && len(row.Head.Numbers) > 0 {
				numbers = append(numbers, row.Head.Numbers...)
			}
		}
		if len(numbers) < n {
			return "", nil, i
		}
		return h.Text, append([]int(nil), numbers[len(numbers)-n:]...), i + m
	}
	return "", nil, i
}

// repeatsLast says that the last rows that the piece repeats are so many without numbers.
func (r *reader) repeatsLast(piece string, n int) bool {
	within, found := false, false
	for _, it := range r.ms.Items {
		switch it := it.(type) {
		case *Heading:
			within = within || it.Text == piece
		case *Begin:
			if found && it.How == "cast on" {
				return true
			}
		case *Row:
			found = found && len(it.Head.Numbers) == 0
		case *RepRows:
			if within {
				found = it.Ref.Last == n && len(it.Ref.Numbers) == 0
			}
		}
	}
	return found
}

// namesPiece says that the head of a piece stands at i.
func (r *reader) namesPiece(p *parser, i int) bool {
	for _, it := range r.ms.Items {
		if h, ok := it.(*Heading); ok && h.Kind == HeadPiece {
			if name := scanLine(strings.TrimSuffix(h.Text, ":"), 1); len(name) > 0 && p.w(i) == folded(name[0].Text) {
				return true
			}
		}
	}
	return false
}

// plainRowsOfPiece reads rows without numbers of another piece: "Work the 2 rib rows as given for back 7 times", which
// change no count, and "the 2 rows of raglan shaping as given for back until 6 sts rem", told by where they end.
func (r *reader) plainRowsOfPiece(p *parser, i, first, of, n int) (Item, int, bool) {
	if !r.namesPiece(p, of) {
		return nil, i, false
	}
	e := of + 1
	if u, q, ok := p.untilCond(e); ok && u.Sts.Given() && !u.Between {
		if k, ok := p.words(q, ",? ending|end with|after|on a|an? k|knit|p|purl|rs|ws row"); ok {
			q = k
		}
		s := &Shape{Do: "towards", Until: u.Sts}
		s.Stated, q = p.statedOrStop(q)
		s.Words, s.Span = p.raw(i, q), p.span(i, q)
		return s, q, true
	}
	plain := false
	for k := first; k < of; k++ {
		plain = plain || hasWord(p, k, "rib", "ribbing", "moss", "seed", "garter", "welt")
	}
	t, q, ok := p.times(e)
	if !plain || !ok || t.Kind == TimesMore {
		return nil, i, false
	}
	s := &Straight{Rows: mulNum(N(n), t.N), Stitch: p.raw(i, q)}
	s.Rows.Span = t.N.Span
	s.Stated, q = p.statedOrStop(q)
	s.Words, s.Span = p.raw(i, q), p.span(i, q)
	return s, q, true
}
