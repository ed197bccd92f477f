package document

import (
	"bufio"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// TextWidth is the width of plain text, in characters.
const TextWidth = 76

// Text prints the document as plain text, for reading aloud and for terminals.
func (d *Document) Text(w io.Writer) error {
	p := &textPrinter{w: bufio.NewWriter(w), d: d}
	for _, b := range d.Blocks {
		p.block(b)
	}
	if err := p.w.Flush(); err != nil {
		return fmt.Errorf("document: text: %w", err)
	}
	return nil
}

type textPrinter struct {
	w *bufio.Writer
	d *Document
}

// wrap writes s from first, later lines from rest.
func (p *textPrinter) wrap(first, rest, s string) {
	lineStart, col := first, utf8.RuneCountInString(first)
	p.w.WriteString(lineStart)
	begun := false
	for _, word := range strings.FieldsFunc(plainText(s), func(r rune) bool { return r == ' ' || r == '\n' }) {
		n := utf8.RuneCountInString(word)
		if begun && col+1+n > TextWidth {
			p.w.WriteString("\n" + rest)
			col, begun = utf8.RuneCountInString(rest), false
		}
		if begun {
			p.w.WriteByte(' ')
			col++
		}
		p.w.WriteString(strings.ReplaceAll(word, "\u00a0", " "))
		col += n
		begun = true
	}
	p.w.WriteByte('\n')
}

// plainText drops what would upset a terminal.
func plainText(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' && r != '\n' || r == 0x7f || r >= 0x80 && r < 0xa0 {
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, "\ufffd"))
}

func (p *textPrinter) block(b Block) {
	switch b := b.(type) {
	case *TitleBlock:
		p.wrap("", "", strings.ToUpper(b.Title))
		if b.Designer != "" {
			p.wrap("", "", b.Designer)
		}
		if len(b.Facts) > 0 {
			p.wrap("", "", strings.Join(b.Facts, " · "))
		}
		p.w.WriteByte('\n')
	case *Heading:
		p.w.WriteByte('\n')
		text := plainText(b.Text)
		p.wrap("", "", text)
		if b.Level < 3 {
			mark := "="
			if b.Level == 2 {
				mark = "-"
			}
			p.w.WriteString(strings.Repeat(mark, min(utf8.RuneCountInString(text), TextWidth)) + "\n")
		}
		p.w.WriteByte('\n')
	case *Paragraph:
		p.wrap("", "", b.Text.String())
		p.w.WriteByte('\n')
	case *Definitions:
		for _, it := range b.Items {
			first := ""
			if it.Term != "" {
				first = plainText(it.Term) + ": "
			}
			p.wrap(first, "    ", it.Text.String())
		}
		p.w.WriteByte('\n')
	case *List:
		for _, it := range b.Items {
			p.wrap("- ", "  ", it.String())
		}
		p.w.WriteByte('\n')
	case *Table:
		p.table(b)
	case *Instruction:
		first := ""
		if b.Head != "" {
			first = plainText(b.Head) + ": "
		}
		text := b.Text.String()
		if c := p.d.Words.CountText(b.Counts); c != "" {
			if len(c) < 40 {
				c = strings.ReplaceAll(c, " ", "\u00a0")
			}
			text = strings.TrimSpace(text + " — " + c)
		}
		p.wrap(first, "    ", text)
	case *Chart:
		p.chart(b)
	case *Schematics:
		p.w.WriteByte('\n')
		p.wrap("", "", b.Title)
		for i := range b.Items {
			p.wrap("  ", "    ", b.Items[i].Describe())
		}
		p.w.WriteByte('\n')
	case *Pictures: // the other prints show them
	case *Notice:
		p.w.WriteByte('\n')
		p.wrap("! ", "! ", b.Head)
		for _, t := range b.Text {
			p.wrap("! ", "! ", t.String())
		}
		p.w.WriteByte('\n')
	case *Colophon:
		p.w.WriteByte('\n')
		for _, l := range b.Lines {
			p.wrap("", "", l.String())
		}
	default:
		fmt.Fprintf(p.w, "%T\n", b)
	}
}

// table prints columns where they fit, else one line for each row: "Row 8: S 83, M 95".
func (p *textPrinter) table(t *Table) {
	if t.Caption != "" {
		p.wrap("", "", t.Caption)
	}
	width := make([]int, len(t.Columns))
	for i, c := range t.Columns {
		width[i] = utf8.RuneCountInString(plainText(c))
	}
	for _, r := range t.Rows {
		for i, c := range r {
			if i < len(width) {
				width[i] = max(width[i], utf8.RuneCountInString(plainText(c)))
			}
		}
	}
	total := 0
	for _, w := range width {
		total += w + 2
	}
	if total-2 > TextWidth {
		for _, r := range t.Rows {
			var parts []string
			for i := 1; i < len(r) && i < len(t.Columns); i++ {
				parts = append(parts, t.Columns[i]+" "+r[i])
			}
			p.wrap(plainText(r[0])+": ", "    ", strings.Join(parts, ", "))
		}
		p.w.WriteByte('\n')
		return
	}
	line := func(cells []string) {
		var b strings.Builder
		for i := range width {
			c := ""
			if i < len(cells) {
				c = plainText(cells[i])
			}
			pad := strings.Repeat(" ", width[i]-utf8.RuneCountInString(c))
			if i == 0 {
				b.WriteString(c + pad)
			} else {
				b.WriteString("  " + pad + c)
			}
		}
		p.w.WriteString(strings.TrimRight(b.String(), " ") + "\n")
	}
	line(t.Columns)
	p.w.WriteString(strings.Repeat("-", total-2) + "\n")
	for _, r := range t.Rows {
		line(r)
	}
	p.w.WriteByte('\n')
}
