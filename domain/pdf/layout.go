package pdf

import (
	"fmt"
	"regexp"
	"strings"

	"rowproof/domain/document"
)

// setter lays blocks out as slabs.
type setter struct {
	*shaper
	k      *look
	words_ document.Words
	root   *node
	list   *node // the open L, for rows that follow each other
	slabs  []slab
	space  float64 // wanted above the next slab
	level  int     // of the last bookmark

	afterHead bool            // the block before was a heading
	told      map[string]bool // how charts are read: said once
}

// layout sets a whole document. It never fails: what it does not know it names
// aloud.
func layout(sh *shaper, d *document.Document, k *look) ([]page, *node) {
	s := &setter{shaper: sh, k: k, words_: d.Words, root: &node{tag: "Document"}}
	for i, b := range d.Blocks {
		if _, ok := b.(*document.Instruction); !ok {
			s.list = nil
		}
		switch b := b.(type) {
		case *document.TitleBlock:
			s.titleBlock(b)
		case *document.Heading:
			s.heading(b)
		case *document.Paragraph:
			tableNext := false
			if i+1 < len(d.Blocks) {
				_, tableNext = d.Blocks[i+1].(*document.Table)
			}
			s.paragraph(b, tableNext)
		case *document.Definitions:
			s.definitions(b)
		case *document.List:
			s.bullets(b)
		case *document.Table:
			s.table(b)
		case *document.Instruction:
			s.instruction(b)
			if s.afterHead && len(s.slabs) > 0 && i+1 < len(d.Blocks) {
				// A piece begins with two rows at least before a page ends.
				_, rowNext := d.Blocks[i+1].(*document.Instruction)
				s.slabs[len(s.slabs)-1].keep = rowNext
			}
		case *document.Chart:
			s.chart(b)
		case *document.Schematics:
			s.schematics(b)
		case *document.Pictures:
			s.pictures(b)
		case *document.Notice:
			s.notice(b)
		case *document.Colophon:
			s.colophon(b, i == len(d.Blocks)-1)
		default:
			s.lines(s.root.add("P"), []span{{fmt.Sprintf("%T", b), k.strong}}, k.left, k.measure(), k.lead, lineOpt{})
		}
		_, s.afterHead = b.(*document.Heading)
	}
	// A last page of a few lines goes back where a line or two more on each page
	// makes room for it.
	pages := paginate(s.slabs, k, 0)
	for extra := 1; extra <= 2 && k.hang > 0 && len(pages) > 1 && len(pages[len(pages)-1].boxes) < 8; extra++ {
		if tight := paginate(s.slabs, k, float64(extra)*k.lead); len(tight) < len(pages) {
			return tight, s.root
		}
	}
	return pages, s.root
}

// push appends a slab with the space that is due above it.
func (s *setter) push(sl slab) {
	sl.space = max(sl.space, s.space)
	s.space = 0
	s.slabs = append(s.slabs, sl)
}

func (s *setter) gap(v float64) { s.space = max(s.space, v) }

// lineOpt says how a paragraph's lines hang together.
type lineOpt struct {
	whole  bool    // keep all lines on one page
	next   bool    // and with what follows
	indent float64 // of all lines but the first
	center bool
}

// set breaks spans into lines of a measure.
func (s *setter) set(spans []span, measure, hang float64) []line {
	ws := s.words(spans, measure-hang)
	return breakLines(ws, measure-hang, -hang)
}

// lineBox makes a box of a line whose strip is lead high, at x.
func (s *setter) lineBox(l line, n *node, x, lead float64) box {
	asc, desc := 0.0, 0.0
	for _, w := range l.words {
		for _, p := range w.pieces {
			f := s.faces[p.face]
			asc = max(asc, p.st.size*float64(f.capH)/float64(f.upem)*1.12)
			desc = max(desc, p.st.size*0.24)
		}
	}
	base := lead * 0.74
	if asc > base { // an outsized line in a small strip
		base = asc
	}
	return box{x: x, y: base - asc, w: l.w, h: asc + desc, base: asc, line: l, node: n}
}

// lines pushes a paragraph, widows and orphans kept together.
func (s *setter) lines(n *node, spans []span, x, measure, lead float64, o lineOpt) {
	ls := s.set(spans, measure, o.indent)
	for i, l := range ls {
		at := x
		if i > 0 {
			at += o.indent
		}
		b := s.lineBox(l, n, at, lead)
		s.push(slab{height: lead, boxes: []box{b}, keep: keepLine(i, len(ls), o.whole, o.next)})
	}
}

// keepLine says whether line i of n must stay with the one after it.
func keepLine(i, n int, whole, next bool) bool {
	if i == n-1 {
		return next
	}
	return whole || i == 0 || i == n-2
}

// runs brings a document's runs into spans of the three styles.
func runs(rs document.Runs, plain, stress, strong style) []span {
	out := make([]span, 0, len(rs))
	for _, r := range rs {
		st := plain
		switch r.Emph {
		case document.Stress:
			st = stress
		case document.Strong:
			st = strong
		}
		if linkable(r.URL) {
			st.url = r.URL
		}
		out = append(out, span{glue(clean(r.Text)), st})
	}
	return out
}

