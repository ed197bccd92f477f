package review

import (
	"slices"
	"strings"

	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

// This file parts the report of a piece where a row picks up stitches: by the fixed interface a part
// begins there, though the needle works on with what it holds (a sock's gusset, the sides of a bag).

// partition gives the parts of the report that a piece is told in.
func partition(ms *notation.Manuscript, p *needle.Part, whole Part) []Part {
	if whole.CastOn == nil {
		return []Part{whole}
	}
	out := []Part{whole}
	start := 0
	for k, e := range p.Rows {
		if k == start || !picksUp(e) {
			continue
		}
		cur := &out[len(out)-1]
		next := whole
		next.Name, next.Multiple, next.NeedsMultiple, next.ChangePerRepeat = nameAbove(ms, e.Line, whole.Name), nil, nil, nil
		next.CastOn = known(e.First)
		cur.FinalCounts = all(counts(e.Before, len(e.Before)))
		if b := e.Before; k > 0 && !slices.ContainsFunc(b, func(c needle.Count) bool { return c.N > 0 }) { // all of it was put aside
			cur.FinalCounts = all(counts(p.Rows[k-1].Last, len(b)))
		}
		if !roundAbove(ms, p.Line, e.Line) {
			cur.Worked = "flat"
		}
		cur.Rows, next.Rows = whole.Rows[start:k], whole.Rows[k:]
		cur.Sentences, next.Sentences = above(cur.Sentences, e.Line)
		start = k
		out = append(out, next)
	}
	return out
}

// picksUp says that stitches are picked up within a row, or that all it works return from holders:
// the row that joins body and sleeves.
func picksUp(e *needle.Entry) bool {
	if e.Row == nil {
		name := strings.ToLower(e.Name)
		return strings.Contains(name, "all the parts") || strings.Contains(name, "all parts") || strings.Contains(name, "all the pieces") || strings.Contains(name, "all pieces")
	}
	held, worked := 0, 0
	for _, o := range e.Row.Body {
		switch o := o.(type) {
		case *notation.CastOn:
			if o.Picked {
				return true
			}
		case *notation.Do:
			worked++
			if o.From == "held" || o.From == "holder" {
				held++
			}
		case *notation.Until, *notation.Repeat, *notation.Group:
			worked++
		}
	}
	return held > 1 && held == worked
}

// nameAbove is the heading above a line.
func nameAbove(ms *notation.Manuscript, line int, name string) string {
	for _, it := range ms.Items {
		if h, ok := it.(*notation.Heading); ok && h.Kind == notation.HeadPiece && h.Line <= line {
			name = strings.TrimSpace(strings.Trim(h.Text, ":–—-* "))
		}
	}
	return name
}

// roundAbove says that work between two lines was joined in the round.
func roundAbove(ms *notation.Manuscript, from, line int) bool {
	for _, it := range ms.Items {
		at := it.Place().Line
		if at < from || at >= line {
			continue
		}
		switch it := it.(type) {
		case *notation.JoinRound:
			return true
		case *notation.Begin:
			if it.Round {
				return true
			}
		case *notation.Row:
			if it.Head.Round {
				return true
			}
		}
	}
	return false
}

// above parts sentences at a line.
func above(ss []Sentence, line int) (before, behind []Sentence) {
	for k, s := range ss {
		if s.Line >= line {
			return ss[:k:k], ss[k:]
		}
	}
	return ss, []Sentence{}
}

// known are counts as numbers, 0 where one is not known.
func known(cs []needle.Count) []int {
	out := make([]int, len(cs))
	for i, c := range cs {
		if c.Known {
			out[i] = c.N
		}
	}
	return out
}

// all gives counts, or nothing where one is missing.
func all(cs []*int) []*int {
	for _, c := range cs {
		if c == nil {
			return nil
		}
	}
	return cs
}
