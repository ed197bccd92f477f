package notation

import "strings"

// This file reads how a sentence opens.

// lead skips words that lead into a sentence and tell nothing of their own: marks, "rejoin yarn,", the label of a cord.
func (w *walk) lead(i int) (int, bool) {
	r, p := w.r, w.p
	switch p.w(i) {
	case ".", ",", ";", "–", "-", "•", "!", "then", "…", ":":
		if p.w(i) != "then" {
			i++
			return i, true
		}
	}
	if w := p.w(i); (w == "**" || w == "***") && r.begun && p.at(i+1).Kind == Word { // "** Cont on these 17 sts.", "** With right side facing, …"
		q := *p
		q.quiet = true
		end := q.sentenceEnd(i + 1)
		_, _, on := q.keepOn(i+1, end)
		_, _, again := q.rejoins(i+1, end)
		if on || again {
			return i + 1, true
		}
	}
	if k, ok := p.words(i, "working|with one|1 row|rnd straight|even|plain? between dec|decs|inc|incs|decrease|increase|shaping|raglan? row|rnd? ,"); ok && r.begun && hasWord(p, k, "dec", "inc", "decrease", "increase", "cont", "continue") { // "Working 1 row straight between dec rows, dec 1 st at …"
		return k, true
	}
	if k, ok := p.sidesAtOnce(i); ok && r.begun { // "Working both sides at the same time with separate balls, purl 1 row"
		q := *p
		q.quiet = true
		if s, _, ok := q.straight(k); ok && s.Rows.Given() {
			return k, true
		}
	}
	if s, k, ok := p.atHeight(i, p.sentenceEnd(i)); ok && r.begun {
		w.addOnly(s)
		return k, true
	}
	if k, ok := p.words(i, "neck|neckline|armhole|armholes|shoulder|shoulders|top|sleeve|sleeves :"); ok && r.begun && p.w(k) == "on" && p.w(p.skipWords(k+1, "the")) == "next" { // "Neck: on the next row, …"
		return k, true
	}
	if k, ok := p.words(i, "now? work|begin|shape armhole|armholes|neck|neckline|raglan|shoulder|shoulders|cap|top|sleeve cap? shaping? as follows|thus :"); ok && r.begun && hasWord(p, k, "bind", "cast", "bo", "co", "dec", "decrease", "inc", "increase", "at") { // "Work armhole shaping as follows: bind off 4 sts …"
		return k, true
	}
	if k, ok := p.words(i, "on next|following row|rnd"); ok && r.begun && p.at(k).Kind == Word { // "On the next round cast off for the armholes: Cast off 8 sts, …"
		q := k
		for q < k+8 && p.at(q).Kind == Word {
			q++
		}
		if row, j, ok := p.strictRow(q + 1); ok && p.w(q) == ":" && len(row.Body) > 1 {
			row.Head = Head{Words: p.raw(i, q), Span: p.span(i, q)}
			row.Span = p.span(i, j)
			return w.addRow(row, j), true
		}
	}
	if row, j, ok := p.shapesAsFollows(i); ok && r.begun {
		return w.addRow(row, j), true
	}
	if k, ok := p.words(i, "on next|following row|rnd ,"); ok && r.begun { // "On the next row, knit 38 sts, bind off the 22 center sts, knit to end."
		if row, j, ok := p.strictRow(k); ok && len(row.Body) > 1 {
			row.Head = Head{Words: strings.TrimRight(p.raw(i, k), " ,"), Span: p.span(i, k)}
			row.Span = p.span(i, j)
			return w.addRow(row, j), true
		}
	}
	if k, ok := p.words(i, "on last|final rnd ,?"); ok && r.begun && r.rows { // "Knit every rnd until …. On the last rnd, k16, pm, k to end."
		if row, j, ok := p.strictRow(k); ok && len(row.Body) > 1 {
			row.Head = Head{Words: strings.TrimRight(p.raw(i, k), " ,"), Span: p.span(i, k)}
			row.Span = p.span(i, j)
			return w.addRow(row, j), true
		}
	}
	if end := p.sentenceEnd(i); r.begun && r.rows && p.acrossInstep(i, end) && !r.holdsSome() {
		w.add(&Prose{Text: strings.TrimSpace(p.raw(i, end)), Span: p.span(i, end)})
		return max(end, i+1), true
	} else if hasWord(p, i, "k", "knit") && hasWord(p, i+1, "across", "over") && r.begun && r.rows { // "Knit across N1." on the way to the heel: part of a round
		if _, q, ok := p.needleName(i + 2); ok && q >= end {
			w.add(&Prose{Text: strings.TrimSpace(p.raw(i, end)), Span: p.span(i, end)})
			return max(end, i+1), true
		}
	}
	if p.w(i) == "working" && r.begun { // "Working on the last set of sts only, dec 1 st …"
		if h, j, ok := p.keepOn(i, p.sentenceEnd(i)); ok && p.w(j) == "," {
			w.addHold(h)
			return j + 1, true
		}
	}
	if k := p.remarkInBrackets(i); k > i && r.begun {
		w.add(&Prose{Text: p.raw(i, k), Span: p.span(i, k)})
		return k, true
	}
	if p.w(i) == "now" && hasWord(p, i+1, "k", "knit", "p", "purl") && r.begun { // "Now knit 36 sts, bind off the middle 20 sts, knit the remaining 36 sts"
		q := *p
		q.quiet = true
		if row, j, ok := q.strictRow(i + 1); ok && len(row.Body) > 1 && j >= p.sentenceEnd(i) {
			return i + 1, true
		}
	}
	if j, ok := p.words(i, "rejoin yarn to rem? st?", "join yarn", "rejoin yarn", "rejoin wool", "join wool", "with rs|ws facing", "with right|wrong side facing", "using larger|smaller needle"); ok && p.w(j) == "," || ok && p.w(j) == "and" {
		q := *p
		q.quiet = true
		if _, _, isB := q.begin(i); !isB {
			return j + 1, true
		}
	}
	if j, ok := p.words(i, "cast on ,? and|then", "cast on ,", "co and|then", "co ,"); ok { // "Cast on and knit one row": how many, the multiple tells
		q := *p
		q.quiet = true
		_, _, as := q.find(j, q.sentenceEnd(j), "as given|worked|for|on")
		if s, _, ok := q.straight(j); ok && s.Rows.Given() && !as {
			return j, true
		}
		if _, _, as := r.asPiece(&q, j, q.sentenceEnd(j)); as { // "Cast on and work as Back to armhole"
			return j, true
		}
	}
	if k, ok := p.words(i, "on|in next|following row|rnd ,?"); ok && hasWord(p, k, "inc", "dec", "increase", "decrease") { // "On next row inc 12 sts evenly"
		if _, q, ok := p.num(p.overPoint(k + 1)); ok && p.w(q) == "st" && hasWord(p, q+1, "evenly", "across", "over") {
			return k, true
		}
	}
	if k, ok := p.words(i, "k|knit|p|purl|work next|following row|rnd"); ok && r.begun { // "Knit next row, increasing 12 sts evenly"
		k = p.skipWords(k, "in", "patt", "as", "set", ",", "and")
		if p.at(k-1).Text == "," || p.w(k-1) == "and" {
			if hasWord(p, k, "inc", "dec", "increase", "decrease", "increasing", "decreasing") {
				if row, j, ok := p.renamed(i+1, "across").strictRow(i); ok {
					return w.addRow(row, j), true
				}
			}
		}
	}
	if isMark(p.w(i)) && (i+1 >= len(p.toks) || p.w(i+1) == "rep" || p.w(i+1) == ".") {
		i++
		return i, true
	}
	if isMark(p.w(i)) && p.sentenceBehind(i+1) && !p.starredRow(i) {
		w.add(&RowStar{Mark: p.w(i), Span: p.span(i, i+1)})
		i++
		return i, true
	}
	if k := p.standsFor(i); k > i {
		w.add(&Prose{Text: strings.TrimSpace(p.raw(i, k)), Span: p.span(i, k)})
		return k, true
	}
	if end := p.sentenceEnd(i); r.legendOfTriples(p, i, end) {
		w.add(&Prose{Text: strings.TrimSpace(p.raw(i, end)), Span: p.span(i, end)})
		return max(end, i+1), true
	}
	if j, ok := p.words(i, "work|make|knit a|an|the? i - cord|cord as follows|thus? :", "work|make|knit a|an|the? icord|cord as follows|thus? :", "work|make|knit a|an|the? i - cord :", "work|make|knit a|an|the? icord|cord :"); ok && isMark(p.w(j)) {
		return j, true
	}
	if j, ok := p.words(i, "k|knit|work in? rnd? rib|ribbing :", "k|knit|work rib|ribbing in rnd :"); ok && isMark(p.w(j)) && r.begun { // "Knit in the round rib: *k2, p2*, …"
		return j, true
	}
	if its, j, ok := p.cord(i); ok && r.begun {
		for _, it := range its {
			w.add(it)
		}
		r.rows = true
		return j, true
	}
	return i, false
}

