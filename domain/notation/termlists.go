package notation

// This file cuts lists of abbreviations into their terms.

// terms is termLines, asked only once for lines that follow on one another.
func (r *reader) terms(i int) int {
	if i < r.noTerms {
		return 0
	}
	n := r.termLines(i)
	if n == 0 {
		r.noTerms = i + max(1, r.termsSeen)
	}
	return n
}

// termRun says that a line explains abbreviations one after another: "K., knit; p.,
// purl; wl. fwd., wool forward": three at least, each some letters, a comma and words
// without a number, most of them letters that the trade knows.
func (r *reader) termRun(toks []Token) bool {
	n, known, start := 0, 0, 0
	for k := 0; k <= len(toks); k++ {
		if k < len(toks) && toks[k].Text != ";" {
			continue
		}
		clause := toks[start:k]
		start = k + 1
		for len(clause) > 0 && clause[len(clause)-1].Text == "." {
			clause = clause[:len(clause)-1]
		}
		comma := 0
		for i, t := range clause {
			if t.Kind == Number || t.Kind == Ordinal {
				return false
			}
			if t.Text == "," && comma == 0 {
				comma = i
			}
		}
		if comma == 0 || comma > 4 || comma+1 >= len(clause) || len(clause) > 12 || clause[0].Kind != Word || len(clause[0].Raw) > 5 {
			return false
		}
		n++
		p := r.parser(clause[:comma])
		p.quiet = true
		if _, _, ok := p.stitch(0); ok || pointed[clause[0].Text] {
			known++
		}
	}
	return n >= 3 && known*2 >= n
}

// termLines counts the lines from i on that explain an abbreviation each, "sl –
// slip": three at least, most of them with letters the trade knows.
func (r *reader) termLines(i int) int {
	n, known := 0, 0
	for last := i + 100; i < len(r.lines) && i < last; i++ {
		toks := stripBullet(r.lines[i])
		sep := 0
		for k := 1; k < len(toks) && k < 8 && sep == 0; k++ {
			if t := toks[k].Text; t == "–" && !toks[k].Glued || t == "=" || t == ":" || t == "-" && !toks[k].Glued {
				sep = k
			}
		}
		if sep == 0 || sep+1 >= len(toks) || r.isRowStart(i) || toks[0].Text == "size" || toks[0].Text == "sizes" || toks[sep+1].Kind == Number && toks[0].Text == "work" {
			break
		}
		short := true
		for k := range sep {
			short = short && (toks[k].Kind != Word || len(toks[k].Raw) <= 6) && toks[k].Text != "*"
		}
		if !short {
			break
		}
		n++
		p := r.parser(toks[:sep])
		p.quiet = true
		if _, _, ok := p.stitch(0); ok || pointed[toks[0].Text] {
			known++
		}
	}
	r.termsSeen = n
	if n < 3 || known*2 < n {
		return 0
	}
	return n
}

// splitDefs cuts before the last few words in front of each "=".
func splitDefs(toks []Token) [][]Token {
	var out [][]Token
	start := 0
	depth := 0
	lastSep := -1
	for k, t := range toks {
		switch {
		case nesting(t.Text) != 0:
			depth += nesting(t.Text)
		case depth <= 0 && (t.Text == ";" || t.Text == "," || t.Text == "."):
			lastSep = k
		case t.Text == "=" && depth <= 0:
			if lastSep > start {
				out = append(out, toks[start:lastSep])
				start = lastSep + 1
			}
		}
	}
	return append(out, toks[start:])
}

