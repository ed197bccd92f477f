package handlers

import (
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"strconv"
	"strings"

	"rowproof/domain/chart"
	"rowproof/domain/document"
	"rowproof/domain/notation"
	"rowproof/domain/picture"
	"rowproof/domain/review"
	"rowproof/web"
)

// mostSections is how many charts one page shows, mostCells how large one is at
// the most: what is larger would be no use on a screen.
const (
	mostSections = 30
	mostCells    = 12_000
)

// pageLook is how charts are drawn in the studio: cells high enough for a finger
// on the row's number (WCAG 2.2, 2.5.8: 24 CSS pixels).
var pageLook = chart.Look{Cell: 6.5, NoKey: true}

// setLabels name the symbol sets for people.
var setLabels = map[string]string{"plain": "Trade", "jis": "JIS L 0201"}

// symbolSet is the set that the address asks for, else the first.
func symbolSet(r *http.Request) string {
	for _, s := range chart.Sets {
		if s == r.URL.Query().Get("symbols") {
			return s
		}
	}
	return chart.Sets[0]
}

// setLinks are the sets to choose from, on the address of the page.
func setLinks(r *http.Request, path, here string) []web.ChartSet {
	var out []web.ChartSet
	for _, s := range chart.Sets {
		q := url.Values{}
		for k, v := range r.URL.Query() {
			q[k] = v
		}
		q.Set("symbols", s)
		out = append(out, web.ChartSet{Label: setLabels[s], URL: path + "?" + q.Encode(), Here: s == here})
	}
	return out
}

func (s *server) showChart(w http.ResponseWriter, r *http.Request) error {
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	res, err := s.prove(r.Context(), p.Manuscript)
	if err != nil {
		return err
	}
	set := symbolSet(r)
	v := web.ChartView{
		Page: s.sharedFlash(r, p.Title, "studio"), Tabs: s.tabs(r, p, "chart"),
		Sets: setLinks(r, patternURL(p)+"/chart", set), DrawURL: patternURL(p) + "/chart/draw",
	}
	if errs := res.Errors(); errs > 0 {
		v.Problem = plural(errs, "error", "errors")
	}
	err = s.working(r.Context(), func() error {
		sections := chart.Sections(res.Manuscript, res.Needle)
		v.Empty = len(sections) == 0
		if n := len(sections) - mostSections; n > 0 {
			v.More = "And " + plural(n, "section", "sections") + " more, which this page does not show; rowproof chart draws each by its name."
			sections = sections[:mostSections]
		}
		for i, sec := range sections {
			v.Sections = append(v.Sections, sectionChart(res, sec, i, set, patternURL(p)))
		}
		return nil
	})
	if err != nil {
		return err
	}
	return s.render(w, r, http.StatusOK, web.Chart(v))
}

// sectionName names a section for people.
func sectionName(ms *notation.Manuscript, sec chart.Section) string {
	for _, n := range []string{sec.Name, ms.Title} {
		if n = strings.TrimSpace(n); n != "" {
			return n
		}
	}
	return "The pattern"
}

// sectionChart draws a section, or says why it cannot be drawn.
func sectionChart(res *review.Result, sec chart.Section, i int, set, base string) web.SectionChart {
	v := web.SectionChart{ID: "section-" + strconv.Itoa(i+1), Name: sectionName(res.Manuscript, sec)}
	c, err := chart.Make(res.Manuscript, res.Needle, sec.Part, chart.Options{Symbols: set, From: sec.From, To: sec.To, Colours: picture.Solids(res.Manuscript)})
	if err == nil && c.Columns*len(c.Rows) > mostCells {
		err = fmt.Errorf("it has %d stitches by %d rows, too many for a page; the PDF and rowproof chart draw it", c.Columns, len(c.Rows))
	}
	if err != nil {
		v.Why = "No chart: " + document.WhyNoChart(err) + "."
		return v
	}
	worked := "worked flat"
	rows := plural(len(c.Rows), "row", "rows")
	if c.Round {
		worked, rows = "worked in the round", plural(len(c.Rows), "round", "rounds")
	}
	v.Facts = plural(c.Columns, "stitch", "stitches") + " by " + rows + ", " + worked
	if sizes := res.Manuscript.Sizes; len(sizes) > 1 && c.Box == nil {
		v.Facts += ", drawn for size " + sizes[0]
	}
	v.Notes, v.Key = c.Notes, keyLines(c)
	v.DrawURL = base + "/chart/draw?section=" + strconv.Itoa(i) + "&symbols=" + set
	var b strings.Builder
	if err := c.SVG(&b, v.ID+"-chart", pageLook); err != nil {
		v.Why = sentence(err.Error())
		return v
	}
	lines := map[string]int{} // of each row that the chart numbers as the text does
	for _, e := range res.Needle.Parts[sec.Part].Rows {
		if e.Line >= sec.From && e.Line <= sec.To && !c.Through {
			if _, told := lines[e.Name]; !told {
				lines[e.Name] = e.Line
			}
		}
	}
	v.SVG = linkRows(b.String(), c, func(k int) string {
		if n, ok := lines[c.Rows[k].Number]; ok {
			return fmt.Sprintf("%s-line-%d", v.ID, n)
		}
		return ""
	})
	seen := map[int]bool{}
	for _, it := range res.Manuscript.Items {
		in, ok := notation.AsInstruction(it)
		at := in.Span
		if !ok || at.Line < sec.From || at.Line > sec.To {
			continue
		}
		row := web.ChartRowWords{Text: notation.TextAt(res.Manuscript.Source, at)}
		if !seen[at.Line] {
			row.ID = fmt.Sprintf("%s-line-%d", v.ID, at.Line)
		}
		seen[at.Line] = true
		v.Rows = append(v.Rows, row)
	}
	return v
}

// keyLines draws the key of a chart.
func keyLines(c *chart.Chart) []web.ChartKeyLine {
	var out []web.ChartKeyLine
	for _, e := range c.Key {
		var b strings.Builder
		if err := chart.Icon(&b, c.Symbols, e.Cell, chart.Look{Cell: 6}); err != nil {
			continue // a Builder takes everything
		}
		out = append(out, web.ChartKeyLine{SVG: b.String(), Words: e.Words})
	}
	block := document.Chart{Chart: c}
	for i, y := range block.KeyYarns() {
		svg := `<svg xmlns="http://www.w3.org/2000/svg" width="6mm" height="6mm" viewBox="0 0 12 12" aria-hidden="true"><path d="M.25 .25H11.75V11.75H.25Z" fill="` + block.YarnFill(i) + `" stroke="#8a8a8a" stroke-width=".4"/></svg>`
		out = append(out, web.ChartKeyLine{SVG: svg, Words: y.Text.String()})
	}
	return out
}

// numberGroup is the group of a row that begins with letters: its number.
var numberGroup = regexp.MustCompile(`(<g class="row" data-row="(\d+)">\n)(<text [^>]*>[^<]*</text>)`)

// linkRows makes the number of each row a link to the row in words. What holds
// links is no image to a screen reader, but a group.
func linkRows(svg string, c *chart.Chart, to func(row int) string) string {
	svg = strings.Replace(svg, `role="img"`, `role="group"`, 1)
	return numberGroup.ReplaceAllStringFunc(svg, func(s string) string {
		m := numberGroup.FindStringSubmatch(s)
		k, err := strconv.Atoi(m[2])
		if err != nil || k >= len(c.Rows) {
			return s
		}
		id := to(k)
		if id == "" {
			return s
		}
		return m[1] + `<a href="#` + id + `">` + m[3] + `</a>`
	})
}
