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

// Op is one thing done in a row. The set of ops is closed.
type Op interface{ op() }

type (
	// Do works the stitch Key of the vocabulary (or of the designer) Times
	// times, each on its own stitches.
	Do struct {
		Key    string
		Params []int // the numbers in the name: 2 in k2tog, 2 and 1 in 2/1 RC
		Times  Num
		Wraps  int    // yarn wound this often round the needle; 0 and 1 mean once
		From   string // "cn" or "holder" when not worked off the left needle; "held": off a holder where the needle has too few
		Unsure string // letters that lists give two meanings, where nothing defines them
		finding.Span
	}
	// Group works Body Times times; Times not given means once.
	Group struct {
		Body  []Op
		Times Num
		finding.Span
	}
	// Until works Body over and over up to To: "k to end", "[k2, p2] to last 2 sts".
	Until struct {
		Body []Op
		To   Target
		finding.Span
	}
	// Repeat is "*…; rep from * …": Body is worked once and then again as To says.
	Repeat struct {
		Body []Op
		Mark string // *, **, †
		To   Target
		// Last, when given, ends the last repeat: the last repeat is cut short
		// and ends with Last (in place of Instead where that was written).
		Last    []Op
		Instead []Op
		finding.Span
	}
	// Into works Body into one place, Times places one after another, each
	// place being Sts stitches wide: "(k1, p1, k1) in next st".
	Into struct {
		Body  []Op
		Sts   Num
		Times Num
		finding.Span
	}
	// Again is a comma list with "twice" behind it: the last of Body is worked
	// Times times, or all of Body is. The counts decide.
	Again struct {
		Body  []Op
		Times Num
		Idiom bool // a stitch commonly worked "twice": the last alone is what is meant first
		finding.Span
	}
	// Turn turns the work in mid row; Wrap says w&t.
	Turn struct {
		Wrap bool
		finding.Span
	}
	// Mark places, slips or removes a marker. Name is "" for an unnamed one. Where Do is
	// "needle", what follows is worked off the needle whose number is Name.
	Mark struct {
		Do   string // place, slip, remove, needle
		Name string
		finding.Span
	}
	// BindOff binds off N stitches, or all that remain.
	BindOff struct {
		N   Num
		All bool
		finding.Span
	}
	// CastOn casts on N stitches within a row.
	CastOn struct {
		N       Num
		EachGap bool // over each gap that the row before bound off
		finding.Span
	}
	// ToCable slips N stitches to the cable needle, held at Side (front, back or "").
	ToCable struct {
		N    Num
		Side string
		finding.Span
	}
	// Hold puts N stitches (or all that remain) on a holder or waste yarn.
	Hold struct {
		N      Num
		All    bool
		ToMark bool // all up to the next marker
		finding.Span
	}
	// Unhold returns N stitches from a holder to the left needle; not given means all.
	Unhold struct {
		N Num
		finding.Span
	}
	// Return slips N stitches from the right needle back to the left one.
	Return struct {
		N Num
		finding.Span
	}
	// UseYarn goes on with another yarn.
	UseYarn struct {
		Yarn string
		finding.Span
	}
	// DropAll drops every yarn over or extra wrap of the row before.
	DropAll struct{ finding.Span }
	// Slide pushes the work to the other end of the needle without turning.
	Slide struct{ finding.Span }
	// Leave leaves what remains on the left needle unworked.
	Leave struct{ finding.Span }
	// PattOver works a row of another stitch pattern over N stitches.
	PattOver struct {
		Row  string // "1", "" where it goes on as established
		Name string
		N    Num
		finding.Span
	}
	// Join joins a round, or yarn; it does nothing to the counts.
	Join struct{ finding.Span }
	// Remark is a comment in the row, kept as written.
	Remark struct {
		Text string
		finding.Span
	}
	// Unknown is what the reader did not understand, word for word.
	Unknown struct {
		Text string
		finding.Span
	}
)

