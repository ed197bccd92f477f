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
	plain   bool // nothing but stitches between commas; see listsStitches
	each    bool // once on each needle; see endsEachNeedle
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
	if closer == "" {
		if k, ok := p.words(i, "rib|ribbing|brim|border|hem|cuff|edging :"); ok && p.opStarts(k) { // "Rib: *K2, p2; rep from * around"
			if _, _, whole := p.find(k, p.sentenceEnd(k), "rep from", "around", "to end"); whole {
				i = k
			}
		}
		if k, ok := p.words(i, "work? in? rib|ribbing :|,?"); ok && isMark(p.w(k)) { // "Work rib *k2, p2* around …"
			i = k
		}
		if g, j, ok := p.gusset(i); ok {
			return g, j
		}
		if e, j, ok := p.evenRow(i); ok {
			return e, j
		}
	}
	b.plain = p.listsStitches(i)
	b.each = closer == "" && !b.plain && p.endsEachNeedle(i)
	afterStop := false
	for i < len(p.toks) {
		w := p.w(i)
		if closer != "" && w == closer {
			break
		}
		if b.plain {
			if w == "," && p.stitchCloses(i) {
				i++
				continue
			}
			if j, ok := p.listedStitch(b, i); ok {
				i, afterStop = j, false
				continue
			}
		}
		if closer == "" && len(b.ops) > 0 {
			if st, j, ok := p.stated(i); ok {
				b.stated = append(b.stated, st...)
				i = j
				afterStop = true
				if i > 0 && (p.w(i-1) == "." || hasWord(p, i-1, ")", "]") && i < len(p.toks) && p.at(i).Kind == Word && !lowerWord(p.at(i)) && wholeRow(b.ops)) && p.sentenceStarts(i) || i > 0 && p.w(i-1) == "." && p.toFirstMarker(i) {
					return p.finish(b, i) // "…; rep from * around. (104 sts) Knit 1 round."
				}
				continue
			}
		}
		if w == "m" && p.toks[i].Raw == "m" && closer == "" && len(b.stars) == 0 && len(b.ops) > 0 && hasWord(p, i-1, ",", ";") && (i+1 >= len(p.toks) || hasWord(p, i+1, ",", ";", ".")) { // "k12 for sleeve, m, k28 for front, m"
			if _, _, yarn := p.yarnName(i); !yarn {
				b.ops = append(b.ops, &Mark{Do: "place", Span: p.span(i, i+1)})
				i++
				continue
			}
		}
		if j, ok := p.words(i, "placing m ,"); ok && len(b.ops) == 0 { // "Placing markers, k12, pm, …"
			i = j
			continue
		}
		if n, j, ok := p.markedIn(i); ok && len(b.ops) == 1 && closer == "" {
			if key := plainWhole(b.ops[0]); key != "" {
				b.ops, i = p.plainMarked(key, n, 0, j), j
				continue
			}
		}
		if j, ok := p.marksStitch(b, i); ok {
			i = j
			continue
		}
		if j, ok := p.aside(b, i); ok {
			b.ops = append(b.ops, &Remark{Text: p.raw(i, j), Span: p.span(i, j)})
			i = j
			continue
		}
		if o, j, ok := p.eachFromBoth(i); ok {
			b.ops, i = append(b.ops, o), j
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
			if closer == "" && wholeRow(b.ops) && i < len(p.toks) && p.plainRowNext(i) {
				return p.finish(b, i) // "(k5, k2tog) around; k 1 rnd; …"
			}
			if closer == "" && wholeRow(b.ops) && hasWord(p, i, "rep", "repeat") && p.w(i+1) != "from" && len(b.stars) == 0 {
				q := *p
				q.quiet = true
				if _, _, ok := q.repRows(i); ok { // "K1, M1, k to end; repeat this row until …"
					return p.finish(b, i)
				}
			}
			continue
		case ".", "…", "!":
			b.clause = len(b.ops)
			i++
			if w == "." && i < len(p.toks) && p.toks[i-1].Glued && i >= 2 && p.toks[i-2].Kind == Word && len(p.toks[i-2].Text) <= 3 && p.toks[i].Kind != Word {
				continue // "k. 2" that the stitch reader left over
			}
			afterStop = true
			if closer == "" && (len(b.ops) > 0 || len(b.stated) > 0) && (p.sentenceStarts(i) || p.lastTogether(i) || wholeRow(b.ops) && p.bindsAtBeg(i)) {
				return p.finish(b, i)
			}
			continue
		}
		if isMark(w) && closer == "" && afterStop && len(b.ops) > 0 && (i+1 >= len(p.toks) || p.w(i+1) == "rep" || p.w(i+1) == ".") && !b.opened(w) {
			return p.finish(b, i) // it ends a run of sentences
		}
		if afterStop && closer == "" && p.holdsBehind(b, i) {
			return p.finish(b, i)
		}
		if k, ok := p.onNeedle(b, i); ok {
			i, afterStop = k, false
			continue
		}
		if _, ok := p.forLength(i); ok && closer == "" && wholeRow(b.ops) {
			return p.finish(b, i) // "*k2, p2; rep from * around for 1 inch"
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
		sign := i - 1
		for p.w(sign) == "the" || p.w(sign) == "and" || p.w(sign) == "then" {
			sign--
		}
		said := (p.w(sign) == ";" && len(b.ops) > 0 || p.w(sign) == "," && wholeRow(b.ops)) && p.comment(i)
		if (afterStop || said) && len(b.ops)+len(b.stated) > 0 && closer == "" {
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
	if j, ok := p.endsOfRow(b, i); ok {
		return j, true
	}
	if j, ok := p.ribRow(b, i); ok {
		return j, true
	}
	if j, ok := p.castOnAtEnd(b, i); ok {
		return j, true
	}
	if j, ok := p.words(i, "work|working|cont|continue both|each side|sides|shoulder|shoulders at once", "work|working|cont|continue both|each side|sides|shoulder|shoulders at same time", "work|working|cont|continue both|each side|sides|shoulder|shoulders simultaneously"); ok {
		return add(&Remark{Text: p.raw(i, j), Span: p.span(i, j)}, j)
	}
	if j, ok := p.words(i, "finish|finishing|work|working|complete|completing|cont|continue each|both side|sides|shoulder|half|front separately"); ok && len(b.ops) > 0 {
		if h, isHold := b.ops[len(b.ops)-1].(*Hold); isHold && h.N.Given() { // "Knit 26, put the middle 14 sts on a holder and finish each side separately": the other side waits
			return add(&Hold{All: true, Span: p.span(i, j)}, j)
		}
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
	case "from": // "…, k1, from * repeat on the 2nd needle"
		if isMark(p.w(i+1)) && p.w(i+2) == "rep" && len(b.ops) > 0 {
			q := *p
			q.toks = append([]Token(nil), p.toks...)
			q.toks[i], q.toks[i+1], q.toks[i+2] = p.toks[i+2], p.toks[i], p.toks[i+1]
			if j, ok := q.repeat(b, i); ok {
				return j, true
			}
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
		if p.w(i+1) == "from" && isMark(p.w(i+2)) { // "work from * to * all round"
			if j, ok := p.repeat(b, i); ok {
				return j, true
			}
		}
		if w := p.w(i + 1); (w == "k" || w == "p") && p.at(i+2).Kind == Number && i+2 < len(p.toks) || isMark(w) && p.at(i+2).Kind == Word {
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
		return add(&Join{Span: p.span(i, i+1)}, p.skipTo(i+1, ",", ".", ";", "–", "(", "[", "and"))
	case "do":
		if j, ok := p.words(i, "do not turn", "do not join"); ok {
			return add(&Remark{Text: p.raw(i, j), Span: p.span(i, j)}, j)
		}
	}
	if j, ok := p.words(i, "w & t", "w + t", "wrap & turn", "wrap and turn", "wt", "wrap next st and turn", "wrap next st , turn", "wrap st and turn", "wrap next st & turn", "w / t", "wrap 1 turn", "wrap & t", "wrap , turn"); ok {
		if k, ok := p.words(j, "next|following st"); ok { // "w&t the next st"
			j = k
		}
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
	if j, ok := p.windsTold(b, i); ok {
		return j, true
	}
	if j, ok := p.windsRound(i); ok && len(b.ops) > 0 {
		return add(&Remark{Text: p.raw(i, j), Span: p.span(i, j)}, j)
	}
	if j, ok := p.startsWith(i); ok && (len(b.ops) > 0 || p.w(j) == ",") {
		return add(&Remark{Text: p.raw(i, j), Span: p.span(i, j)}, j)
	}
	if j, ok := p.timesFirst(b, i); ok {
		return j, true
	}
	if j, ok := p.backFromCable(b, i); ok {
		return j, true
	}
	if j, ok := p.inWords(b, i); ok {
		return j, true
	}
	if j, ok := p.withOvers(b, i); ok {
		if d, bare := b.ops[len(b.ops)-1].(*Do); bare && !d.Times.Given() {
			b.ops[len(b.ops)-1] = &Until{Body: []Op{d}, To: Target{Kind: ToEnd}, Span: d.Span}
		}
		return add(&Remark{Text: p.raw(i, j), Span: p.span(i, j)}, j)
	}
	if n, j, ok := p.num(i + 2); ok && hasWord(p, i, "k", "knit", "p", "purl") && p.w(i+1) == "all" { // "Knit all 4."
		if q := p.skipWords(j, "st"); p.rowEnds(q, b.closer) {
			return add(&Do{Key: w[:1], Times: n, Span: p.span(i, q)}, q)
		}
	}
	if n, j, ok := p.num(i + 1); ok && hasWord(p, i, "k", "knit", "p", "purl") && p.w(j) == "more" && hasWord(p, p.skipWords(j+1, "st"), ",", ".", ";", ")", "") { // "bind off 2, knit 4 more"
		j = p.skipWords(j+1, "st")
		return add(&Do{Key: w[:1], Times: n, Span: p.span(i, j)}, j)
	}
	if u, j, ok := p.pieceToMarker(b, i); ok {
		return add(u, j)
	}
	if d, j, ok := p.stitch(i); ok {
		return p.afterStitch(b, d, j)
	}
	// "k52 sleeve sts, 72 front sts": so many of that piece
	if p.at(i).Kind == Number && len(b.ops) > 0 {
		if n, j, ok := p.num(i); ok {
			if k, ok := p.words(j, "left|right|first|second|other? sleeve|front|back|body|heel|instep|thumb|sole|underarm|neck|hood|yoke|side|rem|held st", "st of|from|across|for left|right|first|second|other|one? sleeve|front|back|body|heel|instep|thumb|sole|underarm|neck|hood|yoke|side"); ok {
				return add(&Do{Key: "k", Times: n, Span: p.span(i, k)}, k)
			}
		}
	}
	// 3A, 1B: so many in that colour
	if p.at(i).Kind == Number {
		if n, j, ok := p.num(i); ok {
			if q, ok := p.words(j, "st in|with|of", "st"); ok { // "2 sts colour 1, 2 sts in B"
				j = q
			}
			if y, k, ok := p.yarnName(j); ok && (p.at(j).Glued || k == len(p.toks) || hasWord(p, k, ",", ";", ".", ")", "]", "*", "rep", "and")) {
				key := "k"
				for m := len(b.ops) - 1; m >= 0; m-- { // "p 2 D, 1 L"
					if d, ok := b.ops[m].(*Do); ok {
						key = pick(d.Key == "p", "p", "k")
						break
					}
				}
				b.ops = append(b.ops, &UseYarn{Yarn: y, Span: p.span(j, k)})
				return add(&Do{Key: key, Times: n, Span: p.span(start, k)}, k)
			}
		}
	}
	if j, ok := p.numberFirst(b, i); ok {
		return j, true
	}
	if j, ok := p.words(i, "on|across|over? both|all|each side|sides|shoulders|halves|sections|sets|fronts"); ok && wholeRow(b.ops) { // "purl across both sides"
		return add(&Remark{Text: p.raw(i, j), Span: p.span(i, j)}, j)
	}
	if j, ok := p.words(i, "this is", "these are", "this will be", "this marks", "there are", "this forms", "this sets", "you have", "new beg of rnd", "which is", "which forms"); ok {
		j = max(j, p.unknownEnd(i, b.closer))
		if p.w(j) == "," && hasWord(p, j+1, "at", "in", "on", "which", "where", "plus") { // ", at the centre of the heel"
			j = p.unknownEnd(j+1, b.closer)
		}
		return add(&Remark{Text: p.raw(i, j), Span: p.span(i, j)}, j)
	}
	if j, ok := p.words(i, "beg|starting|begin|start with|at|from st", "beg|starting|begin|start with|at|from the? first|2nd|second|3rd|4th|5th|6th|7th|8th st", "beg|starting and|where indicated for your size", "ending with st", "beg and ending"); ok {
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
	if j, ok := p.words(i, "pull|bring|draw yarn|wool up|over|back|tight? and? over|back? needle|tight|to", "pull yarn|wool"); ok && len(b.ops) > 0 { // "sl1 wyif, pull yarn over needle to make DS"
		j = max(j, p.unknownEnd(i, b.closer))
		return add(&Remark{Text: p.raw(i, j), Span: p.span(i, j)}, j)
	}
	if p.w(i) == "by" {
		j := p.unknownEnd(i, b.closer)
		if n := len(b.ops); n > 0 { // "inc 1 st by picking up loop before next st": none of those on the needle
			_, _, strand := p.find(i+1, j, "picking|lifting|raising up? the? loop|strand|bar|thread|yarn", "knitting|working into the? loop|strand|bar|thread")
			if d, isDo := b.ops[n-1].(*Do); isDo && strand && (d.Key == "inc" || d.Key == "kfb") {
				d.Key = "m1"
			}
		}
		return add(&Remark{Text: p.raw(i, j), Span: p.span(i, j)}, j)
	}
	if j, ok := p.words(i, "picking|pick up and|&? knit?"); ok { // ", picking up 1 stitch in each corner": of the two that a thumb or a finger has
		if n, k, ok := p.num(j); ok && p.w(k) == "st" {
			if q, ok := p.words(k+1, "in|at|from each|both corner|corners|gap|gaps|side|sides|end|ends"); ok {
				return add(&CastOn{N: mulNum(N(2), n), Picked: true, Span: p.span(i, q)}, q)
			}
		}
	}
	// "picking up wraps", "working each wrap together with its st"
	switch w {
	case "picking", "working", "using", "incl", "hiding", "lifting", "closing", "knitting", "purling", "making", "taking", "being", "tightening", "pulling", "keeping", "treating", "counting", "slipping", "removing", "including", "counting1":
		j := p.unknownEnd(i, b.closer)
		if n := len(b.ops); n > 0 && p.w(i-1) == "," && b.closer == "" { // "Purl, picking up wraps": all of the row
			if d, bare := b.ops[n-1].(*Do); bare && !d.Times.Given() && bareAll[d.Key] && onlyYarn(b.ops[:n-1]) && p.rowEnds(j, "") {
				b.ops[n-1] = &Until{Body: []Op{d}, To: Target{Kind: ToEnd, Span: d.Span}, Span: d.Span}
			}
		}
		return add(&Remark{Text: p.raw(i, j), Span: p.span(i, j)}, j)
	}
	if j, ok := p.words(i, "pick up and|& knit|purl|k|p", "pu and|& k", "puk", "pick up", "knit up"); ok {
		j = p.skipWords(j, "another", "a", "further", "the")
		if n, k, ok := p.num(j); ok {
			k = p.skipTo(k, ",", ";", ".", ")", "]", "and", "–", "=", "(")
			return add(&CastOn{N: n, Picked: true, Span: p.span(i, k)}, k)
		}
	}
	if c, ok := lastCastOn(b.ops); ok && c.Picked { // "…, 40 sts along the cast-on edge and 40 sts along the other side edge"
		if n, k, ok := p.num(p.skipWords(i, "and", "then")); ok && p.w(k) == "st" && hasWord(p, k+1, "along", "up", "down", "across", "from", "at", "round", "around") {
			k = p.skipTo(k, ",", ";", ".", ")", "]", "and", "–", "=", "(")
			return add(&CastOn{N: n, Picked: true, Span: p.span(i, k)}, k)
		}
	}
	// words that say nothing about stitches
	if j, ok := p.words(i, "as follows", "in same way", "to form ridge", "work as follows", "loosely", "loose", "tightly", "tight", "carefully", "firmly", "in patt as follows", "as before", "again", "once", "only", "now", "but", "next"); ok && j > i {
		return j, true
	}
	return start, false
}
