package notation

import "strings"

// This file reads the instructions of a line, sentence by sentence.

// walk goes through the sentences of a statement, in the order in which their readers are asked.
type walk struct {
	r    *reader
	p    *parser
	line int
	only []int // the sizes the sentences are for, nil for all
}

// sentences reads the instructions of one line from i on.
func (r *reader) sentences(p *parser, i, line int) {
	w := &walk{r: r, p: p, line: line}
	for guard := 0; i < len(p.toks) && guard < maxToks; guard++ {
		i = w.sentence(i)
	}
}

// sentence reads what stands at i and tells where the next begins. A reader before another wins: what is particular
// stands above what is general.
func (w *walk) sentence(i int) int {
	for _, read := range [...]func(*walk, int) (int, bool){(*walk).lead, (*walk).opens} {
		if j, ok := read(w, i); ok {
			return j
		}
	}
	end := w.p.sentenceEnd(i)
	for _, read := range [...]func(*walk, int, int) (int, bool){(*walk).begins, (*walk).repeats, (*walk).works, (*walk).sets, (*walk).rowOrCount} {
		if j, ok := read(w, i, end); ok {
			return j
		}
	}
	return w.keep(i, end)
}

func (w *walk) add(it Item) { w.r.ms.Items = append(w.r.ms.Items, it) }

// addOnly adds what is worked in the sizes that the sentence is for.
func (w *walk) addOnly(it Item) {
	switch it := it.(type) {
	case *Straight:
		it.Only = w.only
	case *RepRows:
		it.Only = w.only
		w.r.rowsOfLike(it)
	case *Shape:
		it.Only = w.only
		besideShape(lastItem(w.r.ms.Items), it)
	}
	w.add(it)
}

// addRow adds a row worked in those sizes, with what its words from j on say of working it again, and gives where they end.
func (w *walk) addRow(row *Row, j int) int {
	row.Only = w.only
	w.r.addRow(row, w.p)
	return w.r.again(w.p, j)
}

// keep takes a sentence that nothing else has read: up to an "and repeat", as far as the count behind it, or whole as
// words, with a finding where stitches may have been told in it.
func (w *walk) keep(i, end int) int {
	r, p := w.r, w.p
	if k := p.thenRepeat(i, end); k > i && r.begun {
		odd := !harmless(p, i)
		w.add(&Prose{Text: strings.TrimSpace(p.raw(i, k)), Odd: odd, Span: p.span(i, k)})
		if odd {
			p.addf("line-not-understood", p.span(i, k), "“%s” is kept as written; nothing was worked from it", clip(p.raw(i, k)))
		}
		return k + 1
	}
	if end <= i {
		end = i + 1
	}
	for k := i + 1; k < end; k++ { // what stands behind a semicolon may be an instruction
		if p.w(k) == ";" {
			end = k
			break
		}
	}
	for k := i; k < end; k++ { // "worked back and forth over 28 sts"
		if n, _, ok := p.overNext(k); ok {
			p.over = n
			break
		}
	}
	if w.countsSide(i, end) {
		return end
	}
	p.miscounts(i, end)
	odd := r.begun && !harmless(p, i)
	if s, k, ok := p.shapesTowards(i, end); ok && r.begun {
		w.addOnly(s)
		return k
	}
	if r.begun {
		if st, k, ok := p.countBehind(i, end); ok { // not understood, but it tells where it ends
			w.add(&Shape{Do: "towards", Until: st[0].N, Words: p.raw(i, k), Only: w.only, Unworked: true, Span: p.span(i, k)})
			p.addf("line-not-understood", p.span(i, end), "“%s” is not worked; the count behind it is taken", clip(p.raw(i, end)))
			return k
		}
	}
	if r.begun && odd && p.tellsShaping(i, end) {
		if st, k, ok := p.stated(end); ok && st[0].Kind == CountAll && (!st[0].N.Single() || p.sizes == 1) && p.hasSts(end, k) { // its count is a sentence of its own
			w.add(&Shape{Do: "towards", Until: st[0].N, Words: p.raw(i, k), Only: w.only, Unworked: true, Span: p.span(i, k)})
			p.addf("line-not-understood", p.span(i, end), "“%s” is not worked; the count behind it is taken", clip(p.raw(i, end)))
			return k
		}
	}
	unworked := odd && (p.tellsShaping(i, end) || p.tellsTimes(i) || p.bareCount(i, end))
	w.add(&Prose{Text: strings.TrimSpace(p.raw(i, end)), Odd: odd, Unworked: unworked, Span: p.span(i, end)})
	switch {
	case unworked:
		p.addf("sentence-not-worked", p.span(i, end), "“%s” is not understood, and no stitch was worked from it; the counts behind it may be wrong", clip(p.raw(i, end)))
	case odd:
		p.addf("line-not-understood", p.span(i, end), "“%s” is kept as written; nothing was worked from it", clip(p.raw(i, end)))
	}
	return end
}

