package notation

// This file reads shaping in threes, as Japanese and other continental charts give it:
// "8-1-5" is every 8 rows, 1 stitch, 5 times.

// findTriples looks for the sentence that says what the three numbers are, "rows-sts-times",
// and whether both sides are shaped.
func (r *reader) findTriples() {
	for i, toks := range r.lines {
		p := r.parser(toks)
		for k := 0; k+4 < len(toks); k++ {
			if !isDash(p.w(k+1)) && p.w(k+1) != "/" || p.w(k+3) != p.w(k+1) {
				continue
			}
			order := ""
			for q := k; q <= k+4; q += 2 {
				switch p.w(q) {
				case "row", "rnd":
					order += "r"
				case "st":
					order += "s"
				case "times", "time":
					order += "t"
				}
			}
			if len(order) != 3 || order[0] == order[1] || order[1] == order[2] || order[0] == order[2] {
				continue
			}
			r.triples, r.triplesAt = order, toks[k]
			for q := max(0, i-1); q <= min(i+1, len(r.lines)-1); q++ {
				line := r.parser(r.lines[q])
				if _, _, ok := line.find(0, len(line.toks), "both|each|either side|sides|end|ends|edge|edges"); ok {
					r.bothSides = true
				}
			}
			return
		}
	}
}

// legendOfTriples says that the sentence from i to end is the one that says so.
func (r *reader) legendOfTriples(p *parser, i, end int) bool {
	for k := i; k < end && r.triples != ""; k++ {
		if p.at(k).Span == r.triplesAt.Span {
			return true
		}
	}
	return false
}

// triple reads one "8-1-5", "8-1x5", "8-1-5x".
func (p *parser) triple(i int) (v [3]int, next int, ok bool) {
	for k := range v {
		t := p.at(i)
		if t.Kind != Number || t.Frac != "" || i >= len(p.toks) || t.Val > 10000 {
			return v, i, false
		}
		v[k] = t.Val
		i++
		if k < 2 {
			if w := p.w(i); !isDash(w) && !(k == 1 && w == "x") {
				return v, i, false
			}
			i++
		}
	}
	if p.w(i) == "x" || p.w(i) == "times" {
		i++
	}
	if isDash(p.w(i)) && p.at(i+1).Kind == Number {
		return v, i, false
	}
	return v, i, true
}

// tripleVector reads a three for all sizes, or one for each: "8-1-5 (8-1-4, 8-1-3)".
func (p *parser) tripleVector(i int) (rows, sts, times Num, next int, ok bool) {
	start := i
	first, j, ok := p.triple(i)
	if !ok {
		return
	}
	all := [][3]int{first}
	closer, sep := openers[p.w(j)], ""
	if closer == "" {
		sep = p.w(j)
	}
	if closer != "" || sep == "/" || sep == "|" {
		k := j + 1
		for {
			v, e, ok := p.triple(k)
			if !ok {
				break
			}
			all, k = append(all, v), e
			if w := p.w(k); closer != "" && (w == "," || w == ";" || w == ":" || w == "/") || sep != "" && w == sep {
				k++
				continue
			}
			break
		}
		if closer != "" && p.w(k) == closer {
			k++
		}
		if len(all) == p.sizes {
			j = k
		} else {
			all = all[:1]
		}
	}
	if p.triples == "" && len(all) == 1 && p.sizes > 1 {
		return Num{}, Num{}, Num{}, start, false // it may be one number for each of three sizes
	}
	order := p.triples
	if order == "" {
		order = "rst"
	}
	for _, v := range all {
		for k, what := range order {
			switch what {
			case 'r':
				rows.Vals = append(rows.Vals, v[k])
			case 's':
				sts.Vals = append(sts.Vals, v[k])
			case 't':
				times.Vals = append(times.Vals, v[k])
			}
		}
	}
	return rows, sts, times, j, true
}

// inTriples reads the threes of a shaping as far as the stitches of each are as many;
// what is left begins a shaping of its own.
func (p *parser) inTriples(s *Shape, i int) (int, bool) {
	both := false
	if k, ok := p.words(i, ":? at|on? both|each|either side|sides|end|ends|edge|edges"); ok {
		i, both = k, true
	}
	for p.w(i) == ":" || p.w(i) == "st" {
		i++
	}
	rows, sts, times, j, ok := p.tripleVector(i)
	if !ok {
		return i, false
	}
	s.N, s.Places = level(sts), 1
	s.When = When{Times: level(times)}
	s.When.setEvery(level(rows))
	for {
		k := j
		for w := p.w(k); w == "," || w == "then" || w == "and" || w == ";"; w = p.w(k) {
			k++
		}
		r2, s2, t2, e, ok := p.tripleVector(k)
		if !ok || !equalInts(level(s2).Vals, s.N.Vals) {
			break
		}
		w := When{Times: level(t2)}
		w.setEvery(level(r2))
		s.When.add(&w)
		j = e
	}
	if p.bothSides || both {
		s.At, s.Places = "both", 2
	}
	if k, ok := p.words(j, ",? at|on|in? both|each|either side|sides|end|ends|edge|edges"); ok {
		s.At, s.Places, j = "both", 2, k
	}
	return j, true
}

// level makes one number of a list that has the same for every size.
func level(n Num) Num {
	for _, v := range n.Vals {
		if v != n.Vals[0] {
			return n
		}
	}
	n.Vals = n.Vals[:1:1]
	return n
}

// triplesEnd ends a shaping in threes with the count behind it.
func (p *parser) triplesEnd(s *Shape, start, i int) (*Shape, int, bool) {
	if st, q, ok := p.stated(i); ok {
		s.Stated, i = st, q
	} else if w := p.w(i); w == "." || w == ";" || w == "," {
		i++
	}
	s.Words, s.Span = p.raw(start, i), p.span(start, i)
	return s, i, true
}
