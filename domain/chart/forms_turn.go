package chart

import (
	"errors"
	"fmt"
	"slices"
	"strings"
)

// Turned gives the chart of the same fabric worked in the round, or flat. Going
// round, the stitches at the edges fall away and the start of the round is laid
// where every row can be begun; it fails where there is no such place, where a
// row is not worked to its end, and where a stitch of the designer's own would
// come to be worked from the other side. The columns serve for writing the rows.
func (c *Chart) Turned(round bool) (*Chart, error) {
	return c.turned(round, c.setUp())
}

// setUp is how many rows come before the first with a number: they are worked once.
func (c *Chart) setUp() int {
	for i := range c.Rows {
		if digits.MatchString(c.Rows[i].Number) {
			return i
		}
	}
	return 0
}

// turned is Turned where the last row goes on to row again.
func (c *Chart) turned(round bool, again int) (*Chart, error) {
	if round == c.Round {
		return c, nil
	}
	for i := range c.Rows {
		r := &c.Rows[i]
		if r.Turn > 0 {
			return nil, &RowError{i, r.Number, -1, "it turns before its end"}
		}
		for k := range r.Cells {
			switch cell := &r.Cells[k]; {
			case cell.Kind == Unworked:
				return nil, &RowError{i, r.Number, cell.Column, "stitches are left unworked"}
			case cell.Kind == Stitch && (cell.Symbol == "bo" || cell.Symbol == "co" || cell.Symbol == "hold"):
				return nil, &RowError{i, r.Number, cell.Column, "stitches are cast on, bound off or held"}
			}
		}
	}
	d := *c
	d.Round, d.Sheet = round, nil
	d.Rows = slices.Clone(c.Rows)
	if round {
		if err := d.close(again); err != nil {
			return nil, err
		}
	}
	for i := range d.Rows {
		r := &d.Rows[i]
		ws := !round && i%2 == 1
		turned := r.WS != ws
		r.WS, r.Left, r.Round = ws, ws, round
		if !digits.MatchString(r.Number) {
			r.Number = goesBy(r.Number, round)
		}
		r.Cells = slices.Clone(r.Cells)
		for k := range r.Cells {
			if err := turn(&r.Cells[k], turned); err != nil {
				return nil, &RowError{i, r.Number, r.Cells[k].Column, err.Error()}
			}
		}
	}
	d.Renew()
	return &d, nil
}

// goesBy names a row without a number by what it is: "Set-up row", "Set-up rnd".
func goesBy(words string, round bool) string {
	out := strings.Fields(words)
	for i, w := range out {
		switch w = strings.ToLower(w); {
		case round && w == "row":
			out[i] = "rnd"
		case !round && (w == "rnd" || w == "round"):
			out[i] = "row"
		}
	}
	return strings.Join(out, " ")
}

// turn makes a cell be worked from the other side, where turned is true.
func turn(cell *Cell, turned bool) error {
	if cell.Kind != Stitch || !turned {
		return nil
	}
	switch {
	case ownWords(cell):
		return fmt.Errorf("%s would be worked from the other side, and its words are for this one", strings.ToUpper(strings.TrimPrefix(cell.Key, "own:")))
	case cell.Key == "slyo":
		return errSlipYO
	case cell.Key == dropAll || cell.Key == "passed over":
		return nil
	case cell.Key == "into":
		return nil
	}
	into := map[string]string{"kpk": "kpk", "kyok": "kyk", "kfbf": "kKk", "kfb": "kK", "pfb": "pP"}[cell.Key]
	if s, ok := strings.CutPrefix(cell.Key, "into "); ok {
		into = s
	}
	if cell.Key = ""; into != "" && cell.Symbol != "inc" && cell.Symbol != "inc-purl" || len(into) > 2 {
		cell.Key = "into " + swapped(into)
	}
	return nil
}

var errSlipYO = errors.New("a stitch slipped with its own yarn over has no symbol of its own")

// ownWords says that only the designer's words tell what a stitch is: its symbol does
// not.
func ownWords(cell *Cell) bool {
	if !strings.HasPrefix(cell.Key, "own:") {
		return false
	}
	switch cell.Symbol {
	case "slip-back", "slip-front", "own", "bobble", "cluster", "inc", "inc-purl", "dec-n", "dec-n-purl", "untold", "below", "below-purl":
		return true
	}
	return false
}

// swapped writes the stitches made in one place as they are worked from the other
// side: in the other order, knit for purl.
func swapped(letters string) string {
	b := []byte(letters)
	slices.Reverse(b)
	for i, l := range b {
		switch l {
		case 'k':
			b[i] = 'p'
		case 'p':
			b[i] = 'k'
		case 'K':
			b[i] = 'P'
		case 'P':
			b[i] = 'K'
		}
	}
	return string(b)
}

