package notation

// This file adds up the stitches that are picked up, and those that were there before.

func (p *parser) joinAt(i int) bool { return p.w(i) == "join" || p.w(i) == "being" }

// sumPickUp adds the numbers of "pick up and knit 20 sts along …, 12 from holder, 20 …".
func (p *parser) sumPickUp(b *Begin, i, end int) {
	p.addends, p.unsure = 1, false
	for k := i; k < end; k++ {
		if _, ok := p.words(k, "k|knit|p|purl|and the? centre? st from|on|off a|the? safety|st|pin", "k|knit|p|purl|and the? centre|marked st"); ok && (p.at(k+1).Text != "sts" && p.at(k+2).Text != "sts" && p.at(k+2).Text != "stitches") { // "knit the stitch from the safety-pin"
			b.N = sumNum(b.N, N(1))
			p.addends++
			continue
		}
		if p.at(k).Kind != Number {
			continue
		}
		n, r, ok := p.num(k)
		if !ok {
			continue
		}
		if isDash(p.w(k-1)) || p.w(k-1) == "(" || p.w(k-1) == "=" || p.w(k-1) == "total" || p.w(k-1) == ":" || p.w(k-1) == "." || p.w(k-1) == "every" {
			p.unsure = p.unsure || p.w(k-1) == "every"
			k = r - 1
			continue
		}
		switch p.w(r) {
		case "st", "along", "from", "down", "up", "across", "on", "at", "in", "over", "round", "rnd", "around":
			if e, each := p.words(r, "st in? each|every of? the?"); each { // "pick up 1 st in each of the 6 sts cast on"
				if m, q, ok := p.num(e); ok && p.w(q) == "st" && n.Single() && n.For(0) == 1 {
					b.N = sumNum(b.N, m)
					p.addends++
					k = q
					continue
				}
			}
			if p.w(r) == "st" && p.w(r+1) == "for" || (p.w(r) == "in" || p.w(r) == "for" || p.w(r) == "st") && (p.w(r+1) == "every" || p.w(r+1) == "each") {
				p.unsure = true
				continue
			}
			if _, both := p.words(r, "st at|on|from each|either side|end|edge|corner"); both { // "and 1 st at each side"
				n = mulNum(n, N(2))
			}
			b.N = sumNum(b.N, n)
			p.addends++
		case "instep", "sole", "front", "back", "sleeve", "body", "neck", "held", "thumb", "underarm", "live", "resting", "waiting":
			if p.w(r+1) != "st" && p.w(p.skipWords(r+1, "sleeve", "thumb", "instep", "body", "front", "back")) != "st" {
				p.unsure = true
				break
			}
			b.N = sumNum(b.N, n) // "knit the 36 instep sts"
			p.addends++
		case "heel", "of": // "and knit 6 of the heel sts": they are among those told, or come again
			b.Again = n
		default:
			p.unsure = p.unsure || !lengthUnit(p.w(r))
		}
		k = r - 1
	}
}

// before adds up the stitches that a sentence tells of before it picks any up: "slip the 13 sts back
// on to needles, knit these and pick up 3". sure says that every number there is one of them, or
// of a needle.
func (p *parser) before(i, at int) (sum Num, sure bool) {
	for k := i; k < at; k++ {
		if p.at(k).Kind != Number {
			continue
		}
		n, r, ok := p.num(k)
		if !ok && (p.at(k).Frac != "" || p.w(k+1) == "." && p.at(k+1).Glued || lengthUnit(p.w(k+1)) || p.w(k+1) == "mm") {
			continue // 3.5 mm
		}
		if !ok {
			return sum, false
		}
		if p.w(r) == "." && p.at(r).Glued && p.at(r+1).Kind == Number && p.at(r+1).Glued { // 3.5 mm
			r += 2
		}
		j := p.skipWords(r, "held", "thumb", "sleeve", "waiting", "left", "right", "back", "front", "rem", "body", "heel", "instep", "neck", "live", "centre", "of", "the")
		if _, each := p.words(j, "st from each|both length|thread|holder|pin|strand|side|needle|of", "st of each|both"); each { // "Take the rem 5 sts from each length of wool"
			n = mulNum(n, N(2))
		}
		switch {
		case p.w(j) == "st" && sum.Given():
			sum = sumNum(sum, n)
		case p.w(j) == "st":
			sum = n
		case !lengthUnit(p.w(r)) && !hasWord(p, r, "needle", "dpn", "circular", "mm", "ply", "balls") && !hasWord(p, k-1, "no", "us", "size"):
			return sum, false
		}
		k = r - 1
	}
	return sum, true
}

func sumNum(a, b Num) Num {
	out := Num{Span: a.Span.Cover(b.Span)}
	for i := 0; i < max(len(a.Vals), len(b.Vals)); i++ {
		x, y := a.For(i), b.For(i)
		if x == Skip {
			x = 0
		}
		if y == Skip {
			y = 0
		}
		out.Vals = append(out.Vals, min(x+y, MaxNumber))
	}
	return out
}
