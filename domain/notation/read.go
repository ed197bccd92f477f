package notation

import (
	"strings"
	"unicode/utf8"

	"rowproof/domain/finding"
)

// Bounds on a manuscript. What is beyond them is a finding, never a failure.
const (
	MaxBytes = 1 << 20
	MaxSizes = 40
	MaxLines = 20000
	MaxRows  = 20000 // rows given, heads for several counted as many
	maxToks  = 4000  // tokens in one statement
)

// Read reads a manuscript. It always returns a tree; what was not understood is
// kept word for word and found in Findings.
func Read(text string) *Manuscript {
	ms := &Manuscript{Own: map[string]*Stitch{}}
	if len(text) > MaxBytes {
		ms.Findings.Addf("too-long", finding.Span{Line: 1, Col: 1, EndLine: 1, EndCol: 2}, "the manuscript is over %d KiB; nothing beyond is read", MaxBytes>>10)
		text = text[:MaxBytes]
		for !utf8.ValidString(text[max(0, len(text)-4):]) && len(text) > 0 {
			text = text[:len(text)-1]
			if utf8.RuneStart(text[max(0, len(text)-1)]) {
				break
			}
		}
	}
	if !utf8.ValidString(text) {
		for n, l := range strings.Split(text, "\n") {
			if !utf8.ValidString(l) {
				ms.Findings.Addf("not-utf8", finding.Span{Line: n + 1, Col: 1, EndLine: n + 1, EndCol: 2}, "this line is not UTF-8 text; save the file as UTF-8")
				break
			}
		}
		text = strings.ToValidUTF8(text, "\ufffd")
	}
	ms.Source = Lines(text)
	if len(ms.Source) > MaxLines {
		ms.Findings.Addf("too-long", finding.Span{Line: MaxLines, Col: 1, EndLine: MaxLines, EndCol: 2}, "over %d lines; nothing beyond is read", MaxLines)
		ms.Source = ms.Source[:MaxLines]
	}
	r := &reader{ms: ms, yarns: map[string]string{}, sure: map[string]bool{}, forced: map[int]bool{}}
	r.lines = make([][]Token, len(ms.Source))
	for i, l := range ms.Source {
		r.lines[i] = numberedRow(dropPoints(r.unmark(scanLine(l, i+1), i)))
		if len(r.lines[i]) > maxToks {
			ms.Findings.Addf("line-too-long", finding.Span{Line: i + 1, Col: r.lines[i][maxToks].Col, EndLine: i + 1, EndCol: r.lines[i][maxToks].EndCol}, "more than %d words in one line; the rest is not read", maxToks)
			r.lines[i] = r.lines[i][:maxToks]
		}
	}
	if strings.TrimSpace(text) == "" {
		ms.Findings.Addf("empty", finding.Span{Line: 1, Col: 1, EndLine: 1, EndCol: 1}, "the manuscript is empty; paste or type a pattern")
	}
	r.findSizes()
	r.findYarns()
	r.vocab = Standard().extend()
	r.findDefinitions()
	r.items()
	return ms
}

// unmark takes off the marks of a plain-text page: rules of dashes or equals signs
// under a head, # before one, ** around one.
func (r *reader) unmark(toks []Token, line int) []Token {
	if len(toks) == 0 {
		return toks
	}
	rule := len(toks) > 2
	for _, t := range toks {
		if t.Text != toks[0].Text || !strings.Contains("-=_~–*", t.Text) && strings.Trim(t.Text, "*") != "" {
			rule = false
			break
		}
	}
	if rule || len(toks) == 1 && len(toks[0].Text) > 3 && strings.Trim(toks[0].Text, "*") == "" {
		return nil
	}
	if toks[0].Kind == Punct && strings.Trim(toks[0].Text, "#") == "" && len(toks) > 1 && !toks[1].Glued {
		r.forced[line] = true
		return toks[1:]
	}
	if n := len(toks); n > 2 && toks[0].Text == "=" && toks[n-1].Text == "=" { // == Body ==
		for len(toks) > 0 && toks[0].Text == "=" {
			toks = toks[1:]
		}
		for len(toks) > 0 && toks[len(toks)-1].Text == "=" {
			toks = toks[:len(toks)-1]
		}
		r.forced[line] = len(toks) > 0
		return toks
	}
	if toks[0].Text == "**" && len(toks) > 2 && toks[1].Glued { // **Thumb gusset**, **Row 1:** K5
		for k := 2; k < len(toks) && k < 14; k++ {
			if toks[k].Text == "," || toks[k].Text == ";" {
				break
			}
			if toks[k].Text == "**" && toks[k].Glued {
				if k == len(toks)-1 {
					r.forced[line] = true
				}
				out := append([]Token(nil), toks[1:k]...)
				return append(out, toks[k+1:]...)
			}
		}
	}
	if toks[0].Text == "|" && toks[len(toks)-1].Text == "|" && len(toks) > 4 { // | k2tog | knit 2 together |
		out := append([]Token(nil), toks[1:len(toks)-1]...)
		for k := range out {
			if out[k].Text == "|" {
				out[k].Text, out[k].fold = "=", "="
				break
			}
		}
		return out
	}
	return toks
}

