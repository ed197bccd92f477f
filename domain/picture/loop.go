package picture

import (
	"rowproof/domain/fabric"
)

// The curve of a plain loop is that of Leaf (G. A. V. Leaf, "Models of the
// plain-knitted loop", J. Text. Inst. 51 (1960) T49-T58): with u from 0 to 1
// over a loop, x = u + A sin 4πu, y = h (1 - cos 2πu)/2, z = -d cos 4πu. Here it
// is taken at steps of a sixteenth with A = 1/4 and h = 1.6 rows, and its lower
// half hangs on the loop's foot, its upper half on the place of its child.
const (
	overlap = 0.33 // so much of a row a loop reaches beyond its foot and top
	depth   = 0.17 // d: how far legs stand in front of heads, in stitch widths
)

// shape is half a loop, from the seam beside it to its head: x is away from its
// middle, y is from foot (four points) or top (four), in rows; the middle of the leg is between.
var shape = [9]vec{
	{0.500, -0.330, -1}, {0.285, -0.215, -0.707}, {0.138, -0.030, 0}, {0.136, 0.200, 0.707},
	{0.250, 0, 1},
	{0.352, -0.200, 0.707}, {0.362, 0.030, 0}, {0.222, 0.225, -0.707}, {0, 0.330, -1},
}

// what a strand is.
type strandKind uint8

const (
	loopStrand strandKind = iota
	ladderStrand
	floatStrand
	edgeStrand
	knobStrand
)

// strand is a piece of yarn. Its first and last points only give direction.
type strand struct {
	from, to int32 // its points, in strands.pts
	loop     int32 // whose yarn and colour it is
	kind     strandKind
	anchor   vec
	cmFrom   float32 // where along its yarn it lies, as parts of its loop
}

type strands struct {
	pts  []vec
	list []strand
}

func (s *strands) begin() int32 { return int32(len(s.pts)) }

func (s *strands) put(p ...vec) { s.pts = append(s.pts, p...) }

func (s *strands) end(from, loop int32, kind strandKind, anchor vec) {
	s.list = append(s.list, strand{from: from, to: int32(len(s.pts)), loop: loop, kind: kind, anchor: anchor})
}

// under is where the yarn beside a loop lies: -1 behind, 1 in front, 0 between.
func (p *plan) under(id int32) float64 {
	l := p.loop(id)
	if l.End == fabric.Ravelled || p.overNothing(id) {
		return 0
	}
	return -sign(l.Face)
}

// overNothing says that a loop has no foot: a yarn over.
func (p *plan) overNothing(id int32) bool {
	l := p.loop(id)
	return l.Row >= 0 && p.kinds[id] == fabric.YarnOver && len(p.f.Parents(id)) == 0
}

// strands draws all loops laid out.
func (p *plan) strands() *strands {
	s := &strands{}
	n := 0
	for _, ids := range p.rows {
		n += len(ids)
	}
	s.pts, s.list = make([]vec, 0, 21*n+256), make([]strand, 0, n+n/4+64)
	last := map[uint8]int32{} // of each yarn, the loop it made last
	for r, ids := range p.rows {
		p.rowStrands(s, r, ids, last)
		for _, id := range ids {
			last[p.loop(id).Yarn] = id
		}
	}
	p.castOnEdge(s)
	p.boundOffEdge(s)
	return s
}

// seam is where two neighbours meet.
func (p *plan) seam(a, b int32) vec {
	m := mid(p.at[a], p.at[b])
	m.y -= overlap * p.h
	m.z += depth * (p.under(a) + p.under(b)) / 2
	return m
}

// open is a seam with nothing beside it, to the side dir of a loop.
func (p *plan) open(id int32, dir float64) vec {
	m := p.at[id]
	m.x += dir * 0.5
	m.y -= overlap * p.h
	m.z += depth * p.under(id)
	return m
}

func (p *plan) rowStrands(s *strands, r int, ids []int32, last map[uint8]int32) {
	dir := 1.0
	if p.leftward(r) {
		dir = -1
	}
	prev := map[uint8]int32{}
	next := make([]int32, len(ids)) // the next loop of the same yarn
	for k := len(ids) - 1; k >= 0; k-- {
		y := p.loop(ids[k]).Yarn
		next[k] = fabric.None
		if n, ok := prev[y]; ok {
			next[k] = n
		}
		prev[y] = ids[k]
	}
	clear(prev)
	fronts := map[int32]bool{}
	if row := r + int(p.lo); row >= 0 {
		for _, f := range p.f.Rows[row].Floats {
			if f.Front {
				fronts[f.To] = true
			}
		}
	}
	near := func(a, b int32) bool { return p.slots[b]-p.slots[a] == 1 || p.slots[a]-p.slots[b] == 1 }
	for k, id := range ids {
		y := p.loop(id).Yarn
		before, ok := prev[y]
		if !ok {
			before = fabric.None
		}
		prev[y] = id
		after := next[k]
		var a, b vec
		switch {
		case before != fabric.None && near(before, id):
			a = p.seam(before, id)
		default:
			a = p.open(id, -dir)
			if before != fabric.None {
				p.float(s, before, id, dir, fronts[id])
			} else if l, ok := last[y]; ok {
				p.edge(s, l, id, dir)
			}
		}
		if after != fabric.None && near(id, after) {
			b = p.seam(id, after)
		} else {
			b = p.open(id, dir)
		}
		p.one(s, id, a, b, dir)
	}
}

