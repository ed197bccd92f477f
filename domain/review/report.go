package review

import "rowproof/domain/finding"

// Report is what a check has to say, in the shape of the fixed interface of
// `rowproof check --json`. Lists are empty, never nil, unless a field says so.
type Report struct {
	Title        string          `json:"title"`
	Sizes        []string        `json:"sizes"` // as named; "1", "2", … where vectors have no names; [""] for one size
	Parts        []Part          `json:"parts"`
	Yarn         []YarnUse       `json:"yarn"`
	Measurements []Measurement   `json:"measurements"`
	Findings     []ReportFinding `json:"findings"`
}

// Multiple is a stitch multiple Of·n + Plus.
type Multiple struct {
	Of   int `json:"of"`
	Plus int `json:"plus"`
}

// NeededMultiple is the multiple the rows need: Plus < Of; Min is the smallest
// number of repeats n with which every row can be worked.
type NeededMultiple struct {
	Of   int `json:"of"`
	Plus int `json:"plus"`
	Min  int `json:"min"`
}

// Part is one piece of knitting, from its cast-on to its end.
type Part struct {
	Name            string          `json:"name"`
	Worked          string          `json:"worked"` // flat or round
	Multiple        *Multiple       `json:"multiple"`
	NeedsMultiple   *NeededMultiple `json:"needs_multiple"`
	Proved          string          `json:"proved"`       // "all", a window such as "n=1..12", or ""
	CastOn          []int           `json:"cast_on"`      // nil where only a multiple is stated
	FinalCounts     []*int          `json:"final_counts"` // nil if only a multiple, or not workable
	ChangePerRepeat *int            `json:"change_per_repeat"`
	Rows            []Row           `json:"rows"`
	Sentences       []Sentence      `json:"sentences"`
}

// Sentence is the counts per size around a sentence that works rows without
// being one ("rep last 2 rows 5 times more"), where it stands; nil for a size
// that skips it. The printed pattern takes them from here.
type Sentence struct {
	Line   int    `json:"line"`
	Column int    `json:"column"`
	Before []*int `json:"before"`
	After  []*int `json:"after"`
}

// Row is one row of a part; a head for several rows gives one Row for each.
type Row struct {
	Row        string    `json:"row"`
	Line       int       `json:"line"`
	Side       string    `json:"side"`            // RS, WS, or "" for rounds and where sizes differ
	Counts     []*int    `json:"counts"`          // after the row, first time worked; nil for a size that skips it
	LastCounts []*int    `json:"last_counts"`     // after the row, last time worked
	Stitches   *Multiple `json:"stitches"`        // after the row, in repeats, for a multiple
	Times      []int     `json:"times"`           // how often worked, per size; nil for a multiple
	Held       []int     `json:"held"`            // on holders after it; nil if none
	Aside      []int     `json:"aside,omitempty"` // the stated count, where it is of a thumb between two turns; nil if none
}

// YarnUse is the yarn used per size, in metres.
type YarnUse struct {
	Yarn   string    `json:"yarn"`
	Metres []float64 `json:"metres"`
	Low    []float64 `json:"low"`
	High   []float64 `json:"high"`
}

// Measurement is a finished measurement per size, in centimetres.
type Measurement struct {
	Name string    `json:"name"`
	Part string    `json:"part"`
	Cm   []float64 `json:"cm"`
}

// ReportFinding is a finding as the report prints it.
type ReportFinding struct {
	Code     finding.Code     `json:"code"`
	Severity finding.Severity `json:"severity"`
	Line     int              `json:"line"`   // from 1
	Column   int              `json:"column"` // from 1, in characters
	Part     string           `json:"part"`
	Row      string           `json:"row"`
	Sizes    []string         `json:"sizes"` // empty means all
	Message  string           `json:"message"`
	Mends    []string         `json:"mends"`
}
