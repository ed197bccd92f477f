package notation

import (
	"strings"

	"rowproof/domain/finding"
)

// star is an open asterisk.
type star struct {
	mark string
	at   int // index in ops of what follows it
}

// bodyState is one level of brackets while a row is read.
type bodyState struct {
	ops    []Op
	stars  []star
	closer string // sign that ends this level; "" at the top
	clause int    // index in ops where the present clause (since ; or .) began
	stated []Stated
	prose  string
}

// opened says that the mark opens a repeat of this row that is not yet ended.
func (b *bodyState) opened(mark string) bool {
	for _, s := range b.stars {
		if s.mark == mark {
			return true
		}
	}
	return false
}

func isMark(s string) bool {
	return s != "" && (strings.Trim(s, "*") == "" || strings.Trim(s, "†") == "" || strings.Trim(s, "‡") == "" || s == "§" || s == "#" || strings.Trim(s, "+") == "")
}

// body reads ops from i to the end of the statement, or to closer.
func (p *parser) body(i int, closer string) (*bodyState, int) {
	b := &bodyState{closer: closer}
	if p.depth++; p.depth > MaxNesting {
		p.depth--
		p.addf("too-deep", p.span(i, i+1), "brackets nested more than %d deep", MaxNesting)
		return b, len(p.toks)
	}
	defer func() { p.depth-- }()
	afterStop := false
	for i < len(p.toks) {
		w := p.w(i)
		if closer != "" && w == closer {
			break
		}
		if closer == "" && len(b.ops) > 0 {
			if st, j, ok := p.stated(i); ok {
				b.stated = append(b.stated, st...)
				i = j
				afterStop = true
				continue
			}
		}
		switch w {
		case ",", ":", "and", "then", "&", "\"", "•", "|", "also", "the":
			i++
			continue
		case "-", "–", "/", "=":
			i++
			continue
		case ";":
			b.clause = len(b.ops)
			i++
			continue
		case ".", "…", "!":
			b.clause = len(b.ops)
			i++
			if w == "." && i < len(p.toks) && p.toks[i-1].Glued && i >= 2 && p.toks[i-2].Kind == Word && len(p.toks[i-2].Text) <= 3 && p.toks[i].Kind != Word {
				continue // "k. 2" that the stitch reader left over
			}
			afterStop = true
			if closer == "" && (len(b.ops) > 0 || len(b.stated) > 0) && p.sentenceStarts(i) {
				return p.finish(b, i)
			}
			continue
		}
		if isMark(w) && closer == "" && afterStop && len(b.ops) > 0 && (i+1 >= len(p.toks) || p.w(i+1) == "rep" || p.w(i+1) == ".") && !b.opened(w) {
			return p.finish(b, i) // it ends a run of sentences
		}
		j, ok := p.op(b, i)
		if ok && j > i {
			i = j
			afterStop = false
			continue
		}
		// not understood: a sentence of its own is prose, else it is unknown
		j = p.proseEnd(i, closer)
		if afterStop && len(b.ops)+len(b.stated) > 0 && closer == "" {
			text := p.raw(i, j)
			if b.prose != "" {
				b.prose += " "
			}
			b.prose += text
		} else {
			j = p.unknownEnd(i, closer)
			b.ops = append(b.ops, &Unknown{Text: p.raw(i, j), Span: p.span(i, j)})
		}
		if j <= i {
			j = i + 1
		}
		i = j
	}
	return p.finish(b, i)
}

// finish closes asterisks that nothing refers to.
func (p *parser) finish(b *bodyState, i int) (*bodyState, int) {
	for k := len(b.stars) - 1; k >= 0 && b.closer == ""; k-- {
		s := b.stars[k]
		if s.at >= len(b.ops) { // it closes a run of sentences
			continue
		}
		at := p.span(max(i-1, 0), i)
		if s.at < len(b.ops) {
			at = SpanOf(b.ops[s.at])
		}
		p.addf("asterisk-unused", at, "“%s” opens a repeat that nothing ends", s.mark)
	}
	return b, i
}

