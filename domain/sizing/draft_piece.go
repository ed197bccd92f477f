package sizing

import (
	"fmt"
	"math"
	"slices"
)

// piece is one piece of a draft, worked row by row in every size at once.
type piece struct {
	d     *drafting
	name  string
	round bool
	sts   []int     // on the needle
	rows  []int     // worked
	necks [][]Point // per size, where there is one
	spans []Span
	under []int // rows to the underarm, where they are fewer
	shape [][]outlineAt
}

// outlineAt is where the edges of a piece are after a row, in half stitches
// from its middle.
type outlineAt struct{ row, left, right int }

// piece begins a piece under a head.
func (d *drafting) piece(name string, round bool) *piece {
	d.line("\n%s", name)
	return &piece{d: d, name: name, round: round, rows: make([]int, d.n)}
}

// castOn casts on.
func (p *piece) castOn(sts []int) {
	p.sts = append([]int(nil), sts...)
	p.d.line("CO %s sts%s.", Vector(sts), pick(p.round, " and join to work in the round, taking care not to twist", ""))
	p.begin()
}

// begin begins the outline at the stitches on the needle.
func (p *piece) begin() {
	p.shape = make([][]outlineAt, p.d.n)
	for i, n := range p.sts {
		p.shape[i] = []outlineAt{{0, -n, n}}
	}
}

// to notes the edges after rows more in which n stitches go, or come where n is
// below 0, at each edge.
func (p *piece) to(rows, n []int) {
	for i := range p.shape {
		p.rows[i] += rows[i]
		p.sts[i] -= 2 * n[i]
		last := p.shape[i][len(p.shape[i])-1]
		p.shape[i] = append(p.shape[i], outlineAt{p.rows[i], last.left + 2*n[i], last.right - 2*n[i]})
	}
}

// step moves the edges without a row: what is bound off or cast on at once.
func (p *piece) step(n []int) {
	for i := range p.shape {
		p.sts[i] -= 2 * n[i]
		last := p.shape[i][len(p.shape[i])-1]
		p.shape[i] = append(p.shape[i], outlineAt{p.rows[i], last.left + 2*n[i], last.right - 2*n[i]})
	}
}

func (p *piece) zero() []int { return make([]int, p.d.n) }

func (p *piece) all(n int) []int { return p.d.each(func(int) int { return n }) }

func (p *piece) head(name, side string) string {
	if p.round {
		return name + " rnd"
	}
	return name + " row (" + side + ")"
}

// rib works so many rows, an even number, of k2, p2 rib; flat on a multiple of 4
// + 2, in the round of 4.
func (p *piece) rib(rows []int) {
	if p.round {
		p.d.line("Work %s rnds in k2, p2 rib.", Vector(rows))
	} else {
		p.d.line("Row 1 (RS): *K2, p2; rep from * to last 2 sts, k2.")
		p.d.line("Row 2: *P2, k2; rep from * to last 2 sts, p2.")
		if more := p.d.each(func(i int) int { return rows[i]/2 - 1 }); !allAre(more, 0) {
			p.d.line("Rep Rows 1 and 2 %s more.", times(more))
		}
	}
	p.to(rows, p.zero())
}

// incEvenly increases n stitches across a RS row: half gaps at the edges of a flat row,
// groups in a round, see Evenly. Where a size has none, in equal groups with what is left at
// the end. A WS row follows.
func (p *piece) incEvenly(n []int) {
	if allAre(n, 0) {
		return
	}
	row := p.evenRow(n, Make1)
	if row == "" {
		group := p.d.each(func(i int) int { return p.sts[i] / max(1, n[i]) })
		row = fmt.Sprintf("[K%s, m1] %s, k to end.", Vector(group), times(n))
	}
	p.d.line("%s: %s %s sts.", p.head("Inc", "RS"), row, Vector(p.d.each(func(i int) int { return p.sts[i] + n[i] })))
	rows := 1
	if !p.round {
		p.d.line("Next row (WS): Purl.")
		rows = 2
	}
	for i := range p.sts {
		p.rows[i] += rows
		p.sts[i] += n[i]
		last := p.shape[i][len(p.shape[i])-1]
		p.shape[i] = append(p.shape[i], outlineAt{p.rows[i], last.left - n[i], last.right + n[i]})
	}
}

