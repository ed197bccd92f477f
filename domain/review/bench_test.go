package review

import (
	"testing"

	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

// BenchmarkHostile checks a megabyte of each hostile text; at most a second is
// allowed.
func BenchmarkHostile(b *testing.B) {
	for name, text := range hostile(1 << 20) {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				Check(text)
			}
		})
	}
}

// BenchmarkStitchPattern checks a stitch pattern of twelve rows; under 1 ms.
func BenchmarkStitchPattern(b *testing.B) {
	for b.Loop() {
		Check(stitchPattern)
	}
}

// BenchmarkPullover checks a pullover in nine sizes with over 400 rows; under
// 60 ms. It reports what a stitch of one size costs: at most 25 ns.
func BenchmarkPullover(b *testing.B) {
	text := pullover()
	sts := stsWorked(Check(text))
	b.ReportMetric(float64(sts), "sts")
	for b.Loop() {
		Check(text)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(sts), "ns/st")
}

// BenchmarkWork is the needle alone, without reading.
func BenchmarkWork(b *testing.B) {
	text := pullover()
	sts := stsWorked(Check(text))
	ms := notation.Read(text)
	for b.Loop() {
		needle.Work(ms)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(sts), "ns/st")
}

// stsWorked counts the stitches worked in all rows of all sizes.
func stsWorked(r *Result) int {
	sum := 0
	for _, p := range r.Report.Parts {
		for _, row := range p.Rows {
			for i, c := range row.Counts {
				if c != nil && i < len(row.Times) {
					sum += *c * row.Times[i]
				}
			}
		}
	}
	return sum
}

// stitchPattern is our own twelve rows of leaves.
const stitchPattern = `Reed leaves
Multiple of 12 sts + 3
Row 1 (RS): K2, *yo, k3, sk2p, k3, yo, k3; rep from * to last st, k1.
Row 2 and all WS rows: Purl.
Row 3: K2, *k1, yo, k2, sk2p, k2, yo, k1, k3; rep from * to last st, k1.
Row 5: K2, *k2, yo, k1, sk2p, k1, yo, k2, k3; rep from * to last st, k1.
Row 7: K2, *k3, yo, sk2p, yo, k6; rep from * to last st, k1.
Row 9: K2, *k12; rep from * to last st, k1.
Row 11: K2, *p9, k3; rep from * to last st, k1.
Row 12: Purl.
`
