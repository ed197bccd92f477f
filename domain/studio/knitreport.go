package studio

import (
	"strings"
	"time"
	"unicode/utf8"
)

// KnitReport is what came off a test knitter's needles.
type KnitReport struct {
	KnitterID  int64
	RevisionID int64
	Revision   int
	Before     KnitGauge // before blocking
	After      KnitGauge
	Measures   []Measured
	Yarns      []KnitYarn
	Hours      float64 // 0 for not told
	Fit        string
	Note       string
	Version    int
	UpdatedAt  time.Time
	Photos     []KnitPhoto
}

// KnitGauge is a gauge over 10 cm; 0 for not told.
type KnitGauge struct{ Sts, Rows float64 }

// Measured is a finished measurement.
type Measured struct {
	Name string  `json:"name"`
	MM   float64 `json:"mm"`
}

// KnitYarn is the yarn a test knit took.
type KnitYarn struct {
	Letter   string  // of the pattern; "" for its only yarn
	Grams    float64 // 0 for not told
	MPer100G float64 // of the yarn she used; 0: that of the pattern
	Asked    string  // what the designer says of a figure far off: "new", "use", "leave"
}

// KnitPhoto is a photograph of a finished test knit, without its bytes.
type KnitPhoto struct {
	ID            int64
	Width, Height int
	Consent       bool // the studio may show it
	Alt           string
}

// Validate evens out and checks a report. The error is an [InvalidError].
func (k KnitReport) Validate() (KnitReport, error) {
	for _, f := range []struct {
		name      string
		n         float64
		low, high float64
	}{
		{"before-sts", k.Before.Sts, 2, 120}, {"before-rows", k.Before.Rows, 2, 160},
		{"after-sts", k.After.Sts, 2, 120}, {"after-rows", k.After.Rows, 2, 160}, {"hours", k.Hours, 0.1, 5000},
	} {
		if f.n != 0 && (f.n < f.low || f.n > f.high) {
			return k, invalid(f.name, "is a number from %g to %g", f.low, f.high)
		}
	}
	if len(k.Measures) > 40 {
		return k, invalid("measures", "are more than 40")
	}
	for _, m := range k.Measures {
		if m.MM < 1 || m.MM > 20000 || m.Name == "" || utf8.RuneCountInString(m.Name) > 200 {
			return k, invalid("measures", "are lengths from 0.1 to 2000 cm")
		}
	}
	for _, y := range k.Yarns {
		if y.Grams != 0 && (y.Grams < 0.1 || y.Grams > 20000) {
			return k, invalid("grams", "is a weight from 0.1 to 20000 g")
		}
		if y.MPer100G != 0 && (y.MPer100G < 5 || y.MPer100G > 3000) {
			return k, invalid("metres", "is a length from 5 to 3000 m in 100 g")
		}
	}
	for _, f := range []struct {
		name string
		text *string
	}{{"fit", &k.Fit}, {"note", &k.Note}} {
		*f.text = strings.TrimSpace(CleanManuscript(*f.text))
		if utf8.RuneCountInString(*f.text) > 4000 {
			return k, invalid(f.name, "has more than 4000 letters")
		}
	}
	return k, nil
}
