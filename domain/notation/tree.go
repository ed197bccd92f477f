package notation

import "rowproof/domain/finding"

// Skip marks, in a Num, a size that does not work the step at all: "-" in a
// size vector. It differs from 0, where the row is worked with nothing done.
const Skip = -1

// Num is a number as the trade writes it: one value for every size, or one per
// size, smallest first. An empty Num was not written.
type Num struct {
	Vals []int
	finding.Span
}

// N makes a Num of one value for every size.
func N(v int) Num { return Num{Vals: []int{v}} }

// For returns the value for size i. A vector that is too short gives its last
// value (the finding size-count has been raised by the reader then).
func (n Num) For(i int) int {
	switch {
	case len(n.Vals) == 0:
		return 1
	case i < len(n.Vals):
		return n.Vals[i]
	default:
		return n.Vals[len(n.Vals)-1]
	}
}

// Given says that a number was written.
func (n Num) Given() bool { return len(n.Vals) > 0 }

// Single says that one value serves every size.
func (n Num) Single() bool { return len(n.Vals) <= 1 }

// TargetKind says how far something is worked.
type TargetKind string

const (
	ToRest       TargetKind = ""       // bare "rep from *": as far as what follows leaves room
	ToEnd        TargetKind = "end"    // to the end of the row, across, around
	ToLast       TargetKind = "last"   // to the last N stitches
	ToMarker     TargetKind = "marker" // to N stitches before the next marker (or the named one)
	ToGap        TargetKind = "gap"    // to N stitches before the gap or wrap of a short row
	TimesInAll   TargetKind = "times"  // N times: in all, or more, is not said
	TimesMore    TargetKind = "more"   // N times more
	TimesTotal   TargetKind = "total"  // N times in all
	ToWorked     TargetKind = "worked" // until N stitches have been worked
	TargetCentre TargetKind = "centre" // to N stitches before the centre
)

// Target is how far something is worked.
type Target struct {
	Kind TargetKind
	N    Num
	Name string // of the marker; "" for the next one; "needle", "gap": of that needle, since the gap
	finding.Span
}

// CountKind says what a stated count counts.
type CountKind string

const (
	CountAll     CountKind = "all"     // stitches on the needle
	CountInc     CountKind = "inc"     // stitches increased in this row
	CountDec     CountKind = "dec"     // stitches decreased in this row
	CountSide    CountKind = "side"    // stitches on each side of a gap or marker
	CountBetween CountKind = "between" // stitches between markers
)

// Stated is a count the designer wrote at a row's end.
type Stated struct {
	Kind CountKind
	N    Num
	finding.Span
}

// Head is what stands before a row's body.
type Head struct {
	Words   string // as written, without colon and brackets: "Set-up row", "Rows 1, 3 and 5"
	Numbers []int  // the rows it stands for, ascending; nil where it has no number
	Letter  string // "a" in "Row 1a"
	Round   bool   // a round
	Side    string // RS, WS, or ""
	// Every says the head runs on: "and all WS rows", "and every foll alt row".
	Every    Every
	EveryRow bool   // "Every row" of a one-row pattern
	Only     []int  // "(sizes S and M only)" within the head
	Next     int    // for "Next 3 rows": how many; 0 otherwise
	Yarn     string // "Row 1 (CC)": the colour it is worked in; "" where the head names none
	finding.Span
}

// Every says how a head runs on to later rows.
type Every struct {
	Last int    // no further than this row; 0 = as far as the rows go
	Step int    // 2 for every other row, 4 for every 4th; 0 = does not run on
	Side string // all RS or all WS rows
	Odd  bool   // all odd rows
	Even bool   // all even rows
}

// On says whether the head runs on.
func (e Every) On() bool { return e.Step > 0 || e.Side != "" || e.Odd || e.Even }

// Manuscript is a whole pattern, read.
type Manuscript struct {
	Title string
	Sizes []string // names; one "" where there is one size
	Some  int      // a line with a number for some sizes only, "Sizes 3 and 4 only: dec … 5 (7) times"; 0 for none
	Fit   bool     // the names are of whom they fit: "To fit chest: 81 (86, 91) cm"
	Items []Item
	Yarns []string // letters and names declared or used
	// Words are the designer's own stitches by key, see Stitch.
	Own map[string]*Stitch
	// Findings of the reading.
	Findings finding.List
	// Source holds the lines as written, for quoting and editing.
	Source []string
}