// proseEnd is the end of the sentence that holds i.
func (p *parser) proseEnd(i int, closer string) int {
	depth := 0
	for ; i < len(p.toks); i++ {
		w := p.w(i)
		if openers[w] != "" {
			depth++
		}
		if w == ")" || w == "]" || w == "}" {
			if depth == 0 && w == closer {
				return i
			}
			depth--
		}
		if w == "." && depth <= 0 && !(p.at(i).Glued && p.at(i-1).Kind == Word && len(p.at(i-1).Text) == 1) {
			return i
		}
	}
	return i
}

// unknownEnd is the end of the piece between commas that holds i.
func (p *parser) unknownEnd(i int, closer string) int {
	depth := 0
	for j := i; j < len(p.toks); j++ {
		w := p.w(j)
		if openers[w] != "" && depth <= 0 && j > i && closer == "" && p.at(j-1).Kind != Number {
			if _, _, ok := p.stated(j); ok {
				return j
			}
		}
		if openers[w] != "" {
			depth++
			continue
		}
		if w == ")" || w == "]" || w == "}" {
			if depth == 0 && w == closer {
				return j
			}
			depth--
			continue
		}
		if depth <= 0 && j > i && closer == "" && (isDash(w) || openers[w] != "") {
			if _, _, ok := p.stated(j); ok {
				return j
			}
		}
		if depth <= 0 && j > i && (w == "," || w == ";" || w == "." || isMark(w)) {
			return j
		}
	}
	return len(p.toks)
}

