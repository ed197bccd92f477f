package needle

import (
	"regexp"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// This file takes the stitches of an instep to wait where a heel is knitted in rows and no sentence that
// was understood says so.

// heelWords speak of a heel, or of what waits meanwhile.
var heelWords = regexp.MustCompile(`(?i)\b(?:heel|flap|instep)`)

// heelWaits says that a row leaves about half of a round unworked as the first row of a heel: it is no
// round, takes a number of stitches that is told, does not turn in its midst, and a heel was spoken of above it.
// The rest waits then, and a note says that it was taken so.
func (r *run) heelWaits(l *lane, d *def, left Lin) bool {
	worked := l.right.total()
	if !l.round || d.row.Head.Round || len(d.row.Head.Numbers) == 0 || left.C != 0 || worked.C != 0 || !l.held.zero() || len(d.row.Stated) > 0 {
		return false
	}
	if before := worked.D + left.D; left.D <= 0 || before < 16 || 10*left.D < 4*before || 10*left.D > 6*before {
		return false
	}
	if !heelWords.MatchString(r.section) && !r.saidAbove(d.row.Span.Line) {
		return false
	}
	l.held, l.left = left, newStack(Lin{})
	if !r.heelTold && !r.silent && !r.cols {
		r.heelTold = true
		r.add(finding.Finding{Code: "heel-not-told", Span: d.row.Span, Row: d.name, Message: sts(left) + " are left unworked and taken to wait for the instep; say so, and how many"})
	}
	return true
}

// saidAbove says that the words right above a row, up to the row before it, speak of a heel.
func (r *run) saidAbove(line int) bool {
	for n := line - 1; n >= 1 && n >= line-4 && n <= len(r.ms.Source); n-- {
		if heelWords.MatchString(r.ms.Source[n-1]) {
			return true
		}
	}
	return false
}

// gussetRow says that a row picks up both sides of a heel and ends within the heel again.
func gussetRow(body []notation.Op) bool {
	picks, again := 0, false
	for _, o := range body {
		switch o := o.(type) {
		case *notation.CastOn:
			if o.Picked {
				picks++
			}
			again = false
		case *notation.Do:
			again = picks == 2 && o.From == "" && o.Times.Given()
		}
	}
	return picks == 2 && again
}
