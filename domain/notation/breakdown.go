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
