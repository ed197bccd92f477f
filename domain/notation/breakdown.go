package notation

import (
	"fmt"

	"rowproof/domain/finding"
)

// This file adds up what a count says of its parts: "172 (184) sts: 48 (52) sts each for front and
// back, and 38 (40) sts for each sleeve".

// findBreakdowns tells of totals that their own parts do not add up to.
func (r *reader) findBreakdowns() {
	for i, toks := range r.lines {
		p := r.parser(toks)
		p.quiet = true
		for k := range toks {
			if toks[k].Kind != Number {
				continue
			}
			total, q, ok := p.num(k)
			if !ok || p.w(q) != "st" || p.w(q+1) != ":" && !isDash(p.w(q+1)) || p.at(q+1).Glued && isDash(p.w(q+1)) {
				continue
			}
			sum, ok := p.partsOf(q + 2)
			if !ok {
				break
			}
			var sizes []int
			said := ""
			for s := range max(1, r.sizes) {
				if t, n := total.For(s), sum.For(s); t >= 0 && t != n {
					sizes = append(sizes, s)
					if said == "" {
						said = fmt.Sprintf("%d sts stated, the parts named behind add up to %d", t, n)
					}
				}
			}
			if len(sizes) > 0 {
				if len(sizes) == r.sizes {
					sizes = nil
				}
				r.ms.Findings.Add(finding.Finding{Code: "stated-count-differs", Span: total.Span, Row: r.rowOn(i + 1), Sizes: sizes, Message: said})
			}
			break
		}
	}
}

// partsOf adds up "48 sts each for front and back, and 38 sts for each sleeve" from i to the end of
// the sentence; only where every part tells how often it counts.
func (p *parser) partsOf(i int) (Num, bool) {
	end := p.sentenceEnd(i)
	var sum Num
	parts := 0
	for i < end {
		i = p.skipWords(i, ",", ";", "and")
		if i >= end {
			break
		}
		n, q, ok := p.num(i)
		if !ok {
			return Num{}, false
		}
		if p.w(q) == "st" {
			q++
		}
		often := 0
		e := q
		if k, ok := p.words(q, "each for|on front and|& back", "each for|on back and|& front", "for|on each sleeve", "for|on each front", "each sleeve", "each for|on sleeves", "for|on sleeves each"); ok {
			often, e = 2, k
		} else if k, ok := p.words(q, "for|on the? back", "for|on the? front", "for|on the? left|right front", "for|on the? left|right sleeve", "back", "front"); ok {
			often, e = 1, k
		}
		if often == 0 || e < end && !hasWord(p, e, ",", ";", "and", ")", "]") {
			return Num{}, false
		}
		n = mulNum(n, N(often))
		if parts > 0 {
			n = sumNum(sum, n)
		}
		sum = n
		parts++
		i = e
		if hasWord(p, i, ")", "]") {
			break
		}
	}
	return sum, parts > 1
}

// rowOn names the row, or the sentence, that stands on a line.
func (r *reader) rowOn(line int) string {
	name := ""
	for _, it := range r.ms.Items {
		if it.Place().Line > line {
			break
		}
		switch it := it.(type) {
		case *Row:
			name = it.Name()
		case *RepRows:
			name = it.Words
		}
	}
	return name
}

// partWords are the words in which a count tells of its parts.
var partWords = map[string]bool{"st": true, "front": true, "fronts": true, "back": true, "sleeve": true, "sleeves": true, "each": true, "for": true, "and": true, "on": true, "in": true, "of": true, "the": true, "body": true, "section": true, "sections": true,
	"per": true, "left": true, "right": true, "half": true, "needle": true, "total": true, "all": true, "altogether": true, "both": true, "side": true, "sides": true, "raglan": true, "&": true, "first": true, "second": true, "third": true, "fourth": true, "n1": true, "n2": true, "n3": true, "n4": true,
	"heel": true, "sole": true, "instep": true, "gusset": true, "dpn": true, "dpns": true, "piece": true, "neck": true, "every": true, "seam": true, "your": true, "are": true, "there": true, "plus": true, "panel": true, "border": true, "borders": true}

// brokenDown reads a count of all that tells of its parts too: "240 sts: 70 each for front and back and 50 for each
// sleeve", "70 sts each in front and back, 50 sts in each sleeve, 240 sts in all". Only the sum of all is taken.
func (p *parser) brokenDown(i int) (*Stated, int, bool) {
	j := p.skipWords(i, ".", ",", ";", "–", "—", "=", "-", "→")
	closer := openers[p.w(j)]
	if closer != "" {
		j++
	}
	if k, ok := p.words(j, "you should|will now? have", "you now? have", "there are|should|will now? be?", "you'll now? have", "now? you have", "total :?"); ok {
		j = k
	}
	if p.at(j).Kind != Number && p.w(j) != "total" {
		return nil, i, false
	}
	type count struct {
		n       Num
		of, end int
		all     bool // it is said to be of all
	}
	var counts []count
	depth, parts := 0, false
	k := j
	for ; k < len(p.toks) && k < j+120; k++ {
		w := p.w(k)
		if w == "." || closer != "" && depth == 0 && w == closer {
			break
		}
		depth += nesting(w)
		if depth < 0 {
			return nil, i, false
		}
		switch {
		case p.at(k).Kind == Number:
			n, q, ok := p.num(k)
			if !ok {
				return nil, i, false
			}
			if hasWord(p, q, "needle", "dpn", "dpns") && hasWord(p, k-1, "of", "the", "on") { // "12 sts on each of 2 needles"
				k = q - 1
				continue
			}
			c := count{n: n, of: k, end: q}
			if p.w(q) == "st" {
				_, c.all = p.words(q+1, "in all", "total", "altogether", "in total")
			}
			if _, ok := p.words(k-1, "total"); ok || p.w(k-1) == ":" && p.w(k-2) == "total" {
				c.all = true
			}
			counts = append(counts, c)
			k = q - 1
		case hasWord(p, k, "front", "fronts", "back", "sleeve", "sleeves", "needle", "body", "heel", "instep", "n1", "n2", "n3", "sole", "half"):
			parts = true
		case partWords[w] || p.at(k).Kind == Ordinal || w == "," || w == ";" || w == ":" || w == "(" || w == ")" || w == "[" || w == "]" || w == "/" || isDash(w):
		default:
			return nil, i, false
		}
	}
	if len(counts) < 3 && !(len(counts) == 2 && parts) || !parts || k >= len(p.toks) && closer != "" {
		return nil, i, false
	}
	whole := -1
	for c := range counts {
		if counts[c].all {
			whole = c
		}
	}
	if first := counts[0]; whole < 0 && p.w(first.end) == "st" && (hasWord(p, first.end+1, ":", ",", ";", "(", "[", "–", "—", "on") || isDash(p.w(first.end+1))) {
		whole = 0
	}
	if whole < 0 || len(counts) < 3 && whole != 0 && whole != len(counts)-1 {
		return nil, i, false
	}
	for c := range counts { // no part is as large as all
		for s := range max(1, p.sizes) {
			if a, b := counts[c].n.For(s), counts[whole].n.For(s); c != whole && a >= b && b >= 0 {
				return nil, i, false
			}
		}
	}
	if closer != "" {
		k++
	}
	if p.w(k) == "." {
		k++
	}
	n := counts[whole]
	return &Stated{Kind: CountAll, N: n.n, Span: p.span(n.of, min(n.end+1, len(p.toks)))}, k, true
}