// acrossInstep reads "Knit across the 28 instep sts once more." as the whole of a sentence: the way to where a heel begins.
func (p *parser) acrossInstep(i, end int) bool {
	j, ok := p.words(i, "k|knit across|over|the? the?")
	if !ok {
		return false
	}
	if _, q, ok := p.num(j); ok {
		j = q
	}
	k, ok := p.words(j, "instep st once|again? more?", "instep st one more time", "instep once|again? more?")
	return ok && k >= end
}

// holdsSome says that stitches of the piece that is worked wait on a holder.
func (r *reader) holdsSome() bool {
	for k := len(r.ms.Items) - 1; k >= 0; k-- {
		switch r.ms.Items[k].(type) {
		case *HoldAll:
			return true
		case *Begin:
			return false
		}
	}
	return false
}

// standsFor is where words end that tell what an abbreviation stands for, "wyib = with yarn in back"; i where
// there are none.
func (p *parser) standsFor(i int) int {
	if p.at(i).Kind != Word || p.at(i+1).Raw != "=" || p.at(i+2).Kind != Word || len(p.w(i)) > 6 || i+2 >= len(p.toks) {
		return i
	}
	for k := i + 2; k < len(p.toks); k++ {
		if w := p.w(k); w == ";" || w == "." || w == "," && p.w(k+2) == "=" {
			return k
		}
	}
	return len(p.toks)
}

