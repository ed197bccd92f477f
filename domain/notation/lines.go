package notation

import (
	"regexp"
	"strings"
)

// This file says where a statement ends and what a line looks like.

func endsOpen(toks []Token) bool {
	switch toks[len(toks)-1].Text {
	case ",", ";", "(", "[", "{", "*", "**", "and", "from", "rep", "repeat", "last", "knit1", "of", "next", "at", "each", "the", "until", "every", "with", "k", "p", "–", "for", "than", "or", "as", "a", "an", "to", "in", "is", "are", "which", "that":
		return true
	}
	return false
}

// headOnly: "Row 1:" with its instructions on the next line.
func (r *reader) headOnly(toks []Token) bool {
	p := r.parser(stripBullet(toks))
	p.quiet = true
	p.toks = append(p.toks[:len(p.toks):len(p.toks)], Token{Kind: Word, Text: "k", fold: "k", Raw: "k"})
	_, j, ok := p.head(0)
	return ok && j >= len(p.toks)-1
}

// bareName: one to three words that begin with a capital, and nothing else; a
// heading rather than the rest of a row.
func bareName(toks []Token) bool {
	if len(toks) > 3 || len(toks[0].Raw) < 4 || strings.ToLower(toks[0].Raw[:1]) == toks[0].Raw[:1] {
		return false
	}
	for _, t := range toks {
		if t.Kind != Word {
			return false
		}
	}
	return true
}

// byNeedle says that a row is told by the needle so far.
func (r *reader) byNeedle(stmt []Token) bool {
	p := r.parser(stripBullet(stmt))
	p.quiet = true
	_, j, ok := p.head(0)
	if n, _, one := p.needleName(0); one && n == 1 && r.begun && !ok {
		j, ok = 0, true // a round without a head
	}
	for ; ok && j < len(p.toks); j++ {
		if _, _, ok := p.needleLabel(j); ok {
			return true
		}
	}
	return false
}

// continues says that line j goes on with the statement begun at line i.
func (r *reader) continues(stmt []Token, i, j int) bool {
	next := r.lines[j]
	if len(next) == 0 || j-i > 12 {
		return false
	}
	if _, ok := r.defined[j]; ok {
		return false
	}
	if next[0].Text == "•" {
		return false
	}
	if r.isRowStart(j) {
		return r.wrappedProse(stmt, j)
	}
	if len(next) > 2 && next[0].Kind == Number && (next[1].Text == "." || next[1].Text == ")") && next[1].Glued && !next[2].Glued {
		return false
	}
	if r.headOnly(stmt) {
		return true
	}
	if _, _, ok := r.parser(stripBullet(next)).needleLabel(0); ok && r.byNeedle(stmt) {
		return true // a line for each needle
	}
	if bareName(next) {
		return false
	}
	depth, open := 0, 0
	rep := false
	for _, t := range stmt {
		switch {
		case nesting(t.Text) != 0:
			depth += nesting(t.Text)
		case isMark(t.Text) && t.Text != "+" && t.Text != "#":
			open++
		case t.Text == "rep" || t.Text == "repeat":
			rep = true
		}
	}
	if r.isBeginLine(j) {
		return false
	}
	if depth > 0 && depth < 4 {
		return true
	}
	row := r.isStmtRow(stmt)
	last := stmt[len(stmt)-1]
	if depth == 0 && (last.fold == "st" || last.Text == ")") && open%2 == 0 || r.sentenceLine(j) {
		return false
	}
	if row && open > 0 && !rep && open%2 == 1 && last.Text != "." {
		return true
	}
	if endsOpen(stmt) && (row || last.Text != "–") {
		return true
	}
	if last.Text == "." || last.Text == ":" || last.Text == "!" {
		return false
	}
	src := r.ms.Source[j-1]
	if row && lowerWord(next[0]) && (len([]rune(src)) > 40) {
		return true
	}
	if !row && lowerWord(next[0]) && next[0].Kind == Word && len([]rune(src)) >= 90 && last.Kind == Word {
		return true // a long line that ends without a stop, and small letters: one sentence
	}
	// a wrapped count: "… to end –" / "83 (95, 107) sts."
	return row && next[0].Text == "–" && len(next) < 12 || !row && lowerWord(next[0]) && next[0].Kind == Word && len([]rune(src)) > 50 && !r.opLine(next)
}

