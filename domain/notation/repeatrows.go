package notation

import (
	"strings"
)

// This file reads sentences about rows: repeating them, working without
// shaping, and shaping over many rows.

// repRows reads "Rep Rows 1–8 5 times more", "Rep last 2 rows until 8 sts rem": which rows,
// and then how often, on which rows or until when.
func (p *parser) repRows(i int) (*RepRows, int, bool) {
	if hasWord(p, i, "rep", "repeat", "work", "then", "and") {
		at := p.skipWords(i, "then", "and")
		at = p.skipWords(at, "rep", "repeat", "work", "these", "those", "both")
		if k := p.rowsOfFabric(at); k > 0 { // "Rib rows 1 and 2", "the 2 rib rows", "the last 4 yoke rows"
			_, _, elsewhere := p.find(k, k+12, "given", "as for|on", "of") // rows of another piece
			if q := *p; elsewhere || p.at(k+2).Kind != Number && p.w(p.skipWords(i, "then", "and")) == "work" && !hasWord(p, k-2, "these", "last") {
			} else if p.at(k+2).Kind != Number {
				q.toks = append(append([]Token(nil), p.toks[:k]...), p.toks[k+1:]...)
				if rr, j, ok := q.repRows(i); ok {
					return rr, j + 1, true
				}
			} else if v := p.skipWords(i, "then", "and"); p.w(v) == "work" {
				if rr, j, ok := p.renamed(v, "rep").repRows(i); ok {
					return rr, j, true
				}
			}
		}
	}
	r := &RepRows{}
	start, written := i, p
	p, i, ok := p.repLead(i)
	if !ok {
		return nil, start, false
	}
	if k, ok := p.asShaped(i); ok {
		return p.shapedAgain(r, start, k)
	}
	if _, _, ok := p.find(i, i+8, "to end as given? for", "to end as for"); ok && p.w(i) == "work" {
		return nil, start, false // "Work Rows 1 to end as for the first square"
	}
	if _, _, ok := p.find(i, min(p.sentenceEnd(i), i+14), "and|, finish|complete|continue|cont as given? for", "and|, finish|complete as", "and|, finish|complete like"); ok && p.w(i) == "work" {
		return nil, start, false // "Work Rows 1 to 5 and finish as for the first square"
	}
	if hasWord(p, start, "then") { // "Work Rows 1–2 as for button band, then Row 1 again"
		if _, k, ok := p.rowWord(i); ok {
			if ns, letter, q, ok := p.numbers(k); ok && letter == "" && len(ns) > 0 {
				q = p.skipWords(q, "again", "once", "more")
				if w := p.w(q); q >= len(p.toks) || w == "." || w == "," || w == ";" {
					r.Ref.Numbers, r.Words = ns, p.raw(start, q)
					if q < len(p.toks) {
						q++
					}
					r.Span = p.span(start, q)
					return r, q, true
				}
			}
		}
	}
	if k, ok := p.words(i, "work|rep|knit them"); ok && !p.at(k).Glued { // "These two rows set the raglan. Work them 14 times more"
		if n := p.rowsSpoken(i); n > 0 {
			r.Ref.Last = n
			return p.themAgain(r, start, k)
		}
	}
	if _, ok := p.words(i, "working last row on|from"); ok {
		return nil, start, false // "…, working last row on wrong side"
	}
	i, work, ok := p.repVerb(i, i > start)
	if !ok {
		return nil, start, false
	}
	j := p.repFiller(i)
	if p.w(j) == "first" && p.at(j+1).Kind == Number && p.w(j+2) == "of" && p.w(j+3) == "last" && !work {
		r.Ref.First, j = p.at(j+1).Val, j+3
	}
	lastN, j, ok := p.rowsMeant(r, i, j, work)
	if !ok {
		return nil, start, false
	}
	if lastN == 0 && r.Ref.Words == "" && len(r.Ref.Numbers) == 0 {
		return nil, start, false
	}
	r.Ref.Last = lastN
	r.Words = p.raw(start, j)
	j = p.skipWords(j, "inclusive", "only", "above", "incl")
	if openers[p.w(j)] != "" {
		if k, ok := p.words(j+1, "inclusive )", "incl )", "only )"); ok {
			j = k
		} else {
			j = p.rowsAgain(j)
		}
	}
	j = p.ofPattern(r, j)
	j = p.onRows(r, j)
	j = p.howOften(r, j, work)
	j = p.restOfRepeat(r, j)
	if p.w(j) == "." {
		j++
	}
	if len(p.toks) > start && p.toks[start].Text != written.toks[start].Text { // told in the passive
		r.Words = written.raw(start, min(written.sentenceEnd(start), start+12))
	}
	r.Span = p.span(start, j)
	return r, j, true
}

