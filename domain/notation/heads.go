package notation

import "strings"

// MaxRowNumber bounds row numbers and ranges of rows in heads.
const MaxRowNumber = 20000

// notHead are words that a head never begins with: they begin sentences.
var notHead = map[string]bool{"rep": true, "repeat": true, "work": true, "knit": true, "purl": true, "k": true, "p": true, "cont": true, "continue": true,
	"note": true, "on": true, "in": true, "from": true, "for": true, "at": true, "after": true, "until": true, "end": true, "ending": true, "this": true, "these": true,
	"to": true, "with": true, "when": true, "as": true, "of": true, "if": true, "beg": true, "starting": true, "slip": true, "sl": true, "co": true, "bo": true, "then": true, "where": true, "while": true, "keep": true, "over": true, "and": true, "a": true, "an": true, "it": true, "is": true, "your": true, "you": true}

// head reads what stands before a row's body; next is where the body begins.
func (p *parser) head(i int) (h Head, next int, ok bool) {
	start := i
	fail := func() (Head, int, bool) { return Head{}, start, false }
	if p.w(i) == "on" { // "On the next row (RS): …"
		if k, ok := p.words(i+1, "next|following row|rnd"); ok && (p.w(k) == ":" || p.w(k) == "(") {
			i++
		}
	}
	if k, ok := p.words(i, "patt ,", "colour|lace patt ,", "ribbing|rib|border|edging ,"); ok && (p.at(k).Kind == Ordinal || (p.w(k) == "row" || p.w(k) == "rnd") && p.at(k+1).Kind == Number) { // "Pattern, 1st round: …", "Ribbing, row 1 (RS): …"
		i = k
	}
	t := p.at(i)
	numeric := false
	switch {
	case i >= len(p.toks):
		return fail()
	case t.Kind == Ordinal && p.ordinalHead(i): // 1st row, 1st and 3rd rows, 2nd and every alt row
		ns, _, j, _ := p.numbers(i)
		if e, k, ok := p.every(j); ok {
			h.Numbers, h.Every = ns, e
			h.Round = p.w(k-1) == "rnd"
			i = k
		} else {
			round, k, ok := p.rowWord(j)
			if !ok {
				// "1st (RS) row"
				if p.w(j) == "(" {
					if s, q, ok := p.sideWord(j + 1); ok && p.w(q) == ")" {
						if round, k, ok = p.rowWord(q + 1); ok {
							h.Side = s
						}
					}
				}
				if s, q, isSide := p.sideWord(j); !ok && isSide {
					if round, k, ok = p.rowWord(q); ok {
						h.Side = s
					}
				}
				if !ok {
					return fail()
				}
			}
			h.Numbers, h.Round, i = ns, round, k
		}
		numeric = true
	default:
		if round, j, ok := p.rowWord(i); ok {
			ns, letter, k, ok := p.numbers(j)
			if t := p.at(j); !ok && j < len(p.toks) && t.Kind == Word && len(t.Raw) == 1 && t.Raw >= "A" && t.Raw <= "Z" && (p.w(j+1) == ":" || p.w(j+1) == "(" || p.w(j+1) == "[") { // "Row A: …" goes by its letter
				h.Round, i = round, j+1
				break
			}
			if !ok {
				if p.w(i) != "row" && p.w(i) != "rnd" || p.w(j) != ":" && !isDash(p.w(j)) {
					return fail()
				}
				k = j
			}
			if letter == "" && p.at(k).Kind == Word && len(p.at(k).Raw) == 1 && k < len(p.toks) && p.w(k+1) == ":" {
				letter = p.w(k)
				k++
			}
			h.Numbers, h.Letter, h.Round, i, numeric = ns, letter, round, k, len(ns) > 0
		} else if hasWord(p, i, "dec", "inc", "decrease", "increase") && p.w(i+1) == ":" && p.opStarts(i+2) { // "Dec: *k8, k2tog; rep from * around"
			i++
		} else if j, ok := p.wordHead(i, &h); ok {
			i = j
		} else {
			return fail()
		}
	}
	named := i
	// sides, comments, "and all WS rows", in any order
	for {
		if e, j, ok := p.every(i); ok && !h.Every.On() {
			h.Every, i = e, j
			if k, ok := p.words(i, "to", "up to and including", "up to", "through", "until"); ok { // "to Rnd 8", "to 12th row"
				q := k
				if _, r, ok := p.rowWord(k); ok {
					q = r
				}
				if t := p.at(q); q < len(p.toks) && (t.Kind == Number || t.Kind == Ordinal) && t.Val <= MaxRowNumber {
					h.Every.Last, i = t.Val, q+1
					if _, r, ok := p.rowWord(i); ok && t.Kind == Ordinal {
						i = r
					}
				}
			}
			continue
		}
		if s, j, ok := p.sideWord(i); ok && h.Side == "" && (p.w(j) == ":" || isDash(p.w(j)) || p.w(j) == "." || p.w(j) == ")" || p.w(j) == "," || p.w(j) == "row" || p.w(j) == "(" || numeric && p.opStarts(j)) {
			h.Side, i = s, j
			if p.w(i) == "row" {
				i++
			}
			continue
		}
		if openers[p.w(i)] != "" {
			if j, ok := p.headBracket(i, &h); ok {
				i = j
				continue
			}
		}
		if isDash(p.w(i)) && !numeric { // "Next row – dec row (RS):"
			if k, ok := p.kindOfRow(i + 1); ok && (p.w(k-1) == "row" || p.w(k-1) == "rnd") && (p.w(k) == ":" || openers[p.w(k)] != "" || p.w(k) == ",") {
				i = k
				continue
			}
		}
		if p.w(i) == "," {
			if j, ok := p.words(i+1, "removing|slipping all? m", "removing|slipping m as you go", "removing|slipping m as you come to them"); ok && p.w(j) == ":" {
				i = j
				continue
			}
			if s, j, ok := p.sideWord(i + 1); ok && h.Side == "" {
				h.Side, i = s, j
				continue
			}
			if j, ok := p.headClause(i + 1); ok {
				i = j
				continue
			}
		}
		if isDash(p.w(i)) && h.Side == "" { // "Row 3 - RS - K2tog"
			if s, j, ok := p.sideWord(i + 1); ok && (isDash(p.w(j)) || p.w(j) == ":") {
				h.Side, i = s, j
				continue
			}
		}
		if y, j, ok := p.yarnName(i); ok && h.Yarn == "" && (p.w(j) == ":" || p.w(j) == "(" || isDash(p.w(j)) && !p.at(j).Glued) {
			h.Yarn, i = y, j
			continue
		}
		if j, ok := p.words(i, "of patt", "of patt", "of chart"); ok && p.w(j) == ":" {
			i = j
			continue
		}
		break
	}
	if len(h.Numbers) == 0 && !h.Every.On() && (p.w(start) == "every" || p.w(start) == "each" || p.w(start) == "all") && named == start+2 {
		h.Numbers, h.EveryRow = []int{1}, true // of a one-row pattern
	}
	h.Span = p.span(start, i)
	h.Words = p.asWritten(start, named)
	if numeric {
		h.Words = p.raw(start, i)
	}
	// the sign that ends a head
	j := i
	for p.w(j) == ":" || p.w(j) == "." || isDash(p.w(j)) || p.w(j) == "…" || p.w(j) == ")" && j == i || p.w(j) == "=" || p.w(j) == "," {
		j++
	}
	if j == i || j == i+1 && p.w(i) == "," {
		if !numeric && !(j == i && i > start && p.capitalOp(i)) || p.sentenceWord(i) {
			return fail()
		}
		if j == i && !p.opStarts(i) {
			return fail()
		}
	}
	if !numeric && p.w(i) == "." && !isDash(p.w(i+1)) && len(h.Numbers) == 0 && !p.opStarts(j) {
		return fail()
	}
	if openers[p.w(j)] != "" && j > i { // "Next row: (dec row) Knit to …"
		if k, ok := p.kindOfRow(j + 1); ok && p.w(k) == openers[p.w(j)] && p.opStarts(k+1) {
			i, j = k+1, k+1
			h.Span = p.span(start, i)
		}
	}
	// Row 1: (RS) K2 …
	if openers[p.w(j)] != "" && h.Side == "" {
		if s, k, ok := p.sideWord(j + 1); ok && p.w(k) == openers[p.w(j)] {
			h.Side, j = s, k+1
			for p.w(j) == ":" || isDash(p.w(j)) || p.w(j) == "." {
				j++
			}
		}
	}
	if s, k, ok := p.sideWord(j); ok && h.Side == "" && (p.w(k) == ":" || p.w(k) == ".") {
		h.Side, j = s, k+1
	}
	return h, j, true
}

