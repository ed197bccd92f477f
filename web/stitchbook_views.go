package web

// StitchListView lists the studio's own stitches, or those in the bin.
type StitchListView struct {
	Page
	Stitches []StitchCard
	Bin      bool // something is in the bin
}

// StitchCard is a stitch of the list.
type StitchCard struct {
	Name, URL         string
	Picture           Picture // small, of the right side; no URL where nothing can be drawn
	Multiple          string  // "Multiple of 4 + 2"; "" where none is told
	Uses              string  // "used in 2 patterns"
	Proof, ProofLevel string
	RestoreURL        string // in the bin only
	PutAway, ISO      string
}

// NewStitchView is the page to begin a stitch.
type NewStitchView struct {
	Page
	Name, Manuscript    Field
	BlankName, Of, Plus Field
	Round               bool
}

// StitchView is the page of one stitch.
type StitchView struct {
	Page
	Heading      string // its name, as saved
	Facts        string // "Multiple of 4 + 2 · version 3 · used in 2 patterns"
	Base         string // address of the stitch; the others hang below it
	Version      string // that the form was made from
	Name         Field
	Manuscript   Field
	Problem      string
	Conflict     []DiffLine // what was typed against what stands; nil when there is no conflict
	Unsaved      bool       // the text shown is not the one that is saved
	Proof        Proof
	Chart        SectionChart
	Sets         []ChartSet
	RS, WS       Picture
	Why          string // there is no picture: why
	Forms        []StitchFormView
	WorkOver     string // "Work Row 1 of Pebble over next 22 sts."
	Gauges       []StitchGaugeLine
	Gauge        StitchGaugeFields
	GaugeProblem string
	SwatchURL    string // to keep a swatch in it
	Uses         []StitchUseLine
	Versions     []StitchVersionLine
}

// StitchFormView is one of the forms of a stitch.
type StitchFormView struct {
	ID, Name, Hint string // "Flat", "as written"
	Rows           string // one line each; "" where it cannot be written
	Why            string
	Notes          []string
}

// StitchGaugeLine is a gauge measured in the stitch.
type StitchGaugeLine struct{ Figures, Materials, Note, RemoveURL string }

// StitchGaugeFields are the fields of a new one.
type StitchGaugeFields struct{ Yarn, Needle, Sts, Rows, Over, Note string }

// StitchUseLine is a pattern in which the stitch stands.
type StitchUseLine struct {
	Title, URL, Section, Version string
	Changed                      string // "has version 1"; "" when it is up to date
	ChangedURL                   string
	Gone                         bool // the section no longer stands
}

// StitchVersionLine is one of the stitch's texts.
type StitchVersionLine struct {
	Version, When, ISO, Who, Renamed string
	URL                              string
	Current                          bool
}

// StitchVersionView shows an earlier text beside the one that stands. Bringing it
// back is saving its name and text from the version that stands.
type StitchVersionView struct {
	Page
	Heading, Base, Version, When, ISO, Who string
	Stands, Name, Manuscript               string
	Lines                                  []DiffLine
	Same                                   bool
}

// PatternStitchesView is the page of the stitches placed in a pattern.
type PatternStitchesView struct {
	Page
	Tabs
	Version  string
	Problem  string
	Placed   []PlacedStitch
	Stitches []Choice // of the studio, to place
	Forms    []Choice
	Places   []Choice
	Preview  *StitchFormView // nil until it is asked for
	Heading  string          // of the section in the preview
	Action   string
	Empty    bool // the studio has no stitch yet
}

// PlacedStitch is a stitch that stands in the pattern.
type PlacedStitch struct {
	ID, Name, URL, Section, Form, Version string
	WorkOver, Over                        string // the line to copy, and the counts it may be worked over
	Notice                                *StitchNotice
	Gone                                  bool
}

// StitchNotice tells that a stitch has changed since it was placed.
type StitchNotice struct{ Text, URL string }

// StitchChangeView shows what changed in a stitch since it was placed.
type StitchChangeView struct {
	Page
	Tabs
	Heading      string
	Version      string // of the pattern
	Stitch       string // version of the stitch that is shown
	StitchURL    string
	Text         string // "Pebble has changed since you placed it: version 2 → 3."
	Problem      string
	Rows         []StitchRowChange // what changed in the stitch
	Lines        []DiffLine        // the section as it stands against the new rows
	Own          bool              // the section was changed by hand since
	Same         bool              // the section says the new rows already
	Why          string            // the new rows cannot be written in this form: why
	Level, Proof string            // of the pattern with the new rows
	Worse        []string          // errors that come with them
	Notes        []string
	Action       string
}

// StitchRowChange is a row that changed, came or went.
type StitchRowChange struct{ Head, Was, Now string }
