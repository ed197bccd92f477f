package picture

import (
	"bufio"
	"fmt"
	"html"
	"image/color"
	"io"
	"math"
	"slices"
	"strconv"

	"rowproof/domain/fabric"
)

// svgUnit is the width of a stitch in an SVG, in its own units: enough for whole numbers.
const svgUnit = 32

// svgLayers is in how many layers the yarn lies over each other.
const svgLayers = 7

// SVG writes the same loops as paths: layers from back to front, in each the
// yarn of every colour as a dark outline, the yarn, and a light on it. It is for
// print and for zooming into; it has no plies and softer shadows than PNG.
func SVG(w io.Writer, f *fabric.Fabric, opt Options) error {
	fr, err := lay(f, opt)
	if err != nil {
		return err
	}
	if n := fr.opt.Window; (n.ToColumn-n.FromColumn)*(n.ToRow-n.FromRow) > MaxPaths {
		return &TooLarge{Scale: opt.Scale, Most: MaxPaths}
	}
	out := bufio.NewWriter(w)
	fr.svg(out)
	if err := out.Flush(); err != nil {
		return fmt.Errorf("picture: write SVG: %w", err)
	}
	return nil
}

// svgPiece is a piece of yarn that lies in one layer.
type svgPiece struct {
	colour color.RGBA
	pts    []vec // the first and last give direction only
	layer  int
}

func (fr *frame) svg(out *bufio.Writer) {
	p := fr.p
	b := &brush{scale: svgUnit, x0: fr.x0, y1: fr.y1, flip: fr.opt.WS, r: p.radius}
	w, h := (fr.x1-fr.x0)*svgUnit, (fr.y1-fr.y0)*svgUnit
	g := fr.opt.Gauge.orUsual()
	v := newVat(p.f, fr.opt.Colours, g.LoopLength(), 10/g.Stitches)
	side := "right side"
	if fr.opt.WS {
		side = "wrong side"
	}
	win := fr.opt.Window
	fmt.Fprintf(out, `<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%d" viewBox="0 0 %.0f %.0f" role="img" aria-labelledby="t d">`+"\n",
		int(math.Ceil((fr.x1-fr.x0)*float64(fr.scale))), int(math.Ceil((fr.y1-fr.y0)*float64(fr.scale))), w, h)
	fmt.Fprintf(out, "<title id=\"t\">The fabric, %s</title>\n<desc id=\"d\">%s</desc>\n", side, html.EscapeString(p.describe(win, side)))
	fmt.Fprintf(out, `<rect width="%.0f" height="%.0f" fill="%s"/>`+"\n", w, h, hex(fr.ground(v)))
	pieces := fr.pieces(b, v, w, h)
	slices.SortStableFunc(pieces, func(a, c svgPiece) int {
		if d := a.layer - c.layer; d != 0 {
			return d
		}
		return int(rgb(a.colour)) - int(rgb(c.colour))
	})
	fmt.Fprintf(out, `<g fill="none" stroke-linejoin="round">`+"\n")
	var d []byte
	id := 0
	for i := 0; i < len(pieces); {
		j := i
		d = d[:0]
		x, y := 0, 0
		for ; j < len(pieces) && pieces[j].layer == pieces[i].layer && pieces[j].colour == pieces[i].colour; j++ {
			d, x, y = appendPath(d, pieces[j].pts, x, y)
		}
		c := pieces[i].colour
		deep := 0.62 + 0.38*float64(pieces[i].layer)/(svgLayers-1) // what lies under is in shadow
		r := p.radius * svgUnit
		fmt.Fprintf(out, `<defs><path id="p%d" d="%s"/></defs>`, id, d)
		for _, s := range []struct {
			light, width float64
			dx           int
		}{{0.42, 2*r + 2, 0}, {0.88, 2*r - 2.5, 0}, {1.10, r * 0.75, -1}} {
			fmt.Fprintf(out, `<use href="#p%d" stroke="%s" stroke-width="%.1f"`, id, hex(shaded(c, s.light*deep)), s.width)
			if s.dx != 0 {
				fmt.Fprintf(out, ` x="%.0f" y="%.0f" stroke-opacity=".55"`, -r*0.22, -r*0.30)
			}
			out.WriteString("/>")
		}
		out.WriteString("\n")
		id++
		i = j
	}
	out.WriteString("</g>\n</svg>\n")
}

func rgb(c color.RGBA) uint32 { return uint32(c.R)<<16 | uint32(c.G)<<8 | uint32(c.B) }

// shaded is a colour in less or more light.
func shaded(c color.RGBA, k float64) color.RGBA {
	m := func(x uint8) uint8 { return uint8(clamp(screen(min(1, linear(x)*math.Pow(k, 1.75))), 0, 255)) }
	return color.RGBA{m(c.R), m(c.G), m(c.B), 255}
}

