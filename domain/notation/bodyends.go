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
	if b.each && !b.needles && len(b.stars) == 0 && len(b.ops) > 0 {
		at := SpanOf(b.ops[0]).Cover(SpanOf(b.ops[len(b.ops)-1]))
		b.ops = []Op{&Repeat{Body: b.ops, Mark: "*", To: Target{Kind: ToEnd, Span: at}, Span: at}}
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

// endsEachNeedle says that a row goes by "on each needle" where it says how far to work: "Knit to last 2 sts on each
// needle, k2tog."
func (p *parser) endsEachNeedle(i int) bool {
	at := i + 1
	for ; at < len(p.toks) && (p.toks[at].fold != "needle" || !hasWord(p, at-1, "each", "every")); at++ {
	}
	if at >= len(p.toks) || !hasWord(p, at-2, "on", "of") {
		return false
	}
	if _, _, limits := p.find(i, at, "st on|of each|every needle", "to end of each|every needle"); !limits {
		return false
	}
	end := p.sentenceEnd(i)
	if at >= end {
		return false
	}
	for k := i; k < end; k++ {
		if w := p.w(k); isMark(w) || w == "rep" || w == "[" {
			return false
		}
	}
	return true
}

// toFirstMarker says that a sentence begins at i which goes on to where rounds will begin: "Knit to first marker; the rnd
// now begins here."
func (p *parser) toFirstMarker(i int) bool {
	_, ok := p.words(i, "k|knit to first|next m")
	return ok && !lowerWord(p.at(i))
}
