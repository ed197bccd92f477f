package notation

import (
	"regexp"
	"slices"
	"strings"
	"unicode"
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
	r := &reader{ms: ms, yarns: map[string]string{}, sure: map[string]bool{}, forced: map[int]bool{}, rowHeads: map[string]bool{}}
	r.lines = make([][]Token, len(ms.Source))
	bullets := starsAreBullets(ms.Source)
	own := ownInitials(ms.Source)
	for i, l := range ms.Source {
		toks := scanLine(l, i+1)
		if bullets {
			plainBullet(toks)
		}
		r.lines[i] = numberedRow(lettered(spelledOut(dropPlural(plainTog(timesInRows(dropPoints(joinInitials(untick(unemphasized(r.unmark(toks, i))), own))))))))
		if len(r.lines[i]) > maxToks {
			ms.Findings.Addf("line-too-long", finding.Span{Line: i + 1, Col: r.lines[i][maxToks].Col, EndLine: i + 1, EndCol: r.lines[i][maxToks].EndCol}, "more than %d words in one line; the rest is not read", maxToks)
			r.lines[i] = r.lines[i][:maxToks]
		}
	}
	if strings.TrimSpace(text) == "" {
		ms.Findings.Addf("empty", finding.Span{Line: 1, Col: 1, EndLine: 1, EndCol: 1}, "the manuscript is empty; paste or type a pattern")
	}
	r.vocab = Standard().extend()
	r.findDictation()
	r.findSizes()
	r.levelNamed()
	r.findYarns()
	r.findArrows()
	r.findTriples()
	r.instep = slices.ContainsFunc(r.ms.Source, reInstep.MatchString)
	r.layTerms()
	r.findDefinitions()
	r.items()
	ms.Items = joinExclaimed(ms.Items)
	scopes(ms.Items)
	numberRepeats(ms.Items)
	r.findUnexplained()
	r.findBreakdowns()
	return ms
}

// starLabel is a line with an asterisk and a gap before a label: "* Rnd 1: With B, …", "* Yarn: wool".
var starLabel = regexp.MustCompile(`^\s*\* \s*(?:\pL[\pL-]*|[\d–-]+)(?: [\pL\d()–,-]+){0,4}:`)

// starsAreBullets says that asterisks make a list of the lines, as a plain-text page has them: three at
// least stand before labels.
func starsAreBullets(source []string) bool {
	n := 0
	for _, l := range source {
		if l = strings.Map(plainStar, l); strings.HasPrefix(strings.TrimLeft(l, " \t"), "* ") && starLabel.MatchString(l) {
			if n++; n > 2 {
				return true
			}
		}
	}
	return false
}

// plainStar is the asterisk for its dressed forms.
func plainStar(r rune) rune {
	if strings.ContainsRune("✻✱✲✳✽❋∗＊", r) {
		return '*'
	}
	return r
}

// plainBullet makes a bullet of the asterisk that makes a line one of a list.
func plainBullet(toks []Token) {
	if len(toks) > 1 && toks[0].Text == "*" && !toks[1].Glued {
		toks[0].Text, toks[0].fold = "•", "•"
	}
}

// unmark takes off the marks of a plain-text page: rules of dashes or equals signs
// under a head, # before one, ** around one.
func (r *reader) unmark(toks []Token, line int) []Token {
	if len(toks) == 0 {
		return toks
	}
	if rest := stripBullet(toks); len(rest) < len(toks) && rest[0].Text == "**" { // - **Yarn:** DK
		bullet := len(toks) - len(rest)
		bare := r.unmark(rest, line)
		r.forced[line] = false
		return append(append([]Token(nil), toks[:bullet]...), bare...)
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
	if n := len(toks); n > 4 && n < 16 && dashRun(toks[:2]) && dashRun(toks[n-2:]) { // -- BACK --
		for len(toks) > 0 && isDash(toks[0].Text) {
			toks = toks[1:]
		}
		for len(toks) > 0 && isDash(toks[len(toks)-1].Text) {
			toks = toks[:len(toks)-1]
		}
		r.forced[line] = len(toks) > 0
		return toks
	}
	if toks[0].Text == "*" && len(toks) > 4 && toks[1].Glued && (toks[1].fold == "row" || toks[1].fold == "rnd") { // *Row 1 (RS)*: K5
		for k := 2; k < len(toks)-1 && k < 10; k++ {
			if toks[k].Text == "*" && toks[k+1].Text == ":" {
				return append(append([]Token(nil), toks[1:k]...), toks[k+1:]...)
			}
		}
	}
	if n := len(toks); toks[0].Text == "*" && n > 3 && n < 9 && toks[1].Glued && toks[n-1].Text == "*" && toks[n-1].Glued && nameOnly(toks[1:n-1]) { // *Left side of neck*
		r.forced[line] = true
		return toks[1 : n-1]
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
				out[0].Glued = toks[0].Glued
				return append(out, toks[k+1:]...)
			}
		}
	}
	if row := tableRow(toks); row != nil { // | 1 (RS) | k2, p2 |
		if r.tallied {
			row = tally(row)
		}
		return row
	}
	r.tallied = talliedHead(toks)
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

