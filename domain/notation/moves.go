package notation

import "slices"

// This file reads the instructions that are not stitches: markers, cable
// needle, holders, binding off and casting on within a row.

func (p *parser) pattOver(_ *bodyState, i int) (Op, int, bool) {
	start := i
	j, ok := p.words(i, "work", "work across", "rep", "k")
	if !ok {
		j = i
	}
	row := ""
	if k, ok := p.words(j, "row|rnd"); ok {
		j = k
		if p.at(j).Kind == Number {
			row = p.at(j).Text
			j++
		} else if k, ok := p.words(j, "numbers?"); !ok || k == j {
			return nil, start, false
		}
	} else if k, ok := p.words(j, "next|first row|rnd"); ok {
		j, row = k, ""
	} else if p.at(j).Kind == Ordinal && (p.w(j+1) == "row" || p.w(j+1) == "rnd") {
		row = itoa(p.at(j).Val)
		j += 2
	} else if k, ok := p.words(j, "st"); ok && p.at(k).Kind == Number && p.w(i) == "work" {
		return nil, start, false
	} else if t := p.at(j); j > i && t.Kind == Word {
		// "work Pebble patt over next 24 sts": only where "over next N sts" follows soon
		for k := j + 1; k < j+6 && k < len(p.toks); k++ {
			if n, q, ok := p.overNext(k); ok && p.w(k) != "next" && p.w(k) != "on" {
				if _, _, isSt := p.stitch(j); isSt {
					return nil, start, false
				}
				return &PattOver{Name: p.raw(j, k), N: n, Span: p.span(start, q)}, q, true
			}
			if w := p.w(k); w == "," || w == "." || w == ";" {
				break
			}
		}
		return nil, start, false
	} else {
		return nil, start, false
	}
	k, ok := p.words(j, "of|from")
	if !ok {
		return nil, start, false
	}
	nameAt := k
	for k < len(p.toks) {
		if w := p.w(k); w == "beg" || w == "starting" || w == "begin" {
			break
		}
		if n, q, ok := p.overNext(k); ok {
			return &PattOver{Row: row, Name: p.raw(nameAt, k), N: n, Span: p.span(start, q)}, q, true
		}
		if t, q, ok := p.target(k); ok {
			u := &Until{Body: []Op{&PattOver{Row: row, Name: p.raw(nameAt, k), N: N(1), Span: p.span(start, k)}}, To: t, Span: p.span(start, q)}
			return u, q, true
		}
		if n, q, ok := p.num(k); ok && p.w(q) == "times" {
			return &PattOver{Row: row, Name: p.raw(nameAt, k), N: n, Span: p.span(start, q)}, q + 1, true
		}
		if w := p.w(k); w == "," || w == "." || w == ";" {
			break
		}
		k++
	}
	if k > nameAt && p.w(k) == "," && p.opStarts(k+1) { // "work Row 2 of Rope, p22": as wide as the pattern is
		return &PattOver{Row: row, Name: p.raw(nameAt, k), Span: p.span(start, k)}, k, true
	}
	if k > nameAt { // to the end of what there is
		return &Until{Body: []Op{&PattOver{Row: row, Name: p.raw(nameAt, k), N: N(1), Span: p.span(start, k)}}, To: Target{Kind: ToEnd}, Span: p.span(start, k)}, k, true
	}
	return nil, start, false
}