// pieces cuts all strands where they change layer.
func (fr *frame) pieces(b *brush, v *vat, w, h float64) []svgPiece {
	p := fr.p
	st := p.strands()
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, q := range st.pts {
		z := b.pixel(q).z
		lo, hi = min(lo, z), max(hi, z)
	}
	// most yarn lies within a depth of the middle; the outer layers take the rest
	lo, hi = max(lo, -2.2*depth), min(hi, 2.2*depth)
	layerOf := func(z float64) int {
		return int(clamp(math.Round((z-lo)/max(1e-6, hi-lo)*(svgLayers-1)), 0, svgLayers-1))
	}
	var out []svgPiece
	for i := range st.list {
		s := &st.list[i]
		c := v.colour(p.f, s.loop)
		pts := make([]vec, 0, s.to-s.from)
		x0, x1, y0, y1 := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
		for _, q := range st.pts[s.from:s.to] {
			px := b.pixel(q)
			pts = append(pts, px)
			x0, x1, y0, y1 = min(x0, px.x), max(x1, px.x), min(y0, px.y), max(y1, px.y)
		}
		if x1 < -svgUnit/2 || x0 > w+svgUnit/2 || y1 < -svgUnit/2 || y0 > h+svgUnit/2 {
			continue
		}
		// a span between two points lies in the layer of its middle
		span := func(k int) int { return layerOf((pts[k].z + pts[k+1].z) / 2) }
		for k := 1; k+2 < len(pts); {
			l, e := span(k), k+1
			for e+1 < len(pts)-1 && span(e) == l {
				e++
			}
			out = append(out, svgPiece{colour: c, pts: pts[k-1 : e+2], layer: l})
			k = e
		}
	}
	return out
}

// appendPath adds a spline through all points but the first and last, as cubic
// curves in whole numbers relative to x, y, and says where it ends.
func appendPath(d []byte, pts []vec, x, y int) ([]byte, int, int) {
	num := func(n int, first bool) {
		if !first && n >= 0 {
			d = append(d, ' ')
		}
		d = strconv.AppendInt(d, int64(n), 10)
	}
	round := func(v float64) int { return int(math.Round(v)) }
	nx, ny := round(pts[1].x), round(pts[1].y)
	d = append(d, 'm')
	num(nx-x, true)
	num(ny-y, false)
	x, y = nx, ny
	for i := 1; i+2 < len(pts); i++ {
		p0, p1, p2, p3 := pts[i-1], pts[i], pts[i+1], pts[i+2]
		l := math.Hypot(p2.x-p1.x, p2.y-p1.y)
		a := limit(vec{p2.x - p0.x, p2.y - p0.y, 0}.mul(0.5), 1.25*l).mul(1.0 / 3)
		c := limit(vec{p3.x - p1.x, p3.y - p1.y, 0}.mul(0.5), 1.25*l).mul(1.0 / 3)
		if i == 1 {
			d = append(d, 'c')
		} else {
			d = append(d, ' ')
		}
		ex, ey := round(p2.x), round(p2.y)
		num(round(p1.x+a.x)-x, true)
		num(round(p1.y+a.y)-y, false)
		num(round(p2.x-c.x)-x, false)
		num(round(p2.y-c.y)-y, false)
		num(ex-x, false)
		num(ey-y, false)
		x, y = ex, ey
	}
	return d, x, y
}

// colour is the colour of a loop as a whole.
func (v *vat) colour(f *fabric.Fabric, loop int32) color.RGBA {
	w := v.ways[f.Loops[loop].Yarn]
	if w.Kind < Stripes {
		return w.Runs[0].Colour
	}
	return w.ColourAt(float64(v.starts[loop]) + float64(v.length[loop])/2)
}

// describe tells those who do not see the picture what it shows.
func (p *plan) describe(w Window, side string) string {
	knit, purl, over, dec, cross, below, slip := 0, 0, 0, 0, 0, 0, 0
	for r, ids := range p.rows {
		if row := r + int(p.lo); row < w.FromRow || row >= w.ToRow {
			continue
		}
		for _, id := range ids {
			l := p.loop(id)
			if c := int(l.Column); c < w.FromColumn || c >= w.ToColumn {
				continue
			}
			switch {
			case p.overNothing(id):
				over++
				continue
			case l.Cross != fabric.Straight:
				cross++
			case p.f.CatchOf(id) != nil:
				below++
			case len(p.f.Parents(id)) > 1:
				dec++
			}
			if l.Slips > 0 {
				slip++
			}
			if face := l.Face; (face == fabric.Knit) == (side == "right side") {
				knit++
			} else {
				purl++
			}
		}
	}
	s := fmt.Sprintf("%d columns and %d rows seen from the %s: %d knit stitches and %d purl bumps", w.ToColumn-w.FromColumn, w.ToRow-w.FromRow, side, knit, purl)
	for _, x := range []struct {
		n    int
		what string
	}{{over, "yarn overs"}, {dec, "decreases"}, {cross, "crossed stitches"}, {below, "stitches worked below"}, {slip, "slipped stitches"}} {
		if x.n > 0 {
			s += fmt.Sprintf(", %d %s", x.n, x.what)
		}
	}
	return s + "."
}
