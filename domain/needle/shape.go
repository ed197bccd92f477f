package needle

import (
	"fmt"
	"math"
	"regexp"
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// This file works shaping sentences by their counts.

// shape works a shaping sentence by its counts.
func (r *run) shape(it *notation.Shape) {
	name := shapeName(it.Words)
	d := r.sentenceDef(name, it.Span)
	start := make([]*lane, len(r.lanes))
	var ls []*lane
	for i, l := range r.lanes {
		start[i] = l.clone()
		if it.Only != nil && !contains(it.Only, l.size) || r.only != nil && !contains(r.only, l.size) {
			continue
		}
		if it.N.Given() && it.N.For(l.size) == notation.Skip {
			continue
		}
		ls = append(ls, l)
	}
	if it.Do == "towards" {
		r.stepsTowards(it, ls, name)
		r.allWorkedIn(it, ls, name)
		for _, l := range ls {
			want, known := r.towards(it, l)
			if !known {
				continue
			}
			k := indexOf(r.lanes, l)
			before := l.total()
			l.left, l.right = newStack(K(want)), newStack(Lin{})
			if l.cols != nil {
				l.cols.fit(want, 0)
			}
			l.side = ""
			d.entry.Times[k] = 1
			c := Count{want, true}
			d.entry.First[k], d.entry.Last[k], d.entry.Before[k] = c, c, Count{before.D, before.C == 0}
		}
		r.statedAfter(it.Stated, ls, start, it.Span, name)
		return
	}
	ambiguous := it.When.First && it.When.Times.Given() && !it.When.More && it.When.Then == nil
	less := 0
	if ambiguous && it.When.Total {
		less = 1 // in all: the first is one of them
	} else if ambiguous {
		less = r.settleFirst(it, ls, name)
	}
	var bad []*lane
	var why string
	for _, l := range ls {
		k := indexOf(r.lanes, l)
		per := l.places(it) * max(0, it.N.For(l.size))
		sign := 1
		if it.Do == "dec" || it.Do == "bind" {
			sign = -1
		}
		before := l.total()
		events, rows := 0, 0
		var shaped []int // rows, where they are told
		tell := func(first, every, n int) {
			for k := 0; k < min(n, 400) && r.visit != nil || k < min(n, maxRows) && r.watch != nil; k++ {
				shaped = append(shaped, first+k*every)
			}
		}
		plan := &it.When
		firstAt := -1
		for w := plan; w != nil; w = w.Then {
			n, every := w.Next, max(1, r.everyFor(w, l))
			if n > 0 {
				events += n
				if firstAt < 0 {
					firstAt = rows + 1
				}
				tell(rows+1, 1, n)
				rows += n
			}
			if w.Times.Given() && w.Times.For(l.size) == notation.Skip || w.EveryFor(l.size) == notation.Skip {
				continue
			}
			if w.Every > 0 {
				t := 0
				switch {
				case w.Times.Given():
					t = max(0, w.Times.For(l.size)-less)
				case it.Until.Given() && per > 0 && w.Then == nil:
					diff := (l.total().D + sign*events*per - it.Until.For(l.size)) * -sign
					if diff%per == 0 && diff >= 0 {
						t = diff / per
					} else {
						bad = append(bad, l)
						why = fmt.Sprintf("from %s, %d at a time, %s are never reached", sts(l.total()), per, sts(K(it.Until.For(l.size))))
						t = max(0, diff/per)
					}
				default:
					t = r.byStated(it, l, per*sign, events)
				}
				if t > maxRows {
					t = maxRows
				}
				events += t
				tell(rows+every, every, t)
				if firstAt < 0 && t > 0 {
					firstAt = rows + every
				}
				rows += t * every
			}
		}
		delta := sign * events * per
		after := before.plus(K(delta))
		if after.C == 0 && after.D < 0 {
			bad = append(bad, l)
			why = fmt.Sprintf("%s are to go, only %s are on the needle", sts(K(-delta)), sts(before))
			after = K(0)
		}
		firstCount := before.plus(K(sign * per))
		if events == 0 || firstCount.C == 0 && firstCount.D < 0 {
			firstCount = after
		}
		if r.visit != nil && l.cols != nil && !it.Same {
			r.traceShape(it, l, shaped, rows)
		}
		if !it.Same {
			r.tellShape(l, shaped, rows, sign*per)
		}
		l.left, l.right = newStack(after), newStack(Lin{})
		if l.cols != nil {
			l.cols.fit(after.D, 0)
		}
		l.started = true
		if !it.Same {
			l.rows += rows
			if rows%2 == 1 {
				r.flip(l)
			}
			if it.When.Length != "" {
				l.side = "" // how many rows lie between is not told
			}
		}
		e := d.entry
		if rows > 0 || it.Same {
			e.Times[k] = max(rows, 1)
			e.First[k], e.Last[k], e.Before[k] = Count{firstCount.D, firstCount.C == 0}, Count{after.D, after.C == 0}, Count{before.D, before.C == 0}
			e.Side[k] = ""
		}
	}
	if len(bad) > 0 {
		msg := why
		msg = r.atSizes(bad, why)
		r.add(finding.Finding{Code: "count-never-reached", Span: it.Span, Row: name, Sizes: r.sizesOf(bad), Message: msg})
		if r.silent && r.fail == nil {
			r.fail = &failure{code: "count-never-reached"}
		}
	}
	r.statedAfter(it.Stated, ls, start, it.Span, name)
}

// everyFor is how many rows lie from one row of a shaping to the next at l's size: as many as are told, or where a
// length is told, as many as come nearest to it by the gauge, an even number; two where no gauge is told.
func (r *run) everyFor(w *notation.When, l *lane) int {
	if w.Length != "" {
		if cm := centimetresFor(w.Length, l.size, len(r.ms.Sizes)); cm > 0 && r.rowsPer10 > 0 {
			return max(2, 2*int(math.Round(cm*r.rowsPer10/20)))
		}
	}
	return w.EveryFor(l.size)
}

// byStated works out how often from the count stated behind.
func (r *run) byStated(it *notation.Shape, l *lane, per, events int) int {
	for _, s := range it.Stated {
		if s.Kind == notation.CountAll && per != 0 {
			diff := s.N.For(l.size) - l.total().D - events*per
			if diff%per == 0 && diff/per >= 0 {
				return diff / per
			}
		}
	}
	return 1
}

// places is at how many places a row of a shaping changes the work. At the markers, that is twice as many as hang there;
// one that hangs where the round begins is among them where the others are odd in number.
func (l *lane) places(it *notation.Shape) int {
	if it.At != "markers" {
		return it.Places
	}
	n := 0
	for _, s := range []stack{l.left, l.right} {
		for _, b := range s.bound {
			if b&marker != 0 {
				n++
			}
		}
	}
	if n%2 == 1 && l.round {
		n++
	}
	return it.Places * max(1, n)
}

// settleFirst: "next and every foll 6th row 5 times": 5 after the first, or 5 in all.
func (r *run) settleFirst(it *notation.Shape, ls []*lane, name string) int {
	fits := func(less int) bool {
		for _, l := range ls {
			t := it.When.Times.For(l.size)
			if t < 0 {
				continue
			}
			per := l.places(it) * max(0, it.N.For(l.size))
			if it.Do == "dec" || it.Do == "bind" {
				per = -per
			}
			got := l.total().D + per*(it.When.Next+t-less)
			for _, s := range it.Stated {
				if s.Kind == notation.CountAll && s.N.For(l.size) != got {
					return false
				}
			}
			if it.Until.Given() && it.Until.For(l.size) != got {
				return false
			}
		}
		return true
	}
	words := fmt.Sprintf("“next and every following … %s times” may count the first row or not", numWords(it.When.Times))
	a, b := fits(0), fits(1)
	switch {
	case a && !b:
		r.add(finding.Finding{Code: "ambiguous-times", Span: it.Span, Row: name, Message: words + "; the count stated behind counts it not"})
	case b && !a:
		r.add(finding.Finding{Code: "ambiguous-times", Span: it.Span, Row: name, Message: words + "; the count stated behind counts it"})
		return 1
	default:
		if len(ls) > 0 {
			l := ls[0]
			per := l.places(it) * max(0, it.N.For(l.size))
			if it.Do == "dec" || it.Do == "bind" {
				per = -per
			}
			t := it.When.Times.For(l.size)
			words += fmt.Sprintf(": %s or %s", sts(K(l.total().D+per*(t+1))), sts(K(l.total().D+per*t)))
		}
		r.add(finding.Finding{Code: "ambiguous-times", Span: it.Span, Row: name, Message: words})
	}
	return 0
}

func shapeName(words string) string {
	f := strings.Fields(words)
	if len(f) > 8 {
		f = f[:8]
	}
	return strings.TrimRight(strings.Join(f, " "), ".,;:")
}

// towards is where a sentence of shaping that goes on as it was begun comes to: what it says itself, or as many
// passes of the rows it names on from here.
func (r *run) towards(it *notation.Shape, l *lane) (want int, ok bool) {
	t := l.total()
	if n := r.passesOf(it, l); n >= 0 && t.C == 0 {
		if defs := r.refs(it.Rep); defs != nil {
			return max(0, t.D+n*r.passChange(defs, l)), true
		}
	}
	want = it.Until.For(l.size)
	return want, it.Until.Given() && want >= 0
}

// passesOf is how often a sentence has rows repeated with a change each time; -1 where it does not say.
func (r *run) passesOf(it *notation.Shape, l *lane) int {
	if it.Rep == nil {
		return -1
	}
	n := it.Rep.Times.N.For(l.size)
	if it.Rep.Times.Kind == notation.TimesTotal {
		n--
	}
	return n
}

// asBegun are words by which shaping goes on by the same number of stitches each time.
var asBegun = regexp.MustCompile(`(?i)\b(?:in (?:this|the same) (?:way|manner)|like this|thus|as (?:set|established|est|before|begun)|(?:one|1) (?:st|stitch) (?:less|fewer)|(?:one|1) (?:less|fewer) (?:st|stitch))\b`)

// otherSteps are words by which it may not.
var otherSteps = regexp.MustCompile(`(?i)\b(?:then|k2tog|ssk|twice|every rnd|every round|every row|double)\b`)

// stepBefore is by how many stitches the rows shaped last before a sentence changed, where they all changed by
// as many; 0 where they did not.
func (r *run) stepBefore(l *lane) int {
	step, k := 0, indexOf(r.lanes, l)
	for i, seen := len(r.history)-1, 0; i >= 0 && seen < 6 && i >= len(r.history)-12; i-- {
		e := r.history[i].entry
		if e == nil || !e.First[k].Known || !e.Before[k].Known {
			return 0
		}
		d := e.First[k].N - e.Before[k].N
		if d == 0 {
			continue
		}
		if seen++; step != 0 && d != step {
			break
		}
		step = d
	}
	return step
}

// oneEdge names the edge at which a shaping goes on that had another beside it.
var oneEdge = regexp.MustCompile(`(?i)\bat (?:the )?(?:raglan|neck|armhole|front|side|sleeve) edge\b`)

// stepsTowards checks that so many stitches a time come to where a sentence says that they end:
// "decreasing 4 sts every round until 18 sts are left".
func (r *run) stepsTowards(it *notation.Shape, ls []*lane, name string) {
	var bad []*lane
	why := ""
	for _, l := range ls {
		n, want, t := it.N.For(l.size), it.Until.For(l.size), l.total()
		if !it.N.Given() && it.Rep == nil && asBegun.MatchString(it.Words) && !otherSteps.MatchString(it.Words) && !oneEdge.MatchString(it.Words) {
			n = r.stepBefore(l)
			if n < 0 && want > t.D || n > 0 && want < t.D {
				n = 0
			}
			n = max(n, -n)
		}
		if n < 2 || !it.Until.Given() || want < 0 || t.C != 0 || l.tainted || l.dead || mod(t.D-want, n) == 0 {
			continue
		}
		if bad = append(bad, l); why == "" {
			why = fmt.Sprintf("%s are never reached from %s by %d at a time", sts(K(want)), sts(t), n)
		}
	}
	if len(bad) > 0 {
		r.add(finding.Finding{Code: "count-never-reached", Span: it.Span, Row: name, Sizes: r.sizesOf(bad), Message: r.atSizes(bad, why)})
	}
}
