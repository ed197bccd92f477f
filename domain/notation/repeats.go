package notation

import (
	"strings"
)

// This file reads repeats between asterisks and their endings.

// sinceBound counts "until there are 72 sts on right needle" from what was bound off before it, where both come again:
// "*BO 8 sts, knit until there are 72 sts on right needle; rep from * once more".
func sinceBound(body []Op) {
	bound := false
	for _, o := range body {
		switch o := o.(type) {
		case *BindOff:
			bound = true
		case *Until:
			if bound && o.To.Kind == ToWorked && o.To.Name == "" {
				o.To.Name = "gap"
			}
		}
	}
}

// asterisk opens a repeat, or closes one: "*k2, p2* to last 2 sts".
func (p *parser) asterisk(b *bodyState, i int) (int, bool) {
	mark := p.w(i)
	open := -1
	for k, s := range b.stars {
		if s.mark == mark {
			open = k
		}
	}
	if open >= 0 && b.stars[open].at < len(b.ops) {
		s := b.stars[open]
		body := append([]Op(nil), b.ops[s.at:]...)
		sinceBound(body)
		r := &Repeat{Body: body, Mark: mark, Span: SpanOf(body[0]).Cover(p.span(i, i+1))}
		j := i + 1
		for p.w(j) == "," || p.w(j) == ";" {
			j++
		}
		if p.w(j) == "rep" && p.w(j+1) == mark { // repeat *-*
			q := j + 2
			if isDash(p.w(q)) || p.w(q) == "to" || p.w(q) == "and" {
				q++
			}
			if p.w(q) == mark {
				q++
			}
			j = q
		}
		k, ok := p.said(j, "rep|work|working from|between "+mark+" to|and "+mark, "rep|work|working from|between "+mark+" -|– "+mark, "rep|work|working from|between "+mark, "rep bet "+mark)
		if !ok {
			k, ok = p.words(j, "rep between asterisks", "rep to|from asterisk", "rep st", "rep")
		}
		spoken := ok
		if ok && !isMark(p.w(j)) {
			j = k
			if p.w(j) == "," {
				j++
			}
		}
		closes := j == len(p.toks) || p.w(j) == "." || p.w(j) == ";" || p.w(i+1) == "," || b.closer != "" && p.w(j) == b.closer
		if st, _, ok := p.stated(j); ok && p.hasSts(j, min(j+60, len(p.toks))) && st[0].N.Given() && (openers[p.w(j)] != "" || isDash(p.w(j)) || p.w(j) == "=") {
			closes = true // *k6, k2tog* [56 (63, 70) sts]
		}
		if k, ok := p.otherNeedle(j); ok {
			r.To, j, closes = Target{Kind: TimesMore, N: N(1), Span: p.span(j, k)}, k, true
		} else if t, k, ok := p.target(j); ok {
			r.To, j, closes = t, k, true
		} else if t, k, ok := p.times(j); ok {
			r.To, j, closes = t, k, true
			switch {
			case t.Kind == TimesInAll && spoken && t.N.Single() && t.N.For(0) == 1:
				r.To.Kind = TimesMore // "*…*, repeat from * to * once": it was worked already
			case t.Kind == TimesInAll:
				r.To.Kind = TimesTotal // *…* 3 times: the part between, three times
			}
		}
		if !closes && !p.repeatedLater(i+1, mark) {
			closes = true // "*p3, k6* p3"
		}
		if closes {
			b.ops = append(b.ops[:s.at], r)
			b.clause = len(b.ops)
			b.stars = b.stars[:open]
			return p.lastRepeat(b, r, j), true
		}
		return i + 1, true // a second asterisk with no meaning
	}
	b.stars = append(b.stars, star{mark, len(b.ops)})
	return i + 1, true
}

// otherNeedle reads "for N2", "on the second needle": what one needle holds is worked so on the other.
func (p *parser) otherNeedle(i int) (int, bool) {
	return p.words(i, "for|on|over|across n 2", "for|on|over|across needle 2", "for|on|over|across 2nd|second|other|back|next needle", "for|on|over|across st of|on 2nd|second|other needle", "for|on|over|across 2nd|second|other half", "for|on|over|across sole|instep|heel st|needle?", "across bottom|top of foot", "for|on|over|across 2nd|second|other circular needle?", "for|on|over|across 2nd|second|other circ")
}

// repeatedLater says that a repeat is spoken of behind i, or that an odd number of
// the marks stand there: then the mark before i opens rather than closes.
func (p *parser) repeatedLater(i int, mark string) bool {
	marks := 0
	for ; i < len(p.toks); i++ {
		switch w := p.w(i); {
		case w == "rep" || w == "repeat" || w == "repeating" || w == "rpt" || w == "reps":
			return true
		case w == mark:
			marks++
		}
	}
	return marks%2 == 1
}

