package document

import (
	"bufio"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html"
	"io"
	"strings"
)

// sheet is the style of the page that stands alone. A page of the web app
// brings its own.
//
//go:embed page.css
var sheet string

// StyleSource is the page's own style as a Content-Security-Policy names it
// (CSP Level 3, 2.3.1): 'sha256-…' of what stands in its style element.
func StyleSource() string {
	sum := sha256.Sum256([]byte("\n" + sheet))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}

// HTML prints the document as a page of its own, with its style in it and no
// request to anywhere.
func (d *Document) HTML(w io.Writer) error {
	p := &htmlPrinter{w: bufio.NewWriter(w), d: d}
	lang := d.Lang
	if lang == "" {
		lang = "en-US"
	}
	p.f("<!DOCTYPE html>\n<html lang=\"%s\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>%s</title>\n", lang, d.Title)
	if d.Designer != "" {
		p.f("<meta name=\"author\" content=\"%s\">\n", d.Designer)
	}
	p.raw("<style>\n" + sheet + "</style>\n</head>\n<body>\n<main class=\"pattern\">\n")
	p.blocks()
	p.raw("</main>\n</body>\n</html>\n")
	return p.done()
}

// HTMLFragment prints the blocks alone, to stand in a page whose main heading
// is the document's title.
func (d *Document) HTMLFragment(w io.Writer) error {
	p := &htmlPrinter{w: bufio.NewWriter(w), d: d}
	p.blocks()
	return p.done()
}

type htmlPrinter struct {
	w    *bufio.Writer
	d    *Document
	rows bool // a list of rows is open
}

func (p *htmlPrinter) done() error {
	if err := p.w.Flush(); err != nil {
		return fmt.Errorf("document: html: %w", err)
	}
	return nil
}

func (p *htmlPrinter) raw(s string) { p.w.WriteString(s) }

// f prints with every argument escaped.
func (p *htmlPrinter) f(format string, args ...string) {
	esc := make([]any, len(args))
	for i, a := range args {
		esc[i] = escape(a)
	}
	fmt.Fprintf(p.w, format, esc...)
}

// escape makes text safe in HTML text and in quoted attributes, and drops what
// HTML may not hold.
func escape(s string) string { return html.EscapeString(plainText(s)) }

func (p *htmlPrinter) runs(rs Runs) {
	for _, r := range rs {
		open, shut := "", ""
		switch r.Emph {
		case Stress:
			open, shut = "<em>", "</em>"
		case Strong:
			open, shut = "<strong>", "</strong>"
		}
		if u := r.URL; strings.HasPrefix(u, "https://") || strings.HasPrefix(u, "http://") || strings.HasPrefix(u, "/") && !strings.HasPrefix(u, "//") {
			open += `<a href="` + escape(u) + `">`
			shut = "</a>" + shut
		}
		p.raw(open + escape(r.Text) + shut)
	}
}

func (p *htmlPrinter) blocks() {
	for _, b := range p.d.Blocks {
		if _, ok := b.(*Instruction); ok != p.rows {
			p.rows = ok
			if ok {
				p.raw("<ol class=\"rows\">\n")
			} else {
				p.raw("</ol>\n")
			}
		}
		p.block(b)
	}
	if p.rows {
		p.raw("</ol>\n")
	}
}

func (p *htmlPrinter) block(b Block) {
	switch b := b.(type) {
	case *TitleBlock:
		p.f("<header class=\"title\">\n<h1>%s</h1>\n", b.Title)
		if b.Designer != "" {
			p.f("<p class=\"by\">%s</p>\n", b.Designer)
		}
		if len(b.Facts) > 0 {
			p.f("<p class=\"facts\">%s</p>\n", strings.Join(b.Facts, " · "))
		}
		p.raw("</header>\n")
	case *Heading:
		tag := fmt.Sprintf("h%d", min(max(b.Level, 1), 4)+1)
		p.f("<"+tag+" id=\"%s\">%s</"+tag+">\n", b.ID, b.Text)
	case *Paragraph:
		if b.Lead {
			p.raw("<p class=\"lead\">")
		} else {
			p.raw("<p>")
		}
		p.runs(b.Text)
		p.raw("</p>\n")
	case *Definitions:
		p.definitions(b)
	case *List:
		p.raw("<ul>\n")
		for _, it := range b.Items {
			p.raw("<li>")
			p.runs(it)
			p.raw("</li>\n")
		}
		p.raw("</ul>\n")
	case *Table:
		p.table(b)
	case *Instruction:
		p.raw("<li>")
		if b.Head != "" {
			p.f("<b class=\"head\">%s</b> ", b.Head)
		}
		p.raw("<span class=\"work\">")
		p.runs(b.Text)
		if c := p.d.Words.CountText(b.Counts); c != "" {
			p.f(" <span class=\"count\">%s</span>", c)
		}
		p.raw("</span></li>\n")
	case *Chart:
		p.chart(b)
	case *Schematics:
		p.schematics(b)
	case *Pictures:
		p.pictures(b)
	case *Notice:
		p.f("<aside class=\"notice %s\">\n<p class=\"notice-head\"><strong>%s</strong></p>\n", string(b.Kind), b.Head)
		for _, t := range b.Text {
			p.raw("<p>")
			p.runs(t)
			p.raw("</p>\n")
		}
		p.raw("</aside>\n")
	case *Colophon:
		p.raw("<footer class=\"colophon\">\n")
		for _, l := range b.Lines {
			p.raw("<p>")
			p.runs(l)
			p.raw("</p>\n")
		}
		p.raw("</footer>\n")
	default:
		p.f("<p>%s</p>\n", fmt.Sprintf("%T", b))
	}
}

func (p *htmlPrinter) definitions(b *Definitions) {
	class := [...]string{Labels: "labels", Terms: "terms", Short: "short"}[b.Kind]
	p.f("<dl class=\"%s\">\n", class)
	for i, it := range b.Items {
		// A definition without a term goes on with the one before.
		if it.Term != "" {
			p.f("<div><dt>%s</dt><dd>", it.Term)
		} else if i == 0 {
			p.f("<div><dt>%s</dt><dd>", p.d.Words.Notes)
		} else {
			p.raw("<div><dt aria-hidden=\"true\"></dt><dd>")
		}
		p.runs(it.Text)
		p.raw("</dd></div>\n")
	}
	p.raw("</dl>\n")
}

func (p *htmlPrinter) table(t *Table) {
	class := "sizes"
	if t.Counts {
		class = "counts"
	}
	// A focusable region, so that a wide table can be scrolled by keyboard.
	p.f("<div class=\"table\" role=\"region\" tabindex=\"0\" aria-label=\"%s\">\n<table class=\"%s\">\n", tableName(t), class)
	if t.Caption != "" {
		p.f("<caption>%s</caption>\n", t.Caption)
	}
	p.raw("<thead><tr>")
	for _, c := range t.Columns {
		p.f("<th scope=\"col\">%s</th>", c)
	}
	p.raw("</tr></thead>\n<tbody>\n")
	for _, r := range t.Rows {
		p.raw("<tr>")
		for i, c := range r {
			if i == 0 {
				p.f("<th scope=\"row\">%s</th>", c)
			} else {
				p.f("<td>%s</td>", c)
			}
		}
		p.raw("</tr>\n")
	}
	p.raw("</tbody>\n</table>\n</div>\n")
}

func tableName(t *Table) string {
	if t.Caption != "" {
		return t.Caption
	}
	return strings.Join(t.Columns[:min(1, len(t.Columns))], "")
}
