package notation

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
	then   int    // index in ops of what stands behind the last "then"
	// needles says that parts of the row are told by the needle.
	needles bool
	stated  []Stated
	prose   string
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
				if i > 0 && p.w(i-1) == "." && p.sentenceStarts(i) {
					return p.finish(b, i)
				}
				continue
			}
		}
		if o, j, ok := p.eachFromBoth(i); ok {
			b.ops, i = append(b.ops, o), j
			continue
		}
		if j, ok := p.labelWithin(b, i); ok {
			b.ops = append(b.ops, &Remark{Text: p.raw(i, j), Span: p.span(i, j)})
			i = j
			continue
		}
		switch w {
		case ",", ":", "and", "then", "&", "\"", "•", "|", "also", "the":
			if w == "then" {
				b.then = len(b.ops)
			}
			i++
			continue
		case "-", "–", "/", "=":
			if w == "–" && closer == "" && wholeRow(b.ops) && p.comment(i+1) {
				j := p.proseEnd(i+1, "")
				if b.prose != "" {
					b.prose += " "
				}
				b.prose += p.raw(i+1, j)
				i, afterStop = j, true
				continue
			}
			i++
			continue
		case "+":
			if p.sum(b, i) {
				i++
				continue
			}
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
		if n, k, ok := p.needleLabel(i); ok && closer == "" {
			b.ops = append(b.ops, &Mark{Do: "needle", Name: itoa(n), Span: p.span(i, k)})
			b.clause, b.needles, afterStop = len(b.ops), true, false
			i = k
			continue
		}
		if _, _, ok := p.forRows(i); ok && closer == "" && len(b.ops) > 0 {
			return p.finish(b, i) // "*k2, p2* around for 20 rounds"
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

// forRows reads "for 20 rounds" at the end of a sentence.
func (p *parser) forRows(i int) (Num, int, bool) {
	if p.w(i) != "for" {
		return Num{}, i, false
	}
	n, j, ok := p.num(i + 1)
	if !ok || p.w(j) != "row" && p.w(j) != "rnd" {
		return Num{}, i, false
	}
	j++
	if j < len(p.toks) && p.w(j) != "." && p.w(j) != ";" {
		return Num{}, i, false
	}
	return n, j, true
}

// finish closes asterisks that nothing refers to.
func (p *parser) finish(b *bodyState, i int) (*bodyState, int) {
	if b.needles {
		onNeedles(b.ops)
	}
	offCable(b.ops)
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

// offCable gives a list to the cable needle: of "slip 6 sts to cn, k2, p2, k2 from cn" the
// words stand behind the last stitch alone, and the six are all of the list.
func offCable(ops []Op) {
	for i, o := range ops {
		cable, ok := o.(*ToCable)
		if !ok || !cable.N.Single() {
			continue
		}
		var list []*Do
		sts := 0
		for _, next := range ops[i+1:] {
			if _, said := next.(*Remark); said {
				continue
			}
			d, ok := next.(*Do)
			if !ok || d.Key != "k" && d.Key != "p" || len(d.Params) > 0 || d.From != "" && d.From != "cn" || d.Times.Given() && !d.Times.Single() {
				break
			}
			n := 1
			if d.Times.Given() {
				n = d.Times.Vals[0]
			}
			list, sts = append(list, d), sts+n
			if d.From == "cn" {
				break
			}
		}
		if n := len(list); n > 1 && list[n-1].From == "cn" && sts == cable.N.Vals[0] {
			for _, d := range list {
				d.From = "cn"
			}
		}
	}
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
	if j, ok := p.evenly(b, i); ok {
		return j, true
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
	case "work", "working": // "then work k2, p2": the stitches say how
		if w := p.w(i + 1); (w == "k" || w == "p") && p.at(i+2).Kind == Number && i+2 < len(p.toks) {
			return i + 1, true
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
	if j, ok := p.windsRound(i); ok && len(b.ops) > 0 {
		return add(&Remark{Text: p.raw(i, j), Span: p.span(i, j)}, j)
	}
	if j, ok := p.startsWith(i); ok && len(b.ops) > 0 {
		return add(&Remark{Text: p.raw(i, j), Span: p.span(i, j)}, j)
	}
	if j, ok := p.timesFirst(b, i); ok {
		return j, true
	}
	if j, ok := p.withOvers(b, i); ok {
		if d, bare := b.ops[len(b.ops)-1].(*Do); bare && !d.Times.Given() {
			b.ops[len(b.ops)-1] = &Until{Body: []Op{d}, To: Target{Kind: ToEnd}, Span: d.Span}
		}
		return add(&Remark{Text: p.raw(i, j), Span: p.span(i, j)}, j)
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
	if j, ok := p.numberFirst(b, i); ok {
		return j, true
	}
	if j, ok := p.words(i, "this is", "these are", "this will be", "this marks", "there are", "this forms", "this sets", "you have", "new beg of rnd", "which is", "which forms"); ok {
		j = max(j, p.unknownEnd(i, b.closer))
		return add(&Remark{Text: p.raw(i, j), Span: p.span(i, j)}, j)
	}
	if j, ok := p.words(i, "beg|beginning|starting|begin|start with|at|from st", "beg|beginning|starting|begin|start with|at|from the? first|2nd|second|3rd|4th|5th|6th|7th|8th st", "beg|beginning|starting and|where indicated for your size", "ending with st", "beg and ending"); ok {
		j = max(j, p.unknownEnd(j, b.closer))
		return add(&Remark{Text: p.raw(i, j), Span: p.span(i, j)}, j)
	}
	if a, c := p.at(i), p.at(i+2); a.Kind == Number && c.Kind == Number && (p.w(i+1) == "x" || p.w(i+1) == "/") && p.w(i+3) == "rib" && a.Val > 0 && c.Val > 0 { // "2x2 rib"
		at := p.span(i, i+4)
		ops := []Op{&Do{Key: "k", Times: N(a.Val), Span: at}, &Do{Key: "p", Times: N(c.Val), Span: at}}
		return add(&Repeat{Body: ops, To: Target{Kind: ToEnd, Span: at}, Span: at}, i+4)
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

// withOvers reads what a row of stitches worked as they appear says of its yarn
// overs, which are among them: ", purling all yarn overs", "and the yos".
func (p *parser) withOvers(b *bodyState, i int) (int, bool) {
	n := len(b.ops)
	if n == 0 {
		return i, false
	}
	last := b.ops[n-1]
	if u, ok := last.(*Until); ok && len(u.Body) == 1 && u.To.Kind == ToEnd {
		last = u.Body[0]
	}
	if d, ok := last.(*Do); !ok || d.Key != "as-set" {
		return i, false
	}
	j := p.skipWords(i, "and", "with", "purl", "purling", "p", "knit", "knitting", "k", "work", "working", "all", "any", "every", "each", "of", "the", "new")
	k, ok := p.words(j, "yo", "yos", "yarn over", "yarn overs", "yo ' s", "yarnover", "yarnovers")
	if !ok {
		return i, false
	}
	k = p.skipWords(k, "as", "st", "tbl", "through", "back", "loop", "too", "of", "row", "below", "previous", "in")
	return k, k == len(p.toks) || p.w(k) == "." || p.w(k) == "," || p.w(k) == ";" || p.w(k) == "("
}

// windsRound reads "wind the yarn twice around these 6 sts, anticlockwise", which
// makes no loop.
func (p *parser) windsRound(i int) (int, bool) {
	j, ok := p.words(i, "wind|wrap|winding|wrapping yarn|working|wool", "wind|wrap|winding|wrapping working yarn")
	if !ok {
		return i, false
	}
	end := p.skipTo(j, ",", ";", ".", ")", "]")
	_, at, around := p.find(j, end, "around", "round", "rnd", "about")
	_, _, needle := p.find(at, end, "needle|ndl|tip")
	if !around || needle {
		return i, false
	}
	if k, ok := p.words(end, ",? anticlockwise|counterclockwise|clockwise", ",? counter|anti - clockwise", ", from front to back"); ok {
		end = k
	}
	return end, true
}
