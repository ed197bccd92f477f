package needle

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// maxRows bounds the rows one sentence may have worked.
const maxRows = 20000

// statedAfter checks the counts written behind a sentence.
func (r *run) statedAfter(st []notation.Stated, lanes []*lane, start []*lane, at finding.Span, words string) {
	if len(st) == 0 {
		return
	}
	var bad []*lane
	var first *failure
	for _, l := range lanes {
		before := Lin{}
		if k := indexOf(r.lanes, l); k < len(start) && start[k] != nil {
			before = start[k].total()
		}
		only := make([]notation.Stated, 0, len(st))
		for _, s := range st {
			if s.Kind == notation.CountAll || s.Kind == notation.CountBetween {
				only = append(only, s)
			}
		}
		f := r.stated(l, before, only)
		if f == nil {
			if len(only) > 0 {
				l.tainted = false
			}
			continue
		}
		if l.tainted {
			for _, s := range only {
				if s.Kind != notation.CountAll {
					continue
				}
				l.left, l.right, l.tainted = newStack(K(max(0, s.N.For(l.size)))), newStack(Lin{}), false
			}
			continue
		}
		bad = append(bad, l)
		if first == nil {
			first = f
		}
		for _, s := range only {
			if s.Kind == notation.CountAll {
				v := K(max(0, s.N.For(l.size)))
				l.doubt = &v
			}
		}
	}
	if first != nil {
		msg := first.msg
		msg = r.atSizes(bad, msg)
		r.add(finding.Finding{Code: first.code, Span: first.at, Row: words, Sizes: r.sizesOf(bad), Message: msg})
	}
}

// sentenceDef makes an entry for a sentence that works rows.
func (r *run) sentenceDef(name string, at finding.Span) *def {
	return r.enter(def{row: &notation.Row{Span: at}, name: name}, Entry{Name: name, Line: at.Line, Span: at, Words: name})
}

// workEven works rows without shaping on a lane, known or not how many, and tells
// the stitches that are then on the needle.
func (r *run) workEven(l *lane, it *notation.Straight, rows int, known bool) Lin {
	// all that is on the needle is worked, short rows included
	t := l.total()
	if r.visit != nil && l.cols != nil {
		r.traceStraight(it, l, rows)
	}
	r.tellEven(l, rows, !known)
	l.left, l.right = flat(l), newStack(Lin{})
	l.short = false
	if l.round {
		l.dropGaps() // short rows are behind
	}
	if l.cols != nil {
		l.cols.left = append(l.cols.left, l.cols.right...)
		l.cols.right = nil
		for i := range l.cols.left {
			l.cols.left[i] = min(l.cols.left[i]+int16(min(max(rows, 1), oldAge)), oldAge)
		}
		l.cols.fit(t.D, 0)
	}
	if !it.Same {
		l.rows += rows
		switch {
		case it.Ends != "":
			r.endSide(l, it.Ends)
		case !known:
			l.side = ""
		case rows%2 == 1:
			r.flip(l)
		}
	}
	return t
}

