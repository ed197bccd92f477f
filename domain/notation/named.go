package notation

// This file reads lists that name the size beside every number: "A 192, B 216, C 240 sts",
// "S: 60; M: 66", "60 (S), 66 (M)", "192 sts for A, 216 sts for B".

// namedList reads at k one number for each size, every one with the name of its size
// before it or behind. It gives the tokens of the numbers, the unit if one stood behind
// them, the places of the elements as wholes and of their names, and where the list ends.
func namedList(toks []Token, k int, names [][]Token) (elems []int, unit int, parts [][4]int, end int, ok bool) {
	name := func(k, size int) (int, bool) {
		for q, t := range names[size] {
			if k+q >= len(toks) || toks[k+q].fold != t.fold {
				return k, false
			}
		}
		return k + len(names[size]), true
	}
	at := func(k int) Token {
		if k < len(toks) {
			return toks[k]
		}
		return Token{Kind: Punct}
	}
	if len(names) < 2 || k >= len(toks) {
		return nil, 0, nil, k, false
	}
	for _, n := range names {
		if len(n) == 0 || n[0].Kind != Word {
			return nil, 0, nil, k, false
		}
	}
	units := 0
	for size := range names {
		if size > 0 {
			from := k
			for w := at(k).Text; w == "," || w == ";" || w == "/" || w == "|" || w == "and" || w == "&" || isDash(w); w = at(k).Text {
				k++
			}
			if k == from && at(k-1).Text != ")" { // 60 (S) 66 (M)
				return nil, 0, nil, k, false
			}
		}
		first := k
		if j, named := name(k, size); named { // A 192, A: 192, A = 192, A (192)
			closer := ""
			if w := at(j).Text; w == ":" || w == "=" || isDash(w) && !at(j+1).Glued {
				j++
			} else if w == "(" {
				j, closer = j+1, ")"
			}
			if at(j).Kind != Number || at(j).Frac != "" || j >= len(toks) {
				return nil, 0, nil, k, false
			}
			elems, k = append(elems, j), j+1
			if at(k).fold == "st" && (closer != "" || size < len(names)-1) {
				units, unit, k = units+1, k, k+1
			}
			if closer != "" {
				if at(k).Text != closer {
					return nil, 0, nil, k, false
				}
				k++
			}
			parts = append(parts, [4]int{first, k, first, first + len(names[size])})
			continue
		}
		if at(k).Kind != Number || at(k).Frac != "" {
			return nil, 0, nil, k, false
		}
		elems, k = append(elems, k), k+1
		if at(k).fold == "st" { // 192 sts for A
			units, unit, k = units+1, k, k+1
		}
		closer := ""
		switch w := at(k).Text; {
		case w == "(":
			k, closer = k+1, ")"
		case w == "for" && at(k+1).Text == "size":
			k += 2
		case w == "for" || w == "=":
			k++
		}
		j, named := name(k, size)
		if !named {
			return nil, 0, nil, k, false
		}
		named0 := k
		if k = j; closer != "" {
			if at(k).Text != closer {
				return nil, 0, nil, k, false
			}
			k++
		}
		parts = append(parts, [4]int{first, k, named0, j})
	}
	if units == 0 {
		unit = 0
	}
	return elems, unit, parts, k, true
}

// levelNamed puts such lists as 192 (216, 240) throughout the manuscript.
func (r *reader) levelNamed() {
	if r.sizes < 2 {
		return
	}
	for i, toks := range r.lines {
		for k := 0; k < len(toks); k++ {
			elems, unit, _, end, ok := namedList(toks, k, r.nameToks)
			if !ok {
				continue
			}
			whole := toks[k].Span.Cover(toks[end-1].Span)
			out := append([]Token(nil), toks[:k]...)
			for s, e := range elems {
				t := toks[e]
				sign := Token{Kind: Punct, Text: ",", fold: ",", Raw: ",", Glued: true, Span: t.Span}
				switch s {
				case 0:
					t.Glued = toks[k].Glued
					t.Span = whole
				case 1:
					sign.Text, sign.fold, sign.Raw, sign.Glued = "(", "(", "(", false
					out = append(out, sign)
					t.Glued = true
				default:
					out = append(out, sign)
					t.Glued = false
				}
				out = append(out, t)
			}
			out = append(out, Token{Kind: Punct, Text: ")", fold: ")", Raw: ")", Glued: true, Span: toks[end-1].Span})
			if unit > 0 && (end >= len(toks) || toks[end].fold != "st") {
				u := toks[unit]
				u.Glued, u.Span = false, toks[end-1].Span
				out = append(out, u)
			}
			k = len(out) - 1
			toks = append(out, toks[end:]...)
		}
		r.lines[i] = toks
	}
}