// splitLeaflet cuts the list of an old leaflet, "K., knit; p., purl; rep., repeat",
// and puts "=" for its commas; nil where it is none.
func splitLeaflet(toks []Token) [][]Token {
	var out [][]Token
	start := 0
	for k := 0; k <= len(toks); k++ {
		if k < len(toks) && toks[k].Text != ";" {
			continue
		}
		piece := append([]Token(nil), toks[start:k]...)
		start = k + 1
		at := 0
		for q := 1; q < len(piece) && q < 6 && at == 0; q++ {
			if piece[q].Text == "," {
				at = q
			}
		}
		if at == 0 || at+1 >= len(piece) {
			return nil
		}
		piece[at].Text, piece[at].fold = "=", "="
		if at > 1 && piece[at-1].Text == "." {
			piece = append(piece[:at-1], piece[at:]...)
		}
		out = append(out, piece)
	}
	if len(out) < 3 {
		return nil
	}
	return out
}

// splitSemis cuts at semicolons where several terms stand in a line.
func splitSemis(toks []Token) [][]Token {
	colons := 0
	for _, t := range toks {
		if t.Text == ":" || isDash(t.Text) {
			colons++
		}
	}
	if colons < 2 {
		return [][]Token{toks}
	}
	var out [][]Token
	start, depth := 0, 0
	for k, t := range toks {
		depth += nesting(t.Text)
		if t.Text == ";" && depth <= 0 {
			out = append(out, toks[start:k])
			start = k + 1
		}
	}
	return append(out, toks[start:])
}

// splitNamed cuts before a name in capitals that begins a sentence and has its colon: "C4B (cable 4 back): slip
// 2 sts …, then k2 from cable needle. C4F (cable 4 front): …".
func splitNamed(toks []Token) [][]Token {
	var out [][]Token
	start, depth := 0, 0
	for k, t := range toks {
		depth += nesting(t.Text)
		if depth > 0 || t.Text != "." || k == start || !hasSign(toks[start:k], ":") {
			continue
		}
		if colon := nameEnd(toks[k+1:]); colon > 0 {
			out = append(out, toks[start:k])
			start = k + 1
		}
	}
	return append(out, toks[start:])
}

// nameEnd is where the colon behind a name in capitals stands, words in brackets between or not; 0 where there
// is none.
func nameEnd(toks []Token) int {
	depth, open := 0, 0
	for k, t := range toks {
		if k > 14 {
			return 0
		}
		if depth == 0 && nesting(t.Text) > 0 && open == 0 {
			open = k
		}
		depth += nesting(t.Text)
		if depth > 0 || t.Text != ":" {
			continue
		}
		if open == 0 {
			open = k
		}
		if open > 0 && open < 6 && capsName(toks[:open]) {
			return k
		}
		return 0
	}
	return 0
}

// termLine says that a line of a list explains a term, though it may look like a heading:
// "CO cast on", "RS/WS - right side/wrong side".
func (r *reader) termLine(i int) bool {
	toks := stripBullet(r.lines[i])
	if spelledTerm(toks) > 0 {
		return true
	}
	for k := 1; k < len(toks)-1 && k < 5; k++ {
		if t := toks[k]; (t.Text == "=" || isDash(t.Text) && !t.Glued) && len(toks[0].Raw) < 7 && !r.isRowStart(i) {
			return true
		}
	}
	return false
}

// spelledTerm finds where the meaning begins in a line without any sign: "pm place marker",
// "k2tog knit two together", "st(s) stitch(es)". The term is one run of signs, and what it
// stands for begins with its letter and is longer. It is 0 where the line is none such.
func spelledTerm(toks []Token) int {
	k := 1
	for k < len(toks) && toks[k].Glued {
		k++
	}
	if k >= len(toks) || k > 7 || toks[0].Kind != Word || len(toks[0].Text) > 6 || toks[k].Kind != Word || len(toks[k].Text) < 4 {
		return 0
	}
	for _, t := range toks[:k] {
		if t.Text == "," || t.Text == ":" || t.Text == ";" || t.Text == "=" || t.Text == "." || isMark(t.Text) {
			return 0
		}
	}
	term, meaning := toks[0].Text, toks[k].Text
	if term == meaning || term[0] != meaning[0] || len(meaning) < len(term) {
		return 0
	}
	return k
}
