package notation

// This file ends the ops of a row: where its last stitches are, and what closes its brackets.

// lastTogether says that the last stitches are worked together and fastened off, "P2. K2tog and fasten off": a row of
// its own.
func (p *parser) lastTogether(i int) bool {
	q := *p
	q.quiet = true
	d, j, ok := q.stitch(i)
	if !ok || d.Times.Given() {
		return false
	}
	_, ends := p.words(j, ",? and|then? fasten off", ", turn ,? and|then? fasten off")
	return ends
}

// finish closes asterisks that nothing refers to.
func (p *parser) finish(b *bodyState, i int) (*bodyState, int) {
	if b.needles {
		b.ops = p.splitAtEnds(expandNeedles(b.ops))
		onNeedles(b.ops)
	}
	offCable(b.ops)
	b.wholeBeforeGaps()
	for k := len(b.stars) - 1; k >= 0 && b.closer == ""; k-- {
		s := b.stars[k]
		if s.at >= len(b.ops) { // it closes a run of sentences
			continue
		}
		at := p.span(max(i-1, 0), i)
		if s.at < len(b.ops) {
			at = SpanOf(b.ops[s.at])
		}
		p.addf("asterisk-unused", at, "“%s” opens a repeat that nothing ends", s.mark)
	}
	return b, i
}

// lastCastOn is the cast-on read last, with no stitch behind it.
func lastCastOn(ops []Op) (*CastOn, bool) {
	for k := len(ops) - 1; k >= 0; k-- {
		switch o := ops[k].(type) {
		case *CastOn:
			return o, true
		case *Remark, *Mark:
		default:
			return nil, false
		}
	}
	return nil, false
}

// bindsAtBeg says that a sentence begins at i which is a row of its own and casts off first: "Cast off 5 sts, k to end.
// Cast off 5 sts, p to end."
func (p *parser) bindsAtBeg(i int) bool {
	if lowerWord(p.at(i)) || !hasWord(p, i, "cast", "bind", "bo") || p.trial > 1 {
		return false
	}
	_, _, ends := p.find(i, p.sentenceEnd(i), "to end", "to the end", "across")
	return ends
}
