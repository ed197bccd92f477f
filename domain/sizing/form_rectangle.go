package sizing

import "math"

// Rectangles: swatch, scarf, blanket, cushion, and the cowl in the round.

// rowsIn is the number of whole repeats nearest to a height, at least one.
func (d *drafting) repeatsFor(height Length, besides, repeat int) int {
	rows := float64(height)/float64(d.req.Gauge.RowHeight()) - float64(besides)
	return max(1, int(math.Round(rows/float64(repeat))))
}

// rectangle drafts a flat piece between two borders of so many rows of garter stitch.
func rectangle(name, high string, border int) func(*drafting) error {
	return func(d *drafting) error {
		fit := d.stitch(Multiple{1, 0})
		sts := d.each(func(i int) int { return d.stsFor(d.want["width"][i], 0, fit) })
		p := d.piece(name, false)
		p.castOn(sts)
		if border > 0 {
			d.line("Knit %d rows.", border)
			p.to(p.all(border), p.zero())
		}
		if s := d.req.Stitch; s != nil {
			n := d.each(func(i int) int { return d.repeatsFor(d.want[high][i], 2*border, s.Repeat) })
			d.line("Work Rows 1–%d of %s %s.", s.Repeat, s.Name, times(n))
			p.to(d.each(func(i int) int { return n[i] * s.Repeat }), p.zero())
		} else {
			rows := d.each(func(i int) int { return max(2, d.rowsFor(d.want[high][i])-2*border) })
			d.line("Knit %s rows.", Vector(rows))
			p.to(rows, p.zero())
		}
		if border > 0 {
			d.line("Knit %d rows.", border)
			p.to(p.all(border), p.zero())
		}
		d.line("Bind off loosely.")
		g := d.req.Gauge
		d.measured("width", "", "width", func(i int) Length { return g.Width(p.sts[i]) })
		d.measured(high, "", high, func(i int) Length { return g.Height(p.rows[i]) })
		d.closed(p)
		d.tell("width", fit.Of)
		return nil
	}
}

// cowl drafts a tube.
func cowl(d *drafting) error {
	fit := d.stitch(Multiple{1, 0})
	sts := d.each(func(i int) int { return d.stsFor(d.want["around"][i], 0, fit) })
	border := 4
	p := d.piece("Cowl", true)
	p.castOn(sts)
	edge := func() {
		for range border / 2 {
			d.line("Next rnd: Purl.")
			d.line("Next rnd: Knit.")
		}
		p.to(p.all(border), p.zero())
	}
	edge()
	if s := d.req.Stitch; s != nil {
		n := d.each(func(i int) int { return d.repeatsFor(d.want["depth"][i], 2*border, s.Repeat) })
		d.line("Work Rnds 1–%d of %s %s.", s.Repeat, s.Name, times(n))
		p.to(d.each(func(i int) int { return n[i] * s.Repeat }), p.zero())
	} else {
		rows := d.each(func(i int) int { return max(2, d.rowsFor(d.want["depth"][i])-2*border) })
		d.line("Knit %s rnds.", Vector(rows))
		p.to(rows, p.zero())
	}
	edge()
	d.line("Bind off loosely.")
	g := d.req.Gauge
	d.measured("circumference", "", "around", func(i int) Length { return g.Width(p.sts[i]) })
	d.measured("depth", "", "depth", func(i int) Length { return g.Height(p.rows[i]) })
	d.closed(p)
	d.tell("around", fit.Of)
	return nil
}
