package shaping

import (
	"fmt"

	"rowproof/domain/sizing"
)

var flatOrRound = []Choice{{"flat", "flat, shaped on RS rows"}, {"round", "in the round"}}

var sides = Task{Key: "sides", Title: "Shaping at both edges", Hint: "A sleeve, a waist, a gusset: so many stitches over so many rows",
	Fields: []Field{
		{Key: "from", Label: "Stitches at first", Hint: "One, or one for each size: 42 (46, 50).", Usual: "42 (46, 50)"},
		{Key: "to", Label: "Stitches at the end", Usual: "66 (72, 80)"},
		{Key: "rows", Label: "Rows in all", Usual: "100 (102, 104)"},
		{Key: "worked", Label: "Worked", Choices: flatOrRound},
		{Key: "first", Label: "First shaping", Choices: []Choice{{"later", "after an interval"}, {"now", "on the first row that may carry it"}}},
	},
	work: func(in *input) (Answer, error) {
		from := in.counts("from", 4)
		to := in.counts("to", 4)
		rows := in.counts("rows", 1)
		if in.err != nil {
			return Answer{}, in.err
		}
		k := make([]int, in.n)
		for i := range k {
			d := to[i] - from[i]
			switch {
			case d == 0:
				return Answer{}, fmt.Errorf("%d stitches%s stay %d: nothing is shaped; leave that size out", from[i], in.of(i), to[i])
			case d%2 != 0:
				return Answer{}, fmt.Errorf("%d to %d stitches%s are not the same at both edges: take one more or less", from[i], to[i], in.of(i))
			case (d > 0) != (to[0] > from[0]):
				return Answer{}, fmt.Errorf("size %d goes the other way than size 1: work them out apart", i+1)
			}
			k[i] = max(d, -d) / 2
		}
		round := in.choice("worked") == "round"
		plan := sizing.Plan{}
		if round {
			plan.Rhythm = sizing.AnyRow
		}
		if in.choice("first") == "now" {
			plan.Placement = sizing.AtOnce
		}
		ss, err := plan.Schedules(k, rows)
		if err != nil {
			return Answer{}, err
		}
		head, row := "Inc", "K1, m1, k to last st, m1, k1."
		step := 2
		if to[0] < from[0] {
			head, row, step = "Dec", "K1, ssk, k to last 3 sts, k2tog, k1.", -2
		}
		a := Answer{opening: opening(from, round), after: to}
		a.name(ss, head, row, round, in.each(func(i int) int { return from[i] + step }))
		a.Counts = []Line{{Name: "Times shaped"}, {Name: "Shaped on " + word(round, "rnds", "rows")}}
		for i, s := range ss {
			a.Counts[0].Cells = append(a.Counts[0].Cells, fmt.Sprint(k[i]))
			a.Counts[1].Cells = append(a.Counts[1].Cells, listed(s.Events()))
		}
		return a, nil
	}}

// name writes a shaping row that goes by its name, with what stands before and after it.
func (a *Answer) name(ss []sizing.Schedule, head, row string, round bool, first []int) {
	name := head + word(round, " rnd", " row")
	w, err := sizing.Wording{Name: name, Round: round}.Write(ss)
	if err != nil {
		return // no size has events: its callers do not come here
	}
	if w.Before != "" {
		a.Rows = append(a.Rows, w.Before)
	}
	a.Rows = append(a.Rows, fmt.Sprintf("%s: %s %s sts.", name+word(round, "", " (RS)"), row, sizing.Vector(first)))
	for _, line := range []string{w.Shape, w.After} {
		if line != "" {
			a.Rows = append(a.Rows, line)
		}
	}
}

// opening casts on for a proof: a round, or two rows so that a RS row is next.
func opening(sts []int, round bool) []string {
	if round {
		return []string{"CO " + sizing.Vector(sts) + " sts. Join to work in the round.", "Rnd 1: Knit."}
	}
	return []string{"CO " + sizing.Vector(sts) + " sts.", "Row 1 (RS): Knit.", "Row 2: Purl."}
}

func word(round bool, r, f string) string {
	if round {
		return r
	}
	return f
}

// listed writes row numbers, the first of them where there are many.
func listed(ns []int) string {
	const most = 6
	s := ""
	for i, n := range ns {
		if i == most {
			return s + " …"
		}
		if i > 0 {
			s += ", "
		}
		s += fmt.Sprint(n)
	}
	return s
}

var evenly = Task{Key: "evenly", Title: "Evenly across a row", Hint: "Increases or decreases spread over the stitches, or between whole repeats",
	Fields: []Field{
		{Key: "from", Label: "Stitches now", Hint: "One, or one for each size: 90 (102, 114).", Usual: "90 (102, 114)"},
		{Key: "to", Label: "Stitches wanted", Usual: "98 (112, 124)"},
		{Key: "worked", Label: "Worked", Choices: []Choice{{"flat", "flat, half a gap at each edge"}, {"round", "in the round"}}},
		{Key: "of", Label: "Only between repeats of", Hint: "Stitches of a repeat that must stay whole; 1 for anywhere.", Usual: "1"},
		{Key: "plus", Label: "Stitches outside the repeats", Usual: "0"},
		{Key: "left", Label: "of these, before the first", Usual: "0"},
	},
	work: func(in *input) (Answer, error) {
		from := in.counts("from", 1)
		to := in.counts("to", 1)
		of := in.count("of", 1, 1)
		plus := in.count("plus", 0, 0)
		left := in.count("left", 0, 0)
		if in.err != nil {
			return Answer{}, in.err
		}
		k := make([]int, in.n)
		for i := range k {
			d := to[i] - from[i]
			if d == 0 || (d > 0) != (to[0] > from[0]) {
				return Answer{}, fmt.Errorf("%d to %d stitches%s: every size must change, and all the same way; work the others out apart", from[i], to[i], in.of(i))
			}
			k[i] = max(d, -d)
		}
		round := in.choice("worked") == "round"
		p := sizing.Evenly{Convention: sizing.HalfEdges, Event: sizing.Make1}
		if round {
			p.Convention = sizing.Groups
		}
		head := "Inc"
		if to[0] < from[0] {
			head, p.Event = "Dec", sizing.K2tog
		}
		if of > 1 {
			p.Repeat, p.Left = sizing.Multiple{Of: of, Plus: plus}, left
		}
		rows, err := p.Rows(from, k)
		if err != nil {
			return Answer{}, err
		}
		w, err := p.Write(rows, sizing.EvenWording{})
		if err != nil {
			return Answer{}, err
		}
		a := Answer{opening: opening(from, round), after: to}
		a.Rows = []string{fmt.Sprintf("%s%s: %s %s sts.", head, word(round, " rnd", " row (RS)"), w.Shape, sizing.Vector(to))}
		gaps := Line{Name: "Stitches before, between, after"}
		for _, r := range rows {
			gaps.Cells = append(gaps.Cells, listed(r.Gaps()))
		}
		a.Counts = []Line{gaps}
		return a, nil
	}}
