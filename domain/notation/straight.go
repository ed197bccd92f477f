package notation

import (
	"regexp"
	"strings"
)

// This file reads work without shaping.

// lengthAt reads "5 cm", "12 (13: 14) cm", "2 ins", and gives where it ends.
func (p *parser) lengthAt(i int) (int, bool) {
	if p.at(i).Kind != Number {
		return i, false
	}
	j := i + 1
	if openers[p.w(j)] != "" {
		for j < len(p.toks) && p.w(j) != openers[p.w(i+1)] && j < i+60 {
			j++
		}
		j++
	}
	if w := p.w(j); lengthUnit(w) && w != "in" {
		return j + 1, true
	}
	if p.sizes > 1 && openers[p.w(i+1)] != "" { // 5 (6) 7 (8) cm
		if k, ok := p.everyLength(i); ok && p.w(k-1) != "in" {
			return k, true
		}
	}
	return i, false
}

// lengthUnit says that a word is a unit of length; "in" may be the preposition.
func lengthUnit(w string) bool {
	switch w {
	case "cm", "cms", "mm", "in", "ins", "inch", "inches", "\"":
		return true
	}
	return false
}

// inBrackets says that a bracket opened since i is still open at k.
func (p *parser) inBrackets(i, k int) bool {
	depth := 0
	for ; i < k; i++ {
		depth += nesting(p.w(i))
	}
	return depth > 0
}

// straight reads "work even for 9 rows", "knit 4 rows", "cont in St st until piece measures 38 cm".
func (p *parser) straight(i int) (*Straight, int, bool) {
	if p.quiet {
		return p.straightAt(i)
	}
	q := *p // numbers of what turns out to be something else are not found wrong here
	q.quiet = true
	if _, _, ok := q.straightAt(i); !ok {
		return nil, i, false
	}
	s, j, ok := p.straightAt(i)
	p.workedOn(s, i, j)
	return s, j, ok
}

// changesLast reads a change told of the last row in front of how a length ends: "until work measures 6 cm, inc 6 sts
// evenly across last row and ending with a WS row".
func (p *parser) changesLast(i, end int) (n Num, down, ok bool) {
	for k := i; k < end; k++ {
		if !hasWord(p, k, "inc", "increasing", "increase", "dec", "decreasing", "decrease") {
			continue
		}
		n, q, ok := p.num(k + 1)
		if !ok || p.w(q) != "st" {
			continue
		}
		if _, _, ok := p.find(q, min(end, q+7), "last row|rnd", "last ws|rs row"); ok {
			return n, hasWord(p, k, "dec", "decreasing", "decrease"), true
		}
	}
	return Num{}, false, false
}

// workedOn reads "on these 18 sts" in a sentence of rows: those are worked, and others wait. It is no
// count that is stated.
func (p *parser) workedOn(s *Straight, i, end int) {
	for k := i; k < end; k++ {
		j, ok := p.words(k, "on|over these|those", "on|over last", "on|over|across|with all")
		if !ok {
			continue
		}
		n, q, ok := p.num(j)
		if !ok || p.w(q) != "st" {
			continue
		}
		s.Over = n
		if len(s.Stated) == 1 && equalInts(s.Stated[0].N.Vals, n.Vals) {
			s.Stated = nil
		}
		return
	}
}

