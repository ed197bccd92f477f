package review

import (
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/yarn"
)

// This file holds the check of what the head states against the published ranges.

func init() {
	checks = append(checks, check{"gauge-needle-yarn", goTogether})
}

// goTogether holds gauge in stockinette, needle and weight class against one another
// (reference: the tables of domain/yarn, with their sources). A note: the published
// ranges are those most in use, no limits.
func goTogether(in Input) {
	clashes := yarn.Clashes(in.Manuscript)
	if len(clashes) == 0 {
		return
	}
	line := clashes[0].Line
	var said []string
	for _, c := range clashes {
		said = append(said, c.String())
	}
	width := len([]rune(in.Manuscript.Source[line-1]))
	in.Out.Add(finding.Finding{Code: "gauge-needle-yarn", Span: finding.Span{Line: line, Col: 1, EndLine: line, EndCol: 1 + width},
		Message: strings.Join(said, "; ")})
}
