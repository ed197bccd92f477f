package sizing

import (
	"fmt"
	"slices"
	"strings"
)

// EvenWording says how a row of even events is written.
type EvenWording struct {
	Plain string // how plain stitches are worked: "" is "k"; "%" stands for the number in "work % sts in patt"
	Star  bool   // "*m1, k7; rep from * 8 times more" where every size repeats it; else "[m1, k7] 9 times"
}

// Write writes the row for all sizes with one structure, numbers by size:
// "[K11 (12, 13), m1] 10 times, k10 (11, 12)." or, with half gaps at the edges,
// "K6, [m1, k13] 3 times, m1, k6." A bracket that a size does not use has 0
// times. Sizes without events are left out of Only and have "-". The error says
// that there is nothing to write.
func (p Evenly) Write(rows []EvenRow, w EvenWording) (Written, error) {
	var out Written
	for i, e := range rows {
		if e.Events > 0 {
			out.Only = append(out.Only, i)
		}
	}
	if len(out.Only) == 0 {
		return Written{}, fmt.Errorf("no size has anything to spread: give at least one event")
	}
	if len(out.Only) == len(rows) {
		out.Only = nil
	}
	part := func(f func(EvenRow) int) []int { // Skip for sizes without events
		v := make([]int, len(rows))
		for i, e := range rows {
			if v[i] = Skip; e.Events > 0 {
				v[i] = f(e)
			}
		}
		return v
	}
	tail := part(func(e EvenRow) int { return e.Tail })
	var words []string
	if p.Convention == HalfEdges {
		words = append(words, w.plain(part(func(e EvenRow) int { return e.Lead })))
		for _, c := range gapColumns(rows, func(e EvenRow) []Gap { return e.Inner }) {
			words = append(words, w.bracket(c, p.Event.Text, w.plain(c.every)))
		}
		words = append(words, p.Event.Text)
	} else {
		for _, c := range gapColumns(rows, EvenRow.closed) {
			words = append(words, w.bracket(c, w.plain(c.every), p.Event.Text))
		}
	}
	words = append(words, w.plain(tail))
	words = slices.DeleteFunc(words, func(s string) bool { return s == "" })
	out.Shape = upperFirst(strings.Join(words, ", ")) + "."
	return out, nil
}

// closed gives the gaps that an event closes: all but the tail.
func (e EvenRow) closed() []Gap {
	if e.Events == 0 {
		return nil
	}
	if len(e.Inner) > 0 && e.Inner[0].Plain == e.Lead {
		out := slices.Clone(e.Inner)
		out[0].Times++
		return out
	}
	return append([]Gap{{e.Lead, 1}}, e.Inner...)
}

// gapColumns lays the gaps of all sizes side by side, as columns do for runs.
func gapColumns(rows []EvenRow, gaps func(EvenRow) []Gap) []column {
	ss := make([]Schedule, len(rows))
	all := make([][]Run, len(rows))
	for i, e := range rows {
		ss[i] = Schedule{First: e.Events, Tail: i} // First tells columns whether the size has events
		for _, g := range gaps(e) {
			all[i] = append(all[i], Run{g.Plain, g.Times})
		}
	}
	return columns(ss, func(s Schedule) []Run { return all[s.Tail] })
}

// plain writes "k11 (12, 13)", "" for no stitches.
func (w EvenWording) plain(v []int) string {
	if !slices.ContainsFunc(v, func(n int) bool { return n > 0 }) {
		return ""
	}
	how := w.Plain
	if how == "" {
		how = "k"
	}
	if strings.Contains(how, "%") {
		return strings.Replace(how, "%", Vector(v), 1)
	}
	return how + Vector(v)
}

// bracket writes "[k11, m1] 10 times" of one column.
func (w EvenWording) bracket(c column, first, second string) string {
	s := first
	if s == "" || second == "" {
		s += second
	} else {
		s += ", " + second
	}
	times := Vector(c.times)
	if w.Star && !slices.ContainsFunc(c.times, func(n int) bool { return n < 2 }) {
		more := slices.Clone(c.times)
		for i := range more {
			more[i]--
		}
		v := Vector(more)
		return "*" + s + "; rep from * " + v + pick(v == "1", " time", " times") + " more"
	}
	if times == "1" {
		return s
	}
	return "[" + s + "] " + times + " times"
}

// upperFirst makes the first letter a capital, behind a bracket or star too.
func upperFirst(s string) string {
	for i, r := range s {
		if r >= 'a' && r <= 'z' {
			return s[:i] + strings.ToUpper(string(r)) + s[i+1:]
		}
		if r != '[' && r != '*' {
			break
		}
	}
	return s
}
