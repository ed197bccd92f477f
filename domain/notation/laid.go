package notation

import "slices"

// This file reads how stitches lie on several needles, or between markers that are hung
// in one sentence.

// Lay says how the stitches on the needle are laid out: over several needles, or
// between markers.
type Lay struct {
	Needles bool
	On      []Num // how many on each, in the order of the round; empty for as many on each
	Each    Num   // as many on each, or between two markers; not given where Count shares them out
	Count   int   // needles, or markers hung
	All     Num   // so many are worked on again, those that waited with them; nothing else is given then
}

// laid reads "Arrange them N1: 15, N2: 30, N3: 15", "divide over 3 needles: 20, 20, 20",
// "hang 6 markers with 12 (14, 16) sts between them", "place a marker every 12 sts".
func (p *parser) laid(i, end int) (*Lay, bool) {
	q := *p
	q.quiet = true
	l := q.laidOut(i, end)
	if l == nil {
		return nil, false
	}
	for _, n := range append(l.On[:len(l.On):len(l.On)], l.Each) {
		if len(n.Vals) > 1 && len(n.Vals) != p.sizes {
			p.addf("size-count", n.Span, "%d numbers for %d sizes", len(n.Vals), p.sizes)
		}
	}
	return l, true
}

func (p *parser) laidOut(i, end int) *Lay {
	for p.w(i) == "now" || p.w(i) == "then" || p.w(i) == "and" || p.w(i) == "," {
		i++
	}
	if l := p.hung(i, end); l != nil {
		return l
	}
	if _, _, wait := p.waiting(i, end); wait {
		return nil // those that lie there are left for the instep
	}
	switch p.w(i) {
	case "arrange", "arranging", "divide", "dividing", "distribute", "distributing", "place", "placing", "put", "set", "spread", "split", "share", "organise", "organize", "slip", "move", "transfer", "sort", "lay", "redistribute", "rearrange":
	default:
		if _, _, ok := p.needleName(i); !ok || p.at(i).Kind == Ordinal && p.w(i+1) != "needle" {
			return nil
		}
	}
	if _, _, ok := p.find(i, end, "cast on", "co", "cast - on", "pick up", "pu", "held", "holder", "waste", "scrap", "spare", "thread", "pin", "return", "back on"); ok {
		return nil // other stitches than those on the needles
	}
	if l := p.onEach(i, end); l != nil {
		return l
	}
	if _, k, ok := p.find(i, end, "over|on|onto|between|among|across|into|to"); ok {
		n, q, ok := p.num(k)
		for !ok && k < end {
			if _, k, ok = p.find(k, end, "over|on|onto|between|among|across|into|to"); !ok {
				return nil
			}
			n, q, ok = p.num(k)
		}
		if ok && n.Single() && n.For(0) > 1 && n.For(0) < 10 {
			q = p.skipWords(q, "double", "-", "pointed", "dpn", "dpns")
			if p.w(q) == "needle" || p.w(q-1) == "dpn" || p.w(q-1) == "dpns" {
				if p.w(q) == "needle" {
					q++
				}
				return p.shared(n.For(0), i, q, end)
			}
		}
	}
	return nil
}

// shared reads how many stitches each of count needles has: listed behind, so many on
// each, or "evenly".
func (p *parser) shared(count, i, q, end int) *Lay {
	l := &Lay{Needles: true, Count: count}
	for k := q; k < end; k++ { // "over 4 needles, 14/15/16/17 sts on each needle": as many as there are sizes
		if n, e, ok := p.num(k); ok && len(n.Vals) == p.sizes && p.sizes > 1 {
			if _, each := p.words(p.skipWords(e, "st"), "on|per|to each|every needle|dpn|one", "per needle", "each"); each {
				l.Each = n
				return l
			}
			break
		}
	}
	for k := q; k < end; k++ {
		if isDash(p.w(k-1)) && p.at(k-1).Glued && k > q+1 {
			continue
		}
		var on []Num
		r := k
		for {
			n, e, ok := p.oneOf(r, count)
			if !ok {
				break
			}
			if p.w(e) == "st" {
				e++
			}
			on, r = append(on, n), e
			for w := p.w(r); w == "," || w == "and" || w == "/" || w == "&" || w == ";" || isDash(w); w = p.w(r) {
				r++
			}
			if len(on) == count {
				break
			}
		}
		if len(on) == count {
			l.On = on
			return l
		}
		if n, e, ok := p.num(k); ok && len(on) == 1 {
			e = p.skipWords(e, "st")
			if _, ok := p.words(e, "on|per|to each|every? needle|dpn|one", "on|to? each", "per needle", "apiece"); ok {
				l.Each = n
				return l
			}
		}
	}
	for k := i; k < q; k++ { // "20 sts on each of 3 needles"
		if n, e, ok := p.num(k); ok && p.w(p.skipWords(e, "st")) == "on" && p.w(p.skipWords(e, "st")+1) == "each" {
			l.Each = n
			return l
		}
	}
	return l
}

