package pdf

import (
	"math"
	"strconv"

	"rowproof/domain/chart"
	"rowproof/domain/document"
)

// drawn is one thing of a drawing: a path, filled or stroked, or a set line of
// letters. Lengths are points, from the box's upper left corner, y downwards.
type drawn struct {
	path   []chart.Seg
	fill   bool
	ink    color
	weight float64
	line   *line
	x, y   float64 // of the line's left end, on its baseline
}

const mm = 72 / 25.4

// Cells are drawn as large as there is room for, within these bounds, in mm. A
// chart that wants smaller ones is cut into sheets, with cells of the size
// between, whose edges overlap.
const (
	largestCell  = 5.0
	sheetCell    = 4.2
	smallestCell = 3.3
	sheetOverlap = 2
)

// chart sets a chart: its title, the drawing as a figure, the key in type.
func (s *setter) chart(b *document.Chart) {
	k := s.k
	most := largestCell
	if k.hang == 0 {
		most = 9 // large print
	}
	wide, high := k.measure()/mm, (k.h-k.top-k.bottom-4*k.lead)/mm
	sheets, cell := fitChart(b.Chart, wide, high, most)
	drawings := make([]*chart.Drawing, len(sheets))
	widest := 0.0
	for i, c := range sheets {
		drawings[i] = c.Draw(chart.Look{Cell: cell, NoKey: true})
		widest = max(widest, drawings[i].Width*mm)
	}
	left := s.figureLeft(widest) // one edge for all sheets
	s.gap(k.lead)
	s.lines(s.root.add("P"), []span{{b.Caption(s.words_), k.caption}}, s.figureLeft(0), k.measure()-s.figureLeft(0)+k.left, k.lead, lineOpt{whole: true, next: true})
	for i, c := range sheets {
		d := drawings[i]
		fig := s.root.add("Figure")
		fig.alt = b.Alt(s.words_)
		if len(sheets) > 1 {
			fig.alt = c.Name() + "."
			if i == 0 {
				fig.alt += " " + b.Alt(s.words_)
			}
		}
		w, h := d.Width*mm, d.Height*mm
		bx := box{x: left, w: w, h: h, node: fig, drawn: s.drawing(d)}
		s.push(slab{height: h, boxes: []box{bx}, keep: i == len(sheets)-1})
		s.gap(k.lead / 2)
	}
	s.chartKey(b, cell)
}

// figureLeft is where a drawing so wide stands: under the text, where there is
// room, else from the margin.
func (s *setter) figureLeft(w float64) float64 {
	if w <= s.k.measure()-s.k.hang {
		return s.k.left + s.k.hang
	}
	return s.k.left
}

// fitChart finds the size of cells, in mm, at which a chart fits; or cuts it
// into sheets that do.
func fitChart(c *chart.Chart, wide, high, most float64) ([]*chart.Chart, float64) {
	fits := func(c *chart.Chart, cell float64) bool {
		d := c.Draw(chart.Look{Cell: cell, NoKey: true})
		return d.Width <= wide && d.Height <= high
	}
	d := c.Draw(chart.Look{Cell: most, NoKey: true})
	cell := min(most, most*min(wide/d.Width, high/d.Height))
	for cell = math.Floor(cell*10) / 10; cell >= smallestCell; cell -= 0.1 {
		if fits(c, cell) {
			return []*chart.Chart{c}, cell
		}
	}
	cell = min(sheetCell, most)
	d = c.Draw(chart.Look{Cell: cell, NoKey: true})
	side := d.Width - float64(c.Columns)*cell // the rows' numbers
	columns := max(4, int((wide-side)/cell))
	rows := max(4, int(high/cell)-4)
	sheets, err := c.Tiles(columns, rows, sheetOverlap)
	if err != nil { // never of a size asked for here
		return []*chart.Chart{c}, cell
	}
	for _, t := range sheets {
		for cell > 1 && !fits(t, cell) {
			cell -= 0.1
		}
	}
	return sheets, cell
}

