package pdf

import (
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

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

// htmlPage is the same document as an HTML page on disk, and the browser to print it
// with: Debian's chromium.
func htmlPage(b *testing.B) (browser, dir, file string) {
	b.Helper()
	browser, err := exec.LookPath("chromium")
	if err != nil {
		b.Fatal("chromium is not installed; `make bench` installs it")
	}
	dir = b.TempDir()
	file = filepath.Join(dir, "page.html")
	f, err := os.Create(file)
	if err != nil {
		b.Fatal(err)
	}
	if err := twelvePages(b).HTML(f); err != nil {
		b.Fatal(err)
	}
	if err := f.Close(); err != nil {
		b.Fatal(err)
	}
	return browser, dir, file
}

// BenchmarkChromiumCold prints the same document's HTML page with a browser
// started for it: we are to be 20 times faster.
func BenchmarkChromiumCold(b *testing.B) {
	browser, dir, file := htmlPage(b)
	for b.Loop() {
		cmd := exec.Command(browser, "--headless", "--no-sandbox", "--disable-gpu", "--user-data-dir="+filepath.Join(dir, "profile"), "--print-to-pdf="+filepath.Join(dir, "out.pdf"), "file://"+file)
		if out, err := cmd.CombinedOutput(); err != nil {
			b.Fatalf("chromium: %v\n%s", err, out)
		}
	}
}

// BenchmarkChromiumRunning loads and prints it with a browser that runs already: we
// are to be 5 times faster.
func BenchmarkChromiumRunning(b *testing.B) {
	browser, _, file := htmlPage(b)
	ctx, cancel := chromedp.NewExecAllocator(b.Context(), chromedp.ExecPath(browser), chromedp.Headless, chromedp.DisableGPU, chromedp.NoSandbox)
	defer cancel()
	ctx, cancel = chromedp.NewContext(ctx)
	defer cancel()
	if err := chromedp.Do(ctx, chromedp.Navigate("file://"+file)); err != nil {
		b.Fatalf("starting chromium: %v", err)
	}
	for b.Loop() {
		if err := chromedp.Do(ctx, chromedp.Navigate("file://"+file)); err != nil {
			b.Fatal(err)
		}
		if _, err := chromedp.Call(ctx, cdppage.PrintToPDF, cdppage.PrintToPDFParams{}); err != nil {
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
