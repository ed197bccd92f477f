package chart

import (
	"fmt"
	"iter"
	"sort"
	"strings"
)

// Look says how a chart is drawn. Its zero value draws cells of 5 by 5 mm with
// the key below.
type Look struct {
	Cell   float64 // width of a cell in mm; 0 is 5
	Aspect float64 // height of a cell over its width; 0 is 1. Stitches over rows of the gauge gives the true shape
	NoKey  bool    // leave the key and the notes out: the page tells them in its own words
	Text   float64 // size of the letters of the key in mm; 0 is 3
}

// ShapeKind tells what a Shape is.
type ShapeKind uint8

const (
	Filled ShapeKind = iota
	Stroked
	Letters
)

// Anchor says which point of a line of letters stands at At.
type Anchor uint8

const (
	Start Anchor = iota
	Middle
	EndOf
)

// Shape is one thing drawn: a filled or stroked path, or letters. All lengths
// are mm, from the upper left corner of the drawing, y downwards.
type Shape struct {
	Kind   ShapeKind
	Path   []Seg
	Colour string  // "#rrggbb"
	Width  float64 // of the stroke
	Text   string
	At     Point // left, middle or right end of the letters' base line
	Size   float64
	Anchor Anchor
	Bold   bool
	Row    int // row of the chart it belongs to, from 0; -1 where it belongs to none
}

// Drawing is a chart laid out in mm; the SVG and the PDF are drawn from the
// same one.
type Drawing struct {
	Width, Height float64
	Title, Desc   string // for those who cannot see it

	shapes []Shape
}

// Shapes tells the shapes in the order they are drawn, the lowest first.
func (d *Drawing) Shapes() iter.Seq[Shape] {
	return func(yield func(Shape) bool) {
		for _, s := range d.shapes {
			if !yield(s) {
				return
			}
		}
	}
}

// NewDrawing is a drawing of shapes that are no chart's, such as a schematic.
func NewDrawing(width, height float64, title, desc string, shapes []Shape) *Drawing {
	return &Drawing{Width: width, Height: height, Title: title, Desc: desc, shapes: shapes}
}

// Line is an open path through points.
func Line(pts ...Point) []Seg { return line(pts...) }

// Ink and grid colours; widths in parts of a cell.
const (
	black     = "#000000"
	white     = "#ffffff"
	gridLine  = "#8a8a8a"
	emptyCell = "#c8c8c8"
	restCell  = "#f0f0f0"
	penWidth  = 0.075
	boxWidth  = 0.16
	gridWidth = 0.024
	gapHeight = 0.7 // of a row where rows are left out
)

// drawer lays a chart out.
type drawer struct {
	c        *Chart
	look     Look
	d        *Drawing
	cw, ch   float64
	x0, y0   float64   // upper left corner of the grid
	top      []float64 // of each row
	fills    []string  // of each yarn
	row      int
	letters  float64 // size of the numbers
	gridWide float64
	gridHigh float64
}

// Draw lays the chart out.
func (c *Chart) Draw(look Look) *Drawing {
	if look.Cell <= 0 {
		look.Cell = 5
	}
	if look.Aspect <= 0 {
		look.Aspect = 1
	}
	if look.Text <= 0 {
		look.Text = 3
	}
	w := &drawer{c: c, look: look, d: &Drawing{Title: c.Name(), Desc: c.Describe()}, cw: look.Cell, ch: look.Cell * look.Aspect, row: -1}
	w.letters = max(1.8, 0.52*min(w.cw, w.ch))
	w.fills = c.fills()
	w.measure()
	w.cells()
	w.reaches()
	w.box()
	w.numbers()
	w.marks()
	if !look.NoKey {
		w.key()
	}
	return w.d
}

