package notation

// This file reads stitch multiples.

// multiple reads a stitch multiple anywhere between i and end.
func (p *parser) multiple(i, end int) (*Multiple, int, bool) {
	num := p.multipleNum
	if k, ok := p.words(i, "panel|patt|st|lace|cable? rep :", "panel|patt|st|lace|cable rep"); ok { // "Panel repeat: 10 + 3 stitches"
		if of, q, ok := num(k); ok && of > 0 {
			q = p.skipWords(q, "st")
			if p.w(q) == "+" || p.w(q) == "plus" {
				return p.multipleRest(&Multiple{Of: of}, i, q)
			}
		}
	}
	at, j, ok := p.find(i, end, "multiple|multiples|mult|mults of", "multiple|multiples|mult : of?", "mult . of", "multiple|multiples|mult", "divisible by", "number of st divisible by", "in multiples of", "worked over a multiple of", "number divisible by", "rep of", "st count :", "st :")
	if !ok {
		return p.anyNumber(i, end)
	}
	if _, _, times := p.find(j, min(j+12, end), "times around|across|rnd", "worked"); times && p.w(at) == "rep" {
		return nil, i, false // "(repeat of 8 sts, worked 10 times around)": of the stitches that are there
	}
	for k := max(i, at-4); k < at; k++ {
		if hasWord(p, k, "add", "adding", "adjust", "wider", "bigger", "change", "another") {
			return nil, i, false // "to make it wider, add any multiple of ten stitches"
		}
	}
	if w := p.w(at); (w == "st" || w == "stitch") && p.w(j+1) != "+" && p.w(j+1) != "plus" && p.w(j+2) != "+" && p.w(j+2) != "plus" {
		if j < end { // "Number of stitches: multiple of 10 + 1"
			if m, q, ok := p.multiple(j, end); ok {
				return m, q, true
			}
		}
		return p.anyNumber(i, end) // "220 sts: 46 sts for each sleeve"
	}
	if p.w(j) == "any" || p.w(j) == ":" || p.w(j) == "-" || p.w(j) == "–" {
		j++
	}
	m := &Multiple{}
	if m.Of, j, ok = num(j); !ok || m.Of < 1 {
		if at+1 < end { // "Multiple: multiple of 4 sts + 3"
			return p.multiple(at+1, end)
		}
		return nil, i, false
	}
	if p.w(j) == "x" || p.w(j) == "n" {
		j++
	}
	return p.multipleRest(m, at, p.skipWords(j, "st"))
}

// multipleRest reads what is added to a multiple: "+ 5", "plus 1 st each side", "and two more".
func (p *parser) multipleRest(m *Multiple, at, j int) (*Multiple, int, bool) {
	num := p.multipleNum
	for k := 0; k < 4; k++ {
		q := j
		if p.w(q) == "." && p.at(q).Glued && (p.w(q+1) == "plus" || p.w(q+1) == "+" || p.w(q+1) == "and") {
			q++
		}
		if p.w(q) == "," || p.w(q) == "(" || p.w(q) == "with" {
			q++
			if p.w(q) == "with" {
				q++
			}
		}
		minus := false
		switch w := p.w(q); {
		case w == "plus" || w == "+" || w == "and" || w == "add":
		case w == "minus" || w == "less" || isDash(w) && m.Plus == 0 && p.at(q+1).Kind == Number && !p.at(q).Glued:
			minus = true
		default:
			if p.at(q).Kind == Number && (p.w(q+1) == "over" || p.w(q+1) == "extra" || p.w(q+1) == "st" && hasWord(p, q+2, "over", "more", "extra")) {
				q-- // "6 sts and 2 over", "11, with 2 stitches more"
				break
			}
			m.Span = p.span(at, j)
			return m, j, true
		}
		q++
		if w := p.w(q); w == "a" || w == "an" || w == "another" || w == "extra" || w == "plus" {
			q++
		}
		v, r, ok := num(q)
		if !ok {
			break
		}
		// "and 4 rows": rows are no stitches
		if w := p.w(r); w == "row" || w == "rnd" || p.w(r) == "-" && p.w(r+1) == "row" {
			break
		}
		edge := false
		r = p.skipWords(r, "st", "extra", "edge", "selvedge", "selvage", "more", "balancing", "over", "selv", "border")
		if s, ok := p.words(r, "at|on|for? each|both side|end|edge|sides|ends|edges", "each side|end|edge", "at|on either side|end|edge", "both sides|ends"); ok {
			edge, r = true, s
		}
		r = p.skipWords(r, "for", "edge", "edges", "st", "selvedge", "selvedges", "balance", "symmetry", "as")
		switch {
		case minus:
			m.Plus -= v
		case edge:
			m.Edge += v
		default:
			m.Plus += v
		}
		if p.w(r) == ")" {
			r++
		}
		j = r
	}
	m.Span = p.span(at, j)
	return m, j, true
}

