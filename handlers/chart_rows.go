package handlers

import (
	"errors"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"rowproof/domain/chart"
	"rowproof/domain/notation"
	"rowproof/domain/review"
	"rowproof/domain/studio"
)

// The rows of a drawing as lines of the manuscript. Rows that a drawing did not
// change keep the line they were typed on, word for word.

// sectionLines are the lines of a section of its own: how many stitches, and the rows.
func sectionLines(c *chart.Chart, from *notation.Manuscript) ([]string, error) {
	ms, err := c.Manuscript(from)
	if err != nil {
		return nil, err
	}
	kept := *ms
	kept.Title, kept.Items = "", nil
	for _, it := range ms.Items {
		switch it.(type) {
		case *notation.Multiple, *notation.Begin, *notation.Row:
			kept.Items = append(kept.Items, it)
		}
	}
	var out []string
	for _, l := range strings.Split(notation.Write(&kept), "\n") {
		if l = strings.TrimSpace(l); l != "" && !strings.HasPrefix(l, "Sizes:") {
			out = append(out, l)
		}
	}
	return out, nil
}

// appendSection gives the text with the drawing's rows as a new section at its end.
func appendSection(text, name string, c *chart.Chart) (string, error) {
	ms := notation.Read(text)
	lines, err := sectionLines(c, ms)
	if err != nil {
		return "", err
	}
	text = withYarns(text, c)
	text = strings.TrimRight(text, "\n \t")
	if text != "" {
		text += "\n\n"
	}
	return text + name + "\n" + strings.Join(lines, "\n") + "\n", nil
}

// endsWithHead says that the last head of a text is read as this one.
func endsWithHead(text, name string) bool {
	last := ""
	for _, it := range notation.Read(text).Items {
		if h, ok := it.(*notation.Heading); ok {
			last = strings.TrimSpace(h.Text)
		}
	}
	return last == name
}

// withYarns names the yarns of a drawing that the text does not name yet.
func withYarns(text string, c *chart.Chart) string {
	ms := notation.Read(text)
	var missing []string
	for _, y := range c.Yarns {
		known := func(n string) bool { return strings.EqualFold(n, y.Letter) || strings.EqualFold(n, y.Name) }
		if !slices.ContainsFunc(ms.Yarns, known) {
			missing = append(missing, y.Name)
		}
	}
	if len(missing) == 0 {
		return text
	}
	was := readHeads(ms)
	now := was
	now.Yarn = strings.TrimSpace(was.Yarn + "\n" + strings.Join(missing, ", "))
	return writeHeads(text, was, now)
}

// replaceSection gives the text with the rows of the n-th section changed to
// those of the drawing c.
func replaceSection(res *review.Result, text string, n int, c *chart.Chart) (string, error) {
	ms := res.Manuscript
	sec := chart.Sections(ms, res.Needle)[n]
	was, err := sectionOf(res, n, c.Symbols)
	if err != nil {
		return "", err
	}
	before, err := numbered(was, ms)
	if err != nil { // what stands is not what a chart can tell: write all rows anew
		before = map[string]string{}
	}
	after, err := numbered(c, ms)
	if err != nil {
		return "", err
	}
	lines := append([]string(nil), ms.Source...)
	part := res.Needle.Parts[sec.Part]
	of := map[*notation.Row][]string{} // the chart's numbers of each row
	var items []*notation.Row
	changed := false
	for _, it := range ms.Items {
		r, ok := it.(*notation.Row)
		if !ok || r.Line < sec.From || r.EndLine > sec.To {
			continue
		}
		for _, e := range part.Rows {
			if e.Row == r {
				of[r] = append(of[r], e.Name)
				changed = changed || before[e.Name] != after[e.Name]
			}
		}
		items = append(items, r)
	}
	if len(items) == 0 {
		return "", errors.New("the section has no rows of its own to write over")
	}
	keeps := func(r *notation.Row) bool {
		for _, name := range of[r] {
			if after[name] == "" || before[name] != after[name] {
				return false
			}
		}
		return len(of[r]) > 0 && (r.As == nil || !changed) // "as Row 2" may mean another row now
	}
	byNumber := map[string]*notation.Row{}
	for _, r := range items {
		for _, name := range of[r] {
			byNumber[name] = r
		}
	}
	// in the order of the drawing: what is kept as it was, the rest as written anew
	var block []string
	done := map[*notation.Row]bool{}
	for i := range c.Rows {
		name := c.Rows[i].Number
		r := byNumber[name]
		switch {
		case c.Rows[i].Turn > 0 || r != nil && done[r] && keeps(r):
		case r != nil && keeps(r):
			done[r] = true
			block = append(block, lines[r.Line-1:r.EndLine]...)
		case after[name] != "":
			block = append(block, after[name])
			delete(after, name)
		}
	}
	out := replaceLines(ms, lines, items, block)
	text = strings.Join(out, "\n")
	return withYarns(withMultiple(text, part.Stated, len(out)-len(lines), items[0].Line, c), c), nil
}

// numbered are the rows of a chart in words, by the chart's number.
func numbered(c *chart.Chart, from *notation.Manuscript) (map[string]string, error) {
	rows, err := c.Text(from)
	if err != nil {
		return nil, err
	}
	out := map[string]string{}
	k := 0
	for i := range c.Rows {
		if c.Rows[i].Turn > 0 || k >= len(rows) {
			continue // part of the row before
		}
		out[c.Rows[i].Number] = rows[k]
		k++
	}
	return out, nil
}

