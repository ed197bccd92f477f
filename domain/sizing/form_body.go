package sizing

import "math"

// Garments in pieces worked flat from the hem up: drop-shoulder pullover and
// cardigan, and the pullover with set-in sleeves.

const seams = 2 // stitches of a piece that go into its seams, one at each edge

// garment is what the pieces of one garment share.
type garment struct {
	*drafting
	setIn    bool
	body     []int // stitches of back and front each
	hem      []int // rows of the rib
	side     []int // rows from the rib to the armhole
	armhole  []int // rows from there to the shoulder
	under    []int // stitches bound off at each underarm; set-in alone
	armDecs  []int // decreases at each armhole edge
	upper    []int // stitches between the armholes
	neck     []int // stitches of the neck
	shoulder []int // of each shoulder
	drop     []int // rows that the front neck lies below the shoulder
}

// plan works out the numbers that the pieces share, so that they meet.
func (d *drafting) plan(setIn bool) *garment {
	g := d.req.Gauge
	fit := d.stitch(Multiple{1, 0})
	o := &garment{drafting: d, setIn: setIn}
	o.body = d.each(func(i int) int { return max(24, d.stsFor(d.want["chest"][i]/2, seams, fit)) })
	o.hem = d.each(func(i int) int { return max(4, d.rowsFor(d.want["hem"][i])) })
	o.armhole = d.each(func(i int) int { return max(12, d.rowsFor(d.want["armhole"][i])) })
	o.side = d.each(func(i int) int {
		return max(4, d.rowsFor(d.want["length"][i])-o.hem[i]-2-o.armhole[i]-pickInt(setIn, 4, 2)) // the last rows bind the shoulders off
	})
	o.under, o.armDecs = d.each(func(int) int { return 0 }), d.each(func(int) int { return 0 })
	o.upper = append([]int(nil), o.body...)
	if setIn {
		for i := range o.upper {
			want := int(math.Round(float64(d.want["across"][i])/float64(g.StitchWidth()))) + seams
			gone := max(4, (o.body[i]-want)/2) // at each armhole
			gone = min(gone, (o.body[i]-16)/2, o.armhole[i]/2)
			gone = max(gone, 2)
			o.under[i] = max(1, min(gone-1, int(math.Round(float64(gone)*0.45))))
			o.armDecs[i] = gone - o.under[i]
			o.upper[i] = o.body[i] - 2*gone
		}
	}
	o.neck = d.each(func(i int) int {
		n := int(math.Round(float64(d.want["neck"][i]) / float64(g.StitchWidth())))
		n = min(max(n, 6), o.upper[i]-8)
		if (n-o.upper[i])%2 != 0 {
			n--
		}
		return n
	})
	o.shoulder = d.each(func(i int) int { return (o.upper[i] - o.neck[i]) / 2 })
	o.drop = d.each(func(i int) int {
		most := o.armhole[i] - 4 - pickInt(setIn, 2*o.armDecs[i]+2, 0)
		return max(6, min(d.rowsFor(d.want["drop"][i]), most/2*2))
	})
	return o
}

// begin works a piece of the body up to the armhole.
func (o *garment) begin(name string, sts []int) *piece {
	p := o.piece(name, false)
	ribs := o.each(func(i int) int { return ribUnder(sts[i], false) })
	p.castOn(ribs)
	p.rib(o.hem)
	p.incEvenly(o.each(func(i int) int { return sts[i] - ribs[i] }))
	p.even(o.each(func(i int) int { return o.side[i] + pickInt(o.anyInc(ribs, sts), 0, 2) }), false)
	return p
}

// anyInc says that a row of increases, and the one after it, were worked.
func (o *garment) anyInc(from, to []int) bool {
	for i := range from {
		if from[i] != to[i] {
			return true
		}
	}
	return false
}

// armholes shapes both armholes of a set-in piece and tells how many rows that took.
func (o *garment) armholes(p *piece) []int {
	before := append([]int(nil), p.rows...)
	o.line("\nShape armholes")
	p.bindBoth(o.under)
	p.decRow("Dec")
	p.again("Dec row", o.armSpread(), 1)
	p.wsEven()
	return o.each(func(i int) int { return p.rows[i] - before[i] })
}

// armSpread is how the decreases of an armhole after the first lie: every second row.
func (o *garment) armSpread() []spread {
	s := make([]spread, o.n)
	for i := range s {
		s[i] = spread{long: 4, short: 2, shortTimes: o.armDecs[i] - 1}
	}
	return s
}

// back drafts the back.
func (o *garment) back() *piece {
	p := o.begin("Back", o.body)
	used := p.zero()
	if o.setIn {
		used = o.armholes(p)
	}
	p.even(o.each(func(i int) int { return o.armhole[i] - used[i] }), true)
	if o.setIn {
		o.line("\nShape shoulders")
		a, b := o.steps()
		p.bindBoth(a)
		p.bindBoth(b)
	} else {
		p.bindBoth(o.shoulder)
	}
	o.line("Bind off rem %s sts for back neck.", Vector(p.sts))
	return p
}