// pointed are the words that older leaflets write with a point: "k.2 tog.", "sts.".
var pointed = map[string]bool{"k": true, "p": true, "sl": true, "st": true, "sts": true, "tog": true, "inc": true, "dec": true, "rep": true, "beg": true, "foll": true, "alt": true, "rem": true, "patt": true,
	"in": true, "ins": true, "cont": true, "rnd": true, "rnds": true, "no": true, "nos": true, "cm": true, "cms": true, "w": true, "fwd": true, "wl": true, "s": true, "o": true, "m": true, "g": true, "yd": true, "yds": true, "approx": true, "rev": true, "mult": true, "pat": true, "psso": true, "yo": true, "wfwd": true, "fl": true, "bl": true, "tbl": true, "n": true, "d": true, "ws": true, "rs": true, "meas": true, "oz": true, "ozs": true, "mm": true, "incl": true}

// counted are the words behind which a number begins something new: "… to last st. 70 sts".
var counted = map[string]bool{"st": true, "sts": true, "rem": true, "rnd": true, "rnds": true, "tog": true, "cm": true, "cms": true, "in": true, "ins": true, "patt": true, "psso": true, "yo": true, "rs": true, "ws": true, "tbl": true, "inc": true, "dec": true, "mm": true}

// dropPoints leaves out the points of abbreviations within a sentence: those
// behind a short word of the trade, with the sentence going on in small letters
// or numbers.
func dropPoints(toks []Token) []Token {
	out := toks[:0]
	for i, t := range toks {
		if t.Text == "." && t.Glued && i > 0 && i+1 < len(toks) && toks[i-1].Kind == Word && pointed[toks[i-1].Text] {
			next := toks[i+1]
			if next.Kind == Number && (next.Glued || !counted[toks[i-1].Text]) || next.Kind == Ordinal && isDigit([]rune(next.Raw)[0]) || next.Kind == Word && (lowerWord(next) || next.Glued) || next.Text == "," || next.Text == ";" || next.Text == ":" || next.Text == ")" || next.Text == "]" || next.Text == "*" && false {
				continue
			}
		}
		out = append(out, t)
	}
	return out
}

// numberedRow reads the "1. row" of the continent as "1st row".
func numberedRow(toks []Token) []Token {
	if len(toks) > 3 && toks[0].Kind == Number && toks[1].Text == "." && toks[1].Glued && toks[0].Frac == "" {
		if w := folded(toks[2].Text); (w == "row" || w == "rnd") && toks[3].Kind != Number {
			t := toks[0]
			t.Kind = Ordinal
			return append([]Token{t}, toks[2:]...)
		}
	}
	return toks
}

// reader turns lines into items.
type reader struct {
	ms    *Manuscript
	lines [][]Token
	sizes int
	vocab *Vocabulary
	yarns map[string]string
	// defined holds lines that are definitions, by index.
	defined  map[int][]*Define
	section  HeadingKind // what the present section holds
	begun    bool        // instructions have begun
	titled   bool
	pieces   []string
	nameToks [][]Token    // of the sizes
	forced   map[int]bool // lines that are marked as heads
	rowCount int
	tooMany  bool
	sure     map[string]bool // ambiguous letters that the designer defines as the trade mostly does
	rows     bool            // a row was read in this section
}