// close leaves one repeat of every row, begun at the start of a round.
func (c *Chart) close(again int) error {
	b := c.Box
	if b == nil {
		return fmt.Errorf("chart: nothing repeats across its rows, so they cannot go round")
	}
	starts, err := c.seam(again)
	if err != nil {
		return err
	}
	for i := range c.Rows {
		cells := c.boxed(i)
		cells = append(slices.Clone(cells[starts[i]:]), cells[:starts[i]]...)
		at := 0
		c.Rows[i].Count = 0
		for k := range cells {
			cells[k].Column = at
			at += cells[k].Span
			c.Rows[i].Count += c.makes(&cells[k])
		}
		c.Rows[i].Cells = cells
	}
	c.Columns = b.Width
	box := &Box{Width: b.Width, From: make([]int, len(c.Rows)), Of: b.Of}
	c.Box = box
	c.Stitches = c.taken(0)
	return nil
}

// boxed are the cells of a row that are repeated, from the right.
func (c *Chart) boxed(i int) []Cell {
	lo, hi := c.Box.From[i], c.Box.From[i]+c.Box.Width
	var out []Cell
	for _, cell := range c.Rows[i].Cells {
		if cell.Column >= lo && cell.Column < hi {
			out = append(out, cell)
		}
	}
	return out
}

// mostStarts bounds the places that are tried for the start of a round.
const mostStarts = 200_000

// seam finds for every row the cell of its repeat with which the round begins: no
// stitch may take loops from both sides of the start, and after the last row
// row again begins where it began before. Starts near the edge of the box come first.
func (c *Chart) seam(again int) ([]int, error) {
	type row struct {
		takes, makes []int // up to each cell of the repeat
		shift        int   // loops from the repeat of the row below to this one's
	}
	rows := make([]row, len(c.Rows))
	right := func(i int, made bool) int { // loops at the right of the box
		n := 0
		for k := range c.Rows[i].Cells {
			if cell := &c.Rows[i].Cells[k]; cell.Column < c.Box.From[i] {
				if made {
					n += c.makes(cell)
				} else {
					n += c.takes(cell)
				}
			}
		}
		return n
	}
	for i := range rows {
		t, m := 0, 0
		for _, cell := range c.boxed(i) {
			if cell.Column+cell.Span > c.Box.From[i]+c.Box.Width {
				return nil, &RowError{i, c.Rows[i].Number, cell.Column, "it lies across the edge of the repeat"}
			}
			rows[i].takes, rows[i].makes = append(rows[i].takes, t), append(rows[i].makes, m)
			t, m = t+c.takes(&cell), m+c.makes(&cell)
		}
		rows[i].takes, rows[i].makes = append(rows[i].takes, t), append(rows[i].makes, m)
		if t == 0 || m == 0 {
			return nil, &RowError{i, c.Rows[i].Number, -1, "the repeat has no stitches"}
		}
		if i > 0 {
			rows[i].shift = right(i, false) - right(i-1, true)
			if before := rows[i-1].makes[len(rows[i-1].makes)-1]; before != t {
				return nil, &RowError{i, c.Rows[i].Number, -1, fmt.Sprintf("its repeat takes %s, and the row before leaves %d", stitches(t), before)}
			}
		}
	}
	last := len(rows) - 1
	back := right(again, false) - right(last, true)
	mod := func(a, n int) int { return ((a % n) + n) % n }
	starts := make([]int, len(rows))
	furthest := 0
	failed := map[[3]int]bool{} // row, loops right of the start, where row again began
	var find func(i, at int) bool
	find = func(i, at int) bool {
		furthest = max(furthest, i)
		if i > last {
			r := &rows[again]
			n := r.takes[len(r.takes)-1]
			return rows[last].makes[len(rows[last].makes)-1] == n && mod(at-back-r.takes[starts[again]], n) == 0
		}
		state := [3]int{i, at, starts[again]}
		if i <= again {
			state[2] = -1
		}
		if failed[state] || len(failed) > mostStarts {
			return false
		}
		r := &rows[i]
		n := r.takes[len(r.takes)-1]
		want := mod(at-r.shift, n)
		for k := range r.takes[:len(r.takes)-1] {
			if r.takes[k] == want {
				if starts[i] = k; find(i+1, r.makes[k]) {
					return true
				}
			}
		}
		failed[state] = true
		return false
	}
	n := rows[0].takes[len(rows[0].takes)-1]
	for d := 0; d <= n/2; d++ {
		for _, at := range []int{d, n - d} {
			if at < n && find(0, at) {
				return starts, nil
			}
		}
	}
	if furthest > last {
		return nil, fmt.Errorf("chart: the start of the round would move from one repeat of the rows to the next")
	}
	return nil, &RowError{furthest, c.Rows[furthest].Number, -1, "a stitch takes loops from both sides of the start of the round, wherever it is laid"}
}
