package notation

import (
	"strings"

	"rowproof/domain/finding"
)

// items walks the lines and makes the tree.
func (r *reader) items() {
	ms := r.ms
	r.section = HeadPiece
	r.findCastOn()
	for i := 0; i < len(r.lines); {
		toks := r.lines[i]
		if len(toks) == 0 {
			ms.Items = append(ms.Items, &Blank{Span: finding.Span{Line: i + 1, Col: 1, EndLine: i + 1, EndCol: 1}})
			i++
			continue
		}
		if ds, ok := r.defined[i]; ok {
			for _, d := range ds {
				ms.Items = append(ms.Items, d)
			}
			i++
			continue
		}
		stmt := toks
		j := i + 1
		if !(r.looksLikeHeading(i) && !endsOpen(toks)) || r.headOnly(stmt) {
			for j < len(r.lines) && r.continues(stmt, i, j) {
				stmt = append(stmt[:len(stmt):len(stmt)], r.lines[j]...)
				j++
				if len(stmt) > maxToks {
					break
				}
			}
		}
		r.statement(stmt, i)
		i = j
	}
}

var wordHeads = map[string]bool{"notes": true, "note": true, "pattern notes": true, "materials": true, "yarn": true, "needles": true, "gauge": true, "tension": true, "notions": true, "sizes": true, "size": true,
	"measurements": true, "finished measurements": true, "finished size": true, "finished sizes": true, "about": true, "description": true, "tips": true, "supplies": true, "you will need": true, "introduction": true, "designer notes": true, "designer's notes": true,
	"skill level": true, "difficulty": true, "stitches": true, "care": true, "copyright": true, "techniques": true, "materials and tools": true, "equipment": true, "before you start": true, "special notes": true, "general notes": true, "construction": true, "construction notes": true, "notes on the pattern": true, "what you need": true, "errata": true, "credits": true, "yarn and needles": true, "schematic": true}

// evidence says that a line without a head has the marks of a row, not of a name.
func (p *parser) evidence() bool {
	for k, t := range p.toks {
		if t.Kind == Number || isMark(t.Text) || t.Text == "to" || t.Text == "across" || t.Text == "every" || t.Text == "all" || t.Text == "off" || t.Text == "bo" || t.Text == "." && k == len(p.toks)-1 || k == 0 && len(p.toks) == 1 && bareAll[folded(t.Text)] {
			return true
		}
		if k == 0 && t.Kind == Word && len(p.toks) == 1 && (t.Text == "knit" || t.Text == "purl") {
			return true
		}
	}
	return false
}

// strictSentence says that the tokens from i are an instruction in full.
func (p *parser) strictSentence(i int) bool {
	if _, _, ok := p.repRows(i); ok {
		return true
	}
	if _, _, ok := p.shape(i); ok {
		return true
	}
	if _, _, ok := p.straight(i); ok {
		return true
	}
	if _, _, ok := p.closes(i); ok {
		return true
	}
	if _, _, ok := p.strictRow(i); ok {
		return true
	}
	return false
}

// strictRow reads a line without a head as a row, if all of it is understood.
func (p *parser) strictRow(i int) (*Row, int, bool) {
	if p.at(i).Kind == Number && (p.w(i+1) == "x" || p.w(i+1) == "/") && p.at(i+2).Kind == Number && p.w(i+3) == "rib" {
		return nil, i, false // "2x2 rib" by itself is a name
	}
	if p.w(i) == "make" && p.at(i+1).Kind == Number && (p.w(i+2) == "." || i+2 >= len(p.toks)) {
		return nil, i, false // "Make 2.": two such pieces
	}
	q := *p
	var own finding.List
	q.out = &own
	if !q.opStarts(i) && q.at(i).Kind != Number {
		return nil, i, false
	}
	b, j := q.body(i, "")
	worked := 0
	unread := false
	each(b.ops, func(o Op) {
		if _, ok := o.(*Unknown); ok {
			unread = true
		}
	})
	if unread {
		return p.markerClause(i)
	}
	for _, o := range b.ops {
		switch o.(type) {
		case *Remark, *Join, *UseYarn, *Mark:
		default:
			worked++
		}
	}
	_, rep := lastOp(b).(*Repeat)
	if whole := rep && wholeRow(b.ops); worked == 0 || b.prose != "" && worked < 2 && !whole {
		return p.markerClause(i)
	}
	if len(own.Findings) > 0 && worked < 2 {
		return p.markerClause(i)
	}
	if !p.quiet {
		for _, f := range own.Findings {
			p.out.Add(f)
		}
	}
	end := p.sentenceEnd(i)
	return &Row{Head: Head{Words: p.headless(i, min(end, j))}, Body: b.ops, Stated: b.stated, Prose: b.prose, Span: p.span(i, j)}, j, true
}

