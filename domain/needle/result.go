package needle

import (
	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// Result is what working a manuscript gives.
type Result struct {
	Parts    []*Part
	Findings finding.List
	Steps    int // of work it took; a measure of cost that no clock disturbs
}

// Part is one piece of knitting, from its cast-on or multiple to its end.
type Part struct {
	Name   string
	Line   int // where it begins
	Round  bool
	Stated *notation.Multiple // nil where none is stated
	Needs  *Need              // nil where unknown
	CastOn []int              // per size; nil where only a multiple is stated
	Final  []Count            // per size, before a closing bind-off; nil where not known
	Rows   []*Entry
	Change *int   // stitches gained by one pass of the rows; nil where none or sizes differ
	Proved string // all, n=1..12, or ""

	// Sentences tells, for each sentence that works rows without being one ("rep
	// last 2 rows 5 times more", "dec 1 st each end of every 4th row"), the counts
	// before and after it where it stands.
	Sentences map[notation.Item]Span

	items   []notation.Item
	section string
}

// Need is the multiple the rows need, worked out from the rows alone.
type Need struct{ Of, Plus, Min int }

// Count is a number of stitches, or not known (a size that skips the row).
type Count struct {
	N     int
	Known bool
}

// Span is the counts per size around a sentence; not known for a size that skips it.
type Span struct{ Before, After []Count }

// Entry is one row of a part, worked once or often.
type Entry struct {
	Name   string
	Line   int
	Row    *notation.Row // nil for a shaping sentence
	Number int           // 0 where it has none
	Span   finding.Span
	Side   []string // per size, first time worked
	First  []Count
	Last   []Count
	Before []Count // on the needle before it, first time worked
	Times  []int
	Held   []int
	Aside  []int // the stated count, where it is of a thumb between two turns and not of all; nil where none is
	Lin    *Lin  // for a multiple: after it, first time worked
	Words  string
}
