package notation

import (
	"strconv"
	"strings"

	"rowproof/domain/finding"
)

// MaxNesting bounds brackets within brackets in one row.
const MaxNesting = 32

// parser reads one statement (a row, a sentence) from its tokens.
type parser struct {
	toks      []Token
	sizes     int
	vocab     *Vocabulary
	yarns     map[string]string // lower case -> as declared
	out       *finding.List
	depth     int
	quiet     bool     // trial reading: raise nothing
	pairs     []int    // closing brackets by opening ones; see closerOf
	pieces    []string // headings so far
	sizeNames []string
	some      *int  // a line with a number for some sizes only; see Manuscript
	swatch    bool  // a swatch is all that is cast on
	named     []int // sizes that labels have named since all sizes worked the same: the others are the rest
	only      []int // sizes that work what is read, where a label said so; nil = all
	nameToks  [][]Token
	hyphen    bool   // hyphens part the names of the sizes
	dashes    bool   // hyphens part numbers within brackets
	colours   bool   // the letter glued to a count is a colour
	triples   string // what the numbers of 8-1-5 are; see reader
	bothSides bool
	instep    bool // rounds are told by where the instep begins, without markers
	sure      map[string]bool
	over      Num             // stitches that a sentence said are worked over
	verb      string          // of the shaping sentence before
	shaped    *Shape          // the last shaping that was read whole
	addends   int             // numbers added up by the last sentence that picks up
	unsure    bool            // not all numbers of that sentence were
	listed    finding.Span    // the number of a list, "6.", before a row's head
	rowHeads  map[string]bool // heads of words that rows were given under; see namesRow
	trial     int             // trial readings within trial readings
}

func (p *parser) at(i int) Token {
	if i >= 0 && i < len(p.toks) {
		return p.toks[i]
	}
	return Token{Kind: Punct}
}

// w returns the folded word or sign at i, "" past the end.
func (p *parser) w(i int) string {
	if i < 0 || i >= len(p.toks) {
		return ""
	}
	return p.toks[i].fold
}

// words reports whether the folded words stand at i, skipping "the"; it returns
// the place after them. Alternatives within a word are parted by "|". The
// phrases are literals; see said for others.
func (p *parser) words(i int, patterns ...string) (int, bool) {
	got := p.w(i)
	if got == "" {
		return i, false
	}
	if got == "the" {
		return p.said(i, patterns...)
	}
	set := phrasesOf(patterns)
	if set.firsts&bitOf(got) == 0 {
		return i, false
	}
	for _, k := range set.byFirst[got] {
		if n, ok := p.phrase(i, patterns[k]); ok {
			return n, true
		}
	}
	return i, false
}

// said is words for phrases put together while reading, such as one with the mark of a repeat.
func (p *parser) said(i int, patterns ...string) (int, bool) {
	for _, alt := range patterns {
		if n, ok := p.phrase(i, alt); ok {
			return n, true
		}
	}
	return i, false
}

func (p *parser) phrase(i int, pattern string) (int, bool) {
	at := 0
	for at < len(pattern) {
		if p.w(i) == "the" && !strings.HasPrefix(pattern[at:], "the") {
			i++
		}
		got := p.w(i)
		hit, optional, end := matchWord(pattern, at, got)
		at = end
		if hit {
			i++
			// "tog." "st." "rep." are abbreviations with their point
			if at < len(pattern) && len(got) <= 4 && p.w(i) == "." && p.at(i).Glued && !beginsSentence(p.at(i+1)) {
				i++
			}
		} else if !optional {
			return i, false
		}
	}
	return i, true
}

// beginsSentence says that a word has a capital and small letters, as the first of a sentence has.
func beginsSentence(t Token) bool {
	return t.Kind == Word && len(t.Raw) > 1 && t.Raw[0] >= 'A' && t.Raw[0] <= 'Z' && strings.ToUpper(t.Raw) != t.Raw
}

// matchWord compares got with the alternatives of the pattern's word at from,
// "next|last?"; a mark at the word's end makes it optional. end is where the
// pattern's next word begins.
func matchWord(pattern string, from int, got string) (hit, optional bool, end int) {
	k := 0 // how much of got the present alternative has matched; -1 = none of it
	i := from
	for ; i < len(pattern); i++ {
		switch c := pattern[i]; c {
		case ' ':
			if k == len(got) && k > 0 {
				hit = true
			}
			return hit, optional, i + 1
		case '?':
			optional = true
		case '|':
			if k == len(got) && k > 0 {
				hit = true
			}
			k = 0
		default:
			if k >= 0 && k < len(got) && got[k] == c {
				k++
			} else {
				k = -1
			}
		}
	}
	return hit || k == len(got) && k > 0, optional, i
}

