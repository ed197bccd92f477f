// Package studio holds the rules of a studio's life: who may sign in, what a
// pattern goes through from draft to revision, what is kept of its earlier
// texts, and what happens when two people save at once. It is pure: no
// database, no clock, no network. Package store keeps what it describes.
//
// The manuscript of a [Pattern] owns what the proof reads. What is read off it
// (sizes, yarns, gauges, rows …) is a [Projection], which the caller computes
// from the text and hands in with it.
package studio

import (
	"errors"
	"fmt"
	"time"
	"unicode/utf8"
)

// Errors by meaning. Methods of package store return these, wrapped.
var (
	ErrNotFound  = errors.New("not found")             // no such thing, or not yours
	ErrInvalid   = errors.New("invalid")               // see [InvalidError] for the field
	ErrForbidden = errors.New("forbidden")             // the role does not allow it
	ErrConflict  = errors.New("saved by someone else") // see [Conflict]
	ErrUnproved  = errors.New("errors left without a reason")
	ErrNothing   = errors.New("nothing to undo or redo")
	ErrTaken     = errors.New("taken") // the slug, the e-mail address, the first account
)

// InvalidError says which field of an input is wrong, in words for the person
// who filled it in. It is an [ErrInvalid].
type InvalidError struct{ Field, Problem string }

func (e *InvalidError) Error() string { return e.Field + ": " + e.Problem }
func (e *InvalidError) Unwrap() error { return ErrInvalid }

func invalid(field, format string, args ...any) error {
	return &InvalidError{field, fmt.Sprintf(format, args...)}
}

// Studio is one installation's owner and helpers.
type Studio struct {
	ID       int64
	Name     string
	Settings Settings
}

// Settings are the studio's choices for new prints. The zero value has the defaults.
type Settings struct {
	Author   string `json:"author,omitempty"`   // name on the prints; empty: the studio's
	Contact  string `json:"contact,omitempty"`  // line at the foot of the prints
	Paper    string `json:"paper,omitempty"`    // "a4" (default when empty) or "letter"
	Terms    string `json:"terms,omitempty"`    // "us" (default) or "uk"
	Units    string `json:"units,omitempty"`    // "metric" (default) or "imperial"
	Language string `json:"language,omitempty"` // BCP 47; empty: "en"
	BaseURL  string `json:"base_url,omitempty"` // where readers find the studio
}

// Validate checks a studio's name and settings.
func (s Studio) Validate() error {
	if n := utf8.RuneCountInString(s.Name); n == 0 || n > 200 {
		return invalid("name", "needs 1 to 200 letters")
	}
	for _, c := range []struct {
		field, value string
		allowed      [3]string
	}{
		{"paper", s.Settings.Paper, [3]string{"", "a4", "letter"}},
		{"terms", s.Settings.Terms, [3]string{"", "us", "uk"}},
		{"units", s.Settings.Units, [3]string{"", "metric", "imperial"}},
	} {
		if c.value != c.allowed[0] && c.value != c.allowed[1] && c.value != c.allowed[2] {
			return invalid(c.field, "%q is neither %s nor %s", c.value, c.allowed[1], c.allowed[2])
		}
	}
	for field, v := range map[string]string{"author": s.Settings.Author, "contact": s.Settings.Contact,
		"language": s.Settings.Language, "base_url": s.Settings.BaseURL} {
		if utf8.RuneCountInString(v) > 300 {
			return invalid(field, "has more than 300 letters")
		}
	}
	return nil
}

// State is where a pattern stands in its life.
type State string

// A pattern begins as a draft, may go to test knitters, and is published. Each
// further release revises it. A test of a coming revision does not unpublish.
const (
	Draft     State = "draft"
	Testing   State = "testing"
	Published State = "published"
	Revised   State = "revised"
)

// Purpose is what a revision goes out for.
type Purpose string

// The two purposes of a revision.
const (
	Test    Purpose = "test"    // to test knitters only
	Release Purpose = "release" // to everybody
)

