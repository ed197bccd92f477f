package notation

import "strings"

// This file reads how hands differ within a row: sums, how often told first, numbers
// before the stitch, lists worked into one place without brackets, comments behind a dash.

// sum says that a plus at i only joins what is worked, "k2 + p2 + k6": it opens no
// repeat, and none is spoken of behind it.
func (p *parser) sum(b *bodyState, i int) bool {
	if len(b.ops) == 0 || b.opened("+") {
		return false
	}
	if prev := p.at(i - 1); prev.Kind == Punct && prev.Text != ")" && prev.Text != "]" && prev.Text != "}" {
		return false
	}
	signs := 0
	for k := i + 1; k < len(p.toks); k++ {
		if p.w(k) != "+" {
			continue
		}
		switch p.w(k - 1) {
		case "from", "between", "to", "after", "rep":
			return false
		}
		if n := p.at(k + 1); n.Kind == Punct && openers[n.Text] == "" || k+1 >= len(p.toks) {
			signs++ // one that may close
		}
	}
	return signs == 0
}

// comment says that words of no stitch stand from i to the end of the sentence: "k – stuff now!".
func (p *parser) comment(i int) bool {
	end := p.proseEnd(i, "")
	if p.tellsOfMarker(i, end) {
		return true
	}
	if n, k, ok := p.num(i); ok && n.Given() && k+1 >= end && hasWord(p, k, "panels", "sections", "segments", "wedges", "gores", "triangles", "quarters", "points") { // "k to end – 8 panels"
		return true
	}
	words := 0
	for k := i; k < end; k++ {
		t := p.at(k)
		if t.Kind == Number && t.Frac == "" || isMark(t.Text) || openers[t.Text] != "" || t.Text == "turn" {
			return false
		}
		if t.Kind != Word {
			continue
		}
		words++
		if len(t.Raw) > 1 && t.Raw == strings.ToUpper(t.Raw) && !hasWord(p, k, "bor", "eor", "rs", "ws") || hasWord(p, k, "k", "p", "knit", "purl", "sl", "slip", "yo", "rep", "to", "st", "row", "rnd", "work", "place", "remove", "rm", "sm", "pm", "with", "dec", "inc") {
			return false
		}
		if _, q, ok := p.stitch(k); ok && q > k {
			return false
		}
	}
	return words > 1
}

// tellsOfMarker says that words tell where the round's marker is and ask for nothing: "beginning-of-round
// marker is the fourth raglan marker".
func (p *parser) tellsOfMarker(i, end int) bool {
	at, _, ok := p.find(i, end, "m is|marks|counts|stands|serves|sits|becomes|rem|being|marking", "rnd is|marks|now begins|starts", "beg of rnd is", "rnd begins|starts")
	return ok && !hasWord(p, i, "k", "p", "sl", "pm", "place", "remove", "rm", "sm", "to") && at < i+8
}

// wholeRow says that what is worked goes to the end of the row.
func wholeRow(ops []Op) bool {
	if len(ops) == 0 {
		return false
	}
	switch o := ops[len(ops)-1].(type) {
	case *Until:
		return o.To.Kind == ToEnd
	case *Repeat:
		return o.To.Kind == ToEnd
	}
	return false
}

