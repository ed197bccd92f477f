package needle

import (
	"rowproof/domain/finding"
	"rowproof/domain/notation"
	"slices"
)

// Readings of what the trade writes in two ways; a set bit takes the second.
type reading uint16

const (
	readTimes reading = 1 << iota // rep from * 3 times: in all (set), or more
	readTwice                     // k1, p1 twice: the whole list (set), or the last
	readInc                       // inc 1: a new stitch (set), or one made two
	readYF                        // yf: moves the yarn (set), or makes a stitch
	readBO                        // the stitch left by binding off is not in the next number (set)
	readRest                      // to end, with more behind: as far as that leaves room (set)
	readEnd                       // a repeat's ending: after whole repeats (set), or cutting the last short
	readIdiom                     // no reading: "twice" stands behind a stitch that is commonly worked so
	readAlt                       // other in/out of the vocabulary (set)
)

// maxPasses bounds a repeat that must be worked pass by pass.
const maxPasses = 100000

// effect is what a list of ops takes and makes when its numbers are fixed.
type effect struct {
	in, out, yos int
	gaps         int // bind-offs within
	ok           bool
}

// worker works rows on a lane.
type worker struct {
	ms       *notation.Manuscript
	reading  reading
	budget   *int // steps left for the whole check
	own      map[string]effect
	patts    func(name, row string, n, size int) (out int, ok bool)
	pattRows pattRows // for tracing
	// pattWidth is how many stitches a row of a pattern takes, where that is fixed.
	pattWidth func(name, row string, size int) (n int, ok bool)
	within    int  // patterns worked within patterns, when tracing
	loops     bool // repeats within rows are noted, for a Watch
	last      int  // with readTwice: how many stitches of the list; 0 = all
}

// maxStitches is the most stitches one row may hold.
const maxStitches = 1_000_000

func (w *worker) spend(n int) bool {
	*w.budget -= n
	return *w.budget > 0
}

// ops works a list of ops on l.
func (w *worker) ops(l *lane, ops []notation.Op) *failure {
	for i, o := range ops {
		if !w.spend(1) {
			return l.fail("too-much-work", notation.SpanOf(o), "working this takes too long; write fewer repeats")
		}
		if l.pendingBO {
			if needsStitch(o) {
				l.pendingBO = false
				if f := l.take(K(1), notation.SpanOf(o)); f != nil {
					return f
				}
				l.put(K(1))
				if l.cols != nil {
					l.note(plain)
				}
			}
		}
		if f := w.op(l, o, ops[i+1:]); f != nil {
			return f
		}
		switch o.(type) {
		case *notation.Turn, *notation.CastOn, *notation.UseYarn, *notation.Remark, *notation.Hold:
		default:
			l.turned = false
		}
	}
	return nil
}

// worksOn says that an instruction works stitches.
func worksOn(o notation.Op) bool {
	switch o.(type) {
	case *notation.Do, *notation.Until, *notation.Repeat, *notation.Group:
		return true
	}
	return false
}

func needsStitch(o notation.Op) bool {
	switch o.(type) {
	case *notation.UseYarn, *notation.Remark, *notation.Mark, *notation.Join, *notation.BindOff:
		return false
	}
	return true
}

func (w *worker) apply(l *lane, e effect, times Lin, at finding.Span) *failure {
	if f := l.across(e.in, e.out, times, at); f != nil {
		return f
	}
	l.yos = l.yos.plus(times.times(e.yos))
	l.gaps = l.gaps.plus(times.times(e.gaps))
	if t := l.right.top(); t.D > maxStitches || t.C > maxStitches {
		return l.fail("too-many-stitches", at, "more than %d stitches in a row", maxStitches)
	}
	if t := l.right.total(); t.C == 0 && t.D < 0 {
		return l.fail("runs-out-of-stitches", at, "nothing on the right needle to pass a stitch over")
	}
	return nil
}