// linkable says that an address may become a link: the web, and of a length that
// an address has.
func linkable(u string) bool {
	return len(u) < 2000 && (strings.HasPrefix(u, "https://") || strings.HasPrefix(u, "http://"))
}

var (
	reVectorGap = regexp.MustCompile(`(\d) ([(\[]\d)`)
	reUnitGap   = regexp.MustCompile(`(\d|½|¼|¾) (cm|mm|in|g|m|yd|sts?|rows?|rnds?|×)\b`)
	reNameGap   = regexp.MustCompile(`\b([Rr]ows?|[Rr]nds?|[Rr]ound|US|last|next|rem) (\d)`)
)

// glue binds what a line end must not part: a number and its unit, a number and
// the sizes in brackets behind it, a row and its number.
func glue(s string) string {
	if !strings.ContainsAny(s, "0123456789") {
		return s
	}
	s = reVectorGap.ReplaceAllString(s, "$1\u00a0$2")
	s = reUnitGap.ReplaceAllString(s, "$1\u00a0$2")
	return reNameGap.ReplaceAllString(s, "$1\u00a0$2")
}

func (s *setter) textRuns(rs document.Runs) []span {
	return runs(rs, s.k.text, s.k.stress, s.k.strong)
}

func (s *setter) smallRuns(rs document.Runs) []span {
	return runs(rs, s.k.small, s.k.smallStress, s.k.smallStrong)
}

func (s *setter) titleBlock(b *document.TitleBlock) {
	k := s.k
	n := s.root.add("H1")
	lead := k.title.size * 1.12
	at := len(s.slabs)
	s.lines(n, []span{{b.Title, k.title}}, k.left, k.measure(), lead, lineOpt{whole: true, next: true})
	if at < len(s.slabs) {
		s.slabs[at].level, s.slabs[at].mark = 1, b.Title
		s.level = 1
	}
	if b.Designer != "" {
		s.gap(k.lead / 4)
		s.lines(s.root.add("P"), []span{{b.Designer, k.by}}, k.left, k.measure(), max(k.by.size*1.4, k.lead), lineOpt{next: true})
	}
	if k.hang > 0 {
		s.push(slab{height: k.lead * 1.25, keep: true, boxes: []box{{x: k.left, y: k.lead * 0.55, w: k.measure(), h: 6, stitches: true}}})
	}
	if len(b.Facts) > 0 {
		var sp []span
		for i, f := range b.Facts {
			if i > 0 {
				sp = append(sp, span{" · ", k.facts})
			}
			sp = append(sp, span{f, k.facts})
		}
		s.lines(s.root.add("P"), sp, k.left, k.measure(), k.lead, lineOpt{whole: true})
	}
	s.gap(k.lead)
}

func (s *setter) heading(b *document.Heading) {
	k := s.k
	st, above, below := k.h1, k.lead*1.25, k.lead*0.25
	tag := "H2"
	switch {
	case b.Level == 2:
		st, above, below, tag = k.h2, k.lead*1.25, k.lead*0.25, "H3"
	case b.Level >= 3:
		st, above, below, tag = k.h3, k.lead*0.75, 0, "H4"
	}
	if s.afterHead && k.hang > 0 { // two heads in a row stand close
		above = k.lead * 0.5
	}
	s.gap(above)
	first := len(s.slabs)
	if b.Level <= 1 && k.hang > 0 {
		c := chalk
		s.push(slab{height: k.lead / 2, snap: true, keep: true, boxes: []box{{x: k.left, y: 0, w: k.measure(), h: 0.6, fill: &c}}})
	}
	x, m := k.left, k.measure()
	if b.Level > 1 && k.hang > 0 {
		x, m = k.left+k.hang, m-k.hang
	}
	lead := max(k.lead, st.size*1.3)
	s.lines(s.root.add(tag), []span{{b.Text, st}}, x, m, lead, lineOpt{whole: true, next: true})
	if first < len(s.slabs) {
		sl := &s.slabs[first]
		sl.snap = true
		sl.level = min(min(b.Level, 3)+1, s.level+1)
		sl.mark = b.Text
		s.level = sl.level
	}
	s.space = below
}

func (s *setter) paragraph(b *document.Paragraph, next bool) {
	k := s.k
	x, m := k.left+k.hang, k.measure()-k.hang
	n := s.root.add("P")
	if b.Lead && k.hang > 0 {
		big := func(st style) style { st.size *= 1.1; return st }
		s.lines(n, runs(b.Text, big(k.text), big(k.stress), big(k.strong)), x, m, k.lead*1.125, lineOpt{next: next})
	} else {
		s.lines(n, s.textRuns(b.Text), x, m, k.lead, lineOpt{next: next})
	}
	s.gap(k.lead / 2)
}

func (s *setter) bullets(b *document.List) {
	k := s.k
	x, m := k.left+k.hang, k.measure()-k.hang
	l := s.root.add("L")
	ind := k.text.size * 1.2
	for _, it := range b.Items {
		s.hung(l.add("LI"), "•", k.text, s.textRuns(it), x, ind, m, k.lead, lineOpt{})
		s.gap(k.lead / 4)
	}
	s.gap(k.lead / 2)
}

