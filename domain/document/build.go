package document

import (
	"fmt"
	"strings"
	"time"
	"unicode"

	"rowproof/domain/finding"
	"rowproof/domain/needle"
	"rowproof/domain/notation"
	"rowproof/domain/review"
	"rowproof/domain/sizing"
)

// Input is what an edition is made from.
type Input struct {
	Manuscript *notation.Manuscript
	Report     *review.Report    // nil: not worked; then no counts are printed
	Worked     *needle.Result    // what charts are drawn from; nil: Build works the manuscript itself
	Revision   int               // 0 for a draft
	Test       bool              // the revision is a draft for test knitters
	Date       time.Time         // zero: undated
	Designer   string            // "" takes the manuscript's own "by" line
	URL        string            // page of corrections; "" for none
	Lang       string            // "" means en-US
	Size       int               // index of the one size to print; -1 prints all
	Schematics []sizing.Outline  // of the pieces, printed below the sizes; none where the pieces are not drafted
	Pictures   *Pictures         // of the fabric, printed below the description; nil for none
	Colours    map[string]string // of yarns in charts, by their names: "#rrggbb"; greys where not given
	Charts     bool              // the edition of charts: a chart stands in the place of the rows it shows whole
}

// Build makes the document of an edition. Every word of the manuscript that is
// not private to the program is in it; numbers of stitches after rows come from
// the report and from nowhere else.
func Build(in Input) *Document {
	ms := in.Manuscript
	lang := in.Lang
	if lang == "" {
		lang = "en-US"
	}
	b := newBuilder(in, lang)
	w, size := b.w, b.size
	d := &Document{
		Title: strings.TrimRight(fine(ms.Title), " .:"), Designer: in.Designer, Lang: lang, Revision: in.Revision, Test: in.Test, Date: in.Date, URL: in.URL,
		Sizes: ms.Sizes, Words: w,
	}
	if d.Title == "" {
		d.Title = w.Untitled
	}
	if size >= 0 {
		d.Sizes = ms.Sizes[size : size+1]
		d.Edition = w.Size + " " + ms.Sizes[size]
	}
	if in.Charts {
		d.Edition = strings.TrimPrefix(d.Edition+" · "+w.ChartEdition, " · ")
	}
	if in.Report != nil {
		for _, f := range in.Report.Findings {
			if f.Severity == finding.Error {
				d.NotProved++
			}
		}
	}
	b.chartSections(in.Charts)
	b.walk()
	if d.Designer == "" {
		d.Designer = b.designer
	}
	d.Copyright = b.copyright
	b.assemble(d)
	return d
}

func newBuilder(in Input, lang string) *builder {
	ms := in.Manuscript
	n := len(ms.Sizes)
	size := in.Size
	if size >= n || n < 2 {
		size = -1
	}
	w := WordsFor(lang)
	var brackets []Bracket
	if size < 0 {
		brackets = bracketsOf(ms.Source, n)
	}
	return &builder{brackets: brackets, ms: ms, src: newSource(ms.Source), rep: in.Report, w: w, n: n, size: size, tally: newTally(ms, in.Report, size, brackets, w), ids: map[string]int{}, used: usedTerms(ms), pictures: in.Pictures, worked: in.Worked, colours: in.Colours, outlines: in.Schematics}
}

// builder sorts the manuscript's items into the sections of the print.
type builder struct {
	worked   *needle.Result
	ms       *notation.Manuscript
	src      source
	rep      *review.Report
	w        Words
	pictures *Pictures
	colours  map[string]string
	outlines []sizing.Outline
	n        int       // sizes in the manuscript
	size     int       // the one printed, or -1
	brackets []Bracket // how the manuscript brackets its sizes, see Counts
	tally    *tally
	ids      map[string]int
	used     map[string]bool

	designer, copyright string
	multiple            string
	lead                []Block
	measures            []Definition // as written
	materials, gauge    []Definition
	front, body         []Block // notes before, instructions and what follows
	special             []Definition
	abbr                map[string]Runs
	begun               bool // instructions have begun
	inBody              bool
	piece               bool // a piece's head was printed
	bucket              bucket
	under               string // last heading's text
	forSizes            []int
	pieces              int   // heads that open a piece
	lastLine            int   // of the prose printed last, and where it went
	lastText            *Runs // so that sentences of one line stay together
	lastRights          bool
	charts              charts
	waiting             []*Heading // that come before sizes, gauge and terms, and belong to the instructions
	whole               bool       // what the size skips is printed, too
}

