package notation

// This file reads rows that a sentence of shaping leads up to.

// shapesAsFollows reads "When the sleeve measures 3 cm, decrease as follows: K1, k2tog, knit to last 3 sts, ssk, k1." as
// the row behind the colon, which goes by the words before it. A number before it may only be a length or the next row's.
func (p *parser) shapesAsFollows(i int) (*Row, int, bool) {
	at, c, ok := p.find(i, p.sentenceEnd(i), "as follows :", "like this :", "thus :", "in this way :", "this way :")
	if !ok || at == i {
		return nil, i, false
	}
	shapes, round := false, false
	for k := i; k < at; k++ {
		switch w := p.w(k); {
		case hasWord(p, k, "dec", "decrease", "inc", "increase", "decreasing", "increasing"):
			shapes = true
		case w == "." || w == ":" || isMark(w):
			return nil, i, false
		case w == "rnd":
			round = true
		case p.at(k).Kind == Number:
			n, e, ok := p.num(k)
			if !ok || !n.Given() || !hasWord(p, e, "cm", "in", "ins", "inch", "inches", "mm", "\"") {
				return nil, i, false
			}
			k = e
		}
	}
	if !shapes {
		return nil, i, false
	}
	row, j, ok := p.strictRow(c)
	if !ok || len(row.Body) < 2 {
		return nil, i, false
	}
	row.Head = Head{Words: p.raw(i, c-1), Round: round, Span: p.span(i, c-1)}
	row.Span = p.span(i, j)
	return row, j, true
}
