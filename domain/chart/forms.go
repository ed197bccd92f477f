package chart

import (
	"fmt"
	"regexp"
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
