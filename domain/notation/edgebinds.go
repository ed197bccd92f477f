package notation

// edgeBinds reads "bind off 3 sts at each neck edge once, then 2 sts once", "bind off from each shoulder edge
// 8 sts twice": stitches bound off at two edges by turns, each time in two rows. One item for each number.
func (p *parser) edgeBinds(i, end int) ([]*Shape, int, bool) {
	start := i
	if k, ok := p.words(i, "working|work both|each side|sides at|on same? time|once", "working|work both|each side|sides separately|simultaneously"); ok {
		i = k
		if k, ok := p.words(i, "with|using separate balls|skeins of? yarn|wool?", "with|using a? separate ball|skein of? yarn|wool? for? each? side?", "with|using two|2 balls|skeins of? yarn|wool?"); ok {
			i = k
		}
		i = p.skipWords(i, ",", "and", "now", "then")
	}
	i = p.skipWords(i, "now", "next", "then", "and")
	edged := false
	edge := func(k int) (int, bool) {
		q, ok := p.words(k, "from|at|on each|both neck|shoulder|armhole|side|inner|outer|front edge|edges", "from|at|on each|both edge|edges|side|sides|neck|shoulder|armhole")
		edged = edged || ok
		return q, ok
	}
	if k, ok := edge(i); ok {
		i = p.skipWords(k, ",")
	}
	verb := func(k int) (int, bool) { return p.words(k, "bo", "bind|cast|binding|casting off") }
	k, ok := verb(i)
	if !ok {
		return nil, start, false
	}
	i = k
	var out []*Shape
	cuts := []int{start} // where the words of each item begin: no word stands in two of them, or the print says it twice
	for i < end {
		if k, ok := edge(i); ok {
			i = p.skipWords(k, ",", "then", "and")
		}
		if k, ok := verb(i); ok {
			i = k
		}
		n, j, ok := p.num(i)
		if !ok {
			break
		}
		if p.w(j) == "st" {
			j++
		} else if len(out) == 0 {
			return nil, start, false
		}
		j = p.skipWords(j, "more")
		if k, ok := edge(j); ok {
			j = k
		}
		often := N(1)
		if t, k, ok := p.times(j); ok && t.Kind != TimesMore {
			often, j = t.N, k
		}
		if k, ok := edge(j); ok {
			j = k
		}
		out = append(out, &Shape{Do: "bind", N: n, At: "both", Places: 2, When: When{Every: 2, Times: often}})
		i = j
		k := p.skipWords(i, ",", "and", "then")
		if _, _, more := p.num(k); more || k > i && p.isVerb(k) {
			cuts = append(cuts, p.skipWords(i, ","))
			i = k
			continue
		}
		break
	}
	if len(out) == 0 || !edged {
		return nil, start, false
	}
	last := out[len(out)-1]
	st, i, ok := p.statedToEnd(i, end)
	if !ok {
		return nil, start, false
	}
	last.Stated = st
	cuts = append(cuts[:len(out)], max(start+1, min(i, end)))
	for n, shape := range out {
		shape.Words, shape.Span = p.raw(cuts[n], cuts[n+1]), p.span(cuts[n], cuts[n+1])
	}
	return out, i, true
}

// isVerb says that binding off is told at i.
func (p *parser) isVerb(i int) bool {
	_, ok := p.words(i, "bo", "bind|cast|binding|casting off", "at|from each|both")
	return ok
}
