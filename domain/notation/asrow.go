package notation

import (
	"strings"
)

// This file reads "as Row 2" and "work as for Back".

// asRow reads "as Row 2", "rep Row 2", "rep Rows 1–5" as the body of a row.
func (r *reader) asRow(p *parser, i int, several bool) (*RowRef, int, bool) {
	if c := openers[p.w(i)]; c != "" && several { // "[Rep rows 2-5] 10 times"
		if ref, j, ok := r.asRow(p, i+1, false); ok && p.w(j) == c {
			if _, k, ok := p.times(j + 1); ok {
				return ref, k, true
			}
		}
		return nil, i, false
	}
	j, ok := p.words(i, "as given for", "as for", "same as for", "same as", "exactly as", "work as for", "work as", "work same as", "like", "as", "rep", "rep", "knit as", "knit as for", "work", "knit same as", "rep as", "follow", "purl as", "cont as", "same", "ditto", "see", "=")
	if q, named := p.headNamed(p.skipWords(i, "work", "as", "rep", "repeat")); named && q > i+1 && hasWord(p, i, "work", "as", "rep", "repeat") { // "Next row: Work Rib row 2"
		return &RowRef{Words: p.raw(p.skipWords(i, "work", "as", "rep", "repeat"), q)}, q, true
	}
	if _, k, row := p.rowWord(i); !ok && row && i > 0 { // "Row 3: = row 1"
		if ns, letter, q, ok := p.numbers(k); ok && letter == "" && (q >= len(p.toks) || p.w(q) == "." && q+1 >= len(p.toks)) {
			return &RowRef{Numbers: ns}, q, true
		}
	}
	if !ok {
		return nil, i, false
	}
	verb := p.w(i)
	for p.w(j) == "the" {
		j++
	}
	if _, k, ok := p.rowWord(j); ok {
		ns, letter, q, ok := p.numbers(k)
		if !ok {
			return nil, i, false
		}
		if p.w(q) == "of" && verb == "work" {
			return nil, i, false
		}
		if _, e, ok := p.times(q + 1); ok && several && p.w(q) == "," {
			return &RowRef{Numbers: ns}, e, true
		}
		if _, e, ok := p.times(q); ok && several {
			return &RowRef{Numbers: ns}, e, true
		}
		if p.w(q) == "until" || p.w(q) == "twice" || p.w(q) == "times" {
			return nil, i, false
		}
		if letter != "" {
			return &RowRef{Words: p.raw(j, q)}, q, true
		}
		if e := p.skipWords(q+1, "the"); p.w(q) == "of" && p.at(e).Kind == Word && verb == "as" { // "As Row 3 of the body"
			return &RowRef{Numbers: ns, Section: p.raw(e, e+1)}, e + 1, true
		}
		return &RowRef{Numbers: ns}, q, true
	}
	if p.at(j).Kind == Ordinal {
		ns, _, q, _ := p.numbers(j)
		if e, _, ok := p.rowAgain(q); ok {
			return &RowRef{Numbers: ns}, e, true
		}
		if verb != "work" && verb != "knit" && (q >= len(p.toks) || p.w(q) == ".") {
			return &RowRef{Numbers: ns}, q, true
		}
		return nil, i, false
	}
	// as Dec rnd, as set-up row, as last row
	if p.w(j) == "last" || p.w(j) == "previous" || p.w(j) == "prev" || p.w(j) == "preceding" {
		n, k, ok := p.num(j + 1)
		if !ok {
			n, k = N(1), j+1
		}
		if e, _, ok := p.rowAgain(k); ok {
			return &RowRef{Last: n.For(0)}, e, true
		}
		if p.w(k) == "row" || p.w(k) == "rnd" {
			return &RowRef{Last: n.For(0)}, k + 1, true
		}
		return nil, i, false
	}
	if verb == "work" || verb == "knit" {
		return nil, i, false
	}
	for k := j; k < j+4 && k < len(p.toks); k++ {
		if p.at(k).Kind != Word && p.w(k) != "-" {
			break
		}
		if (p.w(k) == "row" || p.w(k) == "rnd") && k > j {
			e := k + 1
			if p.at(e).Kind == Number {
				e++
			}
			return &RowRef{Words: p.raw(j, e)}, e, true
		}
	}
	return nil, i, false
}

