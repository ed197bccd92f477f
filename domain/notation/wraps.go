package notation

// This file reads yarn that is wound: round the needle, to be dropped again, or round a
// group of stitches; and lists that are worked off the cable needle.

// windsRound reads "wind the yarn twice around these 6 sts, anticlockwise", which
// makes no loop.
func (p *parser) windsRound(i int) (int, bool) {
	j, ok := p.words(i, "wind|wrap|winding|wrapping yarn|working|wool", "wind|wrap|winding|wrapping working yarn")
	if !ok {
		return i, false
	}
	end := p.skipTo(j, ",", ";", ".", ")", "]")
	_, at, around := p.find(j, end, "around", "rnd", "rnd", "about")
	_, _, needle := p.find(at, end, "needle|tip")
	if !around || needle {
		return i, false
	}
	if k, ok := p.words(end, ",? anticlockwise|counterclockwise|clockwise", ",? counter|anti - clockwise", ", from front to back"); ok {
		end = k
	}
	return end, true
}

// withWrap reads "it with its wrap", "the wrapped st together with both its wraps" behind knit or
// purl: one stitch, worked with the yarn that lies around it.
func (p *parser) withWrap(i int) (int, bool) {
	j := p.skipWords(i, "it", "this", "that", "the", "next", "first", "same", "wrapped", "double", "st", "ds", "tog", "along")
	if j == i || p.w(j) != "with" {
		return i, false
	}
	j = p.skipWords(j+1, "its", "their", "the", "both", "all", "of", "two", "double")
	if p.w(j) != "wrap" && p.w(j) != "wraps" {
		return i, false
	}
	return j + 1, true
}

// onCable says that stitches were slipped to a cable needle in this row.
func onCable(ops []Op) bool {
	for _, o := range ops {
		if _, ok := o.(*ToCable); ok {
			return true
		}
	}
	return false
}

// windsTold gives the winds told behind a row, "K each st, winding wool 3 times round needle", to
// its stitch.
func (p *parser) windsTold(b *bodyState, i int) (int, bool) {
	if len(b.ops) == 0 {
		return i, false
	}
	u, ok := b.ops[len(b.ops)-1].(*Until)
	if !ok || len(u.Body) != 1 {
		return i, false
	}
	d, ok := u.Body[0].(*Do)
	if !ok || d.Wraps > 0 {
		return i, false
	}
	return p.wraps(i, d)
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
		more := 0 // "k3, return the purl st from cn and p1, k3 from cn": the cn gives twice
		for _, next := range ops[i+1:] {
			if d, ok := next.(*Do); ok && d.From == "cn" {
				more++
			} else if _, ok := next.(*ToCable); ok {
				break
			}
		}
		if n := len(list); n > 1 && more == 1 && list[n-1].From == "cn" && sts == cable.N.Vals[0] {
			for _, d := range list {
				d.From = "cn"
			}
		}
	}
}

// wraps reads "wrapping yarn twice round needle".
func (p *parser) wraps(i int, d *Do) (int, bool) {
	j, ok := p.words(i, ",? wrapping|winding|wrap|wind|throwing|putting|passing yarn|wool|thread", ",? with yarn wrapped", "elongated")
	if !ok {
		return i, false
	}
	d.Wraps = 2
	if p.w(j-1) == "elongated" {
		return j, true
	}
	for {
		switch w := p.w(j); {
		case w == "twice":
			d.Wraps = 2
			j++
		case w == "thrice":
			d.Wraps = 3
			j++
		case p.at(j).Kind == Number && p.w(j+1) == "times":
			d.Wraps = max(1, min(p.at(j).Val, 20))
			j += 2
		case w == "the" || w == "around" || w == "round" || w == "rnd" || w == "needle" || w == "right" || w == "rh" || w == "over" || w == "each" || w == "for":
			j++
		case w == "st" && p.w(j-1) == "each":
			j++
		default:
			return j, true
		}
	}
}

// dropping reads "dropping all yo's", "dropping extra wraps" behind a stitch.
func (p *parser) dropping(b *bodyState, i int) (int, bool) {
	j, ok := p.words(i, ",? dropping|letting|drop", ",? and dropping|drop")
	if !ok {
		return i, false
	}
	if v := p.w(j - 1); v == "drop" && p.w(j) != "all" && p.w(j) != "every" && p.w(j) != "each" {
		return i, false // ", drop yo": one of them, an instruction of its own
	}
	k, ok := p.words(j, "all|every|each|both the? yo|yrn|yfwd|yon|yfrn", "yo|yrn|yfwd from|of previous|prev row", "yo|yrn|yfwd as you go", "yo|yrn|yfwd|yon|yfrn", "all|every|each? the? yarn over|forward", "all|every|each? the? yarn - over|forward", "the? yarn - over")
	if ok {
		k = p.skipWords(k, "from", "off", "needle", "of", "previous", "prev", "row", "as", "you", "go", "last", "come", "to", "them", "across", "over", "the")
		b.ops = append(b.ops, &DropAll{Span: p.span(i, k)})
		return k, true
	}
	k, ok = p.words(j, "all? extra yarn? wrap|wraps|loop|wind|winds|winding|windings|turns|throws|twists", "second|2nd wrap|loop|wind", "all? wrap|wraps|loop|wind|winds|windings|turns|throws|twists", "extra", "all extra|extras")
	if ok {
		return p.skipWords(k, "from", "off", "needle", "of", "previous", "prev", "row", "as", "you", "go", "last", "come", "to", "them", "the", "fall", "drop", "down", "slide", "run", "and", "letting", "be", "dropped"), true
	}
	return i, false
}
