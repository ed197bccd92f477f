package pdf

import (
	"bytes"
	"os"
	"sync"
	"testing"

	"rowproof/domain/document"
)

func render(t testing.TB, d *document.Document, o Options) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, d, o); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestSameBytes(t *testing.T) {
	for _, o := range []Options{{}, {Paper: Letter}, {Large: true}} {
		if !bytes.Equal(render(t, pullover(), o), render(t, pullover(), o)) {
			t.Errorf("Write(pullover, %+v) differs from one call to the next", o)
		}
	}
}

// Documents are set at the same time by many requests.
func TestWriteAtTheSameTime(t *testing.T) {
	want := render(t, pullover(), Options{})
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			var b bytes.Buffer
			if err := Write(&b, pullover(), Options{}); err != nil || !bytes.Equal(b.Bytes(), want) {
				t.Errorf("Write beside others: other bytes, or error %v", err)
			}
		})
	}
	wg.Wait()
}

// TestLook writes the samples for people to look at, where ROWPROOF_LOOK names a folder.
func TestLook(t *testing.T) {
	dir := os.Getenv("ROWPROOF_LOOK")
	if dir == "" {
		return
	}
	docs := corpusDocuments(t)
	for name, d := range map[string]*document.Document{"pullover": pullover(), "stitch": icePattern(), "hat": hat(t, -1), "hat-one": hat(t, 1)} {
		docs[name] = d
	}
	for name, d := range docs {
		for on, o := range map[string]Options{"a4": {}, "letter": {Paper: Letter}, "large": {Large: true}} {
			if err := os.WriteFile(dir+"/"+name+"-"+on+".pdf", render(t, d, o), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}
