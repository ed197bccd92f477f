package picture

import (
	"math"

	"rowproof/domain/fabric"
)

// link is a length of yarn that wants to keep its length.
type link struct {
	a, b int32
	rest float64
	pull float64
	tilt float64 // how much higher b wants to lie than a
	lean float64 // how much longer it may be when it leans: a loop takes yarn from its neighbours
}

// rounds of relaxing: enough for a decrease to lean over some four rows.
const rounds = 60

// relax moves the nodes from the squares of a chart towards where the yarn lets
// them lie: neighbours one stitch apart, a loop one row above its parent. It
// goes over all links at once (Jacobi), so that what is alike stays alike.
func (p *plan) relax() {
	links := p.links()
	if len(links) == 0 {
		return
	}
	move := make([]vec, len(p.at))
	many := make([]float64, len(p.at))
	for _, l := range links {
		many[l.a]++
		many[l.b]++
	}
	start := make([]vec, len(p.at))
	copy(start, p.at)
	for k := range rounds {
		off := 0.0
		if k == rounds/3 {
			p.tilt(links)
		}
		for i := range links {
			l := &links[i]
			dx, dy := p.at[l.b].x-p.at[l.a].x, p.at[l.b].y-p.at[l.a].y
			d2 := dx*dx + dy*dy
			rest2 := l.rest*l.rest + l.lean*dx*dx
			if l.tilt != 0 {
				e := 0.2 * (dy - l.tilt)
				move[l.a].y += e
				move[l.b].y -= e
			}
			if e := d2 - rest2; e < 1e-6 && e > -1e-6 {
				continue
			}
			d := math.Sqrt(d2) + 1e-9
			e := l.pull * (d - math.Sqrt(rest2)) / d * 0.5
			off = max(off, e, -e)
			move[l.a].x += dx * e
			move[l.a].y += dy * e
			move[l.b].x -= dx * e
			move[l.b].y -= dy * e
		}
		if off < 1e-4 {
			break
		}
		for i := range move {
			if many[i] == 0 {
				continue
			}
			s := 1.6 / many[i]
			if many[i] < 2 {
				s = 0.8
			}
			p.at[i].x += move[i].x * s
			p.at[i].y += move[i].y * s
			// a little of the chart stays
			p.at[i].x += (start[i].x - p.at[i].x) * 0.006
			p.at[i].y += (start[i].y - p.at[i].y) * 0.004
			move[i] = vec{}
		}
	}
}

// tilt lets rows run square to the columns where these lean row after row, as
// in feather and fan: they rise towards yarn overs and dip towards decreases.
func (p *plan) tilt(links []link) {
	cols, rows := p.f.Columns, len(p.rows)
	if cols*rows > 4<<20 {
		return
	}
	lean := make([]float32, cols*rows)
	any := false
	cell := func(id int32) int {
		l := p.loop(id)
		return int(l.Row-p.lo)*cols + min(int(l.Column), cols-1)
	}
	for i := range links {
		if l := &links[i]; l.lean > 0 {
			d := (p.at[l.b].x - p.at[l.a].x) / l.rest
			if l := p.loop(l.b); len(p.f.Parents(links[i].b)) > 1 || l.Cross != fabric.Straight {
				d *= 0.5
			}
			lean[cell(l.b)] = float32(clamp(d, -1.5, 1.5))
			any = any || d > 0.05 || d < -0.05
		}
	}
	if !any {
		return
	}
	lean = boxMean(boxMean(lean, cols, rows, 1, 4), cols, rows, 1, 3)
	for i := range links {
		if l := &links[i]; l.lean == 0 {
			l.tilt = -0.55 * (p.at[l.b].x - p.at[l.a].x) * float64(lean[cell(l.a)]+lean[cell(l.b)]) / 2
		}
	}
}

func (p *plan) links() []link {
	var out []link
	for r, ids := range p.rows {
		for k, id := range ids {
			if k > 0 {
				o := ids[k-1]
				gap := float64(p.slots[id] - p.slots[o])
				for _, x := range [2]int32{o, id} {
					switch {
					case p.loop(x).End == fabric.Ravelled:
						gap += 0.10 // its loop's yarn makes a wide ladder
					case p.overNothing(x):
						gap += 0.12
					case len(p.f.Parents(x)) > 1:
						gap -= 0.10
					}
				}
				was := math.Abs(p.at[id].x - p.at[o].x)
				rest := clamp(was, gap*0.7, gap) // ribbing keeps what it draws in
				if gap > 12 {
					rest = was
				}
				out = append(out, link{a: o, b: id, rest: rest, pull: 0.8})
			}
			if p.knob[r] {
				continue
			}
			l := p.loop(id)
			for _, q := range p.parents(id) {
				if !p.has(q) {
					continue
				}
				o := p.loop(q)
				rows := l.Row - o.Row
				rest, pull := p.rise(o.Row, l.Row)+p.long[q], 1.0
				if o.Slips > 0 {
					rest *= 0.97
				}
				if l.Cross != fabric.Straight {
					continue // see cross
				}
				if c := p.f.CatchOf(id); c != nil {
					rest *= 0.92
				} else if rows > 8 || int(rows) > 1+int(o.Slips)+1 {
					continue // waiting on a holder, or in short rows
				}
				out = append(out, link{a: q, b: id, rest: rest, pull: pull, lean: 0.6})
			}
		}
	}
	return out
}

