package notation

import "strings"

// This file reads rows that are told by the needle, or by the side of a neck: "N1: k to last 3 sts,
// k2tog, k1; N2: k", "on second side, k1, ssk, k to end".

// needleMarks is how many needles, or sides, the ops of a row name so far.
func needleMarks(ops []Op) int {
	n := 0
	for _, o := range ops {
		if m, ok := o.(*Mark); ok && m.Do == "needle" {
			n++
		}
	}
	return n
}

// needleName reads "N1", "Needle 1", "1st needle", "on the first needle" at i.
func (p *parser) needleName(i int) (n, next int, ok bool) {
	if k, ok := p.words(i, "on|for|over|across|from|to|onto"); ok {
		i = k
	}
	for p.w(i) == "the" {
		i++
	}
	switch w := p.w(i); {
	case (w == "n" || w == "needle" || w == "ndl" || w == "dpn") && p.at(i+1).Kind == Number && p.at(i+1).Frac == "" && i+1 < len(p.toks):
		n, next = p.at(i+1).Val, i+2
	case (w == "needle" || w == "n") && p.w(i+1) == "#" && p.at(i+2).Kind == Number:
		n, next = p.at(i+2).Val, i+3
	case p.at(i).Kind == Ordinal && i < len(p.toks) && (p.w(i+1) == "needle" || p.w(i+1) == "dpn"):
		n, next = p.at(i).Val, i+2
	default:
		return 0, i, false
	}
	return n, next, n > 0 && n < 10
}

// needleLabel reads "N1:", "Needle 2 –", "On needle 3," before what is worked on it.
func (p *parser) needleLabel(i int) (n, next int, ok bool) {
	lead := p.w(i) == "on"
	n, j, ok := p.needleName(i)
	if !ok || p.w(i) == "from" || p.w(i) == "to" || p.w(i) == "onto" || p.w(i) == "over" {
		return 0, i, false
	}
	ordinal := p.at(j-2).Kind == Ordinal // "First needle, knit to the last 3 sts"
	if w := p.w(j); w == ":" || isDash(w) || w == "," && (lead || ordinal) {
		if p.at(j+1).Kind == Number { // "N1: 15": how many lie there
			return 0, i, false
		}
		return n, j + 1, true
	}
	if lead && p.at(j).Kind == Word { // "on the first needle knit to the last 3 sts"
		quiet := p.quiet
		p.quiet = true
		_, _, works := p.stitch(j)
		p.quiet = quiet
		return n, j, works
	}
	return 0, i, false
}

// sideNamed reads "first side", "on the second side", "with 2nd ball of yarn" at i: n is 1, 2, or 0 where
// "left" or "right" says which.
func (p *parser) sideNamed(i int) (n, next int, ok bool) {
	start := i
	if k, ok := p.words(i, "on|at|for|with|using"); ok {
		i = k
	}
	k, ok := p.words(i, "first|1st|one side|shoulder|front|half|ball", "second|2nd|other|next|opposite side|shoulder|front|half|ball", "left|right side|shoulder|front", "left|right - hand side|shoulder|front")
	if !ok {
		return 0, start, false
	}
	switch w := p.w(i); w {
	case "first", "1st", "one":
		n = 1
	case "second", "2nd", "other", "next", "opposite":
		n = 2
	}
	if q, ok := p.words(k, "of neck|yarn|wool", "of neck edge", "neck edge"); ok {
		k = q
	}
	return n, k, true
}

// sideLabel reads "on second side, k1, ssk, k to end" in a row that is worked over both sides of a neck
// at once, each with its own ball.
func (p *parser) sideLabel(b *bodyState, i int) (int, bool) {
	n, j, ok := p.sideNamed(i)
	if !ok || p.w(i) == "right" && p.w(i+1) == "side" && len(b.ops) == 0 {
		return i, false
	}
	w := p.w(j)
	stop := w == "," || w == ":" || isDash(w) && !p.at(j).Glued
	if stop {
		j++
	}
	if !stop && p.w(i) != "on" && p.w(i) != "with" && p.w(i) != "at" || !p.opStarts(j) {
		return i, false
	}
	first := needleMarks(b.ops) == 0
	switch {
	case first && (n == 1 || n == 0 && len(b.ops) == 0): // the other side must come
		other := false
		for k := j; k < len(p.toks) && !other; k++ {
			m, _, ok := p.sideNamed(k)
			other = ok && m != 1
		}
		if !other || len(b.ops) > 0 && !onlyYarn(b.ops) {
			return i, false
		}
		n = 1
	case first:
		if len(b.ops) == 0 || p.w(i) == "right" && p.w(i+1) == "side" {
			return i, false
		}
		b.ops = append([]Op{&Mark{Do: "needle", Name: "side 1", Span: SpanOf(b.ops[0])}}, b.ops...)
		n = 2
	default:
		n = 2
	}
	b.ops = append(b.ops, &Mark{Do: "needle", Name: "side " + itoa(n), Span: p.span(i, j)})
	return j, true
}