// After returns the state of a pattern in state s once a revision of the given
// purpose has gone out. An unknown state or purpose is ErrInvalid.
func (s State) After(p Purpose) (State, error) {
	switch {
	case p == Test && (s == Draft || s == Testing):
		return Testing, nil
	case p == Test && (s == Published || s == Revised):
		return s, nil
	case p == Release && (s == Draft || s == Testing):
		return Published, nil
	case p == Release && (s == Published || s == Revised):
		return Revised, nil
	}
	return "", invalid("purpose", "a %s pattern cannot go out for %q", s, p)
}

// Public reports whether readers can see a release of the pattern.
func (s State) Public() bool { return s == Published || s == Revised }

// Pattern is a pattern as it stands now.
type Pattern struct {
	ID         int64
	StudioID   int64
	Slug       string
	Title      string
	State      State
	Version    int // counts accepted texts from 1; a save names the one it started from
	Manuscript string
	Notes      string // the prose notes in the manuscript
	Errors     int    // found by the review of this version
	Warnings   int
	CopiedFrom int64 // pattern it was begun from, 0 for none
	Revision   int   // newest revision of either purpose, 0 for none
	CreatedAt  time.Time
	UpdatedAt  time.Time
	DeletedAt  *time.Time // in the bin since; nil when not
	CanUndo    bool
	CanRedo    bool
}

// Row is a row of a pattern as it stands, with its identity through edits.
type Row struct {
	ID int64
	RowLine
}

// Size is a size of a pattern. Its ID stays when it is renamed in its place, and
// comes back with it when it is taken out and put in again.
type Size struct {
	ID    int64
	Label string
}

// Note is a private note on a pattern; never printed, never public.
type Note struct {
	ID        int64
	Author    string // name or address; empty when the account is gone
	Body      string
	CreatedAt time.Time
	UpdatedAt time.Time
}

// Snapshot is one of a pattern's texts.
type Snapshot struct {
	ID         int64
	Version    int   // 0 for the kept text of a save that lost
	ParentID   int64 // snapshot it was made from, 0 for the first
	ShowsID    int64 // for an undo or redo: the snapshot whose text came back; else 0
	AuthorID   int64 // 0 for the program itself
	AuthorName string
	Reason     Reason
	CreatedAt  time.Time
	Published  bool   // a revision was made from it
	Manuscript string // empty in lists
}

// Reason is why a snapshot was made.
type Reason string

// Reasons a caller gives to a save.
const (
	Saved     Reason = "saved"     // the person asked for it
	Autosaved Reason = "autosaved" // after a pause in typing; thinned later
	Mended    Reason = "mended"    // one click on a mend
	Form      Reason = "form"      // a form changed a head line of the text
)

// Reasons that package store gives.
const (
	Created  Reason = "created"
	Copied   Reason = "copied"
	Undone   Reason = "undone"
	Redone   Reason = "redone"
	Restored Reason = "restored"
	Lost     Reason = "conflict" // the text of a save that lost
)

// ByCaller reports whether a caller may give the reason to a save.
func (r Reason) ByCaller() bool {
	return r == Saved || r == Autosaved || r == Mended || r == Form
}

// Conflict is the error of a save that started from a version which is no
// longer the last: someone, or another tab, saved in between. Nothing is lost,
// Mine is kept as a snapshot. It is an [ErrConflict].
type Conflict struct {
	PatternID     int64
	Mine          string // the text that was to be saved
	MineSnapshot  int64  // where it is kept
	Theirs        string // the text that stands now
	TheirsVersion int    // its version: save from this one to settle the conflict
	TheirsAuthor  string // name of who saved it, empty when not known
	Base          string // the last text that both had
	BaseVersion   int    // its version; earlier than asked when that one has been thinned
}

func (c *Conflict) Error() string {
	return fmt.Sprintf("pattern %d was saved from version %d while version %d stands", c.PatternID, c.BaseVersion, c.TheirsVersion)
}

func (c *Conflict) Unwrap() error { return ErrConflict }
