package notation

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"rowproof/domain/finding"
)

// This file adds rows that are read to the manuscript, and says of what they hold what is not understood.

// row reads one headed row; i is where its head stands, j where its body begins.
func (r *reader) row(p *parser, h Head, i, j int, only []int) int {
	if i == 0 && p.listed.Line > 0 {
		h.Span = p.listed.Cover(h.Span)
	}
	if q, end, e, ok := p.everyBehind(j); ok && !h.Every.On() && len(h.Numbers) > 0 {
		h.Every = e
		cut := *p
		cut.toks = p.toks[:q]
		r.row(&cut, h, i, j, only)
		return end
	}
	row := &Row{Head: h, Only: only}
	if h.Only != nil {
		row.Only, p.only = h.Only, h.Only
	}
	for {
		if fs, k, ok := p.onlySizes(j, r.ms.Sizes); ok && k < len(p.toks) && fs.Only != nil {
			row.Only, p.only, j = fs.Only, fs.Only, k
			continue
		}
		break
	}
	var yarn, led Op // With B, as Row 1
	at := j
	if o, k, ok := p.useYarn(nil, j); ok {
		if u, ok := o.(*UseYarn); ok {
			if p.w(k) == "," || p.w(k) == ":" {
				k++
			}
			yarn, at = u, k
		}
	}
	if y, k, ok := p.yarnName(j); ok && yarn == nil && (isDash(p.w(k)) && !p.at(k).Glued || p.w(k) == ":") && p.opStarts(k+1) { // "Row 1: B - K2, …"
		led = &UseYarn{Yarn: y, Span: p.span(j, k)}
		yarn, at, j = led, k+1, k+1
	}
	ref, k, ok := r.asRow(p, at, len(h.Numbers) > 1)
	if q, above := p.words(at, "as above", "as given above", "as described above", "work as above", "as before"); above && !ok && len(h.Numbers) == 0 && h.Words != "" && (q >= len(p.toks) || p.w(q) == "." || p.w(q) == "–") {
		ref, k, ok = &RowRef{Words: h.Words}, q, true // "Decrease row: as above"
	}
	if ok {
		r.refToSide(ref)
		row.As = ref
		after := k
		if p.w(k) == "," {
			after++
		}
		if o, q, ok := p.useYarn(nil, after); ok && yarn == nil { // as Row 1, with B
			if u, ok := o.(*UseYarn); ok {
				yarn, k = u, q
			}
		}
		if yarn != nil {
			row.Body = []Op{yarn}
		}
		if st, q, ok := p.stated(k); ok {
			row.Stated, k = st, q
		} else if e := p.sentenceEnd(k); e < len(p.toks) || e > k {
			for q := k; q < e; q++ {
				if st, q2, ok := p.stated(q); ok {
					row.Stated, e = st, q2
					break
				}
			}
			if e > k && len(row.Stated) == 0 {
				row.Prose = p.raw(k, e)
			}
			k = e
		}
		row.Span = p.span(i, k)
		r.addRow(row, p)
		return k
	}
	if k, ok := p.rowsWorkedEven(row, j); ok {
		row.Span = p.span(i, k)
		r.addRow(row, p)
		return k
	}
	b, k := p.body(j, "")
	row.Body, row.Stated, row.Prose = b.ops, b.stated, b.prose
	if led != nil {
		row.Body = append([]Op{led}, row.Body...)
	}
	row.Span = p.span(i, k)
	if len(row.Body) == 0 && k >= len(p.toks) && b.prose == "" {
		p.addf("row-empty", h.Span, "“%s” has no instructions", h.Words)
	}
	r.addRow(row, p)
	return r.again(p, max(k, j))
}

