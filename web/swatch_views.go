package web

// SwatchListView lists the studio's swatches.
type SwatchListView struct {
	Page
	Swatches []SwatchCard
}

// SwatchCard is a swatch of the list.
type SwatchCard struct {
	Name, URL            string
	Picture              Picture // small; no URL without a photograph
	Gauge, Yarn, Verdict string
}

// SwatchView is the page of one swatch.
type SwatchView struct {
	Page
	Name, Base   string
	StitchURL    string // "" where it is no stitch of the studio's own
	Facts        []HeadLine
	Figures      []SwatchFigure // what was counted; none where nothing was
	GaugeLine    string         // to copy into a manuscript; "" without one
	WeightLine   string
	NoWeight     string // why there is no WeightLine
	RS, WS       Photo
	Verdict      string
	Note         string
	When, ISO    string
	Confirm      bool // asks whether to delete it
	DeleteURL    string
	Photographed bool
}

// SwatchFigure is a line of what was counted.
type SwatchFigure struct{ What, Before, After, Change string }

// Photo is a photograph with its size in pixels.
type Photo struct {
	Picture
	Width, Height string
}

// SwatchFormView is the form of a new swatch, or of one that stands.
type SwatchFormView struct {
	Page
	Heading, Action, Back, BackLabel string
	Version                          string // "" for a new one
	Problem                          string
	Stitches                         []Choice
	Stitch, Yarn, Needle             Field
	Before, After                    SwatchCountFields
	Grams, Width, Height             Field
	BallMetres, BallGrams            Field
	Verdict, Note                    Field
	Photos                           []SwatchPhotoField
}

// SwatchCountFields are the fields of one counting; Prefix stands before their names.
type SwatchCountFields struct {
	Prefix, Legend, Hint     string
	Sts, Width, Rows, Height Field
}

// SwatchPhotoField is the field of one side's photograph.
type SwatchPhotoField struct {
	Side, Label string
	Has         bool // there is one already
	Problem     string
}
