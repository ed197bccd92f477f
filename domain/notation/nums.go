package notation

// This file reads numbers and the lists of them that sizes have: 38, 38 (40, 42), 38/40/42.

// withinList says that the number at i stands within a list that began before it: 96 in 88 (92) 96 (100) 104.
func (p *parser) withinList(i int) bool {
	return hasWord(p, i-1, ")", "]") && p.at(i-2).Kind == Number && openers[p.w(i-3)] != "" && p.at(i-4).Kind == Number
}

// num reads a number, for one size or for each, at i.
func (p *parser) num(i int) (Num, int, bool) {
	t := p.at(i)
	var vals []int
	start := i
	switch {
	case t.Kind == Number && t.Frac == "":
		vals = append(vals, t.Val)
		i++
	case isDash(t.Text) && p.sizes > 1:
		inner, j, ok := p.bracketNums(i + 1)
		if !ok {
			return Num{}, start, false
		}
		vals = append([]int{Skip}, inner...)
		for len(inner) == 1 && len(vals) < p.sizes && p.at(j).Kind == Number && p.at(j).Frac == "" { // - (34) 36
			vals = append(vals, p.at(j).Val)
			j++
			more, k, ok := p.bracketNums(j)
			if !ok || len(vals)+len(more) > p.sizes {
				break
			}
			vals = append(vals, more...)
			j = k
		}
		for openers[p.w(j)] != "" && len(vals) < p.sizes { // - (0, 1, 2) (3, 4, 5, 6)
			more, k, ok := p.bracketNums(j)
			if !ok || len(vals)+len(more) > p.sizes {
				break
			}
			vals, j = append(vals, more...), k
		}
		if len(vals) != p.sizes {
			return Num{}, start, false
		}
		return Num{Vals: vals, Span: p.span(start, j)}, j, true
	case openers[t.Text] != "" && p.sizes > 1: // k(3, 4, 5)
		inner, j, ok := p.bracketNums(i)
		if !ok || len(inner) != p.sizes {
			return Num{}, start, false
		}
		return Num{Vals: inner, Span: p.span(start, j)}, j, true
	default:
		return Num{}, start, false
	}
	if vals2, j, ok := p.slashNums(start); ok {
		return Num{Vals: vals2, Span: p.span(start, j)}, j, true
	}
	if vals2, j, ok := p.slashMiscount(start); ok {
		n := Num{Vals: vals2, Span: p.span(start, j)}
		p.addf("size-count", n.Span, "%d numbers for %d sizes in “%s”", len(vals2), p.sizes, p.raw(start, j))
		return n, j, true
	}
	if n, j, ok := p.numOfSome(start); ok {
		return n, j, true
	}
	for openers[p.w(i)] != "" {
		inner, j, ok := p.bracketNums(i)
		if !ok {
			break
		}
		total := len(vals) + len(inner)
		if len(inner) == p.sizes && p.sizes > 1 && len(vals) == 1 && (j >= len(p.toks) || p.w(j) == "." && j+1 >= len(p.toks)) {
			break // a count for each size by itself
		}
		if total != p.sizes {
			short := len(inner) == 1 && p.sizes > 2 && inner[0] >= vals[0] && hasWord(p, j, ",", ";", "row", "rnd") && len(vals) == 1
			danish := len(inner) == 1 && p.at(j).Kind == Number && !p.at(j).Glued && total+1 == p.sizes && (j+1 >= len(p.toks) || hasWord(p, j+1, ",", ";", ".", ")", "]", "*")) // k13 (15) 17, yo
			danish = danish || len(vals) > 2 && len(inner) == 1 && p.at(j).Kind == Number && !p.at(j).Glued && total+1 == p.sizes                                                // 52 (54) 56 (58) 62 sleeve sts
			more := short || danish || openers[p.w(j)] != "" || p.at(j).Kind == Number && (openers[p.w(j+1)] != "" || p.w(j+1) == "times" || p.w(j+1) == "st" || p.w(j+1) == "more")
			if len(inner) < 2 && !(more && total < p.sizes) && !(p.sizes == 2 && len(inner) == 1) {
				break
			}
			if p.w(j) == "times" && len(inner) == 1 {
				break
			}
		}
		vals = append(vals, inner...)
		i = j
		// the Danish way: 8 (9) 10 (11)
		if len(inner) == 1 && len(vals) < p.sizes && p.at(i).Kind == Number && p.at(i).Frac == "" && !p.at(i).Glued {
			vals = append(vals, p.at(i).Val)
			i++
		} else if len(inner) == 1 && len(vals) == p.sizes-1 && isDash(p.w(i)) && p.w(i+1) == "st" { // 36 (34) - sts
			vals = append(vals, Skip)
			i++
		}
		if len(vals) >= p.sizes {
			break
		}
	}
	n := Num{Vals: vals, Span: p.span(start, i)}
	if len(vals) > 1 && len(vals) != p.sizes && !p.withinList(start) {
		p.addf("size-count", n.Span, "%d numbers for %d sizes in “%s”", len(vals), p.sizes, p.raw(start, i))
	}
	return n, i, true
}