// starredRow says that a whole row with its repeat begins at the asterisk at i.
func (p *parser) starredRow(i int) bool {
	q := *p
	q.quiet = true
	row, _, ok := q.strictRow(i)
	if !ok || len(row.Body) == 0 {
		return false
	}
	rep, ok := row.Body[0].(*Repeat)
	return ok && len(rep.Body) > 0 && rep.Mark != ""
}

// remarkInBrackets is where a remark ends that stands in brackets with its own stop: "(If you get a hole, close it
// later. Nobody will know.) Knit until …"; i for anything else.
func (p *parser) remarkInBrackets(i int) int {
	if openers[p.w(i)] == "" || p.at(i+1).Kind != Word || p.opStarts(i+1) || p.sentenceStarts(i+1) {
		return i
	}
	depth := 0
	for k := i; k < len(p.toks) && k < i+80; k++ {
		if p.at(k).Kind == Number {
			return i // it may tell something
		}
		if depth += nesting(p.w(k)); depth == 0 {
			if p.w(k-1) == "." || p.w(k-1) == "!" {
				return k + 1
			}
			return i
		}
	}
	return i
}

// opens reads what a sentence may open with before its end matters: a starred repeat, the sizes it is for, the head of a row.
func (w *walk) opens(i int) (int, bool) {
	r, p := w.r, w.p
	if rr, j, ok := p.repStar(i); ok {
		w.addOnly(rr)
		return j, true
	}
	if fs, j, ok := p.onlySizes(i, r.ms.Sizes); ok {
		if j >= len(p.toks) {
			r.nameSizes(fs)
			w.add(fs)
			return len(p.toks), true
		}
		w.only, p.only = fs.Only, fs.Only
		r.nameSizes(fs)
		if fs.Only == nil {
			w.add(fs)
		}
		return j, true
	}
	if h, j, ok := p.head(i); ok {
		if len(h.Numbers) == 0 && !h.Every.On() && h.Next == 0 { // "Foundation rows: beg with a k row, work 4 rows in st st"
			if s, k, ok := p.straight(j); ok && s.Rows.Given() {
				s.Only, s.Words = w.only, h.Words
				w.add(s)
				r.begun = true
				return k, true
			}
		}
		if p.joinsFlaps(j, p.sentenceEnd(j)) && r.begun {
			if b, k, ok := p.begin(j); ok {
				w.add(b)
				r.rows = false
				return k, true
			}
		}
		if k, ok := w.joined(i, j); ok && len(h.Numbers) == 0 {
			return k, true
		}
		return r.row(p, h, i, j, w.only), true
	}
	if k, ok := w.joined(i, i); ok {
		return k, true
	}
	if end := p.sentenceEnd(i); r.begun && p.joinsFlaps(i, end) {
		if b, k, ok := p.begin(i); ok {
			w.add(b)
			r.rows = false
			return k, true
		}
	}
	if row, j, ok := p.roundByNeedles(i); ok && r.begun {
		return w.addRow(row, j), true
	}
	if row, j, ok := p.divides(i); ok && r.begun && r.rows {
		return w.addRow(row, j), true
	}
	return i, false
}

