package document

import (
	"fmt"
	"regexp"
	"strings"

	"rowproof/domain/chart"
)

// KeyYarns are the lines of the key that tell the yarns of the chart: a letter
// and the words for it.
func (b *Chart) KeyYarns() []Definition {
	var out []Definition
	for _, y := range b.Chart.Yarns {
		name := y.Letter + ": " + y.Name
		if strings.EqualFold(y.Letter, y.Name) {
			name = "yarn " + y.Letter
		}
		out = append(out, Definition{Term: y.Letter, Text: P(name)})
	}
	return out
}

// Caption is the title with the size the chart is drawn for.
func (b *Chart) Caption(w Words) string {
	if b.Size == "" {
		return b.Title
	}
	return b.Title + ", " + strings.ToLower(w.Size) + " " + b.Size
}

// YarnFill is the colour, "#rrggbb", in which the chart shows its i-th yarn.
func (b *Chart) YarnFill(i int) string {
	one := &chart.Chart{Symbols: b.Chart.Symbols, Columns: 1, Yarns: b.Chart.Yarns,
		Rows: []chart.Row{{Yarn: -1, Cells: []chart.Cell{{Span: 1, Symbol: "knit", Yarn: i}}}}}
	for s := range one.Draw(chart.Look{NoKey: true}).Shapes() {
		if s.Kind == chart.Filled {
			return s.Colour
		}
	}
	return "#ffffff"
}

var (
	roomName    = regexp.MustCompile(`^(?:(?:chart|fabric|needle): )+`)
	findingCode = regexp.MustCompile(`\([a-z]+(?:-[a-z]+)*, (line \d+)\)`)
)

// WhyNoChart says for people why a section could not be charted: without the name
// of the room that refused, and without codes of findings.
func WhyNoChart(err error) string {
	return findingCode.ReplaceAllString(roomName.ReplaceAllString(err.Error(), ""), "($1)")
}

// chart prints a chart as a figure: the drawing, its key as a list, and how it
// is read. Where it stands for the rows, they can be opened in words.
func (p *htmlPrinter) chart(b *Chart) {
	w := p.d.Words
	p.f("<figure class=\"chart\" id=\"%s\">\n<figcaption>%s</figcaption>\n", b.ID, b.Caption(w))
	p.f("<div class=\"chart-box\" role=\"region\" tabindex=\"0\" aria-label=\"%s\">\n", b.Caption(w))
	var svg strings.Builder
	if err := b.Chart.SVG(&svg, b.ID, chart.Look{NoKey: true}); err != nil { // a Builder takes everything
		p.f("<p>%s</p>", err.Error())
	}
	p.raw(plainText(svg.String()))
	p.f("</div>\n<ul class=\"chart-key\" aria-label=\"%s\">\n", w.Key)
	for _, e := range b.Chart.Key {
		var icon strings.Builder
		_ = chart.Icon(&icon, b.Chart.Symbols, e.Cell, chart.Look{Cell: 5.5})
		p.raw("<li>" + plainText(icon.String()))
		p.f("<span>%s</span></li>\n", e.Words)
	}
	for i, y := range b.KeyYarns() {
		p.f("<li><svg xmlns=\"http://www.w3.org/2000/svg\" width=\"5.5mm\" height=\"5.5mm\" viewBox=\"0 0 11 11\" aria-hidden=\"true\"><path d=\"M.25 .25H10.75V10.75H.25Z\" fill=\"%s\" stroke=\"#8a8a8a\" stroke-width=\".4\"/></svg><span>%s</span></li>\n", b.YarnFill(i), y.Text.String())
	}
	p.raw("</ul>\n")
	for _, n := range b.Chart.Notes {
		p.f("<p class=\"chart-note\">%s</p>\n", n)
	}
	if len(b.Rows) > 0 {
		p.f("<details>\n<summary>%s</summary>\n<ol class=\"rows\">\n", w.InWords)
		for _, r := range b.Rows {
			p.block(r)
		}
		p.raw("</ol>\n</details>\n")
	}
	p.raw("</figure>\n")
}

// chart prints the rows: text draws nothing, and loses nothing.
func (p *textPrinter) chart(b *Chart) {
	if len(b.Rows) == 0 {
		p.w.WriteByte('\n')
		p.wrap("", "", fmt.Sprintf(p.d.Words.ChartText, b.Title))
		p.w.WriteByte('\n')
		return
	}
	for _, r := range b.Rows {
		p.block(r)
	}
}
