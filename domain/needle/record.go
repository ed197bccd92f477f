package needle

import (
	"fmt"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// This file notes what a row that was worked did: its counts, where it failed, and how the needle goes on behind a failure.

func indexOf(ls []*lane, l *lane) int {
	for i := range ls {
		if ls[i] == l {
			return i
		}
	}
	return 0
}

func (r *run) record(d *def, l *lane, k int, before Lin) {
	e := d.entry
	t := l.total()
	e.Times[k]++
	c := Count{t.D, t.C == 0}
	if l.tainted && l.dead {
		c.Known = false
	}
	if e.Times[k] == 1 {
		d.before[k], d.after[k] = before, t
		e.First[k] = c
		e.Before[k] = Count{before.D, before.C == 0}
		if t.C != 0 && k == 0 {
			lin := t
			e.Lin = &lin
		} else if k == 0 && r.asideMul {
			lin := t
			e.Lin = &lin
		}
		e.Side[k] = l.side
	}
	e.Last[k] = c
	if l.aside > 0 {
		if e.Aside == nil {
			e.Aside = make([]int, len(r.lanes))
		}
		e.Aside[k], l.aside = l.aside, 0
	}
	if l.held.C == 0 && l.held.D > 0 {
		if e.Held == nil {
			e.Held = make([]int, len(r.lanes))
		}
		e.Held[k] = l.held.D
	}
	l.rows++
	d.at[k] = l.rows
	l.closedOff = false
	if n := len(d.body); n > 0 {
		_, l.closedOff = d.body[n-1].(*notation.BindOff)
	}
	if n := len(d.body); n > 0 && r.part.Round && !l.round && d.row.Head.Side != "" {
		if _, holds := d.body[n-1].(*notation.Hold); holds { // the round has become rows in this one, and its head names its side
			l.side = d.row.Head.Side
		}
	}
	r.flip(l)
}

// resync goes on after a row that cannot be worked: with its stated count, or
// with the count there was before.
func (r *run) resync(d *def, l *lane, o outcome, k int) {
	r.tellRow(d, l, o.before, false)
	n := o.before
	l.tainted = true
	for _, s := range d.row.Stated {
		if s.Kind == notation.CountAll && s.N.For(l.size) >= 0 {
			n = K(s.N.For(l.size))
			l.tainted = false
		}
	}
	l.left, l.right = newStack(n), newStack(Lin{})
	if l.cols != nil {
		l.cols.fit(n.D, 0)
	}
	l.cable = nil
	l.markless = true
	e := d.entry
	e.Times[k]++
	if e.Times[k] == 1 {
		e.First[k], e.Before[k], e.Side[k] = Count{}, Count{o.before.D, o.before.C == 0}, l.side
	}
	e.Last[k] = Count{}
	l.rows++
	r.flip(l)
	l.started = true
	l.short = false
}

func (r *run) unknown(d *def, l *lane, k int) {
	l.tainted = true
	o := outcome{before: l.total()}
	r.resync(d, l, o, k)
	if r.silent && r.fail == nil {
		r.fail = &failure{code: "row-not-understood"}
	}
}

// raise makes a finding of a failure.
func (r *run) raise(d *def, f *failure, ls []*lane, again *again) {
	msg := r.atSizes(ls, f.msg)
	at := f.at
	if at.Line < d.row.Span.Line || at.Line > d.row.Span.EndLine {
		at = d.row.Span
	}
	name := d.name
	code := f.code
	if again != nil && d.done && f.code != "stated-count-differs" && f.code != "too-few-rows-under-drop" {
		code, at, name = "rows-do-not-join", again.at, again.words
		msg = fmt.Sprintf("row %s, worked again, does not fit: %s", d.name, msg)
	}
	r.add(finding.Finding{Code: code, Span: at, Row: name, Sizes: r.sizesOf(ls), Message: msg})
}

// again is the sentence that has rows worked another time.
type again struct {
	at    finding.Span
	words string
	rows  int // in one pass
}
