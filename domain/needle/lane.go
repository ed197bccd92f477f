package needle

import (
	"fmt"

	"rowproof/domain/finding"
)

// flags of a boundary between two groups of stitches on a needle.
const (
	marker = 1 << iota
	roundStart
	gap    // of a short row
	parted // bound off in mid row: what lies on both sides is no longer joined
	tip    // of one needle of several, where the next begins
)

// stack is one needle: groups of stitches with boundaries between them. The
// last group lies at the needle's tip. bound[i] is the boundary between groups
// i-1 and i; bound[0] is unused.
type stack struct {
	group []Lin
	bound []uint8
}

func newStack(n Lin) stack { return stack{[]Lin{n}, []uint8{0}} }

func (s *stack) top() *Lin { return &s.group[len(s.group)-1] }

func (s *stack) push(b uint8) {
	s.group = append(s.group, Lin{})
	s.bound = append(s.bound, b)
}

func (s *stack) pop() (Lin, uint8) {
	k := len(s.group) - 1
	g, b := s.group[k], s.bound[k]
	s.group, s.bound = s.group[:k], s.bound[:k]
	return g, b
}

func (s stack) total() Lin {
	var t Lin
	for _, g := range s.group {
		t = t.plus(g)
	}
	return t
}

func (s stack) clone() stack {
	return stack{append([]Lin(nil), s.group...), append([]uint8(nil), s.bound...)}
}

// reversed turns the needle end for end.
func (s stack) reversed() stack {
	n := len(s.group)
	r := stack{make([]Lin, n), make([]uint8, n)}
	for i := range s.group {
		r.group[n-1-i] = s.group[i]
	}
	for i := 1; i < n; i++ {
		r.bound[n-i] = s.bound[i]
	}
	return r
}

// onto lays s upon base, the tips of both pointing the same way.
func (s stack) onto(base stack) stack {
	b := base.clone()
	*b.top() = b.top().plus(s.group[0])
	b.group = append(b.group, s.group[1:]...)
	b.bound = append(b.bound, s.bound[1:]...)
	return b
}

// lane is the knitting of one size, or of every multiple at once.
type lane struct {
	size        int
	left, right stack // left: to be worked, right: worked
	cable       []Lin // on the cable needle, last in last
	held        Lin   // on holders
	lastLot     int   // how many were put there last
	lot, lots   int   // how many stitches went to a holder each time, and how often; lots < 0 where they differ
	round       bool
	marked      bool // a marker hangs at the round's start
	short       bool // within short rows
	gaps        Lin  // bind-offs in this row
	prevGaps    Lin  // and in the one before
	yos, prevYO Lin  // loose loops made in this row and the one before
	wraps       bool
	min         int    // smallest n for which all so far can be worked; 0 for a size
	side        string // of the row to come: RS, WS, "" not known
	rows        int    // rows worked so far
	tainted     bool   // an error has been told; what follows from it is not told again
	parted      []Lin  // the two sides that the last row has parted by binding off between them
	markless    bool   // a row that was not worked may have hung markers; where they are is not known
	doubt       *Lin   // the stated count, where it differs from the worked one
	left_       bool   // the row was ended before its end
	turns       int    // turns within the row
	asRow       bool   // called a row, after a turn in a round: its end lies beyond the round's start
	shifts      bool   // the row goes on past the round's start and moves it
	slid        bool   // the work is pushed to the needle's other end, not turned
	began       Lin    // stitches when the row began
	aside       int    // the stated count of the row, where it is of a thumb between two turns; 0 where it is of all
	closedOff   bool   // the last row did nothing but bind off
	joining     bool   // other pieces come onto this needle in the row
	turned      bool   // turned in mid row a moment ago
	everTurned  bool   // turned in mid row in some row of the part
	pendingBO   bool   // reading: the stitch left by binding off is not named
	dead        bool   // nothing known any more
	started     bool
	assumed     bool     // how the stitches lie on the needles is not told; see assumeNeedles
	tipsLost    bool     // short rows have moved where a needle ends; it is laid anew
	enough      int      // smallest n with which no row runs short; min may be larger, for repeats that are not reached
	cols        *columns // loop by loop, where asked for; nil otherwise
	loops       []Loop   // of the row at hand, for a Watch
}

