package lineage

import (
	"regexp"
	"strings"
)

// Redraft is a three-way merge of a manuscript: what was drafted before, what
// the designer made of it, and what is drafted now. Her words stay, the numbers
// follow the new draft, and where both changed the same the choice is hers.
type Redraft struct {
	Pieces []RedraftPiece
}

// RedraftPiece is some lines of the merged text. Where Mine and Theirs differ it is
// a Choice; else both are the same.
type RedraftPiece struct {
	Choice       bool
	Base         string // as it was drafted before; "" where it was not
	Mine, Theirs string // without a line end; Gone where the line is left out
	Line         int    // of the designer's text, from 1, near which it stands
}

// Gone stands for a line that one side has taken out.
const Gone = "\x00"

// Choices counts what is to be decided.
func (r *Redraft) Choices() int {
	n := 0
	for _, p := range r.Pieces {
		if p.Choice {
			n++
		}
	}
	return n
}

// Text is the merged text. take says of each choice, in order, whether the new draft's
// lines are taken; nil, or a choice beyond it, keeps the designer's.
func (r *Redraft) Text(take []bool) string {
	var b strings.Builder
	n := 0
	for _, p := range r.Pieces {
		s := p.Mine
		if p.Choice {
			if n < len(take) && take[n] {
				s = p.Theirs
			}
			n++
		}
		if s != Gone {
			b.WriteString(s + "\n")
		}
	}
	return b.String()
}

// MergeDrafts merges. Lines are matched by their words, whatever their numbers are; within
// a line both sides' changes are kept where they do not touch.
func MergeDrafts(base, mine, theirs string) *Redraft {
	b, m, t := textLines(base), textLines(mine), textLines(theirs)
	toMine, toTheirs := alignLines(b, m), alignLines(b, t)
	r := &Redraft{}
	im, it := 0, 0
	added := func(endM, endT int) {
		var tt []string
		for ; it < endT; it++ {
			tt = append(tt, t[it])
		}
		for ; im < endM; im++ {
			r.keep(m[im])
			if len(tt) > 0 && tt[0] == m[im] {
				tt = tt[1:]
			}
		}
		for _, s := range tt {
			r.keep(s)
		}
	}
	for i, was := range b {
		j, k := toMine[i], toTheirs[i]
		endM, endT := im, it
		if j >= 0 {
			endM = j
		}
		if k >= 0 {
			endT = k
		}
		added(endM, endT)
		my, their := Gone, Gone
		if j >= 0 {
			my, im = m[j], j+1
		}
		if k >= 0 {
			their, it = t[k], k+1
		}
		switch {
		case my == their || my == was:
			r.keepUnlessGone(their)
		case their == was:
			r.keepUnlessGone(my)
		default:
			if both, ok := mergeWords(was, my, their); ok {
				r.keep(both)
				continue
			}
			r.Pieces = append(r.Pieces, RedraftPiece{Choice: true, Base: was, Mine: my, Theirs: their, Line: im})
		}
	}
	added(len(m), len(t))
	return r
}

func (r *Redraft) keep(s string) { r.Pieces = append(r.Pieces, RedraftPiece{Mine: s, Theirs: s}) }

func (r *Redraft) keepUnlessGone(s string) {
	if s != Gone {
		r.keep(s)
	}
}

func textLines(s string) []string {
	s = strings.TrimRight(strings.ReplaceAll(s, "\r\n", "\n"), "\n")
	if s == "" {
		return nil
	}
	return strings.Split(s, "\n")
}

var (
	redraftNumbers = regexp.MustCompile(`[\d.,()\[\]:/–-]*\d[\d.,()\[\]:/–-]*(?:\s+\([\d., ]*\))?(?:st|nd|rd|th)?`)
	redraftWords   = regexp.MustCompile(`\d+(?:\.\d+)?|[A-Za-z]+|\s+|.`)
)

// wording is a line with its numbers taken out.
func wording(s string) string {
	return strings.Join(strings.Fields(redraftNumbers.ReplaceAllString(s, "#")), " ")
}

