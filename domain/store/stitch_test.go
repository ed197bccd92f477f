package store_test

import (
	"errors"
	"strings"
	"sync"
	"testing"

	"rowproof/domain/store"
	"rowproof/domain/studio"
)

const pebble = "Multiple of 4 sts + 2.\nRow 1 (RS): K1, *p2, k2; rep from * to last st, k1.\nRow 2: Purl.\n"

var pebble2 = strings.Replace(pebble, "p2, k2", "p3, k1", 1)

func (b bench) stitch(name, text string) studio.Stitch {
	b.t.Helper()
	s, err := b.db.CreateStitch(b.t.Context(), b.studio, name, text, b.owner.ID)
	if err != nil {
		b.t.Fatalf("CreateStitch(%q): %v", name, err)
	}
	return s
}

func (b bench) saveStitch(s studio.Stitch, text string) (studio.Stitch, error) {
	return b.db.SaveStitch(b.t.Context(), b.studio, store.StitchSave{StitchID: s.ID, BaseVersion: s.Version, Name: s.Name, Manuscript: text, AuthorID: b.owner.ID})
}

func (b bench) place(p studio.Pattern, s studio.Stitch, text string) (studio.Pattern, error) {
	proj, _ := project(text)
	return b.db.PlaceStitch(b.t.Context(), b.studio, store.Placing{
		Save:     store.Save{PatternID: p.ID, BaseVersion: p.Version, Manuscript: text, Projection: proj, AuthorID: b.owner.ID, Reason: studio.Form},
		StitchID: s.ID, Version: s.Version, Heading: s.Name, Form: studio.StitchFlat,
	})
}

func TestStitchesAreKept(t *testing.T) {
	b := newBench(t)
	ctx := t.Context()
	s := b.stitch("  Pebble ", pebble)
	if s.Name != "Pebble" || s.Slug != "pebble" || s.Version != 1 || s.Manuscript != pebble || s.Uses != 0 {
		t.Errorf("CreateStitch: got %+v", s)
	}
	_, err := b.db.CreateStitch(ctx, b.studio, "pebble", "", 0)
	wantErr(t, "CreateStitch of a name that is taken", err, studio.ErrTaken)
	_, err = b.db.CreateStitch(ctx, b.studio, "Row 1: knit", "", 0)
	wantErr(t, "CreateStitch of a row", err, studio.ErrInvalid)
	_, err = b.db.CreateStitch(ctx, b.studio+1, "Pebble", "", 0)
	wantErr(t, "CreateStitch in no studio", err, studio.ErrNotFound)
	if w := b.stitch("Waves", ""); w.Slug != "waves" {
		t.Errorf("slug %q", w.Slug)
	}

	same, err := b.saveStitch(s, pebble)
	if err != nil || same.Version != 1 {
		t.Errorf("saving what stands: version %d, %v", same.Version, err)
	}
	now, err := b.saveStitch(s, pebble2)
	if err != nil || now.Version != 2 || now.Manuscript != pebble2 {
		t.Errorf("SaveStitch: %+v, %v", now, err)
	}
	_, err = b.saveStitch(s, pebble+"Row 3: Knit.\n")
	wantErr(t, "SaveStitch from an older version", err, studio.ErrConflict)
	if got, err := b.saveStitch(s, pebble2); err != nil || got.Version != 2 {
		t.Errorf("the very same from an older version: %+v, %v", got, err)
	}
	_, err = b.db.SaveStitch(ctx, b.studio, store.StitchSave{StitchID: now.ID, BaseVersion: 2, Name: "Waves", Manuscript: pebble2})
	wantErr(t, "SaveStitch under a name that is taken", err, studio.ErrTaken)
	_, err = b.db.SaveStitch(ctx, b.studio+1, store.StitchSave{StitchID: now.ID, BaseVersion: 2, Name: "Pebbles", Manuscript: pebble2})
	wantErr(t, "another studio's SaveStitch", err, studio.ErrNotFound)
	vs, err := b.db.StitchVersions(ctx, b.studio, s.ID)
	if err != nil || len(vs) != 2 || vs[0].Version != 2 || vs[1].Manuscript != pebble || vs[1].AuthorName != "Runa Holt" {
		t.Errorf("StitchVersions: %+v, %v", vs, err)
	}
	if vs, err := b.db.StitchVersions(ctx, b.studio+1, s.ID); err != nil || len(vs) != 0 {
		t.Errorf("another studio's StitchVersions: %+v, %v", vs, err)
	}

	wantErr(t, "another studio's DeleteStitch", b.db.DeleteStitch(ctx, b.studio+1, s.ID), studio.ErrNotFound)
	if err := b.db.DeleteStitch(ctx, b.studio, s.ID); err != nil {
		t.Fatal(err)
	}
	_, err = b.db.Stitch(ctx, b.studio, s.ID)
	wantErr(t, "Stitch in the bin", err, studio.ErrNotFound)
	if l, err := b.db.ListStitches(ctx, b.studio); err != nil || len(l) != 1 || l[0].Name != "Waves" {
		t.Errorf("ListStitches: %+v, %v", l, err)
	}
	if l, err := b.db.ListDeletedStitches(ctx, b.studio); err != nil || len(l) != 1 || l[0].DeletedAt == nil {
		t.Errorf("ListDeletedStitches: %+v, %v", l, err)
	}
	other := b.stitch("Pebble", pebble)
	if other.Slug != "pebble-2" {
		t.Errorf("a second Pebble: slug %q", other.Slug)
	}
	wantErr(t, "RestoreStitch of a name that is taken", b.db.RestoreStitch(ctx, b.studio, s.ID), studio.ErrTaken)
	if err := b.db.DeleteStitch(ctx, b.studio, other.ID); err != nil {
		t.Fatal(err)
	}
	if err := b.db.RestoreStitch(ctx, b.studio, s.ID); err != nil {
		t.Error(err)
	}
}

