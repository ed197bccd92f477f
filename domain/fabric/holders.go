package fabric

import (
	"slices"
	"strings"

	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

// This file keeps what waits on holders, and tells where a row joins pieces: what
// comes from another piece has no loops here, and is laid out as loops of untold
// origin.

// group is what was put on a holder at one time, in the order it lay as worked
// from the side at hand then.
type group struct {
	ids []ID
	ws  bool
	row int32
}

// hold puts loops on a holder, in the order they lay.
func (b *builder) hold(ids []ID) {
	if len(ids) == 0 {
		return
	}
	if n := len(b.held); n > 0 && b.held[n-1].row == b.at && b.held[n-1].ws == b.ws && len(b.works) > 0 && b.works[len(b.works)-1].Kind == Held {
		b.held[n-1].ids = append(b.held[n-1].ids, ids...) // told one by one
		return
	}
	b.held = append(b.held, group{ids: slices.Clone(ids), ws: b.ws, row: b.at})
}

// startRuns counts the loops that come from holders in each run of the row.
func (b *builder) startRuns(r needle.WorkedRow) {
	b.run, b.runs, b.joining = 0, b.runs[:0], false
	in := false
	for i := range r.Events {
		e := &r.Events[i]
		switch {
		case e.Kind == needle.Worked && e.From == "holder":
			if !in {
				b.runs = append(b.runs, 0)
			}
			in = true
			b.runs[len(b.runs)-1] += e.In
		case e.Kind == needle.Worked && e.Class != notation.None || e.Kind == needle.Held || e.Kind == needle.Marker:
			in = false
		}
	}
	if len(b.runs) > 0 {
		b.joining = b.joins(r)
		b.f.Rows[b.at].moved = true
	}
}

// nextRun begins the next run of loops from a holder.
func (b *builder) nextRun() {
	n := 1
	if len(b.runs) > 0 {
		n, b.runs = b.runs[0], b.runs[1:]
	}
	b.pick(n, b.joining)
}

// pick chooses the holder that n loops come from: the last that holds as many,
// else the last there is. What a row has only just put aside is not what it
// works; and loops that join may be those of another piece.
func (b *builder) pick(n int, joins bool) {
	b.run, b.freshRun = n, false
	b.f.Rows[b.at].moved = true
	for i := len(b.held) - 1; i >= 0; i-- {
		if g := b.held[i]; len(g.ids) == n && (g.row != b.at || !joins) {
			b.held = append(slices.Delete(b.held, i, i+1), g)
			b.turnGroup(len(b.held) - 1)
			return
		}
	}
	if b.freshRun = joins; !joins && len(b.held) > 0 {
		b.turnGroup(len(b.held) - 1)
	}
}

// turnGroup turns a group to the side at hand.
func (b *builder) turnGroup(i int) {
	if g := &b.held[i]; g.ws != b.ws {
		g.ids, g.ws = reversed(g.ids), b.ws
	}
}

// fromHeld takes the next loop off a holder; one of untold origin where there is none.
func (b *builder) fromHeld() ID {
	b.run--
	if n := len(b.held); n > 0 && !b.freshRun {
		g := &b.held[n-1]
		id := g.ids[0]
		if g.ids = g.ids[1:]; len(g.ids) == 0 {
			if b.held = b.held[:n-1]; n > 1 {
				b.turnGroup(n - 2)
			}
		}
		return id
	}
	b.f.Rows[b.at].Untold = true
	return b.fresh(Loop{Row: b.at - 1, Yarn: b.yarn, work: -1})
}

// holdAcross puts aside what a round leaves unworked at its end and the first
// stitches behind it: "place the last 4 and the first 4 sts on a holder". Of
// these the needle tells only by the number that remains.
func (b *builder) holdAcross(after int) {
	over := len(b.left) + len(b.right) - after
	first := over - len(b.left)
	if over <= 0 || first < 0 || first > len(b.right) {
		return
	}
	ids := append(reversed(b.left), b.right[:first]...)
	b.left, b.right = nil, slices.Clone(b.right[first:])
	b.hold(ids)
	b.add(Work{Kind: Held, In: ids})
}

// holds says that a row of the text puts stitches on a holder.
func holds(r needle.WorkedRow) bool {
	if r.Entry == nil || r.Entry.Row == nil {
		return false
	}
	found := false
	notation.Each(r.Entry.Row.Body, func(o notation.Op) {
		_, is := o.(*notation.Hold)
		found = found || is
	})
	return found
}

// joins says that a row brings pieces together: by its name or by the head it stands under.
func (b *builder) joins(r needle.WorkedRow) bool {
	if saysJoin(r.Name) {
		return true
	}
	if r.Entry == nil || r.Entry.Number > 0 {
		return false
	}
	head := ""
	for _, it := range b.ms.Items {
		if h, ok := it.(*notation.Heading); ok && h.Line < r.Line {
			head = h.Text
		}
	}
	return saysJoin(head)
}

func saysJoin(s string) bool { return strings.Contains(strings.ToLower(s), "join") }

// wanted counts the loops that events take off the left needle, up to a turn.
func wanted(es []needle.Event) int {
	n := 0
	for i := range es {
		e := &es[i]
		switch e.Kind {
		case needle.Turned:
			return n
		case needle.Worked:
			if e.From == "" {
				n += e.In
			}
		case needle.BoundOff, needle.ToCableNeedle, needle.Held:
			n += e.In
		case needle.Returned:
			n -= e.In
		}
	}
	return n
}

// saysRow says that a head names a row, and no round.
func saysRow(s string) bool {
	s = strings.ToLower(s)
	return strings.Contains(s, "row") && !strings.Contains(s, "rnd") && !strings.Contains(s, "round")
}

// saysRound says that a row is a round by its words.
func saysRound(r needle.WorkedRow) bool {
	s := strings.ToLower(r.Name)
	return r.Entry != nil && r.Entry.Row != nil && r.Entry.Row.Head.Round || strings.Contains(s, "rnd") || strings.Contains(s, "round") || strings.Contains(s, "join")
}

// reorder gives loops that a row takes out of the order of their columns columns
// of their own, next to those that come before: where a round's start has moved,
// or pieces are joined. The most that lie in order keep theirs.
func (o *layout) reorder() {
	rank := make([]int32, len(o.col))
	k := int32(0)
	for c := o.after(0); c != 0; c = o.after(c) {
		k++
		rank[c] = k
	}
	// the longest rising row of ranks
	tails := make([]int, 0, len(o.stream)) // index of the last of the best of each length
	prev := make([]int, len(o.stream))
	for i, id := range o.stream {
		r := rank[o.cur[id]]
		if r == 0 {
			continue
		}
		at, _ := slices.BinarySearchFunc(tails, r, func(j int, r int32) int { return int(rank[o.cur[o.stream[j]]] - r) })
		if prev[i] = -1; at > 0 {
			prev[i] = tails[at-1]
		}
		if at == len(tails) {
			tails = append(tails, i)
		} else {
			tails[at] = i
		}
	}
	keep := make([]bool, len(o.stream))
	if n := len(tails); n > 0 {
		for i := tails[n-1]; i >= 0; i = prev[i] {
			keep[i] = true
		}
	}
	for i, id := range o.stream {
		if c := o.cur[id]; c != 0 && !keep[i] {
			o.col[c].live--
			o.cur[id] = 0
		}
	}
}
