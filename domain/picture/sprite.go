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
	flip  bool    // seen from WS
}

// pixel is where a point lies in the picture: y down, in subpixels; z in stitch widths.
func (b *brush) pixel(v vec) vec {
	if b.flip {
		v.x, v.z = -v.x, -v.z
	}
	return vec{(v.x - b.x0) * b.scale, (b.y1 - v.y) * b.scale, v.z}
}

// key makes the key of a strand, and where it is anchored.
func (b *brush) key(pts []vec, anchor vec, k *shapeKey) (x, y, z int) {
	a := b.pixel(anchor)
	x, y = int(math.Floor(a.x+0.5)), int(math.Floor(a.y+0.5))
	zq := math.Floor(a.z*32 + 0.5)
	z = int(zq) * (zUnit / 32)
	*k = shapeKey{n: uint8(len(pts))}
	for i, p := range pts {
		v := b.pixel(p)
		k.p[i] = [3]int16{int16(math.Floor((v.x-a.x)*2 + 0.5)), int16(math.Floor((v.y-a.y)*2 + 0.5)), int16(math.Floor(v.z*32 - zq + 0.5))}
	}
	return x, y, z
}

// draw draws the shape of a key.
func (b *brush) draw(k *shapeKey) *sprite {
	var pts [maxPoints]vec
	n := int(k.n)
	for i := range n {
		pts[i] = vec{float64(k.p[i][0]) / 2, float64(k.p[i][1]) / 2, float64(k.p[i][2]) / 32 * b.scale}
	}
	if k.variant > 0 { // no stitch is quite like the next
		for i := 3; i < n-3; i++ {
			h := noise(uint32(k.variant)*7919 + uint32(i)*104729)
			pts[i].x += (float64(h&255)/255 - 0.5) * 0.055 * b.scale
			pts[i].y += (float64(h>>8&255)/255 - 0.5) * 0.045 * b.scale
		}
	}
	path := curve(pts[:n], max(1.2, 0.075*b.scale))
	return b.tube(path, uint32(k.variant))
}

// curve runs a Catmull-Rom spline through all points but the first and last.
func curve(pts []vec, step float64) []vec {
	out := make([]vec, 0, 64)
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

// tube paints a tube about a path in subpixels.
func (b *brush) tube(path []vec, seed uint32) *sprite {
	r := b.r * b.scale
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	total := 0.0
	for i, p := range path {
		x0, x1, y0, y1 = min(x0, p.x), max(x1, p.x), min(y0, p.y), max(y1, p.y)
		if i > 0 {
			d := p.sub(path[i-1])
			total += math.Sqrt(d.x*d.x + d.y*d.y + d.z*d.z)
		}
	}
	s := &sprite{x: int(math.Floor(x0 - r)), y: int(math.Floor(y0 - r))}
	s.w, s.h = int(math.Ceil(x1+r))-s.x+1, int(math.Ceil(y1+r))-s.y+1
	s.px = make([]dot, s.w*s.h)
	for i := range s.px {
		s.px[i].z = none
	}
	grooves := max(1, math.Round(total/b.scale/grooveLength))
	run := 0.0
	r2 := r * r
	for i := 0; i+1 < len(path); i++ {
		a, c := path[i], path[i+1]
		dx, dy, dz := c.x-a.x, c.y-a.y, c.z-a.z
		l2 := dx*dx + dy*dy
		l3 := math.Sqrt(l2 + dz*dz)
		if l3 == 0 {
			continue
		}
		l := math.Sqrt(l2)
		lx, ly := 1.0, 0.0 // across the yarn, in the picture
		if l > 1e-6 {
			lx, ly = -dy/l, dx/l
		}
		lo, hi := -r, r // how far its round ends reach; at a seam hardly beyond
		if i == 0 {
			lo = -1
		}
		if i+2 == len(path) {
			hi = 1
		}
		ux, uy, uz := -dx*dz/l3/(l+1e-9), -dy*dz/l3/(l+1e-9), l/l3 // up, square to the yarn
		top, bot := int(math.Floor(min(a.y, c.y)-r)), int(math.Ceil(max(a.y, c.y)+r))
		lft, rgt := int(math.Floor(min(a.x, c.x)-r)), int(math.Ceil(max(a.x, c.x)+r))
		for y := top; y <= bot; y++ {
			py := float64(y) + 0.5 - a.y
			for x := lft; x <= rgt; x++ {
				px := float64(x) + 0.5 - a.x
				t, tc := 0.0, 0.0
				side := px*lx + py*ly
				d2 := side * side
				if d2 >= r2 {
					continue
				}
				if l2 > 1e-9 {
					t = (px*dx + py*dy) / l2
					tc = max(0, min(1, t))
					if over := (t - tc) * l; over != 0 { // round ends, that bends leave no gaps
						if over < lo || over > hi {
							continue
						}
						d2 += over * over
					}
				} else {
					d2 = px*px + py*py
				}
				if d2 >= r2 {
					continue
				}
				z := a.z + dz*tc + math.Sqrt(r2-d2) - 0.5*max((t-tc)*l, (tc-t)*l)
				zi := int16(clamp(z/b.scale*zUnit, -32000, 32000))
				q := &s.px[(y-s.y)*s.w+x-s.x]
				if zi <= q.z {
					continue
				}
				v := side / r
				at := run + l3*tc
				q.z = zi
				q.along = uint8(clamp(at/total*255, 0, 255))
				q.shade = shadeOf(v, at/total*grooves, lx, ly, ux, uy, uz, dx/l3, dy/l3, dz/l3, seed)
			}
		}
		run += l3
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

// shadeOf is the light on a point of the yarn: v across it from -1 to 1, turn
// in grooves along it; then the directions across, up from and along the yarn.
func shadeOf(v, turn, lx, ly, ux, uy, uz, tx, ty, tz float64, seed uint32) uint8 {
	w := math.Sqrt(max(0, 1-v*v))
	phi := math.Atan2(v, w+0.15) / (math.Pi / 2) // -1 to 1 around the visible half
	p := turn + phi*0.95
	p -= math.Floor(p)
	g := 2*p - 1 // -1 to 1 across one ply
	// the ply's own roundness leans the normal along and across the yarn
	lean := 0.62 * g
	nx := v*lx + w*ux + lean*(0.75*tx+0.6*lx*w)
	ny := v*ly + w*uy + lean*(0.75*ty+0.6*ly*w)
	nz := w*uz + lean*0.75*tz
	n := math.Sqrt(nx*nx + ny*ny + nz*nz)
	dot := (nx*light.x + ny*light.y + nz*light.z) / n
	lum := 0.36 + 0.80*max(0, (dot+0.25)/1.25)
	// grooves are dark, the edges of the yarn fuzzy and dark
	e := g * g
	e *= e
	lum *= 1 - 0.30*e*e
	lum *= 1 - 0.22*v*v*v*v
	f := noise(uint32(int32(turn*9+p*3))*2654435761 ^ uint32(int32(p*7))*40503 ^ seed*97)
	lum *= 0.965 + 0.07*float64(f&255)/255
	return uint8(clamp(lum*128, 0, 255))
}