// headClause passes a clause between a head and its colon: "removing markers as you come to them", "dec", "worked
// loosely".
func (p *parser) headClause(i int) (int, bool) {
	if !hasWord(p, i, "removing", "slipping", "working", "worked", "place", "setting", "marking", "dividing", "keeping", "placing", "using", "with", "dec", "inc", "decreasing", "increasing", "maintaining", "knitting", "changing", "joining") {
		return i, false
	}
	for k := i; k < len(p.toks) && k < i+14; k++ {
		switch w := p.w(k); {
		case w == ":":
			return k, p.opStarts(k + 1)
		case w == "." || w == ";" || w == "," || isMark(w) || p.at(k).Kind == Number:
			return i, false
		}
	}
	return i, false
}

// capitalOp says that an instruction begins at i with a capital, or a star: the
// leaflet's "Next row Purl".
func (p *parser) capitalOp(i int) bool {
	t := p.at(i)
	if i >= len(p.toks) || !isMark(t.Text) && (t.Kind != Word || strings.ToLower(t.Raw[:1]) == t.Raw[:1] || t.Raw == strings.ToUpper(t.Raw) && len(t.Raw) > 1) {
		return false
	}
	_, _, stitch := p.stitch(i)
	return isMark(t.Text) || stitch
}

// ordinalHead: "1st row", "1st and 3rd rows", "2nd and every alt row"; not "Second inc row".
func (p *parser) ordinalHead(i int) bool {
	_, _, j, _ := p.numbers(i)
	if _, _, ok := p.every(j); ok {
		return true
	}
	if _, _, ok := p.rowWord(j); ok {
		return true
	}
	if p.w(j) == "(" {
		j++
	}
	_, _, ok := p.sideWord(j)
	return ok
}

