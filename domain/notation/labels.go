package notation

import "strings"

// This file tells labels, titles and names from the rows they stand before.

var wordHeads = map[string]bool{"notes": true, "note": true, "pattern notes": true, "materials": true, "yarn": true, "needles": true, "gauge": true, "tension": true, "notions": true, "sizes": true, "size": true,
	"measurements": true, "finished measurements": true, "finished size": true, "finished sizes": true, "finished chest": true, "finished bust": true, "finished circumference": true, "finished dimensions": true, "finished length": true, "finished width": true, "about": true, "description": true, "tips": true, "supplies": true, "you will need": true, "introduction": true, "designer notes": true, "designer's notes": true,
	"skill level": true, "difficulty": true, "stitches": true, "care": true, "copyright": true, "techniques": true, "materials and tools": true, "equipment": true, "before you start": true, "special notes": true, "general notes": true, "construction": true, "construction notes": true, "notes on the pattern": true, "what you need": true, "errata": true, "credits": true, "yarn and needles": true, "schematic": true}

// pieceLabel says that a line begins with the name of a piece and a colon.
func (r *reader) pieceLabel(line int) bool {
	label, _, _, ok := r.label(line)
	return ok && pieceLine(append(scanLine(label, 1), Token{}))
}

// capitalLabel says that a line begins with a name in capitals and a colon.
func (r *reader) capitalLabel(line int) bool {
	label, _, _, ok := r.label(line)
	return ok && capitalName(label)
}

// labelsRow says that a row with a head stands behind the label of a line: "V-neck: Next row (RS): Knit 34, …".
func (r *reader) labelsRow(line int) bool {
	_, _, at, ok := r.label(line)
	if !ok || at >= len(r.lines[line]) {
		return false
	}
	q := r.parser(r.lines[line][at:])
	q.quiet = true
	h, _, ok := q.head(0)
	return ok && (len(h.Numbers) > 0 || h.Next > 0 || q.w(0) == "next")
}

// pieceBefore is where the head of a row begins that a comma parts from the name of its piece, "Left front, Row 1 (RS): …";
// 0 for any other line.
func (p *parser) pieceBefore() int {
	for k := 1; k < len(p.toks) && k < 5; k++ {
		if p.w(k) != "," {
			continue
		}
		q := *p
		q.quiet = true
		if h, _, ok := q.head(k + 1); ok && len(h.Numbers) > 0 && pieceLine(append(append([]Token(nil), p.toks[:k]...), Token{})) {
			return k + 1
		}
		return 0
	}
	return 0
}

// dividingLabel is where the row begins behind a label that divides the work: "Divide for body and sleeves: K33, …";
// 0 for any other line.
func (p *parser) dividingLabel() int {
	divides := false
	for k := 0; k < len(p.toks) && k < 9; k++ {
		switch w := p.w(k); {
		case w == ":":
			if divides {
				return k + 1
			}
			return 0
		case w == "(" || w == ")": // "Divide for neck (RS): …"
			if _, _, side := p.sideWord(k + 1); w == "(" && !side {
				return 0
			}
		case p.at(k).Kind != Word:
			return 0
		}
		divides = divides || hasWord(p, k, "divide", "dividing", "division", "separate", "separating", "separation", "split")
	}
	return 0
}

// patternLabels are labels before the name of a stitch pattern.
var patternLabels = []string{"stitch pattern: ", "pattern stitch: ", "pattern: ", "lace pattern: ", "stitch: "}

// namedMultiple is the name of a stitch pattern on a line that tells its multiple behind it, with its first row
// next: "Old Shale (worked in the round, multiple of 18 sts)"; "" for any other line, and for the title.
func (r *reader) namedMultiple(p *parser, line int) string {
	if !r.titled || !r.namesPattern(line) {
		return ""
	}
	m, _, ok := p.multiple(0, len(p.toks))
	if !ok {
		return ""
	}
	src := []rune(r.ms.Source[line])
	text := strings.Trim(string(src[:max(0, min(m.Col-1, len(src)))]), " #*_•")
	for _, l := range patternLabels {
		if strings.HasPrefix(strings.ToLower(text), l) {
			text = text[len(l):]
		}
	}
	if cut := strings.IndexAny(text, "([:,–—"); cut >= 0 {
		text = text[:cut]
	}
	text = strings.Trim(text, " *_-")
	words := strings.Fields(strings.ToLower(text))
	if len(words) == 0 || len(words) > 5 {
		return ""
	}
	switch words[0] {
	case "multiple", "mult", "worked", "work", "cast", "co", "this", "the", "over", "requires", "any", "a", "note", "pattern", "stitch", "stitches", "sts", "for", "it", "with", "on", "repeat", "rep", "number", "knit", "uses", "made":
		return ""
	}
	return text
}

