package picture

import (
	"math"
	"slices"

	"rowproof/domain/fabric"
)

// vec is a point of the fabric. x runs to the right and y up as the right side
// is seen, z towards the one who looks at it; a stitch is 1 wide.
type vec struct{ x, y, z float64 }

func (a vec) add(b vec) vec                { return vec{a.x + b.x, a.y + b.y, a.z + b.z} }
func (a vec) sub(b vec) vec                { return vec{a.x - b.x, a.y - b.y, a.z - b.z} }
func (a vec) mul(k float64) vec            { return vec{a.x * k, a.y * k, a.z * k} }
func mid(a, b vec) vec                     { return a.add(b).mul(0.5) }
func lerp(a, b, t float64) float64         { return a + (b-a)*t }
func clamp(v, lo, hi float64) float64      { return max(lo, min(hi, v)) }
func between(a, b vec, t float64) vec      { return a.add(b.sub(a).mul(t)) }
func sign(f fabric.Face) float64           { return 1 - 2*float64(f) }
func (p *plan) loop(id int32) *fabric.Loop { return &p.f.Loops[id] }

// plan says where the loops lie: nodes, that is where a loop comes through the
// loops below it, and where the next one comes through it.
type plan struct {
	f      *fabric.Fabric
	h      float64 // height of a plain row
	radius float64 // of the yarn as seen, its halo and all
	lo, hi int32   // rows laid out, lo <= row < hi; lo is -1 for the cast-on
	c0, c1 int32   // columns laid out, c0 <= column < c1

	rows  [][]int32     // loops of each row laid out, in the order of working
	slots []int32       // place of a loop in its row, slipped stitches counted
	at    []vec         // node of a loop in its row
	foot  []vec         // where it comes through its parents: at, but for those worked below
	top   []vec         // where its child comes through it
	tight []float64     // how wide its head is, of 1: heads worked together are drawn narrow
	up    []int8        // face of the child: 1 knit, -1 purl, as seen from RS
	step  []float64     // height of a row, by row - lo
	long  []float64     // how much longer than its row a loop is: wound, or with yarn overs let fall beside it
	kinds []fabric.Kind // working that made each loop
	inner []bool        // loops that came and went within one row
	knots []uint8       // loops under a knob, by the loop it ends as
	pos   []float64     // of a column, from the right edge, growing to the left
	knob  []bool        // rows of a knob, by row - lo
}

// newPlan lays part of a fabric out, from row -1, the cast-on. grid is the finest step of places, in parts
// of a stitch: places are rounded to it, so that what is nearly alike is drawn alike.
func newPlan(f *fabric.Fabric, h float64, part Window, grid int) *plan {
	n := len(f.Loops)
	p := &plan{f: f, h: h, lo: int32(part.FromRow), hi: int32(part.ToRow), c0: int32(part.FromColumn), c1: int32(part.ToColumn), slots: make([]int32, n), at: make([]vec, n), foot: make([]vec, n), top: make([]vec, n),
		up: make([]int8, n), tight: make([]float64, n), long: make([]float64, n), inner: make([]bool, n), kinds: make([]fabric.Kind, n)}
	p.gather()
	p.thickness()
	p.knobs()
	p.columns()
	p.heights()
	p.relax()
	p.relief()
	p.cross()
	p.snap(float64(grid))
	p.joints()
	return p
}

func (p *plan) has(id int32) bool {
	l := &p.f.Loops[id]
	return l.Row >= p.lo && l.Row < p.hi && l.Column >= p.c0 && l.Column < p.c1 && !p.inner[id]
}

