package notation

import (
	"regexp"
	"strings"
)

// abbrHead are headings below which definitions stand.
var abbrHeads = []string{"abbreviations", "abbreviation", "special stitches", "special stitch", "stitch guide", "special abbreviations", "special abbreviation", "abbrev", "abbrevs", "abbr", "stitches used", "glossary", "special techniques", "abbreviations and special stitches", "abbreviations used", "terms", "stitch glossary", "key to abbreviations", "explanation of terms", "special terms", "stitch abbreviations", "pattern stitches used", "abbreviations and terms"}

// headGap parts a head from the list that stands behind it in the same line, by a gap alone.
var headGap = regexp.MustCompile(`^([a-z ]+[a-z])(?:\t| {2,})(\S.*)$`)

// findDefinitions reads the designer's own words before any row, wherever they stand.
func (r *reader) findDefinitions() {
	r.defined = map[int][]*Define{}
	in := false
	for i := 0; i < len(r.lines); i++ {
		toks := r.lines[i]
		if len(toks) == 0 || r.legend[i] || r.parser(toks).withNeedles() > 0 {
			continue
		}
		line := strings.TrimSpace(r.ms.Source[i])
		low := strings.ToLower(strings.Trim(line, " :.–—-*#"))
		head, rest, hasRest := strings.Cut(low, ":")
		if isAbbrHead(low) {
			in = true
			continue
		}
		at := strings.Index(r.ms.Source[i], ":")
		if dash := strings.IndexAny(low, "—–"); dash > 0 && (!hasRest || dash < len(head) && isAbbrHead(strings.Trim(low[:dash], " ."))) && strings.ContainsAny(r.ms.Source[i], "—–") { // Abbreviations.—K., knit; …
			head, rest, hasRest = strings.Trim(low[:dash], " ."), low[dash:], true
			at = strings.IndexAny(r.ms.Source[i], "—–")
		}
		if dot := strings.Index(low, ". "); !hasRest && dot > 0 && isAbbrHead(low[:dot]) { // "Abbreviations. CO cast on, k knit"
			head, rest, hasRest = low[:dot], low[dot+1:], true
			at = strings.Index(r.ms.Source[i], ". ")
		}
		if m := headGap.FindStringSubmatchIndex(low); m != nil && isAbbrHead(low[m[2]:m[3]]) { // "ABBREVIATIONS  beg—begin(ning); BO—bind off"
			head, rest, hasRest = low[m[2]:m[3]], low[m[4]:m[5]], true
			at = strings.Index(strings.ToLower(r.ms.Source[i]), head) + len(head)
		}
		if hasRest && isAbbrHead(strings.TrimSpace(head)) && rest != "" {
			r.defineLine(i, len([]rune(r.ms.Source[i][:at]))+1, true)
			in = true
			continue
		}
		if n := r.terms(i); !in && n > 0 { // a list of abbreviations without a heading
			for k := i; k < i+n; k++ {
				r.defineLine(k, 0, true)
			}
			i += n - 1
			continue
		}
		if !in && (r.termRun(toks) || hasSign(toks, ";") && len(splitSpelled(toks)) > 4) { // K., knit; p., purl; tog., together
			r.defineLine(i, 0, true)
			continue
		}
		if in && !r.countsGiven(toks) && !r.termLine(i) && (r.looksLikeHeading(i) || r.isNumberedRow(i) || r.isBeginLine(i) || r.isMultipleLine(i) || r.labelsMultiple(i) || r.pieceLabel(i)) {
			in = false
		}
		if in {
			if !r.defineLine(i, 0, true) {
				// a wrapped definition goes on
				if ds := r.lastDefined(i); ds != nil && (lowerWord(toks[0]) || toks[0].Kind == Punct) {
					ds.Text += " " + line
					r.defined[i] = []*Define{}
				}
			}
			continue
		}
		// outside a section: "BOB: (k1, yo, k1) in next st" or "K3b = …"
		if !r.isRowStart(i) && !r.pieceLabel(i) && !r.labelsRow(i) && r.defineLine(i, 0, false) {
			i = r.wrappedDefinition(i)
		}
	}
	for i := range r.lines {
		for _, d := range r.defined[i] {
			r.learn(d)
		}
	}
	for _, d := range r.inPassing {
		r.learn(d)
	}
}

