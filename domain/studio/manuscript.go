package studio

import (
	"fmt"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"rowproof/domain/lineage"
)

const (
	// LongestManuscript is in bytes.
	LongestManuscript = 1 << 20
	// MostSizes is the most sizes a pattern may have.
	MostSizes = 40
)

// Projection is what is read off a manuscript, in the order of the text. The
// caller computes it; package store writes it in one transaction with the text.
type Projection struct {
	Title    string // empty: "Untitled"
	Notes    string
	Sizes    []string // labels, smallest first
	Yarns    []Yarn
	Gauges   []Gauge
	Needles  []Needle
	Stitches []SpecialStitch
	Rows     []RowLine
	Errors   int // of the review; the list of patterns shows them
	Warnings int
}

// Projector reads a manuscript. Undo and its kin bring back texts that the
// caller has not seen, and so ask for this.
type Projector func(manuscript string) (Projection, error)

// Yarn is a yarn of a pattern. Numbers are 0 when the text does not state them.
type Yarn struct {
	ID       int64  // set by package store; follows the letter
	Letter   string // what the rows call it: MC, A, B; empty for the only yarn
	Name     string
	Weight   string  // weight class as written
	MPerBall float64 // metres
	GPerBall float64 // grams
	Colour   *Colour // how it looks on screen; nil when nobody chose. Not read off the text.
}

// Colour is how a yarn looks on screen.
type Colour struct {
	Colourway string
	Runs      []ColourRun // in the order of the yarn; one for a plain yarn
}

// ColourRun is a stretch of one colour.
type ColourRun struct {
	Hex string  `json:"hex"` // "#a1b2c3"
	CM  float64 `json:"cm"`  // length of yarn; 0 for a plain yarn
}

var hexColour = regexp.MustCompile(`^#[0-9a-f]{6}$`)

// Validate checks a colour someone chose.
func (c Colour) Validate() error {
	if utf8.RuneCountInString(c.Colourway) > 200 || CleanManuscript(c.Colourway) != c.Colourway {
		return invalid("colourway", "has more than 200 letters, or letters that cannot be read")
	}
	if len(c.Runs) < 1 || len(c.Runs) > 64 {
		return invalid("colour", "needs 1 to 64 runs of colour")
	}
	for _, r := range c.Runs {
		if !hexColour.MatchString(r.Hex) {
			return invalid("colour", "%q is not written like #a1b2c3", r.Hex)
		}
		if !(r.CM >= 0 && r.CM <= 100_000) || len(c.Runs) > 1 && r.CM == 0 {
			return invalid("colour", "each of several runs needs its length in cm")
		}
	}
	return nil
}

// GaugeStates are what a swatch may have gone through when it was measured.
var GaugeStates = []string{"", "unwashed", "washed", "blocked"}

// Gauge is a stated gauge. Sts or Rows is 0 when only the other is stated.
type Gauge struct {
	ID     int64   // set by package store
	Stitch string  // the stitch it is measured in; empty when not said
	Sts    float64 // stitches over OverMM of width
	Rows   float64 // rows over OverMM of height
	OverMM float64 // millimetres, usually 100
	State  string  // of the swatch: one of GaugeStates
	Source string  // the words it was read from
}

// Needle is a stated needle.
type Needle struct {
	ID    int64   // set by package store
	Label string  // as written
	MM    float64 // diameter; 0 when it cannot be told
}

// SpecialStitch is a stitch that the pattern defines for itself.
type SpecialStitch struct {
	ID   int64 // set by package store
	Name string
	Text string
}

// RowLine is a row as it stands in the text.
type RowLine struct {
	Piece string // piece and section
	Head  string // as written, "Row 1 (RS)"
	Text  string
	Line  int // line of the manuscript from 1; 0 when not known
}

// Lines returns the rows as package lineage wants them.
func (p Projection) Lines() []lineage.Line {
	out := make([]lineage.Line, len(p.Rows))
	for i, r := range p.Rows {
		out[i] = lineage.Line{Piece: r.Piece, Head: r.Head, Text: r.Text}
	}
	return out
}

// CleanManuscript makes text that came from outside fit to be kept: what is no
// UTF-8, and the zero character, which Postgres cannot hold, become U+FFFD.
// Everything else stays as it is, line ends too. Callers clean first and then
// compute the projection.
func CleanManuscript(s string) string {
	return strings.ReplaceAll(strings.ToValidUTF8(s, "\uFFFD"), "\x00", "\uFFFD")
}