// op reads one instruction at i and appends it.
func (p *parser) op(b *bodyState, i int) (int, bool) {
	start := i
	w := p.w(i)
	add := func(o Op, j int) (int, bool) {
		b.ops = append(b.ops, o)
		return j, true
	}
	if isMark(w) {
		return p.asterisk(b, i)
	}
	if openers[w] != "" {
		return p.bracket(b, i)
	}
	switch w {
	case "alternately", "alternating":
		if list := b.ops[min(b.clause, len(b.ops)):]; len(list) > 0 && plainList(list) {
			body := append([]Op(nil), list...)
			b.ops = append(b.ops[:len(b.ops)-len(list)], &Until{Body: body, To: Target{Kind: ToEnd}, Span: SpanOf(body[0]).Cover(p.span(i, i+1))})
			if _, j, ok := p.target(i + 1); ok {
				return j, true
			}
			return i + 1, true
		}
	case "rep", "repeat", "repeating", "reps", "rpt":
		if j, ok := p.repeat(b, i); ok {
			return j, true
		}
	case "ending", "end", "ends", "finishing", "finish", "terminating":
		if j, ok := p.ending(b, i); ok {
			return j, true
		}
	case "turn", "turning":
		return add(&Turn{Span: p.span(i, i+1)}, i+1)
	case "slide":
		return add(&Slide{Span: p.span(i, i+1)}, p.skipTo(i+1, ",", ".", ";"))
	case "join", "rejoin", "attach":
		if o, j, ok := p.useYarn(b, i); ok {
			return add(o, j)
		}
		return add(&Join{Span: p.span(i, i+1)}, p.skipTo(i+1, ",", ".", ";", "and"))
	case "do":
		if j, ok := p.words(i, "do not turn", "do not join"); ok {
			return add(&Remark{Text: p.raw(i, j), Span: p.span(i, j)}, j)
		}
	}
	if j, ok := p.words(i, "w & t", "w + t", "wrap & turn", "wrap and turn", "wt", "wrap next st and turn", "wrap next st , turn", "wrap st and turn", "wrap next st & turn", "w / t", "wrap 1 turn", "wrap & t", "wrap , turn"); ok {
		return add(&Turn{Wrap: true, Span: p.span(i, j)}, j)
	}
	if len(b.ops) == 0 && b.closer == "" && hasWord(p, i, "k", "knit", "p", "purl", "work") { // "Rnd 2: Knit 1 rnd even."
		if n, j, ok := p.num(i + 1); ok && n.Single() && (p.w(j) == "row" || p.w(j) == "rnd") {
			key := map[string]string{"p": "p", "purl": "p", "work": "patt"}[w]
			if key == "" {
				key = "k"
			}
			j = p.skipWords(j+1, "even", "plain", "straight", "in", "patt", "est", "as", "set", "st")
			d := &Do{Key: key, Span: p.span(i, j)}
			return add(&Until{Body: []Op{d}, To: Target{Kind: ToEnd}, Span: d.Span}, j)
		}
	}
	if j, ok := p.asTheyAre(i); ok {
		d := &Do{Key: "as-set", Span: p.span(i, j)}
		if t, k, ok := p.target(j); ok {
			return add(&Until{Body: []Op{d}, To: t, Span: p.span(i, k)}, k)
		}
		return add(&Until{Body: []Op{d}, To: Target{Kind: ToEnd}, Span: d.Span}, j)
	}
	for _, f := range [...]func(*bodyState, int) (Op, int, bool){p.leaveTurned, p.pattOver, p.marker, p.cable, p.holder, p.returns, p.bindOff, p.castOnOp, p.dropAll, p.leave, p.useYarn} {
		if o, j, ok := f(b, i); ok {
			if o != nil {
				b.ops = append(b.ops, o)
			}
			return j, true
		}
	}
	if d, j, ok := p.stitch(i); ok {
		return p.afterStitch(b, d, j)
	}
	// "k52 sleeve sts, 72 front sts": so many of that piece
	if p.at(i).Kind == Number && len(b.ops) > 0 {
		if n, j, ok := p.num(i); ok {
			if k, ok := p.words(j, "left|right|first|second|other? sleeve|front|back|body|heel|instep|thumb|sole|underarm|neck|hood|yoke|side|rem|held st", "st of|from|across|for left|right|first|second|other? sleeve|front|back|body|heel|instep|thumb|sole|underarm|neck|hood|yoke|side"); ok {
				return add(&Do{Key: "k", Times: n, Span: p.span(i, k)}, k)
			}
		}
	}
	// 3A, 1B: so many in that colour
	if p.at(i).Kind == Number {
		if n, j, ok := p.num(i); ok {
			if y, k, ok := p.yarnName(j); ok && (p.at(j).Glued || p.w(k) == "," || k == len(p.toks)) {
				b.ops = append(b.ops, &UseYarn{Yarn: y, Span: p.span(j, k)})
				return add(&Do{Key: "k", Times: n, Span: p.span(start, k)}, k)
			}
		}
	}
	if j, ok := p.words(i, "this is", "these are", "this will be", "this marks", "there are", "this forms", "this sets", "you have", "new beg of rnd", "which is", "which forms"); ok {
		j = max(j, p.unknownEnd(i, b.closer))
		return add(&Remark{Text: p.raw(i, j), Span: p.span(i, j)}, j)
	}
	if j, ok := p.words(i, "beg|beginning|starting|begin|start with|at|from st", "beg|beginning|starting|begin|start with|at|from the? first|2nd|second|3rd|4th|5th|6th|7th|8th st", "beg|beginning|starting and|where indicated for your size", "ending with st", "beg and ending"); ok {
		j = max(j, p.unknownEnd(j, b.closer))
		return add(&Remark{Text: p.raw(i, j), Span: p.span(i, j)}, j)
	}
	if u, j, ok := p.untilCond(i); ok && u.Length != "" {
		return add(&Remark{Text: p.raw(i, j), Span: p.span(i, j)}, j)
	}
	if j, ok := p.words(i, "place|placing"); ok {
		if _, k, ok := p.num(j); ok {
			if q, ok := p.words(k, "m as follows", "m thus", "m"); ok {
				return add(&Remark{Text: p.raw(i, q), Span: p.span(i, q)}, q)
			}
		}
	}
	if j, ok := p.words(i, "inc|increasing|increase in every|each st", "inc|increasing|increase every|each st", "inc|increasing|increase 1 in every|each st", "inc|increasing|increase 1 st in every|each st"); ok {
		if n := len(b.ops); n == 1 { // "Knit, increasing in every stitch"
			if d, isDo := b.ops[0].(*Do); isDo && !d.Times.Given() {
				b.ops = b.ops[:0]
			}
		}
		d := &Do{Key: "kfb", Span: p.span(i, j)}
		return add(&Until{Body: []Op{d}, To: Target{Kind: ToEnd}, Span: d.Span}, j)
	}
	if p.w(i) == "by" {
		j := p.unknownEnd(i, b.closer)
		return add(&Remark{Text: p.raw(i, j), Span: p.span(i, j)}, j)
	}
	// "picking up wraps", "working each wrap together with its st"
	switch w {
	case "picking", "working", "using", "incl", "hiding", "lifting", "closing", "knitting", "purling", "making", "taking", "being", "tightening", "pulling", "keeping", "treating", "counting", "slipping", "removing", "including", "counting1":
		j := p.unknownEnd(i, b.closer)
		return add(&Remark{Text: p.raw(i, j), Span: p.span(i, j)}, j)
	}
	if j, ok := p.words(i, "pick up and|& knit|purl|k|p", "pu and|& k", "puk", "pick up", "knit up"); ok {
		j = p.skipWords(j, "another", "a", "further", "the")
		if n, k, ok := p.num(j); ok {
			k = p.skipTo(k, ",", ";", ".", ")", "]", "and")
			return add(&CastOn{N: n, Span: p.span(i, k)}, k)
		}
	}
	// words that say nothing about stitches
	if j, ok := p.words(i, "as follows", "in same way", "to form ridge", "work as follows", "loosely", "loose", "tightly", "tight", "carefully", "firmly", "in pattern as follows", "as before", "again", "once", "only", "now", "but", "next"); ok && j > i {
		return j, true
	}
	return start, false
}