// wordHead reads heads of words: Next row, Set-up row, Dec rnd, Every row, All WS rows.
func (p *parser) wordHead(i int, h *Head) (int, bool) {
	start := i
	if notHead[p.w(i)] {
		return start, false
	}
	for n := 0; n < 7 && i < len(p.toks); n++ {
		if round, j, ok := p.rowWord(i); ok && i > start && p.w(i) != "r" {
			h.Round = round
			if t := p.at(i).Text; h.Every.Side != "" && t != "rows" && t != "rounds" && t != "rnds" && p.w(start) != "all" && p.w(start) != "every" && p.w(start) != "each" {
				h.Every.Side = "" // "WS row: …", one of them
			}
			if t := p.at(i).Text; p.w(start) == "even" && i == start+1 && t != "rows" && t != "rounds" && t != "rnds" && !p.numberedHeads() {
				h.Every.Even = false // "Even rnd: Knit.", worked even
			}
			if k := p.skipWords(j, ",", "from"); k > j && p.at(k).Kind == Number && h.Every.On() { // "Wrong-side rows, 2 to 12"
				j = k
			}
			if _, _, k, ok := p.numbers(j); ok && (p.w(k) == ":" || openers[p.w(k)] != "" || p.w(k) == "." || isDash(p.w(k)) && !p.at(k).Glued) {
				j = k // "Set-up Row 1": goes by its words
			}
			if t := p.at(j); j < len(p.toks) && t.Kind == Word && len(t.Raw) == 1 && t.Raw >= "A" && t.Raw <= "Z" && p.w(j+1) == ":" && p.yarns[t.Text] == "" {
				return j + 1, true // "Colour round B: …"
			}
			if _, k, ok := p.yarnName(j); ok && (p.w(k) == ":" || p.w(k) == "(") {
				return j, true // "Set-up row MC (RS):"
			}
			if w := p.w(j); w != ":" && w != "." && w != "(" && w != "[" && !isDash(w) && w != "," && w != "and" && w != "rs" && w != "ws" && !p.capitalOp(j) {
				return start, false
			}
			return j, true
		}
		t := p.at(i)
		switch {
		case t.Kind == Word && t.Text != "rep":
			if notHead[t.Text] && i > start && t.Text != "and" && t.Text != "for" && t.Text != "to" {
				return start, false
			}
			if s, j, ok := p.sideWord(i); ok {
				h.Side = s
				if i == start || p.w(start) == "all" || p.w(start) == "every" || p.w(start) == "each" {
					h.Every.Side = s
				}
				i = j
				continue
			}
			if t.Text == "even" {
				h.Every.Even = true
			}
			if t.Text == "odd" {
				h.Every.Odd = true
			}
		case t.Text == "-" && i > start:
		case t.Kind == Number && i > start && p.w(i-1) == "next" && t.Val > 0 && t.Val <= MaxRowNumber:
			h.Next = t.Val
		case t.Kind == Number && i > start && (p.w(i-1) == "following") && t.Val > 0 && t.Val <= MaxRowNumber:
			h.Next = t.Val
		case t.Kind == Number && i > start && (p.w(i+1) == "row" || p.w(i+1) == "rnd") && p.w(i-1) == "last":
		case openers[t.Text] != "" && i > start:
			// "Next (WS) row"
			if s, j, ok := p.sideWord(i + 1); ok && p.w(j) == openers[t.Text] {
				h.Side = s
				i = j + 1
				continue
			}
			if j := i + 2; hasWord(p, i+1, "dec", "inc", "decrease", "increase", "decreasing", "increasing", "eyelet", "buttonhole", "lace", "turning", "picot", "fold", "setup", "ridge", "dividing") && p.w(j) == openers[t.Text] && (p.w(j+1) == "row" || p.w(j+1) == "rnd") { // "Next (dec) row"
				i = j + 1
				continue
			}
			return start, false
		case t.Kind == Ordinal:
		default:
			return start, false
		}
		i++
	}
	return start, false
}