// timesFirst reads "6× kfb", "3 x [k1, kfb]", "twice (k2tog, yo)": how often stands first.
func (p *parser) timesFirst(b *bodyState, i int) (int, bool) {
	var n Num
	j := i
	switch {
	case p.w(i) == "twice" || p.w(i) == "thrice":
		n, j = N(2), i+1
		if p.w(i) == "thrice" {
			n = N(3)
		}
		n.Span = p.span(i, j)
		if openers[p.w(j)] == "" {
			return i, false
		}
	case p.at(i).Kind == Number || openersOrDash(p.w(i)):
		v, k, ok := p.num(i)
		if !ok || p.w(k) != "x" && p.w(k) != "times" {
			return i, false
		}
		n, j = v, k+1
	default:
		return i, false
	}
	if p.w(j) == ":" {
		j++
	}
	if openers[p.w(j)] == "" {
		if _, _, ok := p.stitch(j); !ok {
			return i, false
		}
	}
	said := len(p.out.Findings)
	fail := func() (int, bool) {
		if !p.quiet {
			p.out.Findings = p.out.Findings[:min(said, len(p.out.Findings))]
		}
		return i, false
	}
	var inner bodyState
	inner.closer = b.closer
	if inner.closer == "" {
		inner.closer = "x" // no row ends here
	}
	k, ok := p.op(&inner, j)
	if !ok || len(inner.ops) == 0 || k <= j {
		return fail()
	}
	for _, o := range inner.ops {
		switch o.(type) {
		case *Unknown, *Remark, *Until:
			return fail()
		}
	}
	body := inner.ops
	if g, only := body[0].(*Group); only && len(body) == 1 && !g.Times.Given() {
		body = g.Body
	}
	if d, only := body[0].(*Do); only && len(body) == 1 {
		d.Times = mulNum(d.Times, n)
		d.Span = p.span(i, k)
		b.ops = append(b.ops, d)
		return k, true
	}
	b.ops = append(b.ops, &Group{Body: body, Times: n, Span: p.span(i, k)})
	return k, true
}

// numberFirst reads "3 p, 5 k, 1 yo, 1 DD": the number before the stitch.
func (p *parser) numberFirst(b *bodyState, i int) (int, bool) {
	if p.at(i).Kind != Number {
		return i, false
	}
	n, j, ok := p.num(i)
	if !ok {
		return i, false
	}
	if p.w(j) == "st" && hasWord(p, j+1, "k", "knit", "p", "purl") { // "4 sts knit"
		j++
	}
	d, k, ok := p.stitch(j)
	if !ok || d.Times.Given() {
		return i, false
	}
	switch q := p.w(k); {
	case q == "," || q == ";" || q == "." || q == "*" || q == "rep" || q == "and" || q == "+" || q == ")" || q == "]" || q == "}" || isDash(q) || k >= len(p.toks) || p.at(k).Kind == Number && !p.at(k).Glued:
	default:
		return i, false
	}
	d.Times = n
	d.Span = p.span(i, k)
	b.ops = append(b.ops, d)
	return k, true
}

// listInto reads "knit one, purl one and knit one all into the next stitch": the list
// before, and d that has just been read, into one place. The list goes back as far as
// single stitches alternate, and no further than "then", a semicolon or an asterisk.
func (p *parser) listInto(b *bodyState, d *Do, start, i int) (int, bool) {
	all := p.w(i) == "all" || p.w(i) == "both"
	same := false
	if _, ok := p.words(i, "all|both? in|into same|one|1 st|loop|place"); ok {
		same = true
	}
	plain := false // "knit 1, purl 1 and knit 1 into the next st"
	if k, ok := p.words(i, "in|into next|following|same st"); ok && !all && !same && p.w(start-1) != "" {
		_ = k
		plain = d.Times.Given() && d.Times.For(0) == 1 && (d.Key == "k" || d.Key == "p")
	}
	if !all && !same && !plain || !p.single(d) {
		return i, false
	}
	n, times, k, ok := p.place(i, []Op{d})
	if !ok || times.Given() || !isOne(n) {
		return i, false
	}
	from := max(b.clause, b.then)
	if len(b.stars) > 0 {
		from = max(from, b.stars[len(b.stars)-1].at)
	}
	from = min(from, len(b.ops))
	last := d
	at := len(b.ops)
	for at > from {
		if g, isGroup := b.ops[at-1].(*Group); isGroup && all && p.singles(g.Body) { // "(k1, p1) twice and k1 all in next st"
			at--
			continue
		}
		o, isDo := b.ops[at-1].(*Do)
		if !isDo || !p.single(o) || o.Key == last.Key && equalInts(o.Params, last.Params) {
			break
		}
		last, at = o, at-1
	}
	if p.w(i) == "both" {
		at = max(at, len(b.ops)-1)
	}
	for at < len(b.ops) && p.loopless(b.ops[at]) {
		at++ // a list into a stitch does not begin with a yarn over
	}
	if at == len(b.ops) || plain && !p.knitsFirst(b.ops[at:]) {
		return i, false
	}
	d.Span = d.Span.Cover(p.span(start, i))
	body := append(append([]Op(nil), b.ops[at:]...), d)
	b.ops = append(b.ops[:at], &Into{Body: body, Sts: N(1), Span: SpanOf(body[0]).Cover(p.span(i, k))})
	return k, true
}

