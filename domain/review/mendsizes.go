package review

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/needle"
)

// reToEnd is the bound of a repeat that goes on to the end of the row.
var reToEnd = regexp.MustCompile(`(?i)(?:rep(?:eat)?(?: from)? \* )(to (?:the )?end(?: of (?:the )?(?:row|round|rnd))?|across(?: row)?|around)`)

// maxBody is how many stitches the body of a repeat may take for restOfSizes.
const maxBody = 24

// restOfSizes ends a repeat that fits some sizes only before the stitches that are
// left over at each, and has those worked plain: “to last 0 (8, 6) sts, k0 (8, 6)”.
// It knows nothing of the repeat's width and tries each.
func restOfSizes(r *Result, f *finding.Finding) []candidate {
	src := r.Manuscript.Source[f.Line-1]
	m := reToEnd.FindStringSubmatchIndex(src)
	e := entryAt(r, f.Line)
	if m == nil || e == nil || len(e.Before) < 2 || f.Code != "repeat-stops-midway" {
		return nil
	}
	rest := strings.TrimLeft(src[m[3]:], " ")
	if rest != "" && !strings.ContainsAny(rest[:1], ".;(–—-") {
		return nil // more is worked behind it
	}
	col := len([]rune(src[:m[2]])) + 1
	at := finding.Span{Line: f.Line, Col: col, EndLine: f.Line, EndCol: col + len([]rune(src[m[2]:m[3]]))}
	st := "k"
	if !strings.ContainsAny(src[strings.Index(src, "*"):m[2]], "kK") {
		st = "p"
	}
	var out []candidate
	for w := 2; w <= maxBody; w++ {
		over, some := make([]int, len(e.Before)), false
		for i, c := range e.Before {
			if !c.Known {
				return nil
			}
			over[i] = c.N % w
			some = some || over[i] > 0
		}
		if !some {
			continue
		}
		text := fmt.Sprintf("to last %s sts, %s%[1]s", vector(over), st)
		line := src[:m[2]] + text + src[m[3]:]
		out = append(out, candidate{edit: finding.Edit{Span: at, Text: text}, line: line, dist: 3 + slices.Max(over)/8})
	}
	return out
}

// entryAt is the first row that stands on the line.
func entryAt(r *Result, line int) *needle.Entry {
	for _, p := range r.Needle.Parts {
		for _, e := range p.Rows {
			if e.Row != nil && line >= e.Span.Line && line <= e.Span.EndLine {
				return e
			}
		}
	}
	return nil
}
