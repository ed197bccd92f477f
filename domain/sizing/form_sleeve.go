package sizing

import "math"

// sleeveWidth is the number of stitches at the upper arm: as even or odd as the cuff, and
// at least two more.
func sleeveWidth(sts, cuff int) int {
	if (sts-cuff)%2 != 0 {
		sts++
	}
	return max(sts, cuff+2)
}

// sleeve works a sleeve flat from the cuff to the underarm or, drop-shouldered, to
// its top; it may find that it must be narrower than wanted.
func (o *garment) sleeve(rows []int, upper []int) *piece {
	g := o.req.Gauge
	fit := o.stitch(Multiple{1, 0})
	cuff := o.each(func(i int) int { return max(14, o.stsFor(o.want["cuff"][i], seams, fit)) })
	p := o.piece("Sleeves (make 2)", false)
	ribs := o.each(func(i int) int { return ribUnder(cuff[i], false) })
	hem := o.each(func(i int) int { return max(4, min(o.hem[i], rows[i]/4*2)) })
	p.castOn(ribs)
	p.rib(hem)
	p.incEvenly(o.each(func(i int) int { return cuff[i] - ribs[i] }))
	p.even(p.all(2), false)
	s := make([]spread, o.n)
	rest := make([]int, o.n)
	var narrow []int
	for i := range s {
		upper[i] = sleeveWidth(upper[i], cuff[i])
		over := rows[i] - p.rows[i] - 2 // the first increase row, and the WS row that ends
		tail := min(2*int(math.Round(15/float64(g.RowHeight())/2)), max(0, over/4*2))
		k := (upper[i]-cuff[i])/2 - 1
		if most := max(0, (over-tail)/2); k > most {
			k = most
			narrow = append(narrow, i)
			upper[i] = cuff[i] + 2 + 2*k
		}
		s[i], _ = spreadOver(k, max(0, over-tail), true)
		rest[i] = max(1, rows[i]-p.rows[i]-1-s[i].rows())
		if rest[i]%2 == 0 {
			rest[i]++
		}
	}
	if len(narrow) > 0 {
		o.problem("upper arm", narrow, "the sleeve is too short to grow so wide", "a wider cuff", "a longer sleeve", "a narrower upper arm")
	}
	p.incRow("Inc")
	p.again("Inc row", s, -1)
	p.even(rest, true)
	return p
}

// cap shapes the cap of a set-in sleeve; what it gives tells the lengths of cap and
// armhole.
func (o *garment) cap(p *piece) (edges func()) {
	g := o.req.Gauge
	plans := make([]capPlan, o.n)
	var off []int
	for i := range plans {
		arm := 2 * armholeEdge(g, o.under[i], o.armDecs[i], o.armhole[i])
		excess := o.req.Excess
		if excess == 0 {
			excess = 10
		}
		var ok bool
		plans[i], ok = planCap(g, p.sts[i], o.under[i], arm, g.Height(o.armhole[i]), excess)
		if !ok {
			off = append(off, i)
		}
	}
	if len(off) > 0 {
		o.problem("upper arm", off, "no cap of this width eases into the armhole by 0 to 2.5 cm", "a wider or narrower upper arm", "another armhole depth", "a finer gauge")
	}
	p.under = append([]int(nil), p.rows...)
	p.span("upper arm")
	o.line("\nShape cap")
	p.bindBoth(o.under)
	s := make([]spread, o.n)
	for i := range s {
		s[i] = plans[i].decs
	}
	p.decRow("Cap dec")
	p.again("Cap dec row", s, 1)
	p.wsEven()
	step := o.each(func(i int) int { return plans[i].step })
	for range 2 {
		p.step(step)
		p.to(p.all(2), p.zero())
	}
	o.line("Bind off %s sts at beg of next 4 rows. %s sts.", Vector(step), Vector(p.sts))
	o.line("Bind off rem %s sts.", Vector(p.sts))
	return func() {
		o.measured("cap edge", p.name, "", func(i int) Length { return plans[i].edge })
		o.measured("armhole edge, front and back", p.name, "", func(i int) Length { return 2 * armholeEdge(g, o.under[i], o.armDecs[i], o.armhole[i]) })
	}
}

