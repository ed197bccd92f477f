package document

import (
	"fmt"
	"strings"
)

// assemble puts the sections in the order of a printed pattern.
func (b *builder) assemble(d *Document) {
	w := b.w
	add := func(x ...Block) { d.Blocks = append(d.Blocks, x...) }
	head := func(text string) { add(&Heading{Level: 1, Text: text, ID: b.id(text)}) }
	title := &TitleBlock{Title: d.Title, Facts: b.facts(d)}
	if d.Designer != "" {
		title.Designer = w.By + " " + d.Designer
	}
	add(title)
	if d.NotProved > 0 {
		n := w.findings(d.NotProved)
		add(&Notice{Kind: NotProved, Head: w.NotProved + ": " + n, Text: []Runs{P(fmt.Sprintf(w.NotProvedText, n))}})
	}
	add(b.lead...)
	if b.pictures != nil && len(b.pictures.Items) > 0 {
		add(b.pictures)
	}
	b.sizes(add, head)
	if s := b.schematics(); s != nil {
		add(s)
	}
	if len(b.materials) > 0 {
		head(w.Materials)
		for i, m := range b.materials {
			if strings.EqualFold(m.Term, w.Materials) {
				b.materials[i].Term = "" // the head says it
			}
		}
		add(&Definitions{Items: b.materials})
	}
	if len(b.gauge) > 0 {
		name := w.Gauge
		if g := b.gauge[0].Term; strings.EqualFold(g, "tension") { // the designer's own word for it
			name = g
		}
		head(name)
		for _, g := range b.gauge {
			switch t := strings.ToLower(g.Term); {
			case t == "" || t == "gauge" || t == "tension":
				add(&Paragraph{Text: g.Text})
			default:
				add(&Definitions{Items: []Definition{g}})
			}
		}
	}
	add(b.front...)
	if items := b.abbreviations(); len(items) > 0 {
		head(w.Abbreviations)
		add(&Definitions{Kind: Short, Items: items})
	}
	if len(b.special) > 0 {
		head(w.Special)
		add(&Definitions{Kind: Terms, Items: b.special})
	}
	if len(b.body) > 0 {
		if h, ok := b.body[0].(*Heading); !ok || h.Level > 1 {
			head(w.Instructions)
		}
		add(b.body...)
	}
	b.countTables(add, head)
	b.cautions(d, add)
	add(b.colophon(d))
}

// fewSizes is how many sizes the line under the title names one by one.
const fewSizes = 5

// facts are the short line under the title.
func (b *builder) facts(d *Document) []string {
	var out []string
	switch {
	case b.size >= 0:
		out = append(out, d.Edition)
	case b.n > 1 && b.n <= fewSizes:
		out = append(out, b.w.Sizes+" "+inBrackets(b.ms.Sizes, b.brackets))
	case b.n > fewSizes:
		out = append(out, fmt.Sprintf("%d %s", b.n, strings.ToLower(b.w.Sizes)))
	}
	if b.multiple != "" {
		out = append(out, b.multiple)
	}
	return append(out, strings.Split(d.Stamp(), " · ")...)
}

// sizes prints sizes and finished measurements: a table where there are several
// sizes, what does not fit a table below it.
func (b *builder) sizes(add func(...Block), head func(string)) {
	if len(b.measures) == 0 && (b.n <= fewSizes || b.size >= 0) {
		return // the line under the title has said it
	}
	name := b.w.Measurements
	if len(b.measures) == 0 {
		name = b.w.Sizes
	}
	head(name)
	if b.n < 2 {
		add(&Definitions{Items: b.measures})
		return
	}
	names := b.ms.Sizes
	if b.size >= 0 {
		names = names[b.size : b.size+1]
	}
	t := &Table{Columns: append([]string{b.w.Size}, names...)}
	var rest []Definition
	for _, m := range b.measures {
		rows, ok := b.measureRows(m)
		if !ok {
			m.Text = P(forSize(m.Text.String(), b.n, b.size))
			rest = append(rest, m)
			continue
		}
		t.Rows = append(t.Rows, rows...)
	}
	if len(t.Rows) > 0 {
		add(t)
	} else {
		term := b.w.Sizes
		if name == term {
			term = "" // the head says it
		}
		add(&Definitions{Items: []Definition{{Term: term, Text: P(inBrackets(names, b.brackets))}}})
	}
	if len(rest) > 0 {
		add(&Definitions{Items: rest})
	}
}

