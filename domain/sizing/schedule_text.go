package sizing

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// CountWord says how "next and every foll 6th row" is counted.
type CountWord int

const (
	// CountMore writes "5 times more", the first not among them. It has one reading.
	CountMore CountWord = iota
	// CountInAll writes "6 times in all", the first among them. It has one reading.
	CountInAll
	// CountBare writes "5 times", as much of the trade does, meaning five after the
	// first. Readers take it both ways, and the proof says so.
	CountBare
)

// Wording says how a schedule is written. Give Do for a sentence ("Dec 1 st at
// each end"), or Name for a row that stands written out above ("Dec row").
type Wording struct {
	Do    string // "Dec 1 st at each end"; used where Name is empty
	Name  string // "Dec row"
	Round bool   // rnds, not rows
	Count CountWord
	UK    bool // "every foll alt row", not "every other row"
}

// Written is a schedule in words for all sizes, in the order it is worked. With
// Name the row itself stands between Before and Shape.
type Written struct {
	Before string // "Work 5 (3, 3) rows even."; "" where the shaping begins at once
	Shape  string // the shaping; "" where a Name is worked once by every size
	After  string // "Work 3 rows even."; "" without
	Only   []int  // indexes of the sizes that shape at all; nil for all of them
	OneRun bool   // one wording serves all sizes: "next and every foll 6th row"
}

// String joins the parts in one line.
func (w Written) String() string {
	return strings.Join(slices.DeleteFunc([]string{w.Before, w.Shape, w.After}, func(s string) bool { return s == "" }), " ")
}

// Write writes the schedules of all sizes with one structure. Where one interval
// serves every size it is "next and every foll 6th row 5 (5, 6) times more"; else
// two runs with a vector each, 0 for a run that a size does not use. Intervals
// differ between sizes only where they must: "every 8th (6th, 6th) row". A size
// without events has "-" in the shaping and its rows in After. Errors: no size,
// no event in any size, or neither Do nor Name.
func (w Wording) Write(ss []Schedule) (Written, error) {
	var out Written
	shaping := 0
	var before, after []int
	for i, s := range ss {
		before, after = append(before, max(0, s.First-1)), append(after, s.Tail)
		if s.First > 0 {
			shaping++
			out.Only = append(out.Only, i)
		}
	}
	switch {
	case shaping == 0:
		return Written{}, fmt.Errorf("no size has any shaping to write: give at least one event")
	case shaping == len(ss):
		out.Only = nil
	}
	if w.Do == "" && w.Name == "" {
		return Written{}, fmt.Errorf("shaping has no words: say what is done (“Dec 1 st at each end”) or name its row (“Dec row”)")
	}
	out.After = w.even(after)
	if w.Name != "" {
		out.Before, out.Shape = w.even(before), w.again(ss)
		return out, nil
	}
	if cols, ok := w.folded(ss); ok {
		out.Shape = w.Do + " of " + w.runs(cols, "", ", then ") + "."
		return out, nil
	}
	out.Before = w.even(before)
	cols := columns(ss, Schedule.runsAfter)
	switch len(cols) {
	case 0:
		out.Shape = w.Do + " of next " + w.noun() + "."
	case 1:
		out.OneRun = true
		out.Shape = w.Do + " of next and " + w.foll(cols[0]) + "."
	default:
		out.Shape = w.Do + " of next " + w.noun() + ", then on " + w.runs(cols, "", ", then on ") + "."
	}
	return out, nil
}

// again writes "Rep Dec row every 6th row 5 (4, 0) times more, then every …".
func (w Wording) again(ss []Schedule) string {
	cols := columns(ss, Schedule.runsAfter)
	if len(cols) == 0 {
		return ""
	}
	return "Rep " + w.Name + " " + w.runs(cols, pick(w.Count == CountBare, "", " more"), ", then ") + "."
}

// folded gives the columns with the first event among them, where every size
// begins exactly one interval in and not at once.
func (w Wording) folded(ss []Schedule) ([]column, bool) {
	for _, s := range ss {
		if _, ok := s.WholeRuns(); !ok || s.First == 1 {
			return nil, false
		}
	}
	cols := columns(ss, func(s Schedule) []Run { r, _ := s.WholeRuns(); return r })
	return cols, len(cols) <= 2
}