func (p *parser) straightAt(i int) (*Straight, int, bool) {
	start := i
	s := &Straight{}
	if k, ok := p.words(i, "at same time ,?", "then", "now", "and"); ok {
		i = k
	}
	end := p.sentenceEnd(i)
	at := i
	for k := i; k < i+5 && k < end; k++ { // "Garter stitch edge: (1 round purl, …"
		if p.w(k) == ":" && k > i {
			at = k + 1
		}
		if p.at(k).Kind != Word && p.w(k) != "-" {
			break
		}
	}
	if n, j, ok := p.rowsInBrackets(at); ok && (j >= end || p.statedAt(j)) {
		s.Rows, s.Stitch = n, p.raw(at, j)
		s.Stated, j = p.statedOrStop(j)
		s.Words, s.Span = p.raw(start, j), p.span(start, j)
		return s, j, true
	}
	if k := p.fromRow(i); k > i {
		i = k
	}
	if k, ok := p.words(i, "the k|p|knit|purl row|rnd once? more|again?"); ok && hasWord(p, k-1, "once", "more", "again") { // ", then the p row once"
		s.Rows, s.Stitch = N(1), p.raw(i, k)
		s.Stated, k = p.statedOrStop(k)
		s.Words, s.Span = p.raw(start, k), p.span(start, k)
		return s, k, true
	}
	if k, ok := p.words(i, "change to ( ? larger|smaller|size|us|needle", "change to", "with|using", "beg|starting|start with a|an? k|p|knit|purl|rs|ws row|rnd ,? and?", "beg|starting|start on a|an? rs|ws row ,?", "beg|starting k|p|knit|purl|rs|ws row|rnd ,?", "keeping"); ok {
		// over to the verb
		for q := k; q < end; q++ {
			if hasWord(p, q, "work", "cont", "continue", "knit", "k", "purl", "p") && q > i {
				if w := p.w(q - 1); w == "a" || w == "with" || w == "and" && false {
					continue
				}
				i = q
				break
			}
		}
	}
	first := p.w(i)
	switch first {
	case "work", "cont", "continue", "knit", "k", "purl", "p", "working", "continuing", "st", "garter", "rib", "moss", "seed", "g", "in", "straight", "even", "another", "plain", "reverse", "rev", "stocking", "stockinette":
	default:
		if p.at(i).Kind != Number {
			return nil, start, false
		}
	}
	if first == "st" && p.w(i+1) != "st" {
		return nil, start, false
	}
	limit := end
	for q := i; q < end; q++ {
		if p.w(q) == ";" {
			limit = q
			break
		}
		if k, ok := p.words(q, "at same time ,?"); ok && q > i && !p.changesEvenly(k) {
			limit = q
			break
		}
	}
	got := false
	last := i
	for q := i; q < limit; q++ {
		if k, ok := p.lengthAt(q); ok && !got && (q == i+1 || q == i+2 && hasWord(p, q-1, "another", "further", "even", "straight")) { // "Work 5 cm in k1, p1 rib"
			s.Length, last, got = p.raw(q, k), k, true
			if r, ok := p.words(k, "in|of"); ok { // the rib's own commas end nothing
				for r < limit && p.w(r) != "rib" && p.w(r) != "st" && p.w(r) != "patt" && p.w(r) != "." && p.w(r) != ";" {
					r++
				}
				if r < limit && (p.w(r) == "rib" || p.w(r) == "patt") {
					last = r + 1
				}
			}
			q = last - 1
			continue
		}
		if (p.at(q).Kind == Number || p.dashVector(q)) && !got {
			if n, r, ok := p.num(q); ok {
				r2 := r
				if k, ok := p.words(r, "more", "further", "plain", "complete", "full", "even"); ok {
					r2 = k
				}
				if k, ok := p.words(r2, "rs|ws|knit|k|purl|p|garter|rib|plain|st|patt st? row|rnd", "row", "rnd"); ok {
					if w := p.w(q - 1); w == "row" || w == "next" || w == "last" || w == "every" || w == "these" || w == "first" || w == "over" || w == "rnd" {
						return nil, start, false
					}
					if _, less := p.words(k, "less|fewer than"); less { // than another piece: not known
						s.Length, last, got = p.raw(q, limit), limit, true
						break
					}
					s.Rows, last, got = n, k, true
					q = k - 1
					continue
				}
				if p.w(r) == "st" || p.w(r) == "," && p.w(r-1) != ")" || p.w(r) == "*" {
					// numbers of stitches: an instruction for a row, unless a rib is named "k2, p2 rib"
					continue
				}
				q = r - 1
			}
		}
		if u, r, ok := p.untilCond(q); ok && (u.Length != "" || u.Sts.Given() && false) {
			s.Length, s.Ends, last, got = u.Length, u.Ends, r, true
			q = r - 1
			continue
		}
		if k, ok := p.words(q, "ending|end with|after|on a|an?", "finishing with|after a|an?", "working last row on"); ok && got {
			if sd, e, ok := p.lastSide(k); ok {
				s.Ends, last = sd, p.skipWords(e, "row")
				q = last - 1
				continue
			}
		}
		if got && p.w(q) == "," && q >= last && !p.inBrackets(i, q) {
			r := q + 1
			for p.w(r) == "and" || p.w(r) == "then" {
				r++
			}
			if k, ok := p.words(r, "at same time ,?"); p.sentenceStarts(r) && !(ok && p.changesEvenly(k)) {
				limit = q
			}
		}
		if !got && q > i && isMark(p.w(q)) {
			if e, ok := p.ribInStars(q); ok { // "Work *k2, p2* rib for 6 rnds"
				q = e - 1
				continue
			}
			return nil, start, false
		}
	}
	if !got {
		// "Work in garter st." and "Knit every row." alone mean no rows to count
		if k, ok := p.words(i, "knit|k every row", "knit|k all row", "purl|p every row", "knit|k every rnd", "knit all rnd", "cont in patt as est|set", "work even"); ok && (k >= end || p.w(k) == ".") {
			s.Rows = Num{}
			last, got = k, true
		}
	}
	if !got {
		return nil, start, false
	}
	if change, down, q, whole := p.changeEachRow(last, limit, s.Rows); whole {
		s.Change, s.Down, last = change, down, q
	} else if q > 0 && s.Rows.Given() {
		return nil, start, false // "Purl 1 row, inc in every 5th st": a row
	}
	for k := last; k < limit && !s.Change.Given(); k++ {
		sign := 0
		if hasWord(p, k, "inc", "increasing", "increase") {
			sign = 1
		} else if hasWord(p, k, "dec", "decreasing", "decrease") {
			sign = -1
		}
		if n, q, ok := p.num(k + 1); ok && sign != 0 && p.w(q) == "st" {
			if r, ok := p.words(q+1, "at|in centre|middle of? last? row|rnd", "at|in centre|middle"); ok { // "dec 1 st at centre of last row"
				s.Change, s.Down, last = n, sign < 0, r
				break
			}
		}
		if n, q, ok := p.num(k + 1); ok && sign != 0 && p.w(q) == "st" && !(p.w(q+1) == "at" || p.w(q+1) == "each" || p.w(q+1) == "on" && p.w(q+2) != "needle") {
			s.Change, s.Down = p.changeOnly(n, last, k), sign < 0
			last = p.skipWords(q+1, "evenly", "spaced", "across", "row", "rnd", "on", "first", "last", "in", "this", "over", "it", "rs", "ws")
			break
		}
	}
	if n, down, ok := p.changesLast(i, last); ok && !s.Change.Given() && s.Length != "" {
		s.Change, s.Down = n, down
	}
	s.Stitch, s.Length = p.bracketed(p.raw(i, last)), p.bracketed(s.Length)
	j := last
	j = p.skipWords(j, "more", "even", "straight", "in", "st", "patt", "garter", "without", "shaping", "stockinette", "stocking", "stitch", "as", "est", "set", "rib", "ribbing", "all", "plain", "of", "moss", "seed")
	for j < limit {
		if st, k, ok := p.stated(j); ok {
			s.Stated, j = st, k
			break
		}
		if _, ok := p.words(j, "at same time"); ok {
			break
		}
		if p.w(j) == "," && !p.inBrackets(i, j) && p.sentenceStarts(j+1) {
			j++
			break
		}
		j++
	}
	j = max(j, min(limit, len(p.toks)))
	if len(s.Stated) == 0 {
		if st, k, ok := p.stated(j); ok {
			s.Stated, j = st, k
		}
	}
	if _, ok := p.words(j, "at same time"); !ok {
		if w := p.w(j); w == "." || w == ";" || w == "," {
			j++
		}
	}
	s.Words = p.raw(start, j)
	s.Span = p.span(start, j)
	return s, j, true
}

