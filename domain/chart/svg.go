package chart

import (
	"bufio"
	"fmt"
	"html"
	"io"
	"strconv"
	"strings"
)

// SVG writes the chart as one SVG element, to stand in a page or in a file.
// Its size is in mm; title and description name it for those who cannot see it,
// and the cells of row k stand in <g class="row" data-row="k">, k counting from
// 0 at the bottom. id makes the ids of the title and the description unique in
// a page; "" is "chart". No style, script or foreign address is used.
func (c *Chart) SVG(out io.Writer, id string, look Look) error {
	return c.Draw(look).SVG(out, id)
}

// SVG writes the drawing, see Chart.SVG.
func (d *Drawing) SVG(out io.Writer, id string) error {
	if id == "" {
		id = "chart"
	}
	id = html.EscapeString(id)
	w := bufio.NewWriter(out)
	fmt.Fprintf(w, `<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s" role="img" aria-labelledby="%s-title %s-desc" font-family="sans-serif" stroke-linecap="round" stroke-linejoin="round">`,
		num(d.Width), num(d.Height), num(d.Width), num(d.Height), id, id)
	fmt.Fprintf(w, "\n<title id=\"%s-title\">%s</title>\n<desc id=\"%s-desc\">%s</desc>\n", id, html.EscapeString(d.Title), id, html.EscapeString(d.Desc))
	row := -1
	for s := range d.Shapes() {
		if s.Row != row {
			if row >= 0 {
				w.WriteString("</g>\n")
			}
			if row = s.Row; row >= 0 {
				fmt.Fprintf(w, "<g class=\"row\" data-row=\"%d\">\n", row)
			}
		}
		s.svg(w)
	}
	if row >= 0 {
		w.WriteString("</g>\n")
	}
	w.WriteString("</svg>\n")
	if err := w.Flush(); err != nil {
		return fmt.Errorf("chart: write SVG: %w", err)
	}
	return nil
}

func (s *Shape) svg(w *bufio.Writer) {
	switch s.Kind {
	case Letters:
		anchor := [...]string{"", ` text-anchor="middle"`, ` text-anchor="end"`}[s.Anchor]
		bold := ""
		if s.Bold {
			bold = ` font-weight="bold"`
		}
		fmt.Fprintf(w, "<text x=\"%s\" y=\"%s\" font-size=\"%s\" fill=\"%s\"%s%s>%s</text>\n", num(s.At.X), num(s.At.Y), num(s.Size), s.Colour, anchor, bold, html.EscapeString(s.Text))
	case Filled:
		fmt.Fprintf(w, "<path d=\"%s\" fill=\"%s\"/>\n", pathData(s.Path), s.Colour)
	default:
		fmt.Fprintf(w, "<path d=\"%s\" fill=\"none\" stroke=\"%s\" stroke-width=\"%s\"/>\n", pathData(s.Path), s.Colour, num(s.Width))
	}
}

// pathData writes a path in SVG's words.
func pathData(path []Seg) string {
	var b strings.Builder
	for _, g := range path {
		b.WriteByte(g.Op)
		n := 1
		switch g.Op {
		case 'C':
			n = 3
		case 'Z':
			n = 0
		}
		for k := 0; k < n; k++ {
			if k > 0 {
				b.WriteByte(' ')
			}
			b.WriteString(num(g.P[k].X))
			b.WriteByte(' ')
			b.WriteString(num(g.P[k].Y))
		}
	}
	return b.String()
}

// num writes mm to a hundredth.
func num(v float64) string {
	s := strconv.FormatFloat(v, 'f', 2, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" || s == "" {
		return "0"
	}
	return s
}

// Icon draws one cell alone, without a frame, for a key in a page's own list or
// for the symbols to pick from. It says nothing aloud: the words stand beside it.
func Icon(out io.Writer, set string, c Cell, look Look) error {
	if look.Cell <= 0 {
		look.Cell = 5
	}
	if look.Aspect <= 0 {
		look.Aspect = 1
	}
	c.Column, c.Span = 0, max(1, c.Span)
	ground := white
	switch c.Kind {
	case NoStitch:
		ground = emptyCell
	case Unworked:
		ground = restCell
	}
	w := &drawer{c: &Chart{Symbols: set, Columns: c.Span}, d: &Drawing{}, cw: look.Cell, ch: look.Cell * look.Aspect, row: -1}
	wide := float64(c.Span) * w.cw
	w.add(Shape{Kind: Filled, Path: rect(0, 0, wide, w.ch), Colour: ground})
	w.symbolAt(&c, 0, 0, wide, ground)
	w.add(Shape{Kind: Stroked, Path: rect(.1, .1, wide-.2, w.ch-.2), Colour: gridLine, Width: .2})
	b := bufio.NewWriter(out)
	fmt.Fprintf(b, `<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s" aria-hidden="true" font-family="sans-serif" stroke-linecap="round" stroke-linejoin="round">`+"\n", num(wide), num(w.ch), num(wide), num(w.ch))
	for i := range w.d.shapes {
		w.d.shapes[i].svg(b)
	}
	b.WriteString("</svg>\n")
	if err := b.Flush(); err != nil {
		return fmt.Errorf("chart: write icon: %w", err)
	}
	return nil
}
