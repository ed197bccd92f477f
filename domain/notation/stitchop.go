package notation

// bareAll are the words that, standing without a number where a row ends, mean
// the whole row: "Knit.", "Purl across".
var bareAll = map[string]bool{"k": true, "p": true, "patt": true, "as-set": true, "ktbl": true, "ptbl": true, "sl": true, "brk": true, "k-below-next": false}

// afterStitch reads what qualifies a stitch: where, how often, how far.
func (p *parser) afterStitch(b *bodyState, d *Do, i int) (int, bool) {
	start := i
	numbered := d.Times.Given()
	j := i
	if p.w(j) == "." && p.at(j).Glued && p.w(j-1) == "tog" && !numbered { // "k. 2 tog. 3 times"
		if t, _, ok := p.times(j + 1); ok && t.N.Given() {
			j++
		}
	}
	if k, ok := p.withWrap(j); ok && !numbered && (d.Key == "k" || d.Key == "p") {
		j = k
	}
	if k, ok := p.words(j, "next|centre|middle|marked|corner|first|1st|last|edge|very|following st", "centre marked st", "marked centre st", "very last|first st", "ds", "double st", "ds as one? st?"); ok && !numbered {
		j = k
	}
	if k, ok := p.words(j, "next|first|last|these|those|new|rem|other"); ok && !numbered && (d.Key == "k" || d.Key == "p") { // "k these 4 sts"
		if n, q, ok := p.num(k); ok {
			if p.w(q+1) == "st" && hasWord(p, q, "heel", "instep", "sole", "side", "sleeve", "body", "back", "front", "underarm") {
				q++
			}
			if p.w(q) == "st" {
				d.Times, numbered, j = n, true, q
			}
		}
	}
	if k, ok := p.words(j, "st? of|from|on first|second|third|fourth|next needle"); ok && numbered && (d.Key == "k" || d.Key == "p") { // "knit 18 sts of the first needle"
		j = k
	}
	if k, ok := p.words(j, "of next|same|first|1st|last|this|each|centre st", "of st"); ok && !numbered && d.Key != "k" && d.Key != "p" {
		j = k
	}
	if k, ok := p.words(j, "twice"); ok && !numbered && (d.Key == "k" || d.Key == "p") {
		if _, _, q, ok := p.place(k, nil); ok { // "knit twice into next st": an increase
			d.Key, j = d.Key+"fb", q
		}
	}
	if k, ok := p.words(j, "plain", "evenly", "back"); ok && (d.Key == "k" || d.Key == "p") && (p.w(j) != "back" || p.rowEnds(k, b.closer)) {
		j = k
	}
	if w := p.w(j); (w == "across" || w == "over") && !numbered && (d.Key == "k" || d.Key == "p") { // "k across the 30 instep sts", among what is picked up
		at := p.skipWords(j+1, "these", "first", "next", "last", "rem", "following")
		if n, q, ok := p.num(at); ok {
			if hasWord(p, at-1, "first", "next", "last", "rem", "following") && p.w(q) == "st" { // "knit across the first 33 sts"
				d.Times, numbered, j = n, true, q
			} else if k, ok := p.words(q, "heel|instep|front|back|sleeve|flap|sole|body st", "left|right front|back st"); ok {
				if p.w(q) == "instep" && p.pickedUpNear(start) {
					d.From = "held"
				}
				d.Times, numbered, j = n, true, k
			}
		}
	}
	if k, ok := p.words(j, "across|over these|those st"); ok && numbered && (p.w(k) == "," || p.w(k) == ";") { // "cast on 14 sts, k5 across these sts"
		j = k
	}
	if k, ok := p.words(j, "held|live|waiting? first|second|left|right? sleeve st", "st of|from one|first|second|left|right|the? sleeve"); ok && numbered && p.joinsBetween(start) { // "Joining round: *K68, …, knit 48 sleeve sts, …"
		d.From, j = "holder", k
	} else if k, ok := p.words(j, "held|waiting heel|sleeve|front|back|body|thumb|instep|sole|neck? st", "instep st"); ok && numbered {
		d.From, j = "held", k
	} else if k, ok := p.words(j, "across? instep st", "across? held instep|sleeve|front|back|thumb|body? st"); ok && !numbered && (d.Key == "k" || d.Key == "p") && (p.w(k) == "," || p.w(k) == ";" || p.w(k) == ".") && p.w(k) != "" && p.pickedUpNear(start) {
		d.From, j = "held", k
	} else if k, ok := p.words(j, "more st", "st", "heel|sleeve|front|back|body|thumb|instep|underarm|gusset|neck|edge|knit|purl|rem|raglan|band|sole|held|side|collar|other|toe|hand|palm|left|right st", "left|right|first|second|other sleeve|front|back|shoulder|heel|neck st", "loop"); ok && !(p.w(k) == "below") {
		j = k
	}
	if d.Key == "psso" || d.Key == "p2sso" || d.Key == "p3sso" {
		if k, ok := p.words(j, "over both|all? two|three|2|3? k|knit|other? st?", "over both", "over k|knit st", "over them|it|these"); ok {
			j = k
		}
	}
	if d.Key == "drop" || d.Key == "dropyo" {
		switch p.w(j) {
		case "and", "off", "from", "to", "letting", "down", "let", "all":
			j = p.skipTo(j, ",", ";", ".", ")", "]", "*")
		}
	}
	place := Num{}
	changed := true
	for changed {
		changed = false
		if k, ok := p.words(j, "kwise", "pwise", "k - wise", "p - wise", "as they face you", "as they appear", "as they present themselves", "as they face", "as they present", "as set", "as if|though? to k|p 2 tog", "as for k|p 2 tog", "as if|though? to ssk", "as if|though? to k|p|knit|purl|work them|two|2 st? tog", "as if? to k", "as if? to p", "as if? to knit|purl", "as for knitting|purling", "as though to? knit|purl", "as when knitting|purling", "wyib", "wyif", "with yarn in|at back", "with yarn in|at front", "one at a time", "1 at a time", "individually", "loosely", "tightly", "off needle", "unworked", "and pull tight", "tog", "at same time", "on left needle", "in back loop", "( wyib )", "( wyif )", "from left needle", "on needle", "to right needle", "onto right needle", "to rh needle", "as if to knit", "very loosely", "in front of work", "in back of work", "kwise , one at a time", ", one at a time", "singly", "one by one", "as one st", "as 1 st", "in patt", "in rib", "in st st", "in garter st", "in moss st", "in seed st", "as est", "as set", "as established", "in est patt", "in established patt", "twisted", "in patt as est", "in patt as set"); ok && !(p.w(j) == "tog" && d.Key == "k") {
			j, changed = k, true
		}
		if k, ok := p.wraps(j, d); ok {
			j, changed = k, true
		}
		if k, ok := p.words(j, "from|off cn", "from|off cable needle", "of cable needle", "of cn", "on cable needle", "on cn", "from|off dpn", "st? on cn", "held st", "from front cn", "from back cn"); ok {
			d.From, j, changed = "cn", k, true
		}
		if k, ok := p.words(j, "from holder", "from st holder", "from waste yarn", "from first holder", "from second|2nd holder", "from front|back|left|right|sleeve holder", "held on holder", "from spare needle", "on holder", "from scrap yarn"); ok {
			d.From, j, changed = "holder", k, true
			if p.w(k-2) == "spare" && onCable(b.ops) { // the spare needle of a cable
				d.From = "cn"
			}
		}
		q := j
		if k, ok := p.words(j, "of|for one|other|first|second|left|right|the? sleeve|side|thumb|front|back|shoulder|neck"); ok {
			q = k // "knit 52 sts of one sleeve from waste yarn"
		}
		if k, ok := p.fromHolder(q); ok && d.From == "" && numbered {
			d.From, j, changed = "holder", k, true
		}
		if k, ok := p.words(j, "with|in|using a|some? length|piece|strand? of? waste|scrap|smooth|spare yarn|wool|cotton|thread"); ok { // a thumb's thread
			j, changed = k, true
		}
		if k, ok := p.dropping(b, j); ok {
			j, changed = k, true
		}
		if y, k, ok := p.stitchYarn(j); ok {
			b.ops = append(b.ops, &UseYarn{Yarn: y, Span: p.span(j, k)})
			j, changed = k, true
		}
		if k, ok := p.listInto(b, d, start, j); ok {
			return k, true
		}
		if sts, times, k, ok := p.place(j, nil); ok && !place.Given() && d.Key != "patt" && k > j {
			place = times
			_ = sts
			j, changed = k, true
			if times.Given() {
				d.Times = mulNum(d.Times, p.perPlace(d, times))
			}
		}
		if p.w(j) == "back" {
			if _, _, ok := p.target(j + 1); ok { // "knit back to the end"
				j, changed = j+1, true
			}
		}
		_, _, all := p.target(j)
		if k, ok := p.pieceWords(j); ok && !(all && !numbered) {
			if numbered && p.w(j) == "of" && p.w(j-1) == "st" && d.From == "" {
				d.From = "held" // "the 17 sts of the first flap"
			}
			j, changed = k, true
		}
		if n, k, ok := p.overNext(j); ok {
			if d.Key == "patt" || d.Key == "as-set" || !d.Times.Given() {
				d.Times, numbered = n, true
			}
			j, changed = k, true
		}
	}
	if j > start {
		d.Span = d.Span.Cover(p.span(start, j))
	}
	if p.w(j) == "." && p.at(j).Glued && len(p.at(j-1).Text) <= 2 { // "p. to last 2 sts"
		if _, _, ok := p.target(j + 1); ok {
			j++
		}
	}
	if d.Key == "patt" && j == start && !numbered && p.at(start-1).Text == "work" && hasWord(p, j, "the", "a", "an", "second", "first", "other", "rest") {
		return start - 1, false // "then work the second half of the heel": no single stitch
	}
	// k1, p1 to end: the list, where the last has a number of its own
	if t, k, ok := p.target(j); ok {
		if t2, k2, ok := p.secondTarget(k); ok {
			t, k = t2, k2
		} else if t.Kind == ToEnd && !numbered && (p.w(j) == "all" || p.w(j) == "every" || p.w(j) == "each") {
			k = p.andOvers(k)
			if p.w(k) == "," && p.opStarts(k+1) && p.w(k+1) != "turn" { // "purl all sts, edge st": as far as what follows leaves room
				t.Kind = ToRest
			}
		}
		if t.Kind == ToMarker && numbered && len(b.ops) == 0 && (!d.Times.Single() || d.Times.For(0) > 4) { // "K25 to the first marker": so many lie before it
			b.ops = append(b.ops, d)
			return k, true
		}
		return p.until(b, d, t, numbered, j, k)
	}
	if d.From == "cn" && !numbered {
		b.ops = append(b.ops, d)
		return j, true
	}
	if t, k, ok := p.times(j); ok {
		if q, ok := p.words(k, "to|as end"); !ok || q == 0 {
			n := t.N
			if t.Kind == TimesMore {
				n = addNum(n, 1)
			}
			list := append([]Op(nil), b.ops[min(b.clause, len(b.ops)):]...)
			if len(b.stars) > 0 {
				list = append([]Op(nil), b.ops[min(len(b.ops), max(b.stars[len(b.stars)-1].at, b.clause)):]...)
			}
			if len(list) > 0 && plainList(list) && n.Single() && n.For(0) > 1 {
				b.ops = b.ops[:len(b.ops)-len(list)]
				list = append(list, d)
				// "yo twice" and "k2tog twice" are of the trade; "p1 twice" is not
				b.ops = append(b.ops, &Again{Body: list, Times: n, Idiom: d.Key != "k" && d.Key != "p", Span: SpanOf(list[0]).Cover(p.span(start, k))})
				return k, true
			}
			d.Times = mulNum(d.Times, n)
			d.Span = d.Span.Cover(p.span(j, k))
			b.ops = append(b.ops, d)
			return k, true
		}
	}
	if !numbered && bareAll[d.Key] && p.rowEnds(j, b.closer) && (len(p.at(start-1).Text) > 1 || onlyYarn(b.ops) || d.Key == "as-set") && len(b.stars) == 0 && b.closer == "" {
		b.ops = append(b.ops, &Until{Body: []Op{d}, To: Target{Kind: ToEnd}, Span: d.Span})
		return j, true
	}
	if word := p.at(start - 1).Text; !numbered && ((d.Key == "k" || d.Key == "p") && (word == "knit" || word == "purl" || word == "k" || word == "p") || (d.Key == "patt" || d.Key == "as-set") && p.w(j+1) == "casting") && b.closer == "" && len(b.stars) == 0 && p.w(j) == "," && len(b.ops) == 0 {
		// "Purl, cast on 2 sts": the row, as far as what follows leaves room
		q := *p
		q.quiet = true
		var rest bodyState
		if _, _, ok := q.castOnOp(&rest, p.skipWords(j+1, "then", "and")); ok || len(word) > 1 && (p.w(j+1) == "turn" || p.w(j+1) == "pm") {
			b.ops = append(b.ops, &Until{Body: []Op{d}, To: Target{Kind: ToEnd}, Span: d.Span})
			return j, true
		}
	}
	if p.w(j) == "row" || p.w(j) == "rnd" {
		if len(b.ops) == 0 && (p.at(start-1).Kind == Word) { // "Purl row."
			b.ops = append(b.ops, &Until{Body: []Op{d}, To: Target{Kind: ToEnd}, Span: d.Span})
			return j + 1, true
		}
	}
	b.ops = append(b.ops, d)
	return j, true
}

