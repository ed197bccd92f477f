package picture

import (
	"io"
	"testing"
)

var swatches = []struct{ name, text string }{
	{"stockinette", "CO 60 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\nRep Rows 1 and 2 29 times more."},
	{"cable", "CO 60 sts.\nRow 1 (RS): *P3, k6, p3; rep from * to end.\nRow 2: *K3, p6, k3; rep from * to end.\nRow 3: *P3, c6f, p3; rep from * to end.\nRow 4: *K3, p6, k3; rep from * to end.\nRows 5-6: Rep Rows 1 and 2.\nRep Rows 1-6 9 times more."},
	{"lace", "CO 60 sts.\nRow 1 (RS): K1, *yo, ssk, k3, k2tog, yo, k1; rep from * to last 3 sts, k3.\nRow 2: Purl.\nRow 3: K2, *yo, ssk, k1, k2tog, yo, k3; rep from * to last 2 sts, k2.\nRow 4: Purl.\nRep Rows 1-4 14 times more."},
	{"slipped", "CO 60 sts.\nRow 1 (RS): With A, *k3, sl 1; rep from * to end.\nRow 2: *Sl 1, p3; rep from * to end.\nRow 3: With B, k1, *sl 1, k3; rep from * to last 3 sts, sl 1, k2.\nRow 4: P2, *sl 1, p3; rep from * to last 2 sts, sl 1, p1.\nRep Rows 1-4 14 times more."},
}

// BenchmarkPNG draws swatches of 60 by 60 stitches; the bound is 50 ms.
func BenchmarkPNG(b *testing.B) {
	for _, s := range swatches {
		f := build(b, s.text, 0, 1)
		if len(f.Rows) != 60 {
			b.Fatal(s.name, len(f.Rows))
		}
		b.Run(s.name, func(b *testing.B) {
			for b.Loop() {
				if err := PNG(io.Discard, f, Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
