package sizing

// raglanOutline draws the body, half of it as it lies flat, and a sleeve, as if the
// yoke were cut along its raglan lines.
func (d *drafting) raglanOutline(neck, body, arm, cuff, yoke, plain, hem []int, u []spread, rest, cuffs []int) {
	g := d.req.Gauge
	b := Outline{Name: "Body and yoke"}
	s := Outline{Name: "Sleeve"}
	for i := range body {
		down := plain[i] + hem[i]
		w, n := g.Width(body[i])/2, g.Width(neck[i])/4
		h, top := g.Height(down), g.Height(down+yoke[i])
		b.Edge = append(b.Edge, []Point{{w, 0}, {w, h}, {n, top}, {-n, top}, {-w, h}, {-w, 0}})
		long := 5 + u[i].rows() + rest[i] + cuffs[i]
		a, c := g.Width(arm[i])/2, g.Width(cuff[i])/2
		sh, st := g.Height(long), g.Height(long+yoke[i])
		s.Edge = append(s.Edge, []Point{{c, 0}, {c, g.Height(cuffs[i])}, {a, sh}, {g.StitchWidth() * 4, st}, {-g.StitchWidth() * 4, st}, {-a, sh}, {-c, g.Height(cuffs[i])}, {-c, 0}})
	}
	down := func(i int) int { return plain[i] + hem[i] }
	sleeve := func(i int) int { return 5 + u[i].rows() + rest[i] + cuffs[i] }
	b.Spans = []Span{
		{Name: "half of the chest", At: g.Height(down(0)), From: -g.Width(body[0]) / 2, To: g.Width(body[0]) / 2, Values: lengths(d.n, func(i int) Length { return g.Width(body[i]) })},
		{Name: "to the underarm", Upright: true, At: 1, From: 0, To: g.Height(down(0)), Values: lengths(d.n, func(i int) Length { return g.Height(down(i)) })},
		{Name: "yoke", Upright: true, At: 1, From: g.Height(down(0)), To: g.Height(down(0) + yoke[0]), Values: lengths(d.n, func(i int) Length { return g.Height(yoke[i]) })},
	}
	s.Spans = []Span{
		{Name: "cuff", From: -g.Width(cuff[0]) / 2, To: g.Width(cuff[0]) / 2, Values: lengths(d.n, func(i int) Length { return g.Width(cuff[i]) })},
		{Name: "upper arm", At: g.Height(sleeve(0)), From: -g.Width(arm[0]) / 2, To: g.Width(arm[0]) / 2, Values: lengths(d.n, func(i int) Length { return g.Width(arm[i]) })},
		{Name: "to the underarm", Upright: true, At: 1, From: 0, To: g.Height(sleeve(0)), Values: lengths(d.n, func(i int) Length { return g.Height(sleeve(i)) })},
	}
	d.out.Pieces = append(d.out.Pieces, b, s)
}
