package chart

import (
	"fmt"
	"slices"
	"strings"

	"rowproof/domain/fabric"
	"rowproof/domain/notation"
)

// lay makes the cells of the rows that are shown: every row of the text that
// goes by a number or a name, the first time it is worked on each side; of a
// piece that rows not shown would change the width of, every row.
func lay(ms *notation.Manuscript, f *fabric.Fabric, o Options, piece bool) (*Chart, error) {
	c := &Chart{Stitches: f.CastOn}
	var shown []int
	type once struct {
		entry, turn int
		ws          bool
	}
	seen := map[once]bool{}
	for i := range f.Rows {
		r := &f.Rows[i]
		k := once{r.Entry, r.Turn, r.WS}
		if r.Entry < 0 || seen[k] || r.Pass > 1 || o.RSOnly && r.WS || !o.shows(r) {
			continue
		}
		seen[k] = true
		shown = append(shown, i)
	}
	if (len(shown) == 0 || parted(f, shown, o) || piece && changes(f, shown, o)) && !o.RSOnly { // what is left out changes the stitches: show the whole piece
		shown = shown[:0]
		for i := range f.Rows {
			if o.shows(&f.Rows[i]) {
				shown = append(shown, i)
			}
		}
		c.Through = true
	}
	if len(shown) == 0 {
		return nil, fmt.Errorf("chart: no row is given that could be charted")
	}
	if len(shown) > maxRows {
		return nil, fmt.Errorf("chart: %d rows are too many for one chart; at most %d", len(shown), maxRows)
	}
	c.Stitches = f.Rows[shown[0]].Before
	at := map[int32]int{} // row of the fabric -> row of the chart
	columns := map[int32]bool{}
	for k, i := range shown {
		at[int32(i)] = k
		r := &f.Rows[i]
		for j := range r.Works {
			for _, x := range r.Works[j].Columns {
				columns[x] = true
			}
			if r.Works[j].Kind == fabric.Held {
				for _, id := range r.Works[j].In {
					columns[f.Loops[id].Column] = true
				}
			}
		}
		for _, list := range [][]int32{r.RestAt, r.DropAt} {
			for _, x := range list {
				columns[x] = true
			}
		}
	}
	if len(columns)*len(shown) > maxCells {
		return nil, fmt.Errorf("chart: %d stitches by %d rows are too large for one chart; at most %d cells", len(columns), len(shown), maxCells)
	}
	if len(columns) > maxColumns {
		return nil, fmt.Errorf("chart: %d stitches are too wide for one chart; at most %d", len(columns), maxColumns)
	}
	number := make([]int, f.Columns)
	for x := 0; x < f.Columns; x++ {
		number[x] = c.Columns
		if columns[int32(x)] {
			c.Columns++
		}
	}
	used := map[uint8]bool{}
	l := layer{ms: ms, f: f, c: c, number: number, at: at}
	for k, i := range shown {
		row := l.row(i)
		if c.Through {
			row.Number = through(f, i)
		}
		if k > 0 && shown[k-1] < i-1 {
			row.Gap = !o.RSOnly || i-shown[k-1] > 2
		}
		c.Rows = append(c.Rows, row)
		for j := range f.Rows[i].Works {
			w := &f.Rows[i].Works[j]
			used[shownYarn(f, w)] = true
		}
	}
	l.yarns(used)
	return c, nil
}

// parted says that rows left out between those shown change what is on the
// needles.
func parted(f *fabric.Fabric, shown []int, o Options) bool {
	for k := 1; k < len(shown); k++ {
		if i := shown[k]; i > shown[k-1]+1 && f.Rows[i].Before != f.Rows[shown[k-1]].After {
			return true
		}
	}
	return o.To == 0 && len(shown) > 0 && f.Rows[shown[0]].Before != f.CastOn
}

// shows says that a row stands on the lines asked for.
func (o Options) shows(r *fabric.Row) bool {
	return o.To == 0 || r.Line >= o.From && r.Line <= o.To
}

// changes says that rows that are not shown take or leave other numbers of stitches.
func changes(f *fabric.Fabric, shown []int, o Options) bool {
	k := 0
	for i := range f.Rows {
		if k < len(shown) && shown[k] == i {
			k++
		} else if f.Rows[i].Before != f.Rows[i].After && o.shows(&f.Rows[i]) {
			return true
		}
	}
	return false
}

// through numbers a row through the piece.
func through(f *fabric.Fabric, i int) string {
	n := 0
	for k := 0; k <= i; k++ {
		if f.Rows[k].Turn == 0 {
			n++
		}
	}
	s := fmt.Sprint(n)
	if t := f.Rows[i].Turn; t > 0 {
		s += string(rune('a' + min(t, 25)))
	}
	return s
}

type layer struct {
	ms     *notation.Manuscript
	f      *fabric.Fabric
	c      *Chart
	number []int
	at     map[int32]int
}