// front drafts the front: like the back to where the neck begins, then each side by itself.
func (o *garment) front() *piece {
	p := o.begin("Front", o.body)
	used := p.zero()
	if o.setIn {
		used = o.armholes(p)
	}
	p.even(o.each(func(i int) int { return o.armhole[i] - used[i] - o.drop[i] }), true)
	o.frontNeck(p)
	return p
}

// neckDecs is how many of the stitches of half the neck go by decreases; the rest
// are bound off in the middle.
func (o *garment) neckDecs(i int) int {
	return max(1, min(o.neck[i]*3/10, o.drop[i]/2-1))
}

// frontNeck works the two sides of the neck.
func (o *garment) frontNeck(p *piece) {
	decs := o.each(o.neckDecs)
	centre := o.each(func(i int) int { return o.neck[i] - 2*decs[i] })
	side := o.each(func(i int) int { return o.shoulder[i] + decs[i] })
	more := make([]spread, o.n)
	rest := make([]int, o.n)
	for i := range more {
		more[i] = spread{long: 4, short: 2, shortTimes: decs[i] - 1}
		rest[i] = o.drop[i] - 3 - 2*(decs[i]-1) // after a turning row, its WS row and the decreases
	}
	o.line("\nShape neck")
	o.line("Left side")
	o.line("Next row (RS): %s, turn, leaving rem %s sts on a holder. %s sts.", o.over(side), Vector(o.each(func(i int) int { return p.sts[i] - side[i] })), Vector(side))
	o.line("Next row (WS): Work even in patt.")
	o.line("Left neck dec row (RS): %s to last 3 sts, k2tog, k1. %s sts.", capital(o.work()), Vector(o.each(func(i int) int { return side[i] - 1 })))
	o.neckAgain("Left neck dec row", more)
	o.evenRows(rest)
	o.bindShoulder(true)
	o.line("\nRight side")
	o.line("With RS facing, return sts from holder to needle.")
	o.line("Next row (RS): Rejoin yarn, bind off centre %s sts, %s to end. %s sts.", Vector(centre), o.work(), Vector(side))
	o.line("Next row (WS): Work even in patt.")
	o.line("Right neck dec row (RS): K1, ssk, %s to end. %s sts.", o.work(), Vector(o.each(func(i int) int { return side[i] - 1 })))
	o.neckAgain("Right neck dec row", more)
	o.evenRows(rest)
	o.bindShoulder(false)
	slope := pickInt(o.setIn, 2, 0) // rows between the two steps of a sloped shoulder
	for i := range p.rows {
		p.notch(i, centre[i], decs[i], o.drop[i], slope)
	}
	if o.setIn {
		a, b := o.steps()
		p.step(a)
		p.to(p.all(slope), p.zero())
		p.step(b)
	}
}

// steps are the two steps in which a sloped shoulder is bound off.
func (o *garment) steps() (first, last []int) {
	return o.each(func(i int) int { return o.shoulder[i] / 2 }), o.each(func(i int) int { return o.shoulder[i] - o.shoulder[i]/2 })
}

// bindShoulder binds off one shoulder of the front: in one go where it is straight, in the
// back's two steps where it slopes. A RS row is due; the left shoulder lies at its beginning.
func (o *garment) bindShoulder(left bool) {
	if !o.setIn {
		o.line("Bind off rem %s sts for shoulder.", Vector(o.shoulder))
		return
	}
	a, b := o.steps()
	side, other := "RS", "WS"
	if !left {
		o.line("Next row (RS): Work even in patt.")
		side, other = other, side
	}
	o.line("Next row (%s): Bind off %s sts, work in patt to end. %s sts.", side, Vector(a), Vector(b))
	o.line("Next row (%s): Work even in patt.", other)
	o.line("Bind off rem %s sts.", Vector(b))
}

// over works so many stitches of a row.
func (d *drafting) over(sts []int) string {
	if d.req.Stitch == nil {
		return "K" + Vector(sts)
	}
	return "Work in patt over next " + Vector(sts) + " sts"
}

// neckAgain repeats a neck decrease every second row.
func (o *garment) neckAgain(name string, s []spread) {
	o.repeatRow(name, false, s, o.shoulder)
}

// notch notes a front neck: the outline goes to where the shoulders begin, slope rows
// below their end, and the neck hangs in it.
func (p *piece) notch(i, centre, decs, drop, slope int) {
	last := p.shape[i][len(p.shape[i])-1]
	p.neckline(i, last.row, centre, decs, drop+slope)
	p.rows[i] += drop
	p.shape[i] = append(p.shape[i], outlineAt{p.rows[i], last.left, last.right})
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}

// evenRows works rows in the established pattern, without an outline.
func (o *garment) evenRows(n []int) {
	switch {
	case allAre(n, 0):
	case allAre(n, 1):
		o.line("Next row: Work even in patt.")
	default:
		o.line("Work even in patt for %s rows.", Vector(n))
	}
}