// ValidateManuscript checks a text's size and letters, and its projection's bounds.
func ValidateManuscript(text string, p Projection) error {
	if len(text) > LongestManuscript {
		return invalid("manuscript", "is longer than 1 MiB")
	}
	if CleanManuscript(text) != text {
		return fmt.Errorf("BUG: a manuscript was not cleaned before it was saved: %w", ErrInvalid)
	}
	if len(p.Sizes) > MostSizes {
		return invalid("sizes", "%d sizes, at most %d are possible", len(p.Sizes), MostSizes)
	}
	if p.Errors < 0 || p.Warnings < 0 {
		return fmt.Errorf("BUG: a projection with %d errors, %d warnings: %w", p.Errors, p.Warnings, ErrInvalid)
	}
	return nil
}

// ShownTitle is the title to list a pattern under: the projection's on one line,
// at most 200 letters, "Untitled" when there is none.
func (p Projection) ShownTitle() string {
	t := strings.Join(strings.Fields(CleanManuscript(p.Title)), " ")
	if r := []rune(t); len(r) > 200 {
		t = string(r[:199]) + "…"
	}
	if t == "" {
		return "Untitled"
	}
	return t
}

// longestSlug leaves room in the database's 80 letters for a number.
const longestSlug = 70

// plainLetters spells the letters of European languages that do not fall apart
// into a base letter and a mark.
var plainLetters = strings.NewReplacer("ß", "ss", "æ", "ae", "œ", "oe", "ø", "o", "đ", "d", "ð", "d", "þ", "th", "ł", "l", "ı", "i",
	"ä", "a", "à", "a", "á", "a", "â", "a", "ã", "a", "å", "a", "ā", "a", "ą", "a", "ç", "c", "ć", "c", "č", "c", "ď", "d",
	"è", "e", "é", "e", "ê", "e", "ë", "e", "ē", "e", "ę", "e", "ě", "e", "ğ", "g", "ì", "i", "í", "i", "î", "i", "ï", "i", "ī", "i",
	"ñ", "n", "ń", "n", "ň", "n", "ò", "o", "ó", "o", "ô", "o", "õ", "o", "ö", "o", "ő", "o", "ō", "o", "ř", "r", "ś", "s", "š", "s", "ş", "s",
	"ť", "t", "ù", "u", "ú", "u", "û", "u", "ü", "u", "ů", "u", "ű", "u", "ū", "u", "ý", "y", "ÿ", "y", "ź", "z", "ż", "z", "ž", "z",
	"'", "", "’", "")

// Slug makes a name for addresses out of a title: lower-case Latin letters and
// digits with single hyphens. A title without any gives "pattern".
func Slug(title string) string {
	var b strings.Builder
	hyphen := false
	for _, r := range plainLetters.Replace(strings.ToLower(title)) {
		if unicode.Is(unicode.Mn, r) {
			continue // a mark on the letter before
		}
		if r >= utf8.RuneSelf || !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9') {
			hyphen = b.Len() > 0
			continue
		}
		if b.Len() > longestSlug {
			break
		}
		if hyphen {
			b.WriteByte('-')
			hyphen = false
		}
		b.WriteRune(r)
	}
	if b.Len() == 0 {
		return "pattern"
	}
	s := b.String()
	if len(s) > longestSlug { // at the end of a word where there is one
		s = s[:longestSlug]
		if i := strings.LastIndexByte(s, '-'); i > longestSlug/2 {
			s = s[:i]
		}
		s = strings.TrimRight(s, "-")
	}
	return s
}

// PlaceholderSlug reports whether a slug was made for a pattern without a title.
func PlaceholderSlug(slug string) bool {
	rest, ok := strings.CutPrefix(slug, "untitled")
	return ok && strings.Trim(rest, "-0123456789") == ""
}

// FreeSlug returns slug, or slug-2, slug-3 … for the first that is not taken.
func FreeSlug(slug string, taken func(string) bool) string {
	for n, s := 2, slug; ; n++ {
		if !taken(s) {
			return s
		}
		s = fmt.Sprintf("%s-%d", slug, n)
	}
}

// CopyTitle names a copy of a pattern taken as a start, when the caller wants to
// change the title in the text: "Moss hat" gives "Moss hat (copy)". Copies of
// copies do not pile up the word.
func CopyTitle(title string) string {
	if strings.HasSuffix(title, " (copy)") {
		return title
	}
	return title + " (copy)"
}
