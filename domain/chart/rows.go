package chart

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"rowproof/domain/notation"
)

// RowError says which row and cell of a chart cannot be worked, and why.
type RowError struct {
	Row    int    // from 0, from the bottom
	Number string // as the chart numbers it
	Column int    // from 0, from the right edge; -1 where it is the row as a whole
	Why    string
}

func (e *RowError) Error() string {
	if e.Column < 0 {
		return fmt.Sprintf("chart: row %s: %s", e.Number, e.Why)
	}
	return fmt.Sprintf("chart: row %s, column %d from the right: %s", e.Number, e.Column+1, e.Why)
}

// Statements writes the rows of a chart as rows of a manuscript: what stands in
// the repeat box becomes a repeat, so that they serve every multiple. It fails
// with a *RowError at the first row that cannot be worked.
func (c *Chart) Statements() ([]*notation.Row, error) {
	if len(c.Rows) == 0 {
		return nil, fmt.Errorf("chart: it has no rows")
	}
	if c.tiled() {
		return nil, fmt.Errorf("chart: one sheet of several; rows are written from the whole")
	}
	if b := c.Box; b != nil && (len(b.From) != len(c.Rows) || b.Width < 1) {
		return nil, fmt.Errorf("chart: the repeat is given for %d of %d rows", len(b.From), len(c.Rows))
	}
	var out []*notation.Row
	heads := c.heads()
	for i := range c.Rows {
		r := &c.Rows[i]
		w := rowWriter{c: c, r: r, i: i}
		if err := w.sound(); err != nil {
			return nil, err
		}
		body, err := w.body()
		if err != nil {
			return nil, err
		}
		if r.Turn > 0 && len(out) > 0 { // what follows a turn belongs to the row that turned
			last := out[len(out)-1]
			last.Body = append(last.Body, body...)
			continue
		}
		out = append(out, &notation.Row{Head: heads[i], Body: body})
	}
	turned := false // the row before was: "to end" would be no further than the round's start
	for _, row := range out {
		if !turned || !row.Head.Round {
			row.Body = whole(row.Body)
		}
		turned = slices.ContainsFunc(row.Body, func(o notation.Op) bool { _, is := o.(*notation.Turn); return is })
	}
	return out, nil
}

// Manuscript writes the chart as a manuscript of its own: multiple or cast-on,
// yarns, the designer's stitches that it uses, and the rows. from is the
// manuscript whose stitches it uses, nil where there is none.
func (c *Chart) Manuscript(from *notation.Manuscript) (*notation.Manuscript, error) {
	rows, err := c.Statements()
	if err != nil {
		return nil, err
	}
	ms := &notation.Manuscript{Title: c.Title, Sizes: []string{""}, Own: map[string]*notation.Stitch{}}
	if c.Title != "" {
		ms.Items = append(ms.Items, &notation.Title{Text: c.Title})
	}
	if len(c.Yarns) > 0 {
		var names []string
		for _, y := range c.Yarns {
			names = append(names, y.asNamed())
		}
		ms.Yarns = names
		ms.Items = append(ms.Items, &notation.Field{Label: "Yarn", Text: strings.Join(names, ", ")})
	}
	if from != nil {
		used := map[string]bool{}
		for _, r := range rows {
			notation.Each(r.Body, func(o notation.Op) {
				if d, ok := o.(*notation.Do); ok && from.Own[d.Key] != nil {
					used[d.Key] = true
				}
			})
		}
		for _, it := range from.Items {
			d, ok := it.(*notation.Define)
			if !ok {
				continue
			}
			ms.Items = append(ms.Items, &notation.Define{Name: d.Name, Text: d.Text})
		}
		for k := range used {
			ms.Own[k] = from.Own[k]
		}
	}
	start := c.taken(0)
	if b := c.Box; b != nil {
		in := 0
		for k := range c.Rows[0].Cells {
			if cell := &c.Rows[0].Cells[k]; cell.Column >= b.From[0] && cell.Column < b.From[0]+b.Width {
				in += c.takes(cell)
			}
		}
		if in == 0 {
			return nil, &RowError{0, c.Rows[0].Number, -1, "the repeat takes no stitches"}
		}
		ms.Items = append(ms.Items, &notation.Multiple{Of: in, Plus: start % in})
	} else {
		ms.Items = append(ms.Items, &notation.Begin{N: notation.N(start), How: "cast on", Round: c.Round})
	}
	for _, r := range rows {
		ms.Items = append(ms.Items, r)
	}
	return ms, nil
}

