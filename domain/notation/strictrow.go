package notation

import "rowproof/domain/finding"

// This file reads a row that has no head, where its words leave no doubt that it is one.

// evidence says that a line without a head has the marks of a row, not of a name.
func (p *parser) evidence() bool {
	for k, t := range p.toks {
		if t.Kind == Number || isMark(t.Text) || t.Text == "to" || t.Text == "across" || t.Text == "every" || t.Text == "all" || t.Text == "off" || t.Text == "bo" || t.Text == "." && k == len(p.toks)-1 || k == 0 && len(p.toks) == 1 && bareAll[folded(t.Text)] {
			return true
		}
		if k == 0 && t.Kind == Word && len(p.toks) == 1 && (t.Text == "knit" || t.Text == "purl") {
			return true
		}
	}
	return false
}

// strictSentence says that the tokens from i are an instruction in full.
func (p *parser) strictSentence(i int) bool {
	if p.worksRows(i) {
		return true
	}
	_, _, ok := p.strictRow(i)
	return ok
}

// strictRow reads a line without a head as a row, if all of it is understood.
func (p *parser) strictRow(i int) (*Row, int, bool) {
	if p.at(i).Kind == Number && (p.w(i+1) == "x" || p.w(i+1) == "/") && p.at(i+2).Kind == Number && p.w(i+3) == "rib" {
		return nil, i, false // "2x2 rib" by itself is a name
	}
	if p.w(i) == "make" && p.at(i+1).Kind == Number && (p.w(i+2) == "." || i+2 >= len(p.toks)) {
		return nil, i, false // "Make 2.": two such pieces
	}
	q := *p
	var own finding.List
	q.out = &own
	if !q.opStarts(i) && q.at(i).Kind != Number {
		return nil, i, false
	}
	b, j := q.body(i, "")
	worked := 0
	unread := false
	each(b.ops, func(o Op) {
		if _, ok := o.(*Unknown); ok {
			unread = true
		}
	})
	if unread {
		return p.markerClause(i)
	}
	for _, o := range b.ops {
		switch o.(type) {
		case *Remark, *Join, *UseYarn, *Mark:
		default:
			worked++
		}
	}
	_, rep := lastOp(b).(*Repeat)
	if whole := rep && wholeRow(b.ops); worked == 0 || b.prose != "" && worked < 2 && !whole {
		return p.markerClause(i)
	}
	if len(own.Findings) > 0 && worked < 2 {
		return p.markerClause(i)
	}
	if !p.quiet {
		for _, f := range own.Findings {
			p.out.Add(f)
		}
	}
	end := p.sentenceEnd(i)
	return &Row{Head: Head{Words: p.headless(i, min(end, j))}, Body: b.ops, Stated: b.stated, Prose: b.prose, Span: p.span(i, j)}, j, true
}

// pointedRow is a parser that reads "ssk. Knit to end of row" as one row, as leaflets put a point behind each stitch; nil
// where no such row stands at i.
func (p *parser) pointedRow(i int) *parser {
	e := p.sentenceEnd(i)
	if e >= len(p.toks)-2 || e > i+12 || p.w(e) != "." || !hasWord(p, e+1, "k", "knit", "p", "purl", "work") {
		return nil
	}
	if _, _, ok := p.target(e + 2); !ok {
		return nil
	}
	q := *p
	q.quiet, q.toks = true, p.toks[:e]
	if !q.opStarts(i) {
		return nil
	}
	b, j := q.body(i, "")
	if j < e || len(b.ops) == 0 {
		return nil
	}
	for _, o := range b.ops {
		if d, ok := o.(*Do); !ok || !d.Times.Given() && (d.Key == "k" || d.Key == "p" || d.Key == "patt") {
			return nil
		}
	}
	out := *p
	out.toks = append([]Token(nil), p.toks...)
	out.toks[e].Text, out.toks[e].fold = ",", ","
	return &out
}

// markerClause reads a clause by itself that goes to a marker: "Knit to the first
// marker; this is …".
func (p *parser) markerClause(i int) (*Row, int, bool) {
	cut := p.clauseEnd(i)
	if cut >= len(p.toks) {
		return nil, i, false
	}
	q := *p
	q.toks = p.toks[:cut]
	if row, j, ok := q.strictRow(i); ok && toMarker(row.Body) {
		return row, j, true
	}
	return nil, i, false
}

// clauseEnd is where the clause from i ends: at a semicolon or a stop.
func (p *parser) clauseEnd(i int) int {
	for ; i < len(p.toks); i++ {
		if w := p.w(i); w == ";" || w == "." {
			return i
		}
	}
	return i
}

// toMarker says that all that is worked goes to a marker: "knit to first m; this
// is the new beginning of the rnd".
func toMarker(ops []Op) bool {
	if len(ops) != 1 {
		return false
	}
	u, ok := ops[0].(*Until)
	return ok && u.To.Kind == ToMarker && u.To.N.For(0) <= 0
}

// headless names a row without head by its first words.
func (p *parser) headless(i, end int) string {
	j := i
	for j < end && j < i+4 && p.w(j) != "," && p.w(j) != ";" && p.w(j) != "." {
		j++
	}
	return p.raw(i, j)
}
