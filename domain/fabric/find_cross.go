package fabric

import (
	"regexp"
	"strconv"
	"strings"

	"rowproof/domain/notation"
)

// EarlyCrossings finds loops that are crossed again before the fabric has rows
// enough to lie flat between: a loop has fewer rows since its last crossing than
// the stitches it moves over now. (Common practice is as many rows as the cable
// has stitches in all, "a six-stitch cable every sixth row"; plaits cross at half
// of that, and a travelling stitch moves over one on every second row; below it
// the rows jam.)
func (f *Fabric) EarlyCrossings() []Found {
	var out []Found
	last := make([]int32, len(f.Loops)) // row of the nearest crossing below, plus 1; 0 is none
	for i := range f.Rows {
		r := &f.Rows[i]
		for k := range r.Works {
			w := &r.Works[k]
			if w.Kind != Cross {
				for _, id := range w.Out {
					if f.Loops[id].Row != int32(i) {
						continue
					}
					for _, p := range f.Parents(id) {
						last[id] = max(last[id], last[p])
					}
				}
				continue
			}
			front, back := 0, 0
			for _, id := range w.Out {
				switch f.Loops[id].Cross {
				case InFront:
					front++
				case Behind:
					back++
				}
			}
			mid := len(w.Out) - front - back
			for j, id := range w.Out {
				before, move := int32(0), 0
				for _, p := range f.Parents(id) {
					before = max(before, last[p])
				}
				switch f.Loops[id].Cross {
				case InFront:
					move = back + mid
				case Behind:
					move = front + mid
				}
				if rows := i + 1 - int(before); before > 0 && rows < move {
					out = append(out, f.found(EarlyCross, i, int(w.Columns[j]),
						"in a crossing of %d over %d a stitch moves over %d others %s after its last crossing; %d at the least", front, back, move, count(rows, "row"), move))
					break
				}
			}
			for _, id := range w.Out {
				last[id] = int32(i) + 1
			}
		}
	}
	return out
}

// Texture is a stitch whose faces are known: in row r from the bottom and column
// c from the right, as seen from RS.
type Texture struct {
	Name string
	face func(row, column int) Face
	free bool // its columns may begin anywhere: any shift sideways or upwards fits
}

// TextureOf knows the plain stitches by the names the trade gives them.
func TextureOf(name string) (Texture, bool) {
	s := strings.ToLower(strings.TrimSpace(name))
	is := func(list ...string) bool {
		for _, x := range list {
			if s == x || strings.HasPrefix(s, x+" ") || strings.HasSuffix(s, " "+x) {
				return true
			}
		}
		return false
	}
	switch {
	case is("reverse stockinette", "rev st st", "reverse stocking stitch", "reverse stockinette stitch", "reverse st st"):
		return Texture{Name: "reverse stockinette", face: func(int, int) Face { return Purl }}, true
	case is("stockinette", "st st", "stocking stitch", "stockinette stitch", "stocking st"):
		return Texture{Name: "stockinette", face: func(int, int) Face { return Knit }}, true
	case is("garter", "garter stitch", "g st", "garter st"):
		return Texture{Name: "garter", free: true, face: func(r, _ int) Face { return Face(r % 2) }}, true
	case is("seed stitch", "seed st", "moss stitch", "moss st", "seed"):
		return Texture{Name: "seed stitch", free: true, face: func(r, c int) Face { return Face((r + c) % 2) }}, true
	case strings.Contains(s, "rib"):
		k, p := ribOf(s)
		if k+p == 0 {
			return Texture{}, false
		}
		return Texture{Name: "k" + strconv.Itoa(k) + ", p" + strconv.Itoa(p) + " rib", free: true, face: func(_, c int) Face {
			if c%(k+p) < k {
				return Knit
			}
			return Purl
		}}, true
	}
	return Texture{}, false
}

// AgainstStated finds loops whose face is against the stitch that the head above
// their rows names: a purl bump under "Stockinette stitch".
func (f *Fabric) AgainstStated(ms *notation.Manuscript) []Found {
	var out []Found
	t, known, first := Texture{}, false, -1
	look := func(to int) { // rows of the text from first up to line to
		if !known {
			return
		}
		lo := -1
		for i := 0; i <= len(f.Rows); i++ { // they may be worked again later on
			here := i < len(f.Rows) && f.Rows[i].Line > first && f.Rows[i].Line < to
			switch {
			case here && lo < 0:
				lo = i
			case !here && lo >= 0:
				out = append(out, f.FacesAgainst(t, lo, i-1)...)
				lo = -1
			}
		}
	}
	for _, it := range ms.Items {
		name, line := "", 0
		switch it := it.(type) {
		case *notation.Heading:
			name, line = it.Text, it.Line
		case *notation.Title:
			name, line = it.Text, it.Line
		default:
			continue
		}
		look(line)
		t, known = textureHead(name)
		first = line
	}
	look(1 << 30)
	return out
}

