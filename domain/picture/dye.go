package picture

import (
	"image/color"
	"math"

	"rowproof/domain/fabric"
)

// munden is Ks of wet-relaxed plain knitting: stitches to the square centimetre
// times the square of the loop length in centimetres. Source: D. L. Munden, "The
// geometry and dimensional properties of plain-knit fabrics", J. Text. Inst. 50
// (1959) T448-T471, whose kc 5.3 and kw 4.1 give 21.7.
const munden = 21.7

// LoopLength is the yarn in one plain stitch at a gauge, in centimetres.
func (g Gauge) LoopLength() float64 {
	g = g.orUsual()
	return math.Sqrt(munden / (g.Stitches * g.Rows / 100))
}

// shades of one dye: how the yarn looks from dark to light, three channels of ten bits.
type ramp [256]uint32

// jitters is how many tints of one colour there are: no two stitches are quite alike.
const jitters = 4

// vat holds the dyes of a picture.
type vat struct {
	ramps  []ramp
	flecks [][]uint16 // by ramp: ramps of its flecks, nil for most
	by     map[color.RGBA]int
	ways   []Colourway // by yarn of the fabric
	cycle  []float64   // length of all runs
	fleck  [][]uint16  // by yarn
	base   []int       // by yarn, of solid and tweed
	starts []float32   // by loop: where along its yarn it begins, in cm; nil where no yarn changes
	length []float32   // by loop
}

func newVat(f *fabric.Fabric, c Colourways, loopCM, stitchCM float64) *vat {
	v := &vat{by: map[color.RGBA]int{}, ways: make([]Colourway, len(f.Yarns)), cycle: make([]float64, len(f.Yarns)), base: make([]int, len(f.Yarns)),
		fleck: make([][]uint16, len(f.Yarns))}
	runs := false
	for i, y := range f.Yarns {
		w := c.Of(y, i)
		v.ways[i] = w
		for _, r := range w.Runs {
			v.cycle[i] += r.CM
		}
		runs = runs || w.Kind >= Stripes
		if w.Kind == Tweed {
			for _, k := range w.Flecks {
				v.fleck[i] = append(v.fleck[i], uint16(v.dye(mix(k, w.Runs[0].Colour, 0.2), nil)))
			}
		}
		v.base[i] = v.dye(w.Runs[0].Colour, v.fleck[i])
	}
	if runs {
		v.wind(f, loopCM, stitchCM)
	}
	return v
}

// wind finds where along its yarn every loop lies. The yarn goes in the order
// of working; a loop takes loopCM, more where it is wound or carried, strands take their width.
func (v *vat) wind(f *fabric.Fabric, loopCM, stitchCM float64) {
	v.starts, v.length = make([]float32, len(f.Loops)), make([]float32, len(f.Loops))
	used := make([]float64, len(f.Yarns))
	floats := map[int32]float64{}
	row := int32(-2)
	for i := range f.Loops {
		l := &f.Loops[i]
		if l.Row != row {
			row = l.Row
			clear(floats)
			if row >= 0 {
				for _, s := range f.Rows[row].Floats {
					floats[s.To] += float64(s.Over) * stitchCM
				}
			}
		}
		n := loopCM * (1 + 0.8*max(0, float64(l.Wraps)-1))
		used[l.Yarn] += floats[int32(i)]
		v.starts[i], v.length[i] = float32(used[l.Yarn]), float32(n)
		used[l.Yarn] += n
	}
}

// dye gives the first ramp of a colour.
func (v *vat) dye(c color.RGBA, flecks []uint16) int {
	if flecks == nil {
		if i, ok := v.by[c]; ok {
			return i
		}
	}
	i := len(v.ramps)
	for k := range jitters {
		v.ramps = append(v.ramps, newRamp(c, 1+0.035*(float64(k)-1.5)/1.5))
		v.flecks = append(v.flecks, flecks)
	}
	if flecks == nil {
		v.by[c] = i
	}
	return i
}