// secondTarget: "across to last 2 sts", "across row to last st".
func (p *parser) secondTarget(i int) (Target, int, bool) { return p.target(i) }

// andOvers passes "and yarn overs", "including all yos" behind "purl all sts".
func (p *parser) andOvers(i int) int {
	k, ok := p.words(i, "and", "including", "incl", "with", "as well as", "also", "plus")
	if !ok {
		return i
	}
	k = p.skipWords(k, "all", "every", "each", "any")
	if q, ok := p.words(k, "yo", "yo", "yarn over", "yarn over", "yarn - over", "yarn - over", "yfwd", "yrn", "over", "loop"); ok {
		return q
	}
	return i
}

func onlyYarn(ops []Op) bool {
	if n := len(ops); n > 0 {
		if m, ok := ops[n-1].(*Mark); ok && m.Do == "needle" { // "N2: k."
			return true
		}
	}
	for _, o := range ops {
		switch o.(type) {
		case *UseYarn, *Remark, *Join:
		default:
			return false
		}
	}
	return true
}

func plainList(ops []Op) bool {
	for _, o := range ops {
		d, ok := o.(*Do)
		if !ok || d.Times.Given() && d.Times.Single() && d.Times.For(0) == 0 {
			return false
		}
	}
	return true
}

// until makes "k1, p1 to end" of the clause, or "k to end" of the stitch alone.
func (p *parser) until(b *bodyState, d *Do, t Target, numbered bool, j, k int) (int, bool) {
	body := []Op{d}
	from := b.clause
	if len(b.stars) > 0 {
		from = max(from, b.stars[len(b.stars)-1].at)
	}
	list := b.ops[min(from, len(b.ops)):]
	if numbered && d.Key != "patt" && len(list) > 0 && plainList(list) && (t.Kind == ToEnd || t.Kind == ToLast) {
		body = append(append([]Op(nil), list...), d)
		b.ops = b.ops[:len(b.ops)-len(list)]
	}
	if numbered && (d.Key == "patt") {
		body = []Op{d}
	}
	u := &Until{Body: body, To: t, Span: SpanOf(body[0]).Cover(p.span(j, k))}
	b.ops = append(b.ops, u)
	// "rib to end": nothing more. "to last 2 sts, rep" is not the trade's.
	return k, true
}

