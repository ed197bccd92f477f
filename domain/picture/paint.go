package picture

import (
	"image"
	"image/color"
	"math"
	"slices"
	"sync"
)

// placed is a sprite in its place.
type placed struct {
	s       *sprite
	x, y, z int
	ramps   [4]uint16
	key     int32
	loop    int32
}

// canvas is a picture at twice its size.
type canvas struct {
	w, h int // subpixels
	z    []int16
	px   []uint32 // ramp << 16 | shade << 8 | along
}

var canvases sync.Pool

func newCanvas(w, h int) *canvas {
	c, _ := canvases.Get().(*canvas)
	if c == nil || cap(c.z) < w*h {
		c = &canvas{z: make([]int16, w*h), px: make([]uint32, w*h)}
	}
	c.w, c.h, c.z, c.px = w, h, c.z[:w*h], c.px[:w*h]
	return c
}

// paint draws the frame.
func (fr *frame) paint() *image.RGBA {
	c, v := fr.render()
	img := image.NewRGBA(image.Rect(0, 0, c.w/2, c.h/2))
	fr.resolve(c, v, img)
	canvases.Put(c)
	return img
}

func (fr *frame) brush() *brush {
	b := &brush{scale: float64(2 * fr.scale), x0: fr.x0, y1: fr.y1, flip: fr.opt.WS, r: fr.p.radius, fine: 2}
	if fr.scale <= 14 {
		b.fine = 1
	}
	return b
}

// size is that of the canvas, in subpixels.
func (fr *frame) size() (w, h int) {
	return 2 * max(1, int(math.Ceil((fr.x1-fr.x0)*float64(fr.scale)))), 2 * max(1, int(math.Ceil((fr.y1-fr.y0)*float64(fr.scale))))
}

// render lays all sprites on a canvas.
func (fr *frame) render() (*canvas, *vat) {
	p, b := fr.p, fr.brush()
	w, h := fr.size()
	g := fr.opt.Gauge.orUsual()
	v := newVat(p.f, fr.opt.Colours, g.LoopLength(), 10/g.Stitches)

	list, shapes := fr.place(b, v, w, h)
	sprites := make([]*sprite, len(shapes))
	lots := min(len(shapes), workers()*4)
	each(lots, func(i int) {
		hand := *b // with its own room
		for j := i; j < len(shapes); j += lots {
			sprites[j] = hand.draw(&shapes[j])
		}
	})
	for i := range list {
		list[i].s = sprites[list[i].key]
	}
	c := newCanvas(w, h)
	bands := workers() * 3
	each(bands, func(i int) {
		c.band(list, h*i/bands, h*(i+1)/bands)
	})
	return c, v
}

// place finds the shapes of all strands and where they lie. Where there are few
// shapes each is drawn in a few ways, for no two stitches are quite alike.
func (fr *frame) place(b *brush, v *vat, w, h int) ([]placed, []shapeKey) {
	st := fr.p.strands()
	keys := make(map[shapeKey]int32, 256)
	var shapes []shapeKey
	list := make([]placed, 0, len(st.list))
	vary := make([]uint8, 0, len(st.list))
	var k shapeKey
	for i := range st.list {
		s := &st.list[i]
		pts := st.pts[s.from:s.to]
		for len(pts) > 3 { // long floats go in pieces
			n := min(len(pts), maxPoints)
			anchor := s.anchor
			if n < int(s.to-s.from) {
				anchor = pts[n/2]
			}
			if x, y, z, back := b.key(pts[:n], anchor, &k); b.shows(&k, x, y, w, h) {
				at, ok := keys[k]
				if !ok {
					at = int32(len(shapes))
					shapes = append(shapes, k)
					keys[k] = at
				}
				r := v.at(fr.p.f, s.loop, s.kind)
				if back {
					r[0], r[1], r[2], r[3] = r[3], r[2], r[1], r[0]
				}
				list = append(list, placed{x: x, y: y, z: z, key: at, loop: s.loop, ramps: r})
				way := uint8(0)
				if s.kind == loopStrand {
					way = uint8(noise(uint32(s.loop)*2654435761) % maxWays)
				}
				vary = append(vary, way)
			}
			if n == len(pts) {
				break
			}
			pts = pts[n-3:]
		}
	}
	ways := min(maxWays, 90/max(1, len(shapes)))
	if ways > 1 {
		plain := len(shapes)
		for k := 1; k < ways; k++ {
			for i := range plain {
				s := shapes[i]
				s.variant = uint8(k)
				shapes = append(shapes, s)
			}
		}
		for i := range list {
			list[i].key += int32(plain) * int32(int(vary[i])%ways)
		}
	}
	return list, shapes
}