// drawing brings a chart's shapes into points, its letters into type.
func (s *setter) drawing(d *chart.Drawing) []drawn {
	var out []drawn
	for sh := range d.Shapes() {
		o := drawn{ink: hexColor(sh.Colour)}
		switch sh.Kind {
		case chart.Letters:
			st := style{face: label, size: sh.Size * mm, color: o.ink, feat: tabular}
			if sh.Bold {
				st.face = labelBold
			}
			l := makeLine(s.words([]span{{sh.Text, st}}, 1e6))
			o.line, o.x, o.y = &l, sh.At.X*mm, sh.At.Y*mm
			switch sh.Anchor {
			case chart.Middle:
				o.x -= l.w / 2
			case chart.EndOf:
				o.x -= l.w
			}
		case chart.Filled:
			o.path, o.fill = sh.Path, true
		default:
			o.path, o.weight = sh.Path, sh.Width*mm
		}
		out = append(out, o)
	}
	return out
}

// hexColor reads "#rrggbb".
func hexColor(s string) color {
	if len(s) != 7 {
		return ink
	}
	v, err := strconv.ParseUint(s[1:], 16, 32)
	if err != nil {
		return ink
	}
	return color{uint8(v >> 16), uint8(v >> 8), uint8(v)}
}

// drawing draws a box's shapes, its upper left corner at b.x and top. What
// follows in one colour and weight is one path.
func (c *canvas) drawing(no int, b placed, top float64) {
	if n := b.node; n != nil && n.alt != "" {
		n.bbox = [4]float64{b.x, top - b.h, b.x + b.w, top}
	}
	c.op("q")
	c.op("J", 1)
	c.op("j", 1)
	pen, weight, penSet := color{}, -1.0, false
	open := "" // operator that ends the path under way
	end := func() {
		if open != "" {
			c.op(open)
		}
		open = ""
	}
	for i := range b.drawn {
		d := &b.drawn[i]
		switch {
		case d.line != nil:
			end()
			c.text(no, placed{box: box{line: *d.line, node: b.node}, page: no}, b.x+d.x, top-d.y)
		case d.fill:
			if open != "f" || c.ink != d.ink || !c.set {
				end()
				c.useInk(d.ink)
			}
			c.path(d.path, b.x, top)
			c.op("f")
			open = ""
		default:
			if open != "S" || !penSet || pen != d.ink || weight != d.weight {
				end()
				if !penSet || pen != d.ink {
					c.op("RG", frac(d.ink.r), frac(d.ink.g), frac(d.ink.b))
				}
				if weight != d.weight {
					c.op("w", d.weight)
				}
				pen, weight, penSet = d.ink, d.weight, true
			}
			c.path(d.path, b.x, top)
			open = "S"
		}
	}
	end()
	c.op("Q")
	c.set, c.size = false, 0 // the saved state is back
}

// path writes a path's steps.
func (c *canvas) path(p []chart.Seg, x, top float64) {
	at := func(q chart.Point) (float64, float64) { return x + q.X*mm, top - q.Y*mm }
	for _, g := range p {
		x1, y1 := at(g.P[0])
		switch g.Op {
		case 'M':
			c.op("m", x1, y1)
		case 'L':
			c.op("l", x1, y1)
		case 'C':
			x2, y2 := at(g.P[1])
			x3, y3 := at(g.P[2])
			c.op("c", x1, y1, x2, y2, x3, y3)
		case 'Z':
			c.op("h")
		}
	}
}

// keyEntry is a line of the key: its sign, drawn, and the words.
type keyEntry struct {
	sign  []drawn
	wide  float64
	words string
}

// wideSign is how many stitches wide a sign of the key may be to stand in the
// columns; wider ones have a line each, below.
const wideSign = 2

