package picture

import (
	"bytes"
	"errors"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"

	"rowproof/domain/fabric"
	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

// TestCorpus draws both sides of every part of the corpus that makes a fabric.
func TestCorpus(t *testing.T) {
	files, err := filepath.Glob("../review/testdata/corpus/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatal("no corpus", err)
	}
	parts, drawn, large := 0, 0, 0
	for _, name := range files {
		a, err := txtar.ParseFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, file := range a.Files {
			if !strings.HasSuffix(file.Name, ".txt") {
				continue
			}
			ms := notation.Read(string(file.Data))
			res := needle.Work(ms)
			for i, p := range res.Parts {
				sts := 0
				if p.CastOn == nil && p.Stated != nil {
					sts = p.Stated.Of*2 + p.Stated.Plus + 2*p.Stated.Edge
				}
				f, err := fabric.Build(ms, res, i, 0, sts, 2)
				if err != nil {
					continue // what makes no fabric is none of this room's
				}
				parts++
				win := Window{ToRow: min(len(f.Rows), 44), ToColumn: min(f.Columns, 44)}
				opts := []Options{{Scale: 4, Window: win}, {Scale: 4, WS: true, Window: win}}
				if parts%8 == 0 {
					opts = append(opts, Options{Scale: 4})
				}
				for _, opt := range opts {
					img, err := Draw(f, opt)
					var big *TooLarge
					if errors.As(err, &big) {
						large++
						continue
					}
					if err != nil {
						t.Errorf("%s, %s: %v", filepath.Base(name), p.Name, err)
						continue
					}
					if img.Bounds().Dx() < 4 || img.Bounds().Dy() < 3 {
						t.Errorf("%s, %s: a picture of %v", filepath.Base(name), p.Name, img.Bounds())
					}
					drawn++
				}
				if parts%4 == 0 {
					if err := SVG(&bytes.Buffer{}, f, Options{Scale: 5, Window: win}); err != nil {
						t.Errorf("%s, %s: %v", filepath.Base(name), p.Name, err)
					}
				}
			}
		}
	}
	t.Log(parts, "parts,", drawn, "pictures,", large, "too large")
}
