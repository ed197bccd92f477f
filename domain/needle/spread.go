package needle

import "rowproof/domain/notation"

// spread works what is left of a row and makes or takes as many stitches as bring it to the count that
// the row names: "knit, decreasing evenly to 60 sts". Where they lie is the knitter's choice; here the
// decreases are worked last, and the increases behind the last stitch, as everywhere for "evenly".
func (w *worker) spread(l *lane, o *notation.Spread) *failure {
	have, before, want := l.left.total(), l.right.total(), o.To.For(l.size)
	if have.C != 0 || before.C != 0 {
		return l.fail("row-not-understood", o.Span, "how many stitches this changes depends on the number of repeats; say how many in each")
	}
	n := want - before.D - have.D
	if o.Down {
		n = -n
	}
	if n < 0 || o.Down && 2*n > have.D {
		return l.fail("stated-count-differs", o.Span, "%d sts stated, which cannot be come to from %d", want, have.D+before.D)
	}
	plain := &notation.Do{Key: o.Key, Times: notation.N(have.D), Span: o.Span}
	change := &notation.Do{Key: "m1", Times: notation.N(n), Span: o.Span}
	switch {
	case o.Down:
		plain.Times = notation.N(have.D - 2*n)
		change.Key, change.Params = "ktog", []int{2}
		if o.Key == "p" {
			change.Key = "ptog"
		}
	case o.Key == "p":
		change.Key = "m1p"
	}
	if f := w.op(l, plain, nil); f != nil {
		return f
	}
	return w.op(l, change, nil)
}
