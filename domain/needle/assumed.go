package needle

import (
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// This file parts the stitches between needles where the manuscript speaks of needles, but not of how
// many stitches lie on each.

// assumeNeedles lays the stitches of a round that is told by the needle out so that the round can be
// worked. Every such lie gives the same counts: what is worked to the end of a needle takes and makes
// one stitch for one, and the decreases are the same. It is laid anew for each such round. elsewhere does so even
// where markers hang.
func (r *run) assumeNeedles(d *def, l *lane, elsewhere bool) {
	total := l.total()
	if total.C != 0 || !l.right.total().zero() || !l.assumed && !l.tipsLost && !elsewhere && l.left.marks() {
		return
	}
	groups := r.w.needleShares(d.body, l.size, total.D, lessStated(d, l))
	if len(groups) < 2 {
		return
	}
	l.hang(groups, true)
	l.assumed = true
	if sides(d.body) || l.tipsLost {
		return // of a neck, which are alike
	}
	if !r.needlesTold && !r.silent && !r.cols {
		r.needlesTold = true
		r.add(finding.Finding{Code: "needles-not-told", Span: d.row.Span, Row: d.name, Message: "how many stitches lie on each needle is not told; the counts are the same however they lie"})
	}
}

// lessStated is how many stitches fewer the count stated behind a row is than those on the needle; 0 where none is.
func lessStated(d *def, l *lane) int {
	for _, s := range d.row.Stated {
		switch s.Kind {
		case notation.CountAll:
			return l.total().D - s.N.For(l.size)
		case notation.CountDec:
			return s.N.For(l.size)
		}
	}
	return 0
}

// sides says that a row is worked over both sides of a neck.
func sides(body []notation.Op) bool {
	for _, o := range body {
		if m, ok := o.(*notation.Mark); ok && m.Do == "needle" && strings.HasPrefix(m.Name, "side") {
			return true
		}
	}
	return false
}

// marks says that markers hang on the needle, or that other needles begin.
func (s stack) marks() bool {
	for _, b := range s.bound {
		if b&(tip|marker) != 0 {
			return true
		}
	}
	return false
}

// tips says that other needles begin on it.
func (s stack) tips() bool {
	for _, b := range s.bound {
		if b&tip != 0 {
			return true
		}
	}
	return false
}

// share is what a row works off one needle.
type share struct {
	in, dec int // that is fixed: stitches taken, and how many fewer are made
	of      int // the rest comes in so many; 0 = there is no rest
}

// needleShares parts n stitches between the needles of a row, as the decreases on each ask, so that
// needles which lose more hold more. It is nil where no way is found.
func (w *worker) needleShares(body []notation.Op, size, n, less int) []int {
	shares := w.byMark(body, size)
	if shares == nil {
		shares = w.byRepeat(body, size, less)
	}
	if shares == nil {
		shares = w.byTargets(body, size)
	}
	if len(shares) < 2 {
		return nil
	}
	weights, free := 0, n
	for _, s := range shares {
		if s.of > 0 {
			weights += s.weight()
		} else {
			free -= s.in
		}
	}
	groups := make([]int, len(shares))
	left, last := n, -1
	for i, s := range shares {
		groups[i] = s.in
		if s.of > 0 {
			last = i
			if more := free*s.weight()/weights - s.in; more > 0 {
				groups[i] += more - more%s.of
			}
		}
		left -= groups[i]
	}
	if last < 0 {
		if left != 0 {
			return nil
		}
		return groups
	}
	for tries := 0; ; tries++ {
		if v := groups[last] + left - shares[last].in; v >= 0 && v%shares[last].of == 0 {
			groups[last] += left
			return groups
		}
		k := tries % len(shares) // take some off another needle
		if tries > 200 {
			return nil
		}
		if s := shares[k]; k != last && s.of > 0 && groups[k]-s.of >= s.in {
			groups[k] -= s.of
			left += s.of
		}
	}
}

func (s share) weight() int { return 1 + 2*max(0, s.dec) }

// byMark gives the shares of a row told needle by needle.
func (w *worker) byMark(body []notation.Op, size int) []share {
	var shares []share
	for _, o := range body {
		if m, ok := o.(*notation.Mark); ok && m.Do == "needle" {
			shares = append(shares, share{})
			continue
		}
		if len(shares) == 0 {
			switch o.(type) {
			case *notation.Remark, *notation.UseYarn, *notation.Mark:
				continue
			}
			return nil
		}
		if !w.addTo(&shares[len(shares)-1], o, size) {
			return nil
		}
	}
	return shares
}

// byRepeat gives the shares of "*k1, ssk, k to last 3 sts of needle, k2tog, k1; rep from * once more":
// a pass for each needle, two where it is not said how many.
func (w *worker) byRepeat(body []notation.Op, size, less int) []share {
	var shares []share
	for _, o := range body {
		var inner []notation.Op
		n, counted := 0, true
		switch o := o.(type) {
		case *notation.Repeat:
			if n, counted = w.passes(o.To, size); !counted {
				n = 2
			}
			inner = o.Body
		case *notation.Group: // "[k1, ssk, k to last 3 sts of needle, k2tog, k1] twice"
			n, inner = max(0, o.Times.For(size)), o.Body
		case *notation.Remark, *notation.UseYarn, *notation.Mark:
			continue
		default:
			return nil
		}
		if len(shares) > 0 || n < 1 || n > 9 {
			return nil
		}
		var one share
		for _, o := range inner {
			if !w.addTo(&one, o, size) {
				return nil
			}
		}
		if !counted && one.dec != 0 && less%one.dec == 0 && less/one.dec > 1 && less/one.dec < 7 {
			n = less / one.dec // as many needles as the count stated behind tells
		}
		for ; n > 0; n-- {
			shares = append(shares, one)
		}
	}
	return shares
}

// byTargets gives the shares of "k1, ssk, k to last 3 sts of first needle, k2tog, k1; k1, ssk, …": a needle ends
// when the stitches that its target left are worked.
func (w *worker) byTargets(body []notation.Op, size int) []share {
	shares := []share{{}}
	rest := -1 // stitches to the end of the needle; -1 = its target is to come
	for _, o := range body {
		if rest == 0 {
			shares, rest = append(shares, share{}), -1
		}
		s := &shares[len(shares)-1]
		in := s.in
		if !w.addTo(s, o, size) {
			return nil
		}
		if u, ok := o.(*notation.Until); ok {
			if u.To.Kind != notation.ToLast || u.To.Name != "needle" && rest >= 0 {
				continue
			}
			rest = max(0, u.To.N.For(size))
			continue
		}
		if rest >= 0 {
			if rest -= s.in - in; rest < 0 {
				return nil
			}
		}
	}
	return shares
}

// addTo adds an op to a needle's share; it reports whether what it takes is known.
func (w *worker) addTo(s *share, o notation.Op, size int) bool {
	if d, ok := o.(*notation.Do); ok && d.From != "" { // "k28 instep sts": in the round they wait no longer
		plain := *d
		plain.From = ""
		o = &plain
	}
	body := []notation.Op(nil)
	switch o := o.(type) {
	case *notation.Until:
		body = o.Body
	case *notation.Repeat:
		if _, counted := w.passes(o.To, size); !counted {
			body = o.Body
		}
	}
	if body == nil {
		e := w.fixedOp(o, size)
		s.in, s.dec = s.in+e.in, s.dec+e.in-e.out
		return e.ok
	}
	e := w.fixed(body, size)
	if !e.ok || e.in < 1 || s.of > 0 && e.in > 1 {
		return false
	}
	s.of = max(s.of, e.in)
	return true
}