// Name is the chart's title in words.
func (c *Chart) Name() string {
	what := c.Title
	if c.Part != "" && c.Part != c.Title {
		if what != "" {
			what += ", "
		}
		what += c.Part
	}
	if what == "" {
		what = "the pattern"
	}
	unit := "rows"
	if c.Round {
		unit = "rounds"
	}
	name := fmt.Sprintf("Chart of %s: %s by %d %s", what, stitches(c.Columns), len(c.Rows), unit)
	if c.Sheet != nil {
		name += fmt.Sprintf(", sheet %d of %d", c.Sheet.Number, c.Sheet.Of)
	}
	return name
}

// Describe tells how the chart is read and what its symbols mean.
func (c *Chart) Describe() string {
	out := append([]string(nil), c.Notes...)
	for _, e := range c.Key {
		short := shortOf(c.Symbols, &e.Cell)
		if short == e.Words || short == "" {
			out = append(out, e.Words+".")
		} else {
			out = append(out, short+": "+e.Words+".")
		}
	}
	return strings.Join(out, " ")
}

func shortOf(set string, cell *Cell) string {
	switch cell.Kind {
	case NoStitch, Unworked, Continued:
		return ""
	}
	if s := SymbolOf(set, cell.Symbol); s != nil {
		return strings.NewReplacer("#", fmt.Sprint(cell.Number), "@", cell.Name).Replace(s.Short)
	}
	return ""
}

// fills are the colours of the yarns.
func (c *Chart) fills() []string {
	greys := []string{white, "#bdbdbd", "#7f7f7f", "#dedede", "#9c9c9c", "#5c5c5c"}
	out := make([]string, len(c.Yarns))
	for i, y := range c.Yarns {
		out[i] = greys[min(i, len(greys)-1)]
		if validColour(y.Colour) {
			out[i] = y.Colour
		}
	}
	return out
}

func validColour(s string) bool {
	if len(s) != 7 || s[0] != '#' {
		return false
	}
	for _, r := range s[1:] {
		if !strings.ContainsRune("0123456789abcdefABCDEF", r) {
			return false
		}
	}
	return true
}

// measure finds the room that the numbers want, and places the grid.
func (w *drawer) measure() {
	left, right := 0.0, 0.0
	for i := range w.c.Rows {
		r := &w.c.Rows[i]
		n := textWidth(r.Number, w.letters) + 0.5*w.cw
		if len(w.c.Yarns) > 0 && r.Yarn >= 0 {
			n += textWidth(w.c.Yarns[r.Yarn].Letter, w.letters) + 0.5*w.cw
		}
		if r.Left {
			left = max(left, n)
		} else {
			right = max(right, n)
		}
	}
	margin := 0.35 * w.cw
	w.x0, w.y0 = margin+max(left, 0.3*w.cw), margin
	if w.c.Sheet != nil {
		w.y0 += w.letters * 1.4
	}
	w.top = make([]float64, len(w.c.Rows))
	y := w.y0
	for i := len(w.c.Rows) - 1; i >= 0; i-- {
		w.top[i] = y
		y += w.ch
		if w.c.Rows[i].Gap && i > 0 {
			y += gapHeight * w.ch
		}
	}
	w.gridHigh = y - w.y0
	w.gridWide = float64(w.c.Columns) * w.cw
	w.d.Width = w.x0 + w.gridWide + max(right, 0.3*w.cw) + margin
	w.d.Height = y + margin
}

// x is the left edge of a column; columns count from the right.
func (w *drawer) x(column, span int) float64 {
	return w.x0 + float64(w.c.Columns-column-span)*w.cw
}

func (w *drawer) add(s Shape) {
	s.Row = w.row
	w.d.shapes = append(w.d.shapes, s)
}

func rect(x, y, wide, high float64) []Seg {
	return []Seg{{Op: 'M', P: [3]Point{{x, y}}}, {Op: 'L', P: [3]Point{{x + wide, y}}}, {Op: 'L', P: [3]Point{{x + wide, y + high}}},
		{Op: 'L', P: [3]Point{{x, y + high}}}, {Op: 'Z'}}
}