// sentenceLine says that a line is a sentence about rows of its own.
func (r *reader) sentenceLine(j int) bool {
	p := r.parser(r.lines[j])
	p.quiet = true
	switch p.w(0) {
	case "work", "rep", "bind", "cast", "bo", "cont", "continue", "next", "dec", "inc", "change", "knit", "purl", "join", "place", "break", "cut":
	default:
		return false
	}
	if _, _, ok := p.repRows(0); ok {
		return true
	}
	if _, _, ok := p.shape(0); ok {
		return true
	}
	if _, _, ok := p.straight(0); ok {
		return true
	}
	_, _, ok := p.closes(0)
	return ok
}

func (r *reader) opLine(toks []Token) bool {
	p := r.parser(toks)
	p.quiet = true
	return p.opStarts(0)
}

func (r *reader) isStmtRow(stmt []Token) bool {
	p := r.parser(stripBullet(stmt))
	p.quiet = true
	_, _, ok := p.head(0)
	return ok
}

// looksLikeHeading: a short line that asks for nothing.
func (r *reader) looksLikeHeading(i int) bool {
	toks := r.lines[i]
	if len(toks) == 0 || len(toks) > 12 || pageFoot(toks) {
		return false
	}
	if r.forced[i] {
		p := r.parser(toks)
		p.quiet = true
		_, _, isHead := p.head(0)
		_, j, sized := p.onlySizes(0, r.ms.Sizes) // "### All sizes"
		return !isHead && !(sized && j >= len(toks))
	}
	last := toks[len(toks)-1]
	if toks[0].Text == "(" && last.Text == ")" && len(toks) > 2 && lowerWord(toks[1]) && toks[1].Text != "make" && toks[1].Text != "work" {
		return false // "(please turn over)"
	}
	if toks[0].Text == "(" && last.Text == ")" && len(toks) > 3 {
		switch toks[1].Text {
		case "worked", "knitted", "see", "note", "this", "these", "both", "all": // "(Worked in one piece to the armholes)"
			return false
		}
	}
	words := 0
	for k, t := range toks {
		if t.Kind == Word {
			words++
		}
		if t.Text == "*" || t.Text == "=" || t.Text == ";" || t.Text == "." && k < len(toks)-1 {
			return false
		}
		if t.Text == ":" && k < len(toks)-1 {
			return false
		}
		if t.Text == "," && k < len(toks)-1 && toks[0].Text != "sizes" && words < 2 {
			return false
		}
	}
	if words == 0 || words > 9 || last.Text == "." && (!pieceLine(toks) || !r.begun && (r.castOn <= i || r.castOn > i+4)) && !capsHead(toks) {
		return false
	}
	if toks[0].Kind != Word && toks[0].Text != "(" && toks[0].Kind != Ordinal || toks[0].Raw != "" && toks[0].Kind == Word && lowerWord(toks[0]) && last.Text != ":" && !r.lowerPiece(i) {
		return false
	}
	low := strings.ToLower(strings.Trim(strings.TrimSpace(r.ms.Source[i]), " :.–—-*#"))
	if isAbbrHead(low) || wordHeads[low] || instructionHeads[low] {
		return true
	}
	p := r.parser(toks)
	p.quiet = true
	if _, _, ok := p.head(0); ok {
		return false
	}
	if _, _, ok := p.begin(0); ok {
		return false
	}
	if p.w(0) == "work" && p.w(1) == "as" { // "Work as for the right mitten, but with this change:"
		return false
	}
	if _, _, ok := p.onlySizes(0, r.ms.Sizes); ok {
		return false
	}
	if p.evidence() && p.strictSentence(0) {
		return false
	}
	return true
}

