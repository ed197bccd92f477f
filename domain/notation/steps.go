package notation

import "strings"

// This file reads lists whose instructions are numbered, "4. Inc rnd: …", and are worked again by their numbers:
// "Repeat steps 4 and 5 until there are 62 sts".

// noteStep remembers what stands behind the number of such a list.
func (r *reader) noteStep(n int) {
	if r.steps == nil || n == 1 {
		r.steps = map[int]int{}
	}
	r.steps[n] = len(r.ms.Items)
}

// stepsAgain reads that steps are worked again: as the rows that they hold, or, where their number differs from size
// to size, as shaping that goes on to a count.
func (r *reader) stepsAgain(p *parser, i, end int) (Item, int, bool) {
	if !hasWord(p, i, "rep", "repeat", "work") {
		return nil, i, false
	}
	at := p.skipWords(i+1, "from")
	if w := strings.ToLower(p.at(at).Raw); w != "step" && w != "steps" {
		return nil, i, false
	}
	ns, _, k, ok := p.numbers(at + 1)
	if !ok {
		return nil, i, false
	}
	from, known := r.steps[ns[0]]
	if !known || from >= len(r.ms.Items) {
		return nil, i, false
	}
	rows, told := rowsTold(r.ms.Items[from:])
	if told {
		q := *p
		w := func(t Token, s string) Token {
			return Token{Kind: Word, Text: s, fold: s, Raw: s, Span: t.Span}
		}
		number := Token{Kind: Number, Text: itoa(rows), fold: itoa(rows), Raw: itoa(rows), Val: rows, Span: p.at(at + 1).Span}
		q.toks = append(append([]Token(nil), p.toks[:i+1]...), w(p.at(i+1), "last"), number, w(p.at(k-1), "row"))
		shift := len(q.toks) - k
		q.toks = append(q.toks, p.toks[k:]...)
		if rr, j, ok := q.repRows(i); ok {
			return rr, j - shift, true
		}
		return nil, i, false
	}
	for q := k; q < end; q++ {
		if u, j, ok := p.untilCond(q); ok && u.Sts.Given() {
			s := &Shape{Do: "towards", Until: u.Sts}
			s.Stated, j = p.statedOrStop(j)
			s.Words, s.Span = p.raw(i, j), p.span(i, j)
			return s, j, true
		}
	}
	return nil, i, false
}

// rowsTold is how many rows items work, where that is the same for every size and all of them are rows.
func rowsTold(items []Item) (int, bool) {
	n := 0
	for _, it := range items {
		switch it := it.(type) {
		case *Row:
			n += max(1, len(it.Head.Numbers), it.Head.Next)
		case *Straight:
			if !it.Rows.Given() || !it.Rows.Single() {
				return 0, false
			}
			n += it.Rows.For(0)
		case *Blank, *Prose:
		default:
			return 0, false
		}
	}
	return n, n > 0
}
