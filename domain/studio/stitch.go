package studio

import (
	"strings"
	"time"
	"unicode/utf8"

	"rowproof/domain/notation"
)

// A stitch of the designer's own is a small manuscript with a name: a multiple
// and rows, kept apart from the patterns that use it. Placed in a pattern it is a
// section of that pattern's manuscript, headed by the stitch's name; from then on
// the manuscript owns what the section says, and a [StitchUse] tells where it came
// from. When the stitch changes, each use is asked once: take it over, or keep.

const (
	// LongestStitch is in bytes.
	LongestStitch = 64 << 10
	// LongestStitchName is in letters.
	LongestStitchName = 60
	// MostStitchGauges is how many gauges a stitch may have.
	MostStitchGauges = 40
)

// Stitch is a stitch as it stands now.
type Stitch struct {
	ID         int64
	StudioID   int64
	Slug       string
	Name       string
	Version    int // counts accepted texts from 1; a save names the one it started from
	Manuscript string
	Uses       int // patterns, not in the bin, in which a section of it stands
	CreatedAt  time.Time
	UpdatedAt  time.Time
	DeletedAt  *time.Time // in the bin since; nil when not
}

// StitchVersion is one of a stitch's texts.
type StitchVersion struct {
	Version    int
	Name       string
	Manuscript string
	AuthorName string // empty when not known
	CreatedAt  time.Time
}

// StitchGauge is a gauge measured in a stitch. Sts or Rows is 0 when only the
// other was counted.
type StitchGauge struct {
	ID     int64   // set by package store
	Yarn   string  // as the designer calls it
	Needle string  // as written
	Sts    float64 // stitches over OverCM of width
	Rows   float64 // rows or rounds over OverCM of height
	OverCM float64 // centimetres, usually 10
	Note   string  // unwashed, blocked, held double …
}

// StitchForm is how a stitch's rows are written where they are placed.
type StitchForm string

// The forms. As it is means flat or in the round, as the designer wrote it.
const (
	StitchFlat     StitchForm = "flat"
	StitchRound    StitchForm = "round"
	StitchMirrored StitchForm = "mirrored"
)

// StitchForms lists them in the order of the page.
var StitchForms = []StitchForm{StitchFlat, StitchRound, StitchMirrored}

// Valid reports whether it is one of the forms.
func (f StitchForm) Valid() bool {
	return f == StitchFlat || f == StitchRound || f == StitchMirrored
}

// StitchUse is a stitch placed in a pattern.
type StitchUse struct {
	ID             int64
	StitchID       int64
	StitchName     string
	StitchVersion  int // as it stands now
	StitchDeleted  bool
	PatternID      int64
	PatternTitle   string
	PatternDeleted bool
	Heading        string // of the section
	Form           StitchForm
	Placed         int    // version whose rows were placed
	Answered       int    // version up to which the designer said what to do
	Stands         bool   // a line of the manuscript says Heading
	Was, Now       string // the stitch's text at Answered, and as it stands
}

// Changed reports whether the designer is to be told of the stitch: its section
// stands, and what is worked changed since she was last asked.
func (u StitchUse) Changed() bool {
	return u.Stands && !u.StitchDeleted && u.StitchVersion > u.Answered && !SameStitch(u.Was, u.Now)
}

// ValidateStitch evens out a stitch's name and checks name and text. The error is
// an [InvalidError] on "name" or "manuscript". Rows that do not come out are no
// error: the prover tells of them.
func ValidateStitch(name, text string) (string, error) {
	name = strings.Join(strings.Fields(CleanManuscript(name)), " ")
	if up := upperFirst(name); up != name && utf8.RuneCountInString(name) <= LongestStitchName && !readsAsName(name) && readsAsName(up) {
		name = up // heads begin with a capital
	}
	switch n := utf8.RuneCountInString(name); {
	case n == 0:
		return name, invalid("name", "is empty; rows call the stitch by it")
	case n > LongestStitchName:
		return name, invalid("name", "has more than %d letters", LongestStitchName)
	case !readsAsName(name):
		return name, invalid("name", "“%s” would not be read as one in a pattern; a few plain words, such as Pebble or Wave lace, would", name)
	case len(text) > LongestStitch:
		return name, invalid("manuscript", "is longer than %d KiB; a stitch is a multiple and some rows", LongestStitch>>10)
	case CleanManuscript(text) != text:
		return name, invalid("manuscript", "has letters that cannot be read")
	}
	return name, nil
}

// readsAsName says that a name heads a section, and is found by a row that works
// the stitch over some stitches.
func readsAsName(name string) bool {
	ms := notation.Read("Title\n\n" + name + "\nMultiple of 6 sts + 5.\nRow 1 (RS): Knit.\n\nBack\nCO 24 sts.\nRow 1 (RS): " + WorkOver(name, "Row 1", 24) + "\n")
	heads, over := 0, false
	for _, it := range ms.Items {
		switch it := it.(type) {
		case *notation.Heading:
			if it.Line == 3 && it.Kind == notation.HeadPiece && strings.TrimSpace(it.Text) == name {
				heads++
			}
		case *notation.Row:
			notation.Each(it.Body, func(o notation.Op) {
				if p, ok := o.(*notation.PattOver); ok && strings.TrimSpace(p.Name) == name {
					over = true
				}
			})
		}
	}
	return heads == 1 && over
}

// WorkOver is how a row works a stitch over n stitches, for the designer to copy.
func WorkOver(name, row string, n int) string {
	over := "N"
	if n > 0 {
		over = itoa(n)
	}
	return "Work " + row + " of " + name + " over next " + over + " sts."
}

// Validate checks a gauge. The error is an [InvalidError].
func (g StitchGauge) Validate() error {
	const most = 1000
	for _, f := range []struct{ field, value string }{{"yarn", g.Yarn}, {"needle", g.Needle}, {"note", g.Note}} {
		if utf8.RuneCountInString(f.value) > 200 || CleanManuscript(f.value) != f.value || strings.ContainsAny(f.value, "\r\n") {
			return invalid(f.field, "has more than 200 letters, or letters that cannot be read")
		}
	}
	switch {
	case !(g.Sts >= 0 && g.Sts <= most):
		return invalid("stitches", "are a number up to %d", most)
	case !(g.Rows >= 0 && g.Rows <= most):
		return invalid("rows", "are a number up to %d", most)
	case g.Sts == 0 && g.Rows == 0:
		return invalid("gauge", "needs stitches or rows, or both")
	case !(g.OverCM > 0 && g.OverCM <= most):
		return invalid("width", "is a number of centimetres, usually 10")
	}
	return nil
}

// StitchSlug makes a stitch's name in addresses and files.
func StitchSlug(name string) string {
	if s := Slug(name); s != "pattern" || strings.EqualFold(name, "pattern") {
		return s
	}
	return "stitch"
}