// numberedHeads says that rows with numbers were given.
func (p *parser) numberedHeads() bool {
	for head := range p.rowHeads {
		if strings.ContainsAny(head, "0123456789") {
			return true
		}
	}
	return false
}

// headBracket reads "(RS)", "(RS; dec row)", "(and all WS rows)", "(buttonhole row)".
func (p *parser) headBracket(i int, h *Head) (int, bool) {
	closer := openers[p.w(i)]
	end := i + 1
	for end < len(p.toks) && p.w(end) != closer && end < i+16 {
		if openers[p.w(end)] != "" && p.w(end) != "(" {
			return i, false
		}
		end++
	}
	if p.w(end) != closer {
		return i, false
	}
	if fs, j, ok := p.onlySizes(i, p.sizeNames); ok && j >= end && fs.Only != nil {
		h.Only = fs.Only
		return end + 1, true
	}
	known := false
	digits := false
	for k := i + 1; k < end; k++ {
		if y, j, ok := p.yarnName(k); ok && h.Yarn == "" && (k == i+1 || p.w(k-1) == "," || p.w(k-1) == "with" || p.w(k-1) == "in") && (j == end || p.w(j) == ",") {
			h.Yarn, known = y, true
			k = j - 1
			continue
		}
		if s, j, ok := p.sideWord(k); ok {
			if !h.Every.On() {
				h.Side = s // "Return row (RS)" too: the bracket has the say
			}
			known = true
			k = j - 1
			continue
		}
		if e, j, ok := p.every(k); ok {
			h.Every, known = e, true
			k = j - 1
			continue
		}
		if p.at(k).Kind == Number {
			digits = true
		}
	}
	after := p.w(end + 1)
	delim := after == ":" || after == "." || isDash(after) || after == "(" || after == "…" || after == "[" || after == "="
	if known && !digits || known && delim {
		return end + 1, true
	}
	if j, ok := p.kindOfRow(i + 1); ok && j == end && (delim || p.capitalOp(end+1)) { // "Next row (decrease row) Knit to …"
		return end + 1, true
	}
	if delim && p.w(i+1) == "dec" && end == i+2 || delim && p.w(i+1) == "inc" && end == i+2 { // "Row 1 (dec) (RS):"
		return end + 1, true
	}
	if delim && p.w(end-1) == "row" || delim && p.w(end-1) == "rnd" || delim && after != "(" && after != "." && !digits || delim && after == ":" {
		return end + 1, true
	}
	return i, false
}

// kindOfRow reads "dec row", "increase", "buttonhole round": what a row is for.
func (p *parser) kindOfRow(i int) (int, bool) {
	return p.words(i, "dec|inc|decrease|increase|decreasing|increasing|eyelet|buttonhole|lace|turning|picot|fold|ridge|dividing|cable|bobble row|rnd?")
}

// sentenceWord says that what follows a row's number makes it a sentence about
// the row, not its head: "Rows 1–8 form the pattern".
func (p *parser) sentenceWord(i int) bool {
	switch p.w(i) {
	case "form", "forms", "set", "sets", "establish", "establishes", "is", "are", "of", "once", "twice", "times", "make", "makes", "should", "will", "may", "complete", "completes", "only", "more", "until", "at", "in", "to", "for", "on", "constitute", "show", "shows", "becomes", "become", "were", "was", "has", "have", "above", "below", "again", "thereafter", "throughout", "as", "establishing", "comprise":
		if p.w(i) == "as" {
			return false
		}
		return true
	}
	return p.at(i).Kind == Number && p.w(i+1) == "times"
}

// opStarts says that an instruction begins at i.
func (p *parser) opStarts(i int) bool {
	if i >= len(p.toks) {
		return false
	}
	w := p.w(i)
	if isMark(w) || openers[w] != "" || w == "with" || w == "as" || w == "rep" || w == "bo" || w == "bind" || w == "cast" || w == "co" || w == "pm" || w == "sm" || w == "using" || w == "same" || w == "work" || w == "turn" || w == "place" || w == "rejoin" || w == "join" && p.w(i+1) != "in" {
		return true
	}
	if _, _, ok := p.stitch(i); ok {
		return true
	}
	_, _, ok := p.yarnName(i)
	return ok && (p.w(i+1) == ":" || p.w(i+1) == ",")
}
