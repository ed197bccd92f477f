package notation

import "strings"

// This file reads instructions as continental patterns give them: by the height that the work has, the place before the
// number. "At a total height of 31 cm bind off for the neck at the beginning of the wrong side row 4 sts, then at the
// beginning of the next wrong side row 2 sts."

// atHeight passes "At a total height of 31 cm" in front of a verb, as work without shaping up to there.
func (p *parser) atHeight(i, end int) (*Straight, int, bool) {
	k, ok := p.words(i, "at a? total|full|overall? height|length of", "on reaching a? total|full|overall? height|length of")
	if !ok {
		return nil, i, false
	}
	depth := 0
	for ; k < end; k++ {
		if depth += nesting(p.w(k)); depth > 0 || !lengthUnit(p.w(k)) {
			continue
		}
		verb := p.skipWords(k+1, ",", "from", "the", "beginning", "cast", "-", "on", "edge")
		if !hasWord(p, verb, "bind", "cast", "bo", "dec", "decrease", "inc", "increase", "work", "knit", "purl", "place", "put", "slip", "leave", "change", "divide", "continue", "shape") {
			return nil, i, false
		}
		return &Straight{Length: p.bracketed(p.raw(i+1, k+1)), Stitch: p.raw(i, k+1), Words: p.raw(i, verb), Span: p.span(i, verb)}, verb, true
	}
	return nil, i, false
}

// bindsByRow reads "bind off for the neck at the beginning of the wrong side row 4 sts, then at the beginning of the next
// wrong side row 2 sts": one shaping for each number.
func (p *parser) bindsByRow(i, end int) ([]*Shape, int, bool) {
	start := i
	k, ok := p.words(p.skipWords(i, "now", "then"), "bind|cast off for? the? neck|armhole|armholes|shoulder? at|on beg|start|end", "bo for? the? neck|armhole|armholes|shoulder? at|on beg|start|end")
	if !ok {
		return nil, i, false
	}
	var out []*Shape
	cuts := []int{start}
	for k < end {
		k = p.skipWords(k, "of", "the", "next", "following")
		if _, q, ok := p.sideWord(k); ok {
			k = q
		}
		if p.w(k) != "row" {
			return nil, i, false
		}
		n, q, ok := p.num(k + 1)
		if !ok || p.w(q) != "st" {
			return nil, i, false
		}
		w := When{Next: 1}
		if len(out) > 0 {
			w = When{Every: 2, Times: N(1)}
		}
		out = append(out, &Shape{Do: "bind", N: n, At: "beg", Places: 1, When: w})
		i = q + 1
		r := p.skipWords(i, ",", "and", "then")
		next, ok := p.words(r, "at|on beg|start|end")
		if r == i || !ok {
			break
		}
		cuts = append(cuts, i)
		k = next
	}
	st, j, ok := p.statedToEnd(i, end)
	if !ok || len(out) == 0 {
		return nil, start, false
	}
	out[len(out)-1].Stated = st
	cuts = append(cuts, j)
	for n, s := range out {
		s.Words, s.Span = strings.TrimLeft(p.raw(cuts[n], cuts[n+1]), ", "), p.span(cuts[n], cuts[n+1])
	}
	return out, j, true
}

// castsAtEdge reads "At this edge, cast on 13 sts for the front. There are 51 sts.", in the next row.
func (p *parser) castsAtEdge(i, end int) (*Shape, int, bool) {
	k, ok := p.words(i, "at|on this|that|same|other|neck|front|sleeve|side|armhole edge ,? cast on", "at|on this|that|same|other|neck|front|sleeve|side|armhole edge ,? co")
	if !ok {
		return nil, i, false
	}
	n, q, ok := p.num(k)
	if !ok || p.w(q) != "st" {
		return nil, i, false
	}
	q = p.skipWords(q+1, "for", "front", "neck", "back", "sleeve", "sleeves", "underarm", "overlap", "border", "band")
	for p.w(q-1) == "the" || p.w(q-1) == "for" {
		q--
	}
	st, j, ok := p.statedToEnd(q, end)
	if !ok {
		return nil, i, false
	}
	return &Shape{Do: "cast", N: n, At: "beg", Places: 1, When: When{Next: 1}, Stated: st, Words: p.raw(i, j), Span: p.span(i, j)}, j, true
}