// oneOf is one number of a list of count numbers, all sizes in one.
func (p *parser) oneOf(i, count int) (Num, int, bool) {
	if p.at(i).Kind != Number || p.at(i).Frac != "" {
		return Num{}, i, false
	}
	if p.sizes > 1 {
		if n, j, ok := p.num(i); ok && !n.Single() {
			if w := p.w(i + 1); openers[w] != "" || count != p.sizes {
				return n, j, true
			}
		}
	}
	n := N(p.at(i).Val)
	n.Span = p.span(i, i+1)
	return n, i + 1, true
}

// onEach reads "N1: 15, N2: 30, N3: 15", "15 sts on needle 1, 30 on needle 2".
func (p *parser) onEach(i, end int) *Lay {
	l := &Lay{Needles: true}
	var at []int
	for k := i; k < end; {
		n, j, ok := p.needleName(k)
		if ok {
			for w := p.w(j); w == ":" || w == "=" || w == "," || isDash(w) || w == "(" || w == "has" || w == "gets" || w == "with"; w = p.w(j) {
				j++
			}
			if v, e, ok := p.num(j); ok {
				l.On, at = append(l.On, v), append(at, n)
				if k = e; p.w(k) == "st" {
					k++
				}
				continue
			}
		}
		if v, e, ok := p.num(k); ok {
			if p.w(e) == "st" {
				e++
			}
			if len(l.On) > 0 && p.w(e) == "on" { // "24 on the first needle, 30 on the second and 24 on the third"
				if t := p.at(p.skipWords(e+1, "the")); t.Kind == Ordinal && t.Val == len(l.On)+1 {
					l.On, at = append(l.On, v), append(at, t.Val)
					k = p.skipWords(e+1, "the") + 1
					continue
				}
			}
			if n, j, ok := p.needleName(e); ok && (p.w(e) == "on" || p.w(e) == "to" || p.w(e) == "onto" || p.w(e) == "for") {
				l.On, at = append(l.On, v), append(at, n)
				k = j
				continue
			}
			k = max(k+1, e)
			continue
		}
		k++
	}
	for k, n := range at {
		if n != k+1 {
			return nil
		}
	}
	if len(at) < 2 {
		return nil
	}
	l.Count = len(at)
	return l
}

// hung reads "insert 6 markers with 12 sts between them", "place a marker every 12 sts".
func (p *parser) hung(i, end int) *Lay {
	j, ok := p.words(i, "insert|place|hang|put|add|set|thread|pm")
	if !ok {
		return nil
	}
	l := &Lay{}
	if n, k, ok := p.num(j); ok && n.Single() && n.For(0) > 1 && n.For(0) <= 100 && p.w(k) == "m" {
		l.Count, j = n.For(0), k+1
	} else if k, ok := p.words(j, "a? m"); ok {
		j = k
	} else if p.w(i) != "pm" {
		return nil
	}
	if q, ok := p.words(j, "after first?"); ok && l.Count == 0 { // "Place a marker after the first 24 sts and another at the end of the rnd"
		if n, e, ok := p.num(q); ok && p.w(e) == "st" {
			if openers[p.w(e+1)] != "" { // "(side)"
				for e < end && !closes(p.w(e)) {
					e++
				}
			}
			if _, ok := p.words(e+1, "and another|one|second m? at end|beg of? rnd?", "and a second|2nd m? at end|beg of? rnd?", "and at end|beg of? rnd?"); ok {
				l.Count, l.Each = 2, n
				return l
			}
		}
	}
	for k := j; k < end; k++ {
		if q, ok := p.words(k, "every", "each", "after every|each"); ok && l.Count == 0 {
			if n, e, ok := p.num(q); ok && p.w(e) == "st" {
				l.Each = n
				return l
			}
			if t := p.at(q); t.Kind == Ordinal && q < end && p.w(q+1) == "st" && t.Val > 1 { // "after every 10th stitch"
				l.Each = N(t.Val)
				return l
			}
		}
		if q, ok := p.words(k, "and a second|2nd", "and another|one", "and one more", "and"); ok && l.Count == 0 { // one for the round's beginning, and a second
			if p.w(q) == "m" {
				q++
			}
			if _, ok := p.words(q, "at halfway|half|middle", "halfway"); ok {
				l.Count = 2
				return l
			}
			if e, ok := p.words(q, "after st", "after"); ok {
				if n, r, ok := p.num(e); ok && (p.w(e-1) == "st" || p.w(r) == "st") {
					l.Count, l.Each = 2, n
					return l
				}
			}
		}
		if l.Count == 0 {
			continue
		}
		if n, e, ok := p.num(k); ok && p.w(e) == "st" {
			if _, ok := p.words(e+1, "between", "apart", "in between", "from each other", "between each"); ok {
				l.Each = n
				return l
			}
		}
		if n, e, ok := p.num(k); ok && (p.w(k-1) == "every" || p.w(k-1) == "each") && p.w(e) == "st" {
			l.Each = n
			return l
		}
		if _, ok := p.words(k, "evenly", "at even intervals", "at equal distances", "equally"); ok {
			return l
		}
	}
	return nil
}

