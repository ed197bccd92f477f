// Package picture draws a worked fabric as it would look: both sides, in the
// designer's colourways. Draw and PNG make pixels, SVG makes paths of the same
// loops, and ParseColourways reads how the yarns are dyed.
//
// Every loop is a piece of yarn in three dimensions, laid by what the fabric
// says of it: the face of a loop tells how its feet pass those below, the face
// of its child how its head lies. The whole is then relaxed a little, so that
// decreases lean and yarn overs open. It is an illustration, not a computation
// of forces: how far a texture puffs out depends on yarn and hands.
package picture

import (
	"fmt"
	"image"
	"image/color"
	"io"
	"math"
	"runtime"
	"sync"

	"rowproof/domain/fabric"
)

// Gauge is stitches and rows to 10 cm; 0 means the usual 20 and 28.
type Gauge struct{ Stitches, Rows float64 }

func (g Gauge) orUsual() Gauge {
	if g.Stitches <= 0 && g.Rows <= 0 {
		return Gauge{20, 28}
	}
	if g.Rows <= 0 {
		g.Rows = g.Stitches * 1.4
	}
	if g.Stitches <= 0 {
		g.Stitches = g.Rows / 1.4
	}
	return g
}

// Window is part of a fabric: columns from the right edge as RS is seen, rows
// from the cast-on; From counts, To does not. To 0 means to the end; rows from 0 show the cast-on.
type Window struct{ FromColumn, ToColumn, FromRow, ToRow int }

// Options are how a picture is drawn. The zero value draws all of RS in the
// house's colours, at a size that fits.
type Options struct {
	WS      bool       // the wrong side
	Scale   int        // pixels to the stitch, 4 to 64; 0 chooses by the width
	Gauge   Gauge      // for the height of a row and the length of a loop
	Window  Window     // all of the fabric
	Colours Colourways // by yarn; see Colourways.Of for those it does not name
	Ground  color.Color
}

// Bounds of one picture.
const (
	MaxPixels   = 4_000_000
	MaxStitches = 120_000 // columns by rows
	MaxPaths    = 20_000  // stitches of an SVG, some 250 bytes each
	minScale    = 4
	maxScale    = 64
)

// TooLarge is the error of a picture that would pass MaxPixels.
type TooLarge struct {
	Width, Height int // in pixels; 0 where there are too many stitches
	Scale         int // that was asked for
	Fits          int // the greatest scale that fits, 0 where none does
	Most          int // stitches that can be drawn, where there are too many
}

func (e *TooLarge) Error() string {
	if e.Most > 0 {
		return fmt.Sprintf("picture: more than %d stitches: draw part of them", e.Most)
	}
	s := fmt.Sprintf("picture: %d by %d pixels are more than %d", e.Width, e.Height, MaxPixels)
	if e.Fits >= minScale {
		return s + fmt.Sprintf(": draw it at %d pixels to the stitch or fewer, or draw part of it", e.Fits)
	}
	return s + ": draw part of it"
}

// frame is what is drawn of a plan and how.
type frame struct {
	p              *plan
	opt            Options
	scale          int
	x0, x1, y0, y1 float64 // in stitch widths, as the side drawn is seen
}

// lay lays the fabric out and fits the picture about it.
func lay(f *fabric.Fabric, opt Options) (*frame, error) {
	if f == nil || len(f.Rows) == 0 || f.Columns == 0 {
		return nil, fmt.Errorf("picture: no rows to draw")
	}
	w := &opt.Window
	if w.ToColumn <= 0 || w.ToColumn > f.Columns {
		w.ToColumn = f.Columns
	}
	if w.ToRow <= 0 || w.ToRow > len(f.Rows) {
		w.ToRow = len(f.Rows)
	}
	w.FromColumn, w.FromRow = max(0, w.FromColumn), max(0, w.FromRow)
	if w.FromColumn >= w.ToColumn || w.FromRow >= w.ToRow {
		return nil, fmt.Errorf("picture: an empty window: columns %d to %d of %d, rows %d to %d of %d", w.FromColumn, w.ToColumn, f.Columns, w.FromRow, w.ToRow, len(f.Rows))
	}
	if (w.ToColumn-w.FromColumn)*(w.ToRow-w.FromRow) > MaxStitches {
		return nil, &TooLarge{Scale: opt.Scale, Most: MaxStitches}
	}
	g := opt.Gauge.orUsual()
	h := clamp(g.Stitches/g.Rows, 0.3, 1.5)
	if opt.Gauge == (Gauge{}) {
		h *= settle(f)
	}
	if opt.Scale != 0 && (opt.Scale < minScale || opt.Scale > maxScale) {
		return nil, fmt.Errorf("picture: %d pixels to the stitch: from %d to %d can be drawn", opt.Scale, minScale, maxScale)
	}
	scale := opt.Scale
	if scale == 0 {
		scale = min(32, max(minScale, 640/(w.ToColumn-w.FromColumn)))
	}
	tooLarge := func(width, height float64) error {
		if !(width*height > MaxPixels) {
			return nil
		}
		fits := int(float64(scale) * math.Sqrt(MaxPixels/(width*height)))
		e := &TooLarge{Width: int(width), Height: int(height), Scale: scale, Fits: fits}
		if fits < minScale {
			e.Fits = 0
		}
		return e
	}
	// before anything is laid out, at half the size that it will have at least
	if err := tooLarge(float64((w.ToColumn-w.FromColumn)*scale)/4, float64((w.ToRow-w.FromRow)*scale)*h/4); err != nil {
		return nil, err
	}
	// rows are a whole number of subpixels high, so that alike stitches are alike
	h = math.Round(h*float64(2*scale)) / float64(2*scale)
	// a little more than is shown is laid out, for what it pulls on
	part := Window{max(0, w.FromColumn-10), min(f.Columns, w.ToColumn+10), max(-1, w.FromRow-7), min(len(f.Rows), w.ToRow+3)}
	fr := &frame{p: newPlan(f, h, part, 2*scale), opt: opt, scale: scale}
	fr.fit()
	if fr.opt.Scale == 0 { // it may have come out wider than its columns
		for fr.scale > minScale && tooLarge((fr.x1-fr.x0)*float64(fr.scale), (fr.y1-fr.y0)*float64(fr.scale)) != nil {
			fr.scale--
		}
		scale = fr.scale
	}
	if err := tooLarge((fr.x1-fr.x0)*float64(scale), (fr.y1-fr.y0)*float64(scale)); err != nil {
		return nil, err
	}
	return fr, nil
}

