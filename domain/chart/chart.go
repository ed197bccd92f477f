// Package chart makes symbol charts of worked rows: a Chart says what stands in
// every cell, SVG draws it.
//
// Make is the call most people need. A chart is made from the fabric, so that it
// shows the right side: read from the bottom up, right-side rows from right to
// left with their numbers at the right, wrong-side rows from left to right with
// their numbers at the left, rounds all from right to left.
package chart

import (
	"fmt"
	"slices"
	"strings"

	"rowproof/domain/fabric"
	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

// Options say how a chart is made.
type Options struct {
	Symbols string // one of Sets; "" is the first
	Size    int    // index of the size; it matters where stitches are cast on
	RSOnly  bool   // leave out wrong-side rows
	From    int    // lines of the manuscript whose rows are shown, see Sections; 0 and 0 are all
	To      int

	Colours map[string]string // of yarns, by Yarn.Name: "#rrggbb"; yarns without one are drawn in greys
}

// Chart is a chart, without its drawing.
type Chart struct {
	Title    string   `json:"title"` // of the pattern
	Part     string   `json:"part"`
	Symbols  string   `json:"symbols"` // the set
	Round    bool     `json:"round"`
	Columns  int      `json:"columns"`
	Rows     []Row    `json:"rows"` // from the bottom up
	Box      *Box     `json:"box"`  // nil where nothing repeats across the row
	Key      []Entry  `json:"key"`
	Yarns    []Yarn   `json:"yarns"`             // those shown, in order of first use; empty where there is one
	Notes    []string `json:"notes"`             // how to read it
	Stitches int      `json:"stitches"`          // it begins on
	Through  bool     `json:"through,omitempty"` // rows are numbered through the piece, not as the text numbers them
	Sheet    *Sheet   `json:"sheet,omitempty"`   // of one chart cut into several; nil for a whole one

	own      map[string]string // the designer's words for her stitches, by key
	toLength bool              // rows that go on to a length are shown twice only
}

// Row is one row of cells, from the right edge.
type Row struct {
	Number string `json:"number"` // as the text numbers it; a word or two where it has no number
	WS     bool   `json:"ws"`
	Left   bool   `json:"left"` // its number stands at the left
	Round  bool   `json:"round"`
	Yarn   int    `json:"yarn"`           // index in Yarns of the one it is worked in, -1 where several or one for all
	Count  int    `json:"count"`          // loops on the needles after it
	Gap    bool   `json:"gap,omitempty"`  // rows are left out below it
	Turn   int    `json:"turn,omitempty"` // it is the part of a row after so many turns, mostly 0
	Cells  []Cell `json:"cells"`

	of     int  // row of the fabric it shows
	untold bool // loops came or went before it that no row tells of
}

// CellKind tells cells that hold a stitch from those that hold none.
type CellKind uint8

const (
	Stitch    CellKind = iota
	NoStitch           // a place holder, where counts vary
	Unworked           // a loop on the needle that the row leaves unworked
	Continued          // part of a wide cell that stands on the next sheet
)

// Cell is one cell. Columns count from the right edge, from 0.
type Cell struct {
	Kind    CellKind `json:"kind"`
	Column  int      `json:"column"` // its rightmost one
	Span    int      `json:"span"`
	Symbol  string   `json:"symbol,omitempty"`  // id within the set
	Number  int      `json:"number,omitempty"`  // 0 where none is shown
	Name    string   `json:"name,omitempty"`    // of the designer's own stitch
	Key     string   `json:"key,omitempty"`     // of the vocabulary or the designer, where rows were charted; "" in a drawn chart
	Takes   int      `json:"takes,omitempty"`   // loops it takes off the needle; 0 in a drawn chart, and for a yarn over
	Makes   int      `json:"makes,omitempty"`   // loops it leaves on the needle
	Yarn    int      `json:"yarn"`              // index in Yarns, the colour that shows; -1 where there is one
	Several bool     `json:"several,omitempty"` // the row uses more than one yarn
	Reach   int      `json:"reach,omitempty"`   // rows that a stitch worked below reaches down to the loop it catches
	Strands []Strand `json:"strands,omitempty"`
}

// Strand is a run of loops that pass through a crossing side by side.
type Strand struct {
	From, To int // columns of its right edge within the cell, below and above
	N        int
	Place    fabric.Place
	Purl     bool // shows bumps
}

// Box is what is repeated across the row.
type Box struct {
	Width int   `json:"width"`
	From  []int `json:"from"` // per row, its right edge: all alike but where it must jog
	Of    int   `json:"of"`   // multiple of stitches that one repeat stands for, at the chart's start
}

// Yarn is a yarn of the chart.
type Yarn struct {
	Letter string `json:"letter"`           // short; "" never
	Name   string `json:"name"`             // as written
	Colour string `json:"colour,omitempty"` // "#rrggbb"; "" draws it in a grey
}

// Entry is a line of the key.
type Entry struct {
	Cell  Cell   `json:"cell"`  // an example
	Words string `json:"words"` // what to work, on each side where they differ and are shown
}

// maxColumns and maxRows bound a chart that can still be looked at.
const (
	maxColumns = 400
	maxRows    = 600
	maxCells   = 40_000
	maxWorked  = 400_000 // stitches worked out to find those shown
)

// Make charts the rows of a part of a worked manuscript. It fails where the part
// has no rows to show, or does not come out.
func Make(ms *notation.Manuscript, res *needle.Result, part int, o Options) (*Chart, error) {
	if part < 0 || part >= len(res.Parts) {
		return nil, fmt.Errorf("chart: there is no part %d", part)
	}
	if o.Symbols == "" {
		o.Symbols = Sets[0]
	}
	if symbolSets()[o.Symbols] == nil {
		return nil, fmt.Errorf("chart: there is no symbol set %q; there are %s", o.Symbols, strings.Join(Sets, ", "))
	}
	p := res.Parts[part]
	if reachFurther(p) {
		return nil, fmt.Errorf("chart: %s repeats short rows that reach further each time; a chart shows a row once", name(p))
	}
	m := &maker{ms: ms, res: res, part: part, o: o}
	c, err := m.smallest(p)
	if c == nil {
		return nil, err
	}
	if e := joinedByPickUp(ms, p, c, o); e != nil {
		return nil, fmt.Errorf("chart: %s picks up stitches along its edges in line %d, to go on in rounds; a chart shows loops of one row after another. Chart the rows before and after it each by themselves", name(p), e.Line)
	}
	c.Title, c.Part, c.Symbols, c.Round = ms.Title, p.Name, o.Symbols, p.Round
	c.learn(ms)
	c.colour(o.Colours)
	c.square()
	c.toLength = c.Through && m.toLength(p)
	c.Renew()
	return c, nil
}

// reachFurther says that rows which turn are repeated and go by the gap they turned at, so that each
// time is longer than the one before.
func reachFurther(p *needle.Part) bool {
	for _, e := range p.Rows {
		if e.Row == nil || !slices.ContainsFunc(e.Times, func(n int) bool { return n > 1 }) {
			continue
		}
		gap, turn := false, false
		notation.Each(e.Row.Body, func(o notation.Op) {
			switch o := o.(type) {
			case *notation.Turn:
				turn = true
			case *notation.Until:
				gap = gap || o.To.Kind == notation.ToGap
			}
		})
		if gap && turn {
			return true
		}
	}
	return false
}

// joinedByPickUp is the row that picks up stitches along the edges of rows shown, which are worked flat,
// so that rounds follow them; nil where none does.
func joinedByPickUp(ms *notation.Manuscript, p *needle.Part, c *Chart, o Options) *needle.Entry {
	joined := 1 << 30 // the line where the round is joined
	for _, it := range ms.Items {
		b, is := it.(*notation.Begin)
		row, rounds := it.(*notation.Row)
		if _, joins := it.(*notation.JoinRound); (joins || is && b.Round || rounds && row.Head.Round) && it.Place().Line >= p.Line {
			joined = min(joined, it.Place().Line)
		}
	}
	for k, e := range p.Rows {
		if k == 0 || e.Row == nil || e.Line > joined || !c.Rows[len(c.Rows)-1].Round || o.To > 0 && (e.Line < o.From || e.Line > o.To) {
			continue
		}
		picks := false
		notation.Each(e.Row.Body, func(x notation.Op) {
			b, is := x.(*notation.CastOn)
			picks = picks || is && b.Picked
		})
		if picks {
			return e
		}
	}
	return nil
}

// FromFabric charts a fabric that was built already, whole and without a repeat;
// o.Size is not looked at.
func FromFabric(ms *notation.Manuscript, f *fabric.Fabric, part string, o Options) (*Chart, error) {
	if o.Symbols == "" {
		o.Symbols = Sets[0]
	}
	if symbolSets()[o.Symbols] == nil {
		return nil, fmt.Errorf("chart: there is no symbol set %q; there are %s", o.Symbols, strings.Join(Sets, ", "))
	}
	c, err := lay(ms, f, o, true)
	if err != nil {
		return nil, err
	}
	c.Title, c.Part, c.Symbols, c.Round = ms.Title, part, o.Symbols, f.Round
	c.learn(ms)
	c.colour(o.Colours)
	c.Renew()
	return c, nil
}

// learn keeps the designer's words for her stitches, for the key.
func (c *Chart) learn(ms *notation.Manuscript) {
	c.own = map[string]string{}
	for k, s := range ms.Own {
		c.own[k] = strings.TrimRight(strings.TrimSpace(s.Words), ".")
	}
}

// colour gives the yarns their colours.
func (c *Chart) colour(given map[string]string) {
	for name, colour := range given {
		for i := range c.Yarns {
			if strings.EqualFold(name, c.Yarns[i].Name) {
				c.Yarns[i].Colour = colour
			}
		}
	}
}

// maker makes charts of one part on several numbers of stitches.
type maker struct {
	ms   *notation.Manuscript
	res  *needle.Result
	part int
	o    Options
}

// smallest makes the smallest chart that shows the repeat: one multiple, or
// two, or three where the rows' repeats do not begin at one place. Where no
// multiple can be told, it is the cast-on's.
func (m *maker) smallest(p *needle.Part) (*Chart, error) {
	of, plus, from := 0, 0, 1
	switch {
	case p.Stated != nil && p.Stated.Line > 0 && p.Stated.Of > 0:
		of, plus = p.Stated.Of, p.Stated.Plus+2*p.Stated.Edge
	case p.Needs != nil && p.Needs.Of > 0:
		of, plus, from = p.Needs.Of, p.Needs.Plus, max(1, p.Needs.Min)
	}
	var first error
	if p.CastOn != nil { // short rows and shaped pieces are charted whole
		if c, err := m.on(0); err == nil && (c.short() || c.Through && p.Stated == nil) {
			return c, nil
		}
	}
	if of > 0 {
		if plus == 0 && of < 4 {
			from = max(from, 2)
		}
		var plain *Chart
		for n := from; n < from+4; n++ {
			a, err := m.on(of*n + plus)
			if err != nil {
				if first == nil {
					first = err
				}
				continue
			}
			if plain == nil {
				plain = a
			}
			b, err := m.on(of*(n+1) + plus)
			if err != nil {
				break
			}
			if !a.short() && a.findBox(b, m.edges(p, a), n == from+3) {
				a.Box.Of = of
				if m.o.To > 0 {
					a.narrow()
				}
				return a, nil
			}
		}
		if plain != nil {
			return plain, nil
		}
	}
	if p.CastOn != nil {
		c, err := m.on(0)
		if err == nil || first == nil {
			return c, err
		}
	}
	if p.Stated != nil && of == 0 { // a panel
		return m.on(p.Stated.Plus + 2*p.Stated.Edge)
	}
	if p.Needs != nil && of == 0 {
		return m.on(p.Needs.Plus)
	}
	if first == nil {
		first = fmt.Errorf("chart: %s says not on how many stitches it is worked", name(p))
	}
	return nil, first
}

// toLength says that the part has rows to be repeated to a length, or as often
// as one likes, of which a chart shows two passes.
func (m *maker) toLength(p *needle.Part) bool {
	end := 1 << 30
	for _, q := range m.res.Parts {
		if q.Line > p.Line {
			end = min(end, q.Line)
		}
	}
	for _, it := range m.ms.Items {
		r, ok := it.(*notation.RepRows)
		if ok && r.Line >= p.Line && r.Line < end && !r.Times.N.Given() && !r.Until.Sts.Given() && !r.Until.AllWorked && !r.Until.Rows.Given() {
			return true
		}
	}
	return false
}

func name(p *needle.Part) string {
	if p.Name == "" {
		return "the pattern"
	}
	return p.Name
}

// on charts the part on so many stitches; 0 is the cast-on.
func (m *maker) on(stitches int) (*Chart, error) {
	if p := m.res.Parts[m.part]; stitches == 0 && m.o.Size < len(p.CastOn) {
		loops := 0
		for _, e := range p.Rows {
			if m.o.Size < len(e.Times) && m.o.Size < len(e.Last) {
				loops += min(e.Times[m.o.Size], 1<<20) * min(max(e.First[m.o.Size].N, e.Last[m.o.Size].N), 1<<20)
			}
		}
		if loops > maxWorked {
			return nil, fmt.Errorf("chart: %s has some %d stitches in all; too many for one chart", name(p), loops)
		}
	}
	f, err := fabric.Build(m.ms, m.res, m.part, m.o.Size, stitches, 2)
	if err != nil {
		return nil, err
	}
	return lay(m.ms, f, m.o, stitches == 0)
}
