package sizing

import "math"

// bandWidth is how wide the front bands of a cardigan are, in mm; they overlap.
const bandWidth Length = 30

// cardigan drafts the drop-shoulder cardigan: a back, two fronts, sleeves and bands.
func cardigan(d *drafting) error {
	o := d.plan(false)
	g := d.req.Gauge
	back := o.back()
	// half of what the front bands leave open, and a stitch for each seam
	half := o.each(func(i int) int {
		n := int(math.Round((float64(o.want["chest"][i]-g.Width(o.body[i]-seams)-bandWidth))/2/float64(g.StitchWidth()))) + seams
		return max(o.shoulder[i]+4, n)
	})
	if s := d.req.Stitch; s != nil {
		half = o.each(func(i int) int {
			return max(d.stsFor(g.Width(half[i]-seams), seams, d.stitch(Multiple{1, 0})), multipleUp(o.shoulder[i]+4, s.Of, s.Plus))
		})
	}
	gone := o.each(func(i int) int { return half[i] - o.shoulder[i] }) // at the neck
	decs := o.each(func(i int) int { return max(1, min(gone[i]/2, o.drop[i]/2-2)) })
	off := o.each(func(i int) int { return gone[i] - decs[i] })
	left := o.side1("Left front", half, off, decs, true)
	right := o.side1("Right front", half, off, decs, false)
	upper := o.each(func(i int) int { return 2*o.sleeveTop(i) + seams })
	rows := o.each(func(i int) int { return max(20, o.rowsFor(o.want["sleeve"][i])) })
	sleeves := o.sleeve(rows, upper)
	o.line("Bind off rem %s sts.", Vector(sleeves.sts))
	o.bands(o.each(func(i int) int { return left.rows[i] - o.drop[i] }))
	d.measured("buttoned chest", "", "chest", func(i int) Length {
		return g.Width(o.body[i]-seams) + 2*g.Width(half[i]-seams) + bandWidth
	})
	d.measured("length", "", "length", func(i int) Length { return g.Height(back.rows[i]) })
	d.measured("sleeve length", "", "sleeve", func(i int) Length { return g.Height(sleeves.rows[i]) })
	for _, p := range []*piece{back, left, right, sleeves} {
		o.closed(p)
	}
	of := 1
	if d.req.Stitch != nil {
		of = 3 * d.req.Stitch.Of
	}
	d.tell("chest", max(3, of))
	return nil
}

// multipleUp is the smallest number of a multiple that is n or more.
func multipleUp(n, of, plus int) int {
	k := (n - plus + of - 1) / of
	return max(1, k)*of + plus
}

// side1 works one front: the left one has its neck at the end of RS rows, the right
// one at their beginning.
func (o *garment) side1(name string, sts, off, decs []int, left bool) *piece {
	p := o.begin(name, sts)
	p.even(o.each(func(i int) int { return o.armhole[i] - o.drop[i] + pickInt(left, 1, 0) }), true)
	o.line("\nShape neck")
	rest := o.each(func(i int) int { return o.drop[i] - pickInt(left, 2, 3) - 2*decs[i] + pickInt(left, 0, 1) })
	after := o.each(func(i int) int { return sts[i] - off[i] })
	if left {
		o.line("Next row (WS): Bind off %s sts, work in patt to end. %s sts.", Vector(off), Vector(after))
		o.line("Neck dec row (RS): %s to last 3 sts, k2tog, k1. %s sts.", capital(o.work()), Vector(o.each(func(i int) int { return after[i] - 1 })))
	} else {
		o.line("Next row (RS): Bind off %s sts, %s to end. %s sts.", Vector(off), o.work(), Vector(after))
		o.line("Next row (WS): Work even in patt.")
		o.line("Neck dec row (RS): K1, ssk, %s to end. %s sts.", o.work(), Vector(o.each(func(i int) int { return after[i] - 1 })))
	}
	more := make([]spread, o.n)
	for i := range more {
		more[i] = spread{long: 4, short: 2, shortTimes: decs[i] - 1}
	}
	o.repeatRow("Neck dec row", false, more, o.shoulder)
	o.evenRows(rest)
	o.line("Bind off rem %s sts for shoulder.", Vector(o.shoulder))
	for i := range p.shape {
		begun := p.rows[i]
		last := p.shape[i][len(p.shape[i])-1]
		total := back1(o, i)
		shoulder, edge := 2*o.shoulder[i], 2*(o.shoulder[i]+decs[i])
		p.rows[i] = total
		if left { // the neck is at the left of the RS as it lies
			p.shape[i] = append(p.shape[i], outlineAt{begun, last.right - edge, last.right}, outlineAt{begun + 1 + 2*decs[i], last.right - shoulder, last.right}, outlineAt{total, last.right - shoulder, last.right})
		} else {
			p.shape[i] = append(p.shape[i], outlineAt{begun, last.left, last.left + edge}, outlineAt{begun + 1 + 2*decs[i], last.left, last.left + shoulder}, outlineAt{total, last.left, last.left + shoulder})
		}
	}
	return p
}

