// Package web holds the pages of the studio and of the public site as templ
// components. A component takes one struct shaped like its page: text arrives
// formatted and addresses built. No component asks the store, the clock, or for
// a sum.
package web

import "rowproof/assets"

// asset is the address of a file of package assets.
func asset(name string) string { return assets.Path(name) }

// Page is what every page shares.
type Page struct {
	Title   string // of the browser's window; empty: the studio's name alone
	Studio  string // name of the studio
	Signed  bool   // someone is signed in
	Account string // who: name or address
	Owner   bool   // the account may publish and change the studio
	Here    string // which part of the navigation is lit: "public", "studio", "stitches", "new", "bin", "settings"
	Fresh   bool   // nobody has an account yet
	Knits   bool   // a test knitter is signed in
	Flash   string // what was just done; "" for nothing
	Script  string // a script of package assets that the page wants; "" for none
	Style   string // a style sheet of package assets that it wants beside the common one; "" for none
}

// Field is one field of a form with its value and what is wrong with it.
type Field struct {
	Value   string
	Problem string // "" when it is right
}

// FrontView is the public front page.
type FrontView struct {
	Page
	Patterns []PublishedPattern
}

// PublishedPattern is a line of the front page.
type PublishedPattern struct {
	Title, URL, Sizes, Dated, Note string
	NotProved                      bool
}

// PublicView is the public page of a pattern.
type PublicView struct {
	Page
	Body     string // the document as an HTML fragment
	Edition  string // "Revision 2, 4 March 2026"
	Fabric   Fabric // empty where nothing can be drawn
	Latest   string // address of the newest revision when this is an older one; else ""
	Prints   []PrintLink
	OneSize  []PrintLink
	PlainURL string

	MySizeURL string // "" for an older revision

	Corrected   string   // "Changed since revision 2"; "" for a first release
	Corrections []string // "Row 4: for … read …"; none where no row changed
	WorkURL     string   // where it is worked through row by row; "" for an older revision
}

// PrintLink is a print to take away.
type PrintLink struct{ Label, Hint, URL string }

// StartView is the first run: making the owner's account.
type StartView struct {
	Page
	Name, Email, Password Field
	Shortest              string // letters a password needs
}

// SignInView is the page to sign in.
type SignInView struct {
	Page
	Email   string
	Problem string
	Next    string // page to go on to
}

// ErrorView is what is shown when something went wrong.
type ErrorView struct {
	Page
	Head, Text string
	Back       string // where to go on; "" for none
	BackLabel  string
}

// ListView is the studio's list of patterns.
type ListView struct {
	Page
	Patterns []ListedPattern
}

// ListedPattern is a line of the studio's list.
type ListedPattern struct {
	Title, URL          string
	State, StateLabel   string
	Proof, ProofLevel   string // "2 errors, 1 warning"; level error, warning or clear
	Changed, ChangedISO string
	CopyURL, DeleteURL  string
	RestoreURL          string // in the bin only
	Notices             []StitchNotice
}

// NewView is the page to begin a pattern.
type NewView struct {
	Page
	Manuscript                                      string
	Problem                                         string
	Title, Sizes, Gauge, Yarn, Needle, Begin, Piece Field
}

// Tabs are the pages of one pattern.
type Tabs struct {
	Title      string
	StateLabel string
	State      string
	Base       string // address of the pattern, the others hang below it
	Here       string // "rows", "materials", "notes", "history", "prints", "publish"
	Public     string // address of its public page; "" when it has none
	Owner      bool
	Notices    []StitchNotice // stitches that have changed since they were placed
}

// EditorView is the page where the rows are typed.
type EditorView struct {
	Page
	Tabs
	Manuscript string
	Version    string
	Saved      string // "Saved 4 March, 15:02"; for an unsaved text what to do
	Unsaved    bool
	CanUndo    bool
	CanRedo    bool
	Problem    string
	Proof      Proof
	CheckURL   string
}

// Proof is what a check found, ready to stand beside the rows.
type Proof struct {
	Level   string // error, warning, clear or quiet (nothing to prove yet)
	Status  string // "2 errors, 1 warning"
	Parts   []PartProof
	Notes   []MarginNote
	More    string // "and 12 more"; "" when all are shown
	Sizes   []string
	Rows    []CountRow
	Sides   bool   // some rows have a right or a wrong side
	Columns string // how many the table of counts has
	Data    string // JSON for the script: lines with their counts, marks in the text
}

