package document

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"rowproof/domain/notation"
	"rowproof/domain/review"
)

// after is what the proof says of one item of the manuscript: the counts when
// it has been worked, and whether they differ from those before it.
type after struct {
	counts  Counts
	changed bool
	skipped []bool // sizes that do not work it
}

// counted is one row of the table of counts.
type counted struct {
	head   string
	counts Counts
}

type countedPart struct {
	name string
	rows []counted
}

// tally joins the report's rows to the manuscript's items by line and name.
type tally struct {
	items map[notation.Item]after
	parts []countedPart
}

// newTally walks the report in order. The report's rows of one line belong to
// the items of that line: rows by their numbers, the rest in turn. Sentences
// that work rows without being one have their counts from the proof by item.
func newTally(ms *notation.Manuscript, rep *review.Report, size int, brackets []Bracket, w Words) *tally {
	t := &tally{items: map[notation.Item]after{}}
	if rep == nil {
		return t
	}
	byLine := map[int][]notation.Item{}
	for _, it := range ms.Items {
		if line := workLine(it); line > 0 {
			byLine[line] = append(byLine[line], it)
		}
	}
	for _, part := range rep.Parts {
		cp := countedPart{name: part.Name}
		var prev Counts
		if part.CastOn != nil {
			prev = pick(intPtrs(part.CastOn), size)
		} else if part.Multiple != nil {
			prev = Counts{Of: part.Multiple.Of, Plus: part.Multiple.Plus}
		}
		if prev.Given() {
			cp.rows = append(cp.rows, counted{w.CastOn, prev})
		}
		used := map[notation.Item]int{}
		said := sentences(ms, part, size)
		counts := map[notation.Item]Counts{}
		for _, s := range said {
			counts[s.item] = s.after
			if _, told := t.items[s.item]; !told && s.after.Given() { // "work as for left front" tells them again
				t.items[s.item] = after{counts: s.after, changed: s.changes()}
			}
		}
		var last Counts // of the row before, when worked for the last time
		for i, row := range part.Rows {
			it := itemOf(row, byLine[row.Line], used)
			if it != nil {
				used[it]++
			}
			now := rowCounts(row, size, false)
			after, isSentence := counts[it]
			if isSentence {
				now = after
			}
			if !now.Given() {
				continue
			}
			differs := !sameCounts(now, prev) && !sameCounts(now, last)
			if it != nil && !isSentence {
				a := t.items[it]
				a.counts = countedAside(row, now, size)
				a.changed = a.changed || differs
				a.skipped = skippers(row)
				t.items[it] = a
			}
			if differs && row.Row != "cast-on" {
				cp.rows = append(cp.rows, counted{rowLabel(row, part, it, w), now})
			}
			prev = fill(now, prev)
			last = fill(rowCounts(row, size, true), prev)
			for len(said) > 0 && (i+1 == len(part.Rows) || workLine(said[0].item) < part.Rows[i+1].Line) {
				if s := said[0]; s.changes() && s.words() != "" {
					head := s.words()
					if again, ok := repeated(part.Rows[:i+1], s.after, size); ok {
						head = fmt.Sprintf(w.LastTime, rowLabel(again, part, itemOf(again, byLine[again.Line], nil), w))
					}
					cp.rows = append(cp.rows, counted{head, s.after})
				}
				said = said[1:]
			}
		}
		t.parts = append(t.parts, cp)
	}
	for it, a := range t.items {
		a.counts.Brackets = brackets
		t.items[it] = a
	}
	return t
}

// countedAside is now, with the count that the designer states of a thumb where the row tells one: "P11, turn and cast on
// 1 st. 12 sts", though more are on the needles.
func countedAside(row review.Row, now Counts, size int) Counts {
	if row.Aside == nil {
		return now
	}
	now.Each = slices.Clone(now.Each)
	for k := range now.Each {
		at := k
		if size >= 0 {
			at = size
		}
		if n := row.Aside[at]; n > 0 {
			now.Each[k] = n
		}
	}
	return now
}

// repeated finds, of rows that a sentence worked again, the one that left the count they came to.
func repeated(rows []review.Row, after Counts, size int) (row review.Row, ok bool) {
	for i := len(rows) - 1; i >= 0 && len(rows[i].LastCounts) > 0; i-- {
		if !sameCounts(pick(rows[i].LastCounts, size), after) {
			break
		}
		row, ok = rows[i], rows[i].Row != "cast-on"
	}
	return row, ok
}

// sentences gives the items of a part that work rows without being one, in the
// manuscript's order, with the counts around each.
func sentences(ms *notation.Manuscript, part review.Part, size int) []sentence {
	type place struct{ line, col int }
	at := map[place]review.Sentence{}
	for _, s := range part.Sentences {
		at[place{s.Line, s.Column}] = s
	}
	var out []sentence
	for _, it := range ms.Items {
		switch it.(type) {
		case *notation.RepRows, *notation.Shape, *notation.Straight:
			span := it.Place()
			if s, ok := at[place{span.Line, span.Col}]; ok {
				out = append(out, sentence{it, pick(s.Before, size), pick(s.After, size)})
			}
		}
	}
	return out
}

type sentence struct {
	item          notation.Item
	before, after Counts
}

func (s sentence) changes() bool { return s.after.Given() && !sameCounts(s.after, s.before) }

