package document

import (
	"regexp"
	"strings"
	"unicode"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// walk sorts every item of the manuscript into its section.
func (b *builder) walk() {
	b.abbr = map[string]Runs{}
	for i, it := range b.ms.Items {
		if h, ok := it.(*notation.Heading); ok && h.Kind == notation.HeadPiece && b.opensPiece(i, h.Text) {
			b.pieces++
		}
	}
	for i, it := range b.ms.Items {
		b.placeChart(i, func() { b.item(i, it) })
	}
}

// item prints one item of the manuscript.
func (b *builder) item(i int, it notation.Item) {
	switch it := it.(type) {
	case *notation.Title, *notation.Blank, *notation.Sizes:
	case *notation.Heading:
		b.heading(i, it)
	case *notation.Field:
		b.field(it)
	case *notation.Define:
		b.define(it)
	case *notation.Prose:
		b.prose(i, it)
	case *notation.ForSizes:
		b.forSizes = it.Only
		if b.size < 0 || it.Only == nil {
			b.sentence(i, nil)
		}
	case *notation.Multiple:
		if b.multiple == "" {
			from, to := place{it.Line, it.Col}, place{it.EndLine, it.EndCol}
			b.multiple = capital(strings.Trim(fine(b.src.words(from, to, nil)), " .:,"))
		}
		if !b.within(i) {
			b.begin()
			b.sentence(i, nil)
		}
	case *notation.Begin:
		b.begin()
		b.sentence(i, it.Stated)
	case *notation.Row:
		b.begin()
		b.instruction(i, it.Head.Span, it.Stated)
	case *notation.RepRows:
		b.instruction(i, it.Head.Span, it.Stated)
	case *notation.Shape:
		b.begin()
		b.sentence(i, it.Stated)
	case *notation.Straight:
		b.begin()
		b.sentence(i, it.Stated)
	case *notation.JoinRound:
		b.begin()
		if !b.within(i) {
			b.sentence(i, b.statedAbove(i))
		}
	case *notation.BindOffAll, *notation.HoldAll, *notation.As, *notation.RowStar, *notation.Markers:
		b.begin()
		b.sentence(i, nil)
	}
}

// statedAbove is the count of the row above that stands behind the joining: "…, k28. Join to work in
// the round. – 72 sts". It is told with the row.
func (b *builder) statedAbove(i int) []notation.Stated {
	if i == 0 {
		return nil
	}
	row, ok := b.ms.Items[i-1].(*notation.Row)
	if !ok {
		return nil
	}
	return row.Stated
}

// begin says that instructions have begun: what follows stays in its order.
func (b *builder) begin() {
	b.begun, b.bucket = true, toBody
	heads := b.waiting
	b.waiting = nil
	for _, h := range heads {
		b.add(h)
	}
}

func (b *builder) sentence(i int, stated []notation.Stated) {
	b.instruction(i, finding.Span{}, stated)
}

// within says that a multiple or a joining stands inside words beside it that are printed whole.
func (b *builder) within(i int) bool {
	s := b.ms.Items[i].Place()
	for _, k := range []int{i - 1, i + 1} {
		if k < 0 || k >= len(b.ms.Items) {
			continue
		}
		switch it := b.ms.Items[k].(type) {
		case *notation.Field, *notation.Prose, *notation.Begin, *notation.Row:
			o := it.Place()
			if !(place{s.Line, s.Col}).before(place{o.Line, o.Col}) && !(place{o.EndLine, o.EndCol}).before(place{s.EndLine, s.EndCol}) {
				return true
			}
		}
	}
	return false
}

func (b *builder) heading(i int, h *notation.Heading) {
	text := capital(strings.Trim(fine(reBullet.ReplaceAllString(h.Text, "")), " :.–—-*#_="))
	if text == "" {
		return
	}
	if i+1 < len(b.ms.Items) {
		if m, ok := b.ms.Items[i+1].(*notation.Multiple); ok && m.Line == h.Line {
			return // "Multiple of 6 sts + 5" on its own line is no head
		}
	}
	b.under = text
	low := strings.ToLower(text)
	switch {
	case h.Kind == notation.HeadAbbr && !b.inBody:
		b.bucket = toAbbr
		if strings.Contains(low, "special") || strings.Contains(low, "stitch") || strings.Contains(low, "guide") || strings.Contains(low, "technique") {
			b.bucket = toSpecial
		}
		return
	case h.Kind == notation.HeadAbbr:
		b.bucket = toSpecial
		return
	case h.Kind == notation.HeadWords && !b.inBody:
		to, known := labelBucket(text)
		b.bucket = to
		if known {
			return
		}
		if low == "description" || low == "about" || low == "introduction" {
			b.bucket = toLead
			return
		}
		b.add(&Heading{Level: 1, Text: text, ID: b.id(text)})
		return
	}
	if b.subtitle(i, h) {
		b.lead = append(b.lead, &Paragraph{Text: P(text), Lead: true})
		return
	}
	// A piece, or a section of one.
	if !b.begun && !b.inBody && b.frontFollows(i) { // "SLEEVES" below the title, then the sizes and the gauge
		b.piece = true
		b.waiting = append(b.waiting, &Heading{Level: 2, Text: text, ID: b.id(text)})
		return
	}
	b.begin()
	b.inBody = true
	level := 3
	if h.Kind == notation.HeadWords || closing(low) {
		level, b.piece = 1, false
	} else if b.pieces < 2 || b.opensPiece(i, text) || !b.piece {
		level, b.piece = 2, true
	}
	b.add(&Heading{Level: level, Text: text, ID: b.id(text)})
}

// subtitle says that a head is a line right under the title, with nothing worked below it before the next head.
func (b *builder) subtitle(i int, h *notation.Heading) bool {
	if i < 1 || b.begun || i+1 >= len(b.ms.Items) {
		return false
	}
	t, ok := b.ms.Items[i-1].(*notation.Title)
	if !ok || h.Line != t.Line+1 || len(strings.Fields(h.Text)) < 2 || h.Text == strings.ToUpper(h.Text) {
		return false // "SLEEVES" is a piece
	}
	if len(strings.Fields(h.Text)) > 2 && b.frontFollows(i) {
		return true
	}
	for _, it := range b.ms.Items[i+1:] {
		switch it.(type) {
		case *notation.Blank:
		case *notation.Heading:
			return true
		default:
			return false
		}
	}
	return false
}

// frontFollows says that sizes, gauge, materials or abbreviations come under heads of
// their own before anything is worked.
func (b *builder) frontFollows(i int) bool {
	for _, it := range b.ms.Items[i+1:] {
		switch it := it.(type) {
		case *notation.Heading:
			if _, known := labelBucket(it.Text); known || it.Kind == notation.HeadAbbr {
				return true
			}
			return false
		case *notation.Title, *notation.Blank, *notation.Sizes, *notation.Prose, *notation.Field:
		default:
			return false
		}
	}
	return false
}

// closing heads end the pieces: what comes stands beside them.
func closing(low string) bool {
	for _, w := range []string{"finishing", "making up", "make up", "assembly", "blocking", "to finish", "care"} {
		if strings.HasPrefix(low, w) {
			return true
		}
	}
	return false
}

// opensPiece says that a part of the proof begins under this head.
func (b *builder) opensPiece(i int, text string) bool {
	if b.rep != nil {
		for _, p := range b.rep.Parts {
			if strings.EqualFold(p.Name, text) {
				return true
			}
		}
	}
	for _, it := range b.ms.Items[i+1:] {
		switch it.(type) {
		case *notation.Begin, *notation.Multiple, *notation.As:
			return true
		case *notation.Blank, *notation.Prose, *notation.Field:
			continue
		}
		return false
	}
	return false
}

var reBy = regexp.MustCompile(`(?i)^((designed|design|pattern) )?by `)

// byline parts a designer's name from the sentences behind it: "studio team. Leaflet 12". The points
// of "Mrs. J. M. Holt" and "Anna St. Clair" belong to the name.
func byline(text string) (name, more string) {
	for i := 0; i < len(text); {
		k := strings.Index(text[i:], ". ")
		if k < 0 {
			break
		}
		i += k
		word := text[strings.LastIndexAny(text[:i], " .")+1 : i]
		if len([]rune(word)) > 3 && !strings.EqualFold(word, "prof") {
			return text[:i], text[i+2:]
		}
		i += 2
	}
	return text, ""
}

func (b *builder) field(f *notation.Field) {
	label := capital(strings.Trim(fine(reBullet.ReplaceAllString(f.Label, "")), " :.–—-*"))
	text := forSize(fine(f.Text), b.n, b.size)
	low := strings.ToLower(label)
	switch low {
	case "by", "designer", "designed by", "design", "design by", "author", "pattern by":
		name, more := byline(text)
		b.designer = name
		if more != "" {
			b.add(&Paragraph{Text: P(more)})
		}
		return
	case "title", "pattern", "name", "pattern name":
		if strings.Contains(b.ms.Title, strings.TrimRight(f.Text, " .")) {
			return // it heads the document
		}
	}
	d := Definition{Term: label, Text: P(text)}
	to, known := labelBucket(label)
	switch {
	case b.begun && b.bucket == toBody && (!known || to == toMeasures):
		if text == "" {
			b.add(&Paragraph{Text: P(label + ".")})
			return
		}
		b.add(&Paragraph{Text: Runs{{Text: label + ": ", Emph: Strong}, {Text: text}}})
	case to == toRights:
		b.rights(label + " " + text)
	case to == toGauge:
		if text != "" {
			b.gauge = append(b.gauge, d)
		}
	case to == toMaterials:
		b.materials = append(b.materials, d)
	case to == toMeasures:
		d.Text = P(fine(f.Text))
		b.measures = append(b.measures, d)
	case b.bucket == toMaterials:
		b.materials = append(b.materials, d)
	case b.bucket == toGauge:
		b.gauge = append(b.gauge, d)
	case b.bucket == toMeasures:
		d.Text = P(fine(f.Text))
		b.measures = append(b.measures, d)
	default:
		b.add(&Definitions{Items: []Definition{d}})
	}
}

func (b *builder) rights(text string) {
	if b.copyright != "" {
		b.copyright += " "
	}
	b.copyright += text
}

func (b *builder) define(d *notation.Define) {
	if label, rest, ok := strings.Cut(d.Name, ":"); ok { // "Yarn: wool, 50 g = 105 m" defines nothing
		if _, known := labelBucket(label); known {
			b.field(&notation.Field{Label: label, Text: rest + " = " + d.Text, Span: d.Span})
			return
		}
	}
	name, text := fine(d.Name), fine(d.Text)
	known := notation.Standard().Stitch(strings.ToLower(d.Name)) != nil
	if b.bucket == toSpecial || !known && len(text) > 60 {
		b.special = append(b.special, Definition{Term: name, Text: P(capitalSentence(text))})
		return
	}
	if b.used[strings.ToLower(name)] || b.used[strings.ToLower(d.Name)] || b.bucket != toAbbr {
		b.abbr[name] = P(strings.TrimRight(text, "."))
	}
}

func (b *builder) prose(i int, p *notation.Prose) {
	from, to := b.reach(i)
	text := forSize(fine(reBullet.ReplaceAllString(b.src.words(from, to, nil), "")), b.n, b.size)
	text = strings.TrimLeft(text, " .,;")
	low := strings.ToLower(text)
	switch {
	case strings.Trim(text, " .,;:!–-") == "":
		return
	case b.lastLine == p.Line && b.lastRights:
		b.rights(text)
		return
	case b.lastLine == p.Line && b.lastText != nil:
		*b.lastText = P(b.lastText.String() + " " + text)
		b.lastLine = p.EndLine
		return
	}
	b.lastLine, b.lastText, b.lastRights = p.EndLine, nil, false
	switch {
	case strings.HasPrefix(low, "©") || strings.HasPrefix(low, "copyright") || strings.HasPrefix(low, "(c) ") || b.bucket == toRights:
		b.rights(text)
		b.lastRights = true
		return
	case !b.begun && len(b.lead) == 0 && b.designer == "" && reBy.MatchString(text) && len(text) < 60:
		name, more := byline(reBy.ReplaceAllString(text, ""))
		b.designer = strings.TrimRight(name, ".")
		if more != "" {
			b.add(&Paragraph{Text: P(more)})
		}
		return
	}
	if b.begun && b.bucket == toBody {
		if b.size >= 0 && b.forSizes != nil && b.skips(p) {
			return
		}
		ins := &Instruction{Text: P(text)}
		b.lastText = &ins.Text
		b.add(ins)
		return
	}
	if k := len(b.waiting) - 1; k >= 0 && b.waiting[k].Text == b.under && b.bucket == toLead {
		b.lead = append(b.lead, b.waiting[k]) // "About this pattern": what it heads is printed in front
		b.waiting = b.waiting[:k]
	}
	switch b.bucket {
	case toLead:
		para := &Paragraph{Text: P(text), Lead: true}
		b.lastText = &para.Text
		b.lead = append(b.lead, para)
	case toMaterials:
		b.materials = append(b.materials, Definition{Text: P(text)})
	case toGauge:
		b.gauge = append(b.gauge, Definition{Text: P(text)})
	case toMeasures:
		if b.namesSizes(p.Text) {
			return // the head of the table says them
		}
		b.measures = append(b.measures, Definition{Text: P(fine(p.Text))})
	case toSpecial, toAbbr:
		b.special = append(b.special, Definition{Text: P(text)})
	default:
		para := &Paragraph{Text: P(text)}
		b.lastText = &para.Text
		b.add(para)
	}
}

// namesSizes says that a line is the names of the sizes and no more.
func (b *builder) namesSizes(text string) bool {
	words := strings.FieldsFunc(text, func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune("()[],;:/.", r) })
	return b.n > 1 && strings.EqualFold(strings.Join(words, " "), strings.Join(strings.Fields(strings.Join(b.ms.Sizes, " ")), " "))
}

func capital(s string) string {
	if r := []rune(s); len(r) > 0 {
		return strings.ToUpper(string(r[:1])) + string(r[1:])
	}
	return s
}

// capitalSentence capitalises words, but not a row that begins with a stitch.
func capitalSentence(s string) string {
	first, _, _ := strings.Cut(s, " ")
	if len(first) > 3 && strings.Trim(strings.ToLower(first), "abcdefghijklmnopqrstuvwxyz") == "" {
		return capital(s)
	}
	return s
}
