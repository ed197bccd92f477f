package fabric

import (
	"fmt"
	"slices"

	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

// crossing is a crossing under way, from the first loops that go to the cable
// needle to the last that are worked off it.
type crossing struct {
	from  int  // index in works
	in    []ID // loops in needle order, those held first
	held  [][]ID
	sides []string
}

func (b *builder) openCrossing(in []ID, side string) {
	if b.cross == nil {
		b.cross = &crossing{from: len(b.works)}
	}
	c := b.cross
	c.held, c.sides = append(c.held, in), append(c.sides, side)
	b.cn = append(slices.Clone(in), b.cn...) // last in, first worked
}

// crossed closes the crossing when the cable needle is empty.
func (b *builder) crossed() error {
	if b.cross != nil && len(b.cn) == 0 {
		b.closeCrossing()
	}
	return nil
}

func (b *builder) closeCrossing() {
	c := b.cross
	b.cross = nil
	if c == nil || c.from >= len(b.works) {
		return
	}
	w := Work{Kind: Cross, Key: "cross", Row: b.at, Yarn: b.yarn, Lean: 'r'}
	if c.sides[0] == "front" {
		w.Lean = 'l'
	}
	on := map[ID]string{}
	for i, ids := range c.held {
		for _, id := range ids {
			on[id] = c.sides[i]
		}
	}
	w.Sides = len(c.held) > 1
	var first, rest []ID
	for _, x := range b.works[c.from:] {
		for k, id := range x.Out {
			place := Behind
			if w.Lean == 'r' {
				place = InFront
			}
			if len(x.In) > 0 {
				if side, ok := on[x.In[min(k, len(x.In)-1)]]; ok {
					place = Behind
					if side == "front" {
						place = InFront
					}
				}
			}
			if b.ws { // the front of the wrong side lies behind
				place = 3 - place
			}
			b.f.Loops[id].Cross = place
			w.Out = append(w.Out, id)
		}
		for _, id := range x.In {
			if _, ok := on[id]; ok {
				first = append(first, id)
			} else {
				rest = append(rest, id)
			}
		}
	}
	w.In = append(first, rest...)
	b.works = append(b.works[:c.from], w)
}

// cable works a crossing that goes by a name. The numbers of a name with two or
// three parts are those of the front loops, (the middle ones,) and the back ones.
func (b *builder) cable(e *needle.Event, w Work) error {
	n := len(w.In)
	w.Kind = Cross
	if w.Lean == 0 {
		w.Lean = 'r'
	}
	front, mid, back := (n+1)/2, 0, n/2
	switch p := e.Params; {
	case len(p) == 3:
		front, mid, back = p[0], p[1], p[2]
	case len(p) == 2:
		front, back = p[0], p[1]
	}
	if front+mid+back != n {
		return fmt.Errorf("%s over %d loops", e.Key, n)
	}
	// in the order of the needle: one that leans left has its front loops first
	order := make([]int, 0, n)
	span := func(from, k int) {
		for i := 0; i < k; i++ {
			order = append(order, from+i)
		}
	}
	place := make([]Place, n)
	a, z := front, back
	if w.Lean == 'r' {
		a, z = back, front
	}
	span(n-z, z)
	span(a, mid)
	span(0, a)
	for i := range place {
		switch isFirst := i < a; {
		case i >= a && i < n-z:
			place[i] = Straight
		case isFirst == (w.Lean == 'l'):
			place[i] = InFront
		default:
			place[i] = Behind
		}
	}
	w.Sides = mid > 0
	purlBack := len(e.Key) > 2 && (e.Key[:2] == "t-" || e.Key[len(e.Key)-2:] == "pc" || e.Key[len(e.Key)-2:] == "pt")
	w.Out = b.room(n)
	b.strand = 0
	for _, i := range order {
		p := place[i]
		purl := purlBack && p == Behind
		if b.ws && p != Straight {
			p = 3 - p
		}
		id := b.loop(Loop{Face: b.face(purl), Cross: p}, w.In[i:i+1:i+1])
		w.Out = append(w.Out, id)
		b.right = append(b.right, id)
	}
	b.add(w)
	return nil
}

// own works a designer's stitch by its body where that is plain enough, else as
// a whole; either way it stays one working.
func (b *builder) own(e *needle.Event) error {
	s := b.ms.Own[e.Key]
	w := Work{Key: e.Key, Kind: Own}
	if s != nil && b.depth < 4 {
		if es, in, out, ok := b.unfold(s.Body, 0); ok && in == e.In && out == e.Out && e.From == "" && len(es) > 0 {
			from, left := len(b.works), len(b.left)
			b.depth++
			for i := range es {
				if err := b.event(&es[i]); err != nil {
					b.depth--
					return fmt.Errorf("%s: %w", s.Name, err)
				}
			}
			b.depth--
			b.closeCrossing()
			b.joinOwn(from, left-len(b.left), w)
			return nil
		}
	}
	in, err := b.taken(e)
	if err != nil {
		return err
	}
	w.In, w.Out = in, b.room(e.Out)
	if e.In == 1 && e.Out == 1 {
		w.Kind = Bobble
	}
	for k := 0; k < e.Out; k++ {
		id := b.loop(Loop{Face: b.face(false)}, in)
		w.Out = append(w.Out, id)
		b.right = append(b.right, id)
	}
	b.strand = 0
	b.add(w)
	return b.crossed()
}

// joinOwn makes one working of all since from.
func (b *builder) joinOwn(from, taken int, w Work) {
	b.works = append(b.works[:from], b.settle(b.works[from:])...)
	if len(b.works) <= from {
		return
	}
	if len(b.works) == from+1 {
		x := &b.works[from]
		x.Key = w.Key
		if x.Kind == Plain {
			x.Kind = Own
		}
		return
	}
	w.Row, w.Yarn = b.at, b.works[from].Yarn
	for _, x := range b.works[from:] {
		w.In, w.Out = append(w.In, x.In...), append(w.Out, x.Out...)
	}
	b.works = append(b.works[:from], w)
}

// unfold writes a body of fixed stitches as events.
func (b *builder) unfold(body []notation.Op, depth int) (es []needle.Event, in, out int, ok bool) {
	if depth > 4 {
		return nil, 0, 0, false
	}
	for _, o := range body {
		switch o := o.(type) {
		case *notation.Do:
			s := b.ms.Own[o.Key]
			if s == nil {
				s = notation.Standard().Stitch(o.Key)
			}
			if s == nil || s.Class == notation.Own || s.In == "" || s.HasAlt {
				return nil, 0, 0, false
			}
			i, u := s.Counts(o.Params)
			n := max(0, o.Times.For(0))
			if o.From == "cn" && !o.Times.Given() {
				n = 0
				for _, x := range es {
					if x.Kind == needle.ToCableNeedle {
						n += x.In
					} else if x.From == "cn" {
						n -= x.In
					}
				}
			}
			for ; n > 0 && len(es) < 64; n-- {
				es = append(es, needle.Event{Kind: needle.Worked, Key: o.Key, Class: s.Class, Lean: s.Lean, Params: o.Params, In: i, Out: u, From: o.From, Wraps: o.Wraps})
				if o.From == "" {
					in += i
				}
				out += u
			}
		case *notation.Group:
			for n := o.Times.For(0); n > 0 && len(es) < 64; n-- {
				e, i, u, k := b.unfold(o.Body, depth+1)
				if !k {
					return nil, 0, 0, false
				}
				es, in, out = append(es, e...), in+i, out+u
			}
		case *notation.Into:
			e, _, u, k := b.unfold(o.Body, depth+1)
			if !k {
				return nil, 0, 0, false
			}
			for n := max(0, o.Times.For(0)); n > 0 && len(es) < 64; n-- {
				es = append(es, needle.Event{Kind: needle.Worked, Class: notation.Inc, Place: true, In: max(1, o.Sts.For(0)), Out: u, Into: e})
				in, out = in+max(1, o.Sts.For(0)), out+u
			}
		case *notation.ToCable:
			n := max(0, o.N.For(0))
			es = append(es, needle.Event{Kind: needle.ToCableNeedle, In: n, Side: o.Side})
			in += n
		case *notation.UseYarn:
			es = append(es, needle.Event{Kind: needle.YarnChanged, Yarn: o.Yarn})
		case *notation.Remark, *notation.Join:
		default:
			return nil, 0, 0, false
		}
	}
	return es, in, out, true
}
