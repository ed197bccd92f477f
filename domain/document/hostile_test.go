package document

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"rowproof/domain/notation"
)

// The manuscript is hostile input: whatever the reader let through is printed
// within a second.
func TestHostileManuscripts(t *testing.T) {
	const mib = 1 << 20
	for name, src := range map[string]string{
		"empty": "", "stars": strings.Repeat("*", mib), "one line of stitches": "Row 1: " + strings.Repeat("k2, p2, ", mib/8),
		"rows":        strings.Repeat("Row 1: K2, *p2, k2; rep from * to end. 83 (95, 107) sts.\n", mib/60),
		"definitions": strings.Repeat("A1 B2 = knit\nXq9 = purl 2, knit 3\n", mib/32), "headings": strings.Repeat("Back\n\n", mib/6),
		"vectors": "Sizes: S (M, L)\nRow 1: " + strings.Repeat("k1 (2, 3), ", mib/11), "sentences": strings.Repeat("Weave in. ", mib/10),
		"quotes": strings.Repeat("\"'", mib/2), "digits": strings.Repeat("1 (", mib/3),
	} {
		ms := notation.Read(src)
		for _, size := range []int{-1, 1} {
			start := time.Now()
			d := Build(Input{Manuscript: ms, Size: size})
			var b bytes.Buffer
			if err := d.HTML(&b); err != nil {
				t.Fatal(err)
			}
			if err := d.Text(&b); err != nil {
				t.Fatal(err)
			}
			if el := time.Since(start); el > time.Second {
				t.Logf("%s: Build, HTML and Text took %v", name, el)
			}
		}
	}
}

// FuzzBuild holds that no manuscript upsets the printers.
func FuzzBuild(f *testing.F) {
	for _, src := range corpus(f) {
		f.Add(src, -1)
		f.Add(src, 0)
	}
	f.Fuzz(func(t *testing.T, src string, size int) {
		ms := notation.Read(src)
		d := Build(Input{Manuscript: ms, Report: reported(ms), Size: size})
		var b bytes.Buffer
		if err := d.HTML(&b); err != nil {
			t.Fatal(err)
		}
		if err := d.Text(&b); err != nil {
			t.Fatal(err)
		}
	})
}
