package pdf

import (
	"math"
	"strings"
	"unicode/utf8"
)

// span is text of one style within a paragraph.
type span struct {
	text string
	st   style
}

// word is what a line is broken into: pieces set without a gap.
type word struct {
	pieces []piece
	w      float64
	gap    float64 // the space before it, dropped at a line's beginning; 0 after a hyphen
	space  piece   // the glyph of that space
}

// line is a set line: pieces with their places from the line's left edge.
type line struct {
	words []word
	w     float64
}

// words cuts spans at their spaces and after their hyphens. Runs that touch
// make one word.
func (s *shaper) words(spans []span, measure float64) []word {
	var out []word
	glue := false // the next piece continues the last word
	for _, sp := range spans {
		text := clean(sp.text)
		space := s.space(sp.st)
		for len(text) > 0 {
			if text[0] == ' ' {
				text = strings.TrimLeft(text, " ")
				glue = true
				if len(out) > 0 && len(out[len(out)-1].pieces) > 0 {
					out = append(out, word{gap: space.w, space: space})
				}
				continue
			}
			n := strings.IndexByte(text, ' ')
			if n < 0 {
				n = len(text)
			}
			if h := hyphenBreak(text[:n]); h > 0 {
				n = h
			}
			ps := s.fit(text[:n], sp.st, measure)
			for i, p := range ps {
				if i > 0 || !glue || len(out) == 0 {
					out = append(out, word{})
				}
				w := &out[len(out)-1]
				w.pieces = append(w.pieces, p...)
				for _, x := range p {
					w.w += x.w
				}
			}
			glue = !strings.HasSuffix(text[:n], "-") || n == len(text)
			text = text[n:]
		}
	}
	// a space at the end sets nothing
	for len(out) > 0 && len(out[len(out)-1].pieces) == 0 {
		out = out[:len(out)-1]
	}
	return out
}

// space is the word space of a style.
func (s *shaper) space(st style) piece { return s.pieces(" ", st)[0] }

// hyphenBreak finds a place after a hyphen between letters, where a line may end; 0 if none.
func hyphenBreak(s string) int {
	for i := 2; i < len(s)-2; i++ {
		if s[i] == '-' && letter(s[i-1]) && letter(s[i-2]) && letter(s[i+1]) {
			return i + 1
		}
	}
	return 0
}

func letter(b byte) bool { return b|0x20 >= 'a' && b|0x20 <= 'z' || b >= utf8.RuneSelf }

// fit shapes a word, cut into parts that each fit the measure where it is too long.
func (s *shaper) fit(text string, st style, measure float64) [][]piece {
	if utf8.RuneCountInString(text) > 2000 {
		// A hostile word: cut it before shaping, by the widest it could be.
		var out [][]piece
		n := max(1, int(measure/st.size))
		for len(text) > 0 {
			k := 0
			for range n {
				_, w := utf8.DecodeRuneInString(text[k:])
				k += w
			}
			out = append(out, s.pieces(text[:k], st))
			text = text[k:]
		}
		return out
	}
	ps := s.pieces(text, st)
	w := 0.0
	for _, p := range ps {
		w += p.w
	}
	if w <= measure || utf8.RuneCountInString(text) < 2 {
		return [][]piece{ps}
	}
	// Halve until it fits, preferring to cut after a comma, bracket or space.
	cut := len(text) * 6 / 10
	if k := strings.LastIndexAny(text[:cut], ",;)]/\u00a0"); k > len(text)/5 {
		_, w := utf8.DecodeRuneInString(text[k:])
		cut = k + w
	}
	for cut < len(text) && !utf8.RuneStart(text[cut]) {
		cut++
	}
	if cut == 0 || cut >= len(text) {
		_, cut = utf8.DecodeRuneInString(text)
	}
	return append(s.fit(text[:cut], st, measure), s.fit(text[cut:], st, measure)...)
}

// breakLines breaks words so that the right edge is as even as it can be: the
// sum of the squared gaps is least, the last line free. Very long texts are
// broken line by line.
func breakLines(ws []word, measure, firstIndent float64) []line {
	n := len(ws)
	if n == 0 {
		return nil
	}
	if n > 1500 {
		return breakGreedy(ws, measure, firstIndent)
	}
	best := make([]float64, n+1)
	from := make([]int, n+1)
	for j := 1; j <= n; j++ {
		best[j] = math.Inf(1)
		w := 0.0
		for i := j - 1; i >= 0; i-- {
			w += ws[i].w
			if i < j-1 {
				w += ws[i+1].gap
			}
			room := measure
			if i == 0 {
				room -= firstIndent
			}
			slack := room - w
			if slack < -0.01 && i < j-1 {
				break
			}
			cost := 0.0
			if j < n {
				cost = slack * slack
			} else if i > 0 && w < measure/5 {
				cost = measure * measure / 16 // a last line of a word or two
			}
			if c := best[i] + cost; c < best[j] {
				best[j], from[j] = c, i
			}
		}
	}
	var cuts []int
	for j := n; j > 0; j = from[j] {
		cuts = append(cuts, j)
	}
	out := make([]line, 0, len(cuts))
	i := 0
	for k := len(cuts) - 1; k >= 0; k-- {
		out = append(out, makeLine(ws[i:cuts[k]]))
		i = cuts[k]
	}
	return out
}

func breakGreedy(ws []word, measure, firstIndent float64) []line {
	var out []line
	start, w, room := 0, 0.0, measure-firstIndent
	for i := range ws {
		add := ws[i].w
		if i > start {
			add += ws[i].gap
		}
		if i > start && w+add > room+0.01 {
			out = append(out, makeLine(ws[start:i]))
			start, w, room, add = i, 0, measure, ws[i].w
		}
		w += add
	}
	return append(out, makeLine(ws[start:]))
}

func makeLine(ws []word) line {
	l := line{words: ws}
	for i, w := range ws {
		l.w += w.w
		if i > 0 {
			l.w += w.gap
		}
	}
	return l
}

// text gives the words of a line as they read.
func (l line) text() string {
	var b strings.Builder
	for i, w := range l.words {
		if i > 0 && w.gap > 0 {
			b.WriteByte(' ')
		}
		for _, p := range w.pieces {
			for _, g := range p.glyphs {
				b.WriteString(g.text)
			}
		}
	}
	return b.String()
}