// bucket is where the lines under a heading go.
type bucket int

const (
	toLead bucket = iota
	toMaterials
	toGauge
	toMeasures
	toNotes
	toSpecial
	toAbbr
	toBody
	toRights
)

// starts of labels and headings, by where they go.
var labelled = []struct {
	to    bucket
	heads []string
}{
	{toGauge, []string{"gauge", "tension"}},
	{toMaterials, []string{"yarn", "colour", "color", "wool", "shade", "needle", "hook", "notion", "material", "suppl", "equipment", "marker", "button", "you will need", "what you need", "tools", "extra"}},
	{toMeasures, []string{"size", "to fit", "finished", "chest", "bust", "length", "width", "circumference", "measurement", "height", "depth", "hand circ", "foot", "head circ", "actual", "body length", "sleeve length", "body circ", "upper arm", "yoke depth", "wingspan"}},
	{toRights, []string{"copyright", "©", "(c)"}},
}

func labelBucket(label string) (bucket, bool) {
	l := strings.ToLower(strings.Trim(label, " :.–—-*#"))
	for _, x := range labelled {
		for _, h := range x.heads {
			if strings.HasPrefix(l, h) {
				return x.to, true
			}
		}
	}
	return toNotes, false
}

// reach is the part of the manuscript that belongs to item i: from the end of
// the one before it on the same line to its own end, or to the line's end where
// it is the last. So nothing between items is lost.
func (b *builder) reach(i int) (from, to place) {
	s := b.ms.Items[i].Place()
	from, to = place{s.Line, 1}, place{s.EndLine, s.EndCol}
	if i > 0 {
		if p := b.ms.Items[i-1].Place(); p.EndLine == s.Line {
			from = place{p.EndLine, p.EndCol}
		}
	}
	if from.line == s.Line && (place{s.Line, s.Col}).before(from) {
		from = place{s.Line, s.Col}
		if h, ok := b.ms.Items[i-1].(*notation.Heading); ok && h.Line == s.Line { // "You need a multiple of 4 sts" reads as a head and as a multiple
			from.col = h.Col
		}
	}
	last := i+1 >= len(b.ms.Items)
	if !last {
		next := b.ms.Items[i+1].Place()
		last = next.Line > s.EndLine || next.Line == 0
	}
	if last {
		to = place{s.EndLine, 1 << 30}
	} else if s.EndLine >= 1 && s.EndLine <= len(b.ms.Source) {
		// the stop behind a sentence is its own
		if r := b.src[s.EndLine-1]; s.EndCol >= 1 && s.EndCol <= len(r) && strings.ContainsRune(".;:!?)]", r[s.EndCol-1]) {
			to.col++
		}
	}
	return from, to
}

// skips says that the one size printed does not work this item.
func (b *builder) skips(it notation.Item) bool {
	if b.size < 0 || b.whole {
		return false
	}
	only := b.forSizes
	switch it := it.(type) {
	case *notation.Row:
		if it.Only != nil {
			only = it.Only
		}
	case *notation.RepRows:
		if it.Only != nil {
			only = it.Only
		}
	case *notation.Shape:
		if it.Only != nil {
			only = it.Only
		}
	case *notation.Straight:
		if it.Only != nil {
			only = it.Only
		}
	}
	if only != nil {
		in := false
		for _, s := range only {
			in = in || s == b.size
		}
		if !in {
			return true
		}
	}
	if a, ok := b.tally.items[it]; ok && len(a.skipped) > b.size && a.skipped[b.size] {
		return true
	}
	return false
}

// unclosed takes away a closing bracket whose opening one went with the count: "[264 sts: 76 for each front]".
func unclosed(text string) string {
	for _, pair := range [...]string{"()", "[]"} {
		if at := strings.LastIndex(text, pair[1:]); at >= 0 && strings.Count(text, pair[1:]) > strings.Count(text, pair[:1]) {
			text = text[:at] + text[at+1:]
		}
	}
	return text
}

