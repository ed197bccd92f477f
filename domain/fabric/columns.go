package fabric

// The columns of a fabric, as charts of the trade show them. A row's stitches
// lie on the columns of the loops they are worked on, one for one; where a row
// makes as many loops as it takes, the stitches between an increase and its
// decrease move sideways, as they do in lace. Loops that nothing makes up for
// open a column of their own, and decreases leave one empty: those are the
// no-stitch cells. At the edges of a piece that is shaped for good the columns
// come and go outside.

// node is a column while they are laid out: a list from right to left.
type node struct {
	next, prev int32
	live       int32 // loops on the needles that lie in it
	born       bool  // opened by an increase within the fabric
}

type layout struct {
	f    *Fabric
	col  []node  // 0 is the list's end on either side
	cur  []int32 // column of each loop, 0 where it has none yet
	dir  bool    // the row at hand runs from left to right
	snap struct {
		skip  []bool
		fresh []fresh
	}
	stream []ID
	units  []unit
	slots  []int32
	prev   int32 // the columns next to the stream, where the row did not work them
	next   int32
}

// fresh asks for columns at a boundary of the stream.
type fresh struct {
	n        int
	nearNext bool // nearest to the loop that follows
	edge     bool
}

// unit is one loop more or less than a working takes.
type unit struct {
	at   int // place in the stream
	took int // loops its working takes
	work int
	plus bool
	gone bool // made up for by another
}

// edgeZone is how near to an edge, in stitches, shaping counts as the edge's.
const edgeZone = 5

// ahead is how many rows later an opposite shaping still makes one passing.
const ahead = 30

// layOut gives every working its columns. Rows that take loops out of the order
// of their columns are known beforehand; where others turn out to, every row is
// looked at.
func (f *Fabric) layOut() {
	if f.number(); !f.ordered() {
		for i := range f.Rows {
			f.Rows[i].moved = true
		}
		f.number()
	}
}

// ordered says that the columns of every row run one way.
func (f *Fabric) ordered() bool {
	for i := range f.Rows {
		r := &f.Rows[i]
		last := int32(-1)
		for k := range r.Works {
			for _, c := range r.Works[k].Columns {
				if last >= 0 && (c <= last) != r.WS {
					return false
				}
				last = c
			}
		}
	}
	return true
}

// number lays the rows out one after another and numbers their columns.
func (f *Fabric) number() {
	o := &layout{f: f, col: make([]node, 1, 256), cur: make([]int32, len(f.Loops))}
	for i := range f.Rows {
		o.row(i)
	}
	number := make([]int32, len(o.col))
	n := int32(0)
	for c := o.col[0].next; c != 0; c = o.col[c].next {
		number[c] = n
		n++
	}
	f.Columns = int(n)
	for i := range f.Loops {
		f.Loops[i].Column = number[f.Loops[i].Column]
	}
	for i := range f.Rows {
		r := &f.Rows[i]
		for k := range r.Works {
			for j, c := range r.Works[k].Columns {
				r.Works[k].Columns[j] = number[c]
			}
		}
		for _, s := range [][]int32{r.RestAt, r.DropAt} {
			for j, c := range s {
				s[j] = number[c]
			}
		}
	}
}

func (o *layout) after(c int32) int32 {
	if o.dir {
		return o.col[c].prev
	}
	return o.col[c].next
}

func (o *layout) before(c int32) int32 {
	if o.dir {
		return o.col[c].next
	}
	return o.col[c].prev
}

// insert opens a column behind c in the direction of working; 0 is the start.
func (o *layout) insert(c int32) int32 {
	n := int32(len(o.col))
	right := c // its neighbour on the right
	if o.dir {
		right = o.col[c].prev
	}
	left := o.col[right].next
	o.col = append(o.col, node{next: left, prev: right})
	o.col[right].next, o.col[left].prev = n, n
	return n
}