func (r *reader) parser(toks []Token) *parser {
	return &parser{toks: toks, sizes: r.sizes, vocab: r.vocab, yarns: r.yarns, out: &r.ms.Findings, pieces: r.pieces, sure: r.sure, sizeNames: r.ms.Sizes, nameToks: r.nameToks}
}

// isField splits "Label: text" where the label is a few words.
func (r *reader) label(i int) (label, text string, at int, ok bool) {
	toks := r.lines[i]
	for k := 0; k < len(toks) && k < 7; k++ {
		if toks[k].Text == ":" || toks[k].Text == "–" && k > 0 && !toks[k].Glued {
			if k == 0 {
				return "", "", 0, false
			}
			src := []rune(r.ms.Source[i])
			return strings.Trim(string(src[toks[0].Col-1:toks[k].Col-1]), " \t*"), strings.Trim(string(src[toks[k].EndCol-1:]), " \t*"), k + 1, true
		}
		if toks[k].Kind == Punct && toks[k].Text != "(" && toks[k].Text != ")" && toks[k].Text != "'" && toks[k].Text != "/" && toks[k].Text != "&" && toks[k].Text != "-" {
			return "", "", 0, false
		}
	}
	return "", "", 0, false
}

// findSizes learns the sizes from the Sizes line, else from the longest-lived
// length of the vectors.
func (r *reader) findSizes() {
	ms := r.ms
	named := false
	for i := range r.lines {
		toks := r.lines[i]
		if len(toks) == 0 {
			continue
		}
		j := 0
		w := toks[0].Text
		if w == "to" && len(toks) > 3 && toks[1].Text == "fit" && toks[2].Text == ":" && toks[3].Kind == Word {
			if names, ok := r.sizeNames(i, 3); ok && len(names) > 1 && ms.Sizes == nil {
				ms.Sizes, named = names, true
			}
			continue
		}
		if w == "to" && len(toks) > 1 && toks[1].Text == "fit" || w == "finished" {
			continue
		}
		if w == "available" || w == "in" || w == "one" && len(toks) > 1 && toks[1].Text == "size" {
			j++
		}
		if j >= len(toks) || toks[j].Text != "sizes" && toks[j].Text != "size" {
			continue
		}
		j++
		if j >= len(toks) && j == 1 && i+1 < len(r.lines) && ms.Sizes == nil { // a head, the names below it
			k := i + 1
			for k < len(r.lines)-1 && len(r.lines[k]) == 0 && k < i+3 {
				k++
			}
			if below := r.lines[k]; len(below) > 2 && len(below) < 60 {
				if names, ok := r.sizeNames(k, 0); ok && len(names) > 1 && len(names) <= MaxSizes && strings.ContainsAny(ms.Source[k], "([,/") {
					ms.Sizes, named = names, true
					break
				}
			}
		}
		for j < len(toks) && (toks[j].Text == ":" || isDash(toks[j].Text) || toks[j].Text == "are" || toks[j].Text == "available" || toks[j].Text == "=" || toks[j].Text == ".") {
			j++
		}
		names, ok := r.sizeNames(i, j)
		if !ok || len(names) < 2 && j >= len(toks) {
			continue
		}
		if isOnly(toks) {
			continue
		}
		if len(names) > MaxSizes {
			ms.Findings.Addf("too-many-sizes", toks[0].Span, "%d sizes; at most %d are worked", len(names), MaxSizes)
			names = names[:MaxSizes]
		}
		ms.Sizes, named = names, true
		break
	}
	votes, weak := map[int]int{}, 0
	p := r.parser(nil)
	p.sizes = 2 // so that brackets count
	for i := range r.lines {
		p.toks = r.lines[i]
		for k := range p.toks {
			if p.toks[k].Kind == Number || isDash(p.toks[k].Text) {
				if inner, end, ok := p.bracketNums(k + 1); ok && len(inner) >= 1 {
					n := len(inner) + 1
					for openers[p.w(end)] != "" { // nested: XS (S, M) [L, XL]
						more, e, ok := p.bracketNums(end)
						if !ok || len(more) < 2 {
							break
						}
						n += len(more)
						end = e
					}
					if len(inner) == 1 && p.w(end) == "times" && n == 2 {
						continue
					}
					if len(inner) == 1 && n == 2 && end >= len(p.toks) && inner[0] > 2*p.toks[k].Val {
						continue // "[k4, k2tog] x 8 (40)": a count, no size
					}
					if len(inner) == 1 && p.at(end).Kind == Number && openers[p.w(end+1)] != "" { // Danish
						n = 0
						for q := k; p.at(q).Kind == Number && q < len(p.toks); {
							n++
							q++
							if in2, e, ok := p.bracketNums(q); ok && len(in2) == 1 {
								n++
								q = e
							} else {
								break
							}
						}
					}
					if n == 2 && len(inner) == 1 && end >= len(p.toks) {
						weak++
					}
					if n <= MaxSizes {
						votes[n]++
						if k > 1 && (p.w(k-1) == "on" || p.w(k-1) == "co") {
							votes[n] += 3
						}
					} else {
						ms.Findings.Addf("too-many-sizes", p.toks[k].Span, "%d numbers for as many sizes; at most %d sizes are worked", n, MaxSizes)
					}
				}
			}
		}
	}
	if !named {
		if votes[2] == weak {
			delete(votes, 2) // brackets at line ends only: counts
		}
		best := 1
		for n, v := range votes {
			if v > votes[best] || v == votes[best] && n > best {
				best = n
			}
		}
		if best == 1 {
			best = r.slashSizes()
		}
		if best == 1 {
			ms.Sizes = []string{""}
		} else {
			for i := 1; i <= best; i++ {
				ms.Sizes = append(ms.Sizes, itoa(i))
			}
		}
	}
	if len(ms.Sizes) == 1 {
		ms.Sizes[0] = "" // one size needs no name
	}
	r.sizes = len(ms.Sizes)
	for _, n := range ms.Sizes {
		r.nameToks = append(r.nameToks, scanLine(n, 1))
	}
}