// markerClause reads a clause by itself that goes to a marker: "Knit to the first
// marker; this is …".
func (p *parser) markerClause(i int) (*Row, int, bool) {
	cut := p.clauseEnd(i)
	if cut >= len(p.toks) {
		return nil, i, false
	}
	q := *p
	q.toks = p.toks[:cut]
	if row, j, ok := q.strictRow(i); ok && toMarker(row.Body) {
		return row, j, true
	}
	return nil, i, false
}

// clauseEnd is where the clause from i ends: at a semicolon or a stop.
func (p *parser) clauseEnd(i int) int {
	for ; i < len(p.toks); i++ {
		if w := p.w(i); w == ";" || w == "." {
			return i
		}
	}
	return i
}

// toMarker says that all that is worked goes to a marker: "knit to first m; this
// is the new beginning of the rnd".
func toMarker(ops []Op) bool {
	if len(ops) != 1 {
		return false
	}
	u, ok := ops[0].(*Until)
	return ok && u.To.Kind == ToMarker && u.To.N.For(0) <= 0
}

// headless names a row without head by its first words.
func (p *parser) headless(i, end int) string {
	j := i
	for j < end && j < i+4 && p.w(j) != "," && p.w(j) != ";" && p.w(j) != "." {
		j++
	}
	return p.raw(i, j)
}

