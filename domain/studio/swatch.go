package studio

import (
	"math"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"
)

// LongestSwatchNote is in letters.
const LongestSwatchNote = 4000

// Swatch is a piece knitted to measure. Numbers are 0 where nothing was measured.
type Swatch struct {
	ID         int64
	StudioID   int64
	StitchID   int64  // a stitch of the studio's own; 0 for none
	StitchName string // of that one, set by package store
	Stitch     string // in words, where there is no such stitch
	Yarn       string
	Needle     string
	Before     Counted // off the needle, not washed yet
	After      Counted // washed and dry
	Grams      float64 // of the whole swatch
	Width      float64 // of the whole swatch, washed and dry, cm
	Height     float64
	BallMetres float64 // in BallGrams of the yarn, as its band says
	BallGrams  float64
	Verdict    string
	Note       string
	Version    int // counts saves from 1; a save names the one it started from
	CreatedAt  time.Time
	UpdatedAt  time.Time
	RS, WS     SwatchPhoto // photographs; no Hash where there is none
}

// Counted is what was counted on a swatch: Sts over Width, Rows over Height, in cm.
type Counted struct{ Sts, Width, Rows, Height float64 }

// SwatchPhoto tells of a photograph without its bytes.
type SwatchPhoto struct {
	Hash          string
	Width, Height int // in pixels
}

// Name is the stitch it is knitted in.
func (s Swatch) Name() string {
	if s.StitchName != "" {
		return s.StitchName
	}
	return s.Stitch
}

// Per10 is the gauge: stitches and rows per 10 cm, 0 where not counted, to a tenth.
func (c Counted) Per10() (sts, rows float64) {
	if c.Width > 0 {
		sts = tenth(c.Sts * 10 / c.Width)
	}
	if c.Height > 0 {
		rows = tenth(c.Rows * 10 / c.Height)
	}
	return sts, rows
}

// Washing is what washing did to width and height, in per cent of what they were: -4
// where the fabric grew narrower by a 25th. ok says what could be told.
func (s Swatch) Washing() (width, height float64, okWidth, okHeight bool) {
	b, a := s.Before, s.After
	if b.Sts > 0 && a.Sts > 0 && b.Width > 0 && a.Width > 0 {
		width, okWidth = tenth((a.Width/a.Sts/(b.Width/b.Sts)-1)*100), true
	}
	if b.Rows > 0 && a.Rows > 0 && b.Height > 0 && a.Height > 0 {
		height, okHeight = tenth((a.Height/a.Rows/(b.Height/b.Rows)-1)*100), true
	}
	return width, height, okWidth, okHeight
}

// Metres is the yarn in the swatch by its weight and the ball's band, to a tenth of a
// metre; 0 where one of them is not given.
func (s Swatch) Metres() float64 {
	if s.BallGrams <= 0 {
		return 0
	}
	return tenth(s.Grams * s.BallMetres / s.BallGrams)
}

// GaugeLine is the swatch's gauge as a line of a manuscript, after washing where that was
// counted; "" without stitches.
func (s Swatch) GaugeLine() string {
	sts, rows := s.After.Per10()
	state := ", washed"
	if sts == 0 {
		sts, rows = s.Before.Per10()
		state = ""
	}
	if sts == 0 {
		return ""
	}
	line := "Gauge: " + fig(sts) + " sts"
	if rows > 0 {
		line += " and " + fig(rows) + " rows"
	}
	line += " = 10 cm"
	if n := s.Name(); n != "" {
		line += " in " + n
	}
	if s.Needle != "" {
		line += " on " + s.Needle
		if !strings.Contains(strings.ToLower(s.Needle), "needle") {
			line += " needles"
		}
	}
	return line + state
}

// WeightLine is the line by which the yarn of a pattern is worked out from the swatch; ""
// where it was not weighed or its size is not known.
func (s Swatch) WeightLine() string {
	if s.Grams <= 0 || s.Width <= 0 || s.Height <= 0 {
		return ""
	}
	return "Swatch: " + fig(s.Width) + " x " + fig(s.Height) + " cm weighs " + fig(s.Grams) + " g"
}

func tenth(x float64) float64 { return math.Round(x*10) / 10 }

func fig(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// Validate checks a swatch. The error is an [InvalidError].
func (s Swatch) Validate() error {
	for _, f := range []struct{ field, value string }{{"stitch", s.Stitch}, {"yarn", s.Yarn}, {"needle", s.Needle}, {"verdict", s.Verdict}} {
		if utf8.RuneCountInString(f.value) > 200 || CleanManuscript(f.value) != f.value || strings.ContainsAny(f.value, "\r\n") {
			return invalid(f.field, "has more than 200 letters, or letters that cannot be read")
		}
	}
	if utf8.RuneCountInString(s.Note) > LongestSwatchNote || CleanManuscript(s.Note) != s.Note {
		return invalid("note", "has more than %d letters, or letters that cannot be read", LongestSwatchNote)
	}
	if s.StitchID == 0 && s.Stitch == "" {
		return invalid("stitch", "is not said; choose one, or write what it is")
	}
	for _, c := range []struct {
		when string
		Counted
	}{{"before washing", s.Before}, {"after washing", s.After}} {
		if err := counted("stitches "+c.when, c.Sts, c.Width); err != nil {
			return err
		}
		if err := counted("rows "+c.when, c.Rows, c.Height); err != nil {
			return err
		}
	}
	for _, n := range []struct {
		field string
		value float64
	}{{"weight", s.Grams}, {"width of the swatch", s.Width}, {"height of the swatch", s.Height}, {"metres of the ball", s.BallMetres}, {"grams of the ball", s.BallGrams}} {
		if n.value != 0 && !(n.value >= 0.01 && n.value <= 10_000) {
			return invalid(n.field, "is a number up to 10000; leave it empty where it was not measured")
		}
	}
	if (s.BallMetres == 0) != (s.BallGrams == 0) {
		return invalid("ball", "needs both metres and grams, as its band says")
	}
	return nil
}

func counted(field string, n, over float64) error {
	switch {
	case n != 0 && !(n >= 0.01 && n <= 1000), over != 0 && !(over >= 0.1 && over <= 500):
		return invalid(field, "are a number up to 1000, over a number of centimetres up to 500")
	case (n == 0) != (over == 0):
		return invalid(field, "need both the count and the centimetres it was counted over")
	}
	return nil
}
