package web

// KnitSignInView asks a test knitter for her address.
type KnitSignInView struct {
	Page
	Email Field
	Sent  bool
}

// KnitEntryView is what a mailed link shows: a button that lets in.
type KnitEntryView struct {
	Page
	Token, Name string
}

// StopMailView ends notices by mail, or lets them come again.
type StopMailView struct {
	Page
	Token         string
	Stopped, Done bool
}

// KnitListView are the test knits of a person.
type KnitListView struct {
	Page
	Name  string
	Knits []KnitCard
}

// KnitCard is one of them.
type KnitCard struct {
	Title, Size, URL, State, Where, Percent, Deadline string
	Changed                                           bool // another revision came since she looked
}

// KnitView is one test knit as its knitter sees it.
type KnitView struct {
	Page
	Title      string
	Size       string // "Size M"; "" for a pattern of one size
	Revision   string
	Base       string // its address
	Open       bool
	Finished   bool
	Deadline   string
	Wants      string
	Thanks     string
	Where      string // the row she was at; "" when not begun
	Percent    string
	Ahead      []string // what the newest revision changed, ahead of where she is
	Past       []string // and behind
	Changed    bool     // another revision came
	Note       string   // what the studio says of it
	Errata     []KnitErratum
	Prints     []PrintLink
	Report     string // "You have not told yet.", "You told on 4 March …"
	ReportLink string
	Calendar   string // address of the .ics; "" without a deadline
	CanLeave   bool
}

// KnitErratum is a line of what a knitter noted.
type KnitErratum struct{ Label, Kind, State, Fixed, URL, When string }

// KnitReadView is the pattern to read, for her size.
type KnitReadView struct {
	Page
	Title, Back, Body string
}

// KnitErratumView is one erratum with what was said of it.
type KnitErratumView struct {
	Page
	Back    string
	Title   string
	Erratum ErratumFacts
	Said    []ErratumSaid
	Answer  Field
	Action  string
}

// KnitNoteView notes an erratum without a script.
type KnitNoteView struct {
	Page
	Back    string
	Title   string
	Rows    []Choice
	Kinds   []Choice
	Had     Field
	Did     Field
	Note    Field
	Action  string
	UUID    string
	Problem string
}

// ErratumFacts is what a knitter noted.
type ErratumFacts struct {
	Label    string // "Row 12 (WS), repeat 3 of 7"
	Size     string
	Knitter  string
	Kind     string
	State    string
	StateKey string
	HadLabel string // "Had", "You had"
	DidLabel string // "Did instead", "You did instead"
	Had, Did string
	Note     string
	Photo    Picture // empty for none
	PhotoBig string
	When     string
	Revision string
	Fixed    string // "put right in revision 4"; "" while it is not
}

// ErratumSaid is something said or decided about an erratum.
type ErratumSaid struct {
	Who, When, Decision, Body string
	Mine                      bool // by whoever reads
}

// KnitReportView tells what came off the needles.
type KnitReportView struct {
	Page
	Back, Action, Version                      string
	Title, Size                                string
	Problem                                    string
	BeforeSts, BeforeRows, AfterSts, AfterRows Field
	GaugeHint                                  string
	Measures                                   []MeasureField
	Yarns                                      []YarnField
	Hours, Fit, Note, Credit                   Field
	Photos                                     []KnitPhotoLine
	PhotoProblem                               string
	MorePhotos                                 bool
}

// MeasureField is a finished measurement with what the pattern says of it.
type MeasureField struct {
	Name, Label, Hint string
	Field
}

// YarnField is one yarn: grams used, or balls and what was left.
type YarnField struct {
	Letter, Label, Hint  string
	Grams, Balls, Rest   Field
	Metres               Field
	GramsName, BallsName string
	RestName, MetresName string
}

// KnitPhotoLine is a photograph that was given.
type KnitPhotoLine struct {
	ID      string
	Picture Picture
	Consent string
}
