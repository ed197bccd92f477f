package notation

import (
	"slices"
	"strings"
)

// This file reads how pieces that were worked apart come onto one needle for a yoke: "Knit 48 sts of first sleeve, pm,
// knit 72 sts of front, pm, knit 48 sts of second sleeve, pm, knit 72 sts of back, pm".

// yokePieces are the pieces that a yoke is joined from.
var yokePieces = map[string]bool{"sleeve": true, "sleeves": true, "front": true, "back": true, "body": true}

// pieceOrder are words that tell which piece of a kind is meant, and that its stitches wait.
var pieceOrder = map[string]bool{"the": true, "first": true, "second": true, "left": true, "right": true, "one": true, "other": true, "held": true, "live": true, "next": true, "st": true, "of": true, "from": true, "for": true, "across": true, "on": true, "1st": true, "2nd": true, "holder": true, "body": true}

// pieceToMarker reads "knit back sts" in a row that puts the sleeves aside: on to where a marker parts the pieces.
func (p *parser) pieceToMarker(b *bodyState, i int) (*Until, int, bool) {
	j, ok := p.words(i, "k|knit|p|purl|work across? left|right? back|front|body st")
	if !ok || b.closer != "" || !hasWord(p, j, ",", ";", ".") {
		return nil, i, false
	}
	_, _, held := p.find(0, len(p.toks), "waste|scrap|spare yarn", "holder", "hold", "thread")
	_, _, next := p.find(0, len(p.toks), "place|put|slip|transfer|move next", "place|put|slip|transfer|move the next", "place|put|slip|transfer|move sleeve")
	if !held || !next {
		return nil, i, false
	}
	key := map[string]string{"p": "p", "purl": "p", "work": "patt"}[p.w(i)]
	if key == "" {
		key = "k"
	}
	at := p.span(i, j)
	return &Until{Body: []Op{&Do{Key: key, Times: N(1), Span: at}}, To: Target{Kind: ToMarker, N: N(0), Span: at}, Span: at}, j, true
}

// pieceCount reads a number of stitches with its piece at i: "48 sts of first sleeve", "72 front sts", "first sleeve
// (48 sts)"; it gives where that ends.
func (p *parser) pieceCount(i int) (n Num, piece string, next int, ok bool) {
	if yokePieces[p.w(i)] && openers[p.w(i+1)] != "" { // "across first sleeve (48 sts)"
		n, k, ok := p.num(i + 2)
		if !ok || p.w(k) != "st" || p.w(k+1) != openers[p.w(i+1)] {
			return Num{}, "", i, false
		}
		return n, p.w(i), k + 2, true
	}
	n, k, ok := p.num(i)
	if !ok {
		return Num{}, "", i, false
	}
	for q := k; q < k+7; q++ {
		if yokePieces[p.w(q)] && !(p.w(q) == "body" && yokePieces[p.w(q+1)]) {
			q++
			if p.w(q) == "st" {
				q++
			}
			return n, p.w(q - 1), q, true
		}
		if !pieceOrder[p.w(q)] {
			break
		}
	}
	return Num{}, "", i, false
}

// joinsPieces reads the sentence, up to end: three pieces at least, with the markers hung between them.
func (p *parser) joinsPieces(i, end int) (*Begin, bool) {
	if _, _, apart := p.find(i, end, "waste", "scrap", "thread", "cast on", "co", "bind off", "bo", "cast off", "pick up", "slip next", "place next", "put next"); apart {
		return nil, false
	}
	if at, _, held := p.find(i, end, "holder|holders|hold"); held && !hasWord(p, at-1, "from", "the", "on") {
		return nil, false
	}
	sum, group, pieces, sleeves, untold := Num{}, Num{}, 0, 0, false
	var markers []Num // behind so many stitches, each counted from the one before
	for k := i; k < end; k++ {
		if hasWord(p, k, "pm", "m") && pieces > 0 {
			if group.Given() {
				markers, group = append(markers, group), Num{}
			}
			continue
		}
		if q, ok := p.words(k, "st of|from first|second|one|other|left|right? sleeve|front|back|body"); ok && p.at(k-1).Kind != Number && !hasWord(p, k-1, ")", "]") { // "the sts of one sleeve"
			untold, pieces = true, pieces+1
			if p.w(q-1) == "sleeve" {
				sleeves++
			}
			k = q - 1
			continue
		}
		n, piece, q, ok := p.pieceCount(k)
		if !ok {
			if band, e, ok := p.num(k); ok && hasWord(p, k-1, "moss", "seed", "garter", "rib", "patt", "p", "purl") && hasWord(p, e, ",", "of", ".", "") { // "moss 5" of a front
				if sum, group = addGiven(sum, band), addGiven(group, band); hasWord(p, e, "of") {
					e = p.sentenceEnd(e)
				}
				k = e - 1
				continue
			}
			if p.at(k).Kind == Number { // a number of something else
				if _, e, ok := p.num(k); ok && (p.w(e) == "st" || p.w(k-1) == "k" || p.w(k-1) == "knit") {
					if st, _, stated := p.stated(k); !stated || st[0].Kind != CountAll {
						return nil, false
					}
					break
				}
			}
			continue
		}
		pieces++
		sum, group = addGiven(sum, n), addGiven(group, n)
		if piece == "sleeve" || piece == "sleeves" {
			sleeves++
		} else if piece == "st" && (p.w(q-2) == "sleeve" || p.w(q-2) == "sleeves") {
			sleeves++
		}
		k = q - 1
	}
	if _, _, twice := p.find(i, end, "rep from * once more", "rep from * once", "rep from * 1 time", "rep from * 1 more time"); twice && !untold && pieces == 2 && sleeves == 1 && slices.ContainsFunc(p.toks[:end], func(t Token) bool { return isMark(t.Text) }) {
		pieces, sleeves, sum = 4, 2, sumNum(sum, sum) // "*knit 44 sleeve sts, pm, knit 76 body sts, pm; rep from * once more"
		markers = append(markers, markers...)
	}
	if pieces < 3 || sleeves == 0 || sleeves == pieces {
		return nil, false
	}
	b := &Begin{How: "return", N: sum, Text: p.raw(i, end), Span: p.span(i, end)}
	if untold { // the count behind tells how many there are
		b.N = Num{}
		return b, true
	}
	if b.Markers, b.Marked = markers, len(markers) > 0; b.Marked && !group.Given() {
		b.Markers = markers[:len(markers)-1] // the last one hangs where the round begins
	}
	return b, true
}