// fromRow passes the row of a fabric that a sentence begins with: "Beg with 2nd rib row, work 5 rows in rib", "Starting
// with Row 2 of Back ribbing, work in rib for 1 in". It is i where there is none.
func (p *parser) fromRow(i int) int {
	k, ok := p.words(i, "beg|starting|start with|from|on")
	if !ok {
		return i
	}
	row, numbered := false, false
	for q := k; q < k+9; q++ {
		switch t := p.at(q); {
		case p.w(q) == ",":
			if row && numbered && hasWord(p, q+1, "work", "cont", "continue", "knit", "rib") {
				return q + 1
			}
			return i
		case t.Kind == Number || t.Kind == Ordinal:
			numbered = true
		case t.Kind != Word || hasWord(p, q, "k", "p", "cast", "bind"):
			return i
		default:
			row = row || p.w(q) == "row" || p.w(q) == "rnd"
		}
	}
	return i
}

// changeOnly is n for the sizes that words between i and end are for, and 0 for the others: "and for sizes M and L only
// decrease 8 sts".
func (p *parser) changeOnly(n Num, i, end int) Num {
	for ; i < end; i++ {
		only, k, ok := p.onlySizes(i, p.sizeNames)
		if !ok || k > end || only.Only == nil || !n.Single() {
			continue
		}
		out := Num{Span: n.Span, Vals: make([]int, p.sizes)}
		for _, s := range only.Only {
			if s < len(out.Vals) {
				out.Vals[s] = n.For(0)
			}
		}
		return out
	}
	return n
}

