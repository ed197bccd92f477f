package needle

import "rowproof/domain/notation"

func (r *run) execOnly(d *def, only []int, noCount bool) {
	was := d.row.Only
	if only != nil && was == nil {
		d.row.Only = only
		r.exec(d, noCount, nil)
		d.row.Only = was
		return
	}
	r.exec(d, noCount, nil)
}

func contains(s []int, v int) bool {
	for _, x := range s {
		if x == v {
			return true
		}
	}
	return false
}

// outcome is one lane after a row under one reading.
type outcome struct {
	l      *lane
	before Lin
	f      *failure
	stated *failure // the stated count differs
}

// try works the row on clones of the lanes under one reading.
func (r *run) try(d *def, lanes []*lane, rd reading, countIt bool) ([]outcome, bool) {
	r.w.reading = rd
	if rd&^readYF == rd && r.facts(d).ymoves {
		r.w.reading |= readYF
	}
	out := make([]outcome, len(lanes))
	ok := true
	for i, l := range lanes {
		if !r.w.spend(12 + len(l.left.group) + len(l.right.group)) {
			ok = false
			out[i] = outcome{l: l.clone(), before: l.total(), f: l.fail("too-much-work", d.row.Span, "working this takes too long; write fewer repeats")}
			continue
		}
		if !d.said { // once for a row, however often it is worked
			d.said, d.shifts, d.joins = true, (l.round || r.part.Round) && r.shiftsStart(d) || gussetRow(d.body), joins(d, r.section)
		}
		o := r.tryLane(d, l, d.joins, countIt)
		if d.joins && (o.f != nil || o.stated != nil) { // "knit 72 sts of front": of another piece, or of this one
			if other := r.tryLane(d, l, false, countIt); other.nearer(o, d.row.Stated) {
				o = other
			}
		}
		if o.f != nil || o.stated != nil {
			ok = false
		}
		out[i] = o
	}
	return out, ok
}

// tryLane works the row on a clone of a lane; joining says that stitches of other pieces come onto the needle. A row
// told by its needles, which does not come out between the markers that hang, is worked as if they hung elsewhere.
func (r *run) tryLane(d *def, l *lane, joining, countIt bool) outcome {
	o := r.tryHung(d, l, joining, countIt, false)
	if o.f != nil && r.facts(d).needles && !l.assumed && !l.left.tips() {
		if other := r.tryHung(d, l, joining, countIt, true); other.f == nil && other.stated == nil {
			return other
		}
	}
	return o
}

// tryHung is tryLane for the markers as they hang, or for any others.
func (r *run) tryHung(d *def, l *lane, joining, countIt, elsewhere bool) outcome {
	c := r.spareLane()
	c.copyFrom(l)
	if c.cols != nil {
		c.cols.events, r.eventRoom = r.eventRoom, nil
	}
	o := outcome{l: c, before: l.total()}
	c.began = o.before
	c.left_ = false
	if r.facts(d).dropAll { // dropped as the row comes to them
		c.note(Event{Kind: YarnOversDropped, In: c.prevYO.D})
		*c.left.top() = c.left.top().minus(c.prevYO)
		c.prevYO = Lin{}
	}
	c.shifts = (l.round || r.part.Round || gussetRow(d.body)) && d.shifts
	c.round = c.round || c.shifts // rows become rounds again
	c.asRow = l.round && l.short && len(d.row.Head.Numbers) > 0 && !d.row.Head.Round
	c.joining = joining
	if r.facts(d).needles {
		r.assumeNeedles(d, c, elsewhere)
	}
	o.f = r.w.ops(c, d.body)
	if o.f == nil {
		o.f = r.rowEnd(c, d)
	}
	if o.f == nil && countIt {
		o.stated = r.stated(c, o.before, d.row.Stated)
	}
	return o
}

// nearer says that an outcome is to be taken rather than another: it comes out, or nearer to the count stated.
func (o outcome) nearer(other outcome, stated []notation.Stated) bool {
	if o.f != nil || other.f != nil {
		return o.f == nil
	}
	off := func(o outcome) int {
		for _, s := range stated {
			if t := o.l.total(); s.Kind == notation.CountAll && t.C == 0 {
				return abs(t.D - s.N.For(o.l.size))
			}
		}
		return 0
	}
	return off(o) < off(other)
}

func abs(n int) int {
	if n < 0 {
		return -n
	}
	return n
}

// sidesOf sums the groups between the places where the row has bound off.
func sidesOf(s stack) []Lin {
	out := []Lin{s.group[0]}
	for i := 1; i < len(s.group); i++ {
		if s.bound[i]&parted != 0 {
			out = append(out, Lin{})
		}
		out[len(out)-1] = out[len(out)-1].plus(s.group[i])
	}
	return out
}