// rise is the height from row a to row b.
func (p *plan) rise(a, b int32) float64 {
	h := 0.0
	for r := max(a, p.lo); r < b && r < p.hi; r++ {
		if !p.knob[r-p.lo] {
			h += p.step[r-p.lo]
		}
	}
	return h
}

// How far fabric stands out, in stitch widths.
const (
	reliefRib   = 0.17 // knit columns beside purl ones
	reliefRidge = 0.17 // purl rows over knit ones
	reliefReach = 4    // stitches and rows that are looked at on either side
	liftCross   = 0.34
	sinkDrop    = 0.32
)

// relief makes knit columns stand out beside purl columns, purl rows over knit
// rows, and the fabric about a drop puff out. It is a way of showing, not a computation.
func (p *plan) relief() {
	cols, rows := p.f.Columns, len(p.rows)
	if cols == 0 || rows == 0 || cols*rows > 4<<20 {
		return
	}
	face := make([]float32, cols*rows)
	full := make([]float32, cols*rows)
	dip := make([]float32, cols*rows)
	dips := false
	for r, ids := range p.rows {
		for _, id := range ids {
			l := p.loop(id)
			c := min(int(l.Column), cols-1)
			end := r + 1
			if l.EndRow > l.Row && l.End == fabric.Worked {
				end = min(rows, int(l.EndRow-p.lo))
			}
			for k := r; k < end; k++ {
				face[k*cols+c], full[k*cols+c] = float32(sign(l.Face)), 1
			}
			if ct := p.f.CatchOf(id); ct != nil {
				dips = true
				for k := max(0, r-len(ct.Ladders)); k <= r; k++ {
					dip[k*cols+c] = 1
				}
			}
		}
	}
	mean := func(a []float32, rx, ry int) []float32 { return boxMean(a, cols, rows, rx, ry) }
	fv, nv := mean(face, 0, reliefReach), mean(full, 0, reliefReach)
	fh, nh := mean(face, reliefReach, 0), mean(full, reliefReach, 0)
	fm, nm := mean(fv, reliefReach, 0), mean(nv, reliefReach, 0)
	var d1, d2 []float32
	if dips {
		d1, d2 = mean(dip, 1, 1), mean(mean(dip, 3, 3), 2, 2)
	}
	for r, ids := range p.rows {
		for _, id := range ids {
			l := p.loop(id)
			i := r*cols + min(int(l.Column), cols-1)
			m := ratio(fm[i], nm[i])
			z := reliefRib*(ratio(fv[i], nv[i])-m) - reliefRidge*(ratio(fh[i], nh[i])-m)
			if dips {
				z += sinkDrop * (1.2*float64(d2[i]) - float64(d1[i]))
			}
			p.at[id].z += z
		}
	}
}

// crossSpread is how a crossing is spread over the rows about it: so much of
// the way across a column lies off its own place two rows before, one before,
// in the crossing row and one after; and so much of its lift it has there.
var crossSpread = [5]struct{ off, lift float64 }{{0.11, 0.45}, {0.34, 0.9}, {-0.34, 1}, {-0.11, 0.6}, {0, 0.15}}

// cross lays the columns of a crossing over each other.
func (p *plan) cross() {
	type shift struct {
		id int32
		by vec
	}
	var all []shift
	for _, ids := range p.rows {
		for _, id := range ids {
			l := p.loop(id)
			ps := p.parents(id)
			if l.Cross == fabric.Straight || len(ps) == 0 || !p.has(ps[0]) {
				continue
			}
			d := p.at[id].x - p.at[ps[0]].x
			z := liftCross
			if l.Cross == fabric.Behind {
				z = -liftCross
			}
			z *= min(1, 0.45+math.Abs(d)*0.2)
			put := func(id int32, k int) {
				s := crossSpread[k]
				all = append(all, shift{id, vec{d * s.off, 0, z * s.lift}})
			}
			q := ps[0]
			for k := 1; k >= 0 && p.has(q); k-- {
				put(q, k)
				ps := p.parents(q)
				if len(ps) != 1 || p.loop(q).Cross != fabric.Straight {
					break
				}
				q = ps[0]
			}
			q = id
			for k := 2; k < 5 && q != fabric.None && p.has(q); k++ {
				if k > 2 && (p.loop(q).Cross != fabric.Straight || len(p.parents(q)) != 1) {
					break
				}
				put(q, k)
				q = p.outer(p.loop(q).Child)
			}
		}
	}
	for _, s := range all {
		p.at[s.id] = p.at[s.id].add(s.by)
	}
}

