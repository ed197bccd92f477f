package picture

import "math"

// A sprite is one strand as a tube of yarn, drawn once for all strands of its
// shape: how far each point of it stands out, how light it is, and how far along the strand.
type sprite struct {
	x, y, w, h int // its corner against the strand's anchor, and its size
	rows       [][2]int32
	px         []dot
}

type dot struct {
	z     int16 // zUnit to the stitch width; none where there is no yarn
	shade uint8 // 128 is the yarn's own colour
	along uint8 // 0 to 255 over the strand
}

const (
	none  = math.MinInt16
	zUnit = 1024
	// one groove's turn along the yarn, as of three plies
	grooveLength = 0.40
)

// the light falls from the upper left, x to the right, y down, z to the viewer.
var light = func() vec {
	v := vec{-0.42, -0.58, 0.70}
	return v.mul(1 / math.Sqrt(v.x*v.x+v.y*v.y+v.z*v.z))
}()

// maxPoints bounds the points of one shape that is kept.
const maxPoints = 26

// shapeKey names a shape: its points against the anchor, in parts of a pixel and of a stitch width.
type shapeKey struct {
	n, variant uint8
	p          [maxPoints][3]int16
}

// brush draws sprites at a scale.
type brush struct {
	scale float64 // subpixels to the stitch width
	x0    float64 // left edge of the picture, in stitch widths
	y1    float64 // its top
	r     float64 // of the yarn, in stitch widths
	// for its own use; a brush is not for two hands
	bits  []bit
	hits  []hit
	path  []vec
	store []dot

	fine float64 // steps to the subpixel in which shapes are kept
	flip bool    // seen from WS
}

// pixel is where a point lies in the picture: y down, in subpixels; z in stitch widths.
func (b *brush) pixel(v vec) vec {
	if b.flip {
		v.x, v.z = -v.x, -v.z
	}
	return vec{(v.x - b.x0) * b.scale, (b.y1 - v.y) * b.scale, v.z}
}

// key makes the key of a strand, and says where it is anchored. All strands run
// to the right, or up; back says that this one was turned for it.
func (b *brush) key(pts []vec, anchor vec, k *shapeKey) (x, y, z int, back bool) {
	a := b.pixel(anchor)
	x, y = int(math.Floor(a.x+0.5)), int(math.Floor(a.y+0.5))
	zq := math.Floor(a.z*32 + 0.5)
	z = int(zq) * (zUnit / 32)
	n := len(pts)
	*k = shapeKey{n: uint8(n)}
	first, last := b.pixel(pts[1]), b.pixel(pts[n-2])
	back = last.x < first.x || last.x == first.x && last.y < first.y
	for i, p := range pts {
		v := b.pixel(p)
		if back {
			i = n - 1 - i
		}
		k.p[i] = [3]int16{int16(math.Floor((v.x-a.x)*b.fine + 0.5)), int16(math.Floor((v.y-a.y)*b.fine + 0.5)), int16(math.Floor(v.z*32 - zq + 0.5))}
	}
	return x, y, z, back
}

// shows says that a strand anchored at x, y touches a picture of the given size.
func (b *brush) shows(k *shapeKey, x, y, w, h int) bool {
	x0, x1, y0, y1 := k.p[0][0], k.p[0][0], k.p[0][1], k.p[0][1]
	for _, p := range k.p[1:k.n] {
		x0, x1, y0, y1 = min(x0, p[0]), max(x1, p[0]), min(y0, p[1]), max(y1, p[1])
	}
	r, f := b.r*b.scale+2, b.fine
	return float64(x)+float64(x1)/f+r > 0 && float64(x)+float64(x0)/f-r < float64(w) && float64(y)+float64(y1)/f+r > 0 && float64(y)+float64(y0)/f-r < float64(h)
}

// draw draws the shape of a key.
func (b *brush) draw(k *shapeKey) *sprite {
	var pts [maxPoints]vec
	n := int(k.n)
	for i := range n {
		pts[i] = vec{float64(k.p[i][0]) / b.fine, float64(k.p[i][1]) / b.fine, float64(k.p[i][2]) / 32 * b.scale}
	}
	if k.variant > 0 { // no stitch is quite like the next
		for i := 3; i < n-3; i++ {
			h := noise(uint32(k.variant)*7919 + uint32(i)*104729)
			pts[i].x += (float64(h&255)/255 - 0.5) * 0.055 * b.scale
			pts[i].y += (float64(h>>8&255)/255 - 0.5) * 0.045 * b.scale
		}
	}
	b.path = curve(b.path[:0], pts[:n], max(1.2, min(0.13*b.scale, 4+0.025*b.scale)))
	return b.tube(b.path, uint32(k.variant))
}