func (p *parser) perPlace(d *Do, times Num) Num {
	s := p.vocab.Stitch(d.Key)
	if s == nil {
		return times
	}
	in, _ := s.Counts(d.Params)
	if in <= 1 {
		return times
	}
	out := Num{Span: times.Span}
	for _, v := range times.Vals {
		if v > 0 && v%in == 0 {
			v /= in
		}
		out.Vals = append(out.Vals, v)
	}
	return out
}

// rowEnds reports whether nothing is worked after i in this row.
func (p *parser) rowEnds(i int, closer string) bool {
	if i >= len(p.toks) {
		return true
	}
	if _, _, ok := p.stated(i); ok {
		return true
	}
	switch p.w(i) {
	case ".", "!", "…":
		return true
	case ",":
		if j, ok := p.words(i+1, "slipping|removing|passing|moving|carrying all? m"); ok && p.at(j-1).Text == "markers" {
			return p.rowEnds(j, closer) || hasWord(p, j, "as", "but", "except")
		}
		if j, ok := p.words(i+1, "taking|working|bringing|incorporating new|inc'd|increased|extra|made st"); ok { // "work in rib as established, taking the new sts into the rib"
			for j < len(p.toks) && !hasWord(p, j, ".", ";", "(", "–") {
				j++
			}
			return p.rowEnds(j, closer)
		}
		if j, ok := p.startsWith(i + 1); ok {
			return p.rowEnds(j, closer)
		}
		_, _, ok := p.needleLabel(i + 1)
		return ok
	case ";":
		if _, _, ok := p.needleLabel(i + 1); ok {
			return true
		}
		return i+1 >= len(p.toks)
	case "(", "[":
		inner := p.proseEnd(i, "")
		for k := i; k < inner; k++ {
			if p.w(k) == ")" || p.w(k) == "]" {
				return p.rowEnds(k+1, closer)
			}
		}
	case "row", "rnd":
		return p.rowEnds(i+1, closer)
	case "–":
		return p.comment(i + 1)
	}
	return false
}

