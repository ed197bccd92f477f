package review

import (
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

// This file tells how well a mended row keeps the texture: its columns, its echo of other rows, its mirror.

// alignment says how well the mended row's texture stands over that of its
// neighbours, from 0 to 1: the best agreement with a row within eight rows on as
// many stitches, and a little for symmetry where the neighbours are symmetrical.
func alignment(r *Result, f *finding.Finding) float64 {
	ms := r.Manuscript
	var part *needle.Part
	at := -1
	for _, p := range r.Needle.Parts {
		for i, e := range p.Rows {
			if e.Row != nil && e.Row.As == nil && f.Line >= e.Span.Line && f.Line <= e.Span.EndLine {
				part, at = p, i
				break
			}
		}
	}
	if part == nil {
		return 0
	}
	size := 0
	if len(f.Sizes) > 0 {
		size = f.Sizes[0]
	}
	texture := func(e *needle.Entry) (string, bool) {
		if e.Row == nil || e.Row.As != nil {
			return "", false
		}
		n := 0
		if size < len(e.Before) && e.Before[size].Known {
			n = e.Before[size].N
		} else if part.Stated != nil {
			m := 3
			if part.Needs != nil {
				m = max(m, part.Needs.Min+1)
			}
			n = part.Stated.Of*m + part.Stated.Plus + 2*part.Stated.Edge
		}
		t, ok := needle.Texture(ms, e.Row.Body, n, size, part.Round)
		if ok && !part.Round && side(e, size) == "WS" {
			t = mirrored(t)
		}
		return t, ok
	}
	own, ok := texture(part.Rows[at])
	if !ok {
		return 0
	}
	best, symmetric, asked := 0.0, 0, 0
	for d := 1; d <= 8; d++ {
		for _, k := range [2]int{at - d, at + d} {
			if k < 0 || k >= len(part.Rows) {
				continue
			}
			t, ok := texture(part.Rows[k])
			if !ok || len(t) != len(own) || plainTexture(t) {
				continue
			}
			asked++
			if t == mirroredPlain(t) {
				symmetric++
			}
			if s := agreement(own, t); s > best {
				best = s
			}
		}
	}
	if asked > 0 && symmetric == asked && own == mirroredPlain(own) {
		best += 0.1
	}
	if asked == 0 && own == mirroredPlain(own) {
		best += 0.1
	}
	return best
}

// echo is a little for a mended row that reads like another one of its part, its yarn
// overs in the same places.
func echo(r *Result, f *finding.Finding) float64 {
	own, part := entryAt(r, f.Line), partAt(r.Needle.Parts, f.Line)
	if own == nil || part == nil {
		return 0
	}
	for _, e := range part.Rows {
		if e.Row != nil && e.Row != own.Row && e.Row.As == nil && worded(r, e.Row) == worded(r, own.Row) {
			return 0.05
		}
	}
	return 0
}

// worded is what a row of one line has between its head and its stated count.
func worded(r *Result, row *notation.Row) string {
	rs := []rune(r.Manuscript.Source[row.Span.Line-1])
	from, to := row.Head.Span.EndCol-1, len(rs)
	if len(row.Stated) > 0 && row.Stated[0].Line == row.Span.Line {
		to = row.Stated[0].Col - 1
	}
	if row.Head.Span.Line != row.Span.Line || from > to {
		return ""
	}
	return strings.ToLower(strings.Trim(string(rs[from:to]), " .:,;(–—-"))
}

func side(e *needle.Entry, size int) string {
	if size < len(e.Side) {
		return e.Side[size]
	}
	return ""
}

// mirrored reads a WS row from the right side: the order and the faces turn.
func mirrored(t string) string {
	b := make([]byte, len(t))
	for i := range t {
		c := t[len(t)-1-i]
		switch c {
		case 'k':
			c = 'p'
		case 'p':
			c = 'k'
		}
		b[i] = c
	}
	return string(b)
}

func mirroredPlain(t string) string {
	b := make([]byte, len(t))
	for i := range t {
		b[i] = t[len(t)-1-i]
	}
	return string(b)
}

func plainTexture(t string) bool {
	for i := 1; i < len(t); i++ {
		if t[i] != t[0] {
			return false
		}
	}
	return true
}

// agreement is the share of stitches done alike, those that stand out counted
// three times.
func agreement(a, b string) float64 {
	sum, hit := 0.0, 0.0
	for i := range a {
		w := 1.0
		if a[i] == '*' || b[i] == '*' || a[i] == 's' || b[i] == 's' {
			w = 3
		}
		sum += w
		if a[i] == b[i] {
			hit += w
		}
	}
	if sum == 0 {
		return 0
	}
	return hit / sum
}
