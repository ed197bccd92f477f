package notation

import (
	"slices"
	"strings"
	"unicode"

	"rowproof/domain/finding"
)

// This file reads titles, headings and head lines with a label.

func (r *reader) heading(p *parser, text, low string, line int, whole finding.Span) {
	ms := r.ms
	text = strings.TrimSpace(strings.Trim(text, " #*_=\t"))
	if !r.titled && !r.begun && onlyBlank(ms.Items) && !wordHeads[low] {
		title := text
		if m, _, ok := p.multiple(0, len(p.toks)); ok {
			// "Feather Lace (multiple of 6 plus 1)"
			src := []rune(ms.Source[line])
			if cut := m.Col - 1; cut > 0 && cut <= len(src) {
				title = strings.Trim(string(src[:cut]), " (–—-,:;[*#")
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
	name := strings.TrimRight(text, ":. ")
	if m, _, ok := p.multiple(0, len(p.toks)); ok {
		src := []rune(ms.Source[line])
		if cut := m.Col - 1; cut >= 0 && cut <= len(src) {
			name = strings.Trim(string(src[:cut]), " (–—-,:;[*#")
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

// field reads head lines with a label.
func (r *reader) field(p *parser, line int, stmt []Token) bool {
	label, text, at, ok := r.label(line)
	if !ok {
		return false
	}
	low := strings.ToLower(strings.Trim(label, " *•-–#"))
	if _, q, ok := p.needleName(0); ok && r.begun && p.w(q) == ":" {
		return false // "Needle 1: knit 9 heel sts": what is worked off it
	}
	if _, _, ok := p.onlySizes(0, r.ms.Sizes); ok && r.begun {
		return false // "Two largest sizes: Rnd 1a: …"
	}
	if strings.HasPrefix(low, "bo ") || strings.HasPrefix(low, "bind off") || strings.HasPrefix(low, "cast off") || low == "bo" {
		return false
	}
	if strings.Contains(low, " only") || strings.HasPrefix(low, "all sizes") || strings.HasPrefix(low, "both sizes") {
		return false
	}
	if r.begun && sectionLabel(low) && isName(text) { // "Section one: garter"
		r.section = HeadPiece
		r.ms.Items = append(r.ms.Items, &Heading{Text: label + ": " + text, Kind: HeadPiece, Span: p.span(0, len(p.toks))})
		return true
	}
	base := low
	if k := strings.IndexAny(base, "(["); k > 0 {
		base = strings.TrimSpace(base[:k])
	}
	whole := p.span(0, len(p.toks))
	known := fieldLabels[base] || strings.HasSuffix(base, " tension") || strings.HasSuffix(base, " gauge") || strings.HasSuffix(base, " sample") || strings.HasSuffix(base, " swatch") || strings.HasPrefix(low, "finished") || strings.HasPrefix(low, "to fit") || strings.HasPrefix(low, "yarn ") || strings.HasPrefix(low, "needle") || strings.HasPrefix(low, "gauge") || strings.HasPrefix(low, "tension") || strings.HasPrefix(low, "colour ") || strings.HasPrefix(low, "color ") || strings.HasPrefix(low, "approx") || strings.HasPrefix(low, "actual") || strings.HasPrefix(low, "chest") || strings.HasPrefix(low, "bust") || strings.HasPrefix(low, "circumference") || strings.HasPrefix(low, "foot ") || strings.HasPrefix(low, "head ") || strings.HasPrefix(low, "hand ")
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
		q := r.parser(rest)
		q.quiet = true
		if len(rest) == 0 || len(rest) == len(p.toks) || explains(low) {
			return false
		}
		if _, _, ok := q.rowsInBrackets(0); ok {
			return false // the label names these rows and no more
		}
		if r.begun && pieceLine(append(scanLine(label, 1), Token{})) { // "Left front: Leave the first 40 sts on a holder …"
			r.section = HeadPiece
			r.ms.Items = append(r.ms.Items, &Heading{Text: label, Kind: HeadPiece, Span: p.span(0, len(p.toks)-len(rest))})
			r.sentences(r.parser(rest), 0, line)
			return true
		}
		if strings.HasPrefix(low, "joining") || strings.HasPrefix(low, "join ") || strings.HasPrefix(low, "divid") || strings.HasPrefix(low, "separat") {
			if row, j, ok := q.strictRow(0); ok {
				q2 := r.parser(rest)
				row.Head = Head{Words: label, Round: strings.Contains(low, "rnd") || strings.Contains(low, "round"), Span: p.span(0, len(p.toks)-len(rest))}
				r.addRow(row, q2)
				r.sentences(q2, j, line)
				return true
			}
		}
		h, _, isHead := q.head(0)
		if (!isHead || len(h.Numbers) == 0 && !h.Every.On() || h.Every.Side != "" && len(h.Numbers) == 0) && line+1 < r.castOn && !r.begun && namesStitch(low) && !slices.ContainsFunc(rest, func(t Token) bool { return isMark(t.Text) }) {
			r.ms.Items = append(r.ms.Items, &Prose{Text: joinSource(r.ms, stmt), Span: whole})
			return true
		}
		b, _, isBegin := q.begin(0)
		if !isHead && !isBegin && r.begun && !isClause(label) && !r.opWord(p) {
			if row, j, ok := q.strictRow(0); ok { // "Hem rib: *K2, p2; rep from * to end."
				row.Head = Head{Words: label, Span: p.span(0, len(p.toks)-len(rest))}
				q2 := r.parser(rest)
				r.addRow(row, q2)
				r.sentences(q2, j, line)
				return true
			}
		}
		if isHead || isBegin && b.N.Given() || q.strictSentence(0) {
			if !isClause(label) && !r.opWord(p) {
				r.section = HeadPiece
				r.ms.Items = append(r.ms.Items, &Heading{Text: label, Kind: HeadPiece, Span: p.span(0, len(p.toks)-len(rest))})
				r.sentences(r.parser(rest), 0, line)
				return true
			}
		}
		_, likePiece := r.beginAs(q, 0, q.sentenceEnd(0))
		if r.begun && r.section == HeadPiece && (likePiece || capitalName(label)) {
			r.ms.Items = append(r.ms.Items, &Heading{Text: label, Kind: HeadPiece, Span: p.span(0, len(p.toks)-len(rest))})
			r.sentences(r.parser(rest), 0, line)
			return true
		}
		return false
	}
	if base == "sizes" || base == "size" || base == "available sizes" {
		if _, ok := r.sizeNames(line, at); ok || strings.Contains(strings.ToLower(text), "one") {
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
	switch low {
	case "pattern", "title", "name", "pattern name":
		if r.ms.Title == "" {
			r.ms.Title, r.titled = strings.TrimRight(text, " ."), true
		}
	}
	if !strings.HasPrefix(low, "gauge") && !strings.HasPrefix(low, "tension") && !strings.HasPrefix(low, "swatch") && !strings.HasPrefix(low, "sample") && !strings.HasPrefix(low, "pattern notes") {
		if m, _, ok := p.multiple(0, len(p.toks)); ok {
			r.ms.Items = append(r.ms.Items, m)
		} else if base == "multiple" || base == "stitch multiple" || base == "stitches" {
			r.bareMultiple(p)
		}
	}
	return true
}

// namesStitch says that a label names a plain fabric: "Ribbing: Knit 2, purl 2 alternately.",
// "Stockinette stitch: In rounds knit always", told before anything is cast on.
func namesStitch(label string) bool {
	f := strings.Fields(label)
	if len(f) == 0 || len(f) > 4 {
		return false
	}
	switch strings.Trim(f[len(f)-1], ".") {
	case "rib", "ribbing", "stitch", "st", "garter", "stockinette", "stocking", "stst":
		return true
	}
	return false
}

// capitalName says that a label is the name of a piece for its capitals alone: "BUTTONHOLE BAND".
func capitalName(label string) bool {
	letters := 0
	for _, c := range label {
		switch {
		case unicode.IsUpper(c):
			letters++
		case c != ' ' && c != '-':
			return false
		}
	}
	f := strings.Fields(strings.ToLower(label))
	return letters > 4 && len(f) < 5 && !noteWords[f[0]] && !noteWords[f[len(f)-1]]
}

// noteWords begin or end labels of what is not knitted.
var noteWords = map[string]bool{"note": true, "notes": true, "tip": true, "tips": true, "hint": true, "hints": true, "important": true, "repeat": true, "remember": true, "optional": true, "warning": true,
	"finishing": true, "assembly": true, "blocking": true, "row": true, "round": true, "rnd": true, "rows": true, "rounds": true, "rnds": true, "next": true, "size": true, "sizes": true, "abbreviations": true, "designer": true, "copyright": true}

// isClause says that words before a colon speak instead of naming a piece: "This
// plait is quick: four rows of garter, …".
func isClause(label string) bool {
	f := strings.Fields(strings.ToLower(label))
	if len(f) > 1 && (f[0] == "work" || f[0] == "knit" && len(f) > 2 || f[0] == "continue" || f[0] == "cont") { // "Work ribbing: *knit 2, purl 2*, …"
		return true
	}
	if len(f) < 3 {
		return false
	}
	for _, w := range f {
		switch w {
		case "is", "are", "was", "were", "it", "i", "you", "we", "they", "has", "have", "my", "your", "this", "these", "will", "can", "do", "don't":
			return true
		}
	}
	return false
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

// sectionLabel says that a label numbers the sections of the work: "section one", "part 2".
func sectionLabel(low string) bool {
	f := strings.Fields(low)
	if len(f) != 2 {
		return false
	}
	switch f[0] {
	case "section", "part", "step", "stage", "phase", "clue", "chapter":
		return true
	}
	return false
}

// isName says that words name something and tell nothing to do: "the first eyelets".
func isName(text string) bool {
	toks := scanLine(text, 1)
	for _, t := range toks {
		if t.Kind != Word && t.Kind != Ordinal || t.Text == "knit" || t.Text == "purl" || t.Text == "work" || t.Text == "rep" {
			return false
		}
	}
	return len(toks) > 0 && len(toks) < 7
}

// explains says that a label tells how something is made, and is no row's: "Making a double stitch: …".
func explains(label string) bool {
	return strings.HasPrefix(label, "making ") || strings.HasPrefix(label, "to make ") || strings.HasPrefix(label, "how to ")
}