// repLead passes "then", "continue and", "keep on" before a repeat. The parser it returns reads a
// demonstrative behind "keep working" as the repeat's verb.
func (p *parser) repLead(i int) (*parser, int, bool) {
	start := i
	for p.w(i) == "then" || p.w(i) == "cont" || p.w(i) == "continue" || p.w(i) == "and" || p.w(i) == "now" || p.w(i) == ":" || p.w(i) == "," || p.w(i) == "to" && i > start || p.w(i) == "by" && i > start {
		i++
	}
	if hasWord(p, start, "cont", "continue") && i > start { // "Cont in St st and work Inc row every 8th row 8 times more"
		for k := i + 1; k < i+9; k++ {
			if q, ok := p.words(k, "and work|rep inc|dec|increase|decrease row|rnd", "working|rep inc|dec|increase|decrease row|rnd", ", work|rep|working inc|dec|increase|decrease row|rnd"); ok && hasWord(p, q, "every", "on", "each") {
				i = q - 3
				if !hasWord(p, i, "work", "rep", "repeat", "working", "repeating") {
					return p, start, false
				}
				break
			}
		}
	}
	p = p.madeActive(i)
	if k, ok := p.words(i, "keep on? doing|working|rep|knitting", "go on doing|working|rep"); ok {
		i = k - 1
		if w := p.w(k); w == "that" || w == "the" || w == "this" || w == "those" || w == "these" || w == "last" {
			p = p.renamed(i, "rep")
		}
	}
	if k, ok := p.words(i, "do that|this|the same? row|rnd", "do these|those|them|the two|2|last? row|rnd"); ok && k > i { // "Do that same row every time until you are back to 4 stitches"
		p = p.renamed(i, "rep")
	}
	return p, i, true
}

// madeActive is a parser that reads "These two rows are repeated until …" at i as "Repeat these two rows
// until …"; its words keep their number.
func (p *parser) madeActive(i int) *parser {
	if !hasWord(p, i, "these", "those", "this", "last", "row", "rnd", "both", "the") && p.at(i).Kind != Number && p.at(i).Kind != Ordinal {
		return p
	}
	for k := i + 1; k < min(i+9, len(p.toks)); k++ {
		q, ok := p.words(k, "is|are repeated", "is|are to be repeated", "is|are now|then|always repeated", "should|must|can be repeated")
		if !ok {
			if w := p.w(k); w == "." || w == ";" || w == ":" {
				return p
			}
			continue
		}
		out := *p
		out.toks = append([]Token(nil), p.toks[:i]...)
		rep := p.toks[i]
		rep.Text, rep.fold, rep.Kind = "rep", "rep", Word
		out.toks = append(out.toks, rep)
		for n := k + 1; n < q; n++ {
			fill := p.toks[i]
			fill.Text, fill.fold, fill.Kind = "the", "the", Word
			out.toks = append(out.toks, fill)
		}
		out.toks = append(append(out.toks, p.toks[i:k]...), p.toks[q:]...)
		return &out
	}
	return p
}

// shapedAgain reads the rest of "Dec like this on every other round a total of 9 times", from k behind
// "like this".
func (p *parser) shapedAgain(r *RepRows, start, k int) (*RepRows, int, bool) {
	r.Ref.Last, r.Ref.This = -1, true
	w, q, ok := p.when(k)
	if !ok || w.Every == 0 || w.Next > 0 || !w.Times.Given() {
		return nil, start, false
	}
	r.Words, r.When = p.raw(start, k), w
	q = p.thenWhen(&r.When, q)
	if st, e, ok := p.stated(q); ok {
		r.Stated, q = st, e
	} else if q < p.sentenceEnd(q) && p.w(q) != "," && p.w(q) != ";" {
		return nil, start, false
	}
	if p.w(q) == "." {
		q++
	}
	r.Span = p.span(start, q)
	return r, q, true
}

