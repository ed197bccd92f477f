package pdf

import (
	"io"
	"os"
	"os/exec"
	"path/filepath"
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

// BenchmarkChromiumCold prints the same document's HTML page with a browser
// started for it: what we are measured against. It needs Debian's chromium.
func BenchmarkChromiumCold(b *testing.B) {
	path, err := exec.LookPath("chromium")
	if err != nil {
		b.Fatal("chromium is not installed; `make bench` installs it")
	}
	dir := b.TempDir()
	f, err := os.Create(filepath.Join(dir, "page.html"))
	if err != nil {
		b.Fatal(err)
	}
	if err := twelvePages(b).HTML(f); err != nil {
		b.Fatal(err)
	}
	if err := f.Close(); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		cmd := exec.Command(path, "--headless", "--no-sandbox", "--disable-gpu", "--user-data-dir="+filepath.Join(dir, "profile"), "--print-to-pdf="+filepath.Join(dir, "out.pdf"), "file://"+f.Name())
		if out, err := cmd.CombinedOutput(); err != nil {
			b.Fatalf("chromium: %v\n%s", err, out)
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
