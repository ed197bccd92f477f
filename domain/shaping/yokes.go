package shaping

import (
	"fmt"
	"strings"

	"rowproof/domain/sizing"
)

var crown = Task{Key: "crown", Title: "Crown in wedges", Hint: "Round by round, as fast as you choose; one size at a time",
	Fields: []Field{
		{Key: "sts", Label: "Stitches", Usual: "96"},
		{Key: "wedges", Label: "Wedges", Usual: "8"},
		{Key: "leave", Label: "Stitches left in each", Usual: "1"},
		{Key: "rate", Label: "Decreased", Choices: []Choice{{"other", "every other round"}, {"half", "every other round, then every round"}, {"every", "every round"}, {"over", "over the rounds given"}}},
		{Key: "rounds", Label: "Rounds, where given", Usual: ""},
	},
	work: func(in *input) (Answer, error) {
		sts := in.counts("sts", 1)
		if in.n > 1 {
			return Answer{}, fmt.Errorf("a crown is worked out for one size at a time; write one number")
		}
		p := sizing.CrownPlan{Rate: map[string]sizing.CrownRate{"other": sizing.EveryOther, "half": sizing.HalfAndHalf, "every": sizing.EveryRound, "over": sizing.ToHeight}[in.choice("rate")]}
		p.Wedges = in.count("wedges", 1, 8)
		p.Leave = in.count("leave", 1, 1)
		p.Rounds = in.count("rounds", 1, 0)
		if in.err != nil {
			return Answer{}, in.err
		}
		if p.Rate == sizing.ToHeight && p.Rounds == 0 {
			return Answer{}, fmt.Errorf("give the rounds over which it closes")
		}
		c, err := p.Crown(sts[0])
		if err != nil {
			if fits := sizing.CrownWedges(sts[0]); len(fits) > 0 {
				err = fmt.Errorf("%w (%d sts divide into %s wedges)", err, sts[0], listed(fits))
			}
			return Answer{}, err
		}
		if c.Left == c.Stitches {
			return Answer{}, fmt.Errorf("%d stitches in %d wedges are %d in each already", sts[0], c.Wedges, c.Wedge)
		}
		a := Answer{opening: []string{fmt.Sprintf("CO %d sts. Join to work in the round.", c.Stitches)}, after: []int{c.Left}}
		for i, r := range c.Rounds() {
			switch {
			case !r.Dec:
				a.Rows = append(a.Rows, fmt.Sprintf("Rnd %d: Knit.", i+1))
			case r.Before == 0:
				a.Rows = append(a.Rows, fmt.Sprintf("Rnd %d: *K2tog; rep from * around. %d sts.", i+1, r.Count))
			default:
				a.Rows = append(a.Rows, fmt.Sprintf("Rnd %d: *K%d, k2tog; rep from * around. %d sts.", i+1, r.Before, r.Count))
			}
		}
		a.Notes = []string{"Break yarn, draw it through the stitches that are left and pull tight."}
		return a, nil
	}}