// nameOnly says that words are a name: capital first, and neither number nor sign among them.
func nameOnly(toks []Token) bool {
	for _, t := range toks {
		if t.Kind != Word && t.Kind != Ordinal {
			return false
		}
	}
	return toks[0].Raw[:1] != strings.ToLower(toks[0].Raw[:1]) && !hasWordIn(toks[0], "knit", "purl", "k", "p", "work", "rep", "repeat")
}

// dashRun says that two dashes stand together.
func dashRun(toks []Token) bool {
	return isDash(toks[0].Text) && isDash(toks[1].Text) && toks[1].Glued
}

// tableRow reads a row of instructions in a table, "| 1 (RS) | K2, p2 |", as
// "Row 1 (RS): K2, p2", and takes away the rule below a table's head; nil for
// other lines.
func tableRow(toks []Token) []Token {
	n := len(toks)
	if n < 3 || toks[0].Text != "|" || toks[n-1].Text != "|" {
		return nil
	}
	rule := true
	for _, t := range toks {
		rule = rule && strings.Trim(t.Text, "|-–:") == ""
	}
	if rule {
		return []Token{}
	}
	second := 1
	for second < n && toks[second].Text != "|" {
		second++
	}
	if second >= n-2 || second > 8 {
		return nil
	}
	first := toks[1]
	head := folded(first.Text)
	if first.Kind != Number && (head != "row" && head != "rnd" || toks[2].Kind != Number) {
		return nil
	}
	out := append([]Token(nil), toks[1:second]...)
	if first.Kind == Number {
		word := first
		word.Kind, word.Text, word.fold, word.Raw = Word, "row", "row", "row"
		word.EndCol = word.Col
		out[0].Glued = false
		out = append([]Token{word}, out...)
	}
	colon := toks[second]
	colon.Text, colon.fold = ":", ":"
	out = append(out, colon)
	rest := toks[second+1 : n-1]
	if len(rest) > 2 && rest[1].Text == "|" && rest[0].Kind == Word && len(rest[0].Raw) < 3 && rest[0].Raw == strings.ToUpper(rest[0].Raw) && rest[0].Text != "k" && rest[0].Text != "p" { // | 3 | B | k1, … |
		with := rest[0]
		with.Text, with.fold, with.Raw, with.EndCol = "with", "with", "with", with.Col
		comma := rest[1]
		comma.Text, comma.fold = ",", ","
		out = append(out, with, rest[0], comma)
		rest = rest[2:]
	}
	for _, t := range rest {
		if t.Text == "|" {
			t.Text, t.fold = ".", "."
		}
		out = append(out, t)
	}
	return out
}

// pointed are the words that older leaflets write with a point: "k.2 tog.", "sts.".
var pointed = map[string]bool{"k": true, "p": true, "sl": true, "st": true, "sts": true, "tog": true, "inc": true, "dec": true, "rep": true, "beg": true, "foll": true, "alt": true, "rem": true, "patt": true,
	"in": true, "ins": true, "cont": true, "rnd": true, "rnds": true, "no": true, "nos": true, "cm": true, "cms": true, "w": true, "fwd": true, "wl": true, "l": true, "s": true, "o": true, "m": true, "g": true, "yd": true, "yds": true, "approx": true, "rev": true, "mult": true, "pat": true, "psso": true, "yo": true, "wfwd": true, "fl": true, "bl": true, "tbl": true, "n": true, "d": true, "ws": true, "rs": true, "meas": true, "oz": true, "ozs": true, "mm": true, "incl": true}

// counted are the words behind which a number begins something new: "… to last st. 70 sts".
var counted = map[string]bool{"st": true, "sts": true, "rem": true, "rnd": true, "rnds": true, "tog": true, "cm": true, "cms": true, "in": true, "ins": true, "patt": true, "psso": true, "yo": true, "rs": true, "ws": true, "tbl": true, "inc": true, "dec": true, "mm": true}