func (p *parser) marker(b *bodyState, i int) (Op, int, bool) {
	if k, ok := p.words(i, "rnd now? begins|starts|beg here|at", "rnd now? begin|start here|at", "beg|start of rnd is now? here|at"); ok {
		k = max(k, p.unknownEnd(k, b.closer))
		return &Remark{Text: p.raw(i, k), Span: p.span(i, k)}, k, true
	}
	if k, ok := p.words(i, "this is|marks|becomes new|now? bor"); ok {
		k = max(k, p.unknownEnd(k, b.closer))
		if p.w(k) == "," && hasWord(p, k+1, "at", "in", "on", "which", "where") {
			k = p.unknownEnd(k+1, b.closer)
		}
		return &Remark{Text: p.raw(i, k), Span: p.span(i, k)}, k, true
	}
	if k, ok := p.words(i, "this is|marks|becomes new|now? beg|start of rnd", "new beg|start of rnd"); ok {
		if p.w(k) == "," && hasWord(p, k+1, "and", "the", "with") && !p.opStarts(p.skipWords(k+1, "and")) {
			k = p.proseEnd(k, b.closer) // ", and the other marker is halfway"
		}
		return &Remark{Text: p.raw(i, k), Span: p.span(i, k)}, k, true
	}
	do := ""
	j := i
	for _, m := range [...]struct{ do, words string }{
		{"place", "pm"}, {"place", "place|placing|put|putting|hang a|1|one? m"}, {"place", "insert a? m"}, {"place", "place|placing|put|hang a? side|raglan|gusset|thumb|underarm|second|another|new|contrasting|removable|centre|seam|bor|beg m"},
		{"slip", "sm"}, {"slip", "slm"}, {"slip", "sl|slip|pass|slipping m"}, {"slip", "move m"}, {"slip", "slip|sl next|first|second|2nd|3rd|4th|bor|beg|side m"}, {"slip", "pass marker"},
		{"remove", "rm"}, {"remove", "remove|removing other|that|this|second m"}, {"remove", "remove|removing it"}, {"remove", "remove|removing all? m"}, {"remove", "drop m"}, {"remove", "remove bor? m"}, {"remove", "remove|removing old|both|raglan|underarm|gusset|side|thumb? m"}, {"remove", "remove|removing old? beg|end - of - rnd m"}, {"remove", "remove|removing old? beg|end of rnd m"},
		{"slip", "slip|sl beg|end - of - rnd m"}, {"slip", "slip|sl beg|end of rnd m"}, {"remove", "remove next|first|second|2nd|beg m"},
		{"slip", "sbm"}, {"slip", "s m"},
	} {
		if k, ok := p.words(i, m.words); ok {
			do, j = m.do, k
			break
		}
	}
	if do == "" || p.ownName(i) > j {
		return nil, i, false
	}
	if k, ok := p.words(j, "in|on|into|through|around the?"); ok && do == "place" && len(b.ops) > 0 { // "put a marker in the 4th st": it hangs in the fabric
		for p.w(k) == "the" {
			k++
		}
		if p.at(k).Kind == Ordinal && k < len(p.toks) || hasWord(p, k, "centre", "middle", "next", "last", "first", "this", "each", "single", "stitch") {
			if q, ok := p.words(k+1, "st", "centre st", "st just? worked"); ok {
				if e := p.proseEnd(q, b.closer); hasWord(p, q, "just", "to", "for", "as") {
					q = e
				}
				return &Remark{Text: p.raw(i, q), Span: p.span(i, q)}, q, true
			}
		}
	}
	if k, ok := p.words(j, "but|except for? last|one|bor|first|beg of? rnd? m?"); ok && do == "remove" { // "removing all markers but the last"
		j = k
	}
	if k, ok := p.words(j, "as you come to them|it", "as you go", "as they appear", "as needed|necessary", "as est|set", "as you reach them", "when you come to them", "on every row|rnd", "throughout", "in every row"); ok {
		return &Remark{Text: p.raw(i, k), Span: p.span(i, k)}, k, true
	}
	if do == "slip" && (p.at(j-1).Text == "markers" || p.at(j-1).Text == "mrkrs") { // "slipping the markers"
		return &Remark{Text: p.raw(i, j), Span: p.span(i, j)}, j, true
	}
	m := &Mark{Do: do}
	if t := p.at(j); t.Kind == Word && len(t.Raw) == 1 && t.Raw >= "A" && t.Raw <= "Z" && j < len(p.toks) && p.w(j-1) != "" {
		m.Name = t.Raw
		j++
	}
	if k := p.whatFor(j); k > j && do == "place" {
		j = k
	} else if k, ok := p.words(j, "for bor", "for new? beg|start of rnd", "for end of rnd", "for raglan", "for side", "for gusset", "for thumb", "for beg|end", "for centre", "for halfway|underarm|heel|instep", "for beg of row", "at|to mark halfway", "as you come to them", "as you go", "as they appear", "on needle", "to mark beg of rnd", "to mark bor", "to mark beg", "to mark centre st", "to mark end of rnd", "for thumb gusset", "for side seam", "( bor )", "at beg of rnd", "here"); ok {
		j = k
	}
	m.Span = p.span(i, j)
	return m, j, true
}

// whatFor passes what a marker is hung for, up to the end of its clause: "for center front", "at halfway point".
func (p *parser) whatFor(i int) int {
	if !hasWord(p, i, "for", "at") {
		return i
	}
	k := i + 1
	for k < i+5 && k < len(p.toks) && p.at(k).Kind == Word {
		k++
	}
	if k > i+1 && (k >= len(p.toks) || hasWord(p, k, ",", ";", ".", ")")) {
		return k
	}
	return i
}

