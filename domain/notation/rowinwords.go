package notation

import "strings"

// This file reads rows, or all that is left of one, that are told in words.

// allPurl reads "All purl.", "All knit" as the whole of a row.
func (p *parser) allPurl(b *bodyState, i int) (int, bool) {
	if p.w(i) != "all" || len(b.ops) > 0 {
		return i, false
	}
	key := map[string]string{"k": "k", "knit": "k", "plain": "k", "p": "p", "purl": "p"}[p.w(i+1)]
	if key == "" || !p.rowEnds(i+2, b.closer) {
		return i, false
	}
	d := &Do{Key: key, Span: p.span(i, i+2)}
	b.ops = append(b.ops, &Until{Body: []Op{d}, To: Target{Kind: ToEnd}, Span: d.Span})
	return i + 2, true
}

// ribRow reads "Work in k2, p2 rib, ending with k2" as the whole of a row: the first rib, and
// the others as set.
func (p *parser) ribRow(b *bodyState, i int) (int, bool) {
	if len(b.ops) > 0 || b.closer != "" {
		return i, false
	}
	j, of := p.words(i, "work|cont|continue? in? rib|ribbing of")
	if !of {
		j = p.skipWords(i, "work", "cont", "in")
	}
	var ribs []Op
	for {
		key := map[string]string{"k": "k", "knit": "k", "p": "p", "purl": "p"}[p.w(j)]
		n, k, ok := p.num(j + 1)
		if key == "" || !ok || !n.Single() {
			break
		}
		ribs = append(ribs, &Do{Key: key, Times: n, Span: p.span(j, k)})
		if j = k; p.w(j) == "," || p.w(j) == "and" {
			j++
		}
	}
	if len(ribs) < 2 {
		return i, false
	}
	if p.w(j) == "rib" {
		j++
	} else if !of {
		return i, false
	}
	if t, k, ok := p.target(j); ok && t.Kind == ToEnd {
		j = k
	} else if ok {
		return i, false
	}
	if k, ok := p.words(j, ", ending|end with?", "ending|end with?"); ok {
		var last bodyState
		q, ok := p.opsUntil(&last, k, ".", ";", ")")
		if !ok && q < len(p.toks) || len(last.ops) == 0 || !plainList(last.ops) {
			return i, false
		}
		j = q
	}
	if !p.rowEnds(j, "") {
		return i, false
	}
	at := p.span(i, j)
	b.ops = append(ribs, &Until{Body: []Op{&Do{Key: "patt", Times: N(1), Span: at}}, To: Target{Kind: ToEnd, Span: at}, Span: at})
	return j, true
}

// castOnAtEnd reads "cast on 4 sts at end of row", "turn, CO 4 sts" is read elsewhere.
func (p *parser) castOnAtEnd(b *bodyState, i int) (int, bool) {
	j, ok := p.words(i, "using backward|backwards|cable|knitted|loop loop? method? ,? co", "using backward|backwards|cable|knitted|loop loop? method? ,? cast on", "co", "cast|casting on")
	if !ok {
		return i, false
	}
	n, k, ok := p.num(j)
	if !ok || p.w(k) != "st" {
		return i, false
	}
	if q, ok := p.words(k+1, "using|by|with a? backward|backwards|cable|knitted|loop loop? cast - on|cast-on|method", "using|by|with a? backward|backwards|cable|knitted|loop loop? cast on"); ok {
		k = q - 1
	}
	q, ok := p.words(k+1, "at end of this? row|rnd", "at end", "at beg|start of this? row", "at beg|start")
	if !ok {
		return i, false
	}
	if hasWord(p, k+2, "beg", "start") && len(b.ops) > 0 || !p.rowEnds(q, b.closer) && p.w(q) != "," {
		return i, false
	}
	b.ops = append(b.ops, &CastOn{N: n, Span: p.span(i, q)})
	return q, true
}

