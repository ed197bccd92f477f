package needle

import (
	"rowproof/domain/notation"
)

// This file works a run of rows and sentences again: what stands between asterisks, or the last so
// many rows where they differ by size.

// shapedWithin says that sentences shape among the items, so that the rows alone are not all.
func shapedWithin(items []notation.Item) bool {
	for _, it := range items {
		switch it := it.(type) {
		case *notation.Shape:
			return true
		case *notation.Straight:
			if it.Change.Given() {
				return true
			}
		}
	}
	return false
}

// again works what stands between asterisks once more, so often as it says; its count is
// compared behind the last time.
func (r *run) again(it *notation.RepRows, items []notation.Item) {
	left := map[int]int{} // how often still, by size
	most := 0
	for _, l := range r.lanes {
		n := it.Times.N.For(l.size)
		if it.Times.Kind == notation.TimesTotal {
			n--
		}
		left[l.size] = n
		most = max(most, n)
	}
	for k := 0; k < min(most, maxPasses); k++ {
		if !r.w.spend(len(items)) {
			return
		}
		var now []*lane
		var only []int
		for _, l := range r.lanes {
			if k < left[l.size] {
				now, only = append(now, l), append(only, l.size)
			}
		}
		if len(now) == len(r.lanes) {
			only = it.Only
		}
		for nth, x := range items {
			if r.watch != nil {
				r.watch.nth = nth
			}
			switch x := x.(type) {
			case *notation.Row:
				for _, d := range r.history {
					if d.row == x {
						r.passes([]*def{d}, now, &again{at: it.Span, words: it.Words, rows: 1}, 1, nil)
						break
					}
				}
			case *notation.Shape:
				plain := *x
				plain.Stated, plain.Only = nil, only
				r.merged(func() { r.shape(&plain) })
			case *notation.Straight:
				plain := *x
				plain.Stated, plain.Only = nil, only
				r.merged(func() { r.straight(&plain) })
			}
		}
	}
	r.statedAfter(it.Stated, r.lanes, nil, it.Span, it.Words)
}

// merged works a sentence again, and adds what it did to the entry it has already.
func (r *run) merged(work func()) {
	had := len(r.part.Rows)
	work()
	for k := had; k < len(r.part.Rows); k++ {
		e := r.part.Rows[k]
		for _, o := range r.part.Rows[:had] {
			if o.Row != nil || o.Span != e.Span || o.Name != e.Name {
				continue
			}
			for i := range e.Times {
				if e.Times[i] == 0 {
					continue
				}
				if o.Times[i] == 0 {
					o.First[i], o.Before[i] = e.First[i], e.Before[i]
				}
				o.Last[i], o.Times[i] = e.Last[i], o.Times[i]+e.Times[i]
			}
			r.part.Rows = append(r.part.Rows[:k], r.part.Rows[k+1:]...)
			k--
			break
		}
	}
}

// sinceRows finds where as many rows begin, for every size, as "the last 8 (7, 6) rows" names; it
// is the number of items where none do.
func sinceRows(items []notation.Item, lasts notation.Num, sizes int) int {
	if !lasts.Given() {
		return len(items)
	}
	rows := make([]int, sizes)
	for k := len(items) - 1; k >= 0; k-- {
		for size := range rows {
			switch it := items[k].(type) {
			case *notation.Row:
				rows[size] += max(1, len(it.Head.Numbers), it.Head.Next)
			case *notation.Straight:
				if !it.Rows.Given() {
					return len(items)
				}
				rows[size] += max(0, it.Rows.For(size))
			case *notation.Shape:
				if w := it.When; w.Next < 1 || w.Every != 0 || w.Then != nil {
					return len(items)
				}
				rows[size] += it.When.Next // "Inc 1 st at each end of next row"
			case *notation.RepRows, *notation.Begin, *notation.As:
				return len(items)
			}
		}
		same, beyond := true, false
		for size, n := range rows {
			same, beyond = same && n == lasts.For(size), beyond || n > lasts.For(size)
		}
		if same {
			return k
		}
		if beyond {
			break
		}
	}
	return len(items)
}
