package needle

import "rowproof/domain/notation"

// This file hangs the markers that stand between stitches as they are begun.

// placeMarkers hangs markers after so many stitches of the cast-on.
func (r *run) placeMarkers(l *lane, b *notation.Begin) {
	var sizes []Lin
	rest := l.left.group[0]
	for _, m := range b.Markers {
		n := K(max(0, m.For(l.size)))
		if d := rest.minus(n); d.C == 0 && d.D < 0 {
			return
		}
		sizes = append(sizes, n)
		rest = rest.minus(n)
	}
	l.left = hung(sizes, rest)
}

// hung is a needle of stitches with markers behind each of the groups, and rest behind the last.
func hung(groups []Lin, rest Lin) stack {
	s := newStack(rest)
	for i := len(groups) - 1; i >= 0; i-- {
		s.push(marker)
		*s.top() = groups[i]
	}
	return s
}

// hangMarkers hangs markers behind so many stitches of the row to come, counted from its beginning.
func (r *run) hangMarkers(l *lane, m *notation.Markers) {
	t := l.total()
	if t.C != 0 || !l.right.total().zero() || l.dead {
		return
	}
	var groups []Lin
	at := 0
	for _, after := range m.After {
		n := after.For(l.size)
		if n <= at || n >= t.D {
			return
		}
		groups, at = append(groups, K(n-at)), n
	}
	for n := at; m.Every && at+n < t.D; at += n {
		groups = append(groups, K(n))
	}
	l.left, l.right, l.marked = hung(groups, K(t.D-at)), newStack(Lin{}), true
	if l.cols != nil {
		l.cols.fit(t.D, 0)
	}
}