// gather lists the loops of each row as they were worked.
func (p *plan) gather() {
	f := p.f
	p.rows = make([][]int32, p.hi-p.lo)
	counts := make([]int, p.hi-p.lo)
	for i := range f.Loops {
		l := &f.Loops[i]
		p.slots[i] = -1
		if l.Row >= 0 && l.End == fabric.Ravelled && len(f.Parents(int32(i))) == 0 && l.EndRow == l.Row+1 {
			p.inner[i] = true // a yarn over let fall: it only makes its neighbours long
		}
		if l.Row >= 0 && l.EndRow == l.Row && l.End != fabric.Live && l.End != fabric.BoundOff {
			p.inner[i] = true
		}
		if p.has(int32(i)) {
			counts[l.Row-p.lo]++
		}
	}
	for i, c := range counts {
		p.rows[i] = make([]int32, 0, c)
	}
	for i := range f.Loops {
		if p.has(int32(i)) {
			r := f.Loops[i].Row - p.lo
			p.rows[r] = append(p.rows[r], int32(i))
		}
	}
	for r := range p.rows {
		row := r + int(p.lo)
		if row >= 0 {
			s := int32(0)
			for k := range f.Rows[row].Works {
				for _, id := range f.Rows[row].Works[k].Out {
					if f.Loops[id].Row == int32(row) {
						p.slots[id] = s
						p.kinds[id] = f.Rows[row].Works[k].Kind
					}
					if !p.inner[id] || f.Loops[id].Row != int32(row) {
						s++
					}
				}
			}
			p.stretch(row)
		}
		left := p.leftward(r)
		slices.SortStableFunc(p.rows[r], func(a, b int32) int {
			d := int(f.Loops[a].Column) - int(f.Loops[b].Column)
			if !left {
				d = -d
			}
			return d
		})
		last := int32(-1)
		for _, id := range p.rows[r] {
			if p.slots[id] <= last {
				p.slots[id] = last + 1
			}
			last = p.slots[id]
		}
	}
}

// thickness chooses how thick the yarn shows: openwork is knit loosely.
func (p *plan) thickness() {
	n, over := 1.0, 0.0
	for _, ids := range p.rows {
		for _, id := range ids {
			n++
			if p.overNothing(id) {
				over++
			}
		}
	}
	p.radius = lerp(0.222, 0.178, min(1, over/n/0.08))
}

// stretch finds what makes the loops of a row long.
func (p *plan) stretch(row int) {
	f := p.f
	last, fallen := int32(fabric.None), 0
	grow := func(id int32, n int) {
		if id != fabric.None {
			p.long[id] = max(p.long[id], p.h*0.5*float64(min(n, 8)))
		}
	}
	for k := range f.Rows[row].Works {
		for _, id := range f.Rows[row].Works[k].Out {
			l := &f.Loops[id]
			if l.Row != int32(row) {
				continue
			}
			if p.inner[id] {
				if l.End == fabric.Ravelled {
					fallen++
				}
				continue
			}
			if l.Wraps > 1 {
				p.long[id] = p.h * 0.85 * float64(min(l.Wraps-1, 5))
			}
			if fallen > 0 {
				grow(last, fallen)
				grow(id, fallen)
			}
			last, fallen = id, 0
		}
	}
}

// leftward says that row lo+r was worked from right to left as RS is seen.
func (p *plan) leftward(r int) bool {
	row := r + int(p.lo)
	if row < 0 {
		return len(p.f.Rows) > 0 && p.f.Rows[0].WS
	}
	return !p.f.Rows[row].WS
}

// knobs marks the rows that are worked to and fro over a few stitches with
// others waiting on either side: they make a knob and no height.
func (p *plan) knobs() {
	p.knob = make([]bool, p.hi-p.lo)
	p.knots = make([]uint8, len(p.f.Loops))
	for r := range p.knob {
		row := r + int(p.lo)
		if row < 0 {
			continue
		}
		fr := &p.f.Rows[row]
		if len(fr.Rest) < 2 || fr.After-len(fr.Rest) > 7 {
			continue
		}
		lo, hi := int32(1<<30), int32(-1)
		for _, c := range fr.RestAt {
			lo, hi = min(lo, c), max(hi, c)
		}
		in := true
		for k := range fr.Works {
			for _, c := range fr.Works[k].Columns {
				in = in && c > lo && c < hi
			}
		}
		p.knob[r] = in
	}
}

// outer goes from a loop that came and went within a row to the one that lasts.
func (p *plan) outer(id int32) int32 {
	for k := 0; id != fabric.None && p.inner[id] && k < 32; k++ {
		id = p.f.Loops[id].Child
	}
	if id != fabric.None && p.inner[id] {
		return fabric.None
	}
	return id
}

// parents are the lasting loops that id was drawn through, the top one first.
func (p *plan) parents(id int32) []int32 {
	ps := p.f.Parents(id)
	plain := true
	for _, q := range ps {
		plain = plain && !p.inner[q]
	}
	if plain {
		return ps
	}
	var out []int32
	for k := 0; k < len(ps) && len(out) < 8 && k < 32; k++ {
		if !p.inner[ps[k]] {
			if !slices.Contains(out, ps[k]) {
				out = append(out, ps[k])
			}
			continue
		}
		p.knots[id]++
		ps = append(slices.Clone(ps), p.f.Parents(ps[k])...)
	}
	return out
}

