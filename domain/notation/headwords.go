package notation

import "sort"

// This file reads the words that heads of rows are made of: sides, rows and rounds,
// numbers, and "every 4th row".

// maxRange bounds how many rows one head stands for.
const maxRange = 1000

// sideWord reads "RS", "right side", "wrong side facing" at i.
func (p *parser) sideWord(i int) (string, int, bool) {
	if w := p.w(i); (w == "back" || w == "return" || w == "reverse" || w == "even1") && p.w(i+1) == "row" {
		return "WS", i + 1, true // back row: the WS row of the continent
	}
	for _, s := range [...][2]string{{"rs", "RS"}, {"ws", "WS"}, {"right side", "RS"}, {"wrong side", "WS"}, {"right - side", "RS"}, {"wrong - side", "WS"}, {"r . s .", "RS"}, {"w . s .", "WS"}, {"r side", "RS"}, {"front side", "RS"}, {"public side", "RS"}} {
		if j, ok := p.phrase(i, s[0]); ok {
			if k, ok := p.words(j, "facing", "of work", "row", "facing for next row"); ok && p.w(j) != "row" {
				j = k
			}
			return s[1], j, true
		}
	}
	return "", i, false
}

// lastSide reads the side of the last row behind "ending with": "ending with a WS row", and the other where what is told
// faces the knitter for the next one, "ending with RS facing".
func (p *parser) lastSide(i int) (string, int, bool) {
	side, j, ok := p.sideWord(i)
	if !ok {
		return "", i, false
	}
	for k := i; k < j; k++ {
		if p.w(k) == "facing" {
			return otherSide(side), j, true
		}
	}
	return side, j, true
}

// otherSide is the side that the row before or behind one of that side has.
func otherSide(side string) string {
	if side == "RS" {
		return "WS"
	}
	return "RS"
}

func (p *parser) rowWord(i int) (round bool, next int, ok bool) {
	switch p.w(i) {
	case "row":
		i++
	case "rnd":
		round = true
		i++
	case "r":
		// R1 or R 1, not the r of anything else
		if p.at(i+1).Kind != Number {
			return false, i, false
		}
		i++
	default:
		return false, i, false
	}
	if p.w(i) == "." && p.at(i).Glued && p.at(i+1).Kind == Number {
		i++ // Rnd. 3
	}
	if w := p.w(i); (w == "no" || w == "number" || w == "nos" || w == "#") && (p.at(i+1).Kind == Number || p.w(i+1) == ".") {
		i++
		if p.w(i) == "." {
			i++
		}
	}
	return round, i, true
}

// numbers reads "1", "1, 3 and 5", "1–4", "7 to 11" at i.
func (p *parser) numbers(i int) (ns []int, letter string, next int, ok bool) {
	for {
		t := p.at(i)
		if i >= len(p.toks) || (t.Kind != Number && t.Kind != Ordinal) || t.Frac != "" || t.Val > MaxRowNumber {
			if len(ns) == 0 {
				return nil, "", i, false
			}
			break
		}
		if len(ns) == 0 && t.Kind == Number && p.w(i+1) == "times" && p.w(i-1) == "row" && i > 1 && p.at(i-2).Kind == Word && !hasWord(p, i-2, "rep", "repeat", "work", "the", "these", "and") { // "Work pattern row 40 times"
			return nil, "", i, false
		}
		ns = append(ns, t.Val)
		i++
		if l := p.at(i); l.Kind == Word && l.Glued && len(l.Text) == 1 && i < len(p.toks) && l.Text != "x" {
			letter = l.Text
			i++
		}
		// 1st to 4th
		j := i
		if w := p.w(j); (isDash(w) || w == "to") && (p.w(j+1) == "r" || p.w(j+1) == "row" || p.w(j+1) == "rnd") && p.at(j+2).Kind == Number && p.at(j+2).Val > t.Val && p.at(j+2).Val <= min(MaxRowNumber, t.Val+maxRange) {
			for v := t.Val + 1; v <= p.at(j+2).Val; v++ {
				ns = append(ns, v)
			}
			i = j + 3
			j = i
		}
		if w := p.w(j); (isDash(w) || w == "to" || w == "through" || w == "thru" || w == "…") && (p.at(j+1).Kind == Number || p.at(j+1).Kind == Ordinal) && p.at(j+1).Val > t.Val && p.at(j+1).Val <= min(MaxRowNumber, t.Val+maxRange) && !(isDash(w) && hasWord(p, j+2, "x", "times")) && !(isDash(w) && !p.at(j).Glued && (p.w(j+2) == "st" || openers[p.w(j+2)] != "" && (p.at(j+3).Kind == Number || isDash(p.w(j+3))))) {
			for v := t.Val + 1; v <= p.at(j+1).Val; v++ {
				ns = append(ns, v)
			}
			i = j + 2
			j = i
		}
		for p.w(j) == "," || p.w(j) == "and" || p.w(j) == "&" || p.w(j) == "+" || p.w(j) == "/" || p.w(j) == "also" {
			j++
		}
		if k, _, ok := p.rowAgain(j); ok && j > i {
			j = k
		}
		if j == i || (p.at(j).Kind != Number && p.at(j).Kind != Ordinal) || j >= len(p.toks) {
			break
		}
		if p.at(j).Val <= t.Val && p.w(j-1) != "&" && p.w(j-1) != "and" {
			break
		}
		if w := p.w(j + 1); w == "x" || w == "times" || w == "more" {
			break
		}
		if openers[p.w(j+1)] != "" && p.at(j).Kind == Number && p.at(j+2).Kind == Number { // "rows 1-8, 17 (20, 23) more times"
			if _, k, ok := p.num(j); ok && hasWord(p, k, "x", "times", "more") {
				break
			}
		}
		i = j
	}
	sort.Ints(ns)
	uniq := ns[:0]
	for k, v := range ns {
		if k == 0 || v != ns[k-1] {
			uniq = append(uniq, v)
		}
	}
	if rest, j, ok := p.parity(i, uniq); ok {
		return rest, letter, j, true
	}
	return uniq, letter, i, true
}