// maxWays is in how many ways one shape is drawn.
const maxWays = 4

// band lays the sprites on rows y0 to y1.
func (c *canvas) band(list []placed, y0, y1 int) {
	zs := c.z[y0*c.w : y1*c.w]
	for i := range zs {
		zs[i] = none
	}
	for i := range list {
		p := &list[i]
		s := p.s
		top, left := p.y+s.y, p.x+s.x
		if top >= y1 || top+s.h <= y0 || left >= c.w || left+s.w <= 0 {
			continue
		}
		for y := max(top, y0); y < min(top+s.h, y1); y++ {
			span := s.rows[y-top]
			a, z := max(int(span[0]), -left), min(int(span[1]), c.w-left)
			if a >= z {
				continue
			}
			src := s.px[(y-top)*s.w+a : (y-top)*s.w+z]
			at := y*c.w + left + a
			dz := c.z[at : at+len(src)]
			dp := c.px[at : at+len(src)]
			for k := range src {
				q := &src[k]
				if q.z == none {
					continue
				}
				if d := int16(int(q.z) + p.z); d > dz[k] {
					dz[k] = d
					dp[k] = uint32(p.ramps[q.along>>6])<<16 | uint32(q.shade)<<8 | uint32(q.along)
				}
			}
		}
	}
}

// ground is the table the fabric lies on: dark under light wool, light under dark.
func (fr *frame) ground(v *vat) color.RGBA {
	if fr.opt.Ground != nil {
		r, g, b, _ := fr.opt.Ground.RGBA()
		return color.RGBA{uint8(r >> 8), uint8(g >> 8), uint8(b >> 8), 255}
	}
	sum := 0.0
	for _, w := range v.ways {
		c := w.Runs[0].Colour
		sum += 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
	}
	if sum/float64(max(1, len(v.ways))) > 0.16 {
		return color.RGBA{0x33, 0x30, 0x2e, 255}
	}
	return color.RGBA{0xe9, 0xe4, 0xda, 255}
}

// cell is the side of the squares that shadows are computed on, in subpixels.
const cell = 4

