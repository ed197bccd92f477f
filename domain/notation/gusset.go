package notation

import (
	"regexp"
	"strings"
)

// This file reads the row that picks a sock's gussets up, which is told in more ways than any other: over
// several needles and sentences, with or without the heel's stitches, up to the centre of the heel again.

// gusset reads "Knit the 18 heel sts, pick up and knit 15 sts along the side of the heel; with a 2nd needle knit the
// 30 instep sts; with a 3rd needle pick up 15 sts along the other side, then knit 9 heel sts. 78 sts." at i.
func (p *parser) gusset(i int) (*bodyState, int, bool) {
	end, ok := p.gussetEnd(i)
	if !ok {
		return nil, i, false
	}
	if _, ok := p.assembled(i, p.sentenceEnd(i)); ok {
		return nil, i, false // it is told as a sum
	}
	b := &bodyState{}
	picks, last, heel, instep := 0, i, false, false
	for j := i; j < end; {
		if k, ok := p.words(j, "pick up and|& knit|k|purl", "pick up", "pu and|& k|knit", "puk", "pu", "knit up"); ok {
			n, q, ok := p.num(p.skipWords(k, "and", "knit", "k", "another", "a", "further", "evenly"))
			if !ok {
				return nil, i, false
			}
			if picks++; picks == 1 && !heel {
				b.ops = append(b.ops, &Until{Body: []Op{&Do{Key: "k", Times: N(1), Span: p.span(j, k)}}, To: Target{Kind: ToEnd, Name: "heel"}, Span: p.span(j, k)})
			}
			b.ops = append(b.ops, &CastOn{N: n, Picked: true, Span: p.span(j, q)})
			j, last = q, q
			continue
		}
		if _, ok := p.words(j, "k|knit to"); ok {
			return nil, i, false // "then knit to centre of heel"
		}
		if k, ok := p.words(j, "pm", "place|placing m"); ok {
			b.ops = append(b.ops, &Mark{Do: "place", Span: p.span(j, k)})
			j, last = k, k
			continue
		}
		if o, k, ok := p.gussetKnit(j, end, picks > 0); ok {
			heel = true
			if d, ok := o.(*Do); ok && d.From == "held" && !d.Times.Given() {
				if instep {
					j = k // of the instep's second needle: all that waits was knitted
					continue
				}
				instep = true
			}
			b.ops = append(b.ops, o)
			j, last = k, k
			continue
		}
		j++
	}
	if picks != 2 {
		return nil, i, false
	}
	if p.instep {
		b.ops = instepMarked(b.ops)
	}
	for k := last; k < end; k++ { // the count of all, not those of the needles
		if st, q, ok := p.stated(k); ok && st[0].Kind == CountAll && p.hasSts(k, q) && !hasWord(p, q, "on", "each", "for", "per") && (p.at(k).Kind != Number || !hasWord(p, k-1, "-", "–", "first", "last", "the")) {
			b.stated = st
			k = q - 1
		}
	}
	return b, end, true
}

// gussetEnd says that two sides of a heel are picked up in the sentences from i, and where these end.
func (p *parser) gussetEnd(i int) (int, bool) {
	end, picks, about := len(p.toks), 0, false
	for j := i; j < len(p.toks) && j < i+220; j++ {
		if j > i && p.w(j-1) == "." {
			if _, _, ok := p.head(j); ok || hasWord(p, j, "rep", "dec", "next", "cont", "continue", "begin", "work") && !p.comesBefore(j, "pick", "pu", "instep") {
				end = j
				break
			}
		}
		switch p.w(j) {
		case "pick", "pu", "puk":
			picks++
		case "up":
			if p.w(j-1) == "knit" {
				picks++
			}
		case "heel":
			about = true
		case "turn", "neck", "armhole", "thumb", "sleeve", "button", "shoulder", "tog", "yo", "k2tog", "ssk", "*", "rep", "front", "underarm":
			return 0, false
		}
	}
	return end, picks == 2 && about
}

// comesBefore says that one of the words stands in the sentence at i.
func (p *parser) comesBefore(i int, words ...string) bool {
	for k := i; k < len(p.toks) && p.w(k) != "."; k++ {
		if hasWord(p, k, words...) {
			return true
		}
	}
	return false
}

// gussetKnit reads what is knitted between: the heel's stitches, the instep's, which wait, and those of the heel
// once more behind both.
func (p *parser) gussetKnit(i, end int, picked bool) (Op, int, bool) {
	if !hasWord(p, i, "k", "knit", "work", "working", "knitting") || hasWord(p, i-1, "and", "&") && p.w(i-2) == "up" {
		return nil, i, false
	}
	j := i + 1
	for hasWord(p, j, "across", "the", "first", "rem", "last", "these", "those", "all", "over", "held", "next", "of", "other", "back") {
		j++
	}
	n, k, counted := p.num(j)
	if !counted {
		k = j
	}
	if counted && hasWord(p, k, "rnd", "rnds", "row", "rows") {
		return nil, i, false
	}
	waits, heel := p.w(j-1) == "held" || p.w(j-2) == "held", false
	stop := k
	for ; stop < end && stop < k+8 && !hasWord(p, stop, ",", ";", ".", "(", "[", "pick", "pm", "then", "k", "knit", "and") && p.at(stop).Kind != Number && !isDash(p.w(stop)) && p.w(stop) != "=" && p.w(stop) != ":"; stop++ {
		switch p.at(stop).Text {
		case "instep", "holder", "held", "waste", "spare", "top", "resting", "waiting":
			waits = true
		case "heel", "flap":
			heel = true
		case "needle", "needles":
			waits = waits || picked && !counted && p.at(stop+1).Kind == Number
		}
	}
	at := p.span(i, stop)
	switch {
	case counted && waits:
		return &Do{Key: "k", Times: n, From: "held", Span: at}, stop, true
	case counted:
		return &Do{Key: "k", Times: n, Span: at}, stop, true
	case waits:
		return &Do{Key: "k", From: "held", Span: at}, stop, true
	case heel && !picked && !strings.Contains(strings.ToLower(p.raw(i, stop)), "half"):
		return &Until{Body: []Op{&Do{Key: "k", Times: N(1), Span: at}}, To: Target{Kind: ToEnd, Name: "heel"}, Span: at}, stop, true
	}
	return nil, i, false
}

// reInstep are words of a round that is told by where the instep begins.
var reInstep = regexp.MustCompile(`(?i)\b(?:before|to) (?:the )?instep\b`)

// instepMarked hangs markers on both sides of the instep, where the row itself hangs none.
func instepMarked(ops []Op) []Op {
	for _, o := range ops {
		if m, ok := o.(*Mark); ok && m.Do == "place" {
			return ops
		}
	}
	var out []Op
	for _, o := range ops {
		d, ok := o.(*Do)
		if ok = ok && d.From == "held"; ok {
			out = append(out, &Mark{Do: "place", Span: d.Span})
		}
		if out = append(out, o); ok {
			out = append(out, &Mark{Do: "place", Span: d.Span})
		}
	}
	return out
}