// repeat reads "rep from * …" at i.
func (p *parser) repeat(b *bodyState, i int) (int, bool) {
	start := i
	if isMark(p.w(i+1)) && p.w(i+2) == "to" && p.at(i+2).Glued && p.w(i+3) == p.w(i+1) && p.at(i+3).Glued { // "repeat *to* 3 more times"
		q := *p
		q.toks = append([]Token(nil), p.toks...)
		q.toks[i+1], q.toks[i+2] = p.toks[i+2], p.toks[i+1]
		q.toks[i+1].Text, q.toks[i+1].fold = "from", "from"
		q.toks[i+3].Text, q.toks[i+3].fold = "the", "the"
		return q.repeat(b, i)
	}
	i++
	if p.w(i) == "." && p.at(i).Glued {
		i++
	}
	j, ok := p.words(i, "instructions? from|between|bet|after|inside|within", "from|between|bet|after|inside|within", "the? st? from", "sequence from", "section from")
	mark, onceMore := "", false
	if ok || isMark(p.w(i)) {
		if !ok {
			j = i
		}
		switch {
		case isMark(p.w(j)):
			mark = p.w(j)
			j++
			if isDash(p.w(j)) && p.w(j+1) == mark {
				j++
			}
			if k, ok := p.said(j, "to|and "+mark, mark, "to next "+mark, "to second|2nd "+mark); ok {
				j = k
			}
			if k, ok := p.words(j, "continuously", "continually", "always", "all the time"); ok { // as far as what follows leaves room
				j = k
			}
		case p.w(j) == "asterisk" || p.w(j) == "asterisks" || p.w(j) == "star" || p.w(j) == "stars" || p.w(j) == "asterix":
			mark = "*"
			if len(b.stars) > 0 {
				mark = b.stars[len(b.stars)-1].mark
			}
			j++
		case openers[p.w(j)] != "": // rep between [ ]
			k := j + 1
			if p.w(k) == openers[p.w(j)] {
				k++
			}
			mark, j = "[", k
		case p.w(p.skipWords(j, "the")) == "beg" || p.w(p.skipWords(j, "the")) == "start":
			j = p.skipWords(j, "the") + 1
			if k, ok := p.words(j, "of row", "of rnd"); ok {
				j = k
			}
			mark = "beg"
		default:
			if isMark(p.w(i)) {
				break
			}
			return start, false
		}
	} else if k, ok := p.otherNeedle(i); ok { // "…, k1; repeat on second needle"
		j, mark = k, "beg"
		if len(b.stars) > 0 {
			mark = b.stars[len(b.stars)-1].mark
		}
		if _, q, ok := p.times(k); ok {
			j = q
		}
		onceMore = true
	} else {
		// "rep to end", "rep 3 times more": all since the asterisk, or the row so far
		if _, _, ok := p.target(i); !ok {
			if _, _, ok := p.times(i); !ok {
				return start, false
			}
		}
		j = i
		mark = "beg"
		if len(b.stars) > 0 {
			mark = b.stars[len(b.stars)-1].mark
		}
	}
	if k, ok := p.otherNeedle(p.skipWords(j, "again")); ok { // "rep from * for N2"
		j, onceMore = k, true
	}
	for p.w(j) == "," {
		j++
	}
	at, found := 0, mark == "beg"
	for k := len(b.stars) - 1; k >= 0; k-- {
		if b.stars[k].mark == mark {
			at, found = b.stars[k].at, true
			b.stars = b.stars[:k]
			break
		}
	}
	if mark == "[" && len(b.ops) > 0 {
		at, found = len(b.ops)-1, true
	}
	if !found {
		// a repeat may refer to an asterisk that is the last opened of another look
		if len(b.stars) > 0 {
			at = b.stars[len(b.stars)-1].at
			b.stars = b.stars[:len(b.stars)-1]
			p.addf("asterisk-other", p.span(start, j), "“%s” is repeated from, but another sign opens the repeat", mark)
		} else {
			p.addf("asterisk-missing", p.span(start, j), "“%s” is repeated from, but nothing before it is marked so; the whole row so far is taken", mark)
		}
	}
	if at >= len(b.ops) {
		p.addf("repeat-empty", p.span(start, j), "the repeat holds no stitches")
		t, k, ok := p.target(j)
		if !ok {
			t, k, ok = p.times(j)
		}
		_ = t
		if ok {
			j = k
		}
		return j, true
	}
	body := append([]Op(nil), b.ops[at:]...)
	sinceBound(body)
	r := &Repeat{Body: body, Mark: mark}
	if q := p.skipWords(j, "the"); q > j && hasWord(p, q, "rnd", "row") && (q+1 >= len(p.toks) || p.w(q+1) == ".") { // "repeat *to* the round"
		r.To, j = Target{Kind: ToEnd, Span: p.span(j, q+1)}, q+1
	} else if k, ok := p.words(j, "on|for|over|with|across each|every|all other|rem|following? needle|dpns|dpn", "on|over|across other|rem 3|three|2|two needle|dpns"); ok { // "repeat from * on every needle"
		r.To, j = Target{Kind: ToEnd, Span: p.span(j, k)}, k
	} else if onceMore {
		r.To = Target{Kind: TimesMore, N: N(1), Span: p.span(start, j)}
	} else if t, k, ok := p.target(j); ok {
		r.To, j = t, k
		if t2, k2, ok := p.times(k); ok && false {
			_, j = t2, k2
		}
	} else if t, k, ok := p.times(j); ok {
		r.To, j = t, k
		if k, ok := p.otherNeedle(j); ok { // "once more on second circular"
			j = k
		}
		if t.Kind == TimesInAll && t.N.Single() && t.N.For(0) == 1 { // "rep from * once": it was worked already
			r.To.Kind = TimesMore
		}
	}
	r.Span = SpanOf(body[0]).Cover(p.span(start, j))
	b.ops = append(b.ops[:at], r)
	b.clause = len(b.ops)
	return p.lastRepeat(b, r, j), true
}

