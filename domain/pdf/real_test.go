package pdf

import (
	"os"
	"testing"
	"time"

	"rowproof/domain/document"
	"rowproof/domain/notation"
)

// hat is a real manuscript, read and built, without a proof.
func hat(t testing.TB, size int) *document.Document {
	t.Helper()
	b, err := os.ReadFile("../document/testdata/hat.txt")
	if err != nil {
		t.Fatal(err)
	}
	return document.Build(document.Input{Manuscript: notation.Read(string(b)), Revision: 2, URL: "https://studio.example/skerry",
		Date: time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC), Size: size})
}
