package store_test

import (
	"fmt"
	"reflect"
	"strings"
	"testing"

	"rowproof/domain/studio"
)

// ids returns the identities of a pattern's rows in order.
func (b bench) ids(p studio.Pattern) []int64 {
	b.t.Helper()
	rows, err := b.db.Rows(b.t.Context(), b.studio, p.ID)
	if err != nil {
		b.t.Fatal(err)
	}
	out := make([]int64, len(rows))
	for i, r := range rows {
		out[i] = r.ID
	}
	return out
}

func TestRowsKeepTheirIdentity(t *testing.T) {
	b := newBench(t)
	p := b.create(hat)
	before := b.ids(p)
	if len(before) != 4 {
		t.Fatalf("rows: %v", before)
	}
	rows, err := b.db.Rows(t.Context(), b.studio, p.ID)
	if err != nil || rows[2].Piece != "Crown" || rows[2].Line != 12 || rows[2].Head != "Rnd 3" {
		t.Errorf("Rows: got %+v, %v", rows, err)
	}

	// Two rounds put in, the rest renumbered and one of them mended.
	p = b.save(p, strings.NewReplacer("Rnd 3: *k2tog, k6;", "Rnd 3: *sl 1, p3;", "Rnd 4: knit\n",
		"Rnd 4: knit\nRnd 5: *k2tog, k5; rep from * around\nRnd 6: knit\n").Replace(hat))
	mid := b.ids(p)
	want := []int64{before[0], before[1], mid[2], mid[3], before[2], before[3]}
	if !reflect.DeepEqual(mid, want) {
		t.Errorf("after an insert: got %v, want %v (first %v)", mid, want, before)
	}

	// Undo brings back the very same rows, redo those after it.
	p, err = b.db.Undo(t.Context(), b.studio, p.ID, p.Version, b.owner.ID, project)
	if err != nil || p.Manuscript != hat {
		t.Fatalf("Undo: %+v, %v", p, err)
	}
	if got := b.ids(p); !reflect.DeepEqual(got, before) {
		t.Errorf("rows after undo: got %v, want %v", got, before)
	}
	p, err = b.db.Redo(t.Context(), b.studio, p.ID, p.Version, b.owner.ID, project)
	if err != nil {
		t.Fatalf("Redo: %v", err)
	}
	if got := b.ids(p); !reflect.DeepEqual(got, mid) {
		t.Errorf("rows after redo: got %v, want %v", got, mid)
	}

	// A row taken out and put back by undo is the same row.
	p = b.save(p, strings.Replace(p.Manuscript, "Rnd 1: *k2, p2; rep from * around\n", "", 1))
	if p, err = b.db.Undo(t.Context(), b.studio, p.ID, p.Version, 0, project); err != nil {
		t.Fatal(err)
	}
	if got := b.ids(p); !reflect.DeepEqual(got, mid) {
		t.Errorf("rows after delete and undo: got %v, want %v", got, mid)
	}
}

func TestSplitsAreRemembered(t *testing.T) {
	b := newBench(t)
	whole := "= Lace\nRow 1: k4, yo, k2tog, p3, sl 1 wyif, k6, ssk, yo, k1\nRow 2: purl\n"
	parts := "= Lace\nRow 1: k4, yo, k2tog, p3\nRow 2: sl 1 wyif, k6, ssk, yo, k1\nRow 3: purl\n"
	p := b.create(whole)
	before := b.ids(p)
	p = b.save(p, parts)
	after := b.ids(p)
	if after[1] != before[0] || after[2] != before[1] {
		t.Errorf("split: got %v of %v", after, before)
	}
	got, err := b.db.RowAncestors(t.Context(), b.studio, after[0])
	if err != nil || !reflect.DeepEqual(got, before[:1]) {
		t.Errorf("RowAncestors of the split-off row: got %v, %v; want %v", got, err, before[:1])
	}
	if got, err := b.db.RowAncestors(t.Context(), b.studio+1, after[0]); err != nil || len(got) != 0 {
		t.Errorf("another studio's RowAncestors: got %v, %v", got, err)
	}
	p = b.save(p, whole) // merged again: a ring of parents
	merged := b.ids(p)
	got, err = b.db.RowAncestors(t.Context(), b.studio, merged[0])
	if err != nil || len(got) != 1 {
		t.Errorf("RowAncestors of the merged row: got %v, %v; want the other one", got, err)
	}
}