// lastRepeat reads ", ending last repeat k1 instead of k6" behind a repeat.
func (p *parser) lastRepeat(b *bodyState, r *Repeat, i int) int {
	j := i
	for p.w(j) == "," || p.w(j) == ";" || p.w(j) == "and" || p.w(j) == "–" || openers[p.w(j)] != "" && (p.w(j+1) == "ending" || p.w(j+1) == "end" || p.w(j+1) == "omitting" || p.w(j+1) == "omit") {
		j++
	}
	if k, ok := p.words(j, "omitting|omit", "ending|end last rep omitting"); ok {
		if q, ok := p.words(k, "last"); ok {
			k = q
		}
		n := len(b.ops)
		if q, ok := p.op(b, k); ok && len(b.ops) > n {
			r.Instead = append([]Op(nil), b.ops[n:]...)
			b.ops = b.ops[:n]
			r.Last = []Op{}
			if q2, ok := p.words(q, "at end of last rep", "on last rep", "in last rep", "of last rep", "at end", "from last rep", "at end of row"); ok {
				q = q2
			}
			if hasWord(p, q, "as", "since", "because") || p.w(q) == "," && hasWord(p, q+1, "as", "since", "because") { // "as this is the beginning of the rnd"
				q = p.skipTo(q+1, ".", ";", ")")
			}
			return q
		}
	}
	k, ok := p.words(j, "ending|end|finishing|finish last|final rep with|in|at|on", "ending|end|finishing|finish last|final rep", "last rep ends|end with?", "on last rep", "in last rep", "working last rep as?")
	if !ok {
		return i
	}
	if p.w(k) == "," {
		k++
	}
	n := len(b.ops)
	q, _ := p.opsUntil(b, k, "instead", "in place", ".", ";", ")")
	if len(b.ops) == n {
		return i
	}
	r.Last = append([]Op(nil), b.ops[n:]...)
	b.ops = b.ops[:n]
	if q2, ok := p.words(q, "instead of", "in place of", "rather than"); ok {
		n := len(b.ops)
		q, _ = p.opsUntil(b, q2, ".", ";", ")")
		r.Instead = append([]Op(nil), b.ops[n:]...)
		b.ops = b.ops[:n]
	} else if q2, ok := p.words(q, "instead"); ok {
		q = q2
	}
	if p.w(q) == ")" {
		q++
	}
	r.Span = r.Span.Cover(p.span(j, q))
	return q
}

func (p *parser) opsUntil(b *bodyState, i int, stops ...string) (int, bool) {
	for i < len(p.toks) {
		for _, s := range stops {
			if p.w(i) == strings.Fields(s)[0] {
				return i, true
			}
		}
		if p.w(i) == "," || p.w(i) == "and" || p.w(i) == "the" {
			i++
			continue
		}
		if _, _, ok := p.stated(i); ok {
			return i, true
		}
		j, ok := p.op(b, i)
		if !ok || j <= i {
			return i, false
		}
		i = j
	}
	return i, true
}

// ending reads "ending k2", "end with p2": what is worked after the last repeat.
func (p *parser) ending(b *bodyState, i int) (int, bool) {
	if len(b.ops) == 0 {
		return i, false
	}
	if r, ok := b.ops[len(b.ops)-1].(*Repeat); ok {
		if j := p.lastRepeat(b, r, i); j > i {
			return j, true
		}
	}
	j, ok := p.words(i, "ending|end|ends|finishing|finish|terminating row|rnd? with|by|in", "ending|end|ends")
	if !ok || p.w(j) == "of" || p.w(j) == "last" || p.w(j) == "here" {
		return i, false
	}
	if p.opStarts(j) { // "rep from * across, end k1": as far as what follows leaves room
		switch o := b.ops[len(b.ops)-1].(type) {
		case *Repeat:
			if o.To.Kind == ToEnd {
				o.To.Kind = ToRest
			}
		case *Until:
			if o.To.Kind == ToEnd {
				o.To.Kind = ToRest
			}
		}
	}
	return j, true
}

// opened says that the mark opens a repeat of this row that is not yet ended.
func (b *bodyState) opened(mark string) bool {
	for _, s := range b.stars {
		if s.mark == mark {
			return true
		}
	}
	return false
}

func isMark(s string) bool {
	return s != "" && (strings.Trim(s, "*") == "" || strings.Trim(s, "†") == "" || strings.Trim(s, "‡") == "" || s == "§" || s == "#" || strings.Trim(s, "+") == "")
}