func isOnly(toks []Token) bool {
	for _, t := range toks {
		if t.Text == "only" {
			return true
		}
	}
	return false
}

// slashSizes counts sizes in "CO 83/95/107 sts".
func (r *reader) slashSizes() int {
	best, votes := 1, map[int]int{}
	for _, toks := range r.lines {
		for k := 0; k+2 < len(toks); k++ {
			if toks[k].Kind != Number || toks[k+1].Text != "/" && toks[k+1].Text != ":" || toks[k+2].Kind != Number {
				continue
			}
			sep, n, j := toks[k+1].Text, 1, k
			for j+2 < len(toks) && toks[j+1].Text == sep && toks[j+2].Kind == Number {
				n++
				j += 2
			}
			if j+1 < len(toks) && folded(toks[j+1].Text) == "st" && n >= 2 && n <= MaxSizes {
				votes[n]++
			}
			k = j
		}
	}
	for n, v := range votes {
		if v > votes[best] {
			best = n
		}
	}
	return best
}

// sizeNames reads names as the trade lists them: S (M, L), 2-3 (4-5), 32 [34: 36], Small (Medium).
func (r *reader) sizeNames(line, j int) ([]string, bool) {
	toks := r.lines[line]
	src := []rune(r.ms.Source[line])
	var names []string
	start := -1
	end := -1
	flush := func() {
		if start >= 0 {
			n := strings.TrimSpace(string(src[toks[start].Col-1 : toks[end].EndCol-1]))
			if n != "" {
				names = append(names, n)
			}
		}
		start = -1
	}
	bracketed, listed, depth := false, false, 0
	for ; j < len(toks); j++ {
		t := toks[j]
		switch {
		case t.Text == "." && j == len(toks)-1:
		case t.Text == "," || t.Text == ":" || t.Text == ";" || t.Text == "(" || t.Text == ")" || t.Text == "[" || t.Text == "]" || t.Text == "{" || t.Text == "}" || t.Text == "/" || t.Text == "|" || t.Text == "and" || t.Text == "&":
			if t.Text == "(" && (j+1 < len(toks)) && names == nil && start < 0 {
				continue
			}
			if t.Text == "," && bracketed && len(names) > 1 && strings.Count(string(src), ")") > 0 && !strings.Contains(string(src[t.Col-1:]), ")") && start < 0 {
				flush()
				return names, len(names) > 0 // ", to fit …" after the list
			}
			switch t.Text {
			case "(", "[", "{":
				depth++
				bracketed = bracketed || t.Text == "("
			case ")", "]", "}":
				depth--
			case ",", ":", ";":
				listed = listed || depth > 0
			}
			flush()
		case t.Text == ".":
			flush()
			return names, len(names) > 0
		default:
			if start < 0 {
				start = j
			}
			end = j
		}
	}
	flush()
	// words behind a list in one bracket name no size: "4 (6, 8) yrs"
	if listed && len(names) > 2 {
		if last := toks[len(toks)-1]; last.Text != ")" && last.Text != "]" && last.Text != "}" {
			if last.Text != "." || len(toks) > 1 && toks[len(toks)-2].Text != ")" && toks[len(toks)-2].Text != "]" {
				names = names[:len(names)-1]
				return names, true
			}
		}
	}
	// units or words behind the list: "32 (34, 36) in", "S (M, L) to fit …"
	if bracketed && len(names) > 2 {
		last := toks[len(toks)-1]
		if last.Text != ")" && last.Text != "]" && last.Text != "}" && last.Text != "." {
			// keep unless Danish: S (M) L (XL) ends with a bracket; a trailing unit does not name a size
			if k := strings.ToLower(names[len(names)-1]); strings.HasPrefix(k, "in") || strings.HasPrefix(k, "cm") || strings.HasPrefix(k, "to ") || strings.HasPrefix(k, "year") || strings.HasPrefix(k, "month") || k == "\"" || strings.HasPrefix(k, "chest") || strings.HasPrefix(k, "bust") {
				names = names[:len(names)-1]
			}
		}
	}
	if n := len(names); n > 1 { // "2 (4) 6 years": the unit is no part of the name
		if f := strings.Fields(names[n-1]); len(f) == 2 && isDigit([]rune(f[0])[0]) && !strings.Contains(names[0], " ") {
			switch strings.ToLower(strings.Trim(f[1], ".")) {
			case "years", "year", "yrs", "yr", "months", "mos", "cm", "in", "inches", "ins", "old":
				names[n-1] = f[0]
			}
		}
	}
	if len(names) > 1 && strings.HasPrefix(strings.ToLower(names[0]), "one size") {
		return []string{""}, true
	}
	if len(names) == 1 {
		n := strings.ToLower(names[0])
		if n == "one size" || strings.Contains(n, "one size") || n == "one" {
			return []string{""}, true
		}
		return nil, false
	}
	return names, len(names) > 0 && len(names) <= 4*MaxSizes || len(names) > 4*MaxSizes
}

