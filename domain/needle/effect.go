package needle

import (
	"rowproof/domain/notation"
)

// This file holds the closed forms: what ops take and make where that does not
// depend on the needle.

func (w *worker) stitch(key string) *notation.Stitch {
	if s := w.ms.Own[key]; s != nil {
		return s
	}
	return notation.Standard().Stitch(key)
}

// counts gives what one working of d takes and makes.
func (w *worker) counts(d *notation.Do) (in, out int, ok bool) {
	s := w.stitch(d.Key)
	if s == nil {
		return 1, 1, false
	}
	if s.Class == notation.Own || s.In == "" {
		if s.In != "" && s.Out != "" {
			i, o := s.Counts(d.Params)
			return i, o, true
		}
		e := w.ownEffect(s)
		return e.in, e.out, e.ok
	}
	in, out = s.Counts(d.Params)
	if s.HasAlt {
		bit := readAlt
		switch d.Key {
		case "inc":
			bit = readInc
		case "yf":
			bit = readYF
		}
		if w.reading&bit != 0 {
			return s.AltIn, s.AltOut, true
		}
	}
	return in, out, true
}

// unexplained: a stitch that is named among the definitions, but by nothing that
// can be worked.
func (w *worker) unexplained(o *notation.Do) bool {
	s := w.ms.Own[o.Key]
	return s != nil && s.NoBody
}

// ownEffect works a designer's own stitch by itself, once.
func (w *worker) ownEffect(s *notation.Stitch) effect {
	if e, ok := w.own[s.Key]; ok {
		return e
	}
	w.own[s.Key] = effect{in: 1, out: 1} // a definition by itself is no definition
	const much = 4096
	l := newLane(0, K(much))
	body := s.Body
	if n := len(body); n > 1 {
		if _, turns := body[n-1].(*notation.Turn); turns { // "…, p3tog, turn": the stitch is passed on then
			body = append(body[:n:n], &notation.Do{Key: "sl", Times: notation.N(1), Span: notation.SpanOf(body[n-1])})
		}
	}
	f := w.ops(l, body)
	if f == nil && len(l.cable) > 0 { // "then k2, p2, k2 from cn": all of them
		all := newLane(0, K(much))
		if g := w.ops(all, fromCable(s.Body)); g == nil && len(all.cable) == 0 {
			l = all
		}
	}
	if (f != nil || len(l.cable) > 0) && s.Over > 0 {
		w.own[s.Key] = effect{in: s.Over, out: s.Over, ok: true}
	}
	if f != nil || len(l.cable) > 0 {
		return w.own[s.Key]
	}
	left, right := l.left.total(), l.right.total()
	e := effect{in: much - left.D, out: right.D, yos: 0, ok: left.C == 0 && right.C == 0}
	if e.in < 0 || e.out < 0 {
		e = effect{in: 1, out: 1}
	}
	if s.Over > 0 && e.out != s.Over { // what is let down and picked up again is not worked out
		e = effect{in: s.Over, out: s.Over, ok: true}
	}
	w.own[s.Key] = e
	return e
}

// fromCable has every stitch behind the cable needle's worked from it.
func fromCable(ops []notation.Op) []notation.Op {
	out := append([]notation.Op(nil), ops...)
	on := false
	for i, o := range out {
		switch o := o.(type) {
		case *notation.ToCable:
			on = true
		case *notation.Do:
			if on {
				d := *o
				d.From = "cn"
				out[i] = &d
			}
		}
	}
	return out
}

// fixed gives the effect of ops that do not depend on what is on the needle.
func (w *worker) fixed(ops []notation.Op, size int) effect {
	var e effect
	cable := 0
	for _, o := range ops {
		switch o := o.(type) {
		case *notation.ToCable:
			n := max(0, o.N.For(size))
			cable += n
			e.in += n
			continue
		case *notation.Do:
			if o.From == "cn" {
				in, out, _ := w.counts(o)
				if !o.Times.Given() {
					e.out += cable
					cable = 0
					continue
				}
				n := max(0, o.Times.For(size))
				if cable -= in * n; cable < 0 {
					return effect{}
				}
				e.out += out * n
				continue
			}
		}
		f := w.fixedOp(o, size)
		if !f.ok {
			return effect{}
		}
		if e.in > maxStitches*4 || e.out > maxStitches*4 {
			return effect{}
		}
		e.in += f.in
		e.out += f.out
		e.yos += f.yos
		e.gaps += f.gaps
	}
	e.ok = cable == 0
	return e
}