func TestStitchesSavedAtOnce(t *testing.T) {
	b := newBench(t)
	s := b.stitch("Pebble", pebble)
	errs := make([]error, 6)
	var wg sync.WaitGroup
	for i := range errs {
		wg.Go(func() { _, errs[i] = b.saveStitch(s, pebble+strings.Repeat("Row 3: Knit.\n", i+1)) })
	}
	wg.Wait()
	won := 0
	for _, err := range errs {
		switch {
		case err == nil:
			won++
		case !errors.Is(err, studio.ErrConflict):
			t.Error(err)
		}
	}
	if now, err := b.db.Stitch(t.Context(), b.studio, s.ID); won != 1 || err != nil || now.Version != 2 {
		t.Errorf("%d saves won, version %d, %v", won, now.Version, err)
	}
}

func TestStitchGauges(t *testing.T) {
	b := newBench(t)
	ctx := t.Context()
	s := b.stitch("Pebble", pebble)
	id, err := b.db.AddStitchGauge(ctx, b.studio, s.ID, studio.StitchGauge{Yarn: "DK wool", Needle: "4 mm", Sts: 22.5, OverCM: 10, Note: "blocked"})
	if err != nil {
		t.Fatal(err)
	}
	_, err = b.db.AddStitchGauge(ctx, b.studio, s.ID, studio.StitchGauge{OverCM: 10})
	wantErr(t, "an empty gauge", err, studio.ErrInvalid)
	_, err = b.db.AddStitchGauge(ctx, b.studio+1, s.ID, studio.StitchGauge{Sts: 20, OverCM: 10})
	wantErr(t, "another studio's AddStitchGauge", err, studio.ErrNotFound)
	got, err := b.db.StitchGauges(ctx, b.studio, s.ID)
	want := studio.StitchGauge{ID: id, Yarn: "DK wool", Needle: "4 mm", Sts: 22.5, OverCM: 10, Note: "blocked"}
	if err != nil || len(got) != 1 || got[0] != want {
		t.Errorf("StitchGauges: %+v, %v", got, err)
	}
	wantErr(t, "another studio's RemoveStitchGauge", b.db.RemoveStitchGauge(ctx, b.studio+1, s.ID, id), studio.ErrNotFound)
	if err := b.db.RemoveStitchGauge(ctx, b.studio, s.ID, id); err != nil {
		t.Error(err)
	}
}