func (w *worker) op(l *lane, o notation.Op, after []notation.Op) *failure {
	at := notation.SpanOf(o)
	switch o := o.(type) {
	case *notation.Do:
		if o.From == "held" {
			x := *o
			x.From = ""
			if !o.Times.Given() { // "k the instep sts": all that wait
				if l.held.C != 0 || l.held.D <= 0 {
					return l.fail("row-not-understood", at, "how many stitches these are is not told here; none are on hold")
				}
				x.From, x.Times = "holder", notation.N(l.held.D)
				return w.op(l, &x, after)
			}
			in, _, _ := w.counts(o)
			want := in * max(0, o.Times.For(l.size))
			if t := l.left.total(); t.C == 0 && (t.D < want || l.joining) { // they wait on a holder, or come from another piece
				x.From = "holder"
			}
			return w.op(l, &x, after)
		}
		if o.From != "" {
			return w.from(l, o)
		}
		if w.unexplained(o) {
			return l.fail("", at, "") // told by the checks; what it does is not known
		}
		if l.cols != nil {
			return w.loopByLoop(l, o)
		}
		return w.apply(l, w.fixedOp(o, l.size), K(1), at)
	case *notation.Group:
		if w.loops {
			w.noteLoop(l, o, K(max(0, o.Times.For(l.size))), w.fixed(o.Body, l.size).in)
		}
		return w.times(l, o.Body, max(0, o.Times.For(l.size)), at)
	case *notation.Again:
		n := max(0, o.Times.For(l.size))
		cut := len(o.Body) - w.list(o)
		if f := w.ops(l, o.Body[:cut]); f != nil {
			return f
		}
		return w.times(l, o.Body[cut:], n, at)
	case *notation.Into:
		e := w.into(o, l.size)
		if !e.ok {
			return w.ops(l, o.Body)
		}
		if l.cols != nil {
			for k := max(0, o.Times.For(l.size)); k > 0; k-- {
				l.note(Event{Kind: Worked, Class: notation.Inc, Place: true, In: max(1, o.Sts.For(l.size)), Out: e.out / max(1, o.Times.For(l.size)), Into: w.eventsOf(o.Body, l.size)})
				l.cols.work(notation.Inc, e.in/max(1, o.Times.For(l.size)), e.out/max(1, o.Times.For(l.size)))
			}
		}
		return w.apply(l, e, K(1), at)
	case *notation.Until:
		return w.until(l, o, o.Body, o.To, at, after, nil)
	case *notation.Repeat:
		if n, ok := w.passes(o.To, l.size); ok {
			if w.loops {
				w.noteLoop(l, o, K(n), w.fixed(o.Body, l.size).in)
			}
			if o.Last != nil {
				if f := w.times(l, o.Body, max(0, n-1), at); f != nil {
					return f
				}
				return w.ops(l, w.lastPass(o, l.size))
			}
			return w.times(l, o.Body, n, at)
		}
		return w.until(l, o, o.Body, o.To, at, after, o)
	case *notation.Spread:
		return w.spread(l, o)
	case *notation.Turn:
		if castOnBehind(l, after) {
			return nil // "k to end, turn, cast on 4 sts, turn": the four stand at the end of the row
		}
		if !w.spend(4 * (len(l.left.group) + len(l.right.group))) { // a turn goes through all of them
			return l.fail("too-much-work", at, "working this takes too long; write fewer turns")
		}
		l.note(Event{Kind: Turned})
		l.turn(true)
		l.turned, l.everTurned = true, true
		l.turns++
		if len(after) == 0 || onlyTalk(after) || onlyCastOn(after) {
			l.left_ = true
		}
	case *notation.Mark:
		if o.Do == "needle" {
			return w.nextNeedle(l, o)
		}
		l.note(Event{Kind: Marker, Key: o.Do})
		return w.mark(l, o)
	case *notation.BindOff:
		if o.All {
			for n := l.left.total().D; n > 0 && l.cols != nil && l.cols.record; n-- {
				l.note(Event{Kind: BoundOff, In: 1})
			}
			l.left = newStack(Lin{})
			return nil
		}
		n := max(0, o.N.For(l.size))
		if f := l.take(K(n), at); f != nil {
			return f
		}
		l.gaps = l.gaps.plus(K(1))
		if l.cols != nil {
			for k := 0; k < n && l.cols.record; k++ {
				l.note(Event{Kind: BoundOff, In: 1})
			}
			l.cols.work(notation.Dec, n, 0)
		}
		if n > 0 && !l.right.total().zero() {
			l.right.push(parted)
		}
		if n > 0 && w.reading&readBO != 0 && len(after) > 0 {
			l.pendingBO = true
		}
	case *notation.CastOn:
		n := K(max(0, o.N.For(l.size)))
		if o.EachGap && l.prevGaps.C == 0 && l.prevGaps.D > 0 {
			n = n.times(l.prevGaps.D)
		}
		for k := 0; k < n.D && l.cols != nil && l.cols.record; k++ {
			l.note(Event{Kind: CastOnLoop, Out: 1})
		}
		if l.turned { // "turn, cast on 4, turn": onto the needle that was just filled
			*l.left.top() = l.left.top().plus(n)
			return nil
		}
		if l.cols != nil {
			l.cols.work(notation.Inc, 0, n.D)
		}
		l.put(n)
	case *notation.ToCable:
		n := K(max(0, o.N.For(l.size)))
		if f := l.take(n, at); f != nil {
			return f
		}
		l.note(Event{Kind: ToCableNeedle, In: n.D, Side: o.Side})
		l.cable = append(l.cable, n)
	case *notation.Hold:
		if l.turned { // "turn, leaving rem 40 sts on a holder"
			if v := o.N.For(l.size); l.round && l.right.total().zero() && o.N.Given() && v >= 0 {
				// in the round what was not worked lies at the far end of the left needle
				l.left.oneNeedle(v)
				if d := l.left.group[0].minus(K(v)); d.C == 0 && d.D >= 0 {
					l.left.group[0] = d
					l.hold(K(v))
					if d.D == 0 { // nothing unworked is left: what is on the needle goes on in rows
						l.left = newStack(l.left.total())
						l.round, l.short = false, false
					}
					return nil
				}
			}
			n := l.right.total()
			l.note(Event{Kind: Held, In: n.D})
			if o.N.Given() && n.C == 0 && n.D >= 0 {
				v := max(0, o.N.For(l.size))
				if v < n.D && len(after) > 0 {
					if _, more := after[0].(*notation.Hold); more { // the centre stitch on a pin, the others on a holder
						*l.right.top() = l.right.top().minus(K(v))
						l.hold(K(v))
						return nil
					}
				}
				if v != n.D {
					return l.fail("runs-out-of-stitches", at, "%s to go on the holder, %s left unworked", sts(K(v)), sts(n))
				}
			}
			l.right = newStack(Lin{})
			l.short = false
			l.hold(n)
			return nil
		}
		n := l.left.total()
		if o.ToMark {
			if len(l.left.group) > 1 && l.left.top().zero() {
				l.passMarker()
			}
			n = *l.left.top()
		} else if !o.All {
			n = K(max(0, o.N.For(l.size)))
		} else if o.N.Given() { // all but so many
			n = n.minus(K(max(0, o.N.For(l.size))))
		}
		if short := n.minus(l.left.total()); l.round && short.C == 0 && short.D > 0 && !l.left.total().zero() && l.right.group[0].D >= short.D {
			// the last 4 and the first 4 of the round
			l.right.group[0] = l.right.group[0].minus(short)
			l.hold(n)
			l.left = newStack(Lin{})
			if slices.ContainsFunc(after, worksOn) { // and on, a second time round
				l.left, l.right = l.right.reversed(), newStack(Lin{})
			}
			if c := l.cols; c != nil {
				c.left, c.right = nil, c.right[min(short.D, len(c.right)):]
			}
			return nil
		}
		if f := l.take(n, at); f != nil {
			if o.N.Given() && l.left.total().zero() {
				return nil
			}
			return f
		}
		l.note(Event{Kind: Held, In: n.D})
		l.hold(n)
		l.keepLot(n.D)
	case *notation.UseYarn:
		l.note(Event{Kind: YarnChanged, Yarn: o.Yarn})
	case *notation.Unhold:
		n := l.held
		if o.N.Given() {
			n = K(max(0, o.N.For(l.size)))
		}
		l.note(Event{Kind: Unheld, Out: n.D})
		l.held = clampHeld(l.held.minus(n))
		*l.left.top() = l.left.top().plus(n)
	case *notation.Return:
		n := l.right.total()
		if o.N.Given() {
			n = K(max(0, o.N.For(l.size)))
		}
		l.overTips(n)
		if d := l.right.top().minus(n); d.C == 0 && d.D < 0 {
			return l.fail("runs-out-of-stitches", at, "%s to be returned, %s on the right needle", sts(n), sts(l.right.total()))
		}
		l.note(Event{Kind: Returned, In: n.D})
		*l.right.top() = l.right.top().minus(n)
		*l.left.top() = l.left.top().plus(n)
	case *notation.Slide:
		l.slid = true
	case *notation.DropAll:
		*l.left.top() = l.left.top().minus(l.prevYO)
		l.prevYO = Lin{}
	case *notation.Leave:
		l.turn(true)
		l.left_ = true
	case *notation.PattOver:
		return w.pattOver(l, o)
	case *notation.Unknown:
		return l.fail("", at, "")
	}
	return nil
}

