package store_test

import (
	"errors"
	"strings"
	"sync"
	"testing"

	"rowproof/domain/studio"
)

func TestCreateReadListDelete(t *testing.T) {
	b := newBench(t)
	ctx := t.Context()
	p := b.create(hat)
	if p.Slug != "ember-hat" || p.Title != "Ember Hat" || p.State != studio.Draft || p.Version != 1 ||
		p.Manuscript != hat || p.Notes != "wash it" || p.CanUndo || p.CanRedo {
		t.Errorf("CreatePattern: got %+v", p)
	}
	if q := b.create(hat); q.Slug != "ember-hat-2" {
		t.Errorf("second of a title: got slug %q", q.Slug)
	}
	if e := b.create(""); e.Slug != "untitled" || e.Title != "Untitled" || b.rows(e) != "" {
		t.Errorf("empty manuscript: got %+v", e)
	}
	got, err := b.db.PatternBySlug(ctx, b.studio, "ember-hat")
	if err != nil || got.ID != p.ID {
		t.Errorf("PatternBySlug: got %+v, %v", got, err)
	}
	_, err = b.db.PatternBySlug(ctx, b.studio+1, "ember-hat")
	wantErr(t, "another studio's PatternBySlug", err, studio.ErrNotFound)

	ps, err := b.db.ListPatterns(ctx, b.studio)
	if err != nil || len(ps) != 3 || ps[0].Manuscript != "" {
		t.Errorf("ListPatterns: got %+v, %v", ps, err)
	}
	wantErr(t, "another studio's DeletePattern", b.db.DeletePattern(ctx, b.studio+1, p.ID), studio.ErrNotFound)
	if err := b.db.DeletePattern(ctx, b.studio, p.ID); err != nil {
		t.Fatal(err)
	}
	_, err = b.db.Pattern(ctx, b.studio, p.ID)
	wantErr(t, "Pattern in the bin", err, studio.ErrNotFound)
	_, err = b.trySave(p.ID, 1, "x", studio.Saved)
	wantErr(t, "SavePattern in the bin", err, studio.ErrNotFound)
	bin, err := b.db.ListDeleted(ctx, b.studio)
	if err != nil || len(bin) != 1 || bin[0].ID != p.ID || bin[0].DeletedAt == nil {
		t.Errorf("ListDeleted: got %+v, %v", bin, err)
	}
	if err := b.db.RestorePattern(ctx, b.studio, p.ID); err != nil {
		t.Fatal(err)
	}
	if got, err := b.db.Pattern(ctx, b.studio, p.ID); err != nil || got.Manuscript != hat {
		t.Errorf("restored: got %+v, %v", got, err)
	}
	_, err = b.db.CreatePattern(ctx, b.studio+1, "", studio.Projection{}, 0)
	wantErr(t, "CreatePattern in no studio", err, studio.ErrNotFound)
}

