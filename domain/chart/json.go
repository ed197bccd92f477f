package chart

import (
	"encoding/json"
	"fmt"

	"rowproof/domain/fabric"
)

// A chart as JSON is what the chart editor holds: rows of cells, symbols by
// their ids, columns from the right edge. MarshalJSON writes it; Decode reads
// what comes back.

var cellKinds = []string{Stitch: "stitch", NoStitch: "none", Unworked: "unworked", Continued: "continued"}

// MarshalText writes the kind as a word.
func (k CellKind) MarshalText() ([]byte, error) {
	if int(k) >= len(cellKinds) {
		return nil, fmt.Errorf("chart: there is no kind of cell %d", k)
	}
	return []byte(cellKinds[k]), nil
}

// UnmarshalText reads it; "" is a stitch.
func (k *CellKind) UnmarshalText(b []byte) error {
	for i, s := range cellKinds {
		if s == string(b) || i == 0 && len(b) == 0 {
			*k = CellKind(i)
			return nil
		}
	}
	return fmt.Errorf("chart: %.20q is no kind of cell", b)
}

var places = []string{fabric.Straight: "between", fabric.InFront: "front", fabric.Behind: "back"}

type strandJSON struct {
	From  int    `json:"from"`
	To    int    `json:"to"`
	N     int    `json:"n"`
	Place string `json:"place"`
	Purl  bool   `json:"purl,omitempty"`
}

// MarshalJSON writes where the strand passes as a word.
func (s Strand) MarshalJSON() ([]byte, error) {
	if int(s.Place) >= len(places) {
		return nil, fmt.Errorf("chart: a strand passes nowhere: %d", s.Place)
	}
	return json.Marshal(strandJSON{s.From, s.To, s.N, places[s.Place], s.Purl})
}

// UnmarshalJSON reads it.
func (s *Strand) UnmarshalJSON(b []byte) error {
	var j strandJSON
	if err := json.Unmarshal(b, &j); err != nil {
		return err
	}
	for i, p := range places {
		if p == j.Place {
			*s = Strand{j.From, j.To, j.N, fabric.Place(i), j.Purl}
			return nil
		}
	}
	return fmt.Errorf("chart: a strand passes %.20q; front, back or between", j.Place)
}

// maxWords bounds names and numbers that a chart from outside may hold.
const maxWords = 120

// Decode reads a chart from JSON, checks it and writes its key and notes anew.
// It does not ask whether the rows can be worked; see Statements.
func Decode(b []byte) (*Chart, error) {
	var c Chart
	if err := json.Unmarshal(b, &c); err != nil {
		return nil, fmt.Errorf("chart: read: %w", err)
	}
	if err := c.Check(); err != nil {
		return nil, err
	}
	c.Renew()
	return &c, nil
}

// Renew writes key and notes anew, after cells were changed.
func (c *Chart) Renew() {
	c.Key, c.Notes = nil, nil
	c.key()
	c.notes()
}

