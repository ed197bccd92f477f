package pdf

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/jung-kurt/gofpdf"

	"rowproof/domain/document"
)

// canvas draws placed boxes. It keeps the content operators of a page and hands
// them to gofpdf whole.
type canvas struct {
	doc    *gofpdf.Fpdf
	k      *look
	fonts  [faceCount]*usedFont
	faces  [faceCount]*face
	b      []byte
	mcids  [][]*node // by page: which element each marked sequence belongs to
	links  []link
	images []*document.Picture

	face faceID // as last set on this page, to say it once
	size float64
	ink  color
	set  bool
}

// link is a web address under a run of text.
type link struct {
	page       int
	x, y, w, h float64 // from the paper's lower left corner
	url        string
	node       *node
}

func (c *canvas) num(v float64) {
	s := strconv.AppendFloat(c.b, v, 'f', 2, 64)
	// drop a fraction of zeros
	if strings.HasSuffix(string(s[len(s)-3:]), ".00") {
		s = s[:len(s)-3]
	}
	c.b = s
}

func (c *canvas) op(name string, vals ...float64) {
	for _, v := range vals {
		c.num(v)
		c.b = append(c.b, ' ')
	}
	c.b = append(c.b, name...)
	c.b = append(c.b, '\n')
}

func (c *canvas) useInk(to color) {
	if c.set && c.ink == to {
		return
	}
	c.ink, c.set = to, true
	c.op("rg", frac(to.r), frac(to.g), frac(to.b))
}

func frac(v uint8) float64 { return float64(int(float64(v)/255*100+0.5)) / 100 }

// page draws one page: text in its marked sequences, the rest as artifacts.
func (c *canvas) page(no int, p page) {
	c.b, c.set, c.size = c.b[:0], false, 0
	var open *node
	var marked []*node
	inArtifact := false
	end := func() {
		if open != nil || inArtifact {
			c.op("EMC")
		}
		open, inArtifact = nil, false
	}
	for _, b := range p.boxes {
		switch {
		case b.node == nil:
			if open != nil {
				end()
			}
			if !inArtifact {
				c.op("/Artifact BMC")
				inArtifact = true
			}
		case b.node != open:
			end()
			id := len(marked)
			marked = append(marked, b.node)
			b.node.marks = append(b.node.marks, mark{no, id})
			c.op(fmt.Sprintf("/%s <</MCID %d>> BDC", b.node.tag, id))
			open = b.node
		}
		c.box(no, b)
	}
	end()
	c.mcids = append(c.mcids, marked)
	c.doc.RawWriteStr(strings.TrimSuffix(string(c.b), "\n"))
}

func (c *canvas) box(no int, b placed) {
	top := c.k.h - b.y
	switch {
	case b.fill != nil:
		c.useInk(*b.fill)
		c.op("re f", b.x, top-b.h, b.w, b.h)
	case b.image != nil:
		c.image(b, top)
	case b.drawn != nil:
		c.drawing(no, b, top)
	case b.stitches:
		c.ornament(b.x, top, b.w, b.h)
	default:
		c.text(no, b, b.x, top-b.base)
	}
}

// text sets a line: one TJ for each run of one face, spaces as glyphs, so that
// copying and searching find them.
func (c *canvas) text(no int, b placed, x, y float64) {
	at := x
	type seg struct {
		p piece
		x float64
	}
	var segs []seg
	for i, w := range b.line.words {
		if i > 0 && w.gap > 0 {
			segs = append(segs, seg{w.space, at})
			at += w.gap
		}
		for _, p := range w.pieces {
			segs = append(segs, seg{p, at})
			at += p.w
		}
	}
	c.b = append(c.b, "BT\n"...)
	penX := 0.0
	first := true
	for i := 0; i < len(segs); {
		p := segs[i].p
		if p.face != c.face || p.st.size != c.size {
			c.face, c.size = p.face, p.st.size
			c.b = append(c.b, "/R"...)
			c.b = strconv.AppendInt(c.b, int64(p.face), 10)
			c.b = append(c.b, ' ')
			c.op("Tf", p.st.size)
		}
		c.useInk(p.st.color)
		if first {
			c.op("Td", segs[i].x, y)
			first = false
		} else {
			c.op("Td", segs[i].x-penX, 0)
		}
		penX = segs[i].x
		c.b = append(c.b, '[', '<')
		j := i
		for ; j < len(segs) && segs[j].p.face == p.face && segs[j].p.st == p.st; j++ {
			for _, g := range segs[j].p.glyphs {
				id := c.use(p.face, g)
				const hex = "0123456789ABCDEF"
				c.b = append(c.b, hex[id>>12], hex[id>>8&15], hex[id>>4&15], hex[id&15])
				if g.move != 0 {
					c.b = append(c.b, '>')
					c.b = strconv.AppendInt(c.b, int64(-g.move), 10)
					c.b = append(c.b, '<')
				}
			}
		}
		c.b = append(c.b, ">] TJ\n"...)
		if p.st.url != "" {
			last := segs[j-1]
			c.links = append(c.links, link{no, segs[i].x, y - p.st.size*0.25, last.x + last.p.w - segs[i].x, p.st.size * 1.1, p.st.url, b.node})
		}
		i = j
	}
	c.b = append(c.b, "ET\n"...)
}