// row lays one row.
func (o *layout) row(at int) {
	f := o.f
	r := &f.Rows[at]
	o.dir = r.WS
	o.read(at)
	for k, id := range r.Dropped {
		if k == 0 {
			r.DropAt = make([]int32, 0, len(r.Dropped))
		}
		r.DropAt = append(r.DropAt, o.cur[id])
		o.col[o.cur[id]].live--
	}
	n := len(o.stream)
	o.snap.skip = resized(o.snap.skip, n)
	o.snap.fresh = resized(o.snap.fresh, n+1)
	o.prev, o.next = 0, 0
	if k := r.passed; k > 0 && k <= len(r.Rest) {
		o.prev = o.cur[r.Rest[k-1]]
	}
	if k := r.passed; k < len(r.Rest) {
		o.next = o.cur[r.Rest[k]]
	}
	o.count(r)
	o.match()
	o.place(at, n)
	o.fill(n)
	for _, id := range o.stream {
		o.col[o.cur[id]].live--
	}
	// hand the slots out
	s := 0
	total := 0
	for i := range r.Works {
		total += wants(&r.Works[i])
	}
	cols := make([]int32, 0, total)
	for i := range r.Works {
		w := &r.Works[i]
		from := len(cols)
		for k := wants(w); k > 0; k-- {
			c := int32(0)
			if s < len(o.slots) {
				c = o.slots[s]
			} else { // never, if the row comes out
				last := int32(0)
				if len(cols) > 0 {
					last = cols[len(cols)-1]
				}
				c = o.insert(last)
			}
			s++
			cols = append(cols, c)
		}
		w.Columns = cols[from:len(cols):len(cols)]
		for k, id := range w.Out {
			if k >= len(w.Columns) {
				break
			}
			o.cur[id] = w.Columns[k]
			o.col[w.Columns[k]].live++
			if f.Loops[id].Row == int32(at) {
				f.Loops[id].Column = w.Columns[k]
			}
		}
		if w.Kind == Held {
			for _, id := range w.In {
				if f.Loops[id].Row != int32(at) {
					o.col[o.cur[id]].live++ // its column stays its own
				}
			}
		}
	}
	for k, id := range r.Rest {
		if k == 0 {
			r.RestAt = make([]int32, 0, len(r.Rest))
		}
		if o.cur[id] == 0 {
			o.cur[id] = o.insert(o.before(0))
			o.col[o.cur[id]].live++
		}
		r.RestAt = append(r.RestAt, o.cur[id])
	}
}

func resized[T any](s []T, n int) []T {
	if cap(s) < n {
		s = make([]T, n)
	}
	s = s[:n]
	clear(s)
	return s
}

// wants is how many columns a working takes up.
func wants(w *Work) int {
	switch w.Kind {
	case Held:
		return 0
	case BindOffCell, Drop:
		return 1
	}
	return len(w.Out)
}

// read lists the loops a row takes, in its order, and gives columns to those
// that have none: the cast-on, and loops that no row tells of.
func (o *layout) read(at int) {
	f := o.f
	r := &f.Rows[at]
	o.stream = o.stream[:0]
	for i := range r.Works {
		for _, id := range r.Works[i].In {
			if f.Loops[id].Row != int32(at) {
				o.stream = append(o.stream, id)
			}
		}
	}
	if r.moved {
		o.reorder()
	}
	o.known()
}

// known gives a column to each loop of the stream that has none.
func (o *layout) known() {
	f := o.f
	last := int32(0)
	for i, id := range o.stream {
		if o.cur[id] == 0 {
			if last == 0 { // before the first that is known
				for _, x := range o.stream[i:] {
					if o.cur[x] != 0 {
						last = o.before(o.cur[x])
						break
					}
				}
			}
			c := o.after(last)
			if c == 0 || o.col[c].live > 0 || f.Loops[id].Row < 0 {
				c = o.insert(last)
			}
			o.cur[id] = c
			if f.Loops[id].work < 0 { // no row tells how it came
				f.Loops[id].Column = c
			}
			o.col[c].live++
		}
		last = o.cur[id]
	}
}

// count lists what each working makes more or less than it takes.
func (o *layout) count(r *Row) {
	o.units = o.units[:0]
	q := 0
	for i := range r.Works {
		w := &r.Works[i]
		k := 0
		for _, id := range w.In {
			if o.f.Loops[id].Row != w.Row {
				k++
			}
		}
		d := wants(w) - k
		switch {
		case w.Kind == Held:
			for j := q; j < q+k; j++ {
				o.snap.skip[j] = true
			}
		case w.Kind == CastOn:
			o.snap.fresh[q].n++
			o.snap.fresh[q].edge = true
		case d > 0:
			for ; d > 0; d-- {
				o.units = append(o.units, unit{at: q, took: k, work: i, plus: true})
			}
		case d < 0:
			for ; d < 0; d++ {
				o.units = append(o.units, unit{at: q, took: k, work: i})
			}
		}
		q += k
	}
}

// match pairs increases with decreases, the nearest first.
func (o *layout) match() {
	if len(o.units) < 2 {
		return
	}
	stack := make([]int, 0, len(o.units))
	for d := 1; ; d *= 2 {
		stack = stack[:0]
		for i := range o.units {
			u := &o.units[i]
			if u.gone {
				continue
			}
			if k := len(stack); k > 0 {
				if t := &o.units[stack[k-1]]; t.plus != u.plus && (u.at-t.at <= d || d > len(o.stream)) {
					t.gone, u.gone = true, true
					stack = stack[:k-1]
					continue
				}
			}
			stack = append(stack, i)
		}
		if len(stack) < 2 || d > len(o.stream) {
			return
		}
	}
}
