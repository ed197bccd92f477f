package lineage

import "sort"

const (
	// alignCells bounds the table for aligning what lies between two anchors.
	alignCells = 40_000
	// deepest bounds the search for anchors between anchors.
	deepest = 12

	sameText  = 20 // plus the two below
	samePiece = 4
	sameHead  = 2  // little: a row put in renumbers all that follow
	alikeText = 16 // times the square of the likeness, when that reaches likeEnough
)

// likeEnough is the likeness from which two texts may be the same row.
const likeEnough = 0.5

// anchor finds the rows of a span that are the same in both texts and in the
// same order: anchors by their words alone, then by words and piece. What lies
// between is aligned; only where it is too much for that, rows that agree in
// words, piece and head are anchors too. (Heads alone mislead: a row put in
// renumbers all plain rows after it.)
func (t *tracer) anchor(s span, depth int) {
	s = t.trim(s)
	if s.oldFrom == s.oldTo || s.newFrom == s.newTo {
		return
	}
	for level := 0; level <= 2 && depth < deepest; level++ {
		if level == 2 && (s.oldTo-s.oldFrom)*(s.newTo-s.newFrom) <= alignCells {
			break
		}
		pairs := t.inOrder(t.uniques(s, level))
		if len(pairs) == 0 {
			continue
		}
		at := s
		for _, p := range pairs {
			t.pair(p[0], p[1])
			t.anchor(span{at.oldFrom, p[0], at.newFrom, p[1]}, depth+1)
			at.oldFrom, at.newFrom = p[0]+1, p[1]+1
		}
		t.anchor(at, depth+1)
		return
	}
	t.align(s)
}

// trim pairs the rows at both ends of a span that agree in words, piece and head.
func (t *tracer) trim(s span) span {
	equal := func(o, n int) bool {
		a, b := &t.old[o], &t.new[n]
		return a.text == b.text && a.piece == b.piece && a.head == b.head
	}
	for s.oldFrom < s.oldTo && s.newFrom < s.newTo && equal(s.oldFrom, s.newFrom) {
		t.pair(s.oldFrom, s.newFrom)
		s.oldFrom++
		s.newFrom++
	}
	for s.oldFrom < s.oldTo && s.newFrom < s.newTo && equal(s.oldTo-1, s.newTo-1) {
		s.oldTo--
		s.newTo--
		t.pair(s.oldTo, s.newTo)
	}
	return s
}

// uniques lists the pairs (old, new) of a span whose key occurs once on each
// side, by new index. level chooses the key: 0 words, 1 words and piece,
// 2 words, piece and head.
func (t *tracer) uniques(s span, level int) [][2]int {
	keyOf := func(it *item) key {
		switch level {
		case 0:
			return key{none, none, it.text}
		case 1:
			return key{it.piece, none, it.text}
		}
		return key{it.piece, it.head, it.text}
	}
	seen := make(map[key]int, s.oldTo-s.oldFrom) // old index, or none when there are several
	for o := s.oldFrom; o < s.oldTo; o++ {
		k := keyOf(&t.old[o])
		if _, twice := seen[k]; twice {
			seen[k] = none
		} else {
			seen[k] = o
		}
	}
	counts := make(map[key]int, s.newTo-s.newFrom)
	for n := s.newFrom; n < s.newTo; n++ {
		counts[keyOf(&t.new[n])]++
	}
	var pairs [][2]int
	for n := s.newFrom; n < s.newTo; n++ {
		k := keyOf(&t.new[n])
		if o, ok := seen[k]; ok && o != none && counts[k] == 1 && t.mayBe(&t.old[o], &t.new[n]) {
			pairs = append(pairs, [2]int{o, n})
		}
	}
	return pairs
}

// mayBe reports whether an old and a new row can be the same at all: of one
// piece, of a piece that seems to have been renamed, or with words enough to be
// telling. A plain purl row of another piece is another row.
func (t *tracer) mayBe(o, n *item) bool {
	return o.piece == n.piece || len(n.tokens) >= telling ||
		!t.newPieces[o.piece] && !t.oldPieces[n.piece]
}

// inOrder keeps a longest run of pairs whose old indexes ascend too (patience
// sorting); the others have moved.
func (t *tracer) inOrder(pairs [][2]int) [][2]int {
	var tops []int // pile -> index of its top pair
	back := make([]int, len(pairs))
	for i, p := range pairs {
		pile := sort.Search(len(tops), func(k int) bool { return pairs[tops[k]][0] > p[0] })
		back[i] = none
		if pile > 0 {
			back[i] = tops[pile-1]
		}
		if pile == len(tops) {
			tops = append(tops, i)
		} else {
			tops[pile] = i
		}
	}
	if len(tops) == 0 {
		return nil
	}
	out := make([][2]int, len(tops))
	for i, k := tops[len(tops)-1], len(tops)-1; k >= 0; i, k = back[i], k-1 {
		out[k] = pairs[i]
	}
	return out
}

// align pairs the rows of a span in order for the greatest sum of weights
// (Needleman and Wunsch, 1970, with free gaps). A span too large for the table
// is left to the later passes, which need no order.
func (t *tracer) align(s span) {
	n, m := s.oldTo-s.oldFrom, s.newTo-s.newFrom
	if n == 0 || m == 0 || n*m > alignCells {
		return
	}
	weight := make([]float64, n*m)
	best := make([]float64, (n+1)*(m+1)) // best[i][j]: of old rows from i on with new rows from j on
	for i := n - 1; i >= 0; i-- {
		for j := m - 1; j >= 0; j-- {
			w := t.weight(&t.old[s.oldFrom+i], &t.new[s.newFrom+j])
			weight[i*m+j] = w
			b := max(best[(i+1)*(m+1)+j], best[i*(m+1)+j+1])
			if w > 0 {
				b = max(b, w+best[(i+1)*(m+1)+j+1])
			}
			best[i*(m+1)+j] = b
		}
	}
	for i, j := 0, 0; i < n && j < m; {
		w := weight[i*m+j]
		switch b := best[i*(m+1)+j]; {
		case w > 0 && b == w+best[(i+1)*(m+1)+j+1]:
			t.pairUnlessSplit(s.oldFrom+i, s.newFrom+j)
			i++
			j++
		case b == best[(i+1)*(m+1)+j]:
			i++
		default:
			j++
		}
	}
}

// pairUnlessSplit pairs rows of the same words at once. Rows that are only alike
// or only share their head wait as a proposal: they may be parts of a split or merge.
func (t *tracer) pairUnlessSplit(o, n int) {
	if t.old[o].text == t.new[n].text {
		t.pair(o, n)
		return
	}
	t.proposed = append(t.proposed, [2]int{o, n})
}

// weight says how much speaks for two rows in the same place being the same, 0
// for nothing.
func (t *tracer) weight(a, b *item) float64 {
	if !t.mayBe(a, b) {
		return 0
	}
	w := 0.0
	if a.piece == b.piece {
		w += samePiece
	}
	if a.head == b.head && len(a.numbers) > 0 {
		w += sameHead
	}
	if a.text == b.text {
		return w + sameText
	}
	if like := t.likeness(a.tokens, b.tokens); like >= likeEnough {
		return w + alikeText*like*like
	}
	if a.piece == b.piece && a.head == b.head {
		return w // rewritten in its place
	}
	return 0
}
