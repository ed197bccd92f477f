package chart

import (
	"fmt"

	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

// findBox finds what is repeated across the rows: b is the chart of one more
// multiple, and the box is what it has more. It reports false where the rows do
// not agree on one place; with jog they need not, and each row has its own.
// edges votes for right edges of the box, in columns.
func (c *Chart) findBox(b *Chart, edges map[int]int, jog bool) bool {
	width := b.Columns - c.Columns
	if width <= 0 || width > c.Columns || len(b.Rows) != len(c.Rows) {
		return false
	}
	lo, hi := make([]int, len(c.Rows)), make([]int, len(c.Rows))
	low, high := 0, c.Columns-width
	for i := range c.Rows {
		x, y := signs(&c.Rows[i], c.Columns), signs(&b.Rows[i], b.Columns)
		same := 0
		for same < len(x) && x[same] == y[same] {
			same++
		}
		tail := 0
		for tail < len(x) && x[len(x)-1-tail] == y[len(y)-1-tail] {
			tail++
		}
		lo[i], hi[i] = c.Columns-tail, same-width
		low, high = max(low, lo[i]), min(high, hi[i])
		if lo[i] > hi[i] {
			return false
		}
	}
	box := &Box{Width: width, From: make([]int, len(c.Rows))}
	if low > high {
		if !jog {
			return false
		}
		best := c.prefer(0, c.Columns-width, width, edges)
		for i := range c.Rows {
			box.From[i] = min(max(best, lo[i]), hi[i])
		}
		c.Box = box
		return true
	}
	at := c.prefer(low, high, width, edges)
	for i := range box.From {
		box.From[i] = at
	}
	if c.cuts(at) > 0 || c.cuts(at+width) > 0 {
		for i := range c.Rows { // the box steps aside for a wide cell
			box.From[i] = c.Rows[i].clear(at, lo[i], hi[i], width)
		}
	}
	c.Box = box
	return true
}

// prefer picks a right edge that cuts the fewest cells, then the one the rows
// are written with most, then the one farthest right.
func (c *Chart) prefer(low, high, width int, edges map[int]int) int {
	best, cut, votes := low, 1<<30, -1
	for at := low; at <= high; at++ {
		n, v := c.cuts(at)+c.cuts(at+width), edges[at]
		if n < cut || n == cut && v > votes {
			best, cut, votes = at, n, v
		}
	}
	return best
}

// cuts counts the cells that a line at the right edge of column x would cut.
func (c *Chart) cuts(x int) int {
	n := 0
	for i := range c.Rows {
		if c.Rows[i].cut(x) {
			n++
		}
	}
	return n
}

func (r *Row) cut(x int) bool {
	for _, cell := range r.Cells {
		if cell.Column < x && x < cell.Column+cell.Span {
			return true
		}
	}
	return false
}

// clear finds the place nearest to at where the row's box cuts no cell.
func (r *Row) clear(at, lo, hi, width int) int {
	for d := 0; d <= width; d++ {
		for _, x := range []int{at - d, at + d} {
			if x >= lo && x <= hi && !r.cut(x) && !r.cut(x+width) {
				return x
			}
		}
	}
	return at
}

// signs writes what stands in each column of a row, for comparing.
func signs(r *Row, columns int) []string {
	out := make([]string, columns)
	for i := range r.Cells {
		c := &r.Cells[i]
		for k := 0; k < c.Span; k++ {
			out[c.Column+k] = fmt.Sprint(c.Kind, c.Symbol, c.Number, c.Name, c.Yarn, k, c.Span)
		}
	}
	return out
}

// edges counts the places at which the rows, as they are written, begin to
// repeat, as columns of the chart.
func (m *maker) edges(p *needle.Part, c *Chart) map[int]int {
	votes := map[int]int{}
	for _, e := range p.Rows {
		if e.Row == nil || len(e.Side) == 0 {
			continue
		}
		n := 0
		for _, op := range e.Row.Body {
			if _, ok := op.(*notation.Repeat); ok {
				if e.Side[0] != "WS" || p.Round {
					votes[n] += 2
				}
				break
			}
			made, ok := m.makes(op)
			if !ok {
				break
			}
			n += made
		}
	}
	return votes
}

// makes counts the stitches that an op of fixed length leaves on the needle.
func (m *maker) makes(op notation.Op) (int, bool) {
	switch o := op.(type) {
	case *notation.Do:
		s := m.ms.Own[o.Key]
		if s == nil {
			s = notation.Standard().Stitch(o.Key)
		}
		if s == nil || s.Out == "" {
			return 0, false
		}
		_, out := s.Counts(o.Params)
		return out * max(0, o.Times.For(m.o.Size)), true
	case *notation.Group:
		n := 0
		for _, x := range o.Body {
			k, ok := m.makes(x)
			if !ok {
				return 0, false
			}
			n += k
		}
		return n * max(0, o.Times.For(m.o.Size)), true
	case *notation.UseYarn, *notation.Remark, *notation.Mark, *notation.Join:
		return 0, true
	}
	return 0, false
}

// square fills the rows of a repeated chart up to its edges with place holders:
// only a shaped piece has edges of its own.
func (c *Chart) square() {
	if c.Box == nil {
		return
	}
	for i := range c.Rows {
		r := &c.Rows[i]
		if len(r.Cells) == 0 {
			continue
		}
		var out []Cell
		for x := 0; x < r.Cells[0].Column; x++ {
			out = append(out, Cell{Kind: NoStitch, Column: x, Span: 1, Yarn: -1})
		}
		out = append(out, r.Cells...)
		last := r.Cells[len(r.Cells)-1]
		for x := last.Column + last.Span; x < c.Columns; x++ {
			out = append(out, Cell{Kind: NoStitch, Column: x, Span: 1, Yarn: -1})
		}
		r.Cells = out
	}
}

// short says that a row leaves stitches unworked.
func (c *Chart) short() bool {
	for i := range c.Rows {
		for _, cell := range c.Rows[i].Cells {
			if cell.Kind == Unworked {
				return true
			}
		}
	}
	return false
}

// narrow keeps one of several like repeats within the box: a section may repeat
// more often than the part it stands in.
func (c *Chart) narrow() {
	b := c.Box
	if b == nil {
		return
	}
	for _, x := range b.From {
		if x != b.From[0] {
			return
		}
	}
	at, wide := b.From[0], b.Width
	for d := 1; d <= wide/2; d++ {
		if wide%d != 0 || b.Of%(wide/d) != 0 || !c.periodic(at, wide, d) {
			continue
		}
		for i := range c.Rows {
			r := &c.Rows[i]
			var out []Cell
			for _, cell := range r.Cells {
				switch {
				case cell.Column >= at+wide:
					cell.Column -= wide - d
				case cell.Column >= at+d:
					r.Count -= c.makes(&cell)
					continue
				}
				out = append(out, cell)
			}
			r.Cells = out
		}
		c.Columns -= wide - d
		c.Stitches -= b.Of - b.Of/(wide/d)
		b.Width, b.Of = d, b.Of/(wide/d)
		return
	}
}

// periodic says that every row repeats itself after d columns within the box,
// and that no cell lies across.
func (c *Chart) periodic(at, wide, d int) bool {
	for i := range c.Rows {
		s := signs(&c.Rows[i], c.Columns)[at : at+wide]
		for k := d; k < wide; k++ {
			if s[k] != s[k-d] {
				return false
			}
		}
		for x := at; x <= at+wide; x += d {
			if c.Rows[i].cut(x) {
				return false
			}
		}
	}
	return true
}