func newLane(size int, n Lin) *lane {
	l := &lane{size: size, left: newStack(n), right: newStack(Lin{})}
	if n.C != 0 {
		l.min = 1
	}
	return l
}

func (l *lane) clone() *lane {
	c := *l
	c.left, c.right = l.left.clone(), l.right.clone()
	c.cable = append([]Lin(nil), l.cable...)
	c.cols = l.cols.clone()
	return &c
}

// copyFrom makes l what o is, in the room l has already.
func (l *lane) copyFrom(o *lane) {
	left, right, cable := l.left, l.right, l.cable
	*l = *o
	l.left = stack{append(left.group[:0], o.left.group...), append(left.bound[:0], o.left.bound...)}
	l.right = stack{append(right.group[:0], o.right.group...), append(right.bound[:0], o.right.bound...)}
	l.cable = append(cable[:0], o.cable...)
	l.cols = o.cols.clone()
}

// keepLot notes that n stitches went to a holder by themselves.
func (l *lane) keepLot(n int) {
	switch {
	case l.lots == 0:
		l.lot, l.lots = n, 1
	case l.lots > 0 && l.lot == n:
		l.lots++
	default:
		l.lots = -1
	}
}

// hold puts stitches on a holder, beside those that wait already.
func (l *lane) hold(n Lin) {
	l.held = l.held.plus(n)
	if n.C == 0 && n.D > 0 {
		l.lastLot = n.D
	}
}

// oneLot is how many stitches a piece takes up that is begun from a holder: all that are held; or,
// of two sleeves alike, those of one.
func (l *lane) oneLot() int {
	if l.lots == 2 && l.held.C == 0 && l.held.D == 2*l.lot {
		return l.lot
	}
	return max(0, l.held.D)
}

// behindTurn is how many stitches a piece leaves unworked where it turned before them and was then closed.
func (l *lane) behindTurn() int {
	if t := l.total(); l.everTurned && l.closedOff && t.C == 0 {
		return max(0, t.D)
	}
	return 0
}

// total counts all live loops of the row, worked or not; holders apart.
func (l *lane) total() Lin {
	t := l.left.total().plus(l.right.total())
	for _, c := range l.cable {
		t = t.plus(c)
	}
	return t
}

// failure is why a row cannot be worked.
type failure struct {
	code     finding.Code
	at       finding.Span
	msg      string
	smallest int  // for multiples: smallest failing n; 0 where it fails for all
	missing  int  // stitches wanted and not there, or left over (positive); for ranking of mends
	refine   *ref // for the search of the multiple
}

// ref says: n must be ≡ rest (mod mod) for this row.
type ref struct{ mod, rest int }

func (l *lane) fail(code finding.Code, at finding.Span, format string, args ...any) *failure {
	return &failure{code: code, at: at, msg: fmt.Sprintf(format, args...)}
}

// atLeast makes sure that a ≥ 0, raising the smallest n where that helps. It
// reports false where no n, or no large n, serves.
func (l *lane) atLeast(a Lin) bool {
	switch {
	case a.C == 0:
		return a.D >= 0
	case a.C > 0:
		need := ceilDiv(-a.D, a.C)
		l.min, l.enough = max(l.min, need), max(l.enough, need)
		return true
	}
	return false
}

// reach makes sure that a ≥ 0 as atLeast does; below the smallest n the row
// still comes out, with a repeat that is not worked at all.
func (l *lane) reach(a Lin) bool {
	enough := l.enough
	ok := l.atLeast(a)
	l.enough = enough
	return ok
}

