package pdf

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"sort"
	"strings"
	"unicode/utf16"
)

// usedFont collects the glyphs a document uses of one face, renumbered in the
// order of their first use.
type usedFont struct {
	face  *face
	ids   map[uint16]uint16 // font's glyph -> number in the subset
	order []uint16
	text  []string // what each stands for, for search and screen readers
}

func newUsedFont(f *face) *usedFont {
	return &usedFont{face: f, ids: map[uint16]uint16{0: 0}, order: []uint16{0}, text: []string{""}}
}

func (u *usedFont) use(g uint16, text string) uint16 {
	id, ok := u.ids[g]
	if !ok {
		id = uint16(len(u.order))
		u.ids[g] = id
		u.order = append(u.order, g)
		u.text = append(u.text, text)
	} else if u.text[id] == "" {
		u.text[id] = text
	}
	return id
}

// The flags of a part in a compound glyph (OpenType specification, glyf table).
const (
	argsAreWords   = 1 << 0
	haveScale      = 1 << 3
	moreComponents = 1 << 5
	haveXYScale    = 1 << 6
	have2x2        = 1 << 7
)

// file builds a font file of the used glyphs alone.
func (u *usedFont) file() []byte {
	f := u.face
	var glyf []byte
	loca := []byte{0, 0, 0, 0}
	for i := 0; i < len(u.order); i++ { // grows as compound glyphs name their parts
		o := append([]byte(nil), f.outline(u.order[i])...)
		if len(o) >= 10 && i16(o, 0) < 0 {
			for p := 10; p+4 <= len(o); {
				flags := u16(o, p)
				binary.BigEndian.PutUint16(o[p+2:], u.use(uint16(u16(o, p+2)), ""))
				p += 6
				if flags&argsAreWords != 0 {
					p += 2
				}
				switch {
				case flags&haveScale != 0:
					p += 2
				case flags&haveXYScale != 0:
					p += 4
				case flags&have2x2 != 0:
					p += 8
				}
				if flags&moreComponents == 0 {
					break
				}
			}
		}
		for len(o)%4 != 0 {
			o = append(o, 0)
		}
		glyf = append(glyf, o...)
		loca = binary.BigEndian.AppendUint32(loca, uint32(len(glyf)))
	}
	n := len(u.order)
	var hmtx []byte
	full := u16(f.tables["hhea"], 34)
	for _, g := range u.order {
		lsb := u16(f.tables["hmtx"], 4*int(g)+2)
		if int(g) >= full {
			lsb = u16(f.tables["hmtx"], 4*full+2*(int(g)-full))
		}
		hmtx = binary.BigEndian.AppendUint16(hmtx, f.advances[g])
		hmtx = binary.BigEndian.AppendUint16(hmtx, uint16(lsb))
	}
	copyOf := func(t string) []byte { return append([]byte(nil), f.tables[t]...) }
	head, hhea, maxp := copyOf("head"), copyOf("hhea"), copyOf("maxp")
	binary.BigEndian.PutUint32(head[8:], 0)
	binary.BigEndian.PutUint16(head[50:], 1)
	binary.BigEndian.PutUint16(hhea[34:], uint16(n))
	binary.BigEndian.PutUint16(maxp[4:], uint16(n))
	tables := map[string][]byte{"head": head, "hhea": hhea, "maxp": maxp, "hmtx": hmtx, "loca": loca, "glyf": glyf}
	for _, t := range []string{"cvt ", "fpgm", "prep"} {
		if f.tables[t] != nil {
			tables[t] = f.tables[t]
		}
	}
	return sfntFile(tables)
}

