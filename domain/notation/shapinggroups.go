package notation

import "slices"

// This file reads shaping that is told by its rhythm or as a table: "[Dec 1 st at each end of next
// row, p 1 row] 4 times", "bind off 3-2-2-1 sts at beg of RS rows", "1 x 4 sts, 2 x 2 sts".

// rhythm reads a bracket of one shaped row and plain ones, worked so many times.
func (p *parser) rhythm(i int) ([]Item, int, bool) {
	closer := openers[p.w(i)]
	if closer == "" {
		return nil, i, false
	}
	end := p.closerOf(i)
	if end < 0 {
		return nil, i, false
	}
	t, next, ok := p.times(end + 1)
	if !ok {
		return nil, i, false
	}
	q := *p
	q.toks, q.quiet, q.pairs = p.toks[:end], true, nil
	var shape *Shape
	name := ""
	rows := 0
	for k := i + 1; k < end; {
		if hasWord(&q, k, ",", ";", "and", "then", "work", ".") {
			k++
			continue
		}
		if s, e, ok := q.shape(k); ok && shape == nil && name == "" && (s.Do == "inc" || s.Do == "dec") && s.When.Times.Given() == false && !s.Until.Given() && (s.When.Next == 1 || s.When.Every == 1) {
			shape, rows, k = s, rows+1, e
			continue
		}
		if s, e, ok := q.shapeBare(k); ok && shape == nil && name == "" {
			shape, rows, k = s, rows+1, e
			continue
		}
		if n, e, ok := q.plainRows(k); ok {
			rows, k = rows+n, e
			continue
		}
		if e, ok := q.words(k, "dec|inc|decrease|increase row|rnd"); ok && name == "" && shape == nil {
			name, rows, k = q.raw(k, e), rows+1, e
			continue
		}
		return nil, i, false
	}
	if rows < 1 || shape == nil && name == "" {
		return nil, i, false
	}
	st, e, stated := p.stated(next)
	if stated {
		next = e
	} else if p.w(next) == "." || p.w(next) == ";" {
		next++
	}
	w := When{Every: rows, Times: t.N}
	if shape != nil {
		shape.When, shape.Stated = w, st
		shape.Words, shape.Span = p.raw(i, next), p.span(i, next)
		return []Item{shape}, next, true
	}
	r := &RepRows{Ref: RowRef{Words: name}, When: w, Stated: st, Words: p.raw(i, next), Span: p.span(i, next)}
	return []Item{r}, next, true
}

// shapeBare reads "dec 1 st at each end" with no row told.
func (p *parser) shapeBare(i int) (*Shape, int, bool) {
	down, n, j, ok := p.wider(i)
	if !ok {
		return nil, i, false
	}
	where, _, j, ok := p.whereInRow(j)
	if !ok || where == "every" || where == "centre" {
		return nil, i, false
	}
	s := &Shape{Do: "inc", N: n, At: where, Places: 1}
	if down {
		s.Do = "dec"
	}
	if where == "both" {
		s.Places = 2
	}
	return s, j, true
}

// plainRows reads "p 1 row", "work 3 rows even", "1 row even", "3 rows plain".
func (p *parser) plainRows(i int) (int, int, bool) {
	j := p.skipWords(i, "work", "k", "p", "knit", "purl")
	n, j, ok := p.num(j)
	if !ok || !n.Single() {
		return 0, i, false
	}
	j = p.skipWords(j, "plain", "even", "straight", "more")
	if p.w(j) != "row" && p.w(j) != "rnd" {
		return 0, i, false
	}
	return n.For(0), p.skipWords(j+1, "even", "straight", "plain", "without", "shaping", "in", "patt"), true
}

