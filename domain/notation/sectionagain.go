package notation

// sectionAgain reads "Work Section 2 five more times": all rows under a head, worked again. The head may be
// called by its first words.
func (r *reader) sectionAgain(p *parser, i, end int) (*RepRows, int, bool) {
	j, ok := p.words(i, "work|rep|do all? of?", "work|rep|do whole|entire")
	if !ok {
		return nil, i, false
	}
	for p.w(j) == "the" {
		j++
	}
	for n := len(r.ms.Items) - 1; n >= 0; n-- {
		h, isHead := r.ms.Items[n].(*Heading)
		if !isHead || h.Kind != HeadPiece {
			continue
		}
		k := j
		for _, t := range scanLine(h.Text, 1) {
			if k >= end || p.w(k) != t.fold {
				break
			}
			k++
		}
		if k == j || k-j == 1 && p.at(j).Kind == Number {
			continue
		}
		t, q, ok := p.times(p.skipWords(k, "again", ","))
		if !ok {
			if q = p.skipWords(k, "again", "once", "more"); q == k {
				continue
			}
			t = Target{Kind: TimesMore, N: N(1), Span: p.span(k, q)}
		}
		numbers, last := []int{}, 0
		for _, it := range r.ms.Items[n+1:] {
			switch it := it.(type) {
			case *Heading:
				last = MaxRowNumber + 1
			case *Row:
				for _, v := range it.Head.Numbers {
					if v > last && last <= MaxRowNumber {
						numbers, last = append(numbers, v), v
					}
				}
			case *Blank:
				if last > 0 {
					last = MaxRowNumber + 1
				}
			case *RepRows, *Shape, *Straight, *As, *Begin:
				if last <= MaxRowNumber {
					return nil, i, false // more than rows: what is worked again is not sure
				}
			}
		}
		if len(numbers) == 0 {
			return nil, i, false
		}
		rr := &RepRows{Ref: RowRef{Numbers: numbers, Section: h.Text}, Times: t, Words: p.raw(i, q), Span: p.span(i, q)}
		st, next, ok := p.statedToEnd(q, end)
		if !ok {
			return nil, i, false
		}
		rr.Stated = st
		return rr, next, true
	}
	return nil, i, false
}
