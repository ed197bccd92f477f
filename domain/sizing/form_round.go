package sizing

import "math"

// Small pieces worked in the round: hat and mitten.

// wedges is how many wedges a crown closes in.
const wedges = 8

// hat drafts a hat from the brim up; its crown closes in eight wedges, first every
// second round and then every round, over about the radius of a disc that the head would cover.
func hat(d *drafting) error {
	g := d.req.Gauge
	fit := d.stitch(Multiple{wedges, 0})
	sts := d.each(func(i int) int {
		return max(multipleUp(3*wedges, fit.Of, 0), d.stsFor(d.want["around"][i], 0, Multiple{fit.Of, 0}))
	})
	const w = wedges
	closing := d.each(func(i int) int { return sts[i] / w * w }) // stitches that the crown begins with
	p := d.piece("Hat", true)
	brim := d.each(func(i int) int { return d.rowsFor(d.want["brim"][i]) })
	ribs := d.each(func(i int) int { return ribUnder(sts[i]*9/10, true) })
	p.castOn(ribs)
	p.rib(brim)
	p.incEvenly(d.each(func(i int) int { return sts[i] - ribs[i] }))
	events := d.each(func(i int) int { return closing[i]/w - 1 })
	crown := make([]spread, d.n) // after the first decrease round
	for i, k := range events {
		radius := float64(g.Width(sts[i])) / (2 * math.Pi) * 1.15
		rounds := min(max(int(math.Round(radius/float64(g.RowHeight()))), k), 2*k)
		crown[i] = spread{long: 2, longTimes: min(k-1, rounds-k), short: 1}
		crown[i].shortTimes = k - 1 - crown[i].longTimes
	}
	body := d.each(func(i int) int {
		return max(2, d.rowsFor(d.want["depth"][i])-p.rows[i]-1-1-1-crown[i].rows())
	})
	p.even(body, false)
	d.line("\nCrown")
	p.decEvenly(d.each(func(i int) int { return sts[i] - closing[i] }))
	d.line("Set-up rnd: *K%s, pm; rep from * around.", Vector(d.each(func(i int) int { return closing[i] / w })))
	p.to(p.all(1), p.zero())
	d.line("Dec rnd: *K to 2 sts before m, k2tog, sm; rep from * around. %s sts.", Vector(d.each(func(i int) int { return closing[i] - w })))
	left := func(i int) int { return w }
	for i := range crown {
		p.sts[i] -= w
		p.rows[i]++
		p.add(i, -w)
		p.rows[i] += crown[i].long * crown[i].longTimes
		p.sts[i] -= w * crown[i].longTimes
		p.add(i, -w*crown[i].longTimes)
		p.rows[i] += crown[i].shortTimes
		p.sts[i] -= w * crown[i].shortTimes
		p.add(i, -w*crown[i].shortTimes)
	}
	d.repeatRow("Dec rnd", true, crown, d.each(left))
	d.line("Break yarn, draw it through the remaining sts and pull tight.")
	d.measured("circumference", "", "around", func(i int) Length { return g.Width(sts[i]) })
	d.measured("depth", "", "depth", func(i int) Length { return g.Height(p.rows[i]) })
	d.closed(p)
	d.tell("around", fit.Of)
	return nil
}

// add notes the edges after n stitches more on the needle, taken evenly from both.
func (p *piece) add(i, n int) {
	last := p.shape[i][len(p.shape[i])-1]
	p.shape[i] = append(p.shape[i], outlineAt{p.rows[i], last.left - n, last.right + n})
}