// cable reads "sl 2 sts to cn and hold in front".
func (p *parser) cable(_ *bodyState, i int) (Op, int, bool) {
	j, ok := p.words(i, "sl|slip|place|put|pull|transfer|take|drop next|first|following", "sl|slip|place|put|transfer|take|hold")
	if !ok {
		return nil, i, false
	}
	n, k, ok := p.num(j)
	if !ok {
		if p.w(j) == "st" {
			n, k = N(1), j
		} else {
			return nil, i, false
		}
	}
	if p.w(k) == "st" {
		k++
	}
	if q, ok := p.words(k, "pwise", "pwise", "one at a time"); ok {
		k = q
	}
	if p.w(k) == "." && p.at(k).Glued { // "3 sts. on to …"
		k++
	}
	q, ok := p.words(k, "to|onto|on to a|1st|first|second|2nd|an? cn", "to|onto|on a|1st|first|second|2nd|an|spare? cable needle", "to|onto|on a|an? dpn", "to|onto|on a|spare|double-pointed? dpn", "to|onto|on cn", "to front|back cn", "on to a|1st|first|second|2nd|an? cn", "on to a|1st|first|second|2nd|an|spare? cable needle", "to|onto|on|upon a? spare needle and|& leave|hold|place", "on to a? spare needle and|& leave|hold|place", "to|onto|on|upon a? spare needle ,? leave|hold|place at|in|to front|back", "on to a? dpn")
	if p.w(q-1) == "leave" || p.w(q-1) == "hold" || p.w(q-1) == "place" {
		q-- // the spare needle of a cable, said to hang at front or back
	}
	if !ok {
		// "hold 2 sts in front": without a word of the needle
		return nil, i, false
	}
	side := ""
	r := q
	if p.w(r) == "," {
		r++
	}
	if s, ok := p.words(r, "and|& hold|leave|place|held|bring|keep|drop it|them|needle? in|at|to", "hold|leave|place|held|holding|bring|keep|let it|them? in|at|to", "and|to in|at|to", "in|at|to", "leave it? hang|hanging at|in|to", "held"); ok {
		if p.w(s) == "front" || p.w(s) == "back" {
			side = p.w(s)
			q = s + 1
			if s, ok := p.words(q, "of work", "of needle"); ok {
				q = s
			}
		}
	}
	return &ToCable{N: n, Side: side, Span: p.span(i, q)}, q, true
}

// returns reads "return st to left needle".
func (p *parser) returns(_ *bodyState, i int) (Op, int, bool) {
	j, ok := p.words(i, "return|slip|sl|transfer|pass|move|place|put|replace")
	if !ok {
		return nil, i, false
	}
	if k, ok := p.words(j, "it|last|next|resulting|same|this|these|new|first|slipped|wrapped|1st|both"); ok {
		j = k
	}
	n := N(1)
	if v, k, ok := p.num(j); ok {
		n, j = v, k
	} else if p.w(j) != "st" && !(p.w(j-1) == "it") && !(p.w(j) == "back") && !(p.w(j) == "slipped") {
		return nil, i, false
	} else if p.w(j) == "st" && p.at(j).Text != "st" && p.at(j).Text != "stitch" {
		n = Num{}
	}
	if k, ok := p.words(j, "slipped? st", "st"); ok {
		j = k
	}
	j = p.skipWords(j, "just", "worked", "knitted", "made", "from", "right", "rh", "needle", "hand", "right-hand", "in", "new", "position", "orientation", "twisted", "back", "purlwise", "one", "at", "a", "time", "them", "-")
	if p.w(j-1) == "back" {
		j--
	}
	k, ok := p.words(j, "back? to|onto|on left needle", "back? to|onto|on lh needle", "back? to|onto|on left hand needle", "back? to|onto|on left - hand needle", "back? to|onto|on l needle", "back? to|onto|on left")
	if !ok {
		return nil, i, false
	}
	return &Return{N: n, Span: p.span(i, k)}, k, true
}