func TestUndoRedoWalk(t *testing.T) {
	b := newBench(t)
	ctx := t.Context()
	p := b.create("a")
	step := func(name string, f func() (studio.Pattern, error), want string) {
		t.Helper()
		got, err := f()
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if got.Manuscript != want || got.Version != p.Version+1 {
			t.Fatalf("%s: got %q version %d, want %q version %d", name, got.Manuscript, got.Version, want, p.Version+1)
		}
		p = got
	}
	undo := func() (studio.Pattern, error) { return b.db.Undo(ctx, b.studio, p.ID, p.Version, 0, project) }
	redo := func() (studio.Pattern, error) { return b.db.Redo(ctx, b.studio, p.ID, p.Version, 0, project) }
	save := func(s string) func() (studio.Pattern, error) {
		return func() (studio.Pattern, error) { return b.trySave(p.ID, p.Version, s, studio.Saved) }
	}
	_, err := undo()
	wantErr(t, "nothing to undo", err, studio.ErrNothing)
	step("save", save("b"), "b")
	step("save", save("c"), "c")
	step("undo", undo, "b")
	if !p.CanUndo || !p.CanRedo {
		t.Errorf("in the middle: %+v", p)
	}
	step("undo", undo, "a")
	if p.CanUndo || !p.CanRedo {
		t.Errorf("at the beginning: %+v", p)
	}
	_, err = undo()
	wantErr(t, "undo past the beginning", err, studio.ErrNothing)
	step("redo", redo, "b")
	step("redo", redo, "c")
	_, err = redo()
	wantErr(t, "redo past the end", err, studio.ErrNothing)
	step("undo", undo, "b")
	step("save over what was undone", save("d"), "d")
	_, err = redo()
	wantErr(t, "redo after a save", err, studio.ErrNothing)
	step("undo", undo, "b")
	step("undo", undo, "a")
	step("redo", redo, "b")
	step("redo", redo, "d")

	_, err = b.db.Undo(ctx, b.studio, p.ID, p.Version-1, 0, project)
	wantErr(t, "a stale undo", err, studio.ErrConflict)
	_, err = b.db.Undo(ctx, b.studio+1, p.ID, p.Version, 0, project)
	wantErr(t, "another studio's undo", err, studio.ErrNotFound)

	snaps, err := b.db.Snapshots(ctx, b.studio, p.ID)
	if err != nil || len(snaps) != p.Version {
		t.Fatalf("Snapshots: %d, %v", len(snaps), err)
	}
	for _, s := range snaps {
		if s.Version == 3 { // "c"
			step("restore", func() (studio.Pattern, error) {
				return b.db.RestoreSnapshot(ctx, b.studio, p.ID, p.Version, s.ID, b.owner.ID, project)
			}, "c")
		}
	}
	step("undo of a restore", undo, "d")
}