func (w *worker) mark(l *lane, o *notation.Mark) *failure {
	switch o.Do {
	case "place":
		l.markless = false
		l.right.push(marker)
	case "slip", "remove":
		for len(l.left.group) > 1 && l.left.top().zero() && l.left.bound[len(l.left.bound)-1]&marker == 0 {
			l.passMarker()
		}
		if len(l.left.group) > 1 && l.left.top().zero() {
			if o.Do == "slip" {
				l.passMarker()
			} else {
				l.left.pop()
			}
			return nil
		}
		// the marker lies just behind: slipped unawares, or it is the round's start
		if l.left.total().zero() || l.right.total().zero() {
			return nil
		}
		if k := len(l.right.group); k > 1 && l.right.top().zero() {
			if o.Do == "remove" {
				l.right.pop()
			}
			return nil
		}
		if len(l.left.group) == 1 {
			if len(l.right.group) == 1 && l.markless {
				return nil
			}
			if len(l.right.group) == 1 {
				return l.fail("marker-missing", o.Span, "no marker has been placed here")
			}
			return l.fail("marker-missing", o.Span, "no marker is left to come in this row")
		}
		return l.fail("marker-elsewhere", o.Span, "the next marker is %s further on", sts(*l.left.top()))
	}
	return nil
}

