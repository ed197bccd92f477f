package studio

import (
	"strings"
	"time"
	"unicode/utf8"
)

// ErratumKind is what is wrong.
type ErratumKind string

// The kinds of errata a knitter can note.
const (
	WrongCount   ErratumKind = "count"   // the stitches do not come out
	Unclear      ErratumKind = "unclear" // she cannot tell what to do
	WrongChart   ErratumKind = "chart"   // chart and words differ
	OtherTrouble ErratumKind = "other"
)

// ErratumKinds are all kinds, in the order in which they are offered.
var ErratumKinds = []ErratumKind{WrongCount, Unclear, WrongChart, OtherTrouble}

// Words is the kind for people.
func (k ErratumKind) Words() string {
	switch k {
	case WrongCount:
		return "The count is wrong"
	case Unclear:
		return "It is not clear"
	case WrongChart:
		return "Chart and words differ"
	case OtherTrouble:
		return "Something else"
	}
	return string(k)
}

// ErratumState is what the studio has decided.
type ErratumState string

// The states of an erratum.
const (
	ErratumOpen ErratumState = "open"
	Accepted    ErratumState = "accepted"
	NotAnError  ErratumState = "not-an-error"
	Duplicate   ErratumState = "duplicate"
	AskedBack   ErratumState = "asked"
)

// ErratumStates are all states, in the order in which they are offered.
var ErratumStates = []ErratumState{ErratumOpen, AskedBack, Accepted, NotAnError, Duplicate}

// Words is the state for people.
func (s ErratumState) Words() string {
	switch s {
	case ErratumOpen:
		return "new"
	case Accepted:
		return "accepted"
	case NotAnError:
		return "not an error"
	case Duplicate:
		return "told before"
	case AskedBack:
		return "asked back"
	}
	return string(s)
}

// Waits reports whether the studio still has to decide.
func (s ErratumState) Waits() bool { return s == ErratumOpen || s == AskedBack }

// NewErratum is what a knitter notes on a row.
type NewErratum struct {
	UUID  string // made where it was noted
	RowID int64  // 0 for the pattern as a whole
	Label string // where she was
	Kind  ErratumKind
	Had   string // what she had
	Did   string // what she did instead
	Note  string
	At    time.Time // by her clock
}

// Validate evens out and checks an erratum. The error is an [InvalidError].
func (e NewErratum) Validate() (NewErratum, error) {
	known := false
	for _, k := range ErratumKinds {
		known = known || k == e.Kind
	}
	if !known {
		return e, invalid("what", "%.20q is no kind of erratum", string(e.Kind))
	}
	for _, f := range []struct {
		name string
		text *string
		most int
	}{{"label", &e.Label, 300}, {"had", &e.Had, 2000}, {"did", &e.Did, 2000}, {"note", &e.Note, 4000}} {
		*f.text = strings.TrimSpace(CleanManuscript(*f.text))
		if utf8.RuneCountInString(*f.text) > f.most {
			return e, invalid(f.name, "has more than %d letters", f.most)
		}
	}
	e.Label = strings.Join(strings.Fields(e.Label), " ") // it stands in subjects of letters
	if e.Had == "" && e.Did == "" && e.Note == "" {
		return e, invalid("had", "is empty: say what you had, what you did instead, or what is not clear")
	}
	return e, nil
}

// Erratum is something wrong, as its knitter noted it, with what was made of it.
type Erratum struct {
	ID          int64
	KnitterID   int64
	Knitter     string // what to call her
	PatternID   int64
	RevisionID  int64 // what she was reading
	Revision    int   // its number
	RowID       int64 // 0 for the pattern as a whole
	SizeID      int64
	Size        string
	Label       string
	Kind        ErratumKind
	Had         string
	Did         string
	Note        string
	State       ErratumState
	DuplicateOf int64
	Version     int
	NotedAt     time.Time
	TakenAt     time.Time
	Photo       bool
	Fix         *ErratumFix      // nil while it is in no revision
	Messages    []ErratumMessage // oldest first; empty in lists
}

// ErratumFix is the revision in which an erratum was put right.
type ErratumFix struct {
	RevisionID int64
	Revision   int
	Reason     string // why it counts though the row did not change; "" when it changed
}

// ErratumMessage is something said about an erratum, or decided.
type ErratumMessage struct {
	ByKnitter bool
	Author    string       // of the studio; "" when the account is gone
	State     ErratumState // the decision; "" for words alone
	Duplicate int64
	Body      string
	At        time.Time
}

// Decision is what a designer says of an erratum.
type Decision struct {
	State       ErratumState // "" for words alone
	DuplicateOf int64        // for Duplicate
	Body        string
	Base        int // version of the erratum that she looked at
}

// Validate evens out and checks a decision.
func (d Decision) Validate() (Decision, error) {
	d.Body = strings.TrimSpace(CleanManuscript(d.Body))
	if utf8.RuneCountInString(d.Body) > 4000 {
		return d, invalid("body", "has more than 4000 letters")
	}
	known := d.State == ""
	for _, s := range ErratumStates {
		known = known || s == d.State
	}
	switch {
	case !known:
		return d, invalid("state", "%.20q is no decision", string(d.State))
	case d.State == "" && d.Body == "":
		return d, invalid("body", "is empty")
	case d.State == AskedBack && d.Body == "":
		return d, invalid("body", "is empty: write what you ask")
	case d.State == NotAnError && d.Body == "":
		return d, invalid("body", "is empty: tell the knitter why it is right as it stands")
	case d.State == Duplicate && d.DuplicateOf == 0:
		return d, invalid("duplicate", "needs the erratum that told it first")
	}
	if d.State != Duplicate {
		d.DuplicateOf = 0
	}
	return d, nil
}

// DecidedMeanwhile is the error of a decision on an erratum that somebody else has
// decided since it was looked at. What was to be said is not lost: Mine holds it. It
// is an [ErrConflict].
type DecidedMeanwhile struct {
	Erratum Erratum // as it stands now
	Mine    Decision
}

func (d *DecidedMeanwhile) Error() string { return "the erratum was decided by someone else meanwhile" }
func (d *DecidedMeanwhile) Unwrap() error { return ErrConflict }
