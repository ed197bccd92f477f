package notation

import "strings"

// This file reads the counts written at a row's end.

// stated reads a count at a row's end: "– 83 (95, 107) sts", "(2 sts inc'd)".
// It must reach the end of the row, or a full stop.
func (p *parser) stated(i int) ([]Stated, int, bool) {
	start := i
	if p.w(i-1) == "as" && p.at(i).Val == 1 && p.w(i) != "" { // "working each double stitch as one st"
		return nil, start, false
	}
	if k := p.skipWords(i, ","); p.w(k) == "leaving" && (p.w(k-1) == "turn" || p.w(k-2) == "turn") { // "turn, leaving 5 sts on the needle"
		return nil, start, false
	}
	if st, k, ok := p.brokenDown(i); ok {
		return []Stated{*st}, k, true
	}
	closer := ""
	lead := ""
	for {
		w := p.w(i)
		if isDash(w) && p.sizes > 1 && p.dashVector(i) {
			break
		}
		switch {
		case isDash(w) || w == "=" || w == "…" || w == ":" || w == "→" || w == ">":
			lead = w
			i++
			continue
		case openers[w] != "" && closer == "":
			closer, lead = openers[w], w
			i++
			continue
		case w == "," || w == ";" || w == ".":
			if lead != "" {
				return nil, start, false
			}
			lead = w
			i++
			continue
		}
		break
	}
	if lead == "," || lead == ";" {
		for p.w(i) == "and" || p.w(i) == "now" || p.w(i) == "with" {
			i++
		}
	}
	if lead == "," {
		if k, ok := p.words(i, "so that there|you are|have again|now?"); ok && p.at(k).Kind == Number { // ", so that there are again 40 stitches on the needle"
			i = k
		}
	}
	if lead == "" && p.at(i).Kind != Number && !p.dashVector(i) {
		if _, ok := p.words(i, "you should now? have", "there are|should|will|rem", "you now? have", "you will now? have", "you'll now? have", "total", "to give", "leaving", "giving", "now"); !ok {
			return nil, start, false
		}
	}
	var out []Stated
	beforeMarker := false
	strict := lead == "" || lead == "," || lead == ";" || lead == "." || lead == ":"
	for {
		st, j, unit, ok := p.oneStated(i, closer != "" || lead == "-")
		if !ok || strict && !unit {
			return nil, start, false
		}
		if w := p.w(j - 2); st.Kind == CountAll && (w == "gusset" || w == "thumb") && (len(out) > 0 && out[0].Kind == CountAll || len(out) == 0 && w == "gusset") { // "43 sts; 11 gusset sts"
			st.Kind = CountBetween
		}
		ofPiece := hasWord(p, j-1, "body", "yoke", "back", "front", "sleeve", "hand", "leg", "foot", "crown")
		_, _, ofThem := p.find(i, j, "of them|these|those|which") // "55 sts, 15 of them between the markers"
		if len(out) == 0 || st.Kind != CountAll || !ofPiece && !ofThem && (out[0].Kind != CountAll || p.w(j-1) == "st") {
			out = append(out, st) // else some of them: ": 25 sts for each front, 48 sts for the back"
		}
		if k := len(out) - 1; k == 1 && beforeMarker && st.Kind == CountBetween && hasWord(p, j-2, "after") { // "28 sts before m and 52 sts after m": all there are
			out = []Stated{{Kind: CountAll, N: sumNum(out[0].N, st.N), Span: out[0].Span.Cover(st.Span)}}
		}
		beforeMarker = st.Kind == CountBetween && hasWord(p, j-2, "before")
		i = j
		if k, ok := p.ofThem(i); ok && unit {
			part, q, _, ok := p.oneStated(k, closer != "")
			if !ok {
				return nil, start, false
			}
			if part.Kind != CountAll { // "with 10 sts on holder" is not looked into
				out = append(out, part)
			}
			i = q
		}
		if closer != "" && p.w(i) == "." && p.w(i+1) == closer { // "(70 stitches.)"
			i++
		}
		if closer != "" && p.w(i) == closer {
			i++
			break
		}
		if (p.w(i) == "," || p.w(i) == ";" || p.w(i) == "/" || p.w(i) == "and") && closer != "" || (p.w(i) == "," || p.w(i) == ";" || p.w(i) == ":" && unit || p.w(i) == "and" && (beforeMarker || st.Kind == CountBetween)) && p.at(i+1).Kind == Number {
			i++
			continue
		}
		break
	}
	if closer != "" && p.w(i-1) != closer {
		return nil, start, false
	}
	if q, ok := p.plainTail(start, i); ok {
		i = q
	}
	for i < len(p.toks) {
		if w := p.w(i); w == "." || w == "!" || w == ";" && i+1 >= len(p.toks) {
			i++
			return out, i, true
		} else if openers[w] != "" || isDash(w) {
			if more, j, ok := p.stated(i); ok {
				return append(out, more...), j, true
			}
			return nil, start, false
		} else if w == "," || w == "turn" && i+1 == len(p.toks) {
			i++
			continue
		}
		if raw := p.at(i).Raw; p.w(start) == "." && closer != "" && p.at(i).Kind == Word && raw != strings.ToLower(raw) { // "… (18 sts.) Knit 31 rnds"
			return out, i, true
		}
		return nil, start, false
	}
	return out, i, true
}