// evenRow spreads an event across a row in every size; "" where a size has none, or they do
// not fit.
func (p *piece) evenRow(n []int, e Event) string {
	if slices.Contains(n, 0) {
		return ""
	}
	spread := Evenly{Convention: HalfEdges, Event: e}
	if p.round {
		spread.Convention = Groups
	}
	rows, err := spread.Rows(p.sts, n)
	if err != nil {
		return ""
	}
	w, err := spread.Write(rows, EvenWording{})
	if err != nil {
		return ""
	}
	return w.Shape
}

// decEvenly decreases n stitches in a round, as many groups as decreases, what is
// left over at its end.
func (p *piece) decEvenly(n []int) {
	if allAre(n, 0) {
		return
	}
	row := p.evenRow(n, K2tog)
	if row == "" {
		group := p.d.each(func(i int) int { return max(0, p.sts[i]/max(1, n[i])-2) })
		row = fmt.Sprintf("[K%s, k2tog] %s, k to end.", Vector(group), times(n))
	}
	p.d.line("Next rnd: %s %s sts.", row, Vector(p.d.each(func(i int) int { return p.sts[i] - n[i] })))
	for i := range p.sts {
		p.rows[i]++
		p.sts[i] -= n[i]
		p.add(i, -n[i])
	}
}

// begun says that the stitch is established in this piece.
func (p *piece) even(rows []int, established bool) {
	if allAre(rows, 0) {
		return
	}
	noun := pick(p.round, "rnds", "rows")
	end := pick(p.round, "", ", ending with a WS row")
	if established {
		end = ""
	}
	switch {
	case established && allAre(rows, 1):
		p.d.line("%s: Work even in patt.", pick(p.round, "Next rnd", "Next row"))
	case established:
		p.d.line("Work even in patt for %s %s.", Vector(rows), noun)
	default:
		p.d.line("Work in %s for %s %s%s.", p.d.stitchName(), Vector(rows), noun, end)
	}
	p.to(rows, p.zero())
}

// wsEven is the WS row after a shaping row.
func (p *piece) wsEven() {
	p.d.line("Next row (WS): Work even in patt.")
	p.to(p.all(1), p.zero())
}

// bindBoth binds off n at the beginning of the next 2 rows.
func (p *piece) bindBoth(n []int) {
	p.step(n)
	p.d.line("Bind off %s sts at beg of next 2 rows. %s sts.", Vector(n), Vector(p.sts))
	p.to(p.all(2), p.zero())
}

// spread is how k events lie over rows: so often every long rows, then so often every
// short ones.
type spread struct{ long, longTimes, short, shortTimes int }

// rows is how many rows the events after the first take.
func (s spread) rows() int { return s.long*s.longTimes + s.short*s.shortTimes }

// spreadOver lays k events over at most rows, an even number of rows apart when
// flat, or any; intervals differ by one step. What is left is worked even after.
func spreadOver(k, rows int, flat bool) (spread, bool) {
	if k <= 0 {
		return spread{long: pickInt(flat, 2, 1), short: pickInt(flat, 2, 1)}, true
	}
	plan := Plan{Rhythm: WSNext}
	if !flat {
		plan.Rhythm = AnyRow
	}
	sched, err := plan.Schedule(k, rows)
	if err != nil {
		return spread{}, false
	}
	runs, ok := sched.WholeRuns()
	if !ok {
		return spread{}, false
	}
	s := spread{long: runs[0].Every, longTimes: runs[0].Times, short: runs[0].Every}
	if len(runs) > 1 {
		s.short, s.shortTimes = runs[1].Every, runs[1].Times
	}
	return s, true
}