// onAll reads that the round is gone on with over all stitches, those that waited with them: "Start working in the round
// again over all 56 sts, picking up a stitch at each side of the heel".
func (p *parser) onAll(i, end int) (*Lay, bool) {
	switch p.w(p.skipWords(i, "now", "then", "from", "here", ",")) {
	case "start", "begin", "resume", "cont", "continue", "continuing", "return", "go", "work", "working", "knit", "proceed", "rejoin":
	default:
		return nil, false
	}
	_, k, ok := p.find(i, min(end, i+16), "on|over|across|with all")
	if !ok {
		return nil, false
	}
	n, q, ok := p.num(k)
	if !ok || p.w(q) != "st" || q+1 < end && !hasWord(p, q+1, ",", ";", ".", "again", "in", "as") {
		return nil, false
	}
	if _, _, round := p.find(i, end, "in|into rnd", "again", "resume", "circular"); !round {
		return nil, false
	}
	return &Lay{All: n}, true
}

// layMarkers gives a cast-on the marks between the needles that its own sentence lays it on.
func (p *parser) layMarkers(b *Begin, i, end int) {
	if len(b.Markers) > 0 || b.How != "cast on" {
		return
	}
	tries := 0
	for k := max(i, end-200) + 1; k < end; k++ {
		if w := p.w(k - 1); w != "," && w != ";" && w != "and" && w != "–" && w != "(" && w != ":" {
			continue
		}
		if tries++; tries > 40 || hasWord(p, k, ",", ";", "and", "–", ":") {
			continue // so many clauses lay nothing out
		}
		l := p.onEach(k, end)
		if l == nil {
			if n, e, ok := p.num(k); ok { // "10 on each of 4 needles"
				e = p.skipWords(e, "st")
				if q, ok := p.words(e, "on|to each|every of", "on|to each|every"); ok {
					if c, e, ok := p.num(q); ok && c.Single() && c.For(0) > 1 && c.For(0) < 10 && (p.w(e) == "needle" || p.w(e) == "dpns") {
						l = &Lay{Needles: true, Count: c.For(0), Each: n}
					}
				}
			}
			if q, ok := p.words(k, "arranging|arrange|arranged|divide|dividing|divided|distribute|distributing|distributed|spread|split|placed|placing evenly? over|on|onto|between|across", "evenly over|on|onto|between|across"); ok {
				if n, e, ok := p.num(q); ok && n.Single() && n.For(0) > 1 && n.For(0) < 10 && p.w(p.skipWords(e, "dpns")) == "needle" {
					l = p.shared(n.For(0), k, p.skipWords(e, "dpns")+1, end)
				}
			}
		}
		if q, ok := p.words(k, "divide|distribute|arrange|place|spread|split|put them|these|all? st? evenly? over|on|onto|between|across"); ok && l == nil { // "distribute them on 4 needles (= 2 stitches per needle)"
			if n, e, ok := p.num(q); ok && n.Single() && n.For(0) > 1 && n.For(0) < 10 && p.w(p.skipWords(e, "dpns")) == "needle" {
				if s := p.shared(n.For(0), k, p.skipWords(e, "dpns")+1, end); s.Each.Given() || len(s.On) > 0 {
					l = s
				}
			}
		}
		if l == nil {
			continue
		}
		if len(l.On) == 0 && !l.Each.Given() { // evenly, where that comes out
			for _, v := range b.N.Vals {
				if l.Count < 2 || v < 0 || v%l.Count != 0 {
					return
				}
				l.Each.Vals = append(l.Each.Vals, v/l.Count)
			}
		}
		if l.Each.Given() && l.Count > 1 && slices.Equal(mulNum(l.Each, N(l.Count)).Vals, b.N.Vals) {
			for range l.Count - 1 {
				b.Markers = append(b.Markers, l.Each)
			}
			b.Marked = true
		}
		if len(l.On) == l.Count && l.Count > 1 {
			sum := l.On[0]
			for _, n := range l.On[1:] {
				sum = sumNum(sum, n)
			}
			if !slices.Equal(sum.Vals, b.N.Vals) {
				return
			}
			b.Markers, b.Marked = append(b.Markers, l.On[:l.Count-1]...), true
		}
		return
	}
}