func line(pts ...Point) []Seg {
	out := make([]Seg, len(pts))
	for i, p := range pts {
		out[i] = Seg{Op: 'L', P: [3]Point{p}}
	}
	out[0].Op = 'M'
	return out
}

// fill is the ground of a cell.
func (w *drawer) fill(c *Cell) string {
	switch {
	case c.Kind == NoStitch:
		return emptyCell
	case c.Yarn >= 0 && c.Yarn < len(w.fills):
		return w.fills[c.Yarn]
	case c.Kind == Unworked:
		return restCell
	}
	return white
}

// cells draws every cell: its ground and its lines, then its symbol.
func (w *drawer) cells() {
	for i := range w.c.Rows {
		w.row = i
		r := &w.c.Rows[i]
		for k := range r.Cells {
			c := &r.Cells[k]
			x, wide := w.x(c.Column, c.Span), float64(c.Span)*w.cw
			box := rect(x, w.top[i], wide, w.ch)
			w.add(Shape{Kind: Filled, Path: box, Colour: w.fill(c)})
			w.add(Shape{Kind: Stroked, Path: box, Colour: gridLine, Width: gridWidth * w.cw})
		}
		for k := range r.Cells {
			w.symbol(r, &r.Cells[k])
		}
	}
	w.row = -1
	if w.c.Columns > 25 { // every tenth line is stronger, for counting
		for x := 10; x < w.c.Columns; x += 10 {
			for i := range w.c.Rows {
				if !w.c.Rows[i].cut(x) && w.c.Rows[i].covers(x) {
					w.row = i
					w.add(Shape{Kind: Stroked, Path: line(Point{w.x(x, 0), w.top[i]}, Point{w.x(x, 0), w.top[i] + w.ch}), Colour: "#4a4a4a", Width: 1.8 * gridWidth * w.cw})
				}
			}
		}
	}
	w.row = -1
}

// covers says that the row has cells on both sides of a line.
func (r *Row) covers(x int) bool {
	if len(r.Cells) == 0 {
		return false
	}
	last := r.Cells[len(r.Cells)-1]
	return r.Cells[0].Column < x && last.Column+last.Span > x
}

// reaches draws the legs of stitches worked below down to what they catch.
func (w *drawer) reaches() {
	for i := range w.c.Rows {
		for k := range w.c.Rows[i].Cells {
			c := &w.c.Rows[i].Cells[k]
			if c.Reach == 0 {
				continue
			}
			w.row = i
			x := w.x(c.Column, c.Span)
			foot := max(0, i-c.Reach)
			inkAt := func(j int) string {
				if under := w.c.Rows[j].at(c.Column); under != nil {
					return inkOn(w.fill(under))
				}
				return black
			}
			for j := i - 1; j >= foot; {
				k, ink := j, inkAt(j) // down to row k in one ink
				for k > foot && inkAt(k-1) == ink {
					k--
				}
				bottom := w.top[k] + w.ch
				if k == foot {
					bottom -= 0.1 * w.ch
				}
				for _, dx := range []float64{0.2, 0.8} {
					w.add(Shape{Kind: Stroked, Path: line(Point{x + dx*w.cw, w.top[j]}, Point{x + dx*w.cw, bottom}), Colour: ink, Width: penWidth * min(w.cw, w.ch)})
				}
				j = k - 1
			}
		}
	}
	w.row = -1
}

// at gives the cell that lies on a column; the cells of a row ascend.
func (r *Row) at(column int) *Cell {
	k := sort.Search(len(r.Cells), func(k int) bool { return r.Cells[k].Column+r.Cells[k].Span > column })
	if k < len(r.Cells) && r.Cells[k].Column <= column {
		return &r.Cells[k]
	}
	return nil
}

// textWidth estimates how wide letters of a common sans-serif are: 0.53 of
// their size on the average, a little too much rather than too little.
func textWidth(s string, size float64) float64 {
	return float64(len([]rune(s))) * 0.53 * size
}
