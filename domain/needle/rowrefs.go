package needle

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// This file finds the rows that a sentence names.

// upTo gives the rows up to the one that bears a number; all where none does.
func upTo(defs []*def, end int) []*def {
	for i, d := range defs {
		if d.number == end {
			return defs[:i+1]
		}
	}
	return defs
}

var namedRows = regexp.MustCompile(`^(.+[ -])(row|rnd|round)s (\d+)(?: ?(?:and|&|to|-|–) ?(\d+))$`)

// wordDefs finds rows that go by words and numbers: "Heel rows 3 and 4".
func (r *run) wordDefs(words string) []*def {
	m := namedRows.FindStringSubmatch(strings.ToLower(words))
	if m == nil {
		return nil
	}
	first, last := atoi(m[3]), atoi(m[4])
	if last < first || last-first > 50 {
		return nil
	}
	var out []*def
	for n := first; n <= last; n++ {
		d := r.wordDef(m[1] + m[2] + " " + itoa(n))
		if d == nil {
			return nil
		}
		out = append(out, d)
	}
	return out
}

// refs finds the rows a sentence names.
func (r *run) refs(it *notation.RepRows) []*def {
	miss := func(what string) []*def {
		r.add(finding.Finding{Code: "rows-not-given", Span: it.Span, Row: it.Words, Message: "“" + it.Words + "” names " + what + ", which is not given here"})
		if r.silent && r.fail == nil && len(it.Ref.Numbers) == 0 { // rows that are given still say what they need
			r.fail = &failure{code: "rows-not-given"}
		}
		return nil
	}
	switch {
	case it.Ref.Star != "":
		if r.star >= len(r.history) {
			return miss("the rows since " + it.Ref.Star)
		}
		return append([]*def(nil), r.history[r.star:]...)
	case it.Ref.Words != "":
		if d := r.wordDef(it.Ref.Words); d != nil {
			return []*def{d}
		}
		if ds := r.wordDefs(it.Ref.Words); ds != nil {
			return ds
		}
		if d := r.elsewhere(it.Ref.Words, it.Line); d != nil {
			return []*def{d}
		}
		return miss("“" + it.Ref.Words + "”")
	case it.Ref.Last > 0:
		if len(r.history) < it.Ref.Last {
			if len(r.numbers) >= it.Ref.Last {
				break
			}
			return miss(fmt.Sprintf("the last %d rows", it.Ref.Last))
		}
		rows := append([]*def(nil), r.history[len(r.history)-it.Ref.Last:]...)
		if it.Ref.First > 0 {
			rows = rows[:min(len(rows), it.Ref.First)]
		}
		return rows
	case it.Ref.This && len(r.history) > 0 && r.history[len(r.history)-1].number == 0:
		return r.history[len(r.history)-1:]
	case it.Ref.Last < 0:
		var out []*def
		for n := 1; n <= notation.MaxRowNumber; n++ {
			if d := r.numbers[n]; d != nil {
				out = append(out, d)
			}
		}
		if len(out) > 0 {
			return out
		}
		return r.history[max(0, len(r.history)-2):]
	}
	table := r.numbers
	if ds := r.patternRows(it); ds != nil {
		return ds
	}
	if it.Ref.Section != "" {
		t := r.scope(it.Ref.Section)
		if t != nil {
			table = r.adopt(t, it.Ref.Numbers)
		} else if strings.HasPrefix(strings.ToLower(it.Ref.Section), "chart") {
			r.add(finding.Finding{Code: "chart-not-given", Span: it.Span, Row: it.Words, Message: "“" + it.Words + "” are rows of a chart, which is not written out here; they are not proved, and the count is taken to stay"})
			return nil
		}
	}
	var out []*def
	for _, n := range it.Ref.Numbers {
		d := table[n]
		if d == nil {
			return miss("row " + itoa(n))
		}
		out = append(out, d)
		for n++; it.Ref.From && n <= notation.MaxRowNumber; n++ {
			if d := table[n]; d != nil {
				out = append(out, d)
			}
		}
	}
	return out
}