func TestProjectionsKeepTheirIdentity(t *testing.T) {
	b := newBench(t)
	ctx := t.Context()
	p := b.create(hat)
	sizes := func() []studio.Size {
		t.Helper()
		s, err := b.db.Sizes(ctx, b.studio, p.ID)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	s := sizes()
	show := func(got []studio.Size) string { return fmt.Sprint(got) }

	p = b.save(p, strings.Replace(p.Manuscript, "S, M, L", "XS, S, M, L", 1))
	if got := sizes(); len(got) != 4 || got[0].ID == s[0].ID || show(got[1:]) != show(s) {
		t.Errorf("a size put in front: got %v, had %v", got, s)
	}
	p = b.save(p, strings.Replace(p.Manuscript, "XS, S, M, L", "L, M, S", 1))
	if got := sizes(); show(got) != show([]studio.Size{s[2], s[1], s[0]}) {
		t.Errorf("sizes turned round: got %v, had %v", got, s)
	}
	p = b.save(p, strings.Replace(p.Manuscript, "L, M, S", "L, Medium, S", 1))
	if got := sizes(); got[1].ID != s[1].ID || got[1].Label != "Medium" {
		t.Errorf("a size renamed: got %v, had %v", got, s)
	}
	p = b.save(p, strings.Replace(p.Manuscript, "L, Medium, S", "S", 1))
	p = b.save(p, strings.Replace(p.Manuscript, "Sizes: S", "Sizes: S, L", 1))
	if got := sizes(); show(got) != show([]studio.Size{s[0], s[2]}) {
		t.Errorf("a size taken out and put in again: got %v, had %v", got, s)
	}

	y, err := b.db.Yarns(ctx, b.studio, p.ID)
	if err != nil || len(y) != 2 || y[1].Letter != "A" || y[1].Name != "Silk" || y[1].MPerBall != 200.5 || y[1].GPerBall != 100 || y[1].Colour != nil {
		t.Fatalf("Yarns: got %+v, %v", y, err)
	}
	c := studio.Colour{Colourway: "Dusk", Runs: []studio.ColourRun{{Hex: "#112233", CM: 30}, {Hex: "#445566", CM: 12.5}}}
	wantErr(t, "another studio's SetColour", b.db.SetColour(ctx, b.studio+1, p.ID, y[1].ID, c), studio.ErrNotFound)
	wantErr(t, "no colour", b.db.SetColour(ctx, b.studio, p.ID, y[1].ID, studio.Colour{}), studio.ErrInvalid)
	for range 2 {
		if err := b.db.SetColour(ctx, b.studio, p.ID, y[1].ID, c); err != nil {
			t.Fatal(err)
		}
	}
	p = b.save(p, strings.Replace(p.Manuscript, "Yarn A: Silk\n", "", 1))
	p = b.save(p, strings.Replace(p.Manuscript, "Yarn MC: Wool\n", "Yarn MC: Wool\nYarn A: Tussah\n", 1))
	if y, err = b.db.Yarns(ctx, b.studio, p.ID); err != nil || y[1].Colour == nil || !reflect.DeepEqual(*y[1].Colour, c) || y[1].Name != "Tussah" {
		t.Errorf("a yarn taken out and put in again: got %+v, %v", y, err)
	}

	g, err := b.db.Gauges(ctx, b.studio, p.ID)
	if err != nil || len(g) != 1 || g[0].Sts != 20.5 || g[0].Rows != 0 || g[0].OverMM != 100 || g[0].State != "blocked" || g[0].Stitch != "stockinette" {
		t.Errorf("Gauges: got %+v, %v", g, err)
	}
	n, err := b.db.Needles(ctx, b.studio, p.ID)
	if err != nil || len(n) != 1 || n[0].MM != 4.5 {
		t.Errorf("Needles: got %+v, %v", n, err)
	}
	st, err := b.db.SpecialStitches(ctx, b.studio, p.ID)
	if err != nil || len(st) != 1 || st[0].Name != "BOB" {
		t.Errorf("SpecialStitches: got %+v, %v", st, err)
	}
	p = b.save(p, "Title: Bare\n")
	for name, read := range map[string]func() (int, error){
		"sizes":   func() (int, error) { v, err := b.db.Sizes(ctx, b.studio, p.ID); return len(v), err },
		"yarns":   func() (int, error) { v, err := b.db.Yarns(ctx, b.studio, p.ID); return len(v), err },
		"gauges":  func() (int, error) { v, err := b.db.Gauges(ctx, b.studio, p.ID); return len(v), err },
		"needles": func() (int, error) { v, err := b.db.Needles(ctx, b.studio, p.ID); return len(v), err },
		"stitches": func() (int, error) {
			v, err := b.db.SpecialStitches(ctx, b.studio, p.ID)
			return len(v), err
		},
		"rows": func() (int, error) { v, err := b.db.Rows(ctx, b.studio, p.ID); return len(v), err },
	} {
		if got, err := read(); err != nil || got != 0 {
			t.Errorf("%s of a bare text: got %d, %v", name, got, err)
		}
	}
}

func TestOddNumbersDoNotStopASave(t *testing.T) {
	b := newBench(t)
	p := b.create("k1")
	nan := 0.0
	nan /= nan
	proj := studio.Projection{
		Gauges:  []studio.Gauge{{Sts: 1e30}, {Rows: nan}, {Sts: 20, OverMM: -3, State: "soaked"}},
		Needles: []studio.Needle{{Label: "huge", MM: 5000}, {MM: -1}},
		Yarns:   []studio.Yarn{{MPerBall: -4, GPerBall: 1e300}, {Letter: ""}},
		Sizes:   []string{"S", "S", ""},
	}
	_, err := b.db.SavePattern(t.Context(), b.studio, saveOf(p, "k2", proj))
	if err != nil {
		t.Fatalf("SavePattern: %v", err)
	}
	g, err := b.db.Gauges(t.Context(), b.studio, p.ID)
	if err != nil || len(g) != 1 || g[0].OverMM != 100 || g[0].State != "" {
		t.Errorf("Gauges: got %+v, %v", g, err)
	}
	proj.Sizes = make([]string, studio.MostSizes+1)
	_, err = b.db.SavePattern(t.Context(), b.studio, saveOf(p, "k3", proj))
	wantErr(t, "too many sizes", err, studio.ErrInvalid)
}

func TestNotes(t *testing.T) {
	b := newBench(t)
	ctx := t.Context()
	p := b.create(hat)
	id, err := b.db.AddNote(ctx, b.studio, p.ID, b.owner.ID, " brim rolls \n")
	if err != nil {
		t.Fatal(err)
	}
	wantErr(t, "another studio's EditNote", b.db.EditNote(ctx, b.studio+1, p.ID, id, "x"), studio.ErrNotFound)
	_, err = b.db.AddNote(ctx, b.studio+1, p.ID, 0, "x")
	wantErr(t, "another studio's AddNote", err, studio.ErrNotFound)
	_, err = b.db.AddNote(ctx, b.studio, p.ID, 0, " ")
	wantErr(t, "an empty note", err, studio.ErrInvalid)
	if err := b.db.EditNote(ctx, b.studio, p.ID, id, "brim rolls less"); err != nil {
		t.Fatal(err)
	}
	notes, err := b.db.Notes(ctx, b.studio, p.ID)
	if err != nil || len(notes) != 1 || notes[0].Body != "brim rolls less" || notes[0].Author != "Runa Holt" {
		t.Errorf("Notes: got %+v, %v", notes, err)
	}
	if err := b.db.RemoveNote(ctx, b.studio, p.ID, id); err != nil {
		t.Fatal(err)
	}
	wantErr(t, "removing it again", b.db.RemoveNote(ctx, b.studio, p.ID, id), studio.ErrNotFound)
}