// curve runs a Catmull-Rom spline through all points but the first and last, and adds it to out.
func curve(out, pts []vec, step float64) []vec {
	for i := 1; i+2 < len(pts); i++ {
		p0, p1, p2, p3 := pts[i-1], pts[i], pts[i+1], pts[i+2]
		d := p2.sub(p1)
		m := int(math.Sqrt(d.x*d.x+d.y*d.y+d.z*d.z)/step) + 1
		m1, m2 := p2.sub(p0).mul(0.5), p3.sub(p1).mul(0.5)
		// tangents no longer than the piece itself, so that uneven points make no loops
		l := math.Sqrt(d.x*d.x + d.y*d.y + d.z*d.z)
		m1, m2 = limit(m1, 1.25*l), limit(m2, 1.25*l)
		for j := range m {
			t := float64(j) / float64(m)
			t2, t3 := t*t, t*t*t
			out = append(out, p1.mul(2*t3-3*t2+1).add(m1.mul(t3-2*t2+t)).add(p2.mul(-2*t3+3*t2)).add(m2.mul(t3-t2)))
		}
	}
	if len(pts) > 2 {
		out = append(out, pts[len(pts)-2])
	}
	return out
}

func limit(v vec, n float64) vec {
	if l := math.Sqrt(v.x*v.x + v.y*v.y + v.z*v.z); l > n && l > 0 {
		return v.mul(n / l)
	}
	return v
}

func noise(x uint32) uint32 {
	x ^= x >> 16
	x *= 0x7feb352d
	x ^= x >> 15
	x *= 0x846ca68b
	return x ^ x>>16
}

// bit is a straight bit of a path, with what shading it needs.
type bit struct {
	lx, ly     float64 // across the yarn, in the picture
	ux, uy, uz float64 // up from it
	tx, ty     float64 // along it, in the picture
	run, long  float64 // where it begins along the path, and its length
}

// hit is what a pixel sees of a path: which bit, how far along and how far across.
type hit struct {
	bit   int32
	along float32
	side  float32
	over  float32 // beyond the end it turns about, less than 0 at its beginning
}

// tube paints a tube about a path in subpixels: first what lies on top, then its light.
func (b *brush) tube(path []vec, seed uint32) *sprite {
	r := b.r * b.scale
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, p := range path {
		x0, x1, y0, y1 = min(x0, p.x), max(x1, p.x), min(y0, p.y), max(y1, p.y)
	}
	s := &sprite{x: int(math.Floor(x0 - r)), y: int(math.Floor(y0 - r))}
	s.w, s.h = int(math.Ceil(x1+r))-s.x+1, int(math.Ceil(y1+r))-s.y+1
	s.px = b.dots(s.w * s.h)
	for i := range s.px {
		s.px[i].z = none
	}
	if cap(b.bits) < len(path) {
		b.bits = make([]bit, 2*len(path))
	}
	if cap(b.hits) < len(s.px) {
		b.hits = make([]hit, 2*len(s.px))
	}
	bits, hits := b.bits[:len(path)], b.hits[:len(s.px)]
	run := 0.0
	r2 := r * r
	zk := zUnit / b.scale
	for i := 0; i+1 < len(path); i++ {
		a, c := path[i], path[i+1]
		dx, dy, dz := c.x-a.x, c.y-a.y, c.z-a.z
		l2 := dx*dx + dy*dy
		l3 := math.Sqrt(l2 + dz*dz)
		if l3 == 0 {
			continue
		}
		l := math.Sqrt(l2)
		fx, fy := 1.0, 0.0 // along it, in the picture
		if l > 1e-6 {
			fx, fy = dx/l, dy/l
		}
		lx, ly := -fy, fx
		steep := clamp(dz/l3, -0.75, 0.75)
		bits[i] = bit{lx, ly, -fx * steep, -fy * steep, math.Sqrt(1 - steep*steep), dx / l3, dy / l3, run, l3}
		run += l3
		from, to := -r, l+r // its round ends; at a seam they hardly go beyond
		if i == 0 {
			from = -1
		}
		if i+2 == len(path) {
			to = l + 1
		}
		slope := 0.0
		if l > 1e-6 {
			slope = dz / l
		}
		top, bot := int(math.Floor(min(a.y, c.y)-r)), int(math.Ceil(max(a.y, c.y)+r))
		lft, rgt := min(a.x, c.x)-r, max(a.x, c.x)+r
		for y := top; y <= bot; y++ {
			py := float64(y) + 0.5 - a.y
			// the pixels of this row that lie no farther than r across, and between the ends
			lo, hi := lft-a.x, rgt-a.x
			lo, hi = cut(lo, hi, lx, py*ly, -r, r)
			lo, hi = cut(lo, hi, fx, py*fy, from, to)
			if lo > hi {
				continue
			}
			row := (y - s.y) * s.w
			for x := max(s.x, int(math.Ceil(lo+a.x-0.5))); float64(x)+0.5-a.x <= hi; x++ {
				px := float64(x) + 0.5 - a.x
				side, t := px*lx+py*ly, px*fx+py*fy
				over := 0.0
				if t < 0 {
					over, t = t, 0
				} else if t > l {
					over, t = t-l, l
				}
				d2 := side*side + over*over
				if d2 >= r2 {
					continue
				}
				zi := int16((a.z + slope*t + math.Sqrt(r2-d2) - 0.5*math.Abs(over)) * zk)
				q := row + x - s.x
				if zi <= s.px[q].z {
					continue
				}
				s.px[q].z = zi
				hits[q] = hit{int32(i), float32(t), float32(side), float32(over)}
			}
		}
	}
	grooves := max(1, math.Round(run/b.scale/grooveLength))
	for i := range s.px {
		if s.px[i].z == none {
			continue
		}
		h := hits[i]
		g := &bits[h.bit]
		at := g.run + float64(h.along)*g.long/max(1e-6, math.Hypot(path[h.bit+1].x-path[h.bit].x, path[h.bit+1].y-path[h.bit].y))
		at = min(at, g.run+g.long) / run
		s.px[i].along = uint8(at * 255)
		s.px[i].shade = g.shade(float64(h.side)/r, float64(h.over)/r, at*grooves, seed)
	}
	s.rows = make([][2]int32, s.h)
	for y := range s.rows {
		row := s.px[y*s.w : (y+1)*s.w]
		a, z := 0, len(row)
		for a < z && row[a].z == none {
			a++
		}
		for z > a && row[z-1].z == none {
			z--
		}
		s.rows[y] = [2]int32{int32(a), int32(z)}
	}
	return s
}

