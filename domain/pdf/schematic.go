package pdf

import (
	"rowproof/domain/chart"
	"rowproof/domain/document"
)

// schematics set the pieces of a garment, all at one scale, side by side where
// there is room.
func (s *setter) schematics(b *document.Schematics) {
	if len(b.Items) == 0 {
		return
	}
	k := s.k
	left := k.left
	wide := k.measure() / mm
	const most = 62 // mm of height for the tallest
	scale := b.Scale(wide, most)
	s.gap(k.lead)
	s.lines(s.root.add("P"), []span{{b.Title, k.caption}}, left, k.measure(), k.lead, lineOpt{whole: true, next: true})
	for from := 0; from < len(b.Items); {
		row := []*chart.Drawing{}
		used, to := 0.0, from
		for to < len(b.Items) {
			d := b.Items[to].Draw(wide, most, scale)
			if len(row) > 0 && used+d.Width > wide {
				break
			}
			row = append(row, d)
			used += d.Width + 6
			to++
		}
		pics, names := slab{keep: true}, slab{height: k.lead}
		for _, d := range row {
			pics.height = max(pics.height, d.Height*mm)
		}
		x := left
		for i, d := range row {
			fig := s.root.add("Figure")
			fig.alt = b.Items[from+i].Describe()
			h := d.Height * mm
			pics.boxes = append(pics.boxes, box{x: x, w: d.Width * mm, h: h, node: fig, drawn: s.drawing(d)})
			name := makeLine(s.words([]span{{b.Items[from+i].Name, k.small}}, 1e6))
			names.boxes = append(names.boxes, box{x: x, w: d.Width * mm, h: k.lead, base: k.lead * 0.75, line: name, node: s.root.add("P")})
			x += (d.Width + 6) * mm
		}
		s.gap(k.lead / 4)
		s.push(pics)
		s.push(names)
		from = to
	}
	if b.Note != "" {
		s.lines(s.root.add("P"), []span{{b.Note, k.small}}, left, k.measure(), k.lead, lineOpt{whole: true})
	}
}
