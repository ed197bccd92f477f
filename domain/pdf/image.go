package pdf

import (
	"fmt"
	"strings"

	"rowproof/domain/document"
)

// image is a picture of the document, once in the file however often it is drawn.
type image struct{ picture *document.Picture }

// pictureGap parts pictures that stand side by side, in mm.
const pictureGap = 5

// pictures sets images side by side across the measure, each a figure with its
// words, its caption below it.
func (s *setter) pictures(b *document.Pictures) {
	k := s.k
	if len(b.Items) == 0 {
		return
	}
	s.gap(k.lead)
	s.lines(s.root.add("P"), []span{{b.Title, k.caption}}, k.left+k.hang, k.measure()-k.hang, k.lead, lineOpt{whole: true, next: true})
	left, wide := k.left+k.hang, k.measure()-k.hang
	w := (wide - float64(len(b.Items)-1)*pictureGap*mm) / float64(len(b.Items))
	pics := slab{keep: true}
	var captions slab
	for i := range b.Items {
		it := &b.Items[i]
		if it.Width <= 0 || it.Height <= 0 {
			continue
		}
		h := w * float64(it.Height) / float64(it.Width)
		x := left + float64(i)*(w+pictureGap*mm)
		fig := s.root.add("Figure")
		fig.alt = it.Alt
		pics.boxes = append(pics.boxes, box{x: x, w: w, h: h, node: fig, image: &image{it}})
		pics.height = max(pics.height, h)
		line := makeLine(s.words([]span{{it.Caption, k.small}}, 1e6))
		captions.boxes = append(captions.boxes, box{x: x, w: w, h: k.lead, base: k.lead * 0.75, line: line, node: s.root.add("P")})
		captions.height = k.lead
	}
	captions.keep = b.Note != ""
	s.gap(k.lead / 4)
	s.push(pics)
	s.gap(k.lead / 4)
	s.push(captions)
	if b.Note != "" {
		s.lines(s.root.add("P"), []span{{b.Note, k.small}}, left, wide, k.lead, lineOpt{whole: true})
	}
}

// image names the picture on its page and stretches it over its box.
func (c *canvas) image(b placed, top float64) {
	no := -1
	for i, im := range c.images {
		if im == b.image.picture {
			no = i
		}
	}
	if no < 0 {
		no = len(c.images)
		c.images = append(c.images, b.image.picture)
	}
	b.node.bbox = [4]float64{b.x, top - b.h, b.x + b.w, top}
	c.op("q")
	c.op("cm", b.w, 0, 0, b.h, b.x, top-b.h)
	c.op(fmt.Sprintf("/I%d Do", no))
	c.op("Q")
}

// imageResources writes the images of the file and names them.
func (c *canvas) imageResources(up *update) string {
	if len(c.images) == 0 {
		return ""
	}
	var names strings.Builder
	for i, p := range c.images {
		n := up.plainStream(fmt.Sprintf("/Type /XObject /Subtype /Image /Width %d /Height %d /ColorSpace /DeviceRGB /BitsPerComponent 8 /Filter /DCTDecode", p.Width, p.Height), string(p.JPEG))
		fmt.Fprintf(&names, "/I%d %d 0 R ", i, n)
	}
	return " /XObject <<" + names.String() + ">>"
}
