package sizing

import "slices"

// Outline is a piece to scale: for each size its edges, and the numbers that are
// written beside them.
type Outline struct {
	Name  string
	Edge  [][]Point // per size: a closed line, in mm, y upwards from the cast-on
	Spans []Span    // measures to be written
}

// Point is a place in mm.
type Point struct{ X, Y Length }

// Span is a measured distance: along X at height Y of the first size, or along Y
// beside the piece.
type Span struct {
	Name     string
	Upright  bool
	At       Length // Y of a level one, in the first size; order of an upright one, from the piece outwards
	From, To Length // of the first size
	Values   []Length
}

// closed puts a piece among the outlines.
func (d *drafting) closed(p *piece) {
	g := d.req.Gauge
	o := Outline{Name: p.name}
	for i := range p.shape {
		var right, left []Point
		for _, at := range p.shape[i] {
			right = append(right, Point{g.Width(at.right) / 2, g.Height(at.row)})
			left = append(left, Point{g.Width(at.left) / 2, g.Height(at.row)})
		}
		if p.necks != nil {
			right = append(right, p.necks[i]...)
		}
		slices.Reverse(left)
		o.Edge = append(o.Edge, append(right, left...))
	}
	o.Spans = p.spans
	first := p.shape[0]
	o.Spans = append(o.Spans, Span{Name: "cast-on edge", At: 0, From: g.Width(first[0].left) / 2, To: g.Width(first[0].right) / 2,
		Values: lengths(d.n, func(i int) Length { return g.Width(p.shape[i][0].right-p.shape[i][0].left) / 2 })})
	o.Spans = append(o.Spans, Span{Name: "height", Upright: true, From: 0, To: g.Height(p.rows[0]),
		Values: lengths(d.n, func(i int) Length { return g.Height(p.rows[i]) })})
	d.out.Pieces = append(d.out.Pieces, o)
}

func lengths(n int, f func(i int) Length) []Length {
	out := make([]Length, n)
	for i := range out {
		out[i] = f(i)
	}
	return out
}

// neckline keeps the curve of a neck that begins at a row, from its right end to its left.
func (p *piece) neckline(i, row, centre, decs, drop int) {
	if p.necks == nil {
		p.necks = make([][]Point, p.d.n)
	}
	g := p.d.req.Gauge
	half := float64(centre) / 2
	at := func(x float64, r int) Point { return Point{Length(x) * g.StitchWidth(), g.Height(r)} }
	right := []Point{at(half, row), at(half+float64(decs), row+1+2*decs), at(half+float64(decs), row+drop)}
	line := slices.Clone(right)
	slices.Reverse(line)
	for _, pt := range right {
		line = append(line, Point{-pt.X, pt.Y})
	}
	p.necks[i] = line
}

// span keeps a level measure at the rows worked so far.
func (p *piece) span(name string) {
	g := p.d.req.Gauge
	last := func(i int) outlineAt { return p.shape[i][len(p.shape[i])-1] }
	p.spans = append(p.spans, Span{Name: name, At: g.Height(p.rows[0]), From: g.Width(last(0).left) / 2, To: g.Width(last(0).right) / 2,
		Values: lengths(p.d.n, func(i int) Length { return g.Width(last(i).right-last(i).left) / 2 })})
}
