package handlers

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strconv"
	"strings"

	"rowproof/domain/chart"
	"rowproof/domain/document"
	"rowproof/domain/fabric"
	"rowproof/domain/finding"
	"rowproof/domain/notation"
	"rowproof/domain/picture"
	"rowproof/domain/review"
	"rowproof/domain/studio"
	"rowproof/web"
)

// The page on which a chart is drawn. The drawing lives in the browser; what is
// asked here is only what its rows are, and to write them into the manuscript.

// drawKeys are the letters that work a symbol.
var drawKeys = map[string]string{
	"knit": "k", "purl": "p", "yo": "o", "dec-r-2": "t", "dec-l-2": "s", "dec-c-3": "c", "dec-r-3": "r", "dec-l-3": "l",
	"knit-tbl": "b", "slip-back": "v", "slip-front": "w", "m1l": "q", "m1r": "e", "none": "n", "cross-left": "x", "cross-right": "z",
}

// notDrawn are symbols that mean nothing by themselves: the designer's own, what
// is told by rows below, and a cluster without a name.
var notDrawn = map[string]bool{"own": true, "untold": true, "cluster": true}

// drawn is a chart on the page, and the section it came from.
type drawn struct {
	chart   *chart.Chart
	section int    // -1 for a new one
	name    string // of the section
	problem string
	status  int
}

func (s *server) showDraw(w http.ResponseWriter, r *http.Request) error {
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	res, err := s.prove(r.Context(), p.Manuscript)
	if err != nil {
		return err
	}
	q, set := r.URL.Query(), symbolSet(r)
	d := drawn{section: -1, name: newSectionName(res.Manuscript), status: http.StatusOK}
	if v := q.Get("section"); v != "" {
		n, err := strconv.Atoi(v)
		sections := chart.Sections(res.Manuscript, res.Needle)
		if err != nil || n < 0 || n >= len(sections) {
			return fmt.Errorf("section %q: %w", v, studio.ErrNotFound)
		}
		d.section, d.name = n, sectionName(res.Manuscript, sections[n])
		err = s.working(r.Context(), func() (err error) {
			d.chart, err = sectionOf(res, n, set)
			return err
		})
		if err != nil { // the page of charts says why
			return s.done(w, r, patternURL(p)+"/chart", "This section cannot be drawn: "+document.WhyNoChart(err)+".")
		}
	} else {
		columns, rows := bounded(q.Get("columns"), 8, 200), bounded(q.Get("rows"), 8, 300)
		if d.chart, err = chart.Blank(columns, rows, q.Get("worked") == "round", set); err != nil {
			return err
		}
		d.chart.Title, d.chart.Part = res.Manuscript.Title, d.name
	}
	return s.renderDraw(w, r, p, res, d)
}

// sectionOf charts the n-th section of a manuscript.
func sectionOf(res *review.Result, n int, set string) (*chart.Chart, error) {
	sec := chart.Sections(res.Manuscript, res.Needle)[n]
	c, err := chart.Make(res.Manuscript, res.Needle, sec.Part, chart.Options{Symbols: set, From: sec.From, To: sec.To, Colours: picture.Solids(res.Manuscript)})
	if err == nil && c.Columns*len(c.Rows) > mostCells {
		return nil, fmt.Errorf("it has %d stitches by %d rows, too many to draw on", c.Columns, len(c.Rows))
	}
	return c, err
}

// bounded reads a number from 1 to most; what is none is usual.
func bounded(s string, usual, most int) int {
	n, err := strconv.Atoi(s)
	if err != nil || n < 1 {
		return usual
	}
	return min(n, most)
}

// newSectionName is "Chart 1", or the next that is not taken.
func newSectionName(ms *notation.Manuscript) string {
	taken := map[string]bool{}
	for _, it := range ms.Items {
		if h, ok := it.(*notation.Heading); ok {
			taken[strings.ToLower(strings.Trim(h.Text, " :."))] = true
		}
	}
	for n := 1; ; n++ {
		if name := "Chart " + strconv.Itoa(n); !taken[strings.ToLower(name)] {
			return name
		}
	}
}