// plainTail passes the words between a count that "you should have" and the end of its sentence, where
// they say nothing about which stitches are meant: "You should have 9 sts ready for the set-up rows."
func (p *parser) plainTail(start, i int) (int, bool) {
	if _, ok := p.words(p.skipWords(start, ".", ",", ";", "–"), "you should now? have", "you will now? have", "you'll now? have", "you now? have", "there should|will now? be"); !ok {
		return i, false
	}
	for q := i; q < len(p.toks) && q < i+12; q++ {
		switch w := p.w(q); {
		case w == "." || w == "!":
			return q, q > i
		case p.at(q).Kind != Word && w != "'" && w != "-" || countOfSome[w]:
			return i, false
		}
	}
	return i, false
}

// countOfSome are words behind a count which say that it is of some stitches only, or that it changes.
var countOfSome = map[string]bool{"each": true, "every": true, "per": true, "between": true, "before": true, "after": true, "m": true, "side": true,
	"sleeve": true, "back": true, "front": true, "body": true, "yoke": true, "hand": true, "leg": true, "foot": true, "thumb": true, "finger": true, "gusset": true,
	"heel": true, "sole": true, "instep": true, "toe": true, "shoulder": true, "neck": true, "edge": true, "strap": true, "left": true, "right": true, "first": true, "second": true,
	"of": true, "or": true, "less": true, "more": true, "fewer": true, "inc": true, "dec": true, "extra": true, "if": true, "unless": true, "until": true, "held": true, "hold": true, "holder": true,
	"stitch": true, "and": true, "with": true, "but": true, "st": true, "plus": true, "cable": true, "spare": true, "needle": true}

// ofThem reads ", with", "of which", "including" in front of a number: some of the
// stitches just counted.
func (p *parser) ofThem(i int) (int, bool) {
	if w := p.w(i); w == "," || w == ";" || w == ":" {
		i++
	}
	k, ok := p.words(i, "with", "and with", "of which", "of these", "including", "incl", "having")
	if !ok {
		return i, false
	}
	if q, ok := p.words(k, "there are|is", "is|are", "you have"); ok {
		k = q
	}
	_, _, ok = p.num(k)
	return k, ok && p.at(k).Kind == Number
}

// dashVector: "- (-, 56, 58) sts", a vector that begins with a size left out.
func (p *parser) dashVector(i int) bool {
	if i < 0 || !isDash(p.w(i)) || p.sizes < 2 {
		return false
	}
	_, _, ok := p.num(i)
	return ok
}

