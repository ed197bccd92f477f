package pdf

// features asked of a face, as bits.
type feats uint8

const (
	smallCaps feats = 1 << iota
	lining
	tabular
)

// color is a plain RGB colour.
type color struct{ r, g, b uint8 }

// style is how a run of text looks. Sizes are in points, track in thousandths
// of the size between letters.
type style struct {
	face  faceID
	size  float64
	feat  feats
	track int
	color color
	url   string
}

// glyph is a shaped glyph: adv is its own advance, move what is added behind it
// (kerning, tracking), both in thousandths of the size. text is what it stands for.
type glyph struct {
	id   uint16
	adv  int16
	move int16
	text string
}

// piece is a stretch of glyphs of one face and style. w is in points.
type piece struct {
	st     style
	face   faceID // st.face, or symbols where that one lacks the glyphs
	glyphs []glyph
	w      float64
}

// wordSpace is added to the faces' own spaces: rows are read number by number.
const wordSpace = 34

// shapeKey names shaped text whatever its size and colour.
type shapeKey struct {
	face  faceID
	feat  feats
	track int
	text  string
}

type shaped struct {
	face   faceID
	glyphs []glyph
	width  int // thousandths
}

// shaper turns text into glyphs; it keeps what it has shaped, for a pattern says
// the same words again and again. Not for use from several goroutines.
type shaper struct {
	faces [faceCount]*face
	seen  map[shapeKey][]shaped
}

func newShaper() (*shaper, error) {
	f, err := faces()
	if err != nil {
		return nil, err
	}
	return &shaper{faces: f, seen: map[shapeKey][]shaped{}}, nil
}

// pieces shapes text, which holds no breaking spaces of note (they are set as
// written), into pieces of one face each.
func (s *shaper) pieces(text string, st style) []piece {
	k := shapeKey{st.face, st.feat, st.track, text}
	runs, ok := s.seen[k]
	if !ok {
		runs = s.shape(text, st)
		if len(text) < 64 {
			s.seen[k] = runs
		}
	}
	out := make([]piece, len(runs))
	for i, r := range runs {
		out[i] = piece{st: st, face: r.face, glyphs: r.glyphs, w: float64(r.width) * st.size / 1000}
	}
	return out
}

func (s *shaper) shape(text string, st style) []shaped {
	var out []shaped
	var cur shaped
	flush := func() {
		if len(cur.glyphs) > 0 {
			s.finish(&cur, st)
			out = append(out, cur)
		}
		cur = shaped{}
	}
	for _, r := range text {
		if r == '\u00a0' {
			r = ' '
		}
		id := st.face
		g := s.faces[id].glyph(r)
		if g == 0 {
			if alt := s.faces[symbols].glyph(r); alt != 0 {
				id, g = symbols, alt
			} else {
				r, id, g = '\ufffd', symbols, s.faces[symbols].glyph('\ufffd')
			}
		}
		if len(cur.glyphs) > 0 && cur.face != id {
			flush()
		}
		cur.face = id
		cur.glyphs = append(cur.glyphs, glyph{id: g, text: string(r)})
	}
	flush()
	return out
}

// finish applies the features of the face, then sets advances, kerning and
// tracking.
func (s *shaper) finish(r *shaped, st style) {
	f := s.faces[r.face]
	single := func(tag string) {
		su := f.gsub[tag]
		if su == nil {
			return
		}
		for i := range r.glyphs {
			if to, ok := su.single[r.glyphs[i].id]; ok {
				r.glyphs[i].id = to
			}
		}
	}
	if st.feat&smallCaps != 0 {
		single("smcp") // capitals stay capitals, for the eye and for search
	}
	if st.feat&lining != 0 {
		single("lnum")
	}
	if st.feat&tabular != 0 {
		single("tnum")
	}
	if su := f.gsub["liga"]; su != nil && st.track == 0 && r.face != label && r.face != labelBold && st.feat&smallCaps == 0 {
		r.glyphs = ligate(r.glyphs, su)
	}
	for i := range r.glyphs {
		g := &r.glyphs[i]
		g.adv = int16(perMille(f, int(f.advances[g.id])))
		switch {
		case g.text == " ":
			g.move = wordSpace
		case i+1 < len(r.glyphs) && r.glyphs[i+1].text != " ":
			g.move = int16(perMille(f, f.kerning(g.id, r.glyphs[i+1].id)))
		}
		g.move += int16(st.track)
		r.width += int(g.adv) + int(g.move)
	}
}

// perMille brings font units to thousandths of the size, rounded.
func perMille(f *face, v int) int {
	n := v * 1000
	if n < 0 {
		return (n - f.upem/2) / f.upem
	}
	return (n + f.upem/2) / f.upem
}

func ligate(in []glyph, su *subst) []glyph {
	out := in[:0]
next:
	for i := 0; i < len(in); {
		for _, l := range su.liga[in[i].id] {
			if i+len(l.rest) >= len(in) {
				continue
			}
			text, hit := in[i].text, true
			for k, want := range l.rest {
				hit = hit && in[i+1+k].id == want
				text += in[i+1+k].text
			}
			if hit {
				out = append(out, glyph{id: l.to, text: text})
				i += 1 + len(l.rest)
				continue next
			}
		}
		out = append(out, in[i])
		i++
	}
	return out
}
