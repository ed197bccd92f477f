package picture

import (
	"image"
	"image/color"
	"math"
	"sync"
)

// placed is a sprite in its place.
type placed struct {
	s       *sprite
	x, y, z int
	ramps   [4]uint16
	key     int32
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

// render lays all sprites on a canvas.
func (fr *frame) render() (*canvas, *vat) {
	p := fr.p
	b := &brush{scale: float64(2 * fr.scale), x0: fr.x0, y1: fr.y1, flip: fr.opt.WS, r: p.radius}
	w := 2 * max(1, int(math.Ceil((fr.x1-fr.x0)*float64(fr.scale))))
	h := 2 * max(1, int(math.Ceil((fr.y1-fr.y0)*float64(fr.scale))))
	g := fr.opt.Gauge.orUsual()
	v := newVat(p.f, fr.opt.Colours, g.LoopLength(), 10/g.Stitches)

	st := p.strands()
	keys := map[shapeKey]int32{}
	var shapes []shapeKey
	list := make([]placed, 0, len(st.list))
	var k shapeKey
	reach := 2 * int(b.scale)
	for i := range st.list {
		s := &st.list[i]
		pts := st.pts[s.from:s.to]
		for len(pts) > 3 { // long floats go in pieces
			n := min(len(pts), maxPoints)
			piece := pts[:n]
			anchor := s.anchor
			if len(pts) > maxPoints || n < int(s.to-s.from) {
				anchor = piece[n/2]
			}
			x, y, z := b.key(piece, anchor, &k)
			if s.kind == loopStrand {
				k.variant = uint8(noise(uint32(s.loop)*2654435761) % 3)
			}
			if x > -reach-len(pts)*int(b.scale) && y > -8*reach && x < w+reach+len(pts)*int(b.scale) && y < h+8*reach {
				at, ok := keys[k]
				if !ok {
					at = int32(len(shapes))
					shapes = append(shapes, k)
					keys[k] = at
				}
				list = append(list, placed{x: x, y: y, z: z, key: at, ramps: v.at(p.f, s.loop, s.kind)})
			}
			if n == len(pts) {
				break
			}
			pts = pts[n-3:]
		}
	}
	sprites := make([]*sprite, len(shapes))
	const lot = 16
	each((len(shapes)+lot-1)/lot, func(i int) {
		for j := i * lot; j < min(len(shapes), (i+1)*lot); j++ {
			sprites[j] = b.draw(&shapes[j])
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
	fleck := max(2, int(float64(fr.scale)*2/8))
	w, h := c.w/2, c.h/2
	each(bands, func(i int) {
		hr, gr := make([]float32, w), make([]float32, w)
		for y := h * i / bands; y < h*(i+1)/bands; y++ {
			stretch(hr, hide, cw, ch, y)
			stretch(gr, gain, cw, ch, y)
			out := img.Pix[y*img.Stride : y*img.Stride+4*w]
			for x := range w {
				var sum uint32
				base, g := hr[x], gr[x]
				for q := range 4 {
					sx, sy := 2*x+q&1, 2*y+q>>1
					at := sy*c.w + sx
					z := c.z[at]
					if z == none {
						s := 128 - (base-float32(lowest))*0.07
						sum += bg[uint8(max(30, min(128, s)))]
						continue
					}
					px := c.px[at]
					under := base - float32(z)
					f := float32(px>>8&255) * g
					switch {
					case under > 0:
						f *= max(0.34, 1-under*(1/(0.62*zUnit)))
					default:
						f *= min(1.10, 1-under*(0.16/zUnit))
					}
					r := px >> 16
					if fs := v.flecks[r]; fs != nil {
						if n := noise(uint32(sx/fleck+sy/fleck%2)*7349 + uint32(sy/fleck)*9151 + r>>2*77 + px&0xc0); n%19 == 0 {
							r = uint32(fs[int(n>>8)%len(fs)])
						}
					}
					sum += v.ramps[r][uint8(min(255, f))]
				}
				out[4*x] = uint8(sum >> 22)
				out[4*x+1] = uint8(sum >> 12)
				out[4*x+2] = uint8(sum >> 2)
				out[4*x+3] = 255
			}
		}
	})
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
