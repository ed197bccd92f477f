package fabric

import "strconv"

// nearEdge is how far from an edge, in stitches, a yarn may end or begin to hang
// there still: a strand reaches over so many.
const nearEdge = 5

// YarnsAtWrongEdge finds, in rows worked flat, a yarn asked for at the edge where
// it does not hang: it waits at the end of the last row that used it. A yarn that
// ends within a row, as in a block of colour, hangs at neither edge. cut tells
// whether the text from one line to another cuts or joins a yarn; nil where
// nothing does.
func (f *Fabric) YarnsAtWrongEdge(cut func(from, to int, yarn string) bool) []Found {
	type hang struct {
		known bool
		left  bool
		row   int
	}
	hangs := make([]hang, len(f.Yarns))
	var out []Found
	for i := range f.Rows {
		r := &f.Rows[i]
		whole := r.Turn == 0 && len(r.Rest) == 0 && !r.Untold && !r.Round
		for _, y := range r.Yarns {
			h := &hangs[y]
			begins, ends := whole, whole
			if whole && len(r.Yarns) > 1 {
				n, _ := unusedBefore(r, y)
				m, _ := unusedAfter(r, y)
				begins, ends = n <= nearEdge, m <= nearEdge
			}
			if h.known && begins && h.left != r.WS && h.row < i-1 && (cut == nil || !cut(f.Rows[h.row].Line, r.Line, f.Yarns[y])) {
				edge := map[bool]string{true: "left", false: "right"}
				out = append(out, f.found(YarnElsewhere, i, -1, "%s hangs at the %s edge since row %s, and this row begins at the %s one", f.yarnName(y), edge[h.left], f.Rows[h.row].Name, edge[r.WS]))
			}
			*h = hang{known: ends, left: !r.WS, row: i}
		}
	}
	return out
}

func (f *Fabric) yarnName(y uint8) string {
	if f.Yarns[y] == "" {
		return "the first yarn"
	}
	return f.Yarns[y]
}

// LongFloats finds strands that pass more stitches than the limit, or are longer
// than it by the gauge. In rounds the strand from the last stitch of one round to
// the first of the next counts as one.
func (f *Fabric) LongFloats(l Limits) []Found {
	most := l.Float
	if most <= 0 {
		most = 5
	}
	var out []Found
	see := func(row int, y uint8, column int32, over int) {
		cm := 0.0
		if l.Gauge > 0 {
			cm = float64(over+1) * 10 / l.Gauge // from one stitch's middle to the other's
		}
		if over <= most && (l.FloatCM <= 0 || cm <= l.FloatCM) {
			return
		}
		if cm > 0 {
			out = append(out, f.found(LongFloat, row, int(column), "%s floats over %s, %.1f cm; at most %s", f.yarnName(y), sts(over), cm, limitWords(most, l)))
			return
		}
		out = append(out, f.found(LongFloat, row, int(column), "%s floats over %s; at most %s", f.yarnName(y), sts(over), limitWords(most, l)))
	}
	for i := range f.Rows {
		r := &f.Rows[i]
		for _, x := range r.Floats {
			see(i, x.Yarn, f.Loops[x.From].Column, x.Over)
		}
		if !r.Round || i+1 >= len(f.Rows) || !f.Rows[i+1].Round || len(r.Yarns) < 2 {
			continue
		}
		for _, y := range r.Yarns {
			tail, at := unusedAfter(r, y)
			head, ok := unusedBefore(&f.Rows[i+1], y)
			if ok && tail+head > most {
				see(i, y, at, tail+head)
			}
		}
	}
	return out
}

func sts(n int) string {
	if n == 1 {
		return "1 stitch"
	}
	return strconv.Itoa(n) + " stitches"
}

func limitWords(most int, l Limits) string {
	s := sts(most)
	if l.FloatCM > 0 && l.Gauge > 0 {
		return s + " or " + strconv.FormatFloat(l.FloatCM, 'f', -1, 64) + " cm"
	}
	return s
}

// unusedAfter counts the stitches after the last that a row works in y, and
// gives that one's column.
func unusedAfter(r *Row, y uint8) (n int, column int32) {
	for i := len(r.Works) - 1; i >= 0; i-- {
		w := &r.Works[i]
		if w.Yarn == y && w.Kind != Slip && len(w.Columns) > 0 {
			return n, w.Columns[len(w.Columns)-1]
		}
		n += len(w.Out)
	}
	return n, -1
}

// unusedBefore counts the stitches before the first that a row works in y.
func unusedBefore(r *Row, y uint8) (n int, ok bool) {
	for i := range r.Works {
		w := &r.Works[i]
		if w.Yarn == y && w.Kind != Slip && len(w.Out) > 0 {
			return n, true
		}
		n += len(w.Out)
	}
	return n, false
}

// LongSlips finds stitches carried slipped over more rows than limit; 0 is 4.
// The finding stands on the row that slips it once too often.
func (f *Fabric) LongSlips(limit int) []Found {
	if limit <= 0 {
		limit = 4
	}
	var out []Found
	slips := map[ID]int{}
	for i := range f.Rows {
		r := &f.Rows[i]
		for k := range r.Works {
			w := &r.Works[k]
			if w.Kind != Slip {
				continue
			}
			for j, id := range w.Out {
				if slips[id]++; slips[id] == limit+1 {
					total := int(f.Loops[id].Slips)
					out = append(out, f.found(LongSlip, i, int(w.Columns[j]), "the stitch is carried slipped over %s; at most %d", count(max(total, limit+1), "row"), limit))
				}
			}
		}
	}
	return out
}
