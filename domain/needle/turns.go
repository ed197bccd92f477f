package needle

import (
	"fmt"
	"regexp"
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// This file looks at what a row does to the row before it, where the count alone does not tell:
// decreases at the gap of a turn, and extra wraps that are dropped.

// meetsGap checks, in a row of a turned heel ("Sl 1, k6, ssk, k1, turn"), that its decrease joins the
// stitches on both sides of the gap where an earlier row was turned. It is told once in a part.
func (r *run) meetsGap(d *def, lanes []*lane) {
	turned, ok := turnedDecrease(d.body)
	if !ok || r.gapMissed {
		return
	}
	var bad []*lane
	msg := ""
	for _, l := range lanes {
		before := 0
		for _, o := range turned.before {
			e := r.w.fixedOp(o, l.size)
			if !e.ok {
				return
			}
			before += e.in
		}
		dec := r.w.fixedOp(turned.dec, l.size)
		gap, beyond, ok := l.firstGap()
		if !dec.ok || dec.in != 2 || dec.out != 1 || !ok || l.tainted || l.dead || beyond == 0 {
			return
		}
		if off := before + 1 - gap; off != 0 && off >= -2 && off <= 2 {
			bad = append(bad, l)
			if msg == "" {
				msg = fmt.Sprintf("the decrease takes stitches %d and %d of the row, but the gap of the turn lies behind stitch %d: %s should come before it, not %d", before+1, before+2, gap, sts(K(gap-1)), before)
			}
		}
	}
	if len(bad) == 0 {
		return
	}
	r.gapMissed = true
	r.add(finding.Finding{Code: "gap-missed", Span: turned.dec.Span, Row: d.name, Sizes: r.sizesOf(bad), Message: r.atSizes(bad, msg)})
}

// atTurn is a row of a turned heel, in parts.
type atTurn struct {
	before []notation.Op // slipped and plain stitches
	dec    *notation.Do
}

// turnedDecrease takes such a row apart: plain stitches, one decrease, at most one plain stitch,
// and the turn.
func turnedDecrease(body []notation.Op) (t atTurn, ok bool) {
	turns := false
	behind := 0
	for _, o := range body {
		switch o := o.(type) {
		case *notation.Remark:
		case *notation.Turn:
			turns = !o.Wrap
		case *notation.Do:
			plain := o.Key == "k" || o.Key == "p" || strings.HasPrefix(o.Key, "sl")
			switch {
			case turns:
				return t, false
			case t.dec == nil && plain:
				t.before = append(t.before, o)
			case t.dec == nil:
				t.dec = o
			case plain && behind == 0 && o.Times.Single() && o.Times.For(0) == 1:
				behind++
			default:
				return t, false
			}
		default:
			return t, false
		}
	}
	return t, turns && t.dec != nil && len(t.before) > 0 && !t.dec.Times.Given() && behind == 1
}

// firstGap is how many stitches lie before the first gap of a turn ahead, and behind it.
func (l *lane) firstGap() (before, beyond int, ok bool) {
	var sum Lin
	for i := len(l.left.group) - 1; i > 0; i-- {
		sum = sum.plus(l.left.group[i])
		if l.left.bound[i]&gap != 0 && !sum.zero() {
			rest := l.left.total().minus(sum)
			return sum.D, rest.D, sum.C == 0 && rest.C == 0
		}
	}
	return 0, 0, false
}

// reExtra is a row that lets extra wraps go.
var reExtra = regexp.MustCompile(`(?:drop|let)\w* (?:off )?(?:all )?(?:of )?(?:the )?(?:extra|additional) (?:yarn )?(?:wraps?|loops?|winds?)\b`)

// wrapsMade checks that a row which drops extra wraps follows one that made some. Only rows numbered
// one after the other are held against each other, and only plain ones surely made none.
func (r *run) wrapsMade(d *def) {
	if len(r.history) == 0 || d.number == 0 || d.row.Span.Line < 1 || d.row.Span.Line > len(r.ms.Source) {
		return
	}
	above := r.history[len(r.history)-1]
	if above.number != d.number-1 || len(above.body) == 0 || !plainRow(above.body) || d.row.As != nil {
		return
	}
	line := strings.ToLower(r.ms.Source[d.row.Span.Line-1])
	if !strings.Contains(line, "extra") && !strings.Contains(line, "additional") { // the expression is dear
		return
	}
	at := reExtra.FindStringIndex(line)
	if at == nil || reWinds.MatchString(r.ms.Source[max(1, above.row.Span.Line)-1]) {
		return
	}
	col := len([]rune(line[:at[0]])) + 1
	span := finding.Span{Line: d.row.Span.Line, Col: col, EndLine: d.row.Span.Line, EndCol: col + at[1] - at[0]}
	r.add(finding.Finding{Code: "wraps-never-made", Span: span, Row: d.name, Message: fmt.Sprintf("row %s drops extra wraps, but row %s makes none", d.name, above.name)})
}

// reWinds are words of winding the yarn more than once.
var reWinds = regexp.MustCompile(`(?i)wind|wrap|wound|thr(?:ow|ew)|twice|times|elongat|double|yo|over`)

// plainRow says that a row knits and purls, and no more.
func plainRow(body []notation.Op) bool {
	plain := true
	notation.Each(body, func(o notation.Op) {
		switch o := o.(type) {
		case *notation.Do:
			plain = plain && (o.Key == "k" || o.Key == "p") && o.Wraps == 0
		case *notation.Until, *notation.Repeat, *notation.Group, *notation.UseYarn:
		default:
			plain = false
		}
	})
	return plain
}

// oneNeedle takes the stitches at the far end together, over the tips of needles and markers, until they are n.
func (s *stack) oneNeedle(n int) {
	for len(s.group) > 1 && (s.bound[1] == tip || s.bound[1] == marker) && s.group[0].C == 0 && s.group[0].D < n {
		s.group[1] = s.group[1].plus(s.group[0])
		s.group, s.bound = s.group[1:], s.bound[1:]
		s.bound[0] = 0
	}
}

// outsideGaps is how many stitches lie beyond the places where the last rows turned: at the far end of the left
// needle, and on the right one.
func (l *lane) outsideGaps() (far, near int) {
	n, m := Lin{}, Lin{}
	for i, past := len(l.left.group)-1, false; i >= 0; i-- {
		if past {
			n = n.plus(l.left.group[i])
		}
		past = past || i > 0 && l.left.bound[i]&gap != 0
	}
	if k := len(l.right.bound) - 1; k > 0 && l.right.bound[k]&gap != 0 {
		m = l.right.total()
	}
	if n.C != 0 || m.C != 0 {
		return 0, 0
	}
	return max(0, n.D), max(0, m.D)
}

// takesOutside is how many stitches from beyond the gap the last row took: the one that its last decrease
// works with the one before the gap, and those worked behind. 0 where the row is none of a heel that is turned.
func (r *run) takesOutside() int {
	if len(r.history) == 0 || r.history[len(r.history)-1].row == nil {
		return 0
	}
	n, dec, turned := 0, false, false
	for _, o := range r.history[len(r.history)-1].body {
		switch o := o.(type) {
		case *notation.Do:
			in, out, _ := r.w.counts(o)
			if in == out+1 && out == 1 {
				n, dec = 1, true
			} else if dec && in == out {
				n += in * max(0, o.Times.For(0))
			}
		case *notation.Turn:
			turned = true
		case *notation.Until:
			n, dec = 0, false
		}
	}
	if !dec || !turned {
		return 0
	}
	return n
}

// allWorkedIn checks that a heel which is turned as it was begun "until all the stitches are worked in" comes to the
// count that is stated.
func (r *run) allWorkedIn(it *notation.Shape, ls []*lane, name string) {
	per := r.takesOutside()
	if per == 0 || !allWorked.MatchString(it.Words) {
		return
	}
	var bad []*lane
	left := func(l *lane) int {
		far, near := l.outsideGaps()
		return l.total().D - (far+per-1)/per - (near+per-1)/per
	}
	for _, l := range ls {
		far, near := l.outsideGaps()
		if want := it.Until.For(l.size); far > 0 && near > 0 && want >= 0 && l.total().C == 0 && !l.tainted && !l.dead && want != left(l) {
			bad = append(bad, l)
		}
	}
	if len(bad) == 0 {
		return
	}
	l := bad[0]
	msg := fmt.Sprintf("%s stated, %s left when all are worked in", sts(K(it.Until.For(l.size))), sts(K(left(l))))
	r.add(finding.Finding{Code: "stated-count-differs", Span: it.Span, Row: name, Sizes: r.sizesOf(bad), Message: r.atSizes(bad, msg)})
}

// allWorked are words for the end of a heel's turning.
var allWorked = regexp.MustCompile(`(?i)\ball (?:the |of the )?(?:heel |side |flap )?(?:sts|stitches)\.? (?:are|have been|are all|have all been) (?:worked|used)`)

// leftOutside tells of rows that are worked until all stitches are, and by the count stated behind end before: "until
// all heel sts have been worked, 20 sts remain". A last stitch at either end may be worked into the last decrease.
func (r *run) leftOutside(it *notation.RepRows, lanes []*lane, end notation.Num) {
	outside := func(l *lane) int { far, near := l.outsideGaps(); return far + near }
	early := func(l *lane) bool { far, near := l.outsideGaps(); return far > 1 || near > 1 }
	var bad []*lane
	for _, l := range lanes {
		if t := l.total(); t.C == 0 && t.D == end.For(l.size) && !l.tainted && !l.dead && early(l) {
			bad = append(bad, l)
		}
	}
	if len(bad) == 0 {
		return
	}
	l := bad[0]
	msg := fmt.Sprintf("%s stated, but then %d at the sides are not worked yet", sts(K(end.For(l.size))), outside(l))
	r.add(finding.Finding{Code: "stated-count-differs", Span: it.Span, Row: it.Words, Sizes: r.sizesOf(bad), Message: r.atSizes(bad, msg)})
}
