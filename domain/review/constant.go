package review

import (
	"fmt"
	"regexp"

	"rowproof/domain/finding"
	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

// This file holds a pattern to what it says of its count: that it is the same in every row.

func init() {
	checks = append(checks, check{"stated-count-differs", countConstant})
}

// reConstant is a sentence that says so: “The number of sts remains the same throughout”.
var reConstant = regexp.MustCompile(`(?i)\b(?:(?:number|no\.?) of (?:sts|stitches)|(?:st|stitch) count) (?:(?:remains?|stays?|is|keeps?) (?:the same|constant|unchanged)|does not change|never changes?),? (?:throughout|(?:on|in|after|at the end of) (?:every|each|all) rows?)\b`)

// reSometimes takes such a sentence back, or says that the number is another.
var reSometimes = regexp.MustCompile(`(?i)\b(?:not the same|not constant|except|other|even|odd|wrong|right|rs|ws|alternate|varies|decreas|increas)`)

// countConstant blames the first row that changes the number of stitches in a stitch pattern whose
// count, it says, is the same in every row.
func countConstant(in Input) {
	for _, it := range in.Manuscript.Items {
		p, ok := it.(*notation.Prose)
		if !ok || !reConstant.MatchString(p.Text) || reSometimes.MatchString(p.Text) {
			continue
		}
		part := partAt(in.Needle.Parts, p.Line)
		if part == nil || part.CastOn != nil || part.Stated == nil {
			continue
		}
		var before *needle.Lin
		for _, e := range part.Rows {
			if e.Lin == nil {
				before = nil
				continue
			}
			if before != nil && *before != *e.Lin {
				in.Out.Add(finding.Finding{Code: "stated-count-differs", Span: e.Span, Row: e.Name, Message: fmt.Sprintf("“%s”, but this row turns %s sts into %s", p.Text, multipleOf(*before), multipleOf(*e.Lin))})
				break
			}
			before = e.Lin
		}
	}
}

// partAt is the part that a line stands in or, before the first, at; nil where there is none.
func partAt(parts []*needle.Part, line int) *needle.Part {
	var at *needle.Part
	for _, p := range parts {
		if at == nil || p.Line <= line {
			at = p
		}
	}
	return at
}

func multipleOf(l needle.Lin) string {
	if l.D < 0 {
		return fmt.Sprintf("%dn − %d", l.C, -l.D)
	}
	return fmt.Sprintf("%dn + %d", l.C, l.D)
}
