package fabric

import (
	"slices"

	"rowproof/domain/needle"
)

// over passes loops over the last one: "sl 1, k2tog, psso" becomes one decrease.
func (b *builder) over(e *needle.Event) error {
	b.closeCrossing()
	if e.In > 0 { // the next loop on the left needle is passed over the last worked one
		in, err := b.take(e.In)
		if err != nil {
			return err
		}
		if len(b.works) == 0 || len(b.right) == 0 {
			return errRunsOut
		}
		w := &b.works[len(b.works)-1]
		b.passed(in, b.right[len(b.right)-1])
		w.In = append(slices.Clone(w.In), in...)
		w.Kind, w.Lean = Dec, 'r'
		return nil
	}
	n := -e.Out
	if len(b.right) <= n || len(b.works) == 0 {
		return errRunsOut
	}
	top := len(b.right) - 1
	// the loops passed: slipped ones of this row not far back, else those under the top
	first := top - n
	slippedAt := func(i int) bool {
		id := b.right[i]
		return b.f.Loops[id].Row != b.at && b.works[b.workAt(id)].Kind == Slip
	}
	for i := top - 1; i >= 0 && i >= top-6 && e.Key != "pso"; i-- {
		if b.workAt(b.right[i]) < 0 {
			break
		}
		if slippedAt(i) {
			first = i - n + 1
			break
		}
	}
	if first < 0 {
		return errRunsOut
	}
	passed := slices.Clone(b.right[first : first+n])
	from := b.workAt(passed[0])
	if from < 0 {
		return errRunsOut
	}
	b.right = slices.Delete(b.right, first, first+n)
	rest := b.works[from:]
	w := Work{Row: b.at, Yarn: rest[len(rest)-1].Yarn, Kind: Dec, Lean: 'l'}
	for i := range rest {
		x := &rest[i]
		for _, id := range x.In {
			if !slices.Contains(w.Out, id) {
				w.In = append(w.In, id)
			}
		}
		w.Out = append(w.Out, x.Out...)
	}
	w.Out = slices.DeleteFunc(w.Out, func(id ID) bool { return slices.Contains(passed, id) })
	w.In = slices.DeleteFunc(w.In, func(id ID) bool { return b.f.Loops[id].Row == b.at })
	lastWork := rest[len(rest)-1]
	switch {
	case len(w.Out) > 1 || len(w.In) == 0:
		w.Kind, w.Key = Cluster, "passed over"
	case len(w.In) == 1:
		w.Kind, w.Key = Plain, "passed over"
	case len(w.In) == 2:
		w.Key = "skp"
	case len(w.In) == 3 && (n == 2 && rest[0].Kind == Slip && rest[0].Lean == 'c' || n == 2 && len(lastWork.In) == 1 && len(rest) <= 3):
		w.Key, w.Lean = "s2kp", 'c'
	case len(w.In) == 3:
		w.Key = "sk2p"
	default:
		w.Key, w.Lean = "passed over", 'c'
	}
	w.Purl = lastWork.Purl
	if w.Kind != Dec {
		w.Lean = 0
	}
	last := b.right[len(b.right)-1]
	for _, id := range passed {
		if l := &b.f.Loops[id]; l.Row != b.at && l.Slips > 0 {
			l.Slips--
		}
	}
	b.passed(passed, last)
	if l := &b.f.Loops[last]; w.Lean == 'c' && len(l.par) == 3 && len(w.In) == 3 {
		l.par[0], l.par[1], l.par[2] = w.In[1], w.In[0], w.In[2] // two slipped together: the second lies on top
	}
	b.works = append(b.works[:from], w)
	return nil
}

// passed notes that loops were lifted over last, which now stands through them.
func (b *builder) passed(ids []ID, last ID) {
	l := &b.f.Loops[last]
	if l.Row == b.at {
		l.par = append(b.list(ids...), l.par...)
	}
	for _, id := range ids {
		q := &b.f.Loops[id]
		q.Child, q.End, q.EndRow = last, Worked, b.at
	}
}

// workAt is the index, among the works of the row at hand, of the one that left
// id on the right needle; -1 where none did.
func (b *builder) workAt(id ID) int {
	for i := len(b.works) - 1; i >= 0 && i >= len(b.works)-12; i-- {
		if slices.Contains(b.works[i].Out, id) {
			return i
		}
	}
	return -1
}

// settle leaves out what came to nothing within the row: loops worked again
// after they were returned to the left needle, and slips of such loops.
func (b *builder) settle(works []Work) []Work {
	plain := true
	for i := range works {
		for _, id := range works[i].Out {
			l := &b.f.Loops[id]
			plain = plain && (l.EndRow != b.at || l.End == Live)
		}
	}
	seen := map[ID]bool{}
	if plain {
		again := false
		for i := range works {
			if works[i].Kind == Slip {
				for _, id := range works[i].In {
					again = again || b.f.Loops[id].Row == b.at || seen[id]
					seen[id] = true
				}
			}
		}
		if !again {
			return works
		}
	}
	out := works[:0]
	owner := map[ID][]ID{} // a loop made in this row -> what it was made of
	taken := map[ID]bool{}
	for _, w := range works {
		var in []ID
		for _, id := range w.In {
			if from, ok := owner[id]; ok {
				in = append(in, from...)
				continue
			}
			if !taken[id] {
				in = append(in, id)
				taken[id] = true
			}
		}
		gone := true
		var keep []ID
		for _, id := range w.Out {
			l := &b.f.Loops[id]
			if l.EndRow == b.at && l.End != Live {
				owner[id] = in
				in = nil
				continue
			}
			gone = false
			keep = append(keep, id)
		}
		if gone && len(w.Out) > 0 {
			continue // taken up again by a later working
		}
		if w.Kind == Slip {
			again := false
			for i := range out {
				again = again || slices.ContainsFunc(out[i].Out, func(id ID) bool { return slices.Contains(keep, id) })
			}
			if again {
				continue
			}
		}
		if len(in) != len(w.In) || len(keep) != len(w.Out) {
			w.In, w.Out = in, keep
			switch {
			case w.Kind == BindOffCell || w.Kind == Drop || w.Kind == Own || w.Kind == Held:
			case len(in) > len(keep) && len(keep) > 0:
				w.Kind = Dec
				if w.Lean == 0 {
					w.Lean = 'r'
				}
			case len(in) < len(keep) && len(in) > 0:
				w.Kind = Inc
			case len(in) == len(keep) && len(in) > 1:
				w.Kind = Cluster
			}
		}
		out = append(out, w)
	}
	return out
}
