package notation

import (
	"slices"
	"sort"
	"strings"

	"rowproof/domain/finding"
)

// Write writes a manuscript as canonical text: US terms, one line for each
// item, vectors as 83 (95, 107), heads as "Row 1 (RS):", repeats as "*…; rep
// from * to last 3 sts". Reading it gives an Equal tree, and writing that again
// gives the same text. Prose is kept word for word; see Strip for what of an
// item's own words is levelled.
func Write(ms *Manuscript) string {
	w := newWriter(ms.Vocabulary(), len(ms.Sizes), ms.Sizes)
	for _, y := range ms.Yarns {
		w.yarns[strings.ToLower(y)] = y
	}
	for i, it := range ms.Items {
		if m, ok := it.(*Multiple); ok && w.saysMultiple(ms.Items, i, m) {
			continue
		}
		w.item(it)
	}
	if len(w.lines) == 0 {
		return ""
	}
	if !hasSizes(ms.Items) && !slices.Equal(w.sizesRead(), ms.Sizes) {
		at := 0
		if _, ok := ms.Items[0].(*Title); ok {
			at = 1
		}
		w.lines = slices.Insert(w.lines, at, "Sizes: "+sizeList(ms.Sizes))
	}
	return strings.TrimRight(strings.Join(w.lines, "\n"), "\n") + "\n"
}