func isAbbrHead(s string) bool {
	for _, h := range abbrHeads {
		if s == h {
			return true
		}
	}
	return false
}

func (r *reader) lastDefined(i int) *Define {
	for k := i - 1; k >= 0 && k > i-6; k-- {
		if ds := r.defined[k]; len(ds) > 0 {
			return ds[len(ds)-1]
		}
		if len(r.lines[k]) == 0 {
			return nil
		}
	}
	return nil
}

// stripBullet drops a bullet or a dash that opens a line.
func stripBullet(toks []Token) []Token {
	for len(toks) > 1 && (toks[0].Text == "•" || isDash(toks[0].Text) && !toks[1].Glued || toks[0].Text == "#" && !toks[1].Glued || toks[0].Text == ">" || toks[0].Text == "~" && !toks[1].Glued || toks[0].Text == "–" && toks[1].Kind != Number) {
		toks = toks[1:]
	}
	return toks
}

// defineLine reads the definitions of one line from column col (0 = its start).
// Within a list of abbreviations (listed) any sign serves; elsewhere "=" or a
// name in capitals with a colon.
func (r *reader) defineLine(i, col int, listed bool) bool {
	toks := stripBullet(r.lines[i])
	for len(toks) > 0 && toks[0].Col <= col {
		toks = toks[1:]
	}
	if len(toks) < 3 {
		return false
	}
	// pieces of a line: "k = knit; p = purl; yo = yarn over" or with commas
	var pieces [][]Token
	eq := 0
	for _, t := range toks {
		if t.Text == "=" {
			eq++
		}
	}
	if listed && eq == 0 {
		if pieces = splitLeaflet(toks); pieces == nil {
			pieces = splitSpelled(toks)
		}
	}
	switch {
	case pieces != nil:
	case eq > 1:
		pieces = splitDefs(toks)
		if !listed && len(pieces) > 0 && !hasSign(pieces[0], "=") { // "Multiple of 4 + 3. M = main, C = contrast"
			for _, pc := range pieces[1:] {
				if d, ok := r.definition(pc, i, false); ok {
					r.inPassing = append(r.inPassing, d)
				}
			}
			return false
		}
	case eq == 1:
		pieces = [][]Token{toks}
	case listed && hasSign(toks, ";"):
		pieces = splitSemis(toks)
	default:
		pieces = splitNamed(toks)
	}
	got := false
	for _, pc := range pieces {
		if d, ok := r.definition(pc, i, listed); ok {
			r.defined[i] = append(r.defined[i], d)
			got = true
		}
	}
	return got
}

// calledBoth says that a name has its abbreviation behind it: "Double decrease (DD)".
func calledBoth(name []Token) bool {
	n := len(name)
	open := n - 2
	for open > 0 && name[open].Text != "(" {
		open--
	}
	if n < 5 || name[n-1].Text != ")" || open < 1 || name[open].Glued {
		return false
	}
	letters := 0
	for k, t := range name[open+1 : n-1] { // DD, C4B
		if k > 0 && !t.Glued || t.Kind != Word && t.Kind != Number || t.Raw != strings.ToUpper(t.Raw) && !namesShaping(name[:open]) {
			return false
		}
		letters += len(t.Raw)
	}
	if first := name[open+1]; first.Kind != Word || letters < 2 || letters > 5 || first.Text == "rs" || first.Text == "ws" || capsName(name[:open]) {
		return false
	}
	for k, t := range name[:open] {
		if t.Kind != Word && t.Text != "-" && (t.Kind != Number || k == 0) {
			return false
		}
	}
	return true
}

func hasSign(toks []Token, sign string) bool {
	for _, t := range toks {
		if t.Text == sign {
			return true
		}
	}
	return false
}

