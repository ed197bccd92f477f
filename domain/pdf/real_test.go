package pdf

import (
	"os"
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
