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
	words := strings.ToLower(Body(head, text))
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

// Body is what a row says without the head it may begin with, its spaces evened out: a row
// put in renumbers all that follow, and what they say stays.
func Body(head, text string) string {
	t, h := strings.Join(strings.Fields(text), " "), strings.Join(strings.Fields(head), " ")
	if h != "" && len(t) >= len(h) && strings.EqualFold(t[:len(h)], h) {
		t = strings.TrimLeft(t[len(h):], " :.-–—")
	}
	return t
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

func insertSorted(s []int64, x int64) []int64 {
	i, ok := slices.BinarySearch(s, x)
	if ok {
		return s
	}
	return slices.Insert(s, i, x)
}