// atMarkers reads "dec 1 st each side of each marker" in a row that is knit, purled or in pattern.
func (p *parser) atMarkers(b *bodyState, i int) (int, bool) {
	down, n, j, ok := p.wider(p.skipWords(i, "and", "while", "by"))
	if !ok || !n.Single() || n.For(0) != 1 {
		return i, false
	}
	k, ok := p.words(j, "each|either|both side|sides of each|every|all|both m", "on|at each|either side of each|every|all|both m", "on|at both sides of each|every|all|both m", "before and after each|every|all|both m", "each|either side of m", "on|at each|either side of m")
	if !ok || !p.rowEnds(k, b.closer) {
		return i, false
	}
	at := p.span(i, k)
	base, wide := b.wholeRowOf(at)
	if wide == nil {
		if len(b.ops) > 0 {
			return i, false
		}
		base = "as-set"
		wide = &Until{Body: []Op{&Do{Key: base, Span: at}}, Span: at}
	} else {
		b.ops = b.ops[:len(b.ops)-1]
	}
	before, left, right := 0, "m1", "m1"
	var params []int
	if down {
		before, left, right, params = 2, "ktog", "ssk", []int{2}
		if base == "p" {
			left, right = "ptog", "ptog"
		}
	}
	to := &Until{Body: wide.Body, To: Target{Kind: ToMarker, N: N(before), Span: at}, Span: at}
	rightDo := &Do{Key: right, Span: at}
	if right == "ptog" {
		rightDo.Params = params
	}
	body := []Op{to, &Do{Key: left, Params: params, Span: at}, &Mark{Do: "slip", Span: at}, rightDo}
	wide.To = Target{Kind: ToEnd, Span: at}
	b.ops = append(b.ops, &Repeat{Body: body, Mark: "*", To: Target{Kind: ToRest}, Span: at}, wide)
	return k, true
}

// pickedUpNear says that a row picks stitches up beside those it works: that of a gusset, which
// goes across the instep that waits.
func (p *parser) pickedUpNear(i int) bool {
	end := p.sentenceEnd(i)
	for i > 0 && p.w(i) != ":" && p.w(i) != "." {
		i--
	}
	_, _, ok := p.find(i, end, "pick up", "pu")
	return ok
}

// pickUpRow reads a sentence that works across stitches and picks others up between them: "Knit
// across the heel sts, pick up and knit 14 sts along the flap, pm, knit 28 instep sts, …".
func (p *parser) pickUpRow(i, end int) (*Row, int, bool) {
	start := i
	if k, ok := p.words(i, "with rs|ws facing ,", "with right|wrong side facing ,", "rs|ws facing ,"); ok {
		i = k
	}
	if !hasWord(p, i, "k", "knit", "p", "purl", "sl", "slip") || !p.pickedUpNear(i) {
		return nil, i, false
	}
	if _, ok := p.assembled(i, end); ok {
		return nil, i, false
	}
	row, j, ok := p.strictRow(i)
	if !ok || j < end {
		return nil, i, false
	}
	worked, picked := 0, 0
	for _, o := range row.Body {
		switch o.(type) {
		case *CastOn:
			picked++
		case *Do, *Until:
			worked++
		case *Mark, *Remark, *Join:
		default:
			return nil, i, false
		}
	}
	row.Span = row.Span.Cover(p.span(start, j))
	return row, j, worked > 0 && picked > 0
}

// picksAround reads a round that picks up between the stitches that were just put on the needles: "With A, *pick up and
// knit 2 sts in the corner, knit 24; repeat from * once—52 sts".
func (p *parser) picksAround(i, end int) (*Row, int, bool) {
	start := i
	if hasWord(p, i, "with", "using") {
		i = p.skipTo(i, ",", ".", ";", "*") + 1
		if isMark(p.w(i - 1)) {
			i--
		}
	}
	if !isMark(p.w(i)) || !p.pickedUpNear(i) {
		return nil, start, false
	}
	row, j, ok := p.strictRow(i)
	if !ok || j < end || len(row.Body) != 1 {
		return nil, start, false
	}
	rep, ok := row.Body[0].(*Repeat)
	if !ok || rep.To.Kind == ToEnd {
		return nil, start, false
	}
	row.Span = row.Span.Cover(p.span(start, j))
	return row, j, true
}

