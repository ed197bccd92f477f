package needle

import "rowproof/domain/notation"

// This file works stitches that come from elsewhere than the left needle: from a
// cable needle, a holder, or the row of another pattern.

func clampHeld(h Lin) Lin {
	if h.C == 0 && h.D < 0 {
		return Lin{}
	}
	return h
}

func onlyTalk(ops []notation.Op) bool {
	for _, o := range ops {
		switch o.(type) {
		case *notation.Remark, *notation.UseYarn, *notation.Leave, *notation.Join, *notation.Hold:
		default:
			return false
		}
	}
	return true
}

func (w *worker) pattOver(l *lane, o *notation.PattOver) *failure {
	n := max(0, o.N.For(l.size))
	if !o.N.Given() {
		ok := false
		if w.pattWidth != nil {
			n, ok = w.pattWidth(o.Name, o.Row, l.size)
		}
		if !ok {
			return l.fail("", o.Span, "") // how wide the pattern is, is not told
		}
	}
	out := n
	if l.cols != nil && l.cols.record {
		es, o2, ok := w.pattRows.trace(w, o.Name, o.Row, n, l.size)
		if out = o2; !ok {
			es, out = repeated(nil, plain, n), n
		}
		l.cols.events = append(l.cols.events, es...)
	} else if w.patts != nil {
		if o2, ok := w.patts(o.Name, o.Row, n, l.size); ok {
			out = o2
		}
	}
	if f := l.take(K(n), o.Span); f != nil {
		return f
	}
	l.put(K(out))
	return nil
}

// from works stitches off the cable needle or a holder.
func (w *worker) from(l *lane, o *notation.Do) *failure {
	in, out, _ := w.counts(o)
	n := max(0, o.Times.For(l.size))
	if o.From == "holder" {
		l.held = clampHeld(l.held.minus(K(in * n)))
		l.put(K(out * n))
		for k := 0; k < n && l.cols != nil; k++ {
			w.noteStitch(l, o, in, out)
		}
		return nil
	}
	if len(l.cable) == 0 {
		return l.fail("cable-needle-empty", o.Span, "nothing is on the cable needle here")
	}
	if !o.Times.Given() {
		c := l.cable[len(l.cable)-1]
		l.cable = l.cable[:len(l.cable)-1]
		l.put(c)
		for k := 0; k < c.D && l.cols != nil; k++ {
			w.noteStitch(l, o, 1, 1)
		}
		return nil
	}
	want := in * n
	for want > 0 {
		if len(l.cable) == 0 {
			return l.fail("runs-out-of-stitches", o.Span, "%d more wanted from the cable needle than it holds", want)
		}
		c := &l.cable[len(l.cable)-1]
		t := min(want, c.D)
		c.D -= t
		want -= t
		if c.D == 0 {
			l.cable = l.cable[:len(l.cable)-1]
		}
	}
	l.put(K(out * n))
	for k := 0; k < n && l.cols != nil; k++ {
		w.noteStitch(l, o, in, out)
	}
	return nil
}