func (w *worker) fixedOp(o notation.Op, size int) effect {
	switch o := o.(type) {
	case *notation.Do:
		if o.From != "" || w.unexplained(o) {
			return effect{}
		}
		in, out, _ := w.counts(o)
		n := max(0, o.Times.For(size))
		yos := 0
		if in == 0 && out > 0 {
			if s := w.stitch(o.Key); s != nil && s.Class == notation.YO {
				yos = out * n
			}
		}
		if o.Wraps > 1 {
			yos += 0
		}
		return effect{in: in * n, out: out * n, yos: yos, ok: true}
	case *notation.Group:
		e := w.fixed(o.Body, size)
		n := max(0, o.Times.For(size))
		return effect{e.in * n, e.out * n, e.yos * n, e.gaps * n, e.ok}
	case *notation.Again:
		last := o.Body[len(o.Body)-1]
		n := max(0, o.Times.For(size))
		_ = last
		cut := len(o.Body) - w.list(o)
		a, b := w.fixed(o.Body[:cut], size), w.fixed(o.Body[cut:], size)
		return effect{a.in + b.in*n, a.out + b.out*n, a.yos + b.yos*n, a.gaps + b.gaps*n, a.ok && b.ok}
	case *notation.Into:
		e := w.into(o, size)
		return e
	case *notation.Repeat:
		if n, ok := w.passes(o.To, size); ok && o.Last == nil {
			e := w.fixed(o.Body, size)
			return effect{e.in * n, e.out * n, e.yos * n, e.gaps * n, e.ok}
		}
		return effect{}
	case *notation.BindOff:
		if o.All || w.reading&readBO != 0 {
			return effect{}
		}
		return effect{in: max(0, o.N.For(size)), gaps: 1, ok: true}
	case *notation.CastOn:
		if o.EachGap {
			return effect{}
		}
		return effect{out: max(0, o.N.For(size)), ok: true}
	case *notation.PattOver:
		n := max(0, o.N.For(size))
		return effect{in: n, out: n, ok: true}
	case *notation.UseYarn, *notation.Remark, *notation.Join, *notation.Slide:
		return effect{ok: true}
	case *notation.Return:
		if o.N.Given() {
			n := max(0, o.N.For(size))
			return effect{in: -n, out: -n, ok: true}
		}
	case *notation.ToCable, *notation.Hold, *notation.Unhold:
		return effect{}
	}
	return effect{}
}

// into is the effect of working a list into one place.
func (w *worker) into(o *notation.Into, size int) effect {
	out, yos := 0, 0
	ok := true
	notation.Each(o.Body, func(op notation.Op) {
		switch op.(type) {
		case *notation.Until, *notation.Turn:
			ok = false
		}
	})
	if !ok {
		return effect{}
	}
	e := w.fixed(o.Body, size)
	if !e.ok {
		return effect{}
	}
	out, yos = e.out, 0
	n := max(0, o.Times.For(size))
	return effect{in: max(1, o.Sts.For(size)) * n, out: out * n, yos: yos, ok: true}
}

// passes gives how often a counted repeat is worked in all.
func (w *worker) passes(t notation.Target, size int) (int, bool) {
	n := max(0, t.N.For(size))
	switch t.Kind {
	case notation.TimesMore:
		return n + 1, true
	case notation.TimesTotal:
		return n, true
	case notation.TimesInAll:
		if w.reading&readTimes != 0 {
			return n, true
		}
		return n + 1, true
	}
	return 0, false
}

// list is how many of the last stitches of a comma list "twice" belongs to.
func (w *worker) list(o *notation.Again) int {
	if w.reading&readTwice == 0 {
		return 1
	}
	if w.last > 0 && w.last <= len(o.Body) {
		return w.last
	}
	return len(o.Body)
}
