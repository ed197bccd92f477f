package store_test

import (
	"fmt"
	"strings"
	"testing"

	"rowproof/domain/store"
	"rowproof/domain/store/storetest"
	"rowproof/domain/studio"
)

// BenchmarkAutosave saves a pattern of 400 rows and 9 sizes with one row changed.
func BenchmarkAutosave(b *testing.B) {
	db := storetest.New(b)
	ctx := b.Context()
	st, err := db.EnsureStudio(ctx, "Lindgrove Knits")
	if err != nil {
		b.Fatal(err)
	}
	var text strings.Builder
	text.WriteString("Title: Long Pullover\nSizes: 1, 2, 3, 4, 5, 6, 7, 8, 9\nYarn A: Wool\n= Body\n")
	for i := range 400 {
		fmt.Fprintf(&text, "Row %d: k%d, *p2, k%d; rep from * to last %d sts, purl to end\n", i+1, i%7, i%11+1, i%5)
	}
	proj, _ := project(text.String())
	p, err := db.CreatePattern(ctx, st.ID, text.String(), proj, 0)
	if err != nil {
		b.Fatal(err)
	}
	n := 0
	for b.Loop() {
		n++
		next := strings.Replace(text.String(), "Row 200: k3", fmt.Sprintf("Row 200: k%d", n), 1)
		proj, _ := project(next)
		p, err = db.SavePattern(ctx, st.ID, store.Save{PatternID: p.ID, BaseVersion: p.Version, Manuscript: next, Projection: proj, Reason: studio.Autosaved})
		if err != nil {
			b.Fatal(err)
		}
	}
}
