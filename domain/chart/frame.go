package chart

import (
	"fmt"
	"strings"
)

// box draws what is repeated as a heavy frame, row by row, so that it may jog,
// and names its width under the chart.
func (w *drawer) box() {
	b := w.c.Box
	if b == nil || len(w.c.Rows) == 0 {
		return
	}
	pen := boxWidth * min(w.cw, w.ch)
	last := len(w.c.Rows) - 1
	edge := func(i int) (left, right float64) { return w.x(b.From[i], b.Width), w.x(b.From[i], 0) }
	lo, hi := w.x0-0.01, w.x0+w.gridWide+0.01
	stroke := func(p []Point) {
		w.add(Shape{Kind: Stroked, Path: line(p...), Colour: black, Width: pen})
	}
	side := func(p []Point) { // of a sheet the part within it
		from := 0
		for i := 0; i <= len(p); i++ {
			if i < len(p) && p[i].X >= lo && p[i].X <= hi {
				continue
			}
			if i-from > 1 {
				stroke(p[from:i])
			}
			from = i + 1
		}
	}
	var l, r []Point // up its left side, up its right side
	for i := range w.c.Rows {
		x, z := edge(i)
		bottom := w.top[i] + w.ch
		l, r = append(l, Point{x, bottom}, Point{x, w.top[i]}), append(r, Point{z, bottom}, Point{z, w.top[i]})
		if i < last && !w.c.Rows[i+1].Gap {
			continue
		}
		side(l)
		side(r)
		for _, k := range []int{0, len(l) - 1} {
			if s := w.c.Sheet; s != nil && (k == 0 && s.OverlapBelow > 0 && i+1 == len(l)/2 || k > 0 && i == last && s.OverlapAbove > 0) {
				continue // the repeat goes on beyond the sheet
			}
			if p, q := max(l[k].X, w.x0), min(r[k].X, w.x0+w.gridWide); p < q {
				stroke([]Point{{p, l[k].Y}, {q, l[k].Y}})
			}
		}
		l, r = nil, nil
	}
	left, right := edge(0)
	left, right = max(left, w.x0), min(right, w.x0+w.gridWide)
	if left >= right {
		return
	}
	y := w.top[0] + w.ch + 0.45*w.ch
	tick := 0.16 * w.ch
	w.add(Shape{Kind: Stroked, Path: line(Point{left, y - tick}, Point{left, y}, Point{right, y}, Point{right, y - tick}), Colour: black, Width: penWidth * min(w.cw, w.ch) * 0.7})
	text := fmt.Sprintf("repeat of %s", w.stitchesOf(b.Of))
	if b.Of != b.Width {
		text += " in row " + w.c.Rows[0].Number // it changes
	}
	if b.Of == 0 {
		text = "repeat"
	}
	x := (left + right) / 2
	if half := textWidth(text, w.letters) / 2; x+half > w.d.Width {
		x = max(half, w.d.Width-half)
	} else if x < half {
		x = half
	}
	w.add(Shape{Kind: Letters, Text: text, At: Point{x, y + w.letters*1.15}, Size: w.letters, Anchor: Middle, Colour: black})
	w.d.Height = max(w.d.Height, y+w.letters*1.6)
	w.d.Width = max(w.d.Width, x+textWidth(text, w.letters)/2+0.2*w.cw)
}

func (w *drawer) stitchesOf(n int) string {
	if n == 1 {
		return "1 st"
	}
	return fmt.Sprintf("%d sts", n)
}

// numbers writes the rows' numbers where they are begun, with the letter of the
// yarn where a row is worked in one of several.
func (w *drawer) numbers() {
	for i := range w.c.Rows {
		r := &w.c.Rows[i]
		w.row = i
		base := w.top[i] + w.ch/2 + 0.36*w.letters
		x, way, anchor := w.x0+w.gridWide+0.25*w.cw, 1.0, Start
		if r.Left {
			x, way, anchor = w.x0-0.25*w.cw, -1, EndOf
		}
		w.add(Shape{Kind: Letters, Text: r.Number, At: Point{x, base}, Size: w.letters, Anchor: anchor, Colour: black})
		if len(w.c.Yarns) > 0 && r.Yarn >= 0 {
			w.swatch(x+way*(textWidth(r.Number, w.letters)+0.25*w.cw), w.top[i], way < 0, r.Yarn)
		}
	}
	w.row = -1
}

