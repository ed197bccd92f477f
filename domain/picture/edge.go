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
	for _, id := range p.rows[0] {
		n := p.at[id]
		from := s.begin()
		y, h := n.y-0.12*p.h, p.h
		s.put(vec{n.x - 0.8, y + 0.2*h, 0}, vec{n.x - 0.62, y + 0.10*h, -0.5 * depth}, vec{n.x - 0.42, y + 0.22*h, depth * 0.8}, vec{n.x - 0.12, y + 0.10*h, depth * 1.6},
			vec{n.x + 0.18, y - 0.18*h, depth * 1.2}, vec{n.x + 0.42, y - 0.22*h, 0}, vec{n.x + 0.6, y - 0.1*h, -depth}, vec{n.x + 0.8, y, -depth})
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
	for i, y := range []float64{-0.42, -0.05, 0.32} {
		w := 0.62 - 0.12*math.Abs(float64(i)-1)
		z := 0.42 + 0.2*(1-math.Abs(float64(i)-1))
		from := s.begin()
		for _, x := range []float64{-1.2, -1, -0.5, 0, 0.5, 1, 1.2} {
			up := (0.12 - 0.16*x*x) * 0.9
			s.put(vec{n.x + x*w, n.y + y*p.h*1.25 + up*float64(1), n.z + z*(1-0.95*min(1, x*x))})
		}
		s.end(from, id, knobStrand, n)
	}
	// the fold of a stitch down its middle
	from := s.begin()
	for i := range 6 {
		t := float64(i)/5*2 - 1
		s.put(vec{n.x + 0.14, n.y + t*0.55*p.h, n.z + 0.72 - 0.4*t*t})
	}
	s.end(from, id, knobStrand, n)
	from = s.begin()
	for i := range 6 {
		t := float64(i)/5*2 - 1
		s.put(vec{n.x - 0.14, n.y + t*0.55*p.h, n.z + 0.72 - 0.4*t*t})
	}
	s.end(from, id, knobStrand, n)
}
