package notation

import (
	"slices"
	"strings"

	"rowproof/domain/finding"
)

// This file rewrites which sizes work what: "Sizes 2 and 3 only:".

// sizeRef is one entry of a list of sizes in the text.
type sizeRef struct {
	from, to int // tokens of the line
	kind     string
	sizes    []int
}

// only rewrites every list of sizes that work something.
func (rz *resizer) only() {
	lines := map[int]bool{}
	for _, it := range rz.ms.Items {
		_, isLabel := it.(*ForSizes)
		row, isRow := it.(*Row)
		if isLabel || onlyOf(it) != nil || isRow && row.Head.Only != nil {
			s := it.Place()
			for l := s.Line; l <= s.EndLine; l++ {
				lines[l] = true
			}
			lines[s.Line-1] = lines[s.Line-1] || !isLabel // a label may end the line before
		}
	}
	var nameToks [][]Token
	for _, n := range rz.ms.Sizes {
		nameToks = append(nameToks, scanLine(n, 1))
	}
	for line := range len(rz.ms.Source) + 1 {
		if !lines[line] {
			continue
		}
		a, b := rz.tokenLine(line)
		p := &parser{toks: rz.toks[a:b], sizes: rz.n, vocab: Standard(), out: &finding.List{}, quiet: true, sizeNames: rz.ms.Sizes, nameToks: nameToks}
		for i := 0; i < b-a; {
			fs, j, ok := p.onlySizes(i, rz.ms.Sizes)
			if !ok {
				i++
				continue
			}
			rz.onlyAt(p, fs, a, i, j)
			i = j
		}
	}
}

// onlyOf gives the sizes that work an item; nil for all.
func onlyOf(it Item) []int {
	switch it := it.(type) {
	case *Row:
		return it.Only
	case *RepRows:
		return it.Only
	case *Shape:
		return it.Only
	case *Straight:
		return it.Only
	}
	return nil
}

// onlyAt rewrites the sizes between tokens i and j of a line whose first token is a.
func (rz *resizer) onlyAt(p *parser, fs *ForSizes, a, i, j int) {
	from, to := rz.start(a+i), rz.end(a+j-1)
	if fs.Only == nil {
		if len(rz.plan) == 1 {
			rz.remove(from, to)
		}
		return
	}
	var left []int // the new sizes that work it
	for k, s := range rz.plan {
		if slices.Contains(fs.Only, s.From) {
			left = append(left, k)
		}
	}
	switch {
	case len(left) == 0:
		rz.dropScope(fs, a+i, a+j)
	case len(rz.plan) == 1:
		rz.remove(from, to)
	default:
		rz.writeRefs(p, a, i, left)
	}
}

// dropScope takes out what no size works any more.
func (rz *resizer) dropScope(fs *ForSizes, from, to int) {
	line := rz.toks[from].Line
	for _, it := range rz.ms.Items {
		row, ok := it.(*Row)
		if h := it.Place(); ok && row.Head.Only != nil && h.Line <= line && line <= h.EndLine && row.Head.Line == line {
			a, b := rz.itemPlace(it)
			if a <= rz.start(from) && rz.end(to-1) <= b {
				rz.remove(a, b)
				return
			}
		}
	}
	first, behind := rz.tokenLine(line)
	last := line
	if to == behind { // what follows, up to the next label
		next := len(rz.ms.Source) + 1
		for _, it := range rz.ms.Items {
			if it.Place().Line <= line {
				continue
			}
			if s := it.Place(); ends(it) {
				next = s.Line
				break
			}
		}
		last = next - 1
		for k := from + 1; k < len(rz.toks) && rz.toks[k].Line <= last; k++ { // no further than a label in a line
			if rz.toks[k].Line > line && rz.w(k) == "only" {
				last = rz.toks[k].Line - 1
			}
		}
	} else {
		for _, it := range rz.ms.Items {
			if s := it.Place(); s.Line == line && slices.Equal(onlyOf(it), fs.Only) {
				last = max(last, s.EndLine)
			}
		}
	}
	at := rz.start(from)
	if from == first {
		at = rz.at(line, 1)
	}
	rz.remove(at, rz.at(last, len([]rune(rz.ms.Source[last-1]))+1))
}