func (p *parser) bindOff(b *bodyState, i int) (Op, int, bool) {
	j, ok := p.words(i, "bo", "bind|binding|cast|casting off", "b . o .", "c . o .")
	if !ok || p.w(i) == "c" {
		return nil, i, false
	}
	j = p.skipWords(j, "in", "patt", "rib", "loosely", "knitwise", "kwise", "pwise", "pattern", "firmly", "next", "first", "last", "centre", "middle", "central", "rem", "following", "as", "set", "evenly", "then")
	if p.w(j) == "," {
		return nil, i, false
	}
	if q := p.skipWords(j, "the", "rem"); q > j && p.w(q-1) == "rem" { // "bo rem 20 sts"
		if _, k, ok := p.num(q); ok && p.w(k) == "st" && b.closer == "" {
			j = q
		}
	}
	if hasWord(p, j, "these", "those", "them") && len(b.ops) > 0 {
		if n, k, ok := p.centreStitches(b, i, j); ok {
			return &BindOff{N: n, Span: p.span(i, k)}, k, true
		}
	}
	if n, k, ok := p.num(j); ok {
		if p.at(k).Kind == Word && p.w(k+1) == "st" { // "bind off 5 steek sts"
			k++
		}
		if p.w(k) == "st" {
			k++
		}
		k = p.skipWords(k, "in", "patt", "rib", "kwise", "pwise", "loosely", "pattern", "for", "buttonhole", "armhole", "neck", "underarm", "as", "est", "at", "beg", "of", "this", "row")
		if p.w(k-1) == "for" || p.w(k-1) == "the" && p.w(k-2) == "for" { // "bind off 18 sts for the back neck"
			k = p.skipTo(k, ",", ";", ".", ")", "]")
		}
		if t, q, ok := p.times(k); ok {
			return &Group{Body: []Op{&BindOff{N: n, Span: p.span(i, k)}}, Times: t.N, Span: p.span(i, q)}, q, true
		}
		if w := p.w(k - 1); (w == "row" || w == "beg") && p.rowEnds(k, b.closer) && len(b.ops) == 0 && b.closer == "" { // "Bind off 20 sts at beg of row."
			at := p.span(i, k)
			b.ops = append(b.ops, &BindOff{N: n, Span: at})
			return &Until{Body: []Op{&Do{Key: "as-set", Span: at}}, To: Target{Kind: ToEnd, Span: at}, Span: at}, k, true
		}
		return &BindOff{N: n, Span: p.span(i, k)}, k, true
	}
	if t, k, ok := p.target(j); ok {
		k = p.skipWords(k, "kwise", "pwise", "loosely")
		if t.Kind == ToEnd {
			return &BindOff{All: true, Span: p.span(i, k)}, k, true
		}
		return &Until{Body: []Op{&BindOff{N: N(1), Span: p.span(i, j)}}, To: t, Span: p.span(i, k)}, k, true
	}
	if k, ok := p.words(j, "all? rem? st", "all", "rem", "rest"); ok {
		k = p.skipWords(k, "in", "patt", "rib", "kwise", "pwise", "loosely", "pattern")
		return &BindOff{All: true, Span: p.span(i, k)}, k, true
	}
	if j >= len(p.toks) || p.w(j) == "." {
		return &BindOff{All: true, Span: p.span(i, j)}, j, true
	}
	return nil, i, false
}

