package pdf

import (
	"io"
	"testing"

	"rowproof/domain/document"
)

// twelvePages is the pullover, long enough for twelve pages of A4.
func twelvePages(tb testing.TB) *document.Document {
	tb.Helper()
	d := pullover()
	body := d.Blocks
	for {
		sh := mustShaper(tb)
		pages, _ := layout(sh, d, newLook(Options{}))
		if len(pages) >= 12 {
			return d
		}
		for _, b := range body {
			if in, ok := b.(*document.Instruction); ok {
				d.Blocks = append(d.Blocks, in)
			}
			if len(d.Blocks)%40 == 0 {
				break
			}
		}
		body = body[1:]
	}
}

// BenchmarkTwelvePages holds the promise of issue 2: under 60 ms.
func BenchmarkTwelvePages(b *testing.B) {
	d := twelvePages(b)
	b.ReportAllocs()
	for b.Loop() {
		if err := Write(io.Discard, d, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkLayout is the part before drawing.
func BenchmarkLayout(b *testing.B) {
	d := twelvePages(b)
	for b.Loop() {
		layout(mustShaper(b), d, newLook(Options{}))
	}
}

// BenchmarkFonts is what the first document of a process pays once.
func BenchmarkFonts(b *testing.B) {
	for b.Loop() {
		for i := range faceFiles {
			f, err := faces()
			if err != nil {
				b.Fatal(err)
			}
			if _, err := parseFace(f[i].name, f[i].data); err != nil {
				b.Fatal(err)
			}
		}
	}
}
