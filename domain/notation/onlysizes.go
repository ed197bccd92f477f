package notation

import "slices"

import "strings"

// This file reads which sizes work what follows: "Sizes S and M only:".

// onlySizes reads "Sizes 2 and 3 only:", "For size M only", "All sizes:".
func (p *parser) onlySizes(i int, names []string) (*ForSizes, int, bool) {
	start := i
	if j, ok := p.words(i, "both sizes :", "both sizes ,", "all sizes :", "all sizes ,", "all sizes –", "all sizes .", "for all sizes :", "for all sizes ,", "all sizes again :", "all sizes again", "for all sizes", "resume all sizes", "all sizes"); ok && (p.w(j-1) == ":" || p.w(j-1) == "," || p.w(j-1) == "–" || p.w(j-1) == "." || j == len(p.toks)) {
		return &ForSizes{Span: p.span(start, j)}, j, true
	}
	if j, ok := p.words(p.skipWords(i, "for"), "all? other|rem sizes only? :", "all? other|rem sizes only? ,"); ok && len(p.named) > 0 {
		var only []int
		for s := range names {
			if !slices.Contains(p.named, s) {
				only = append(only, s)
			}
		}
		return p.endOnly(start, j, "", only)
	}
	bracket := ""
	if openers[p.w(i)] != "" {
		bracket = openers[p.w(i)]
		i++
	}
	if k, ok := p.words(p.skipWords(i, "for"), "all? other? sizes except|but for? size|sizes?"); ok { // "All sizes except Baby:"
		if out, j, ok := p.sizeList(k, names); ok && len(out) < len(names) {
			j = p.skipWords(j, "size", "sizes")
			if w := p.w(j); j >= len(p.toks) || w == ":" || w == "," || w == "." || isDash(w) || bracket != "" && w == bracket {
				var only []int
				for s := range names {
					if !slices.Contains(out, s) {
						only = append(only, s)
					}
				}
				return p.endOnly(start, j, bracket, only)
			}
		}
	}
	for p.w(i) == "for" || p.w(i) == "on" || p.w(i) == "the" {
		i++
	}
	if p.w(i) != "size" && p.w(i) != "sizes" {
		// "2nd and 3rd sizes only", "Largest size only", "M and L only"
		only, j, ok := p.sizeList(i, names)
		if _, row, _ := p.rowWord(j + 1); ok && p.w(j) == ":" && i > start && len(only) < len(names) && row > j+1 { // "For Adult S and Adult L: Rnd 1a: …"
			return p.endOnly(start, j, bracket, only)
		}
		if !ok || p.w(j) != "only" && p.w(j) != "size" && p.w(j) != "sizes" {
			return nil, start, false
		}
		for p.w(j) == "size" || p.w(j) == "sizes" || p.w(j) == "only" {
			j++
		}
		if p.w(j-1) != "only" && p.w(j) != ":" {
			return nil, start, false
		}
		return p.endOnly(start, j, bracket, only)
	}
	only, j, ok := p.sizeList(i+1, names)
	if !ok {
		return nil, start, false
	}
	if p.w(j) == "only" {
		j++
	} else if _, beginning := p.words(j, "co", "cast on"); p.w(j) != ":" && !(bracket == "" && openers[p.w(j-1)] != "" && beginning) {
		return nil, start, false
	}
	return p.endOnly(start, j, bracket, only)
}

// nameSizes keeps which sizes have been named, so that "all other sizes" are known.
func (r *reader) nameSizes(fs *ForSizes) {
	if fs.Only == nil {
		r.named = nil
		return
	}
	r.named = append(slices.Clip(r.named), fs.Only...)
}

func (p *parser) endOnly(start, j int, bracket string, only []int) (*ForSizes, int, bool) {
	if bracket != "" && p.w(j) == bracket {
		j++
	}
	for p.w(j) == ":" || p.w(j) == "," || isDash(p.w(j)) || p.w(j) == "." {
		j++
	}
	if k, ok := p.words(j, "work|proceed|cont|continue as follows :?"); ok {
		j = k
	}
	if len(only) == 0 {
		return nil, start, false
	}
	return &ForSizes{Only: only, Span: p.span(start, j)}, j, true
}

// nameTokens cuts the name of size k into words, once for the manuscript.
func (p *parser) nameTokens(k int, name string) []Token {
	if k < len(p.nameToks) {
		return p.nameToks[k]
	}
	return scanLine(name, 1)
}