func TestManySlugsAtOnce(t *testing.T) {
	b := newBench(t)
	var wg sync.WaitGroup
	for range 6 {
		wg.Go(func() {
			if _, err := b.db.CreatePattern(t.Context(), b.studio, "", studio.Projection{Title: "Fern"}, 0); err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	ps, err := b.db.ListPatterns(t.Context(), b.studio)
	if err != nil || len(ps) != 6 {
		t.Errorf("got %d patterns, %v", len(ps), err)
	}
}

func TestSaveRefusesWhatCannotBeKept(t *testing.T) {
	b := newBench(t)
	p := b.create(hat)
	for name, text := range map[string]string{
		"too long": strings.Repeat("k", studio.LongestManuscript+1),
		"zero":     "k1\x00",
		"no UTF-8": "k1\xff",
	} {
		_, err := b.trySave(p.ID, 1, text, studio.Saved)
		wantErr(t, name, err, studio.ErrInvalid)
	}
	_, err := b.trySave(p.ID, 7, "k1", studio.Saved)
	wantErr(t, "a version to come", err, studio.ErrInvalid)
	_, err = b.trySave(p.ID, 1, "k1", studio.Undone)
	wantErr(t, "a reason of the store's own", err, studio.ErrInvalid)
	if got, err := b.db.Pattern(t.Context(), b.studio, p.ID); err != nil || got.Version != 1 || got.Manuscript != hat {
		t.Errorf("after refused saves: got %+v, %v", got, err)
	}
	if got := b.save(p, strings.Repeat("é\n", studio.LongestManuscript/3)); got.Version != 2 {
		t.Errorf("the longest manuscript: got version %d", got.Version)
	}
}

func TestSecondTabLosesNothing(t *testing.T) {
	b := newBench(t)
	p := b.create(hat)
	theirs := strings.Replace(hat, "k6", "k7", 1)
	mine := strings.Replace(hat, "k2, p2", "k3, p1", 1)
	b.save(p, theirs)

	for range 2 { // a stale tab tries again
		_, err := b.trySave(p.ID, p.Version, mine, studio.Autosaved)
		var c *studio.Conflict
		if !errors.As(err, &c) || !errors.Is(err, studio.ErrConflict) {
			t.Fatalf("stale save: got %v, want a conflict", err)
		}
		if c.Mine != mine || c.Theirs != theirs || c.Base != hat || c.TheirsVersion != 2 || c.BaseVersion != 1 || c.TheirsAuthor != "Runa Holt" {
			t.Errorf("conflict: got %+v", c)
		}
		kept, err := b.db.Snapshot(t.Context(), b.studio, p.ID, c.MineSnapshot)
		if err != nil || kept.Manuscript != mine || kept.Reason != studio.Lost || kept.AuthorID != b.owner.ID {
			t.Errorf("the loser's text: got %+v, %v", kept, err)
		}
	}
	snaps, err := b.db.Snapshots(t.Context(), b.studio, p.ID)
	if err != nil || len(snaps) != 3 {
		t.Errorf("Snapshots after a retried conflict: got %d, %v; want 3", len(snaps), err)
	}
	if got, err := b.trySave(p.ID, 1, theirs, studio.Saved); err != nil || got.Version != 2 {
		t.Errorf("a stale save of the same text: got version %d, %v; want 2", got.Version, err)
	}
	if got, err := b.trySave(p.ID, 2, mine, studio.Saved); err != nil || got.Manuscript != mine || got.Version != 3 {
		t.Errorf("settling the conflict: got %+v, %v", got, err)
	}
}

func TestOneOfManySavesWins(t *testing.T) {
	b := newBench(t)
	p := b.create(hat)
	var wg sync.WaitGroup
	errs := make([]error, 8)
	for i := range errs {
		wg.Go(func() {
			_, errs[i] = b.trySave(p.ID, p.Version, hat+strings.Repeat("more\n", i+1), studio.Autosaved)
		})
	}
	wg.Wait()
	won := 0
	for _, err := range errs {
		if err == nil {
			won++
		} else if !errors.Is(err, studio.ErrConflict) {
			t.Errorf("got %v", err)
		}
	}
	snaps, err := b.db.Snapshots(t.Context(), b.studio, p.ID)
	if won != 1 || err != nil || len(snaps) != 9 {
		t.Errorf("%d saves won, %d texts kept, %v; want 1 and 9", won, len(snaps), err)
	}
}

func TestCopyAsAStart(t *testing.T) {
	b := newBench(t)
	ctx := t.Context()
	p := b.create(hat)
	yarns, err := b.db.Yarns(ctx, b.studio, p.ID)
	if err != nil || len(yarns) != 2 {
		t.Fatalf("Yarns: %v, %v", yarns, err)
	}
	red := studio.Colour{Colourway: "Ember", Runs: []studio.ColourRun{{Hex: "#aa2211"}}}
	if err := b.db.SetColour(ctx, b.studio, p.ID, yarns[1].ID, red); err != nil {
		t.Fatal(err)
	}
	retitle := func(s string) string { return strings.Replace(s, "Ember Hat", studio.CopyTitle("Ember Hat"), 1) }
	c, err := b.db.CopyPattern(ctx, b.studio, p.ID, b.owner.ID, retitle, project)
	if err != nil {
		t.Fatal(err)
	}
	if c.Title != "Ember Hat (copy)" || c.Slug != "ember-hat-copy" || c.CopiedFrom != p.ID || c.State != studio.Draft || c.Version != 1 {
		t.Errorf("CopyPattern: got %+v", c)
	}
	copied, err := b.db.Yarns(ctx, b.studio, c.ID)
	if err != nil || copied[1].Colour == nil || copied[1].Colour.Runs[0].Hex != "#aa2211" || copied[0].Colour != nil {
		t.Errorf("the copy's yarns: got %+v, %v", copied, err)
	}
	for id := range strings.FieldsSeq(b.rows(c)) {
		if strings.HasPrefix(b.rows(p), id+" ") {
			t.Errorf("the copy shares row %s", id)
		}
		break
	}
	_, err = b.db.CopyPattern(ctx, b.studio+1, p.ID, 0, nil, project)
	wantErr(t, "copying another studio's pattern", err, studio.ErrNotFound)
}

func TestSetSlug(t *testing.T) {
	b := newBench(t)
	ctx := t.Context()
	p, q := b.create(hat), b.create(hat)
	if err := b.db.SetSlug(ctx, b.studio, p.ID, "glow"); err != nil {
		t.Fatal(err)
	}
	wantErr(t, "a taken slug", b.db.SetSlug(ctx, b.studio, q.ID, "glow"), studio.ErrTaken)
	wantErr(t, "no slug", b.db.SetSlug(ctx, b.studio, q.ID, "No Slug"), studio.ErrInvalid)
}