// rowsWorkedEven reads a body that tells as many rows as its head: "Rows 6–26: Starting with a purl
// row, work 21 rows in stocking stitch".
func (p *parser) rowsWorkedEven(row *Row, i int) (int, bool) {
	rows := max(len(row.Head.Numbers), row.Head.Next)
	if rows < 2 {
		return i, false
	}
	q := *p
	q.quiet = true
	s, k, ok := q.straight(i)
	if !ok || !s.Rows.Single() || !s.Rows.Given() || s.Rows.For(0) != rows || s.Change.Given() {
		return i, false
	}
	row.Body = []Op{&Until{Body: []Op{&Do{Key: "patt", Times: N(1), Span: s.Span}}, To: Target{Kind: ToEnd, Span: s.Span}, Span: s.Span}}
	row.Stated = s.Stated
	return k, true
}

// reNamedRows is the head of several rows that have a name before their numbers: "Gusset rnds 2 and 3".
var reNamedRows = regexp.MustCompile(`(?i)^([a-z][a-z -]*?) (row|rnd|round)s (\d{1,2}) ?(and|&|to|-|–) ?(\d{1,2})$`)

// namedRows are the rows that such a head stands for, each by itself; nil for any other.
func namedRows(row *Row) []*Row {
	m := reNamedRows.FindStringSubmatch(row.Head.Words)
	if m == nil || len(row.Head.Numbers) > 0 || row.Head.Every.On() || row.Head.EveryRow || row.Head.Next > 0 {
		return nil
	}
	from, _ := strconv.Atoi(m[3])
	to, _ := strconv.Atoi(m[5])
	step := 1
	if m[4] == "and" || m[4] == "&" {
		step = max(1, to-from)
	}
	if to <= from || to-from > 40 {
		return nil
	}
	var out []*Row
	for n := from; n <= to; n += step {
		one := *row
		one.Head.Words = m[1] + " " + m[2] + " " + itoa(n)
		if n < to {
			one.Stated, one.Prose = nil, ""
		}
		out = append(out, &one)
	}
	return out
}

func (r *reader) addRow(row *Row, p *parser) {
	if all := namedRows(row); all != nil {
		for _, one := range all {
			r.addRow(one, p)
		}
		return
	}
	if row.As != nil && len(row.Head.Numbers) == 0 && row.Head.Side != "" && r.rowCount == 0 { // "Right side row: Row 1", before any is given
		r.ms.Items = append(r.ms.Items, &Prose{Text: joinSource(r.ms, p.toks), Span: row.Span})
		return
	}
	if r.beforeAll(row) {
		r.ms.Items = append(r.ms.Items, &Prose{Text: joinSource(r.ms, p.toks), Span: row.Span})
		return
	}
	if r.rowCount += max(1, len(row.Head.Numbers)); r.rowCount > MaxRows {
		if len(row.Head.Numbers) > 1 {
			row.Head.Numbers = row.Head.Numbers[:1]
		}
		if !r.tooMany {
			r.tooMany = true
			r.ms.Findings.Addf("too-long", row.Head.Span, "more than %d rows; heads beyond stand for one row each", MaxRows)
		}
	}
	if h := onlyHolds(row); h != nil { // "Divide for neck: Place last 41 sts on a holder for right front.": no stitch is worked
		h.Words = strings.TrimSpace(joinSource(r.ms, p.toks))
		r.ms.Items = append(r.ms.Items, h)
		return
	}
	r.begun, r.rows = true, true
	leaveDivided(row)
	if len(row.Head.Numbers) == 0 && row.Head.Words != "" {
		r.rowHeads[headKey(scanLine(row.Head.Words, 1))] = true
	}
	r.ms.Items = append(r.ms.Items, row)
	if r.ahead != nil {
		if r.aheadRows -= max(1, len(row.Head.Numbers)); r.aheadRows <= 0 {
			r.ms.Items = append(r.ms.Items, r.ahead)
			r.ahead = nil
		}
	}
	name := row.Name()
	each(row.Body, func(o Op) {
		if u, ok := o.(*Unknown); ok {
			if abbreviation(u.Text) {
				r.ms.Findings.Add(finding.Finding{Code: "undefined-stitch", Span: u.Span, Row: name,
					Message: fmt.Sprintf("“%s” is no stitch of the trade and is not defined; define it among the special stitches", u.Text)})
				return
			}
			r.ms.Findings.Add(finding.Finding{Code: "row-not-understood", Span: u.Span, Row: name,
				Message: fmt.Sprintf("“%s” is not understood; check the spelling, or define it among the special stitches", clip(u.Text))})
		}
	})
}

