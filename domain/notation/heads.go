package notation

import (
	"sort"
	"strings"
)

// MaxRowNumber bounds row numbers and ranges of rows in heads.
const MaxRowNumber = 20000

// maxRange bounds how many rows one head stands for.
const maxRange = 1000

// notHead are words that a head never begins with: they begin sentences.
var notHead = map[string]bool{"rep": true, "repeat": true, "work": true, "knit": true, "purl": true, "k": true, "p": true, "cont": true, "continue": true,
	"note": true, "on": true, "in": true, "from": true, "for": true, "at": true, "after": true, "until": true, "end": true, "ending": true, "this": true, "these": true,
	"to": true, "with": true, "when": true, "as": true, "of": true, "if": true, "beg": true, "starting": true, "slip": true, "sl": true, "co": true, "bo": true, "then": true, "where": true, "while": true, "keep": true, "over": true, "and": true, "a": true, "an": true, "it": true, "is": true, "your": true, "you": true}

// sideWord reads "RS", "right side", "wrong side facing" at i.
func (p *parser) sideWord(i int) (string, int, bool) {
	if w := p.w(i); (w == "back" || w == "return" || w == "reverse" || w == "even1") && p.w(i+1) == "row" {
		return "WS", i + 1, true // back row: the WS row of the continent
	}
	for _, s := range [...][2]string{{"rs", "RS"}, {"ws", "WS"}, {"right side", "RS"}, {"wrong side", "WS"}, {"right - side", "RS"}, {"wrong - side", "WS"}, {"r . s .", "RS"}, {"w . s .", "WS"}, {"r side", "RS"}, {"front side", "RS"}, {"public side", "RS"}} {
		if j, ok := p.phrase(i, s[0]); ok {
			if k, ok := p.words(j, "facing", "of work", "row", "facing for next row"); ok && p.w(j) != "row" {
				j = k
			}
			return s[1], j, true
		}
	}
	return "", i, false
}

func (p *parser) rowWord(i int) (round bool, next int, ok bool) {
	switch p.w(i) {
	case "row":
		i++
	case "rnd":
		round = true
		i++
	case "r":
		// R1 or R 1, not the r of anything else
		if p.at(i+1).Kind != Number {
			return false, i, false
		}
		i++
	default:
		return false, i, false
	}
	if p.w(i) == "." && p.at(i).Glued && p.at(i+1).Kind == Number {
		i++ // Rnd. 3
	}
	if w := p.w(i); (w == "no" || w == "number" || w == "nos" || w == "#") && (p.at(i+1).Kind == Number || p.w(i+1) == ".") {
		i++
		if p.w(i) == "." {
			i++
		}
	}
	return round, i, true
}

// numbers reads "1", "1, 3 and 5", "1–4", "7 to 11" at i.
func (p *parser) numbers(i int) (ns []int, letter string, next int, ok bool) {
	for {
		t := p.at(i)
		if i >= len(p.toks) || (t.Kind != Number && t.Kind != Ordinal) || t.Frac != "" || t.Val > MaxRowNumber {
			if len(ns) == 0 {
				return nil, "", i, false
			}
			break
		}
		ns = append(ns, t.Val)
		i++
		if l := p.at(i); l.Kind == Word && l.Glued && len(l.Text) == 1 && i < len(p.toks) && l.Text != "x" {
			letter = l.Text
			i++
		}
		// 1st to 4th
		j := i
		if w := p.w(j); (isDash(w) || w == "to") && (p.w(j+1) == "r" || p.w(j+1) == "row" || p.w(j+1) == "rnd") && p.at(j+2).Kind == Number && p.at(j+2).Val > t.Val && p.at(j+2).Val <= min(MaxRowNumber, t.Val+maxRange) {
			for v := t.Val + 1; v <= p.at(j+2).Val; v++ {
				ns = append(ns, v)
			}
			i = j + 3
			j = i
		}
		if w := p.w(j); (isDash(w) || w == "to" || w == "through" || w == "thru" || w == "…") && (p.at(j+1).Kind == Number || p.at(j+1).Kind == Ordinal) && p.at(j+1).Val > t.Val && p.at(j+1).Val <= min(MaxRowNumber, t.Val+maxRange) && !(isDash(w) && !p.at(j).Glued && (p.w(j+2) == "st" || openers[p.w(j+2)] != "" && (p.at(j+3).Kind == Number || isDash(p.w(j+3))))) {
			for v := t.Val + 1; v <= p.at(j+1).Val; v++ {
				ns = append(ns, v)
			}
			i = j + 2
			j = i
		}
		for p.w(j) == "," || p.w(j) == "and" || p.w(j) == "&" || p.w(j) == "+" || p.w(j) == "/" || p.w(j) == "also" {
			j++
		}
		if k, _, ok := p.rowAgain(j); ok && j > i {
			j = k
		}
		if j == i || (p.at(j).Kind != Number && p.at(j).Kind != Ordinal) || j >= len(p.toks) {
			break
		}
		if p.at(j).Val <= t.Val && p.w(j-1) != "&" && p.w(j-1) != "and" {
			break
		}
		if w := p.w(j + 1); w == "x" || w == "times" || w == "more" {
			break
		}
		i = j
	}
	sort.Ints(ns)
	uniq := ns[:0]
	for k, v := range ns {
		if k == 0 || v != ns[k-1] {
			uniq = append(uniq, v)
		}
	}
	return uniq, letter, i, true
}

