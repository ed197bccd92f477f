package studio

import (
	"encoding/json"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"
)

// Publication is what the caller knows of a text that is to go out.
type Publication struct {
	Purpose Purpose
	Version int             // the pattern's version that was reviewed; another one is a conflict
	Report  json.RawMessage // the review's report on it
	Checker string          // version of the program that wrote the report
	Note    string          // what changed, for readers
	// Counts[i][s] is how many stitches the i-th row of the pattern leaves for size s,
	// -1 when the size does not work the row or the count is not known. A row
	// without counts has nil. Shorter than the rows: the others have none.
	Counts [][]int
	Left   []ErrorLeft // every error of the review, with the reason to leave it
}

// ErrorLeft is an error of the review that goes out with the revision.
type ErrorLeft struct {
	Code   string
	Row    int    // place among the pattern's rows from 0; -1 for an error on none
	Reason string // why it is left; without one nothing goes out
}

// Validate checks a publication for a pattern of that many rows and sizes. An
// error left without a reason is [ErrUnproved].
func (p Publication) Validate(rows, sizes int) error {
	if p.Purpose != Test && p.Purpose != Release {
		return invalid("purpose", "%q is neither %s nor %s", p.Purpose, Test, Release)
	}
	if !json.Valid(p.Report) {
		return fmt.Errorf("BUG: the report of a publication is no JSON: %w", ErrInvalid)
	}
	if len(p.Counts) > rows {
		return fmt.Errorf("BUG: counts for %d rows of %d: %w", len(p.Counts), rows, ErrInvalid)
	}
	for i, c := range p.Counts {
		if len(c) != 0 && len(c) != max(sizes, 1) {
			return fmt.Errorf("BUG: row %d has counts for %d sizes of %d: %w", i, len(c), sizes, ErrInvalid)
		}
	}
	for _, e := range p.Left {
		if e.Row < -1 || e.Row >= rows {
			return fmt.Errorf("BUG: an error on row %d of %d: %w", e.Row, rows, ErrInvalid)
		}
		if strings.TrimSpace(e.Reason) == "" {
			return fmt.Errorf("%s: %w", e.Code, ErrUnproved)
		}
		if utf8.RuneCountInString(e.Reason) > 2000 {
			return invalid("reason", "has more than 2000 letters")
		}
	}
	return nil
}

// Revision is a pattern as it went out. It never changes.
type Revision struct {
	ID         int64
	PatternID  int64
	Slug       string // of the pattern
	Number     int    // counts a pattern's revisions from 1, tests included
	Purpose    Purpose
	Title      string
	Manuscript string
	Report     json.RawMessage
	Checker    string
	Note       string
	Proved     bool // false: errors were left in, and prints say "not proved"
	Dated      time.Time
	Latest     bool // no later release is out
	Sizes      []Size
	Rows       []RevisionRow
	Waivers    []Waiver
}

// RevisionRow is a row as a revision had it.
type RevisionRow struct {
	Row
	Counts []int // stitches after the row per size; -1 not worked or not known; nil when none is known
}

// Waiver is why an error was left in a revision.
type Waiver struct {
	Code   string
	RowID  int64 // 0 for an error on no row
	Reason string
}

// RevisionInfo lists a revision.
type RevisionInfo struct {
	PatternID int64
	Slug      string
	Number    int
	Purpose   Purpose
	Title     string
	Note      string
	Proved    bool
	Dated     time.Time
	Sizes     []string
}
