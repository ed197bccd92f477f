package notation

import (
	"math"
	"regexp"
	"strconv"
	"strings"
)

// Gauge is stitches and rows over 10 cm; 0 where the manuscript does not say.
type Gauge struct{ Stitches, Rows float64 }

var (
	gaugeStitches = regexp.MustCompile(`(?i)(\d+(?:[.,]\d+)?)\s*(?:sts?\b|stitches\b)`)
	gaugeRows     = regexp.MustCompile(`(?i)(\d+(?:[.,]\d+)?)\s*(?:rows?\b|rnds?\b|rounds?\b|r\b)`)
	gaugeCm       = regexp.MustCompile(`(?i)(\d+(?:[.,]\d+)?)\s*cm`)
	gaugeInches   = regexp.MustCompile(`(?i)(\d+(?:[.,]\d+)?)\s*(?:in\b|inch|"|″)`)
)

// Gauges reads the gauges a manuscript states, in its order. One told over 4
// inches is one over 10 cm, as the trade has it.
func (ms *Manuscript) Gauges() []Gauge {
	var out []Gauge
	for _, it := range ms.Items {
		f, ok := it.(*Field)
		if !ok {
			continue
		}
		if l := strings.ToLower(f.Label); !strings.HasPrefix(l, "gauge") && !strings.HasPrefix(l, "tension") && !strings.HasSuffix(l, " tension") && !strings.HasSuffix(l, " gauge") {
			continue
		}
		over := 10.0
		if cm, ok := firstFigure(gaugeCm, f.Text); ok {
			over = cm
		} else if in, ok := firstFigure(gaugeInches, f.Text); ok {
			over = in * 2.54
			if near := math.Round(over/5) * 5; near > 0 && math.Abs(over-near) < near*0.03 {
				over = near
			}
		}
		if over <= 0 {
			continue
		}
		var g Gauge
		if n, ok := firstFigure(gaugeStitches, f.Text); ok {
			g.Stitches = n * 10 / over
		}
		if n, ok := firstFigure(gaugeRows, f.Text); ok {
			g.Rows = n * 10 / over
		}
		if g != (Gauge{}) {
			out = append(out, g)
		}
	}
	return out
}

func firstFigure(re *regexp.Regexp, s string) (float64, bool) {
	m := re.FindStringSubmatch(s)
	if m == nil {
		return 0, false
	}
	v, err := strconv.ParseFloat(strings.ReplaceAll(m[1], ",", "."), 64)
	return v, err == nil
}
