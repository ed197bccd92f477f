package needle

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// maxRows bounds the rows one sentence may have worked.
const maxRows = 20000

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
		if it.Times.N.Given() || it.Until.Given() || true {
			r.passes(defs, lanes, ag, 1, nil)
		}
		return
	}
	if r.tracePasses > 0 && !it.Times.N.Given() && !it.Until.Sts.Given() && !it.Until.AllWorked {
		r.passes(defs, lanes, ag, r.tracePasses, nil)
		return
	}
	if r.cols && (!it.Times.N.Given() || r.window > 0) {
		r.passes(defs, lanes, ag, columnPasses, nil)
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
			break
		}
		for k := 0; k < 200; k++ {
			var go_ []*lane
			for _, l := range lanes {
				c := l.clone()
				ok := true
				for _, d := range defs {
					if out, _ := r.try(d, []*lane{c}, 0, false); out[0].f != nil {
						ok = false
						break
					} else {
						c = out[0].l
						c.endRow()
					}
				}
				if ok && c.short {
					go_ = append(go_, l)
				}
			}
			if len(go_) == 0 {
				break
			}
			r.passes(defs, go_, ag, 1, nil)
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
	case it.EndRow > 0:
		r.passes(upTo(defs, it.EndRow), lanes, ag, 1, nil)
	default:
		r.passes(defs, lanes, ag, 1, nil)
	}
	r.statedAfter(it.Stated, lanes, start, it.Span, it.Words)
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
			if d.before == nil || d.entry.Times[k] == 0 {
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

func upTo(defs []*def, end int) []*def {
	for i, d := range defs {
		if d.number == end {
			return defs[:i+1]
		}
	}
	return defs
}

// refs finds the rows a sentence names.
func (r *run) refs(it *notation.RepRows) []*def {
	miss := func(what string) []*def {
		r.add(finding.Finding{Code: "rows-not-given", Span: it.Span, Row: it.Words, Message: "“" + it.Words + "” names " + what + ", which is not given here"})
		if r.silent && r.fail == nil {
			r.fail = &failure{code: "rows-not-given"}
		}
		return nil
	}
	switch {
	case it.Ref.Star != "":
		if r.star >= len(r.history) {
			return miss("the rows since " + it.Ref.Star)
		}
		return append([]*def(nil), r.history[r.star:]...)
	case it.Ref.Words != "":
		if d := r.wordDef(it.Ref.Words); d != nil {
			return []*def{d}
		}
		return miss("“" + it.Ref.Words + "”")
	case it.Ref.Last > 0:
		if len(r.history) < it.Ref.Last {
			if len(r.numbers) >= it.Ref.Last {
				break
			}
			return miss(fmt.Sprintf("the last %d rows", it.Ref.Last))
		}
		return append([]*def(nil), r.history[len(r.history)-it.Ref.Last:]...)
	case it.Ref.Last < 0:
		var out []*def
		for n := 1; n <= notation.MaxRowNumber; n++ {
			if d := r.numbers[n]; d != nil {
				out = append(out, d)
			}
		}
		if len(out) > 0 {
			return out
		}
		return r.history[max(0, len(r.history)-2):]
	}
	table := r.numbers
	if it.Ref.Section != "" {
		if t := r.scope(it.Ref.Section); t != nil {
			table = r.adopt(t, it.Ref.Numbers)
		}
	}
	var out []*def
	for _, n := range it.Ref.Numbers {
		d := table[n]
		if d == nil {
			return miss("row " + itoa(n))
		}
		out = append(out, d)
	}
	return out
}

// scope finds the rows given under a heading, or in a part.
func (r *run) scope(name string) map[int]*def {
	k := strings.ToLower(strings.TrimSpace(name))
	for _, drop := range []string{"the ", " pattern", " patt", " st", " stitch", " chart"} {
		k = strings.TrimSuffix(strings.TrimPrefix(k, drop), drop)
	}
	if t := r.scopes[k]; t != nil {
		return t
	}
	var best map[int]*def
	bestName := ""
	for n, t := range r.scopes {
		if k != "" && (strings.HasPrefix(n, k) || strings.HasPrefix(k, n)) && (best == nil || n < bestName) {
			best, bestName = t, n
		}
	}
	return best
}

func atoi(s string) int {
	n, _ := strconv.Atoi(s)
	return n
}

// adopt makes rows of another piece or stitch pattern rows of this part.
func (r *run) adopt(t map[int]*def, ns []int) map[int]*def {
	own := map[*Entry]bool{}
	for _, e := range r.part.Rows {
		own[e] = true
	}
	out := map[int]*def{}
	for n, d := range t {
		out[n] = d
	}
	for _, n := range ns {
		d := t[n]
		if d == nil || own[d.entry] {
			continue
		}
		row := *d.row
		row.As = nil
		row.Body = d.body
		row.Stated = nil
		if c := r.define(&row, d.name, n, nil); c != nil {
			out[n] = c
		}
	}
	r.numbers = out
	return out
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
		for _, d := range defs {
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

// settleTimes decides between "3 times in all" and "3 times more" by the count
// that is stated behind, where it can.
func (r *run) settleTimes(it *notation.RepRows, lanes []*lane, defs []*def) notation.TargetKind {
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

func (r *run) untilSts(it *notation.RepRows, defs []*def, lanes []*lane, ag *again) {
	left := append([]*lane(nil), lanes...)
	for pass := 0; len(left) > 0 && pass < maxRows; pass++ {
		var now []*lane
		for _, l := range left {
			if want := it.Until.Sts.For(l.size); want >= 0 && l.total().D != want && !l.tainted {
				now = append(now, l)
			}
		}
		if len(now) == 0 {
			return
		}
		before := map[*lane]int{}
		for _, l := range now {
			before[l] = l.total().D
		}
		// within the pass a lane stops where it has what is wanted
		for _, d := range defs {
			var go_ []*lane
			for _, l := range now {
				if l.total().D != it.Until.Sts.For(l.size) || it.Until.Ends != "" && l.side != other(it.Until.Ends) {
					go_ = append(go_, l)
				}
			}
			if len(go_) == 0 {
				break
			}
			if !r.passes([]*def{d}, go_, ag, 1, nil) && r.silent && r.fail != nil {
				return
			}
		}
		var bad []*lane
		left = left[:0]
		for _, l := range now {
			want := it.Until.Sts.For(l.size)
			got := l.total().D
			gone := (got-want)*(before[l]-want) < 0
			if got != want && (gone || got == before[l]) {
				if !l.tainted {
					bad = append(bad, l)
				}
				continue
			}
			left = append(left, l)
		}
		if len(bad) > 0 {
			l := bad[0]
			msg := fmt.Sprintf("%s are never reached: the rows go from %s to %s", sts(K(it.Until.Sts.For(l.size))), sts(K(before[l])), sts(l.total()))
			if n := r.sizeName(l); n != "" && len(r.lanes) > 1 {
				msg = "size " + n + ": " + msg
			}
			r.add(finding.Finding{Code: "count-never-reached", Span: it.Span, Row: it.Words, Sizes: r.sizesOf(bad), Message: msg})
			if r.silent && r.fail == nil {
				r.fail = &failure{code: "count-never-reached"}
			}
			for _, l := range bad {
				want := K(max(0, it.Until.Sts.For(l.size)))
				l.left, l.right = newStack(want), newStack(Lin{})
			}
		}
	}
}

// centimetres reads a length as the trade writes it; 0 where it is not known.
func centimetres(s string) float64 {
	toks := strings.FieldsFunc(strings.ToLower(strings.NewReplacer("½", ".5", "¼", ".25", "¾", ".75", "\"", " in ", "(", " ( ", ")", " ) ", ",", " ").Replace(s)), func(r rune) bool { return r == ' ' || r == '\u00a0' })
	var v float64
	for _, t := range toks {
		num := strings.TrimRight(t, "cmin")
		if f, err := strconv.ParseFloat(num, 64); err == nil && v == 0 {
			v = f
			if strings.HasSuffix(t, "cm") {
				return v
			}
			continue
		}
		switch {
		case strings.HasPrefix(t, "cm"):
			return v
		case t == "mm":
			return v / 10
		case strings.HasPrefix(t, "in"):
			return v * 2.54
		}
	}
	return 0
}

func (r *run) untilLength(it *notation.RepRows, defs []*def, lanes []*lane, ag *again) {
	cm := centimetres(it.Until.Length)
	for _, l := range lanes {
		n := 1
		if cm > 0 && r.rowsPer10 > 0 {
			want := int(math.Round(cm * r.rowsPer10 / 10))
			if k := (want - l.rows) / max(1, len(defs)); k > 0 {
				n = min(k, 2000)
			}
		}
		if r.passChange(defs, l) != 0 {
			n = 1
		}
		r.passes(defs, []*lane{l}, ag, n, nil)
		r.endSide(l, it.Until.Ends)
	}
	if it.Until.Ends == "" && len(defs)%2 == 1 {
		for _, l := range lanes {
			l.side = ""
		}
	}
}

func (r *run) endSide(l *lane, ends string) {
	if ends != "" && !r.part.Round {
		l.side = other(ends)
	}
}

// statedAfter checks the counts written behind a sentence.
func (r *run) statedAfter(st []notation.Stated, lanes []*lane, start []*lane, at finding.Span, words string) {
	if len(st) == 0 {
		return
	}
	var bad []*lane
	var first *failure
	for _, l := range lanes {
		before := Lin{}
		if k := indexOf(r.lanes, l); k < len(start) && start[k] != nil {
			before = start[k].total()
		}
		only := make([]notation.Stated, 0, len(st))
		for _, s := range st {
			if s.Kind == notation.CountAll || s.Kind == notation.CountBetween {
				only = append(only, s)
			}
		}
		f := r.stated(l, before, only)
		if f == nil {
			if len(only) > 0 {
				l.tainted = false
			}
			continue
		}
		if l.tainted {
			for _, s := range only {
				if s.Kind != notation.CountAll {
					continue
				}
				l.left, l.right, l.tainted = newStack(K(max(0, s.N.For(l.size)))), newStack(Lin{}), false
			}
			continue
		}
		bad = append(bad, l)
		if first == nil {
			first = f
		}
		for _, s := range only {
			if s.Kind == notation.CountAll {
				v := K(max(0, s.N.For(l.size)))
				l.doubt = &v
			}
		}
	}
	if first != nil {
		msg := first.msg
		if len(r.lanes) > 1 {
			msg = "size " + r.sizeName(bad[0]) + ": " + msg
		}
		r.add(finding.Finding{Code: first.code, Span: first.at, Row: words, Sizes: r.sizesOf(bad), Message: msg})
	}
}

// shape works a shaping sentence by its counts.
func (r *run) shape(it *notation.Shape) {
	name := shapeName(it.Words)
	d := r.sentenceDef(name, it.Span)
	start := make([]*lane, len(r.lanes))
	var ls []*lane
	for i, l := range r.lanes {
		start[i] = l.clone()
		if it.Only != nil && !contains(it.Only, l.size) || r.only != nil && !contains(r.only, l.size) {
			continue
		}
		if it.N.Given() && it.N.For(l.size) == notation.Skip {
			continue
		}
		ls = append(ls, l)
	}
	if it.Do == "towards" {
		for _, l := range ls {
			want := it.Until.For(l.size)
			if want < 0 {
				continue
			}
			k := indexOf(r.lanes, l)
			before := l.total()
			l.left, l.right = newStack(K(want)), newStack(Lin{})
			if l.cols != nil {
				l.cols.fit(want, 0)
			}
			l.side = ""
			d.entry.Times[k] = 1
			c := Count{want, true}
			d.entry.First[k], d.entry.Last[k], d.entry.Before[k] = c, c, Count{before.D, before.C == 0}
		}
		r.statedAfter(it.Stated, ls, start, it.Span, name)
		return
	}
	ambiguous := it.When.First && it.When.Times.Given() && !it.When.More && it.When.Then == nil
	less := 0
	if ambiguous && it.When.Total {
		less = 1 // in all: the first is one of them
	} else if ambiguous {
		less = r.settleFirst(it, ls, name)
	}
	var bad []*lane
	var why string
	for _, l := range ls {
		k := indexOf(r.lanes, l)
		per := it.Places * max(0, it.N.For(l.size))
		sign := 1
		if it.Do == "dec" || it.Do == "bind" {
			sign = -1
		}
		before := l.total()
		events, rows := 0, 0
		plan := &it.When
		firstAt := -1
		for w := plan; w != nil; w = w.Then {
			n, every := w.Next, max(1, w.Every)
			if n > 0 {
				events += n
				if firstAt < 0 {
					firstAt = rows + 1
				}
				rows += n
			}
			if w.Times.Given() && w.Times.For(l.size) == notation.Skip {
				continue
			}
			if w.Every > 0 {
				t := 0
				switch {
				case w.Times.Given():
					t = max(0, w.Times.For(l.size)-less)
				case it.Until.Given() && per > 0 && w.Then == nil:
					diff := (l.total().D + sign*events*per - it.Until.For(l.size)) * -sign
					if diff%per == 0 && diff >= 0 {
						t = diff / per
					} else {
						bad = append(bad, l)
						why = fmt.Sprintf("from %s, %d at a time, %s are never reached", sts(l.total()), per, sts(K(it.Until.For(l.size))))
						t = max(0, diff/per)
					}
				default:
					t = r.byStated(it, l, per*sign, events)
				}
				if t > maxRows {
					t = maxRows
				}
				events += t
				if firstAt < 0 && t > 0 {
					firstAt = rows + every
				}
				rows += t * every
			}
		}
		delta := sign * events * per
		after := before.plus(K(delta))
		if after.C == 0 && after.D < 0 {
			bad = append(bad, l)
			why = fmt.Sprintf("%s are to go, only %s are on the needle", sts(K(-delta)), sts(before))
			after = K(0)
		}
		firstCount := before.plus(K(sign * per))
		if events == 0 || firstCount.C == 0 && firstCount.D < 0 {
			firstCount = after
		}
		l.left, l.right = newStack(after), newStack(Lin{})
		if l.cols != nil {
			l.cols.fit(after.D, 0)
		}
		l.started = true
		if !it.Same {
			l.rows += rows
			if rows%2 == 1 {
				r.flip(l)
			}
		}
		e := d.entry
		if rows > 0 || it.Same {
			e.Times[k] = max(rows, 1)
			e.First[k], e.Last[k], e.Before[k] = Count{firstCount.D, firstCount.C == 0}, Count{after.D, after.C == 0}, Count{before.D, before.C == 0}
			e.Side[k] = ""
		}
	}
	if len(bad) > 0 {
		msg := why
		if len(r.lanes) > 1 {
			msg = "size " + r.sizeName(bad[len(bad)-1]) + ": " + why
		}
		r.add(finding.Finding{Code: "count-never-reached", Span: it.Span, Row: name, Sizes: r.sizesOf(bad), Message: msg})
		if r.silent && r.fail == nil {
			r.fail = &failure{code: "count-never-reached"}
		}
	}
	r.statedAfter(it.Stated, ls, start, it.Span, name)
}

// byStated works out how often from the count stated behind.
func (r *run) byStated(it *notation.Shape, l *lane, per, events int) int {
	for _, s := range it.Stated {
		if s.Kind == notation.CountAll && per != 0 {
			diff := s.N.For(l.size) - l.total().D - events*per
			if diff%per == 0 && diff/per >= 0 {
				return diff / per
			}
		}
	}
	return 1
}

// settleFirst: "next and every foll 6th row 5 times": 5 after the first, or 5 in all.
func (r *run) settleFirst(it *notation.Shape, ls []*lane, name string) int {
	fits := func(less int) bool {
		for _, l := range ls {
			t := it.When.Times.For(l.size)
			if t < 0 {
				continue
			}
			per := it.Places * max(0, it.N.For(l.size))
			if it.Do == "dec" || it.Do == "bind" {
				per = -per
			}
			got := l.total().D + per*(it.When.Next+t-less)
			for _, s := range it.Stated {
				if s.Kind == notation.CountAll && s.N.For(l.size) != got {
					return false
				}
			}
			if it.Until.Given() && it.Until.For(l.size) != got {
				return false
			}
		}
		return true
	}
	words := fmt.Sprintf("“next and every following … %s times” may count the first row or not", numWords(it.When.Times))
	a, b := fits(0), fits(1)
	switch {
	case a && !b:
		r.add(finding.Finding{Code: "ambiguous-times", Span: it.Span, Row: name, Message: words + "; the count stated behind counts it not"})
	case b && !a:
		r.add(finding.Finding{Code: "ambiguous-times", Span: it.Span, Row: name, Message: words + "; the count stated behind counts it"})
		return 1
	default:
		if len(ls) > 0 {
			l := ls[0]
			per := it.Places * max(0, it.N.For(l.size))
			if it.Do == "dec" || it.Do == "bind" {
				per = -per
			}
			t := it.When.Times.For(l.size)
			words += fmt.Sprintf(": %s or %s", sts(K(l.total().D+per*(t+1))), sts(K(l.total().D+per*t)))
		}
		r.add(finding.Finding{Code: "ambiguous-times", Span: it.Span, Row: name, Message: words})
	}
	return 0
}

func shapeName(words string) string {
	f := strings.Fields(words)
	if len(f) > 8 {
		f = f[:8]
	}
	return strings.TrimRight(strings.Join(f, " "), ".,;:")
}

// sentenceDef makes an entry for a sentence that works rows.
func (r *run) sentenceDef(name string, at finding.Span) *def {
	n := len(r.lanes)
	e := &Entry{Name: name, Line: at.Line, Span: at, Words: name,
		First: make([]Count, n), Last: make([]Count, n), Before: make([]Count, n), Times: make([]int, n), Side: make([]string, n)}
	r.part.Rows = append(r.part.Rows, e)
	return &def{row: &notation.Row{Span: at}, name: name, entry: e}
}

// straight works rows without shaping.
func (r *run) straight(it *notation.Straight) {
	name := shapeName(it.Words)
	d := r.sentenceDef(name, it.Span)
	start := make([]*lane, len(r.lanes))
	var ls []*lane
	for i, l := range r.lanes {
		start[i] = l.clone()
		if it.Only != nil && !contains(it.Only, l.size) || r.only != nil && !contains(r.only, l.size) || it.Rows.Given() && it.Rows.For(l.size) == notation.Skip {
			continue
		}
		ls = append(ls, l)
		rows, known := 0, false
		switch {
		case it.Rows.Given():
			rows, known = min(it.Rows.For(l.size), maxRows), true
		default:
			if cm := centimetres(it.Length); cm > 0 && r.rowsPer10 > 0 {
				rows = min(max(1, int(math.Round(cm*r.rowsPer10/10))-l.rows), maxRows)
			}
		}
		// all that is on the needle is worked, short rows included
		t := l.total()
		if r.visit != nil && l.cols != nil {
			r.traceStraight(it, l, rows)
		}
		l.left, l.right = flat(l), newStack(Lin{})
		l.short = false
		if l.cols != nil {
			l.cols.left = append(l.cols.left, l.cols.right...)
			l.cols.right = nil
			for i := range l.cols.left {
				l.cols.left[i] = min(l.cols.left[i]+int16(min(max(rows, 1), oldAge)), oldAge)
			}
			l.cols.fit(t.D, 0)
		}
		if !it.Same {
			l.rows += rows
			switch {
			case it.Ends != "":
				r.endSide(l, it.Ends)
			case !known:
				l.side = ""
			case rows%2 == 1:
				r.flip(l)
			}
		}
		if it.Change.Given() {
			n := K(max(0, it.Change.For(l.size)))
			if it.Down {
				n = n.times(-1)
			}
			t = t.plus(n)
			l.left, l.right = newStack(t), newStack(Lin{})
			if l.cols != nil {
				l.cols.fit(t.D, 0)
			}
		}
		if rows == 0 && !known {
			rows = 1
		}
		if rows > 0 {
			k := indexOf(r.lanes, l)
			e := d.entry
			e.Times[k] = rows
			c := Count{t.D, t.C == 0}
			e.First[k], e.Last[k], e.Before[k] = c, c, c
			if t.C != 0 && k == 0 {
				lin := t
				e.Lin = &lin
			}
		}
		l.started = true
	}
	r.ribFits(it, ls, name)
	// "rep last 8 rows" may go back over them
	d.body = []notation.Op{&notation.Until{Body: []notation.Op{&notation.Do{Key: "k", Span: it.Span}}, To: notation.Target{Kind: notation.ToEnd}, Span: it.Span}}
	d.done = true
	if !it.Same && it.Rows.Given() {
		for n := min(it.Rows.For(0), 400); n > 0; n-- {
			r.history = append(r.history, d)
		}
	}
	r.statedAfter(it.Stated, ls, start, it.Span, name)
}

// traceStraight tells rows that a sentence only counts, knit on the right side
// and purled on the wrong one unless it says otherwise.
func (r *run) traceStraight(it *notation.Straight, l *lane, rows int) {
	words := strings.ToLower(it.Words + " " + it.Stitch)
	garter := strings.Contains(words, "garter") || strings.Contains(words, "g st") || strings.HasPrefix(words, "knit") || strings.HasPrefix(words, "k ")
	purl := strings.HasPrefix(words, "purl") || strings.HasPrefix(words, "p ")
	side := l.side
	n := l.total().D
	for k := 0; k < min(rows, 400); k++ {
		e := Event{Kind: Worked, Key: "k", Class: notation.Knit, In: 1, Out: 1}
		if purl || !garter && !l.round && side == "WS" {
			e.Key, e.Class = "p", notation.Purl
		}
		row := WorkedRow{Name: shapeName(it.Words), Line: it.Span.Line, Side: side, Round: l.round, Before: n, After: n}
		for i := 0; i < n; i++ {
			row.Events = append(row.Events, e)
		}
		if l.round {
			row.Side = ""
		}
		r.visit(row)
		side = other(side)
	}
}

// flat keeps the markers in their places through rows that are only told of.
func flat(l *lane) stack {
	if l.right.total().zero() {
		return l.left.clone()
	}
	return newStack(l.total())
}

func (r *run) bindOffAll(it *notation.BindOffAll) {
	if r.closed {
		return
	}
	if it.N.Given() {
		var bad []*lane
		for _, l := range r.lanes {
			want := it.N.For(l.size)
			if t := l.total(); want >= 0 && t.C == 0 && t.D != want && !l.tainted {
				bad = append(bad, l)
			}
		}
		if len(bad) > 0 {
			l := bad[0]
			msg := fmt.Sprintf("%s stated, %s on the needle", sts(K(it.N.For(l.size))), sts(l.total()))
			if len(r.lanes) > 1 {
				msg = "size " + r.sizeName(l) + ": " + msg
			}
			r.add(finding.Finding{Code: "stated-count-differs", Span: it.N.Span, Row: shapeName(it.Words), Sizes: r.sizesOf(bad), Message: msg})
		}
	}
	r.finish()
	r.closed = true
}

func (r *run) holdAll(it *notation.HoldAll) {
	for _, l := range r.lanes {
		n := l.total()
		if it.Keep.Given() {
			if d := n.minus(K(max(0, it.Keep.For(l.size)))); d.C == 0 && d.D > 0 {
				n = d
			}
		} else if it.N.Given() {
			if v := it.N.For(l.size); v >= 0 && v < n.D {
				n = K(v)
			} else if v < 0 {
				continue
			}
		}
		if n == l.total() {
			r.finish()
			r.closed = true
		}
		l.held = l.held.plus(n)
		rest := l.total().minus(n)
		l.left, l.right = newStack(rest), newStack(Lin{})
		if l.cols != nil {
			l.cols.fit(rest.D, 0)
		}
	}
}

// finish notes the final counts.
func (r *run) finish() {
	if r.part.Final != nil || r.silent {
		return
	}
	for _, l := range r.lanes {
		t := l.total()
		r.part.Final = append(r.part.Final, Count{t.D, t.C == 0 && !l.dead && !l.tainted})
	}
}

// asPiece works the rows of another piece, as far as it says.
func (r *run) asPiece(it *notation.As) {
	src := r.all[strings.ToLower(cleanHeading(it.Piece))]
	if src == nil || r.depth > 4 {
		return
	}
	items := src.items
	if it.To != "" {
		to := strings.ToLower(strings.Fields(it.To)[0])
		cut := len(items)
		for i, x := range items {
			switch x := x.(type) {
			case *notation.Heading:
				if strings.Contains(strings.ToLower(x.Text), to) && i > 0 {
					cut = i
				}
			case *notation.Shape:
				if strings.Contains(strings.ToLower(x.Words), to) && cut == len(items) {
					cut = i
				}
			}
			if cut < len(items) {
				break
			}
		}
		items = items[:cut]
	}
	for _, x := range items {
		if b, ok := x.(*notation.Begin); ok && r.part.CastOn == nil && b.N.Given() {
			for _, l := range r.lanes {
				v := b.N.For(l.size)
				l.left, l.right = newStack(K(max(0, v))), newStack(Lin{})
				r.part.CastOn = append(r.part.CastOn, max(0, v))
				l.started = false
			}
			break
		}
	}
	var rest []notation.Item
	first := true
	for _, x := range items {
		switch x := x.(type) {
		case *notation.Begin:
			if first {
				first = false
				continue
			}
		case *notation.BindOffAll, *notation.Define:
			continue
		case *notation.Row:
			// fresh rows: what was said of the first piece is not said again
			c := *x
			rest = append(rest, &c)
			continue
		}
		rest = append(rest, x)
	}
	r.depth++
	quiet := len(r.res.Findings.Findings)
	rows := len(r.part.Rows)
	r.items(rest)
	r.depth--
	if !r.silent {
		r.res.Findings.Findings = r.res.Findings.Findings[:min(quiet, len(r.res.Findings.Findings))]
		r.part.Rows = r.part.Rows[:rows]
	}
	r.closed = false
}
