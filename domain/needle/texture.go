package needle

import "rowproof/domain/notation"

// Texture works one row's body on so many stitches of one size and tells what
// was done to each, one character a stitch in the order of working: k, p, s
// (slipped), . (in pattern) and * (anything else). It reports false where the
// row does not come out on them.
func Texture(ms *notation.Manuscript, body []notation.Op, stitches, size int, round bool) (string, bool) {
	if stitches < 1 || stitches > 5000 {
		return "", false
	}
	budget := 50_000
	w := &worker{ms: ms, budget: &budget, own: map[string]effect{}}
	l := newLane(size, K(stitches))
	l.round = round
	l.cols = newColumns(stitches)
	l.cols.traced = true
	if f := w.ops(l, body); f != nil {
		return "", false
	}
	if !l.left.total().zero() {
		return "", false
	}
	return string(l.cols.trace), true
}