// textureHead knows the texture that a head names without a doubt: "Stockinette
// stitch (any number)", "2x2 rib border". Moss stitch is two textures, one on
// either side of the Atlantic, and what stands before a name makes another
// stitch of it ("broken rib").
func textureHead(s string) (Texture, bool) {
	if i := strings.IndexAny(s, "([,:"); i > 0 {
		s = s[:i]
	}
	if s = strings.TrimRight(strings.TrimSpace(s), "."); len(s) > 60 || !textureName.MatchString(s) {
		return Texture{}, false
	}
	return TextureOf(textureName.FindStringSubmatch(s)[1])
}

var textureName = regexp.MustCompile(`(?i)^(?:plain |basic )?((?:reverse |rev )?(?:st st|stockinette(?: st| stitch)?|stocking st(?:itch)?)|garter(?: st| stitch)?|seed(?: st| stitch)?|(?:\d ?[x/] ?\d|\d by \d) rib(?:bing)?)(?: (?:border|edging|section|swatch|pattern|panel|fabric|square|band))?$`)

// ribOf reads "k2, p2 rib", "2x2 rib", "2/2 rib" and "1 by 1 rib"; 0, 0 where no numbers stand.
func ribOf(s string) (k, p int) {
	var ns []int
	for i := 0; i < len(s); i++ {
		if s[i] >= '0' && s[i] <= '9' {
			j := i
			for j < len(s) && s[j] >= '0' && s[j] <= '9' {
				j++
			}
			n, _ := strconv.Atoi(s[i:j])
			ns, i = append(ns, min(n, 99)), j
		}
	}
	if len(ns) == 2 {
		return ns[0], ns[1]
	}
	return 0, 0
}

// FacesAgainst finds loops of the rows from first to last (indexes; last is
// included, -1 for the top) whose face is not that of the texture they are said
// to be: a purl bump in "stockinette". Of textures that may begin at any stitch
// the beginning that fits best is taken. Shaping is let pass, slipped and caught
// loops too.
func (f *Fabric) FacesAgainst(t Texture, first, last int) []Found {
	if last < 0 || last >= len(f.Rows) {
		last = len(f.Rows) - 1
	}
	makers := f.makers()
	var ids []ID
	for id := range f.Loops {
		l := &f.Loops[id]
		if int(l.Row) < first || int(l.Row) > last || makers[id] < 0 {
			continue
		}
		if k := f.Rows[l.Row].Works[makers[id]].Kind; k == Plain {
			ids = append(ids, ID(id))
		}
	}
	shifts, ups := 1, 1
	if t.free {
		shifts, ups = 24, 2
	}
	var best []ID
	for up := 0; up < ups; up++ {
		for shift := 0; shift < shifts; shift++ {
			var bad []ID
			for _, id := range ids {
				l := &f.Loops[id]
				if t.face(int(l.Row)-first+up, int(l.Column)+shift) != l.Face {
					bad = append(bad, id)
				}
			}
			if up == 0 && shift == 0 || len(bad) < len(best) {
				best = bad
			}
		}
	}
	var out []Found
	words := [...]string{Knit: "a knit V", Purl: "a purl bump"}
	for _, id := range f.withoutBorders(best) {
		l := &f.Loops[id]
		out = append(out, f.found(WrongFace, int(l.Row), int(l.Column), "%s shows on the right side, in what is called %s", words[l.Face], t.Name))
	}
	return out
}

// maxBorder is how wide an edge may be that is worked in another stitch than the piece is called by.
const maxBorder = 10

// withoutBorders leaves out loops that lie in an edge of their own, of garter stitch beside stockinette:
// as far from the same edge as others of another row.
func (f *Fabric) withoutBorders(ids []ID) []ID {
	type edge struct{ left, right int }
	width := map[int]int{}
	for id := range f.Loops {
		l := &f.Loops[id]
		width[int(l.Row)] = max(width[int(l.Row)], int(l.Column)+1)
	}
	at := func(id ID) edge {
		l := &f.Loops[id]
		return edge{int(l.Column), width[int(l.Row)] - 1 - int(l.Column)}
	}
	left, right := map[int]int{}, map[int]int{}
	ends := map[int]map[int]bool{} // of a row: how far its odd loops lie from the nearer edge
	for _, id := range ids {
		e, row := at(id), int(f.Loops[id].Row)
		left[e.left]++
		right[e.right]++
		if ends[row] == nil {
			ends[row] = map[int]bool{}
		}
		ends[row][e.left], ends[row][-1-e.right] = true, true
	}
	framed := func(id ID, e edge) bool { // the same number of them at both edges, and all from the edge on
		row := ends[int(f.Loops[id].Row)]
		if 2*min(e.left, e.right)+2 >= width[int(f.Loops[id].Row)] {
			return false // the whole row
		}
		for d := min(e.left, e.right); d >= 0; d-- {
			if !row[d] || !row[-1-d] {
				return false
			}
		}
		return min(e.left, e.right) < maxBorder
	}
	var out []ID
	for _, id := range ids {
		e := at(id)
		middle := ends[int(f.Loops[id].Row)][(width[int(f.Loops[id].Row)]-1)/2]
		if !middle && (e.left < maxBorder && left[e.left] > 1 || e.right < maxBorder && right[e.right] > 1 || framed(id, e)) {
			continue
		}
		out = append(out, id)
	}
	return out
}
