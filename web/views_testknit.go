package web

// TestOpenView opens a test knit: the gate, the sizes wanted and what to report.
type TestOpenView struct {
	Page
	Tabs
	Gate
	CallFields
	Last string // a test knit before this one; "" for none
}

// CallFields are the fields of a call to knit.
type CallFields struct {
	Deadline    Field
	Wants, Note Field
	Offers      bool
	Seats       []SeatField
	SeatsWrong  string // what is wrong with the numbers of knitters; "" for nothing
}

// SeatField is how many knitters a size wants.
type SeatField struct{ Name, Label, Value string }

// TestView is a test knit with its people.
type TestView struct {
	Page
	Tabs
	Open       bool
	Revision   string // "Revision 3, sent 4 March 2026"
	Behind     string // what the pattern has that the knitters do not; "" for nothing
	Deadline   string // "1 April 2026, in 12 days"; "" for none
	Late       bool
	Wants      string
	Note       string
	Thanks     string
	OfferURL   string // whole address of the page that takes offers; "" for none
	MailKept   bool   // no mail server is set: letters wait in the outbox
	Seats      []SeatRow
	Offers     []KnitterRow
	Gone       []KnitterRow
	Errata     string // "3 errata wait" …
	Reports    string // "2 of 5 have reported"
	Version    string
	Call       CallFields // to change it
	Invite     InviteFields
	Problem    string
	Credits    string // "Ada of the Wold and Bea Ireby", who agreed to be thanked; "" for none
	Credited   bool   // the pattern thanks them already
	CanSend    bool   // there is a newer text to send
	ClosedWhen string
}

// SeatRow is one size with those who knit it.
type SeatRow struct {
	Size     string // "Size M"; "One size"
	Wanted   string // "2 of 3"
	Nobody   bool   // nobody knits this size yet, though somebody is wanted
	Short    bool   // fewer than wanted
	Knitters []KnitterRow
}

// KnitterRow is a person of a test knit.
type KnitterRow struct {
	ID       string
	Name     string
	Email    string
	State    string // in words
	Where    string // "Row 12 (WS), 34 of 212", "not opened yet"
	Percent  string // of the steps, for the bar; "" when not known
	When     string // last heard of
	Revision string // "revision 2", when that is not the newest
	Wish     string // size wished for and words of an offer
	Errata   string
	Sizes    []Choice // to give or change the size; the chosen one is Here
	Seated   bool
	Offered  bool
	NoMail   bool // she wants no notices
}

// InviteFields invite a person.
type InviteFields struct {
	Name, Email Field
	Sizes       []Choice
}

// TestRevisionView sends another revision to the knitters of a test.
type TestRevisionView struct {
	Page
	Tabs
	Gate
	Note    Field
	Changes []string // against what they have
	Touched []string // "Ada (size M): 2 rows ahead of her, 1 she is past"
	Fixed   []string // errata that this puts right
	Left    []string // accepted errata whose rows do not change
}

// OfferView is the public page that takes offers.
type OfferView struct {
	Page
	Pattern     string
	Deadline    string
	Wants       string
	Sizes       []Choice
	Wanted      string // sizes that nobody knits yet
	Name, Email Field
	Words       Field
	Action      string
	Done        bool
}