// dots gives room for a sprite of n pixels.
func (b *brush) dots(n int) []dot {
	if len(b.store) < n {
		b.store = make([]dot, max(n, 1<<16))
	}
	out := b.store[:n:n]
	b.store = b.store[n:]
	return out
}

// cut narrows lo..hi to where from <= k*x + c <= to.
func cut(lo, hi, k, c, from, to float64) (float64, float64) {
	if k > -1e-9 && k < 1e-9 {
		if c < from || c > to {
			return 1, 0
		}
		return lo, hi
	}
	a, b := (from-c)/k, (to-c)/k
	if a > b {
		a, b = b, a
	}
	return max(lo, a), min(hi, b)
}

// around is the way around the visible half of the yarn, -1 to 1, by the way across it in 64ths.
var around = func() (t [130]float64) {
	for i := range t {
		v := clamp(float64(i-64)/64, -1, 1)
		t[i] = math.Atan2(v, math.Sqrt(1-v*v)+0.15) / (math.Pi / 2)
	}
	return t
}()

// shade is the light on a point of the yarn: v across it from -1 to 1, end over
// its rounded end, turn in grooves along it.
func (b *bit) shade(v, end, turn float64, seed uint32) uint8 {
	lx, ly := b.lx, b.ly
	w := math.Sqrt(max(0, 1-v*v-end*end))
	k := (v + 1) * 64
	ki := int(k)
	phi := lerp(around[ki], around[ki+1], k-float64(ki))
	p := turn + phi*0.95
	p -= math.Floor(p)
	g := 2*p - 1 // -1 to 1 across one ply
	// the ply's own roundness leans the normal along and across the yarn
	g2 := g * g
	g6 := g2 * g2 * g2
	lean := 0.75 * g * (1 - g6*g2)
	nx := v*lx + end*ly + w*b.ux + lean*(0.75*b.tx+0.6*lx*w)
	ny := v*ly - end*lx + w*b.uy + lean*(0.75*b.ty+0.6*ly*w)
	nz := w * b.uz
	n := math.Sqrt(nx*nx + ny*ny + nz*nz)
	dot := (nx*light.x + ny*light.y + nz*light.z) / n
	lum := 0.36 + 0.80*max(0, (dot+0.25)/1.25)
	// grooves are dark, the edges of the yarn fuzzy and dark
	lum *= 1 - 0.24*g6
	lum *= 1 - 0.22*v*v*v*v
	f := noise(uint32(int32(turn*9+p*3))*2654435761 ^ uint32(int32(p*7))*40503 ^ seed*97)
	lum *= 0.965 + 0.07*float64(f&255)/255
	return uint8(clamp(lum*128, 0, 255))
}