// straight works rows without shaping.
func (r *run) straight(it *notation.Straight) {
	if it.Over.Given() {
		r.takeBack(it.Over)
		r.holdAll(&notation.HoldAll{Keep: it.Over, Words: it.Words, Span: it.Span})
	}
	name := shapeName(it.Words)
	d := r.sentenceDef(name, it.Span)
	start := make([]*lane, len(r.lanes))
	var ls []*lane
	for i, l := range r.lanes {
		start[i] = l.clone()
		if it.Only != nil && !contains(it.Only, l.size) || r.only != nil && !contains(r.only, l.size) || it.Rows.Given() && it.Rows.For(l.size) == notation.Skip {
			continue
		}
		ls = append(ls, l)
		rows, known := 0, false
		switch {
		case it.Rows.Given():
			rows, known = min(it.Rows.For(l.size), maxRows), true
		default:
			if cm := centimetresFor(it.Length, l.size, len(r.ms.Sizes)); cm > 0 && r.rowsPer10 > 0 {
				rows = int(math.Round(cm * r.rowsPer10 / 10))
				if w := strings.ToLower(it.Words); strings.Contains(w, "measure") || strings.Contains(w, "until") || strings.Contains(w, "from ") || reToLength.MatchString(w) {
					rows -= l.rows // of the whole piece
				}
				rows = min(max(1, rows), maxRows)
			}
		}
		if rows == 0 && !known && it.Change.Given() {
			rows = 1 // the row that makes or takes stitches
		}
		t := r.workEven(l, it, rows, known)
		if it.Change.Given() {
			n := K(max(0, it.Change.For(l.size)))
			if it.Down {
				n = n.times(-1)
			}
			t = t.plus(n)
			l.left, l.right = newStack(t), newStack(Lin{})
			if l.cols != nil {
				l.cols.fit(t.D, 0)
			}
		}
		if rows == 0 && !known {
			rows = 1
		}
		if rows > 0 {
			k := indexOf(r.lanes, l)
			e := d.entry
			e.Times[k] = rows
			c := Count{t.D, t.C == 0}
			e.First[k], e.Last[k], e.Before[k] = c, c, c
			if t.C != 0 && k == 0 {
				lin := t
				e.Lin = &lin
			}
		}
		l.started = true
	}
	r.ribFits(it, ls, name)
	// "rep last 8 rows" may go back over them
	d.body = []notation.Op{&notation.Until{Body: []notation.Op{&notation.Do{Key: stitchOf(it), Span: it.Span}}, To: notation.Target{Kind: notation.ToEnd}, Span: it.Span}}
	d.done = true
	if !it.Same && it.Rows.Given() {
		for n := min(it.Rows.For(0), 400); n > 0; n-- {
			r.history = append(r.history, d)
		}
	}
	r.statedAfter(it.Stated, ls, start, it.Span, name)
}

// stitchOf is the key of the stitch that a sentence's rows are worked in, where one tells every row
// of them and either side: "Purl 1 rnd", "Work 4 rows in st st"; "patt" where none does.
func stitchOf(it *notation.Straight) string {
	words := strings.ToLower(it.Words)
	switch has := func(s string) bool { return strings.Contains(words, s) }; {
	case has("garter in") || has("seed") || has("moss") || has("patt"):
		return "patt"
	case strings.HasPrefix(words, "knit"), strings.HasPrefix(words, "k "):
		return "k"
	case strings.HasPrefix(words, "purl"), strings.HasPrefix(words, "p "):
		return "p"
	case has("st st"), has("stockinette"), has("stocking"), has("rib"):
		return "as-set"
	}
	return "patt"
}

// flat keeps the markers in their places through rows that are only told of.
func flat(l *lane) stack {
	if l.right.total().zero() {
		return l.left.clone()
	}
	return newStack(l.total())
}

func (r *run) bindOffAll(it *notation.BindOffAll) {
	if r.closed {
		return
	}
	if it.N.Given() {
		var bad []*lane
		for _, l := range r.lanes {
			want := it.N.For(l.size)
			t := l.total()
			if want >= 0 && t.C == 0 && t.D > want && l.everTurned && !l.left.total().zero() && l.left.top().D == want { // the others wait where it turned
				l.left, l.right, l.closedOff = newStack(K(t.D-want)), newStack(Lin{}), true
				continue
			}
			if want >= 0 && t.C == 0 && t.D != want && !l.tainted {
				bad = append(bad, l)
			}
		}
		if len(bad) > 0 {
			l := bad[0]
			msg := fmt.Sprintf("%s stated, %s on the needle", sts(K(it.N.For(l.size))), sts(l.total()))
			msg = r.atSizes(bad, msg)
			r.add(finding.Finding{Code: "stated-count-differs", Span: it.N.Span, Row: shapeName(it.Words), Sizes: r.sizesOf(bad), Message: msg})
		}
	}
	r.finish()
	r.closed = true
}

