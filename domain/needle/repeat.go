package needle

import (
	"fmt"
	"slices"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// This file works rows again: "rep Rows 1–8 5 times more".

// repRows works rows again.
func (r *run) repRows(it *notation.RepRows) {
	defs := r.refs(it)
	if defs == nil {
		return
	}
	only := it.Only
	var lanes []*lane
	for _, l := range r.lanes {
		if only != nil && !contains(only, l.size) || r.only != nil && !contains(r.only, l.size) {
			continue
		}
		lanes = append(lanes, l)
	}
	ag := &again{at: it.Span, words: it.Words, rows: len(defs)}
	done := true
	for _, d := range defs {
		done = done && d.done
	}
	if r.asideMul || len(r.lanes) > 0 && r.lanes[0].left.total().C != 0 {
		r.noteRepeated(defs)
	}
	if r.asideMul || len(r.lanes) > 0 && r.lanes[0].left.total().C != 0 {
		// a stitch pattern: once more shows whether the rows join
		r.passes(defs, lanes, ag, 1, nil)
		r.lastPass(it, defs, lanes, ag)
		return
	}
	timed := it.Times.N.Given() || it.When.Every > 0
	if r.tracePasses > 0 && !timed && !it.Until.Sts.Given() && !it.Until.AllWorked && !it.Until.Aside.Given() {
		r.passes(defs, lanes, ag, r.tracePasses, nil)
		r.lastPass(it, defs, lanes, ag)
		return
	}
	if r.cols && (!timed || r.window > 0) {
		r.passes(defs, lanes, ag, columnPasses, nil)
		r.lastPass(it, defs, lanes, ag)
		return
	}
	r.noteRepeated(defs)
	start := make([]*lane, len(r.lanes))
	for i, l := range r.lanes {
		start[i] = l.clone()
	}
	count := func(kind notation.TargetKind, l *lane) int {
		n := it.Times.N.For(l.size)
		if n < 0 {
			return 0
		}
		switch kind {
		case notation.TimesTotal:
			if done {
				return max(0, n-1)
			}
			return n
		default:
			return n
		}
	}
	switch {
	case it.When.Every > 0:
		r.repEvery(it, defs, lanes, ag)
	case it.Times.N.Given():
		kind := it.Times.Kind
		if last := len(r.history) - 1; kind == notation.TimesInAll && done && last >= 0 && len(defs) > 0 && r.history[last] != defs[len(defs)-1] {
			kind = notation.TimesMore // other rows stand between: so many times, nothing to doubt
		}
		if kind == notation.TimesInAll && done {
			kind = r.settleTimes(it, lanes, defs)
		} else if kind == notation.TimesInAll {
			kind = notation.TimesMore
		}
		per := map[int]int{}
		most := 0
		for _, l := range lanes {
			per[l.size] = count(kind, l)
			most = max(most, per[l.size])
		}
		end := it.EndRow
		for k := 0; k < most; k++ {
			var now []*lane
			for _, l := range lanes {
				if k < per[l.size] {
					now = append(now, l)
				}
			}
			ds := defs
			if end > 0 && k == most-1 {
				ds = upTo(defs, end)
			}
			if !r.passes(ds, now, ag, 1, nil) {
				break
			}
		}
	case it.Until.Aside.Given():
		r.untilAside(it, defs, lanes, ag)
	case it.Until.AllWorked:
		sts := notation.Num{}
		for _, s := range it.Stated {
			if s.Kind == notation.CountAll {
				sts = s.N
			}
		}
		if sts.Given() {
			u := *it
			u.Until.Sts = sts
			r.untilSts(&u, defs, lanes, ag)
			r.leftOutside(it, lanes, sts)
			break
		}
		r.whileTheyFit(defs, lanes, ag)
		for k := 1; k < len(defs); k++ { // and the first of them, where they fit once more
			if !r.whileTheyFit(defs[:len(defs)-k], lanes, ag) {
				continue
			}
			break
		}
	case it.Until.Rows.Given():
		for _, l := range lanes {
			n := (min(it.Until.Rows.For(l.size), maxRows) - l.rows) / max(1, len(defs))
			r.passes(defs, []*lane{l}, ag, max(0, n), nil)
		}
	case it.Until.Sts.Given():
		r.untilSts(it, defs, lanes, ag)
	case it.Until.Length != "":
		r.untilLength(it, defs, lanes, ag)
		if it.EndRow > 0 && it.Until.Ends == "" && len(upTo(defs, it.EndRow)) < len(defs) {
			r.lastPass(it, defs, lanes, ag)
		}
	case it.EndRow > 0:
		r.passes(upTo(defs, it.EndRow), lanes, ag, 1, nil)
	default:
		r.passes(defs, lanes, ag, 1, nil)
	}
	r.statedAfter(it.Stated, lanes, start, it.Span, it.Words)
}

// lastPass ends a repeat in the row that it says: "…, ending with Row 5".
func (r *run) lastPass(it *notation.RepRows, defs []*def, lanes []*lane, ag *again) {
	if it.EndRow > 0 {
		r.passes(upTo(defs, it.EndRow), lanes, ag, 1, nil)
	}
}

// whileTheyFit works rows again and again that turn before their ends, as long as the stitches
// last; it reports whether they were worked at all.
func (r *run) whileTheyFit(defs []*def, lanes []*lane, ag *again) bool {
	for k := 0; k < 200; k++ {
		var go_ []*lane
		for _, l := range lanes {
			c := l.clone()
			ok := true
			for _, d := range defs {
				out, _ := r.try(d, []*lane{c}, 0, false)
				if ok = out[0].f == nil; !ok {
					break
				}
				c = out[0].l
				c.endRow()
			}
			if ok && c.short {
				go_ = append(go_, l)
			}
		}
		if len(go_) == 0 {
			return k > 0
		}
		r.passes(defs, go_, ag, 1, nil)
	}
	return true
}

// repEvery works rows again every so many rows, with rows worked even between
// them: "rep Inc row every 8th (6th) row 3 (5) times, then every 6th (4th) row once".
func (r *run) repEvery(it *notation.RepRows, defs []*def, lanes []*lane, ag *again) {
	between := r.sentenceDef(shapeName(it.Words), it.Span) // the rows worked even
	for w := &it.When; w != nil; w = w.Then {
		even := map[int]int{} // rows between, per size
		left := map[int]int{}
		most := 0
		for _, l := range lanes {
			n, every := w.Times.For(l.size), r.everyFor(w, l)
			if !w.Times.Given() {
				n = r.timesToReach(it, defs, l, w)
			}
			if w == &it.When && w.Times.Given() && n > 0 && r.firstIsOne(it, defs, l, n) {
				n--
			}
			if n <= 0 || every == notation.Skip {
				continue
			}
			even[l.size], left[l.size] = max(0, every-len(defs)), min(n, maxRows)
			most = max(most, left[l.size])
		}
		for k := 0; k < most; k++ {
			var now []*lane
			for _, l := range lanes {
				if k < left[l.size] {
					now = append(now, l)
					n := even[l.size]
					if k == 0 {
						n -= r.rowsSince(defs, l)
						if last := len(r.history) - 1; w.First && last >= 0 && r.history[last] != defs[len(defs)-1] {
							n = 0 // "on the next row and every RS row …", behind other rows
						}
					}
					if n > 0 {
						t := r.workEven(l, &notation.Straight{Span: it.Span}, n, true)
						between.entry.even(indexOf(r.lanes, l), n, t)
					}
				}
			}
			if !r.passes(defs, now, ag, 1, nil) {
				return
			}
		}
	}
}

// firstIsOne says that the row shaped already is one of the n times: where they are
// said to be in all, or where only so the count behind them comes out.
func (r *run) firstIsOne(it *notation.RepRows, defs []*def, l *lane, n int) bool {
	for _, d := range defs {
		if !d.done {
			return false
		}
	}
	if it.When.Total {
		return true
	}
	if !it.Ref.This || it.When.More || it.When.Then != nil {
		return false
	}
	for _, s := range it.Stated {
		if s.Kind == notation.CountAll {
			diff, per := s.N.For(l.size)-l.total().D, r.passChange(defs, l)
			return diff == (n-1)*per && diff != n*per
		}
	}
	return false
}

// rowsSince is how many rows were worked on a lane since the last of these; they
// count toward the interval to the next.
func (r *run) rowsSince(defs []*def, l *lane) int {
	d, k := defs[len(defs)-1], indexOf(r.lanes, l)
	if d.at[k] == 0 {
		return 0
	}
	return l.rows - d.at[k]
}

// even notes rows more that were worked without shaping.
func (e *Entry) even(k, rows int, t Lin) {
	c := Count{t.D, t.C == 0}
	if e.Times[k] == 0 {
		e.First[k], e.Before[k] = c, c
	}
	e.Times[k] += rows
	e.Last[k] = c
}

// timesToReach is how often rows are worked to come to the number of stitches
// that a sentence ends with; once where it tells none.
func (r *run) timesToReach(it *notation.RepRows, defs []*def, l *lane, w *notation.When) int {
	want := it.Until.Sts
	for _, s := range it.Stated {
		if s.Kind == notation.CountAll && !want.Given() {
			want = s.N
		}
	}
	per := r.passChange(defs, l)
	if !want.Given() || per == 0 || w.Then != nil {
		return 1
	}
	diff := want.For(l.size) - l.total().D
	if diff%per != 0 || diff/per < 0 {
		return 1
	}
	return diff / per
}

// noteRepeated records what one pass of the first rows that are repeated has gained.
func (r *run) noteRepeated(defs []*def) {
	if r.repeated || r.silent {
		return
	}
	r.repeated = true
	r.firstBlock = nil
	var change *int
	for k := range r.lanes {
		sum := Lin{}
		worked := false
		for _, d := range defs {
			if d.entry.Times[k] == 0 {
				continue
			}
			worked = true
			sum = sum.plus(d.after[k].minus(d.before[k]))
		}
		if !worked {
			continue
		}
		if sum.C != 0 || change != nil && *change != sum.D {
			return
		}
		v := sum.D
		change = &v
	}
	r.firstBlock = change
}

// passes works the rows n times on the lanes given.
func (r *run) passes(defs []*def, lanes []*lane, ag *again, n int, stop func() bool) bool {
	all := r.lanes
	idle := map[*lane]bool{}
	for _, l := range all {
		idle[l] = true
	}
	for _, l := range lanes {
		idle[l] = false
	}
	was := r.only
	if len(lanes) != len(all) {
		r.only = []int{}
		for _, l := range lanes {
			r.only = append(r.only, l.size)
		}
	}
	defer func() { r.only = was }()
	for k := 0; k < n; k++ {
		for i, d := range defs {
			if r.watch != nil && len(defs) > 1 {
				r.watch.nth = i
			}
			if !r.w.spend(1) {
				return false
			}
			r.exec(d, true, ag)
			if r.silent && r.fail != nil || stop != nil && stop() {
				return false
			}
		}
	}
	return true
}

// timesByNumber settles it by the number of the row that comes next: "1st row: … Repeat this row 7 times. 9th row: …".
func (r *run) timesByNumber(it *notation.RepRows, defs []*def) (notation.TargetKind, bool) {
	at := slices.IndexFunc(r.part.items, func(x notation.Item) bool { return x == notation.Item(it) })
	if at < 0 || len(r.lanes) == 0 || !it.Times.N.Single() {
		return "", false
	}
	for _, x := range r.part.items[at+1:] {
		switch x := x.(type) {
		case *notation.Blank, *notation.Prose:
			continue
		case *notation.Row:
			if len(x.Head.Numbers) == 0 || x.Head.Numbers[0] < 2 {
				return "", false
			}
			worked, n := r.lanes[0].rows-r.numberedFrom, it.Times.N.For(0)
			switch x.Head.Numbers[0] - 1 {
			case worked + n*len(defs):
				return notation.TimesMore, true
			case worked + (n-1)*len(defs):
				return notation.TimesTotal, true
			}
		}
		return "", false
	}
	return "", false
}

// settleTimes decides between "3 times in all" and "3 times more" by the count
// that is stated behind, where it can.
func (r *run) settleTimes(it *notation.RepRows, lanes []*lane, defs []*def) notation.TargetKind {
	if it.Times.N.Single() && it.Times.N.For(0) == 1 { // "Repeat the last 2 rows once": in all, it would ask for nothing
		return notation.TimesMore
	}
	if kind, ok := r.timesByNumber(it, defs); ok {
		return kind
	}
	var want *notation.Stated
	for i := range it.Stated {
		if it.Stated[i].Kind == notation.CountAll {
			want = &it.Stated[i]
		}
	}
	words := fmt.Sprintf("“%s times” may mean in all or more", numWords(it.Times.N))
	if want != nil && r.firstBlockChange(defs) {
		fits := func(less int) bool {
			ok := true
			for _, l := range lanes {
				n := it.Times.N.For(l.size) - less
				if n < 0 {
					n = 0
				}
				per := r.passChange(defs, l)
				if w := want.N.For(l.size); w >= 0 && l.total().D+n*per != w {
					ok = false
				}
			}
			return ok
		}
		more, total := fits(0), fits(1)
		if more != total {
			kind, say := notation.TimesMore, "“more” and is taken"
			if total {
				kind, say = notation.TimesTotal, "“in all” and is taken"
			}
			r.add(finding.Finding{Code: "ambiguous-times", Span: it.Times.Span, Row: it.Words, Message: words + "; only with the count stated behind agrees " + say})
			return kind
		}
	}
	say := words
	if len(lanes) > 0 {
		l := lanes[0]
		n := it.Times.N.For(l.size)
		if per := r.passChange(defs, l); per != 0 && n > 0 {
			say += fmt.Sprintf(": in all gives %s, more gives %s", sts(K(l.total().D+(n-1)*per)), sts(K(l.total().D+n*per)))
		}
	}
	if !r.firstBlockChange(defs) && slices.ContainsFunc(r.res.Findings.Findings, func(f finding.Finding) bool { return f.Code == "ambiguous-times" }) {
		// said aloud once already, and no count depends on it
		r.add(finding.Finding{Code: "times-unsaid", Span: it.Times.Span, Row: it.Words, Message: say + "; no count depends on it"})
		return notation.TimesMore
	}
	r.add(finding.Finding{Code: "ambiguous-times", Span: it.Times.Span, Row: it.Words, Message: say + "; say “in all” or “more”"})
	return notation.TimesMore
}

func (r *run) firstBlockChange(defs []*def) bool {
	for _, l := range r.lanes {
		if r.passChange(defs, l) != 0 {
			return true
		}
	}
	return false
}

// passChange is what one pass of the rows gained when last worked.
func (r *run) passChange(defs []*def, l *lane) int {
	k := indexOf(r.lanes, l)
	sum := 0
	for _, d := range defs {
		if d.entry.First[k].Known && d.entry.Before[k].Known {
			sum += d.entry.First[k].N - d.entry.Before[k].N
		}
	}
	return sum
}

// notByAll leaves out, of rows that are worked so many times in all, the sizes for which that is never:
// "Work Rnds 3 and 4 a total of – (1, 3, 4) times".
func (r *run) notByAll(block []notation.Item, next *notation.RepRows) {
	sizes := len(r.ms.Sizes)
	if next == nil || next.Times.Kind != notation.TimesTotal || next.Times.N.Single() || len(next.Ref.Numbers) == 0 {
		return
	}
	var some []int
	for k := range sizes {
		if next.Times.N.For(k) > 0 {
			some = append(some, k)
		}
	}
	if len(some) == 0 || len(some) == sizes {
		return
	}
	for _, it := range block {
		row, ok := it.(*notation.Row)
		if !ok || row.Only != nil || len(row.Head.Numbers) == 0 {
			continue
		}
		all := true
		for _, n := range row.Head.Numbers {
			all = all && slices.Contains(next.Ref.Numbers, n)
		}
		if all {
			if r.some == nil {
				r.some = map[*notation.Row][]int{}
			}
			r.some[row] = some
		}
	}
}
