package pdf

// node is an element of the structure tree: what a screen reader walks.
type node struct {
	tag    string // H1, P, L, LI, Lbl, LBody, Table, TR, TH, TD, Document
	scope  string // Column or Row, of a TH
	kids   []*node
	parent *node
	marks  []mark // where its text stands, in reading order
	id     int    // object number, given by the writer

	annot, annotPage int // of a Link: its annotation's object, its page

	alt  string     // of a Figure: what it shows, in words
	bbox [4]float64 // of a Figure: where it stands on its page, from the lower left
}

// mark is a marked-content sequence: page from 0, id within the page.
type mark struct{ page, mcid int }

func (n *node) add(tag string) *node {
	k := &node{tag: tag, parent: n}
	n.kids = append(n.kids, k)
	return k
}

// box is one set line, or a rule, at its place in a slab. x counts from the
// paper's left edge, y from the slab's top down to the box's top.
type box struct {
	x, y, w, h float64
	base       float64 // baseline, below the box's top
	line       line
	node       *node // nil: decoration, an artifact
	fill       *color
	stitches   bool // the ornament: a row of knit stitches w wide
	drawn      []drawn
	image      *image
}

// slab is a strip as high as one line that is not broken: the unit of paging.
type slab struct {
	space  float64 // above it; dropped at a page's top
	height float64
	boxes  []box
	keep   bool   // the next slab stays on this page
	snap   bool   // stands on the grid
	repeat []slab // set again where a page begins with this slab (a table's head)
	level  int    // of the bookmark here; 0: none
	mark   string // its text
}

// placed is a box on its page, from the paper's top left corner.
type placed struct {
	box
	page int
}

// page is a page's boxes in reading order, and its bookmarks.
type page struct {
	boxes []placed
	marks []bookmark
}

type bookmark struct {
	level int
	text  string
	y     float64
}

// paginate hands slabs out to pages: each filled as far as it goes, broken at
// the last place where breaking is allowed. extra is how far into the bottom
// margin they may go.
func paginate(slabs []slab, k *look, extra float64) []page {
	var pages []page
	floor := k.h - k.bottom + extra
	for i := 0; i < len(slabs); {
		var pg page
		y := k.top
		no := len(pages)
		put := func(s *slab, artifact bool) {
			for _, b := range s.boxes {
				b.y += y
				if artifact {
					b.node = nil
				}
				pg.boxes = append(pg.boxes, placed{b, no})
			}
			if s.level > 0 && !artifact {
				pg.marks = append(pg.marks, bookmark{s.level, s.mark, y})
			}
			y += s.height
		}
		for j := range slabs[i].repeat {
			put(&slabs[i].repeat[j], true)
		}
		// how far does it go?
		end, at := i, y
		for end < len(slabs) {
			next := advance(at, &slabs[end], end == i, k)
			if next > floor+0.01 {
				break
			}
			at = next
			end++
		}
		if end < len(slabs) {
			b := end
			for b > i && slabs[b-1].keep {
				b--
			}
			if b > i {
				end = b
			}
			if end == i { // higher than a page: set it all the same
				end++
			}
		}
		for j := i; j < end; j++ {
			y = advance(y, &slabs[j], j == i, k) - slabs[j].height
			put(&slabs[j], false)
		}
		pages = append(pages, pg)
		i = end
	}
	if len(pages) == 0 {
		pages = append(pages, page{})
	}
	return pages
}

// advance gives the y below s when it is set at y.
func advance(y float64, s *slab, first bool, k *look) float64 {
	if !first {
		y += s.space
		if s.snap {
			grid := k.lead / 2
			n := int((y - k.top) / grid)
			if rest := y - k.top - float64(n)*grid; rest > 0.01 {
				y += grid - rest
			}
		}
	}
	return y + s.height
}
