package fabric

import (
	"errors"
	"slices"
	"strings"

	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

var errRunsOut = errors.New("the loops on the needle run out")

// event works one event of the needle.
func (b *builder) event(e *needle.Event) error {
	switch e.Kind {
	case needle.Worked:
		return b.worked(e)
	case needle.BoundOff:
		for k := 0; k < e.In; k++ {
			in, err := b.take(1)
			if err != nil {
				return err
			}
			b.leave(in[0], BoundOff)
			b.add(Work{Kind: BindOffCell, Key: "bo", In: in})
		}
	case needle.CastOnLoop:
		for k := 0; k < e.Out; k++ {
			id := b.loop(Loop{Face: b.face(false)}, nil)
			b.add(Work{Kind: CastOn, Key: "co", Out: b.list(id)})
			if !b.turned {
				b.right = append(b.right, id)
				continue
			}
			// onto the needle that was just filled: each lies before the one cast on before it
			b.left = append(b.left, id)
			last := len(b.works) - 1
			b.works = slices.Insert(b.works[:last], 0, b.works[last])
		}
	case needle.ToCableNeedle:
		in, err := b.take(e.In)
		if err != nil {
			return err
		}
		b.openCrossing(in, e.Side)
	case needle.Held:
		if b.turned {
			b.hold(b.right)
			b.right = nil
			return nil
		}
		in, err := b.take(e.In)
		if err != nil {
			return err
		}
		b.hold(in)
		b.add(Work{Kind: Held, In: in})
	case needle.Unheld:
		b.pick(e.Out, false)
		var ids []ID
		for k := 0; k < e.Out; k++ {
			ids = append(ids, b.fromHeld())
		}
		b.left = append(b.left, reversed(ids)...)
	case needle.Returned:
		for k := 0; k < e.In; k++ {
			if len(b.right) == 0 {
				return errRunsOut
			}
			n := len(b.right) - 1
			b.left, b.right = append(b.left, b.right[n]), b.right[:n]
		}
	case needle.YarnChanged:
		b.useYarn(e.Yarn)
	case needle.YarnOversDropped:
		row := &b.f.Rows[b.at]
		b.left = slices.DeleteFunc(b.left, func(id ID) bool {
			l := &b.f.Loops[id]
			if l.work < 0 || l.Row < 0 || len(row.Dropped) >= e.In {
				return false
			}
			if l.Row == b.at-1 && b.f.Rows[l.Row].workOf(id).Kind == YarnOver {
				row.Dropped = append(row.Dropped, id)
				l.End, l.EndRow = Ravelled, b.at
				return true
			}
			return false
		})
	}
	return nil
}

// workOf finds the working of a finished row that left id on the needle.
func (r *Row) workOf(id ID) *Work {
	for i := range r.Works {
		if slices.Contains(r.Works[i].Out, id) {
			return &r.Works[i]
		}
	}
	return &Work{}
}

// take takes n loops off the left needle, in the order they lie.
func (b *builder) take(n int) ([]ID, error) {
	if n > len(b.left) && b.f.Round && len(b.left) == 0 { // the round's start is passed
		b.left, b.right = reversed(b.right), nil
		b.f.Rows[b.at].moved = true
	}
	if n > len(b.left) {
		return nil, errRunsOut
	}
	out := b.room(n)
	for k := 0; k < n; k++ {
		out = append(out, b.left[len(b.left)-1])
		b.left = b.left[:len(b.left)-1]
	}
	return out, nil
}

// room gives an empty list that n ids fit, out of the fabric's own store.
func (b *builder) room(n int) []ID {
	f := b.f
	if cap(f.ids)-len(f.ids) < n {
		f.ids = make([]ID, 0, max(4096, n)) // those that point into the old store keep it
	}
	at := len(f.ids)
	f.ids = f.ids[:at+n]
	return f.ids[at : at : at+n]
}

func (b *builder) list(ids ...ID) []ID { return append(b.room(len(ids)), ids...) }

func (b *builder) leave(id ID, how End) {
	l := &b.f.Loops[id]
	l.End, l.EndRow = how, b.at
}

// face is the face, seen from RS, of a loop worked now.
func (b *builder) face(purl bool) Face {
	if purl != b.ws {
		return Purl
	}
	return Knit
}

// loop makes a loop, drawn through parents (the top one first).
func (b *builder) loop(l Loop, parents []ID) ID {
	l.Row, l.Order, l.Yarn, l.par = b.at, b.order, b.yarn, parents
	l.work = 0
	b.order++
	id := b.fresh(l)
	for _, p := range parents {
		q := &b.f.Loops[p]
		if q.Child == None || q.End != Ravelled {
			q.Child = id
		}
		q.End, q.EndRow = Worked, b.at
	}
	return id
}

func (b *builder) add(w Work) {
	w.Row, w.Yarn = b.at, b.yarn
	b.works = append(b.works, w)
}

// purlKeys are stitches worked purlwise that the vocabulary's classes do not tell.
var purlKeys = map[string]bool{"ptog": true, "ptogtbl": true, "ssp": true, "sssp": true, "cddp": true, "p-below": true, "brp": true,
	"m1p": true, "m1lp": true, "m1rp": true, "pfb": true}

var twistKeys = map[string]bool{"ktbl": true, "ptbl": true, "m1l": true, "m1r": true, "m1lp": true, "m1rp": true, "m1": true, "m1p": true, "m1tbl": true,
	"ktogtbl": true, "ptogtbl": true}

// worked works one stitch.
func (b *builder) worked(e *needle.Event) error {
	if e.Key == "" && e.Place {
		return b.into(e)
	}
	if e.Class == notation.None {
		switch e.Key {
		case "wyib", "yb":
			b.strand = 'b'
		case "wyif", "yfront":
			b.strand = 'f'
		}
		return nil
	}
	if e.Class == notation.Over {
		return b.over(e)
	}
	if e.Key == "yf" && e.Out == 0 {
		b.strand = 'f'
		return nil
	}
	if e.Class == notation.Own {
		return b.own(e)
	}
	in, err := b.taken(e)
	if err != nil {
		return err
	}
	w := Work{Key: e.Key, In: in, Purl: e.Class == notation.Purl || purlKeys[e.Key], Twist: twistKeys[e.Key] || e.Key == "inc" && e.In == 0}
	if e.Lean != "" {
		w.Lean = e.Lean[0]
	}
	switch e.Class {
	case notation.Slip:
		return b.slip(e, w)
	case notation.Drop:
		for _, id := range in {
			b.ravel(id)
		}
		w.Kind = Drop
		b.add(w)
		return nil
	case notation.YO:
		for k := 0; k < e.Out; k++ {
			id := b.loop(Loop{Face: Knit}, nil)
			w.Kind, w.Out = YarnOver, b.list(id)
			b.right = append(b.right, id)
			b.add(w)
		}
		return nil
	case notation.Cable, notation.Twist:
		return b.cable(e, w)
	case notation.Patt:
		if len(in) == 1 {
			w.Purl = b.pattern(e.Key, in[0])
		}
	case notation.Below:
		return b.below(e, w)
	}
	b.strand = 0
	l := Loop{Face: b.face(w.Purl), Twist: false, Wraps: uint8(min(e.Wraps, 9))}
	w.N = max(0, e.Wraps)
	switch {
	case e.Key == "mb":
		w.Kind = Bobble
	case len(in) == 0:
		w.Kind = Make
		if e.Key == "lli" || e.Key == "rli" {
			w.Kind = Lift
		}
	case e.Out > len(in):
		w.Kind = Inc
	case e.Out < len(in):
		w.Kind = Dec
		if e.Key == "k2tog-narrow" || w.Lean == 0 {
			w.Lean = 'r'
		}
		in = onTop(in, w.Lean)
		if e.Key == "sk2p" && len(in) == 3 { // the first over a k2tog, whose second lies on top
			in = b.list(in[0], in[2], in[1])
		}
	case e.Out == 1:
		w.Kind = Plain
	default:
		w.Kind = Cluster
	}
	if w.Twist {
		for _, id := range in {
			b.f.Loops[id].Twist = true
		}
	}
	w.Out = b.room(e.Out)
	for k := 0; k < e.Out; k++ {
		if w.Kind == Inc && (e.Key == "kpk" && k == 1) {
			l.Face = b.face(true)
		} else {
			l.Face = b.face(w.Purl)
		}
		l.Twist = w.Kind == Make && w.Twist
		id := b.loop(l, in)
		w.Out = append(w.Out, id)
		b.right = append(b.right, id)
	}
	b.add(w)
	return b.crossed()
}

// onTop orders the loops of a decrease, the one that lies on top first: the
// last taken for one that leans right, the first for one that leans left, the
// middle one for a centred one.
func onTop(in []ID, lean byte) []ID {
	switch {
	case lean == 'r':
		return reversed(in)
	case lean == 'c' && len(in) == 3:
		return []ID{in[1], in[0], in[2]}
	}
	return in
}

// taken takes the loops of an event off the needle it says.
func (b *builder) taken(e *needle.Event) ([]ID, error) {
	switch e.From {
	case "cn":
		if len(b.cn) < e.In {
			return nil, errRunsOut
		}
		out := b.list(b.cn[:e.In]...)
		b.cn = b.cn[e.In:]
		return out, nil
	case "holder":
		if b.run <= 0 {
			b.nextRun()
		}
		out := b.room(e.In)
		for k := 0; k < e.In; k++ {
			out = append(out, b.fromHeld())
		}
		return out, nil
	}
	return b.take(e.In)
}

func (b *builder) slip(e *needle.Event, w Work) error {
	front := b.strand == 'f'
	switch {
	case strings.HasSuffix(e.Key, "wyif"):
		front = true
	case strings.HasSuffix(e.Key, "wyib"):
		front = false
	case b.strand == 0:
		front = b.ws // left on the wrong side, where nothing is said
	}
	w.Kind, w.Front, w.Out = Slip, front != b.ws, b.list(w.In...)
	if e.Key == "sl2tog" {
		w.Lean = 'c'
	}
	for _, id := range w.In {
		b.f.Loops[id].Slips++
		b.right = append(b.right, id)
	}
	b.add(w)
	w2 := &b.works[len(b.works)-1]
	if len(w.In) > 0 {
		w2.Yarn = b.f.Loops[w.In[0]].Yarn
	}
	return b.crossed()
}

// ravel lets a loop down its column, to the yarn over or increase it began with.
func (b *builder) ravel(id ID) {
	for id != None {
		l := &b.f.Loops[id]
		l.End, l.EndRow, l.Child = Ravelled, b.at, None
		ps := b.f.Parents(id)
		if len(ps) != 1 || b.f.Loops[ps[0]].Row < 0 {
			return
		}
		if q := &b.f.Loops[ps[0]]; q.Child != id {
			return // the loop below has another loop through it: an increase
		}
		id = ps[0]
	}
}

// below works into a loop further down the column: the n loops above it are let
// down, and the new loop is drawn through the one under them, n + 1 rows down.
func (b *builder) below(e *needle.Event, w Work) error {
	n := 1
	if len(e.Params) > 0 {
		n = e.Params[0]
	}
	if s := b.ms.Own[e.Key]; s != nil && len(e.Params) == 0 && len(s.Body) == 1 {
		if d, ok := s.Body[0].(*notation.Do); ok && len(d.Params) > 0 {
			n = d.Params[0]
			w.Purl = purlKeys[d.Key]
		}
	}
	c := Catch{Caught: w.In[0]}
	for k := 0; k < n && c.Caught != None; k++ {
		l := &b.f.Loops[c.Caught]
		c.Ladders = append(c.Ladders, c.Caught)
		ps := b.f.Parents(c.Caught)
		l.End, l.EndRow, l.Child = Ravelled, b.at, None
		if len(ps) == 1 {
			c.Caught = ps[0]
		} else {
			c.Caught = None
		}
	}
	var parents []ID
	if c.Caught != None {
		parents = b.list(c.Caught)
	}
	b.strand = 0
	c.Loop = b.loop(Loop{Face: b.face(w.Purl)}, parents)
	b.f.Catches = append(b.f.Catches, c)
	w.Kind, w.N, w.Out = Below, n, b.list(c.Loop)
	b.right = append(b.right, c.Loop)
	b.add(w)
	return nil
}

// into works a list of stitches into one place.
func (b *builder) into(e *needle.Event) error {
	in, err := b.take(e.In)
	if err != nil {
		return err
	}
	w := Work{Kind: Inc, Key: b.intoKey(e.Into), In: in, Out: b.room(e.Out)}
	switch {
	case e.Out == e.In && e.In == 1:
		w.Kind = Plain
	case e.Out == e.In:
		w.Kind = Cluster
	case e.Out < e.In:
		w.Kind = Dec
	}
	k := 0
	for i := 0; k < e.Out; i++ {
		l, n := Loop{Face: b.face(false)}, 1
		if i < len(e.Into) {
			s := &e.Into[i]
			purl := s.Class == notation.Purl || purlKeys[s.Key]
			l.Face, n = b.face(purl), max(0, s.Out)
			if s.Class == notation.YO {
				l.Face = Knit
			}
			if i == 0 {
				w.Purl = purl
			}
		}
		for ; n > 0 && k < e.Out; n-- {
			id := b.loop(l, in)
			w.Out = append(w.Out, id)
			b.right = append(b.right, id)
			k++
		}
	}
	b.strand = 0
	b.add(w)
	return nil
}

// intoKey is "into" with a letter for each stitch of the list: k and p, K and P
// through the back loop, y a yarn over; "into" alone where others are among them.
func (b *builder) intoKey(list []needle.Event) string {
	b.letters = append(b.letters[:0], "into "...)
	for i := range list {
		l, ok := intoLetters[list[i].Key]
		if !ok || list[i].Place {
			return "into"
		}
		b.letters = append(b.letters, l)
	}
	if k, ok := b.intoKeys[string(b.letters)]; ok {
		return k
	}
	if b.intoKeys == nil {
		b.intoKeys = map[string]string{}
	}
	k := string(b.letters)
	b.intoKeys[k] = k
	return k
}

var intoLetters = map[string]byte{"k": 'k', "p": 'p', "ktbl": 'K', "ptbl": 'P', "yo": 'y'}

// pattern says whether a stitch that goes on "in pattern" over id is purled: as
// the column stood two rows before, so that rib, garter and seed stitch go on as
// they are; as the loop appears where there is no such row.
func (b *builder) pattern(key string, id ID) bool {
	appears := b.f.FaceFrom(id, b.ws) == Purl
	switch key {
	case "garter":
		return false
	case "seed":
		if b.f.Loops[id].Row < 0 || len(b.f.Parents(id)) == 0 {
			return len(b.right)%2 == 1
		}
		return !appears
	case "as-set":
		return appears
	}
	if ps := b.f.Parents(id); len(ps) == 1 && b.f.Loops[ps[0]].Row >= 0 && b.f.Loops[id].Row >= 0 {
		return b.f.FaceFrom(ps[0], b.ws) == Purl
	}
	return appears
}
