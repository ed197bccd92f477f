package needle

import (
	"fmt"
	"slices"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// This file compares stated multiples and cast-ons with what the rows need.

// checkMultiple compares a cast-on with the stated multiple. What follows from a
// wrong cast-on is not told again.
func checkMultiple(r *run, p *Part, b *notation.Begin) bool {
	m := p.Stated
	if m == nil || b.How != "cast on" {
		return false
	}
	var bad []*lane
	for _, l := range r.lanes {
		v := l.total().D - m.Plus - 2*m.Edge
		if m.Of > 0 && (mod(v, m.Of) != 0 || v < 0) {
			bad = append(bad, l)
		}
	}
	if len(bad) == 0 {
		return false
	}
	r.castOnWrong(b, bad, fmt.Sprintf("%s is not a multiple of %d plus %d", sts(bad[0].total()), m.Of, m.Plus+2*m.Edge))
	return true
}

func (r *run) castOnWrong(b *notation.Begin, bad []*lane, msg string) {
	msg = r.atSizes(bad, msg)
	r.add(finding.Finding{Code: "cast-on-not-multiple", Span: b.Span, Row: "cast-on", Sizes: r.sizesOf(bad), Message: msg})
	for _, l := range bad {
		l.tainted = true
	}
}

// checkCastOn finds sizes whose cast-on none of the rows can be worked on, while
// the rows agree with one another (and with the other sizes).
func checkCastOn(ms *notation.Manuscript, r *run, p *Part, b *notation.Begin, mk maker) {
	n := p.Needs
	if n == nil || n.Of < 2 {
		return
	}
	var bad []*lane
	for _, l := range r.lanes {
		v := l.total().D
		if mod(v-n.Plus, n.Of) == 0 {
			continue
		}
		if f, all := failing(ms, p, mk, K(v)); f == all && all > 1 {
			bad = append(bad, l)
		}
	}
	if len(bad) == 0 {
		return
	}
	r.castOnWrong(b, bad, fmt.Sprintf("%s cast on, but the rows need a multiple of %d plus %d", sts(bad[0].total()), n.Of, n.Plus))
	if f, ok := firstFelt(ms, p, mk, bad[0].total()); ok {
		f.Sizes, f.Message = r.sizesOf(bad), r.atSizes(bad, f.Message)
		r.add(f)
	}
}

// firstFelt is the finding on the first row that does not fit a number of stitches with which none
// does: there a knitter meets what the cast-on is to blame for.
func firstFelt(ms *notation.Manuscript, p *Part, mk maker, start Lin) (finding.Finding, bool) {
	r := mk(p, &Result{}, nil)
	for _, it := range p.items {
		row, ok := it.(*notation.Row)
		if !ok || row.As != nil || row.Only != nil || !wantsNumber(r.w, row.Body) {
			continue
		}
		l := newLane(0, start)
		l.round, l.marked = p.Round || row.Head.Round, true
		r.w.reading = 0
		f := r.w.ops(l, row.Body)
		if f == nil || f.code == "" {
			return finding.Finding{}, false
		}
		at := f.at
		if at.Line < row.Span.Line || at.Line > row.Span.EndLine {
			at = row.Span
		}
		return finding.Finding{Code: f.code, Span: at, Part: p.Name, Row: row.Name(), Message: f.msg}, true
	}
	return finding.Finding{}, false
}

// failing counts, of the rows that want a certain number of stitches, those
// that cannot be worked on start by themselves; rows behind the first change of
// count are not asked.
func failing(ms *notation.Manuscript, p *Part, mk maker, start Lin) (bad, all int) {
	r := mk(p, &Result{}, nil)
	for _, it := range p.items {
		row, ok := it.(*notation.Row)
		if !ok || row.As != nil || row.Only != nil {
			if ok {
				continue
			}
			switch it.(type) {
			case *notation.Shape, *notation.RepRows, *notation.As:
				return bad, all
			}
			continue
		}
		if !wantsNumber(r.w, row.Body) {
			continue
		}
		l := newLane(0, start)
		l.round, l.marked = p.Round || row.Head.Round, true
		r.w.reading = 0
		f := r.w.ops(l, row.Body)
		if f == nil && !l.left.total().zero() {
			f = &failure{}
		}
		if f != nil && f.code == "" && !l.left.total().zero() && len(row.Body) > 0 {
			if _, unknown := row.Body[len(row.Body)-1].(*notation.Unknown); unknown {
				continue
			}
		}
		all++
		if f != nil {
			bad++
			continue
		}
		if l.right.total() != start {
			return bad, all
		}
	}
	return bad, all
}

// wantsNumber: the row fits some numbers of stitches and not others.
func wantsNumber(w *worker, body []notation.Op) bool {
	open := false
	wants := false
	for _, o := range body {
		switch o := o.(type) {
		case *notation.Repeat:
			if _, counted := w.passes(o.To, 0); !counted {
				open = true
				if e := w.fixed(o.Body, 0); e.in > 1 {
					wants = true
				}
			}
		case *notation.Until:
			open = true
			if e := w.fixed(o.Body, 0); e.in > 1 {
				wants = true
			}
		case *notation.Turn, *notation.Leave, *notation.Spread, *notation.Unknown:
			return false
		}
	}
	return wants || !open
}

// needs works out from the rows alone which numbers of stitches they can be
// worked on: it starts from any number n and narrows n down wherever a repeat
// wants it, until every row goes through.
func needs(ms *notation.Manuscript, p *Part, mk maker) *Need {
	n := 1
	if vectors(p) {
		n = len(ms.Sizes)
	}
	trials := make([]needTrial, n)
	for size := range trials {
		trials[size] = needTrial{of: 1}
	}
	for try := 0; try < 64; try++ {
		lanes := make([]*lane, n)
		for size, t := range trials {
			lanes[size] = t.lane(size, p.Round)
		}
		trial := *p
		trial.Rows, trial.Final = nil, nil
		r := mk(&trial, &Result{}, slices.Clone(lanes))
		r.silent = true
		r.items(p.items)
		if r.fail == nil {
			return sharedNeed(trials, lanes)
		}
		if len(r.failed) == 0 {
			return nil
		}
		for size, f := range r.failed {
			if !trials[size].refine(f.refine) {
				return nil
			}
		}
	}
	return nil
}

// needTrial is what a size is tried on: of·n + rest stitches.
type needTrial struct{ of, rest int }

// lane begins a piece of one size on so many stitches.
func (t needTrial) lane(size int, round bool) *lane {
	l := newLane(size, Lin{t.of, t.rest})
	l.round = round
	l.min = ceilDiv(1-t.rest, t.of)
	return l
}

// refine narrows the trial down to what a repeat wants; false where nothing can be wanted of it.
func (t *needTrial) refine(to *ref) bool {
	if to == nil || to.mod <= 1 || t.of > 1<<20/to.mod {
		return false
	}
	t.rest += t.of * to.rest
	t.of *= to.mod
	return true
}

// sharedNeed is what all sizes need, nil where they differ.
func sharedNeed(trials []needTrial, lanes []*lane) *Need {
	var first *Need
	for size, t := range trials {
		plus := mod(t.rest, t.of)
		least := max(1, lanes[size].min+(t.rest-plus)/t.of) // n counted from plus
		switch {
		case first == nil:
			first = &Need{t.of, plus, least}
		case first.Of != t.of || first.Plus != plus:
			return nil
		default:
			first.Min = max(first.Min, least)
		}
	}
	return first
}

// fixedNeed finds the one number of stitches that rows without repeats want.
func fixedNeed(ms *notation.Manuscript, p *Part, mk maker) *Need {
	for _, it := range p.items {
		row, ok := it.(*notation.Row)
		if !ok {
			continue
		}
		budget := 10000
		w := &worker{ms: ms, budget: &budget, own: map[string]effect{}}
		if e := w.fixed(row.Body, 0); e.ok && e.in > 0 {
			return &Need{0, e.in, 1}
		}
		return nil
	}
	return nil
}

// vectors says that rows of the part differ between sizes.
func vectors(p *Part) bool {
	found := false
	for _, it := range p.items {
		switch it := it.(type) {
		case *notation.Row:
			if it.Only != nil {
				found = true
			}
			notation.Each(it.Body, func(o notation.Op) {
				switch o := o.(type) {
				case *notation.Do:
					found = found || !o.Times.Single()
				case *notation.Group:
					found = found || !o.Times.Single()
				case *notation.Until:
					found = found || !o.To.N.Single()
				case *notation.Repeat:
					found = found || !o.To.N.Single()
				case *notation.BindOff:
					found = found || !o.N.Single()
				case *notation.CastOn:
					found = found || !o.N.Single()
				case *notation.Spread:
					found = found || !o.To.Single()
				}
			})
		case *notation.ForSizes:
			found = true
		case *notation.RepRows:
			found = found || !it.Times.N.Single()
		}
	}
	return found
}

// asideMultiple adds, to a part worked by its cast-on, the counts in repeats.
func asideMultiple(ms *notation.Manuscript, p *Part, mk maker) {
	trial := *p
	trial.Rows, trial.Final = nil, nil
	r := mk(&trial, &Result{}, symbolic(ms, p, Lin{p.Stated.Of, p.Stated.Plus + 2*p.Stated.Edge}))
	r.silent = true
	r.items(p.items)
	for i, e := range trial.Rows {
		if i < len(p.Rows) && p.Rows[i].Line == e.Line && p.Rows[i].Name == e.Name && e.Lin != nil {
			p.Rows[i].Lin = e.Lin
		}
	}
}