func (p *parser) multipleNum(k int) (int, int, bool) {
	t := p.at(k)
	if t.Kind != Number || t.Frac != "" || k >= len(p.toks) || t.Val > 100000 {
		return 0, k, false
	}
	return t.Val, k + 1, true
}

// goesInto reads a multiple that is told or noted: "a number of stitches that four goes
// into, and two more", "sts that divide by 8 plus 5", "8n + 5".
func (p *parser) goesInto(i, end int) (*Multiple, int, bool) {
	for k := i; k < end; k++ {
		of, j, ok := p.multipleNum(k)
		if !ok || of < 1 {
			continue
		}
		if q, ok := p.words(j, "goes|go|fits|fit evenly|exactly? into", "will go|fit|divide evenly|exactly? into", "divides|divide evenly|exactly? into?"); ok && (hasWord(p, k-1, "that", "which", "where", "so") || p.w(k-1) == "number") {
			return p.multipleRest(&Multiple{Of: of}, k, p.skipWords(q, "exactly", "evenly", "it", "them"))
		}
		if hasWord(p, k-1, "by") && hasWord(p, k-2, "divide", "divides", "divided", "divisible", "dividing", "evenly", "exactly") {
			return p.multipleRest(&Multiple{Of: of}, k, p.skipWords(j, "st", "exactly", "evenly"))
		}
		if p.w(j) == "n" && p.at(j).Glued && (p.w(j+1) == "+" || p.w(j+1) == "plus" || isDash(p.w(j+1)) || p.w(j+1) == "st" || j+1 >= len(p.toks)) {
			return p.multipleRest(&Multiple{Of: of}, k, p.skipWords(j+1, "st"))
		}
	}
	return nil, i, false
}

// bareSum reads "8 + 10", "8s + 5", "8 sts + 5 sts" where it is all that a line says.
func (p *parser) bareSum() (*Multiple, bool) {
	start := 0
	closer := openers[p.w(0)] // "(6 sts + 5, 8 rows)"
	if closer != "" {
		start = 1
	}
	of, j, ok := p.multipleNum(start)
	if !ok || of < 1 {
		return nil, false
	}
	j = p.skipWords(j, "s", "st", "x", "rep")
	if p.w(j) == "-" && p.w(j+1) == "st" {
		j += 2
	}
	if p.w(j) != "+" && p.w(j) != "plus" {
		return nil, false
	}
	plus, j, ok := p.multipleNum(j + 1)
	if !ok {
		return nil, false
	}
	j = p.skipWords(j, "s", "st", "extra", "over")
	if k := p.skipWords(j, ",", ";", "/", "x", "by", "and"); k > j {
		if _, q, ok := p.multipleNum(k); ok && (p.w(q) == "row" || p.w(q) == "rnd" || p.w(q) == "-" && p.w(q+1) == "row") {
			j = p.skipWords(q, "-", "row", "rnd", "rep", "repeat")
		}
	}
	if closer != "" {
		if p.w(j) != closer {
			return nil, false
		}
		j++
	}
	if j < len(p.toks) && (p.w(j) != "." || j+1 < len(p.toks)) {
		return nil, false
	}
	return &Multiple{Of: of, Plus: plus, Span: p.span(0, j)}, true
}

// anyNumber reads "any odd number of sts" and its kin.
func (p *parser) anyNumber(i, end int) (*Multiple, int, bool) {
	if at, j, ok := p.find(i, end, "any odd number", "an odd number", "odd number of st", "odd no . of st", "odd no of st", "any uneven number", "uneven number of st", "an uneven number"); ok {
		return &Multiple{Of: 2, Plus: 1, Span: p.span(at, j)}, p.skipWords(j, "of", "st"), true
	}
	if at, j, ok := p.find(i, end, "any even number", "an even number", "even number of st", "even no . of st", "even no of st"); ok {
		return &Multiple{Of: 2, Plus: 0, Span: p.span(at, j)}, p.skipWords(j, "of", "st"), true
	}
	if m, j, ok := p.goesInto(i, end); ok {
		return m, j, true
	}
	if at, j, ok := p.find(i, end, "any number of st", "any number", "any multiple"); ok {
		return &Multiple{Of: 1, Plus: 0, Span: p.span(at, j)}, p.skipWords(j, "of", "st"), true
	}
	return nil, i, false
}
