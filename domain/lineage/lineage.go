// Package lineage tells which row is which through edits of a pattern, so that
// an erratum filed on a row finds that row again whatever was written since.
//
//	matches := lineage.Trace(old, lines)
//
// The identity of a row is kept out of the text: at each save the rows of the
// new text are matched with those of the last one, in this order.
//
//  1. Rows in the same order with the same words. Rows that occur once in both
//     texts are anchors (Bram Cohen's patience diff), first by their words alone,
//     then with their piece, then with piece and head; between anchors the rows are
//     aligned for the greatest sum of likenesses, in which the same words weigh most,
//     then similar words, then the same head in the same piece. A row that was
//     rewritten in its place is the same row.
//  2. Rows that moved: the same words, once among what is left of either text.
//  3. Rows of the same piece that are alike, the most alike first; then rows of
//     the same piece with the same head.
//
// A row written out as several, and several written as one, keep one identity
// (the longest part, or the first of the merged) and record the others as parents.
package lineage

// Line is a row as it stands in a text.
type Line struct {
	Piece string // piece and section it stands in
	Head  string // row head as written, "Row 3 (RS)"; may be empty
	Text  string // what is to be worked
}

// Row is a row of the last text with its identity, which is never 0.
type Row struct {
	ID    int64
	Piece string
	Head  string
	Text  string
}

// Match says who a row of the new text is.
type Match struct {
	// ID is the row's identity in the old text, 0 for a new row. No two
	// matches carry the same identity.
	ID int64
	// Parents are the old rows it came from otherwise: the row it was split off
	// from, or those merged into it. Never its own ID, ascending, nil for most.
	Parents []int64
}

// Trace matches the rows of a new text, in order, with those of the old one. The
// answer has one match for each line and depends on nothing but the arguments.
// It takes time about proportional to the texts: comparing is bounded by a
// budget, past which only equal rows and equal heads are matched.
func Trace(old []Row, lines []Line) []Match {
	t := newTracer(old, lines)
	t.anchor(span{0, len(t.old), 0, len(t.new)}, 0)
	t.splitsAndMerges()
	t.moved()
	t.alike()
	t.ranges()
	return t.matches()
}

const none = -1

// budgetUnits bounds the work of comparing rows word by word: one unit is one
// step of an alignment. About a fifth of a second.
const budgetUnits = 20_000_000

// item is one row of either text, made ready for comparing.
type item struct {
	piece, head, text int // interned, normalised; equal numbers mean equal strings
	tokens            []int
	numbers           []int // the row numbers of the head, ascending
	mate              int   // index in the other text, or none
	parents           []int // new rows only: indexes of old rows it came from besides its mate
	merged            bool  // old rows only: went into another row
}

// free reports whether the row has no mate yet and is neither merged away nor split off.
func (it *item) free() bool { return it.mate == none && !it.merged && it.parents == nil }

type tracer struct {
	ids      []int64
	old, new []item
	budget   int

	oldPieces, newPieces map[int]bool

	proposed [][2]int // old, new: in the same place, alike or with the same head
}

type span struct{ oldFrom, oldTo, newFrom, newTo int }

func newTracer(old []Row, lines []Line) *tracer {
	t := &tracer{budget: budgetUnits, oldPieces: map[int]bool{}, newPieces: map[int]bool{}}
	in := interner{}
	for _, r := range old {
		t.ids = append(t.ids, r.ID)
		it := in.item(r.Piece, r.Head, r.Text)
		t.old = append(t.old, it)
		t.oldPieces[it.piece] = true
	}
	for _, l := range lines {
		it := in.item(l.Piece, l.Head, l.Text)
		t.new = append(t.new, it)
		t.newPieces[it.piece] = true
	}
	return t
}

func (t *tracer) pair(o, n int) { t.old[o].mate, t.new[n].mate = n, o }

func (t *tracer) matches() []Match {
	out := make([]Match, len(t.new))
	for i, it := range t.new {
		if it.mate != none {
			out[i].ID = t.ids[it.mate]
		}
		for _, p := range it.parents {
			if id := t.ids[p]; id != out[i].ID {
				out[i].Parents = insertSorted(out[i].Parents, id)
			}
		}
	}
	return out
}

// moved matches rows that stand elsewhere now: the same words, once among the
// unmatched of both texts. Across pieces the words must be enough to be telling;
// "purl" stands everywhere.
func (t *tracer) moved() {
	t.pairUnique(func(it *item) (key, bool) { return key{it.piece, it.head, it.text}, true })
	t.pairUnique(func(it *item) (key, bool) { return key{it.piece, none, it.text}, true })
	t.pairUnique(func(it *item) (key, bool) { return key{none, none, it.text}, len(it.tokens) >= telling })
}

// telling is how many words and numbers make a row's text its own.
const telling = 6

// key is what two rows must share to count as the same in a pass.
type key struct{ piece, head, text int }

// pairUnique pairs unmatched rows whose key occurs once among the unmatched of
// each text, in whatever order they stand.
func (t *tracer) pairUnique(keyOf func(*item) (key, bool)) {
	seen := map[key]*[4]int{} // old count, old index, new count, new index
	count := func(items []item, at int) {
		for i := range items {
			if !items[i].free() {
				continue
			}
			k, ok := keyOf(&items[i])
			if !ok {
				continue
			}
			c := seen[k]
			if c == nil {
				c = new([4]int)
				seen[k] = c
			}
			c[at]++
			c[at+1] = i
		}
	}
	count(t.old, 0)
	count(t.new, 2)
	for _, c := range seen { // each pair by itself: the order does not matter
		if c[0] == 1 && c[2] == 1 {
			t.pair(c[1], c[3])
		}
	}
}
