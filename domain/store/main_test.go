package store_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"rowproof/domain/store"
	"rowproof/domain/store/storetest"
	"rowproof/domain/studio"
)

func TestMain(m *testing.M) { storetest.Main(m) }

// project reads the little language that these tests write manuscripts in: a
// line "Title: …", "Sizes: a, b", "Yarn A: …", "Gauge: …", "Needle: …",
// "Stitch X: …", "= Piece"; every other line with ": " in it is a row. What a
// real manuscript says is the business of package notation.
func project(text string) (studio.Projection, error) {
	var p studio.Projection
	piece := ""
	n := 0
	for line := range strings.Lines(text) {
		n++
		line = strings.TrimSpace(line)
		if name, ok := strings.CutPrefix(line, "= "); ok {
			piece = name
			continue
		}
		head, rest, ok := strings.Cut(line, ": ")
		if !ok {
			continue
		}
		kind, name, _ := strings.Cut(head, " ")
		switch kind {
		case "Title":
			p.Title = rest
		case "Notes":
			p.Notes = rest
		case "Sizes":
			p.Sizes = strings.Split(rest, ", ")
		case "Yarn":
			p.Yarns = append(p.Yarns, studio.Yarn{Letter: name, Name: rest, Weight: "worsted", MPerBall: 200.5, GPerBall: 100})
		case "Gauge":
			p.Gauges = append(p.Gauges, studio.Gauge{Stitch: rest, Sts: 20.5, OverMM: 100, State: "blocked", Source: line})
		case "Needle":
			p.Needles = append(p.Needles, studio.Needle{Label: rest, MM: 4.5})
		case "Stitch":
			p.Stitches = append(p.Stitches, studio.SpecialStitch{Name: name, Text: rest})
		default:
			p.Rows = append(p.Rows, studio.RowLine{Piece: piece, Head: head, Text: rest, Line: n})
		}
	}
	return p, nil
}

// bench is a studio with an owner for a test.
type bench struct {
	t      *testing.T
	db     *store.DB
	studio int64
	owner  studio.Account
}

const password = "twelve purl rows"

func newBench(t *testing.T) bench {
	t.Helper()
	t.Parallel()
	db := storetest.New(t)
	st, err := db.EnsureStudio(t.Context(), "Lindgrove Knits")
	if err != nil {
		t.Fatal(err)
	}
	a, err := db.CreateFirstAccount(t.Context(), st.ID, studio.NewAccount{Email: "Runa@Example.org", Name: "Runa Holt", Password: password})
	if err != nil {
		t.Fatal(err)
	}
	return bench{t, db, st.ID, a}
}

func (b bench) create(text string) studio.Pattern {
	b.t.Helper()
	proj, _ := project(text)
	p, err := b.db.CreatePattern(b.t.Context(), b.studio, text, proj, b.owner.ID)
	if err != nil {
		b.t.Fatalf("CreatePattern: %v", err)
	}
	return p
}

func (b bench) trySave(id int64, base int, text string, reason studio.Reason) (studio.Pattern, error) {
	proj, _ := project(text)
	return b.db.SavePattern(b.t.Context(), b.studio, store.Save{PatternID: id, BaseVersion: base, Manuscript: text,
		Projection: proj, AuthorID: b.owner.ID, Reason: reason})
}

func (b bench) save(p studio.Pattern, text string) studio.Pattern {
	b.t.Helper()
	got, err := b.trySave(p.ID, p.Version, text, studio.Saved)
	if err != nil {
		b.t.Fatalf("SavePattern(%d, version %d): %v", p.ID, p.Version, err)
	}
	return got
}

// rows writes a pattern's rows as "id head: text" lines.
func (b bench) rows(p studio.Pattern) string {
	b.t.Helper()
	rows, err := b.db.Rows(b.t.Context(), b.studio, p.ID)
	if err != nil {
		b.t.Fatal(err)
	}
	var s strings.Builder
	for _, r := range rows {
		fmt.Fprintf(&s, "%d %s: %s\n", r.ID, r.Head, r.Text)
	}
	return s.String()
}

func wantErr(t *testing.T, call string, err, want error) {
	t.Helper()
	if !errors.Is(err, want) {
		t.Errorf("%s: got error %v, want %v", call, err, want)
	}
}

const hat = `Title: Ember Hat
Sizes: S, M, L
Yarn MC: Wool
Yarn A: Silk
Gauge: stockinette
Needle: 4.5 mm circular
Stitch BOB: (k1, yo, k1) in next st
Notes: wash it
= Crown
Rnd 1: *k2, p2; rep from * around
Rnd 2: knit
Rnd 3: *k2tog, k6; rep from * around
Rnd 4: knit
`