// startsWith reads "starting with a knit (RS) row", said of a fabric.
func (p *parser) startsWith(i int) (int, bool) {
	j, ok := p.words(i, "beg|begin|starting|start with|on a|an?")
	if !ok {
		return i, false
	}
	k := j
	for guard := 0; guard < 8; guard++ {
		if _, q, ok := p.sideWord(k); ok {
			k = q
			continue
		}
		switch p.w(k) {
		case "k", "p", "knit", "purl", "knitted", "purled", "(", ")", "side", "plain":
			k++
			continue
		}
		break
	}
	if k == j || p.w(k) != "row" && p.w(k) != "rnd" && p.w(k-1) != "row" {
		return i, false
	}
	if p.w(k) == "row" || p.w(k) == "rnd" {
		k++
	}
	return k, true
}

// pieceWords reads where the stitches come from: "of first sleeve", "across back".
func (p *parser) pieceWords(i int) (int, bool) {
	switch p.w(i) {
	case "of", "from", "across", "on", "for", "along", "over":
	default:
		return i, false
	}
	j := i + 1
	for j < len(p.toks) {
		switch p.w(j) {
		case "the", "first", "second", "left", "right", "other", "st", "held", "sleeve", "sleeves", "front", "back", "body", "heel", "instep", "flap", "side", "sole", "thumb", "gusset", "neck", "yoke", "collar", "hood", "edge", "needle", "pocket", "lining", "linings", "1st", "2nd", "piece", "underarm", "shoulder", "sides", "fronts", "cuff", "hand", "palm", "one", "1", "earflap", "flaps", "earflaps", "base", "square", "strip", "border", "brim", "crown", "leg", "foot", "wedge", "fingers", "finger", "part", "parts", "length", "wool", "ear", "a", "half", "of", "right-hand", "left-hand", "crotch", "center", "centre", "flap's":
			j++
			continue
		}
		break
	}
	if c := p.closerOf(j); openers[p.w(j)] != "" && c > j && c <= j+3 && p.at(j+1).Kind == Word && j > i+1 { // "of the body (front)"
		j = c + 1
	}
	if j == i+1 || p.w(j) != "," && p.w(j) != ";" && p.w(j) != "." && p.w(j) != ")" && p.w(j) != "and" && j < len(p.toks) {
		return i, false
	}
	return j, true
}

func (p *parser) skipWords(i int, words ...string) int {
next:
	for ; i < len(p.toks); i++ {
		for _, w := range words {
			if p.w(i) == w || p.w(i) == "the" {
				if _, _, ok := p.target(i); ok && (w == "to" || w == "across") {
					return i
				}
				continue next
			}
		}
		break
	}
	return i
}

// overNext reads "over next 24 sts", "across next 12 sts".
func (p *parser) overNext(i int) (Num, int, bool) {
	j, ok := p.words(i, "over|across|on|for next", "over|across|for", "over first|last|centre", "next", "on")
	if !ok {
		return Num{}, i, false
	}
	if hasWord(p, j-1, "over", "across", "on") {
		j = p.skipWords(j, "next", "first", "last", "centre")
	}
	n, k, ok := p.num(j)
	if !ok || p.w(k) != "st" {
		return Num{}, i, false
	}
	return n, k + 1, true
}