// namesPattern says that a line behind the lists of the head names the stitch pattern whose first row
// comes next, but for a line that tells its multiple.
func (r *reader) namesPattern(line int) bool {
	toks := stripBullet(r.lines[line])
	for len(toks) > 0 && toks[0].Text == "*" {
		toks = toks[1:]
	}
	if len(toks) == 0 || len(toks) > 18 || toks[0].Kind != Word || lowerWord(toks[0]) || hasSign(toks, ".") || hasSign(toks, "=") {
		return false
	}
	for k, left := line+1, 3; k < len(r.lines) && left > 0; k++ {
		next := stripBullet(r.lines[k])
		if len(next) == 0 {
			continue
		}
		p := r.parser(next)
		h, _, ok := r.quietHead(p)
		if ok {
			return len(h.Numbers) > 0 && h.Numbers[0] == 1
		}
		q := *p
		q.quiet = true
		if _, _, ok := q.multiple(0, len(next)); !ok {
			return false
		}
		left--
	}
	return false
}

// firstOfRows says that row 1 stands here, with row 2 on the next line.
func (r *reader) firstOfRows(h Head, line int) bool {
	if len(h.Numbers) == 0 || h.Numbers[0] != 1 || line+1 >= len(r.lines) {
		return false
	}
	next, _, ok := r.quietHead(r.parser(stripBullet(r.lines[line+1])))
	return ok && len(next.Numbers) > 0 && next.Numbers[0] == h.Numbers[len(h.Numbers)-1]+1
}

func (r *reader) quietHead(p *parser) (Head, int, bool) {
	q := *p
	q.quiet = true
	return q.head(0)
}

func (r *reader) canBeTitle(p *parser, line int, stmt []Token) bool {
	if len(stmt) > 16 || len(stmt) != len(r.lines[line]) {
		return false
	}
	q := *p
	q.quiet = true
	if q.evidence() && q.strictSentence(0) && !capitalNames(stmt) {
		return false
	}
	if w := p.w(0); w == "multiple" || w == "mult" || w == "multiples" {
		return false
	}
	return len(r.ms.Items) == 0 || onlyBlank(r.ms.Items)
}

// capitalNames says that a line is in the words of a title: outside brackets every long word has
// a capital, two at least, and no number or sign stands among them: "Seed Pearls (in the round, 2 colours)".
func capitalNames(toks []Token) bool {
	depth, words := 0, 0
	for _, t := range toks {
		switch {
		case nesting(t.Text) != 0:
			depth += nesting(t.Text)
		case depth > 0 || t.Text == "," || t.Text == "'" || t.Text == "&":
		case t.Kind != Word:
			return false
		case len(t.Raw) > 3 && strings.ToLower(t.Raw[:1]) == t.Raw[:1]:
			return false
		case len(t.Raw) > 3:
			words++
		}
	}
	return words > 1
}

var fieldLabels = map[string]bool{"gauge": true, "tension": true, "yarn": true, "yarns": true, "wool": true, "needles": true, "needle": true, "notions": true, "materials": true, "material": true,
	"measurements": true, "measurement": true, "materials required": true, "finished measurements": true, "skill level": true, "difficulty": true, "level": true, "designer": true, "design": true, "by": true, "copyright": true, "pattern notes": true, "construction": true, "care": true, "blocking": true,
	"colourway": true, "colourways": true, "colorway": true, "colorways": true, "colours": true, "colors": true, "colour": true, "color": true, "to fit": true, "size": true, "sizes": true, "hook": true, "supplies": true, "you will need": true, "ease": true, "shown in": true, "sample": true, "techniques": true, "stitches used": true, "about": true, "description": true, "version": true, "date": true, "author": true, "language": true, "website": true, "errata": true, "model": true, "photo": true, "weight": true, "yardage": true, "stitch multiple": true, "multiple": true, "stitch pattern": true, "pattern": true, "title": true, "name": true, "pattern name": true, "swatch": true, "sample size": true, "finishing": true, "making up": true, "to make up": true, "age": true, "length": true, "width": true, "height": true, "notions and needles": true, "warning": true, "caution": true}
