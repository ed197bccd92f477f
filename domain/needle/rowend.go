package needle

import (
	"fmt"
	"regexp"
	"strings"

	"rowproof/domain/notation"
)

// This file tells what the end of a row asks for: where the next begins, and whether the row has come out.

// startMoved finds words that say that the round begins elsewhere from here on.
var startMoved = regexp.MustCompile(`new (?:beg|start|bor\b)|now beg|(?:beg|beginning|start) of (?:the |your |each |every |this |all )?r(?:ou)?nds?|r(?:ou)?nds? (?:now )?(?:begins?|starts?) (?:from |in |at )|(?:is|marks|becomes) (?:the )?(?:new )?bor\b|(?:begins?|beginning|starts?|starting) (?:now )?(?:here|at (?:the )?(?:cent|middle))`)

// shiftsStart: the row says that it moves the round's start.
func (r *run) shiftsStart(d *def) bool {
	for n := d.row.Span.Line; n <= d.row.Span.EndLine+1 && n >= 1 && n <= len(r.ms.Source); n++ {
		s := strings.ToLower(r.ms.Source[n-1])
		if n > d.row.Span.EndLine && !strings.HasPrefix(s, "the r") && !strings.HasPrefix(s, "this is") && !strings.HasPrefix(s, "rounds ") && !strings.HasPrefix(s, "rnds ") {
			break // a sentence on a line of its own may say so
		}
		if startMoved.MatchString(s) {
			return true
		}
	}
	return false
}

// ymoves: yf beside slips only moves the yarn.
func (r *run) ymoves(d *def) bool {
	yf, slip, yb := false, false, false
	notation.Each(d.body, func(o notation.Op) {
		if do, ok := o.(*notation.Do); ok {
			switch {
			case do.Key == "yf":
				yf = true
			case do.Key == "yb":
				yb = true
			case strings.HasPrefix(do.Key, "sl"):
				slip = true
			}
		}
	})
	return yf && (yb && slip)
}

// onlyToLast says that a row goes as far as its last stitches and says nothing of these: "Next rnd: Knit to last 4 sts."
func onlyToLast(body []notation.Op) bool {
	if len(body) != 1 {
		return false
	}
	u, ok := body[0].(*notation.Until)
	return ok && u.To.Kind == notation.ToLast && u.To.Name == ""
}

// onlyPlain says that a sentence works a few plain stitches and no more, "K4. Graft the toe."
func onlyPlain(body []notation.Op) bool {
	if len(body) != 1 {
		return false
	}
	d, ok := body[0].(*notation.Do)
	return ok && (d.Key == "k" || d.Key == "p") && d.Times.Given()
}

// rowEnd checks that the row has used its stitches up.
func (r *run) rowEnd(l *lane, d *def) *failure {
	at := d.row.Span
	if n := len(d.body); n > 0 {
		at = notation.SpanOf(d.body[n-1])
	}
	if len(l.cable) > 0 {
		return l.fail("cable-needle-full", at, "%s left on the cable needle at the end of the row", sts(l.cable[0]))
	}
	left := l.left.total()
	if l.left_ || left.zero() {
		return nil
	}
	if l.shifts && !l.right.total().zero() && left.C == 0 && left.D > 0 {
		return nil
	}
	if l.round && l.short && l.toEnd().zero() {
		return nil
	}
	if r.heelWaits(l, d, left) {
		return nil
	}
	if l.round && left.C == 0 && left.D > 0 && len(d.row.Head.Numbers) == 0 && (onlyToLast(d.body) || d.row.Head.Span.Line == 0 && onlyPlain(d.body)) { // the round begins there from now on
		return nil
	}
	if left.C == 0 && left.D < 0 {
		return l.fail("runs-out-of-stitches", at, "more dropped than is on the needle")
	}
	f := l.fail("stitches-left-over", at, "%s left over at the end of the row", sts(left))
	f.missing = left.D
	if left.C != 0 {
		if left.C > 0 || left.D%left.C != 0 {
			f.smallest = max(1, l.min)
			if left.At(f.smallest) == 0 {
				f.smallest++
			}
		}
		f.msg = fmt.Sprintf("%s left over at the end of the row", sts(left))
	}
	return f
}

// joins: a row that brings pieces together on one needle.
func joins(d *def, section string) bool {
	return saysJoin(d.row.Head.Words) || d.number == 0 && saysJoin(section)
}

func saysJoin(s string) bool {
	return strings.Contains(s, "oin") && strings.Contains(strings.ToLower(s), "join") || strings.Contains(s, "JOIN")
}

// bindsAll: a row that does nothing but bind off.
func bindsAll(body []notation.Op) bool {
	n := 0
	for _, o := range body {
		switch o.(type) {
		case *notation.BindOff:
			n++
		case *notation.Remark, *notation.UseYarn, *notation.Join:
		default:
			return false
		}
	}
	return n > 0
}
