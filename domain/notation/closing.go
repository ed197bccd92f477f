package notation

import (
	"regexp"

	"rowproof/domain/finding"
)

// This file reads the end of a piece, and puts a count stated behind an item to it.

// closes reads binding off, grafting or drawing yarn through all stitches.
func (p *parser) closes(i int) (*BindOffAll, int, bool) {
	start := i
	for p.w(i) == "then" || p.w(i) == "and" || p.w(i) == "loosely" || p.w(i) == "," {
		i++
	}
	end := p.sentenceEnd(i)
	done := func(n Num, j int) (*BindOffAll, int, bool) {
		if p.w(j) == "." {
			j++
		}
		return &BindOffAll{N: n, Words: p.raw(start, j), Span: p.span(start, j)}, j, true
	}
	if j, ok := p.words(i, "bo", "bind|cast|binding|casting off", "work 3 - needle bind", "three - needle bind", "bind them off"); ok || p.at(i).Kind == Number && p.w(i+1) == "-" && p.w(i+2) == "needle" {
		if !ok {
			return done(Num{}, end)
		}
		if _, ok := p.words(p.skipWords(j, "loosely", "all", "rem", "st", "very", "stretchily"), "as follows", "thus", "in this way"); ok {
			return done(Num{}, len(p.toks))
		}
		if k, ok := p.words(j, "at|on|from neck|armhole|shoulder|side|front|inner|outer|sleeve|each|both|this|same edge|edges|side|sides ,?"); ok && p.hasSts(k, end) {
			return nil, start, false // "Cast off at neck edge, on every alternate row: 3 sts once": some of them
		}
		all := false
		var n Num
		for k := j; k < end; k++ {
			switch w := p.w(k); w {
			case "rem", "all", "these", "those":
				all = true
			case "beg", "next", "centre", "following", "first", "each":
				return nil, start, false
			case "every":
				if hasWord(p, k+1, "other", "alt", "2nd", "second", "row", "rs", "ws") || p.at(k+1).Kind == Number || p.at(k+1).Kind == Ordinal {
					return nil, start, false // "… on both sides, every other row: 3 sts once": at the edges
				}
			}
			if p.w(k) == "," || p.w(k) == ";" {
				if q := k + 1; p.opStarts(q) && p.w(q) != "work" && !((p.w(q) == "using" || p.w(q) == "with") && hasWord(p, q+1, "a", "larger", "the", "needle", "size", "stretchy", "your", "any")) {
					return nil, start, false // bind off, then work on: a row
				}
				end = k
				break
			}
			if v, q, ok := p.num(k); ok {
				if p.w(q) == "-" && p.w(q+1) == "needle" {
					all = true
					continue
				}
				if n.Given() {
					break
				}
				if hasWord(p, q, "size", "sizes", "mm") { // "with a needle 2 sizes bigger"
					continue
				}
				n = v
				k = q - 1
			}
		}
		if n.Given() && !all {
			return nil, start, false
		}
		if end < len(p.toks) && p.w(end) != "." {
			if k := p.sentenceEnd(end); true {
				end = k
			}
		}
		return done(n, end)
	}
	if _, _, ok := p.find(i, end, "graft|kitchener"); ok && hasWord(p, i, "place", "slip", "put", "divide", "arrange", "transfer") { // "Place the first 6 sts on one needle and the last 6 on another, and graft"
		return &BindOffAll{Words: p.raw(start, end), Span: p.span(start, end)}, end, true
	}
	if j, ok := p.words(i, "cut|break yarn|wool", "break off", "cut|break", "draw|thread|run|pull|gather|fasten", "graft", "kitchener", "with tapestry needle", "using tapestry needle", "sew", "weave", "leaving tail"); ok {
		through := false
		var n Num
		for k := j - 1; k < end; k++ {
			if p.w(k) == "through" || p.w(k) == "graft" || p.w(k) == "kitchener" {
				through = true
			}
			if v, q, ok := p.num(k); ok && through && p.w(q) == "st" {
				if first := n; first.Given() && (p.w(k-1) == "to" || p.w(k-1) == "with" || p.w(k-1) == "the" && hasWord(p, k-2, "to", "with")) { // "Graft 6 sts of palm to 6 sts of back"
					n = sumNum(first, v)
					break
				}
				if n = v; p.w(k-1) == "of" && hasWord(p, k-2, "sets", "lots", "groups") { // "Graft the two sets of 8 sts together"
					n = mulNum(v, N(2))
				}
				k = q - 1
			}
		}
		if through || p.w(i) == "fasten" && p.w(i+1) == "off" {
			if p.w(i) == "fasten" {
				return &BindOffAll{Words: p.raw(start, end), Span: p.span(start, end)}, end, true
			}
			return done(n, end)
		}
	}
	return nil, start, false
}

// attach gives a count that stands on a line of its own to what was worked
// before, which then reaches to the end of that line.
func attach(it Item, st []Stated) bool {
	stated, span := countOf(it)
	if stated == nil || len(*stated) > 0 {
		return false
	}
	*stated, *span = st, span.Cover(st[len(st)-1].Span)
	return true
}

// countOf is where what is worked keeps the counts stated behind it, and its place; nil where it has none.
func countOf(it Item) (*[]Stated, *finding.Span) {
	switch it := it.(type) {
	case *Row:
		return &it.Stated, &it.Span
	case *RepRows:
		return &it.Stated, &it.Span
	case *Shape:
		return &it.Stated, &it.Span
	case *Straight:
		return &it.Stated, &it.Span
	}
	return nil, nil
}

// countBehindJoin gives a beginning the count that stands behind its joining: "Cast on 72 sts. Join to
// work in the round. 72 sts". What is picked up may be told with what is on the needle already.
func countBehindJoin(b *Begin, st []Stated) bool {
	if len(b.Stated) > 0 || st[0].Kind != CountAll {
		return false
	}
	if b.How == "return" && b.N.Given() && equalInts(b.N.Vals, st[0].N.Vals) {
		return true // what returned is told again
	}
	b.Stated = st
	if b.How == "pick up" {
		b.N = st[0].N
	}
	return true
}

// attachMore gives a further count, which stands at the place given, to what was worked before, which
// then reaches to its end.
func attachMore(it Item, st []Stated, at finding.Span) bool {
	stated, span := countOf(it)
	if stated == nil {
		return false
	}
	*stated, *span = append(*stated, st...), span.Cover(at)
	return true
}

// reStart is a sentence that marks where the round starts.
var reStart = regexp.MustCompile(`(?i)^(?:mark|place|pm|put|hang)\b.*(?:round|rnd|marker|bor|join|joining)\b`)

func marksStart(text string) bool { return reStart.MatchString(text) }