// hung sets an item with its label in the margin of width ind: list points,
// materials, rows. A label that does not fit beside the text runs above it.
func (s *setter) hung(li *node, lbl string, lst style, text []span, x, ind, measure, lead float64, o lineOpt) {
	ln, bn := li.add("Lbl"), li.add("LBody")
	var head []line
	if lbl != "" && ind > 0 {
		head = s.set([]span{{lbl, lst}}, ind-8, 0)
	}
	body := s.set(text, measure-ind, 0)
	n := max(len(head), len(body))
	for i := range n {
		sl := slab{height: lead, keep: keepLine(i, n, o.whole, o.next)}
		if i < len(head) {
			sl.boxes = append(sl.boxes, s.lineBox(head[i], ln, x, lead))
		}
		if i < len(body) {
			sl.boxes = append(sl.boxes, s.lineBox(body[i], bn, x+ind, lead))
		}
		// One baseline for both, whatever their sizes.
		s.push(sl)
	}
}

// wholeRow is how many lines a row may have and still be kept on one page.
const wholeRow = 5

func (s *setter) instruction(b *document.Instruction) {
	k := s.k
	if s.list == nil {
		s.list = s.root.add("L")
	}
	li := s.list.add("LI")
	text := s.textRuns(b.Text)
	if c := s.words_.CountText(b.Counts); c != "" {
		if len(text) > 0 {
			text = append(text, span{"\u00a0 ", k.text})
		}
		text = append(text, span{glueShort(c), k.count})
	}
	switch {
	case k.hang == 0: // large: the head above
		if b.Head != "" {
			s.lines(li.add("Lbl"), []span{{b.Head, k.rowHead}}, k.left, k.measure(), k.lead, lineOpt{whole: true, next: true})
		}
		s.lines(li.add("LBody"), text, k.left, k.measure(), k.lead, lineOpt{})
		s.gap(k.lead / 2)
	default:
		m := k.measure()
		n := len(s.set(text, m-k.hang, 0))
		o := lineOpt{whole: n <= wholeRow}
		if len(s.set([]span{{b.Head, k.rowHead}}, k.hang-8, 0)) > 3 {
			// A head that is a sentence of its own runs into the text.
			text = append([]span{{b.Head + ": ", k.rowHead}}, text...)
			s.hung(li, "", k.rowHead, text, k.left, k.hang, m, k.lead, o)
		} else {
			s.hung(li, b.Head, k.rowHead, text, k.left, k.hang, m, k.lead, o)
		}
		s.gap(k.lead / 4)
	}
}

// glueShort keeps a short list of counts on one line.
func glueShort(c string) string {
	if len(c) > 30 {
		return c
	}
	out := []rune(c)
	for i, r := range out {
		if r == ' ' {
			out[i] = '\u00a0'
		}
	}
	return string(out)
}

func (s *setter) notice(b *document.Notice) {
	k := s.k
	grave := b.Kind == document.NotProved
	if !grave {
		s.gap(k.lead)
		n := s.root.add("H2")
		s.lines(n, []span{{b.Head, k.caution}}, k.left+k.hang, k.measure()-k.hang, k.lead, lineOpt{whole: true, next: true})
		l := s.root.add("L")
		for i, t := range b.Text {
			// the cautions stand together, where they fit a page
			together := k.hang > 0 && i < len(b.Text)-1
			s.lines(l.add("LI").add("LBody"), s.smallRuns(t), k.left+k.hang, k.measure()-k.hang, k.smallLead, lineOpt{whole: true, next: together})
			s.gap(k.smallLead / 4)
		}
		s.gap(k.lead / 2)
		return
	}
	s.gap(k.lead / 2)
	at := len(s.slabs)
	pad := 14.0
	s.lines(s.root.add("P"), []span{{b.Head, k.grave}}, k.left+pad, k.measure()-pad, k.lead, lineOpt{whole: true, next: true})
	for i, t := range b.Text {
		s.lines(s.root.add("P"), s.textRuns(t), k.left+pad, k.measure()-pad, k.lead, lineOpt{whole: true, next: i < len(b.Text)-1})
	}
	for i := at; i < len(s.slabs); i++ { // the bar beside it
		c := wool
		s.slabs[i].boxes = append([]box{{x: k.left, w: 3, h: s.slabs[i].height, fill: &c}}, s.slabs[i].boxes...)
	}
	s.gap(k.lead)
}

func (s *setter) colophon(b *document.Colophon, last bool) {
	k := s.k
	s.gap(k.lead * 1.5)
	c := chalk
	s.push(slab{height: k.lead / 2, snap: true, keep: true, boxes: []box{{x: k.left + k.hang, w: k.measure() - k.hang, h: 0.6, fill: &c}}})
	for i, l := range b.Lines {
		s.lines(s.root.add("P"), s.smallRuns(l), k.left+k.hang, k.measure()-k.hang, k.smallLead, lineOpt{whole: true, next: i < len(b.Lines)-1})
	}
}