// abbreviation says that words not understood are one short word, as abbreviations are.
func abbreviation(s string) bool {
	if s == "" || len(s) > 7 || strings.ContainsAny(s, " ,.;()[]") {
		return false
	}
	for _, r := range s {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' {
			return true
		}
	}
	return false
}

// toMarkerOnly says that a row without a head goes on to a marker and no further.
func toMarkerOnly(row *Row) bool {
	if len(row.Body) != 1 || len(row.Stated) > 0 {
		return false
	}
	if d, ok := row.Body[0].(*Do); ok { // "K6. Graft the toe."
		return len(row.Head.Numbers) == 0 && d.Times.Given() && (d.Key == "k" || d.Key == "p")
	}
	u, ok := row.Body[0].(*Until)
	return ok && u.To.Kind == ToMarker && len(u.Body) == 1
}

// beforeAll says that a row without a number stands before anything is cast on, and repeats nothing:
// "knit the second stitch" in what explains a technique, "Rnd: round" in a list of terms.
func (r *reader) beforeAll(row *Row) bool {
	if row.Line > r.castOn || r.begun || len(row.Head.Numbers) > 0 || row.Head.Every.On() || row.Head.EveryRow || len(row.Stated) > 0 {
		return false
	}
	for _, o := range row.Body {
		switch o.(type) {
		case *Repeat, *Again:
			return false
		}
	}
	return true
}

// findCastOn finds the first line of its own that casts on so many stitches.
func (r *reader) findCastOn() {
	r.castOn = -1
	for i := range r.lines {
		if _, def := r.defined[i]; def || len(r.lines[i]) == 0 || r.isRowStart(i) {
			continue
		}
		p := r.parser(stripBullet(r.lines[i]))
		p.quiet = true
		if p.castsOnAnywhere() {
			r.castOn = i + 1
			return
		}
	}
	r.swatch = !r.statesMultiple() // "For a swatch, cast on 33 sts": where nothing else is cast on, that is meant
}

// castsOnAnywhere says that a sentence of the line casts on so many stitches: "Commence at the
// lower edge. With No. 11 needles cast on 110 sts."
func (p *parser) castsOnAnywhere() bool {
	for i := 0; i < len(p.toks); i = p.sentenceEnd(i) + 1 {
		if _, _, check := p.find(i, min(i+3, len(p.toks)), "check", "test", "swatch", "sample"); check || i > 0 && hasWord(p, 1, ":", "–", "-") {
			continue // "TENSION: … To check, cast on 22 sts"
		}
		if b, _, ok := p.begin(i); ok && b.N.Given() && b.How == "cast on" && b.N.For(0) > 2 {
			return true
		}
	}
	return false
}

// statesMultiple says that a line states a multiple.
func (r *reader) statesMultiple() bool {
	for i := range r.lines {
		p := r.parser(stripBullet(r.lines[i]))
		p.quiet = true
		for k := 0; k < len(p.toks); k = p.sentenceEnd(k) + 1 {
			if _, _, ok := p.multiple(k, p.sentenceEnd(k)); ok {
				return true
			}
		}
	}
	return false
}

// lastWorked is lastItem past blank lines.
func lastWorked(items []Item) Item {
	for k := len(items) - 1; k >= 0; k-- {
		if _, blank := items[k].(*Blank); !blank {
			return items[k]
		}
	}
	return nil
}