func (c *canvas) use(id faceID, g glyph) uint16 {
	if c.fonts[id] == nil {
		c.fonts[id] = newUsedFont(c.faces[id])
	}
	return c.fonts[id].use(g.id, g.text)
}

// ornament draws a row of knit stitches: the one decoration of the title page.
func (c *canvas) ornament(x, top, w, h float64) {
	c.op("q")
	c.op("RG", frac(wool.r), frac(wool.g), frac(wool.b))
	c.op("w", 1.15)
	c.op("J", 1)
	step := 7.0
	n := int(w / step)
	step = w / float64(n)
	for i := range n {
		l := x + float64(i)*step
		mid := l + step/2
		c.op("m", l+0.9, top)
		c.op("c", l+1.1, top-h*0.5, mid-1.2, top-h*0.55, mid-0.35, top-h)
		c.op("m", l+step-0.9, top)
		c.op("c", l+step-1.1, top-h*0.5, mid+1.2, top-h*0.55, mid+0.35, top-h)
	}
	c.op("S")
	c.op("Q")
}

// foot adds the running foot to every page: what copy this is at the left, the
// page at the right.
func foot(s *shaper, d *document.Document, k *look, pages []page) {
	st := k.foot
	folio := func(n int) []line {
		return breakLines(s.words([]span{{d.Page(n, len(pages)), st}}, k.measure()), k.measure(), 0)
	}
	room := k.measure() - 14
	for _, l := range folio(len(pages)) { // the widest
		room -= l.w
	}
	copyOf := s.copyLine(d, st, room, k.hang == 0)
	for i := range pages {
		y := k.h - k.bottom*0.5
		put := func(ls []line, right bool) {
			for n, l := range ls {
				x := k.left
				if right {
					x = k.w - k.right - l.w
				}
				asc := st.size * 0.8
				pages[i].boxes = append(pages[i].boxes, placed{box{x: x, y: y - asc + float64(n)*st.size*1.2, w: l.w, h: st.size, base: asc, line: l}, i})
			}
		}
		put(folio(i+1), true)
		put([]line{copyOf}, false)
	}
}

// copyLine says at the foot which copy this is: title, edition, revision, date, as
// much of it as there is room for. The revision always stands.
func (s *shaper) copyLine(d *document.Document, st style, room float64, large bool) line {
	var parts []string
	if d.Edition != "" {
		parts = append(parts, d.Edition)
	}
	stamp := strings.Split(d.Stamp(), " · ")
	var tries [][]string
	if large && d.Words.LargePrint != "" {
		tries = append(tries, append(append(append([]string{}, parts...), d.Words.LargePrint), stamp...))
	}
	tries = append(tries, append(append([]string{}, parts...), stamp...), append(append([]string{}, parts...), stamp[0]), stamp[:1])
	title := clean(d.Title)
	for _, t := range tries {
		ws := s.words([]span{{title + " · " + strings.Join(t, " · "), st}}, 1e6)
		if l := makeLine(ws); l.w <= room {
			return l
		}
	}
	return s.oneLine(title, " · "+stamp[0], st, room)
}

// oneLine sets a and b in one line, a cut short with an ellipsis where there is
// no room for both.
func (s *shaper) oneLine(a, b string, st style, room float64) line {
	r := []rune(a)
	if len(r) > 200 {
		r = r[:200]
	}
	for n := len(r); ; n-- {
		text := string(r[:n])
		if n < len([]rune(a)) {
			text = strings.TrimRight(text, " ") + "…"
		}
		ws := s.words([]span{{text + b, st}}, 1e6)
		if l := makeLine(ws); l.w <= room || n <= 1 {
			return l
		}
	}
}
