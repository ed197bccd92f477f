package sizing

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// Gauge is how many stitches and rows make 10 cm. Both are above 0 and at most
// [MaxGauge] when it is valid; the zero value is no gauge.
type Gauge struct {
	Sts  float64 // stitches per 10 cm
	Rows float64 // rows or rounds per 10 cm
}

// MaxGauge bounds stitches and rows per 10 cm; the finest lace stays below 100.
const MaxGauge = 200

// Check says what is wrong with a gauge that cannot be used.
func (g Gauge) Check() error {
	for _, x := range []struct {
		n    float64
		what string
	}{{g.Sts, "stitches"}, {g.Rows, "rows"}} {
		if math.IsNaN(x.n) || x.n <= 0 {
			return fmt.Errorf("gauge has no %s: give how many %s make 10 cm, for example 20x28", x.what, x.what)
		}
		if x.n > MaxGauge {
			return fmt.Errorf("gauge of %s %s to 10 cm is too fine: give a number up to %d", number(x.n), x.what, MaxGauge)
		}
	}
	return nil
}

// StitchWidth is the width of one stitch; 0 without a gauge.
func (g Gauge) StitchWidth() Length { return per(g.Sts) }

// RowHeight is the height of one row; 0 without a gauge.
func (g Gauge) RowHeight() Length { return per(g.Rows) }

func per(n float64) Length {
	if n <= 0 {
		return 0
	}
	return Cm(10 / n)
}

// Width is the width of sts stitches.
func (g Gauge) Width(sts int) Length { return Length(sts) * g.StitchWidth() }

// Height is the height of that many rows.
func (g Gauge) Height(rows int) Length { return Length(rows) * g.RowHeight() }

// Stitches is how many stitches make l, not rounded: gauge × width.
func (g Gauge) Stitches(l Length) float64 { return l.Cm() * g.Sts / 10 }

// RowsIn is how many rows make l, not rounded.
func (g Gauge) RowsIn(l Length) float64 { return l.Cm() * g.Rows / 10 }

// String is the gauge in the form that [ParseGauge] reads: "20x28.5".
func (g Gauge) String() string { return number(g.Sts) + "x" + number(g.Rows) }

func number(x float64) string { return strconv.FormatFloat(math.Round(x*100)/100, 'f', -1, 64) }

var gaugeForm = regexp.MustCompile(`^(\d{1,6}(?:[.,]\d{1,6})?)\s*[xX×*/]\s*(\d{1,6}(?:[.,]\d{1,6})?)$`)

// ParseGauge reads "20x28" and its kin ("20 x 28.5", "20 × 28,5"): stitches,
// then rows, per 10 cm. The error says what to write instead.
func ParseGauge(s string) (Gauge, error) {
	m := gaugeForm.FindStringSubmatch(strings.TrimSpace(s))
	if m == nil {
		if len(s) > 40 {
			s = s[:40] + "…"
		}
		return Gauge{}, fmt.Errorf("cannot read the gauge %q: write stitches and rows per 10 cm with an x between them, for example 20x28", s)
	}
	g := Gauge{Sts: decimal(m[1]), Rows: decimal(m[2])}
	if err := g.Check(); err != nil {
		return Gauge{}, fmt.Errorf("the gauge %q: %w", s, err)
	}
	return g, nil
}

// decimal reads digits with a point or a comma; gaugeForm has checked them.
func decimal(s string) float64 {
	x, err := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64)
	if err != nil {
		return math.NaN()
	}
	return x
}

// PerInch is a gauge stated in stitches and rows to one inch.
func PerInch(sts, rows float64) Gauge { return Over(sts, rows, In(1)) }

// Over is a gauge stated in stitches and rows over some length, as "18 sts and
// 24 rows = 4 in". A length that is not above 0 gives no gauge.
func Over(sts, rows float64, over Length) Gauge {
	return Measured{Sts: sts, Width: over, Rows: rows, Height: over}.Gauge()
}

// Measured is what was counted on a swatch: that many stitches over a width and
// rows over a height, away from its edges.
type Measured struct {
	Sts    float64
	Width  Length
	Rows   float64
	Height Length
}

// Gauge is the swatch's gauge per 10 cm; a count without a length gives 0.
func (m Measured) Gauge() Gauge {
	var g Gauge
	if m.Width > 0 {
		g.Sts = m.Sts / m.Width.Cm() * 10
	}
	if m.Height > 0 {
		g.Rows = m.Rows / m.Height.Cm() * 10
	}
	return g
}