func (p *parser) castOnOp(_ *bodyState, i int) (Op, int, bool) {
	j, ok := p.words(i, "co", "cast|casting on", "backward|using|cable|knitted|loop|backwards|thumb loop|knitted? cast on", "backward|backwards - loop co", "backward|backwards - loop cast on", "backward|backwards loop co", "using backward|knitted|cable loop? method|cast-on, cast on", "using|with|by a|the? backward|backwards|knitted|cable|loop loop? method|cast-on ,? co", "using|with|by a|the? backward|backwards|knitted|cable|loop loop? method|cast-on ,? cast on")
	if !ok && hasWord(p, i, "use", "using", "with") { // "use the backward-loop method to CO 6 sts"
		for k := i + 1; k < i+10 && p.at(k).Kind != Number && !ok && (p.at(k).Kind == Word || p.w(k) == "-"); k++ {
			j, ok = p.words(k, "co", "cast on")
			ok = ok && p.at(j).Kind == Number
		}
	}
	if !ok {
		return nil, i, false
	}
	if n, k, ok := p.num(j); ok && p.w(k) == "st" {
		if q, ok := p.words(k+1, "using|by|with a? backward|backwards|cable|knitted|loop|thumb loop? cast - on", "using|by|with a? backward|backwards|cable|knitted|loop|thumb loop? method|cast-on", "using|by|with a? backward|backwards|cable|knitted|loop|thumb loop? cast on"); ok {
			return &CastOn{N: n, Span: p.span(i, q)}, q, true
		}
		if q, ok := p.words(k+1, "over|above|in|across|at each gap|space|place|buttonhole|hole", "over|above|in|across|at each set of bo st", "to replace those|st bo|bound off?", "over those bound off", "over bo st", "over each set of bound - off st", "over each set of bound off st", "over each group|pair of bound|bo off? st", "over each bo", "over those st bo", "over each bound off st|gap", "over each bound|cast -? off group|set|space|place", "over each bo group|set|space|place", "over bound - off st", "over bound off st", "over cast - off st", "over cast off st", "in place of those bound|cast off", "in place of st bound|cast off", "in place of bound|cast off st", "in place of bo st"); ok {
			q = p.skipTo(q, ",", ";", ".", ")", "]", "–", ":")
			each := false
			for x := k; x < q; x++ {
				each = each || p.w(x) == "each" || p.w(x) == "those" || p.w(x) == "off" || p.w(x) == "bo"
			}
			return &CastOn{N: n, EachGap: each, Span: p.span(i, q)}, q, true
		}
	}
	j = p.skipWords(j, "a", "another", "further", "using", "backward", "loop", "method", "cable", "knitted", "over")
	n, k, ok := p.num(j)
	if !ok {
		return nil, i, false
	}
	if q, ok := p.words(k, "more st", "new st", "st", "additional st", "underarm|thumb|neck|steek|front|edge|bridge st"); ok {
		k = q
	}
	k = p.skipWords(k, "using", "backward", "loop", "loops", "method", "cable", "knitted", "cast", "on", "over", "gap", "behind", "them", "for", "underarm", "buttonhole", "thumb", "in", "place", "of", "those", "bound", "off", "the", "sts", "with", "lh", "-", "e", "neck", "front")
	for k > 0 && (p.w(k-1) == "over" || p.w(k-1) == "in" || p.w(k-1) == "on" || p.w(k-1) == "the" || p.w(k-1) == "for" || p.w(k-1) == "with" || p.w(k-1) == "using" || p.w(k-1) == "-") {
		k--
	}
	switch p.w(k) {
	case "for", "over", "using", "with", "in", "above", "across", "by", "onto", "to":
		if _, _, ok := p.target(k); !ok {
			k = p.skipTo(k, ",", ";", ".", ")", "]", "and", "–")
		}
	}
	return &CastOn{N: n, Span: p.span(i, k)}, k, true
}

// wholeBeforeGaps takes a bare stitch before what is cast on over gaps for the whole row: "Work in patt, CO 2 sts over
// each gap".
func (b *bodyState) wholeBeforeGaps() {
	if len(b.ops) != 2 {
		return
	}
	d, bare := b.ops[0].(*Do)
	c, casts := b.ops[1].(*CastOn)
	if bare && casts && c.EachGap && !d.Times.Given() && (d.Key == "k" || d.Key == "p" || d.Key == "patt") {
		b.ops[0] = &Until{Body: []Op{d}, To: Target{Kind: ToEnd, Span: d.Span}, Span: d.Span}
	}
}

func (p *parser) dropAll(_ *bodyState, i int) (Op, int, bool) {
	j, ok := p.words(i, "drop|dropping all yo", "drop|dropping all yarn over", "drop|dropping every|both|each yo", "drop all extra? wrap|wraps|loop", "drop|dropping yo of previous row", "drop|dropping all extra yo", "let all yo drop", "drop|dropping all the? yarn - over")
	if !ok {
		return nil, i, false
	}
	j = p.skipWords(j, "from", "off", "needle", "of", "previous", "prev", "row", "last", "across", "as", "you", "go", "the", "come", "to", "them")
	return &DropAll{Span: p.span(i, j)}, j, true
}

// leaveTurned reads "work on these sts only" behind a turn, before other
// readings of "work".
func (p *parser) leaveTurned(b *bodyState, i int) (Op, int, bool) {
	if len(b.ops) == 0 {
		return nil, i, false
	}
	if _, turned := b.ops[len(b.ops)-1].(*Turn); !turned || p.w(i) == "leave" || p.w(i) == "leaving" {
		return nil, i, false
	}
	if k, ok := p.words(i, "work|working heel? flap on|over|across these|those"); ok { // "k15, turn. Work heel flap on these 30 sts": more than were worked
		if n, q, ok := p.num(k); ok && p.w(q) == "st" && !sameAsWorked(b.ops, n) {
			q = p.skipWords(q+1, "only", "back", "and", "forth", "in", "rows", "row", "as", "follows")
			return &Remark{Text: p.raw(i, q), Span: p.span(i, q)}, q, true
		}
	}
	return p.leave(b, i)
}