// mitten drafts a mitten with a gusset for the thumb; both hands are alike.
func mitten(d *drafting) error {
	g := d.req.Gauge
	fit := d.stitch(Multiple{4, 0})
	sts := d.each(func(i int) int {
		return max(multipleUp(16, fit.Of, 0), d.stsFor(d.want["around"][i], 0, Multiple{fit.Of, 0}))
	})
	closing := d.each(func(i int) int { return sts[i] / 4 * 4 })
	thumbs := d.each(func(i int) int { return sts[i] / 3 / 2 * 2 }) // even: about a third of the hand
	p := d.piece("Mitten (make 2)", true)
	cuffs := d.each(func(i int) int { return ribUnder(sts[i]*9/10, true) })
	p.castOn(cuffs)
	p.rib(d.each(func(i int) int { return d.rowsFor(d.want["cuff"][i]) }))
	p.incEvenly(d.each(func(i int) int { return sts[i] - cuffs[i] }))

	d.line("\nGusset")
	d.line("Set-up rnd: K1, m1, pm, k to end. %s sts.", Vector(d.each(func(i int) int { return sts[i] + 1 })))
	pairs := d.each(func(i int) int { return (thumbs[i] - 2) / 2 }) // from 2 stitches, by twos
	d.line("Inc rnd: M1, k to m, m1, sm, k to end. %s sts.", Vector(d.each(func(i int) int { return sts[i] + 3 })))
	long := d.each(func(i int) int {
		rounds := int(math.Round(float64(d.want["gusset"][i])/float64(g.RowHeight()))) - 2
		return min(max(2, rounds/max(1, pairs[i]-1)), 6)
	})
	more := d.each(func(i int) int { return pairs[i] - 1 })
	if !allAre(more, 0) {
		d.line("Rep Inc rnd every %s rnd %s. %s sts.", ordinals(long), times(more), Vector(d.each(func(i int) int { return sts[i] + 1 + 2*pairs[i] })))
	}
	// between the round's start and the marker lie 2 + 2 x pairs stitches; one of them was the hand's
	held := d.each(func(i int) int { return 2 + 2*pairs[i] })
	d.line("Next rnd: Place next %s sts on a holder, CO 1 st, rm, k to end. %s sts.", Vector(held), Vector(sts))
	gusset := d.each(func(i int) int { return 2 + long[i]*more[i] + 1 })

	d.line("\nHand")
	events := d.each(func(i int) int { return (closing[i] - 8) / 4 })
	top := make([]spread, d.n)
	for i, k := range events {
		top[i] = spread{long: 2, longTimes: (k - 1) / 2, short: 1, shortTimes: k - 1 - (k-1)/2}
	}
	done := d.each(func(i int) int { return d.rowsFor(d.want["cuff"][i]) + gusset[i] + 1 })
	hand := d.each(func(i int) int {
		return max(2, d.rowsFor(d.want["length"][i])-done[i]-3-top[i].rows())
	})
	d.line("Work in %s for %s rnds.", d.stitchName(), Vector(hand))
	d.line("\nTop")
	p.sts = append([]int(nil), sts...)
	p.decEvenly(d.each(func(i int) int { return sts[i] - closing[i] }))
	halves := d.each(func(i int) int { return closing[i] / 2 })
	d.line("Set-up rnd: K%s, pm, k%s, pm.", Vector(halves), Vector(halves))
	d.line("Dec rnd: *K1, ssk, k to 3 sts before m, k2tog, k1, sm; rep from * once more. %s sts.", Vector(d.each(func(i int) int { return closing[i] - 4 })))
	d.repeatRow("Dec rnd", true, top, d.each(func(i int) int { return closing[i] - 4*events[i] }))
	d.line("Break yarn, draw it through the remaining sts and pull tight.")

	d.line("\nThumb")
	around := d.each(func(i int) int { return held[i] + 2 })
	d.line("Return %s sts from holder to needles, pick up and knit 2 sts at the base of the hand. %s sts. Join to work in the round.", Vector(held), Vector(around))
	d.line("Knit %s rnds.", Vector(d.each(func(i int) int { return max(2, d.rowsFor(d.want["thumb"][i])-2) })))
	d.line("Next rnd: *K2tog; rep from * around. %s sts.", Vector(d.each(func(i int) int { return around[i] / 2 })))
	d.line("Break yarn, draw it through the remaining sts and pull tight.")
	for i := range sts {
		p.rows[i] += gusset[i] + 1 + hand[i] + 2 + top[i].rows()
		p.sts[i] = 8
		p.shape[i] = append(p.shape[i], outlineAt{p.rows[i] - 1 - top[i].rows(), -sts[i], sts[i]}, outlineAt{p.rows[i], -8, 8})
	}
	d.measured("hand circumference", "", "around", func(i int) Length { return g.Width(sts[i]) })
	d.measured("length", "", "length", func(i int) Length { return g.Height(p.rows[i]) })
	d.closed(p)
	d.tell("around", fit.Of)
	return nil
}
