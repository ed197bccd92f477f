package notation

// sets reads what sets stitches up and works none: joinings, markers, sides of a neck, stitches that wait.
func (w *walk) sets(i, end int) (int, bool) {
	r, p := w.r, w.p
	if j, ok := p.words(i, "join to|in|and|into|for", "join ,", "join rnd", "join", "place m and join", "pm and join", "pm , join", "being careful", "divide st", "place m for bor"); ok {
		if _, _, round := p.find(i, end, "rnd", "circle", "ring"); round || p.w(i) == "join" {
			if round {
				w.add(&JoinRound{Span: p.span(i, end)})
			} else {
				w.add(&Prose{Text: p.raw(i, end), Span: p.span(i, end)})
			}
			return max(end, j), true
		}
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
		w.add(h)
		return j, true
	}
	if h, j, ok := p.waiting(i, end); ok {
		w.add(h)
		return j, true
	}
	if h, ok := p.othersHeld(i, end); ok && r.begun {
		w.add(h)
		return end, true
	}
	if h, ok := r.heelOver(p, i, end, w.line); ok && r.begun {
		w.add(h)
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
			if _, _, ok := p.find(i, j, "other", "rem"); ok && !h.N.Given() {
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
