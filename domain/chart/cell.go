package chart

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"rowproof/domain/fabric"
)

// symbol draws what stands in a cell.
func (w *drawer) symbol(r *Row, c *Cell) {
	x, y, wide := w.x(c.Column, c.Span), w.top[w.row], float64(c.Span)*w.cw
	w.symbolAt(c, x, y, wide, w.fill(c))
	letter := c.Kind == Stitch && c.Yarn >= 0 && c.Yarn < len(w.c.Yarns) && (c.Several || r.Yarn >= 0 && c.Yarn != r.Yarn)
	if !letter || c.Yarn == 0 && c.Several && w.shown(c) {
		return
	}
	// the letter of its yarn, for those who print in black: large where nothing else stands in the cell
	s := w.c.Yarns[c.Yarn].Letter
	size := 0.6 * min(w.cw, w.ch)
	at, anchor := Point{x + wide/2, y + w.ch/2 + 0.35*size}, Middle
	if len([]rune(s)) > 1 {
		size *= 0.75
	}
	if w.shown(c) {
		size *= 0.55
		at, anchor = Point{x + wide - 0.07*w.cw, y + w.ch - 0.08*w.ch}, EndOf
	} else if c.Yarn == 0 {
		return // the ground colour's plain cells stay empty
	}
	w.add(Shape{Kind: Letters, Text: s, At: at, Size: size, Anchor: anchor, Colour: inkOn(w.fill(c))})
}

// shown says that the symbol of a cell leaves a mark.
func (w *drawer) shown(c *Cell) bool {
	s := SymbolOf(w.c.Symbols, c.Symbol)
	return c.Symbol == "cross" || s != nil && len(s.Shape) > 0
}

// symbolAt draws a cell's symbol into a box.
func (w *drawer) symbolAt(c *Cell, x, y, wide float64, ground string) {
	ink := inkOn(ground)
	unit := min(w.cw, w.ch)
	pen := penWidth * unit
	switch c.Kind {
	case NoStitch:
		if len(w.c.Yarns) > 0 { // grey may be a yarn's
			w.add(Shape{Kind: Stroked, Path: line(Point{x, y + w.ch}, Point{x + wide, y}), Colour: gridLine, Width: pen * 0.6})
			w.add(Shape{Kind: Stroked, Path: line(Point{x, y}, Point{x + wide, y + w.ch}), Colour: gridLine, Width: pen * 0.6})
		}
		return
	case Unworked:
		w.add(Shape{Kind: Filled, Path: circle(x+wide/2, y+w.ch/2, 0.045*unit), Colour: inkOn(ground)})
		return
	case Continued:
		m := Point{x + wide/2, y + w.ch/2}
		w.add(Shape{Kind: Stroked, Path: line(Point{m.X - .25*unit, m.Y}, Point{m.X + .25*unit, m.Y}), Colour: ink, Width: pen * 0.6})
		w.add(Shape{Kind: Stroked, Path: line(Point{m.X - .12*unit, m.Y - .12*unit}, Point{m.X - .25*unit, m.Y}, Point{m.X - .12*unit, m.Y + .12*unit}), Colour: ink, Width: pen * 0.6})
		w.add(Shape{Kind: Stroked, Path: line(Point{m.X + .12*unit, m.Y - .12*unit}, Point{m.X + .25*unit, m.Y}, Point{m.X + .12*unit, m.Y + .12*unit}), Colour: ink, Width: pen * 0.6})
		return
	}
	if c.Symbol == "cross" {
		w.cross(c, x, y, wide, ground)
		return
	}
	s := SymbolOf(w.c.Symbols, c.Symbol)
	if s == nil {
		return
	}
	// a symbol keeps its shape in the middle of a wide cell, but for the cluster's bracket
	sx, left := w.cw, x+(wide-w.cw)/2
	if c.Symbol == "cluster" {
		sx, left = wide, x
	}
	put := func(p Point) Point { return Point{left + p.X*sx, y + p.Y*w.ch} }
	for _, m := range s.Shape {
		switch {
		case m.Number:
			size := 0.46 * unit
			if strings.HasPrefix(c.Symbol, "inc") || strings.Contains(c.Symbol, "-wrap") {
				size = 0.36 * unit // between the arms
			}
			at := put(m.At)
			w.add(Shape{Kind: Letters, Text: fmt.Sprint(c.Number), At: Point{at.X, at.Y + 0.36*size}, Size: size, Anchor: Middle, Colour: ink})
		case m.Text != "":
			text := m.Text
			if text == "@" {
				text = c.Name
			}
			size := min(0.52*unit, 0.94*wide/(0.62*float64(max(1, len([]rune(text))))))
			w.add(Shape{Kind: Letters, Text: text, At: Point{x + wide/2, y + w.ch/2 + 0.36*size}, Size: size, Anchor: Middle, Colour: ink})
		default:
			path := make([]Seg, len(m.Path))
			for i, g := range m.Path {
				path[i] = Seg{Op: g.Op, P: [3]Point{put(g.P[0]), put(g.P[1]), put(g.P[2])}}
			}
			if m.round { // dots and rings stay round in cells that are not square
				path = rounded(m, put, unit)
			}
			kind := Stroked
			if m.Fill {
				kind = Filled
			}
			w.add(Shape{Kind: kind, Path: path, Colour: ink, Width: pen})
		}
	}
}