func (*Do) op()       {}
func (*Group) op()    {}
func (*Until) op()    {}
func (*Repeat) op()   {}
func (*Into) op()     {}
func (*Again) op()    {}
func (*Turn) op()     {}
func (*Mark) op()     {}
func (*BindOff) op()  {}
func (*CastOn) op()   {}
func (*ToCable) op()  {}
func (*Hold) op()     {}
func (*Unhold) op()   {}
func (*Return) op()   {}
func (*UseYarn) op()  {}
func (*DropAll) op()  {}
func (*Slide) op()    {}
func (*Leave) op()    {}
func (*PattOver) op() {}
func (*Join) op()     {}
func (*Remark) op()   {}
func (*Unknown) op()  {}

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
	EveryRow bool  // "Every row" of a one-row pattern
	Only     []int // "(sizes S and M only)" within the head
	Next     int   // for "Next 3 rows": how many; 0 otherwise
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

// Item is one line (or sentence) of a manuscript. The set of items is closed.
type Item interface {
	item()
	Place() finding.Span // where it stands
}

type (
	// Title is the name of the pattern.
	Title struct {
		Text string
		finding.Span
	}
	// Heading is a head of a piece or section.
	Heading struct {
		Text string
		Kind HeadingKind
		finding.Span
	}
	// Field is a head line with a label: Gauge, Yarn, Needles, Finished chest.
	Field struct {
		Label string // as written
		Text  string // as written
		finding.Span
	}
	// Sizes names the sizes.
	Sizes struct {
		Label string
		Names []string
		finding.Span
	}
	// Multiple states a stitch multiple, Of·n + Plus + 2·Edge.
	Multiple struct {
		Of, Plus, Edge int
		finding.Span
	}
	// Define is one of the designer's abbreviations or stitches.
	Define struct {
		Name string // as written
		Text string // the meaning, as written
		finding.Span
	}
	// Begin casts on or picks up: the start of a piece.
	Begin struct {
		N       Num
		Sum     Num    // of what is picked up along several edges, where a total is stated behind it
		How     string // "cast on", "pick up", "return"
		Round   bool   // joined in the round
		Marked  bool   // a marker hangs at the beginning of the round
		Markers []Num  // markers after so many stitches
		Yarn    string
		Text    string
		Stated  []Stated
		finding.Span
	}
	// Row is a row, or several worked alike.
	Row struct {
		Head   Head
		Body   []Op
		As     *RowRef // "as Row 2"; Body is empty then
		Stated []Stated
		Only   []int // sizes that work it; nil = all
		Yarn   string
		Prose  string // trailing words kept as written
		finding.Span
	}
	// RepRows repeats rows already given.
	RepRows struct {
		Ref    RowRef
		Times  Target // Times…, or Kind "until" via Until
		When   When   // "rep Inc row every 8th row 3 times more, then every 6th row twice"; then Times is not given
		Until  Until_
		EndRow int // "ending with Row 3"
		Head   Head
		Stated []Stated
		Only   []int
		Words  string // "Rep Rows 1 and 2"
		finding.Span
	}
	// Shape is a shaping sentence.
	Shape struct {
		Do        string // dec, inc, bind, cast
		N         Num    // stitches at each place
		At        string // both, beg, end, neck, armhole, "" ...
		Places    int    // places in one row: 2 for each end
		When      When
		Until     Num // "until 61 sts rem"
		UntilMark string
		Same      bool // AT THE SAME TIME
		Stated    []Stated
		Only      []int
		Words     string
		finding.Span
	}
	// Straight is work without shaping: "work even for 9 rows", "knit 4 rows".
	Straight struct {
		Rows   Num    // not given where a length says how far
		Stitch string // as written: "st st", "k2, p2 rib", "patt"
		Ends   string // "RS" or "WS" where it must end
		Length string // "38 cm" as written
		Change Num    // stitches increased evenly in it; Down: decreased
		Down   bool
		Same   bool
		Stated []Stated
		Only   []int
		Words  string
		finding.Span
	}
	// BindOffAll closes a piece. N is given where the stitches are numbered.
	BindOffAll struct {
		N     Num
		Words string
		finding.Span
	}
	// HoldAll puts stitches on a holder, or takes them off.
	HoldAll struct {
		N     Num  // not given: all of them
		Rem   bool // N are said to be the remaining ones
		Keep  Num  // all but these, where given
		Words string
		finding.Span
	}
	// As works as another piece: "Work as for Back to armhole".
	As struct {
		Piece    string
		To       string
		Reversed bool
		Words    string
		finding.Span
	}
	// JoinRound joins for working in the round.
	JoinRound struct{ finding.Span }
	// Sizes that the following lines are for; nil = all again.
	ForSizes struct {
		Only []int
		finding.Span
	}
	// RowStar is an asterisk that opens a run of rows: "*Knit 9 rnds. Inc rnd: …*".
	RowStar struct {
		Mark string
		finding.Span
	}
	// Prose is words that ask for nothing to be worked. Odd says that it stands
	// among instructions and was not understood.
	Prose struct {
		Text string
		Odd  bool
		Lay  *Lay // how it lays the stitches out; nil where it does not
		finding.Span
	}
	// Blank is an empty line.
	Blank struct{ finding.Span }
)