// statement reads one line (with what continues it) into items.
func (r *reader) statement(stmt []Token, line int) {
	ms := r.ms
	if at := tooDeep(stmt); at >= 0 {
		ms.Findings.Addf("too-deep", stmt[at].Span, "brackets nested more than %d deep; this line is not read", MaxNesting)
		ms.Items = append(ms.Items, &Prose{Text: joinSource(ms, stmt), Span: stmt[0].Span.Cover(stmt[len(stmt)-1].Span)})
		return
	}
	p := r.parser(stripBullet(stmt))
	toks := p.toks
	add := func(it Item) { ms.Items = append(ms.Items, it) }
	whole := p.span(0, len(toks))
	text := strings.TrimSpace(ms.Source[line])
	if r.forced[line] {
		text = strings.Trim(text, " #*=")
	}
	low := strings.ToLower(strings.Trim(text, " :.–—-*#_="))

	// a list number before a head or a row
	if len(toks) > 2 && toks[0].Kind == Number && (toks[1].Text == "." || toks[1].Text == ")") && toks[1].Glued {
		q := r.parser(toks[2:])
		q.quiet = true
		if _, _, ok := q.head(0); ok {
			number := p.span(0, 2)
			p = r.parser(toks[2:])
			toks, p.listed = p.toks, number
		} else if _, _, closing := q.closes(0); closing {
			p = r.parser(toks[2:])
			toks = p.toks
		} else if r.isJob(q) {
			p = r.parser(toks[2:])
			toks = p.toks
		} else if row, _, ok := q.strictRow(0); ok && len(row.Body) > 0 && r.section == HeadPiece {
			p2 := r.parser(toks[2:])
			b, j := p2.body(0, "")
			row := &Row{Head: Head{Words: toks[0].Text, Numbers: []int{toks[0].Val}, Span: p.span(0, 1)}, Body: b.ops, Stated: b.stated, Prose: b.prose, Span: whole}
			r.addRow(row, p2)
			r.sentences(p2, j, line)
			return
		} else if _, _, ok := q.begin(0); ok || q.strictSentence(0) {
			p = r.parser(toks[2:])
			toks = p.toks
		}
	}
	head, behind, isHead := r.quietHead(p)
	if isHead && !r.titled && !r.begun && len(head.Numbers) == 0 && head.Side == "" && onlyBlank(ms.Items) && !r.tells(p, behind) {
		isHead = false // "berry rows - my notes", a title
	}
	if r.section == HeadAbbr && len(head.Numbers) == 0 {
		isHead = false // "rnd: round", one of the list
	}
	if !isHead && r.begun {
		if _, q, ok := p.needleName(0); ok && p.w(q) == ":" { // "Needle 1: K18 heel sts, pick up …", over all needles
			if b, j, ok := p.gusset(q + 1); ok {
				r.addRow(&Row{Head: Head{Words: p.headless(q+1, j), Span: p.span(0, q)}, Body: b.ops, Stated: b.stated, Span: whole}, p)
				r.sentences(p, j, line)
				return
			}
		}
	}
	isBegin := false
	if !isHead {
		q := *p
		q.quiet = true
		if b, _, ok := q.begin(0); ok && b.N.Given() {
			isBegin = true
		} else if r.section == HeadAbbr || r.section == HeadWords {
			isBegin = r.castOn == line+1 && (line == 0 || len(r.lines[line-1]) < 6)
		}
	}
	// words that only look like instructions
	if pageFoot(toks) || r.titled && !r.begun && byName(toks) {
		add(&Prose{Text: joinSource(ms, stmt), Span: whole})
		return
	}
	if w := p.w(0); (w == "note" || w == "notes" || w == "nb" || w == "tip" || w == "hint" || w == "example" || w == "n" && p.w(1) == "." && p.w(2) == "b" || w == "e" && p.w(1) == "." && p.w(2) == "g") && len(toks) > 2 && !isHead {
		r.multipleIn(p, 0, len(toks), line)
		add(&Prose{Text: joinSource(ms, stmt), Span: whole})
		return
	}
	if n := len(toks); n > 3 && openers[toks[0].Text] != "" && (closes(toks[n-1].Text) || closes(toks[n-2].Text)) && hasSign(toks, "means") { // "(W.f. means wool forward; p.s.s.o., …)"
		add(&Prose{Text: joinSource(ms, stmt), Span: whole})
		return
	}
	if r.section == HeadWords || r.section == HeadAbbr {
		if m, j, ok := p.multiple(0, len(toks)); ok && m.Col == toks[0].Col && (j >= len(toks) || p.w(j) == "." && j+1 >= len(toks)) {
			r.section = HeadPiece // the list is over
		}
		prevBlank := line == 0 || len(r.lines[line-1]) == 0
		if isBegin && (prevBlank || r.section == HeadWords && castsFirst(p)) || isHead && (prevBlank || r.section == HeadAbbr || r.firstOfRows(head, line)) || r.section == HeadAbbr && isBegin {
			r.section = HeadPiece
		}
	}
	if !isHead && r.begun {
		if k := p.dividingLabel(); k > 0 {
			q := *p
			q.quiet = true
			if row, _, ok := q.strictRow(k); ok && len(row.Body) > 2 && row.Prose == "" {
				row, j, _ := p.strictRow(k)
				row.Head = Head{Words: strings.TrimSpace(p.raw(0, k-1)), Span: p.span(0, k-1)}
				r.addRow(row, p)
				r.sentences(p, j, line)
				return
			}
		}
	}
	if name := r.namedMultiple(p, line); name != "" && !isHead {
		r.section = HeadPiece
		r.pieces = append(r.pieces, name)
		add(&Heading{Text: name, Kind: HeadPiece, Span: whole})
		r.multipleIn(p, 0, len(toks), line)
		return
	}
	if isBegin && r.pieceLabel(line) && r.field(p, line, stmt) { // "BACK: With No. 4 needles cast on 68 sts"
		return
	}
	if !isHead && !isBegin {
		if r.field(p, line, stmt) {
			return
		}
		if isAbbrHead(low) {
			r.section = HeadAbbr
			add(&Heading{Text: strings.TrimRight(text, " .:–—-"), Kind: HeadAbbr, Span: whole})
			return
		}
		listed := r.section == HeadWords && line > 0 && len(r.lines[line-1]) > 0 && !r.forced[line] && !wordHeads[low]
		if r.looksLikeHeading(line) && !listed && len(stmt) == len(r.lines[line]) || !r.titled && !r.begun && r.canBeTitle(p, line, stmt) {
			if r.runningHead(line) {
				add(&Prose{Text: joinSource(ms, stmt), Span: whole})
				return
			}
			r.heading(p, text, low, line, whole)
			return
		}
	}
	if (r.section != HeadPiece || toks[0].Text == "*") && r.namesPattern(line) { // "Old Shale (worked over a multiple of 12 sts + 7)" above its rows
		text := strings.TrimSpace(strings.ReplaceAll(text, "*", ""))
		r.heading(p, text, strings.ToLower(text), line, whole)
		return
	}
	if r.section != HeadPiece {
		r.multipleIn(p, 0, len(toks), line)
		add(&Prose{Text: joinSource(ms, stmt), Span: whole})
		return
	}
	if st, j, ok := p.stated(0); ok && j >= len(toks) && len(ms.Items) > 0 {
		if attach(ms.Items[len(ms.Items)-1], st) {
			return
		}
	}
	if m, ok := p.bareSum(); ok {
		add(m)
		return
	}
	r.sentences(p, 0, line)
}

