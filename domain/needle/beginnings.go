package needle

import (
	"fmt"
	"regexp"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// This file adds up what a piece begins with: what is cast on, picked up, and returned from where it waited.

// waits are the stitches that wait on holders between the parts, for each size: all of them, and those put there last.
type waits struct{ all, last []int }

func newWaits(sizes int) *waits { return &waits{make([]int, sizes), make([]int, sizes)} }

// add has the stitches wait that a piece has left.
func (w *waits) add(size int, l *lane) {
	n := l.oneLot() + l.behindTurn()
	w.all[size] += n
	switch {
	case l.behindTurn() > 0:
		w.last[size] = l.behindTurn()
	case l.lastLot > 0 && l.lastLot < n:
		w.last[size] = l.lastLot
	case n > 0:
		w.last[size] = n
	}
}

// reAllWait are words by which a beginning takes up more than were put on a holder last.
var reAllWait = regexp.MustCompile(`(?i)\b(?:all|both|body|front|back|neck|sleeves?|yoke|instep|heel)\b`)

// lotMeant says that a beginning takes up the stitches that were put on a holder last, and leaves others there: "With WS
// facing, rejoin yarn to the remaining sts", behind the first side of a neck.
func (w *waits) lotMeant(text string) bool {
	if reAllWait.MatchString(text) {
		return false
	}
	for i, n := range w.last {
		if n <= 0 || n >= w.all[i] {
			return false
		}
	}
	return len(w.last) > 0
}

// take has a part take up n of the stitches that wait; all of them, but for a lot.
func (w *waits) take(n notation.Num, lot bool) {
	for i := range w.all {
		if lot {
			w.all[i] = max(0, w.all[i]-max(0, n.For(i)))
		} else {
			w.all[i] = 0
		}
		w.last[i] = 0
	}
}

// joined is the beginning of a piece whose held stitches are returned and more are picked up
// beside them. A total that is stated stands as it is.
func joined(held, picked *notation.Begin) *notation.Begin {
	b := *held
	b.Round, b.Marked = b.Round || picked.Round, b.Marked || picked.Marked
	if len(picked.Stated) > 0 && picked.Stated[0].Kind == notation.CountAll {
		b.N, b.Stated = picked.N, picked.Stated
		if picked.Sum.Given() && held.N.Given() {
			b.Sum, b.Before, b.Addends = picked.Sum, held.N, picked.Addends
		}
		return &b
	}
	b.N.Vals = nil
	for i := range max(len(held.N.Vals), len(picked.N.Vals)) {
		n := notation.Skip
		if x, y := held.N.For(i), picked.N.For(i); x >= 0 && y >= 0 {
			n = x + y
		}
		b.N.Vals = append(b.N.Vals, n)
	}
	return &b
}

// returned is how many held stitches a part returns to the needle before b, for a size.
func returned(p *Part, b *notation.Begin, size int) int {
	n := 0
	for _, it := range p.items {
		switch it := it.(type) {
		case *notation.Begin:
			if it == b {
				return n
			}
			if it.How == "return" && it.N.Given() {
				n += max(0, it.N.For(size))
			}
		case *notation.Row:
			n = 0
		}
	}
	return n
}

// heldBefore is how many of the stitches that wait go on another holder before b takes up the rest: "Slip the next 20
// sts onto a holder. Join yarn to rem sts."
func heldBefore(p *Part, b *notation.Begin, size int) int {
	n := 0
	for _, it := range p.items {
		switch it := it.(type) {
		case *notation.HoldAll:
			if it.N.Given() {
				n += max(0, it.N.For(size))
			}
		case *notation.Begin:
			if it.How == "return" && it.Span == b.Span {
				return n
			}
		case *notation.Row, *notation.Straight:
			return 0
		}
	}
	return 0
}

// beforeFirst is how many stitches the first row behind a beginning needs at a size, by the count
// that is stated behind it, where all it does is bind off and work what there is.
func beforeFirst(p *Part, b *notation.Begin, size int) (int, bool) {
	behind := false
	for _, it := range p.items {
		if it == notation.Item(b) {
			behind = true
			continue
		}
		row, ok := it.(*notation.Row)
		if !ok || !behind {
			continue
		}
		bound, rest := 0, false
		for _, o := range row.Body {
			switch o := o.(type) {
			case *notation.BindOff:
				if o.All {
					return 0, false
				}
				bound += max(0, o.N.For(size))
			case *notation.Until:
				rest = rest || o.To.Kind == notation.ToEnd && len(o.Body) == 1
			case *notation.Remark, *notation.UseYarn:
			default:
				return 0, false
			}
		}
		for _, s := range row.Stated {
			if v := s.N.For(size); s.Kind == notation.CountAll && rest && v >= 0 {
				return v + bound, true
			}
		}
		if rest && bound == 0 && len(row.Stated) == 0 {
			continue // "patt to end": as many as there were
		}
		return 0, false
	}
	return 0, false
}

// agreesSomewhere says that the row behind a beginning needs, at one size of several, just the stitches that wait: then
// those are meant, and where it needs others, it is wrong.
func agreesSomewhere(p *Part, b *notation.Begin, held []int) bool {
	for i, h := range held {
		if v, ok := beforeFirst(p, b, i); ok && len(held) > 1 && v > 0 && v == h-heldBefore(p, b, i) {
			return true
		}
	}
	return false
}

// checkSum compares the total stated of stitches picked up with their sum, which
// may leave out those that are on the needle already.
// A total that is stated behind a cast-on has to be what is cast on.
// It reports whether they differ.
func checkSum(ms *notation.Manuscript, res *Result, p *Part, b *notation.Begin) (differ bool) {
	if len(b.Stated) == 0 {
		return false
	}
	told := func(size int, msg string) {
		sizes := []int{size}
		if len(ms.Sizes) == 1 {
			sizes = nil
		}
		differ = true
		res.Findings.Add(finding.Finding{Code: "stated-count-differs", Span: b.Stated[0].Span, Part: p.Name, Row: "cast-on", Sizes: sizes, Message: msg})
	}
	var before []Count
	for i, q := range res.Parts {
		if q == p && i > 0 {
			before = res.Parts[i-1].Final
		}
	}
	castOn := !b.Sum.Given() && b.How == "cast on" && b.Stated[0].Kind == notation.CountAll
	if !b.Sum.Given() && !castOn {
		return false
	}
	for size := range ms.Sizes {
		sum, total := b.Sum.For(size), b.Stated[0].N.For(size)
		onNeedle := 0
		if size < len(before) && before[size].Known {
			onNeedle = before[size].N
		}
		if castOn {
			if n := b.N.For(size); n >= 0 && total >= 0 && total != n && total != n+onNeedle {
				told(size, fmt.Sprintf("%s stated, %d cast on", sts(K(total)), n))
			}
			continue
		}
		before, back := 0, returned(p, b, size)
		if b.Before.Given() {
			before = max(0, b.Before.For(size))
		}
		if total > sum && onNeedle > 0 && before == 0 && (b.Addends < 2 || total-sum > 6) {
			continue // some of those on the needle, and that wait beside them, are among the total
		}
		if b.Addends < 2 && before+back == 0 {
			continue // of what it is added to nothing is told
		}
		if total < 0 || total == sum || before == 0 && total == sum+onNeedle || total == sum+back || total == sum+before || total == sum+before+onNeedle {
			continue
		}
		if b.Again.Given() && (total == sum+max(0, b.Again.For(size)) || total == sum+before+max(0, b.Again.For(size))) {
			continue
		}
		if off := total - sum - before; off > 6 || off < -6 {
			continue // more than a slip: the sentence does not tell of all of them
		}
		if before > 0 {
			told(size, fmt.Sprintf("%s stated, %d and the numbers picked up add up to %d", sts(K(total)), before, before+sum))
			continue
		}
		told(size, fmt.Sprintf("%s stated, the numbers picked up add up to %d", sts(K(total)), sum))
	}
	return differ
}