// measureRows turns "92 (102, 112) cm / 36 (40, 44) in" into rows of the table.
func (b *builder) measureRows(m Definition) ([][]string, bool) {
	s := m.Text.String()
	vs := vectors(s, b.n)
	if len(vs) == 0 || len(strings.TrimSpace(s[:vs[0].from])) > 0 {
		return nil, false
	}
	var out [][]string
	for i, v := range vs {
		end := len(s)
		if i+1 < len(vs) {
			end = vs[i+1].from
		}
		unit := strings.Trim(s[v.to:end], " .,;:/()[]–=")
		if len([]rune(unit)) > 14 {
			return nil, false
		}
		label := m.Term
		if unit != "" {
			label = strings.TrimPrefix(label+", "+unit, ", ")
		}
		vals := v.vals
		if b.size >= 0 {
			vals = vals[b.size : b.size+1]
		}
		row := []string{label}
		for _, x := range vals {
			if x == "-" || x == "—" {
				x = "–"
			}
			row = append(row, strings.ReplaceAll(x, " ", ""))
		}
		out = append(out, row)
	}
	return out, true
}

// countTables prints, for each part of the proof, the rows that change the count.
func (b *builder) countTables(add func(...Block), head func(string)) {
	done, parts := false, 0
	for _, p := range b.tally.parts {
		if len(p.rows) > 1 {
			parts++
		}
	}
	for _, p := range b.tally.parts {
		if len(p.rows) < 2 {
			continue
		}
		multiple := len(p.rows[0].counts.Each) == 0
		t := &Table{Caption: fine(p.name), Counts: true, Columns: []string{b.w.Row}}
		if parts == 1 {
			t.Caption = ""
		}
		switch {
		case multiple || b.n < 2 || b.size >= 0:
			t.Columns = append(t.Columns, capital(b.w.StitchesFull))
		default:
			t.Columns = append(t.Columns, b.ms.Sizes...)
		}
		for _, r := range p.rows {
			row := []string{r.head}
			if len(t.Columns) == 2 {
				row = append(row, r.counts.Figures())
			} else {
				for i := range b.n {
					v := ""
					if i < len(r.counts.Each) {
						v = figure(r.counts.Each[i])
					}
					row = append(row, v)
				}
			}
			t.Rows = append(t.Rows, row)
		}
		if !done {
			head(b.w.CountTable)
			note := b.w.CountNote
			if multiple {
				note = b.w.CountNoteMultiple
			} else if b.n > 1 && b.size < 0 {
				note += " " + b.w.CountNoteDash
			}
			add(&Paragraph{Text: P(note)})
			done = true
		}
		add(t)
	}
}

// colophon is the last block: what copy this is, whose it is, where to ask.
func (b *builder) colophon(d *Document) *Colophon {
	c := &Colophon{}
	line := d.Title
	if d.Designer != "" {
		line += ", " + b.w.By + " " + d.Designer
	}
	if d.Edition != "" {
		line += " · " + d.Edition
	}
	c.Lines = append(c.Lines, P(line+" · "+d.Stamp()))
	if b.copyright != "" {
		c.Lines = append(c.Lines, P(b.copyright))
	}
	if d.URL != "" {
		c.Lines = append(c.Lines, Runs{{Text: b.w.Corrections}, {Text: d.URL, URL: d.URL}})
	}
	return c
}

// cautions prints the usual ones where the pattern is for a child, or where it
// names cords, buttons and their kin.
func (b *builder) cautions(d *Document, add func(...Block)) {
	text := strings.ToLower(strings.Join(b.ms.Source, "\n"))
	child := hasWord(text, "baby", "babies", "infant", "newborn", "toddler", "child", "children", "children’s", "child's", "children's", "kids", "months", "mos", "bootie", "booties", "bib", "preemie")
	cords := hasWord(text, "cord", "cords", "drawstring", "drawstrings", "i-cord", "ribbon", "ribbons", "ties")
	buttons := hasWord(text, "button", "buttons", "bead", "beads", "pompom", "pompoms", "pom-pom", "pom-poms", "bobbles and beads", "toggle", "toggles")
	var pts []Runs
	if cords || child {
		pts = append(pts, P(b.w.CautionCords))
	}
	if buttons || child {
		pts = append(pts, P(b.w.CautionButtons))
	}
	if child {
		pts = append(pts, P(b.w.CautionBaby), P(b.w.CautionLoose))
	}
	if len(pts) > 0 {
		add(&Notice{Kind: Caution, Head: b.w.Cautions, Text: append(pts, P(b.w.CautionClose))})
	}
}

// hasWord finds whole words in lower-case text.
func hasWord(text string, ws ...string) bool {
	for _, w := range ws {
		for at := 0; ; {
			i := strings.Index(text[at:], w)
			if i < 0 {
				break
			}
			i += at
			end := i + len(w)
			if (i == 0 || !wordByte(text[i-1])) && (end == len(text) || !wordByte(text[end])) {
				return true
			}
			at = i + 1
		}
	}
	return false
}

func wordByte(c byte) bool {
	return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '-'
}