func (r *reader) definition(toks []Token, line int, listed bool) (*Define, bool) {
	if len(toks) == 0 {
		return nil, false
	}
	if w := toks[0].Text; (w == "dec" || w == "inc") && !listed && len(toks) > 2 && toks[1].Text == ":" {
		for _, t := range toks {
			if t.fold == "rep" || t.Text == "around" || t.Text == "end" {
				return nil, false // a row that goes by that word
			}
		}
	}
	if n := len(toks); n > 4 && toks[0].Text == "*" && toks[1].Glued && toks[n-1].Text == "*" && toks[n-1].Glued { // a note in slanted letters
		toks = toks[1 : n-1]
	}
	if len(toks) > 4 && toks[0].Text == "to" && (toks[1].Text == "work" || toks[1].Text == "make") && capsName(toks[2:3]) { // "To work C4B: …"
		toks = toks[2:]
	}
	if w := toks[0].Text; (w == "rs" || w == "ws") && len(toks) > 2 && toks[1].Text == ":" && !hasSign(toks, "right") && !hasSign(toks, "wrong") {
		return nil, false // "WS: Purl.": a row
	}
	if w := toks[0].Text; w == "size" || w == "sizes" || w == "with" {
		return nil, false // "Sizes XS and S only: …", "With White wool, cast on …"
	}
	sep := -1
	depth := 0
	for k, t := range toks {
		if k > 0 && depth == 0 && (t.Text == "=" || (t.Text == ":" || t.Text == "–" || t.Text == "-" && !t.Glued) && (listed || capsName(toks[:k]) || calledBoth(toks[:k]) || t.Text == ":" && (r.stitchName(toks[:k]) || r.worked(toks[:k], line) || namesShaping(toks[:k]) && !boundRow(toks[k+1:])) || t.Text != ":" && k < 7 && r.stitchName(toks[:k]) && len(toks) > k+3 || t.Text == ":" && k < 4 && r.countsGiven(toks[k+1:]))) {
			sep = k
			break
		}
		if k == 1 && t.Text == ":" && k+2 < len(toks) && tradeStitch[toks[0].Text] && toks[2].Kind == Word { // "skpo: slip 1, knit 1, pass slipped stitch over"
			sep = k
			break
		}
		depth += nesting(t.Text)
		if t.Text == ":" && depth == 0 || t.Text == "," && depth == 0 && !listed {
			return nil, false // a label, or words
		}
		if k > 13 || t.Text == "." && !t.Glued || t.Text == "*" {
			break
		}
	}
	if sep < 0 && listed { // "N3 (uses 1 st, makes 3)": a name, then words in brackets
		for k := 1; k < len(toks) && k < 6; k++ {
			if openers[toks[k].Text] != "" && !toks[k].Glued {
				q := r.parser(toks[k:])
				q.quiet = true
				if _, _, ok := q.usesMakes(); ok {
					toks = append(append(toks[:k:k], Token{Kind: Punct, Text: "=", fold: "=", Span: toks[k].Span}), toks[k:]...)
					toks[k].EndCol = toks[k].Col
					sep = k
				}
				break
			}
		}
		if k := spelledTerm(toks); sep < 0 && k > 0 { // "pm place marker"
			toks = append(append(toks[:k:k], Token{Kind: Punct, Text: "=", fold: "=", Span: toks[k].Span}), toks[k:]...)
			toks[k].EndCol = toks[k].Col
			sep = k
		}
		if sep < 0 {
			return nil, false
		}
	}
	if sep <= 0 || sep+1 >= len(toks) || toks[0].Text == "=" {
		return nil, false
	}
	name := toks[:sep]
	comment := ""
	if n := len(name); n > 3 && openers[name[n-1].Text] == "" && name[n-1].Text == ")" && name[0].Text != "(" {
		// "T3B (twist 3 back): …": the bracket is a comment
		for k := 1; k < n; k++ {
			if name[k].Text == "(" && !name[k].Glued {
				src := []rune(r.ms.Source[line])
				if k > 1 && calledBoth(name) {
					break // "Double decrease (DD) = …": it is called by both
				}
				if r.countsGiven(name[k:]) {
					comment = string(src[name[k].Col-1:name[n-1].EndCol-1]) + " "
				}
				name = name[:k]
				break
			}
		}
	}
	if len(name) > 12 {
		return nil, false
	}
	for len(name) > 1 && name[len(name)-1].Text == "." { // "K.—knit plain"
		name = name[:len(name)-1]
	}
	if _, q, ok := r.parser(name).needleName(0); ok && q == len(name) && toks[sep].Text != "=" {
		return nil, false // "N1: k to last 3 sts"
	}
	if !listed && len(name) == 1 && len(name[0].Raw) == 1 && r.yarns[name[0].Text] == name[0].Raw {
		return nil, false // "M = main"
	}
	if !listed {
		// outside a list only what cannot be a label of something else
		if len(name) > 1 && !name[1].Glued && toks[sep].Text != "=" && !calledBoth(name) && !r.countsGiven(toks[sep+1:]) && !r.worked(name, line) && !namesShaping(name) {
			return nil, false
		}
		switch name[0].Text {
		case "note", "notes", "yarn", "gauge", "tension", "size", "sizes", "needles", "needle", "materials", "row", "rnd", "round", "rows", "rs", "ws", "finished", "to", "with", "mc", "cc", "back", "front", "body", "crown", "multiple", "pattern", "cuff", "brim", "sleeve", "top", "rib", "ribbing", "thumb", "border", "edging", "base", "heel", "toe", "hand", "leg", "foot", "yoke", "hem", "collar", "neck", "flap", "head", "a", "b", "c":
			if len(name) == 1 {
				return nil, false
			}
		}
	}
	src := []rune(r.ms.Source[line])
	last := toks[len(toks)-1]
	d := &Define{
		Name: string(src[name[0].Col-1 : name[len(name)-1].EndCol-1]),
		Text: strings.TrimSpace(comment + string(src[toks[sep].EndCol-1:last.EndCol-1])),
		Span: toks[0].Span.Cover(last.Span),
	}
	if toks[sep].Text != "=" && len(name) > 0 && len(name[0].Raw) > 3 {
		p := r.parser(scanLine(d.Text, line+1))
		p.quiet = true
		if b, _, ok := p.begin(0); ok && b.N.Given() && b.How == "cast on" { // "WRIST.—Cast on 48 sts."
			return nil, false
		}
		if h, _, ok := p.head(0); ok && len(h.Numbers) > 0 { // "THUMB GUSSET.—1st round: K. 23, …"
			return nil, false
		}
	}
	if !listed && toks[sep].Text != "=" {
		// a name in capitals must be defined by something the reader can work
		p := r.parser(scanLine(d.Text, line+1))
		p.quiet = true
		if _, ok := p.rowsBelow(); !ok && !p.definesStitch() {
			return nil, false
		}
		if _, _, ok := p.shape(0); ok { // "Cap: Bind off 4 sts at beg of next 2 rows, …"
			return nil, false
		}
	}
	if q := r.parser(toks[sep:]); toks[sep].Text == "=" {
		q.quiet = true
		if st, j, ok := q.stated(0); ok && j >= len(q.toks) && st[0].N.Given() && q.hasSts(0, j) {
			return nil, false // "Knit 1 round while dec 12 stitches evenly = 72-84-96 sts"
		}
	}
	if n := sep + 2; toks[sep].Text == "=" && toks[sep+1].Kind == Number && (n >= len(toks) || openers[toks[n].Text] != "" || folded(toks[n].Text) == "st") {
		return nil, false // "Rep the last 2 rnds 9 times more. = 74 sts"
	}
	if !listed && toks[sep].Text == "=" {
		for _, t := range name {
			if t.Kind == Word && (t.Text == "gauge" || t.Text == "tension" || t.Text == "row" || t.Text == "rows" || t.Text == "sts" || t.Text == "stitches" || t.Text == "cm" || t.Text == "inches") {
				return nil, false
			}
		}
	}
	return d, true
}

