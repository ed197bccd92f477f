package chart

import (
	"strings"

	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

// Section is a stretch of a manuscript under one head, with rows to chart.
type Section struct {
	Name     string
	Part     int // index in needle.Result.Parts
	From, To int // lines; as Options take them
	Rows     int // rows and sentences in it
}

// Sections lists what can be charted apart, in the order of the text: for each
// part the stretches between its heads that hold rows.
func Sections(ms *notation.Manuscript, res *needle.Result) []Section {
	var out []Section
	partAt := func(line int) int {
		at := -1
		for i, p := range res.Parts {
			if p.Line <= line {
				at = i
			}
		}
		return at
	}
	name, from := "", 1
	for _, it := range ms.Items {
		line := 0
		switch it := it.(type) {
		case *notation.Heading:
			name, from = strings.TrimSpace(it.Text), it.Line
			continue
		case *notation.Row:
			line = it.EndLine
		case *notation.Straight:
			line = it.EndLine
		case *notation.Shape:
			line = it.EndLine
		default:
			continue
		}
		part := partAt(line)
		if part < 0 {
			continue
		}
		if n := len(out); n > 0 && out[n-1].Part == part && out[n-1].From == from {
			out[n-1].To = max(out[n-1].To, line)
			out[n-1].Rows++
			continue
		}
		s := Section{Name: name, Part: part, From: from, To: line, Rows: 1}
		if s.Name == "" {
			s.Name = res.Parts[part].Name
		}
		out = append(out, s)
	}
	return out
}