func (p *parser) addf(code finding.Code, at finding.Span, format string, args ...any) {
	if !p.quiet {
		p.out.Addf(code, at, format, args...)
	}
}

func (p *parser) span(i, j int) finding.Span {
	if i >= len(p.toks) {
		i = len(p.toks) - 1
	}
	if i < 0 {
		return finding.Span{}
	}
	s := p.toks[i].Span
	if j > i {
		s = s.Cover(p.toks[min(j, len(p.toks))-1].Span)
	}
	return s
}

// raw gives the words of tokens i..j as written, single-spaced.
func (p *parser) raw(i, j int) string {
	var b strings.Builder
	for k := i; k < j && k < len(p.toks); k++ {
		if k > i && !p.toks[k].Glued {
			b.WriteByte(' ')
		}
		b.WriteString(p.toks[k].Raw)
	}
	return b.String()
}

// asWritten is raw with the points of abbreviations that reading drops: "Second dec. row".
func (p *parser) asWritten(i, j int) string {
	var b strings.Builder
	for k := i; k < j && k < len(p.toks); k++ {
		t := p.toks[k]
		if k > i && !t.Glued {
			b.WriteByte(' ')
		}
		b.WriteString(t.Raw)
		if t.pointed && len(t.Raw) > 2 && k+1 < j {
			b.WriteByte('.')
		}
	}
	return b.String()
}

func isDash(s string) bool { return s == "-" || s == "–" }

var openers = map[string]string{"(": ")", "[": "]", "{": "}"}

var cableWord = map[string]bool{"rc": true, "lc": true, "rpc": true, "lpc": true, "rt": true, "lt": true, "cross": true, "rpt": true, "lpt": true, "right": true, "left": true, "cable": true}

// matchState is one way to read a stitch name.
type matchState struct {
	s      *Stitch
	form   string
	end    int
	params []int
	times  Num
}

// stitch reads the longest stitch name at i.
func (p *parser) stitch(i int) (*Do, int, bool) {
	if p.colours && coloured(p.toks, i) {
		q := *p
		q.toks = p.toks[:i+2] // the letter is no part of the stitch
		return q.stitch(i)
	}
	best := matchState{end: i}
	for v := p.vocab; v != nil; v = v.base {
		p.match(&v.root, i, i, nil, Num{}, &best)
		if best.s != nil && v.base != nil {
			break // the designer's own word wins
		}
	}
	if best.s == nil {
		return nil, i, false
	}
	d := &Do{Key: best.s.Key, Params: best.params, Times: best.times, Span: p.span(i, best.end)}
	if d.Key == "psso" && p.slippedMore(i, best.end) {
		d.Key = "p2sso"
	}
	if d.Key == "psso" || d.Key == "p2sso" { // "psso the 2 knit sts", "psso the k2": what it passes over
		k, ok := p.words(i, "psso 2|3|two|three k|knit|purl st")
		if !ok && p.w(i+1) == "the" {
			k, ok = p.words(i, "psso k|p|knit|purl 2|3|two|three")
		}
		if ok {
			d.Key, d.Times, best.end, best.times = "psso", Num{}, k, Num{}
			d.Span = p.span(i, k)
		}
	}
	if len(best.params) == 1 && best.params[0] == 1 && strings.HasSuffix(best.form, "@~b") && !p.sure["k1b"] {
		d.Unsure = "k1b"
	}
	// a vector with too few or too many numbers was passed over in the search
	if n := len(best.times.Vals); n > 1 && n != p.sizes {
		p.addf("size-count", best.times.Span, "%d numbers for %d sizes", n, p.sizes)
	}
	return d, best.end, true
}

// ownName is where a stitch of the designer's own that stands at i ends, i where none does: "SM6" is
// her smocking and no marker.
func (p *parser) ownName(i int) int {
	best := matchState{end: i}
	for v := p.vocab; v != nil && v.base != nil && best.s == nil; v = v.base {
		p.match(&v.root, i, i, nil, Num{}, &best)
	}
	return best.end
}

