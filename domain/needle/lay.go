package needle

import (
	"fmt"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// This file lays the stitches out over several needles, or between markers hung in one
// sentence, and passes from needle to needle within a row.

// maxLaid bounds how many groups one sentence lays out.
const maxLaid = 400

// lay does what a sentence says of where the stitches lie. One that does not come out
// at the number on the needles is told, and changes nothing.
func (r *run) lay(it *notation.Prose) {
	l := it.Lay
	if l.All.Given() {
		r.takeBack(l.All)
		return
	}
	var bad []*lane
	said := ""
	for _, ln := range r.lanes {
		if r.only != nil && !contains(r.only, ln.size) {
			continue
		}
		total := ln.total()
		if total.C != 0 || !ln.right.total().zero() || ln.tainted {
			continue
		}
		groups, sum := layOut(l, ln.size, total.D)
		switch {
		case groups == nil && sum >= 0:
			if bad = append(bad, ln); said == "" {
				said = fmt.Sprintf("%s laid out, %s on the needle", sts(K(sum)), sts(total))
			}
		case groups != nil:
			ln.hang(groups, l.Needles)
		}
	}
	if len(bad) > 0 {
		r.add(finding.Finding{Code: "stated-count-differs", Span: it.Span, Row: shapeName(it.Text), Sizes: r.sizesOf(bad), Message: r.atSizes(bad, said)})
	}
}

// takeBack has the stitches that wait worked again with those on the needle, where so many are told to be all.
func (r *run) takeBack(all notation.Num) {
	for _, l := range r.lanes {
		want, t := all.For(l.size), l.total()
		if r.only != nil && !contains(r.only, l.size) || t.C != 0 || l.held.C != 0 || l.held.zero() || t.D+l.held.D != want {
			continue
		}
		l.left, l.right = newStack(t.plus(l.held)), newStack(Lin{})
		l.held = Lin{}
		if r.part.Round {
			l.round, l.short = true, false
		}
		if l.cols != nil {
			l.cols.fit(want, 0)
		}
	}
}

// layOut gives the stitches of each group, in the order of working. It is nil where
// nothing is known, with the sum that was said where that is not the total, else -1.
func layOut(l *notation.Lay, size, total int) (groups []int, sum int) {
	if len(l.On) > 0 {
		for _, n := range l.On {
			v := max(0, n.For(size))
			groups, sum = append(groups, v), sum+v
		}
		if sum != total {
			return nil, sum
		}
		return groups, sum
	}
	each, count := 0, l.Count
	switch {
	case l.Each.Given():
		each = l.Each.For(size)
	case count > 0 && total%count == 0:
		each = total / count
	}
	if each <= 0 || total/each > maxLaid {
		return nil, -1
	}
	if count == 0 {
		count = total / each
	}
	switch rest := total - count*each; {
	case rest == 0, rest == each && !l.Needles: // the last one ends the round
		for left := total; left > 0; left -= each {
			groups = append(groups, each)
		}
		return groups, total
	case l.Needles || l.Each.Given() && count > 2:
		return nil, count * each
	}
	rest := total - (count-1)*each
	if rest < 0 || rest%2 != 0 {
		return nil, -1
	}
	groups = append(groups, rest/2) // so many between them, in the middle
	for k := 1; k < count; k++ {
		groups = append(groups, each)
	}
	return append(groups, rest/2), total
}

// hang puts boundaries between groups of stitches; behind the last one, too, where
// markers divide a round.
func (l *lane) hang(groups []int, needles bool) {
	kind := uint8(marker)
	rest := groups[len(groups)-1]
	groups = groups[:len(groups)-1]
	if needles {
		kind = tip
	} else if l.round && (len(groups) == 0 || groups[0] == rest) {
		groups, rest = append(groups, rest), 0
	}
	s := newStack(K(rest))
	for i := len(groups) - 1; i >= 0; i-- {
		s.push(kind)
		*s.top() = K(groups[i])
	}
	l.left, l.right = s, newStack(Lin{})
}

// nextNeedle goes on with another needle: what lay on the one before is worked.
func (w *worker) nextNeedle(l *lane, o *notation.Mark) *failure {
	if l.right.total().zero() && len(l.right.group) == 1 {
		return nil // the first
	}
	for len(l.left.group) > 1 && l.left.top().zero() {
		bound := l.left.bound[len(l.left.bound)-1]
		l.passMarker()
		if bound&(tip|marker|roundStart) != 0 {
			return nil
		}
	}
	if k := len(l.right.group); k > 1 && l.right.top().zero() && l.right.bound[k-1]&(tip|marker|roundStart) != 0 {
		return nil
	}
	for _, b := range l.left.bound {
		if b&(tip|marker) != 0 && !l.left.top().zero() {
			f := l.fail("stitches-left-over", o.Span, "%s left over on the needle before", sts(*l.left.top()))
			return f
		}
	}
	return l.fail("row-not-understood", o.Span, "how the stitches lie on the needles is not told here; say how many are on each")
}

// stepNeedle goes on with the next needle where one has been worked to its end.
func (l *lane) stepNeedle() {
	if k := len(l.left.group) - 1; k > 0 && l.left.top().zero() && !l.right.total().zero() && l.left.bound[k]&tip != 0 {
		l.passMarker()
	}
}
