package document

import "encoding/base64"

// Pictures are photographs or drawings that stand side by side, such as both
// sides of a fabric.
type Pictures struct {
	Title string
	Items []Picture
	Note  string // below them; "" for none
}

// Picture is one image.
type Picture struct {
	Caption       string
	Alt           string // what it shows, for those who cannot see it
	JPEG          []byte // baseline, in RGB
	Width, Height int    // in pixels
}

func (*Pictures) block() {}

// pictures prints the images within the page itself, so that a file taken
// away needs nothing else.
func (p *htmlPrinter) pictures(b *Pictures) {
	p.f("<section class=\"pictures\">\n<h2>%s</h2>\n", b.Title)
	for _, it := range b.Items {
		p.f("<figure>\n<img width=\"%s\" height=\"%s\" alt=\"%s\" src=\"data:image/jpeg;base64,%s\">\n<figcaption>%s</figcaption>\n</figure>\n",
			figure(it.Width), figure(it.Height), it.Alt, base64.StdEncoding.EncodeToString(it.JPEG), it.Caption)
	}
	if b.Note != "" {
		p.f("<p class=\"hint\">%s</p>\n", b.Note)
	}
	p.raw("</section>\n")
}