// slippedMore says that "pass the slipped sts over" speaks of more than one.
func (p *parser) slippedMore(i, end int) bool {
	for k := i + 1; k < end; k++ {
		if t := p.at(k).Text; t == "sts" || t == "stitches" {
			w := p.at(k - 1).Text
			return w == "slipped" || w == "sl" || w == "slip"
		}
	}
	return false
}

func (p *parser) match(n *trie, start, i int, params []int, times Num, best *matchState) {
	if n.key != nil && i > best.end && p.matchEnds(start, i) {
		*best = matchState{n.key, n.form, i, params, times}
	}
	if n.next == nil || i >= len(p.toks) {
		return
	}
	t := p.toks[i]
	text := t.fold
	switch t.Kind {
	case Number, Ordinal:
		text = strconv.Itoa(t.Val)
		if t.Kind == Ordinal {
			text = t.Text
			if t.Val <= 2 {
				text = map[int]string{1: "1st", 2: "2nd"}[t.Val]
			}
		}
		if m := n.next[text]; m != nil && t.Frac == "" {
			p.match(m, start, i+1, params, times, best)
		}
		if t.Glued && i > start {
			if m := n.next["~"+text]; m != nil && t.Frac == "" {
				p.match(m, start, i+1, params, times, best)
			}
		}
		for _, e := range [...]string{"@", "@2", "@3", "~@", "~@2", "~@3"} {
			if m := n.next[e]; m != nil && t.Frac == "" && t.Val > 0 && t.Val < 1000 && t.Kind == Number && (e[0] != '~' || t.Glued) {
				p.match(m, start, i+1, append(params[:len(params):len(params)], t.Val), times, best)
			}
		}
	default:
		if text == "@" || text == "#" || text == "~" { // they stand for numbers in forms
			break
		}
		if m := n.next[text]; m != nil {
			p.match(m, start, i+1, params, times, best)
		}
		if t.Glued && i > start {
			if m := n.next["~"+text]; m != nil {
				p.match(m, start, i+1, params, times, best)
			}
		}
		if i > start && (text == "the" || text == "a") {
			p.match(n, start, i+1, params, times, best)
		}
		// points of old abbreviations, and hyphens inside a word
		if i > start && t.Glued {
			prev := p.toks[i-1]
			if text == "." && prev.Kind == Word && len(prev.Text) <= 4 && !p.countEnds(i+1) || text == "-" && p.at(i+1).Glued {
				p.match(n, start, i+1, params, times, best)
			}
		}
	}
	for _, e := range [...]string{"#", "~#"} {
		m := n.next[e]
		if m == nil || times.Given() || e == "~#" && !t.Glued {
			continue
		}
		if t.Kind == Ordinal && t.Glued && i > start && t.Val == 1 { // k1st
			p.match(m, start, i+1, params, N(1), best)
			continue
		}
		quiet := p.quiet
		p.quiet = true
		num, j, ok := p.num(i)
		p.quiet = quiet
		if !ok {
			continue
		}
		if w := p.w(j); (w == "times" || w == "x" || w == "more") && !t.Glued || w == "row" || w == "rnd" || w == "cm" || w == "in" && p.w(j+1) == "." || w == "inches" {
			continue
		}
		p.match(m, start, j, params, num, best)
	}
}

// countEnds says that a count of stitches stands from i to the end of its sentence, as
// in "K8, kfb. 10 sts.": it is no number of the stitch before.
func (p *parser) countEnds(i int) bool {
	if p.at(i).Kind != Number || p.at(i).Val < 2 || p.at(i).Glued {
		return false
	}
	quiet := p.quiet
	p.quiet = true
	_, j, ok := p.num(i)
	p.quiet = quiet
	return ok && p.w(j) == "st" && (j+1 >= len(p.toks) || p.w(j+1) == "." || p.w(j+1) == ")")
}

// matchEnds refuses an end within a word: "sl1p" is not read off "sl1p1".
func (p *parser) matchEnds(start, i int) bool {
	last, next := p.at(i-1), p.at(i)
	if i-1 > start && last.Kind == Punct && (last.Text == "." || last.Text == "-") || last.Text == "the" || last.Text == "a" && i-1 > start {
		return false // what was only skipped on the way
	}
	if last.Kind == Word && next.Kind == Number && next.Glued && i < len(p.toks) {
		return false
	}
	if last.Kind == Number && i-1 > start && next.Kind == Word && next.Glued && next.Text == "nd" {
		return false
	}
	return true
}
