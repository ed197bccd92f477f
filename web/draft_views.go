package web

// DraftView is the page on which a piece or a garment is drafted, anew or for a
// pattern that was drafted before.
type DraftView struct {
	Page
	Tabs    Tabs   // of the pattern; empty for a new one
	Version string // of the pattern; "" for a new one
	Action  string
	Forms   []DraftForm // to choose from; empty once one is chosen
	Form    string      // name of the chosen one
	Heading string
	Problem string

	Title, Sts, Rows, Sizes, Ease, Excess, Yarn, Needle Field
	Stitches, Wearers                                   []Choice // no wearers where no body is wanted
	SetIn                                               bool
	Labels                                              []string // of the sizes in the table
	TableFor                                            string   // what the table was filled for
	Measures                                            []DraftMeasure
	Result                                              *DraftResult
	Merge                                               *DraftMerge
}

// DraftForm is a form to choose.
type DraftForm struct{ Name, Title, URL, Hint string }

// DraftMeasure is a row of the table of measurements.
type DraftMeasure struct {
	Name  string
	Cells []DraftCell
}

// DraftCell is one field of it.
type DraftCell struct{ Name, Label, Value string }

// DraftResult is a draft before it is kept.
type DraftResult struct {
	Manuscript string
	Proof      string // "Every row proved"
	Pieces     []DraftPiece
	Finished   NumberTable
	Problems   []string
	Amounts    Amounts
}

// DraftPiece is the schematic of a piece.
type DraftPiece struct{ Name, SVG string }

// NumberTable is a table of numbers with a column for each size.
type NumberTable struct {
	Caption string
	Columns []string
	Rows    []NumberRow
}

// NumberRow is a row of it.
type NumberRow struct {
	Name  string
	Cells []string
}

// Amounts is what a pattern takes of yarn.
type Amounts struct {
	Yarn  NumberTable
	Basis string // what the figures stand on
	Why   string // there are none: why
	Notes []string
}

// DraftMerge is a new draft put into what was made of the last.
type DraftMerge struct {
	Lines   []DiffLine // the text as it stands against the merged one
	Choices []DraftChoice
	Same    bool // nothing changes
	Proof   string
}

// DraftChoice is a place that both changed.
type DraftChoice struct {
	Name         string // of the fields
	Mine, Theirs string // "" where that side has no line
	Take         bool
}

// AmountsView is the page of a pattern's measurements and yarn.
type AmountsView struct {
	Page
	Tabs
	Problem      string
	Measures     NumberTable
	Pieces       []DraftPiece
	Amounts      Amounts
	Metres       Field // of another ball
	Grams        Field
	RedraftURL   string // "" where it was not drafted
	OtherProblem string
}

// MySizeView is the public page on which a reader makes a pattern her own size.
type MySizeView struct {
	Page
	Pattern, Back, Action            string
	Sizes                            []Choice
	Sts, Rows, Width, Height         Field
	GaugeHint, WidthLabel, WidthHint string
	HasHeight                        bool
	Problem                          string
	Ready                            bool
	Notes                            []string
	PDF, Text                        string
	Amounts                          Amounts
	Body                             string // the document as an HTML fragment
}