func sfntFile(tables map[string][]byte) []byte {
	var tags []string
	for t := range tables {
		tags = append(tags, t)
	}
	sort.Strings(tags)
	n := len(tags)
	pow, log := 1, 0
	for pow*2 <= n {
		pow, log = pow*2, log+1
	}
	be := binary.BigEndian
	out := be.AppendUint32(nil, 0x00010000)
	for _, v := range []int{n, pow * 16, log, n*16 - pow*16} {
		out = be.AppendUint16(out, uint16(v))
	}
	at := 12 + 16*n
	for _, t := range tags {
		d := tables[t]
		var sum uint32
		for i := 0; i < len(d); i += 4 {
			var w [4]byte
			copy(w[:], d[i:])
			sum += be.Uint32(w[:])
		}
		out = append(out, t...)
		out = be.AppendUint32(out, sum)
		out = be.AppendUint32(out, uint32(at))
		out = be.AppendUint32(out, uint32(len(d)))
		at += (len(d) + 3) &^ 3
	}
	for _, t := range tags {
		out = append(out, tables[t]...)
		for len(out)%4 != 0 {
			out = append(out, 0)
		}
	}
	return out
}

// write puts the font's objects into the update and returns the number of the
// one that resources name. All widths are thousandths, as the setter measured.
func (u *usedFont) write(up *update) int {
	f := u.face
	file := u.file()
	sum := sha256.Sum256([]byte(f.name + strings.Join(u.text, "\x00")))
	tag := make([]byte, 6)
	for i := range tag {
		tag[i] = 'A' + sum[i]%26
	}
	name := string(tag) + "+" + f.name

	var w strings.Builder
	for i, g := range u.order {
		if i > 0 {
			w.WriteByte(' ')
		}
		fmt.Fprint(&w, perMille(f, int(f.advances[g])))
	}
	flags, angle := 4, 0
	if f.italic {
		flags |= 64
		angle = -10
	}
	stem := 80
	if strings.Contains(f.name, "Bold") {
		stem = 130
	}
	fontFile := up.stream(fmt.Sprintf("/Length1 %d", len(file)), file)
	descriptor := up.object(fmt.Sprintf("<</Type /FontDescriptor /FontName /%s /Flags %d /FontBBox [%d %d %d %d] /ItalicAngle %d /Ascent %d /Descent %d /CapHeight %d /StemV %d /FontFile2 %d 0 R>>",
		name, flags, perMille(f, int(f.bbox[0])), perMille(f, int(f.bbox[1])), perMille(f, int(f.bbox[2])), perMille(f, int(f.bbox[3])),
		angle, perMille(f, f.ascent), perMille(f, f.descent), perMille(f, f.capH), stem, fontFile))
	cid := up.object(fmt.Sprintf("<</Type /Font /Subtype /CIDFontType2 /BaseFont /%s /CIDSystemInfo <</Registry (Adobe) /Ordering (Identity) /Supplement 0>> /FontDescriptor %d 0 R /W [0 [%s]] /CIDToGIDMap /Identity>>",
		name, descriptor, w.String()))
	uni := up.stream("", []byte(u.toUnicode()))
	return up.object(fmt.Sprintf("<</Type /Font /Subtype /Type0 /BaseFont /%s /Encoding /Identity-H /DescendantFonts [%d 0 R] /ToUnicode %d 0 R>>", name, cid, uni))
}

func (u *usedFont) toUnicode() string {
	var b strings.Builder
	b.WriteString("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n/CIDSystemInfo <</Registry (Adobe) /Ordering (UCS) /Supplement 0>> def\n/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n")
	var rows []string
	for i, t := range u.text {
		if t == "" {
			continue
		}
		var hex strings.Builder
		for _, c := range utf16.Encode([]rune(t)) {
			fmt.Fprintf(&hex, "%04X", c)
		}
		rows = append(rows, fmt.Sprintf("<%04X> <%s>\n", i, hex.String()))
	}
	for len(rows) > 0 {
		n := min(100, len(rows))
		fmt.Fprintf(&b, "%d beginbfchar\n%sendbfchar\n", n, strings.Join(rows[:n], ""))
		rows = rows[n:]
	}
	b.WriteString("endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend")
	return b.String()
}
