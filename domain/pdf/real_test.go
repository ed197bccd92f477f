package pdf

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rowproof/domain/document"
	"rowproof/domain/review"
)

// hat is a real manuscript, read, proved and built.
func hat(t testing.TB, size int) *document.Document {
	t.Helper()
	b, err := os.ReadFile("../document/testdata/hat.txt")
	if err != nil {
		t.Fatal(err)
	}
	res := review.Check(string(b))
	return document.Build(document.Input{Manuscript: res.Manuscript, Report: res.Report, Revision: 2, URL: "https://studio.example/skerry",
		Date: time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC), Size: size})
}

// corpusDocuments are the manuscripts of the review's corpus, proved and built.
func corpusDocuments(t testing.TB) map[string]*document.Document {
	t.Helper()
	files, err := filepath.Glob("../review/testdata/corpus/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatalf("no corpus in ../review/testdata/corpus: %v", err)
	}
	out := map[string]*document.Document{}
	for _, f := range files {
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		_, src, _ := strings.Cut(string(b), "-- manuscript.txt --\n")
		src, _, _ = strings.Cut(src, "-- expect.json --")
		res := review.Check(src)
		out[filepath.Base(f)] = document.Build(document.Input{Manuscript: res.Manuscript, Report: res.Report, Size: -1})
	}
	return out
}
