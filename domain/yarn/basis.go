package yarn

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"rowproof/domain/notation"
	"rowproof/domain/sizing"
)

// basis is what yarn is worked out from.
type basis struct {
	gauge   sizing.Gauge // of the fabric as it is knitted, for widths and heights
	loop    float64      // yarn in a stitch, mm
	weighed bool         // loop comes from a swatch that was weighed, in the stitch itself
	doubt   float64
	words   string
}

var (
	plainStitch = regexp.MustCompile(`(?i)\b(?:st(?:ockinette|ocking)?[- ]?\s*st(?:itch)?|stockinette|ss)\b`)
	notPlain    = regexp.MustCompile(`(?i)\b(?:reverse)\b`)
	swatchLine  = regexp.MustCompile(`(?i)^\s*swatch\b`)
	swatchSize  = regexp.MustCompile(`(?i)(\d+(?:[.,]\d+)?)\s*(cm|in\w*|"|″)?\s*(?:x|×|by)\s*(\d+(?:[.,]\d+)?)\s*(cm|in\w*|"|″)?`)
	swatchGrams = regexp.MustCompile(`(?i)(\d+(?:[.,]\d+)?)\s*(?:g|grams?)\b`)
)

// noBasis is said where yarn cannot be worked out.
const noBasis = "Yarn is counted from a gauge of stockinette, and this pattern tells none. Write one (“Gauge: 22 sts and 30 rows = 10 cm in St st”), or weigh a swatch (“Swatch: 15 x 15 cm weighs 12 g”)."

// basisOf finds the weighed swatch of a manuscript, else its gauge of stockinette.
func basisOf(ms *notation.Manuscript) (*basis, string) {
	first, plain := gauges(ms)
	if first.Sts <= 0 || first.Rows <= 0 {
		return nil, "No gauge in stitches and rows is stated."
	}
	if mm, words, ok := weighed(ms, first); ok {
		return &basis{gauge: first, loop: mm, weighed: true, doubt: 0.05, words: words}, ""
	}
	if plain.Sts <= 0 || plain.Rows <= 0 {
		return nil, noBasis
	}
	return &basis{gauge: first, loop: float64(LoopLength(plain, FullyRelaxed)), doubt: plainDoubt,
		words: fmt.Sprintf("Worked out loop by loop from the gauge of stockinette, %g sts and %g rows = 10 cm.", plain.Sts, plain.Rows)}, ""
}

// gauges gives the first gauge of a manuscript, and that of stockinette.
func gauges(ms *notation.Manuscript) (first, plain sizing.Gauge) {
	for _, text := range ms.GaugeTexts() {
		for _, clause := range strings.FieldsFunc(text, func(r rune) bool { return r == ';' || r == '/' }) {
			g, ok := notation.ReadGauge(clause)
			if !ok {
				continue
			}
			got := sizing.Gauge{Sts: g.Stitches, Rows: g.Rows}
			if first.Sts == 0 {
				first = got
			}
			if plain.Sts == 0 && plainStitch.MatchString(clause) && !notPlain.MatchString(clause) {
				plain = got
			}
		}
	}
	return first, plain
}

// weighed reads "Swatch: 15 x 15 cm weighs 12 g" and gives the yarn in a stitch, in mm,
// by the first yarn that states metres and grams.
func weighed(ms *notation.Manuscript, g sizing.Gauge) (float64, string, bool) {
	var ball Ball
	for _, b := range Balls(ms) {
		if b.Metres > 0 && b.Grams > 0 {
			ball = b
			break
		}
	}
	if ball.Grams <= 0 {
		return 0, "", false
	}
	for _, line := range ms.Source {
		if !swatchLine.MatchString(line) {
			continue
		}
		size, grams := swatchSize.FindStringSubmatch(line), swatchGrams.FindStringSubmatch(line)
		if size == nil || grams == nil {
			continue
		}
		unit := size[4]
		if unit == "" {
			unit = size[2]
		}
		w, h := side(size[1], unit), side(size[3], unit)
		sts := float64(w) / float64(g.StitchWidth()) * float64(h) / float64(g.RowHeight())
		if sts < 100 {
			continue // too small to weigh
		}
		weight := figure(grams[1])
		metres := weight * ball.Metres / ball.Grams
		return metres * 1000 / sts, fmt.Sprintf("From the weighed swatch: %s by %s, %g g.", w, h, weight), weight > 0
	}
	return 0, "", false
}

func side(s, unit string) sizing.Length {
	if unit == "" || strings.EqualFold(unit, "cm") {
		return sizing.Cm(figure(s))
	}
	return sizing.In(figure(s))
}

func figure(s string) float64 {
	x, err := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64)
	if err != nil {
		return 0
	}
	return x
}