// asTheyAre reads "knit the B sts and slip the A sts", "k all k sts and sl all sl
// sts wyif": each stitch as it shows itself.
func (p *parser) asTheyAre(i int) (int, bool) {
	verb := func(k int) bool { return hasWord(p, k, "k", "knit", "p", "purl", "sl", "slip", "work") }
	some := func(k int) (int, bool) { // the B sts, all sl sts, all slipped sts
		if !verb(k) {
			return k, false
		}
		k++
		art := false
		for p.w(k) == "the" || p.w(k) == "all" || p.w(k) == "each" || p.w(k) == "same" || p.w(k) == "every" {
			k, art = k+1, true
		}
		if _, q, ok := p.yarnName(k); ok {
			k = q
		} else if hasWord(p, k, "k", "knit", "knitted", "p", "purl", "purled", "sl", "slip", "slipped", "worked", "garter", "rem", "other", "dark", "light") && art {
			k++
		} else {
			return k, false
		}
		if p.w(k) != "st" {
			return k, false
		}
		return k + 1, true
	}
	j, ok := some(i)
	if !ok {
		return i, false
	}
	for p.w(j) == "and" || p.w(j) == "," || p.w(j) == "&" {
		j++
	}
	if j, ok = some(j); !ok {
		return i, false
	}
	for j < len(p.toks) {
		if k, ok := p.words(j, "pwise", "kwise", "wyif", "wyib", "with yarn in|at front|back", "as they appear", "as they face you", "as they come", "of previous|prev row", "of row below", "with yarn to front|back"); ok {
			j = k
			continue
		}
		break
	}
	return j, true
}

func (p *parser) skipTo(i int, stops ...string) int {
	for ; i < len(p.toks); i++ {
		for _, s := range stops {
			if p.w(i) == s {
				return i
			}
		}
	}
	return i
}