// shownYarn is the yarn that shows in a cell: a slipped stitch keeps its own.
func shownYarn(f *fabric.Fabric, w *fabric.Work) uint8 {
	if len(w.Out) > 0 {
		return f.Loops[w.Out[0]].Yarn
	}
	return w.Yarn
}

// row makes the cells of one row.
func (l *layer) row(i int) Row {
	r := &l.f.Rows[i]
	row := Row{WS: r.WS, Round: r.Round, Left: r.WS && !r.Round, Count: r.After, Yarn: -1, Number: label(r), Turn: r.Turn, of: i, untold: r.Untold}
	if len(r.Yarns) == 1 {
		row.Yarn = int(r.Yarns[0])
	}
	for k := range r.Works {
		w := &r.Works[k]
		for _, cell := range l.cells(i, r, w) {
			cell.Several = len(r.Yarns) > 1
			row.Cells = append(row.Cells, cell)
		}
	}
	for k := range r.Rest {
		row.Cells = append(row.Cells, Cell{Kind: Unworked, Column: l.number[r.RestAt[k]], Span: 1, Makes: 1, Yarn: int(l.f.Loops[r.Rest[k]].Yarn)})
	}
	for _, x := range r.DropAt {
		taken := slices.ContainsFunc(row.Cells, func(c Cell) bool { return c.Column <= l.number[x] && l.number[x] < c.Column+c.Span })
		if !taken {
			row.Cells = append(row.Cells, Cell{Column: l.number[x], Span: 1, Symbol: "drop", Key: dropAll, Yarn: -1})
		}
	}
	slices.SortFunc(row.Cells, func(a, b Cell) int { return a.Column - b.Column })
	// place holders between the first stitch and the last
	var out []Cell
	for k, cell := range row.Cells {
		if k > 0 {
			last := &out[len(out)-1]
			for x := last.Column + last.Span; x < cell.Column; x++ {
				out = append(out, Cell{Kind: NoStitch, Column: x, Span: 1, Yarn: -1})
			}
		}
		out = append(out, cell)
	}
	row.Cells = out
	return row
}

// label is the number of a row, or its words.
func label(r *fabric.Row) string {
	s := r.Name
	if r.Number > 0 {
		s = fmt.Sprint(r.Number)
	}
	if r.Turn > 0 {
		s += string(rune('a' + min(r.Turn, 25)))
	}
	if w := strings.Fields(s); len(w) > 3 {
		s = strings.Join(w[:3], " ")
	}
	return s
}

// cells makes the cells of one working: mostly one.
func (l *layer) cells(i int, r *fabric.Row, w *fabric.Work) []Cell {
	if w.Kind == fabric.Held {
		var out []Cell
		for _, id := range w.In {
			out = append(out, Cell{Symbol: "hold", Column: l.number[l.f.Loops[id].Column], Span: 1, Takes: 1, Yarn: int(l.f.Loops[id].Yarn)})
		}
		return out
	}
	if len(w.Columns) == 0 {
		return nil
	}
	lo, hi := l.number[w.Columns[0]], l.number[w.Columns[0]]
	for _, x := range w.Columns[1:] {
		lo, hi = min(lo, l.number[x]), max(hi, l.number[x])
	}
	s := r.Seen(w)
	cell := Cell{Column: lo, Span: hi - lo + 1, Takes: l.takes(int32(i), w), Makes: len(w.Out), Key: w.Key, Yarn: int(shownYarn(l.f, w))}
	purl := ""
	if s.Purl {
		purl = "-purl"
	}
	switch s.Kind {
	case fabric.Plain:
		cell.Symbol = "knit"
		if s.Purl {
			cell.Symbol = "purl"
		}
		switch {
		case s.Twist:
			cell.Symbol += "-tbl"
		case s.N > 1:
			cell.Symbol, cell.Number = cell.Symbol+"-wrap", s.N
		}
	case fabric.YarnOver:
		cell.Symbol = "yo"
	case fabric.Make:
		cell.Symbol = "m1"
		if s.Lean == 'l' || s.Lean == 'r' {
			cell.Symbol += string(s.Lean)
		}
		cell.Symbol += purl
	case fabric.Lift:
		cell.Symbol = "lift-" + string(s.Lean)
	case fabric.Inc:
		cell.Symbol, cell.Number = "inc"+purl, s.Out
		if s.In > 1 {
			cell.Symbol, cell.Number = "cluster", s.In
		}
	case fabric.Dec:
		switch {
		case s.Out > 1:
			cell.Symbol, cell.Number = "cluster", s.In
		case s.In == 2 && s.Lean != 'c', s.In == 3:
			cell.Symbol = fmt.Sprintf("dec-%c-%d%s", s.Lean, s.In, purl)
		default:
			cell.Symbol, cell.Number = "dec-n"+purl, s.In
		}
	case fabric.Slip:
		cell.Symbol = "slip-back"
		if s.Front {
			cell.Symbol = "slip-front"
		}
		if len(w.Out) > 1 {
			var out []Cell
			for k, id := range w.Out {
				one := cell
				one.Column, one.Span, one.Takes, one.Makes, one.Yarn = l.number[w.Columns[k]], 1, 1, 1, int(l.f.Loops[id].Yarn)
				out = append(out, one)
			}
			return out
		}
	case fabric.Below:
		cell.Symbol, cell.Number, cell.Reach = "below"+purl, s.N, l.reach(i, w)
	case fabric.Cross:
		cell.Symbol, cell.Strands = "cross", l.strands(r, w)
	case fabric.Bobble:
		cell.Symbol, cell.Name = "bobble", l.own(w.Key)
	case fabric.Cluster:
		cell.Symbol, cell.Number = "cluster", s.In
	case fabric.Own:
		cell.Symbol, cell.Name = "own", l.own(w.Key)
	case fabric.BindOffCell:
		cell.Symbol = "bo"
	case fabric.CastOn:
		cell.Symbol = "co"
	case fabric.Drop:
		cell.Symbol = "drop"
	default:
		cell.Symbol = "untold"
	}
	return []Cell{cell}
}

