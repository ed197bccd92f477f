package lineage

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

const (
	// longestText is how many tokens of a row are compared.
	longestText = 400
	// mostParts bounds into how many rows one is seen to be split.
	mostParts = 6
	// wholeEnough is the likeness of the parts together to the whole.
	wholeEnough = 0.8
	// mostNumbers bounds the row numbers of one head.
	mostNumbers = 2000
	// looseLikeness is asked of rows that need not stand in the same order.
	looseLikeness = 0.6
)

// interner numbers strings and cuts rows into tokens.
type interner map[string]int

func (in interner) of(s string) int {
	if n, ok := in[s]; ok {
		return n
	}
	n := len(in)
	in[s] = n
	return n
}

func (in interner) item(piece, head, text string) item {
	words := strings.Join(strings.Fields(strings.ToLower(text)), " ")
	it := item{piece: in.of(squeeze(piece)), head: in.of(squeeze(head)), text: in.of(words), mate: none}
	var all []int
	cut(words, func(tok string) bool {
		n := in.of(tok)
		if all = append(all, n); !filler[tok] {
			it.tokens = append(it.tokens, n)
		}
		return len(all) < longestText
	})
	if len(it.tokens) == 0 {
		it.tokens = all
	}
	it.numbers = headNumbers(head)
	return it
}

// filler are words that stand in so many rows that they make none alike.
var filler = map[string]bool{"rep": true, "repeat": true, "from": true, "around": true, "to": true, "end": true,
	"the": true, "of": true, "and": true, "sts": true, "last": true}

// squeeze evens out spaces and case.
func squeeze(s string) string { return strings.Join(strings.Fields(strings.ToLower(s)), " ") }

// cut yields the words, the numbers and each asterisk or bracket of a text;
// commas and the like carry no meaning of their own.
func cut(s string, yield func(string) bool) {
	class := func(r rune) int {
		switch {
		case unicode.IsDigit(r):
			return 1
		case unicode.IsLetter(r):
			return 2
		case strings.ContainsRune("*[](){}†", r):
			return 3
		}
		return 0
	}
	start, at := 0, 0
	for i, r := range s {
		c := class(r)
		if c == at && c != 3 {
			continue
		}
		if at != 0 && !yield(s[start:i]) {
			return
		}
		start, at = i, c
	}
	if at != 0 {
		yield(s[start:])
	}
}

