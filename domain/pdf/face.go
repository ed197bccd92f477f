package pdf

import (
	"encoding/binary"
	"fmt"
	"sync"

	"rowproof/assets"
)

// face is one parsed font file. It is read once and then only read from, so
// that documents can be set at the same time.
type face struct {
	name     string // PostScript name without tag
	data     []byte
	tables   map[string][]byte
	upem     int
	ascent   int // font units, above the baseline
	descent  int // negative
	capH     int
	bbox     [4]int16
	italic   bool
	advances []uint16 // by glyph
	loca     []uint32
	low      [0x600]uint16     // glyphs of the first runes
	high     map[rune]uint16   // and of the others
	gsub     map[string]*subst // by feature tag
	kern     []pairLookup
}

// The faces we print with. The book face carries text and titles, the label
// face counts, tables and large print; symbols serves what both lack.
type faceID uint8

const (
	book faceID = iota
	bookItalic
	bookBold
	label
	labelBold
	symbols
	faceCount
)

var faceFiles = [faceCount]string{
	"Vollkorn-Regular", "Vollkorn-Italic", "Vollkorn-SemiBold", "Lato-Regular", "Lato-Bold", "DejaVuSans",
}

// faces parses the embedded fonts once for the process. An error means that the
// binary itself is broken.
var faces = sync.OnceValues(func() ([faceCount]*face, error) {
	var out [faceCount]*face
	for i, n := range faceFiles {
		b, err := assets.FS.ReadFile("fonts/" + n + ".ttf")
		if err != nil {
			return out, fmt.Errorf("pdf: font %s: %w", n, err)
		}
		if out[i], err = parseFace(n, b); err != nil {
			return out, fmt.Errorf("pdf: font %s: %w", n, err)
		}
	}
	return out, nil
})

func u16(b []byte, o int) int {
	if o < 0 || o+2 > len(b) {
		return 0
	}
	return int(binary.BigEndian.Uint16(b[o:]))
}

func i16(b []byte, o int) int { return int(int16(u16(b, o))) }

func u32(b []byte, o int) int {
	if o < 0 || o+4 > len(b) {
		return 0
	}
	return int(binary.BigEndian.Uint32(b[o:]))
}

// parseFace reads a TrueType-outline font file.
func parseFace(name string, data []byte) (*face, error) {
	if len(data) < 12 || u32(data, 0) != 0x00010000 {
		return nil, fmt.Errorf("not a font with TrueType outlines")
	}
	f := &face{name: name, data: data, tables: map[string][]byte{}, high: map[rune]uint16{}}
	for i := range u16(data, 4) {
		r := 12 + 16*i
		if r+16 > len(data) {
			return nil, fmt.Errorf("table directory cut short")
		}
		off, n := u32(data, r+8), u32(data, r+12)
		if off+n > len(data) {
			return nil, fmt.Errorf("table %s runs past the file", data[r:r+4])
		}
		f.tables[string(data[r:r+4])] = data[off : off+n]
	}
	for _, t := range []string{"head", "hhea", "hmtx", "maxp", "loca", "glyf", "cmap", "OS/2"} {
		if f.tables[t] == nil {
			return nil, fmt.Errorf("table %s missing", t)
		}
	}
	head, hhea, os2 := f.tables["head"], f.tables["hhea"], f.tables["OS/2"]
	f.upem = u16(head, 18)
	for i := range f.bbox {
		f.bbox[i] = int16(i16(head, 36+2*i))
	}
	f.ascent, f.descent = i16(hhea, 4), i16(hhea, 6)
	f.capH = i16(os2, 88)
	if u16(os2, 0) < 2 || f.capH == 0 {
		f.capH = f.upem * 7 / 10
	}
	f.italic = u16(os2, 62)&1 != 0
	f.readMetrics()
	f.readCmap()
	f.readGSUB()
	f.readGPOS()
	return f, nil
}

func (f *face) readMetrics() {
	n := u16(f.tables["maxp"], 4)
	hm, full := f.tables["hmtx"], u16(f.tables["hhea"], 34)
	f.advances = make([]uint16, n)
	for g := range n {
		f.advances[g] = uint16(u16(hm, 4*min(g, full-1)))
	}
	long := u16(f.tables["head"], 50) == 1
	f.loca = make([]uint32, n+1)
	for g := range n + 1 {
		if long {
			f.loca[g] = uint32(u32(f.tables["loca"], 4*g))
		} else {
			f.loca[g] = uint32(2 * u16(f.tables["loca"], 2*g))
		}
	}
}

// readCmap reads the format 4 subtable; our fonts need no other.
func (f *face) readCmap() {
	c := f.tables["cmap"]
	for i := range u16(c, 2) {
		s := u32(c, 4+8*i+4)
		if s >= len(c) || u16(c, s) != 4 {
			continue
		}
		t := c[s:]
		segs := u16(t, 6) / 2
		for k := range segs {
			end, start := u16(t, 14+2*k), u16(t, 16+2*segs+2*k)
			delta, ro := u16(t, 16+4*segs+2*k), u16(t, 16+6*segs+2*k)
			for r := start; r <= end && r < 0xffff; r++ {
				g := r + delta
				if ro != 0 {
					g = u16(t, 16+6*segs+2*k+ro+2*(r-start))
					if g != 0 {
						g += delta
					}
				}
				g &= 0xffff
				if g == 0 || g >= len(f.advances) {
					continue
				}
				if r < len(f.low) {
					f.low[r] = uint16(g)
				} else {
					f.high[rune(r)] = uint16(g)
				}
			}
		}
		return
	}
}

// glyph returns the glyph of r, 0 where the face has none.
func (f *face) glyph(r rune) uint16 {
	if r >= 0 && int(r) < len(f.low) {
		return f.low[r]
	}
	return f.high[r]
}

func (f *face) outline(g uint16) []byte {
	gl := f.tables["glyf"]
	a, b := f.loca[g], f.loca[g+1]
	if a >= b || int(b) > len(gl) {
		return nil
	}
	return gl[a:b]
}