// Text writes the rows of the chart, one line each: "Row 1 (RS): K2, *…".
func (c *Chart) Text(from *notation.Manuscript) ([]string, error) {
	ms, err := c.Manuscript(from)
	if err != nil {
		return nil, err
	}
	var out []string
	kept := ms.Items
	ms.Items = nil
	for _, it := range kept {
		if _, ok := it.(*notation.Row); ok {
			ms.Items = append(ms.Items, it)
		}
	}
	for _, l := range strings.Split(notation.Write(ms), "\n") {
		if l = strings.TrimSpace(l); l != "" && !strings.HasPrefix(l, "Sizes:") {
			out = append(out, l)
		}
	}
	return out, nil
}

// asNamed is the name by which rows ask for a yarn.
func (y Yarn) asNamed() string {
	if y.Name == unnamedYarn {
		return y.Letter
	}
	return y.Name
}

// taken is how many loops a row takes, those it leaves unworked among them.
func (c *Chart) taken(i int) int {
	n := 0
	for k := range c.Rows[i].Cells {
		n += c.takes(&c.Rows[i].Cells[k])
	}
	return n
}

var digits = regexp.MustCompile(`^\d+$`)

// heads names the rows: by the chart's numbers where they rise, else counted anew.
func (c *Chart) heads() []notation.Head {
	out := make([]notation.Head, len(c.Rows))
	last, anew, side := 0, false, ""
	for i := range c.Rows {
		if n, err := strconv.Atoi(c.Rows[i].Number); err == nil && c.Rows[i].Turn == 0 {
			anew = anew || n <= last
			last = n
		}
	}
	// Without a number and without a cast-on nothing would say that these are rounds.
	anew = anew || last == 0 && c.Round && c.Box != nil
	n := 0
	for i := range c.Rows {
		r := &c.Rows[i]
		if r.Turn > 0 {
			continue
		}
		n++
		h := notation.Head{Round: r.Round, Words: r.Number}
		unit := "Row "
		if r.Round {
			unit = "Rnd "
		}
		switch {
		case anew:
			h.Numbers, h.Words = []int{n}, unit+fmt.Sprint(n)
		case digits.MatchString(r.Number):
			k, _ := strconv.Atoi(r.Number)
			h.Numbers, h.Words = []int{k}, unit+r.Number
		}
		if !r.Round {
			now := "RS"
			if r.WS {
				now = "WS"
			}
			if side == "" || side == now {
				h.Side = now
			}
			if side == now && len(h.Numbers) == 0 { // slid, not turned: a row of no head could not tell its side
				h.Words = "Next row"
				if before := &out[i-1]; len(before.Numbers) == 0 && before.Side != "" {
					before.Words = "Next row"
				}
			}
			side = now
		}
		out[i] = h
	}
	return out
}

// rowWriter writes one row.
type rowWriter struct {
	c *Chart
	r *Row
	i int
}

func (w *rowWriter) fail(c *Cell, format string, args ...any) error {
	e := &RowError{Row: w.i, Number: w.r.Number, Column: -1, Why: fmt.Sprintf(format, args...)}
	if c != nil {
		e.Column = c.Column
	}
	return e
}

// sound checks that the cells lie side by side, and take what the row before left.
func (w *rowWriter) sound() error {
	next := -1
	for k := range w.r.Cells {
		c := &w.r.Cells[k]
		if c.Span < 1 {
			return w.fail(c, "the cell has no width")
		}
		if next >= 0 && c.Column < next {
			return w.fail(c, "two cells lie on one column")
		}
		if c.Column < 0 || c.Column+c.Span > w.c.Columns {
			return w.fail(c, "the cell lies outside the chart")
		}
		if next >= 0 && c.Column > next {
			return w.fail(c, "a cell is missing before it")
		}
		next = c.Column + c.Span
	}
	if w.i == 0 || w.r.Gap {
		return nil
	}
	before := 0
	for k := range w.c.Rows[w.i-1].Cells {
		before += w.c.makes(&w.c.Rows[w.i-1].Cells[k])
	}
	takes := w.c.taken(w.i)
	if w.r.Turn > 0 && w.r.Round && w.acrossStart() {
		return w.fail(nil, "it turns back across the start of the round, which a chart does not tell")
	}
	if takes == before {
		return nil
	}
	if w.odd() == nil && !w.r.untold {
		return w.fail(nil, "it takes %s, but row %s leaves %d", stitches(takes), w.c.Rows[w.i-1].Number, before)
	}
	if w.r.untold {
		return w.fail(nil, "stitches come or go before it that no row tells of")
	}
	// the first cell that lies where the row before has none, or the other way round
	return w.fail(w.odd(), "it takes %s, but row %s leaves %d; from this cell on they do not meet", stitches(takes), w.c.Rows[w.i-1].Number, before)
}

// acrossStart says that the stitches of a turned stretch lie on both sides of the
// round's start: more are worked there than the stretch before it left.
func (w *rowWriter) acrossStart() bool {
	worked := func(cells []Cell, n func(*Cell) int) (sum int) {
		for k := range cells {
			if cells[k].Kind == Stitch && cells[k].Symbol != "hold" {
				sum += n(&cells[k])
			}
		}
		return sum
	}
	return worked(w.r.Cells, w.c.takes) > worked(w.c.Rows[w.i-1].Cells, w.c.makes)
}