// ends says that an item ends what a label says of the lines below it.
func ends(it Item) bool {
	switch it := it.(type) {
	case *ForSizes, *Heading:
		return true
	case *Blank:
		return !it.Within
	}
	return false
}

// refs gives the entries of the list of sizes at token i of the parser's line, and the
// token of the word "size" before it, -1 without one.
func refs(p *parser, i int) (out []sizeRef, word int) {
	word = -1
	if openers[p.w(i)] != "" {
		i++
	}
	for p.w(i) == "for" || p.w(i) == "on" || p.w(i) == "the" {
		i++
	}
	if p.w(i) == "size" || p.w(i) == "sizes" {
		word = i
		i++
	}
	for i < len(p.toks) {
		all, end, ok := p.sizeList(i, p.sizeNames)
		if !ok {
			break
		}
		one := sizeRef{from: i, kind: "number"}
		e := i + 1
		for k := range p.sizeNames { // the longest name that stands here
			nt := p.nameTokens(k, p.sizeNames[k])
			hit := len(nt) > 0
			for q := range nt {
				hit = hit && p.w(i+q) == nt[q].fold
			}
			if hit && (one.kind != "name" || i+len(nt) > e) {
				one.kind, one.sizes, e = "name", []int{k}, i+len(nt)
			}
		}
		if one.kind != "name" {
			switch {
			case p.w(i) == "largest" || p.w(i) == "smallest" || p.w(i) == "last":
				one.kind = p.w(i)
				if p.at(i+1).Kind == Number {
					e++
				}
				one.sizes = all
			case (isDash(p.w(i+1)) || p.w(i+1) == "to") && (p.at(i+2).Kind == Number || p.at(i+2).Kind == Ordinal) && p.at(i+2).Val <= p.sizes:
				one.kind, e = "range", i+3
				for q := p.at(i).Val; q <= p.at(i+2).Val; q++ {
					one.sizes = append(one.sizes, q-1)
				}
			default:
				if p.at(i).Kind == Ordinal {
					one.kind = "ordinal"
				}
				one.sizes = []int{p.at(i).Val - 1}
			}
		}
		one.to = e
		out = append(out, one)
		if i = e; i >= end {
			break
		}
		for strings.Contains(",&()[]", p.w(i)) && p.w(i) != "" || p.w(i) == "and" || p.w(i) == "+" || p.w(i) == "the" {
			i++
		}
		if i >= end {
			break
		}
	}
	return out, word
}