// alignLines gives for each line of a the line of b that it became, or -1. Order is
// kept: first the lines of the same wording, then between them those most alike.
func alignLines(a, b []string) []int {
	ka, kb := make([]string, len(a)), make([]string, len(b))
	for i, s := range a {
		ka[i] = wording(s)
	}
	for i, s := range b {
		kb[i] = wording(s)
	}
	out := common(ka, kb)
	from, low := 0, 0
	for i := 0; i <= len(a); i++ {
		if i < len(a) && out[i] < 0 {
			continue
		}
		high := len(b)
		if i < len(a) {
			high = out[i]
		}
		pairAlike(a, b, from, i, low, high, out)
		from, low = i+1, high+1
	}
	return out
}

// pairAlike pairs lines a[from:to] with b[low:high], in order, where at least
// half of their words are the same.
func pairAlike(a, b []string, from, to, low, high int, out []int) {
	for i := from; i < to && low < high; i++ {
		best, score := -1, 0.5
		for j := low; j < high; j++ {
			if s := likeness(a[i], b[j]); s >= score && (best < 0 || s > score) {
				best, score = j, s
			}
		}
		if best >= 0 {
			out[i], low = best, best+1
		}
	}
}

// likeness is the share of words that two lines have in common, 0 to 1.
func likeness(a, b string) float64 {
	x, y := strings.Fields(wording(a)), strings.Fields(wording(b))
	if len(x) == 0 || len(y) == 0 {
		return 0
	}
	n := 0
	for _, k := range common(x, y) {
		if k >= 0 {
			n++
		}
	}
	return 2 * float64(n) / float64(len(x)+len(y))
}

// common is a longest common subsequence: for each of a its place in b, or -1.
func common(a, b []string) []int {
	out := make([]int, len(a))
	for i := range out {
		out[i] = -1
	}
	lo := 0
	for lo < len(a) && lo < len(b) && a[lo] == b[lo] {
		out[lo] = lo
		lo++
	}
	ea, eb := len(a), len(b)
	for ea > lo && eb > lo && a[ea-1] == b[eb-1] {
		ea, eb = ea-1, eb-1
		out[ea] = eb
	}
	n, m := ea-lo, eb-lo
	if n == 0 || m == 0 || n*m > 4_000_000 {
		return out
	}
	best := make([]int32, (n+1)*(m+1))
	for i := n - 1; i >= 0; i-- {
		for j := m - 1; j >= 0; j-- {
			if a[lo+i] == b[lo+j] {
				best[i*(m+1)+j] = best[(i+1)*(m+1)+j+1] + 1
			} else {
				best[i*(m+1)+j] = max(best[(i+1)*(m+1)+j], best[i*(m+1)+j+1])
			}
		}
	}
	for i, j := 0, 0; i < n && j < m; {
		switch {
		case a[lo+i] == b[lo+j]:
			out[lo+i] = lo + j
			i, j = i+1, j+1
		case best[(i+1)*(m+1)+j] >= best[i*(m+1)+j+1]:
			i++
		default:
			j++
		}
	}
	return out
}

// mergeWords merges two changes of one line word by word; ok is false where they touch.
func mergeWords(was, mine, theirs string) (string, bool) {
	if mine == Gone || theirs == Gone {
		return "", false
	}
	b, m, t := redraftWords.FindAllString(was, -1), redraftWords.FindAllString(mine, -1), redraftWords.FindAllString(theirs, -1)
	toM, toT := common(b, m), common(b, t)
	var out strings.Builder
	i, j, k := 0, 0, 0
	for {
		// up to the next word that all three have
		e := i
		for e < len(b) && (toM[e] < 0 || toT[e] < 0) {
			e++
		}
		endM, endT := len(m), len(t)
		if e < len(b) {
			endM, endT = toM[e], toT[e]
		}
		bb, mm, tt := strings.Join(b[i:e], ""), strings.Join(m[j:endM], ""), strings.Join(t[k:endT], "")
		switch {
		case mm == tt || tt == bb:
			out.WriteString(mm)
		case mm == bb:
			out.WriteString(tt)
		default:
			return "", false
		}
		if e == len(b) {
			return out.String(), true
		}
		out.WriteString(b[e])
		i, j, k = e+1, endM+1, endT+1
	}
}
