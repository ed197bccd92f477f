package notation

import (
	"slices"
	"strings"
)

// This file reads what a sentence has the knitter work.

// repeats reads multiples, and rows and sections that are worked again.
func (w *walk) repeats(i, end int) (int, bool) {
	r, p := w.r, w.p
	if m, j, ok := p.multiple(i, end); ok {
		w.add(m)
		return max(j, end), true
	}
	if it, j, ok := r.stepsAgain(p, i, end); ok {
		w.addOnly(it)
		return j, true
	}
	if rr, j, ok := r.rowsOfPiece(p, i, end); ok {
		w.addOnly(rr)
		return j, true
	}
	if rr, s, j, ok := p.repRowsShaped(i, end); ok {
		w.addOnly(rr)
		w.addOnly(s)
		return j, true
	}
	if j, ok := r.inBackRows(p, i, w.only); ok {
		return j, true
	}
	if s, j, ok := r.changingRepeat(p, i, end); ok {
		w.addOnly(s)
		return j, true
	}
	if j, ok := r.repAhead(p, i); ok {
		w.add(&Prose{Text: strings.TrimSpace(p.raw(i, j)), Span: p.span(i, j)})
		return j, true
	}
	if rr, j, ok := r.firstOfThem(p, i); ok {
		w.addOnly(rr)
		return j, true
	}
	if k := p.fabricLead(i, end); k > i {
		q := *p
		q.quiet = true
		if named, _, ok := q.repRows(k); ok && len(named.Ref.Numbers) == 0 {
			rr, j, _ := p.repRows(k)
			w.addOnly(rr)
			return j, true
		}
	}
	if k, ok := p.words(i, "pm|place m for bor and|,", "pm|place m for beg of rnd and|,"); ok { // "Pm for BOR and work even in St st until …"
		return k, true
	}
	if rr, j, ok := r.patternNamed(p, i, end); ok {
		w.addOnly(rr)
		return j, true
	}
	if rr, j, ok := r.sectionAgain(p, i, end); ok {
		w.addOnly(rr)
		return j, true
	}
	if rr, j, ok := p.repRows(i); ok {
		if above, shaping := lastWorked(r.ms.Items).(*Shape); shaping && above.Do == "towards" && rr.Until.Sts.Given() && unnamedShaping(rr) && !r.givesHead(rr.Ref.Words) { // "Now work a decrease rnd every rnd until 8 sts remain", of no head
			w.add(&Shape{Do: "towards", Until: rr.Until.Sts, Words: p.raw(i, j), Only: w.only, Stated: rr.Stated, Span: rr.Span})
			return j, true
		}
		if len(rr.Stated) == 1 && rr.Stated[0].Kind == CountAll && slices.Equal(rr.Stated[0].N.Vals, r.heel.Vals) && strings.Contains(strings.ToLower(p.raw(i, j)), "heel st") { // "…—28 heel sts", of the 56
			rr.Stated = nil
		}
		w.addOnly(rr)
		if plain := p.plainBetween(rr, i, j); plain != nil {
			w.addOnly(plain)
		}
		return j, true
	}
	return i, false
}

// plainBetween reads that a plain row is worked behind each row of a name, "Work the Double dec row and a purl row 6
// times": every other row is then the one named, and one is plain behind the last.
func (p *parser) plainBetween(rr *RepRows, i, j int) *Straight {
	if rr.Ref.Words == "" || !rr.Times.N.Given() || rr.When.Every > 0 {
		return nil
	}
	at, k, ok := p.find(i, j, "row|rnd and|then a|an|one|1 purl|knit|plain|p|k row|rnd")
	if !ok {
		return nil
	}
	rr.When.Every, rr.When.Times, rr.Times = 2, rr.Times.N, Target{}
	return &Straight{Rows: N(1), Stitch: p.raw(at+1, k), Words: p.raw(at+1, k), Span: p.span(j-1, j)}
}

// addShapes adds the shapings that one sentence tells, up to j.
func (w *walk) addShapes(ss []*Shape, j int) (int, bool) {
	for _, s := range ss {
		w.addOnly(s)
	}
	return j, true
}

