package chart

import (
	"fmt"
	"strings"

	"rowproof/domain/fabric"
)

// key lists the symbols used, in the order of the set, crossings last.
func (c *Chart) key() {
	type use struct {
		cell   Cell
		rs, ws bool
	}
	uses := map[string]*use{}
	var order []string
	for i := range c.Rows {
		r := &c.Rows[i]
		for _, cell := range r.Cells {
			if cell.Kind != Stitch {
				continue
			}
			id := keyOf(&cell)
			u := uses[id]
			if u == nil {
				example := cell
				example.Column, example.Reach, example.Yarn, example.Several = 0, 0, -1, false
				if cell.Symbol != "cross" && cell.Symbol != "cluster" && cell.Symbol != "own" {
					example.Span = 1
				}
				u = &use{cell: example}
				uses[id] = u
				order = append(order, id)
			}
			if r.WS {
				u.ws = true
			} else {
				u.rs = true
			}
		}
	}
	add := func(id string) {
		u := uses[id]
		c.Key = append(c.Key, Entry{Cell: u.cell, Words: c.words(&u.cell, u.rs, u.ws)})
	}
	for _, sym := range symbolSets()[c.Symbols].order {
		for _, id := range order {
			if uses[id].cell.Symbol == sym {
				add(id)
			}
		}
	}
	for _, kind := range []CellKind{NoStitch, Unworked} {
		for i := range c.Rows {
			found := false
			for _, cell := range c.Rows[i].Cells {
				found = found || cell.Kind == kind
			}
			if found {
				words := "no stitch: skip"
				if kind == Unworked {
					words = "on the needle, not worked in this row"
				}
				c.Key = append(c.Key, Entry{Cell: Cell{Kind: kind, Span: 1, Yarn: -1}, Words: words})
				break
			}
		}
	}
}

// keyOf is the same for cells that one line of the key explains.
func keyOf(c *Cell) string {
	if c.Symbol == "cross" {
		return fmt.Sprint("cross", c.Strands)
	}
	return fmt.Sprint(c.Symbol, " ", c.Number, " ", c.Name)
}

// words says what to work, on each side the symbol is used on.
func (c *Chart) words(cell *Cell, rs, ws bool) string {
	s := SymbolOf(c.Symbols, cell.Symbol)
	if cell.Symbol == "cross" {
		return crossWords(cell)
	}
	fill := func(t string) string {
		t = strings.ReplaceAll(t, "#", fmt.Sprint(cell.Number))
		return strings.ReplaceAll(t, "@", cell.Name)
	}
	if cell.Name != "" {
		if w := c.own[cell.Key]; w != "" {
			return cell.Name + ": " + w
		}
		return cell.Name
	}
	switch {
	case s.WS == "" || !ws:
		return fill(s.RS)
	case !rs:
		return "WS: " + fill(s.WS)
	}
	return "RS: " + fill(s.RS) + "; WS: " + fill(s.WS)
}

// crossWords tells a crossing as it is worked with a cable needle, seen from
// the right side.
func crossWords(c *Cell) string {
	front, back, mid := 0, 0, 0
	right, purl := false, false
	for _, s := range c.Strands {
		switch s.Place {
		case fabric.InFront:
			front += s.N
			right = right || s.To < s.From
		case fabric.Behind:
			back += s.N
			purl = purl || s.Purl
		default:
			mid += s.N
		}
	}
	way := "left"
	if right {
		way = "right"
	}
	words := fmt.Sprintf("cross %d over %d to the %s", front, back, way)
	if mid > 0 {
		words = fmt.Sprintf("cross %d over %d to the %s, %d between them", front, back, way, mid)
	}
	if purl {
		words += ", those behind purled"
	}
	if mid == 0 {
		held, side, rest := front, "front", back
		if right {
			held, side, rest = back, "back", front
		}
		first, then := "k", "k"
		if purl && right {
			then = "p"
		} else if purl {
			first = "p"
		}
		words += fmt.Sprintf(": sl %d to cable needle, hold in %s, %s%d, %s%d from cable needle", held, side, first, rest, then, held)
	}
	return words
}

// notes says how the chart is read.
func (c *Chart) notes() {
	ws := false
	for i := range c.Rows {
		ws = ws || c.Rows[i].WS && !c.Rows[i].Round
	}
	switch {
	case c.Round && !ws:
		c.Notes = append(c.Notes, "Read from the bottom up, every round from right to left.")
	case ws:
		c.Notes = append(c.Notes, "Read from the bottom up: rows numbered at the right are RS rows, read from right to left; rows numbered at the left are WS rows, read from left to right. The chart shows the right side.")
	default:
		c.Notes = append(c.Notes, "Read from the bottom up, RS rows from right to left. Only RS rows are shown.")
	}
	if c.Through {
		words := "Every row of the piece is shown, numbered from the cast-on"
		if c.toLength {
			words += "; rows that are repeated to a length are shown twice, and the numbers run on from there"
		}
		c.Notes = append(c.Notes, words+".")
	}
	if c.Box != nil {
		words := ""
		switch {
		case c.Box.Of == 0:
		case c.Box.Of == c.Box.Width:
			words = " (" + stitches(c.Box.Of) + ")"
		case len(c.Rows) > 0:
			words = fmt.Sprintf(" (%s in row %s; their number changes)", stitches(c.Box.Of), c.Rows[0].Number)
		}
		c.Notes = append(c.Notes, "Repeat what stands within the heavy lines"+words+".")
	}
	for i := range c.Rows {
		if c.Rows[i].Gap {
			c.Notes = append(c.Notes, "Where the chart is parted, rows are left out: repeats of those shown, and rows that are told in words.")
			break
		}
	}
}

func stitches(n int) string {
	if n == 1 {
		return "1 stitch"
	}
	return fmt.Sprintf("%d stitches", n)
}
