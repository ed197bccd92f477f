package review

import (
	"fmt"
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

// This file spares the search for mends most of its tries: a changed row is worked by itself first,
// on as many stitches as it finds, and only what comes out there is proved with the whole piece.

// trial is a manuscript of one row and what it needs to be read: sizes, yarns, definitions and a
// cast-on of as many stitches as the row found.
type trial struct {
	lines  []string              // with the row's own line empty
	at     int                   // the row's line, from 0
	ignore map[finding.Code]bool // errors that come of the row's standing alone
}

// newTrial makes the trial for a finding; nil where the row does not fail by itself as it does in its
// place, so that nothing can be told from it.
func newTrial(r *Result, f *finding.Finding) *trial {
	before := countsBefore(r, f.Line)
	ms := r.Manuscript
	if before == "" || f.Line < 2 {
		return nil
	}
	t := &trial{lines: make([]string, len(ms.Source)), at: f.Line - 1}
	keep := func(s finding.Span) {
		for l := s.Line; l <= s.EndLine && l <= len(ms.Source); l++ {
			t.lines[l-1] = ms.Source[l-1]
		}
	}
	for _, it := range ms.Items {
		switch it := it.(type) {
		case *notation.Define:
			keep(it.Span)
		case *notation.Sizes:
			keep(it.Span)
		case *notation.Field:
			if l := strings.ToLower(it.Label); strings.HasPrefix(l, "yarn") || strings.HasPrefix(l, "col") || strings.HasPrefix(l, "wool") {
				keep(it.Span)
			}
		case *notation.Heading:
			if it.Kind == notation.HeadAbbr {
				keep(it.Span)
			}
		}
	}
	for _, l := range []int{f.Line - 1, f.Line} { // nothing that is kept shares the row or the line above it
		if t.lines[l-1] != "" {
			return nil
		}
	}
	t.lines[f.Line-2] = before
	if p := partAt(r.Needle.Parts, f.Line); p != nil && p.Round {
		t.lines[f.Line-2] += " Join in the round."
	}
	here := map[finding.Code]bool{}
	for _, g := range r.Findings {
		here[g.Code] = here[g.Code] || g.Line == f.Line
	}
	alone := t.errors(ms.Source[t.at])
	if !alone[f.Code] {
		return nil
	}
	t.ignore = map[finding.Code]bool{}
	for code := range alone {
		t.ignore[code] = !here[code]
	}
	return t
}

// fails says that the row, as the line has it, does not come out by itself.
func (t *trial) fails(line string) bool {
	for code := range t.errors(line) {
		if !t.ignore[code] {
			return true
		}
	}
	return false
}

// errors are those of the row as the line has it.
func (t *trial) errors(line string) map[finding.Code]bool {
	t.lines[t.at] = line
	ms := notation.Read(strings.Join(t.lines, "\n"))
	t.lines[t.at] = ""
	out := map[finding.Code]bool{}
	for _, list := range [][]finding.Finding{ms.Findings.Findings, needle.Work(ms).Findings.Findings} {
		for _, f := range list {
			if f.Line == t.at+1 && (f.Severity() == finding.Error || f.Code == "row-not-understood") {
				out[f.Code] = true
			}
		}
	}
	return out
}

// countsBefore casts on, in words, what is on the needle before the row of the line; "" where that is
// not known at every size.
func countsBefore(r *Result, line int) string {
	e := entryAt(r, line)
	if e == nil || len(e.Before) == 0 || len(e.Before) != len(r.Manuscript.Sizes) {
		return ""
	}
	var n []string
	for _, c := range e.Before {
		if !c.Known || c.N < 1 {
			return ""
		}
		n = append(n, fmt.Sprint(c.N))
	}
	if len(n) == 1 {
		return "Cast on " + n[0] + " sts."
	}
	return "Cast on " + n[0] + " (" + strings.Join(n[1:], ", ") + ") sts."
}