func rounded(m Mark, put func(Point) Point, unit float64) []Seg {
	c := put(m.At)
	return circle(c.X, c.Y, m.radius*unit)
}

// cross draws a crossing: those behind first, what passes in front over them.
func (w *drawer) cross(c *Cell, x, y, wide float64, ground string) {
	ink := inkOn(ground)
	unit := min(w.cw, w.ch)
	pen := penWidth * unit
	// columns within the cell count from its right edge
	at := func(column float64, below bool) Point {
		p := Point{x + wide - column*w.cw, y + 0.04*w.ch}
		if below {
			p.Y = y + 0.96*w.ch
		}
		return p
	}
	for _, place := range []fabric.Place{fabric.Behind, fabric.Straight, fabric.InFront} {
		for _, s := range c.Strands {
			if s.Place != place {
				continue
			}
			if w.c.Symbols == "jis" {
				// what passes in front hides the rest as one band
				p, q := at(float64(s.From)+.2, true), at(float64(s.From+s.N)-.2, true)
				u, v := at(float64(s.To)+.2, false), at(float64(s.To+s.N)-.2, false)
				w.add(Shape{Kind: Filled, Path: append(line(p, u, v, q), Seg{Op: 'Z'}), Colour: ground})
				for k := 0; k < s.N; k++ {
					p, q := at(float64(s.From+k)+.5, true), at(float64(s.To+k)+.5, false)
					w.add(Shape{Kind: Stroked, Path: line(p, q), Colour: ink, Width: 1.15 * pen})
					if s.Purl {
						w.add(Shape{Kind: Stroked, Path: line(Point{p.X - .22*w.cw, p.Y - .1*w.ch}, Point{p.X + .22*w.cw, p.Y - .1*w.ch}), Colour: ink, Width: pen})
					}
				}
				continue
			}
			const in = 0.1
			a, b := at(float64(s.From)+in, true), at(float64(s.From+s.N)-in, true)
			d, e := at(float64(s.To)+in, false), at(float64(s.To+s.N)-in, false)
			w.add(Shape{Kind: Filled, Path: append(line(a, d, e, b), Seg{Op: 'Z'}), Colour: ground})
			w.add(Shape{Kind: Stroked, Path: line(a, d), Colour: ink, Width: pen})
			w.add(Shape{Kind: Stroked, Path: line(b, e), Colour: ink, Width: pen})
			if s.Purl {
				for k := 0; k < s.N; k++ {
					p, q := at(float64(s.From+k)+.5, true), at(float64(s.To+k)+.5, false)
					for _, t := range []float64{0.15, 0.85} {
						w.add(Shape{Kind: Filled, Path: circle(p.X+(q.X-p.X)*t, p.Y+(q.Y-p.Y)*t, 0.08*unit), Colour: ink})
					}
				}
			}
		}
	}
}

// inkOn is black or white, whichever stands out more: at least 4.5 to 1 on any
// ground (WCAG 2.2, relative luminance and contrast ratio).
func inkOn(ground string) string {
	if l := luminance(ground); (l+0.05)/0.05 < 1.05/(l+0.05) {
		return white
	}
	return black
}

func luminance(colour string) float64 {
	if !validColour(colour) {
		return 1
	}
	sum := 0.0
	for i, k := range []float64{0.2126, 0.7152, 0.0722} {
		n, _ := strconv.ParseUint(colour[1+2*i:3+2*i], 16, 8)
		v := float64(n) / 255
		if v <= 0.04045 {
			v /= 12.92
		} else {
			v = math.Pow((v+0.055)/1.055, 2.4)
		}
		sum += k * v
	}
	return sum
}
