package handlers

import (
	"context"
	"encoding/json"
	"fmt"
	"sort"
	"strconv"
	"strings"

	"rowproof/domain/document"
	"rowproof/domain/finding"
	"rowproof/domain/notation"
	"rowproof/domain/review"
	"rowproof/domain/studio"
	"rowproof/web"
)

// mostNotes is how many findings stand in the margin; the rest is told as a number.
const mostNotes = 60

// working runs heavy work, as much at once as there are places for.
func (s *server) working(ctx context.Context, work func() error) error {
	select {
	case s.proving <- struct{}{}:
		defer func() { <-s.proving }()
		return work()
	case <-ctx.Done():
		return fmt.Errorf("waiting for a place: %w", errBusy)
	}
}

// prove checks a text.
func (s *server) prove(ctx context.Context, text string) (res *review.Result, err error) {
	err = s.working(ctx, func() error {
		res = review.Check(text)
		return nil
	})
	return res, err
}

// projector is prove for the store, which brings back texts by itself.
func (s *server) projector(ctx context.Context) studio.Projector {
	return func(text string) (studio.Projection, error) {
		res, err := s.prove(ctx, text)
		if err != nil {
			return studio.Projection{}, err
		}
		return Project(res), nil
	}
}

// marginLine is what stands beside a line of the text: the side as RS or WS, and
// the stitches after the row.
type marginLine struct {
	Side   string `json:"side,omitempty"`
	Counts string `json:"counts,omitempty"`
	Title  string `json:"title,omitempty"` // the counts with the names of the sizes
}

// marginData is what editor.js draws in the margin and under the text. Lines and
// columns count from 1, columns in characters.
type marginData struct {
	Lines map[string]marginLine `json:"lines"`
	Marks []mark                `json:"marks"`
	Width int                   `json:"width"` // letters of the longest counts
}

type mark struct {
	Place [4]int `json:"place"`
	Level string `json:"level"`
}

// proofView makes a check ready for the page.
func proofView(res *review.Result) web.Proof {
	p := web.Proof{Sizes: sizeHeads(res.Report.Sizes)}
	errs, warns, notes := 0, 0, 0
	data := marginData{Lines: map[string]marginLine{}, Marks: []mark{}}
	for i, f := range res.Findings {
		level := string(f.Severity())
		switch f.Severity() {
		case finding.Error:
			errs++
		case finding.Warning:
			warns++
		default:
			notes++
		}
		if i < mostNotes {
			p.Notes = append(p.Notes, marginNote(res, i, f, level))
			data.Marks = append(data.Marks, mark{place(f.Span), level})
		}
	}
	if n := len(res.Findings) - mostNotes; n > 0 {
		p.More = fmt.Sprintf("And %d more further down; they show as these are mended.", n)
	}
	rows := 0
	for _, part := range res.Report.Parts {
		rows += len(part.Rows)
		p.Parts = append(p.Parts, partProof(part))
		name := part.Name
		if name == "" {
			name = "Pattern"
		}
		if len(res.Report.Parts) == 1 {
			name = ""
		}
		for _, r := range part.Rows {
			figures := rowFigures(r)
			line := data.Lines[strconv.Itoa(r.Line)]
			line.Side, line.Counts = r.Side, figures
			line.Title = namedCounts(res.Report.Sizes, r)
			data.Lines[strconv.Itoa(r.Line)] = line
			data.Width = max(data.Width, len([]rune(figures)))
			p.Rows = append(p.Rows, web.CountRow{Part: name, Row: rowLabel(r.Row, part.Worked == "round"), Side: r.Side, Line: strconv.Itoa(r.Line), Cells: cells(len(p.Sizes), r)})
			p.Sides = p.Sides || r.Side != ""
			name = ""
		}
	}
	p.Columns = strconv.Itoa(len(p.Sizes) + 1)
	if p.Sides {
		p.Columns = strconv.Itoa(len(p.Sizes) + 2)
	}
	p.Level, p.Status = verdict(errs, warns, notes, rows, len(res.Report.Sizes), res.Report.Parts)
	b, err := json.Marshal(data)
	if err != nil { // plain values always marshal
		b = []byte(`{}`)
	}
	p.Data = string(b)
	return p
}

