package handlers

import (
	"regexp"
	"strconv"
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
	"rowproof/domain/review"
	"rowproof/domain/studio"
)

// Project reads off a checked manuscript what the store keeps beside its text.
func Project(res *review.Result) studio.Projection {
	ms := res.Manuscript
	p := studio.Projection{Title: ms.Title}
	for _, name := range res.Report.Sizes {
		if name != "" {
			p.Sizes = append(p.Sizes, name)
		}
	}
	p.Yarns = yarns(ms)
	for _, l := range labelled(ms.Source, gaugeLabel) {
		p.Gauges = append(p.Gauges, gauge(l.value))
	}
	for _, l := range labelled(ms.Source, needleLabel) {
		p.Needles = append(p.Needles, needles(l.value)...)
	}
	var notes []string
	inNotes := false
	for _, item := range ms.Items {
		switch it := item.(type) {
		case *notation.Heading:
			inNotes = isNotes(it.Text)
		case *notation.Prose:
			if inNotes {
				notes = append(notes, it.Text)
			}
		case *notation.Define:
			if own := ms.Own[strings.ToLower(it.Name)]; own != nil || strings.ContainsAny(it.Text, "([,") {
				p.Stitches = append(p.Stitches, studio.SpecialStitch{Name: it.Name, Text: it.Text})
			}
		}
	}
	for _, in := range notation.Instructions(ms) {
		p.Rows = append(p.Rows, studio.RowLine{Piece: in.Piece, Head: in.Head, Text: notation.TextAt(ms.Source, in.Span), Line: in.Span.Line})
	}
	p.Notes = strings.Join(notes, "\n")
	for _, f := range res.Findings {
		switch f.Severity() {
		case finding.Error:
			p.Errors++
		case finding.Warning:
			p.Warnings++
		}
	}
	return p
}

// rowCounts are the stitches after each row of a projection per size, as a
// revision keeps them: -1 where a size does not work the row, nil where nothing
// is known. Where several rows stand on one line, the last of them counts.
func rowCounts(res *review.Result, rows []studio.RowLine) [][]int {
	byLine := map[int][]int{}
	sizes := len(res.Report.Sizes)
	for _, part := range res.Report.Parts {
		for _, r := range part.Rows {
			counts := r.LastCounts
			if len(counts) == 0 {
				counts = r.Counts
			}
			if len(counts) == 0 {
				continue
			}
			out := make([]int, sizes)
			for i := range out {
				out[i] = -1
				if i < len(counts) && counts[i] != nil {
					out[i] = *counts[i]
				}
			}
			byLine[r.Line] = out
		}
	}
	all := make([][]int, len(rows))
	for i, r := range rows {
		all[i] = byLine[r.Line]
	}
	return all
}

var (
	reGauge  = regexp.MustCompile(`(?i)([\d.]+)\s*(?:sts?|stitches)\b`)
	reRows   = regexp.MustCompile(`(?i)([\d.]+)\s*(?:rows?|rnds?|rounds?)\b`)
	reOver   = regexp.MustCompile(`(?i)([\d.]+)\s*(cm|mm|in\b|ins\b|inch|")`)
	reIn     = regexp.MustCompile(`(?i)\b(?:in|over)\s+([a-z][a-z &-]*)`)
	reMM     = regexp.MustCompile(`(?i)([\d.]+)\s*mm`)
	reMetres = regexp.MustCompile(`(?i)([\d.]+)\s*(?:m|metres|meters)\b`)
	reYards  = regexp.MustCompile(`(?i)([\d.]+)\s*(?:yds?|yards)\b`)
	reGrams  = regexp.MustCompile(`(?i)([\d.]+)\s*(?:g|grams?)\b`)
	reWeight = regexp.MustCompile(`(?i)\b(lace|light fingering|fingering|sock|4[- ]ply|sport|dk|double knitting|light worsted|worsted|aran|chunky|bulky|super bulky|jumbo)\b`)
	reLetter = regexp.MustCompile(`(?i)^\s*(?:yarns?|wool|colou?r)\s+([A-Z])\b|^\s*(MC|CC\d?)\b`)
)

func number(re *regexp.Regexp, s string) float64 {
	m := re.FindStringSubmatch(s)
	if m == nil {
		return 0
	}
	f, err := strconv.ParseFloat(m[1], 64)
	if err != nil || f > 1e6 {
		return 0
	}
	return f
}

// gauge reads "22 sts and 30 rows = 10 cm in stockinette, after blocking".
func gauge(s string) studio.Gauge {
	g := studio.Gauge{Source: s, Sts: number(reGauge, s), Rows: number(reRows, s), OverMM: 100}
	if m := reOver.FindStringSubmatch(s); m != nil {
		f, _ := strconv.ParseFloat(m[1], 64)
		switch strings.ToLower(m[2]) {
		case "mm":
			g.OverMM = f
		case "cm":
			g.OverMM = f * 10
		default:
			g.OverMM = f * 25.4
		}
		if g.OverMM <= 0 || g.OverMM > 1000 {
			g.OverMM = 100
		}
	}
	if ms := reIn.FindAllStringSubmatch(s, -1); ms != nil {
		g.Stitch = strings.TrimSpace(ms[len(ms)-1][1])
	}
	low := strings.ToLower(s)
	switch {
	case strings.Contains(low, "unwashed") || strings.Contains(low, "unblocked"):
		g.State = "unwashed"
	case strings.Contains(low, "block"):
		g.State = "blocked"
	case strings.Contains(low, "wash"):
		g.State = "washed"
	}
	return g
}

// needles reads "3.5 mm and 4 mm circular needles": one for each diameter.
func needles(s string) []studio.Needle {
	ms := reMM.FindAllStringSubmatch(s, -1)
	if len(ms) == 0 {
		return []studio.Needle{{Label: s}}
	}
	var out []studio.Needle
	for _, m := range ms {
		f, _ := strconv.ParseFloat(m[1], 64)
		if f > 100 {
			f = 0
		}
		out = append(out, studio.Needle{Label: s, MM: f})
	}
	return out
}

// yarns reads the yarn lines; where one line says how the yarns are called, the
// reader's list of letters is taken.
func yarns(ms *notation.Manuscript) []studio.Yarn {
	var out []studio.Yarn
	seen := map[string]bool{}
	for _, l := range labelled(ms.Source, yarnLabel) {
		y := studio.Yarn{Name: l.value, MPerBall: number(reMetres, l.value), GPerBall: number(reGrams, l.value)}
		if y.MPerBall == 0 {
			y.MPerBall = number(reYards, l.value) * 0.9144
		}
		if m := reWeight.FindString(l.value); m != "" {
			y.Weight = m
		}
		if m := reLetter.FindStringSubmatch(l.label); m != nil {
			y.Letter = strings.ToUpper(m[1] + m[2])
		}
		if !seen[y.Letter] {
			seen[y.Letter] = true
			out = append(out, y)
		}
	}
	for _, letter := range ms.Yarns {
		if letter != "" && !seen[letter] {
			seen[letter] = true
			if len(out) == 1 && out[0].Letter == "" && len(ms.Yarns) == 1 {
				out[0].Letter = letter
				continue
			}
			out = append(out, studio.Yarn{Letter: letter})
		}
	}
	return out
}