// A stitch is placed, undone, placed again, changes, is kept, changes, is taken over.
func TestStitchUses(t *testing.T) {
	b := newBench(t)
	ctx := t.Context()
	s := b.stitch("Pebble", pebble)
	p := b.create(hat)
	with := func(rows string) string { return hat + "\nPebble\n" + rows }
	placed, err := b.place(p, s, with(pebble))
	if err != nil || placed.Version != 2 || placed.Manuscript != with(pebble) {
		t.Fatalf("PlaceStitch: %+v, %v", placed, err)
	}
	use := func() studio.StitchUse {
		t.Helper()
		us, err := b.db.PatternStitches(ctx, b.studio, p.ID)
		if err != nil || len(us) != 1 {
			t.Fatalf("PatternStitches: %+v, %v", us, err)
		}
		return us[0]
	}
	count := func() int {
		t.Helper()
		s, err := b.db.Stitch(ctx, b.studio, s.ID)
		if err != nil {
			t.Fatal(err)
		}
		return s.Uses
	}
	lagging := func() int {
		t.Helper()
		us, err := b.db.PatternStitches(ctx, b.studio, 0)
		if err != nil {
			t.Fatal(err)
		}
		return len(us)
	}
	if u := use(); !u.Stands || u.Changed() || u.Heading != "Pebble" || u.PatternTitle != "Ember Hat" || u.Placed != 1 || count() != 1 || lagging() != 0 {
		t.Errorf("placed: %+v, %d uses", u, count())
	}

	// A save that loses notes no use and keeps the text.
	_, err = b.place(p, b.stitch("Waves", pebble), hat+"\nWaves\n"+pebble)
	var c *studio.Conflict
	if !errors.As(err, &c) {
		t.Errorf("placing in an older text: %v", err)
	}
	if _, err = b.place(placed, studio.Stitch{ID: 99, Version: 1, Name: "None"}, hat); !errors.Is(err, studio.ErrNotFound) {
		t.Errorf("placing no stitch: %v", err)
	}
	if got, _ := b.db.Pattern(ctx, b.studio, p.ID); got.Version != 2 {
		t.Errorf("placing no stitch saved a text")
	}
	use()

	// Undo takes it out of the text, redo brings it back.
	undone, err := b.db.Undo(ctx, b.studio, p.ID, 2, b.owner.ID, project)
	if err != nil || use().Stands || count() != 0 {
		t.Errorf("undone: %+v, %d uses, %v", use(), count(), err)
	}
	redone, err := b.db.Redo(ctx, b.studio, p.ID, undone.Version, b.owner.ID, project)
	if err != nil || !use().Stands || count() != 1 {
		t.Errorf("redone: %+v, %v", use(), err)
	}

	s2, err := b.saveStitch(s, pebble2)
	if err != nil {
		t.Fatal(err)
	}
	u := use()
	if !u.Changed() || u.StitchVersion != 2 || u.Was != pebble || u.Now != pebble2 || lagging() != 1 {
		t.Errorf("changed: %+v", u)
	}
	if us, err := b.db.StitchUses(ctx, b.studio, s.ID); err != nil || len(us) != 1 || us[0] != u {
		t.Errorf("StitchUses: %+v, %v", us, err)
	}
	copied, err := b.db.CopyPattern(ctx, b.studio, p.ID, b.owner.ID, nil, project)
	if err != nil {
		t.Fatal(err)
	}
	if us, err := b.db.PatternStitches(ctx, b.studio, copied.ID); err != nil || len(us) != 1 || !us[0].Changed() || count() != 2 {
		t.Errorf("of a copy: %+v, %v", us, err)
	}

	wantErr(t, "another studio's KeepStitch", b.db.KeepStitch(ctx, b.studio+1, p.ID, u.ID, 2), studio.ErrNotFound)
	wantErr(t, "KeepStitch of no version", b.db.KeepStitch(ctx, b.studio, p.ID, u.ID, 3), studio.ErrNotFound)
	if err := b.db.KeepStitch(ctx, b.studio, p.ID, u.ID, 2); err != nil || use().Changed() || use().Placed != 1 || use().Answered != 2 {
		t.Errorf("kept: %+v, %v", use(), err)
	}
	if _, err := b.saveStitch(s2, pebble); err != nil {
		t.Fatal(err)
	}
	if u = use(); !u.Changed() || u.StitchVersion != 3 {
		t.Errorf("changed once more: %+v", u)
	}
	text := with(pebble + "Row 3: Knit.\n")
	proj, _ := project(text)
	save := store.Save{PatternID: p.ID, BaseVersion: redone.Version - 1, Manuscript: text, Projection: proj, Reason: studio.Form}
	if _, err = b.db.TakeStitch(ctx, b.studio, save, u.ID, 3); !errors.As(err, &c) || !use().Changed() {
		t.Errorf("taking over in an older text: %v, %+v", err, use())
	}
	save.BaseVersion = redone.Version
	got, err := b.db.TakeStitch(ctx, b.studio, save, u.ID, 3)
	if err != nil || got.Manuscript != text || use().Changed() || use().Placed != 3 {
		t.Errorf("TakeStitch: %+v, %v, %+v", got, err, use())
	}
	if err := b.db.DeletePattern(ctx, b.studio, p.ID); err != nil {
		t.Fatal(err)
	}
	if us, err := b.db.StitchUses(ctx, b.studio, s.ID); err != nil || len(us) != 1 {
		t.Errorf("with a pattern in the bin: %+v, %v", us, err)
	}
}