// roundByNeedles reads a round without a head that is told by its needles: "Needle 1: k to last 3 sts, k2tog, k1.
// Needle 2: …".
func (p *parser) roundByNeedles(i int) (*Row, int, bool) {
	if n, q, ok := p.needleName(i); !ok || n != 1 || p.w(q) != ":" {
		return nil, i, false
	}
	q := *p
	q.quiet = true
	b, _ := q.body(i, "")
	needles, unread := 0, false
	each(b.ops, func(o Op) {
		switch o := o.(type) {
		case *Mark:
			if o.Do == "needle" {
				needles++
			}
		case *Unknown:
			unread = true
		}
	})
	if needles < 2 || unread {
		return nil, i, false
	}
	b, j := p.body(i, "")
	return &Row{Head: Head{Words: p.headless(i, p.sentenceEnd(i))}, Body: b.ops, Stated: b.stated, Prose: b.prose, Span: p.span(i, j)}, j, true
}

// begins reads what a piece, or stitches beside it, begin with: cast on, picked up, returned from where they waited.
func (w *walk) begins(i, end int) (int, bool) {
	r, p := w.r, w.p
	if l, ok := p.laid(i, end); ok && r.begun {
		w.add(&Prose{Text: p.bracketed(strings.TrimSpace(p.raw(i, end))), Lay: l, Span: p.span(i, end)})
		return end, true
	}
	if s, j, ok := p.castsAtEdge(i, end); ok && r.begun && r.rows {
		w.addOnly(s)
		return j, true
	}
	if row, j, ok := p.pickUpRow(i, end); ok && (r.rows && !r.emptied() && !r.atFinger() || r.begun && r.inFoot()) {
		return w.addRow(row, j), true
	}
	if _, justBegun := lastWorked(r.ms.Items).(*Begin); justBegun && r.begun {
		if row, j, ok := p.picksAround(i, end); ok {
			return w.addRow(row, j), true
		}
	}
	if b, ok := p.knitsHeld(i, end); ok && r.begun && r.emptied() {
		w.add(b)
		r.rows = false
		return end, true
	}
	if b, ok := r.beginAs(p, i, end); ok && r.begun {
		w.add(b)
		r.rows = false
		return end, true
	}
	row, j, ok := p.castOnRow(i, end)
	if !ok && r.justHeld() {
		row, j, ok = p.castOnBeside(i, end)
	}
	if ok && r.rows && !r.emptied() && !r.atFinger() {
		if above, isRow := lastBefore(r.ms.Items).(*Row); isRow && onlyCastOn(row.Body) && len(above.Body) > 0 {
			above.Body, above.Span = append(above.Body, row.Body...), above.Span.Cover(row.Span)
			if len(row.Stated) > 0 {
				above.Stated = row.Stated
			}
			return j, true
		}
		return w.addRow(row, j), true
	}
	if b, j, ok := p.begin(i); ok && (b.N.Given() || b.How == "return") {
		if m, k, isM := p.multiple(i, end); isM {
			w.add(m)
			if b.N.Col >= m.Col || !b.N.Given() { // "Cast on a multiple of 6 sts plus 5"
				return max(k, end), true
			}
		}
		if b.How != "return" || r.begun {
			if !r.otherSizes(b, w.only) {
				r.pickedBeside(b)
				w.add(b)
			}
			r.begun, r.rows = true, false
			return j, true
		}
	}
	return i, false
}
