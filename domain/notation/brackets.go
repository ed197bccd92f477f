package notation

import "slices"

import (
	"rowproof/domain/finding"
)

// This file reads brackets: groups, and lists worked into one place.

// bracket reads ( ), [ ] or { } with what stands behind it.
func (p *parser) bracket(b *bodyState, i int) (int, bool) {
	if p.w(i+1) == "=" { // "knit 33 sts (= half back piece)"
		if end := p.closerOf(i); end > 0 {
			b.ops = append(b.ops, &Remark{Text: p.raw(i, end+1), Span: p.span(i, end+1)})
			return end + 1, true
		}
	}
	if j, ok := p.tellsChange(i); ok { // "kfb (increases 1)"
		b.ops = append(b.ops, &Remark{Text: p.raw(i, j), Span: p.span(i, j)})
		return j, true
	}
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
		if h := p.heldBeside(b, i, after); h != nil {
			b.ops = append(b.ops, h)
		}
		return after, true
	}
	if remarks {
		b.ops = append(b.ops, inner.ops...)
		return after, true
	}
	if k, ok := p.words(after, "in all"); ok {
		_ = k
	}
	if p.explains(b, i, after, inner.ops) {
		b.ops = append(b.ops, &Remark{Text: p.raw(i, after), Span: p.span(i, after)})
		return after, true
	}
	// (k1, p1, k1) in next st
	if n, times, k, ok := p.place(after, inner.ops); ok {
		o := &Into{Body: inner.ops, Sts: n, Times: times, Span: p.span(i, k)}
		return p.afterGroup(b, o, o.Span, i, k)
	}
	if k, ok := p.words(after, "on|for|across|over each|both|every needle"); ok && b.closer == "" {
		limit(inner.ops)
		b.ops = append(b.ops, &Repeat{Body: inner.ops, Mark: "*", To: Target{Kind: ToEnd, Span: p.span(after, k)}, Span: p.span(i, k)})
		return k, true
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
	if q, ok := p.words(k, "rep|repeated|work|worked across|these? # st", "rep|repeated"); ok && !isMark(p.w(q)) && p.w(q) != "from" && p.w(q) != "row" && p.w(q) != "between" {
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
			if e, ok := p.words(q, "from spare|cable|extra needle", "from cn|dpn"); ok { // "[k1, p1] twice from spare needle"
				for _, o := range g.Body {
					if d, ok := o.(*Do); ok {
						d.From = "cn"
					}
				}
				q = e
			}
			g.Times, g.Span = n, p.span(i, q)
		case *Into:
			g.Times, g.Span = mulNum(g.Times, n), p.span(i, q)
		}
		if sts, _, r, ok := p.place(q, nil); ok && isOne(sts) { // "(k1, p1) twice into next st"
			o = &Into{Body: []Op{o}, Sts: sts, Span: p.span(i, r)}
			q = r
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
	if k, ok := p.words(j, "each|every st to|across|around end|row|rnd?", "each|every st"); ok && (p.w(j) == "each" || p.w(j) == "every") {
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
	if k, ok := p.words(j, "next|same|following|1st|second|2nd|last|one|centre|marked|single|top|corner|that|this st|yo|loop|space|m|double?", "double yo", "next double yo", "next yo", "yrn|yfwd|yon|yfrn", "next yrn|yfwd|yon|yfrn"); ok && (p.w(k-1) == "st" || p.w(k-1) == "yo" || hasWord(p, k-1, "yrn", "yfwd", "yon", "yfrn") || p.w(k-1) == "loop" || p.w(k-1) == "space") {
		n := 1
		if p.w(k-2) == "double" || p.w(k-2) == "2" {
			n = 2
		}
		if p.w(k-1) == "yo" && p.w(k-2) == "double" {
			n = 2
		}
		if q, ok := p.words(k, "of previous|prev|last row|rnd", "of row|rnd below", "made? on|in previous|last row|rnd"); ok {
			k = q
		}
		return N(n), Num{}, k, true
	}
	if k, ok := p.words(j, "next|first|following|last"); ok {
		j = k
	}
	if k, ok := p.words(j, "double yo", "yo 2", "yo twice", "big? yo", "st", "yo", "loop", "centre st", "marked st", "corner st", "double yo of previous row", "same place", "same loop", "1st", "last st"); ok {
		n := 1
		if p.w(j) == "double" || p.w(j) == "yo" && (p.w(k-1) == "2" || p.w(k-1) == "twice") {
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

// explains says that a bracket tells in other words what the stitch before it is: "C3B (slip next
// st to cable needle, …)", "make bobble [(k1, p1, k1) in next st, turn, …]", "m1 (wool forward)".
func (p *parser) explains(b *bodyState, i, after int, inner []Op) bool {
	if len(b.ops) == 0 || i == 0 || p.hasRepeatAfter(after) {
		return false
	}
	if _, _, _, ok := p.place(after, inner); ok {
		return false
	}
	if one, ok := inner[0].(*Do); ok && len(inner) == 1 && one.Key == "edge" && p.at(i-1).Kind != Punct {
		return true // "k1 (edge st)", not "k1, (edge st)"
	}
	d, ok := b.ops[len(b.ops)-1].(*Do)
	before := p.at(i - 1)
	if !ok || before.Kind == Punct || d.Line != before.Line || d.Col > before.Col || d.EndCol < before.EndCol {
		return false
	}
	s := p.vocab.Stitch(d.Key)
	if s == nil {
		return false
	}
	for _, o := range inner {
		switch o.(type) {
		case *ToCable:
			return s.Class == Cable || s.Class == Twist
		case *Turn:
			return d.Key != "k" && d.Key != "p"
		}
	}
	if one, ok := inner[0].(*Do); ok && len(inner) == 1 && !one.Times.Given() && !d.Times.Given() {
		t := p.vocab.Stitch(one.Key)
		if t == nil || s.Class == Knit || s.Class == Purl {
			return false
		}
		in, out := s.Counts(d.Params)
		in2, out2 := t.Counts(one.Params)
		return in == in2 && out == out2
	}
	return false
}

// heldBeside finds, in the comment of a row that turns, stitches that are left meanwhile: "(these 32 sts are
// for the heel; divide the remaining 32 on two needles and leave for the instep)".
func (p *parser) heldBeside(b *bodyState, i, end int) *Hold {
	if !slices.ContainsFunc(b.ops, func(o Op) bool { _, turns := o.(*Turn); return turns }) {
		return nil
	}
	for k := i; k < end; k++ {
		if !hasWord(p, k, "rem", "other") {
			continue
		}
		n, q, ok := p.num(k + 1)
		if _, _, left := p.find(q, end, "leave", "hold", "holder", "instep"); ok && left {
			return &Hold{N: n, Span: p.span(k, q)}
		}
	}
	return nil
}

// tellsChange reads a bracket that says what a stitch does to the count: "(increases 1)", "(decreases 2 sts)".
func (p *parser) tellsChange(i int) (int, bool) {
	switch p.at(i + 1).Text {
	case "increases", "decreases", "increasing", "decreasing":
	default:
		return i, false
	}
	_, j, ok := p.num(i + 2)
	if !ok {
		return i, false
	}
	j = p.skipWords(j, "st")
	return j + 1, p.w(j) == openers[p.w(i)] && p.w(j) != ""
}