// headNumbers reads the row numbers of a head: "Rows 1, 3 and 5–7 (WS)" has 1 3 5 6 7.
func headNumbers(head string) []int {
	var out []int
	prev, ranged := 0, false
	for i := 0; i < len(head); {
		c := head[i]
		switch {
		case c >= '0' && c <= '9':
			j := i
			for j < len(head) && head[j] >= '0' && head[j] <= '9' {
				j++
			}
			n, err := strconv.Atoi(head[i:j])
			i = j
			if err != nil || n > 1_000_000 {
				continue
			}
			from := n
			if ranged && prev > 0 && prev < n {
				from = prev + 1
			}
			for k := from; k <= n && len(out) < mostNumbers; k++ {
				out = append(out, k)
			}
			prev, ranged = n, false
			continue
		case c == '-' || strings.HasPrefix(head[i:], "–") || strings.HasPrefix(head[i:], " to "):
			ranged = true
		case c == ',' || c == '&':
			ranged = false
		}
		i++
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// likeness compares two texts: 2·(longest common subsequence)/(sum of lengths),
// from 0 to 1. When the budget is used up it is 0.
func (t *tracer) likeness(a, b []int) float64 {
	if len(a) == 0 || len(b) == 0 {
		return 0
	}
	// The shorter one bounds the answer.
	if total := len(a) + len(b); float64(2*min(len(a), len(b)))/float64(total) < likeEnough {
		return 0
	}
	return float64(2*t.common(a, b)) / float64(len(a)+len(b))
}

// common is the length of the longest common subsequence.
func (t *tracer) common(a, b []int) int {
	if t.budget -= len(a) * len(b); t.budget < 0 {
		return 0
	}
	row := make([]int, len(b)+1)
	for _, x := range a {
		diagonal := 0
		for j, y := range b {
			up := row[j+1]
			if x == y {
				row[j+1] = diagonal + 1
			} else {
				row[j+1] = max(up, row[j])
			}
			diagonal = up
		}
	}
	return row[len(b)]
}

// splitsAndMerges looks for rows that were written out as several, or several as
// one, among the unmatched neighbours of either text; then the proposals of the
// alignment that are still free become pairs.
func (t *tracer) splitsAndMerges() {
	type find struct {
		whole, from, parts int
		like               float64
	}
	look := func(wholes, pieces []item) []find {
		var finds []find
		for w := range wholes {
			if wholes[w].mate != none || len(wholes[w].tokens) < 2 {
				continue
			}
			var best find
			for from := range pieces {
				if t.budget--; t.budget < 0 {
					return finds
				}
				var joined []int
				for k := 0; k < mostParts && from+k < len(pieces) && pieces[from+k].mate == none; k++ {
					part := pieces[from+k]
					if part.piece != wholes[w].piece || len(part.tokens) == 0 ||
						!t.partOf(part.tokens, wholes[w].tokens) {
						break
					}
					joined = append(joined, part.tokens...)
					if len(joined) > 2*len(wholes[w].tokens) {
						break
					}
					if k == 0 {
						continue
					}
					if like := t.likeness(joined, wholes[w].tokens); like >= wholeEnough && like > best.like {
						best = find{w, from, k + 1, like}
					}
				}
			}
			if best.parts > 0 {
				finds = append(finds, best)
			}
		}
		slices.SortStableFunc(finds, func(a, b find) int { return cmp.Compare(b.like, a.like) })
		return finds
	}
	free := func(items []item, from, n int) bool {
		for k := range items[from : from+n] {
			if !items[from+k].free() {
				return false
			}
		}
		return true
	}
	longest := func(items []item, from, n int) int {
		at := from
		for k := from; k < from+n; k++ {
			if len(items[k].tokens) > len(items[at].tokens) {
				at = k
			}
		}
		return at
	}
	for _, f := range look(t.old, t.new) { // splits
		if !t.old[f.whole].free() || !free(t.new, f.from, f.parts) {
			continue
		}
		heir := longest(t.new, f.from, f.parts)
		t.pair(f.whole, heir)
		for k := f.from; k < f.from+f.parts; k++ {
			if k != heir {
				t.new[k].parents = append(t.new[k].parents, f.whole)
			}
		}
	}
	for _, f := range look(t.new, t.old) { // merges
		if !t.new[f.whole].free() || !free(t.old, f.from, f.parts) {
			continue
		}
		t.pair(f.from, f.whole)
		for k := f.from + 1; k < f.from+f.parts; k++ {
			t.new[f.whole].parents = append(t.new[f.whole].parents, k)
			t.old[k].merged = true
		}
	}
	for _, p := range t.proposed {
		if t.bothFree(p[0], p[1]) {
			t.pair(p[0], p[1])
		}
	}
}

func (t *tracer) bothFree(o, n int) bool { return t.old[o].free() && t.new[n].free() }

// partOf reports whether nearly all of a part's tokens stand in the whole, in order.
func (t *tracer) partOf(part, whole []int) bool {
	if len(part) >= len(whole) {
		return false
	}
	return 5*t.common(part, whole) >= 4*len(part)
}

// alike matches what is left within each piece: by likeness, the most alike
// first, then by head.
func (t *tracer) alike() {
	byPiece := map[int][]int{}
	for n := range t.new {
		if t.new[n].free() {
			byPiece[t.new[n].piece] = append(byPiece[t.new[n].piece], n)
		}
	}
	type found struct {
		o, n int
		like float64
		head bool
	}
	var finds []found
	for o := range t.old {
		if !t.old[o].free() {
			continue
		}
		for _, n := range byPiece[t.old[o].piece] {
			if t.budget < 0 {
				break
			}
			if like := t.likeness(t.old[o].tokens, t.new[n].tokens); like >= looseLikeness {
				finds = append(finds, found{o, n, like, t.old[o].head == t.new[n].head})
			}
			t.budget--
		}
	}
	slices.SortStableFunc(finds, func(a, b found) int {
		if c := cmp.Compare(b.like, a.like); c != 0 {
			return c
		}
		switch {
		case a.head && !b.head:
			return -1
		case b.head && !a.head:
			return 1
		}
		return 0
	})
	for _, f := range finds {
		if t.bothFree(f.o, f.n) {
			t.pair(f.o, f.n)
		}
	}
	t.pairUnique(func(it *item) (key, bool) {
		return key{it.piece, it.head, none}, len(it.numbers) > 0
	})
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

func insertSorted(s []int64, x int64) []int64 {
	i, ok := slices.BinarySearch(s, x)
	if ok {
		return s
	}
	return slices.Insert(s, i, x)
}