func linear(c uint8) float64 {
	x := float64(c) / 255
	if x <= 0.04045 {
		return x / 12.92
	}
	return math.Pow((x+0.055)/1.055, 2.4)
}

func screen(x float64) float64 {
	if x <= 0.0031308 {
		return 12.92 * x * 255
	}
	return (1.055*math.Pow(x, 1/2.4) - 0.055) * 255
}

// newRamp makes the shades of a colour: 128 is the colour itself. In the dark
// wool keeps its hue, in the light it bleaches a little.
func newRamp(c color.RGBA, gain float64) ramp {
	var r ramp
	l := [3]float64{linear(c.R), linear(c.G), linear(c.B)}
	grey := 0.2126*l[0] + 0.7152*l[1] + 0.0722*l[2]
	for i := range r {
		k := math.Pow(float64(i)/128, 1.75) * gain
		white := max(0, k-0.9) * 0.05
		var px uint32
		for _, x := range l {
			if k < 1 {
				x = lerp(x, x*x/max(grey, 0.02), 0.12*(1-k))
			}
			y := x*k + white + 0.0015
			y = y / (1 + max(0, y-0.8)*0.5) // no burnt whites
			px = px<<10 | uint32(clamp(screen(min(1, y))+0.5, 0, 255))
		}
		r[i] = px
	}
	return r
}

// at gives the ramps of the four quarters of a loop, or of a strand that belongs to it.
func (v *vat) at(f *fabric.Fabric, loop int32, kind strandKind) (r [4]uint16) {
	y := f.Loops[loop].Yarn
	j := int(noise(uint32(loop)*31+uint32(kind)) % jitters)
	if v.ways[y].Kind < Stripes {
		for q := range r {
			r[q] = uint16(v.base[y] + j)
		}
		return r
	}
	for q := range r {
		t := (float64(q) + 0.5) / 4
		if kind == floatStrand || kind == edgeStrand {
			t = 0
		}
		cm := float64(v.starts[loop]) + float64(v.length[loop])*t
		r[q] = uint16(v.dye(v.ways[y].ColourAt(cm), nil) + j)
	}
	return r
}

// blend is how far runs of a variegated yarn run into each other: a part of the shorter of the two.
const blend = 0.35

// ColourAt is the colour of the yarn cm centimetres from where it begins to be knit.
func (w Colourway) ColourAt(cm float64) color.RGBA {
	if len(w.Runs) == 0 {
		return color.RGBA{A: 255}
	}
	cycle := 0.0
	for _, r := range w.Runs {
		cycle += r.CM
	}
	if w.Kind < Stripes || len(w.Runs) == 1 || cycle <= 0 {
		return w.Runs[0].Colour
	}
	cm = math.Mod(cm+w.Start, cycle)
	if cm < 0 {
		cm += cycle
	}
	i := 0
	for i < len(w.Runs)-1 && cm >= w.Runs[i].CM {
		cm -= w.Runs[i].CM
		i++
	}
	c := w.Runs[i]
	if w.Kind == Stripes {
		return c.Colour
	}
	next, last := w.Runs[(i+1)%len(w.Runs)], w.Runs[(i+len(w.Runs)-1)%len(w.Runs)]
	if z := blend * min(c.CM, next.CM) / 2; c.CM-cm < z {
		return mix(c.Colour, next.Colour, 0.5*(1-(c.CM-cm)/z))
	}
	if z := blend * min(c.CM, last.CM) / 2; cm < z {
		return mix(c.Colour, last.Colour, 0.5*(1-cm/z))
	}
	return c.Colour
}

// mix mixes two colours in sixteen steps.
func mix(a, b color.RGBA, t float64) color.RGBA {
	t = math.Round(t*16) / 16
	m := func(x, y uint8) uint8 { return uint8(math.Round(lerp(float64(x), float64(y), t))) }
	return color.RGBA{m(a.R, b.R), m(a.G, b.G), m(a.B, b.B), 255}
}