// verdict is the proof in a few words.
func verdict(errs, warns, notes, rows, sizes int, parts []review.Part) (level, text string) {
	var said []string
	add := func(n int, one, many string) {
		if n > 0 {
			said = append(said, plural(n, one, many))
		}
	}
	add(errs, "error", "errors")
	add(warns, "warning", "warnings")
	add(notes, "note", "notes")
	switch {
	case errs > 0:
		return "error", strings.Join(said, ", ")
	case warns > 0:
		return "warning", strings.Join(said, ", ")
	case rows == 0:
		return "quiet", "No rows yet"
	}
	proved := "Every row proved"
	for _, p := range parts {
		if p.Proved == "" {
			proved = "No error found" // not every part could be worked
		}
	}
	if sizes > 1 {
		proved += ", at all " + strconv.Itoa(sizes) + " sizes"
	}
	if len(said) > 0 {
		proved += "; " + strings.Join(said, ", ")
	}
	return "clear", proved
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

func place(s finding.Span) [4]int { return [4]int{s.Line, s.Col, s.EndLine, s.EndCol} }

func marginNote(res *review.Result, i int, f finding.Finding, level string) web.MarginNote {
	n := web.MarginNote{
		ID: "finding-" + strconv.Itoa(i+1), Level: level, Label: strings.ToUpper(level[:1]) + level[1:],
		Where: where(res, f), Line: strconv.Itoa(f.Line), Column: strconv.Itoa(f.Col),
		Message: sentence(f.Message), Code: string(f.Code),
	}
	at, _ := json.Marshal(place(f.Span)) // four numbers always marshal
	n.Place = string(at)
	if q := notation.TextAt(res.Manuscript.Source, f.Span); !strings.Contains(q, "\n") && len(q) <= 60 {
		n.Quote = strings.TrimSpace(q)
	}
	for j, m := range f.Mends {
		n.Mends = append(n.Mends, web.MendButton{Value: mendValue(i, j), Text: m.Text, Edits: editsJSON(m.Edits)})
	}
	return n
}

// where says where a finding stands: "Row 8", with the piece when there are
// several, and the sizes it concerns.
func where(res *review.Result, f finding.Finding) string {
	w := "Line " + strconv.Itoa(f.Line)
	if f.Row != "" {
		w = rowLabel(f.Row, inRound(res, f))
	}
	if f.Part != "" && len(res.Report.Parts) > 1 {
		w = f.Part + ", " + lowerFirst(w)
	}
	if names := sizeNames(res, f); names != "" {
		w += ", " + names
	}
	return w
}

// lowerFirst is how a name of a row reads after the name of its piece.
func lowerFirst(s string) string {
	if strings.HasPrefix(s, "Row ") || strings.HasPrefix(s, "Rnd ") || strings.HasPrefix(s, "Line ") {
		return strings.ToLower(s[:1]) + s[1:]
	}
	return s
}

// sizeNames are the sizes a finding concerns: "all sizes" when its words name one
// for an example, "" when it is all of them or its words name the only one.
func sizeNames(res *review.Result, f finding.Finding) string {
	var names []string
	for _, s := range f.Sizes {
		if s < len(res.Report.Sizes) {
			names = append(names, res.Report.Sizes[s])
		}
	}
	switch {
	case len(res.Report.Sizes) < 2:
		return ""
	case len(names) == 0 && strings.HasPrefix(f.Message, "size "):
		return "all sizes"
	case len(names) == 0, len(names) == 1 && strings.HasPrefix(f.Message, "size "):
		return ""
	case len(names) == 1:
		return "size " + names[0]
	}
	return "sizes " + strings.Join(names, ", ")
}

func mendValue(finding, mend int) string { return fmt.Sprintf("mend-%d-%d", finding, mend) }

func editsJSON(edits []finding.Edit) string {
	out := [][]any{}
	for _, e := range edits {
		out = append(out, []any{e.Line, e.Col, e.EndLine, e.EndCol, e.Text})
	}
	b, err := json.Marshal(out)
	if err != nil { // numbers and text always marshal
		return "[]"
	}
	return string(b)
}

// inRound reports whether a finding stands in a piece worked in the round.
func inRound(res *review.Result, f finding.Finding) bool {
	for _, p := range res.Report.Parts {
		if p.Name == f.Part {
			return p.Worked == "round"
		}
	}
	return false
}

// rowLabel names a row for people: "8" is "Row 8", or "Rnd 8" in the round.
func rowLabel(row string, round bool) string {
	switch {
	case row == "":
		return ""
	case row[0] < '0' || row[0] > '9':
	case round:
		return "Rnd " + row
	default:
		return "Row " + row
	}
	return strings.ToUpper(row[:1]) + row[1:]
}

// sizeHeads names the columns of the table of counts.
func sizeHeads(sizes []string) []string {
	if len(sizes) == 1 && sizes[0] == "" {
		return []string{"Stitches"}
	}
	return sizes
}

// mostFigures is how many letters the counts of two times have room for in the margin.
const mostFigures = 30

// rowFigures are the stitches after a row, "83 (95, 107)" or "6n + 5"; of a row
// worked again and again, after the first and the last time.
func rowFigures(r review.Row) string {
	if r.Stitches != nil {
		return document.Counts{Of: r.Stitches.Of, Plus: r.Stitches.Plus}.Figures()
	}
	first, last := figures(r.Counts), figures(r.LastCounts)
	if last == "" || last == first {
		return first
	}
	if len(first)+len(last) > mostFigures {
		return first + " → …" // the title and the table have the rest
	}
	return first + " → " + last
}

func figures(counts []*int) string {
	known := false
	c := document.Counts{}
	for _, v := range counts {
		if v == nil {
			c.Each = append(c.Each, document.None)
			continue
		}
		known = true
		c.Each = append(c.Each, *v)
	}
	if !known {
		return ""
	}
	return c.Figures()
}

// namedCounts are the counts with the names of the sizes, for a longer look:
// "S: 85 → 79, M: 91 → 83".
func namedCounts(sizes []string, r review.Row) string {
	if r.Stitches != nil || len(r.Counts) < 2 {
		return ""
	}
	var out []string
	for i, v := range r.Counts {
		if v != nil && i < len(sizes) {
			out = append(out, sizes[i]+": "+cell(r, i))
		}
	}
	return strings.Join(out, ", ")
}

// cell is the count of one size, after the first and the last time where they
// differ.
func cell(r review.Row, i int) string {
	if i >= len(r.Counts) || r.Counts[i] == nil {
		return "–"
	}
	s := strconv.Itoa(*r.Counts[i])
	if i < len(r.LastCounts) && r.LastCounts[i] != nil && *r.LastCounts[i] != *r.Counts[i] {
		s += " → " + strconv.Itoa(*r.LastCounts[i])
	}
	return s
}

// cells are a row of the table of counts.
func cells(sizes int, r review.Row) []string {
	out := make([]string, max(sizes, 1))
	for i := range out {
		if r.Stitches != nil {
			out[i] = rowFigures(r)
		} else {
			out[i] = cell(r, i)
		}
	}
	return out
}

// partProof says what is known of a piece.
func partProof(p review.Part) web.PartProof {
	out := web.PartProof{Name: p.Name}
	if out.Name == "" {
		out.Name = "Pattern"
	}
	said := []string{"worked flat"}
	if p.Worked == "round" {
		said[0] = "worked in the round"
	}
	if m := p.NeedsMultiple; m != nil && p.Multiple != nil {
		needs := "needs a multiple of " + strconv.Itoa(m.Of)
		if m.Of == 1 {
			needs = "needs any number of stitches"
		}
		if m.Plus > 0 {
			needs += " + " + strconv.Itoa(m.Plus)
		}
		if m.Min > 1 {
			needs += ", at least " + strconv.Itoa(m.Min) + " times"
		}
		said = append(said, needs)
	}
	if len(p.CastOn) > 0 {
		c := document.Counts{Each: p.CastOn}
		said = append(said, "begins with "+c.Figures())
	}
	if f := figures(p.FinalCounts); f != "" {
		said = append(said, "ends with "+f)
	}
	if c := p.ChangePerRepeat; c != nil && *c != 0 {
		said = append(said, fmt.Sprintf("%+d sts in each repeat", *c))
	}
	switch {
	case p.Proved == "all" && p.Multiple != nil:
		said = append(said, "proved for every multiple")
	case p.Proved == "all":
		said = append(said, "proved")
	case p.Proved != "":
		said = append(said, "proved for "+p.Proved)
	default:
		said = append(said, "not proved")
	}
	out.Text = strings.Join(said, "; ")
	return out
}

// applyEdits changes a text as a mend says. Edits that do not fit the text are
// left out.
func applyEdits(text string, edits []finding.Edit) string {
	lines := strings.Split(text, "\n")
	es := append([]finding.Edit(nil), edits...)
	sort.SliceStable(es, func(i, j int) bool { // from below, so that places above stay right
		if es[i].Line != es[j].Line {
			return es[i].Line > es[j].Line
		}
		return es[i].Col > es[j].Col
	})
	for _, e := range es {
		if e.Line < 1 || e.EndLine < e.Line || e.EndLine > len(lines) {
			continue
		}
		first, last := []rune(lines[e.Line-1]), []rune(lines[e.EndLine-1])
		from, to := min(max(e.Col-1, 0), len(first)), min(max(e.EndCol-1, 0), len(last))
		if e.Line == e.EndLine && to < from {
			continue
		}
		joined := string(first[:from]) + e.Text + string(last[to:])
		lines = splice(lines, e.Line-1, e.EndLine, strings.Split(joined, "\n"))
	}
	return strings.Join(lines, "\n")
}