// instruction prints an item that is worked.
func (b *builder) instruction(i int, head finding.Span, stated []notation.Stated) {
	it := b.ms.Items[i]
	if b.skips(it) {
		return
	}
	from, to := b.reach(i)
	changes := sizeChanges(it, b.size)
	a, known := b.tally.items[it]
	hasStated := false
	counted := known
	if _, joins := it.(*notation.JoinRound); joins && i > 0 { // the row above tells it
		_, counted = b.tally.items[b.ms.Items[i-1]]
	}
	if counted {
		var kept []change
		for _, st := range stated {
			if st.Kind == notation.CountAll && st.Line > 0 {
				hasStated = true
				kept = append(kept, change{st.Span, string(cut)})
			}
		}
		changes = append(kept, changes...) // the cut wins over what it holds
	}
	ins := &Instruction{}
	text := ""
	if head.Line > 0 {
		ins.Head = rowHead(b.src.words(place{head.Line, head.Col}, place{head.EndLine, head.EndCol}, changes))
		before := fine(b.src.words(from, place{head.Line, head.Col}, changes))
		text = b.src.words(place{head.EndLine, head.EndCol}, to, changes)
		text = strings.TrimLeft(text, " \t\u00a0:.-–—)]")
		if strings.HasSuffix(strings.TrimSpace(before), "**") { // "**Dec row (RS):** K1, …": the marks of a plain page around a head
			text = strings.TrimLeft(strings.TrimPrefix(text, "**"), " \t\u00a0")
		}
		if before = strings.Trim(before, " .,;:–-•*#"); len(before) > 2 {
			text = before + ": " + text
		}
	} else {
		text = strings.TrimLeft(reBullet.ReplaceAllString(b.src.words(from, to, changes), ""), " .,;:–—-")
	}
	text = fine(text)
	if hasStated { // "…, until you have 186 sts: 29 for each front"
		text = strings.ReplaceAll(text, " :", ":")
		text = strings.ReplaceAll(text, ".:", ".") // "… more times. 228 sts: 64 for each front"
		text = unclosed(text)
	}
	// Numbers the reader keeps no place of (on holders, each side) are found by
	// their look; with two sizes "2 (3)" could be a repeat as well.
	if _, isRow := it.(*notation.Row); !isRow || b.n > 2 {
		text = forSize(text, b.n, b.size)
	}
	if text != "" && !b.runsOn(to) && !strings.ContainsRune(".!?:,;*…)", rune(text[len(text)-1])) && !strings.HasSuffix(text, "…") {
		text += "."
	}
	if text == "." {
		text = ""
	}
	if known && (a.changed || hasStated) {
		ins.Counts = a.counts
	}
	ins.Text = P(text)
	if ins.Head == "" && text == "" && !ins.Counts.Given() {
		return
	}
	b.add(ins)
}

// runsOn says that the sentence that ends here goes on in the next line.
func (b *builder) runsOn(to place) bool {
	if to.line >= len(b.src) || to.line < 1 {
		return false
	}
	next := b.src[to.line]
	return len(next) > 0 && unicode.IsLower(next[0])
}

// rowHead dresses a row's head: "1st Row.—" loses its signs, "Row 1 (RS):" its colon.
func rowHead(s string) string {
	s = strings.TrimRight(fine(reBullet.ReplaceAllString(s, "")), " :.–—-=")
	if strings.Count(s, "(") < strings.Count(s, ")") {
		s = strings.TrimRight(s, ")")
	}
	if strings.Count(s, "(") > strings.Count(s, ")") {
		s += ")"
	}
	if r := []rune(s); len(r) > 0 {
		s = strings.ToUpper(string(r[:1])) + string(r[1:])
	}
	return s
}

func (b *builder) add(x Block) {
	if b.begun || b.inBody {
		b.inBody = true
		b.body = append(b.body, x)
	} else {
		b.front = append(b.front, x)
	}
}

// id makes a heading's anchor, unique in the document.
func (b *builder) id(text string) string {
	var s strings.Builder
	for _, r := range strings.ToLower(text) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			s.WriteRune(r)
		case s.Len() > 0 && !strings.HasSuffix(s.String(), "-"):
			s.WriteByte('-')
		}
	}
	id := strings.Trim(s.String(), "-")
	if id == "" {
		id = "section"
	}
	b.ids[id]++
	if n := b.ids[id]; n > 1 {
		id = fmt.Sprintf("%s-%d", id, n)
		b.ids[id]++
	}
	return id
}
