package notation

import (
	"fmt"
	"os"
	"testing"
)

func FuzzStrict(f *testing.F) {
	for _, text := range corpus(f) {
		f.Add(text)
		for _, l := range Lines(text) {
			f.Add("CO 24 sts.\n" + l)
		}
	}
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 3000 {
			return
		}
		if !understood(Read(text)) {
			return
		}
		if d := roundTrip(text); d != "" {
			os.WriteFile("/tmp/w/strict/in.txt", []byte(text), 0o644)
			t.Fatal(fmt.Sprintf("%.1200s\nTEXT %q", d, text))
		}
	})
}
func understood(ms *Manuscript) bool {
	if len(ms.Findings.Findings) > 0 || len(ms.Items) == 0 {
		return false
	}
	if _, ok := ms.Items[0].(*Title); !ok {
		return false
	}
	ok := true
	for _, it := range ms.Items {
		switch it := it.(type) {
		case *Title:
			if it.Text != "Swatch" {
				return false
			}
		case *Heading, *Prose, *Field, *Define, *BindOffAll, *As, *Straight, *HoldAll:
			return false

		case *Row:
			if it.Prose != "" {
				return false
			}
			each(it.Body, func(o Op) {
				switch o.(type) {
				case *Unknown, *Remark, *PattOver:
					ok = false
				}
			})
		}
	}
	return ok
}