func (r *run) holdAll(it *notation.HoldAll) {
	if again := r.kept && it.N.Given(); again { // "Heel on 30 sts. Leave the other 30 for the instep": the same ones
		r.kept = false
		for _, l := range r.lanes {
			v := it.N.For(l.size)
			again = again && (v < 0 || l.held.C == 0 && v == l.held.D)
		}
		if again {
			return
		}
	}
	if r.kept && !it.N.Given() && !it.Keep.Given() && !it.Side && (strings.Contains(strings.ToLower(it.Words), "other") || strings.Contains(strings.ToLower(it.Words), "rest")) { // "Work on the last 42 sts only; place the other sts on holders"
		r.kept = false
		return
	}
	r.kept = it.Keep.Given()
	r.divided = r.divided || len(r.lanes) > 0 && len(r.lanes[0].parted) > 0
	r.checkHeld(it)
	flat := reInRows.MatchString(it.Words)
	for _, l := range r.lanes {
		n := l.total()
		if flat && l.round && it.Keep.Given() { // what is gone on with is worked in rows
			l.round, l.short = false, false
			l.left, l.right = newStack(n), newStack(Lin{})
		}
		if it.Side {
			if len(l.parted) != 2 {
				continue
			}
			n = l.parted[0]
		} else if it.Keep.Given() {
			if d := n.minus(K(max(0, it.Keep.For(l.size)))); d.C == 0 && d.D > 0 {
				n = d
			} else {
				continue // those are all there are
			}
		} else if it.N.Given() {
			if v := it.N.For(l.size); v >= 0 && v < n.D {
				n = K(v)
			} else if v == n.D && l.everTurned && strings.Contains(strings.ToLower(it.Words), "other") {
				l.hold(n) // they are off the needle already: the count of those worked on was taken
				continue
			} else if v < 0 || v > n.D && l.held.C == 0 && v <= l.held.D {
				continue
			}
		}
		if n == l.total() {
			r.finish()
			r.closed = true
		}
		l.hold(n)
		rest := l.total().minus(n)
		l.left, l.right = newStack(rest), newStack(Lin{})
		if l.cols != nil {
			l.cols.fit(rest.D, 0)
		}
	}
}

// reInRows are words that tell that what was worked in the round goes on flat.
var reInRows = regexp.MustCompile(`(?i)\bin rows\b`)

// checkHeld holds the number of stitches that go to a holder against those on the needle: no
// more can go than there are, and the remaining ones are all of them, unless the work was
// turned before and some wait unworked, or they are of one side of two.
func (r *run) checkHeld(it *notation.HoldAll) {
	if !it.N.Given() || r.closed {
		return
	}
	var bad []*lane
	for _, l := range r.lanes {
		v, t := it.N.For(l.size), l.total()
		if v < 0 || t.C != 0 || l.tainted || l.dead {
			continue
		}
		if v > t.D && l.held.C == 0 && (v <= l.held.D && !it.Rem || v == l.held.D) {
			continue // those wait already: "slip the centre 16 sts onto a holder"
		}
		if v > t.D || it.Rem && v < t.D && t.D != 2*v && !l.everTurned && l.held.zero() {
			bad = append(bad, l)
		}
	}
	if len(bad) == 0 {
		return
	}
	msg := fmt.Sprintf("%s to go on the holder, %s on the needle", sts(K(it.N.For(bad[0].size))), sts(bad[0].total()))
	r.add(finding.Finding{Code: "stated-count-differs", Span: it.N.Span, Row: shapeName(it.Words), Sizes: r.sizesOf(bad), Message: r.atSizes(bad, msg)})
}

// finish notes the final counts.
func (r *run) finish() {
	if r.part.Final != nil || r.silent {
		return
	}
	for _, l := range r.lanes {
		t := l.total()
		r.part.Final = append(r.part.Final, Count{t.D, t.C == 0 && !l.dead && !l.tainted})
	}
}

