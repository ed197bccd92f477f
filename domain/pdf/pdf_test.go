package pdf

import (
	"bytes"
	"os"
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

// TestLook writes the samples for people to look at, where ROWPROOF_LOOK names a folder.
func TestLook(t *testing.T) {
	dir := os.Getenv("ROWPROOF_LOOK")
	if dir == "" {
		return
	}
	for name, d := range map[string]*document.Document{"pullover": pullover(), "stitch": icePattern(), "hat": hat(t, -1), "hat-one": hat(t, 1)} {
		for on, o := range map[string]Options{"a4": {}, "letter": {Paper: Letter}, "large": {Large: true}} {
			if err := os.WriteFile(dir+"/"+name+"-"+on+".pdf", render(t, d, o), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}
