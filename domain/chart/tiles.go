package chart

import "fmt"

// Sheet tells which part of a chart one sheet shows.
type Sheet struct {
	Number, Of   int // sheets count from the lower right, rightwards first
	Across, Up   int // place of the sheet, from 0, from the right and from the bottom
	FromColumn   int // of the whole chart, from the right edge
	FromRow      int // of the whole chart, from the bottom
	OverlapRight int // so many columns at the right stand on the sheet before as well
	OverlapLeft  int
	OverlapBelow int // so many rows at the bottom stand on the sheet below as well
	OverlapAbove int
}

// tiled says that the chart is one sheet of several.
func (c *Chart) tiled() bool { return c.Sheet != nil }

// Tiles cuts a chart into sheets of at most columns by rows cells, neighbours
// sharing overlap columns and rows, which are marked in the drawing. A chart
// that fits is returned as it is. Cuts are laid where they part no wide cell, as
// far as there is such a place; else the part of the cell beyond the cut is an
// empty cell with arrows.
func (c *Chart) Tiles(columns, rows, overlap int) ([]*Chart, error) {
	if columns < 4 || rows < 4 {
		return nil, fmt.Errorf("chart: a sheet of %d by %d cells is too small; at least 4 by 4", columns, rows)
	}
	overlap = max(0, min(overlap, columns/2, rows/2))
	if c.Columns <= columns && len(c.Rows) <= rows {
		return []*Chart{c}, nil
	}
	across := spans(c.Columns, columns, overlap, func(x int) bool { return c.cuts(x) == 0 })
	up := spans(len(c.Rows), rows, overlap, func(int) bool { return true })
	var out []*Chart
	for j, v := range up {
		for i, h := range across {
			s := &Sheet{Number: len(out) + 1, Of: len(across) * len(up), Across: i, Up: j, FromColumn: h[0], FromRow: v[0]}
			if i > 0 {
				s.OverlapRight = across[i-1][1] - h[0]
			}
			if i+1 < len(across) {
				s.OverlapLeft = h[1] - across[i+1][0]
			}
			if j > 0 {
				s.OverlapBelow = up[j-1][1] - v[0]
			}
			if j+1 < len(up) {
				s.OverlapAbove = v[1] - up[j+1][0]
			}
			out = append(out, c.part(s, h[1], v[1]))
		}
	}
	return out, nil
}

// spans cuts n into stretches of at most most, which overlap.
func spans(n, most, overlap int, free func(int) bool) [][2]int {
	var out [][2]int
	for from := 0; ; {
		to := from + most
		if to >= n {
			return append(out, [2]int{from, n})
		}
		for x := to; x > from+most/2 && x > from+overlap+1; x-- {
			if free(x) {
				to = x
				break
			}
		}
		out = append(out, [2]int{from, to})
		next := to - overlap
		for x := next; x > from+1 && x > next-most/4; x-- {
			if free(x) {
				next = x
				break
			}
		}
		from = max(next, from+1)
	}
}

// part is the sheet that ends before column to and row top.
func (c *Chart) part(s *Sheet, to, top int) *Chart {
	t := *c
	t.Sheet, t.Columns = s, to-s.FromColumn
	t.Rows = make([]Row, 0, top-s.FromRow)
	for i := s.FromRow; i < top; i++ {
		r := c.Rows[i]
		var cells []Cell
		for _, cell := range r.Cells {
			lo, hi := max(cell.Column, s.FromColumn), min(cell.Column+cell.Span, to)
			if lo >= hi {
				continue
			}
			if hi-lo < cell.Span && cell.Kind == Stitch {
				cell.Kind = Continued
			}
			cell.Column, cell.Span = lo-s.FromColumn, hi-lo
			cell.Reach = min(cell.Reach, i-s.FromRow)
			cells = append(cells, cell)
		}
		r.Cells = cells
		t.Rows = append(t.Rows, r)
	}
	if len(t.Rows) > 0 {
		t.Rows[0].Gap = false
	}
	t.Box = nil
	if b := c.Box; b != nil {
		t.Box = &Box{Width: b.Width, Of: b.Of}
		for i := s.FromRow; i < top; i++ {
			t.Box.From = append(t.Box.From, b.From[i]-s.FromColumn)
		}
	}
	t.Key = nil
	t.key()
	return &t
}

// marks draws where sheets overlap: a dashed line, with a wedge at either end,
// on which the edge of the neighbouring sheet is laid.
func (w *drawer) marks() {
	s := w.c.Sheet
	if s == nil {
		return
	}
	x0, y0, x1, y1 := w.x0, w.y0, w.x0+w.gridWide, w.y0+w.gridHigh
	const ink = "#a00000"
	pen := 0.05 * min(w.cw, w.ch)
	dash := func(p, q Point) {
		n := max(1, int((abs(q.X-p.X)+abs(q.Y-p.Y))/(0.5*min(w.cw, w.ch))))
		for k := 0; k < n; k += 2 {
			a, b := float64(k)/float64(n), float64(k+1)/float64(n)
			w.add(Shape{Kind: Stroked, Path: line(Point{p.X + (q.X-p.X)*a, p.Y + (q.Y-p.Y)*a}, Point{p.X + (q.X-p.X)*b, p.Y + (q.Y-p.Y)*b}), Colour: ink, Width: pen})
		}
	}
	d := 0.22 * min(w.cw, w.ch)
	down := func(x float64) { // a wedge above and below
		dash(Point{x, y0}, Point{x, y1})
		w.add(Shape{Kind: Filled, Path: append(line(Point{x, y0}, Point{x - d, y0 - 1.6*d}, Point{x + d, y0 - 1.6*d}), Seg{Op: 'Z'}), Colour: ink})
		w.add(Shape{Kind: Filled, Path: append(line(Point{x, y1}, Point{x - d, y1 + 1.6*d}, Point{x + d, y1 + 1.6*d}), Seg{Op: 'Z'}), Colour: ink})
	}
	along := func(y float64) {
		dash(Point{x0, y}, Point{x1, y})
		w.add(Shape{Kind: Filled, Path: append(line(Point{x0, y}, Point{x0 - 1.6*d, y - d}, Point{x0 - 1.6*d, y + d}), Seg{Op: 'Z'}), Colour: ink})
		w.add(Shape{Kind: Filled, Path: append(line(Point{x1, y}, Point{x1 + 1.6*d, y - d}, Point{x1 + 1.6*d, y + d}), Seg{Op: 'Z'}), Colour: ink})
	}
	if n := s.OverlapRight; n > 0 {
		down(w.x(n, 0))
	}
	if n := s.OverlapLeft; n > 0 {
		down(w.x(w.c.Columns-n, 0))
	}
	if n := s.OverlapBelow; n > 0 && n < len(w.top) {
		along(w.top[n-1])
	}
	if n := s.OverlapAbove; n > 0 && n < len(w.top) {
		along(w.top[len(w.top)-n] + w.ch)
	}
	w.add(Shape{Kind: Letters, Text: fmt.Sprintf("Sheet %d of %d: columns %d to %d from the right, rows %s to %s; the neighbour's edge lies on the dashed line", s.Number, s.Of,
		s.FromColumn+1, s.FromColumn+w.c.Columns, w.c.Rows[0].Number, w.c.Rows[len(w.c.Rows)-1].Number), At: Point{0.35 * w.cw, 0.35*w.cw + w.letters*0.6}, Size: w.letters * 0.9, Colour: black})
}

func abs(v float64) float64 {
	if v < 0 {
		return -v
	}
	return v
}