func (s *server) renderDraw(w http.ResponseWriter, r *http.Request, p studio.Pattern, res *review.Result, d drawn) error {
	b, err := json.Marshal(d.chart)
	if err != nil {
		return fmt.Errorf("draw: %w", err)
	}
	var svg strings.Builder
	if err := d.chart.SVG(&svg, "", pageLook); err != nil {
		return fmt.Errorf("draw: %w", err)
	}
	v := web.DrawView{
		Page: s.sharedFlash(r, p.Title, "studio"), Tabs: s.tabs(r, p, "chart"), Version: strconv.Itoa(p.Version), Name: d.name,
		Sets: setLinks(r, patternURL(p)+"/chart/draw", d.chart.Symbols), SVG: svg.String(), Chart: string(b), Symbols: symbolsJSON(d.chart.Symbols),
		Palette: palette(d.chart.Symbols), Problem: d.problem,
		CheckURL: patternURL(p) + "/chart/check", SaveURL: patternURL(p) + "/chart/draw", BackURL: patternURL(p) + "/chart?symbols=" + d.chart.Symbols,
	}
	v.Script = "js/chart.js"
	if d.section >= 0 {
		v.Section = strconv.Itoa(d.section)
		if v.Locked = locked(res, d.section, d.chart); v.Locked != "" {
			v.Section, v.Name = "", newSectionName(res.Manuscript)
		}
	}
	return s.render(w, r, d.status, web.Draw(v))
}

// locked says why the rows of a section cannot be written over by those of its
// chart; "" when they can.
func locked(res *review.Result, section int, c *chart.Chart) string {
	sec := chart.Sections(res.Manuscript, res.Needle)[section]
	part := res.Needle.Parts[sec.Part]
	switch {
	case c.Through:
		return "This chart shows every row of the piece, also those told as repeats or shaping. What is drawn on it becomes a section of its own; the rows of the piece stay as they are."
	case len(part.CastOn) > 1 && c.Box == nil && !same(part.CastOn):
		return "This chart is drawn for size " + res.Manuscript.Sizes[0] + " only. What is drawn on it becomes a section of its own; the rows for all sizes stay as they are."
	}
	return ""
}

func same(ns []int) bool {
	for _, n := range ns {
		if n != ns[0] {
			return false
		}
	}
	return true
}

// symbolData is a symbol as the script draws it, in a cell of 1 by 1.
type symbolData struct {
	Words string     `json:"words"`
	Marks []markData `json:"marks"`
}

type markData struct {
	D    string  `json:"d,omitempty"`
	Fill bool    `json:"fill,omitempty"`
	Text string  `json:"text,omitempty"`
	At   *[2]int `json:"at,omitempty"` // of the number, in hundredths
}

// symbolsJSON are all symbols of a set.
func symbolsJSON(set string) string {
	all := map[string]symbolData{}
	for _, id := range chart.SymbolIDs(set) {
		sym := chart.SymbolOf(set, id)
		d := symbolData{Words: sym.Short, Marks: []markData{}}
		for _, m := range sym.Shape {
			switch {
			case m.Number:
				d.Marks = append(d.Marks, markData{At: &[2]int{int(m.At.X * 100), int(m.At.Y * 100)}})
			case m.Text != "":
				d.Marks = append(d.Marks, markData{Text: m.Text})
			default:
				d.Marks = append(d.Marks, markData{D: steps(m.Path), Fill: m.Fill})
			}
		}
		all[id] = d
	}
	b, err := json.Marshal(all)
	if err != nil { // plain values always marshal
		return "{}"
	}
	return string(b)
}

// steps writes a path as SVG does.
func steps(path []chart.Seg) string {
	var b strings.Builder
	for _, g := range path {
		b.WriteByte(g.Op)
		n := map[byte]int{'M': 1, 'L': 1, 'C': 3}[g.Op]
		for _, p := range g.P[:n] {
			fmt.Fprintf(&b, "%.4g %.4g ", p.X, p.Y)
		}
	}
	return strings.TrimSpace(b.String())
}