// otherNeedleNamed says that the row speaks of another needle than that at i: "knit across N2, then knit N1".
func (p *parser) otherNeedleNamed(i int) bool {
	n, j, ok := p.needleName(i)
	for end := p.sentenceEnd(i); ok && j < end; j++ {
		if m, _, ok := p.needleName(j); ok && m != n {
			return true
		}
	}
	return false
}

// wholeNeedle reads "knit the second needle plain", "second needle plain", "k needle 3": all that lies on
// one needle, worked the same.
func (p *parser) wholeNeedle(b *bodyState, i int) (int, bool) {
	key := ""
	j := i
	switch p.w(i) {
	case "k", "knit":
		key, j = "k", i+1
	case "p", "purl":
		key, j = "p", i+1
	}
	if key != "" {
		if k, ok := p.words(j, "across|along|over|all st? of|on?", "all st of|on", "st of|on"); ok && (p.at(k).Kind == Ordinal || p.otherNeedleNamed(k)) {
			j = k
		}
	}
	if w := p.w(j); w == "on" || w == "for" || w == "from" || w == "to" || w == "onto" || w == "over" || w == "across" {
		return i, false
	}
	n, q, ok := p.needleName(j)
	if !ok {
		return i, false
	}
	switch p.w(q) {
	case "plain", "straight", "even":
		q++
		if key == "" {
			key = "k"
		}
	case "knit", "purl": // "2nd needle knit"
		if key == "" {
			key = p.w(q)[:1]
			q++
		}
	}
	if w := p.w(q); key == "" || q < len(p.toks) && w != "," && w != ";" && w != "." && w != "and" && w != "then" && w != ")" {
		return i, false
	}
	at := p.span(i, q)
	b.ops = append(b.ops, &Mark{Do: "needle", Name: itoa(n), Span: at}, &Until{Body: []Op{&Do{Key: key, Span: at}}, To: Target{Kind: ToEnd, Span: at}, Span: at})
	b.needles = true
	return q, true
}

// needlesLabel reads a label of several needles: "N1 and N3:", "On each needle,". name is "1+3", or "each".
func (p *parser) needlesLabel(i int) (name string, next int, ok bool) {
	start := i
	lead := p.w(i) == "on" || p.w(i) == "for"
	if lead {
		i++
	}
	j := i
	if k, ok := p.words(i, "each|every|all|both needle|dpn", "all|both 2|3|4|5 needle", "each of needle|dpn"); ok {
		name, j = "each", k
	} else {
		ns := []string{}
		for len(ns) < 6 {
			n, k, ok := p.needleName(j)
			if t := p.at(j); !ok && j < len(p.toks) && (t.Kind == Number || t.Kind == Ordinal) && t.Val > 0 && t.Val < 10 && t.Frac == "" && (len(ns) > 0 || t.Kind == Ordinal) {
				n, k, ok = t.Val, j+1, true // "needles 1 and 3", "1st and 3rd needles"
			}
			if !ok {
				return "", start, false
			}
			ns, j = append(ns, itoa(n)), k
			if p.w(j) == "needle" {
				j++
			}
			if w := p.w(j); w == "and" || w == "&" || w == "," && len(ns) > 1 || w == "+" {
				j++
				continue
			}
			break
		}
		if len(ns) < 2 {
			return "", start, false
		}
		name = strings.Join(ns, "+")
	}
	if w := p.w(j); w == ":" || isDash(w) && !p.at(j).Glued || w == "," && lead {
		return name, j + 1, p.at(j+1).Kind != Number
	}
	return "", start, false
}

// placeLabel reads "Instep:", "on the sole,", "Back needle:": a needle that goes by what lies on it. The first
// that is named is needle 1.
func (p *parser) placeLabel(b *bodyState, i int) (int, bool) {
	start := i
	lead := p.w(i) == "on" || p.w(i) == "across"
	if lead {
		i++
	}
	k, ok := p.words(i, "instep|sole|heel|front|back|top|bottom needle|st?", "top of foot", "bottom of foot", "next|last|second|third|other needle")
	if !ok {
		return start, false
	}
	after := k
	switch w := p.w(k); {
	case w == ":" || isDash(w) && !p.at(k).Glued || w == "," && lead:
		after++
		ok = lead || hasWord(p, i, "instep", "sole", "top", "bottom") || p.w(k-1) == "needle"
	default:
		ok = lead && p.at(k).Kind == Word // "on instep k1, ssk, …"
	}
	if !ok || !p.opStarts(after) {
		return start, false
	}
	seen := needleMarks(b.ops)
	if seen == 0 && !onlyYarn(b.ops) {
		if !endsOfNeedles(b.ops) {
			return start, false
		}
		p.firstNeedle(b)
		seen = 1
	}
	if seen > 3 {
		return start, false
	}
	b.ops = append(b.ops, &Mark{Do: "needle", Name: itoa(seen + 1), Span: p.span(start, k)})
	return after, true
}

// firstNeedle marks what was read so far as worked on the first needle.
func (p *parser) firstNeedle(b *bodyState) {
	b.ops = append([]Op{&Mark{Do: "needle", Name: "1", Span: SpanOf(b.ops[0])}}, b.ops...)
	b.needles = true
}