// odd finds the cell, from the right edge, from which on the row is out of step
// with the row before.
func (w *rowWriter) odd() *Cell {
	under := &w.c.Rows[w.i-1]
	balance, from, k := 0, 0, 0
	for i := range w.r.Cells {
		c := &w.r.Cells[i]
		balance += w.c.takes(c)
		for ; k < len(under.Cells) && under.Cells[k].Column < c.Column+c.Span; k++ {
			balance -= w.c.makes(&under.Cells[k])
		}
		if balance == 0 {
			from = i + 1
		}
	}
	if from >= len(w.r.Cells) {
		return nil
	}
	return &w.r.Cells[from]
}

// body writes the cells in the order they are worked.
func (w *rowWriter) body() ([]notation.Op, error) {
	cells := slices.Clone(w.r.Cells)
	if w.r.WS && !w.r.Round {
		slices.Reverse(cells)
	}
	from, to := -1, -1 // cells of the repeat
	if b := w.c.Box; b != nil {
		lo, hi := b.From[w.i], b.From[w.i]+b.Width
		for k := range cells {
			c := &cells[k]
			if c.Column < lo && c.Column+c.Span > lo || c.Column < hi && c.Column+c.Span > hi {
				return nil, w.fail(c, "the edge of the repeat cuts the cell")
			}
			if c.Column >= lo && c.Column < hi {
				if from < 0 {
					from = k
				}
				to = k + 1
			}
		}
	}
	yarn := -2 // none named yet
	list := func(cells []Cell) ([]notation.Op, int, error) {
		var ops []notation.Op
		in := 0
		for k := range cells {
			c := &cells[k]
			if c.Key == dropAll {
				continue // at the row's start, all at once
			}
			in += w.c.takes(c)
			o, err := w.op(c)
			if err != nil {
				return nil, 0, err
			}
			if len(o) == 0 {
				continue
			}
			if y := w.yarnOf(c); y >= 0 && y != yarn {
				yarn = y
				ops = append(ops, &notation.UseYarn{Yarn: w.c.Yarns[y].asNamed()})
			}
			ops = append(ops, o...)
		}
		return ops, in, nil
	}
	var start []notation.Op
	if slices.ContainsFunc(cells, func(c Cell) bool { return c.Key == dropAll }) {
		start = append(start, &notation.DropAll{})
	}
	if from < 0 {
		ops, _, err := list(cells)
		return append(append(start, folded(ops)...), w.turn(cells)...), err
	}
	head, _, err := list(cells[:from])
	if err != nil {
		return nil, err
	}
	head = append(start, head...)
	// a row in one yarn names it before the repeat
	if w.r.Yarn >= 0 && yarn == -2 && len(w.c.Yarns) > 0 {
		yarn = w.r.Yarn
		head = append(head, &notation.UseYarn{Yarn: w.c.Yarns[yarn].asNamed()})
	}
	was := yarn
	if w.r.Yarn < 0 {
		yarn = -2 // every repeat begins by naming its yarn
	}
	body, in, err := list(cells[from:to])
	if err != nil {
		return nil, err
	}
	if yarn < 0 {
		yarn = was
	}
	if in == 0 {
		return nil, w.fail(&cells[from], "the repeat takes no stitches in this row")
	}
	tail, left, err := list(cells[to:])
	if err != nil {
		return nil, err
	}
	rep := &notation.Repeat{Body: folded(body), Mark: "*", To: notation.Target{Kind: notation.ToEnd}}
	if left > 0 {
		rep.To = notation.Target{Kind: notation.ToLast, N: notation.N(left)}
	}
	out := append(folded(head), rep)
	out = append(out, folded(tail)...)
	return append(out, w.turn(cells)...), nil
}

// turn turns a row that leaves stitches unworked at its end.
func (w *rowWriter) turn(cells []Cell) []notation.Op {
	if n := len(cells); n > 0 && cells[n-1].Kind == Unworked {
		return []notation.Op{&notation.Turn{}}
	}
	for k := len(cells) - 1; k >= 0 && cells[k].Kind != Stitch; k-- {
		if cells[k].Kind == Unworked {
			return []notation.Op{&notation.Turn{}}
		}
	}
	return nil
}

// yarnOf is the yarn a cell is worked in; -1 where none need be named. A
// slipped stitch shows its own, not the one in hand.
func (w *rowWriter) yarnOf(c *Cell) int {
	if len(w.c.Yarns) == 0 || c.Kind != Stitch {
		return -1
	}
	if w.r.Yarn >= 0 {
		return w.r.Yarn
	}
	switch c.Symbol {
	case "slip-back", "slip-front", "drop":
		return -1
	}
	return c.Yarn
}
