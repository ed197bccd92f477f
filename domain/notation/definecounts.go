package notation

// This file reads what a definition says in counts: how many stitches it takes and makes,
// how many rows below it goes.

func (p *parser) definesStitch() bool {
	b, _ := p.body(0, "")
	n := 0
	for _, o := range b.ops {
		switch o := o.(type) {
		case *Unknown:
		case *Do:
			_ = o
			n++
		case *Into, *Group, *Turn, *ToCable:
			n += 2
		}
	}
	if _, _, ok := p.usesMakes(); ok {
		return true
	}
	return n >= 1 && len(p.toks) > 2
}

// rowsBelow finds "3 rows below" in the words of a definition.
func (p *parser) rowsBelow() (int, bool) {
	for k := range p.toks { // "let it run down 4 rows", whatever stitch that is then
		if j, ok := p.words(k, "down|unravel|unravels|ravel|ravels|undo|ladder|back it|them? for|by?", "runs? down"); ok {
			if n, r, ok := p.num(j); ok && n.Single() && n.For(0) > 0 && n.For(0) < 100 && p.w(r) == "row" {
				return n.For(0), true
			}
		}
	}
	for k := range p.toks {
		if n, j, ok := p.num(k); ok && n.Single() && n.For(0) > 0 && n.For(0) < 100 {
			if _, ok := p.words(j, "row below|down|beneath", "row under", "below"); ok {
				return n.For(0), true
			}
		}
		if t := p.at(k); t.Kind == Ordinal && t.Val > 0 && t.Val < 100 { // into the fourth stitch below
			if _, ok := p.words(k+1, "st|loop|row below|down|beneath|under"); ok {
				return t.Val, true
			}
		}
	}
	return 0, false
}

// usesMakes reads "uses 1 st, makes 1", "(2 sts dec'd)", "inc 4" in a definition.
func (p *parser) usesMakes() (in, out int, ok bool) {
	in, out = -1, -1
	for k := 0; k < len(p.toks); k++ {
		if n, r, isN := p.num(k); isN && p.w(r) == "st" { // "3 sts used, 3 sts made"
			switch p.w(r + 1) {
			case "used", "consumed", "taken":
				in = n.For(0)
			case "made", "produced", "left", "remain", "rem":
				out = n.For(0)
			}
		}
		if q, hit := p.words(k, "uses", "use", "consumes", "takes", "worked over", "over", "takes up", "using", "works on"); hit && in < 0 {
			if n, r, isN := p.num(q); isN && (p.w(r) == "st" || p.w(r) == "," || p.w(r) == "and" || r == len(p.toks) || p.w(r) == "loop") {
				in = n.For(0)
				if p.w(k) == "worked" || p.w(k) == "over" || p.w(k) == "works" {
					if out < 0 {
						out = in
					}
				}
			}
		}
		if q, hit := p.words(k, "makes", "make", "gives", "produces", "leaves", "making", "and makes", "becomes", "yields", "giving"); hit {
			if n, r, isN := p.num(q); isN && !p.worksOn(r) && (p.w(r) == "st" || p.w(r) == "." || r == len(p.toks) || p.w(r) == ")" || p.w(r) == "loop" || p.w(r) == ",") {
				out = n.For(0)
			}
		}
	}
	if in >= 0 && out >= 0 {
		return in, out, true
	}
	if a, b, ok := p.intoCounts(); ok {
		return a, b, true
	}
	return in, out, false
}

// intoCounts reads "(3 sts made from 3)", "3 sts become 1", "3 sts into 1".
func (p *parser) intoCounts() (in, out int, ok bool) {
	for k := range p.toks {
		a, j, ok := p.num(k)
		if !ok {
			continue
		}
		j = p.skipWords(j, "st")
		from := false
		q, hit := p.words(j, "become|becomes|becoming|worked? into|as", "made|turned|decreased|increased|dec'd|inc'd into|to")
		if !hit {
			q, from = p.words(j, "made? from|of|out? of?")
			hit = from
		}
		if b, r, isN := p.num(q); hit && isN && !p.worksOn(r) && (r >= len(p.toks) || p.w(r) == "st" || p.w(r) == ")" || p.w(r) == "." || p.w(r) == "]" || p.w(r) == ",") {
			in, out = a.For(0), b.For(0)
			if from {
				in, out = out, in
			}
			return in, out, true
		}
	}
	return 0, 0, false
}

// worksOn says that a definition goes on behind i with what changes the count again: "(5 sts made from 1),
// turn and p5, turn and k5, then pass …".
func (p *parser) worksOn(i int) bool {
	for ; i < len(p.toks); i++ {
		switch p.w(i) {
		case "turn", "pass", "lift", "psso", "pso", "bo", "k2tog", "decrease", "dec":
			return true
		}
	}
	return false
}

// netChange reads "2 sts dec'd", "inc 4 sts" at a definition's end; ok is false where nothing says so.
func (p *parser) netChange() (int, bool) {
	for k := 0; k < len(p.toks); k++ {
		if n, r, ok := p.num(k); ok {
			if q, hit := p.words(r, "st? inc'd|increased|inc", "st increase"); hit && p.w(q-1) != "st" {
				return n.For(0), true
			}
			if q, hit := p.words(r, "st? dec'd|decreased|dec", "st decrease"); hit && p.w(q-1) != "st" {
				return -n.For(0), true
			}
		}
	}
	return 0, false
}
