package needle

import (
	"fmt"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

func other(side string) string {
	switch side {
	case "RS":
		return "WS"
	case "WS":
		return "RS"
	}
	return ""
}

// flip goes on to the side of the next row.
func (r *run) flip(l *lane) {
	if r.part.Round && l.round || l.slid {
		return
	}
	if l.left_ && l.turns%2 == 0 {
		return // turned there and back
	}
	l.side = other(l.side)
}

// sides compares the side a head states with the side that is up.
func (r *run) sides(d *def, lanes []*lane, ag *again) {
	stated := d.row.Head.Side
	if r.part.Round {
		flat := false
		for _, l := range lanes {
			switch {
			case l.round && r.divided && d.row.Head.Side != "" && !d.row.Head.Round: // some wait, and this row has a side
				l.round, l.short, l.side = false, false, d.row.Head.Side
				l.left, l.right = newStack(l.total()), newStack(Lin{})
			case d.row.Head.Round && r.divided && !l.round && l.held.zero():
				l.round = true
			}
			if !l.round {
				flat = true // divided, and goes on in rows
			} else if !l.short {
				l.side = ""
			}
		}
		if !flat {
			return
		}
	}
	if stated == "" && d.row.Head.Every.Side != "" {
		stated = d.row.Head.Every.Side
	}
	if !r.sideKnown {
		side := stated
		if side == "" && d.number > 0 {
			side = "RS"
			if d.number%2 == 0 {
				side = "WS"
			}
			side = r.guessSide(d, side)
		}
		if side == "" {
			// no side is told and no number tells it: a later row will
			if r.sideToldLater() {
				return
			}
			side = "RS"
		}
		for _, l := range r.lanes {
			if l.side == "" {
				l.side = side
			}
		}
		r.sideKnown = true
		return
	}
	if stated == "" || ag != nil && ag.rows%2 == 1 {
		return // an odd number of rows worked again comes to the other side each time
	}
	var bad []*lane
	for _, l := range lanes {
		if l.side != "" && l.side != stated && !l.tainted {
			bad = append(bad, l)
		}
		l.side = stated
	}
	if len(bad) == 0 {
		return
	}
	f := finding.Finding{Code: "wrong-side", Span: d.row.Head.Span, Row: d.name, Sizes: r.sizesOf(bad),
		Message: fmt.Sprintf("“%s” is called a %s row, but a %s row is due here", d.row.Head.Words, stated, other(stated))}
	if ag != nil && d.done {
		f.Code, f.Span, f.Row = "rows-do-not-join", ag.at, ag.words
		f.Message = fmt.Sprintf("row %s is a %s row, but worked again here a %s row is due", d.name, stated, other(stated))
	}
	r.add(f)
}

// sideToldLater says that a later row of the part has a side or a number.
func (r *run) sideToldLater() bool {
	for _, it := range r.part.items {
		if row, ok := it.(*notation.Row); ok && (row.Head.Side != "" || row.Head.Every.Side != "" || len(row.Head.Numbers) > 0) {
			return true
		}
	}
	return false
}

// guessSide looks at the part's stated sides: if row 2 is RS, row 1 is WS.
func (r *run) guessSide(d *def, side string) string {
	for _, it := range r.part.items {
		row, ok := it.(*notation.Row)
		if !ok || len(row.Head.Numbers) == 0 {
			continue
		}
		s := row.Head.Side
		if s == "" {
			s = row.Head.Every.Side
		}
		if s == "" {
			continue
		}
		if (row.Head.Numbers[0]-d.number)%2 == 0 {
			return s
		}
		return other(s)
	}
	return side
}
