// Package sizing turns bodies and gauges into stitches and rows, and shaping
// into schedules that add up.
//
// The calls most people need: [Find] a body, add an [Ease], [FitAll] widths to
// stitches and [FitRowsAll] heights to rows, then [Plan.Schedules] for shaping
// and [Evenly.Rows] for a row of even increases or decreases. Everything is counted
// in whole stitches and rows; the measurement that results is always stated.
// Problems between sizes are data ([Problem]), with the choices that mend them.
package sizing

import (
	"math"
	"strconv"
	"strings"
)

// Length is a length in millimetres. Negative lengths are deviations.
type Length float64

// Units choose how a length is printed. The zero value is metric.
type Units int

const (
	Metric   Units = iota // centimetres, to the nearest half
	Imperial              // inches, to the nearest quarter
)

// Cm is x centimetres.
func Cm(x float64) Length { return Length(x * 10) }

// In is x inches of 25.4 mm (exact by definition since 1959).
func In(x float64) Length { return Length(x * 25.4) }

// Cm is the length in centimetres, not rounded.
func (l Length) Cm() float64 { return float64(l) / 10 }

// Inches is the length in inches, not rounded.
func (l Length) Inches() float64 { return float64(l) / 25.4 }

// noise is far below anything that can be measured; it keeps 2.2499999 from
// being rounded otherwise than 2.25.
const noise = 1e-9

// Rounded is the length as it is printed in u: half centimetres or quarter
// inches, halves away from zero. Round from the source each time; a rounded
// length in one unit is no source for the other.
func (l Length) Rounded(u Units) Length {
	if u == Imperial {
		return In(roundHalf(l.Inches()*4) / 4)
	}
	return Cm(roundHalf(l.Cm()*2) / 2)
}

// roundHalf rounds to a whole number, halves away from zero.
func roundHalf(x float64) float64 {
	return math.Round(x + math.Copysign(noise, x))
}

// Number is the length as printed, without its unit: "92.5", "36¼", "¾", "-1".
// Lengths that are not numbers print "?".
func (l Length) Number(u Units) string {
	if math.IsNaN(float64(l)) || math.IsInf(float64(l), 0) {
		return "?"
	}
	if u == Metric {
		return strconv.FormatFloat(roundHalf(l.Cm()*2)/2+0, 'f', -1, 64) // + 0 turns -0 into 0
	}
	q := int(roundHalf(math.Abs(l.Inches()) * 4))
	s := [...]string{"", "¼", "½", "¾"}[q%4]
	if q >= 4 || q == 0 {
		s = strconv.Itoa(q/4) + s
	}
	if l < 0 && q > 0 {
		s = "-" + s
	}
	return s
}

// Text is the length as printed with its unit: "92.5 cm", "36¼ in".
func (l Length) Text(u Units) string {
	if u == Imperial {
		return l.Number(u) + " in"
	}
	return l.Number(u) + " cm"
}

// String is the length in centimetres: "92.5 cm".
func (l Length) String() string { return l.Text(Metric) }

// Lengths prints one length per size in the trade's brackets, smallest first:
// "92 (102, 112) cm". Equal numbers are printed once: "92 cm". No length gives "".
func Lengths(ls []Length, u Units) string {
	if len(ls) == 0 {
		return ""
	}
	words := make([]string, len(ls))
	for i, l := range ls {
		words[i] = l.Number(u)
	}
	if u == Imperial {
		return bracket(words) + " in"
	}
	return bracket(words) + " cm"
}

// Skip stands in a vector of counts for a size that does not work this at all;
// it is printed "-". Zero is worked with nothing done.
const Skip = -1

// Vector prints one count per size in the trade's brackets: "83 (95, 107)".
// Equal counts are printed once: "5"; Skip is printed "-".
func Vector(ns []int) string {
	if len(ns) == 0 {
		return ""
	}
	words := make([]string, len(ns))
	for i, n := range ns {
		words[i] = strconv.Itoa(n)
		if n == Skip {
			words[i] = "-"
		}
	}
	return bracket(words)
}

// bracket puts all but the first word into brackets, one word if all are equal.
func bracket(words []string) string {
	same := true
	for _, w := range words {
		same = same && w == words[0]
	}
	if same {
		return words[0]
	}
	return words[0] + " (" + strings.Join(words[1:], ", ") + ")"
}
