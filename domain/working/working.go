// Package working lays a proved pattern out as the list of things to do, one after
// another, for one size: what a knitter works through with the pattern beside her.
//
// Steps is the call. It takes everything from the proof: which rows are worked, how
// often, on which side, and how many stitches are then on the needle. What the proof
// cannot tell, because only the knitting says it ("until piece measures 20 cm"), is a
// loop of steps that ends when she says so.
package working

import (
	"errors"
	"fmt"

	"rowproof/domain/document"
	"rowproof/domain/notation"
	"rowproof/domain/review"
)

// Most is how many steps a pattern has at the most.
const Most = 20_000

// ErrTooLong is a pattern with more than Most steps.
var ErrTooLong = errors.New("more than 20,000 rows, too many to be worked through one by one")

// Unknown is a count that the proof does not tell.
const Unknown = -1

// Plan is a pattern as the things one size does, in their order.
type Plan struct {
	Size  int    // index
	Name  string // of the size; "" where there is one
	Lines []Line // what is to be worked, each once however often it is worked
	Steps []Step
	Loops []Loop // in order; none within another
}

// Line is an instruction in the words of one size; a head that stands for several rows
// gives a line for each.
type Line struct {
	Row     int    // the instruction's ordinal, from 0, as notation.Instructions counts; -1 for words between instructions
	Piece   string // "" where the pattern names none
	Section string // the head it stands under, where that is not the piece's
	Head    string // "Row 12 (WS)", "Cast on"; "" where the steps bear their own
	Text    string
	Like    string // the words of the row that it is worked like, "" for none
	Number  string // the row's number within its section, as its chart numbers it; "" for none
	At      int    // line of the manuscript, from 1
	Terms   []document.Definition
}

// Kind is what a step is.
type Kind string

const (
	Begin Kind = "begin" // a cast-on, or stitches picked up
	Row   Kind = "row"
	End   Kind = "end"  // a bind-off, or all stitches on holders
	Other Kind = "do"   // anything else that is worked
	Along Kind = "also" // at the same time as the rows that follow
	Words Kind = "note" // words between instructions
)

// Step is one thing to do.
type Step struct {
	Line     int // index in Plan.Lines
	By       int // the sentence that has it worked again, index in Plan.Lines; -1 for none
	Kind     Kind
	Head     string // where the line has none: "Row 3 of 40 (RS)"
	Side     string // RS, WS, or "" in rounds and where it is not known
	Count    int    // stitches on the needle after it, or Unknown
	Stitches string // the same for every multiple, "8n + 3"; "" where Count tells it or nothing does
	Change   int    // of the count, against the step before
	Pass     int    // "repeat 3 of 7"; 0 where nothing is repeated
	Passes   int
	Before   string   // words that stand before it: "Change to larger needles."
	Repeats  []Repeat // within the row
}

// Repeat is a repeat within a row: "*k2, p2; rep from *".
type Repeat struct {
	Words    string
	Times    int // 2 at the least
	Stitches int // that one repeat takes; 0 where it differs
}

// Loop is a run of steps that is worked over and over until the knitter says it is enough.
type Loop struct {
	From, To int    // steps, both among them
	By       int    // the sentence that asks for it, index in Plan.Lines; -1 for none
	Until    string // what ends it, in words: "until piece measures 20 cm"
	Changes  bool   // a pass changes the count: Count is that of the first pass
}

// Steps lays out a checked pattern for one size. It errs where there is no such size,
// and with ErrTooLong.
func Steps(res *review.Result, size int) (*Plan, error) {
	ms := res.Manuscript
	if size < 0 || size >= max(1, len(ms.Sizes)) {
		return nil, fmt.Errorf("working: there is no size %d", size+1)
	}
	l := newLayer(res, size)
	if err := l.watch(); err != nil {
		return nil, err
	}
	if err := l.lay(); err != nil {
		return nil, err
	}
	return l.plan, nil
}

// rowsIn are the rows of a manuscript by their ordinal and where they stand.
func rowsIn(ms *notation.Manuscript) (ordinal map[notation.Item]int, at map[[2]int]int, all []notation.Instruction) {
	ordinal, at = map[notation.Item]int{}, map[[2]int]int{}
	all = notation.Instructions(ms)
	for i, in := range all {
		ordinal[in.Item] = i
		at[[2]int{in.Span.Line, in.Span.Col}] = i
	}
	return ordinal, at, all
}
