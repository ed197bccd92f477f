package notation

import "rowproof/domain/finding"

// This file has the items that a manuscript is made of.

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
		Sum     Num    // of what is picked up, where a total is stated behind it and no number is left out
		Addends int    // how many numbers Sum is of
		Again   Num    // of those told of once more, or not told of before: "knit 6 of the heel sts"
		Before  Num    // of those that the same sentence has on the needle before, "slip the 13 sts back, pick up 3"
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
		Do        string // dec, inc, bind, cast; "towards": as it was begun, until so many stand
		N         Num    // stitches at each place
		At        string // both, beg, end, neck, armhole, "" ...
		Places    int    // places in one row: 2 for each end
		When      When
		Until     Num // "until 61 sts rem"
		UntilMark string
		Rep       *RepRows // of "towards": rows that are repeated with a change each time, and how often
		Same      bool     // AT THE SAME TIME
		Stated    []Stated
		Only      []int
		Words     string
		finding.Span
		Unworked bool // nothing was worked from its words: the count behind them is taken, and nothing behind it is proved
	}
	// Straight is work without shaping: "work even for 9 rows", "knit 4 rows".
	Straight struct {
		Rows   Num    // not given where a length says how far
		Stitch string // as written: "st st", "k2, p2 rib", "patt"
		Ends   string // "RS" or "WS" where it must end
		Length string // "38 cm" as written
		Change Num    // stitches increased evenly in it; Down: decreased
		Over   Num    // the stitches it is worked on, others waiting: "on these 18 sts"
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
		Side  bool // those of one side, of two that a row has parted
		Keep  Num  // all but these, where given
		Words string
		finding.Span
	}
	// As works as another piece: "Work as for Back to armhole".
	As struct {
		Piece    string
		To       string
		Until    Num // "until 46 sts rem"
		Reversed bool
		But      bool // with a change that is told in rows behind it
		Words    string
		finding.Span
	}
	// Markers hangs markers behind so many stitches of the round or row to come, told in a sentence.
	Markers struct {
		After []Num // from its beginning, ascending
		Every bool  // and again behind as many, as far as there are stitches: one number
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
		Text     string
		Odd      bool
		Unworked bool // stitches are told in it that were not worked: nothing behind it is proved
		Lay      *Lay // how it lays the stitches out; nil where it does not
		finding.Span
	}
	// Blank is an empty line.
	Blank struct {
		Within bool // what a label above says of sizes goes on below it
		finding.Span
	}
)

// Until_ is a condition that ends a repeat of rows.
type Until_ struct {
	Sts       Num    // until N sts remain (or there are N sts)
	Between   bool   // so many of them between the markers
	AllWorked bool   // until all stitches have been worked
	Aside     Num    // until N sts are left unworked at each side, by rows that turn
	Rows      Num    // until N rows have been worked in all
	Length    string // until piece measures …
	Ends      string // RS or WS
}

// Given says whether a condition was written.
func (u Until_) Given() bool {
	return u.AllWorked || u.Aside.Given() || u.Sts.Given() || u.Rows.Given() || u.Length != ""
}

// RowRef names rows given before.
type RowRef struct {
	Numbers []int
	From    bool   // the one number and all that follow it: "from Row 1"
	Last    int    // the last N rows; 0 otherwise
	Lasts   Num    // as many by size, where they differ
	First   int    // only so many of the last N rows, from the first; 0 for all
	This    bool   // "do this 4 more times": the row before where it has no number, else the rows given last
	Words   string // a head's words: "Dec rnd"
	Section string // of a named stitch pattern
	Star    string // the rows since that asterisk among the sentences
}

// When says in which rows a shaping sentence works.
type When struct {
	Next   int    // "next 3 rows"; 0 where not said
	Every  int    // every Nth row; 1 = every row, 2 = every other
	Length string // "every 3 cm": the rows between follow from the gauge; Every is 2 then
	Each   Num    // "every 8th (6th, 6th) row", where sizes differ: Every is then that of the first
	Side   string // every RS row
	Times  Num    // how often
	More   bool   // "more times": after the first
	First  bool   // "next and every …": the first one is apart
	Total  bool   // said to be in all
	Even   Num    // "then every 4th row 3 times" chained: see Then
	Then   *When
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
func (*Markers) item()    {}
func (*JoinRound) item()  {}
func (*ForSizes) item()   {}
func (*Prose) item()      {}
func (*RowStar) item()    {}
func (*Blank) item()      {}