// repVerb passes the verb of a repeat; work says that it is "work" or the like, which may also
// begin a sentence of another kind. Behind another sentence the rows may stand without a verb.
func (p *parser) repVerb(i int, behind bool) (next int, work, ok bool) {
	switch p.w(i) {
	case "do", "doing":
		if w := p.w(i + 1); w != "this" && w != "that" && w != "these" && w != "those" && w != "last" && w != "the" && w != "row" && w != "rnd" {
			return i, false, false
		}
		i++
	case "rep", "repeat", "repeating", "rpt", "reps":
		i++
		if p.w(i) == "." && p.at(i).Glued {
			i++
		}
	case "alt", "alternate", "alternating": // "Alternate these 2 rnds until …"
		if !hasWord(p, i+1, "these", "those", "last", "between") {
			return i, false, false
		}
		i++
		if p.w(i) == "between" {
			i++
		}
	case "dec", "decrease", "inc", "increase": // "Dec row: …. Dec every RS row 4 times more."
		if !p.shapesLikeRow(i) {
			return i, false, false
		}
	case "work", "working", "knit", "k", "cont", "continue", "working in":
		work = true
		i++
		if p.w(i) == "in" {
			i++
		}
	default:
		// ", then Rows 1–4 once more"
		_, k, ok := p.rowWord(i)
		if !ok || !behind && i == 0 {
			return i, false, false
		}
		_, _, q, ok := p.numbers(k)
		if !ok {
			return i, false, false
		}
		if _, _, ok := p.times(q); !ok {
			return i, false, false
		}
	}
	return i, work, true
}

// repFiller passes "these", "all the", "both" before the rows.
func (p *parser) repFiller(i int) int {
	j := i
	for {
		if k, ok := p.words(j, "a|an"); ok && hasWord(p, k, "inc", "dec", "increase", "decrease") {
			j = k
			continue
		}
		if k, ok := p.words(j, "the", "these", "this", "those", "that", "entire", "above", "all", "from", "patt", "patterns", "both", "through", "of", "steps", "instructions", "just", "only", "same"); ok && k > j {
			j = k
			continue
		}
		if p.w(j) == "the" {
			j++
			continue
		}
		return j
	}
}

// rowsMeant reads which rows are repeated, at j; i is where the verb's object began. lastN is how many
// of the last rows, -1 for all of the section, 0 where they are told otherwise.
func (p *parser) rowsMeant(r *RepRows, i, j int, work bool) (lastN, next int, ok bool) {
	switch {
	case p.w(j) == "them" && !work: // "Repeat them until there are 60 rows in all"
		lastN, j = -1, j+1
	case p.w(j) == "it" && !work: // "This row forms the moss stitch. Repeat it 9 times"
		if _, _, often := p.times(j + 1); !often {
			return 0, j, false
		}
		lastN, j = 1, j+1
	case p.w(j) == "last" || p.w(j) == "previous" || p.w(j) == "prev" || p.w(j) == "preceding":
		n, k, ok := p.num(j + 1)
		if !ok {
			n, k = N(1), j+1
		}
		if k2, ok := p.words(k, "short? row", "short? rnd", "dec|inc|decrease|increase row|rnd", "two short? row"); ok {
			k = k2
		} else {
			return 0, j, false
		}
		lastN, j = n.For(0), k
		if !n.Single() {
			r.Ref.Lasts = n
		}
	case p.at(j).Kind == Number && p.w(j+1) == "short" && p.w(j+2) == "row" && !work && (p.w(j-1) == "these" || p.w(j-1) == "those"):
		lastN, j = p.at(j).Val, j+3
	case p.at(j).Kind == Number && (p.w(j+1) == "row" || p.w(j+1) == "rnd"):
		if work && (p.w(j-1) == "in" || !refersBack(p, i, j)) {
			return 0, j, false // "work 4 rows": without repeat
		}
		lastN, j = p.at(j).Val, j+2
	case p.at(j).Kind == Number && (p.w(j+1) == "-") && (p.w(j+2) == "row") && !work:
		lastN, j = p.at(j).Val, j+3 // "Rep these 8-row"
	case !work && (p.shapingAgain(j) || i == j && p.shapesLikeRow(j)):
		r.Ref.Words, j = map[byte]string{'d': "dec row", 'i': "inc row"}[p.w(j)[0]], j+1
	default:
		return p.rowsTold(r, j, work)
	}
	return lastN, j, true
}

// shapesLikeRow says that "dec" at i, without a number or a place, means the decrease row that was given: "Dec every
// RS row 4 times more."
func (p *parser) shapesLikeRow(i int) bool {
	kind := p.w(i)
	if kind != "dec" && kind != "decrease" && kind != "inc" && kind != "increase" {
		return false
	}
	when, k, ok := p.when(p.skipWords(i+1, "on"))
	if !ok || when.Every == 0 || !when.Times.Given() || p.w(k) != "." && p.w(k) != "," && !isDash(p.w(k)) && openers[p.w(k)] == "" && k < len(p.toks) {
		return false
	}
	if _, _, placed := p.find(k, p.sentenceEnd(k), "edge|edges|end|ends|side|sides"); placed {
		return false
	}
	for head := range p.rowHeads {
		if strings.HasPrefix(head, kind[:3]) && (strings.Contains(head, " row") || strings.Contains(head, " rnd")) {
			return true
		}
	}
	return false
}

