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
	for _, text := range ms.GaugeTexts() {
		if g, ok := ReadGauge(text); ok {
			out = append(out, g)
		}
	}
	return out
}

// ReadGauge reads one gauge: "20 sts and 28 rows = 4 inches".
func ReadGauge(text string) (Gauge, bool) {
	over := 10.0
	if cm, ok := firstFigure(gaugeCm, text); ok {
		over = cm
	} else if in, ok := firstFigure(gaugeInches, text); ok {
		over = in * 2.54
		if near := math.Round(over/5) * 5; near > 0 && math.Abs(over-near) < near*0.03 {
			over = near
		}
	}
	var g Gauge
	if over <= 0 {
		return g, false
	}
	if n, ok := firstFigure(gaugeStitches, text); ok {
		g.Stitches = n * 10 / over
	}
	if n, ok := firstFigure(gaugeRows, text); ok {
		g.Rows = n * 10 / over
	}
	return g, g != (Gauge{})
}

// GaugeTexts are the words in which gauges are told: behind a label, "Gauge: 20 sts …", or on the lines below a head.
func (ms *Manuscript) GaugeTexts() []string {
	var out []string
	below := false
	for _, it := range ms.Items {
		switch it := it.(type) {
		case *Field:
			below = false
			if tellsGauge(it.Label) {
				out = append(out, it.Text)
			}
		case *Prose:
			if below {
				out = append(out, it.Text)
			}
		case *Heading:
			below = tellsGauge(it.Text)
		case *Blank:
		default:
			below = false
		}
	}
	return out
}

func tellsGauge(label string) bool {
	l := strings.ToLower(label)
	return strings.HasPrefix(l, "gauge") || strings.HasPrefix(l, "tension") || strings.HasSuffix(l, " tension") || strings.HasSuffix(l, " gauge")
}

func firstFigure(re *regexp.Regexp, s string) (float64, bool) {
	m := re.FindStringSubmatch(s)
	if m == nil {
		return 0, false
	}
	v, err := strconv.ParseFloat(strings.ReplaceAll(m[1], ",", "."), 64)
	return v, err == nil
}