// chartKey sets the key in two columns, where it is long, and below it how the
// chart is read, as far as no chart before has said it. All of it stands on the
// page of the chart, where there is room.
func (s *setter) chartKey(b *document.Chart, cell float64) {
	k := s.k
	cell = max(cell, 4)
	var narrow, broad []keyEntry
	for _, e := range b.Chart.Key {
		it := s.sign(b.Chart.Symbols, e.Cell, nil, cell, e.Words)
		if e.Cell.Span > wideSign {
			broad = append(broad, it)
		} else {
			narrow = append(narrow, it)
		}
	}
	for i, y := range b.KeyYarns() {
		narrow = append(narrow, s.sign(b.Chart.Symbols, chart.Cell{Span: 1, Symbol: "knit", Yarn: i}, b.Chart.Yarns, cell, y.Text.String()))
	}
	if s.told == nil {
		s.told = map[string]bool{}
	}
	var notes []string
	for _, n := range b.Chart.Notes {
		if !s.told[n] {
			notes = append(notes, n)
		}
		s.told[n] = true
	}
	list := s.root.add("L")
	columns := 1
	if len(narrow) > 3 && k.hang > 0 {
		columns = 2
	}
	s.keyColumns(list, narrow, columns, cell, len(broad)+len(notes) > 0)
	s.keyColumns(list, broad, 1, cell, len(notes) > 0)
	s.gap(k.lead / 4)
	left := s.figureLeft(0)
	for i, n := range notes {
		s.lines(s.root.add("P"), []span{{glue(clean(n)), k.smallStress}}, left, k.measure()-(left-k.left), k.smallLead, lineOpt{whole: true, next: i+1 < len(notes)})
	}
	s.gap(k.lead)
}

// keyColumns sets lines of the key, down the first column and then the next; more
// says that something follows that belongs to them.
func (s *setter) keyColumns(list *node, items []keyEntry, columns int, cell float64, more bool) {
	k := s.k
	const gutter, room = 18.0, 8.0
	left := s.figureLeft(0)
	colW := (k.measure() - (left - k.left) - gutter*float64(columns-1)) / float64(columns)
	ind := 0.0
	for _, it := range items {
		ind = max(ind, it.wide+room)
	}
	type set struct {
		boxes []box
		high  float64
	}
	all := make([]set, len(items))
	per := (len(items) + columns - 1) / columns
	drop := max(0, (cell*mm-k.smallLead)/2) // of the words, to the sign's middle
	for i, it := range items {
		x := left + float64(i/per)*(colW+gutter)
		body := list.add("LI").add("LBody")
		all[i].boxes = []box{{x: x + ind - room - it.wide, w: it.wide, h: cell * mm, drawn: it.sign}}
		all[i].high = max(k.smallLead, cell*mm+1)
		for n, l := range s.set([]span{{glue(clean(it.words)), k.small}}, colW-ind, 0) {
			lb := s.lineBox(l, body, x+ind, k.smallLead)
			lb.y += float64(n)*k.smallLead + drop
			all[i].boxes = append(all[i].boxes, lb)
			all[i].high = max(all[i].high, float64(n+1)*k.smallLead+drop)
		}
	}
	for i := range per {
		sl := slab{keep: i+1 < per || more}
		for j := i; j < len(all); j += per {
			sl.boxes = append(sl.boxes, all[j].boxes...)
			sl.height = max(sl.height, all[j].high)
		}
		s.push(sl)
		s.gap(2)
	}
}

// sign draws one cell for the key.
func (s *setter) sign(set string, cell chart.Cell, yarns []chart.Yarn, size float64, words string) keyEntry {
	span := max(1, cell.Span)
	cell.Span = span
	c := &chart.Chart{Symbols: set, Columns: span, Yarns: yarns, Rows: []chart.Row{{Yarn: -1, Cells: []chart.Cell{cell}}}}
	d := c.Draw(chart.Look{Cell: size, NoKey: true})
	// the grid stands in the drawing's middle: bring it to the corner
	var dx, dy float64
	first := true
	out := s.drawing(d)
	for i := range out {
		if first && out[i].path != nil {
			dx, dy, first = out[i].path[0].P[0].X, out[i].path[0].P[0].Y, false
		}
	}
	for i := range out {
		moved := make([]chart.Seg, len(out[i].path))
		for j, g := range out[i].path {
			for n := range g.P {
				g.P[n].X -= dx
				g.P[n].Y -= dy
			}
			moved[j] = g
		}
		if out[i].path != nil {
			out[i].path = moved
		}
		out[i].x -= dx * mm
		out[i].y -= dy * mm
	}
	return keyEntry{out, float64(span) * size * mm, words}
}