// sameAsWorked says that the steps before the turn that ends the ops worked just n stitches, all told by numbers.
func sameAsWorked(ops []Op, n Num) bool {
	sum := Num{}
	for _, o := range ops {
		switch o := o.(type) {
		case *Do:
			if !o.Times.Given() {
				return false
			}
			sum = sumNum(sum, o.Times)
		case *Turn:
		default:
			return true // not to be told from here
		}
	}
	return slices.Equal(sum.Vals, n.Vals)
}

func (p *parser) leave(b *bodyState, i int) (Op, int, bool) {
	if j, ok := p.words(i, "work|working|cont|continue|continuing on? these|this|those|first st|side|set only?", "and? work|working on these st only", "work each side separately", "finish|finishing|complete|completing|work|working this|first|right|left|that? side|half|shoulder|front first|only|alone|now?", "work on this side only", "leave|leaving rem st", "leave|leaving rem st for|on"); (ok || p.workOnThese(i) > i) && len(b.ops) > 0 {
		j = max(j, p.workOnThese(i))
		if _, turned := b.ops[len(b.ops)-1].(*Turn); turned && p.w(j) != "unworked" {
			if w := p.w(j); w != "," && w != ";" && w != "." {
				j = max(j, p.unknownEnd(j, b.closer))
			}
			if k := p.skipWords(j, ",", "and", "."); k > j && hasWord(p, k, "leaving", "placing", "slipping", "putting", "transferring", "leave", "place", "slip", "put", "transfer") {
				return nil, k, true // what goes on the holder is told behind
			}
			return &Hold{All: true, Span: p.span(i, j)}, j, true
		}
	}
	if k := p.workOnThese(i); k > i && len(b.ops) > 1 && p.rowEnds(k, b.closer) { // "…, k to end and work on these last 36 sts": the others are on holders
		held := false
		for _, o := range b.ops {
			_, holds := o.(*Hold)
			held = held || holds
		}
		if u, ok := lastOp(b).(*Until); ok && held && u.To.Kind == ToEnd {
			return &Remark{Text: p.raw(i, k), Span: p.span(i, k)}, k, true
		}
	}
	j, ok := p.words(i, "leave|leaving")
	if !ok {
		return nil, i, false
	}
	if k, ok := p.words(j, "all? rem|other|last|rest|remainder of? st? unworked?", "rest|remainder unworked?"); ok && p.at(k).Kind != Number {
		k = p.skipWords(k, "unworked", "of", "row", "sts", "on", "needle", "left")
		return &Leave{Span: p.span(i, k)}, k, true
	}
	if k, ok := p.words(j, "rem|last"); ok {
		j = k
	}
	if _, k, ok := p.num(j); ok {
		if q, ok := p.words(k, "st unworked", "st on needle", "unworked"); ok {
			if _, turned := lastOp(b).(*Turn); turned { // "turn, leaving 5 sts on the needle"
				return &Remark{Text: p.raw(i, q), Span: p.span(i, q)}, q, true
			}
			return &Leave{Span: p.span(i, q)}, q, true
		}
	}
	return nil, i, false
}

// workOnThese reads "work on these 30 sts only" behind a turn; it is i where it does not stand there.
func (p *parser) workOnThese(i int) int {
	j, ok := p.words(i, "and? work|working|cont|continue|continuing|proceed on|over these|those last?", "and? work|working|cont|continue|continuing|proceed on|over first|last")
	if !ok {
		return i
	}
	_, k, ok := p.num(j)
	if !ok || p.w(k) != "st" {
		return i
	}
	return p.skipWords(k+1, "only", "alone")
}

// lastOp is the op read last; nil where there is none.
func lastOp(b *bodyState) Op {
	if len(b.ops) == 0 {
		return nil
	}
	return b.ops[len(b.ops)-1]
}

func itoa(n int) string {
	if n < 0 {
		return "-" + itoa(-n)
	}
	if n < 10 {
		return string(rune('0' + n))
	}
	return itoa(n/10) + string(rune('0'+n%10))
}