// findYarns learns the letters and names of the yarns.
func (r *reader) findYarns() {
	for i := range r.lines {
		label, text, _, ok := r.label(i)
		toks := r.lines[i]
		if ok {
			l := strings.ToLower(label)
			if strings.HasPrefix(l, "yarn") || strings.HasPrefix(l, "colour") || strings.HasPrefix(l, "color") || strings.HasPrefix(l, "wool") || strings.HasPrefix(l, "shade") || strings.HasPrefix(l, "materials") {
				for _, t := range scanLine(text, i+1) {
					r.yarnToken(t)
				}
				for _, t := range toks[:min(len(toks), 4)] {
					r.yarnToken(t)
				}
			}
		}
		for k := 0; k+1 < len(toks); k++ {
			w := toks[k].Text
			if w == "with" || w == "colour" || w == "color" || w == "yarn" || w == "using" || w == "col" || w == "in" || w == "join" || w == "and" && k > 1 {
				if w == "in" || w == "and" {
					if t := toks[k+1]; len(t.Raw) > 1 || k+2 < len(toks) && toks[k+2].Kind == Word && toks[k+2].Text != "and" {
						continue
					}
				}
				r.yarnToken(toks[k+1])
			}
		}
	}
}

func (r *reader) yarnToken(t Token) {
	if t.Kind != Word || t.Raw != strings.ToUpper(t.Raw) {
		return
	}
	if len(t.Raw) == 1 && t.Raw[0] >= 'A' && t.Raw[0] <= 'H' || t.Raw == "MC" || t.Raw == "CC" || t.Raw == "MS" || t.Raw == "CS" || t.Raw == "X" || t.Raw == "Y" || t.Raw == "Z" {
		if r.yarns[t.Text] == "" {
			r.yarns[t.Text] = t.Raw
			r.ms.Yarns = append(r.ms.Yarns, t.Raw)
		}
	}
}
