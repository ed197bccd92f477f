package needle

import (
	"fmt"
	"sort"
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// This file works numbered rows that stand together.

// slot is a row under one of its numbers.
type slot struct {
	row    *notation.Row
	number int
	nth    int   // of the numbers in its head
	only   []int // sizes that work it; nil = all
	order  int   // of the row among those given
}

// block works numbered rows that stand together.
func (r *run) block(items []notation.Item, next *notation.RepRows) {
	var rows []*notation.Row
	only := map[*notation.Row][]int{}
	cur := r.only
	for _, it := range items {
		switch it := it.(type) {
		case *notation.Row:
			rows = append(rows, it)
			o := it.Only
			if o == nil {
				o = cur
			}
			if o != nil {
				only[it] = o
			}
		case *notation.ForSizes:
			cur = it.Only
		case *notation.Blank:
			if !it.Within {
				cur = nil
			}
		}
	}
	r.only = nil
	defer func() { r.only = cur }()
	// pieces: numbering that starts again begins a new one
	room := r.shared.takeRoom()
	defer r.shared.giveRoom(room)
	for len(rows) > 0 {
		seen := room.seen
		clear(seen)
		n := 0
		maxN := 0
		for n < len(rows) {
			h := rows[n].Head
			if n > 0 && len(h.Numbers) > 0 && seen[h.Numbers[0]] && !otherYarn(rows[n-1].Head, h) && (h.Numbers[0] == 1 || h.Numbers[0] < maxN-1 && len(only[rows[n]]) == 0) && len(only[rows[n]]) == 0 {
				break
			}
			for _, v := range h.Numbers {
				seen[v] = true
				maxN = max(maxN, v)
			}
			n++
		}
		group := rows[:n]
		rows = rows[n:]
		last := maxN
		if len(rows) == 0 && next != nil {
			for _, v := range next.Ref.Numbers {
				if v <= maxN+2 {
					last = max(last, v)
				}
			}
			if k := next.Ref.Last; k > 0 && k > maxN && k <= maxN+2 {
				last = k
			}
		}
		// heads that run on
		given := room.given
		clear(given)
		for _, row := range group {
			for _, v := range row.Head.Numbers {
				given[v] = true
			}
		}
		slots := room.slots[:0]
		for k, row := range group {
			h := row.Head
			ns := append([]int(nil), h.Numbers...)
			if h.Every.On() {
				ns = runOn(ns, h.Every, given, last, len(rows) == 0 && next != nil && len(next.Ref.Numbers) > 0)
			}
			if len(ns) == 0 && !h.Every.On() {
				continue
			}
			if len(ns) == 0 { // "Every row: …" of a one-row pattern
				ns = []int{1}
			}
			for q, v := range ns {
				slots = append(slots, slot{row, v, q, only[row], k})
			}
		}
		sort.SliceStable(slots, func(a, b int) bool { return slots[a].number < slots[b].number })
		if r.numbers == nil || len(slots) > 0 && (slots[0].number <= 1 || r.numbers[slots[0].number] != nil) {
			r.above, r.numbers = r.numbers, make(map[int]*def, len(slots))
		}
		prev := 0
		for v := range r.numbers {
			prev = max(prev, v)
		}
		room.slots = slots
		here := r.scopesHere()
		had := room.had
		clear(had)
		worked := 0
		var start []Lin
		for _, l := range r.lanes {
			start = append(start, l.total())
		}
		for k := range slots {
			s := slots[k]
			if o, dup := had[s.number]; dup && overlap(o, s.only) && !(k > 0 && otherYarn(slots[k-1].row.Head, s.row.Head)) {
				r.add(finding.Finding{Code: "row-given-twice", Span: s.row.Head.Span, Row: itoa(s.number), Message: fmt.Sprintf("row %d is given twice", s.number)})
				if r.silent {
					continue
				}
			}
			had[s.number] = s.only
			if len(r.lanes) > 0 && s.number <= 1 {
				r.numberedFrom = r.lanes[0].rows
			}
			if len(r.lanes) > 0 && (s.number == r.lanes[0].rows+1 || s.number == r.lanes[0].rows-r.numberedFrom+1) {
				prev = s.number - 1 // rows worked in between bear the numbers left out
			}
			if prev > 0 && s.number > prev+1 && r.numbers[s.number-1] == nil || prev == 0 && k == 0 && s.number > 1 && len(r.part.Rows) == 0 && s.number != 2 {
				from := prev + 1
				if !r.silent {
					missing := itoa(from)
					msg := fmt.Sprintf("row %d is missing", from)
					if from < s.number-1 {
						msg = fmt.Sprintf("rows %d to %d are missing", from, s.number-1)
					}
					r.add(finding.Finding{Code: "row-missing", Span: s.row.Head.Span, Row: missing, Message: msg + ": here row " + itoa(s.number) + " follows row " + itoa(prev)})
				}
			}
			prev = max(prev, s.number)
			d := r.define(s.row, itoa(s.number), s.number, &slots[k].nth)
			if d == nil {
				continue
			}
			// a count at the end belongs to the last of rows given together
			counted := k+1 >= len(slots) || lastOf(slots[k].number, s.row, last)
			r.numbers[s.number] = d
			for i, t := range here {
				if i == 0 || t[s.number] == nil || !r.sectionApart() { // rows of a section are not those that its part began with
					t[s.number] = d
				}
			}
			worked++
			r.execOnly(d, s.only, !counted)
			if r.silent && r.fail != nil {
				return
			}
		}
		r.blocks++
		if r.firstBlock == nil && worked > 0 && len(rows) == 0 {
			r.noteChange(start)
		}
	}
}

func lastOf(n int, row *notation.Row, last int) bool {
	h := row.Head
	if h.Every.On() {
		return true
	}
	return len(h.Numbers) == 0 || n == h.Numbers[len(h.Numbers)-1]
}

func overlap(a, b []int) bool {
	if a == nil || b == nil {
		return true
	}
	for _, x := range a {
		for _, y := range b {
			if x == y {
				return true
			}
		}
	}
	return false
}

// noteChange records what one pass of the rows has gained.
func (r *run) noteChange(start []Lin) {
	var change *int
	for i, l := range r.lanes {
		d := l.total().minus(start[i])
		if d.C != 0 || l.dead {
			return
		}
		v := d.D
		if change != nil && *change != v {
			return
		}
		change = &v
	}
	r.firstBlock = change
}

// runOn lists the rows a head stands for: "Row 2 and all WS rows".
func runOn(ns []int, e notation.Every, given map[int]bool, last int, exact bool) []int {
	step, first := e.Step, 1
	if len(ns) > 0 {
		first = ns[len(ns)-1]
	}
	switch {
	case e.Step > 0:
	case e.Even:
		step = 2
		if len(ns) == 0 {
			first = 2
		}
	case e.Odd:
		step = 2
		if len(ns) == 0 {
			first = 1
		}
	case e.Side != "":
		step = 2
		if len(ns) == 0 {
			first = 2
			if e.Side == "RS" {
				first = 1
			}
			if given[first] && !given[3-first] {
				first = 3 - first
			}
		}
	default:
		step = 1
	}
	// the pair of the last row belongs to the repeat
	if step == 2 && !exact && last%2 != first%2 && given[last] {
		last++
	}
	if e.Last > 0 {
		last = e.Last
	}
	out := append([]int(nil), ns...)
	if len(out) == 0 {
		if !given[first] {
			out = append(out, first)
		}
	}
	for v := first + step; v <= last; v += step {
		if !given[v] {
			out = append(out, v)
		}
	}
	return out
}

// scopesHere gives the tables in which rows given now are found later: by the
// heading they stand under, and by the part.
func (r *run) scopesHere() []map[int]*def {
	var out []map[int]*def
	for _, name := range [2]string{r.section, r.part.Name} {
		sec := strings.ToLower(name)
		if sec == "" {
			continue
		}
		t := r.scopes[sec]
		if t == nil {
			t = map[int]*def{}
			r.scopes[sec] = t
		}
		out = append(out, t)
	}
	return out
}

// sectionApart says that rows stand under a head of their own within the part.
func (r *run) sectionApart() bool {
	return r.section != "" && !strings.EqualFold(r.section, r.part.Name)
}

// otherYarn says that b is the row of a worked once more, in another colour: "Row 1 (CC)"
// behind "Row 1 (MC)", as two-colour brioche has it.
func otherYarn(a, b notation.Head) bool {
	return a.Yarn != "" && b.Yarn != "" && a.Yarn != b.Yarn && len(a.Numbers) > 0 && len(b.Numbers) > 0 && a.Numbers[0] == b.Numbers[0]
}
