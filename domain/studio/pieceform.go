package studio

// PieceForm is what a pattern was drafted from.
type PieceForm struct {
	PatternID int64
	Form      string // of package sizing
	Inputs    []byte // JSON, as the page keeps it
	Generated string // the manuscript as it was drafted last
}