// Check says whether the chart can be drawn: within its bounds, with symbols
// of its set and yarns that it has.
func (c *Chart) Check() error {
	if c.Symbols == "" {
		c.Symbols = Sets[0]
	}
	set := symbolSets()[c.Symbols]
	switch {
	case set == nil:
		return fmt.Errorf("chart: there is no symbol set %.40q", c.Symbols)
	case c.Columns < 1 || c.Columns > maxColumns:
		return fmt.Errorf("chart: %d columns; from 1 to %d", c.Columns, maxColumns)
	case len(c.Rows) < 1 || len(c.Rows) > maxRows:
		return fmt.Errorf("chart: %d rows; from 1 to %d", len(c.Rows), maxRows)
	case len(c.Yarns) > 64:
		return fmt.Errorf("chart: %d yarns; at most 64", len(c.Yarns))
	case len(c.Title) > maxWords || len(c.Part) > maxWords:
		return fmt.Errorf("chart: a title of more than %d characters", maxWords)
	case c.Sheet != nil:
		return fmt.Errorf("chart: one sheet of several is not a chart")
	}
	if c.Box != nil && (c.Box.Of < 0 || c.Box.Of > maxColumns) {
		return fmt.Errorf("chart: a repeat of %d stitches", c.Box.Of)
	}
	for _, y := range c.Yarns {
		if y.Letter == "" || len(y.Letter) > 12 || len(y.Name) > maxWords {
			return fmt.Errorf("chart: a yarn wants a letter, of at most 12 characters")
		}
		if y.Colour != "" && !validColour(y.Colour) {
			return fmt.Errorf("chart: the colour of a yarn is written #rrggbb, not %.20q", y.Colour)
		}
	}
	cells, reach := 0, 0
	for i := range c.Rows {
		r := &c.Rows[i]
		if cells += len(r.Cells); cells > maxCells {
			return fmt.Errorf("chart: more than %d cells", maxCells)
		}
		bad := func(column int, format string, args ...any) error {
			return &RowError{Row: i, Number: r.Number, Column: column, Why: fmt.Sprintf(format, args...)}
		}
		if len(r.Number) > maxWords || len(r.Cells) > maxColumns {
			return bad(-1, "too long")
		}
		if r.Yarn < -1 || r.Yarn >= len(c.Yarns) || r.Turn < 0 || r.Turn > 1000 {
			return bad(-1, "there is no yarn %d", r.Yarn)
		}
		next := 0
		for k := range r.Cells {
			x := &r.Cells[k]
			switch {
			case x.Column < next || x.Span < 1 || x.Column+x.Span > c.Columns:
				return bad(x.Column, "the cell lies on another or outside the chart")
			case x.Kind == Stitch && set.by[x.Symbol] == nil:
				return bad(x.Column, "the symbol %.20q is not in the set", x.Symbol)
			case x.Yarn < -1 || x.Yarn >= len(c.Yarns):
				return bad(x.Column, "there is no yarn %d", x.Yarn)
			case len(x.Name) > maxWords || len(x.Key) > maxWords || len(x.Strands) > 16:
				return bad(x.Column, "its name is too long")
			case x.Number < 0 || x.Number > 99 || x.Takes < 0 || x.Takes > 99 || x.Makes < 0 || x.Makes > 99 || x.Reach < 0 || x.Reach > 99:
				return bad(x.Column, "a number is out of bounds: 0 to 99")
			}
			for _, s := range x.Strands {
				if s.N < 1 || s.From < 0 || s.To < 0 || s.From+s.N > x.Span || s.To+s.N > x.Span {
					return bad(x.Column, "a strand of the crossing lies outside the cell")
				}
			}
			if reach += x.Reach; reach > maxCells {
				return bad(x.Column, "its legs reach too far down, with those before it")
			}
			next = x.Column + x.Span
		}
	}
	if b := c.Box; b != nil {
		if b.Width < 1 || b.Width > c.Columns || len(b.From) != len(c.Rows) {
			return fmt.Errorf("chart: a repeat of %d columns, told for %d of %d rows", b.Width, len(b.From), len(c.Rows))
		}
		for i, x := range b.From {
			if x < 0 || x+b.Width > c.Columns {
				return &RowError{Row: i, Number: c.Rows[i].Number, Column: -1, Why: "the repeat lies outside the chart"}
			}
		}
	}
	return nil
}

// Blank is a chart of plain knitting to draw on: on the right side all knit.
func Blank(columns, rows int, round bool, set string) (*Chart, error) {
	c := &Chart{Columns: columns, Round: round, Symbols: set, Stitches: columns}
	for i := 0; i < rows && rows <= maxRows; i++ {
		ws := i%2 == 1 && !round
		r := Row{Number: fmt.Sprint(i + 1), WS: ws, Left: ws, Round: round, Yarn: -1, Count: columns}
		for x := 0; x < columns && columns <= maxColumns; x++ {
			r.Cells = append(r.Cells, Cell{Column: x, Span: 1, Symbol: "knit", Yarn: -1})
		}
		c.Rows = append(c.Rows, r)
	}
	if err := c.Check(); err != nil {
		return nil, err
	}
	c.Renew()
	return c, nil
}

// SymbolIDs lists the symbols of a set, in the order of its key.
func SymbolIDs(set string) []string {
	if s := symbolSets()[set]; s != nil {
		return append([]string(nil), s.order...)
	}
	return nil
}
