package needle

import (
	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// room gives how many stitches lie between here and the target.
func (w *worker) room(l *lane, t notation.Target, at finding.Span, after []notation.Op, rep bool) (Lin, *failure) {
	n := K(0)
	if t.N.Given() {
		n = K(max(0, t.N.For(l.size)))
	}
	switch t.Kind {
	case notation.ToEnd, notation.ToRest:
		if t.Name == "needle" && l.left.tips() {
			return l.toMarker(t, n, at)
		}
		end := l.toEnd()
		if t.Name == "heel" && l.held.D > 0 && l.right.total().zero() { // the instep waits; all that is here is heel
			end = l.left.total()
		}
		if t.Kind == notation.ToRest || w.reading&readRest != 0 {
			e := w.fixed(after, l.size)
			if !e.ok {
				e = effect{}
				for _, o := range after { // as far as it is fixed
					f := w.fixedOp(o, l.size)
					if !f.ok {
						break
					}
					e.in += f.in
				}
			}
			end = end.minus(K(e.in))
		}
		return end, nil
	case notation.ToLast:
		if t.Name == "needle" && len(l.left.group) > 1 {
			return l.toMarker(t, n, at)
		}
		return l.toEnd().minus(n), nil
	case notation.ToMarker:
		return l.toMarker(t, n, at)
	case notation.ToGap:
		return l.toGap(n), nil
	case notation.ToWorked:
		if t.Name == "gap" {
			return n.minus(l.right.sinceGap()), nil
		}
		return n.minus(l.right.total()), nil
	case notation.TargetCentre:
		all := l.began // it is the centre of the row as it was: what is decreased before it does not move it
		if all.C == 0 && all.D == 0 {
			all = l.total()
		}
		if mod(all.C, 2) != 0 {
			return Lin{}, l.fail("not-for-every-multiple", at, "the centre moves with the number of repeats")
		}
		half := Lin{all.C / 2, all.D / 2} // the centre stitch, or the middle of two
		return l.left.total().minus(all.minus(half)).minus(n), nil
	}
	return Lin{}, l.fail("runs-out-of-stitches", at, "not known how far to work")
}

// toEnd is what lies before the end of a row. After a turn in a round that is the round's
// start; or, where rows go back and forth across it, what they turned at.
func (l *lane) toEnd() Lin {
	stop := 0
	for i := len(l.left.group) - 1; i > 0 && (stop == 0 || l.asRow); i-- {
		if l.left.bound[i]&roundStart != 0 {
			stop = i
		}
	}
	var t Lin
	for i := len(l.left.group) - 1; i >= stop; i-- {
		t = t.plus(l.left.group[i])
	}
	return t
}

// sinceGap counts the stitches worked since binding off in the row.
func (s stack) sinceGap() Lin {
	var t Lin
	for i := len(s.group) - 1; i >= 0; i-- {
		t = t.plus(s.group[i])
		if i > 0 && s.bound[i]&parted != 0 {
			break
		}
	}
	return t
}

func (l *lane) toMarker(t notation.Target, n Lin, at finding.Span) (Lin, *failure) {
	g := l.left.group
	if t.Name == "last" {
		if len(g) == 1 {
			return Lin{}, l.fail("marker-missing", at, "no marker is left to come in this row")
		}
		d := l.left.total().minus(g[0])
		return d.minus(n), nil
	}
	i := len(g) - 1
	begun := t.Name == "needle" && !l.right.top().zero() // of this needle some are worked: its end is meant, even if it is here
	if begun {
		// no step on
	} else if i > 0 && g[i].zero() && !n.zero() { // standing at a marker: the next one
		i--
	} else if i > 0 && g[i].zero() && l.started {
		i--
	}
	stops := uint8(marker | roundStart)
	if t.Name == "needle" {
		stops |= tip
	}
	sum := Lin{}
	for ; i >= 0; i-- {
		sum = sum.plus(g[i])
		if i == 0 || l.left.bound[i]&stops != 0 {
			break
		}
	}
	if i <= 0 && len(g) == 1 || i < 0 {
		if l.markless && len(l.right.group) == 1 {
			return Lin{}, l.fail("", at, "")
		}
		if l.round && (l.marked || len(l.right.group) > 1) {
			return sum.minus(n), nil
		}
		if len(l.right.group) == 1 && (l.markless || t.Name == "marked") {
			return Lin{}, l.fail("", at, "") // told where the row that hung it was not understood
		}
		if len(l.right.group) == 1 {
			return Lin{}, l.fail("marker-missing", at, "no marker has been placed")
		}
		return Lin{}, l.fail("marker-missing", at, "no marker is left to come in this row")
	}
	return sum.minus(n), nil
}

// slipsMarkerNext says that the marker that is stood at is slipped or taken off before
// another stitch is worked.
func (w *worker) slipsMarkerNext(l *lane, after []notation.Op) bool {
	for _, o := range after {
		if m, ok := o.(*notation.Mark); ok {
			return m.Do == "slip" || m.Do == "remove"
		}
		if e := w.fixedOp(o, l.size); !e.ok || e.in != 0 {
			return false
		}
	}
	return false
}

func (l *lane) toGap(n Lin) Lin {
	sum := Lin{}
	for i := len(l.left.group) - 1; i >= 0; i-- {
		sum = sum.plus(l.left.group[i])
		if i > 0 && l.left.bound[i]&gap != 0 && !sum.zero() {
			break
		}
	}
	return sum.minus(n)
}

// halfHeel is half of a heel that a round began with, where what is picked up along both sides of the flap is
// parted by markers from the instep: "K across heel sts, pick up 14, pm, k instep, pm, pick up 14".
func (s stack) halfHeel() int {
	var first, last Lin
	marks := 0
	for i, g := range s.group {
		if i > 0 && s.bound[i]&marker != 0 {
			marks++
			last = Lin{}
		}
		if last = last.plus(g); marks == 0 {
			first = last
		}
	}
	heel := first.minus(last)
	if marks == 0 || heel.C != 0 || heel.D < 0 {
		return 0
	}
	return heel.D / 2
}

// until works body as often as there is room.
func (w *worker) until(l *lane, o notation.Op, body []notation.Op, t notation.Target, at finding.Span, after []notation.Op, rep *notation.Repeat) *failure {
	if len(l.left.group) > 1 && l.left.top().zero() && t.Kind == notation.ToMarker {
		if rep == nil && t.Name == "" && (!t.N.Given() || t.N.For(l.size) == 0) && w.slipsMarkerNext(l, after) {
			return nil // "K3, yo, k to m, yo, sm" where the marker hangs behind the three
		}
		l.passMarker()
	}
	if l.shifts && rep == nil && t.Kind == notation.ToEnd && l.left.total().zero() && !l.right.total().zero() {
		return w.ops(l, body) // "pm for start of rnd, …, k9 to end of rnd": the first stitches come again
	}
	if t.Kind == notation.TargetCentre && t.Name == "heel" && rep == nil && l.left.total().zero() {
		for n := l.right.halfHeel(); n > 0; n-- { // the round goes on past its start, which moves
			l.shifts = true
			if f := w.ops(l, body); f != nil {
				return f
			}
		}
		return nil
	}
	room, f := w.room(l, t, at, after, rep != nil)
	if f != nil {
		return f
	}
	e := w.fixed(body, l.size)
	if !e.ok || l.cols != nil && e.in > 0 {
		return w.passByPass(l, body, t, at, after, rep)
	}
	what := "repeat"
	if rep == nil {
		what = "part in brackets"
	}
	if e.in <= 0 {
		if room.zero() {
			return nil
		}
		return l.fail("repeat-never-ends", at, "the %s uses up no stitches, so it never ends", what)
	}
	if !l.atLeast(room) {
		if room.C != 0 {
			return l.fail("runs-out-of-stitches", at, "%s left before this point for some multiples", sts(l.left.total()))
		}
		f := l.fail("runs-out-of-stitches", at, "%s should remain for what follows, only %s left on the needle", sts(l.left.total().minus(room)), sts(l.left.total()))
		f.missing = -room.D
		return f
	}
	last := effect{}
	tail := K(0)
	if rep != nil && rep.Last != nil {
		le, f := w.ending(l, rep, e, room)
		if f != nil {
			return f
		}
		last, tail = le, K(le.in)
		room = room.minus(tail)
		if !l.atLeast(room) {
			return l.fail("runs-out-of-stitches", at, "%s wanted for the last repeat, %s left on the needle", sts(tail), sts(room.plus(tail)))
		}
	}
	// room must hold a whole number of repeats
	if mod(room.C, e.in) != 0 || mod(room.D, e.in) != 0 {
		return w.midway(l, room, e.in, at, t, what)
	}
	n := Lin{room.C / e.in, room.D / e.in}
	if rep != nil && rep.Last == nil || rep == nil && len(body) > 1 {
		// the body stands there to be worked at least once
		if !l.reach(n.minus(K(1))) && rep != nil {
			return l.fail("runs-out-of-stitches", at, "the repeat of %s is not worked even once: %s left for it", sts(K(e.in)), sts(room))
		}
	}
	if n.C == 0 && n.D > maxStitches || n.C > maxStitches {
		return l.fail("too-many-stitches", at, "more than %d stitches in a row", maxStitches)
	}
	if w.loops {
		times := n
		if rep != nil && rep.Last != nil {
			times = n.plus(K(1))
		}
		w.noteLoop(l, o, times, e.in)
	}
	if f := w.apply(l, e, n, at); f != nil {
		return f
	}
	if rep != nil && rep.Last != nil {
		return w.apply(l, last, K(1), at)
	}
	return nil
}

// midway says that a repeat stops in its middle.
func (w *worker) midway(l *lane, room Lin, in int, at finding.Span, t notation.Target, what string) *failure {
	if room.C == 0 {
		rest := mod(room.D, in)
		f := l.fail("repeat-stops-midway", at, "the %s of %s does not fit %s: %d left over after %s", what, sts(K(in)), sts(room), rest, times(room.D/in))
		f.missing = rest
		return f
	}
	// C·n + D ≡ 0 (mod in) must hold for every n
	g := gcd(room.C, in)
	f := l.fail("repeat-stops-midway", at, "the %s of %s does not fit %s", what, sts(K(in)), sts(room))
	for n := l.min; n < l.min+in+1; n++ {
		if mod(room.At(n), in) != 0 {
			f.smallest = n
			f.missing = mod(room.At(n), in)
			f.msg += ": with n = " + K(n).String() + " there are " + sts(K(room.At(n))) + ", " + sts(K(f.missing)) + " over"
			break
		}
	}
	if mod(room.D, g) == 0 {
		m := in / g
		if m < 1<<16 {
			rest := mod(-room.D/g*inverse(room.C/g, m), m)
			f.refine = &ref{m, rest}
		}
	}
	return f
}

// lastPass is the last repeat as its ending makes it: Instead replaced by Last.
func (w *worker) lastPass(rep *notation.Repeat, size int) []notation.Op {
	body := rep.Body
	if k := len(rep.Instead); k > 0 {
		// what is replaced may be named otherwise than it is written: as many stitches
		{
			if ins := w.fixed(rep.Instead, size); ins.ok {
				for n := len(body) - 1; n >= 0; n-- {
					if t := w.fixed(body[n:], size); t.ok && t.in == ins.in && t.out == ins.out {
						return append(append([]notation.Op(nil), body[:n]...), rep.Last...)
					}
				}
			}
		}
		k = min(k, len(body))
		return append(append([]notation.Op(nil), body[:len(body)-k]...), rep.Last...)
	}
	return append(append([]notation.Op(nil), body...), rep.Last...)
}

// ending gives the effect of the last, changed repeat.
func (w *worker) ending(l *lane, rep *notation.Repeat, e effect, room Lin) (effect, *failure) {
	if len(rep.Instead) > 0 {
		pass := w.fixed(w.lastPass(rep, l.size), l.size)
		if ins := w.fixed(rep.Instead, l.size); pass.ok && ins.ok {
			return pass, nil
		}
		return effect{}, l.fail("repeat-stops-midway", rep.Span, "the ending of the last repeat cannot be worked by itself")
	}
	// "ending last repeat k1": the last repeat is cut short somewhere and ends so
	last := w.fixed(rep.Last, l.size)
	if !last.ok {
		return effect{}, l.fail("repeat-stops-midway", rep.Span, "the ending of the last repeat cannot be worked by itself")
	}
	for k := len(rep.Body) - 1; k >= 0; k-- {
		pre := w.fixed(rep.Body[:k], l.size)
		if !pre.ok {
			continue
		}
		in := pre.in + last.in
		if d := room.minus(K(in)); mod(d.C, e.in) == 0 && mod(d.D, e.in) == 0 {
			return effect{in: in, out: pre.out + last.out, yos: pre.yos + last.yos, ok: true}, nil
		}
	}
	if k := sameStitch(rep); k >= 0 { // "*p1, k7; …, ending the last repeat with k4": instead of the k7
		if pre := w.fixed(rep.Body[:k], l.size); pre.ok {
			return effect{in: pre.in + last.in, out: pre.out + last.out, yos: pre.yos + last.yos, ok: true}, nil
		}
	}
	return last, nil
}

// sameStitch is the place of the last stitch of a repeat that is the one its changed ending begins with; -1 where none is.
func sameStitch(rep *notation.Repeat) int {
	if len(rep.Last) == 0 {
		return -1
	}
	first, ok := rep.Last[0].(*notation.Do)
	for k := len(rep.Body) - 1; k > 0 && ok; k-- {
		if d, isDo := rep.Body[k].(*notation.Do); isDo && d.Key == first.Key {
			return k
		}
	}
	return -1
}

// passByPass works a body whose length is not fixed, until the target.
func (w *worker) passByPass(l *lane, body []notation.Op, t notation.Target, at finding.Span, after []notation.Op, rep *notation.Repeat) *failure {
	if l.left.total().C != 0 {
		return l.fail("not-for-every-multiple", at, "this repeat is worked for single multiples only")
	}
	first, f := w.room(l, t, at, after, true)
	if f != nil {
		return f
	}
	goal := l.left.total().D - first.D // what is to be left then
	whileMarked := rep != nil && (t.Kind == notation.ToRest || t.Kind == notation.ToEnd) && toMarkerFirst(body) && toEndBehind(after)
	for k := 0; k < maxPasses; k++ {
		if whileMarked && k > 0 && len(l.left.group) == 1 {
			return nil // "*k to 2 sts before m, …; rep from *, k to end": as long as markers are left
		}
		room := K(l.left.total().D - goal)
		if room.D <= 0 {
			if room.D < 0 {
				f := l.fail("repeat-stops-midway", at, "the last repeat goes %s too far", sts(K(-room.D)))
				f.missing = -room.D
				return f
			}
			return nil
		}
		if rep != nil && rep.Last != nil {
			trial := l.clone()
			if f := w.ops(trial, w.lastPass(rep, l.size)); f == nil && trial.left.total().D == goal {
				*l = *trial
				return nil
			}
		}
		if !w.spend(1) {
			return l.fail("too-much-work", at, "working this takes too long; write fewer repeats")
		}
		before := l.left.total()
		if byNeedle(body, true) {
			l.stepNeedle()
		}
		if f := w.ops(l, body); f != nil {
			if f.code == "runs-out-of-stitches" {
				f.code = "repeat-stops-midway"
				f.msg = "the repeat stops in its middle: " + f.msg
			}
			return f
		}
		if l.left.total() == before {
			return l.fail("repeat-never-ends", at, "the repeat uses up no stitches, so it never ends")
		}
	}
	return nil
}

// toMarkerFirst says that a repeat begins with work up to a marker.
func toMarkerFirst(body []notation.Op) bool {
	if len(body) == 0 {
		return false
	}
	u, ok := body[0].(*notation.Until)
	return ok && u.To.Kind == notation.ToMarker
}

// toEndBehind says that the row is worked to its end behind a repeat.
func toEndBehind(after []notation.Op) bool {
	if len(after) == 0 {
		return false
	}
	u, ok := after[0].(*notation.Until)
	return ok && u.To.Kind == notation.ToEnd
}
