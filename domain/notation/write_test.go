package notation

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"
)

// corpus gives the manuscripts of the review room's corpus by name.
func corpus(t testing.TB) map[string]string {
	t.Helper()
	files, err := filepath.Glob("../review/testdata/corpus/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatal("no corpus", err)
	}
	out := map[string]string{}
	for _, f := range files {
		ar, err := txtar.ParseFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range ar.Files {
			if x.Name == "manuscript.txt" {
				out[strings.TrimSuffix(filepath.Base(f), ".txtar")] = string(x.Data)
			}
		}
	}
	return out
}

// roundTrip says in what a written manuscript reads back differently, and in
// what a second writing differs from the first.
func roundTrip(text string) string {
	ms := Read(text)
	once := Write(ms)
	back := Read(once)
	if d := Difference(ms, back); d != "" {
		return fmt.Sprintf("read again: %s\n--- written:\n%s", d, once)
	}
	if twice := Write(back); twice != once {
		return fmt.Sprintf("the second writing differs:\n%s\n--- from\n%s", twice, once)
	}
	return ""
}

func TestWriteCorpus(t *testing.T) {
	only := os.Getenv("ROWPROOF_CORPUS")
	for name, text := range corpus(t) {
		if !strings.HasPrefix(name, only) {
			continue
		}
		t.Run(name, func(t *testing.T) {
			if d := roundTrip(text); d != "" {
				t.Error(d)
			}
		})
	}
}