// back1 is the rows of a front to its shoulder.
func back1(o *garment, i int) int {
	return o.hem[i] + 2 + o.side[i] + o.armhole[i]
}

// bands works the button bands, picked up along the fronts, and the neckband.
func (o *garment) bands(rows []int) {
	g := o.req.Gauge
	along := o.each(func(i int) int {
		n := int(float64(g.Height(rows[i])) / float64(g.StitchWidth()))
		return max(26, (n-2)/4*4+2)
	})
	deep := max(4, 2*int(math.Round(float64(bandWidth)/float64(g.RowHeight())/2)))
	o.line("\nFinishing")
	o.line("Block the pieces to the measurements. Sew the shoulders.")
	o.line("\nButton band")
	o.line("With RS facing, pick up and knit %s sts along the left front edge.", Vector(along))
	o.line("Row 1 (WS): *P2, k2; rep from * to last 2 sts, p2.")
	o.line("Row 2: *K2, p2; rep from * to last 2 sts, k2.")
	o.line("Rep Rows 1 and 2 %s more.", times([]int{deep/2 - 1}))
	o.line("Bind off in rib.")
	buttons := o.each(func(i int) int { return min(max(4, 1+int(float64(g.Height(rows[i]))/80)), (along[i]-6)/6) })
	gap := o.each(func(i int) int { return (along[i]-4)/(buttons[i]-1) - 2 })
	o.line("\nButtonhole band")
	o.line("With RS facing, pick up and knit %s sts along the right front edge.", Vector(along))
	o.line("Row 1 (WS): *P2, k2; rep from * to last 2 sts, p2.")
	o.line("Row 2: *K2, p2; rep from * to last 2 sts, k2.")
	o.line("Row 3: *P2, k2; rep from * to last 2 sts, p2.")
	o.line("Buttonhole row (RS): K2, [yo, k2tog, k%s] %s times, yo, k2tog, k to end. %s sts.", Vector(gap), Vector(o.each(func(i int) int { return buttons[i] - 1 })), Vector(along))
	o.line("Next row (WS): *P2, k2; rep from * to last 2 sts, p2.")
	if deep > 6 {
		o.line("Next row: *K2, p2; rep from * to last 2 sts, k2.")
		o.line("Next row: *P2, k2; rep from * to last 2 sts, p2.")
	}
	o.line("Bind off in rib.")
	o.line("\nNeckband")
	o.line("With RS facing, pick up and knit %s sts around the neck and the ends of the bands.", Vector(o.each(func(i int) int { return o.bandSts(i) })))
	o.line("Row 1 (WS): *P2, k2; rep from * to last 2 sts, p2.")
	o.line("Row 2: *K2, p2; rep from * to last 2 sts, k2.")
	o.line("Rep Rows 1 and 2 twice more.")
	o.line("Bind off in rib.")
	o.line("\nMaking up")
	o.line("Sew in the sleeves. Sew the side and sleeve seams. Sew the buttons to the button band, opposite the buttonholes.")
}
