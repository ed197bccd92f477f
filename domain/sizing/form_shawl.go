package sizing

import "math"

// triangle drafts a shawl from the middle of the neck down: in every RS row a
// stitch is made at each edge and at each side of the spine, so that both halves are
// right triangles.
func triangle(d *drafting) error {
	g := d.req.Gauge
	border := d.each(d.borderRows)
	p := d.piece("Shawl", false)
	p.castOn(p.all(7))
	d.line("Set-up row (WS): K3, pm, p1, pm, k3.")
	p.to(p.all(1), p.zero())
	pairs := d.each(func(i int) int {
		return max(4, int(math.Round((float64(d.want["depth"][i])/float64(g.RowHeight())-float64(border[i])-1)/2)))
	})
	d.line("Inc row (RS): K2, yo, k to m, yo, sm, k1, sm, yo, k to last 2 sts, yo, k2. 11 sts.")
	d.line("Next row (WS): K2, p to last 2 sts, k2.")
	d.line("Rep last 2 rows %s more. %s sts.", times(d.each(func(i int) int { return pairs[i] - 1 })), Vector(d.each(func(i int) int { return 7 + 4*pairs[i] })))
	for i, n := range pairs {
		p.rows[i] += 2 * n
		p.sts[i] += 4 * n
		p.shape[i] = []outlineAt{{0, -7, 7}, {p.rows[i], -p.sts[i], p.sts[i]}}
	}
	d.border(p, border)
	d.measured("depth", "", "depth", func(i int) Length { return g.Height(p.rows[i]) })
	d.measured("lower edge", "", "", func(i int) Length { return g.Width(p.sts[i]) })
	d.closed(p)
	return nil
}

// crescent drafts a shawl from the middle of the neck down that grows at its edges
// alone, fast at first and then slower: by 6 stitches in two rows, by 4, by 2. How long
// each lasts follows from the depth and the lower edge wanted.
func crescent(d *drafting) error {
	const start = 9
	g := d.req.Gauge
	border := d.each(d.borderRows)
	fast, middle, slow := p0(d), p0(d), p0(d)
	var beyond []int
	for i := range fast {
		n := max(8, int(math.Round((float64(d.want["depth"][i])/float64(g.RowHeight())-float64(border[i])-2)/2)))
		edge := float64(d.want["edge"][i]) / float64(g.StitchWidth())
		want := int(math.Round((edge - start) / 2)) // pairs of stitches to be made in n pairs of rows
		more := want - 2*n
		if most := n - 3; more > most || more < -most {
			beyond = append(beyond, i)
			more = min(max(more, -most), most)
		}
		y := max(1, n/3)
		for (n-y-more)%2 != 0 || max(more, -more) > n-y-2 {
			y--
			if y < 1 { // not of this parity: a pair of stitches less
				more -= sign(more)
				y = max(1, n/3)
			}
		}
		fast[i], middle[i], slow[i] = (n-y+more)/2, y, (n-y-more)/2
	}
	if len(beyond) > 0 {
		d.problem("edge", beyond, "a crescent grows by 2 to 6 stitches in two rows; at this depth the lower edge cannot be had", "another depth", "a lower edge of two to five times the depth")
	}
	p := d.piece("Shawl", false)
	p.castOn(p.all(start))
	d.line("Knit 2 rows.")
	p.to(p.all(2), p.zero())
	section := func(name, rs, ws string, row int, n []int, per int) {
		d.line("\n%s", name)
		d.line("Row %d (RS): %s", row, rs)
		d.line("Row %d (WS): %s", row+1, ws)
		p.to(d.each(func(i int) int { return 2 * n[i] }), d.each(func(i int) int { return -per * n[i] }))
		d.line("Rep Rows %d and %d %s more. %s sts.", row, row+1, times(d.each(func(i int) int { return n[i] - 1 })), Vector(p.sts))
	}
	const w, ws = "k", "p"
	section("First section", "K2, yo, k1, yo, "+w+" to last 3 sts, yo, k1, yo, k2.", "K2, yo, "+ws+" to last 2 sts, yo, k2.", 1, fast, 3)
	section("Second section", "K2, yo, k1, yo, "+w+" to last 3 sts, yo, k1, yo, k2.", "K2, "+ws+" to last 2 sts, k2.", 3, middle, 2)
	section("Third section", "K2, yo, "+w+" to last 2 sts, yo, k2.", "K2, "+ws+" to last 2 sts, k2.", 5, slow, 1)
	d.border(p, border)
	d.measured("depth", "", "depth", func(i int) Length { return g.Height(p.rows[i]) })
	d.measured("lower edge", "", "edge", func(i int) Length { return g.Width(p.sts[i]) })
	d.closed(p)
	return nil
}

// borderRows is how deep the border of a shawl is: six rows of garter stitch, or so many
// whole repeats of the stitch as come next to a sixth of the depth.
func (d *drafting) borderRows(i int) int {
	s := d.req.Stitch
	if s == nil {
		return 6
	}
	return 2 + s.Repeat*d.repeatsFor(d.want["depth"][i]/6, 0, s.Repeat)
}

// border works the border and binds off.
func (d *drafting) border(p *piece, rows []int) {
	d.line("\nBorder")
	s := d.req.Stitch
	if s == nil {
		d.line("Knit %s rows.", Vector(rows))
		p.to(rows, p.zero())
	} else {
		p.incEvenly(d.each(func(i int) int { return multipleUp(p.sts[i], s.Of, s.Plus) - p.sts[i] }))
		d.line("Work Rows 1–%d of %s %s.", s.Repeat, s.Name, times(d.each(func(i int) int { return (rows[i] - 2) / s.Repeat })))
		p.to(d.each(func(i int) int { return rows[i] - 2 }), p.zero())
	}
	d.line("Bind off loosely.")
}

func p0(d *drafting) []int { return make([]int, d.n) }

func sign(n int) int {
	switch {
	case n > 0:
		return 1
	case n < 0:
		return -1
	}
	return 0
}