// oneStated reads one count; unit says that a word such as "sts" stood behind it.
func (p *parser) oneStated(i int, signed bool) (Stated, int, bool, bool) {
	start := i
	counted := false // "Stitch count: 54": it says of what
	if j, ok := p.words(i, "st count", "total number of st", "number of st", "st :", "count of st"); ok {
		i, counted = p.skipWords(j, ":", "=", "is"), true
	}
	if j, ok := p.words(i, "that makes|is|gives", "so that you now? have", "so you now? have", "so that there are", "which gives", "which makes", "which leaves", "which is", "to make", "you should now? have", "you will now? have", "you'll now? have", "there should|will now? be", "there are now", "there are", "there rem", "you now? have", "you have", "total number of st", "st count", "count", "total of", "total", "to give", "leaving", "giving", "now", "a total of", "for a total of", "makes", "leaves", "this leaves", "= ", "making"); ok {
		i = j
	}
	if p.w(i) == "that" && len(p.at(i).Raw) > 4 { // "That's 72 sts": its ending was cut
		i++
	}
	for p.w(i) == ":" || p.w(i) == "=" {
		i++
	}
	sign := ""
	if p.w(i) == "+" || signed && isDash(p.w(i)) && p.at(i+1).Glued && !p.dashVector(i) {
		sign = p.w(i)
		i++
	}
	if hasWord(p, i, "inc", "dec", "increased", "decreased") {
		n, j, ok := p.num(p.overPoint(i + 1))
		if !signed || !ok || p.w(j) != "st" || !hasWord(p, j+1, ";", ",", ")", "]") { // "(dec 6 sts; 54 sts)"
			return Stated{}, start, false, false
		}
		kind := CountInc
		if hasWord(p, i, "dec", "decreased") {
			kind = CountDec
		}
		return Stated{Kind: kind, N: n, Span: p.span(start, j+1)}, j + 1, true, true
	}
	n, j, ok := p.num(i)
	if !ok || p.at(i).Kind != Number && !openersOrDash(p.w(i)) {
		return Stated{}, start, false, false
	}
	st := Stated{Kind: CountAll, N: n}
	unit := counted
	if k, ok := p.words(j, "more|extra|additional|new st"); ok && p.at(i-1).Kind != Number { // "Four more sts."
		st.Kind, st.Span = CountInc, p.span(start, k)
		return st, k, true, true
	}
	if k, ok := p.words(j, "live|total|working|body|sleeve|heel|instep|sole|gusset|thumb|toe|crown? st", "st"); ok {
		j, unit = k, true
	}
	if k, ok := p.words(j, "of them|these|those|which"); ok && hasWord(p, start-1, ",", ";", "(", "–") {
		j, unit = k, true
	}
	if k, ok := p.words(j, "inc'd", "increased", "inc", "increase", "gained", "inc - d", "added", "increase", "inc ' d", "more"); ok {
		st.Kind, j, unit = CountInc, k, true
	} else if k, ok := p.words(j, "dec'd", "decreased", "dec", "decrease", "bound off", "bo", "cast off", "fewer", "lost", "dec ' d", "eliminated"); ok {
		st.Kind, j, unit = CountDec, k, true
	} else if k, ok := p.words(j, "rem for|on|at each shoulder|side|front|half|strap|section|leg", "rem each side", "at|on|each? each side of m", "on each|either side of centre st", "at|on|for each|either side|end|shoulder|half|front", "each side", "each end", "on each needle", "on each of 2|two|3|three|4|four needle|dpns|dpn|circulars?", "on each needle tip|end?", "per needle", "each side of centre", "per side", "for each side|shoulder|front|sleeve|strap|leg", "each", "on either side"); ok {
		st.Kind, j, unit = CountSide, k, true
		j = p.skipWords(j, "for", "straps", "strap", "shoulder", "shoulders", "of", "neck", "front", "fronts", "and", "back", "the", "each", "side", "sides")
	} else if k, ok := p.words(j, "rem for left|right front|back|shoulder|side|half"); ok && unit { // "knit to end. 25 sts remain for left front": some of them
		st.Kind, j = CountBetween, k
	} else if k, ok := p.words(j, "before|to first|1st? m", "after|from last? m", "are|is|lie|lying? in? between m for|at|on|in each? sleeve|sleeves|back|front|fronts|body|side|thumb|gusset", "between m", "are|is|lie|lying? in? between m", "are|is? between gusset|thumb m", "are|is? in gusset", "for gusset", "for thumb", "are|is? in thumb gusset"); ok {
		st.Kind, j, unit = CountBetween, k, true
	} else {
		for {
			if k, ok := p.words(j, "for the? left|right? body|yoke|back|front|sleeve|hand|leg|foot|crown|shoulder"); ok && unit && (k >= len(p.toks) || hasWord(p, k, ".", ")", "]", ",", ";")) { // "– 164 sts for body"
				j = k
				continue
			}
			if k, ok := p.words(j, "rem in all", "rem on needle", "rem", "now on needle", "on needle", "on your working|circular? needle", "on working|circular needle", "total", "in all", "altogether", "in total", "at end of row", "at end of rnd", "in row", "left", "on lh needle", "are left", "for this size", "in work", "on row", "at end", "now", "across", "in rnd", "in each row", "on holder"); ok {
				j, unit = k, true
				continue
			}
			break
		}
	}
	if st.Kind == CountInc || st.Kind == CountDec {
		if k, ok := p.words(j, "at|on? each|both neck|armhole|side edge", "at|on? each|both side|sides|end|ends|edge|edges"); ok { // "1 st dec'd each side"
			st.N, j = mulNum(st.N, N(2)), k
		}
	}
	switch sign {
	case "+":
		st.Kind, unit = CountInc, true
	case "-", "–":
		st.Kind, unit = CountDec, true
	}
	st.Span = p.span(start, j)
	return st, j, unit, true
}

func openersOrDash(s string) bool { return openers[s] != "" || isDash(s) }

// statedOrStop reads the count stated at j, with what ends it, or else the full stop there.
func (p *parser) statedOrStop(j int) ([]Stated, int) {
	if st, k, ok := p.stated(j); ok {
		return st, k
	}
	if p.w(j) == "." {
		j++
	}
	return nil, j
}

// statedToEnd is statedOrStop for a sentence that ends at end and says nothing more
// than a count; ok is false where it does.
func (p *parser) statedToEnd(j, end int) (st []Stated, next int, ok bool) {
	st, next = p.statedOrStop(j)
	return st, next, st != nil || j >= end
}
