package notation

// This file reads rows that are worked while they are shaped: "Work 6 rows, dec 1 st at each end
// of every alt row", "Knit 8 rows, inc 1 st each end of 3rd and 7th rows".

// shapedTogether reads a sentence of several shapings, or of rows and a shaping.
func (p *parser) shapedTogether(i int) ([]Item, int, bool) {
	for _, f := range [...]func(int) ([]Item, int, bool){p.rhythm, p.changedTo, p.straightShaped, p.boundInSteps} {
		if its, j, ok := f(i); ok {
			return its, j, true
		}
	}
	return nil, i, false
}

// straightShaped reads so many rows and the shaping told of them in the same sentence, which
// is worked in these rows and not behind them.
func (p *parser) straightShaped(i int) ([]Item, int, bool) {
	s, j, ok := p.straight(i)
	if !ok || !s.Rows.Given() || s.Change.Given() || s.Length != "" || len(s.Stated) > 0 || p.w(j-1) != "," && p.w(j-1) != ";" {
		return nil, i, false
	}
	k := j
	for p.w(k) == "and" || p.w(k) == "," || p.w(k) == "at" && p.w(k+1) == "same" {
		if p.w(k) == "at" {
			k += 2
		}
		k++
	}
	sh, end, ok := p.shape(k)
	if !ok || sh.Until.Given() || sh.Do != "inc" && sh.Do != "dec" {
		return nil, i, false
	}
	if n := p.rowsNamed(k, end); n > 0 {
		s.Change, s.Down, s.Stated = mulNum(sh.N, N(n*max(1, sh.Places))), sh.Do == "dec", sh.Stated
		s.Words, s.Span = p.raw(i, end), p.span(i, end)
		return []Item{s}, end, true
	}
	w := &sh.When
	if w.Every < 1 || w.Times.Given() || w.First || w.Next > 0 || w.Then != nil {
		return nil, i, false
	}
	times, left, some := Num{Span: s.Rows.Span}, Num{Span: s.Rows.Span}, false
	for size := range max(len(s.Rows.Vals), len(w.Each.Vals)) {
		rows, every := max(0, s.Rows.For(size)), w.EveryFor(size)
		t := 0
		if every > 0 {
			t = rows / every
		}
		times.Vals = append(times.Vals, t)
		left.Vals = append(left.Vals, rows-t*every)
		some = some || rows > t*every
	}
	w.Times = times
	sh.Words, sh.Span = p.raw(i, end), p.span(i, end)
	if !some {
		return []Item{sh}, end, true
	}
	s.Rows, s.Stated, sh.Stated = left, sh.Stated, nil
	s.Span = p.span(end-1, end)
	return []Item{sh, s}, end, true
}

// rowsNamed counts the rows that a shaping sentence names, "of 3rd and 7th rows"; 0 where it
// names none, or says how often otherwise.
func (p *parser) rowsNamed(i, end int) int {
	for ; i < end; i++ {
		if p.at(i).Kind != Ordinal {
			continue
		}
		switch p.w(i - 1) {
		case "every", "each", "following", "next", "alt", "foll", "and":
			return 0
		}
		n, k := 0, i
		for ; k < len(p.toks); k++ {
			switch w := p.w(k); {
			case p.at(k).Kind == Ordinal:
				n++
				continue
			case w == "," || w == "and" || w == "&" || w == "the" || (w == "row" || w == "rnd") && hasWord(p, k+1, "and", "&", ","):
				continue
			case (w == "row" || w == "rnd") && k+1 >= end:
				return n
			}
			break
		}
		if hasWord(p, k, "row", "rnd") || hasWord(p, k-1, "row", "rnd") {
			return n
		}
		return 0
	}
	return 0
}