// toldRow reads a row that a clause announces: "Bind off for the armholes on the next round: bind
// off 5 sts, knit 90, …".
func (p *parser) toldRow(i, end int) (*Row, int, bool) {
	for k := i + 3; k < end && k < i+32; k++ {
		if p.w(k) != ":" {
			continue
		}
		told := hasWord(p, k-1, "row", "rnd") && hasWord(p, k-2, "next", "following")
		if _, q, next := p.find(i, k, "k|knit|p|purl|work next|following row|rnd"); next && q+8 > k && hasWord(p, k-1, "thus", "follows", "side") { // "…, knit the next row from the right side thus: K32, …"
			told = true
		} else if k >= i+14 {
			return nil, i, false
		}
		divides := hasWord(p, i, "divide", "dividing") // "Divide for V neck: K30, slip rem 30 sts to a holder"
		if !told && !divides {
			return nil, i, false
		}
		row, j, ok := p.strictRow(k + 1)
		if !ok || j < p.sentenceEnd(k+1) || divides && !told && len(row.Body) < 2 {
			return nil, i, false
		}
		row.Head = Head{Words: p.raw(i, k), Span: p.span(i, k)}
		row.Span = p.span(i, j)
		return row, j, true
	}
	return nil, i, false
}

// cord reads a row between asterisks that is worked until a length, as a knitted cord is: "*K3, slide
// the sts to the other end of the needle; rep from * until the cord measures 80 cm".
func (p *parser) cord(i int) ([]Item, int, bool) {
	if !isMark(p.w(i)) {
		return nil, i, false
	}
	end := p.sentenceEnd(i)
	if p.w(end+1) == "rep" { // "*K3, slide sts. Rep from * until …"
		end = p.sentenceEnd(end + 1)
	}
	at, from, ok := p.find(i+1, end, "rep from "+p.w(i), "rep from "+p.w(i))
	if !ok || !hasWord(p, from, "until", "till", "til") {
		return nil, i, false
	}
	u, j, ok := p.untilCond(from)
	if !ok || u.Length == "" {
		return nil, i, false
	}
	q := *p
	q.toks = append(p.toks[:at:at], Token{Kind: Punct, Text: ".", fold: "."})
	row, k, ok := q.strictRow(i + 1)
	if !ok || k < at-1 {
		return nil, i, false
	}
	row.Span = p.span(i, at)
	if p.w(j) == "." {
		j++
	}
	rr := &RepRows{Ref: RowRef{Last: 1}, Until: u, Words: p.raw(at, j), Span: p.span(at, j)}
	return []Item{row, rr}, max(j, end), true
}

// onlyTurned says that a sentence tells to turn and go on with what was worked, and no more: "Turn and
// work on first side only", behind a row that put the others aside.
func onlyTurned(row *Row) bool {
	for _, o := range row.Body {
		switch o := o.(type) {
		case *Turn, *Leave, *Remark:
		case *Hold:
			if !o.All || o.N.Given() {
				return false
			}
		default:
			return false
		}
	}
	return len(row.Body) > 0 && len(row.Stated) == 0
}

// holds says that stitches of a row go to a holder.
func holds(ops []Op) bool {
	for _, o := range ops {
		if _, ok := o.(*Hold); ok {
			return true
		}
	}
	return false
}