// changesEvenly says that stitches are made or taken off evenly: "decrease 8 (8) 4 (0) sts evenly".
func (p *parser) changesEvenly(i int) bool {
	if !hasWord(p, i, "dec", "decrease", "decreasing", "inc", "increase", "increasing") {
		return false
	}
	_, k, ok := p.num(p.overPoint(i + 1))
	return ok && p.w(k) == "st" && p.w(k+1) == "evenly"
}

func (p *parser) statedAt(i int) bool {
	_, _, ok := p.stated(i)
	return ok
}

// rowsInBrackets reads "(1 round purl, 1 round knit) 3 times", "[knit 1 row, purl 1 row] twice"
// and tells how many rows that is.
func (p *parser) rowsInBrackets(i int) (Num, int, bool) {
	closer := openers[p.w(i)]
	if closer == "" {
		return Num{}, i, false
	}
	rows, pieces := 0, 0
	j := i + 1
	for ; p.w(j) != closer; pieces++ {
		verb := false
		read := func() {
			if hasWord(p, j, "k", "knit", "p", "purl", "plain") {
				verb = true
				j++
			}
		}
		read()
		n := 1
		if v, k, ok := p.num(j); ok && v.Single() {
			n, j = v.For(0), k
		} else if p.w(j) == "a" {
			j++
		}
		read()
		if p.w(j) != "row" && p.w(j) != "rnd" || n < 1 || n > MaxRowNumber {
			return Num{}, i, false
		}
		j++
		if p.w(j) == "of" {
			j++
		}
		read()
		if !verb {
			return Num{}, i, false
		}
		rows += n
		for w := p.w(j); w == "," || w == ";" || w == "and" || w == "then" || w == "/" || w == "&"; w = p.w(j) {
			j++
		}
	}
	if pieces < 2 {
		return Num{}, i, false
	}
	j++
	t, k, ok := p.times(j)
	if !ok || t.Kind == TimesMore {
		return Num{}, i, false
	}
	n := mulNum(N(rows), t.N)
	n.Span = t.N.Span
	return n, k, true
}

var hyphenRun = regexp.MustCompile(`\d[\d.½¼¾]*(?:\s*[-–]\s*\d[\d.½¼¾]*)+`)

// bracketed writes "5-5-6 cm" as 5 (5, 6) cm where hyphens part the sizes.
func (p *parser) bracketed(s string) string {
	if !p.hyphen || p.sizes < 2 {
		return s
	}
	return hyphenRun.ReplaceAllStringFunc(s, func(run string) string {
		all := strings.FieldsFunc(run, func(r rune) bool { return r == '-' || r == '–' || r == ' ' })
		if len(all) != p.sizes {
			return run
		}
		return all[0] + " (" + strings.Join(all[1:], ", ") + ")"
	})
}

// ribInStars reads "*k2, p2* rib", the name of a rib.
func (p *parser) ribInStars(i int) (int, bool) {
	for k := i + 1; k < len(p.toks) && k < i+14; k++ {
		switch w := p.w(k); {
		case w == p.w(i):
			return k + 2, p.w(k+1) == "rib"
		case w == "." || w == ";" || w == "rep":
			return i, false
		}
	}
	return i, false
}
