package lineage

import (
	"cmp"
	"slices"
)

const (
	// mostParts bounds into how many rows one is seen to be split.
	mostParts = 6
	// wholeEnough is the likeness of the parts together to the whole.
	wholeEnough = 0.8
)

// division is a row of one text that stands as several in the other.
type division struct {
	whole       int // index in the one text
	from, parts int // first index and number in the other
	like        float64
}

// splitsAndMerges looks for rows that were written out as several, or several as
// one, among the unmatched neighbours of either text; then the proposals of the
// alignment that are still free become pairs.
func (t *tracer) splitsAndMerges() {
	for _, d := range t.divisions(t.old, t.new) {
		if !t.old[d.whole].free() || !allFree(t.new[d.from:d.from+d.parts]) {
			continue
		}
		heir := d.from
		for k := d.from; k < d.from+d.parts; k++ {
			if len(t.new[k].tokens) > len(t.new[heir].tokens) {
				heir = k
			}
		}
		t.pair(d.whole, heir)
		for k := d.from; k < d.from+d.parts; k++ {
			if k != heir {
				t.new[k].parents = append(t.new[k].parents, d.whole)
			}
		}
	}
	for _, d := range t.divisions(t.new, t.old) {
		if !t.new[d.whole].free() || !allFree(t.old[d.from:d.from+d.parts]) {
			continue
		}
		t.pair(d.from, d.whole)
		for k := d.from + 1; k < d.from+d.parts; k++ {
			t.new[d.whole].parents = append(t.new[d.whole].parents, k)
			t.old[k].merged = true
		}
	}
	for _, p := range t.proposed {
		if t.bothFree(p[0], p[1]) {
			t.pair(p[0], p[1])
		}
	}
}

// divisions finds for each unmatched row of one text the run of unmatched rows of
// the other that together are most like it, the most alike first.
func (t *tracer) divisions(wholes, pieces []item) []division {
	var out []division
	for w := range wholes {
		if !wholes[w].free() || len(wholes[w].tokens) < 2 {
			continue
		}
		best := division{whole: w}
		for from := range pieces {
			if t.budget--; t.budget < 0 {
				return out
			}
			if d := t.divisionAt(&wholes[w], pieces, from); d.like > best.like {
				best.from, best.parts, best.like = from, d.parts, d.like
			}
		}
		if best.parts > 0 {
			out = append(out, best)
		}
	}
	slices.SortStableFunc(out, func(a, b division) int { return cmp.Compare(b.like, a.like) })
	return out
}

// divisionAt is the best run of two or more rows that begins at from; like is 0
// when there is none.
func (t *tracer) divisionAt(whole *item, pieces []item, from int) division {
	best := division{}
	var joined []int
	for k := 0; k < mostParts && from+k < len(pieces); k++ {
		part := &pieces[from+k]
		if !part.free() || part.piece != whole.piece || len(part.tokens) == 0 || !t.partOf(part.tokens, whole.tokens) {
			break
		}
		if joined = append(joined, part.tokens...); len(joined) > 2*len(whole.tokens) {
			break
		}
		if k == 0 {
			continue
		}
		if like := t.likeness(joined, whole.tokens); like >= wholeEnough && like > best.like {
			best = division{parts: k + 1, like: like}
		}
	}
	return best
}

func allFree(items []item) bool {
	for i := range items {
		if !items[i].free() {
			return false
		}
	}
	return true
}

// partOf reports whether nearly all of a part's tokens stand in the whole, in order.
func (t *tracer) partOf(part, whole []int) bool {
	if len(part) >= len(whole) {
		return false
	}
	return 5*t.common(part, whole) >= 4*len(part)
}

// ranges records the splits and merges that only the heads tell: "Rows 1–4: k"
// written as "Rows 1–2: k" and "Rows 3–4: k", or the other way round.
func (t *tracer) ranges() {
	for n := range t.new { // a new row beside the heir of the range that held its numbers
		it := &t.new[n]
		if !it.free() || len(it.numbers) == 0 {
			continue
		}
		for _, beside := range []int{n - 1, n + 1} {
			if beside < 0 || beside >= len(t.new) || t.new[beside].mate == none {
				continue
			}
			o := t.new[beside].mate
			if w := &t.old[o]; w.text == it.text && w.piece == it.piece && w.head != t.new[beside].head && subset(it.numbers, w.numbers) {
				it.parents = append(it.parents, o)
				break
			}
		}
	}
	for o := range t.old { // an old row whose numbers went into its neighbour's range
		it := &t.old[o]
		if !it.free() || len(it.numbers) == 0 {
			continue
		}
		for _, beside := range []int{o - 1, o + 1, o - 2, o + 2} {
			if beside < 0 || beside >= len(t.old) || t.old[beside].mate == none {
				continue
			}
			n := t.old[beside].mate
			if w := &t.new[n]; w.text == it.text && w.piece == it.piece && w.head != t.old[beside].head && subset(it.numbers, w.numbers) {
				w.parents = append(w.parents, o)
				it.merged = true
				break
			}
		}
	}
}

// subset reports whether each of a, ascending, is in b, ascending.
func subset(a, b []int) bool {
	for _, x := range a {
		if _, ok := slices.BinarySearch(b, x); !ok {
			return false
		}
	}
	return true
}

// bothFree reports whether an old and a new row can still be paired.
func (t *tracer) bothFree(o, n int) bool { return t.old[o].free() && t.new[n].free() }