// countsSide takes a bare count under the head of a side that is gone on with, "Let the front rest and continue with the
// back. BACK: 80 sts.", for how many stitches that side has.
func (w *walk) countsSide(i, end int) bool {
	p := w.p
	for p.w(i) == "=" || p.w(i) == ":" { // "BACK" above "= 78 sts."
		i++
	}
	n, k, ok := p.num(i)
	if !ok || p.w(k) != "st" || k+1 < end {
		return false
	}
	headed := false
	for x := len(w.r.ms.Items) - 1; x >= 0; x-- {
		switch it := w.r.ms.Items[x].(type) {
		case *Blank:
			continue
		case *Heading:
			headed = true
			continue
		case *Prose:
			if low := strings.ToLower(it.Text); headed && strings.Contains(low, "separately") && strings.Contains(low, "back") && strings.Contains(low, "front") {
				w.add(&HoldAll{Keep: n, Words: p.raw(i, end), Span: p.span(i, end)})
				return true
			}
		case *HoldAll:
			if !it.Side || it.N.Given() || it.Keep.Given() {
				return false
			}
			it.Side, it.Keep = false, n
			w.add(&Prose{Text: strings.TrimSpace(p.raw(i, end)), Span: p.span(i, end)})
			return true
		}
		return false
	}
	return false
}

// thenRepeat finds the "and" behind a few words that work nothing, before rows repeated:
// "Tick each row off and repeat Rows 1–8". It is i where there is none.
func (p *parser) thenRepeat(i, end int) int {
	q := *p
	q.quiet = true
	for k := i; k < end && k < i+9; k++ {
		if p.at(k).Kind == Number || p.at(k).Kind == Punct && p.w(k) != "&" && p.w(k) != "," {
			return i
		}
		if w := p.w(k); (w == "and" || w == "&" || w == "then") && p.w(k+1) == "rep" {
			if _, _, ok := q.repRows(k + 1); ok {
				return k
			}
		}
	}
	return i
}

// repStar reads "Rep from * to * 6 times more" standing as a sentence.
func (p *parser) repStar(i int) (*RepRows, int, bool) {
	start := i
	j, ok := p.words(i, "rep from|between", "rep")
	if !ok || !isMark(p.w(j)) {
		return nil, i, false
	}
	mark := p.w(j)
	j++
	if w := p.w(j); (w == "to" || w == "and" || isDash(w)) && isMark(p.w(j+1)) {
		j += 2
	} else if isMark(w) {
		j++
	}
	t, k, ok := p.times(j)
	u, k2, okU := p.untilCond(j)
	if !ok && !okU {
		return nil, start, false
	}
	r := &RepRows{Ref: RowRef{Star: mark}, Words: p.raw(start, j)}
	if ok {
		r.Times, j = t, k
	} else {
		r.Until, j = u, k2
	}
	if st, q, ok := p.stated(j); ok {
		r.Stated, j = st, q
	}
	if p.w(j) == "." {
		j++
	}
	r.Span = p.span(start, j)
	return r, j, true
}

// again adds what a row is worked in all, "for 20 rounds", as rows repeated.
func (r *reader) again(p *parser, i int) int {
	if j, ok := p.forLength(i); ok {
		r.ms.Items = append(r.ms.Items, &RepRows{Ref: RowRef{Last: 1}, Until: Until_{Length: p.bracketed(p.raw(i+1, j))}, Words: p.raw(i, j), Span: p.span(i, j)})
		return j
	}
	n, j, ok := p.forRows(i)
	if !ok {
		return i
	}
	more := Num{Span: n.Span}
	for _, v := range n.Vals {
		more.Vals = append(more.Vals, max(v-1, 0))
	}
	r.ms.Items = append(r.ms.Items, &RepRows{Ref: RowRef{Last: 1}, Times: Target{Kind: TimesMore, N: more, Span: n.Span}, Words: p.raw(i, j), Span: p.span(i, j)})
	return j
}

// unnamedShaping says that what is repeated is "a decrease round", by these words alone.
func unnamedShaping(rr *RepRows) bool {
	switch strings.ToLower(rr.Ref.Words) {
	case "decrease rnd", "decrease round", "decrease row", "dec rnd", "dec round", "dec row", "increase rnd", "increase round", "increase row", "inc rnd", "inc round", "inc row":
		return len(rr.Ref.Numbers) == 0
	}
	return len(rr.Ref.Numbers) == 0 && (strings.HasPrefix(strings.ToLower(rr.Ref.Words), "decreases ") || strings.HasPrefix(strings.ToLower(rr.Ref.Words), "increases ")) // "work the decreases in every round"
}

// givesHead says that a row was given under these words.
func (r *reader) givesHead(words string) bool { return r.rowHeads[headKey(scanLine(words, 1))] }