// worked says that a name of a word and a number ("Wrap 6") stands among the
// stitches of another line.
func (r *reader) worked(name []Token, line int) bool {
	if len(name) == 2 && name[0].Kind == Word && name[1].Kind == Word { // "Double dec: …", worked in "yo, double dec, yo"
		for i, toks := range r.lines {
			for k := 1; k+2 < len(toks) && i != line; k++ {
				if toks[k].Text == name[0].Text && toks[k+1].Text == name[1].Text && strings.Contains("*,([", toks[k-1].Text) && strings.Contains(",)];", toks[k+2].Text) {
					return true
				}
			}
		}
		return false
	}
	if len(name) == 1 && name[0].Kind == Word && len(name[0].Raw) > 3 { // "Smock: …", worked in "*smock, p2"
		for i, toks := range r.lines {
			for k := 1; k+1 < len(toks) && i != line; k++ {
				if toks[k].Text == name[0].Text && strings.Contains("*([", toks[k-1].Text) && strings.Contains(",)];", toks[k+1].Text) {
					return true
				}
			}
		}
		return false
	}
	if len(name) != 2 || name[0].Kind != Word || name[1].Kind != Number {
		return false
	}
	if r.pairs == nil {
		r.pairs = map[[2]string]int{}
		for i, toks := range r.lines {
			for k := 1; k+1 < len(toks); k++ {
				if toks[k].Kind == Word && toks[k+1].Kind == Number && strings.Contains("*,([", toks[k-1].Text) {
					r.pairs[[2]string{toks[k].Text, toks[k+1].Text}] = i
				}
			}
		}
	}
	at, ok := r.pairs[[2]string{name[0].Text, name[1].Text}]
	return ok && at != line
}

