package web

// ShapingListView is the page of questions.
type ShapingListView struct {
	Page
	Tasks []DraftForm
}

// ShapingView is the page of one question.
type ShapingView struct {
	Page
	Heading, Hint string
	List, Action  string // addresses of all questions, and of this one
	Fields        []ShapingField
	Problem       string
	Answer        *ShapingAnswer // nil until it is asked
}

// ShapingField is a field of a question; with choices it is one of them.
type ShapingField struct {
	Key, Label, Hint string
	Value            Field
	Choices          []Choice
}

// ShapingAnswer is what was worked out.
type ShapingAnswer struct {
	Rows, Notes, Wrong []string
	Counts             NumberTable
	Proved             bool
}
