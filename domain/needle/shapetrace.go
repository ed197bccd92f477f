package needle

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"rowproof/domain/notation"
)

// This file tells rows that only a sentence asks for, loop by loop, to those who
// trace a part. What a sentence leaves open is worked as commonly done: decreases
// one stitch in from the edge, leaning with it; increases made in the same place.

// plain is what is worked where nothing else is said: as the pattern stands.
var plain = Event{Kind: Worked, Key: "patt", Class: notation.Patt, In: 1, Out: 1}

// repeated appends n of e.
func repeated(es []Event, e Event, n int) []Event {
	for ; n > 0; n-- {
		es = append(es, e)
	}
	return es
}

// event makes the event of a stitch of the vocabulary.
func event(key string, params ...int) Event {
	s := notation.Standard().Stitch(key)
	in, out := s.Counts(params)
	return Event{Kind: Worked, Key: key, Class: s.Class, Lean: s.Lean, Params: params, In: in, Out: out}
}

// traceShape tells the rows of a shaping sentence: rows in all, shaped in those
// that at lists, counted from 1.
func (r *run) traceShape(it *notation.Shape, l *lane, at []int, rows int) {
	n, by := l.total().D, max(0, it.N.For(l.size))
	side := l.side
	for k := 1; k <= min(rows, 400); k++ {
		row := WorkedRow{Name: shapeName(it.Words), Line: it.Span.Line, Side: side, Round: l.round, Before: n, After: n}
		if l.round {
			row.Side = ""
		}
		if slices.Contains(at, k) {
			es, ok := shapedRow(it, n, by, side == "WS" && !l.round)
			if !ok {
				return
			}
			row.Events = es
			for i := range es {
				row.After += es[i].Out - es[i].In
			}
		} else {
			row.Events = repeated(make([]Event, 0, n), plain, n)
		}
		n = row.After
		r.visit(row)
		side = other(side)
	}
}

// shapedRow works one shaped row on n stitches, by at each place.
func shapedRow(it *notation.Shape, n, by int, ws bool) ([]Event, bool) {
	first, last := event("ssk"), event("ktog", 2)
	if ws { // the row begins at the left edge
		first, last = event("ptog", 2), event("ssp")
	}
	start, end := it.At != "end", it.At == "both" || it.At == "end"
	spread := it.Places > 2 || it.At == "marker" || it.At == "markers" || it.At == ""
	var es []Event
	switch it.Do {
	case "bind":
		if by > n {
			return nil, false
		}
		return repeated(repeated(es, Event{Kind: BoundOff, In: 1}, by), plain, n-by), true
	case "cast":
		return repeated(repeated(es, Event{Kind: CastOnLoop, Out: 1}, by), plain, n), true
	case "dec":
		if spread {
			return spaced(n, it.Places*by, 2, last)
		}
		if !end && it.At != "beg" { // neck, armhole: which edge it is, the words do not tell
			start, end = false, true
		}
		places := 0
		for _, on := range []bool{start, end} {
			if on {
				places++
			}
		}
		rest, edge := n-2*by*places, 1
		if rest < places { // too few for an edge stitch
			edge = 0
		}
		if rest -= edge * places; rest < 0 {
			return nil, false
		}
		if start {
			es = repeated(repeated(es, plain, edge), first, by)
		}
		es = repeated(es, plain, rest)
		if end {
			es = repeated(repeated(es, last, by), plain, edge)
		}
		return es, true
	case "inc":
		m := event("m1")
		if ws {
			m = event("m1p")
		}
		if spread {
			return spaced(n, it.Places*by, 0, m)
		}
		if n < 2 {
			return nil, false
		}
		if !end && it.At != "beg" {
			start, end = false, true
		}
		es = append(es, plain)
		if start {
			es = repeated(es, m, by)
		}
		es = repeated(es, plain, n-2)
		if end {
			es = repeated(es, m, by)
		}
		return append(es, plain), true
	}
	return nil, false
}

// spaced works times of e, which takes in loops each, evenly over n stitches.
func spaced(n, times, in int, e Event) ([]Event, bool) {
	rest := n - times*in
	if rest < 0 || times < 0 {
		return nil, false
	}
	var es []Event
	done := 0
	for k := 1; k <= times; k++ {
		to := rest * (2*k - 1) / (2 * times)
		es = append(repeated(es, plain, to-done), e)
		done = to
	}
	return repeated(es, plain, rest-done), true
}