// foll writes "every foll 6th row 5 (5, 6) times more" of one column.
func (w Wording) foll(c column) string {
	times := c.times
	word := "times more"
	switch w.Count {
	case CountInAll:
		times = slices.Clone(times)
		for i := range times {
			if times[i] != Skip {
				times[i]++
			}
		}
		word = "times in all"
	case CountBare:
		word = "times"
	}
	if len(times) > 0 && Vector(times) == "1" {
		word = strings.Replace(word, "times", "time", 1)
	}
	return "every foll " + w.interval(c.every) + " " + Vector(times) + " " + word
}

// runs writes the columns with a word between them.
func (w Wording) runs(cols []column, more, then string) string {
	var words []string
	for _, c := range cols {
		v := Vector(c.times)
		words = append(words, "every "+w.interval(c.every)+" "+v+pick(v == "1", " time", " times")+more)
	}
	return strings.Join(words, then)
}

// interval writes "6th row", "8th (6th, 6th) row", "other row", "row".
func (w Wording) interval(every []int) string {
	words := make([]string, len(every))
	for i, n := range every {
		words[i] = ordinal(n)
	}
	s := bracket(words)
	switch s {
	case "1st":
		return w.noun()
	case "2nd":
		return pick(w.UK, "alt ", "other ") + w.noun()
	}
	return s + " " + w.noun()
}

// even writes "Work 5 (3, 3) rows even.", "" where there are none.
func (w Wording) even(rows []int) string {
	v := Vector(rows)
	if v == "0" || v == "" {
		return ""
	}
	return "Work " + v + " " + w.noun() + pick(v == "1", "", "s") + " even."
}

func (w Wording) noun() string { return pick(w.Round, "rnd", "row") }

// ordinal is "1st", "2nd", "11th", "23rd".
func ordinal(n int) string {
	end := "th"
	if n/10%10 != 1 {
		switch n % 10 {
		case 1:
			end = "st"
		case 2:
			end = "nd"
		case 3:
			end = "rd"
		}
	}
	return strconv.Itoa(n) + end
}

// column is one run for all sizes.
type column struct{ every, times []int }

func (s Schedule) runsAfter() []Run { return s.Runs }

// columns lays the runs of all sizes side by side. Where sizes have two runs and
// all of them together two intervals, each column has one of these; else
// intervals differ by size. A run that a size does not use has 0 times; a size
// without events, Skip.
func columns(ss []Schedule, runs func(Schedule) []Run) []column {
	all := make([][]Run, len(ss))
	var kinds []int
	rising, falling, most := false, false, 0
	for i, s := range ss {
		all[i] = runs(s)
		most = max(most, len(all[i]))
		for j, r := range all[i] {
			if !slices.Contains(kinds, r.Every) {
				kinds = append(kinds, r.Every)
			}
			if j > 0 {
				rising = rising || r.Every > all[i][j-1].Every
				falling = falling || r.Every < all[i][j-1].Every
			}
		}
	}
	slices.SortFunc(kinds, func(a, b int) int {
		if rising {
			return cmp.Compare(a, b)
		}
		return cmp.Compare(b, a)
	})
	shared := most == 2 && len(kinds) == 2 && rising != falling
	cols := make([]column, most)
	for c := range cols {
		cols[c] = column{make([]int, len(ss)), make([]int, len(ss))}
		for i, s := range ss {
			r, used := Run{Every: unused}, false
			switch {
			case shared:
				r.Every = kinds[c]
				if j := slices.IndexFunc(all[i], func(r Run) bool { return r.Every == kinds[c] }); j >= 0 {
					r, used = all[i][j], true
				}
			case c < len(all[i]):
				r, used = all[i][c], true
			}
			if used {
				cols[c].times[i] = r.Times
			} else if s.First == 0 {
				cols[c].times[i] = Skip
			}
			cols[c].every[i] = r.Every
		}
	}
	for c := range cols { // an interval that nobody counts is written as a neighbour's
		fillUnused(cols[c].every)
	}
	return cols
}

// unused marks an interval that no run of its size counts.
const unused = -1

// fillUnused gives unused places the number before them, or behind.
func fillUnused(ns []int) {
	for i := 1; i < len(ns); i++ {
		if ns[i] == unused {
			ns[i] = ns[i-1]
		}
	}
	for i := len(ns) - 2; i >= 0; i-- {
		if ns[i] == unused {
			ns[i] = ns[i+1]
		}
	}
}