// swatch draws a yarn's letter on its colour, beginning (or ending) at x.
func (w *drawer) swatch(x, top float64, ends bool, yarn int) {
	letter := w.c.Yarns[yarn].Letter
	wide := textWidth(letter, w.letters) + 0.24*w.cw
	if ends {
		x -= wide
	}
	high := min(w.ch*0.8, w.letters*1.5)
	y := top + (w.ch-high)/2
	w.add(Shape{Kind: Filled, Path: rect(x, y, wide, high), Colour: w.fills[yarn]})
	w.add(Shape{Kind: Stroked, Path: rect(x, y, wide, high), Colour: gridLine, Width: gridWidth * w.cw})
	w.add(Shape{Kind: Letters, Text: letter, At: Point{x + wide/2, top + w.ch/2 + 0.36*w.letters}, Size: w.letters, Anchor: Middle, Colour: inkOn(w.fills[yarn])})
}

// key lists symbols and yarns below the chart.
func (w *drawer) key() {
	size := w.look.Text
	y := w.d.Height + 0.4*w.cw
	x := 0.35 * w.cw
	w.d.Width = max(w.d.Width, 120)
	cols := 1
	if w.d.Width > 190 {
		cols = 2
	}
	room := (w.d.Width - x) / float64(cols)
	icon := 0.0 // width of the widest symbol
	for _, e := range w.c.Key {
		icon = max(icon, float64(e.Cell.Span)*w.cw)
	}
	step := max(w.ch, size) + 0.3*w.cw
	heights := make([]float64, cols)
	place := func(wide float64, words string, draw func(x, y float64)) {
		k := 0
		for i := range heights {
			if heights[i] < heights[k]-0.01 {
				k = i
			}
		}
		cx, cy := x+float64(k)*room, y+heights[k]
		draw(cx, cy)
		lines := wrap(words, room-icon-1.2*w.cw, size)
		base := cy + w.ch/2 + 0.36*size
		for _, l := range lines {
			w.add(Shape{Kind: Letters, Text: l, At: Point{cx + icon + 0.5*w.cw, base}, Size: size, Colour: black})
			base += 1.3 * size
		}
		heights[k] += max(step, float64(len(lines)-1)*1.3*size+step)
	}
	for i := range w.c.Key {
		e := &w.c.Key[i]
		wide := float64(e.Cell.Span) * w.cw
		place(wide, e.Words, func(x, y float64) {
			x += icon - wide
			ground := white
			switch e.Cell.Kind {
			case NoStitch:
				ground = emptyCell
			case Unworked:
				ground = restCell
			}
			w.add(Shape{Kind: Filled, Path: rect(x, y, wide, w.ch), Colour: ground})
			w.symbolAt(&e.Cell, x, y, wide, ground)
			w.add(Shape{Kind: Stroked, Path: rect(x, y, wide, w.ch), Colour: gridLine, Width: gridWidth * w.cw})
		})
	}
	for i, yarn := range w.c.Yarns {
		words := yarn.Name
		if !strings.EqualFold(yarn.Letter, yarn.Name) {
			words = yarn.Letter + ": " + words
		} else {
			words = "yarn " + words
		}
		place(w.cw, words, func(x, y float64) {
			x += icon - w.cw
			w.add(Shape{Kind: Filled, Path: rect(x, y, w.cw, w.ch), Colour: w.fills[i]})
			w.add(Shape{Kind: Stroked, Path: rect(x, y, w.cw, w.ch), Colour: gridLine, Width: gridWidth * w.cw})
			w.add(Shape{Kind: Letters, Text: yarn.Letter, At: Point{x + w.cw/2, y + w.ch/2 + 0.36*w.letters}, Size: w.letters, Anchor: Middle, Colour: inkOn(w.fills[i])})
		})
	}
	for _, h := range heights {
		w.d.Height = max(w.d.Height, y+h)
	}
	base := w.d.Height + 0.8*size
	for _, n := range w.c.Notes {
		for _, l := range wrap(n, w.d.Width-2*x, size*0.9) {
			w.add(Shape{Kind: Letters, Text: l, At: Point{x, base}, Size: size * 0.9, Colour: black})
			base += 1.25 * size
		}
	}
	w.d.Height = base + 0.2*w.cw
}

// wrap breaks words into lines of at most wide mm.
func wrap(words string, wide, size float64) []string {
	var out []string
	for _, f := range strings.Fields(words) {
		if n := len(out); n > 0 && textWidth(out[n-1]+" "+f, size) <= wide {
			out[n-1] += " " + f
			continue
		}
		out = append(out, f)
	}
	if len(out) == 0 {
		out = []string{""}
	}
	return out
}
