package notation

// This file reads bind-offs in the order of Continental leaflets, the place and the rows before the stitches: "At 14 cm
// total height, bind off on each side, every 2 rows: 1 time 3 sts, 1 time 2 sts, 2 times 1 st", "When piece measures
// 36 cm, bind off at each side for the raglan 4 (4 - 5) sts once (= at beg of the next 2 rows)".

// bindsEachSide reads such a sentence: one shaping for each number of stitches.
func (p *parser) bindsEachSide(i, end int) ([]*Shape, int, bool) {
	start := i
	i = p.edgeLabel(i)
	i = p.pastLength(i, end)
	i = p.skipWords(i, "now", "next", "then", "and")
	if hasWord(p, i, "change", "continue", "cont") { // "…, increasing on each side, every 6 rows, 6 times 1 st"
		if k, _, ok := p.find(i, end, ", increasing|decreasing on each side"); ok {
			i = k + 1
		}
	}
	do := "bind"
	switch j, ok := p.words(i, "bo", "bind|cast|binding|casting off"); {
	case ok:
		i = j
	case hasWord(p, i, "inc", "increase", "increasing"):
		do, i = "inc", i+1
	case hasWord(p, i, "dec", "decrease", "decreasing"):
		do, i = "dec", i+1
	default:
		return nil, start, false
	}
	one := Shape{Do: do, At: "both", Places: 2, When: When{Every: 2}}
	var told bool
	if i, told = p.words(i, "on|at|from each|both side|sides|edge|edges|end|ends"); !told {
		j, ok := p.words(i, "on|at the left|right edge|side?")
		if !ok {
			return nil, start, false
		}
		one.At, one.Places, one.When.Side = "beg", 1, "RS"
		for k := i; k < j; k++ {
			if p.w(k) == "left" { // the left edge is where a row of the wrong side begins
				one.When.Side = "WS"
			}
		}
		i = j
	}
	if k, ok := p.words(i, "for the? raglan|armhole|armholes|neck|neckline|shoulder|shoulders|cap"); ok {
		i = k
	}
	i = p.skipWords(i, ",")
	if k, ok := p.words(i, "every|each other|alt|2nd|second row", "every|each rs|ws row"); ok {
		i = k
	} else if p.w(i) == "every" && p.at(i+1).Kind == Number && p.w(i+2) == "row" { // "every 2 rows"
		one.When.Every = p.at(i + 1).Val
		i += 3
	}
	if do == "bind" && one.When.Every != 2 || one.When.Every < 1 {
		return nil, start, false
	}
	i = p.skipWords(i, ",", ":")
	var out []*Shape
	for from := start; i < end; {
		often, j, first := p.times(i)
		first = first && p.at(i).Kind == Number
		if first {
			i = p.skipWords(j, "x")
		} else if do != "bind" { // "dec on each side every 4 rows: 3 sts" tells no order of its own
			return nil, start, false
		}
		n, j, ok := p.num(i)
		if !ok || p.w(j) != "st" {
			break
		}
		j++
		if !first {
			if often, j, ok = p.timesOrOnce(j); !ok && len(out) == 0 {
				often = Target{N: N(1)}
			}
		}
		if often.Kind == TimesMore {
			return nil, start, false
		}
		if k, ok := p.words(j, "( = at beg of the? next"); ok { // the two rows that it takes, said once more
			if _, k, ok := p.num(k); ok && p.w(k) == "row" && p.w(k+1) == ")" {
				j = k + 2
			}
		}
		s := one
		s.N, s.When.Times, s.Words, s.Span = n, often.N, p.raw(from, j), p.span(from, j)
		out = append(out, &s)
		i = j
		if k := p.skipWords(i, ",", "and", "then"); k > i {
			if p.at(k).Kind == Number {
				i, from = k, k
				continue
			}
		}
		break
	}
	if len(out) == 0 {
		return nil, start, false
	}
	st, next, ok := p.statedToEnd(i, end)
	if !ok {
		return nil, start, false
	}
	out[len(out)-1].Stated = st
	return out, max(next, i), true
}

// pastLength passes a clause that says where the work has come to: "At 14 (15, 17) cm total height,". It is i where
// none stands there.
func (p *parser) pastLength(i, end int) int {
	if !hasWord(p, i, "when", "once", "at", "after", "as") {
		return i
	}
	length, depth := false, 0
	for k := i + 1; k < end; k++ {
		switch w := p.w(k); {
		case lengthUnit(w):
			length = true
		case nesting(w) != 0:
			depth += nesting(w)
		case w == "," && depth <= 0:
			if length {
				return k + 1
			}
			return i
		}
	}
	return i
}