// settle is how much lower than those of stockinette the rows lie where no
// gauge is known: garter draws up to 0.7 of it, for whole rows change face; seed less.
func settle(f *fabric.Fabric) float64 {
	n, rows, seeds := 0.0, 0.0, 0.0
	for i := 1; i < len(f.Loops); i++ {
		l := &f.Loops[i]
		ps := f.Parents(int32(i))
		if len(ps) != 1 || l.Row <= 0 {
			continue
		}
		n++
		switch o := &f.Loops[i-1]; {
		case f.Loops[ps[0]].Face == l.Face:
		case o.Row == l.Row && o.Face == l.Face:
			rows++
		default:
			seeds++
		}
	}
	return 1 - (0.3*rows+0.14*seeds)/max(1, n)
}

// fit finds the edges of the picture: close about the fabric, cut at a window's edges.
func (fr *frame) fit() {
	p, w := fr.p, fr.opt.Window
	f := p.f
	x0, x1, y0, y1 := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for r, ids := range p.rows {
		row := r + int(p.lo)
		if row >= w.ToRow || row < w.FromRow-1 || row < w.FromRow && w.FromRow > 0 {
			continue
		}
		for _, id := range ids {
			if c := int(f.Loops[id].Column); c < w.FromColumn || c >= w.ToColumn {
				continue
			}
			n, t := p.at[id], p.top[id]
			x0, x1 = min(x0, n.x), max(x1, n.x)
			y0, y1 = min(y0, n.y), max(y1, n.y)
			if w.ToRow == len(f.Rows) {
				y1 = max(y1, t.y)
			}
		}
	}
	if x0 > x1 {
		x0, x1, y0, y1 = 0, 1, 0, 1
	}
	// cut edges run between stitches, open ones leave a margin
	left, right, below, above := 0.5, 0.5, -overlap*p.h, 0.0
	if w.FromColumn == 0 {
		right = 1.1
	}
	if w.ToColumn == f.Columns {
		left = 1.1
	}
	if w.FromRow == 0 {
		below = 1.0 * p.h
	}
	if w.ToRow == len(f.Rows) {
		above = 1.1 * p.h
	}
	step := func(v float64) float64 { return math.Round(v*2*float64(fr.scale)) / (2 * float64(fr.scale)) }
	fr.x0, fr.x1, fr.y0, fr.y1 = step(x0-left), step(x1+right), step(y0-below), step(y1+above)
	if fr.opt.WS {
		fr.x0, fr.x1 = -fr.x1, -fr.x0
	}
}

// Draw draws a fabric. It fails with *TooLarge where the picture would be too
// large, and where a window is empty or a scale out of range.
func Draw(f *fabric.Fabric, opt Options) (*image.RGBA, error) {
	fr, err := lay(f, opt)
	if err != nil {
		return nil, err
	}
	return fr.paint(), nil
}

// PNG writes a fabric as a PNG file.
func PNG(w io.Writer, f *fabric.Fabric, opt Options) error {
	img, err := Draw(f, opt)
	if err != nil {
		return err
	}
	if err := encode(w, img); err != nil {
		return fmt.Errorf("picture: write PNG: %w", err)
	}
	return nil
}

// workers is how many bands are drawn at once.
func workers() int { return min(4, max(1, runtime.GOMAXPROCS(0))) }

// each runs do for 0 to n-1 over the workers.
func each(n int, do func(i int)) {
	k := min(n, workers())
	if k <= 1 {
		for i := range n {
			do(i)
		}
		return
	}
	var wg sync.WaitGroup
	var next = make(chan int, n)
	for i := range n {
		next <- i
	}
	close(next)
	for range k {
		wg.Go(func() {
			for i := range next {
				do(i)
			}
		})
	}
	wg.Wait()
}