// traceStraight tells rows that a sentence only counts, with the stitches that
// it says are increased or decreased, evenly, in the last of them.
func (r *run) traceStraight(it *notation.Straight, l *lane, rows int) {
	words := strings.ToLower(it.Words + " " + it.Stitch)
	has := func(list ...string) bool {
		return slices.ContainsFunc(list, func(s string) bool { return strings.Contains(words, s) })
	}
	side := l.side
	n := l.total().D
	for k := 0; k < min(rows, 400); k++ {
		e := plain
		ws := side == "WS" && !l.round
		switch {
		case has("garter", "g st"), strings.HasPrefix(words, "knit"), strings.HasPrefix(words, "k "):
			e = event("k")
			if l.round && k%2 == 1 && has("garter", "g st") {
				e = event("p")
			}
		case strings.HasPrefix(words, "purl"), strings.HasPrefix(words, "p "):
			e = event("p")
		case has("st st", "stockinette", "stocking", "stst"):
			if e = event("k"); ws != (has("reverse", "rev ")) {
				e = event("p")
			}
		case has("seed", "moss"):
			e.Key = "seed"
		}
		row := WorkedRow{Name: shapeName(it.Words), Line: it.Span.Line, Side: side, Round: l.round, Before: n, After: n}
		if l.round {
			row.Side = ""
		}
		row.Events = repeated(make([]Event, 0, n+1), e, n)
		if m := ribWords.FindStringSubmatch(words); m != nil && k == 0 && has("rib") {
			kn, _ := strconv.Atoi(m[1])
			pn, _ := strconv.Atoi(m[2])
			for i := range row.Events {
				if kn+pn > 0 && i%(kn+pn) < kn {
					row.Events[i] = event("k")
				} else {
					row.Events[i] = event("p")
				}
			}
		}
		if c := it.Change.For(l.size); it.Change.Given() && c > 0 && k == min(rows, 400)-1 {
			x, in := event("m1"), 0
			if it.Down {
				x, in = event("ktog", 2), 2
			}
			if es, ok := spaced(n, c, in, x); ok {
				for i := range es {
					if es[i].Key == plain.Key {
						es[i] = e
					}
					row.After += es[i].Out - es[i].In
				}
				row.Events = es
			}
		}
		if m := yarnWords.FindStringSubmatch(it.Words); m != nil {
			row.Events = slices.Insert(row.Events, 0, Event{Kind: YarnChanged, Yarn: m[1]})
		}
		r.visit(row)
		side = other(side)
	}
}

// yarnWords finds the yarn that a sentence asks for: "with B, knit 2 rows".
var yarnWords = regexp.MustCompile(`\b(?:[Ww]ith|[Ii]n|[Uu]sing) ([A-H]|MC|CC)\b`)

// pattRows finds the rows of stitch patterns by their head, for tracing a row
// that works one of another pattern over some of its stitches.
type pattRows map[string]map[int]*notation.Row

func readPattRows(ms *notation.Manuscript) pattRows {
	out := pattRows{}
	section := ""
	for _, it := range ms.Items {
		switch it := it.(type) {
		case *notation.Heading:
			section = strings.ToLower(cleanHeading(it.Text))
			if i := strings.IndexAny(section, "(["); i > 0 { // "Pebble (multiple of 2 sts)"
				section = strings.TrimSpace(section[:i])
			}
		case *notation.Row:
			if out[section] == nil {
				out[section] = map[int]*notation.Row{}
			}
			for _, n := range it.Head.Numbers {
				if out[section][n] == nil {
					out[section][n] = it
				}
			}
		}
	}
	return out
}

// find gives a row by the pattern's name and its number, nil where there is none.
func (p pattRows) find(name, row string) *notation.Row {
	k := strings.ToLower(strings.TrimSpace(name))
	for _, drop := range []string{"the ", " pattern", " patt", " st", " stitch", " chart"} {
		k = strings.TrimSuffix(strings.TrimPrefix(k, drop), drop)
	}
	best := p[k]
	for n, t := range p {
		if best == nil && k != "" && n != "" && (strings.HasPrefix(n, k) || strings.HasPrefix(k, n)) {
			best = t
		}
	}
	d := best[atoi(row)]
	for depth := 0; d != nil && d.As != nil && len(d.As.Numbers) > 0 && depth < 4; depth++ {
		d = best[d.As.Numbers[0]]
	}
	return d
}

// trace has a row of a stitch pattern worked over n stitches by itself.
func (p pattRows) trace(w *worker, name, row string, n, size int) (es []Event, out int, ok bool) {
	d := p.find(name, row)
	if d == nil {
		return nil, 0, false
	}
	c := *w
	c.reading = 0
	if c.within++; c.within > maxPatts {
		return nil, 0, false // a pattern that is worked within itself
	}
	l := newLane(size, K(n))
	l.cols = newColumns(n)
	l.cols.record = true
	if f := c.ops(l, d.Body); f != nil || !l.left.total().zero() {
		return nil, 0, false
	}
	return l.cols.events, l.right.total().D, true
}
