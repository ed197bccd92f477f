package notation

import (
	"strings"

	"rowproof/domain/finding"
)

// items walks the lines and makes the tree.
func (r *reader) items() {
	ms := r.ms
	r.section = HeadPiece
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

func endsOpen(toks []Token) bool {
	switch toks[len(toks)-1].Text {
	case ",", ";", "(", "[", "{", "*", "**", "and", "from", "rep", "repeat", "last", "knit1", "of", "next", "at", "each", "the", "until", "every", "with", "k", "p", "–":
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

// continues says that line j goes on with the statement begun at line i.
func (r *reader) continues(stmt []Token, i, j int) bool {
	next := r.lines[j]
	if len(next) == 0 || j-i > 12 {
		return false
	}
	if _, ok := r.defined[j]; ok {
		return false
	}
	if next[0].Text == "•" || r.isRowStart(j) {
		return false
	}
	if len(next) > 2 && next[0].Kind == Number && (next[1].Text == "." || next[1].Text == ")") && next[1].Glued && !next[2].Glued {
		return false
	}
	if r.headOnly(stmt) {
		return true
	}
	depth, open := 0, 0
	rep := false
	for _, t := range stmt {
		switch {
		case openers[t.Text] != "":
			depth++
		case t.Text == ")" || t.Text == "]" || t.Text == "}":
			depth--
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

var wordHeads = map[string]bool{"notes": true, "note": true, "pattern notes": true, "materials": true, "yarn": true, "needles": true, "gauge": true, "tension": true, "notions": true, "sizes": true, "size": true,
	"measurements": true, "finished measurements": true, "finished size": true, "finished sizes": true, "about": true, "description": true, "tips": true, "supplies": true, "you will need": true, "introduction": true, "designer notes": true, "designer's notes": true,
	"skill level": true, "difficulty": true, "stitches": true, "care": true, "copyright": true, "techniques": true, "materials and tools": true, "equipment": true, "before you start": true, "special notes": true, "general notes": true, "construction": true, "construction notes": true, "notes on the pattern": true, "what you need": true, "errata": true, "credits": true, "yarn and needles": true, "schematic": true}

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
		return !isHead
	}
	last := toks[len(toks)-1]
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
	if words == 0 || words > 9 || last.Text == "." {
		return false
	}
	if toks[0].Kind != Word && toks[0].Text != "(" && toks[0].Kind != Ordinal || toks[0].Raw != "" && toks[0].Kind == Word && lowerWord(toks[0]) && last.Text != ":" {
		return false
	}
	low := strings.ToLower(strings.Trim(strings.TrimSpace(r.ms.Source[i]), " :.–—-*#"))
	if isAbbrHead(low) || wordHeads[low] {
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
	if _, _, ok := p.onlySizes(0, r.ms.Sizes); ok {
		return false
	}
	if p.evidence() && p.strictSentence(0) {
		return false
	}
	return true
}

// pageFoot: "Page 2 of 3", a foot that was pasted along.
func pageFoot(toks []Token) bool {
	if toks[0].Text == "©" {
		return true
	}
	return toks[0].Text == "page" && len(toks) > 1 && len(toks) < 6 && toks[1].Kind == Number
}

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
	q := *p
	var own finding.List
	q.out = &own
	if !q.opStarts(i) && q.at(i).Kind != Number {
		return nil, i, false
	}
	b, j := q.body(i, "")
	worked := 0
	for _, o := range b.ops {
		switch o.(type) {
		case *Unknown:
			return nil, i, false
		case *Remark, *Join, *UseYarn, *Mark:
		default:
			worked++
		}
	}
	if worked == 0 || b.prose != "" && worked < 2 {
		return nil, i, false
	}
	if len(own.Findings) > 0 && worked < 2 {
		return nil, i, false
	}
	if !p.quiet {
		for _, f := range own.Findings {
			p.out.Add(f)
		}
	}
	end := p.sentenceEnd(i)
	return &Row{Head: Head{Words: p.headless(i, min(end, j))}, Body: b.ops, Stated: b.stated, Prose: b.prose, Span: p.span(i, j)}, j, true
}

// headless names a row without head by its first words.
func (p *parser) headless(i, end int) string {
	j := i
	for j < end && j < i+4 && p.w(j) != "," && p.w(j) != ";" && p.w(j) != "." {
		j++
	}
	return p.raw(i, j)
}

// closes reads binding off, grafting or drawing yarn through all stitches.
func (p *parser) closes(i int) (*BindOffAll, int, bool) {
	start := i
	for p.w(i) == "then" || p.w(i) == "and" || p.w(i) == "loosely" || p.w(i) == "," {
		i++
	}
	end := p.sentenceEnd(i)
	done := func(n Num, j int) (*BindOffAll, int, bool) {
		if p.w(j) == "." {
			j++
		}
		return &BindOffAll{N: n, Words: p.raw(start, j), Span: p.span(start, j)}, j, true
	}
	if j, ok := p.words(i, "bo", "bind|cast|binding|casting off", "work 3 - needle bind", "three - needle bind", "bind them off"); ok || p.at(i).Kind == Number && p.w(i+1) == "-" && p.w(i+2) == "needle" {
		if !ok {
			return done(Num{}, end)
		}
		if _, ok := p.words(j, "as follows", "thus", "in this way"); ok {
			return done(Num{}, len(p.toks))
		}
		all := false
		var n Num
		for k := j; k < end; k++ {
			switch w := p.w(k); w {
			case "rem", "all":
				all = true
			case "beg", "next", "centre", "following", "first", "each":
				return nil, start, false
			}
			if p.w(k) == "," || p.w(k) == ";" {
				if q := k + 1; p.opStarts(q) && p.w(q) != "work" {
					return nil, start, false // bind off, then work on: a row
				}
				end = k
				break
			}
			if v, q, ok := p.num(k); ok {
				if p.w(q) == "-" && p.w(q+1) == "needle" {
					all = true
					continue
				}
				if n.Given() {
					break
				}
				n = v
				k = q - 1
			}
		}
		if n.Given() && !all {
			return nil, start, false
		}
		if end < len(p.toks) && p.w(end) != "." {
			if k := p.sentenceEnd(end); true {
				end = k
			}
		}
		return done(n, end)
	}
	if j, ok := p.words(i, "cut|break yarn|wool", "break off", "cut|break", "draw|thread|run|pull|gather|fasten", "graft", "kitchener", "with tapestry needle", "using tapestry needle", "sew", "weave", "leaving tail"); ok {
		through := false
		var n Num
		for k := j - 1; k < end; k++ {
			if p.w(k) == "through" || p.w(k) == "graft" || p.w(k) == "kitchener" {
				through = true
			}
			if v, q, ok := p.num(k); ok && through && p.w(q) == "st" {
				n = v
			}
		}
		if through || p.w(i) == "fasten" && p.w(i+1) == "off" {
			if p.w(i) == "fasten" {
				return &BindOffAll{Words: p.raw(start, end), Span: p.span(start, end)}, end, true
			}
			return done(n, end)
		}
	}
	return nil, start, false
}

// attach gives a count that stands on a line of its own to what was worked before.
func attach(it Item, st []Stated) bool {
	switch it := it.(type) {
	case *Row:
		if len(it.Stated) == 0 {
			it.Stated = st
			return true
		}
	case *RepRows:
		if len(it.Stated) == 0 {
			it.Stated = st
			return true
		}
	case *Shape:
		if len(it.Stated) == 0 {
			it.Stated = st
			return true
		}
	case *Straight:
		if len(it.Stated) == 0 {
			it.Stated = st
			return true
		}
	}
	return false
}

// attachMore gives a further count to what was worked before.
func attachMore(it Item, st []Stated) bool {
	switch it := it.(type) {
	case *Row:
		it.Stated = append(it.Stated, st...)
	case *RepRows:
		it.Stated = append(it.Stated, st...)
	case *Shape:
		it.Stated = append(it.Stated, st...)
	case *Straight:
		it.Stated = append(it.Stated, st...)
	default:
		return false
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
		text = strings.Trim(text, " #*")
	}
	low := strings.ToLower(strings.Trim(text, " :.–—-*#_="))

	// a list number before a head or a row
	if len(toks) > 2 && toks[0].Kind == Number && (toks[1].Text == "." || toks[1].Text == ")") && toks[1].Glued {
		q := r.parser(toks[2:])
		q.quiet = true
		if _, _, ok := q.head(0); ok {
			p = r.parser(toks[2:])
			toks = p.toks
		} else if _, _, closing := q.closes(0); closing {
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
	_, _, isHead := r.quietHead(p)
	isBegin := false
	if !isHead {
		q := *p
		q.quiet = true
		if b, _, ok := q.begin(0); ok && b.N.Given() {
			isBegin = true
		}
	}
	// words that only look like instructions
	if pageFoot(toks) {
		add(&Prose{Text: joinSource(ms, stmt), Span: whole})
		return
	}
	if w := p.w(0); (w == "note" || w == "notes" || w == "nb" || w == "tip" || w == "hint" || w == "example" || w == "n" && p.w(1) == "." && p.w(2) == "b" || w == "e" && p.w(1) == "." && p.w(2) == "g") && len(toks) > 2 && !isHead {
		r.multipleIn(p, 0, len(toks), line)
		add(&Prose{Text: joinSource(ms, stmt), Span: whole})
		return
	}
	if r.section == HeadWords || r.section == HeadAbbr {
		prevBlank := line == 0 || len(r.lines[line-1]) == 0
		if isBegin && prevBlank || isHead && (prevBlank || r.section == HeadAbbr) || r.section == HeadAbbr && isBegin {
			r.section = HeadPiece
		}
	}
	if !isHead && !isBegin {
		if r.field(p, line, stmt) {
			return
		}
		if isAbbrHead(low) {
			r.section = HeadAbbr
			add(&Heading{Text: text, Kind: HeadAbbr, Span: whole})
			return
		}
		if r.looksLikeHeading(line) && len(stmt) == len(r.lines[line]) || !r.titled && !r.begun && r.canBeTitle(p, line, stmt) {
			r.heading(p, text, low, line, whole)
			return
		}
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
	if n := len(toks); (n == 3 || n == 4 && toks[3].Text == ".") && toks[0].Kind == Number && toks[1].Text == "+" && toks[2].Kind == Number {
		r.bareMultiple(p)
		return
	}
	r.sentences(p, 0, line)
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
	if q.evidence() && q.strictSentence(0) {
		return false
	}
	if w := p.w(0); w == "multiple" || w == "mult" || w == "multiples" {
		return false
	}
	return len(r.ms.Items) == 0 || onlyBlank(r.ms.Items)
}

func onlyBlank(items []Item) bool {
	for _, it := range items {
		if _, ok := it.(*Blank); !ok {
			return false
		}
	}
	return true
}

func (r *reader) heading(p *parser, text, low string, line int, whole finding.Span) {
	ms := r.ms
	text = strings.TrimSpace(strings.Trim(text, " #*_=\t"))
	if !r.titled && !r.begun && onlyBlank(ms.Items) && !wordHeads[low] {
		title := text
		if m, _, ok := p.multiple(0, len(p.toks)); ok {
			// "Feather Lace (multiple of 6 plus 1)"
			src := []rune(ms.Source[line])
			if cut := m.Col - 1; cut > 0 && cut <= len(src) {
				title = strings.Trim(string(src[:cut]), " (–—-,:;[")
			}
		}
		r.titled = true
		if title != "" {
			ms.Title = strings.TrimSuffix(title, ":")
			ms.Items = append(ms.Items, &Title{Text: ms.Title, Span: whole})
		}
		r.multipleIn(p, 0, len(p.toks), line)
		return
	}
	kind := HeadPiece
	if wordHeads[low] {
		kind = HeadWords
	}
	name := strings.TrimRight(text, ": ")
	if m, _, ok := p.multiple(0, len(p.toks)); ok {
		src := []rune(ms.Source[line])
		if cut := m.Col - 1; cut >= 0 && cut <= len(src) {
			name = strings.Trim(string(src[:cut]), " (–—-,:;[")
		}
		if name == "" || strings.EqualFold(name, "multiple") {
			r.multipleIn(p, 0, len(p.toks), line)
			return
		}
	}
	r.section = kind
	if kind == HeadPiece {
		r.pieces = append(r.pieces, name)
	}
	ms.Items = append(ms.Items, &Heading{Text: name, Kind: kind, Span: whole})
	r.multipleIn(p, 0, len(p.toks), line)
}

// multipleIn emits a multiple stated anywhere in the words from i to end.
func (r *reader) multipleIn(p *parser, i, end int, line int) (int, bool) {
	m, j, ok := p.multiple(i, end)
	if !ok {
		return i, false
	}
	// an increase or a count spoken of in a note is no multiple of the piece
	r.ms.Items = append(r.ms.Items, m)
	return j, true
}

var fieldLabels = map[string]bool{"gauge": true, "tension": true, "yarn": true, "yarns": true, "wool": true, "needles": true, "needle": true, "notions": true, "materials": true, "material": true,
	"measurements": true, "finished measurements": true, "skill level": true, "difficulty": true, "level": true, "designer": true, "design": true, "by": true, "copyright": true, "pattern notes": true, "construction": true, "care": true, "blocking": true,
	"colours": true, "colors": true, "colour": true, "color": true, "to fit": true, "size": true, "sizes": true, "hook": true, "supplies": true, "you will need": true, "ease": true, "shown in": true, "sample": true, "techniques": true, "stitches used": true, "about": true, "description": true, "version": true, "date": true, "author": true, "language": true, "website": true, "errata": true, "model": true, "photo": true, "weight": true, "yardage": true, "stitch multiple": true, "multiple": true, "stitch pattern": true, "pattern": true, "swatch": true, "sample size": true, "finishing": true, "making up": true, "to make up": true, "age": true, "length": true, "width": true, "height": true, "notions and needles": true, "warning": true, "caution": true}

// field reads head lines with a label.
func (r *reader) field(p *parser, line int, stmt []Token) bool {
	label, text, at, ok := r.label(line)
	if !ok {
		return false
	}
	low := strings.ToLower(strings.Trim(label, " *•-–#"))
	if strings.HasPrefix(low, "bo ") || strings.HasPrefix(low, "bind off") || strings.HasPrefix(low, "cast off") || low == "bo" {
		return false
	}
	if strings.Contains(low, " only") || strings.HasPrefix(low, "all sizes") || strings.HasPrefix(low, "both sizes") {
		return false
	}
	base := low
	if k := strings.IndexAny(base, "(["); k > 0 {
		base = strings.TrimSpace(base[:k])
	}
	whole := p.span(0, len(p.toks))
	known := fieldLabels[base] || strings.HasPrefix(low, "finished") || strings.HasPrefix(low, "to fit") || strings.HasPrefix(low, "yarn ") || strings.HasPrefix(low, "needle") || strings.HasPrefix(low, "gauge") || strings.HasPrefix(low, "colour ") || strings.HasPrefix(low, "color ") || strings.HasPrefix(low, "approx") || strings.HasPrefix(low, "actual") || strings.HasPrefix(low, "chest") || strings.HasPrefix(low, "bust") || strings.HasPrefix(low, "circumference") || strings.HasPrefix(low, "foot ") || strings.HasPrefix(low, "head ") || strings.HasPrefix(low, "hand ")
	if text == "" {
		return false
	}
	if !known {
		// "Back: CO 83 sts", "Crown: Rnd 1: …": a heading, then the words go on
		rest := p.toks
		for k, t := range p.toks {
			if t.Text == ":" || t.Text == "–" && k > 0 {
				rest = p.toks[k+1:]
				break
			}
		}
		_ = at
		q := r.parser(rest)
		q.quiet = true
		if len(rest) == 0 || len(rest) == len(p.toks) {
			return false
		}
		if strings.HasPrefix(low, "joining") || strings.HasPrefix(low, "join ") {
			if row, j, ok := q.strictRow(0); ok {
				q2 := r.parser(rest)
				row.Head = Head{Words: label, Round: strings.Contains(low, "rnd") || strings.Contains(low, "round"), Span: p.span(0, len(p.toks)-len(rest))}
				r.addRow(row, q2)
				r.sentences(q2, j, line)
				return true
			}
		}
		_, _, isHead := q.head(0)
		b, _, isBegin := q.begin(0)
		if isHead || isBegin && b.N.Given() || q.strictSentence(0) {
			if (isHead || isBegin || !isHead) && !r.opWord(p) {
				r.section = HeadPiece
				r.ms.Items = append(r.ms.Items, &Heading{Text: label, Kind: HeadPiece, Span: p.span(0, len(p.toks)-len(rest))})
				r.sentences(r.parser(rest), 0, line)
				return true
			}
		}
		return false
	}
	if base == "sizes" || base == "size" || base == "available sizes" {
		if names, ok := r.sizeNames(line, r.tokenAfterLabel(line)); ok || strings.Contains(strings.ToLower(text), "one") {
			_ = names
			r.ms.Items = append(r.ms.Items, &Sizes{Label: label, Names: append([]string(nil), r.ms.Sizes...), Span: whole})
			return true
		}
	}
	f := &Field{Label: label, Text: strings.TrimSpace(strings.TrimPrefix(joinSource(r.ms, stmt), "")), Span: whole}
	f.Text = text
	if last := stmt[len(stmt)-1].EndLine; last > line+1 {
		for l := line + 1; l < last; l++ {
			f.Text += " " + strings.TrimSpace(r.ms.Source[l])
		}
	}
	r.ms.Items = append(r.ms.Items, f)
	if !strings.HasPrefix(low, "gauge") && !strings.HasPrefix(low, "tension") && !strings.HasPrefix(low, "swatch") && !strings.HasPrefix(low, "sample") && !strings.HasPrefix(low, "pattern notes") {
		if m, _, ok := p.multiple(0, len(p.toks)); ok {
			r.ms.Items = append(r.ms.Items, m)
		} else if base == "multiple" || base == "stitch multiple" || base == "stitches" {
			r.bareMultiple(p)
		}
	}
	return true
}

func (r *reader) tokenAfterLabel(line int) int {
	for k, t := range r.lines[line] {
		if t.Text == ":" || t.Text == "–" {
			return k + 1
		}
	}
	return 1
}

// opWord says that the line opens with a stitch, not with a name.
func (r *reader) opWord(p *parser) bool {
	q := *p
	q.quiet = true
	_, end, ok := q.stitch(0)
	return ok && (q.w(end) == "," || q.w(end) == "to" || q.at(end).Kind == Number)
}

// bareMultiple reads "8 + 10" behind a label.
func (r *reader) bareMultiple(p *parser) {
	for k := range p.toks {
		if p.at(k).Kind == Number && p.w(k+1) == "+" && p.at(k+2).Kind == Number {
			r.ms.Items = append(r.ms.Items, &Multiple{Of: max(1, min(p.at(k).Val, 100000)), Plus: min(p.at(k+2).Val, 100000), Span: p.span(k, k+3)})
			return
		}
	}
}