// palette are the symbols to paint with; a place without a stitch and crossings,
// which are drawn from strands, last.
func palette(set string) []web.PaletteSymbol {
	var out []web.PaletteSymbol
	add := func(id, words string, cell chart.Cell) {
		var b strings.Builder
		if err := chart.Icon(&b, set, cell, chart.Look{Cell: 7}); err != nil {
			return // a Builder takes everything
		}
		out = append(out, web.PaletteSymbol{ID: id, SVG: b.String(), Words: words, Key: drawKeys[id]})
	}
	for _, id := range chart.SymbolIDs(set) {
		if notDrawn[id] || id == "cross" {
			continue
		}
		sym := chart.SymbolOf(set, id)
		words := strings.ReplaceAll(sym.Short, "#", "n")
		n := 0
		if strings.Contains(sym.Short, "#") {
			n = 3
		}
		add(id, words, chart.Cell{Span: 1, Symbol: id, Yarn: -1, Number: n})
	}
	front := func(from, to int) chart.Cell {
		return chart.Cell{Span: 2, Symbol: "cross", Yarn: -1, Strands: []chart.Strand{{From: from, To: to, N: 1, Place: fabric.InFront}, {From: to, To: from, N: 1, Place: fabric.Behind}}}
	}
	add("cross-left", "crossing to the left", front(0, 1))
	add("cross-right", "crossing to the right", front(1, 0))
	add("none", "no stitch", chart.Cell{Kind: chart.NoStitch, Span: 1, Yarn: -1})
	return out
}

// drawAnswer is what the page hears of a drawing.
type drawAnswer struct {
	Seq      int           `json:"seq"`
	Rows     []string      `json:"rows"`
	Begins   string        `json:"begins"` // "Multiple of 6 sts + 1"
	Level    string        `json:"level"`
	Status   string        `json:"status"`
	Problem  *drawProblem  `json:"problem"`
	Findings []drawFinding `json:"findings"`
}

// drawProblem says why the chart cannot be written: at a row, from 0, and column,
// from 0; -1 where it is of no one.
type drawProblem struct {
	Row    int    `json:"row"`
	Column int    `json:"column"`
	Text   string `json:"text"`
}

type drawFinding struct {
	Level string `json:"level"`
	Text  string `json:"text"`
}

// checkDraw writes a drawing as rows and proves them. It keeps nothing.
func (s *server) checkDraw(w http.ResponseWriter, r *http.Request) error {
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	body, err := io.ReadAll(r.Body)
	var big *http.MaxBytesError
	if errors.As(err, &big) {
		return fmt.Errorf("drawing: %w", errTooBig)
	} else if err != nil {
		return fmt.Errorf("drawing: %w: %v", errBadForm, err)
	}
	var in struct {
		Seq   int             `json:"seq"`
		Chart json.RawMessage `json:"chart"`
	}
	if err := json.Unmarshal(body, &in); err != nil {
		return fmt.Errorf("drawing: %w: %v", errBadForm, err)
	}
	out := drawAnswer{Seq: in.Seq, Rows: []string{}, Findings: []drawFinding{}}
	err = s.working(r.Context(), func() error {
		proveDrawing(&out, in.Chart, notation.Read(p.Manuscript))
		return nil
	})
	if err != nil {
		return err
	}
	s.json(w, http.StatusOK, out)
	return nil
}

// proveDrawing fills in what a drawing says.
func proveDrawing(out *drawAnswer, drawing []byte, from *notation.Manuscript) {
	c, err := chart.Decode(drawing)
	var rows, all []string
	if err == nil {
		rows, err = c.Text(from)
	}
	if err == nil {
		all, err = sectionLines(c, from)
	}
	if err != nil {
		out.Level, out.Status = "error", "Cannot be worked as drawn"
		out.Problem = problemOf(err)
		return
	}
	out.Rows = rows
	if len(all) > len(rows) {
		out.Begins = all[0]
	}
	ms, err := c.Manuscript(from)
	if err != nil {
		out.Level, out.Status, out.Problem = "error", "Cannot be worked as drawn", problemOf(err)
		return
	}
	res := review.Check(notation.Write(ms))
	errs, warns := 0, 0
	for _, f := range res.Findings {
		switch f.Severity() {
		case finding.Error:
			errs++
		case finding.Warning:
			warns++
		default:
			continue // a chart has no head to be complete
		}
		if len(out.Findings) < 12 {
			out.Findings = append(out.Findings, drawFinding{string(f.Severity()), where(res, f) + ": " + f.Message + "."})
		}
	}
	out.Level, out.Status = verdict(errs, warns, 0, len(rows), 1, res.Report.Parts)
}

// problemOf says why in words, and where.
func problemOf(err error) *drawProblem {
	var at *chart.RowError
	if errors.As(err, &at) {
		text := "Row " + at.Number
		if at.Column >= 0 {
			text += ", stitch " + strconv.Itoa(at.Column+1) + " from the right"
		}
		return &drawProblem{at.Row, at.Column, sentence(text + ": " + at.Why)}
	}
	return &drawProblem{-1, -1, sentence(document.WhyNoChart(err))}
}
