package notation

import (
	"slices"
	"strings"
)

// This file parts a row that is told by the needle: each needle gets what is worked on it, and its targets are its own.

// endsOfNeedles says that a target so far is the end of a needle: "k to last 3 sts of first needle".
func endsOfNeedles(ops []Op) bool {
	for _, o := range ops {
		if u, ok := o.(*Until); ok && u.To.Name == "needle" {
			return true
		}
	}
	return false
}

// splitAtEnds marks the next needle where the stitches that "k to last 3 instep sts" left are worked and more
// follow.
func (p *parser) splitAtEnds(ops []Op) []Op {
	var out []Op
	marks, rest := 0, -1
	for i, o := range ops {
		m, isMark := o.(*Mark)
		if isMark && m.Do == "needle" {
			if len(m.Name) != 1 {
				return ops // of several, or of sides
			}
			marks++
			rest = -1
		} else if rest == 0 {
			marks++
			out = append(out, &Mark{Do: "needle", Name: itoa(marks), Span: SpanOf(o)})
			rest = -1
		}
		if isMark && m.Do == "needle" && m.Name != itoa(marks) {
			c := *m
			c.Name = itoa(marks)
			out = append(out, &c)
			continue
		}
		out = append(out, o)
		switch o := o.(type) {
		case *Until:
			rest = -1
			if o.To.Name == "needle" && o.To.Kind == ToLast && o.To.N.Single() {
				rest = o.To.N.For(0)
			}
		case *Do:
			if rest > 0 {
				if s := p.vocab.Stitch(o.Key); s != nil && s.In != "" {
					in, _ := s.Counts(o.Params)
					n := 1
					if o.Times.Given() {
						n = o.Times.For(0)
					}
					rest -= in * n
				} else {
					rest = -1
				}
				if i == len(ops)-1 || rest < 0 {
					rest = -1
				}
			}
		case *Remark:
		default:
			if !isMark {
				rest = -1
			}
		}
	}
	return out
}

// segmentOf is what is worked on needle n, or on the last one where n is -1.
func segmentOf(ops []Op, n int) []Op {
	var seg []Op
	found := false
	for _, o := range ops {
		if m, ok := o.(*Mark); ok && m.Do == "needle" {
			if found && n > 0 {
				return seg
			}
			found = n < 0 || m.Name == itoa(n)
			seg = nil
			continue
		}
		if found {
			seg = append(seg, o)
		}
	}
	return seg
}

// copyOps copies ops whose targets onNeedles may change.
func copyOps(ops []Op) []Op {
	out := make([]Op, len(ops))
	for i, o := range ops {
		switch o := o.(type) {
		case *Until:
			c := *o
			out[i] = &c
		case *Repeat:
			c := *o
			out[i] = &c
		default:
			out[i] = o
		}
	}
	return out
}

// expandNeedles gives each needle of a label of several its part of the row, in the order of the needles;
// what is worked on each of them all is a repeat.
func expandNeedles(ops []Op) []Op {
	type segment struct {
		n   int
		ops []Op
	}
	var head []Op
	var segs []segment
	several := false
	at := -1
	for i := 0; i <= len(ops); i++ {
		m, ok := (*Mark)(nil), i == len(ops)
		if !ok {
			m, ok = ops[i].(*Mark)
			ok = ok && m.Do == "needle"
		}
		if !ok {
			continue
		}
		if at < 0 {
			head = ops[:i]
		} else {
			label, body := ops[at].(*Mark), ops[at+1:i]
			if label.Name == "each" {
				if len(segs) > 0 || i < len(ops) || len(body) == 0 {
					return ops
				}
				limit(body)
				return append(head[:len(head):len(head)], &Repeat{Body: body, Mark: "*", To: Target{Kind: ToEnd, Span: label.Span}, Span: label.Span})
			}
			for k, name := range strings.Split(label.Name, "+") {
				c := *label
				c.Name = name
				several = several || k > 0
				segs = append(segs, segment{int(name[len(name)-1] - '0'), append([]Op{&c}, copyOps(body)...)})
			}
		}
		at = i
	}
	if !several {
		return ops
	}
	slices.SortStableFunc(segs, func(a, b segment) int { return a.n - b.n })
	out := append([]Op(nil), head...)
	for _, s := range segs {
		out = append(out, s.ops...)
	}
	return out
}

// limit makes the targets of what is worked on one needle those of the needle.
func limit(ops []Op) {
	for _, o := range ops {
		limitOf(o, true)
	}
}

// limitOf makes the target of o, where it has one, that of its needle; toEnd says whether "to end" is, too.
func limitOf(o Op, toEnd bool) {
	var to *Target
	switch o := o.(type) {
	case *Until:
		to = &o.To
	case *Repeat:
		to = &o.To
	default:
		return
	}
	switch {
	case to.Kind == ToLast && to.Name == "":
		to.Name = "needle"
	case to.Kind == ToEnd && toEnd:
		to.Kind, to.Name, to.N = ToLast, "needle", N(0)
	}
}

// onNeedles gives the targets within each needle's part of a row their meaning: "to
// last 3 sts" is of that needle, and so is "to end" unless the needle is the last.
func onNeedles(ops []Op) {
	last := -1
	for i, o := range ops {
		if m, ok := o.(*Mark); ok && m.Do == "needle" {
			last = i
		}
	}
	within := false
	for i, o := range ops {
		if m, ok := o.(*Mark); ok && m.Do == "needle" {
			within = true
		} else if within {
			limitOf(o, i < last)
		}
	}
}

// withNeedles is behind a label that only says which needles are meant, "US 7:", "US 7, RS:", "4 mm:"; 0 where none
// opens the line.
func (p *parser) withNeedles() int {
	k := 0
	switch {
	case p.w(0) == "us" && p.at(1).Kind == Number:
		k = 2
	case p.at(0).Kind == Number && p.w(1) == "mm":
		k = p.skipWords(2, "needle", "needles", "circ", "dpn", "dpns")
	default:
		return 0
	}
	if _, j, ok := p.sideWord(p.skipWords(k, ",")); ok {
		k = j
	}
	if p.w(k) != ":" {
		return 0
	}
	return k + 1
}