// Vocabulary is the trade's vocabulary with the manuscript's own stitches before it.
func (ms *Manuscript) Vocabulary() *Vocabulary {
	v := Standard().extend()
	keys := make([]string, 0, len(ms.Own))
	for k := range ms.Own {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	for _, k := range keys {
		v.addOwn(ms.Own[k], ownForm(ms.Own[k].Name))
	}
	return v
}

// writer writes items as lines.
type writer struct {
	vocab   *Vocabulary
	sizes   int
	names   []string // of the sizes
	yarns   map[string]string
	forms   map[string]string // of stitches, by what they are
	stars   int               // repeats that the present op stands in
	lines   []string
	section HeadingKind
	listed  bool         // a line that began a list of abbreviations was the last head
	mark    string       // asterisk of a RowStar, to stand before the next line
	worked  bool         // an instruction stands before
	out     finding.List // of trial readings
}

func newWriter(v *Vocabulary, sizes int, names []string) *writer {
	if v == nil {
		v = Standard()
	}
	return &writer{vocab: v, sizes: max(1, sizes), names: names, yarns: map[string]string{}, forms: map[string]string{}, section: HeadPiece}
}

// parser reads a trial text the way the reader will.
func (w *writer) parser(toks []Token) *parser {
	return &parser{toks: toks, sizes: w.sizes, vocab: w.vocab, yarns: w.yarns, out: &w.out, quiet: true, sizeNames: w.names}
}

func hasSizes(items []Item) bool {
	for _, it := range items {
		switch it := it.(type) {
		case *Sizes:
			return true
		case *Field: // "To fit: S (M, L)" names them too
			if strings.EqualFold(it.Label, "to fit") || sizeWord(it.Label) {
				return true
			}
		case *Heading:
			if sizeWord(it.Text) {
				return true
			}
		case *Prose:
			if sizeWord(it.Text) {
				return true
			}
		}
	}
	return false
}

func sizeWord(s string) bool { return strings.Contains(strings.ToLower(s), "size") }

// sizesRead are the sizes that a reader will find in what is written.
func (w *writer) sizesRead() []string {
	r := &reader{ms: &Manuscript{Source: w.lines}, yarns: w.yarns, vocab: w.vocab}
	for i, l := range w.lines {
		r.lines = append(r.lines, scanLine(l, i+1))
	}
	r.findSizes()
	return r.ms.Sizes
}

// sizeList writes S (M, L).
func sizeList(names []string) string {
	if len(names) == 0 || len(names) == 1 && names[0] == "" {
		return "One size"
	}
	s := names[0]
	for i, n := range names[1:] {
		s += pick(i == 0, " (", ", ") + n
	}
	return s + pick(len(names) > 1, ")", "")
}

// line adds a line, behind the asterisk that opens a run of rows.
func (w *writer) line(s string) {
	w.lines = append(w.lines, w.mark+s)
	w.mark = ""
}

// blank sees to an empty line before what comes, unless there is one.
func (w *writer) blank() {
	if n := len(w.lines); n > 0 && w.lines[n-1] != "" {
		w.line("")
	}
}

// item writes one item. Lines that a reader might take together are parted by
// an empty line: a bracket left open in prose, a row behind notes.
func (w *writer) item(it Item) {
	switch it := it.(type) {
	case *Blank:
		w.blank()
		return
	case *Title:
		w.line(strings.TrimSpace(it.Text))
	case *Heading:
		w.blank()
		w.line(w.heading(it))
		w.section, w.listed = it.Kind, false
	case *Field:
		w.line(it.Label + ": " + it.Text)
	case *Sizes:
		w.line(pick(it.Label != "", it.Label, "Sizes") + ": " + sizeList(it.Names))
	case *Define:
		w.line(w.define(it))
	case *Prose:
		w.prose(it)
	default:
		w.instruction(it)
	}
	if n := len(w.lines); n > 0 && open(w.lines[n-1]) {
		w.blank()
	}
}

// define writes a definition; one that would be taken for something else outside
// a list of abbreviations opens such a list.
func (w *writer) define(d *Define) string {
	s := d.Name + pick(strings.Contains(d.Text, "="), ": ", " = ") + d.Text
	if w.section == HeadAbbr {
		return s
	}
	r := &reader{ms: &Manuscript{Source: []string{s}, Sizes: w.names}, sizes: w.sizes, vocab: w.vocab, yarns: w.yarns}
	if _, ok := r.definition(scanLine(s, 1), 0, false); !ok && !w.listed {
		w.listed = true
		return "Abbreviations: " + s
	}
	return s
}

// open says that a line leaves a bracket open, or ends as if it went on.
func open(s string) bool {
	toks := scanLine(s, 1)
	depth := 0
	for _, t := range toks {
		depth += nesting(t.Text)
	}
	if len(toks) == 0 {
		return false
	}
	last := toks[len(toks)-1].Text
	return depth > 0 || last != "." && last != "!" && last != ":" && (len([]rune(s)) > 40 || endsOpen(toks))
}

// heading writes a head so that it is read as one.
func (w *writer) heading(h *Heading) string {
	if toks := scanLine(h.Text, 1); len(toks) > 0 && h.Kind == HeadPiece && (toks[0].Kind == Word && lowerWord(toks[0]) || toks[len(toks)-1].Text == ".") {
		return h.Text + ":"
	}
	if _, _, ok := w.parser(scanLine(h.Text, 1)).strictRow(0); ok {
		return "## " + h.Text // "Pattern" is a head, not a row in pattern
	}
	return h.Text
}

// prose writes words that ask for nothing. Among instructions they end with a
// full stop, so that no head is seen in them.
func (w *writer) prose(it *Prose) {
	text := strings.TrimSpace(it.Text)
	if text == "" {
		return
	}
	if label(text) { // with a full stop, or without a bullet, it may be a head line
		for _, s := range []string{text, "• " + text} {
			if w.readsAsProse(s) {
				w.line(s)
				return
			}
		}
	}
	if strings.HasSuffix(text, "!") && !w.readsAsProse(text) {
		text += "." // "Enjoy!" would be a head
	}
	if w.section == HeadPiece && !strings.ContainsAny(text[len(text)-1:], ".!:") {
		text += "."
	}
	w.line(text)
}

// label says that text may be taken for a head line with a label.
func label(text string) bool {
	for i, t := range scanLine(text, 1) {
		if t.Text == ":" || t.Text == "–" {
			return i < 7
		}
	}
	return false
}

// readsAsProse says that a line, standing by itself among instructions or before
// them, is read as prose.
func (w *writer) readsAsProse(text string) bool {
	before := "Swatch\n\n" + pick(w.worked, "CO 9 sts.\nRow 1: K9.\n", "")
	items := Read(before + text).Items
	p, ok := items[len(items)-1].(*Prose)
	return ok && bareProse(p.Text) == bareProse(strings.TrimPrefix(text, "• "))
}

// instruction writes what is worked, or said of it.
func (w *writer) instruction(it Item) {
	w.worked = true
	if w.section != HeadPiece {
		w.blank() // a row behind notes begins a piece only after an empty line
		switch it.(type) {
		case *Row, *Begin:
			w.section, w.listed = HeadPiece, false
		}
	}
	switch it := it.(type) {
	case *Multiple:
		w.line(multiple(it) + ".")
	case *Begin:
		w.line(w.begin(it))
	case *Row:
		w.line(w.row(it))
	case *RepRows:
		w.line(w.only(it.Only) + capital(repRows(it)) + stated(it.Stated) + ".")
	case *Shape:
		w.line(w.only(it.Only) + capital(shapeText(it)) + stated(it.Stated) + ".")
	case *Straight:
		w.line(w.only(it.Only) + w.straightText(it) + stated(it.Stated) + ".")
	case *BindOffAll:
		w.line(closing(it))
	case *HoldAll:
		if it.Keep.Given() {
			w.line("Work on these " + sts(it.Keep) + " only.")
			break
		}
		if it.Side {
			w.line("Place the sts of the first side on a holder and continue on the second side.")
			break
		}
		w.line("Place " + pick(it.Rem, "rem ", "") + pick(it.N.Given(), sts(it.N), "sts") + " on a holder.")
	case *As:
		w.line("Work as for " + it.Piece + pick(it.To != "", " to "+it.To, "") + pick(it.Until.Given(), " until "+sts(it.Until)+" rem", "") + pick(it.Reversed, ", reversing shaping", "") + pick(it.But, ", but with this change:", "."))
	case *RowStar:
		w.mark = it.Mark
	case *Markers:
		for _, n := range it.After {
			w.line("Place a marker after " + pick(it.Every, "every ", "the first ") + sts(n) + ".")
		}
	case *JoinRound:
		w.line("Join to work in the round.")
	case *ForSizes:
		if it.Only == nil {
			w.line("All sizes:")
		} else {
			w.line(strings.TrimSpace(w.only(it.Only)))
		}
	default:
		panic("notation: cannot write an item of this kind")
	}
}

// multiple writes "Multiple of 6 sts + 5, plus 1 st each side".
func multiple(m *Multiple) string {
	s := "Multiple of " + itoa(m.Of) + " sts"
	switch {
	case m.Plus > 0:
		s += " + " + itoa(m.Plus)
	case m.Plus < 0:
		s += " minus " + itoa(-m.Plus)
	}
	if m.Edge > 0 {
		s += ", plus " + sts(N(m.Edge)) + " each side"
	}
	return s
}

// saysMultiple says that the item beside m will be read as saying m by itself.
func (w *writer) saysMultiple(items []Item, i int, m *Multiple) bool {
	in := func(text string) bool {
		p := w.parser(scanLine(text, 1))
		if got, _, ok := p.multiple(0, len(p.toks)); ok {
			return got.Of == m.Of && got.Plus == m.Plus && got.Edge == m.Edge
		}
		for k := range p.toks {
			if p.at(k).Kind == Number && p.w(k+1) == "+" && p.at(k+2).Kind == Number {
				return p.at(k).Val == m.Of && p.at(k+2).Val == m.Plus
			}
		}
		return false
	}
	if i+1 < len(items) {
		if pr, ok := items[i+1].(*Prose); ok && in(pr.Text) {
			return true
		}
	}
	if i > 0 {
		if f, ok := items[i-1].(*Field); ok && in(f.Label+": "+f.Text) {
			return true
		}
	}
	return false
}

// only writes the sizes a line is for, "" for all.
func (w *writer) only(sizes []int) string {
	if len(sizes) == 0 {
		return ""
	}
	var names []string
	for _, k := range sizes {
		n := itoa(k + 1)
		if k < len(w.names) && w.names[k] != "" {
			n = w.names[k]
		}
		names = append(names, n)
	}
	return pick(len(names) > 1, "Sizes ", "Size ") + And(names) + " only: "
}

// And writes names as a sentence does: "a, b and c".
func And(s []string) string {
	if len(s) < 2 {
		return strings.Join(s, "")
	}
	return strings.Join(s[:len(s)-1], ", ") + " and " + s[len(s)-1]
}