// asPiece works the rows of another piece, as far as it says.
func (r *run) asPiece(it *notation.As) {
	src := r.all[strings.ToLower(cleanHeading(it.Piece))]
	if src == nil || r.depth > 4 {
		return
	}
	items := src.items
	if it.To != "" {
		items = items[:r.cutTo(items, it)]
	}
	if reWithin.MatchString(it.Words) { // the rows behind are worked within the piece, before its stitches are left
		for len(items) > 0 && leavesAll(items[len(items)-1]) {
			items = items[:len(items)-1]
		}
	}
	first := true // its own beginning is not worked again
	if completes(it) && len(r.part.Rows) > 0 {
		at := r.sameAsAbove(items, it)
		items, first = items[at:], at == 0
	}
	for _, x := range items {
		if b, ok := x.(*notation.Begin); ok && r.part.CastOn == nil && b.N.Given() {
			for _, l := range r.lanes {
				v := b.N.For(l.size)
				l.left, l.right = newStack(K(max(0, v))), newStack(Lin{})
				r.part.CastOn = append(r.part.CastOn, max(0, v))
				l.started = false
			}
			break
		}
	}
	var rest []notation.Item
	for _, x := range items {
		switch x := x.(type) {
		case *notation.Begin:
			if first {
				first = false
				continue
			}
		case *notation.BindOffAll, *notation.Define:
			continue
		case *notation.Row:
			// fresh rows: what was said of the first piece is not said again
			c := *x
			rest = append(rest, &c)
			continue
		}
		rest = append(rest, x)
	}
	r.depth++
	quiet := len(r.res.Findings.Findings)
	rows := len(r.part.Rows)
	r.items(rest)
	r.depth--
	if it.Until.Given() {
		for _, l := range r.lanes {
			if n := it.Until.For(l.size); n >= 0 && l.total().C == 0 && l.total().D != n {
				l.left, l.right, l.tainted = newStack(K(n)), newStack(Lin{}), false
			}
		}
	}
	for _, l := range r.lanes {
		if ends := endsAs(it.Words); ends != "" {
			r.endSide(l, ends)
		} else if strings.Contains(it.To, "meas") {
			l.side = "" // how many rows that takes is not known
		}
		l.tainted, l.dead = l.tainted || it.But, l.dead || it.But // what its rows change in the piece is not known
	}
	if !r.silent {
		r.res.Findings.Findings = r.res.Findings.Findings[:min(quiet, len(r.res.Findings.Findings))]
		r.part.Rows = r.part.Rows[:rows]
	}
	if rows == 0 {
		r.part.Final = nil // what the other piece ends with is not what this one does
	}
	r.closed = false
}

// reWithin are words by which a piece is worked as another one but for rows told behind: "Work as button band, making
// buttonholes opposite markers thus:".
var reWithin = regexp.MustCompile(`(?i)\bbuttonholes?\b|\b(?:thus|as follows)\b`)

// leavesAll says that an item leaves all stitches, or works none.
func leavesAll(it notation.Item) bool {
	switch it := it.(type) {
	case *notation.HoldAll:
		return !it.Keep.Given() && !it.N.Given() && !it.Side
	case *notation.Prose, *notation.Blank, *notation.Heading:
		return true
	}
	return false
}

// reEndsAs is how a sentence says with which row a piece that is worked as another ends.
var reEndsAs = regexp.MustCompile(`(?i)\bend(?:ing)?\b(?: with| after| on| in)?(?: an?| the)? (ws|wrong|purl|rs|right|knit)\b( (?:side )?facing)?`)

// endsAs is the side of the last row of such a piece; "" where the sentence does not say it.
func endsAs(words string) string {
	m := reEndsAs.FindStringSubmatch(words)
	if m == nil {
		return ""
	}
	side := "RS"
	if w := strings.ToLower(m[1]); w == "ws" || w == "wrong" || w == "purl" {
		side = "WS"
	}
	if m[2] != "" { // "ending with RS facing for next row"
		side = other(side)
	}
	return side
}

// completes says that a sentence ends a piece as another one, from where it has come: "Complete to
// correspond with the right glove".
func completes(it *notation.As) bool {
	w := strings.ToLower(it.Words)
	return strings.HasPrefix(w, "complete") || strings.HasPrefix(w, "finish")
}

// sameAsAbove is the place in another piece behind the row that this one has worked last, by how the
// row is called and by the stitches stated behind it; 0 where none is like it.
func (r *run) sameAsAbove(items []notation.Item, it *notation.As) int {
	var last *notation.Row
	for _, x := range r.ms.Items {
		if x == notation.Item(it) {
			break
		}
		if row, ok := x.(*notation.Row); ok {
			last = row
		}
	}
	if last == nil || len(last.Stated) == 0 {
		return 0
	}
	at := 0
	for i, x := range items {
		row, ok := x.(*notation.Row)
		if ok && len(row.Stated) > 0 && strings.EqualFold(row.Head.Words, last.Head.Words) && row.Stated[0].Kind == last.Stated[0].Kind && slices.Equal(row.Stated[0].N.Vals, last.Stated[0].N.Vals) {
			at = i + 1
		}
	}
	return at
}
