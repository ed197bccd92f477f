package notation

import "strings"

// This file tells lines that define a stitch from those that begin a row, a piece or a multiple.

func (r *reader) isRowStart(i int) bool {
	p := r.parser(stripBullet(r.lines[i]))
	p.quiet = true
	_, _, ok := p.head(0)
	return ok
}

// isNumberedRow: a row head with a number, not the "rnd" of a list of abbreviations.
func (r *reader) isNumberedRow(i int) bool {
	p := r.parser(stripBullet(r.lines[i]))
	p.quiet = true
	h, _, ok := p.head(0)
	if ok && len(h.Numbers) == 0 && i > 0 && len(r.lines[i-1]) == 0 && len(r.lines[i]) > 2 {
		// "Set-up row: Knit." behind a blank line ends a list of abbreviations
		w := strings.ToLower(h.Words)
		return strings.HasSuffix(w, " row") || strings.HasSuffix(w, " rnd") || strings.HasSuffix(w, " round")
	}
	return ok && len(h.Numbers) > 0
}

func (r *reader) isBeginLine(i int) bool {
	p := r.parser(stripBullet(r.lines[i]))
	p.quiet = true
	b, _, ok := p.begin(0)
	return ok && b.N.Given()
}

// isMultipleLine: "Multiple of 8 sts plus 3." and nothing else.
func (r *reader) isMultipleLine(i int) bool {
	p := r.parser(stripBullet(r.lines[i]))
	p.quiet = true
	_, j, ok := p.multiple(0, len(p.toks))
	return ok && (j >= len(p.toks) || p.w(j) == "." && j+1 >= len(p.toks))
}

// wrappedDefinition gives a definition the lines that it goes on in, where a page has broken it:
// small letters behind a line that ends without a stop. It returns the last of them.
func (r *reader) wrappedDefinition(i int) int {
	ds := r.defined[i]
	for len(ds) == 1 && i+1 < len(r.lines) && len(r.lines[i+1]) > 0 {
		src := strings.TrimSpace(r.ms.Source[i])
		next := r.lines[i+1]
		if len(src) < 30 || strings.ContainsAny(src[len(src)-1:], ".!?)") || !lowerWord(next[0]) || r.isRowStart(i+1) || len(next) > 1 && (next[1].Text == ":" || next[1].Text == "=") {
			break
		}
		if _, ok := r.definition(stripBullet(next), i+1, false); ok || hasSign(next, "=") || hasSign(next, ":") {
			break
		}
		i++
		ds[0].Text += " " + strings.TrimSpace(r.ms.Source[i])
		r.defined[i] = []*Define{}
	}
	return i
}

// labelsMultiple: "Pattern: multiple of 10 sts + 5 (sample: 4 repeats)".
func (r *reader) labelsMultiple(i int) bool {
	toks := stripBullet(r.lines[i])
	if len(toks) < 4 || toks[1].Text != ":" || len(toks[0].Raw) < 4 {
		return false
	}
	p := r.parser(toks)
	p.quiet = true
	m, _, ok := p.multiple(2, len(p.toks))
	return ok && m.Col == toks[2].Col
}