// parity reads "even", "(odd rows only)", "(all WS rows)" behind a range of rows, and keeps the rows it
// names: "Rows 2–12 even (WS): Purl".
func (p *parser) parity(i int, ns []int) ([]int, int, bool) {
	if len(ns) < 3 || ns[len(ns)-1]-ns[0] != len(ns)-1 {
		return nil, i, false
	}
	j := p.skipWords(i, ",", "inclusive", "incl")
	closer := openers[p.w(j)]
	if closer != "" {
		j++
	}
	rest := ns[0] % 2
	k, ok := p.words(j, "all|every? even|evens - numbered? number|numbers|numbered|row|rnd? only?", "all|every? even|evens numbered? number|numbers|row|rnd? only?")
	switch {
	case ok:
		rest = 0
	default:
		if k, ok = p.words(j, "all|every? odd|odds - numbered? number|numbers|numbered|row|rnd? only?", "all|every? odd|odds numbered? number|numbers|row|rnd? only?"); ok {
			rest = 1
		} else if k, ok = p.words(j, "all|every other|alt row|rnd? only?", "all rs|ws row|rnd", "rs|ws row|rnd only", "rs|ws only"); !ok {
			return nil, i, false
		}
	}
	if closer != "" {
		if p.w(k) != closer {
			return nil, i, false
		}
		k++
	}
	if w := p.w(k); w != ":" && w != "." && w != "(" && w != "[" && w != "," && w != "=" && !isDash(w) {
		return nil, i, false
	}
	var out []int
	for _, n := range ns {
		if n%2 == rest {
			out = append(out, n)
		}
	}
	return out, k, len(out) > 0
}

// rowAgain skips a repeated "Row" within "Row 1 and Row 3".
func (p *parser) rowAgain(i int) (int, bool, bool) {
	round, j, ok := p.rowWord(i)
	return j, round, ok
}

// every reads "and all WS rows", "and every foll alt row" at i.
func (p *parser) every(i int) (e Every, next int, ok bool) {
	start := i
	defer func() {
		if e.Odd || e.Even {
			e.Step = 0 // "alt odd rows": every odd one
		}
	}()
	if p.w(i) == "," {
		i++
	}
	if p.w(i) == "and" || p.w(i) == "&" || p.w(i) == "then" {
		i++
	} else {
		return e, start, false
	}
	if p.w(i) == "on" || p.w(i) == "the" {
		i++
	}
	seen := false
	for i < len(p.toks) {
		if s, j, ok := p.sideWord(i); ok {
			e.Side = s
			i, seen = j, true
			if p.w(i) == "row" || p.w(i) == "rnd" {
				continue
			}
			continue
		}
		switch w := p.w(i); w {
		case "all", "every", "each", "following", "other", "alt", "subsequent", "even", "odd", "numbered", "-", "rem", "these", "succeeding", "second", "(", ")", "then", "the", "alternating", "further", "later", "remaining", "successive", "such", "others":
			switch w {
			case "other", "alt", "alternating":
				e.Step = 2
			case "even":
				e.Even = true
			case "odd":
				e.Odd = true
			case "all", "every", "each":
				seen = true
			case ")":
				if !(p.w(i-1) == "rs" || p.w(i-1) == "ws" || p.w(i-1) == "side") {
					return e, start, false
				}
			}
			if w == "following" {
				seen = true
			}
			i++
			continue
		case "row", "rnd", "row's":
			i++
			if !seen && e.Step != 2 || !e.On() {
				return e, start, false
			}
			if e.Side != "" && e.Step == 2 {
				e.Step = 0
			}
			if k, ok := p.words(i, "from here|now on?", "hereafter", "thereafter", "onwards"); ok {
				i = k
			}
			return e, i, true
		case ":": // "Row 2 & all WS:"
			if seen && e.On() {
				return e, i, true
			}
		}
		if p.at(i).Kind == Ordinal && p.at(i).Val > 1 && seen {
			e.Step = p.at(i).Val
			i++
			continue
		}
		return e, start, false
	}
	return e, start, false
}