// castOnBeside reads stitches cast on beside those that are worked: "Using the backward loop method, cast on 6 sts for
// crotch. Join …".
func (p *parser) castOnBeside(i, end int) (*Row, int, bool) {
	k, ok := p.words(i, "cast on", "co")
	if !ok {
		if _, k, ok = p.find(i, min(i+7, end), "method ,? cast on", "cast - on ,? cast on", "method ,? co"); !ok {
			return nil, i, false
		}
	}
	n, q, ok := p.num(p.skipWords(k, "another", "a", "further"))
	if !ok || p.w(q) != "st" {
		return nil, i, false
	}
	e := q + 1
	if k, ok := p.forPart(e); ok {
		e = k
	}
	joined := false
	for k := e; k < len(p.toks) && k < e+12; k++ { // what goes on in the round is cast on beside
		joined = joined || hasWord(p, k, "join", "joining")
	}
	if e < end && !hasWord(p, e, ",", ";", "and") || !joined {
		return nil, i, false
	}
	at := p.span(i, e)
	return &Row{Head: Head{Words: p.headless(i, e)}, Body: []Op{&CastOn{N: n, Span: at}}, Span: at}, p.skipWords(e, ",", ";", "and", ".", "then", "pm"), true
}

// justHeld says that the last row put stitches aside, and nothing came between.
func (r *reader) justHeld() bool {
	switch it := lastWorked(r.ms.Items).(type) {
	case *Row:
		return holds(it.Body)
	case *HoldAll:
		return !it.Side && (it.Rem || it.N.Given() || it.Keep.Given())
	}
	return false
}

// emptied says that all stitches were bound off last, under the head of another piece.
func (r *reader) emptied() bool {
	headed := false
	for k := len(r.ms.Items) - 1; k >= 0; k-- {
		switch r.ms.Items[k].(type) {
		case *Heading:
			headed = true
		case *Blank, *Prose:
		case *BindOffAll:
			return headed
		default:
			return false
		}
	}
	return false
}

// atFinger says that the head of a finger or a thumb stands right above: what it works waits on a thread.
func (r *reader) atFinger() bool {
	for k := len(r.ms.Items) - 1; k >= 0; k-- {
		switch it := r.ms.Items[k].(type) {
		case *Blank:
		case *Heading:
			w := strings.ToLower(it.Text)
			return strings.Contains(w, "finger") || strings.Contains(w, "thumb")
		default:
			return false
		}
	}
	return false
}

// inFoot says that the section is of a sock's foot, which goes on with the stitches there are.
func (r *reader) inFoot() bool {
	for k := len(r.ms.Items) - 1; k >= 0; k-- {
		if h, ok := r.ms.Items[k].(*Heading); ok {
			w := strings.ToLower(h.Text)
			return strings.Contains(w, "gusset") || strings.Contains(w, "heel") || strings.Contains(w, "foot") || strings.Contains(w, "instep")
		}
	}
	return false
}

// plainRowNext says that a row or more of plain work comes next: "k 1 rnd".
func (p *parser) plainRowNext(i int) bool {
	if !hasWord(p, i, "k", "p", "knit", "purl", "work") {
		return false
	}
	_, _, ok := p.plainRows(i)
	return ok
}

