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

// statement reads one line (with what continues it) into items.
func (r *reader) statement(stmt []Token, line int) {
	ms := r.ms
	if at := tooDeep(stmt); at >= 0 {
		ms.Findings.Addf("too-deep", stmt[at].Span, "brackets nested more than %d deep; this line is not read", MaxNesting)
		ms.Items = append(ms.Items, &Prose{Text: joinSource(ms, stmt), Span: stmt[0].Span.Cover(stmt[len(stmt)-1].Span)})
		return
	}
	r.takenBack = r.takenBackBelow(line)
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
		r.noteStep(toks[0].Val)
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
	if k := p.pieceBefore(); k > 0 && r.begun { // "Left front, Row 1 (RS): …"
		r.section = HeadPiece
		add(&Heading{Text: strings.TrimSpace(p.raw(0, k-1)), Kind: HeadPiece, Span: p.span(0, k-1)})
		r.sentences(r.parser(toks[k:]), 0, line)
		return
	}
	head, behind, isHead := r.quietHead(p)
	if isHead && !r.titled && !r.begun && len(head.Numbers) == 0 && head.Side == "" && onlyBlank(ms.Items) && !r.tells(p, behind) {
		isHead = false // "berry rows - my notes", a title
	}
	if r.section == HeadAbbr && len(head.Numbers) == 0 {
		isHead = false // "rnd: round", one of the list
	}
	if isHead && len(head.Numbers) == 0 && behind == len(toks)-1 && toks[behind].Kind == Number { // "Rows: 8", how many there are
		add(&Prose{Text: joinSource(ms, stmt), Span: whole})
		return
	}
	if isHead && len(head.Numbers) == 0 && !head.Every.On() && behind >= len(toks) && r.rowBelow(line) { // "Here's the row:", above it
		add(&Prose{Text: joinSource(ms, stmt), Span: whole})
		return
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
	if k := p.withNeedles(); k > 0 && r.begun && r.section == HeadPiece && !isHead { // "US 7: St st to 13\""
		add(&Prose{Text: strings.TrimSpace(p.raw(0, k)), Span: p.span(0, k)})
		r.sentences(p, k, line)
		return
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
	if n := len(toks); n > 3 && openers[toks[0].Text] != "" && (closes(toks[n-1].Text) || closes(toks[n-2].Text)) && (hasSign(toks, "means") || definesInBrackets(toks)) { // "(W.f. means wool forward; p.s.s.o., …)"
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
			if _, _, ok := q.strictRow(k); !ok { // "… knit to end. Both sides are now worked at the same time": the row is the first sentence
				q.toks = q.toks[:min(len(q.toks), q.sentenceEnd(k)+1)]
			}
			if row, _, ok := q.strictRow(k); ok && len(row.Body) > 2 && !strings.ContainsAny(row.Prose, "0123456789") {
				q.quiet = p.quiet
				row, j, _ := q.strictRow(k)
				row.Head = Head{Words: strings.TrimSpace(p.raw(0, k-1)), Span: p.span(0, k-1)}
				for at := 1; at < k; at++ {
					if s, _, ok := p.sideWord(at); ok && p.w(at-1) == "(" {
						row.Head.Side = s
					}
				}
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
	if isBegin && (r.pieceLabel(line) || r.capitalLabel(line)) && r.field(p, line, stmt) { // "BACK: With No. 4 needles cast on 68 sts"
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

// definesInBrackets says that a line in brackets tells what an abbreviation stands for: "(W.o.n. = wool over needle.)"
func definesInBrackets(toks []Token) bool {
	for k := 1; k < len(toks) && k < 10; k++ {
		if toks[k].Text == "=" {
			return k > 1 && toks[k+1].Kind == Word
		}
		if toks[k].Kind == Number || len(toks[k].Raw) > 6 {
			return false
		}
	}
	return false
}

// rowBelow says that the next line that is not blank is a row without a head, and that a blank line parts it.
func (r *reader) rowBelow(line int) bool {
	k := line + 1
	for k < len(r.lines) && len(r.lines[k]) == 0 {
		k++
	}
	if k == line+1 || k >= len(r.lines) {
		return false
	}
	q := r.parser(stripBullet(r.lines[k]))
	q.quiet = true
	if _, _, ok := q.head(0); ok {
		return false
	}
	row, j, ok := q.strictRow(0)
	return ok && j >= len(q.toks) && len(row.Body) > 0
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

func onlyBlank(items []Item) bool {
	for _, it := range items {
		if _, ok := it.(*Blank); !ok {
			return false
		}
	}
	return true
}