// dropPoints leaves out the points of abbreviations within a sentence: those
// behind a short word of the trade, with the sentence going on in small letters
// or numbers.
func dropPoints(toks []Token) []Token {
	if !hasSign(toks, ".") {
		return toks
	}
	out := make([]Token, 0, len(toks)) // what stands before a point is asked of the line as it was
	for i, t := range toks {
		if t.Text == "." && t.Glued && i > 0 && i+1 < len(toks) && initialOf(toks, i) {
			continue
		}
		if t.Text == "." && t.Glued && i > 0 && i+1 < len(toks) && toks[i-1].Kind == Word && pointed[toks[i-1].Text] {
			next := toks[i+1]
			if hasWordIn(toks[i-1], "st", "sts") && hasWordIn(next, "ssk", "skpo", "skp", "ssp", "yo", "sk2p") {
				out = append(out, t) // "… to rem. 30 sts. ssk. Knit to end of row"
				continue
			}
			if next.Kind == Number && (next.Glued || !counted[toks[i-1].Text] && !countEnding(toks, i)) || next.Kind == Ordinal && (isDigit([]rune(next.Raw)[0]) || unicode.IsLower([]rune(next.Raw)[0])) || next.Kind == Word && (lowerWord(next) || next.Glued) || next.Text == "," || next.Text == ";" || next.Text == ":" || next.Text == ")" || next.Text == "]" || next.Text == "=" {
				if len(out) > 0 {
					out[len(out)-1].pointed = true
				}
				continue
			}
			if toks[i-1].Text == "rem" && next.Kind == Number && i > 1 { // "rejoin wool to rem. 24 sts"
				switch toks[i-2].Text {
				case "to", "the", "off", "leave", "leaving", "place", "put", "slip", "these", "those", "on":
					continue
				}
			}
			if t := toks[i-1].Text; (t == "inc" || t == "dec") && next.Kind == Number && i > 1 && tellsWhere(toks[i+2:]) { // ", inc. 4 (6, 6) sts. evenly across last row"
				switch toks[i-2].Text {
				case ",", "and", "then", "by", "time":
					continue
				}
			}
			if t := toks[i-1].Text; (t == "st" || t == "g") && next.Text == "-" && next.Glued && i+2 < len(toks) && toks[i+2].Text == "st" { // st.-st.
				continue
			}
		}
		out = append(out, t)
	}
	return out
}

// countEnding says that the point at i ends its sentence, and a count stands alone behind it: "… on every
// rep. 20 sts rem."
func countEnding(toks []Token, i int) bool {
	switch toks[i-1].Text {
	case "rep", "alt", "beg", "m", "foll":
	default:
		return false
	}
	k := i + 2
	if k < len(toks) && openers[toks[k].Text] != "" {
		for k < len(toks) && nesting(toks[k].Text) >= 0 && k < i+40 {
			k++
		}
		k++
	}
	if k >= len(toks) || toks[k].Text != "st" && toks[k].Text != "sts" && toks[k].Text != "stitches" {
		return false
	}
	if k++; k < len(toks) && (toks[k].Text == "rem" || toks[k].Text == "remain" || toks[k].Text == "left" || toks[k].Text == "remaining") {
		k++
	}
	return k >= len(toks) || toks[k].Text == "."
}

// initialOf says that the point at i stands behind the letter of a colour: "With B., cast on", "Join in C. and".
func initialOf(toks []Token, i int) bool {
	t, next := toks[i-1], toks[i+1]
	if len(t.Raw) != 1 || t.Raw[0] < 'A' || t.Raw[0] > 'Z' || t.Raw == "K" || t.Raw == "P" || i < 2 {
		return false
	}
	switch toks[i-2].Text {
	case "with", "in", "using", "from", "to", "of", "off", "and", "drop", "join", "break", "change", "or":
	default:
		return false
	}
	return next.Text == "," || next.Text == ";" || next.Text == ":" || next.Kind == Word && lowerWord(next)
}

// tellsWhere says that words behind a number tell where something is done, soon.
func tellsWhere(toks []Token) bool {
	for _, t := range toks[:min(len(toks), 14)] {
		switch t.Text {
		case "evenly", "each", "at", "every", "both", "across":
			return true
		}
	}
	return false
}

