package picture

import (
	"math"

	"rowproof/domain/fabric"
)

// float draws the strand that passes the stitches between two loops of a row.
func (p *plan) float(s *strands, a, b int32, dir float64, front bool) {
	from := s.begin()
	z := -depth * 2.3
	if front {
		z = depth * 2.3
	}
	st, en := p.open(a, dir), p.open(b, -dir)
	n := max(1, int(math.Round(math.Abs(en.x-st.x))))
	s.put(p.at[a].add(vec{dir * 0.25, -overlap * p.h, 0}), st)
	for i := 1; i < 2*n; i++ {
		t := float64(i) / float64(2*n)
		v := between(st, en, t)
		edge := min(1, min(t, 1-t)*float64(n)*3)
		v.z = lerp(v.z, p.at[a].z*(1-t)+p.at[b].z*t+z, edge)
		v.y += p.h * 0.42 * edge
		if n > 3 {
			v.y -= 0.1 * math.Sin(math.Pi*t)
		}
		s.put(v)
	}
	s.put(en, p.at[b].add(vec{-dir * 0.25, -overlap * p.h, 0}))
	s.end(from, b, floatStrand, mid(st, en))
}

// edge draws the yarn up the edge from the row before, or from the row in which it was used last.
func (p *plan) edge(s *strands, a, b int32, dir float64) {
	la, lb := p.loop(a), p.loop(b)
	if la.Row < 0 || lb.Row-la.Row > 6 || p.f.Rows[lb.Row].Round {
		return
	}
	sa := p.open(a, -dir) // it left on the side where the next row begins
	sb := p.open(b, -dir)
	if math.Abs(sa.x-sb.x) > 1.5 || math.Abs(p.at[a].x-p.at[b].x) > 2 || sb.y-sa.y < 0.1*p.h {
		return
	}
	out := -dir * 0.16
	from := s.begin()
	s.put(p.at[a].add(vec{-dir * 0.2, -overlap * p.h, 0}), sa,
		vec{sa.x + out, lerp(sa.y, sb.y, 0.25), sa.z * 0.5}, vec{sb.x + out, lerp(sa.y, sb.y, 0.75), sb.z * 0.5},
		sb, p.at[b].add(vec{-dir * 0.2, -overlap * p.h, 0}))
	s.end(from, b, edgeStrand, mid(sa, sb))
}

// castOnEdge draws the row of slanting strands that holds the loops of a long-tail cast-on.
func (p *plan) castOnEdge(s *strands) {
	if p.lo >= 0 || len(p.rows) == 0 {
		return
	}
	ids := p.rows[0]
	for i, id := range ids {
		n := p.at[id]
		if p.top[id].y-n.y > 4*p.h { // cast on later, where the row after it is not the first
			continue
		}
		// the strands follow their neighbours
		a, z := p.at[ids[max(0, i-1)]], p.at[ids[min(len(ids)-1, i+1)]]
		if a.x > z.x {
			a, z = z, a
		}
		left, right := (a.y-n.y)/2, (z.y-n.y)/2
		if math.Abs(left)+math.Abs(right) > p.h {
			left, right = 0, 0
		}
		from := s.begin()
		y, h := n.y-0.12*p.h, p.h
		for _, v := range [8]vec{{-0.8, 0.2 * h, 0}, {-0.62, 0.10 * h, -0.5 * depth}, {-0.42, 0.22 * h, depth * 0.8}, {-0.12, 0.10 * h, depth * 1.6},
			{0.18, -0.18 * h, depth * 1.2}, {0.42, -0.22 * h, 0}, {0.6, -0.1 * h, -depth}, {0.8, 0, -depth}} {
			tilt := left * min(0, v.x) * -2
			if v.x > 0 {
				tilt = right * v.x * 2
			}
			s.put(vec{n.x + v.x, y + v.y + tilt, v.z})
		}
		s.end(from, id, edgeStrand, n)
	}
}

// boundOffEdge draws the chain along bound-off loops.
func (p *plan) boundOffEdge(s *strands) {
	for r := range p.rows {
		row := r + int(p.lo)
		if row < 0 {
			continue
		}
		ws := &p.f.Rows[row]
		dir := 1.0
		if p.leftward(r) {
			dir = -1
		}
		face := 1.0 // the chain lies on the side it was worked from
		if ws.WS {
			face = -1
		}
		for k := range ws.Works {
			w := &ws.Works[k]
			if w.Kind != fabric.BindOffCell || len(w.In) == 0 || !p.has(w.In[0]) {
				continue
			}
			id := w.In[0]
			n := p.top[id]
			n.z = 0
			h := p.h
			end := n.add(vec{dir, 0, 0})
			if k+1 < len(ws.Works) && len(ws.Works[k+1].In) > 0 && p.has(ws.Works[k+1].In[0]) {
				end = p.top[ws.Works[k+1].In[0]]
				end.z = 0
			}
			y := 0.30 * h
			from := s.begin()
			// a link of the chain: out along one side, back along the other
			s.put(n.add(vec{0, -0.1 * h, -depth * face}), n.add(vec{-dir * 0.12, y - 0.06*h, -depth * face * 0.5}),
				n.add(vec{dir * 0.12, y + 0.20*h, depth * face}), between(n, end, 0.5).add(vec{0, y + 0.30*h, depth * 1.5 * face}),
				end.add(vec{dir * 0.05, y + 0.18*h, depth * 0.4 * face}), end.add(vec{dir * 0.16, y, -depth * face}),
				end.add(vec{dir * 0.02, y - 0.16*h, 0}), between(n, end, 0.5).add(vec{0, y - 0.26*h, depth * 1.3 * face}),
				n.add(vec{dir * 0.1, y - 0.14*h, depth * 0.8 * face}), n.add(vec{-dir * 0.12, y - 0.02*h, -depth * face * 0.6}), n.add(vec{-dir * 0.3, y, -depth * face}))
			s.end(from, id, edgeStrand, n)
		}
	}
}

// isKnob says that a loop ends a knob that its row works in one place.
func (p *plan) isKnob(id int32) bool {
	return p.loop(id).Row >= 0 && p.kinds[id] == fabric.Bobble
}

// drawKnob draws a knob: strands bowed over a ball that stands out to RS.
func (p *plan) drawKnob(s *strands, id int32) {
	n := mid(p.foot[id], p.top[id])
	n.x = p.at[id].x
	const bows = 5
	for i := range bows {
		t := 2*float64(i)/(bows-1) - 1 // up the ball, -1 to 1
		round := math.Sqrt(1 - 0.72*t*t)
		w := 0.66 * round
		from := s.begin()
		for k := range 9 {
			x := (float64(k) - 4) / 3
			c := math.Sqrt(max(0, 1-min(1, x*x)))
			wave := 0.07 * math.Sin(math.Pi*(1.5*x+float64(i))) // strands of a few stitches, not hoops
			s.put(vec{n.x + clamp(x, -1.1, 1.1)*w, n.y + t*0.52 + wave*c - 0.04*c, n.z + 0.75*round*c - 0.25})
		}
		s.end(from, id, knobStrand, n)
	}
}