// pieceLabel says that a line begins with the name of a piece and a colon.
func (r *reader) pieceLabel(line int) bool {
	label, _, _, ok := r.label(line)
	return ok && pieceLine(append(scanLine(label, 1), Token{}))
}

// isJob says that an item of a numbered list is a job and not the row of that number: it
// casts on, works several rows, repeats rows or shapes them; or so does the first of the list.
func (r *reader) isJob(q *parser) bool {
	if b, _, ok := q.begin(0); ok && b.N.Given() {
		return true
	}
	if _, _, ok := q.repRows(0); ok {
		return true
	}
	if s, _, ok := q.straight(0); ok && (s.Rows.Given() || s.Length != "") {
		return true
	}
	if r.jobs == 0 {
		r.jobs = -1
		for _, toks := range r.lines {
			if len(toks) < 4 || toks[0].Kind != Number || toks[1].Text != "." && toks[1].Text != ")" || !toks[1].Glued {
				continue
			}
			p := r.parser(toks[2:])
			p.quiet = true
			if b, _, ok := p.begin(0); ok && b.N.Given() {
				r.jobs = 1
				break
			}
		}
	}
	return r.jobs > 0
}

// tells says that something to work stands behind a head that ends at i.
func (r *reader) tells(p *parser, i int) bool {
	q := *p
	q.quiet = true
	b, _ := q.body(i, "")
	for _, o := range b.ops {
		switch o.(type) {
		case *Unknown, *Remark, *UseYarn:
		default:
			return true
		}
	}
	return false
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

func joinSource(ms *Manuscript, stmt []Token) string {
	first, last := stmt[0].Line, stmt[len(stmt)-1].EndLine
	var b strings.Builder
	for l := first; l <= last; l++ {
		if l > first {
			b.WriteByte(' ')
		}
		b.WriteString(strings.TrimSpace(ms.Source[l-1]))
	}
	return b.String()
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

func onlyBlank(items []Item) bool {
	for _, it := range items {
		if _, ok := it.(*Blank); !ok {
			return false
		}
	}
	return true
}

var fieldLabels = map[string]bool{"gauge": true, "tension": true, "yarn": true, "yarns": true, "wool": true, "needles": true, "needle": true, "notions": true, "materials": true, "material": true,
	"measurements": true, "measurement": true, "materials required": true, "finished measurements": true, "skill level": true, "difficulty": true, "level": true, "designer": true, "design": true, "by": true, "copyright": true, "pattern notes": true, "construction": true, "care": true, "blocking": true,
	"colourway": true, "colourways": true, "colorway": true, "colorways": true, "colours": true, "colors": true, "colour": true, "color": true, "to fit": true, "size": true, "sizes": true, "hook": true, "supplies": true, "you will need": true, "ease": true, "shown in": true, "sample": true, "techniques": true, "stitches used": true, "about": true, "description": true, "version": true, "date": true, "author": true, "language": true, "website": true, "errata": true, "model": true, "photo": true, "weight": true, "yardage": true, "stitch multiple": true, "multiple": true, "stitch pattern": true, "pattern": true, "title": true, "name": true, "pattern name": true, "swatch": true, "sample size": true, "finishing": true, "making up": true, "to make up": true, "age": true, "length": true, "width": true, "height": true, "notions and needles": true, "warning": true, "caution": true}