// one draws a loop between two seams; dir is where the work goes, 1 to the right.
func (p *plan) one(s *strands, id int32, a, b vec, dir float64) {
	from := s.begin()
	l := p.loop(id)
	pa, pb := p.near(id, a, -dir), p.near(id, b, dir)
	if l.End == fabric.Ravelled {
		n := p.at[id]
		back := -depth
		if c := l.EndRow; c >= 0 && p.f.Rows[c].WS {
			back = depth
		}
		s.put(pa, a, vec{n.x - dir*0.27, n.y - 0.1*p.h, n.z + back*0.9}, vec{n.x, n.y + 0.04*p.h, n.z + back*1.2}, vec{n.x + dir*0.27, n.y - 0.1*p.h, n.z + back*0.9}, b, pb)
		s.end(from, id, ladderStrand, n)
		return
	}
	s.put(pa, a)
	p.half(s, id, -dir, false)
	t := p.top[id]
	s.put(vec{t.x, t.y + shape[8].y*p.h, t.z - depth*float64(p.up[id])})
	p.half(s, id, dir, true)
	s.put(b, pb)
	s.end(from, id, loopStrand, p.at[id])
	if k := p.knots[id]; k > 1 || p.isKnob(id) {
		p.drawKnob(s, id)
	}
}

// near is a point of the yarn just beyond a seam, for its direction.
func (p *plan) near(id int32, seam vec, side float64) vec {
	n := p.at[id]
	return vec{seam.x + side*0.23, lerp(seam.y, n.y-0.245*p.h, 0.5) + 0.03*p.h, seam.z}
}

// half puts the points of one leg, on the given side: from the seam up, or from the head down.
func (p *plan) half(s *strands, id int32, side float64, down bool) {
	l := p.loop(id)
	f, t := p.foot[id], p.top[id]
	own, up := sign(l.Face), float64(p.up[id])
	var q [7]vec
	lean := clamp((t.x-f.x)/max(0.3, t.y-f.y), -3, 3) // sideways for each up
	over := p.overNothing(id)
	tall := t.y - f.y
	tight := p.tight[id]
	for i := 1; i <= 7; i++ {
		c := shape[i]
		var v vec
		switch {
		case i < 4:
			v = vec{f.x, f.y + c.y*p.h, f.z + own*depth*c.z}
		case i == 4:
			v = mid(f, t)
			v.z += depth * (own + up) / 2
		default:
			v = vec{t.x, t.y + c.y*p.h, t.z + up*depth*c.z}
		}
		x := c.x * side
		switch {
		case i > 4:
			x *= tight
		case i == 4:
			x *= (1 + tight) / 2
		}
		v.x += x
		if i >= 3 && i <= 5 { // legs that lean lie side by side across their own direction
			k := lean * 0.55
			if i == 4 {
				k = lean * 0.8
			}
			if tight < 1 {
				k *= 0.5
			}
			v.y -= clamp(x*k, -0.5*p.h, 0.5*p.h)
			if i == 3 {
				v.x += clamp(t.x-f.x, -1, 1) * 0.12
			} else if i == 5 {
				v.x -= clamp(t.x-f.x, -1, 1) * 0.16
			}
		}
		q[i-1] = v
	}
	if tall > 1.9*p.h { // long legs run straight
		q[2] = between(q[2], between(q[1], q[5], 0.2), 0.4)
		q[3] = between(q[1], q[5], 0.5)
		q[3].z += depth * (own + up) / 2 * 0.7
		q[4] = between(q[4], between(q[1], q[5], 0.8), 0.4)
	}
	switch {
	case over: // an arc without a foot
		q[0] = vec{f.x + side*0.43, f.y - 0.12*p.h, f.z}
		q[1] = vec{f.x + side*0.39, f.y + 0.12*p.h, f.z}
		q[2] = vec{lerp(f.x, t.x, 0.3) + side*0.37, lerp(f.y, t.y, 0.4), f.z + up*depth*0.4}
		q[3] = between(q[2], q[4], 0.5)
	case p.crossedLegs(id):
		q[0].x = f.x + side*0.16
		q[1].x = f.x - side*0.02
		q[2].x = f.x - side*0.10
		q[3].x = mid(f, t).x + side*0.06
		for i := range 4 {
			q[i].z += side * depth * 0.5 * own
		}
	case p.f.CatchOf(id) != nil: // down behind the ladders, and up before them
		q[2].z += own * depth * 0.3
		q[3].x += side * 0.05
		q[4].x += side * 0.06
		q[0] = vec{f.x + side*0.30, lerp(p.at[id].y, f.y, 0.5), f.z - own*depth*2.2}
		q[1].z -= own * depth * 0.4
	}
	if down {
		for i := 6; i >= 0; i-- {
			s.put(q[i])
		}
	} else {
		s.put(q[:]...)
	}
}

// crossedLegs says that a loop stands twisted.
func (p *plan) crossedLegs(id int32) bool {
	l := p.loop(id)
	return l.Twist && !p.overNothing(id)
}
