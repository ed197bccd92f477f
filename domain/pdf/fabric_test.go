package pdf

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"rowproof/domain/document"
	"rowproof/domain/review"
)

const reeds = `Reeds

A rib that leans, for cushions.

Yarn: DK weight wool
Gauge: 22 sts and 30 rows = 10 cm

Multiple of 4 sts + 2
Row 1 (RS): K2, *p2, k2; rep from * to end.
Row 2: P2, *k2, p2; rep from * to end.
Row 3: P2, *k2, p2; rep from * to end.
Row 4: K2, *p2, k2; rep from * to end.
Rep Rows 1-4.
`

// Both sides of the fabric are in the file, each with its words; other people's
// tools find them, and the same manuscript gives the same bytes.
func TestFabricPictures(t *testing.T) {
	make := func() []byte {
		res := review.Check(reeds)
		d := document.Build(document.Input{Manuscript: res.Manuscript, Report: res.Report, Size: -1, Pictures: FabricPictures(res.Manuscript, res.Needle, "en-US")})
		var b bytes.Buffer
		if err := Write(&b, d, Options{}); err != nil {
			t.Fatal(err)
		}
		return b.Bytes()
	}
	one := make()
	if !bytes.Equal(one, make()) {
		t.Error("the same manuscript is printed in two ways")
	}
	file := filepath.Join(t.TempDir(), "reeds.pdf")
	if err := os.WriteFile(file, one, 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("qpdf", "--check", file).CombinedOutput(); err != nil {
		t.Errorf("qpdf: %v\n%s", err, out)
	}
	out, err := exec.Command("pdfimages", "-list", file).CombinedOutput()
	if err != nil || strings.Count(string(out), "jpeg") != 2 {
		t.Errorf("pdfimages finds (error %v)\n%s", err, out)
	}
	out, err = exec.Command("pdfinfo", "-struct-text", file).CombinedOutput()
	if err != nil || strings.Count(string(out), "Figure") < 2 {
		t.Errorf("pdfinfo finds no two figures (error %v)\n%s", err, out)
	}
	text, err := exec.Command("pdftotext", file, "-").CombinedOutput()
	if err != nil || !strings.Contains(string(text), "Wrong side") {
		t.Errorf("pdftotext: %v\n%s", err, text)
	}
}

// A pattern that repeats nothing, or does not come out, is printed without.
func TestNoFabricPictures(t *testing.T) {
	for _, text := range []string{
		"Cap\n\nCO 10 sts.\nRow 1: Knit.\n",
		"Bad\n\nMultiple of 4 sts + 2\nRow 1: K2, *k3, k4; rep from * to end.\nRow 2: Knit.\n",
		"",
	} {
		res := review.Check(text)
		if p := FabricPictures(res.Manuscript, res.Needle, "en-US"); p != nil {
			t.Errorf("%q has pictures", text)
		}
	}
}