// sizeList reads names or ordinals of sizes.
func (p *parser) sizeList(i int, names []string) ([]int, int, bool) {
	var only []int
	add := func(k int) {
		if k >= 0 && k < p.sizes {
			only = append(only, k)
		}
	}
	start := i
	for i < len(p.toks) {
		hit := false
		best, bestEnd := -1, i
		for k, n := range names {
			if n == "" {
				continue
			}
			nt := p.nameTokens(k, n)
			ok := len(nt) > 0
			for q := range nt {
				if p.w(i+q) != folded(nt[q].Text) || p.at(i+q).Kind == Punct && false {
					ok = false
					break
				}
			}
			if ok && i+len(nt) > bestEnd {
				best, bestEnd = k, i+len(nt)
			}
		}
		switch {
		case best >= 0:
			add(best)
			i, hit = bestEnd, true
		case len(p.sizesOfKind(i, names)) > 0: // "Adult sizes", of Adult S and Adult L
			for _, k := range p.sizesOfKind(i, names) {
				add(k)
			}
			i, hit = i+1, true
		case p.at(i).Kind == Number && hasWord(p, i+1, "largest", "smallest", "larger", "smaller", "biggest"), hasWord(p, i, "larger", "smaller", "biggest") && p.at(i+1).Kind == Number: // "the two largest sizes"
			n, word := p.at(i).Val, p.w(i+1)
			if p.at(i).Kind != Number {
				n, word = p.at(i+1).Val, p.w(i)
			}
			n = max(0, min(n, p.sizes))
			from := p.sizes - n
			if word == "smallest" || word == "smaller" {
				from = 0
			}
			for k := from; k < from+n; k++ {
				add(k)
			}
			i, hit = i+2, true
		case p.at(i).Kind == Number || p.at(i).Kind == Ordinal:
			v := p.at(i).Val
			if j := i + 1; (isDash(p.w(j)) || p.w(j) == "to") && (p.at(j+1).Kind == Number || p.at(j+1).Kind == Ordinal) && p.at(j+1).Val <= p.sizes {
				for q := v; q <= p.at(j+1).Val; q++ {
					add(q - 1)
				}
				i, hit = j+2, true
				break
			}
			add(v - 1)
			i, hit = i+1, true
		case p.w(i) == "largest" || p.w(i) == "smallest": // "the largest 2 sizes"
			n, largest := 1, p.w(i) == "largest"
			if p.at(i+1).Kind == Number {
				i++
				n = p.at(i).Val
			}
			n = min(n, p.sizes)
			from := 0
			if largest {
				from = p.sizes - n
			}
			for k := from; k < from+n; k++ {
				add(k)
			}
			i, hit = i+1, true
		case p.w(i) == "last" && p.at(i+1).Kind == Number:
			for k := max(0, p.sizes-p.at(i+1).Val); k < p.sizes; k++ {
				add(k)
			}
			i, hit = i+2, true
		}
		if !hit {
			break
		}
		for strings.Contains(",&()[]/", p.w(i)) && p.w(i) != "" || p.w(i) == "and" || p.w(i) == "+" || p.w(i) == "the" {
			i++
		}
	}
	return only, i, i > start && len(only) > 0
}

// sizesOfKind are the sizes whose names begin with the word at i, which is no name itself: "adult", "adults".
func (p *parser) sizesOfKind(i int, names []string) []int {
	w := p.w(i)
	if p.at(i).Kind != Word || len(w) < 4 || !hasWord(p, i+1, "size", "sizes", "only", ":") {
		return nil
	}
	var of []int
	for k, n := range names {
		first, rest, more := strings.Cut(strings.ToLower(n), " ")
		if first = strings.Trim(first, "\"’'s"); more && rest != "" && first == strings.TrimSuffix(strings.TrimSuffix(w, "s"), "'") {
			of = append(of, k)
		}
	}
	return of
}

// maxScope is how many items above are looked through for a label.
const maxScope = 100

// onlyNow is which sizes work what comes next, by a label on a line of its own that stands above it
// in its paragraph; nil = all.
func (r *reader) onlyNow() []int {
	blank := false
	for k := len(r.ms.Items) - 1; k >= max(0, len(r.ms.Items)-maxScope); k-- {
		switch it := r.ms.Items[k].(type) {
		case *Blank:
			blank = true
			continue
		case *Heading:
			return nil
		case *ForSizes:
			return it.Only
		}
		if blank && !r.takenBack {
			return nil // it spoke of the paragraph above
		}
	}
	return nil
}

// takenBackBelow says that "All sizes" stands below a line on a line of its own, or before what goes on: until there the
// label above holds, whatever blank lines come between.
func (r *reader) takenBackBelow(line int) bool {
	for k := line + 1; k < len(r.lines) && k < line+12; k++ {
		toks := stripBullet(r.lines[k])
		if len(toks) > 1 && toks[0].Text == "all" && toks[1].Text == "sizes" {
			return true
		}
		if len(toks) > 1 && (toks[0].Text == "sizes" || toks[0].Text == "size") {
			return false
		}
	}
	return false
}

// scopes marks the blank lines that end nothing of what a label says of sizes: those right below it, and
// those above the "All sizes" that takes it back.
func scopes(items []Item) {
	for k, it := range items {
		label, ok := it.(*ForSizes)
		if !ok || label.Only == nil {
			continue
		}
		var below []*Blank
		direct := true
	next:
		for _, it := range items[k+1:] {
			switch it := it.(type) {
			case *Blank:
				it.Within = it.Within || direct
				below = append(below, it)
				continue
			case *Heading:
				break next
			case *ForSizes:
				for _, b := range below {
					b.Within = b.Within || it.Only == nil
				}
				break next
			}
			direct = false
		}
	}
}

// numOfSome reads a number for each of the sizes that work this, and for no other: "Sizes 3 and 4 only:
// dec 1 st each end of next 5 (7) rows". The others do not work the step.
func (p *parser) numOfSome(i int) (Num, int, bool) {
	if len(p.only) < 2 || len(p.only) >= p.sizes {
		return Num{}, i, false
	}
	inner, j, ok := p.bracketNums(i + 1)
	if !ok || len(inner)+1 != len(p.only) || openers[p.w(j)] != "" || len(inner) == 1 && (isDash(p.w(j)) && p.w(j+1) == "st" || p.at(j).Kind == Number) { // "36 (34) - sts" leaves one out
		return Num{}, i, false
	}
	if p.some != nil {
		*p.some = p.at(i).Line
	}
	vals := make([]int, p.sizes)
	for k := range vals {
		vals[k] = Skip
	}
	for k, size := range p.only {
		vals[size] = append([]int{p.at(i).Val}, inner...)[k]
	}
	return Num{Vals: vals, Span: p.span(i, j)}, j, true
}
