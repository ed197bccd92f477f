package notation

import "strings"

// This file reads rows of another piece that are worked again: "Rep the 2 raglan rows given for Back until 6 sts rem".

// rowsOfPiece reads them: the last rows with numbers of the piece, as many as are named.
func (r *reader) rowsOfPiece(p *parser, i, end int) (*RepRows, int, bool) {
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
	of, ok := p.words(j+1, "as? given for|on|in", "as? worked for|on", "as for|on", "from|of|on")
	if !ok {
		return nil, i, false
	}
	of = p.skipWords(of, "the")
	piece, numbers, e := r.lastNumbered(p, of, n.For(0))
	if numbers == nil {
		return nil, i, false
	}
	rr := &RepRows{Ref: RowRef{Numbers: numbers, Section: piece}}
	if u, q, ok := p.untilCond(e); ok && u.Given() {
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