// writeRefs writes a list of sizes for those that are left.
func (rz *resizer) writeRefs(p *parser, a, i int, left []int) {
	list, word := refs(p, i)
	if len(list) == 0 {
		return
	}
	allNames := true
	for _, r := range list {
		allNames = allNames && r.kind == "name"
	}
	if rz.bare {
		allNames = false
	}
	var elems []string
	switch one := list[0]; {
	case allNames:
		for _, r := range list {
			old := rz.cut(rz.start(a+r.from), rz.end(a+r.to-1))
			for _, k := range left {
				switch {
				case rz.plan[k].From != r.sizes[0]:
				case strings.EqualFold(rz.named[k], rz.ms.Sizes[r.sizes[0]]):
					elems = append(elems, old)
				default:
					elems = append(elems, rz.named[k])
				}
			}
		}
	case len(list) == 1 && (one.kind == "largest" || one.kind == "last" || one.kind == "smallest") && rz.extreme(left) != "":
		word := rz.extreme(left)
		if one.kind == "last" && word == "largest" {
			word = "last"
		}
		raw := rz.toks[a+one.from].Raw
		if r := []rune(raw); strings.ToUpper(raw) == raw {
			word = strings.ToUpper(word)
		} else if strings.ToUpper(string(r[0])) == string(r[0]) {
			word = strings.ToUpper(word[:1]) + word[1:]
		}
		if len(left) > 1 || one.kind == "last" {
			word += " " + itoa(len(left))
		}
		elems = []string{word}
	case len(list) == 1 && one.kind == "range" && len(left) > 1 && left[len(left)-1]-left[0] == len(left)-1:
		sep := rz.cut(rz.end(a+one.from), rz.start(a+one.to-1))
		elems = []string{rz.sizeNumber(left[0], p.at(one.from)) + sep + rz.sizeNumber(left[len(left)-1], p.at(one.to-1))}
	default:
		for _, k := range left {
			elems = append(elems, rz.sizeNumber(k, p.at(one.from)))
		}
	}
	rz.joinRefs(list, a, elems)
	if word >= 0 && (one(list) != (len(elems) == 1)) {
		raw := rz.toks[a+word].Raw
		switch w := p.toks[word].Text; {
		case w == "size" && len(elems) > 1 && raw == strings.ToUpper(raw):
			rz.edit(rz.start(a+word), rz.end(a+word), raw+"S")
		case w == "size" && len(elems) > 1:
			rz.edit(rz.start(a+word), rz.end(a+word), raw+"s")
		case w == "sizes" && len(elems) == 1:
			rz.edit(rz.start(a+word), rz.end(a+word), raw[:len(raw)-1])
		}
	}
}

func one(list []sizeRef) bool { return len(list) == 1 && len(list[0].sizes) == 1 }

// joinRefs writes the entries of a list of sizes with its own signs.
func (rz *resizer) joinRefs(list []sizeRef, a int, elems []string) {
	if len(elems) == len(list) {
		for k, r := range list {
			rz.edit(rz.start(a+r.from), rz.end(a+r.to-1), elems[k])
		}
		return
	}
	sep, final := ", ", " and "
	if n := len(list); n > 1 {
		final = rz.cut(rz.end(a+list[n-2].to-1), rz.start(a+list[n-1].from))
		if n > 2 {
			sep = rz.cut(rz.end(a+list[0].to-1), rz.start(a+list[1].from))
		}
		if strings.ContainsAny(final, "()[]") {
			final = ", "
		}
	}
	text := elems[0]
	for k, e := range elems[1:] {
		if k == len(elems)-2 {
			text += final + e
		} else {
			text += sep + e
		}
	}
	to := rz.end(a + list[len(list)-1].to - 1)
	if t := list[len(list)-1].to + a; t < len(rz.toks) && closes(rz.w(t)) && len(list) > 1 {
		if gap := rz.cut(rz.end(a+list[0].to-1), rz.start(a+list[1].from)); strings.ContainsAny(gap, "([") {
			to = rz.end(t)
		}
	}
	rz.edit(rz.start(a+list[0].from), to, text)
}

// extreme says that the sizes are the largest or the smallest ones.
func (rz *resizer) extreme(left []int) string {
	n := len(left)
	switch {
	case left[0] == len(rz.plan)-n:
		return "largest"
	case left[n-1] == n-1:
		return "smallest"
	}
	return ""
}

// sizeNumber names a new size among numbers: by its number, unless that is the name of
// another.
func (rz *resizer) sizeNumber(k int, like Token) string {
	n := itoa(k + 1)
	if !rz.bare && slices.Contains(rz.named, n) && rz.named[k] != n {
		return rz.named[k]
	}
	if like.Kind == Ordinal && isDigit([]rune(like.Raw)[0]) {
		switch {
		case n == "1" || n == "21":
			return n + "st"
		case n == "2":
			return n + "nd"
		case n == "3":
			return n + "rd"
		}
		return n + "th"
	}
	return n
}
