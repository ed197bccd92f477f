package studio

import (
	"strings"
	"time"
	"unicode/utf8"
)

// Person is somebody the studio may write to: a test knitter. She signs in by a
// mailed link.
type Person struct {
	ID          int64
	StudioID    int64
	Email       string // "" once deleted
	Name        string
	Seal        int  // another one, and her sessions and links have ended
	MailStopped bool // she wants no notices
}

// Called is what to call a person: her name, or her address before the @.
func (p Person) Called() string {
	if p.Name != "" {
		return p.Name
	}
	if p.Email == "" {
		return "A knitter"
	}
	name, _, _ := strings.Cut(p.Email, "@")
	return name
}

// TestKnit is a call to knit a pattern before it is published.
type TestKnit struct {
	ID         int64
	PatternID  int64
	Title      string // of the pattern, as its revision has it
	Slug       string
	RevisionID int64 // the newest that was sent to the knitters
	Revision   int   // its number
	Open       bool
	Deadline   time.Time // a day; zero for none
	Wants      string    // what to report; the knitters read it
	Note       string    // the studio alone reads it
	OfferCode  string    // in the address of the page that takes offers; "" for none
	Thanks     string    // what they were told at the end
	Version    int
	CreatedAt  time.Time
	ClosedAt   time.Time
	Seats      []Seat
}

// Seat is how many knitters are wanted for a size, and how many it has.
type Seat struct {
	SizeID int64 // 0 for a pattern of one size
	Label  string
	Wanted int
	Taken  int // invited, knitting or finished
}

// Nobody reports whether a size that wants knitters has none.
func (s Seat) Nobody() bool { return s.Wanted > 0 && s.Taken == 0 }

// MostWanted bounds the knitters of one size.
const MostWanted = 99

// Call is what a designer says when she opens or changes a test knit.
type Call struct {
	Deadline time.Time // zero for none
	Wants    string
	Note     string
	Offers   bool          // a page takes offers
	Wanted   map[int64]int // by size id; 0 for a pattern of one size
}

// Validate checks a call made on the given day. The error is an [InvalidError].
func (c Call) Validate(today time.Time) error {
	total := 0
	for _, n := range c.Wanted {
		if n < 0 || n > MostWanted {
			return invalid("wanted", "is a number from 0 to %d for each size", MostWanted)
		}
		total += n
	}
	if total == 0 {
		return invalid("wanted", "needs a knitter for one size at least")
	}
	if !c.Deadline.IsZero() && (c.Deadline.Before(today.Truncate(24*time.Hour)) || c.Deadline.After(today.AddDate(5, 0, 0))) {
		return invalid("deadline", "is a day from today on, within five years")
	}
	for field, v := range map[string]string{"wants": c.Wants, "note": c.Note} {
		if utf8.RuneCountInString(v) > 5000 {
			return invalid(field, "has more than 5000 letters")
		}
	}
	return nil
}

// KnitterState is where a person stands in a test knit.
type KnitterState string

// The states of a knitter. Those who are seated take a seat of their size and may
// read their revision.
const (
	Offered   KnitterState = "offered"   // would like to; has seen nothing yet
	Invited   KnitterState = "invited"   // has a size and a link
	Knitting  KnitterState = "knitting"  // has opened it
	Finished  KnitterState = "finished"  // has reported
	Withdrawn KnitterState = "withdrawn" // no longer knits, by her own will or the studio's
	Declined  KnitterState = "declined"  // offered, and was thanked
)

// Seated reports whether the knitter takes a seat and may read the pattern.
func (s KnitterState) Seated() bool { return s == Invited || s == Knitting || s == Finished }

// Words is the state for people.
func (s KnitterState) Words() string {
	switch s {
	case Offered:
		return "offers to knit"
	case Invited:
		return "invited"
	case Knitting:
		return "knitting"
	case Finished:
		return "has reported"
	case Withdrawn:
		return "no longer knits"
	case Declined:
		return "thanked, not needed"
	}
	return string(s)
}

// Knitter is a person in a test knit.
type Knitter struct {
	ID          int64
	TestKnitID  int64
	PatternID   int64
	Person      Person
	State       KnitterState
	SizeID      int64  // hers, or the one she would like; 0 for a pattern of one size
	Size        string // its label
	RevisionID  int64  // what she works from; 0 while she only offers
	Revision    int    // its number
	ChangedFrom int64  // the revision she had before; 0 for none
	Offer       string // what she wrote when she offered
	Place       Place
	Credit      string // name she agreed to be thanked under
	CreatedAt   time.Time
	BegunAt     time.Time
	EndedAt     time.Time
	Errata      int  // that she noted
	Reported    bool // she told what came off the needles
}

// Place is where a knitter was when she was last heard of.
type Place struct {
	RowID int64
	Words string // "Row 12 (WS), repeat 3 of 7"
	Step  int    // steps done …
	Of    int    // … of so many
	At    time.Time
}

// Percent is how much of the steps is done.
func (p Place) Percent() int {
	if p.Of <= 0 {
		return 0
	}
	return min(100, 100*p.Step/p.Of)
}

// Offer is what somebody writes on the page that takes offers.
type Offer struct {
	Name, Email string
	SizeID      int64
	Words       string
}

// Validate evens out and checks an offer or an invitation.
func (o Offer) Validate() (Offer, error) {
	var err error
	if o.Email, err = NormalEmail(o.Email); err != nil {
		return o, err
	}
	if o.Name, err = PersonName(o.Name); err != nil {
		return o, err
	}
	o.Words = strings.TrimSpace(CleanManuscript(o.Words))
	if utf8.RuneCountInString(o.Words) > 2000 {
		return o, invalid("words", "has more than 2000 letters")
	}
	return o, nil
}

// PersonName evens out a name and checks it.
func PersonName(s string) (string, error) {
	s = strings.Join(strings.Fields(CleanManuscript(s)), " ")
	if utf8.RuneCountInString(s) > 200 {
		return s, invalid("name", "has more than 200 letters")
	}
	return s, nil
}

// Knit is a test knit as its knitter may see it.
type Knit struct {
	Knitter
	Title    string // of the pattern
	Slug     string
	Open     bool // the studio still waits for reports
	Deadline time.Time
	Wants    string
	Thanks   string
}

// Clip brings words to a bound of letters.
func Clip(s string, most int) string {
	s = strings.TrimSpace(CleanManuscript(s))
	if r := []rune(s); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return s
}
