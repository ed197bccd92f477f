package notation

// This file reads what is said within a row and takes no stitch: which part of the work stitches are for, what becomes
// of the yarn, how a marker or a label is called.

// aside reads it at i; it becomes a Remark.
func (p *parser) aside(b *bodyState, i int) (int, bool) {
	for _, read := range [...]func(*parser, *bodyState, int) (int, bool){(*parser).partSaid, (*parser).yarnEnded, (*parser).afterthought, (*parser).labelWithin, (*parser).saidAgain} {
		if j, ok := read(p, b, i); ok {
			return j, true
		}
	}
	return i, false
}

// partSaid reads "knit to end for left front: …", "put 42 sts on a thread for a sleeve", "CO 6 sts at underarm".
func (p *parser) partSaid(b *bodyState, i int) (int, bool) {
	if len(b.ops) == 0 {
		return i, false
	}
	if j, ok := p.words(i, "for the? right|left? front|back|sleeve|shoulder|strap|leg|half|side|neck", "for back neck", "for half? of? the? back|front", "for first|second|other half of? the? back|front", "for the? underarm|buttonhole|thumb"); ok && (j >= len(p.toks) || hasWord(p, j, ",", ";", ".", ":", ")", "]", "(", "=") || isDash(p.w(j))) {
		return j, true
	}
	return p.forPart(i)
}

// yarnEnded reads "fasten off", "break yarn", and that two sides are worked with a ball each.
func (p *parser) yarnEnded(b *bodyState, i int) (int, bool) {
	j, ok := p.words(i, "fasten off", "break|cut off? yarn|wool", "with|using separate|two|2 ball|balls|skeins of? yarn|wool?")
	return j, ok && len(b.ops) > 0 && (j >= len(p.toks) || hasWord(p, j, ",", ".", ";", ")", "and"))
}
