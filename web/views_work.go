package web

// WorkView is the page on which a pattern is worked through, step by step.
type WorkView struct {
	Page
	Pattern  string // its title
	Size     string // "Size M"; "" where there is one
	Revision string // "Revision 2, 4 March 2026"
	Back     string // where the page was reached from
	BackTo   string // what that is called
	Sections []WorkSection
	Charts   []WorkChart
	Problem  string // why there is nothing to work; "" where there is
	NotSure  string // what the proof leaves open: "2 errors are left in these rows"; "" for nothing
	Notes    bool   // she can note what is wrong: a test knitter
	Data     any    // for the script, see handlers.workData
	Kinds    []Choice
}

// WorkSection is what stands under one head.
type WorkSection struct {
	ID, Head string
	Items    []WorkItem
}

// WorkItem is one line of the list of steps.
type WorkItem struct {
	ID    string // of its first step: "step-12"
	Step  string // "12"
	Head  string // "Row 12 (WS)"; "" for a sentence
	Text  string
	Like  string
	Count string // "24 sts"; "" where it does not change
	Again bool   // it has rows worked again; those are not listed once more
	Last  string // index of the last step that it has worked; "" for one
	Note  bool   // words that ask for no row
}

// WorkChart is the chart of a section.
type WorkChart struct{ ID, Name, SVG string }

// WorkSizesView offers the sizes of a pattern that is to be worked through.
type WorkSizesView struct {
	Page
	Pattern string
	Back    string
	Sizes   []PrintLink
	Problem string
}

// WorkingView is the list of what has been begun on this device; the device knows it alone.
type WorkingView struct{ Page }