// again repeats a shaping row after the first, in every size at its own rate, and
// takes or gives per stitches at each edge every time.
func (p *piece) again(name string, s []spread, per int) {
	p.d.repeatRow(name, p.round, s, p.after(s, per))
	for i := range s {
		one := func(every, n int) {
			if n == 0 {
				return
			}
			last := p.shape[i][len(p.shape[i])-1]
			p.rows[i] += every * n
			p.sts[i] -= 2 * per * n
			p.shape[i] = append(p.shape[i], outlineAt{p.rows[i], last.left + 2*per*n, last.right - 2*per*n})
		}
		one(s[i].long, s[i].longTimes)
		one(s[i].short, s[i].shortTimes)
	}
}

// repeatRow writes that a row is repeated, every size at its own rate, and what is then
// on the needles.
func (d *drafting) repeatRow(name string, round bool, s []spread, sts []int) {
	ss := make([]Schedule, len(s))
	for i := range s {
		ss[i] = s[i].schedule()
	}
	if words := (Wording{Name: name, Round: round}).again(ss); words != "" {
		d.line("%s %s sts.", words, Vector(sts))
	}
}

// schedule is the events after one on the row before.
func (s spread) schedule() Schedule {
	out := Schedule{First: 1}
	for _, r := range []Run{{s.long, s.longTimes}, {s.short, s.shortTimes}} {
		if r.Times > 0 {
			out.Runs = append(out.Runs, r)
		}
	}
	return out
}

func (p *piece) after(s []spread, per int) []int {
	return p.d.each(func(i int) int { return p.sts[i] - 2*per*(s[i].longTimes+s[i].shortTimes) })
}

// decRow decreases a stitch at each edge in a RS row.
func (p *piece) decRow(name string) {
	p.step(p.all(1))
	p.d.line("%s row (RS): K1, ssk, %s to last 3 sts, k2tog, k1. %s sts.", name, p.d.work(), Vector(p.sts))
	p.to(p.all(1), p.zero())
}

// incRow increases a stitch at each edge in a RS row.
func (p *piece) incRow(name string) {
	p.step(p.all(-1))
	p.d.line("%s row (RS): K1, m1, %s to last st, m1, k1. %s sts.", name, p.d.work(), Vector(p.sts))
	p.to(p.all(1), p.zero())
}

// work is how stitches are worked on in a row.
func (d *drafting) work() string {
	if d.req.Stitch == nil {
		return "k"
	}
	return "work in patt"
}

// times writes how often: once, twice, 5 (6, 7) times.
func times(n []int) string {
	switch {
	case allAre(n, 1):
		return "once"
	case allAre(n, 2):
		return "twice"
	}
	return Vector(n) + " times"
}

// stsFor is the number of stitches of a width, nearest, in a multiple. Stitches that
// vanish in seams are among them, and not in the width.
func (d *drafting) stsFor(width Length, seams int, fit Multiple) int {
	f, err := Fit(width+d.req.Gauge.Width(seams), d.req.Gauge, fit, 0, Nearest)
	if err != nil { // a gauge and a width that were looked at before
		return fit.Of + fit.Plus
	}
	return max(f.Stitches, fit.Of+fit.Plus)
}

// stitch is the multiple of the stitch, or the one given where there is none.
func (d *drafting) stitch(or Multiple) Multiple {
	if s := d.req.Stitch; s != nil {
		return Multiple{s.Of, s.Plus}
	}
	return or
}

// rowsFor is the number of rows of a height, even, at least 2.
func (d *drafting) rowsFor(height Length) int {
	return max(2, 2*int(math.Round(float64(height)/float64(d.req.Gauge.RowHeight())/2)))
}

// ribUnder is the number of stitches of a rib below n: flat a multiple of 4 + 2, in the
// round of 4, at most n.
func ribUnder(n int, round bool) int {
	plus := pickInt(round, 0, 2)
	return max(4+plus, (n-plus)/4*4+plus)
}

func pick(yes bool, a, b string) string {
	if yes {
		return a
	}
	return b
}

func pickInt(yes bool, a, b int) int {
	if yes {
		return a
	}
	return b
}