// rawOf gives words as written, single-spaced.
func rawOf(toks []Token) string {
	var b strings.Builder
	for k, t := range toks {
		if k > 0 && !t.Glued {
			b.WriteByte(' ')
		}
		b.WriteString(t.Raw)
	}
	return b.String()
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
	takenBack bool   // what a label says of sizes holds until "All sizes", below the line that is read
	named     []int  // see parser.named
	like      string // the piece that this one is begun like, "same number of sts as for …"
	likeFrom  int    // how many items there were then
	ms        *Manuscript
	lines     [][]Token
	sizes     int
	instep    bool // see parser
	vocab     *Vocabulary
	yarns     map[string]string
	// defined holds lines that are definitions, by index.
	defined   map[int][]*Define
	inPassing []*Define   // told in a sentence among others, which keeps its words
	section   HeadingKind // what the present section holds
	begun     bool        // instructions have begun
	titled    bool
	pieces    []string
	nameToks  [][]Token         // of the sizes
	noTerms   int               // lines before it were found to be no list of terms
	termsSeen int               // how many lines the last look took in
	pairs     map[[2]string]int // words with a number among stitches ("Wrap 6"), by the last line that has them
	forced    map[int]bool      // lines that are marked as heads
	tallied   bool              // the last column of the table being read holds stitch counts
	rowCount  int
	tooMany   bool
	sure      map[string]bool   // ambiguous letters that the designer defines as the trade mostly does
	rows      bool              // a row was read in this section
	triples   string            // what the numbers of 8-1-5 are, in order: r, s and t; "" where nothing says
	triplesAt Token             // where that is said
	bothSides bool              // they are of both sides
	jobs      int               // 1 where numbered lists are of jobs, -1 where of rows; 0 not looked at
	heel      Num               // the stitches that a heel of short rows is worked over, the others lying still
	dictated  bool              // the word “star” stands for the asterisk
	hyphen    bool              // hyphens part the names of the sizes
	dashes    bool              // hyphens part numbers within brackets
	colours   bool              // the letter glued to a count is a colour: K3A
	arrows    map[string]string // signs for the sides of rows, by what they are
	legend    map[int]bool      // lines that tell them
	ahead     *RepRows          // "Rep the following 2 rows 6 times": put behind them when they are given
	aheadRows int               // how many of them are still to come
	rowHeads  map[string]bool   // heads of words that rows were given under
	castOn    int               // the first line that casts on so many stitches; -1 where none does
	swatch    bool              // a swatch is all that is cast on
	steps     map[int]int       // where in the items the instructions of a numbered list begin, by their numbers
}

func (r *reader) parser(toks []Token) *parser {
	return &parser{toks: toks, sizes: r.sizes, vocab: r.vocab, yarns: r.yarns, out: &r.ms.Findings, pieces: r.pieces, sure: r.sure, sizeNames: r.ms.Sizes, only: r.onlyNow(), some: &r.ms.Some, swatch: r.swatch, nameToks: r.nameToks, hyphen: r.hyphen, dashes: r.dashes, colours: r.colours, triples: r.triples, bothSides: r.bothSides, instep: r.instep, rowHeads: r.rowHeads, named: r.named}
}

// labelGap is a label that a gap parts from its text.
var labelGap = regexp.MustCompile(`^\s*([A-Za-z]+(?: [A-Za-z]+)*)(?:\t| {2,})\s*(\S.*)$`)

// label splits "Label: text" where the label is a few words; at is the token
// behind its sign in the line.
func (r *reader) label(i int) (label, text string, at int, ok bool) {
	line := r.lines[i]
	toks := stripBullet(line)
	bullet := len(line) - len(toks)
	most := 7 // words of a label
	if len(toks) > 0 && (toks[0].Text == "join" || toks[0].Text == "joining") {
		most = 12 // "Join the pieces onto the long 5 mm needle: …"
	}
	if m := labelGap.FindStringSubmatchIndex(r.ms.Source[i]); m != nil && fieldLabels[strings.ToLower(r.ms.Source[i][m[2]:m[3]])] { // "Gauge  22 sts = 10 cm over rib"
		at := 0
		for at < len(toks) && toks[at].Col <= len([]rune(r.ms.Source[i][:m[4]])) {
			at++
		}
		return r.ms.Source[i][m[2]:m[3]], strings.TrimSpace(r.ms.Source[i][m[4]:]), bullet + at, true
	}
	for k := 0; k < len(toks) && k < most; k++ {
		if toks[k].Text == "–" && k > 0 && toks[k-1].Kind == Number && k+1 < len(toks) && toks[k+1].Kind == Number {
			continue // "Repeat Rounds 1 – 4"
		}
		if toks[k].Text == "." && k > 0 && k+2 < len(toks) && toks[k+1].Text == "–" && toks[k+1].Glued && (fieldLabels[strings.ToLower(strings.Trim(rawOf(toks[:k]), " "))] || pieceLine(toks[:k+1])) { // "MATERIALS.—3 ozs. of wool"
			src := []rune(r.ms.Source[i])
			return rawOf(toks[:k]), strings.Trim(string(src[toks[k+1].EndCol-1:]), " \t*"), bullet + k + 2, true
		}
		if toks[k].Text == ":" || toks[k].Text == "–" && k > 0 && !toks[k].Glued {
			if k == 0 {
				return "", "", 0, false
			}
			src := []rune(r.ms.Source[i])
			return strings.Trim(string(src[toks[0].Col-1:toks[k].Col-1]), " \t*"), strings.Trim(string(src[toks[k].EndCol-1:]), " \t*"), bullet + k + 1, true
		}
		if toks[k].Kind == Punct && !strings.Contains("()'/&-", toks[k].Text) {
			return "", "", 0, false
		}
	}
	return "", "", 0, false
}
