package review

import (
	"fmt"
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// This file holds the checks of style: one usage of words, paired leans, yarns
// that are listed and used.

func init() {
	checks = append(checks,
		check{"mixed-usage", mixedUsage},
		check{"leans-unpaired", leans},
		check{"unused-yarn", unusedYarns},
	)
}

// usagePairs are words that belong to one side of the Atlantic (reference: the
// project's abbreviation table, rows BO, cast off, tension, st st, g st).
var usagePairs = []struct{ us, uk []string }{
	{[]string{"bind off", "bo "}, []string{"cast off"}},
	{[]string{"gauge"}, []string{"tension"}},
	{[]string{"stockinette"}, []string{"stocking st", "stocking stitch"}},
}

// mixedUsage finds words of both usages in one pattern. It is said once for
// each pair, at the later one.
func mixedUsage(in Input) {
	for _, pair := range usagePairs {
		us, uk := firstOf(in.Manuscript, pair.us), firstOf(in.Manuscript, pair.uk)
		if us.at.Line == 0 || uk.at.Line == 0 {
			continue
		}
		later, other := uk, us
		if us.at.Line > uk.at.Line || us.at.Line == uk.at.Line && us.at.Col > uk.at.Col {
			later, other = us, uk
		}
		in.Out.Add(finding.Finding{Code: "mixed-usage", Span: later.at,
			Message: fmt.Sprintf("“%s” here, “%s” on line %d: use the words of one side of the Atlantic", later.word, other.word, other.at.Line)})
	}
}

type spot struct {
	at   finding.Span
	word string
}

// firstOf finds the first of some words in the manuscript.
func firstOf(ms *notation.Manuscript, words []string) spot {
	for n, line := range ms.Source {
		low := strings.ToLower(line)
		for _, w := range words {
			at := strings.Index(low, w)
			if at < 0 || at > 0 && isLetter(low[at-1]) {
				continue
			}
			col := len([]rune(low[:at])) + 1
			w = strings.TrimSpace(w)
			return spot{finding.Span{Line: n + 1, Col: col, EndLine: n + 1, EndCol: col + len(w)}, w}
		}
	}
	return spot{}
}

func isLetter(b byte) bool { return b >= 'a' && b <= 'z' }

// leans: a row that decreases near both edges leans both ways, or the edges do
// not mirror each other (common practice).
func leans(in Input) {
	rowsOf(in.Manuscript, func(row *notation.Row) {
		if len(row.Body) < 3 {
			return
		}
		first := leanAt(in.Manuscript, row.Body[:min(3, len(row.Body))])
		last := leanAt(in.Manuscript, row.Body[max(0, len(row.Body)-2):])
		middle := false
		for _, o := range row.Body {
			switch o.(type) {
			case *notation.Until:
				middle = true
			case *notation.Repeat:
				return
			}
		}
		if !middle || first == nil || last == nil || first == last {
			return
		}
		a, b := lean(in.Manuscript, first), lean(in.Manuscript, last)
		if a == b && (a == "l" || a == "r") {
			f := finding.Finding{Code: "leans-unpaired", Span: last.Span, Row: row.Name(),
				Message: "the decreases at both edges lean the same way; a mirrored pair looks alike on both"}
			locate(in.Needle, &f)
			in.Out.Add(f)
		}
	})
}

func leanAt(ms *notation.Manuscript, ops []notation.Op) *notation.Do {
	for _, o := range ops {
		if d, ok := o.(*notation.Do); ok && lean(ms, d) != "" && d.Times.For(0) == 1 {
			return d
		}
	}
	return nil
}

// lean gives l or r for a decrease that leans.
func lean(ms *notation.Manuscript, d *notation.Do) string {
	s := ms.Own[d.Key]
	if s == nil {
		s = notation.Standard().Stitch(d.Key)
	}
	if s == nil || s.Class != notation.Dec {
		return ""
	}
	return s.Lean
}

// unusedYarns: a yarn with a letter of its own that no row uses, where others are.
func unusedYarns(in Input) {
	ms := in.Manuscript
	used := map[string]bool{}
	some := false
	for _, it := range ms.Items {
		switch it := it.(type) {
		case *notation.Row:
			notation.Each(it.Body, func(o notation.Op) {
				if u, ok := o.(*notation.UseYarn); ok {
					used[u.Yarn], some = true, true
				}
			})
		}
	}
	if !some {
		return
	}
	for _, y := range ms.Yarns {
		if used[y] || len(y) > 1 {
			continue
		}
		n := 0
		var at finding.Span
		for l, line := range ms.Source {
			for _, w := range strings.FieldsFunc(line, func(r rune) bool { return strings.ContainsRune(" ,.;:()[]", r) }) {
				if w == y {
					if n++; n == 1 {
						col := len([]rune(line[:max(0, strings.Index(line, y))])) + 1
						at = finding.Span{Line: l + 1, Col: col, EndLine: l + 1, EndCol: col + 1}
					}
				}
			}
		}
		if n == 1 {
			in.Out.Add(finding.Finding{Code: "unused-yarn", Span: at, Message: fmt.Sprintf("yarn %s is listed but never used", y)})
		}
	}
}