// pullover drafts the drop-shoulder pullover.
func pullover(d *drafting) error {
	o := d.plan(false)
	back, front := o.back(), o.front()
	upper := o.each(func(i int) int { return 2*o.sleeveTop(i) + seams })
	rows := o.each(func(i int) int { return max(20, o.rowsFor(o.want["sleeve"][i])) })
	p := o.sleeve(rows, upper)
	o.line("Bind off rem %s sts.", Vector(p.sts))
	o.finish(back, front, p)
	return nil
}

// sleeveTop is half the width of a drop-shoulder sleeve, in stitches: the armhole's depth.
func (o *garment) sleeveTop(i int) int {
	g := o.req.Gauge
	return int(math.Round(float64(g.Height(o.armhole[i])) / float64(g.StitchWidth())))
}

// setIn drafts the pullover with set-in sleeves.
func setIn(d *drafting) error {
	o := d.plan(true)
	back, front := o.back(), o.front()
	upper := o.each(func(i int) int { return o.stsFor(o.want["upper"][i], seams, Multiple{1, 0}) })
	rows := o.each(func(i int) int { return max(20, o.rowsFor(o.want["sleeve"][i])) })
	p := o.sleeve(rows, upper)
	width := append([]int(nil), p.sts...)
	edges := o.cap(p)
	o.finish(back, front, p)
	defer edges()
	o.measured("upper arm", "", "upper", func(i int) Length { return o.req.Gauge.Width(width[i] - seams) })
	return nil
}

// finish tells how the pieces are put together, works the neckband, and measures.
func (o *garment) finish(back, front, sleeves *piece) {
	g := o.req.Gauge
	o.line("\nFinishing")
	o.line("Block the pieces to the measurements. Sew the right shoulder.")
	o.line("\nNeckband")
	band := o.each(func(i int) int { return o.bandSts(i) })
	o.line("With RS facing, pick up and knit %s sts around the neck.", Vector(band))
	o.line("Row 1 (WS): *P2, k2; rep from * to last 2 sts, p2.")
	o.line("Row 2: *K2, p2; rep from * to last 2 sts, k2.")
	o.line("Rep Rows 1 and 2 twice more.")
	o.line("Bind off in rib.")
	o.line("\nMaking up")
	o.line("Sew the left shoulder and the neckband. Sew in the sleeves. Sew the side and sleeve seams.")
	o.measured("chest", "", "chest", func(i int) Length { return 2 * g.Width(o.body[i]-seams) })
	o.measured("length", "", "length", func(i int) Length { return g.Height(back.rows[i]) })
	o.measured("sleeve length", "", "sleeve", func(i int) Length { return g.Height(o.sleeveRows(sleeves, i)) })
	o.closed(back)
	o.closed(front)
	o.closed(sleeves)
	of := 1
	if o.req.Stitch != nil {
		of = o.req.Stitch.Of
	}
	o.tell("chest", 2*of)
}

// sleeveRows is the rows of a sleeve to the underarm.
func (o *garment) sleeveRows(p *piece, i int) int {
	if p.under != nil {
		return p.under[i]
	}
	return p.rows[i]
}

// bandSts is how many stitches are picked up round a neck, a multiple of 4 + 2: one for
// each bound-off stitch, and along the sides as many as they are high.
func (o *garment) bandSts(i int) int {
	g := o.req.Gauge
	side := math.Hypot(float64(g.Width(o.neckDecs(i))), float64(g.Height(o.drop[i]))) / float64(g.StitchWidth())
	n := 2*o.neck[i] - 2*o.neckDecs(i) + int(2*side)
	return max(30, (n-2)/4*4+2)
}
