package sizing

import "math"

// raglan drafts a pullover from the neck down in the round. Body and sleeves grow
// together at the four raglan lines; what the body wants more, it gets in rounds of
// its own, so that large sizes do not get sleeves too wide.
func raglan(d *drafting) error {
	g := d.req.Gauge
	of := d.stitch(Multiple{4, 0}).Of
	if of%2 != 0 {
		of *= 2 // back and front alike
	}
	body := d.each(func(i int) int {
		return max(multipleUp(48, of, 0), d.stsFor(d.want["chest"][i], 0, Multiple{of, 0})) / 2
	})
	under := d.each(func(i int) int { return max(2, 2*int(math.Round(float64(body[i])*0.08/2))) })
	cuff := d.each(func(i int) int { return max(16, d.stsFor(d.want["cuff"][i], 0, Multiple{4, 0})) })
	arm := d.each(func(i int) int {
		n := d.stsFor(d.want["upper"][i], 0, Multiple{2, 0})
		if (n-body[i])%2 != 0 {
			n++
		}
		return max(n, cuff[i]+2+(body[i]-cuff[i])%2)
	})
	neck := d.each(func(i int) int { return max(24, d.stsFor(d.want["neck"][i], 0, Multiple{4, 0})) })
	front, top, both, more := p0(d), p0(d), p0(d), p0(d)
	for i := range front {
		// increases at one edge of the body and of a sleeve together
		sum := body[i] + arm[i] - 2*under[i] - neck[i]/2
		for sum < 12 {
			neck[i] -= 4
			sum += 2
		}
		if sum%2 != 0 {
			arm[i]++
			sum++
		}
		total := sum / 2
		f := int(math.Round(float64(neck[i]) / 2 / 1.3))
		nb := (body[i] - under[i] - f) / 2
		ns := total - nb
		for nb-ns < 1 && ns > 2 { // the body gets a round of its own at least
			nb, ns = nb+1, ns-1
		}
		front[i], top[i] = body[i]-under[i]-2*nb, arm[i]-under[i]-2*ns
		both[i], more[i] = ns, nb-ns
		if front[i] < 4 || top[i] < 2 || ns < 2 || more[i] < 1 {
			return d.impossible("chest", i, "neck, upper arm and chest leave no room for raglan lines")
		}
	}
	yoke := d.each(func(i int) int { return max(16, int(math.Round(float64(d.want["yoke"][i])/float64(g.RowHeight())))) })
	s, t := make([]spread, d.n), make([]spread, d.n)
	var deep []int
	for i := range s {
		rows := yoke[i] - 3 // the set-up round and the first of each kind
		events := both[i] + more[i] - 2
		if events > rows {
			deep = append(deep, i)
			rows = events
		}
		first := 0
		if events > 0 {
			first = max(both[i]-1, rows*(both[i]-1)/events)
		}
		first = min(first, rows-(more[i]-1))
		s[i], _ = spreadOver(both[i]-1, first, false)
		t[i], _ = spreadOver(more[i]-1, rows-s[i].rows(), false)
	}
	if len(deep) > 0 {
		d.problem("yoke", deep, "the yoke is too shallow for so many increases", "a deeper yoke", "a narrower chest or upper arm", "a wider neck")
	}

	p := d.piece("Yoke", true)
	p.castOn(neck)
	rib := d.each(func(i int) int { return 6 })
	p.rib(rib)
	d.line("Set-up rnd: K%s, pm, k%s, pm, k%s, pm, k%s, pm.", Vector(top), Vector(front), Vector(top), Vector(front))
	p.to(p.all(1), p.zero())
	total := append([]int(nil), neck...)
	grow := func(n, per []int) []int {
		for i := range total {
			total[i] += n[i] * per[i]
		}
		return total
	}
	d.line("Inc rnd: *K1, m1, k to 1 st before m, m1, k1, sm; rep from * 3 times more. %s sts.", Vector(grow(p.all(1), p.all(8))))
	d.rounds("Inc rnd", s, func(n []int) []int { return grow(n, p.all(8)) })
	d.line("Body inc rnd: [K to m, sm, k1, m1, k to 1 st before m, m1, k1, sm] twice. %s sts.", Vector(grow(p.all(1), p.all(4))))
	d.rounds("Body inc rnd", t, func(n []int) []int { return grow(n, p.all(4)) })
	sleeve := d.each(func(i int) int { return arm[i] - under[i] })
	half := d.each(func(i int) int { return body[i] - under[i] })
	d.line("Division rnd: Place next %s sts on waste yarn, CO %s sts, k%s, place next %s sts on waste yarn, CO %s sts, k%s. %s sts.",
		Vector(sleeve), Vector(under), Vector(half), Vector(sleeve), Vector(under), Vector(half), Vector(d.each(func(i int) int { return 2 * body[i] })))
	rows := d.each(func(i int) int { return 6 + 1 + 1 + s[i].rows() + 1 + t[i].rows() + 1 })
	yokeRows := append([]int(nil), rows...)

	d.line("\nBody")
	hem := d.each(func(i int) int { return d.rowsFor(d.want["hem"][i]) })
	plain := d.each(func(i int) int { return max(4, d.rowsFor(d.want["length"][i])-rows[i]-hem[i]-1) })
	d.line("Work in %s for %s rnds.", d.stitchName(), Vector(plain))
	b := &piece{d: d, round: true, sts: d.each(func(i int) int { return 2 * body[i] }), rows: p0(d)}
	b.begin()
	b.decEvenly(d.each(func(i int) int { return 2 * body[i] % 4 }))
	d.line("Work %s rnds in k2, p2 rib.", Vector(hem))
	d.line("Bind off in rib.")

	d.line("\nSleeves (both alike)")
	d.line("Return %s sleeve sts to needles, pick up and knit %s sts from the underarm, pm and join. %s sts.", Vector(sleeve), Vector(under), Vector(arm))
	long := d.each(func(i int) int { return max(16, d.rowsFor(d.want["sleeve"][i])) })
	k := d.each(func(i int) int { return (arm[i] - cuff[i]) / 2 })
	cuffs := d.each(func(i int) int { return min(hem[i], long[i]/4*2) })
	u := make([]spread, d.n)
	rest := p0(d)
	var steep []int
	for i := range u {
		avail := long[i] - cuffs[i] - 4 - 1
		if k[i]-1 > avail {
			steep = append(steep, i)
			avail = k[i] - 1
		}
		u[i], _ = spreadOver(k[i]-1, avail, false)
		rest[i] = max(1, long[i]-cuffs[i]-4-1-u[i].rows())
	}
	if len(steep) > 0 {
		d.problem("sleeve", steep, "the sleeve is too short to narrow so far", "a longer sleeve", "a wider cuff", "a narrower upper arm")
	}
	d.line("Knit 4 rnds.")
	d.line("Dec rnd: K1, k2tog, k to last 3 sts, ssk, k1. %s sts.", Vector(d.each(func(i int) int { return arm[i] - 2 })))
	now := append([]int(nil), arm...)
	for i := range now {
		now[i] -= 2
	}
	d.rounds("Dec rnd", u, func(n []int) []int {
		for i := range now {
			now[i] -= 2 * n[i]
		}
		return now
	})
	d.line("Knit %s %s.", Vector(rest), pick(allAre(rest, 1), "rnd", "rnds"))
	c := &piece{d: d, round: true, sts: append([]int(nil), now...), rows: p0(d)}
	c.begin()
	c.decEvenly(d.each(func(i int) int { return now[i] % 4 }))
	d.line("Work %s rnds in k2, p2 rib.", Vector(cuffs))
	d.line("Bind off in rib.")

	d.measured("chest", "", "chest", func(i int) Length { return g.Width(2 * body[i]) })
	d.measured("upper arm", "", "upper", func(i int) Length { return g.Width(arm[i]) })
	d.measured("yoke depth", "", "yoke", func(i int) Length { return g.Height(yokeRows[i] - 6) })
	d.measured("length", "", "length", func(i int) Length { return g.Height(rows[i] + plain[i] + hem[i]) })
	d.measured("sleeve length", "", "sleeve", func(i int) Length {
		return g.Height(4 + 1 + u[i].rows() + rest[i] + cuffs[i])
	})
	d.raglanOutline(neck, body, arm, cuff, yokeRows, plain, hem, u, rest, cuffs)
	d.tell("chest", of)
	return nil
}

// rounds repeats a round at two rates, telling the stitches after.
func (d *drafting) rounds(name string, s []spread, after func(times []int) []int) {
	n := d.each(func(i int) int { return s[i].longTimes + s[i].shortTimes })
	d.repeatRow(name, true, s, after(n))
}
