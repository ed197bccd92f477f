package pdf

import "sort"

// subst is what one OpenType feature replaces: single glyphs, and runs of
// glyphs by a ligature.
type subst struct {
	single map[uint16]uint16
	liga   map[uint16][]ligature // by first glyph, longest first as in the font
}

type ligature struct {
	rest []uint16
	to   uint16
}

// The features the typesetter asks for: small capitals, lining and tabular
// figures, built fractions, the standard ligatures.
var wanted = map[string]bool{"smcp": true, "lnum": true, "tnum": true, "liga": true}

// features calls fn for each feature of a GSUB or GPOS table and each of its
// lookups' subtables; extension is the lookup kind that points to another (7 in
// GSUB, 9 in GPOS).
func features(t []byte, extension int, fn func(tag string, kind int, sub []byte)) {
	if len(t) < 10 {
		return
	}
	fl, ll := u16(t, 6), u16(t, 8)
	seen := map[[2]int]bool{}
	tagNo := map[string]int{}
	for i := range u16(t, fl) {
		r := fl + 2 + 6*i
		if r+6 > len(t) {
			return
		}
		tag := string(t[r : r+4])
		if _, ok := tagNo[tag]; !ok {
			tagNo[tag] = len(tagNo)
		}
		feat := fl + u16(t, r+4)
		for j := range u16(t, feat+2) {
			l := u16(t, feat+4+2*j)
			if seen[[2]int{tagNo[tag], l}] { // the same lookup for another script
				continue
			}
			seen[[2]int{tagNo[tag], l}] = true
			lo := ll + u16(t, ll+2+2*l)
			kind := u16(t, lo)
			for k := range u16(t, lo+4) {
				so, sk := lo+u16(t, lo+6+2*k), kind
				if kind == extension && u16(t, so) == 1 {
					sk = u16(t, so+2)
					so += u32(t, so+4)
				}
				if so < len(t) {
					fn(tag, sk, t[so:])
				}
			}
		}
	}
}

// coverage lists the glyphs of a coverage table in order.
func coverage(t []byte) []uint16 {
	var out []uint16
	switch u16(t, 0) {
	case 1:
		for i := range u16(t, 2) {
			out = append(out, uint16(u16(t, 4+2*i)))
		}
	case 2:
		for i := range u16(t, 2) {
			for g := u16(t, 4+6*i); g <= u16(t, 6+6*i); g++ {
				out = append(out, uint16(g))
			}
		}
	}
	return out
}

func (f *face) readGSUB() {
	f.gsub = map[string]*subst{}
	features(f.tables["GSUB"], 7, func(tag string, kind int, s []byte) {
		if !wanted[tag] || u16(s, 2) >= len(s) {
			return
		}
		su := f.gsub[tag]
		if su == nil {
			su = &subst{single: map[uint16]uint16{}, liga: map[uint16][]ligature{}}
			f.gsub[tag] = su
		}
		cov := coverage(s[u16(s, 2):])
		switch {
		case kind == 1 && u16(s, 0) == 1:
			for _, g := range cov {
				su.single[g] = g + uint16(u16(s, 4))
			}
		case kind == 1 && u16(s, 0) == 2:
			for i, g := range cov {
				su.single[g] = uint16(u16(s, 6+2*i))
			}
		case kind == 4:
			for i, g := range cov {
				set := u16(s, 6+2*i)
				for j := range u16(s, set) {
					l := set + u16(s, set+2+2*j)
					lig := ligature{to: uint16(u16(s, l))}
					for k := 1; k < u16(s, l+2); k++ {
						lig.rest = append(lig.rest, uint16(u16(s, l+2+2*k)))
					}
					su.liga[g] = append(su.liga[g], lig)
				}
			}
		}
	})
}

// pairLookup is one subtable of pair adjustments: by pair, or by class.
type pairLookup struct {
	pairs         map[uint32]int16
	covered       map[uint16]bool
	first, second map[uint16]uint16
	secondN       int
	adjust        []int16
}

func (f *face) readGPOS() {
	features(f.tables["GPOS"], 9, func(tag string, kind int, s []byte) {
		if tag != "kern" || kind != 2 || u16(s, 2) >= len(s) {
			return
		}
		// Only the advance of the first glyph moves in our fonts.
		v1, v2 := u16(s, 4), u16(s, 6)
		size1, size2 := valueSize(v1), valueSize(v2)
		at := 0
		for bit := 1; bit < 4; bit <<= 1 {
			if v1&bit != 0 {
				at += 2
			}
		}
		if v1&4 == 0 {
			return
		}
		cov := coverage(s[u16(s, 2):])
		l := pairLookup{covered: map[uint16]bool{}}
		switch u16(s, 0) {
		case 1:
			l.pairs = map[uint32]int16{}
			for i, g := range cov {
				set := u16(s, 10+2*i)
				for j := range u16(s, set) {
					r := set + 2 + j*(2+size1+size2)
					l.pairs[uint32(g)<<16|uint32(u16(s, r))] = int16(i16(s, r+2+at))
				}
			}
		case 2:
			for _, g := range cov {
				l.covered[g] = true
			}
			l.first, l.second = classes(s[min(u16(s, 8), len(s)):]), classes(s[min(u16(s, 10), len(s)):])
			n1 := u16(s, 12)
			l.secondN = u16(s, 14)
			for i := range n1 * l.secondN {
				l.adjust = append(l.adjust, int16(i16(s, 16+i*(size1+size2)+at)))
			}
		}
		f.kern = append(f.kern, l)
	})
}

func valueSize(format int) int {
	n := 0
	for ; format != 0; format &= format - 1 {
		n += 2
	}
	return n
}

func classes(t []byte) map[uint16]uint16 {
	out := map[uint16]uint16{}
	switch u16(t, 0) {
	case 1:
		for i := range u16(t, 4) {
			out[uint16(u16(t, 2)+i)] = uint16(u16(t, 6+2*i))
		}
	case 2:
		for i := range u16(t, 2) {
			for g := u16(t, 4+6*i); g <= u16(t, 6+6*i); g++ {
				out[uint16(g)] = uint16(u16(t, 8+6*i))
			}
		}
	}
	return out
}

// kerning is how much closer (negative) b stands to a than their advances say,
// in font units. The first subtable that knows the pair decides.
func (f *face) kerning(a, b uint16) int {
	for i := range f.kern {
		l := &f.kern[i]
		if l.pairs != nil {
			if v, ok := l.pairs[uint32(a)<<16|uint32(b)]; ok {
				return int(v)
			}
			continue
		}
		if l.covered[a] {
			k := int(l.first[a])*l.secondN + int(l.second[b])
			if k < len(l.adjust) {
				if v := l.adjust[k]; v != 0 {
					return int(v)
				}
			}
		}
	}
	return 0
}

// sortedGlyphs lists the keys of a glyph set in order.
func sortedGlyphs[V any](m map[uint16]V) []uint16 {
	out := make([]uint16, 0, len(m))
	for g := range m {
		out = append(out, g)
	}
	sort.Slice(out, func(i, j int) bool { return out[i] < out[j] })
	return out
}
