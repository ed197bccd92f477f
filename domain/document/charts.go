package document

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"rowproof/domain/chart"
	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

// Chart is the symbol chart of a section, with its key. Its rows are those of
// the section, so that both say the same.
type Chart struct {
	ID    string // unique in the document
	Title string // "Chart of Waves"
	Size  string // the size it is drawn for, where sizes differ; else ""
	Chart *chart.Chart
	// Rows are the section's rows in words where the edition prints the chart in
	// their place: the text for those who cannot see it. Empty where the rows
	// stand above the chart.
	Rows []*Instruction
}

func (*Chart) block() {}

// Alt describes the chart for those who cannot see it: what it is, how it is
// read, and its rows, or that they stand above.
func (b *Chart) Alt(w Words) string {
	var out strings.Builder
	out.WriteString(b.Title + ". " + b.Chart.Describe())
	if len(b.Rows) == 0 {
		out.WriteString(" " + w.ChartRowsAbove)
		return out.String()
	}
	for _, r := range b.Rows {
		out.WriteString(" " + r.Head + ": " + r.Text.String())
	}
	return out.String()
}

// What a full edition charts: stitch patterns, and pieces that are no larger
// than this. In an edition of charts it is every section.
const (
	smallStitches = 60
	smallRows     = 80
)

// Bounds on the work one document may ask for: sections charted, and cells in
// all of them.
const (
	mostCharts     = 40
	mostChartCells = 60_000
)

// charts makes the charts of a document before it is walked.
type charts struct {
	only    bool             // charts in the place of rows
	after   map[int][]*Chart // by the item that a chart follows
	instead map[int]*Chart   // by the rows that a chart stands for
	why     map[int][]string // by the item before which it is said why there is no chart
}

// errNothingToSee is a chart that would show one symbol only.
var errNothingToSee = errors.New("every stitch of it is worked alike")

// chartSections draws what is to be charted of the manuscript.
func (b *builder) chartSections(only bool) {
	b.charts = charts{only: only, after: map[int][]*Chart{}, instead: map[int]*Chart{}, why: map[int][]string{}}
	if b.rep == nil {
		return
	}
	work := b.worked
	if work == nil {
		work = needle.Work(b.ms)
	}
	cells := 0
	for n, s := range chart.Sections(b.ms, work) {
		if !only && (n >= mostCharts || !b.small(work.Parts[s.Part])) {
			continue
		}
		items := b.itemsOf(s)
		if len(items) == 0 {
			continue
		}
		var c *chart.Chart
		err := fmt.Errorf("this pattern has more sections than one print can chart")
		if n < mostCharts && cells < mostChartCells {
			c, err = b.chartOf(work, s)
		}
		if c != nil {
			cells += c.Columns * len(c.Rows)
		}
		name := fine(s.Name)
		if name == "" {
			name = strings.TrimRight(fine(b.ms.Title), " .:")
		}
		if name == "" {
			name = b.w.PatternWord
		}
		if err == nil && only {
			err = b.complete(work.Parts[s.Part], s, c)
		}
		if err != nil && !(c != nil && only && !errors.Is(err, errNothingToSee)) {
			if only {
				b.charts.why[items[0]] = append(b.charts.why[items[0]], fmt.Sprintf(b.w.NoChart, capital(name), WhyNoChart(err)))
			}
			continue
		}
		block := &Chart{Title: fmt.Sprintf(b.w.ChartOf, name), Chart: c}
		if only && err == nil {
			for _, i := range items {
				if _, row := b.ms.Items[i].(*notation.Row); row {
					b.charts.instead[i] = block
				}
			}
			continue
		}
		if only { // shown, and its rows beside it
			b.charts.why[items[0]] = append(b.charts.why[items[0]], fmt.Sprintf(b.w.ChartAndRows, name, err))
		}
		last := items[len(items)-1]
		b.charts.after[last] = append(b.charts.after[last], block)
	}
}

// small says that a full edition charts the part: a stitch pattern with a
// multiple, or a piece that is small, and alike in all sizes.
func (b *builder) small(p *needle.Part) bool {
	if p.Stated != nil && p.Stated.Of > 0 && p.CastOn == nil {
		return true
	}
	sizes := make([]int, 0, len(p.CastOn))
	for i := range p.CastOn {
		if b.size < 0 || i == b.size {
			sizes = append(sizes, i)
		}
	}
	if len(sizes) == 0 {
		return p.Stated != nil && p.Stated.Of > 0
	}
	for _, it := range b.ms.Items {
		if g, ok := it.(*notation.Begin); ok && g.Line == p.Line && g.How == "return" {
			return false // the rest of a larger piece, such as one side of a neck
		}
	}
	for _, i := range sizes {
		if p.CastOn[i] > smallStitches || p.CastOn[i] != p.CastOn[sizes[0]] {
			return false
		}
		rows := 0
		for _, e := range p.Rows {
			if i < len(e.Times) {
				rows += e.Times[i]
			}
			if i < len(e.First) && i < len(e.Last) && max(e.First[i].N, e.Last[i].N) > smallStitches {
				return false
			}
		}
		if rows > smallRows {
			return false
		}
	}
	return true
}