// works reads a piece worked as another, what closes it, rows told in words, shapings and rows worked even.
func (w *walk) works(i, end int) (int, bool) {
	r, p := w.r, w.p
	if a, j, ok := r.asPiece(p, i, end); ok {
		w.add(a)
		return j, true
	}
	if row, j, ok := p.rowAsFollows(i, end); ok && r.begun {
		return w.addRow(row, j), true
	}
	if ss, j, ok := p.bindsEachSide(i, end); ok && r.begun {
		return w.addShapes(ss, j)
	}
	if b, j, ok := p.closes(i); ok {
		w.add(b)
		return j, true
	}
	if row, h, j, ok := p.bindsCentre(i, end); ok && r.begun {
		w.addRow(row, j)
		if h != nil {
			w.add(h)
		}
		return j, true
	}
	if ss, j, ok := p.bindsByRow(i, end); ok && r.begun {
		return w.addShapes(ss, j)
	}
	if s, j, ok := p.bindsNext(i, end); ok && r.begun {
		w.addOnly(s)
		return j, true
	}
	if s, j, ok := p.bindsFor(i, end); ok && r.begun {
		w.addOnly(s)
		return j, true
	}
	if ss, j, ok := p.bindsAtRows(i, end); ok && r.begun {
		return w.addShapes(ss, j)
	}
	if its, j, ok := p.shapedTogether(i); ok && (r.begun || r.castOn < 0) {
		for _, it := range its {
			w.addOnly(it)
		}
		r.begun = true
		return j, true
	}
	if row, j, ok := p.markedRow(i); ok && r.begun {
		return w.addRow(row, j), true
	}
	if row, j, ok := p.toldRow(i, end); ok && r.begun {
		return w.addRow(row, j), true
	}
	if ss, j, ok := p.edgeBinds(i, end); ok && r.begun {
		return w.addShapes(ss, j)
	}
	if s, j, ok := p.shapeAtLength(i, end); ok && r.begun {
		w.addOnly(s)
		return j, true
	}
	if s, j, ok := p.shape(i); ok {
		w.addOnly(s)
		return j, true
	}
	if s, j, ok := p.straight(i); ok {
		s.Only = w.only
		if rr := r.ofEveryRow(s, p, i, j); rr != nil {
			w.add(rr)
		} else {
			w.add(s)
		}
		r.begun = true
		return j, true
	}
	return i, false
}

// rowOrCount reads a row that has no head, and a count that stands in a sentence of its own.
func (w *walk) rowOrCount(i, end int) (int, bool) {
	r, p := w.r, w.p
	if q := p.pointedRow(i); q != nil {
		if row, j, ok := q.strictRow(i); ok {
			return w.addRow(row, j), true
		}
	}
	if row, j, ok := p.strictRow(i); ok {
		if above, isRow := lastItem(r.ms.Items).(*Row); isRow && onlyTurned(row) && holds(above.Body) {
			w.add(&Prose{Text: strings.TrimSpace(p.raw(i, j)), Span: p.span(i, j)})
			return j, true
		}
		if toMarkerOnly(row) && hasWord(p, j, "graft", "kitchener", "bind", "cast", "bo", "break", "cut") { // "Knit to first marker.": on to where the toe is grafted
			row.Body = append(row.Body, &Leave{Span: row.Span})
		}
		return w.addRow(row, j), true
	}
	if st, j, ok := p.stated(i); ok && len(r.ms.Items) > 0 && (p.at(i).Kind == Number || p.w(i) == "there" || p.w(i) == "you" || openers[p.w(i)] != "" || p.w(i) == "=" || isDash(p.w(i))) {
		last := len(r.ms.Items) - 1
		if said, isProse := r.ms.Items[last].(*Prose); isProse && last > 0 && marksStart(said.Text) { // "…, pick up 3. Mark the start of the round. [48 sts]"
			if b, ok := r.ms.Items[last-1].(*Begin); ok && b.How != "cast on" && countBehindJoin(b, st) {
				return j, true
			}
		}
		if _, joined := r.ms.Items[last].(*JoinRound); joined && last > 0 { // "…, k28. Join to work in the round. – 72 sts."
			last--
			if b, ok := r.ms.Items[last].(*Begin); ok && countBehindJoin(b, st) {
				return j, true
			}
		}
		if attachMore(r.ms.Items[last], st, p.span(i, j)) {
			return j, true
		}
	}
	return i, false
}