// take works n stitches off the left needle. Markers on the way are slipped.
func (l *lane) take(n Lin, at finding.Span) *failure {
	if n.zero() {
		return nil
	}
	avail := l.left.total()
	if l.shifts && avail.C == 0 && n.C == 0 && avail.D < n.D && n.D <= l.total().D {
		l.left = l.right.reversed().tipUp(l.left)
		l.right = newStack(Lin{})
		avail = l.left.total()
	}
	if !l.atLeast(avail.minus(n)) {
		f := l.fail("runs-out-of-stitches", at, "%s wanted here, %s left on the needle", sts(n), sts(avail))
		f.missing = n.minus(avail).D
		return f
	}
	for {
		top := l.left.top()
		if len(l.left.group) == 1 {
			*top = top.minus(n)
			return nil
		}
		rest := top.minus(n)
		if rest.C == 0 && rest.D >= 0 || rest.C > 0 && l.atLeast(rest) {
			*top = rest
			return nil
		}
		n = n.minus(*top)
		*top = Lin{}
		l.passMarker()
	}
}

// across works a thing that takes in and makes out so many times over, and
// leaves the markers that are passed where they hang.
func (l *lane) across(in, out int, times Lin, at finding.Span) *failure {
	for in > 0 && len(l.left.group) > 1 && !times.zero() {
		top := *l.left.top()
		if top.zero() {
			l.passMarker()
			continue
		}
		want := times.times(in)
		if d := top.minus(want); d.C == 0 && d.D >= 0 || d.C > 0 {
			break // all of it before the next marker
		}
		if !l.atLeast(l.left.total().minus(want)) {
			break // told below
		}
		if mod(top.C, in) == 0 && mod(top.D, in) == 0 {
			k := Lin{top.C / in, top.D / in}
			*l.left.top() = Lin{}
			l.put(k.times(out))
			times = times.minus(k)
			continue
		}
		if top.C != 0 || times.C != 0 {
			break
		}
		k := top.D / in
		l.put(K(k * out))
		rest := top.D - k*in
		*l.left.top() = Lin{}
		times = times.minus(K(k))
		if in == out { // one of them straddles the marker
			l.put(K(rest))
			for need := in - rest; need > 0; { // over as many markers as hang there
				l.passMarker()
				step := need
				if t := l.left.top(); t.C == 0 && len(l.left.group) > 1 {
					step = min(step, t.D)
				}
				if f := l.take(K(step), at); f != nil {
					return f
				}
				l.put(K(step))
				need -= step
			}
		} else {
			l.passMarker()
			if f := l.take(K(in-rest), at); f != nil {
				return f
			}
			l.put(K(out))
		}
		times = times.minus(K(1))
	}
	if f := l.take(times.times(in), at); f != nil {
		return f
	}
	l.put(times.times(out))
	return nil
}

// passMarker slips the boundary at the tip of the left needle.
func (l *lane) passMarker() {
	g, b := l.left.pop()
	if !g.zero() {
		*l.left.top() = l.left.top().plus(g)
	}
	if b&gap != 0 {
		b &^= gap
	}
	if b != 0 {
		l.right.push(b)
	}
}

func (l *lane) put(n Lin) { *l.right.top() = l.right.top().plus(n) }

// turn turns the work where it stands.
func (l *lane) turn(inRow bool) {
	if l.cols != nil {
		l.cols.left, l.cols.right = l.cols.right, l.cols.left
		defer func() { l.cols.fit(l.left.total().D, l.right.total().D) }()
	}
	if l.round && inRow {
		// what is not yet worked comes again behind the start of the round
		base := l.left.reversed()
		if len(base.group) > 0 && !base.total().zero() || !l.right.total().zero() {
			top := l.right.clone()
			base.push(roundStart)
			l.left = top.onto(base)
		}
		l.right = newStack(Lin{})
		l.right.push(gap)
		l.short = true
		return
	}
	l.left, l.right = l.right, l.left
	if inRow && !l.right.total().zero() {
		l.right.push(gap)
		l.short = true
	}
}

