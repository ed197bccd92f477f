package needle

import (
	"fmt"
	"regexp"
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

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

// tryLane works the row on a clone of a lane; joining says that stitches of other pieces come onto the needle.
func (r *run) tryLane(d *def, l *lane, joining, countIt bool) outcome {
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
		r.assumeNeedles(d, c)
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

// startMoved finds words that say that the round begins elsewhere from here on.
var startMoved = regexp.MustCompile(`new (?:beg|start|bor\b)|now beg|(?:beg|beginning|start) of (?:the |your |each |every |this |all )?r(?:ou)?nds?|r(?:ou)?nds? (?:now )?(?:begins?|starts?) (?:from |in |at )|(?:is|marks|becomes) (?:the )?(?:new )?bor\b|(?:begins?|beginning|starts?|starting) (?:now )?(?:here|at (?:the )?(?:cent|middle))`)

// shiftsStart: the row says that it moves the round's start.
func (r *run) shiftsStart(d *def) bool {
	for n := d.row.Span.Line; n <= d.row.Span.EndLine+1 && n >= 1 && n <= len(r.ms.Source); n++ {
		s := strings.ToLower(r.ms.Source[n-1])
		if n > d.row.Span.EndLine && !strings.HasPrefix(s, "the r") && !strings.HasPrefix(s, "this is") && !strings.HasPrefix(s, "rounds ") && !strings.HasPrefix(s, "rnds ") {
			break // a sentence on a line of its own may say so
		}
		if startMoved.MatchString(s) {
			return true
		}
	}
	return false
}

// ymoves: yf beside slips only moves the yarn.
func (r *run) ymoves(d *def) bool {
	yf, slip, yb := false, false, false
	notation.Each(d.body, func(o notation.Op) {
		if do, ok := o.(*notation.Do); ok {
			switch {
			case do.Key == "yf":
				yf = true
			case do.Key == "yb":
				yb = true
			case strings.HasPrefix(do.Key, "sl"):
				slip = true
			}
		}
	})
	return yf && (yb && slip)
}

// rowEnd checks that the row has used its stitches up.
func (r *run) rowEnd(l *lane, d *def) *failure {
	at := d.row.Span
	if n := len(d.body); n > 0 {
		at = notation.SpanOf(d.body[n-1])
	}
	if len(l.cable) > 0 {
		return l.fail("cable-needle-full", at, "%s left on the cable needle at the end of the row", sts(l.cable[0]))
	}
	left := l.left.total()
	if l.left_ || left.zero() {
		return nil
	}
	if l.shifts && !l.right.total().zero() && left.C == 0 && left.D > 0 {
		return nil
	}
	if l.round && l.short && l.toEnd().zero() {
		return nil
	}
	if r.heelWaits(l, d, left) {
		return nil
	}
	if left.C == 0 && left.D < 0 {
		return l.fail("runs-out-of-stitches", at, "more dropped than is on the needle")
	}
	f := l.fail("stitches-left-over", at, "%s left over at the end of the row", sts(left))
	f.missing = left.D
	if left.C != 0 {
		if left.C > 0 || left.D%left.C != 0 {
			f.smallest = max(1, l.min)
			if left.At(f.smallest) == 0 {
				f.smallest++
			}
		}
		f.msg = fmt.Sprintf("%s left over at the end of the row", sts(left))
	}
	return f
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
	countIt := !noCount && len(d.row.Stated) > 0 && !d.done
	if joins(d, r.section) {
		for _, l := range lanes {
			want, held, here := 0, false, 0
			for _, o := range d.body {
				if e := r.w.fixedOp(o, l.size); e.ok {
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
				}
			}
			if t := l.total(); t.C == 0 && t.D > 0 && t.D == want+here {
				continue // what is on the needle is the body; only the sleeves come to it
			}
			if t := l.total(); t.C == 0 && (t.D < want || held && t.D != want) {
				l.left, l.right = newStack(K(want)), newStack(Lin{}) // the pieces come together on one needle
				r.part.Final, r.closed = nil, false                  // and are worked on
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
		if r.silent && r.fail == nil && (o.f != nil) {
			r.fail = o.f
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

// joins: a row that brings pieces together on one needle.
func joins(d *def, section string) bool {
	return saysJoin(d.row.Head.Words) || d.number == 0 && saysJoin(section)
}

func saysJoin(s string) bool {
	return strings.Contains(s, "oin") && strings.Contains(strings.ToLower(s), "join") || strings.Contains(s, "JOIN")
}

// bindsAll: a row that does nothing but bind off.
func bindsAll(body []notation.Op) bool {
	n := 0
	for _, o := range body {
		switch o.(type) {
		case *notation.BindOff:
			n++
		case *notation.Remark, *notation.UseYarn, *notation.Join:
		default:
			return false
		}
	}
	return n > 0
}

func statesAll(st []notation.Stated) bool {
	for _, s := range st {
		if s.Kind == notation.CountAll {
			return true
		}
	}
	return false
}

func indexOf(ls []*lane, l *lane) int {
	for i := range ls {
		if ls[i] == l {
			return i
		}
	}
	return 0
}

func (r *run) record(d *def, l *lane, k int, before Lin) {
	e := d.entry
	t := l.total()
	e.Times[k]++
	c := Count{t.D, t.C == 0}
	if l.tainted && l.dead {
		c.Known = false
	}
	if d.before == nil {
		d.before, d.after = make([]Lin, len(r.lanes)), make([]Lin, len(r.lanes))
	}
	if e.Times[k] == 1 {
		d.before[k], d.after[k] = before, t
		e.First[k] = c
		e.Before[k] = Count{before.D, before.C == 0}
		if t.C != 0 && k == 0 {
			lin := t
			e.Lin = &lin
		} else if k == 0 && r.asideMul {
			lin := t
			e.Lin = &lin
		}
		e.Side[k] = l.side
	}
	e.Last[k] = c
	if l.held.C == 0 && l.held.D > 0 {
		if e.Held == nil {
			e.Held = make([]int, len(r.lanes))
		}
		e.Held[k] = l.held.D
	}
	l.rows++
	if d.at == nil {
		d.at = make([]int, len(r.lanes))
	}
	d.at[k] = l.rows
	l.closedOff = false
	if n := len(d.body); n > 0 {
		_, l.closedOff = d.body[n-1].(*notation.BindOff)
	}
	if n := len(d.body); n > 0 && r.part.Round && !l.round && d.row.Head.Side != "" {
		if _, holds := d.body[n-1].(*notation.Hold); holds { // the round has become rows in this one, and its head names its side
			l.side = d.row.Head.Side
		}
	}
	r.flip(l)
}

// resync goes on after a row that cannot be worked: with its stated count, or
// with the count there was before.
func (r *run) resync(d *def, l *lane, o outcome, k int) {
	r.tellRow(d, l, o.before, false)
	n := o.before
	l.tainted = true
	for _, s := range d.row.Stated {
		if s.Kind == notation.CountAll && s.N.For(l.size) >= 0 {
			n = K(s.N.For(l.size))
			l.tainted = false
		}
	}
	l.left, l.right = newStack(n), newStack(Lin{})
	if l.cols != nil {
		l.cols.fit(n.D, 0)
	}
	l.cable = nil
	l.markless = true
	e := d.entry
	e.Times[k]++
	if e.Times[k] == 1 {
		e.First[k], e.Before[k], e.Side[k] = Count{}, Count{o.before.D, o.before.C == 0}, l.side
	}
	e.Last[k] = Count{}
	l.rows++
	r.flip(l)
	l.started = true
	l.short = false
}

func (r *run) unknown(d *def, l *lane, k int) {
	l.tainted = true
	o := outcome{before: l.total()}
	r.resync(d, l, o, k)
	if r.silent && r.fail == nil {
		r.fail = &failure{code: "row-not-understood"}
	}
}

// raise makes a finding of a failure.
func (r *run) raise(d *def, f *failure, ls []*lane, again *again) {
	msg := r.atSizes(ls, f.msg)
	at := f.at
	if at.Line < d.row.Span.Line || at.Line > d.row.Span.EndLine {
		at = d.row.Span
	}
	name := d.name
	code := f.code
	if again != nil && d.done && f.code != "stated-count-differs" && f.code != "too-few-rows-under-drop" {
		code, at, name = "rows-do-not-join", again.at, again.words
		msg = fmt.Sprintf("row %s, worked again, does not fit: %s", d.name, msg)
	}
	r.add(finding.Finding{Code: code, Span: at, Row: name, Sizes: r.sizesOf(ls), Message: msg})
}

// again is the sentence that has rows worked another time.
type again struct {
	at    finding.Span
	words string
	rows  int // in one pass
}