// smallPieces are the words of heads that a house sets in small letters throughout: "brim", "shape crown".
var smallPieces = map[string]bool{"shape": true, "work": true, "the": true, "left": true, "right": true, "first": true, "second": true, "1st": true, "2nd": true, "brim": true, "body": true, "crown": true, "cuff": true, "cuffs": true, "hand": true, "thumb": true, "gusset": true, "heel": true, "flap": true, "foot": true,
	"toe": true, "leg": true, "back": true, "front": true, "sleeve": true, "sleeves": true, "neck": true, "neckband": true, "yoke": true, "border": true, "edging": true, "collar": true, "shoulder": true, "shoulders": true, "armhole": true, "armholes": true, "finishing": true, "hem": true, "top": true, "pocket": true, "pockets": true, "band": true, "bands": true}

// lowerPiece says that line i stands alone behind an empty one and is only the name of a piece in small letters.
func (r *reader) lowerPiece(i int) bool {
	toks := r.lines[i]
	if i == 0 || len(r.lines[i-1]) > 0 || len(toks) > 3 || !r.titled {
		return false
	}
	for _, t := range toks {
		if t.Kind != Word && t.Kind != Ordinal || !smallPieces[strings.ToLower(t.Raw)] {
			return false
		}
	}
	return !hasWordIn(toks[len(toks)-1], "shape", "work", "the", "left", "right", "first", "second")
}

// capsHead says that a line is a few words in capitals with a full stop, as old leaflets set their heads:
// "SECOND SIDE.", "TO MAKE UP.". Names of stitches make it an instruction.
func capsHead(toks []Token) bool {
	if len(toks) < 2 || len(toks) > 6 {
		return false
	}
	long := false // "NB." is none
	for _, t := range toks[:len(toks)-1] {
		long = long || len(t.Raw) > 3
		if t.Kind != Word && t.Kind != Ordinal || t.Raw != strings.ToUpper(t.Raw) || len(t.Raw) < 2 {
			return false
		}
		switch t.fold {
		case "k", "p", "knit", "purl", "rep", "st", "tog", "row", "rnd", "bo", "co", "cast", "bind", "turn", "join", "plain", "sl", "slip", "inc", "dec", "yo":
			return false
		}
	}
	return long
}

// instructionHeads are heads below which the pieces are told.
var instructionHeads = map[string]bool{"pattern": true, "the pattern": true, "instructions": true, "directions": true, "method": true}

// pieceLine says that a line names a piece and no more: "Thumb.", "Left front."
func pieceLine(toks []Token) bool {
	named := false
	for _, t := range toks[:len(toks)-1] {
		if t.Kind == Ordinal { // "Fourth finger"
			continue
		}
		switch t.Text {
		case "the", "neck", "armhole", "armholes", "left", "right", "first", "second", "third", "fourth", "little", "and", "upper", "lower", "main":
		case "back", "front", "fronts", "sleeve", "sleeves", "thumb", "thumbs", "cuff", "cuffs", "hand", "heel", "toe", "toes", "foot", "leg", "instep", "gusset", "crown", "brim", "collar", "neckband", "border", "borders", "body", "yoke", "pocket", "pockets", "hood", "strap", "straps", "band", "bands", "edging", "part", "piece", "ear", "ears", "head", "tail", "arm", "arms", "legs", "finger", "fingers", "shoulder", "shoulders", "palm", "skirt", "bodice",
			"mitten", "mittens", "mitt", "mitts", "glove", "gloves", "sock", "socks", "stocking", "bootee", "bootees", "slipper", "slippers":
			named = true
		default:
			return false
		}
	}
	return named && len(toks) < 6 && (toks[0].Kind == Word || toks[0].Kind == Ordinal) && !lowerWord(toks[0])
}