// exec works one row on all lanes that take part in it. again names the
// sentence that has the row worked another time.
func (r *run) exec(d *def, noCount bool, again *again) {
	r.kept = false
	var lanes []*lane
	for _, l := range r.lanes {
		if r.skips(d, l.size) {
			continue
		}
		lanes = append(lanes, l)
	}
	if !r.silent && !d.done {
		r.wrapsMade(d)
	}
	r.history = append(r.history, d)
	if len(lanes) == 0 {
		return
	}
	if len(d.body) == 0 && d.row.As == nil { // told already: a head without instructions
		for _, l := range lanes {
			r.unknown(d, l, indexOf(r.lanes, l))
		}
		return
	}
	countIt := !noCount && len(d.row.Stated) > 0 && (!d.done || d.last)
	if joins(d, r.section) {
		for _, l := range lanes {
			want, held, here, kept := 0, false, 0, 0 // kept: underarms that go to a holder on the way
			for _, o := range d.body {
				e := r.w.fixedOp(o, l.size)
				if e.ok {
					want += e.in
				}
				switch o := o.(type) {
				case *notation.Do:
					if o.From == "held" {
						held = true
						here += max(0, o.Times.For(l.size))
					}
				case *notation.Hold:
					here += max(0, o.N.For(l.size))
					if !e.ok {
						kept += max(0, o.N.For(l.size))
					}
				}
			}
			if t := l.total(); t.C == 0 && t.D > 0 && t.D == want+here {
				continue // what is on the needle is the body; only the sleeves come to it
			}
			if t := l.total(); t.C == 0 && (t.D < want || held && t.D != want) {
				l.left, l.right = newStack(K(want+kept)), newStack(Lin{}) // the pieces come together on one needle
				r.part.Final, r.closed = nil, false                       // and are worked on
			}
		}
	}
	r.sides(d, lanes, again)
	if bindsAll(d.body) {
		r.finish()
		r.closed = true
	}
	if !r.silent && again == nil {
		r.meetsGap(d, lanes)
	}
	base := reading(0)
	out, ok := r.try(d, lanes, base, countIt)
	amb := r.facts(d).amb
	if amb != 0 {
		out, ok = r.readings(d, lanes, out, ok, amb, countIt)
	}
	if !r.silent && !r.cols {
		r.yarns(d, lanes[0], again)
	}
	var bad, badCount []*lane
	var firstF, firstC *failure
	for i, o := range out {
		l := lanes[i]
		k := indexOf(r.lanes, l)
		if o.f != nil && o.f.code == "" { // not understood: what it does is not known
			r.unknown(d, l, k)
			continue
		}
		if o.f != nil && l.doubt != nil && !l.tainted {
			// perhaps the stated count was the right one
			alt := l.clone()
			alt.left, alt.right = newStack(*l.doubt), newStack(Lin{})
			if o2, ok2 := r.try(d, []*lane{alt}, r.w.reading, countIt); ok2 {
				o = o2[0]
				o.before = *l.doubt
			}
		}
		if r.silent && r.fail == nil && o.f != nil {
			r.failSizes(lanes[i:], out[i:])
			return
		}
		if o.f != nil {
			if !l.tainted {
				bad = append(bad, l)
				if firstF == nil {
					firstF = o.f
				}
			}
			r.resync(d, l, o, k)
			continue
		}
		before := o.before
		minBefore, inRounds := l.min, l.round
		*l, *o.l = *o.l, *l
		if inRounds && !l.round {
			l.side, r.sideKnown = "RS", true
		}
		if amb == 0 {
			r.spare = append(r.spare, o.l)
		}
		if l.min > minBefore {
			r.minRow, r.minWas = d, minBefore
		}
		l.doubt = nil
		if o.stated != nil {
			if !l.tainted {
				badCount = append(badCount, l)
				if firstC == nil {
					firstC = o.stated
				}
			}
			if o.stated.code == "stated-count-differs" {
				for _, s := range d.row.Stated {
					if s.Kind == notation.CountAll {
						v := K(s.N.For(l.size))
						l.doubt = &v
						if l.tainted && s.N.For(l.size) >= 0 { // what came before is not known: the count that is stated is
							l.left, l.right, l.doubt, l.tainted = newStack(v), newStack(Lin{}), nil, false
						}
					}
				}
			}
		}
		if countIt && o.stated == nil && statesAll(d.row.Stated) {
			l.tainted = false
		}
		if r.visit != nil && l.cols != nil {
			side := l.side
			if inRounds { // as it began; it may end in rows
				side = ""
			}
			r.visit(WorkedRow{Name: d.name, Line: d.row.Span.Line, Entry: d.entry, Side: side, Round: inRounds, Events: l.cols.events, Before: before.D, After: l.total().D, Slid: l.slid})
			l.cols.events, r.eventRoom = nil, l.cols.events[:0]
		}
		r.tellRow(d, l, before, true)
		r.record(d, l, k, before)
		if l.cols != nil {
			l.cols.fit(l.left.total().D, l.right.total().D)
		}
		l.endRow()
		l.started = true
	}
	if firstF != nil && !r.blameEarlier(d, bad, again) {
		r.raise(d, firstF, bad, again)
	}
	if firstC != nil {
		r.raise(d, firstC, badCount, again)
	}
	d.done = true
}

// failSizes keeps the failures of a row that is worked in silence, each with its size.
func (r *run) failSizes(lanes []*lane, out []outcome) {
	r.fail, r.failed = out[0].f, map[int]*failure{}
	for i, o := range out {
		if o.f != nil && o.f.code != "" {
			r.failed[lanes[i].size] = o.f
		}
	}
}

func statesAll(st []notation.Stated) bool {
	for _, s := range st {
		if s.Kind == notation.CountAll {
			return true
		}
	}
	return false
}
