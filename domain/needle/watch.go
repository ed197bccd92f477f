package needle

import "rowproof/domain/notation"

// ToldKind says what a Watch tells.
type ToldKind uint8

const (
	ToldItem  ToldKind = iota // an item of a part is come to; what follows is of it
	ToldRow                   // a row was worked, once
	ToldEven                  // a sentence has Rows rows worked without shaping; Open where it does not say how many
	ToldShape                 // a shaping sentence has one row worked
	ToldEnd                   // the item is done: After is what is on the needle
)

// Told is one thing that a Watch tells, in the order of the work. Size is -1 where
// it holds for every size alike, as in a stitch pattern.
type Told struct {
	Kind  ToldKind
	Part  int // index in Result.Parts
	Size  int
	Item  notation.Item // of the part: what has the row worked
	Inner notation.Item // the same, or, under "work as for back", the item of that piece
	Entry *Entry        // of a row; its counts are those of the whole check, once Watch is through
	Nth   int           // of a row that is repeated: its place in the pass, from 0
	Rows  int
	Open  bool
	Side  string // RS, WS, or "" in rounds and where it is not known
	Round bool

	Before, After Lin
	Known         bool   // After is, as Entry has it
	Loops         []Loop // repeats within the row
}

// Loop is a repeat within a row, as one size works it.
type Loop struct {
	Op    notation.Op
	Times int // passes in all, the first one among them
	In    int // stitches that one pass takes
}

// watcher hands on what a Watch tells.
type watcher struct {
	tell        func(Told)
	part        int
	item, inner notation.Item
	nth         int
	shaped      int // rows of shaping sentences told
}

// mostShaped bounds the rows of shaping sentences that are told.
const mostShaped = 200_000

// Watch is Work that tells all that is worked while it is, each size apart: what it
// tells has the counts that the result has. A length is told by one pass of its rows and
// no more, or, where it has no rows, as Open.
func Watch(ms *notation.Manuscript, tell func(Told)) *Result {
	return work(ms, &watcher{tell: tell, part: -1})
}

// reach tells that an item is come to; nil ends the part.
func (r *run) reach(it notation.Item) {
	w := r.watch
	if w == nil {
		return
	}
	if r.depth > 0 {
		if it != nil {
			w.inner = it
		}
		return
	}
	if w.item != nil {
		for _, l := range r.told() {
			t := r.toldOf(ToldEnd, l)
			t.Inner, t.After, t.Known = w.item, l.total(), r.knows(l)
			w.tell(t)
		}
	}
	w.item, w.inner, w.nth = it, it, 0
	if it == nil {
		return
	}
	for _, l := range r.told() {
		t := r.toldOf(ToldItem, l)
		t.Before, t.After, t.Known = l.total(), l.total(), r.knows(l)
		w.tell(t)
	}
}

// told are the lanes of which a watcher hears.
func (r *run) told() []*lane {
	if r.window > 0 && len(r.lanes) > 1 {
		return r.lanes[:1]
	}
	return r.lanes
}

func (r *run) knows(l *lane) bool { return r.window == 0 && !(l.tainted && l.dead) } // as Entry has it

func (r *run) toldOf(kind ToldKind, l *lane) Told {
	w := r.watch
	t := Told{Kind: kind, Part: w.part, Size: l.size, Item: w.item, Inner: w.inner, Nth: w.nth, Side: l.side, Round: l.round}
	if r.window > 0 || len(r.lanes) == 1 {
		t.Size = -1
	}
	if l.round {
		t.Side = ""
	}
	return t
}

// tellRow tells of a row of the text, after it was worked on lane l.
func (r *run) tellRow(d *def, l *lane, before Lin, known bool) {
	if r.watch == nil || r.window > 0 && l != r.lanes[0] {
		return
	}
	t := r.toldOf(ToldRow, l)
	t.Entry, t.Rows, t.Before, t.After, t.Known = d.entry, 1, before, l.total(), known && r.knows(l)
	if known && r.window == 0 {
		t.Loops = l.loops
	}
	r.watch.tell(t)
}

// tellEven tells of rows without shaping that a sentence has worked.
func (r *run) tellEven(l *lane, rows int, open bool) {
	if r.watch == nil || rows <= 0 && !open || r.window > 0 && l != r.lanes[0] {
		return
	}
	t := r.toldOf(ToldEven, l)
	t.Rows, t.Open, t.Before, t.After, t.Known = rows, open, l.total(), l.total(), r.knows(l)
	r.watch.tell(t)
}

// tellShape tells the rows of a shaping sentence: rows in all, each of those at
// lists, counted from 1, changing the count by change. rows is 0 where it goes along
// with other rows.
func (r *run) tellShape(l *lane, at []int, rows, change int) {
	if r.watch == nil || r.window > 0 && l != r.lanes[0] {
		return
	}
	n, side := l.total(), l.side
	for k := 1; k <= min(rows, maxRows) && r.watch.shaped < mostShaped; k++ {
		r.watch.shaped++
		t := r.toldOf(ToldShape, l)
		if t.Side = side; l.round {
			t.Side = ""
		}
		t.Rows, t.Before = 1, n
		if len(at) > 0 && at[0] == k {
			n, at = n.plus(K(change)), at[1:]
		}
		t.After, t.Known = n, r.knows(l) && (n.C != 0 || n.D >= 0)
		r.watch.tell(t)
		side = other(side)
	}
}

// noteLoop keeps a repeat of the row at hand, for those who watch.
func (w *worker) noteLoop(l *lane, o notation.Op, times Lin, in int) {
	if times.C == 0 && len(l.loops) < 64 {
		l.loops = append(l.loops[:len(l.loops):len(l.loops)], Loop{o, times.D, in})
	}
}