// asterisk opens a repeat, or closes one: "*k2, p2* to last 2 sts".
func (p *parser) asterisk(b *bodyState, i int) (int, bool) {
	mark := p.w(i)
	open := -1
	for k, s := range b.stars {
		if s.mark == mark {
			open = k
		}
	}
	if open >= 0 && b.stars[open].at < len(b.ops) {
		s := b.stars[open]
		body := append([]Op(nil), b.ops[s.at:]...)
		r := &Repeat{Body: body, Mark: mark, Span: SpanOf(body[0]).Cover(p.span(i, i+1))}
		j := i + 1
		for p.w(j) == "," || p.w(j) == ";" {
			j++
		}
		if p.w(j) == "rep" && p.w(j+1) == mark { // repeat *-*
			q := j + 2
			if isDash(p.w(q)) || p.w(q) == "to" || p.w(q) == "and" {
				q++
			}
			if p.w(q) == mark {
				q++
			}
			j = q
		}
		k, ok := p.words(j, "rep from|between "+mark+" to|and "+mark, "rep from|between "+mark, "rep bet "+mark)
		if !ok {
			k, ok = p.words(j, "rep between asterisks", "rep to|from asterisk", "rep st", "rep")
		}
		if ok && !isMark(p.w(j)) {
			j = k
			if p.w(j) == "," {
				j++
			}
		}
		closes := j == len(p.toks) || p.w(j) == "." || p.w(j) == ";" || p.w(i+1) == "," || b.closer != "" && p.w(j) == b.closer
		if t, k, ok := p.target(j); ok {
			r.To, j, closes = t, k, true
		} else if t, k, ok := p.times(j); ok {
			r.To, j, closes = t, k, true
			if t.Kind == TimesInAll {
				r.To.Kind = TimesTotal // *…* 3 times: the part between, three times
			}
		}
		if closes {
			b.ops = append(b.ops[:s.at], r)
			b.clause = len(b.ops)
			b.stars = b.stars[:open]
			return p.lastRepeat(b, r, j), true
		}
		return i + 1, true // a second asterisk with no meaning
	}
	b.stars = append(b.stars, star{mark, len(b.ops)})
	return i + 1, true
}

// repeat reads "rep from * …" at i.
func (p *parser) repeat(b *bodyState, i int) (int, bool) {
	start := i
	i++
	if p.w(i) == "." && p.at(i).Glued {
		i++
	}
	j, ok := p.words(i, "instructions? from|between|bet|after|inside|within", "from|between|bet|after|inside|within", "the? st? from", "sequence from", "section from")
	mark := ""
	if ok || isMark(p.w(i)) {
		if !ok {
			j = i
		}
		switch {
		case isMark(p.w(j)):
			mark = p.w(j)
			j++
			if isDash(p.w(j)) && p.w(j+1) == mark {
				j++
			}
			if k, ok := p.words(j, "to|and "+mark, mark, "to next "+mark, "to second|2nd "+mark); ok {
				j = k
			}
		case p.w(j) == "asterisk" || p.w(j) == "asterisks" || p.w(j) == "star" || p.w(j) == "stars" || p.w(j) == "asterix":
			mark = "*"
			if len(b.stars) > 0 {
				mark = b.stars[len(b.stars)-1].mark
			}
			j++
		case openers[p.w(j)] != "": // rep between [ ]
			k := j + 1
			if p.w(k) == openers[p.w(j)] {
				k++
			}
			mark, j = "[", k
		case p.w(j) == "beg" || p.w(j) == "start":
			j++
			if k, ok := p.words(j, "of row", "of rnd"); ok {
				j = k
			}
			mark = "beg"
		default:
			if isMark(p.w(i)) {
				break
			}
			return start, false
		}
	} else {
		// "rep to end", "rep 3 times more": all since the asterisk, or the row so far
		if _, _, ok := p.target(i); !ok {
			if _, _, ok := p.times(i); !ok {
				return start, false
			}
		}
		j = i
		mark = "beg"
		if len(b.stars) > 0 {
			mark = b.stars[len(b.stars)-1].mark
		}
	}
	for p.w(j) == "," {
		j++
	}
	at, found := 0, mark == "beg"
	for k := len(b.stars) - 1; k >= 0; k-- {
		if b.stars[k].mark == mark {
			at, found = b.stars[k].at, true
			b.stars = b.stars[:k]
			break
		}
	}
	if mark == "[" && len(b.ops) > 0 {
		at, found = len(b.ops)-1, true
	}
	if !found {
		// a repeat may refer to an asterisk that is the last opened of another look
		if len(b.stars) > 0 {
			at = b.stars[len(b.stars)-1].at
			b.stars = b.stars[:len(b.stars)-1]
			p.addf("asterisk-other", p.span(start, j), "“%s” is repeated from, but another sign opens the repeat", mark)
		} else {
			p.addf("asterisk-missing", p.span(start, j), "“%s” is repeated from, but nothing before it is marked so; the whole row so far is taken", mark)
		}
	}
	if at >= len(b.ops) {
		p.addf("repeat-empty", p.span(start, j), "the repeat holds no stitches")
		t, k, ok := p.target(j)
		if !ok {
			t, k, ok = p.times(j)
		}
		_ = t
		if ok {
			j = k
		}
		return j, true
	}
	body := append([]Op(nil), b.ops[at:]...)
	r := &Repeat{Body: body, Mark: mark}
	if t, k, ok := p.target(j); ok {
		r.To, j = t, k
		if t2, k2, ok := p.times(k); ok && false {
			_, j = t2, k2
		}
	} else if t, k, ok := p.times(j); ok {
		r.To, j = t, k
	}
	r.Span = SpanOf(body[0]).Cover(p.span(start, j))
	b.ops = append(b.ops[:at], r)
	b.clause = len(b.ops)
	return p.lastRepeat(b, r, j), true
}