// PartProof says what is known of one piece.
type PartProof struct{ Name, Text string }

// MarginNote is a finding on its row.
type MarginNote struct {
	ID, Level, Label string // label: Error, Warning, Note
	Where            string // "Row 8, sizes M, L"; "Line 31" when it belongs to no row
	Line, Column     string
	Place            string // JSON [line, col, endLine, endCol] of the text marked
	Message          string
	Quote            string // the words marked, "" when too long to repeat
	Code             string
	Mends            []MendButton
}

// MendButton is a correction that is one click away.
type MendButton struct {
	Value string // what the form sends without a script
	Text  string // the row as it would read
	Edits string // JSON [[line, col, endLine, endCol, text], …]
}

// CountRow is a line of the table of counts. Part heads a new piece.
type CountRow struct {
	Part, Row, Side, Line string
	Cells                 []string
}

// MaterialsView is the page of forms on the head of a pattern.
type MaterialsView struct {
	Page
	Tabs
	Version                                                  string
	Title, Sizes, Gauge, Yarn, Needles, Notes, Abbreviations Field
	Problem                                                  string
	Stitches                                                 []StitchField
	StitchProblem                                            string
	SizeRows                                                 []SizeRow
	SizesProblem                                             string
	Others                                                   []HeadLine
}

// SizeRow is a size of the form that names, moves, drops and adds sizes.
type SizeRow struct {
	Number, Name, Label     string
	First, Last, Only, Full bool
}

// StitchField are the two fields of a special stitch.
type StitchField struct{ Number, Name, Words string }

// HeadLine is a head line that the form has no field for, or a heading with what
// stands below it.
type HeadLine struct {
	Label string
	Lines []string
}

// HistoryView lists a pattern's texts.
type HistoryView struct {
	Page
	Tabs
	Version string
	Texts   []HistoryText
}

// HistoryText is one of them.
type HistoryText struct {
	Version, When, ISO, Who, What string
	URL, RestoreURL               string
	Current, Lost, Published      bool
}

// SnapshotView shows one earlier text beside what stands now.
type SnapshotView struct {
	Page
	Tabs
	Version    string // of the pattern now
	Text       HistoryText
	Lines      []DiffLine
	Same       bool
	RestoreURL string
}

// DiffLine is a line of a comparison: kept, gone or come.
type DiffLine struct {
	Kind string // "kept", "gone", "come", "gap"
	Text string
}

// ConflictView shows two texts that were saved from the same one.
type ConflictView struct {
	Page
	Tabs
	Mine, Base             string
	MineLines, TheirsLines []DiffLine
	TheirsVersion          string
	TheirsWho              string
	SaveURL                string
}

// NotesView are the private notes on a pattern.
type NotesView struct {
	Page
	Tabs
	Notes   []PrivateNote
	Problem string
	Draft   string
}

// PrivateNote is one of them.
type PrivateNote struct{ ID, Who, When, Body, EditURL, RemoveURL string }

// PrintsView previews the prints of a pattern as it stands.
type PrintsView struct {
	Page
	Tabs
	Links   []PrintLink
	OneSize []PrintLink
	Body    string // the document as an HTML fragment
}

// PublishView is the gate before a release.
type PublishView struct {
	Page
	Tabs
	Gate
	Note    Field
	Earlier []Release
	URL     string   // where readers will find it
	Changes []string // what it changes against the revision that is out: "Row 4: for … read …"
}

// Gate stands before every revision that goes out: each error with the reason to leave it.
type Gate struct {
	Version  string
	Number   string // of the coming revision
	Errors   []GateError
	Warnings string // "3 warnings stand"; "" for none
	Problem  string
	Empty    bool // there is nothing in it to send out
}

// GateError is an error that needs a reason to be left.
type GateError struct {
	Name                   string // of the form's field
	Where, Message, Reason string
	Missing                bool
}

// Release is a revision that is out.
type Release struct{ Label, Dated, Note, URL string }

// SettingsView are the studio's settings.
type SettingsView struct {
	Page
	Name, Author, Contact, Language, BaseURL Field
	Paper                                    string
	Password                                 Field
	PasswordDone                             bool
}
