// Package finding is what a check reports: a code, a place, the sizes it
// concerns, numbers expected and found in words, and mends. It imports nothing
// of ours, so that every room can speak of findings.
package finding

import (
	"fmt"
	"sort"
)

// Severity says how bad a finding is. It is a property of the code, never of
// the single finding, so that one code is never both error and hint.
type Severity string

const (
	Error   Severity = "error"   // cannot be worked as written, or a stated number is wrong
	Warning Severity = "warning" // can be worked, but is ambiguous or probably not meant
	Note    Severity = "note"    // style or completeness
)

// Span is a place in the manuscript. Line and Col count from 1, Col in
// characters; EndCol is one past the last character and EndLine ≥ Line.
type Span struct{ Line, Col, EndLine, EndCol int }

// Place gives the span itself; what embeds a Span tells by it where it stands.
func (s Span) Place() Span { return s }

// Cover returns the smallest span holding both; a zero span is neutral.
func (s Span) Cover(t Span) Span {
	if s.Line == 0 {
		return t
	}
	if t.Line == 0 {
		return s
	}
	if t.Line < s.Line || t.Line == s.Line && t.Col < s.Col {
		s.Line, s.Col = t.Line, t.Col
	}
	if t.EndLine > s.EndLine || t.EndLine == s.EndLine && t.EndCol > s.EndCol {
		s.EndLine, s.EndCol = t.EndLine, t.EndCol
	}
	return s
}

// Edit replaces the characters of Span by Text.
type Edit struct {
	Span
	Text string
}

// Mend is a proved correction of one row: the row as it would read (its body,
// without head), and the edits of the manuscript that make it so.
type Mend struct {
	Text  string
	Edits []Edit
}

// Finding is one thing a check has to say.
type Finding struct {
	Code Code
	Span
	Part    string // name of the part; "" where it belongs to none
	Row     string // name of the row; "" where it belongs to none
	Sizes   []int  // indexes of the sizes concerned, ascending; nil means all
	Message string // lower case, no full stop, quotes what was written
	Mends   []Mend
}

// Severity looks the code up in the register.
func (f Finding) Severity() Severity { return Lookup(f.Code).Severity }

// List collects findings up to Max; what comes after is counted only.
type List struct {
	Findings []Finding
	Dropped  int
}

// Max is how many findings one check of one manuscript reports at the most.
const Max = 200

// Add appends f, unless the list is full or already says the same thing at the
// same place.
func (l *List) Add(f Finding) {
	for i := range l.Findings {
		g := &l.Findings[i]
		if g.Code == f.Code && g.Line == f.Line && g.Col == f.Col && g.Row == f.Row && g.Message == f.Message {
			return
		}
	}
	if len(l.Findings) >= Max {
		l.Dropped++
		return
	}
	l.Findings = append(l.Findings, f)
}

// Addf is Add with a formatted message.
func (l *List) Addf(code Code, at Span, format string, args ...any) {
	l.Add(Finding{Code: code, Span: at, Message: fmt.Sprintf(format, args...)})
}

// Sort orders by place, errors before warnings before notes on one place.
func Sort(fs []Finding) {
	rank := map[Severity]int{Error: 0, Warning: 1, Note: 2}
	sort.SliceStable(fs, func(i, j int) bool {
		a, b := fs[i], fs[j]
		if a.Line != b.Line {
			return a.Line < b.Line
		}
		if ra, rb := rank[a.Severity()], rank[b.Severity()]; ra != rb {
			return ra < rb
		}
		return a.Col < b.Col
	})
}
