package chart

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"rowproof/domain/fabric"
	"rowproof/domain/finding"
	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

// The forms of a stitch pattern: the same fabric worked otherwise. A chart shows
// the right side, so that a form is a matter of the chart: worked in the round
// every row is seen as it is worked; mirrored, the cells change places and the
// leans swap. The rows are then written from the chart as always.

// Form is a way to work a stitch pattern.
type Form string

// The forms that a stitch pattern is asked for.
const (
	AsFlat   Form = "flat"
	AsRound  Form = "round"
	Mirrored Form = "mirrored" // and worked as before, flat or in the round
)

// Written is a stitch pattern in another form.
type Written struct {
	Lines []string // multiple or cast-on, the rows, and which of them repeat
	Text  string   // a manuscript of its own with these lines, and the stitches and yarns they name
	Notes []string // what the designer should know
}

// InForm writes a part of a worked manuscript in a form; the rows were worked again
// and come out. Where it is worked so already, ok is false and nothing is written.
// The error says why it cannot be written.
func InForm(ms *notation.Manuscript, res *needle.Result, part int, form Form) (out Written, ok bool, err error) {
	c, err := Make(ms, res, part, Options{})
	if err != nil {
		return out, false, err
	}
	period := c.period(ms, res, part)
	if len(c.Rows) > 0 && c.Rows[0].of > 0 {
		out.Notes = append(out.Notes, "Rows without a number before the first are left out.")
	}
	switch {
	case form == AsFlat && !c.Round || form == AsRound && c.Round:
		return Written{}, false, nil
	case c.Through:
		return out, false, fmt.Errorf("chart: its rows are shaped over a whole piece")
	case form == Mirrored:
		c, err = c.Mirrored()
	default:
		if period%2 == 1 { // the sides change places in the next pass
			if c, err = twice(ms, c, period); err != nil {
				return out, false, err
			}
			period *= 2
			out.Notes = append(out.Notes, "The rows are written twice over: after an odd number of them the sides change places.")
		}
		c, err = c.turned(form == AsRound, len(c.Rows)-period)
		if err == nil && form == AsFlat {
			out.Notes = append(out.Notes, "There are no stitches at the edges; add some for a seam.")
		}
	}
	if err != nil {
		return out, false, err
	}
	if err := out.write(ms, c, period); err != nil {
		return out, false, err
	}
	again := needle.Work(notation.Read(out.Text))
	for _, f := range again.Findings.Findings {
		if f.Severity() == finding.Error {
			return out, false, fmt.Errorf("chart: written so, row %s does not come out: %s", f.Row, f.Message)
		}
	}
	return out, true, nil
}

// period is how many of the last rows are repeated upwards. A chart shows two passes
// where an odd number of rows changes the sides.
func (c *Chart) period(ms *notation.Manuscript, res *needle.Result, part int) int {
	all := len(c.Rows) - c.setUp()
	once, err := fabric.Build(ms, res, part, 0, c.Stitches, 1)
	if err != nil {
		return all
	}
	again, err := fabric.Build(ms, res, part, 0, c.Stitches, 2)
	if err != nil {
		return all
	}
	n := len(again.Rows) - len(once.Rows) // "Rep Rows 2 and 3"
	if n <= 0 || n > all {
		return all
	}
	for k, r := range again.Rows[len(once.Rows):] {
		if last := c.Rows[len(c.Rows)-n+k].of; last >= len(again.Rows) || again.Rows[last].Entry != r.Entry {
			return all // other rows than the last ones
		}
	}
	switch {
	case n%2 == 1 && 2*n <= all:
		return 2 * n
	}
	return n
}

// crossings are written in capitals: 3/3 RC.
var crossings = regexp.MustCompile(`\b\d+/\d+(/\d+)? [lr]p?c\b`)

// write writes the rows of a chart, of which the last period ones repeat.
func (w *Written) write(ms *notation.Manuscript, c *Chart, period int) error {
	c.Title = "" // it may hold the multiple that was
	all, err := c.Manuscript(ms)
	if err != nil {
		return err
	}
	if period%2 == 1 && period == len(c.Rows) && !c.Round && !c.Rows[0].WS { // every row is worked on either side in its turn
		for _, it := range all.Items {
			if r, ok := it.(*notation.Row); ok {
				r.Head.Side = ""
			}
		}
	}
	kept := *all
	kept.Items = nil
	for _, it := range all.Items {
		switch it.(type) {
		case *notation.Multiple, *notation.Begin, *notation.Row:
			kept.Items = append(kept.Items, it)
		}
	}
	for _, l := range strings.Split(notation.Write(&kept), "\n") {
		if l = strings.TrimSpace(l); l != "" && !strings.HasPrefix(l, "Sizes:") {
			w.Lines = append(w.Lines, crossings.ReplaceAllStringFunc(l, strings.ToUpper))
		}
	}
	w.Text = notation.Write(all)
	if heads := c.heads(); period < len(c.Rows) {
		from, to := heads[len(c.Rows)-period], heads[len(c.Rows)-1]
		if len(from.Numbers) == 1 && len(to.Numbers) == 1 {
			unit := "Rows"
			if c.Round {
				unit = "Rnds"
			}
			rep := fmt.Sprintf("Rep %s %d–%d.", unit, from.Numbers[0], to.Numbers[0])
			if period == 2 {
				rep = fmt.Sprintf("Rep %s %d and %d.", unit, from.Numbers[0], to.Numbers[0])
			}
			w.Lines = append(w.Lines, rep)
			w.Text = strings.TrimRight(w.Text, "\n") + "\n" + rep + "\n"
		}
	}
	return nil
}

// twice charts two passes of the rows that repeat, the last period ones, as one:
// after an odd number of rows the right side lies at the back.
func twice(ms *notation.Manuscript, c *Chart, period int) (*Chart, error) {
	d := *c
	d.Title = ""
	out, err := d.Manuscript(ms)
	if err != nil {
		return nil, err
	}
	var rows []*notation.Row
	most := 0
	for _, it := range out.Items {
		if r, ok := it.(*notation.Row); ok {
			rows = append(rows, r)
			if len(r.Head.Numbers) == 1 {
				most = max(most, r.Head.Numbers[0])
			}
		}
	}
	if len(rows) != len(c.Rows) {
		return nil, fmt.Errorf("chart: an odd number of rows, some of which turn before their end")
	}
	if most == 0 { // "Every row"
		rows[0].Head.Numbers, rows[0].Head.Words = []int{1}, unit(c.Round)+" 1"
		most = 1
	}
	for _, r := range rows[len(rows)-period:] {
		again := *r
		most++
		again.Head = notation.Head{Numbers: []int{most}, Round: r.Head.Round, Words: fmt.Sprintf("%s %d", unit(r.Head.Round), most)}
		out.Items = append(out.Items, &again)
	}
	text := notation.Read(notation.Write(out))
	res := needle.Work(text)
	if len(res.Parts) == 0 {
		return nil, fmt.Errorf("chart: its rows are not read again")
	}
	twice, err := Make(text, res, len(res.Parts)-1, Options{})
	if err == nil && len(twice.Rows) != len(c.Rows)+period {
		return nil, fmt.Errorf("chart: an odd number of rows, which cannot be written twice over")
	}
	return twice, err
}

func unit(round bool) string {
	if round {
		return "Rnd"
	}
	return "Row"
}

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