// lastRepeat reads ", ending last repeat k1 instead of k6" behind a repeat.
func (p *parser) lastRepeat(b *bodyState, r *Repeat, i int) int {
	j := i
	for p.w(j) == "," || p.w(j) == ";" || p.w(j) == "and" || p.w(j) == "–" || openers[p.w(j)] != "" && (p.w(j+1) == "ending" || p.w(j+1) == "end" || p.w(j+1) == "omitting" || p.w(j+1) == "omit") {
		j++
	}
	if k, ok := p.words(j, "omitting|omit", "ending|end last rep omitting"); ok {
		if q, ok := p.words(k, "last"); ok {
			k = q
		}
		n := len(b.ops)
		if q, ok := p.op(b, k); ok && len(b.ops) > n {
			r.Instead = append([]Op(nil), b.ops[n:]...)
			b.ops = b.ops[:n]
			r.Last = []Op{}
			if q2, ok := p.words(q, "at end of last rep", "on last rep", "in last rep", "of last rep", "at end", "from last rep", "at end of row"); ok {
				q = q2
			}
			return q
		}
	}
	k, ok := p.words(j, "ending|end last rep with|in|at|on", "ending|end last rep", "ending|end final rep with|in|at|on", "ending|end final rep", "last rep ends|end with?", "on last rep", "in last rep", "working last rep as?")
	if !ok {
		return i
	}
	if p.w(k) == "," {
		k++
	}
	n := len(b.ops)
	q, _ := p.opsUntil(b, k, "instead", "in place", ".", ";", ")")
	if len(b.ops) == n {
		return i
	}
	r.Last = append([]Op(nil), b.ops[n:]...)
	b.ops = b.ops[:n]
	if q2, ok := p.words(q, "instead of", "in place of", "rather than"); ok {
		n := len(b.ops)
		q, _ = p.opsUntil(b, q2, ".", ";", ")")
		r.Instead = append([]Op(nil), b.ops[n:]...)
		b.ops = b.ops[:n]
	} else if q2, ok := p.words(q, "instead"); ok {
		q = q2
	}
	if p.w(q) == ")" {
		q++
	}
	r.Span = r.Span.Cover(p.span(j, q))
	return q
}

func (p *parser) opsUntil(b *bodyState, i int, stops ...string) (int, bool) {
	for i < len(p.toks) {
		for _, s := range stops {
			if p.w(i) == strings.Fields(s)[0] {
				return i, true
			}
		}
		if p.w(i) == "," || p.w(i) == "and" || p.w(i) == "the" {
			i++
			continue
		}
		if _, _, ok := p.stated(i); ok {
			return i, true
		}
		j, ok := p.op(b, i)
		if !ok || j <= i {
			return i, false
		}
		i = j
	}
	return i, true
}

// ending reads "ending k2", "end with p2": what is worked after the last repeat.
func (p *parser) ending(b *bodyState, i int) (int, bool) {
	if len(b.ops) == 0 {
		return i, false
	}
	if r, ok := b.ops[len(b.ops)-1].(*Repeat); ok {
		if j := p.lastRepeat(b, r, i); j > i {
			return j, true
		}
	}
	j, ok := p.words(i, "ending|end|ends|finishing|finish|terminating row|rnd? with|by|in", "ending|end|ends")
	if !ok || p.w(j) == "of" || p.w(j) == "last" || p.w(j) == "here" {
		return i, false
	}
	return j, true
}