// boundInSteps reads stitches bound off in steps: "Bind off 3-2-2-1 sts at beg of RS rows", "bind off at
// both ends, every 2nd row: 1 x 4 (5, 6) sts, 2 x 2 sts". Each step is a shaping of its own.
func (p *parser) boundInSteps(i int) ([]Item, int, bool) {
	end := p.sentenceEnd(i)
	at, j, ok := p.find(i, end, "bind|cast off", "bo", "dec", "decrease")
	if !ok || at > i+6 {
		return nil, i, false
	}
	do := "bind"
	if hasWord(p, at, "dec", "decrease") {
		do = "dec"
	}
	both := false
	if _, _, ok := p.find(i, end, "both|each end|ends|side|sides|edge|edges"); ok {
		both = true
	}
	var steps []Num // how many stitches
	var times []int
	list := j
	if run, k, ok := p.hyphenRun(j); ok {
		if _, _, ok := p.find(k, end, "every", "each", "alt", "rs", "ws", "other", "at neck|armhole edge|side"); !ok {
			return nil, i, false
		}
		for _, v := range run {
			steps, times = append(steps, N(v)), append(times, 1)
		}
	} else {
		if _, _, ok := p.find(i, end, "every|each 2nd|second|other|alt row", "every 2 row", "every|each rs|ws row", "alt row"); !ok {
			return nil, i, false
		}
		for k := list; k < end; {
			if t := p.at(k); t.Kind == Number && t.Frac == "" && (p.w(k+1) == "x" || p.w(k+1) == "times") && t.Val > 0 && t.Val < 100 {
				n, q, ok := p.num(k + 2)
				if !ok || p.w(q) != "st" {
					return nil, i, false
				}
				steps, times = append(steps, n), append(times, t.Val)
				k = q + 1
				continue
			}
			k++
		}
	}
	if len(steps) < 2 {
		return nil, i, false
	}
	if p.w(end) == "." {
		end++
	}
	var stated []Stated
	if st, e, ok := p.stated(end); ok {
		stated, end = st, e
	}
	var out []Item
	for k, n := range steps {
		s := &Shape{Do: do, N: n, At: "beg", Places: 1, When: When{Every: 2, Times: N(times[k])}, Words: p.raw(i, end), Span: p.span(i, end)}
		if both {
			s.At, s.Places = "both", 2
		}
		if k == len(steps)-1 {
			s.Stated = stated
		}
		out = append(out, s)
	}
	return out, end, true
}

// hyphenRun reads "3-2-2-1": three numbers at least, falling or level.
func (p *parser) hyphenRun(i int) ([]int, int, bool) {
	var run []int
	for p.at(i).Kind == Number && p.at(i).Frac == "" && i < len(p.toks) {
		run = append(run, p.at(i).Val)
		if !isDash(p.w(i + 1)) {
			i++
			break
		}
		i += 2
	}
	falling := slices.IsSortedFunc(run, func(a, b int) int { return b - a })
	return run, i, len(run) > 2 && falling && (p.sizes < 2 || len(run) != p.sizes) && p.w(i) == "st"
}

// changedTo reads "Increase from 40 to 52 sts by increasing 1 st at each end of every 4th row" and "Purl 1
// row, decreasing to 60 sts evenly".
func (p *parser) changedTo(i int) ([]Item, int, bool) {
	if hasWord(p, i, "increase", "inc", "decrease", "dec") {
		j := i + 1
		if p.w(j) == "from" {
			_, k, ok := p.num(j + 1)
			if !ok {
				return nil, i, false
			}
			j = p.skipWords(k, "st")
		}
		if p.w(j) != "to" {
			return nil, i, false
		}
		n, k, ok := p.num(j + 1)
		if !ok || p.w(k) != "st" {
			return nil, i, false
		}
		if p.w(k+1) != "by" {
			return nil, i, false
		}
		s, e, ok := p.shape(k + 2)
		if !ok || s.When.Every == 0 || s.When.Times.Given() || s.Until.Given() {
			return nil, i, false
		}
		s.Until, s.Words, s.Span = n, p.raw(i, e), p.span(i, e)
		return []Item{s}, e, true
	}
	s, j, ok := p.straight(i)
	if !ok || !s.Rows.Given() || s.Change.Given() {
		return nil, i, false
	}
	end := p.sentenceEnd(i)
	for k := i + 1; k < end; k++ {
		to := p.skipWords(k+1, "evenly", "spaced", "across", "row", "rnd", "rs", "ws")
		if !hasWord(p, k, "inc", "dec", "increase", "decrease", "increasing", "decreasing") || p.w(to) != "to" {
			continue
		}
		n, q, ok := p.num(to + 1)
		if !ok || p.w(q) != "st" {
			return nil, i, false
		}
		q = p.skipWords(q+1, "evenly", "spaced", "across", "row", "rnd", "around", "over", "in", "on", "last", "first", "this", "rs", "ws")
		if p.w(q) == "." {
			q++
		}
		q = max(q, min(j, len(p.toks)))
		s.Stated = nil
		s.Words, s.Span = p.raw(i, k), p.span(i, k)
		t := &Shape{Do: "towards", Until: n, Words: p.raw(k, q), Span: p.span(k, q)}
		return []Item{s, t}, q, true
	}
	return nil, i, false
}