// castOnRow reads a row by itself that casts on at one of its ends: "CO 4 sts, knit to end", "Cast on 4 sts at
// the end of this row".
func (p *parser) castOnRow(i, end int) (*Row, int, bool) {
	if e, ok := p.words(i, "at|to end of these|those st ,?", "at|to end of needle|row|rnd ,?"); ok { // "At the end of these sts cast on 6 sts"
		if k, ok := p.words(e, "cast on", "co"); ok {
			if _, q, ok := p.num(p.skipWords(k, "another", "a", "further")); ok && p.w(q) == "st" {
				if row, j, ok := p.castOnEnd(i, k, q+1, nil, q+1); ok {
					return row, p.skipWords(j, ".", ","), true
				}
			}
		}
	}
	k, ok := p.words(i, "cast on", "co")
	if !ok {
		if _, k, ok = p.find(i, min(i+6, end), "method ,? cast on", "cast - on ,? cast on", "method ,? co"); !ok {
			return nil, i, false
		}
	}
	_, q, ok := p.num(p.skipWords(k, "another", "a", "further"))
	if !ok {
		return nil, i, false
	}
	q = p.skipWords(q, "st", "more", "extra", "new", "underarm", "using", "with", "backward", "loop", "method", "cable", "knitted")
	if e, ok := p.words(q, "at|to|onto end of needle|work", "at|to|onto end of these|those st"); ok { // "cast on 6 sts at the end of the needle for the crotch"
		if k2, ok := p.forPart(e); ok {
			e = k2
		}
		if e >= end || hasWord(p, e, ",", "and", ";") {
			return p.castOnEnd(i, k, e, nil, p.skipWords(e, ",", "and", ";", "then"))
		}
	}
	if e, ok := p.words(q, "at|to|onto end of these|those"); ok { // "at end of these 40 sts"
		if _, e2, ok := p.num(e); ok && p.w(e2) == "st" && (e2+1 >= end || hasWord(p, e2+1, ",", "and", ";")) {
			return p.castOnEnd(i, k, e2+1, nil, p.skipWords(e2+1, ",", "and", ";", "then"))
		}
	}
	if e, ok := p.words(q, "at|to end of this|last|that|previous? row|rnd"); ok && (e >= end || p.w(e) == ",") {
		if st, r, ok := p.stated(e); ok {
			return p.castOnEnd(i, k, e, st, r)
		}
		return p.castOnEnd(i, k, e, nil, e)
	}
	if w := p.w(q); w == "," || w == "and" || w == "then" {
		q = p.skipWords(q, ",", "and", "then")
		if _, ok := p.words(q, "k|knit|p|purl to end|last", "k|knit|p|purl across|row"); ok {
			return p.strictRow(k - 1 - min(k-1-i, 1))
		}
	}
	return nil, i, false
}

// castOnEnd is the row of "Cast on 4 sts at the end of this row": the row told above goes on with it.
func (p *parser) castOnEnd(i, k, e int, st []Stated, next int) (*Row, int, bool) {
	n, _, _ := p.num(p.skipWords(k, "another", "a", "further"))
	if p.w(next) == "." {
		next++
	}
	body := []Op{&CastOn{N: n, Span: p.span(i, e)}}
	return &Row{Head: Head{Words: p.headless(i, e)}, Body: body, Stated: st, Span: p.span(i, e)}, next, true
}

func onlyCastOn(body []Op) bool {
	if len(body) != 1 {
		return false
	}
	_, ok := body[0].(*CastOn)
	return ok
}

// rowAsFollows reads one row that a sentence announces and then tells stitch by stitch: "Change to the larger needle and
// knit 1 round, marking the corners as follows: knit 1 (marked st), knit 49, …".
func (p *parser) rowAsFollows(i, end int) (*Row, int, bool) {
	if at := p.skipWords(i, "now", "then"); hasWord(p, at, "join") { // "Now join the body and sleeves on the circular needle as follows: put the first 10 sts …"
		if _, k, ok := p.find(at, end, "as follows :", "thus :"); ok {
			q := p
			if p.w(k) == "put" {
				q = p.renamed(k, "place")
			}
			if row, j, ok := q.strictRow(k); ok && len(row.Body) > 3 {
				row.Head = Head{Words: p.headless(i, end), Span: p.span(i, at+1)}
				row.Span = p.span(i, j)
				return row, j, true
			}
		}
	}
	_, k, ok := p.find(i, end, "k|knit|p|purl|work 1|one|next|another plain? row|rnd , marking|mark|placing|place|dividing|arranging|setting")
	if !ok {
		return nil, i, false
	}
	_, k, ok = p.find(k, end, "as follows :", "thus :")
	if !ok {
		return nil, i, false
	}
	row, j, ok := p.strictRow(k)
	if !ok || len(row.Body) < 3 {
		return nil, i, false
	}
	row.Head = Head{Words: p.headless(i, end), Span: p.span(i, i+1)}
	row.Span = p.span(i, j)
	return row, j, true
}
