package notation

// This file reads a row without a head that divides the work, told in one sentence or in several: "Knit 27 sts (half
// the back). Slip the next 36 sts onto waste yarn, cast on 6 sts, knit 54 sts, …".

// divideVerbs open the sentences of such a row.
var divideVerbs = map[string]bool{"k": true, "knit": true, "work": true, "slip": true, "sl": true, "place": true, "put": true, "leave": true, "transfer": true, "cast": true, "co": true, "turn": true, "next": true, "then": true, "using": true, "remove": true, "now": true, "and": true, "move": true}

// divides reads it: stitches are worked, others put on a thread, and new ones cast on, at least once each.
func (p *parser) divides(i int) (*Row, int, bool) {
	if !divideVerbs[p.w(i)] || hasWord(p, i, "cast", "co", "turn", "leave", "remove") {
		return nil, i, false
	}
	end := p.dividesUntil(i)
	if end == 0 || p.sentenceEnd(i) >= end && !hasWord(p, i, "place", "put", "slip", "transfer", "move") {
		return nil, i, false // one sentence reads as any row
	}
	q := *p
	q.toks = append([]Token(nil), p.toks[:end]...)
	for k := i; k < end; k++ {
		if q.toks[k].Text == "." {
			q.toks[k].Text, q.toks[k].fold = ",", ","
		}
	}
	trial := q
	trial.quiet = true
	b, j := trial.body(i, "")
	holds, casts, works, unread := 0, 0, 0, b.prose != ""
	each(b.ops, func(o Op) {
		switch o.(type) {
		case *Hold:
			holds++
		case *CastOn:
			casts++
		case *Do, *Until:
			works++
		case *Unknown, *BindOff:
			unread = true
		}
	})
	if unread || holds == 0 || casts == 0 || works == 0 || j < end-1 {
		return nil, i, false
	}
	b, _ = q.body(i, "")
	stated := b.stated
	for end < len(p.toks) && p.w(end) == "." {
		end++
	}
	if st, k, ok := p.stated(end); ok && len(stated) == 0 {
		stated, end = st, k
	}
	return &Row{Head: Head{Words: p.headless(i, p.sentenceEnd(i))}, Body: b.ops, Stated: stated, Span: p.span(i, end)}, end, true
}

// dividesUntil is where the last of the sentences ends in which stitches are put aside or cast on; 0 where either
// is not done.
func (p *parser) dividesUntil(i int) int {
	last := 0
	holds, casts := false, false
	for n := 0; i < len(p.toks) && n < 10; n++ {
		if !divideVerbs[p.w(i)] {
			break
		}
		end := p.sentenceEnd(i)
		_, _, aside := p.find(i, end, "waste yarn", "scrap yarn", "spare yarn", "holder", "holders", "thread", "hold", "length of yarn", "waste", "scrap")
		_, _, cast := p.find(i, end, "cast on", "co")
		if aside || cast || n == 0 {
			last = end
		} else if holds && casts && hasWord(p, i, "k", "knit", "then") && p.dividesToEnd(i, end) {
			last = end
		}
		holds, casts = holds || aside, casts || cast
		i = end + 1
	}
	if !holds || !casts {
		return 0
	}
	return last
}

// dividesToEnd says that a sentence works what is left of such a row: "Knit to end of round", "Knit 33 sts (half back)".
func (p *parser) dividesToEnd(i, end int) bool {
	if _, _, ok := p.find(i, end, "to end", "to m", "rem"); ok {
		return true
	}
	_, k, ok := p.num(i + 1)
	return ok && (p.w(k) == "st" || k >= end)
}