// bracket reads ( ), [ ] or { } with what stands behind it.
func (p *parser) bracket(b *bodyState, i int) (int, bool) {
	closer := openers[p.w(i)]
	if m := p.closerOf(i); m < 0 {
		p.addf("bracket-open", p.span(i, i+1), "“%s” is never closed", p.w(i))
		return i + 1, true
	}
	save := len(p.out.Findings)
	inner, j := p.body(i+1, closer)
	bad := len(inner.ops) == 0
	remarks := true
	for _, o := range inner.ops {
		switch o.(type) {
		case *Unknown:
			bad = true
		case *Remark, *UseYarn:
		default:
			remarks = false
		}
	}
	if p.w(j) != closer {
		if p.depth >= MaxNesting || j >= len(p.toks) && p.depth > 2 {
			b.ops = append(b.ops, &Unknown{Text: p.raw(i, min(j, i+12)), Span: p.span(i, i+1)})
			return max(j, i+1), true
		}
		p.addf("bracket-open", p.span(i, i+1), "“%s” is never closed", p.w(i))
		if bad {
			return i + 1, true
		}
		b.ops = append(b.ops, inner.ops...)
		return j, true
	}
	after := j + 1
	if bad && !p.hasRepeatAfter(after) {
		// a comment in mid-row parentheses
		if !p.quiet {
			p.out.Findings = p.out.Findings[:min(save, len(p.out.Findings))]
		}
		b.ops = append(b.ops, &Remark{Text: p.raw(i, after), Span: p.span(i, after)})
		return after, true
	}
	if remarks {
		b.ops = append(b.ops, inner.ops...)
		return after, true
	}
	if k, ok := p.words(after, "in all"); ok {
		_ = k
	}
	// (k1, p1, k1) in next st
	if n, times, k, ok := p.place(after, inner.ops); ok {
		o := &Into{Body: inner.ops, Sts: n, Times: times, Span: p.span(i, k)}
		return p.afterGroup(b, o, o.Span, i, k)
	}
	g := &Group{Body: inner.ops, Span: p.span(i, after)}
	for _, s := range inner.stars { // an asterisk inside the bracket, ended outside
		if len(b.stars) < 8 {
			_ = s
		}
	}
	return p.afterGroup(b, g, g.Span, i, after)
}

// closerOf gives the place of the bracket that closes the one at i, or -1. All
// pairs of the statement are matched at the first call.
func (p *parser) closerOf(i int) int {
	if p.pairs == nil {
		p.pairs = make([]int, len(p.toks))
		var open []int
		for k := range p.toks {
			p.pairs[k] = -1
			switch t := p.toks[k].Text; t {
			case "(", "[", "{":
				open = append(open, k)
			case ")", "]", "}":
				for n := len(open) - 1; n >= 0; n-- {
					if openers[p.toks[open[n]].Text] == t {
						if len(open) <= MaxNesting {
							p.pairs[open[n]] = k
						}
						open = open[:n]
						break
					}
				}
			}
		}
	}
	if i < len(p.pairs) {
		return p.pairs[i]
	}
	return -1
}

func (p *parser) hasRepeatAfter(i int) bool {
	if _, _, ok := p.times(i); ok {
		return true
	}
	_, _, ok := p.target(i)
	return ok
}

// afterGroup reads times or a target behind a bracket or an Into.
func (p *parser) afterGroup(b *bodyState, o Op, at finding.Span, i, j int) (int, bool) {
	k := j
	for p.w(k) == "," && (p.w(k+1) == "rep" || p.w(k+1) == "repeat") {
		k++
	}
	rep := false
	if q, ok := p.words(k, "rep|repeat|repeated|work|worked across?|these? # st", "rep|repeat|repeated"); ok && !isMark(p.w(q)) && p.w(q) != "from" && p.w(q) != "row" && p.w(q) != "between" {
		k, rep = q, true
	}
	if t, q, ok := p.target(k); ok {
		body := []Op{o}
		if g, isG := o.(*Group); isG && !g.Times.Given() {
			body = g.Body
		}
		b.ops = append(b.ops, &Until{Body: body, To: t, Span: p.span(i, q)})
		return q, true
	}
	if t, q, ok := p.times(k); ok {
		kind := t.Kind
		n := t.N
		if kind == TimesMore { // [..], rep 3 times more
			n = addNum(n, 1)
		}
		_ = rep
		switch g := o.(type) {
		case *Group:
			g.Times, g.Span = n, p.span(i, q)
		case *Into:
			g.Times, g.Span = mulNum(g.Times, n), p.span(i, q)
		}
		b.ops = append(b.ops, o)
		// [k2, p2] 3 times to last 2: keep reading
		return q, true
	}
	b.ops = append(b.ops, o)
	return j, true
}