// Until_ is a condition that ends a repeat of rows.
type Until_ struct {
	Sts       Num    // until N sts remain (or there are N sts)
	Between   bool   // so many of them between the markers
	AllWorked bool   // until all stitches have been worked
	Rows      Num    // until N rows have been worked in all
	Length    string // until piece measures …
	Ends      string // RS or WS
}

// Given says whether a condition was written.
func (u Until_) Given() bool { return u.AllWorked || u.Sts.Given() || u.Rows.Given() || u.Length != "" }

// RowRef names rows given before.
type RowRef struct {
	Numbers []int
	From    bool   // the one number and all that follow it: "from Row 1"
	Last    int    // the last N rows; 0 otherwise
	This    bool   // "do this 4 more times": the row before where it has no number, else the rows given last
	Words   string // a head's words: "Dec rnd"
	Section string // of a named stitch pattern
	Star    string // the rows since that asterisk among the sentences
}

// When says in which rows a shaping sentence works.
type When struct {
	Next  int    // "next 3 rows"; 0 where not said
	Every int    // every Nth row; 1 = every row, 2 = every other
	Each  Num    // "every 8th (6th, 6th) row", where sizes differ: Every is then that of the first
	Side  string // every RS row
	Times Num    // how often
	More  bool   // "more times": after the first
	First bool   // "next and every …": the first one is apart
	Total bool   // said to be in all
	Even  Num    // "then every 4th row 3 times" chained: see Then
	Then  *When
}

// EveryFor is Every of size i; Skip where the size has none.
func (w *When) EveryFor(i int) int {
	if w.Each.Given() {
		return w.Each.For(i)
	}
	return w.Every
}

// HeadingKind tells what stands below a heading.
type HeadingKind string

const (
	HeadPiece HeadingKind = "piece"         // instructions follow
	HeadAbbr  HeadingKind = "abbreviations" // definitions follow
	HeadWords HeadingKind = "words"         // notes, materials: no instructions
)

func (*Title) item()      {}
func (*Heading) item()    {}
func (*Field) item()      {}
func (*Sizes) item()      {}
func (*Multiple) item()   {}
func (*Define) item()     {}
func (*Begin) item()      {}
func (*Row) item()        {}
func (*RepRows) item()    {}
func (*Shape) item()      {}
func (*Straight) item()   {}
func (*BindOffAll) item() {}
func (*HoldAll) item()    {}
func (*As) item()         {}
func (*JoinRound) item()  {}
func (*ForSizes) item()   {}
func (*Prose) item()      {}
func (*RowStar) item()    {}
func (*Blank) item()      {}

// Manuscript is a whole pattern, read.
type Manuscript struct {
	Title string
	Sizes []string // names; one "" where there is one size
	Items []Item
	Yarns []string // letters and names declared or used
	// Words are the designer's own stitches by key, see Stitch.
	Own map[string]*Stitch
	// Findings of the reading.
	Findings finding.List
	// Source holds the lines as written, for quoting and editing.
	Source []string
}
