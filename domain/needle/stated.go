package needle

import "rowproof/domain/notation"

// stated compares the counts written at a row's end with the worked ones.
func (r *run) stated(l *lane, before Lin, st []notation.Stated) *failure {
	total := l.total()
	for _, s := range st {
		want := s.N.For(l.size)
		if want == notation.Skip {
			continue
		}
		switch s.Kind {
		case notation.CountAll:
			if total.C != 0 {
				continue
			}
			if total.D != want && l.turned && l.left_ && want == total.D-l.right.total().D-l.left.beyondGap() {
				l.aside = want
				continue // "P11, turn and cast on 1 st. 12 sts": those of the thumb, between the others
			}
			if total.D != want && l.everTurned && l.left.total().zero() && l.right.thisSide() == want {
				l.hold(K(total.D - want)) // "K until there are 47 sts on the needle, turn. P to end. 47 sts": the others wait
				l.right = newStack(K(want))
				continue
			}
			if total.D != want {
				f := l.fail("stated-count-differs", s.Span, "%s stated, %s worked", sts(K(want)), sts(total))
				f.missing = want - total.D
				return f
			}
		case notation.CountInc, notation.CountDec:
			d := total.minus(before)
			if d.C != 0 {
				continue
			}
			got, word := d.D, "increased"
			if s.Kind == notation.CountDec {
				got, word = -d.D, "decreased"
			}
			if got != want {
				f := l.fail("stated-count-differs", s.Span, "%s stated as %s, %d worked", sts(K(want)), word, got)
				f.missing = want - got
				return f
			}
		case notation.CountBetween:
			ok, have := false, -1
			groups := append(l.right.between(), l.left.between()...)
			for i, g := range groups {
				if g.C == 0 && g.D == want {
					ok = true
				}
				if i > 0 && i < len(groups)-1 && g.D > 0 && (have < 0 || abs(g.D-want) < abs(have-want)) {
					have = g.D
				}
			}
			if !ok && have >= 0 {
				return l.fail("marker-count-differs", s.Span, "%s stated between markers, %s worked", sts(K(want)), sts(K(have)))
			}
		case notation.CountSide:
			// each side of what this row has bound off
			sides := sidesOf(l.right)
			if len(sides) != 2 || !l.left.total().zero() {
				continue
			}
			for _, have := range sides {
				if have.C == 0 && have.D != want {
					f := l.fail("stated-count-differs", s.Span, "%s stated on each side, %s and %s worked", sts(K(want)), sts(sides[0]), sts(sides[1]))
					f.missing = want - have.D
					return f
				}
			}
		}
	}
	return nil
}

// between lists the groups of stitches that anything but a needle's end divides.
func (s stack) between() []Lin {
	out := []Lin{s.group[0]}
	for i := 1; i < len(s.group); i++ {
		if s.bound[i] == tip {
			out[len(out)-1] = out[len(out)-1].plus(s.group[i])
			continue
		}
		out = append(out, s.group[i])
	}
	return out
}