// endRow turns, or joins on, for the row that follows.
func (l *lane) endRow() {
	l.prevYO, l.yos = l.yos, Lin{}
	l.prevGaps, l.gaps = l.gaps, Lin{}
	l.parted = nil
	for _, s := range [...]stack{l.left, l.right} {
		if sides := sidesOf(s); len(sides) == 2 {
			l.parted = sides
		}
	}
	l.left.join(parted)
	l.right.join(parted)
	l.pendingBO = false
	l.turns, l.loops = 0, nil
	if l.left_ {
		l.left_ = false
		return // turned already
	}
	if l.slid && !l.round {
		l.slid = false
		if l.left.total().zero() {
			l.left = l.right.reversed()
			l.right = newStack(Lin{})
			if c := l.cols; c != nil {
				c.left, c.right = c.right, nil
				for i, j := 0, len(c.left)-1; i < j; i, j = i+1, j-1 {
					c.left[i], c.left[j] = c.left[j], c.left[i]
				}
			}
			return
		}
	}
	if l.round {
		if c := l.cols; c != nil {
			for i, j := 0, len(c.right)-1; i < j; i, j = i+1, j-1 {
				c.right[i], c.right[j] = c.right[j], c.right[i]
			}
			c.left, c.right = c.right, nil
			defer func() { c.fit(l.left.total().D, 0) }()
		}
		l.left = l.right.reversed().tipUp(l.left)
		l.right = newStack(Lin{})
		if l.shifts && len(l.left.group) > 1 && l.left.top().zero() {
			l.left.pop() // its marker is the round's start from now on
		}
		l.short = false
		l.dropGaps()
		return
	}
	l.turn(!l.left.total().zero())
	if l.right.total().zero() {
		l.right = newStack(Lin{})
		l.short = false
	}
}

// tipUp lays what was not worked in the round (before its start) back in order.
func (s stack) tipUp(rest stack) stack {
	if rest.total().zero() {
		return s
	}
	return rest.onto(s)
}

// join takes away the boundaries that are nothing but the given kind.
func (s *stack) join(kind uint8) {
	for i := len(s.group) - 1; i > 0; i-- {
		if s.bound[i] == kind {
			s.group[i-1] = s.group[i-1].plus(s.group[i])
			s.group = append(s.group[:i], s.group[i+1:]...)
			s.bound = append(s.bound[:i], s.bound[i+1:]...)
		}
	}
}

// overTips makes n worked stitches one group where the tips of needles part them, so that they may go back.
func (l *lane) overTips(n Lin) {
	s := &l.right
	for k := len(s.group) - 1; k > 0 && s.bound[k] == tip; k = len(s.group) - 1 {
		if d := s.top().minus(n); d.C != 0 || d.D >= 0 {
			return
		}
		g, _ := s.pop()
		*s.top() = s.top().plus(g)
	}
}

func (l *lane) dropGaps() {
	tips := false
	for _, b := range l.left.bound {
		tips = tips || b&tip != 0
	}
	for i := len(l.left.group) - 1; i > 0; i-- {
		if l.left.bound[i]&^gap == 0 || l.left.bound[i]&roundStart != 0 {
			l.tipsLost = l.tipsLost || tips && l.left.bound[i]&roundStart != 0 // where the round started, a needle ended
			l.left.group[i-1] = l.left.group[i-1].plus(l.left.group[i])
			l.left.group = append(l.left.group[:i], l.left.group[i+1:]...)
			l.left.bound = append(l.left.bound[:i], l.left.bound[i+1:]...)
		}
	}
}

func sts(n Lin) string {
	if n.C == 0 && n.D == 1 {
		return "1 st"
	}
	return n.String() + " sts"
}
