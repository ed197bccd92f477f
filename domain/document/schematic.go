package document

import (
	"fmt"
	"math"
	"strings"

	"rowproof/domain/chart"
	"rowproof/domain/sizing"
)

// Schematics are the pieces of a garment to scale, with the measurements of all
// sizes beside their lines.
type Schematics struct {
	Title string
	Items []Schematic
	Note  string
}

// Schematic is one piece.
type Schematic struct {
	ID      string
	Name    string
	Outline sizing.Outline
	Size    int // whose outline is drawn, and whose numbers alone are written; -1: the middle one's, all numbers
	Units   Units
}

func (*Schematics) block() {}

// Lines and letters of a schematic, in mm.
const (
	schematicLine = 0.35
	schematicThin = 0.15
	schematicText = 2.7
	schematicLead = 3.4
	schematicInk  = "#2b2622"
	schematicDim  = "#8a8178"
)

// Draw lays a piece out, at most so wide and high, in mm. The scale is the same for
// pieces drawn with the same scale, paper mm to a mm of cloth; 0 takes the largest that fits.
func (s *Schematic) Draw(wide, high, scale float64) *chart.Drawing {
	if scale <= 0 {
		scale = s.Scale(wide, high)
	}
	size := s.drawn()
	left, right, top := extent(s.Outline.Edge[size])
	ups, level, aside, below := s.room()
	w := (right - left) * scale
	margin := max(2.0, (level-w)/2+1, aside+3)
	const above = 1
	x0 := margin - left*scale
	base := top*scale + above + 1
	height := base + below + 4
	at := func(p sizing.Point) chart.Point {
		return chart.Point{X: x0 + float64(p.X)*scale, Y: base - float64(p.Y)*scale}
	}
	var shapes []chart.Shape
	stroke := func(width float64, colour string, path []chart.Seg) {
		shapes = append(shapes, chart.Shape{Kind: chart.Stroked, Path: path, Colour: colour, Width: width, Row: -1})
	}
	var pts []chart.Point
	for _, p := range s.Outline.Edge[size] {
		pts = append(pts, at(p))
	}
	stroke(schematicLine, schematicInk, append(chart.Line(pts...), chart.Seg{Op: 'Z'}))
	letters := func(text string, x, y float64, anchor chart.Anchor) {
		shapes = append(shapes, chart.Shape{Kind: chart.Letters, Text: text, At: chart.Point{X: x, Y: y}, Size: schematicText, Anchor: anchor, Colour: schematicInk, Row: -1})
	}
	beside := x0 + right*scale + 3.5
	for _, sp := range s.Outline.Spans {
		from, to, y := s.place(sp, size)
		if sp.Upright {
			a, b := at(sizing.Point{Y: sizing.Length(from)}), at(sizing.Point{Y: sizing.Length(to)})
			stroke(schematicThin, schematicDim, chart.Line(chart.Point{X: beside, Y: a.Y}, chart.Point{X: beside, Y: b.Y}))
			for _, e := range []float64{a.Y, b.Y} {
				stroke(schematicThin, schematicDim, chart.Line(chart.Point{X: beside - 1, Y: e}, chart.Point{X: beside + 1, Y: e}))
			}
			lines := s.lines(sp.Values)
			y := (a.Y+b.Y)/2 + schematicText*0.36 - float64(len(lines)-1)/2*schematicLead
			for i, l := range lines {
				letters(l, beside+1.6, y+float64(i)*schematicLead, chart.Start)
			}
			continue
		}
		a, b := at(sizing.Point{X: sizing.Length(from), Y: sizing.Length(y)}), at(sizing.Point{X: sizing.Length(to), Y: sizing.Length(y)})
		lines := s.lines(sp.Values)
		if y > 0 { // across the piece, its numbers at the left
			stroke(schematicThin, schematicDim, chart.Line(chart.Point{X: a.X - 1.2, Y: a.Y}, b))
			for i, l := range lines {
				letters(l, a.X-2, a.Y+schematicText*0.36+(float64(i)-float64(len(lines)-1)/2)*schematicLead, chart.EndOf)
			}
			continue
		}
		const dy = 2.2
		stroke(schematicThin, schematicDim, chart.Line(chart.Point{X: a.X, Y: a.Y + dy}, chart.Point{X: b.X, Y: b.Y + dy}))
		for _, e := range []float64{a.X, b.X} {
			stroke(schematicThin, schematicDim, chart.Line(chart.Point{X: e, Y: a.Y + dy - 1}, chart.Point{X: e, Y: a.Y + dy + 1}))
		}
		for i, l := range lines {
			letters(l, (a.X+b.X)/2, a.Y+dy+schematicText+1.3+float64(i)*schematicLead, chart.Middle)
		}
	}
	return chart.NewDrawing(beside+1.6+ups+1, height, "Schematic of "+s.Name, s.Describe(), shapes)
}

// Scale is the largest at which a piece fits, in mm of paper to a mm of cloth.
func (s *Schematic) Scale(wide, high float64) float64 {
	left, right, top := extent(s.Outline.Edge[s.drawn()])
	ups, _, aside, below := s.room()
	return min((wide-ups-aside-12)/(right-left), (high-below-6)/top)
}