// own is the name of a designer's stitch as she wrote it.
func (l *layer) own(key string) string {
	if s := l.ms.Own[key]; s != nil {
		return s.Name
	}
	return ""
}

// reach is how many rows of the chart lie between a stitch worked below and the
// row whose loop it catches; those that fall outside the chart do not count.
func (l *layer) reach(i int, w *fabric.Work) int {
	if len(w.Out) == 0 {
		return 0
	}
	c := l.f.CatchOf(w.Out[0])
	if c == nil {
		return 0
	}
	here := l.at[int32(i)]
	caught := int32(-1)
	if c.Caught != fabric.None {
		caught = l.f.Loops[c.Caught].Row
	}
	k := 0
	for r := int32(i) - 1; r > caught && r >= 0; r-- {
		if at, ok := l.at[r]; ok && at == here-k-1 {
			k++
		}
	}
	return k
}

// strands tells how the loops of a crossing pass, seen from the right side.
func (l *layer) strands(r *fabric.Row, w *fabric.Work) []Strand {
	n := len(w.Out)
	var out []Strand
	for k := 0; k < n; k++ {
		id := w.Out[k]
		from := k
		if ps := l.f.Parents(id); len(ps) > 0 {
			if j := slices.Index(w.In, ps[len(ps)-1]); j >= 0 {
				from = j
			}
		}
		to := k
		if r.WS {
			from, to = len(w.In)-1-from, n-1-to
		}
		loop := &l.f.Loops[id]
		s := Strand{From: from, To: to, N: 1, Place: loop.Cross, Purl: loop.Face == fabric.Purl}
		if k := len(out); k > 0 {
			last := &out[k-1]
			if last.Place == s.Place && last.Purl == s.Purl {
				switch {
				case s.From == last.From+last.N && s.To == last.To+last.N:
					last.N++
					continue
				case s.From == last.From-1 && s.To == last.To-1:
					last.From, last.To = s.From, s.To
					last.N++
					continue
				}
			}
		}
		out = append(out, s)
	}
	return out
}

// yarns names the yarns that show and gives the cells their letters.
func (l *layer) yarns(used map[uint8]bool) {
	index := make([]int, len(l.f.Yarns))
	short := true
	for i, y := range l.f.Yarns {
		index[i] = -1
		if used[uint8(i)] {
			short = short && len([]rune(y)) <= 3 && y != ""
		}
	}
	if len(used) > 1 {
		for i, y := range l.f.Yarns {
			if !used[uint8(i)] {
				continue
			}
			index[i] = len(l.c.Yarns)
			letter := string(rune('A' + len(l.c.Yarns)))
			if short {
				letter = y
			}
			if y == "" {
				y = unnamedYarn
			}
			l.c.Yarns = append(l.c.Yarns, Yarn{Letter: letter, Name: y})
		}
	}
	to := func(i int) int {
		if i < 0 {
			return -1
		}
		return index[i]
	}
	for i := range l.c.Rows {
		r := &l.c.Rows[i]
		r.Yarn = to(r.Yarn)
		for k := range r.Cells {
			r.Cells[k].Yarn = to(r.Cells[k].Yarn)
		}
	}
}

// unnamedYarn stands for a yarn that the rows never name.
const unnamedYarn = "the first yarn"

// takes counts the loops of earlier rows that a working takes.
func (l *layer) takes(row int32, w *fabric.Work) int {
	n := 0
	for _, id := range w.In {
		if l.f.Loops[id].Row != row {
			n++
		}
	}
	return n
}