// itemsOf are the items of a section that are worked, in order.
func (b *builder) itemsOf(s chart.Section) []int {
	var out []int
	for i, it := range b.ms.Items {
		if at := it.Place(); at.Line < s.From || at.Line > s.To {
			// what repeats or closes the rows goes with them
			switch it.(type) {
			case *notation.RepRows, *notation.BindOffAll, *notation.Straight, *notation.Shape:
				if len(out) > 0 && out[len(out)-1] == lastWorked(b.ms.Items, i) {
					out = append(out, i)
				}
			}
			continue
		}
		switch it.(type) {
		case *notation.Row, *notation.RepRows, *notation.Shape, *notation.Straight, *notation.BindOffAll:
			if !b.skips(it) {
				out = append(out, i)
			}
		}
	}
	return out
}

// lastWorked is the item before i, blank lines apart; -1 where a head or words
// stand between.
func lastWorked(items []notation.Item, i int) int {
	for k := i - 1; k >= 0; k-- {
		if _, blank := items[k].(*notation.Blank); !blank {
			return k
		}
	}
	return -1
}

// chartOf makes the chart of a section, for the size that is printed.
func (b *builder) chartOf(work *needle.Result, s chart.Section) (*chart.Chart, error) {
	c, err := chart.Make(b.ms, work, s.Part, chart.Options{Size: max(b.size, 0), From: s.From, To: s.To, Colours: b.colours})
	if err != nil {
		return nil, err
	}
	if p := work.Parts[s.Part]; b.size < 0 && (c.Through || c.Box == nil) && slices.ContainsFunc(p.CastOn, func(n int) bool { return n != p.CastOn[0] }) {
		return nil, errors.New("its stitches differ from size to size; a print of one size shows it")
	}
	if len(c.Key) < 2 && len(c.Yarns) == 0 {
		return nil, errNothingToSee
	}
	return c, nil
}

// complete says why the rows of a section cannot be left out beside its chart;
// nil when they can.
func (b *builder) complete(p *needle.Part, s chart.Section, c *chart.Chart) error {
	if c.Through {
		return errors.New("the chart numbers its rows through the piece")
	}
	shown := map[string]bool{}
	for i := range c.Rows {
		shown[c.Rows[i].Number] = true
		for k := range c.Rows[i].Cells {
			if c.Rows[i].Cells[k].Symbol == "untold" {
				return fmt.Errorf("row %s is told by what lies below", c.Rows[i].Number)
			}
		}
	}
	for _, e := range p.Rows {
		if e.Line >= s.From && e.Line <= s.To && !shown[e.Name] {
			return fmt.Errorf("row %s is not in the chart", e.Name)
		}
	}
	for _, it := range b.ms.Items {
		r, ok := it.(*notation.Row)
		if !ok || r.Line < s.From || r.Line > s.To {
			continue
		}
		name := "“" + fine(strings.TrimSpace(r.Head.Words)) + "”"
		switch {
		case r.Prose != "":
			return fmt.Errorf("%s says more than a chart can show", name)
		case len(r.Only) > 0 || len(r.Head.Only) > 0:
			return fmt.Errorf("%s is not for all sizes", name)
		}
		var why error
		notation.Each(r.Body, func(o notation.Op) {
			switch o.(type) {
			case *notation.Mark:
				why = fmt.Errorf("%s has markers, which a chart does not show", name)
			case *notation.Remark, *notation.Unknown, *notation.PattOver, *notation.Join, *notation.Slide, *notation.Leave, *notation.Hold, *notation.Unhold, *notation.Return:
				why = fmt.Errorf("%s says more than a chart can show", name)
			}
		})
		if why != nil {
			return why
		}
	}
	return nil
}

// placeChart puts out what charts have to do with item i of the manuscript: put
// is the item's own printing.
func (b *builder) placeChart(i int, put func()) {
	if len(b.charts.why[i]) > 0 {
		b.begin()
	}
	for _, w := range b.charts.why[i] {
		b.add(&Paragraph{Text: Runs{{Text: w, Emph: Stress}}})
	}
	block := b.charts.instead[i]
	if block == nil {
		put()
	} else {
		// the row itself goes into the chart's words
		n, m := len(b.body), len(b.front)
		put()
		list := &b.body
		if len(b.body) == n {
			list, n = &b.front, m
		}
		taken := append([]Block(nil), (*list)[n:]...)
		*list = (*list)[:n]
		if block.ID == "" {
			b.addChart(block)
		}
		for _, t := range taken {
			if ins, ok := t.(*Instruction); ok {
				block.Rows = append(block.Rows, ins)
			} else {
				b.add(t)
			}
		}
	}
	for _, c := range b.charts.after[i] {
		b.addChart(c)
	}
}

func (b *builder) addChart(c *Chart) {
	if b.size >= 0 {
		c.Size = b.ms.Sizes[b.size]
	}
	c.ID = b.id(c.Title)
	b.add(c)
}
