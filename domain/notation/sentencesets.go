package notation

import "strings"

// sets reads what sets stitches up and works none: joinings, markers, sides of a neck, stitches that wait.
func (w *walk) sets(i, end int) (int, bool) {
	r, p := w.r, w.p
	if j, ok := p.words(i, "join to|in|and|into|for", "join ,", "join rnd", "join", "place m and join", "pm and join", "pm , join", "being careful", "divide st", "place m for bor"); ok {
		_, _, sewn := p.find(i, end, "elastic", "ribbon", "seam", "ends", "edges", "strip")
		if _, _, round := p.find(i, end, "rnd", "circle", "ring"); round && !sewn || p.w(i) == "join" {
			round = round && !sewn
			if round {
				w.add(&JoinRound{Span: p.span(i, end)})
			} else {
				w.add(&Prose{Text: p.raw(i, end), Span: p.span(i, end)})
			}
			return max(end, j), true
		}
	}
	if l, ok := p.onAll(i, end); ok && r.begun {
		w.add(&Prose{Text: strings.TrimSpace(p.raw(i, end)), Lay: l, Span: p.span(i, end)})
		return end, true
	}
	if m, j, ok := p.markersCounted(i, end); ok && r.begun {
		w.add(m)
		return j, true
	}
	if m, j, ok := p.markersTold(i, end); ok && r.begun {
		w.add(m)
		return j, true
	}
	if h, j, ok := p.oneSide(i, end); ok && r.begun {
		w.add(h)
		return j, true
	}
	if h, j, ok := r.sideFirst(p, i, end); ok && r.begun {
		w.add(h)
		return j, true
	}
	if h, j, ok := p.keepOn(i, end); ok && r.begun {
		w.addHold(h)
		return j, true
	}
	if h, j, ok := p.waiting(i, end); ok {
		w.addHold(h)
		return j, true
	}
	if h, ok := p.othersHeld(i, end); ok && r.begun {
		w.addHold(h)
		return end, true
	}
	if h, ok := r.heelOver(p, i, end, w.line); ok && r.begun {
		w.addHold(h)
		return end, true
	}
	if p.onTwoNeedles(i, end) {
		w.add(&Prose{Text: p.raw(i, end), Span: p.span(i, end)})
		return end, true
	}
	var hold bodyState
	at := i
	if _, more := lastItem(r.ms.Items).(*HoldAll); more && p.w(i) == "and" {
		at = p.skipWords(i, "and", "the")
		hold.ops = []Op{&Hold{}} // ", and the centre 16 sts onto a second holder"
	}
	if o, j, ok := p.holder(&hold, at); ok {
		if h, isHold := o.(*Hold); isHold {
			_, _, rem := p.find(i, j, "rem")
			hold := &HoldAll{N: h.N, Rem: rem && h.N.Given(), Words: p.raw(i, j), Span: p.span(i, j)}
			if _, _, ok := p.find(i, j, "other", "others", "rem", "rest"); ok && !h.N.Given() {
				hold.Keep = p.over
			}
			if h.All && h.N.Given() { // all but so many
				hold.N, hold.Rem, hold.Keep = Num{}, false, h.N
			}
			w.add(hold)
			return j, true
		}
	}
	return i, false
}

// addHold adds stitches that wait. The row that turned before it leaves them unworked: "K14, turn. Sl 1, p27. The heel
// is worked on these 28 sts; leave the other 28 sts on hold".
func (w *walk) addHold(h *HoldAll) {
	items := w.r.ms.Items
	for len(items) > 1 {
		if _, said := items[len(items)-1].(*Prose); !said {
			break
		}
		items = items[:len(items)-1]
	}
	row, ok := lastItem(items).(*Row)
	if !ok || len(row.Body) == 0 || len(row.Head.Numbers) > 0 || len(row.Stated) > 0 {
		w.add(h)
		return
	}
	turned := hasTurn(row.Body)
	if len(items) > 1 && !turned {
		above, isRow := items[len(items)-2].(*Row)
		if isRow && len(above.Body) > 0 {
			_, turned = above.Body[len(above.Body)-1].(*Turn)
		}
	}
	if _, stitches := row.Body[len(row.Body)-1].(*Do); stitches && turned {
		row.Body = append(row.Body, &Leave{Span: row.Span})
	}
	w.add(h)
}

// hasTurn says that the work is turned within a row.
func hasTurn(ops []Op) bool {
	for _, o := range ops {
		if _, ok := o.(*Turn); ok {
			return true
		}
	}
	return false
}