var raglan = Task{Key: "raglan", Title: "Raglan from the top", Hint: "Body and sleeves together, then the one that wants more",
	Fields: []Field{
		{Key: "body", Label: "Front, and back, at the neck", Hint: "Stitches of each; one number, or one for each size.", Usual: "30 (32, 34)"},
		{Key: "sleeve", Label: "Each sleeve at the neck", Usual: "12 (12, 14)"},
		{Key: "body-to", Label: "Front, and back, at the underarm", Usual: "84 (94, 104)"},
		{Key: "sleeve-to", Label: "Each sleeve at the underarm", Usual: "58 (62, 66)"},
		{Key: "rows", Label: "Rounds of the yoke", Usual: "56 (62, 68)"},
	},
	work: func(in *input) (Answer, error) {
		var v [5][]int
		for i, f := range in.task.Fields {
			v[i] = in.counts(f.Key, 4)
		}
		if in.err != nil {
			return Answer{}, in.err
		}
		body, sleeve, bodyTo, sleeveTo, rows := v[0], v[1], v[2], v[3], v[4]
		lines := make([]sizing.RaglanLines, in.n)
		for i := range lines {
			b, s := bodyTo[i]-body[i], sleeveTo[i]-sleeve[i]
			if b < 2 || s < 2 || b%2 != 0 || s%2 != 0 {
				return Answer{}, fmt.Errorf("the body%s grows by %d and the sleeve by %d stitches: both by an even number, at least 2", in.of(i), b, s)
			}
			lines[i] = sizing.RaglanLines{Body: b / 2, Sleeve: s / 2, Rows: rows[i]}
			if (lines[i].Body > lines[i].Sleeve) != (lines[0].Body > lines[0].Sleeve) || (lines[i].Body == lines[i].Sleeve) != (lines[0].Body == lines[0].Sleeve) {
				return Answer{}, fmt.Errorf("in size %d body and sleeves do not want more increases the same way round as in size 1: work it out apart", i+1)
			}
		}
		plan := sizing.Plan{Rhythm: sizing.AnyRow, Placement: sizing.AtOnce}
		rs, err := plan.Raglans(lines, false)
		if err != nil {
			return Answer{}, err
		}
		joint, single := make([]sizing.Schedule, in.n), make([]sizing.Schedule, in.n)
		for i, r := range rs {
			joint[i], single[i] = r.Both()
		}
		all := func(b, s []int) []int { return in.each(func(i int) int { return 2*b[i] + 2*s[i] }) }
		start := all(body, sleeve)
		a := Answer{after: all(bodyTo, sleeveTo), opening: []string{
			"CO " + sizing.Vector(start) + " sts. Join to work in the round.",
			fmt.Sprintf("Set-up rnd: K%s, pm, k%s, pm, k%s, pm, k%s, pm.", sizing.Vector(body), sizing.Vector(sleeve), sizing.Vector(body), sizing.Vector(sleeve))}}
		after := func(was []int, by int) []int { return in.each(func(i int) int { return was[i] + by }) }
		a.name(joint, "Raglan inc", "*K1, m1, k to 1 st before m, m1, k1, sm; rep from * 3 times more.", true, after(start, 8))
		if rs[0].Single > 0 {
			was := in.each(func(i int) int { return start[i] + 8*rs[i].Joint })
			if rs[0].Sleeve {
				a.name(single, "Sleeve inc", "*K to m, sm, k1, m1, k to 1 st before m, m1, k1, sm; rep from * once more.", true, after(was, 4))
			} else {
				a.name(single, "Body inc", "*K1, m1, k to 1 st before m, m1, k1, sm, k to m, sm; rep from * once more.", true, after(was, 4))
			}
		}
		a.Counts = []Line{{Name: "Together"}, {Name: "One alone"}}
		for _, r := range rs {
			a.Counts[0].Cells = append(a.Counts[0].Cells, fmt.Sprint(r.Joint))
			a.Counts[1].Cells = append(a.Counts[1].Cells, fmt.Sprint(r.Single))
		}
		a.Notes = []string{"The round begins at a raglan line, with the back; a marker stands at each of the four lines."}
		return a, nil
	}}