// replaceLines puts block in the place of the rows' lines. Other lines between
// them, and words that stood on theirs, come behind the rows.
func replaceLines(ms *notation.Manuscript, lines []string, rows []*notation.Row, block []string) []string {
	gone := map[int]bool{}
	for _, r := range rows {
		for n := r.Line; n <= r.EndLine; n++ {
			gone[n] = true
		}
	}
	first, last := rows[0].Line, rows[len(rows)-1].EndLine
	var words []string
	for _, it := range ms.Items {
		at := it.Place()
		switch it.(type) {
		case *notation.Row, *notation.Blank:
			continue
		}
		if at.Line > 0 && gone[at.Line] {
			if s := strings.TrimSpace(notation.TextAt(ms.Source, at)); s != "" && !slices.Contains(block, ms.Source[at.Line-1]) {
				words = append(words, s)
			}
		}
	}
	out := append([]string(nil), lines[:first-1]...)
	out = append(out, block...)
	out = append(out, words...)
	for n := first; n <= last; n++ {
		if !gone[n] && strings.TrimSpace(lines[n-1]) != "" {
			out = append(out, lines[n-1])
		}
	}
	return append(out, lines[last:]...)
}

// withMultiple brings the stated multiple up to the drawing, where it changed;
// below line rows the text has grown by grown lines.
func withMultiple(text string, m *notation.Multiple, grown, rows int, c *chart.Chart) string {
	if m == nil || m.Line < 1 || c.Box == nil {
		return text
	}
	ms, err := c.Manuscript(nil)
	if err != nil {
		return text
	}
	var now *notation.Multiple
	for _, it := range ms.Items {
		if x, ok := it.(*notation.Multiple); ok {
			now = x
		}
	}
	plus := m.Plus + 2*m.Edge
	if now == nil || now.Of == m.Of && (plus-now.Plus)%max(m.Of, 1) == 0 {
		return text
	}
	lines := strings.Split(text, "\n")
	at := m.Line - 1
	if m.Line > rows {
		at += grown
	}
	if at >= len(lines) || m.EndLine != m.Line {
		return text
	}
	r := []rune(lines[at])
	if m.Col < 1 || m.EndCol-1 > len(r) {
		return text
	}
	words := "Multiple of " + strconv.Itoa(now.Of) + " sts"
	if now.Plus > 0 {
		words += " + " + strconv.Itoa(now.Plus)
	}
	if end := string(r[m.Col-1 : m.EndCol-1]); strings.HasSuffix(end, ".") {
		words += "."
	}
	lines[at] = string(r[:m.Col-1]) + words + string(r[m.EndCol-1:])
	return strings.Join(lines, "\n")
}

// saveDraw writes the rows of a drawing into the manuscript.
func (s *server) saveDraw(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	res, err := s.prove(r.Context(), p.Manuscript)
	if err != nil {
		return err
	}
	d := drawn{section: -1, name: oneLine(manuscriptOf(r, "name"))}
	if d.name == "" {
		d.name = oneLine(manuscriptOf(r, "was"))
	}
	if d.name == "" {
		d.name = newSectionName(res.Manuscript)
	}
	again := func(status int, problem string) error {
		d.status, d.problem = status, problem
		return s.renderDraw(w, r, p, res, d)
	}
	if d.chart, err = chart.Decode([]byte(r.PostForm.Get("chart"))); err != nil {
		var at *chart.RowError
		if r.PostForm.Get("chart") == "" || !errors.As(err, &at) {
			return s.done(w, r, patternURL(p)+"/chart", "The drawing could not be read, and nothing was changed.")
		}
		return &studio.InvalidError{Field: "drawing", Problem: problemOf(err).Text}
	}
	if v := r.PostForm.Get("section"); v != "" {
		n, err := strconv.Atoi(v)
		if sections := chart.Sections(res.Manuscript, res.Needle); err == nil && n >= 0 && n < len(sections) && sectionName(res.Manuscript, sections[n]) == d.name {
			d.section = n
		}
	}
	if base := baseVersion(r); base != p.Version {
		return again(http.StatusConflict, "The pattern was saved since this page was opened. Your drawing is still here; look through it, then use its rows again.")
	}
	var text string
	switch {
	case d.section < 0 || locked(res, d.section, d.chart) != "":
		text, err = appendSection(p.Manuscript, d.name, d.chart)
		if err == nil && !endsWithHead(text, d.name) {
			return again(http.StatusUnprocessableEntity, "“"+d.name+"” would not be read as the head of a section: a few words, such as Wave lace, would.")
		}
	default:
		text, err = replaceSection(res, p.Manuscript, d.section, d.chart)
	}
	if err != nil {
		return again(http.StatusUnprocessableEntity, problemOf(err).Text)
	}
	_, err = s.keep(r.Context(), p, text, p.Version, studio.Form)
	var invalid *studio.InvalidError
	if errors.As(err, &invalid) {
		return again(http.StatusUnprocessableEntity, sentence(invalid.Field+" "+invalid.Problem))
	}
	if err != nil {
		return s.orConflict(w, r, p, err)
	}
	return s.done(w, r, patternURL(p)+"/chart", "The rows are written into the manuscript.")
}