// shapingAgain says that the row which shaped is named by what it did, behind "repeat the": "decrease every
// 2.5 cm 11 more times".
func (p *parser) shapingAgain(j int) bool {
	if !hasWord(p, j, "dec", "decrease", "inc", "increase") || !hasWord(p, j-1, "the", "this", "that", "rep", "repeat") {
		return false
	}
	if when, _, ok := p.when(p.skipWords(j+1, ",", "on")); ok {
		return when.Every > 0 || when.Length != ""
	}
	_, _, often := p.times(j + 1)
	return often
}

// fabricWords tell rows by what they make.
var fabricWords = map[string]bool{"rib": true, "ribbing": true, "seed": true, "moss": true, "band": true, "flap": true, "yoke": true, "lace": true, "cable": true, "garter": true, "border": true, "edging": true, "eyelet": true, "raglan": true, "heel": true, "cuff": true, "hem": true, "stripe": true, "patt": true, "mesh": true, "welt": true, "gusset": true}

// rowsOfFabric is where such a word stands that only says which rows are meant, behind j; 0 where none does.
func (p *parser) rowsOfFabric(j int) int {
	k := p.skipWords(j, "last", "previous", "first")
	counted := false
	if _, q, ok := p.num(k); ok {
		k, counted = q, true
	}
	if !fabricWords[p.w(k)] || !hasWord(p, k+1, "row", "rnd") {
		return 0
	}
	if !counted && p.at(k+2).Kind != Number {
		return 0 // "Rep the rib row"
	}
	if !counted {
		if _, _, often := p.times(k + 2); often {
			return 0
		}
	}
	return k
}

// rowsTold reads the rows by their numbers or by the words of their heads: "Rows 1–8", "from the 9th to
// the 12th row", "Dec rnd".
func (p *parser) rowsTold(r *RepRows, j int, work bool) (lastN, next int, ok bool) {
	_, _, often := p.times(j + 1) // "rep these rows 16 times more"
	if p.w(j) == "row" && (p.at(j+1).Kind != Number || p.w(j-1) == "this" || often) && hasWord(p, j-1, "this", "these", "the", "both", "above", "all", "same") || p.w(j) == "rnd" && (p.at(j+1).Kind != Number || p.w(j-1) == "this" || often) && hasWord(p, j-1, "this", "these", "both", "same") {
		lastN = 1
		if p.at(j).Text == "rows" || p.at(j).Text == "rounds" || p.at(j).Text == "rnds" {
			lastN = -1 // all of this section
			if p.w(j-1) == "both" {
				lastN = 2
			}
		}
		j++
		return lastN, j, true
	}
	if w := p.w(j - 1); (w == "this" || w == "that") && !work {
		_, _, timed := p.times(j)
		at := p.skipWords(j, ",", "on")
		when, _, often := p.when(at)
		if _, _, ends := p.untilCond(j); timed || ends || often && when.Every > 0 && when.Next == 0 && when.Times.Given() {
			lastN, r.Ref.This = -1, true
			return lastN, j, true
		}
	}
	if _, k, ok := p.rowWord(j); ok {
		ns, letter, q, ok := p.numbers(k)
		if t := p.at(k); !ok && k < len(p.toks) && t.Kind == Word && len(t.Raw) == 1 && t.Raw >= "A" && t.Raw <= "Z" { // "Repeat Row A until …"
			r.Ref.Words, j = p.raw(j, k+1), k+1
			return 0, j, true
		}
		if !ok {
			return 0, j, false
		}
		if letter != "" && len(ns) == 1 {
			r.Ref.Words = p.raw(j, q)
		}
		r.Ref.From = len(ns) == 1 && letter == "" && p.w(j-1) == "from"
		r.Ref.Numbers, j = ns, q
		return 0, j, true
	}
	if to, ok := p.words(j+1, "row? to"); ok && p.at(j).Kind == Ordinal && p.w(j-1) != "every" { // "from the 9th to the 12th row"
		for p.w(to) == "the" {
			to++
		}
		first, last := p.at(j).Val, p.at(to).Val
		if k, _, ok := p.rowAgain(to + 1); ok && p.at(to).Kind == Ordinal && first < last && last < MaxRowNumber {
			for n := first; n <= last; n++ {
				r.Ref.Numbers = append(r.Ref.Numbers, n)
			}
			j = k
			return 0, j, true
		}
	}
	if p.at(j).Kind == Ordinal {
		ns, _, q, _ := p.numbers(j)
		if k, _, ok := p.rowAgain(q); ok {
			r.Ref.From = len(ns) == 1 && (p.w(j-1) == "from" || p.w(j-1) == "the" && p.w(j-2) == "from")
			r.Ref.Numbers, j = ns, k
			return 0, j, true
		}
		return 0, j, false
	}
	if k, ok := p.headNamed(j); ok && (p.w(k-2) == "row" || p.w(k-2) == "rnd") && !hasWord(p, k, "and", "&", ",", "to", "-", "–", "/") { // "work Toe Round 1 only until …"
		r.Ref.Words = p.raw(j, k)
		return 0, k, true
	}
	// Rep Dec rnd, rep set-up row
	if w := p.w(j); w == "every" || w == "each" || w == "next" || work && w != "dec" && w != "inc" && w != "set" && w != "decrease" && w != "increase" && !p.namesRow(j) {
		return 0, j, false
	}
	for k := j; k < j+4 && k < len(p.toks); k++ {
		if p.at(k).Kind != Word && p.w(k) != "-" {
			break
		}
		if (p.w(k) == "row" || p.w(k) == "rnd") && k > j {
			r.Ref.Words = p.raw(j, k+1)
			r.Ref.Numbers = nil
			if ns, _, q, ok := p.numbers(k + 1); ok && !(p.w(q) == "times" || p.w(q) == "time" || p.w(q) == "more" || openers[p.w(q)] != "" || p.w(q) == "further" || p.w(q) == "x" || p.w(q) == "/") {
				r.Ref.Words = p.raw(j, q)
				k = q - 1
				_ = ns
			}
			j = k + 1
			break
		}
	}
	if r.Ref.Words == "" {
		return 0, j, false
	}
	return lastN, j, true
}

