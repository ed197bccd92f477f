package picture

import (
	"regexp"
	"strconv"
	"strings"

	"rowproof/domain/notation"
)

var (
	reStitches = regexp.MustCompile(`(\d+(?:[.,]\d+)?)\s*(?:sts?\b|stitches\b)`)
	reRows     = regexp.MustCompile(`(\d+(?:[.,]\d+)?)\s*(?:rows?\b|rnds?\b|rounds?\b)`)
	reOverCm   = regexp.MustCompile(`(\d+(?:[.,]\d+)?)\s*(?:[x×]\s*\d+\s*)?cm`)
	reOverInch = regexp.MustCompile(`(\d+(?:[.,]\d+)?)\s*(?:in\b|inch|"|″)`)
)

// GaugeOf reads the first gauge that a manuscript states, per 10 cm; zero where
// it states none.
func GaugeOf(ms *notation.Manuscript) Gauge {
	for _, it := range ms.Items {
		f, ok := it.(*notation.Field)
		if !ok {
			continue
		}
		if l := strings.ToLower(f.Label); !strings.HasPrefix(l, "gauge") && !strings.HasPrefix(l, "tension") {
			continue
		}
		text := strings.ToLower(f.Text)
		over := 10.0
		if m := reOverCm.FindStringSubmatch(text); m != nil {
			over = figure(m[1])
		} else if m := reOverInch.FindStringSubmatch(text); m != nil {
			over = figure(m[1]) * 2.5 // gauges are told over 4 in or 10 cm alike
		}
		if over <= 0 {
			continue
		}
		var g Gauge
		if m := reStitches.FindStringSubmatch(text); m != nil {
			g.Stitches = figure(m[1]) * 10 / over
		}
		if m := reRows.FindStringSubmatch(text); m != nil {
			g.Rows = figure(m[1]) * 10 / over
		}
		if g.Stitches > 0 {
			return g
		}
	}
	return Gauge{}
}

func figure(s string) float64 {
	v, _ := strconv.ParseFloat(strings.ReplaceAll(s, ",", "."), 64)
	return v
}