// addGiven adds n to sum, where there is one.
func addGiven(sum, n Num) Num {
	if !sum.Given() {
		return n
	}
	return sumNum(sum, n)
}

// joined adds a yoke's beginning with the count behind it, where the sentence at i joins pieces that wait; head is
// where its words begin.
func (w *walk) joined(head, i int) (int, bool) {
	r, p := w.r, w.p
	above, isProse := lastWorked(r.ms.Items).(*Prose)
	announced := isProse && strings.Contains(strings.ToLower(above.Text), "join the pieces") // "…, join the pieces as follows."
	if !r.begun || !announced && !r.rows && !r.piecesWait() {
		return i, false
	}
	end := p.sentenceEnd(i)
	_, _, said := p.find(head, end, "join", "joining", "across")
	if _, _, named := p.find(head, i, "joining row|rnd"); named {
		said = true
		announced = announced || hasWord(p, i, "work") // "Joining row: Work across 25 left front sts, …": told by the piece, not by the stitch
	}
	said = said || head == i && r.underYoke()
	said = said || announced
	if !said && !r.piecesWait() {
		return i, false
	}
	b, ok := p.joinsPieces(i, end)
	if !ok || head < i && !announced && p.readsWhole(i) {
		return i, false // with a head it is a row, where all of it is understood
	}
	j := end
	for k := i; k < end; k++ { // "…, knit 72 sts of back – 240 sts"
		if hasWord(p, k, "=", ":") || isDash(p.w(k)) || openers[p.w(k)] != "" {
			if st, e, ok := p.stated(k); ok && e >= end && st[0].Kind == CountAll {
				b.Stated, j = st, e
			}
		}
	}
	for k := j; k <= j+1 && len(b.Stated) == 0; k++ {
		if st, e, ok := p.stated(k); ok && st[0].Kind == CountAll {
			b.Stated, j = st, e
		}
	}
	if !b.N.Given() {
		for k := end; k < len(p.toks) && k < end+30 && len(b.Stated) == 0; k++ { // "Place a marker at the beginning of the round. 256 sts."
			if p.w(k-1) != "." {
				continue
			}
			if st, e, ok := p.stated(k); ok && st[0].Kind == CountAll {
				b.Stated, j = st, e
			}
		}
		if len(b.Stated) == 0 {
			return i, false
		}
		b.N = b.Stated[0].N
	}
	if len(b.Stated) > 0 && !equalInts(b.Stated[0].N.Vals, b.N.Vals) { // the proof tells that they differ
		b.Sum, b.Addends, b.N = b.N, 2, b.Stated[0].N
	} else {
		b.Stated = nil
	}
	if _, _, round := p.find(head, len(p.toks), "rnd", "join", "joining", "circle"); round {
		b.Round = true
	}
	w.add(b)
	r.rows = false
	return j, true
}

// underYoke says that the heading of a yoke stands right above.
func (r *reader) underYoke() bool {
	for k := len(r.ms.Items) - 1; k >= 0; k-- {
		switch it := r.ms.Items[k].(type) {
		case *Blank, *Prose:
		case *Heading:
			return strings.Contains(strings.ToLower(it.Text), "yoke")
		default:
			return false
		}
	}
	return false
}

// readsWhole says that nothing of a row's body is not understood.
func (p *parser) readsWhole(i int) bool {
	q := *p
	q.quiet = true
	b, _ := q.body(i, "")
	whole := len(b.ops) > 0
	each(b.ops, func(o Op) {
		if _, ok := o.(*Unknown); ok {
			whole = false
		}
	})
	return whole
}

// piecesWait says that what was worked last was put aside.
func (r *reader) piecesWait() bool {
	switch it := lastBefore(r.ms.Items).(type) {
	case *HoldAll, *BindOffAll:
		return true
	case *Row:
		return holds(it.Body)
	}
	return false
}

// joinsBetween says that a joining row puts stitches aside on the way, so that no sum of pieces is told but a row.
func (p *parser) joinsBetween(i int) bool {
	_, _, aside := p.find(0, p.sentenceEnd(i), "put|place|slip next")
	return aside && p.joiningRow(i)
}

// joiningRow says that the head before i is of a row that joins pieces: "Joining round:", "Join row (RS):".
func (p *parser) joiningRow(i int) bool {
	_, _, ok := p.find(0, i, "joining|join row|rnd")
	return ok
}