// pageFoot: "Page 2 of 3", a foot that was pasted along.
func pageFoot(toks []Token) bool {
	if toks[0].Text == "©" {
		return true
	}
	if n := len(toks); n > 3 && n < 16 && toks[n-1].Kind == Number { // "Winter Sampler – p. 9"
		k := n - 2
		if toks[k].Text == "." {
			k--
		}
		if k > 0 && (toks[k].Text == "p" || toks[k].Text == "page" || toks[k].Text == "pg") && (isDash(toks[k-1].Text) || toks[k-1].Text == "|" || toks[k-1].Text == "•") {
			return true
		}
	}
	return toks[0].Text == "page" && len(toks) > 1 && len(toks) < 6 && toks[1].Kind == Number
}

// byName says that a line tells who designed the pattern and no more, "Designed by Mrs. J. Holt and
// Anna St. Clair", so that no point within a name ends a sentence.
func byName(toks []Token) bool {
	k := 0
	if len(toks) > 1 && toks[1].Text == "by" && (toks[0].Text == "designed" || toks[0].Text == "design" || toks[0].Text == "pattern") {
		k = 1
	}
	if len(toks) < k+2 || len(toks) > 16 || toks[k].Text != "by" || toks[k+1].Kind != Word || lowerWord(toks[k+1]) {
		return false
	}
	for _, t := range toks[k+1:] {
		switch {
		case t.Kind == Word && (!lowerWord(t) || len(t.Raw) <= 3): // of, de, van, and
		case t.Text == "." || t.Text == "'" || t.Text == "’" || t.Text == "&" || t.Text == "," || isDash(t.Text):
		default:
			return false
		}
	}
	return true
}

// tooDeep gives the first bracket that is nested too deep, or -1.
func tooDeep(toks []Token) int {
	depth := 0
	for i, t := range toks {
		switch t.Text {
		case "(", "[", "{":
			if depth++; depth > MaxNesting {
				return i
			}
		case ")", "]", "}":
			depth = max(0, depth-1)
		}
	}
	return -1
}

// wrappedProse says that a line that looks like a row's head goes on with the sentence before it:
// "count your stitches only after" / "Row 8, when the number is back", "twisted on every" / "fourth row. It …".
func (r *reader) wrappedProse(stmt []Token, j int) bool {
	src := strings.TrimSpace(r.ms.Source[j-1])
	if len([]rune(src)) < 50 || strings.ContainsAny(src[len(src)-1:], ".:;!?)]*") || r.isStmtRow(stmt) {
		return false
	}
	next := r.lines[j]
	if next[0].Kind == Ordinal || lowerWord(next[0]) { // "fourth row. It pulls in …"
		return lowerWord(next[0]) && !r.headedRow(j)
	}
	return len(next) > 2 && next[1].Kind == Number && next[2].Text == ","
}

// headedRow says that stitches stand behind the head of a line.
func (r *reader) headedRow(j int) bool {
	p := r.parser(stripBullet(r.lines[j]))
	p.quiet = true
	_, k, ok := p.head(0)
	return ok && p.opStarts(k)
}

// runningHead says that a line is the head of a page, printed on others before: words, a gap, and
// what tells the page apart.
func (r *reader) runningHead(line int) bool {
	first := func(i int) string {
		m := pageGap.FindStringIndex(strings.TrimSpace(r.ms.Source[i]))
		if m == nil {
			return ""
		}
		return strings.TrimSpace(r.ms.Source[i])[:m[0]]
	}
	head := first(line)
	for i := 0; i < line && head != ""; i++ {
		if first(i) == head {
			return true
		}
	}
	return false
}

var pageGap = regexp.MustCompile(`\t+| {4,}`)

// castsFirst says that a line begins by casting on: "CO 4 sts." below a head is no list of materials.
func castsFirst(p *parser) bool {
	j, ok := p.words(0, "co", "cast on")
	return ok && p.at(j).Kind == Number
}
