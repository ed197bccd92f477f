package picture

import "rowproof/domain/notation"

// GaugeOf is the first gauge in stitches that a manuscript states; zero where it
// states none.
func GaugeOf(ms *notation.Manuscript) Gauge {
	for _, g := range ms.Gauges() {
		if g.Stitches > 0 {
			return Gauge(g)
		}
	}
	return Gauge{}
}