// rowAgain skips a repeated "Row" within "Row 1 and Row 3".
func (p *parser) rowAgain(i int) (int, bool, bool) {
	round, j, ok := p.rowWord(i)
	return j, round, ok
}

// every reads "and all WS rows", "and every foll alt row" at i.
func (p *parser) every(i int) (e Every, next int, ok bool) {
	start := i
	defer func() {
		if e.Odd || e.Even {
			e.Step = 0 // "alt odd rows": every odd one
		}
	}()
	if p.w(i) == "," {
		i++
	}
	if p.w(i) == "and" || p.w(i) == "&" || p.w(i) == "then" {
		i++
	} else {
		return e, start, false
	}
	if p.w(i) == "on" || p.w(i) == "the" {
		i++
	}
	seen := false
	for i < len(p.toks) {
		if s, j, ok := p.sideWord(i); ok {
			e.Side = s
			i, seen = j, true
			if p.w(i) == "row" || p.w(i) == "rnd" {
				continue
			}
			continue
		}
		switch w := p.w(i); w {
		case "all", "every", "each", "following", "other", "alt", "subsequent", "even", "odd", "numbered", "-", "rem", "these", "succeeding", "second", "(", ")", "then", "the", "alternating":
			switch w {
			case "other", "alt", "alternating":
				e.Step = 2
			case "even":
				e.Even = true
			case "odd":
				e.Odd = true
			case "all", "every", "each":
				seen = true
			case ")":
				if !(p.w(i-1) == "rs" || p.w(i-1) == "ws" || p.w(i-1) == "side") {
					return e, start, false
				}
			}
			if w == "following" {
				seen = true
			}
			i++
			continue
		case "row", "rnd", "row's":
			i++
			if !seen && e.Step != 2 || !e.On() {
				return e, start, false
			}
			if e.Side != "" && e.Step == 2 {
				e.Step = 0
			}
			return e, i, true
		case ":": // "Row 2 & all WS:"
			if seen && e.On() {
				return e, i, true
			}
		}
		if p.at(i).Kind == Ordinal && p.at(i).Val > 1 && seen {
			e.Step = p.at(i).Val
			i++
			continue
		}
		return e, start, false
	}
	return e, start, false
}

// head reads what stands before a row's body; next is where the body begins.
func (p *parser) head(i int) (h Head, next int, ok bool) {
	start := i
	fail := func() (Head, int, bool) { return Head{}, start, false }
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
			if k, ok := p.words(i, "to", "up to", "through"); ok { // "to Rnd 8"
				if _, q, ok := p.rowWord(k); ok && p.at(q).Kind == Number {
					h.Every.Last, i = p.at(q).Val, q+1
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
		if p.w(i) == "," {
			if s, j, ok := p.sideWord(i + 1); ok && h.Side == "" {
				h.Side, i = s, j
				continue
			}
		}
		if j, ok := p.words(i, "of patt", "of pattern", "of chart"); ok && p.w(j) == ":" {
			i = j
			continue
		}
		break
	}
	if len(h.Numbers) == 0 && !h.Every.On() && (p.w(start) == "every" || p.w(start) == "each" || p.w(start) == "all") && named == start+2 {
		h.Numbers, h.EveryRow = []int{1}, true // of a one-row pattern
	}
	h.Span = p.span(start, i)
	h.Words = p.raw(start, named)
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
			if _, _, k, ok := p.numbers(j); ok && (p.w(k) == ":" || openers[p.w(k)] != "" || p.w(k) == ".") {
				j = k // "Set-up Row 1": goes by its words
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
			return start, false
		case t.Kind == Ordinal:
		default:
			return start, false
		}
		i++
	}
	return start, false
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
	if delim && p.w(end-1) == "row" || delim && p.w(end-1) == "rnd" || delim && after != "(" && after != "." && !digits || delim && after == ":" {
		return end + 1, true
	}
	return i, false
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
