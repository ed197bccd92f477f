package needle

import (
	"fmt"
	"math/bits"
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// This file decides between the readings of what may be read in two ways.

// ambiguous lists the readings in which this row could be meant.
func (w *worker) ambiguous(body []notation.Op) reading {
	var a reading
	notation.Each(body, func(o notation.Op) {
		switch o := o.(type) {
		case *notation.Repeat:
			if o.To.Kind == notation.TimesInAll {
				a |= readTimes
			}
		case *notation.Again:
			a |= readTwice
			if o.Idiom {
				a |= readIdiom
			}
		case *notation.Do:
			switch s := w.stitch(o.Key); {
			case s == nil || !s.HasAlt:
			case o.Key == "inc":
				a |= readInc
			case o.Key == "yf":
				a |= readYF
			default:
				a |= readAlt
			}
		case *notation.BindOff:
			if !o.All {
				a |= readBO
			}
		}
	})
	for i, o := range body {
		var t notation.Target
		switch o := o.(type) {
		case *notation.Repeat:
			t = o.To
		case *notation.Until:
			t = o.To
		default:
			continue
		}
		if t.Kind == notation.ToEnd && consumes(body[i+1:]) {
			a |= readRest
		}
	}
	return a
}

func consumes(ops []notation.Op) bool {
	for _, o := range ops {
		switch o.(type) {
		case *notation.Remark, *notation.UseYarn, *notation.Turn, *notation.Mark, *notation.Join, *notation.Leave, *notation.Slide, *notation.Unknown, *notation.CastOn:
		default:
			return true
		}
	}
	return false
}

// readings looks for the one reading under which the row comes out.
func (r *run) readings(d *def, lanes []*lane, out []outcome, ok bool, amb reading, countIt bool) ([]outcome, bool) {
	speak := readTimes | readTwice // what is said aloud even where it comes out
	if amb&readIdiom != 0 {
		amb &^= readIdiom
		speak = readTimes
		if ok && amb&readTimes == 0 {
			return out, ok
		}
	}
	var good []reading
	var outs [][]outcome
	if ok {
		if amb&speak == 0 || d.done {
			return out, ok
		}
	}
	for bit := reading(1); bit < 1<<9; bit <<= 1 {
		if amb&bit == 0 {
			continue
		}
		if ok && bit&speak == 0 {
			continue
		}
		lens := []int{0}
		if bit == readTwice {
			lens = r.w.lists(d.body)
		}
		for _, n := range lens {
			r.w.last = n
			if o, k := r.try(d, lanes, bit, countIt); k {
				good, outs = append(good, bit), append(outs, o)
				break
			}
		}
		r.w.last = 0
	}
	if len(good) == 0 && !ok && bits.OnesCount16(uint16(amb)) > 1 {
		if o, k := r.try(d, lanes, amb, countIt); k {
			good, outs = append(good, amb), append(outs, o)
		}
	}
	switch {
	case ok && len(good) == 0:
		if !d.done {
			r.sayReading(d, amb&speak, 0, "")
		}
		r.try(d, lanes, 0, countIt)
		return out, true
	case ok:
		if sameTotals(out, outs[0]) && good[0]&speak == 0 {
			return out, true
		}
		r.sayBoth(d, good[0], out, outs[0])
		r.w.reading = 0
		return out, true
	case len(good) == 1 || len(good) > 1:
		if !d.done {
			r.sayReading(d, good[0], good[0], "")
		}
		r.w.reading = good[0]
		return outs[0], true
	}
	if amb&speak != 0 && !d.done {
		o2, _ := r.try(d, lanes, amb&speak, countIt)
		r.sayBoth(d, amb&speak, out, o2)
	}
	return out, false
}

// lists gives the lengths of list that "twice" may belong to, all of it first.
func (w *worker) lists(body []notation.Op) []int {
	most := 0
	notation.Each(body, func(o notation.Op) {
		if a, ok := o.(*notation.Again); ok {
			most = max(most, len(a.Body))
		}
	})
	out := []int{0}
	for n := 2; n < most; n++ {
		out = append(out, n)
	}
	return out
}

func sameTotals(a, b []outcome) bool {
	for i := range a {
		if a[i].l.total() != b[i].l.total() || !a[i].l.left.total().zero() != !b[i].l.left.total().zero() {
			return false
		}
	}
	return true
}

func (r *run) ambAt(d *def, bit reading) (finding.Span, string) {
	at, words := d.row.Span, ""
	notation.Each(d.body, func(o notation.Op) {
		switch o := o.(type) {
		case *notation.Repeat:
			if bit&readTimes != 0 && o.To.Kind == notation.TimesInAll {
				at, words = o.To.Span, fmt.Sprintf("“%s times” may mean %s in all or %s more", numWords(o.To.N), numWords(o.To.N), numWords(o.To.N))
			}
		case *notation.Again:
			if bit&readTwice != 0 {
				at, words = o.Span, "“"+times(max(0, o.Times.For(0)))+"” may belong to the last stitch or to all that stands before it"
			}
		}
	})
	return at, words
}

func numWords(n notation.Num) string {
	if n.Single() {
		return fmt.Sprint(n.For(0))
	}
	var s []string
	for _, v := range n.Vals[1:] {
		s = append(s, fmt.Sprint(v))
	}
	return fmt.Sprintf("%d (%s)", n.Vals[0], strings.Join(s, ", "))
}

// sayReading tells which of two readings was taken.
func (r *run) sayReading(d *def, amb, taken reading, _ string) {
	switch {
	case amb&readTimes != 0:
		at, words := r.ambAt(d, readTimes)
		what := "only “more” comes out even and is taken"
		if taken&readTimes != 0 {
			what = "only “in all” comes out even and is taken"
		}
		r.add(finding.Finding{Code: "ambiguous-times", Span: at, Row: d.name, Message: words + "; " + what})
	case amb&readTwice != 0:
		at, words := r.ambAt(d, readTwice)
		what := "only the last stitch comes out even and is taken"
		if taken&readTwice != 0 {
			what = "only the whole list comes out even and is taken"
		}
		r.add(finding.Finding{Code: "ambiguous-times", Span: at, Row: d.name, Message: words + "; " + what})
	case amb&readRest != 0:
		r.add(finding.Finding{Code: "end-but-more", Span: d.row.Span, Row: d.name, Message: "“to end” is followed by more stitches; it is taken as far as they leave room"})
	case amb&readBO != 0:
		r.add(finding.Finding{Code: "bind-off-convention", Span: d.row.Span, Row: d.name, Message: "the stitch left on the needle by binding off is not counted in the next number"})
	}
}

func (r *run) sayBoth(d *def, bit reading, a, b []outcome) {
	at, words := r.ambAt(d, bit)
	if words == "" {
		return
	}
	say := func(o outcome) string {
		if o.f != nil {
			return "does not come out (" + o.f.msg + ")"
		}
		return "gives " + sts(o.l.total())
	}
	first, second := "“more”", "“in all”"
	if bit&readTwice != 0 {
		first, second = "the last stitch alone", "the whole list"
	}
	r.add(finding.Finding{Code: "ambiguous-times", Span: at, Row: d.name, Message: fmt.Sprintf("%s: %s %s, %s %s", words, first, say(a[0]), second, say(b[0]))})
}
