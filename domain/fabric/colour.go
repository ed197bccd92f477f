package fabric

import (
	"fmt"
	"math"
	"strconv"
)

// Lab is a colour in CIE L*a*b* under D65: L from 0, black, to 100, white.
type Lab struct{ L, A, B float64 }

// LabOf reads a colour of a screen, "#rrggbb" in sRGB (IEC 61966-2-1).
func LabOf(hex string) (Lab, error) {
	var v [3]float64
	if len(hex) != 7 || hex[0] != '#' {
		return Lab{}, fmt.Errorf("fabric: %q is no colour of the form #rrggbb", hex)
	}
	for i := range v {
		n, err := strconv.ParseUint(hex[1+2*i:3+2*i], 16, 8)
		if err != nil {
			return Lab{}, fmt.Errorf("fabric: %q is no colour of the form #rrggbb", hex)
		}
		c := float64(n) / 255
		if c <= 0.04045 {
			v[i] = c / 12.92
		} else {
			v[i] = math.Pow((c+0.055)/1.055, 2.4)
		}
	}
	// XYZ over the white of D65
	x := (0.4124564*v[0] + 0.3575761*v[1] + 0.1804375*v[2]) / 0.95047
	y := 0.2126729*v[0] + 0.7151522*v[1] + 0.0721750*v[2]
	z := (0.0193339*v[0] + 0.1191920*v[1] + 0.9503041*v[2]) / 1.08883
	f := func(t float64) float64 {
		if t > 216.0/24389 {
			return math.Cbrt(t)
		}
		return (24389.0/27*t + 16) / 116
	}
	return Lab{116*f(y) - 16, 500 * (f(x) - f(y)), 200 * (f(y) - f(z))}, nil
}

// CIEDE2000 is the colour difference of CIE 142-2001, with all weights 1. About
// 1 is a difference just seen side by side. The names are those of G. Sharma, W.
// Wu, E. N. Dalal, "The CIEDE2000 color-difference formula: implementation
// notes, supplementary test data, and mathematical observations", Color Research
// and Application 30 (2005) 21-30, whose 34 pairs are the test.
func CIEDE2000(p, q Lab) float64 {
	const deg = math.Pi / 180
	pow7 := func(v float64) float64 { return math.Pow(v, 7) }
	far := pow7(25)
	mean := (math.Hypot(p.A, p.B) + math.Hypot(q.A, q.B)) / 2
	g := 0.5 * (1 - math.Sqrt(pow7(mean)/(pow7(mean)+far)))
	polar := func(c Lab) (chroma, hue float64) {
		a := (1 + g) * c.A
		if a == 0 && c.B == 0 {
			return 0, 0
		}
		if hue = math.Atan2(c.B, a) / deg; hue < 0 {
			hue += 360
		}
		return math.Hypot(a, c.B), hue
	}
	c1, h1 := polar(p)
	c2, h2 := polar(q)
	turn, h := h2-h1, h1+h2
	if c1*c2 == 0 {
		turn = 0
	} else {
		// half a turn exactly is one of the pairs; the rounding of Atan2 must not part it
		const half = 180 + 1e-9
		switch {
		case turn > half:
			turn -= 360
		case turn < -half:
			turn += 360
		}
		if math.Abs(h1-h2) <= half {
			h /= 2
		} else if h < 360 {
			h = (h + 360) / 2
		} else {
			h = (h - 360) / 2
		}
	}
	dL, dC, dH := q.L-p.L, c2-c1, 2*math.Sqrt(c1*c2)*math.Sin(turn/2*deg)
	l, c := (p.L+q.L)/2, (c1+c2)/2
	t := 1 - 0.17*math.Cos((h-30)*deg) + 0.24*math.Cos(2*h*deg) + 0.32*math.Cos((3*h+6)*deg) - 0.20*math.Cos((4*h-63)*deg)
	l50 := (l - 50) * (l - 50)
	sL, sC, sH := 1+0.015*l50/math.Sqrt(20+l50), 1+0.045*c, 1+0.015*c*t
	rT := -math.Sin(60*math.Exp(-((h-275)/25)*((h-275)/25))*deg) * 2 * math.Sqrt(pow7(c)/(pow7(c)+far))
	x, y, z := dL/sL, dC/sC, dH/sH
	return math.Sqrt(x*x + y*y + z*z + rT*y*z)
}

// Contrast that a texture in two colours wants, see AlikeColours. They are
// choices of ours: a photograph in greys parts lightnesses about 15 apart, and
// 10 of CIEDE2000 is a difference seen from across a room.
const (
	MinLightness  = 15.0
	MinDifference = 10.0
)

// AlikeColours finds pairs of yarns that meet in the fabric, and differ too
// little for the texture to show: in lightness by less than MinLightness or by
// less than MinDifference in all. colours holds "#rrggbb" by the name of the
// yarn; yarns it does not name, or that it gives no colour, are passed over.
func (f *Fabric) AlikeColours(colours map[string]string) []Found {
	labs := make([]*Lab, len(f.Yarns))
	for i, y := range f.Yarns {
		if c, err := LabOf(colours[y]); err == nil {
			labs[i] = &c
		}
	}
	met := map[[2]uint8]bool{}
	var out []Found
	for id := range f.Loops {
		l := &f.Loops[id]
		for _, p := range f.Parents(ID(id)) {
			a, b := min(l.Yarn, f.Loops[p].Yarn), max(l.Yarn, f.Loops[p].Yarn)
			if a == b || met[[2]uint8{a, b}] || labs[a] == nil || labs[b] == nil {
				continue
			}
			met[[2]uint8{a, b}] = true
			light, all := math.Abs(labs[a].L-labs[b].L), CIEDE2000(*labs[a], *labs[b])
			if light >= MinLightness && all >= MinDifference {
				continue
			}
			out = append(out, f.found(ColoursAlike, int(l.Row), int(l.Column),
				"%s and %s differ by %.0f in lightness and %.0f in all (CIEDE2000): the texture shows from about %.0f in lightness on", f.Yarns[a], f.Yarns[b], light, all, MinLightness))
		}
	}
	return out
}
