package notation

// This file reads sentences that go by the rows above without naming them: "Work them 14 times more", "Work
// 20 rows in all" below "Every row", and rows that a sentence leaves their numbers to.

// rowsSpoken is how many rows the sentence before speaks of: "These two rows set the raglan."; 0 for none.
func (p *parser) rowsSpoken(i int) int {
	for k := i - 1; k >= 0 && k > i-24; k-- {
		if !hasWord(p, k, "these", "those", "last") {
			continue
		}
		if n, q, ok := p.num(k + 1); ok && n.Single() && (p.w(q) == "row" || p.w(q) == "rnd") {
			return n.For(0)
		}
	}
	return 0
}

// themAgain reads how often those rows are worked again, behind "work them".
func (p *parser) themAgain(r *RepRows, start, i int) (*RepRows, int, bool) {
	r.Words = p.raw(start, i)
	j := i
	if t, k, ok := p.times(j); ok {
		r.Times, j = t, k
	} else if u, k, ok := p.untilCond(j); ok && u.Given() {
		r.Until, j = u, k
	} else {
		return nil, start, false
	}
	if p.w(j) == "," {
		if u, k, ok := p.untilCond(j); ok && u.Sts.Given() { // "…, until you have 186 sts"
			r.Stated, j = []Stated{{Kind: CountAll, N: u.Sts, Span: p.span(j, k)}}, k
		}
	}
	if st, k, ok := p.stated(j); ok && len(r.Stated) == 0 {
		r.Stated, j = st, k
	} else {
		j = max(j, p.sentenceEnd(j))
	}
	if p.w(j) == "." {
		j++
	}
	r.Span = p.span(start, j)
	return r, j, true
}

// ofEveryRow reads "Work 20 rows in all" below "Every row: *K2, p2; …": that row, so often; nil where
// the sentence is no such one.
func (r *reader) ofEveryRow(s *Straight, p *parser, i, j int) *RepRows {
	n := len(r.ms.Items)
	if n == 0 || !s.Rows.Given() || s.Change.Given() || s.Length != "" {
		return nil
	}
	row, ok := r.ms.Items[n-1].(*Row)
	if !ok || !row.Head.EveryRow {
		return nil
	}
	if k, _, ok := p.find(i, j, "row|rnd in all|total", "row|rnd altogether"); !ok || k > i+3 {
		return nil
	}
	return &RepRows{Ref: RowRef{Last: 1}, Times: Target{Kind: TimesTotal, N: s.Rows, Span: s.Rows.Span}, Stated: s.Stated, Only: s.Only, Words: s.Words, Span: s.Span}
}

// numberRepeats gives rows that a sentence repeats in a stitch pattern the numbers that the rows behind
// it leave to them: "Repeat the last two rows twice more", between the 2nd row and the 7th.
func numberRepeats(items []Item) {
	last := 0 // the number of the row above
	for k, it := range items {
		switch it := it.(type) {
		case *Begin:
			return // what is on the needle is worked; the sentence is told as it stands
		case *Heading:
			last = 0
		case *Row:
			for _, n := range it.Head.Numbers {
				last = max(last, n)
			}
		case *RepRows:
			n, t := it.Ref.Last, it.Times.N
			if n < 1 || n > last || it.Times.Kind != TimesMore || !t.Single() || t.For(0) < 1 || it.Until.Given() || it.Only != nil || len(it.Stated) > 0 {
				continue
			}
			next := firstRow(items[k+1:])
			if next == nil || len(next.Head.Numbers) == 0 || next.Head.Numbers[0] != last+n*t.For(0)+1 || next.Head.Numbers[0] > MaxRowNumber {
				continue
			}
			row := &Row{As: &RowRef{}, Head: Head{Round: next.Head.Round, Words: it.Words}, Span: it.Span}
			for v := last - n + 1; v <= last; v++ {
				row.As.Numbers = append(row.As.Numbers, v)
			}
			for v := last + 1; v < next.Head.Numbers[0]; v++ {
				row.Head.Numbers = append(row.Head.Numbers, v)
			}
			items[k] = row
		}
	}
}

// firstRow is the first row of items where nothing but words stands before it.
func firstRow(items []Item) *Row {
	for _, it := range items {
		switch it := it.(type) {
		case *Blank, *Prose:
		case *Row:
			return it
		default:
			return nil
		}
	}
	return nil
}
