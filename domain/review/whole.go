package review

import (
	"fmt"
	"regexp"
	"strconv"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// This file holds what a pattern says of its rows as a whole against the rows it gives.

func init() {
	checks = append(checks, check{"rows-not-given", patternRows})
}

// rePatternRows is a sentence that calls rows the pattern: “Rows 1 to 8 form the pattern”, “These 8 rows
// form the pattern”.
var rePatternRows = regexp.MustCompile(`(?i)^(?:(?:the )?(?:rows?|rnds?|rounds?) (\d+) ?(?:[-–]|to|through|thru) ?(\d+)(?:,? incl\w*)?|(?:the )?(\d+)(?:st|nd|rd|th) ?(?:[-–]|to|through) ?(?:the )?(\d+)(?:st|nd|rd|th) (?:rows?|rnds?|rounds?)|these (\d+) (?:rows|rnds|rounds)),? (?:form|make|set|constitute|complete|comprise|establish|are repeated)`)

// patternRows checks that the rows which such a sentence calls the pattern are given above it.
func patternRows(in Input) {
	items := in.Manuscript.Items
	for k, it := range items {
		p, ok := it.(*notation.Prose)
		if !ok {
			continue
		}
		m := rePatternRows.FindStringSubmatch(p.Text)
		if m == nil {
			continue
		}
		last := 0
		for _, s := range []string{m[2], m[4], m[5]} {
			if n, err := strconv.Atoi(s); err == nil {
				last = n
			}
		}
		given, first, sure := rowsAbove(items[:k])
		if !sure || first != 1 || last <= given {
			continue
		}
		in.Out.Add(finding.Finding{Code: "rows-not-given", Span: p.Span, Message: fmt.Sprintf("“%s”, but the rows given end with row %d", p.Text, given)})
	}
}

// rowsAbove is the highest and the lowest number of the rows that stand last in the items; sure says that
// all of them are numbered.
func rowsAbove(items []notation.Item) (last, first int, sure bool) {
	open := false
	for k := len(items) - 1; k >= 0; k-- {
		switch it := items[k].(type) {
		case *notation.Blank, *notation.Prose, *notation.ForSizes:
		case *notation.Row:
			if len(it.Head.Numbers) == 0 && it.Head.Every.On() {
				open = true // “All even rounds: Knit.”
				continue
			}
			if len(it.Head.Numbers) == 0 {
				return last, first, first > 0 && last > 0
			}
			for _, n := range it.Head.Numbers {
				last = max(last, n)
				if first == 0 || n < first {
					first = n
				}
			}
			last = max(last, it.Head.Every.Last)
			open = open || it.Head.Every.On() && it.Head.Every.Last == 0
		default:
			k = 0
		}
	}
	if open {
		last++ // “Row 2 and all WS rows” is the last one, too
	}
	return last, first, first > 0
}