// namesShaping says that words name a decrease or an increase that takes several stitches: "Double dec",
// which the rows may spell out each time.
func namesShaping(name []Token) bool {
	if len(name) < 2 || len(name) > 4 || name[len(name)-1].Kind != Word {
		return false
	}
	switch name[len(name)-1].Text {
	case "dec", "decrease", "inc", "increase":
	default:
		return false
	}
	w := name[len(name)-2].Text
	return w == "double" || w == "triple"
}

// boundRow says that words tell how far they are worked: "to end", "rep from *".
func boundRow(toks []Token) bool {
	for _, t := range toks {
		switch t.fold {
		case "*", "rep", "end", "across", "around":
			return true
		}
	}
	return false
}

// tradeStitch are short names of stitches that pattern writers like to explain, wherever in the text.
var tradeStitch = map[string]bool{"skpo": true, "skp": true, "s2kp": true, "s2kpo": true, "sk2p": true, "sk2po": true, "ssk": true, "sssk": true, "ssp": true, "kfb": true, "pfb": true, "kfbf": true, "cdd": true, "m1l": true, "m1r": true, "m1p": true, "psso": true, "yfwd": true, "yrn": true, "yon": true}

// stitchName says that a name in small letters is a stitch: sl2-k1-p2sso, k4b.
func (r *reader) stitchName(name []Token) bool {
	digit := false
	for k, t := range name {
		if k > 0 && !t.Glued {
			return false
		}
		digit = digit || t.Kind == Number
	}
	if !digit || len(name) < 2 || name[0].Kind != Word || name[0].Text == "row" || name[0].Text == "rnd" || name[0].Text == "r" || name[0].Text == "rows" || name[0].Text == "chart" {
		return false
	}
	return true
}

// countsGiven says that words tell what a stitch uses and makes.
func (r *reader) countsGiven(toks []Token) bool {
	q := r.parser(toks)
	q.quiet = true
	_, _, ok := q.usesMakes()
	return ok
}

func capsName(name []Token) bool {
	if n := len(name); n > 2 && name[n-1].Text == ")" { // MB (make bobble)
		for k := 1; k < n; k++ {
			if name[k].Text == "(" && !name[k].Glued {
				name = name[:k]
				break
			}
		}
	}
	letters := 0
	for k, t := range name {
		if t.Kind == Word {
			if t.Raw != strings.ToUpper(t.Raw) && len(name) > 1 && k == 0 {
				return false
			}
			if t.Raw != strings.ToUpper(t.Raw) && !(t.Glued) && len(t.Raw) > 3 {
				return false
			}
			letters += len(t.Raw)
		}
		if k > 0 && !t.Glued && !(t.Kind == Word && name[k-1].Kind == Number && t.Raw == strings.ToUpper(t.Raw)) {
			return false
		}
	}
	return letters > 0 && letters <= 6
}
