package pdf

// Options choose the paper and the type size.
type Options struct {
	Paper Paper
	Large bool // 22-point sans serif, one column, no italics
}

// Paper is a sheet size. The zero value is A4.
type Paper int

const (
	A4     Paper = iota
	Letter       // US letter, 8.5 × 11 in
)

// size gives width and height in points.
func (p Paper) size() (w, h float64) {
	if p == Letter {
		return 612, 792
	}
	return 595.28, 841.89
}

// The inks: text, wool (the one accent, madder red) and what stands back. All
// pass WCAG AAA on white and print well in black and white.
var (
	ink    = color{24, 26, 34}
	wool   = color{134, 38, 34}
	pencil = color{84, 84, 90}
	chalk  = color{178, 174, 166} // rules only
)

// look is everything that tells the normal print from the large one. Lengths
// are points; lead is the distance of baselines, and half of it is the grid on
// which everything is hung.
type look struct {
	w, h                     float64
	left, right, top, bottom float64
	hang                     float64 // width of the column of row heads; 0: heads run above their rows
	lead                     float64

	title, by, facts       style
	h1, h2, h3, caption    style
	text, stress, strong   style
	rowHead, count         style
	term, abbr             style
	small, smallStress     style
	smallStrong            style
	cell, cellHead, rowTag style
	foot                   style
	caution                style
	grave                  style
	compactColumns         int
	smallLead              float64
	cellLead               float64
}

func (k *look) measure() float64 { return k.w - k.left - k.right }

func newLook(o Options) *look {
	w, h := o.Paper.size()
	if o.Large {
		return largeLook(w, h)
	}
	side := (w - 468) / 2
	k := &look{w: w, h: h, left: side, right: side, top: 70, bottom: 84, hang: 96, lead: 14, smallLead: 12, cellLead: 12.25, compactColumns: 2}
	k.title = style{face: bookBold, size: 31, color: ink, feat: lining}
	k.by = style{face: bookItalic, size: 13, color: ink, feat: lining}
	k.facts = style{face: book, size: 10, color: pencil, feat: smallCaps | lining, track: 45}
	k.h1 = style{face: bookBold, size: 15, color: ink, feat: lining}
	k.h2 = style{face: bookBold, size: 14, color: wool, feat: smallCaps | lining, track: 55}
	k.caption = style{face: bookBold, size: 11, color: wool, feat: smallCaps | lining, track: 45}
	k.h3 = style{face: bookItalic, size: 11.5, color: ink, feat: lining}
	k.text = style{face: book, size: 10.25, color: ink, feat: lining}
	k.stress = style{face: bookItalic, size: 10.25, color: ink, feat: lining}
	k.strong = style{face: bookBold, size: 10.25, color: ink, feat: lining}
	k.rowHead = k.strong
	k.count = style{face: labelBold, size: 8.75, color: wool}
	k.term = style{face: book, size: 10.5, color: wool, feat: smallCaps | lining, track: 40}
	k.abbr = style{face: bookBold, size: 9.25, color: ink, feat: lining}
	k.small = style{face: book, size: 9.25, color: ink, feat: lining}
	k.smallStress = style{face: bookItalic, size: 9.25, color: ink, feat: lining}
	k.smallStrong = style{face: bookBold, size: 9.25, color: ink, feat: lining}
	k.cell = style{face: label, size: 8.75, color: ink, feat: tabular}
	k.cellHead = style{face: labelBold, size: 8.25, color: ink, feat: tabular}
	k.rowTag = style{face: book, size: 9.75, color: ink, feat: lining}
	k.foot = style{face: label, size: 7.5, color: pencil, track: 15}
	k.caution = style{face: book, size: 10.5, color: ink, feat: smallCaps | lining, track: 40}
	k.grave = style{face: labelBold, size: 10.5, color: wool}
	return k
}

func largeLook(w, h float64) *look {
	k := &look{w: w, h: h, left: 72, right: 72, top: 72, bottom: 90, lead: 30, smallLead: 30, cellLead: 30, compactColumns: 1}
	sans := style{face: label, size: 22, color: ink}
	bold := style{face: labelBold, size: 22, color: ink}
	k.text, k.stress, k.small, k.smallStress, k.cell, k.rowTag, k.foot = sans, sans, sans, sans, sans, sans, sans
	k.strong, k.rowHead, k.term, k.abbr, k.smallStrong, k.cellHead, k.count, k.h3, k.caption = bold, bold, bold, bold, bold, bold, bold, bold, bold
	k.by, k.facts, k.caution, k.grave = sans, sans, bold, bold
	k.stress = bold // italics are hard to read large; bold is the other mark
	k.smallStress = bold
	k.cell.feat, k.cellHead.feat = tabular, tabular
	k.title = style{face: labelBold, size: 38, color: ink}
	k.h1 = style{face: labelBold, size: 28, color: ink}
	k.h2 = style{face: labelBold, size: 25, color: ink}
	k.foot.size = 16
	return k
}