// singles says that all of a list are stitches worked once, on one loop or on none.
func (p *parser) singles(ops []Op) bool {
	for _, o := range ops {
		if d, ok := o.(*Do); !ok || !p.single(d) {
			return false
		}
	}
	return len(ops) > 0
}

// single says that a stitch is worked once, on one loop or on none.
func (p *parser) single(d *Do) bool {
	if d.Times.Given() && d.Times.For(0) != 1 || !d.Times.Single() {
		return false
	}
	s := p.vocab.Stitch(d.Key)
	return s != nil && (s.Class == Knit || s.Class == Purl || s.Class == YO) && !(s.Class == Knit && d.Key != "k" && d.Key != "ktbl")
}

// loopless says that an op takes no loop: a yarn over.
func (p *parser) loopless(o Op) bool {
	d, ok := o.(*Do)
	if !ok {
		return false
	}
	s := p.vocab.Stitch(d.Key)
	return s != nil && s.Class == YO
}

// labelWithin reads "Make holes for ribbon:" before the stitches of a row, and "6
// buttonholes made" behind them: words that tell what a row is for and work nothing.
func (p *parser) labelWithin(b *bodyState, i int) (int, bool) {
	if b.closer != "" {
		return i, false
	}
	if len(b.ops) == 0 && (p.w(i) == "make" || p.w(i) == "making" || p.w(i) == "form") {
		end := min(i+8, len(p.toks))
		for k := i + 1; k < end; k++ {
			t := p.at(k)
			if p.w(k) == ":" { // "make bobble thus:" tells how
				return k + 1, k > i+1 && p.w(k-1) != "thus" && p.w(k-1) != "so" && p.w(k-1) != "follows"
			}
			if t.Kind != Word || p.w(k) == "k" || p.w(k) == "p" || p.w(k) == "st" {
				break
			}
		}
	}
	if len(b.ops) > 0 && p.at(i).Kind == Number && i < len(p.toks) {
		if j, ok := p.words(i+1, "buttonhole|buttonholes|hole|holes|eyelet|eyelets|bobble|bobbles|gap|gaps|loop|picot|picots made|worked|formed|completed"); ok {
			return j, true
		}
	}
	return i, false
}

// eachFromBoth reads "knit each stitch from the front and from the back (kfb)".
func (p *parser) eachFromBoth(i int) (Op, int, bool) {
	j, ok := p.words(i, "k|knit each|every st from|in|into|through the? front and from|in|into|through? the? back")
	if !ok {
		return nil, i, false
	}
	if k, ok := p.words(j, "( kfb )", "loop", "of st"); ok {
		j = k
	}
	d := &Do{Key: "kfb", Span: p.span(i, j)}
	return &Until{Body: []Op{d}, To: Target{Kind: ToEnd}, Span: d.Span}, j, true
}

// knitsFirst says that a list is of single knits, purls and yarn overs, as are worked into one stitch.
func (p *parser) knitsFirst(ops []Op) bool {
	for _, o := range ops {
		d, ok := o.(*Do)
		if !ok || !p.single(d) || d.Key != "k" && d.Key != "p" && d.Key != "yo" && d.Key != "ktbl" {
			return false
		}
	}
	return len(ops) > 0
}
