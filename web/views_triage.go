package web

// TriageView are the errata of a pattern, by row, piece, size or knitter.
type TriageView struct {
	Page
	Tabs
	Filters []TriageFilter
	Groups  []TriageGroup
	Total   string // "5 errata, 2 wait for you"
	None    string // why there is nothing to see
}

// TriageFilter is a choice of what is shown.
type TriageFilter struct {
	Name, Label string
	Choices     []Choice
}

// TriageGroup are the errata of one row, piece, size or knitter.
type TriageGroup struct {
	Head   string
	Now    string // what the row says now, as written; "" for other groups
	Gone   bool   // the row no longer stands
	Prover []string
	Lines  []TriageLine
	// Alike are errata that seem to tell the same, to be kept together by one click.
	Alike []TriageAlike
}

// TriageAlike keeps near-duplicates together.
type TriageAlike struct {
	Words  string // "3 tell of the count of this row"
	First  string // id of the one that told it first
	Others []TriageLine
	Button string
}

// TriageLine is one erratum in the list.
type TriageLine struct {
	ID, URL  string
	Base     string // its version
	Label    string
	Knitter  string
	Size     string
	Kind     string
	State    string
	StateKey string
	Words    string // the first of what she wrote
	When     string
	Fixed    string
	Photo    bool
}

// ErratumView is one erratum for the designer.
type ErratumView struct {
	Page
	Tabs
	ID        string
	Base      string
	Erratum   ErratumFacts
	Row       RowThenNow
	Prover    []string // what the prover says of the row at that size
	Said      []ErratumSaid
	Firsts    []Choice // errata that may have told it first
	Body      Field
	State     string // chosen
	Problem   string
	Meantime  string // somebody else decided meanwhile: what
	CanSettle bool
	Settle    Field
	RowURL    string // the row in the editor
}

// RowThenNow is a row as it was read and as it is.
type RowThenNow struct {
	Known            bool
	Where            string
	Was, WasCount    string
	Now, NowCount    string
	WasHead, NowHead string
	Heirs            []string // rows that it went into, where it no longer stands
	Verdict          string   // "The row has changed since, and the change touches it."
	Touched          bool
}

// NeedlesView is what came off the needles of all knitters.
type NeedlesView struct {
	Page
	Tabs
	Empty    bool
	Yarns    []NeedlesYarn
	Gauge    []Plot
	Measures []Plot
	Reports  []NeedlesReport
	YarnWhy  string // why there is no estimate to compare with
}

// NeedlesYarn is one yarn: what was worked out, what was weighed, and what follows.
type NeedlesYarn struct {
	Name    string
	Ratios  []NeedlesRatio
	Plot    Plot
	Learnt  string      // "From 3 knitters: 4 % more than worked out, 1 % to 7 %."
	Table   NumberTable // before and after, per size
	Formula string
}

// NeedlesRatio is one knitter's ratio.
type NeedlesRatio struct {
	Knitter, KnitterID, Letter string
	Size                       string
	Grams, Metres, Planned     string
	Ratio                      string
	State                      string // "used", "stands far off: use it?", "left out"
	Ask                        bool
	Asked                      string // "use", "leave"
}

// Plot is a drawing of dots against what was planned: a line for each size, a dot for each
// knitter. All places are in the units of its ViewBox.
type Plot struct {
	Title           string
	ViewBox         string
	TickTo, LabelsY string // where the marks of the scale end, and where their labels stand
	Lines           []PlotLine
	Ticks           []PlotTick
	Words           []string // the same in words
}

// PlotLine is a size: what was planned at the zero of the scale, its dots by how far off.
type PlotLine struct {
	Label, LabelY string
	Dots          []PlotDot
	Band          PlotBand
}

// PlotDot is one knitter.
type PlotDot struct {
	X, Y, Title string
	Far         bool
}

// PlotBand is an interval drawn behind the dots; no width for none.
type PlotBand struct{ X, Y, Width string }

// PlotTick is a mark of the scale.
type PlotTick struct {
	X, Label string
	Zero     bool
}

// NeedlesReport is one knitter's report in words.
type NeedlesReport struct {
	Knitter, Size, When, Revision string
	Facts                         []LabelledFact
	Fit, Note                     string
	Photos                        []KnitPhotoLine
	Credit                        string
}

// LabelledFact is a label with a value.
type LabelledFact struct{ Label, Value string }

// ExportView lists what can be taken away.
type ExportView struct {
	Page
	Tabs
	Files []PrintLink
}