// instepPlain reads "knit across instep" in a round that is told by the needle.
func (p *parser) instepPlain(b *bodyState, i int) (int, bool) {
	k, ok := p.words(i, "k|knit|p|purl across|over|along instep|sole|heel st?", "k|knit|p|purl instep|sole|heel st?")
	if w := p.w(k); !ok || k < len(p.toks) && w != ";" && w != "," && w != "." {
		return i, false
	}
	marks := needleMarks(b.ops)
	if marks == 0 {
		if !endsOfNeedles(b.ops) {
			return i, false
		}
		p.firstNeedle(b)
		marks = 1
	}
	at := p.span(i, k)
	key := p.w(i)[:1]
	next := p.skipWords(k, ";", ",", "then", "and")
	more := next > k && p.opStarts(next) && p.w(next) != "on" // the next needle, without a word of it
	b.ops = append(b.ops, &Mark{Do: "needle", Name: itoa(marks + 1), Span: at}, &Until{Body: []Op{&Do{Key: key, Span: at}}, To: Target{Kind: ToEnd, Span: at}, Span: at})
	if _, ok := p.words(next, "on"); more && !ok {
		b.ops = append(b.ops, &Mark{Do: "needle", Name: itoa(marks + 2), Span: p.span(next, next+1)})
		return next, true
	}
	return k, true
}

// sameNeedle reads what is worked on a needle as on another: "N2: as N1" behind its label, "; do the same on
// the other needle" without.
func (p *parser) sameNeedle(b *bodyState, i int) (int, bool) {
	last := len(b.ops) - 1
	if last < 0 {
		return i, false
	}
	from := -1 // the needle meant; -1 = the one before
	if m, ok := b.ops[last].(*Mark); ok && m.Do == "needle" {
		j := p.skipWords(i, "work", "worked", "rep", "repeat", "same", "as", "for", "like", "on", "again", "exactly", "the", "in", "way", "ditto")
		said := false
		for k := i; k < j; k++ {
			said = said || hasWord(p, k, "rep", "same", "as", "like", "ditto", "again")
		}
		if n, k, ok := p.needleName(j); ok {
			from, j = n, k
		} else if k, ok := p.words(j, "first|1st|other|previous needle|side", "side 1", "instep", "sole"); ok {
			j = k
		}
		if w := p.w(j); !said || j < len(p.toks) && w != "." && w != ";" && w != "," && openers[w] == "" && !isDash(w) {
			return i, false
		}
		seg := segmentOf(b.ops[:last], from)
		if len(seg) == 0 {
			return i, false
		}
		b.ops = append(b.ops, copyOps(seg)...)
		return j, true
	}
	j := p.skipWords(i, "and", "then")
	k, ok := p.words(j, "do|work|dec|shape|rep the? same on|for|over|across", "same on|for|over|across")
	if ok {
		j = k
		if k, ok = p.words(j, "second|2nd|other|next needle|side|half", "n 2", "needle 2"); !ok {
			return i, false
		}
	} else if k, ok = p.words(j, "work|shape second|2nd|other|next needle|side|half in? the? same way?", "work second|2nd|other|next needle|side|half to match", "work n 2 in? the? same way?", "work needle 2 in? the? same way?"); !ok {
		return i, false
	}
	if w := p.w(k); k < len(p.toks) && w != "." && w != ";" && w != "," && openers[w] == "" && !isDash(w) {
		return i, false
	}
	if needleMarks(b.ops) > 0 {
		return i, false
	}
	one := &Mark{Do: "needle", Name: "1", Span: SpanOf(b.ops[0])}
	two := &Mark{Do: "needle", Name: "2", Span: p.span(i, k)}
	b.ops = append(append([]Op{one}, b.ops...), append([]Op{two}, copyOps(b.ops)...)...)
	b.needles = true
	return k, true
}

// onNeedle reads, in a row that is told by the needle or by the side of a neck, the label of a part of it, or
// such a part whole. Within brackets there is none.
func (p *parser) onNeedle(b *bodyState, i int) (int, bool) {
	if b.closer != "" {
		return i, false
	}
	name, k, ok := p.needlesLabel(i)
	if n, q, one := p.needleLabel(i); one {
		name, k, ok = itoa(n), q, true
	}
	if ok {
		b.ops = append(b.ops, &Mark{Do: "needle", Name: name, Span: p.span(i, k)})
	}
	for _, f := range [...]func(*bodyState, int) (int, bool){p.placeLabel, p.instepPlain} {
		if !ok {
			k, ok = f(b, i)
		}
	}
	if !ok {
		if k, same := p.sameNeedle(b, i); same {
			return k, true // its clause goes on
		}
	}
	for _, f := range [...]func(*bodyState, int) (int, bool){p.sideLabel, p.wholeNeedle} {
		if !ok {
			k, ok = f(b, i)
		}
	}
	if ok {
		b.clause, b.needles = len(b.ops), true
	}
	return k, ok
}