func ratio(a, b float32) float64 {
	if b == 0 {
		return 0
	}
	return float64(a / b)
}

// boxMean is the mean over rx columns and ry rows on either side; beyond the
// edge the fabric is taken to go on as it is there.
func boxMean(a []float32, w, h, rx, ry int) []float32 {
	out := make([]float32, len(a))
	pass := func(dst, src []float32, n, stride, r int) {
		var sum float32
		at := func(i int) float32 { return src[max(0, min(n-1, i))*stride] }
		for i := -r; i <= r; i++ {
			sum += at(i)
		}
		for i := range n {
			dst[i*stride] = sum / float32(2*r+1)
			sum += at(i+r+1) - at(i-r)
		}
	}
	src := a
	if rx > 0 {
		for y := range h {
			pass(out[y*w:], src[y*w:], w, 1, rx)
		}
		src = out
	}
	if ry > 0 {
		dst := out
		if rx > 0 {
			dst = make([]float32, len(a))
		}
		for x := range w {
			pass(dst[x:], src[x:], h, w, ry)
		}
		out = dst
	}
	if rx == 0 && ry == 0 {
		copy(out, a)
	}
	return out
}

// snap rounds the nodes to steps of a grid, and how far they stand out to sixteenths.
func (p *plan) snap(grid float64) {
	for i := range p.at {
		n := &p.at[i]
		n.x, n.y, n.z = math.Round(n.x*grid)/grid, math.Round(n.y*grid)/grid, math.Round(n.z*16)/16
	}
}

// joints finds where each loop is held: at its foot and at its top.
func (p *plan) joints() {
	many := make([]int32, len(p.at))
	sum := make([]vec, len(p.at))
	for _, ids := range p.rows {
		for _, id := range ids {
			p.foot[id] = p.at[id]
			ps := p.parents(id)
			if p.loop(id).End == fabric.Ravelled {
				ps = nil
			}
			for _, q := range ps {
				if p.has(q) {
					many[q]++
					sum[q] = sum[q].add(p.at[id])
				}
			}
			if c := p.f.CatchOf(id); c != nil && c.Caught != fabric.None && p.has(c.Caught) {
				g := p.at[c.Caught]
				g.y += p.rise(p.loop(c.Caught).Row, p.loop(c.Caught).Row+1)
				p.foot[id] = between(g, p.at[id], 0.16)
			}
		}
	}
	for r, ids := range p.rows {
		for _, id := range ids {
			l := p.loop(id)
			p.up[id], p.tight[id] = int8(sign(l.Face)), 1
			child := p.outer(l.Child)
			p.top[id] = p.at[id].add(vec{0, p.step[r] + p.long[id], 0})
			if l.End == fabric.Live && l.Slips > 0 && l.Slips < 8 {
				p.top[id] = p.at[id].add(vec{0, p.rise(l.Row, min(p.hi, l.Row+1+int32(l.Slips))), 0})
			}
			if l.End == fabric.Worked && child != fabric.None && p.has(child) {
				p.up[id] = int8(sign(p.loop(child).Face))
				t := p.foot[child]
				if many[id] > 1 { // several loops out of one
					t = sum[id].mul(1 / float64(many[id]))
				}
				if n := t.sub(p.at[id]); n.y > 6*p.h && l.Slips == 0 && l.Wraps < 2 && p.f.CatchOf(child) == nil {
					t = p.at[id].add(vec{n.x * 0.1, p.step[r], 0})
				}
				p.top[id] = t
			}
		}
	}
	for _, ids := range p.rows {
		for _, id := range ids {
			ps := p.parents(id)
			if p.loop(id).End == fabric.Ravelled {
				ps = nil
			}
			for k, q := range ps {
				if !p.has(q) {
					continue
				}
				if len(ps) > 1 { // a stack of heads, the top one in front
					p.tight[q] = 0.6
					dir := 1.0
					if l := p.loop(id); l.Row >= 0 && p.f.Rows[l.Row].WS {
						dir = -1
					}
					p.top[q].z += dir * 0.2 * (float64(len(ps)-1)/2 - float64(k))
					p.top[q].x += clamp(p.at[q].x-p.at[id].x, -1, 1) * 0.12
				}
				if many[q] > 1 {
					f := &p.foot[id]
					f.x = lerp(f.x, p.top[q].x, 0.45)
				}
			}
		}
	}
}