// leaveDivided leaves unworked what a row that divides the work does not come to: "Divide for front and back: K72 and
// place these sts on a holder".
func leaveDivided(row *Row) {
	head := strings.ToLower(row.Head.Words)
	n := len(row.Body)
	if n == 0 || len(row.Stated) > 0 || !strings.Contains(head, "divid") {
		return
	}
	if _, holds := row.Body[n-1].(*Hold); !holds {
		return
	}
	for _, o := range row.Body {
		switch o := o.(type) {
		case *Hold:
			if !o.N.Given() || o.All || o.ToMark {
				return
			}
		case *Do, *Return, *UseYarn, *Remark:
		default:
			return
		}
	}
	row.Body = append(row.Body, &Leave{Span: row.Span})
}

// lastBefore is the last item that is no head, no words and no blank line.
func lastBefore(items []Item) Item {
	for k := len(items) - 1; k >= 0; k-- {
		switch items[k].(type) {
		case *Blank, *Heading, *Prose:
		default:
			return items[k]
		}
	}
	return nil
}

// lastItem is the item read last; nil where there is none.
func lastItem(items []Item) Item {
	if len(items) == 0 {
		return nil
	}
	return items[len(items)-1]
}

// refToSide puts the number of the row that goes for all of one side in place of "WS rows".
func (r *reader) refToSide(ref *RowRef) {
	side := map[string]string{"ws rows": "WS", "rs rows": "RS", "wrong side rows": "WS", "right side rows": "RS"}[strings.ToLower(strings.TrimSpace(ref.Words))]
	if side == "" || len(ref.Numbers) > 0 {
		return
	}
	for k := len(r.ms.Items) - 1; k >= 0; k-- {
		if row, ok := r.ms.Items[k].(*Row); ok && row.Head.Every.Side == side && len(row.Head.Numbers) > 0 {
			ref.Numbers, ref.Words = row.Head.Numbers[:1], ""
			return
		}
	}
}

// everyBehind reads ", and purl every other wrong side row" behind a row: q is where it begins, end where it ends.
func (p *parser) everyBehind(i int) (q, end int, e Every, ok bool) {
	end = p.sentenceEnd(i)
	for k := i + 1; k < end; k++ {
		j, ok := p.words(k, ",? and|then purl|knit|work|p|k", "; purl|knit|p|k", ",? and so on", ",? as are|is")
		if !ok {
			continue
		}
		for n := j; n < min(j+3, end); n++ {
			if _, ok := p.words(n, "all|every|each other|following|alt|even|rem? ws|wrong"); !ok {
				continue
			}
			for s := n; s < end; s++ {
				if side, r, ok := p.sideWord(s); ok && r+1 >= end && (p.w(r) == "row" || p.w(r) == "rnd" || r >= end) {
					if p.w(end) == "." {
						end++
					}
					return k, end, Every{Side: side}, true
				}
			}
		}
	}
	return 0, 0, Every{}, false
}

// reRowWord finds in a head that a row is told, "Next rnd".
var reRowWord = regexp.MustCompile(`(?i)\b(?:rows?|rnds?|rounds?)\b`)

// onlyHolds is what a row without a number does that puts stitches on a holder and works none; nil for any other.
func onlyHolds(row *Row) *HoldAll {
	if len(row.Head.Numbers) > 0 || row.Head.Side != "" || len(row.Stated) > 0 || row.As != nil || row.Only != nil || row.Head.Every.On() || reRowWord.MatchString(row.Head.Words) {
		return nil
	}
	var h *HoldAll
	for _, o := range row.Body {
		switch o := o.(type) {
		case *Hold:
			if h != nil || !o.N.Given() || o.ToMark || o.All {
				return nil
			}
			h = &HoldAll{N: o.N, Span: row.Span}
		case *Remark:
		default:
			return nil
		}
	}
	return h
}
