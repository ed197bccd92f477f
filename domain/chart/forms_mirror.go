package chart

import (
	"fmt"
	"slices"
	"strings"
)

// Mirrored gives the chart seen in a mirror: what was at the right is at the left,
// and what leaned one way leans the other. It fails where a stitch has no twin.
func (c *Chart) Mirrored() (*Chart, error) {
	d := *c
	d.Sheet = nil
	d.Rows = slices.Clone(c.Rows)
	if b := c.Box; b != nil {
		box := *b
		box.From = make([]int, len(b.From))
		for i, x := range b.From {
			box.From[i] = c.Columns - x - b.Width
		}
		d.Box = &box
	}
	for i := range d.Rows {
		r := &d.Rows[i]
		if r.Turn > 0 {
			return nil, &RowError{i, r.Number, -1, "it turns before its end, and would begin at the other edge"}
		}
		cells := make([]Cell, len(r.Cells))
		for k, cell := range r.Cells {
			if err := mirror(&cell, r.WS); err != nil {
				return nil, &RowError{i, r.Number, cell.Column, err.Error()}
			}
			cell.Column = c.Columns - cell.Column - cell.Span
			cells[len(cells)-1-k] = cell
		}
		r.Cells = cells
	}
	d.Renew()
	return &d, nil
}

// twins are the symbols that change with the side.
var twins = map[string]string{
	"dec-r-2": "dec-l-2", "dec-r-3": "dec-l-3", "dec-r-2-purl": "dec-l-2-purl", "dec-r-3-purl": "dec-l-3-purl",
	"m1l": "m1r", "m1l-purl": "m1r-purl", "lift-l": "lift-r",
}

func init() {
	for _, from := range []string{"dec-r-2", "dec-r-3", "dec-r-2-purl", "dec-r-3-purl", "m1l", "m1l-purl", "lift-l"} {
		twins[twins[from]] = from
	}
}

// mirror turns what stands in a cell to the other hand.
func mirror(cell *Cell, ws bool) error {
	if cell.Kind != Stitch {
		if cell.Kind == Unworked {
			return fmt.Errorf("stitches are left unworked, which begin at the other edge in the mirror")
		}
		return nil
	}
	switch {
	case cell.Key == "slyo":
		return errSlipYO
	case cell.Symbol == "bo" || cell.Symbol == "co" || cell.Symbol == "hold":
		return fmt.Errorf("stitches are cast on, bound off or held, which is done at the other edge a row later")
	case ownWords(cell):
		if cell.Takes == 1 && cell.Makes == 1 {
			return nil // a bobble and its like lean neither way
		}
		return fmt.Errorf("the twin of %s is not known; define it as a stitch of its own", strings.ToUpper(strings.TrimPrefix(cell.Key, "own:")))
	case cell.Key == dropAll || cell.Key == "passed over":
		return nil
	}
	if s, ok := strings.CutPrefix(cell.Key, "into "); ok {
		b := []byte(s)
		slices.Reverse(b)
		cell.Key = "into " + string(b)
		return nil
	}
	if t, ok := twins[cell.Symbol]; ok {
		cell.Symbol, cell.Key = t, ""
	}
	switch {
	case cell.Symbol == "dec-n" || cell.Symbol == "dec-n-purl":
		if t := map[string]string{"ktog": "ktogtbl", "ktogtbl": "ktog", "ptog": "ptogtbl", "ptogtbl": "ptog"}[cell.Key]; t != "" {
			cell.Key = t
		}
	case cell.Symbol == "cross":
		cell.Strands = slices.Clone(cell.Strands)
		for k := range cell.Strands {
			s := &cell.Strands[k]
			s.From, s.To = cell.Span-s.From-s.N, cell.Span-s.To-s.N
		}
		slices.SortFunc(cell.Strands, func(a, b Strand) int { return a.From - b.From })
		cell.Key = "" // crossings are written from their strands alone
	}
	return nil
}
