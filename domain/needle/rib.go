package needle

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

var ribWords = regexp.MustCompile(`\bk\s?(\d{1,2}),?\s*p\s?(\d{1,2})\b`)

// ribFits asks whether "k2, p2 rib" told in words goes up in the stitches: in
// rounds a whole number of ribs is wanted; flat, the row may also end as it
// began (common practice).
func (r *run) ribFits(it *notation.Straight, ls []*lane, name string) {
	words := strings.ToLower(it.Words)
	if !strings.Contains(words, "rib") {
		return
	}
	m := ribWords.FindStringSubmatch(words)
	if m == nil {
		return
	}
	k, _ := strconv.Atoi(m[1])
	p, _ := strconv.Atoi(m[2])
	if k+p < 2 {
		return
	}
	var bad []*lane
	for _, l := range ls {
		t := l.total()
		if t.C != 0 || l.tainted || t.D == 0 {
			continue
		}
		rest := t.D % (k + p)
		if rest == 0 || !l.round && (rest == k || rest == p) {
			continue
		}
		bad = append(bad, l)
	}
	if len(bad) == 0 {
		return
	}
	l := bad[0]
	msg := fmt.Sprintf("%s do not hold a whole number of k%d, p%d ribs: %d over", sts(l.total()), k, p, l.total().D%(k+p))
	msg = r.atSizes(bad, msg)
	code := finding.Code("rib-uneven")
	if l.round {
		code = "rib-does-not-fit"
	}
	r.add(finding.Finding{Code: code, Span: it.Span, Row: name, Sizes: r.sizesOf(bad), Message: msg})
}