// asPiece reads "Work as for Back to armhole".
func (r *reader) asPiece(p *parser, i, end int) (*As, int, bool) {
	if p.w(i) == "and" && p.w(i+1) == "work" { // "cast on 110 sts and work as back until …"
		i++
	}
	switch p.w(i) {
	case "work", "knit", "make", "cont", "follow", "as", "complete", "then", "same":
	default:
		return nil, i, false
	}
	within := i + 6
	if p.w(i) == "work" && p.w(i+1) == "row" { // "Work Rows 1 to 5 and finish as for the first square"
		within = i + 12
	}
	at, j, ok := p.find(i, min(end, within), "as given for", "as for", "same as for", "same as", "as written for", "exactly as given|written|described? for", "exactly as for", "exactly as", "exactly like", "as", "like", "to match", "as on", "to correspond with", "as given on", "instructions|directions for")
	if !ok && p.w(i) == "follow" { // "Follow back to armhole shaping"
		at, j, ok = i, p.skipWords(i+1, "instructions", "directions", "for", "of"), true
	}
	if !ok {
		return nil, i, false
	}
	if _, _, fabric := p.find(i, at, "rib", "ribbing", "moss", "seed", "garter", "welt"); fabric {
		return nil, i, false // "Work in rib as for back until piece measures 6 cm"
	}
	if _, _, shaping := p.find(i, at, "shaping|shapings|decs|incs|decrease|increase"); shaping {
		if _, k, until := p.find(j, end, "until|till|til"); until && p.at(p.skipWords(k, "there", "are")).Kind == Number {
			return nil, i, false // "Work raglan shaping as given for Back until 11 sts rem": the count tells how far
		}
	}
	if _, _, length := p.find(i, at, "until", "till", "even", "straight", "measures", "measure"); length {
		return nil, i, false // "Cont even until armhole measures same as Back"
	}
	for k := len(r.ms.Items) - 1; k >= 0; k-- {
		h, ok := r.ms.Items[k].(*Heading)
		if !ok || h.Kind != HeadPiece {
			continue
		}
		nt := scanLine(h.Text, 1)
		if len(nt) > 1 && nt[0].Text == "the" {
			nt = nt[1:]
		}
		for p.w(j) == "the" {
			j++
		}
		n := 0
		for n < len(nt) && nt[n].Kind == Word && p.w(j+n) == folded(nt[n].Text) {
			n++
		}
		whole := n == len(nt) || n > 0 && nt[n].Text == "("
		if n == 0 || !whole && n < 1 {
			continue
		}
		if !p.asGoesOn(i, at, j+n, end) {
			return nil, i, false
		}
		a := &As{Piece: h.Text, Words: p.raw(i, end), Span: p.span(i, end)}
		q := j + n
		for k := q; k < end; k++ {
			if u, _, ok := p.untilCond(k); ok && u.Sts.Given() && !u.Between {
				a.Until = u.Sts
				break
			}
		}
		if k, _, ok := p.find(q, end, "and"); ok && !a.Until.Given() { // "until the shaping is completed and 80 sts remain"
			if n, e, ok := p.num(k + 1); ok && p.w(e) == "st" && (p.w(e+1) == "rem" || p.w(e+1) == "are") {
				a.Until = n
			}
		}
		for k := q; k < end && !a.Until.Given(); k++ {
			if st, e, ok := p.stated(k); ok && (isDash(p.w(k)) || p.w(k) == ":" || openers[p.w(k)] != "") && len(st) > 0 && st[0].Kind == CountAll {
				a.Until, end = st[0].N, e
			}
		}
		if st, e, ok := p.stated(end); ok && len(st) > 0 && st[0].Kind == CountAll && !a.Until.Given() { // "… have been worked – 84 (92) sts."
			a.Until, end = st[0].N, e
		}
		if at, t, ok := p.find(q, end, "to", "until", "as far as", "up to", "till"); ok {
			_ = at
			if a.Until.Given() {
				t = end
			}
			a.To = strings.TrimSpace(p.raw(t, min(end, t+14)))
			for e, depth := t, 0; e < end; e++ { // the commas of a list of sizes end nothing
				if depth += nesting(p.w(e)); depth <= 0 && hasWord(p, e, ",", ";", "ending", "reversing") {
					a.To = strings.TrimSpace(p.raw(t, e))
					break
				}
			}
			if e, k, ok := p.find(t, end, "start|beg of? shoulder|neck|armhole|armholes|raglan shaping|shapings", "row|rnd before? shoulder|neck|armhole|armholes|raglan shaping|shapings"); ok && !a.Until.Given() { // "until there are 20 rows fewer than on Back to start of shoulder shaping"
				a.To = strings.TrimSpace(p.raw(k-2, k))
				_ = e
			}
		}
		if mark := p.marksAround(i, at); mark != "" && a.To == "" && !a.Until.Given() {
			a.To = mark
		}
		if _, _, ok := p.find(q, end, "revers", "reversing", "reversed", "reverse"); ok {
			a.Reversed = true
		}
		if _, _, but := p.find(q, end+1, "but", "except"); but && p.w(end-1) == ":" || but && p.w(end) == ":" {
			a.But = true
		}
		if p.w(end) == "." {
			end++
		}
		return a, end, true
	}
	return nil, i, false
}

// asGoesOn says that what stands around "as given for Back" makes it the piece's rows, not only its
// stitch: "Work in rib as for Back for 6 cm", "work in patt as on Back, inc 1 st at both ends …".
func (p *parser) asGoesOn(i, at, after, end int) bool {
	stitch := false
	for k := i; k < at; k++ {
		if p.at(k).Kind == Number && (p.w(k+1) == "row" || p.w(k+1) == "rnd" || p.w(k+1) == "cm" || p.w(k+1) == "in" || p.w(k+1) == "ins" || p.w(k+1) == "inches") {
			return false // "Work 18 rows in rib as given for back"
		}
		stitch = stitch || hasWord(p, k, "rib", "ribbing", "patt", "pattern", "garter", "moss", "seed", "st", "border")
	}
	if !stitch {
		return true
	}
	if p.w(after) == "for" {
		return false
	}
	return p.w(after) != "," || !hasWord(p, p.skipWords(after+1, "and", "at", "same", "time", "shaping", "sides", "by", "but"), "inc", "dec", "increase", "decrease", "increasing", "decreasing")
}

// marksAround is the mark in "from ** to **" within the words from i to end; "" where there is none.
func (p *parser) marksAround(i, end int) string {
	for k := i; k+3 < end+1; k++ {
		if p.w(k) == "from" && isMark(p.w(k+1)) && p.w(k+2) == "to" && p.w(k+3) == p.w(k+1) {
			return p.w(k + 1)
		}
	}
	return ""
}
