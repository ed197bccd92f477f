package pdf

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"rowproof/domain/document"
)

// run calls one of the checking tools. A missing tool fails the test: `make
// test` installs them (qpdf, poppler-utils).
func run(t *testing.T, tool string, args ...string) string {
	t.Helper()
	path, err := exec.LookPath(tool)
	if err != nil {
		t.Fatalf("%s is not installed; run `make test`, or install qpdf and poppler-utils", tool)
	}
	var out, errs bytes.Buffer
	cmd := exec.Command(path, args...)
	cmd.Stdout, cmd.Stderr = &out, &errs
	if err := cmd.Run(); err != nil {
		t.Fatalf("%s %v: %v\n%s%s", tool, args, err, out.String(), errs.String())
	}
	return out.String() + errs.String()
}

func write(t *testing.T, d *document.Document, o Options) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "out.pdf")
	if err := os.WriteFile(file, render(t, d, o), 0o644); err != nil {
		t.Fatal(err)
	}
	return file
}

func TestToolsAreContent(t *testing.T) {
	for name, d := range samples(t) {
		for _, o := range papers[1:3] {
			file := write(t, d, o)
			if out := run(t, "qpdf", "--check", file); strings.Contains(out, "WARNING") {
				t.Errorf("%s %+v: qpdf: %s", name, o, out)
			}
		}
		file := write(t, d, Options{})
		info := run(t, "pdfinfo", file)
		for _, want := range []string{"Tagged:          yes", "PDF version:     1.7", "(A4)"} {
			if !strings.Contains(info, want) {
				t.Errorf("%s: pdfinfo lacks %q:\n%s", name, want, info)
			}
		}
		for i, l := range strings.Split(strings.TrimSpace(run(t, "pdffonts", file)), "\n") {
			if i < 2 || l == "" {
				continue
			}
			if !regexp.MustCompile(`^[A-Z]{6}\+\S+ .*yes yes yes`).MatchString(l) {
				t.Errorf("%s: font not embedded, subset and with its text: %s", name, l)
			}
		}
	}
}

func TestMetadata(t *testing.T) {
	file := write(t, pullover(), Options{Paper: Letter})
	info := run(t, "pdfinfo", file)
	for _, want := range []string{"Title:           Fjærland Pullover", "Author:          Ada Holm", "(letter)"} {
		if !strings.Contains(info, want) {
			t.Errorf("pdfinfo lacks %q:\n%s", want, info)
		}
	}
	plain := filepath.Join(t.TempDir(), "plain.pdf")
	run(t, "qpdf", "--qdf", "--object-streams=disable", file, plain)
	b, err := os.ReadFile(plain)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"/Lang (en-US)", "/DisplayDocTitle true", "/Marked true", "/S /Table", "/Scope /Column", "/S /LBody", "/S /Link", "/OBJR", "/Title (Stitch counts)"} {
		if !bytes.Contains(b, []byte(want)) {
			t.Errorf("the file lacks %q", want)
		}
	}
}

// Every count, each row's words and head can be found and copied, and stand in
// reading order.
func TestTextOrder(t *testing.T) {
	for _, o := range papers {
		file := write(t, pullover(), o)
		got := strings.Join(strings.Fields(run(t, "pdftotext", "-layout", file, "-")), " ")
		for _, v := range each(82, 12) {
			if !strings.Contains(got, strings.TrimSpace(document.Counts{Each: []int{v}}.Figures())) {
				t.Errorf("%+v: count %d is not found", o, v)
			}
		}
		tree := run(t, "pdfinfo", "-struct-text", file)
		at := 0
		for _, want := range []string{"Fjærland", "Not proved: 2 findings", "Materials", "Needles", "Gauge", "Abbreviations", "k2tog", "ssk", "Special", "Back", "Row 1 (RS)", "K1, *k1, p1; rep from * to last 2 sts, k2.", "82 (94", "Front", "Left sleeve", "Finishing", "Stitch counts", "Safety", "studio.example"} {
			i := strings.Index(tree[at:], want)
			if i < 0 {
				t.Errorf("%+v: structure tree lacks %q after what comes before it", o, want)
				continue
			}
			at += i
		}
	}
}

func TestEditionsByTools(t *testing.T) {
	one := run(t, "pdftotext", write(t, hat(t, 1), Options{}), "-")
	if !strings.Contains(one, "CO 84 sts") || strings.Contains(one, "104") {
		t.Errorf("one-size edition:\n%s", one)
	}
	fonts := run(t, "pdffonts", write(t, hat(t, -1), Options{Large: true}))
	if strings.Contains(fonts, "Italic") || strings.Contains(fonts, "Vollkorn") {
		t.Errorf("large print is not all sans serif:\n%s", fonts)
	}
}
