package needle

import (
	"fmt"
	"slices"
	"strings"

	"rowproof/domain/notation"
)

// EventKind says what happened at one place of a row.
type EventKind uint8

const (
	Worked           EventKind = iota // a stitch was worked: In loops off the left needle (or From), Out onto the right
	BoundOff                          // one loop was bound off
	CastOnLoop                        // one loop was cast on
	Turned                            // the work was turned in mid row
	Marker                            // a marker was placed, slipped or removed at the needles' tips
	ToCableNeedle                     // In loops went to the cable needle
	Held                              // In loops went to a holder
	Unheld                            // Out loops came back from a holder onto the left needle
	Returned                          // In loops went back from the right to the left needle
	YarnChanged                       // Yarn is used from here on
	YarnOversDropped                  // every yarn over of the row before falls off the left needle
)

// Event is one loop's worth of work, in the order it is done.
type Event struct {
	Kind   EventKind
	Key    string // of the vocabulary or the designer, for Worked
	Class  notation.Class
	Lean   string
	Params []int
	In     int
	Out    int
	From   string // "", cn or holder
	Side   string // of ToCableNeedle: front, back
	Yarn   string
	Wraps  int
	Place  bool // worked into one place of In loops, a list of stitches: see Into
	Into   []Event
}

// WorkedRow is one row as it was really worked, once.
type WorkedRow struct {
	Name   string
	Line   int
	Entry  *Entry // nil for rows a sentence only counts ("work 10 rows even")
	Side   string // RS, WS, or "" in rounds
	Round  bool
	Events []Event // until the next row is told; copy them to keep them
	Before int     // loops on the needles before it
	After  int
	Slid   bool // the work is slid after it, not turned
}

// Trace works one size of a part loop by loop and tells every row as it is
// worked, repeats and all, in order. stitches is the number to begin with; 0
// takes the cast-on. passes is how often a "Rep Rows" without number or with a
// length is worked; below 0, so many times, and the numbered rows of a part that
// repeats nothing as often. It stops with an error at the first row that does not
// come out.
func Trace(ms *notation.Manuscript, res *Result, part, size, stitches, passes int, visit func(WorkedRow)) error {
	return TraceWhile(ms, res, part, size, stitches, passes, func(r WorkedRow) bool {
		visit(r)
		return true
	})
}

// TraceWhile is Trace for those who need not see every row: it ends after the row
// for which visit reports false, without an error.
func TraceWhile(ms *notation.Manuscript, res *Result, part, size, stitches, passes int, visit func(WorkedRow) bool) error {
	if part < 0 || part >= len(res.Parts) {
		return fmt.Errorf("needle: no part %d", part)
	}
	p := res.Parts[part]
	if stitches == 0 {
		if size >= len(p.CastOn) {
			return fmt.Errorf("needle: %s has no cast-on for size %d", p.Name, size)
		}
		stitches = p.CastOn[size]
	}
	if stitches < 1 || stitches > 20000 {
		return fmt.Errorf("needle: %d stitches cannot be traced", stitches)
	}
	l := newLane(size, K(stitches))
	l.round = p.Round
	l.cols = newColumns(stitches)
	l.cols.record = true
	budget := workBudget
	again := *p
	again.Rows, again.Final = nil, nil
	r := &run{shared: newShared(), ms: ms, res: &Result{}, part: &again, lanes: []*lane{l}, rowsPer10: rowGauge(ms),
		w:       &worker{ms: ms, budget: &budget, own: map[string]effect{}},
		numbers: map[int]*def{}, words: map[string]*def{}, scopes: map[string]map[int]*def{}, all: map[string]*Part{}}
	r.w.pattRows = readPattRows(ms)
	r.w.pattWidth = func(name, row string, size int) (int, bool) {
		d := r.w.pattRows.find(name, row)
		if d == nil {
			return 0, false
		}
		e := r.w.fixed(d.Body, size)
		return e.in, e.ok && e.in > 0
	}
	enough := &failure{}
	seen := func(row WorkedRow) {
		if r.fail == nil && !visit(row) {
			r.fail = enough
		}
	}
	r.silent, r.visit, r.tracePasses = true, seen, max(1, passes, -passes)
	r.items(p.items)
	if passes < -1 && r.fail == nil && !r.repeated && len(r.numbers) > 0 {
		r.passAgain(-passes - 1)
	}
	if f := r.fail; f != nil && f != enough {
		if f.at.Line == 0 {
			return fmt.Errorf("needle: %s (%s)", f.msg, f.code)
		}
		return fmt.Errorf("needle: %s (%s, line %d)", f.msg, f.code, f.at.Line)
	}
	return nil
}

// passAgain works the numbered rows of the part n times more, in their order.
func (r *run) passAgain(n int) {
	var order []int
	for number := range r.numbers {
		order = append(order, number)
	}
	slices.Sort(order)
	var defs []*def
	for _, number := range order {
		defs = append(defs, r.numbers[number])
	}
	r.passes(defs, r.lanes, &again{rows: len(defs)}, n, nil)
}

// note records an event of the row at hand.
func (l *lane) note(e Event) {
	if l.cols != nil && l.cols.record {
		l.cols.events = append(l.cols.events, e)
	}
}

// noteStitch records one working of a stitch.
func (w *worker) noteStitch(l *lane, o *notation.Do, in, out int) {
	if l.cols == nil || !l.cols.record {
		return
	}
	e := Event{Kind: Worked, Key: o.Key, Params: o.Params, In: in, Out: out, From: o.From, Wraps: o.Wraps}
	if s := w.stitch(o.Key); s != nil {
		e.Class, e.Lean = s.Class, s.Lean
	}
	if e.Class == notation.Patt && e.Key == "patt" {
		e.Key = w.pattKey(o)
	}
	l.note(e)
}

// pattKey tells which stitch "seed 5", "rib 3" or "patt 12" means, by the words
// as written: k for garter, seed for seed and moss, patt for all that goes on as
// it stands.
func (w *worker) pattKey(o *notation.Do) string {
	if o.Line < 1 || o.Line > len(w.ms.Source) || o.EndLine != o.Line {
		return o.Key
	}
	s := []rune(w.ms.Source[o.Line-1])
	from, to := max(0, o.Col-1), min(o.EndCol-1, len(s))
	if from >= to {
		return o.Key
	}
	switch words := strings.ToLower(string(s[from:to])); {
	case strings.Contains(words, "garter"), strings.Contains(words, "g st"):
		return "garter"
	case strings.Contains(words, "seed"), strings.Contains(words, "moss"):
		return "seed"
	}
	return o.Key
}

// eventsOf lists a body of fixed stitches worked into one place.
func (w *worker) eventsOf(ops []notation.Op, size int) []Event {
	var out []Event
	notation.Each(ops, func(op notation.Op) {
		d, ok := op.(*notation.Do)
		if !ok {
			return
		}
		in, made, _ := w.counts(d)
		e := Event{Kind: Worked, Key: d.Key, Params: d.Params, In: in, Out: made}
		if s := w.stitch(d.Key); s != nil {
			e.Class, e.Lean = s.Class, s.Lean
		}
		for n := max(1, d.Times.For(size)); n > 0 && len(out) < 64; n-- {
			out = append(out, e)
		}
	})
	return out
}