func closes(w string) bool { return w == ")" || w == "]" || w == "}" }

// nesting is by how much a sign changes the depth of brackets: 1, -1, or 0 where it is none.
func nesting(w string) int {
	switch {
	case openers[w] != "":
		return 1
	case closes(w):
		return -1
	}
	return 0
}

// bracketNums reads "(95, 107)" and its kin: numbers only, parted by , : ; or /.
func (p *parser) bracketNums(i int) ([]int, int, bool) {
	closer := openers[p.w(i)]
	if closer == "" {
		return nil, i, false
	}
	var vals []int
	dashed := false // "46 (50-54)": where the numbers are as many as the sizes
	for i++; ; i++ {
		t := p.at(i)
		switch {
		case t.Kind == Number && t.Frac == "":
			vals = append(vals, t.Val)
		case isDash(t.Text) || t.Text == "none" || t.Text == "x":
			vals = append(vals, Skip)
		default:
			return nil, i, false
		}
		i++
		if p.w(i) == "st" && p.w(i+1) == closer && len(vals) > 1 {
			i++
		}
		switch s := p.w(i); {
		case s == closer:
			return vals, i + 1, !dashed || len(vals) == p.sizes-1 || (p.hyphen || p.dashes) && len(vals) > 2
		case isDash(s) && (p.sizes > 2 || p.hyphen) && p.at(i+1).Kind == Number:
			dashed = true
		case s == "," || s == ":" || s == ";" || s == "/" || s == "|":
		default:
			return nil, i, false
		}
	}
}

// slashNums reads 83/95/107, 83:95:107 or, before "sts", 83, 95, 107: only where
// there are as many numbers as sizes.
func (p *parser) slashNums(i int) ([]int, int, bool) {
	if p.sizes < 2 {
		return nil, i, false
	}
	sep := p.w(i + 1)
	if sep != "/" && sep != ":" && sep != "," && !isDash(sep) {
		return nil, i, false
	}
	first := i
	vals := []int{p.at(i).Val}
	for i++; p.w(i) == sep && p.at(i+1).Kind == Number && p.at(i+1).Frac == "" && len(vals) < p.sizes; i += 2 {
		vals = append(vals, p.at(i+1).Val)
	}
	if len(vals) != p.sizes || p.w(i) == sep && p.at(i+1).Kind == Number {
		return nil, i, false
	}
	if sep == "," {
		// "CO 60, 66, 72 sts"; within a row "k10, 11, 12, pm": bare numbers are no instructions
		bare := first > 0 && p.at(first).Glued && p.at(first-1).Kind == Word && (i >= len(p.toks) || p.w(i) == "," || p.w(i) == "." || p.w(i) == ";")
		if p.sizes < 3 || p.w(i) != "st" && !bare {
			return nil, i, false
		}
	}
	if isDash(sep) && p.sizes < 3 && !p.hyphen {
		return nil, i, false
	}
	if sep == "/" && p.sizes <= 3 && p.at(i).Kind == Word && cableWord[p.w(i)] {
		return nil, i, false
	}
	return vals, i, true
}

// slashMiscount reads 4/5/6, or 4-5-6 where hyphens part the sizes, where there are more or fewer sizes: three numbers at
// least, before "sts" or another word of work.
func (p *parser) slashMiscount(i int) ([]int, int, bool) {
	sep := p.w(i + 1)
	if p.sizes < 3 || sep != "/" && !(isDash(sep) && p.hyphen) || !p.at(i+1).Glued || p.w(i-1) == sep && p.at(i).Glued {
		return nil, i, false
	}
	vals := []int{p.at(i).Val}
	for i++; p.w(i) == sep && p.at(i).Glued && p.at(i+1).Kind == Number && p.at(i+1).Glued && p.at(i+1).Frac == "" && len(vals) < MaxSizes; i += 2 {
		vals = append(vals, p.at(i+1).Val)
	}
	if len(vals) < 3 || len(vals) == p.sizes || sep != "/" && vals[len(vals)-1] <= vals[0] { // "cast off 3-2-2-1 sts" are stitches, time after time
		return nil, i, false
	}
	switch p.w(i) {
	case "st", "row", "rnd", "times", "more":
		return vals, i, true
	}
	return nil, i, false
}