// resolve turns a canvas into pixels: shadows where yarn lies under other
// yarn, light on what stands out, four subpixels to the pixel.
func (fr *frame) resolve(c *canvas, v *vat, img *image.RGBA) {
	cw, ch := (c.w+cell-1)/cell, (c.h+cell-1)/cell
	lowest := -0.55 * zUnit // the table
	hs := make([]float32, cw*ch)
	bands := workers() * 3
	each(bands, func(i int) {
		for y := ch * i / bands; y < ch*(i+1)/bands; y++ {
			row := hs[y*cw : (y+1)*cw]
			n := float32(0)
			for sy := y * cell; sy < min(c.h, (y+1)*cell); sy++ {
				n++
				z := c.z[sy*c.w : (sy+1)*c.w]
				for x, q := range z {
					if q < int16(lowest) {
						q = int16(lowest)
					}
					row[x/cell] += float32(q)
				}
			}
			for x := range row {
				row[x] /= n * float32(min(cell, c.w-x*cell))
			}
		}
	})
	sc := float64(fr.scale) * 2 / cell // cells to the stitch
	near := max(1, int(math.Round(sc*0.30)))
	wide := max(1, int(math.Round(sc*1.1)))
	soft := boxMean(hs, cw, ch, near, near)
	floor := float32(-0.12 * zUnit) // holes and edges make no hills
	level := make([]float32, len(soft))
	for i, z := range soft {
		level[i] = max(z, floor)
	}
	far := boxMean(level, cw, ch, wide, wide)
	far = boxMean(far, cw, ch, wide, wide)
	// towards the light
	ox, oy := int(math.Round(sc*0.26)), int(math.Round(sc*0.34))
	hide := make([]float32, cw*ch)
	gain := make([]float32, cw*ch)
	at := func(a []float32, x, y int) float32 { return a[max(0, min(ch-1, y))*cw+max(0, min(cw-1, x))] }
	slope := max(1, int(sc*0.8))
	for y := range ch {
		for x := range cw {
			i := y*cw + x
			hide[i] = 0.45*soft[i] + 0.55*at(soft, x-ox, y-oy)
			dx := at(far, x+slope, y) - at(far, x-slope, y)
			dy := at(far, x, y+slope) - at(far, x, y-slope)
			k := (float64(dx)*-light.x + float64(dy)*-light.y) / (2 * float64(slope) / sc * zUnit) // rise towards the light is lit
			gain[i] = float32(clamp(1+1.1*k, 0.72, 1.22))
		}
	}
	bg := newRamp(fr.ground(v), 1)
	flecked := slices.ContainsFunc(v.flecks, func(f []uint16) bool { return f != nil })
	stitch := 2 * fr.scale
	w, h := c.w/2, c.h/2
	each(bands, func(i int) {
		hr, gr := make([]float32, w), make([]float32, w)
		for y := h * i / bands; y < h*(i+1)/bands; y++ {
			stretch(hr, hide, cw, ch, y)
			stretch(gr, gain, cw, ch, y)
			out := img.Pix[y*img.Stride : y*img.Stride+4*w]
			z0, z1 := c.z[2*y*c.w:(2*y+1)*c.w], c.z[(2*y+1)*c.w:(2*y+2)*c.w]
			p0, p1 := c.px[2*y*c.w:(2*y+1)*c.w], c.px[(2*y+1)*c.w:(2*y+2)*c.w]
			for x := range w {
				var sum uint32
				zs := [4]int16{z0[2*x], z0[2*x+1], z1[2*x], z1[2*x+1]}
				ps := [4]uint32{p0[2*x], p0[2*x+1], p1[2*x], p1[2*x+1]}
				base, g := hr[x], gr[x]*256
				for q, z := range zs {
					if z == none {
						s := 128 - (base-float32(lowest))*0.07
						sum += bg[uint8(max(30, min(128, s)))]
						continue
					}
					f := base - float32(z)
					if f > 0 {
						f = max(0.34, 1-f*(1/(0.62*zUnit)))
					} else {
						f = min(1.10, 1-f*(0.16/zUnit))
					}
					px := ps[q]
					shade := (px >> 8 & 255) * uint32(f*g) >> 8
					r := px >> 16
					if flecked && v.flecks[r] != nil {
						r = v.fleckAt(r, 2*x+q&1, 2*y+q>>1, stitch, px)
					}
					sum += v.ramps[r][uint8(min(255, shade))]
				}
				out[4*x] = uint8(sum >> 22)
				out[4*x+1] = uint8(sum >> 12)
				out[4*x+2] = uint8(sum >> 2)
				out[4*x+3] = 255
			}
		}
	})
}

// fleckAt gives the ramp of a fleck where one lies: specks along the yarn, no
// two stitches alike. stitch is the width of one in subpixels.
func (v *vat) fleckAt(r uint32, x, y, stitch int, px uint32) uint32 {
	along := px & 255
	n := noise(uint32(x/stitch)*7349 + uint32(y/(stitch/2))*9151 + along/9*57 + r/jitters*77)
	if n%17 != 0 || noise(uint32(x/2)*31+uint32(y/2)*977+n)%4 == 0 {
		return r
	}
	fs := v.flecks[r]
	return uint32(fs[int(n>>8)%len(fs)]) + r%jitters
}

// stretch writes row y of a picture out of cells that are two pixels wide.
func stretch(dst, src []float32, cw, ch, y int) {
	r0 := (y - 1) / 2
	if y == 0 {
		r0 = 0
	}
	r1 := min(ch-1, r0+1)
	if y == 0 {
		r1 = 0
	}
	k := float32(0.25)
	if y&1 == 0 {
		k = 0.75
	}
	a, b := src[r0*cw:(r0+1)*cw], src[r1*cw:(r1+1)*cw]
	for x := range dst {
		c0 := (x - 1) / 2
		if x == 0 {
			c0 = 0
		}
		c1 := min(cw-1, c0+1)
		if x == 0 {
			c1 = 0
		}
		t := float32(0.25)
		if x&1 == 0 {
			t = 0.75
		}
		p := a[c0]*(1-t) + a[c1]*t
		q := b[c0]*(1-t) + b[c1]*t
		dst[x] = p*(1-k) + q*k
	}
}