// room is what the numbers want, in mm: the width of those beside the piece, of those
// below it and of those at its left, and the height of those below it.
func (s *Schematic) room() (beside, across, aside, below float64) {
	for _, sp := range s.Outline.Spans {
		lines := s.lines(sp.Values)
		w := 0.0
		for _, l := range lines {
			w = max(w, float64(len([]rune(l)))*schematicText*0.5)
		}
		h := float64(len(lines)) * schematicLead
		switch {
		case sp.Upright:
			beside = max(beside, w)
		case sp.At == 0:
			across, below = max(across, w), max(below, h)
		default:
			aside = max(aside, w)
		}
	}
	return beside, across, aside, below
}

// lines is a label cut into lines of four numbers or so.
func (s *Schematic) lines(v []sizing.Length) []string {
	label := s.label(v)
	var out []string
	for len([]rune(label)) > 26 {
		cut := strings.LastIndex(label[:24], ", ")
		if cut < 0 {
			break
		}
		out, label = append(out, label[:cut+1]), label[cut+2:]
	}
	return append(out, label)
}

// Scale is the largest at which all pieces fit: those without numbers at their left two
// beside each other.
func (b *Schematics) Scale(wide, high float64) float64 {
	scale := math.Inf(1)
	for i := range b.Items {
		w := wide/2 - 4
		if _, _, aside, _ := b.Items[i].room(); aside > 0 {
			w = wide * 0.68
		}
		scale = min(scale, b.Items[i].Scale(w, high))
	}
	return scale
}

// Describe tells the measurements in words.
func (s *Schematic) Describe() string {
	var parts []string
	for _, sp := range s.Outline.Spans {
		parts = append(parts, sp.Name+" "+s.label(sp.Values))
	}
	return s.Name + ": " + strings.Join(parts, "; ") + "."
}

func (s *Schematic) drawn() int {
	if s.Size >= 0 && s.Size < len(s.Outline.Edge) {
		return s.Size
	}
	return (len(s.Outline.Edge) - 1) / 2
}

// label writes a measurement: of all sizes in brackets, or of the one.
func (s *Schematic) label(v []sizing.Length) string {
	if s.Size >= 0 && s.Size < len(v) {
		v = v[s.Size : s.Size+1]
	}
	switch s.Units {
	case Imperial:
		return sizing.Lengths(v, sizing.Imperial)
	case Both:
		return sizing.Lengths(v, sizing.Metric) + " / " + sizing.Lengths(v, sizing.Imperial)
	}
	return sizing.Lengths(v, sizing.Metric)
}

// place is where a span lies in the outline of a size: scaled from the first size's,
// by what it measures in both.
func (s *Schematic) place(sp sizing.Span, size int) (from, to, y float64) {
	k := 1.0
	if len(sp.Values) > size && sp.Values[0] > 0 {
		k = float64(sp.Values[size] / sp.Values[0])
	}
	if sp.Upright {
		from = float64(sp.From)
		if from > 0 { // it stands on what lies below
			_, _, top := extent(s.Outline.Edge[size])
			return top - float64(sp.To-sp.From)*k, top, 0
		}
		return 0, float64(sp.To) * k, 0
	}
	_, _, first := extent(s.Outline.Edge[0])
	_, _, here := extent(s.Outline.Edge[size])
	y = float64(sp.At)
	if y > 0 && first > 0 {
		y = s.level(sp, size, y*here/first)
	}
	return float64(sp.From) * k, float64(sp.To) * k, y
}

// level is the height at which an outline is as wide as a span says, nearest to a guess.
func (s *Schematic) level(sp sizing.Span, size int, guess float64) float64 {
	best, off := guess, math.Inf(1)
	for _, p := range s.Outline.Edge[size] {
		wide := 2 * math.Abs(float64(p.X))
		if d := math.Abs(float64(p.Y)-guess) + 4*math.Abs(wide-float64(sp.Values[size])); p.Y > 0 && d < off && math.Abs(wide-float64(sp.Values[size])) < 1 {
			best, off = float64(p.Y), d
		}
	}
	return best
}

func extent(pts []sizing.Point) (left, right, top float64) {
	for _, p := range pts {
		left, right, top = min(left, float64(p.X)), max(right, float64(p.X)), max(top, float64(p.Y))
	}
	return left, right, top
}

// schematics are the pieces of the document; nil where there are none.
func (b *builder) schematics() *Schematics {
	if len(b.outlines) == 0 {
		return nil
	}
	out := &Schematics{Title: b.w.Schematic, Note: b.w.SchematicNote}
	for i, o := range b.outlines {
		if len(o.Edge) > 0 {
			out.Items = append(out.Items, Schematic{ID: fmt.Sprintf("schematic-%d", i+1), Name: o.Name, Outline: o, Size: b.size})
		}
	}
	return out
}

// schematics prints the pieces within the page itself.
func (p *htmlPrinter) schematics(b *Schematics) {
	p.f("<section class=\"schematics\">\n<h2>%s</h2>\n<div class=\"schematic-row\">\n", b.Title)
	scale := b.Scale(175, 70)
	for i := range b.Items {
		it := &b.Items[i]
		var svg strings.Builder
		_ = it.Draw(175, 70, scale).SVG(&svg, it.ID) // a Builder takes everything
		p.raw("<figure class=\"schematic\">" + plainText(svg.String()))
		p.f("<figcaption>%s</figcaption></figure>\n", it.Name)
	}
	p.raw("</div>\n")
	if b.Note != "" {
		p.f("<p class=\"hint\">%s</p>\n", b.Note)
	}
	p.raw("</section>\n")
}