// columns gives the columns their places: those that are mostly empty are
// narrow, and knit and purl columns side by side draw together as in ribbing.
func (p *plan) columns() {
	f := p.f
	n := f.Columns
	rows := int(p.hi - p.lo)
	stood := make([]int32, n)
	first, last := make([]int32, n), make([]int32, n)
	for c := range first {
		first[c], last[c] = 1<<30, -1<<30
	}
	for i := range f.Loops {
		l := &f.Loops[i]
		if !p.has(int32(i)) || int(l.Column) >= n {
			continue
		}
		end := l.EndRow
		if end <= l.Row || end > p.hi {
			end = l.Row + 1
		}
		if l.End == fabric.Ravelled {
			end = l.Row + 1
		}
		stood[l.Column] += end - l.Row
		first[l.Column], last[l.Column] = min(first[l.Column], l.Row), max(last[l.Column], end-1)
	}
	diff, both := make([]int32, n), make([]int32, n)
	for r := range p.rows {
		ids := p.rows[r]
		for k := 1; k < len(ids); k++ {
			a, b := p.loop(ids[k-1]), p.loop(ids[k])
			if a.Column > b.Column {
				a, b = b, a
			}
			if b.Column == a.Column+1 && int(b.Column) < n {
				both[a.Column]++
				diff[a.Column] += int32(a.Face) - int32(b.Face)
			}
		}
	}
	p.pos = make([]float64, n)
	width := func(c int) float64 {
		if span := last[c] - first[c] + 1; stood[c] > 0 && span > 0 {
			return clamp(float64(stood[c])/float64(span), 0.12, 1)
		}
		return 0.02
	}
	for c := 1; c < n; c++ {
		d := (width(c-1) + width(c)) / 2
		if both[c-1]*2 > int32(rows)/2 {
			x := float64(diff[c-1]) / float64(both[c-1])
			if x = max(x, -x); x > 0.5 {
				d *= 1 - 0.26*x
			}
		}
		p.pos[c] = p.pos[c-1] + d
	}
}

// heights lays the rows one over the other. Stitches that a short row leaves
// waiting do not grow, wound loops make a tall row.
func (p *plan) heights() {
	f := p.f
	high := make([]float64, f.Columns)
	wait := make([]bool, f.Columns)
	more := make([]float64, f.Columns)
	p.step = make([]float64, len(p.rows))
	for r, ids := range p.rows {
		row := r + int(p.lo)
		for _, id := range ids {
			c := min(int(p.loop(id).Column), f.Columns-1)
			p.at[id] = vec{-p.pos[c], high[c], 0}
		}
		p.compact(ids)
		p.step[r] = p.h
		if row < 0 {
			p.step[r] *= 0.9
		}
		if p.knob[r] {
			p.step[r] *= 0.3
		}
		if row >= 0 {
			for _, c := range f.Rows[row].RestAt {
				wait[c] = true
			}
		}
		if !p.knob[r] {
			clear(more)
			for k, id := range ids { // columns between two loops grow like the longer of them
				c := min(int(p.loop(id).Column), f.Columns-1)
				more[c] = p.long[id]
				if k == 0 || p.long[id] == 0 && p.long[ids[k-1]] == 0 {
					continue
				}
				o := min(int(p.loop(ids[k-1]).Column), f.Columns-1)
				for x := min(c, o) + 1; x < max(c, o); x++ {
					more[x] = max(p.long[id], p.long[ids[k-1]])
				}
			}
			for c := range high {
				if !wait[c] {
					high[c] += p.step[r] + more[c]
				}
			}
		} else {
			for _, id := range ids {
				p.at[id].z += 0.3
			}
		}
		if row >= 0 {
			for _, c := range f.Rows[row].RestAt {
				wait[c] = false
			}
		}
	}
}

// compact draws a row together that has many fewer stitches than the fabric has
// columns there, as at the point of a shawl; about its middle.
func (p *plan) compact(ids []int32) {
	if len(ids) < 2 {
		return
	}
	a, z := ids[0], ids[len(ids)-1]
	slots := float64(p.slots[z] - p.slots[a])
	wide := p.at[z].x - p.at[a].x
	t := clamp((math.Abs(wide)/max(1, slots)-1.12)/0.3, 0, 1)
	if t == 0 {
		return
	}
	m := (p.at[a].x + p.at[z].x) / 2
	dir := math.Copysign(1, wide)
	for _, id := range ids {
		x := m + dir*(float64(p.slots[id]-p.slots[a])-slots/2)
		p.at[id].x = lerp(p.at[id].x, x, t)
	}
}