// elsewhere finds the last row above a line that another piece gives under the same head, and makes
// it one of this part: the rib round of the yoke, worked again at the hem.
func (r *run) elsewhere(words string, line int) *def {
	var found *notation.Row
	for _, it := range r.ms.Items {
		if row, ok := it.(*notation.Row); ok && row.Line < line && row.As == nil && len(row.Head.Numbers) == 0 && row.Head.Words != "" && foldHead(strings.ToLower(row.Head.Words)) == foldHead(strings.ToLower(strings.TrimSpace(words))) {
			found = row
		}
	}
	if found == nil {
		return nil
	}
	row := *found
	row.Stated = nil
	d := r.define(&row, row.Name(), 0, nil)
	if d != nil {
		r.words[strings.ToLower(strings.TrimSpace(row.Head.Words))] = d
		r.worded = append(r.worded, d)
	}
	return d
}

// adopt makes rows of another piece or stitch pattern rows of this part.
func (r *run) adopt(t map[int]*def, ns []int) map[int]*def {
	own := map[*Entry]bool{}
	for _, e := range r.part.Rows {
		own[e] = true
	}
	out := map[int]*def{}
	for n, d := range t {
		out[n] = d
	}
	for _, n := range ns {
		d := t[n]
		if d == nil || own[d.entry] {
			continue
		}
		row := *d.row
		row.As = nil
		row.Body = d.body
		row.Stated = nil
		if c := r.define(&row, d.name, n, nil); c != nil {
			out[n] = c
		}
	}
	r.numbers = out
	return out
}

// scope finds the rows given under a heading, or in a part.
func (r *run) scope(name string) map[int]*def {
	k := strings.ToLower(strings.TrimSpace(name))
	for _, drop := range []string{"the ", " pattern", " patt", " st", " stitch", " chart"} {
		k = strings.TrimSuffix(strings.TrimPrefix(k, drop), drop)
	}
	if t := r.scopes[k]; t != nil {
		return t
	}
	switch k {
	case "", "pattern", "patt", "lace", "stitch", "stitch pattern", "pattern stitch", "lace pattern", "cable", "cable pattern": // "Rounds 1-4 of pattern": of the one there is
		var one map[int]*def
		for _, t := range r.scopes {
			if t[1] != nil && one != nil {
				return nil
			}
			if t[1] != nil {
				one = t
			}
		}
		return one
	}
	var best map[int]*def
	bestName := ""
	for n, t := range r.scopes {
		if k != "" && (strings.HasPrefix(n, k) || strings.HasPrefix(k, n)) && (best == nil || n < bestName) {
			best, bestName = t, n
		}
	}
	return best
}

func atoi(s string) int {
	n, _ := strconv.Atoi(s)
	return n
}

// rePatternRow is the head of a row that goes by its number in the pattern: "Pattern round 1".
var rePatternRow = regexp.MustCompile(`(?i)^(?:pattern|patt|lace|chart) (?:row|rnd|round) (\d{1,3})$`)

// patternRows finds the rows that "Knit pattern rounds 1-3 once more" means, where they are headed so.
func (r *run) patternRows(it *notation.RepRows) []*def {
	if len(it.Ref.Numbers) == 0 || !strings.Contains(strings.ToLower(it.Words), "patt") {
		return nil
	}
	named := map[string]*def{}
	for _, d := range r.history {
		if d.row == nil {
			continue
		}
		if m := rePatternRow.FindStringSubmatch(d.row.Head.Words); m != nil {
			named[m[1]] = d
		}
	}
	var out []*def
	for _, n := range it.Ref.Numbers {
		d := named[strconv.Itoa(n)]
		if d == nil {
			return nil
		}
		out = append(out, d)
	}
	return out
}
