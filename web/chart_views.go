package web

// ChartView is the page of a pattern's charts.
type ChartView struct {
	Page
	Tabs
	Sets     []ChartSet
	Sections []SectionChart
	Problem  string // "3 errors": the pattern is not proved
	Empty    bool   // there are no rows yet
	More     string // sections that are not shown
	DrawURL  string // of the form for a blank chart
}

// ChartSet is a symbol set to choose.
type ChartSet struct {
	Label, URL string
	Here       bool
}

// SectionChart is the chart of one section, or why there is none.
type SectionChart struct {
	ID, Name string
	Facts    string // "11 stitches by 14 rows, worked flat"
	SVG      string // drawn by our own package, escaped there
	Key      []ChartKeyLine
	Notes    []string
	Why      string // there is no chart: why
	Rows     []ChartRowWords
	DrawURL  string // "" where it cannot be redrawn
}

// ChartKeyLine is a line of the key: a small SVG and what it means.
type ChartKeyLine struct{ SVG, Words string }

// ChartRowWords is a row of the section as it is written. ID is what the number
// in the chart points to.
type ChartRowWords struct{ ID, Text string }

// DrawView is the page on which a chart is drawn.
type DrawView struct {
	Page
	Tabs
	Version  string
	Name     string // of the section
	Section  string // its number, from 0; "" for a new one
	Sets     []ChartSet
	SVG      string // for those without a script
	Chart    string // JSON, as the chart room writes it
	Symbols  string // JSON, see handlers
	Palette  []PaletteSymbol
	Problem  string
	Locked   string // why the section's rows cannot be written over; "" when they can
	CheckURL string
	SaveURL  string
	BackURL  string
}

// PaletteSymbol is a symbol to pick. Key is the letter that picks and works it.
type PaletteSymbol struct{ ID, SVG, Words, Key string }
