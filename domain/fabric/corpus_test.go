package fabric

import (
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"

	"rowproof/domain/finding"
	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

// TestCorpus builds every part of the corpus that comes out: the loops of each
// row are as many as the needle counts, in columns that do not cross.
func TestCorpus(t *testing.T) {
	files, err := filepath.Glob("../review/testdata/corpus/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatal("no corpus", err)
	}
	built := 0
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
			bad := false
			for _, f := range res.Findings.Findings {
				bad = bad || f.Severity() == finding.Error
			}
			if bad {
				continue
			}
			for i, p := range res.Parts {
				sts := 0
				if p.CastOn == nil && p.Stated != nil {
					sts = p.Stated.Of*2 + p.Stated.Plus + 2*p.Stated.Edge
				}
				if p.CastOn == nil && p.Stated == nil {
					continue
				}
				t.Run(filepath.Base(name)+"/"+p.Name, func(t *testing.T) {
					f, err := Build(ms, res, i, 0, sts, 2)
					if err != nil && (strings.HasPrefix(err.Error(), "needle: ") || strings.Contains(err.Error(), "no row")) {
						return // a part that goes on where another ended, or rows that no text gives
					}
					if err != nil {
						t.Fatal(err)
					}
					whole(t, f)
				})
				built++
			}
		}
	}
	t.Log(built, "parts built")
}