var neck = Task{Key: "neck", Title: "Round neck", Hint: "One side, by bind-offs and decreases; one size at a time",
	Fields: []Field{
		{Key: "sts", Label: "Stitches of the neck", Usual: "34"},
		{Key: "rows", Label: "Rows it is deep", Usual: "22"},
		{Key: "centre", Label: "In the middle", Hint: "Bound off at once. Empty: worked out.", Usual: ""},
		{Key: "shoulder", Label: "Stitches of one shoulder", Usual: "24"},
	},
	work: func(in *input) (Answer, error) {
		sts := in.counts("sts", 1)
		rows := in.counts("rows", 1)
		sh := in.counts("shoulder", 1)
		if in.n > 1 {
			return Answer{}, fmt.Errorf("a neck is worked out for one size at a time; write one number in each field")
		}
		centre := in.count("centre", 0, 0)
		if in.err != nil {
			return Answer{}, in.err
		}
		c, err := sizing.Neck(sts[0], rows[0], centre)
		if err != nil {
			return Answer{}, err
		}
		total := sts[0] + 2*sh[0]
		now := sh[0] + c.Side()
		a := Answer{opening: []string{fmt.Sprintf("CO %d sts.", total), "Row 1 (RS): Knit.", "Row 2: Purl."}, after: sh}
		a.Rows = []string{fmt.Sprintf("Next row (RS): K%d, turn, leaving rem %d sts on a holder. %d sts.", now, total-now, now)}
		for _, b := range c.Binds {
			now -= b
			a.Rows = append(a.Rows, fmt.Sprintf("Next row (WS): Bind off %d, p to end. %d sts.", b, now), "Next row (RS): Knit.")
		}
		if n := c.Other + c.Fourth; n > 0 {
			if c.Other == 0 {
				a.Rows = append(a.Rows, "Work 3 rows even.")
			} else {
				a.Rows = append(a.Rows, "Next row (WS): Purl.")
			}
			a.Rows = append(a.Rows, fmt.Sprintf("Neck dec row (RS): K to last 3 sts, k2tog, k1. %d sts.", now-1))
			other, fourth := max(0, c.Other-1), c.Fourth
			if c.Other == 0 {
				fourth--
			}
			var runs []string
			if other > 0 {
				runs = append(runs, "every other row "+times(other)+" more")
			}
			if fourth > 0 {
				runs = append(runs, "every 4th row "+times(fourth)+" more")
			}
			if len(runs) > 0 {
				a.Rows = append(a.Rows, fmt.Sprintf("Rep Neck dec row %s. %d sts.", strings.Join(runs, ", then "), sh[0]))
			}
		}
		if c.Tail > 0 {
			a.Rows = append(a.Rows, fmt.Sprintf("Work %d %s even.", c.Tail, plural(c.Tail, "row")))
		}
		a.Notes = []string{fmt.Sprintf("The other side: return the held sts to the needle, bind off the %d sts in the middle, and work it mirrored: bind-offs on RS rows, ssk for k2tog at the neck.", c.Centre)}
		a.Counts = []Line{{"In the middle", []string{fmt.Sprint(c.Centre)}}, {"At each neck edge", []string{fmt.Sprint(c.Side())}}, {"Rows", []string{fmt.Sprint(c.Rows())}}}
		return a, nil
	}}

var shoulder = Task{Key: "shoulder", Title: "Shoulder slope", Hint: "In steps, by bind-offs or by short rows",
	Fields: []Field{
		{Key: "sts", Label: "Stitches of one shoulder", Hint: "One, or one for each size.", Usual: "24 (26, 28)"},
		{Key: "neck", Label: "Stitches of the neck", Usual: "34 (36, 36)"},
		{Key: "rows", Label: "Rows of the slope", Usual: "8"},
	},
	work: func(in *input) (Answer, error) {
		sts := in.counts("sts", 1)
		neck := in.counts("neck", 1)
		rows := in.counts("rows", 2)
		if in.err != nil {
			return Answer{}, in.err
		}
		ss := make([]sizing.Slope, in.n)
		turns := Line{Name: "By short rows, left unworked"}
		for i := range ss {
			ss[i] = sizing.Shoulder(sts[i], rows[i])
			turns.Cells = append(turns.Cells, listed(ss[i].Turns()))
		}
		a := Answer{opening: opening(in.each(func(i int) int { return neck[i] + 2*sts[i] }), false), after: neck,
			Rows: []string{sizing.Slopes(ss) + " " + sizing.Vector(neck) + " sts."}}
		if len(ss[0].Turns()) > 0 {
			a.Counts = []Line{turns}
			a.Notes = []string{"By short rows no stitch is bound off at first: each row turns so many stitches before the armhole, and one last row works them all."}
		}
		return a, nil
	}}

// times is once, twice, 3 times.
func times(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

func plural(n int, s string) string {
	if n == 1 {
		return s
	}
	return s + "s"
}