// times works body a fixed number of times.
// loopByLoop works a stitch one by one and passes each over the columns.
func (w *worker) loopByLoop(l *lane, o *notation.Do) *failure {
	in, out, _ := w.counts(o)
	class := notation.Class("")
	if s := w.stitch(o.Key); s != nil {
		class = s.Class
	}
	n := max(0, o.Times.For(l.size))
	e := w.fixedOp(o, l.size)
	if f := w.apply(l, effect{in: in, out: out, ok: true}, K(n), o.Span); f != nil {
		return f
	}
	l.yos = l.yos.plus(K(e.yos))
	for ; n > 0; n-- {
		if !w.spend(1) {
			return nil
		}
		w.noteStitch(l, o, in, out)
		age := l.cols.work(class, in, out)
		if class == notation.Below && !l.cols.record { // a trace shows what is worked, wrong as it may be
			if f := w.below(l, o, age); f != nil {
				return f
			}
		}
	}
	return nil
}

func (w *worker) times(l *lane, body []notation.Op, n int, at finding.Span) *failure {
	if e := w.fixed(body, l.size); e.ok && l.cols == nil {
		if e.in < 0 || n > 0 && (e.in > maxStitches*4/n || e.out > maxStitches*4/n) {
			return l.fail("too-many-stitches", at, "more than %d stitches in a row", maxStitches)
		}
		f := w.apply(l, e, K(n), at)
		if f != nil && e.in > 0 && f.code == "runs-out-of-stitches" {
			have := l.left.total()
			if have.C == 0 {
				f.msg = "the repeat of " + sts(K(e.in)) + " worked " + times(n) + " wants " + sts(K(e.in*n)) + ", " + sts(have) + " left on the needle"
			}
		}
		return f
	}
	for k := 0; k < n; k++ {
		if !w.spend(1) {
			return l.fail("too-much-work", at, "working this takes too long; write fewer repeats")
		}
		before := l.left.total()
		if byNeedle(body, true) {
			l.stepNeedle()
		}
		if f := w.ops(l, body); f != nil {
			return f
		}
		if k > maxPasses && before == l.left.total() {
			break
		}
	}
	return nil
}

func times(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return K(n).String() + " times"
}

// onlyCastOn says that stitches are cast on behind a turn and the row ends with them: "k39, turn
// and cast on 2", where 25 stitches wait.
func onlyCastOn(after []notation.Op) bool {
	_, ok := after[0].(*notation.CastOn)
	return ok && onlyTalk(after[1:])
}

// castOnBehind says that a turn at the end of a row is for stitches cast on there, and nothing else.
func castOnBehind(l *lane, after []notation.Op) bool {
	if len(after) == 0 || len(after) > 2 || !l.left.total().zero() || l.right.total().zero() {
		return false
	}
	if _, ok := after[0].(*notation.CastOn); !ok {
		return false
	}
	if len(after) == 2 {
		t, ok := after[1].(*notation.Turn)
		return ok && !t.Wrap
	}
	return true
}