// words are those of a sentence that repeats rows; others go by their report row.
func (s sentence) words() string {
	if rep, ok := s.item.(*notation.RepRows); ok {
		return shorten(capital(fine(rep.Words)))
	}
	return ""
}

// workLine is the line of an item that the proof works; 0 for others.
func workLine(it notation.Item) int {
	switch it := it.(type) {
	case *notation.Row:
		return it.Line
	case *notation.Begin:
		return it.Line
	case *notation.Multiple:
		return it.Line
	case *notation.RepRows:
		return it.Line
	case *notation.Shape:
		return it.Line
	case *notation.Straight:
		return it.Line
	case *notation.BindOffAll:
		return it.Line
	case *notation.HoldAll:
		return it.Line
	case *notation.As:
		return it.Line
	}
	return 0
}

// itemOf finds the item that a row of the report was worked from.
func itemOf(row review.Row, on []notation.Item, used map[notation.Item]int) notation.Item {
	for _, it := range on {
		switch it := it.(type) {
		case *notation.Row:
			if it.Name() == row.Row || slices.ContainsFunc(it.Head.Numbers, func(n int) bool { return figure(n)+it.Head.Letter == row.Row }) {
				return it
			}
		case *notation.Begin, *notation.Multiple:
			if row.Row == "cast-on" {
				return it
			}
		case *notation.RepRows:
			if it.Words != "" && it.Words == row.Row {
				return it
			}
		case *notation.Shape:
			if it.Words != "" && it.Words == row.Row {
				return it
			}
		case *notation.Straight:
			if it.Words != "" && it.Words == row.Row {
				return it
			}
		}
	}
	if row.Row == "cast-on" {
		return nil
	}
	for _, it := range on { // by its turn on the line
		switch it.(type) {
		case *notation.Row, *notation.Begin, *notation.Multiple:
		default:
			if used[it] == 0 {
				return it
			}
		}
	}
	for i := len(on) - 1; i >= 0; i-- {
		switch on[i].(type) {
		case *notation.Row, *notation.Begin, *notation.Multiple:
		default:
			return on[i]
		}
	}
	return nil
}

func intPtrs(v []int) []*int {
	out := make([]*int, len(v))
	for i := range v {
		out[i] = &v[i]
	}
	return out
}

// pick makes Counts of the report's numbers, of one size or (size < 0) of all.
func pick(v []*int, size int) Counts {
	if size >= 0 {
		if size >= len(v) {
			return Counts{}
		}
		v = v[size : size+1]
	}
	c := Counts{}
	any := false
	for _, p := range v {
		n := None
		if p != nil {
			n, any = *p, true
		}
		c.Each = append(c.Each, n)
	}
	if !any {
		return Counts{}
	}
	return c
}

func rowCounts(row review.Row, size int, last bool) Counts {
	v := row.Counts
	if last && len(row.LastCounts) > 0 {
		v = row.LastCounts
	}
	if c := pick(v, size); c.Given() {
		return c
	}
	if row.Stitches != nil {
		return Counts{Of: row.Stitches.Of, Plus: row.Stitches.Plus}
	}
	return Counts{}
}

// sameCounts compares counts; a size that skips the row has not changed.
func sameCounts(a, b Counts) bool {
	if a.Of != b.Of || a.Plus != b.Plus || len(a.Each) != len(b.Each) {
		return false
	}
	for i := range a.Each {
		if a.Each[i] != None && a.Each[i] != b.Each[i] {
			return false
		}
	}
	return true
}

// fill keeps the last known count of a size that skips a row.
func fill(now, prev Counts) Counts {
	out := Counts{Of: now.Of, Plus: now.Plus, Each: append([]int(nil), now.Each...)}
	for i := range out.Each {
		if out.Each[i] == None && i < len(prev.Each) {
			out.Each[i] = prev.Each[i]
		}
	}
	return out
}

func skippers(row review.Row) []bool {
	out := make([]bool, len(row.Counts))
	for i, p := range row.Counts {
		out[i] = p == nil
	}
	return out
}

// rowLabel names a row in the table of counts.
func rowLabel(row review.Row, part review.Part, it notation.Item, w Words) string {
	name := fine(row.Row)
	if r, ok := it.(*notation.Row); ok && len(r.Head.Numbers) > 0 || isNumber(row.Row) {
		word := w.Row
		if part.Worked == "round" || ok && r.Head.Round {
			word = w.Round
		}
		name = word + " " + row.Row
	}
	if row.Side != "" && part.Worked != "round" && !strings.Contains(name, row.Side) {
		name += " (" + row.Side + ")"
	}
	return shorten(name)
}

// openVector are the numbers of a row's name that was cut within them: its counts
// stand beside it in every size.
var openVector = regexp.MustCompile(`\s+\d+ \([^)]*$`)

// shorten cuts a row's name to what a table has room for.
func shorten(name string) string {
	name = openVector.ReplaceAllString(strings.TrimRight(name, "."), "")
	if r := []rune(name); len(r) > 34 {
		name = strings.TrimSpace(string(r[:32])) + "…"
	}
	return name
}

func isNumber(s string) bool {
	s = strings.TrimRight(s, "abcdefgh")
	return s != "" && strings.Trim(s, "0123456789") == ""
}