// namesRow says that the words at i are the head of a row that was given: "Work Rib round 20 times".
func (p *parser) namesRow(i int) bool {
	for k := i; k < i+4 && k < len(p.toks); k++ {
		if (p.w(k) == "row" || p.w(k) == "rnd") && k > i {
			return p.rowHeads[headKey(p.toks[i:k+1])]
		}
	}
	return false
}

// headNamed reads the whole head of a row that was given, with its number: "Rib row 2".
func (p *parser) headNamed(i int) (int, bool) {
	for k := min(i+6, len(p.toks)); k > i+1; k-- {
		if p.rowHeads[headKey(p.toks[i:k])] {
			return k, true
		}
	}
	return i, false
}

// headKey is the words of a row's head as they are compared.
func headKey(toks []Token) string {
	var b strings.Builder
	for _, t := range toks {
		b.WriteString(t.fold)
		b.WriteByte(' ')
	}
	return b.String()
}

// renamed is a parser that reads the word at i as another.
func (p *parser) renamed(i int, word string) *parser {
	q := *p
	q.toks = append([]Token(nil), p.toks...)
	q.toks[i].Text, q.toks[i].fold = word, word
	return &q
}

func refersBack(p *parser, i, j int) bool {
	for k := i; k < j; k++ {
		if w := p.w(k); w == "these" || w == "last" || w == "above" || w == "the" || w == "those" {
			return true
		}
	}
	return false
}

// rowsAgain passes a bracket that names the rows once more: "these three rounds (Inc rnd, then two knit
// rounds) until …".
func (p *parser) rowsAgain(i int) int {
	closer, named := openers[p.w(i)], false
	for k := i + 1; k < min(i+16, len(p.toks)); k++ {
		switch w := p.w(k); {
		case w == closer:
			if named && hasWord(p, k+1, "until", "till", "to", "a", "for", "once", "twice", "every", "on") || named && p.at(k+1).Kind == Number {
				return k + 1
			}
			return i
		case w == "row" || w == "rnd":
			named = true
		case w == "times" || w == "more" || w == "total" || w == "st" || openers[w] != "":
			return i
		}
	}
	return i
}

// fabricLead passes the words that tell how the fabric goes on while a row is repeated: "Continue in St st, working the
// inc row on every foll 8th row 7 more times".
func (p *parser) fabricLead(i, end int) int {
	if !hasWord(p, i, "cont", "continue", "continuing", "working", "work", "keeping") {
		return i
	}
	for k := i + 1; k < end && k < i+9; k++ {
		if (p.w(k) == "," || p.w(k) == "and") && hasWord(p, k+1, "working", "work", "rep", "repeating", "and") {
			k = p.skipWords(k+1, "and")
			return k
		}
		if p.at(k).Kind == Number || p.w(k) == "until" {
			return i
		}
	}
	return i
}