func addNum(n Num, d int) Num {
	out := Num{Span: n.Span}
	for _, v := range n.Vals {
		if v != Skip {
			v += d
		}
		out.Vals = append(out.Vals, v)
	}
	return out
}

func mulNum(a, b Num) Num {
	if !a.Given() {
		return b
	}
	if !b.Given() {
		return a
	}
	out := Num{Span: a.Span.Cover(b.Span)}
	for i := 0; i < max(len(a.Vals), len(b.Vals)); i++ {
		x, y := a.For(i), b.For(i)
		switch {
		case x == Skip || y == Skip:
			out.Vals = append(out.Vals, Skip)
		default:
			out.Vals = append(out.Vals, min(x*y, MaxNumber))
		}
	}
	return out
}

// place reads "in next st", "into each of next 3 sts", "all in same st" at i.
func (p *parser) place(i int, body []Op) (sts, times Num, next int, ok bool) {
	j, ok := p.words(i, "all in|into", "in|into", "all|both|each? in|into")
	if !ok {
		return Num{}, Num{}, i, false
	}
	if k, ok := p.words(j, "each st to|across|around end|row|rnd?", "each st"); ok && p.w(j) == "each" {
		_ = k
		// "in each st to end": once here, the target comes behind
		if t, _, ok := p.target(j + 2); ok {
			_ = t
			return N(1), Num{}, j + 2, true
		}
		return N(1), Num{}, i, false
	}
	each := false
	if k, ok := p.words(j, "each of", "each", "every"); ok {
		j, each = k, true
	}
	if k, ok := p.words(j, "next|same|following|1st|last|one|centre|marked|single|top|corner|that|this st|yo|loop|space|m|double?", "double yo", "next double yo", "next yo"); ok && (p.w(k-1) == "st" || p.w(k-1) == "yo" || p.w(k-1) == "loop" || p.w(k-1) == "space") {
		n := 1
		if p.w(k-2) == "double" || p.w(k-2) == "2" {
			n = 2
		}
		if p.w(k-1) == "yo" && p.w(k-2) == "double" {
			n = 2
		}
		return N(n), Num{}, k, true
	}
	if k, ok := p.words(j, "next|first|following|last"); ok {
		j = k
	}
	if k, ok := p.words(j, "double yo", "big? yo", "st", "yo", "loop", "centre st", "marked st", "corner st", "double yo of previous row", "same place", "same loop", "yo2", "1st", "last st"); ok {
		n := 1
		if p.w(j) == "double" {
			n = 2
		}
		if q, ok := p.words(k, "of previous row", "of prev row", "of row below", "of last row"); ok {
			k = q
		}
		return N(n), Num{}, k, true
	}
	if n, k, ok := p.num(j); ok {
		if q, ok := p.words(k, "st", "loop", "yo"); ok {
			if each {
				return N(1), n, q, true
			}
			if n.Single() && n.For(0) > 1 && widest(body) == n.For(0) {
				return n, Num{}, q, true
			}
			return N(1), n, q, true
		}
	}
	return Num{}, Num{}, i, false
}

// widest is the most stitches one op of the body takes together.
func widest(body []Op) int {
	w := 1
	for _, o := range body {
		if d, ok := o.(*Do); ok && len(d.Params) == 1 && (d.Key == "ktog" || d.Key == "ptog" || d.Key == "ktogtbl" || d.Key == "ptogtbl") {
			w = max(w, d.Params[0])
		}
	}
	return w
}
