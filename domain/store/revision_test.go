package store_test

import (
	"context"
	"encoding/json"
	"errors"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"rowproof/domain/store"
	"rowproof/domain/store/storetest"
	"rowproof/domain/studio"
)

func saveOf(p studio.Pattern, text string, proj studio.Projection) store.Save {
	return store.Save{PatternID: p.ID, BaseVersion: p.Version, Manuscript: text, Projection: proj, Reason: studio.Saved}
}

func (b bench) publish(p studio.Pattern, purpose studio.Purpose, left ...studio.ErrorLeft) (studio.Revision, error) {
	return b.db.Publish(b.t.Context(), b.studio, p.ID, b.owner.ID, studio.Publication{
		Purpose: purpose, Version: p.Version, Report: json.RawMessage(`{"ok": true}`), Checker: "rowproof 0.1", Note: "first",
		Counts: [][]int{{80, 88, 96}, nil, {70, -1, 84}}, Left: left,
	})
}

func TestPublish(t *testing.T) {
	b := newBench(t)
	ctx := t.Context()
	p := b.create(hat)
	ids := b.ids(p)

	if ps, err := b.db.PublishedPatterns(ctx); err != nil || len(ps) != 0 {
		t.Errorf("PublishedPatterns before: got %v, %v", ps, err)
	}
	test, err := b.publish(p, studio.Test)
	if err != nil || test.Number != 1 || test.Purpose != studio.Test {
		t.Fatalf("Publish for a test: got %+v, %v", test, err)
	}
	if got, err := b.db.Pattern(ctx, b.studio, p.ID); err != nil || got.State != studio.Testing || got.Revision != 1 || got.Version != 1 {
		t.Errorf("after a test revision: got %+v, %v", got, err)
	}
	_, err = b.db.PublishedRevision(ctx, p.Slug, 0)
	wantErr(t, "a test is not public", err, studio.ErrNotFound)
	_, err = b.db.PublishedRevision(ctx, p.Slug, 1)
	wantErr(t, "a test is not public by number", err, studio.ErrNotFound)

	rev, err := b.publish(p, studio.Release)
	if err != nil {
		t.Fatal(err)
	}
	if rev.Number != 2 || rev.Title != "Ember Hat" || rev.Manuscript != hat || !rev.Proved || !rev.Latest || rev.Checker != "rowproof 0.1" ||
		len(rev.Sizes) != 3 || rev.Sizes[2].Label != "L" || time.Since(rev.Dated) > time.Hour || len(rev.Rows) != 4 {
		t.Errorf("Publish: got %+v", rev)
	}
	if !reflect.DeepEqual(rev.Rows[0].Counts, []int{80, 88, 96}) || rev.Rows[1].Counts != nil ||
		!reflect.DeepEqual(rev.Rows[2].Counts, []int{70, -1, 84}) || rev.Rows[3].Counts != nil || rev.Rows[2].ID != ids[2] {
		t.Errorf("rows of the revision: got %+v", rev.Rows)
	}

	// The next version goes its way; the revision stays what it was.
	p = b.save(p, strings.NewReplacer("k6", "k5", "Ember Hat", "Ember Cap").Replace(hat))
	again, err := b.db.PublishedRevision(ctx, "ember-hat", 0)
	if err != nil || !reflect.DeepEqual(again, rev) {
		t.Errorf("PublishedRevision after a save: got %+v, %v; want %+v", again, err, rev)
	}
	second, err := b.publish(p, studio.Release)
	if err != nil || second.Number != 3 || second.Rows[2].ID != ids[2] || second.Rows[2].Text == rev.Rows[2].Text {
		t.Errorf("second release: got %+v, %v", second, err)
	}
	if got, err := b.db.Pattern(ctx, b.studio, p.ID); err != nil || got.State != studio.Revised || got.Slug != "ember-hat" {
		t.Errorf("after the second release: got %+v, %v", got, err)
	}
	if old, err := b.db.PublishedRevision(ctx, "ember-hat", 2); err != nil || old.Latest || old.Title != "Ember Hat" {
		t.Errorf("the first release: got %+v, %v", old, err)
	}
	ps, err := b.db.PublishedPatterns(ctx)
	if err != nil || len(ps) != 1 || ps[0].Number != 3 || ps[0].Title != "Ember Cap" || !reflect.DeepEqual(ps[0].Sizes, []string{"S", "M", "L"}) {
		t.Errorf("PublishedPatterns: got %+v, %v", ps, err)
	}
	if rs, err := b.db.Revisions(ctx, b.studio, p.ID); err != nil || len(rs) != 3 || rs[2].Purpose != studio.Test {
		t.Errorf("Revisions: got %+v, %v", rs, err)
	}
	if r, err := b.db.Revision(ctx, b.studio, p.ID, 1); err != nil || r.Purpose != studio.Test {
		t.Errorf("Revision 1: got %+v, %v", r, err)
	}
	wantErr(t, "a slug after a release", b.db.SetSlug(ctx, b.studio, p.ID, "cap"), studio.ErrForbidden)

	if err := b.db.DeletePattern(ctx, b.studio, p.ID); err != nil {
		t.Fatal(err)
	}
	if ps, err := b.db.PublishedPatterns(ctx); err != nil || len(ps) != 0 {
		t.Errorf("PublishedPatterns of the bin: got %v, %v", ps, err)
	}
	_, err = b.db.PublishedRevision(ctx, "ember-hat", 0)
	wantErr(t, "a pattern in the bin is not public", err, studio.ErrNotFound)
}

func TestPublishRefuses(t *testing.T) {
	b := newBench(t)
	ctx := t.Context()
	p := b.create(hat)
	_, err := b.publish(p, studio.Release, studio.ErrorLeft{Code: "row-count", Row: 2})
	wantErr(t, "an error without a reason", err, studio.ErrUnproved)
	stale := p
	p = b.save(p, hat+"Rnd 5: purl\n")
	_, err = b.publish(stale, studio.Release)
	wantErr(t, "a version that is not the last", err, studio.ErrConflict)
	_, err = b.publish(p, "sale")
	wantErr(t, "no purpose", err, studio.ErrInvalid)
	_, err = b.db.Publish(ctx, b.studio, p.ID, b.owner.ID+99, studio.Publication{Purpose: studio.Release, Version: p.Version, Report: json.RawMessage(`{}`)})
	wantErr(t, "nobody's account", err, studio.ErrNotFound)
	_, err = b.db.Publish(ctx, b.studio+1, p.ID, 0, studio.Publication{Purpose: studio.Release, Version: p.Version, Report: json.RawMessage(`{}`)})
	wantErr(t, "another studio", err, studio.ErrNotFound)

	rev, err := b.publish(p, studio.Release, studio.ErrorLeft{Code: "row-count", Row: 2, Reason: "the reader knows"}, studio.ErrorLeft{Code: "gauge", Row: -1, Reason: "none needed"})
	if err != nil {
		t.Fatal(err)
	}
	want := []studio.Waiver{{Code: "row-count", RowID: b.ids(p)[2], Reason: "the reader knows"}, {Code: "gauge", Reason: "none needed"}}
	if rev.Proved || !reflect.DeepEqual(rev.Waivers, want) {
		t.Errorf("left in with a reason: got %+v", rev)
	}
}

func TestFirstReleaseNamesTheUntitled(t *testing.T) {
	b := newBench(t)
	p := b.create("")
	p = b.save(p, hat)
	if p.Slug != "untitled" {
		t.Fatalf("a draft's slug changed under its editor: %q", p.Slug)
	}
	b.create(hat) // takes ember-hat
	rev, err := b.publish(p, studio.Release)
	if err != nil || rev.Slug != "ember-hat-2" {
		t.Errorf("Publish: got slug %q, %v", rev.Slug, err)
	}
}

// TestRevisionIsImmutable asks the database itself.
func TestRevisionIsImmutable(t *testing.T) {
	t.Parallel()
	url := storetest.URL(t)
	ctx := t.Context()
	db, err := store.Open(ctx, url)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	st, err := db.EnsureStudio(ctx, "Lindgrove Knits")
	if err != nil {
		t.Fatal(err)
	}
	proj, _ := project(hat)
	p, err := db.CreatePattern(ctx, st.ID, hat, proj, 0)
	if err != nil {
		t.Fatal(err)
	}
	_, err = db.Publish(ctx, st.ID, p.ID, 0, studio.Publication{Purpose: studio.Release, Version: 1, Report: json.RawMessage(`{}`),
		Left: []studio.ErrorLeft{{Code: "x", Row: 0, Reason: "y"}}})
	if err != nil {
		t.Fatal(err)
	}
	conn, err := pgx.Connect(ctx, url)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.Background())
	for _, sql := range []string{
		`UPDATE revision SET manuscript = 'other'`, `UPDATE revision_row SET text = 'other'`, `UPDATE revision_size SET label = 'other'`,
		`UPDATE waiver SET reason = 'other'`, `DELETE FROM revision_row`, `DELETE FROM waiver`, `DELETE FROM revision`,
		`DELETE FROM pattern`, `DELETE FROM studio`, `DELETE FROM row_identity`,
	} {
		if _, err := conn.Exec(ctx, sql); err == nil {
			t.Errorf("the database let this happen: %s", sql)
		}
	}
	for _, sql := range []string{ // the rules it states itself
		`UPDATE pattern SET state = 'sold'`, `UPDATE pattern SET slug = 'A B'`, `UPDATE pattern SET version = 0`,
		`UPDATE size SET retired = true WHERE ordinal = 0`, `UPDATE size SET ordinal = 1`, `INSERT INTO row_parent SELECT id, id FROM row_identity`,
		`UPDATE snapshot SET reason = 'conflict'`, `UPDATE gauge SET sts = -1`,
		`INSERT INTO account (studio_id, email, password_hash, role) SELECT id, 'A@b.c', '$argon2id$', 'owner' FROM studio`,
	} {
		if _, err := conn.Exec(ctx, sql); err == nil {
			t.Errorf("the database let this happen: %s", sql)
		}
	}
}

func TestThinning(t *testing.T) {
	b := newBench(t)
	ctx := t.Context()
	p := b.create("start")
	for i := range 2*50 + 5 { // past two thinnings in passing, which find all of them young
		got, err := b.trySave(p.ID, p.Version, strings.Repeat("k", i+1), studio.Autosaved)
		if err != nil {
			t.Fatal(err)
		}
		p = got
		if i == 40 {
			if _, err := b.publish(p, studio.Test); err == nil || !errors.Is(err, studio.ErrInvalid) {
				t.Fatalf("counts for rows that are not there: got %v", err)
			}
			_, err := b.db.Publish(ctx, b.studio, p.ID, 0, studio.Publication{Purpose: studio.Test, Version: p.Version, Report: json.RawMessage(`{}`)})
			if err != nil {
				t.Fatal(err)
			}
		}
	}
	if _, err := b.trySave(p.ID, 30, "lost", studio.Autosaved); !errors.Is(err, studio.ErrConflict) {
		t.Fatal(err)
	}
	if n, err := b.db.ThinSnapshots(ctx, time.Now()); err != nil || n != 0 {
		t.Errorf("thinning at once: got %d, %v", n, err)
	}
	n, err := b.db.ThinSnapshots(ctx, time.Now().Add(48*time.Hour))
	if err != nil || n < 95 {
		t.Errorf("thinning in two days: got %d, %v", n, err)
	}
	snaps, err := b.db.Snapshots(ctx, b.studio, p.ID)
	if err != nil {
		t.Fatal(err)
	}
	kept := map[int]bool{}
	for _, s := range snaps {
		kept[s.Version] = true
	}
	for _, v := range []int{0, 1, 30, 42, p.Version} { // lost, first, base of the lost one, published, last
		if !kept[v] {
			t.Errorf("version %d was thinned away; left %v", v, kept)
		}
	}
	p, err = b.db.Undo(ctx, b.studio, p.ID, p.Version, 0, project)
	if err != nil {
		t.Fatalf("Undo after thinning: %v", err)
	}
	for p.CanUndo {
		if p, err = b.db.Undo(ctx, b.studio, p.ID, p.Version, 0, project); err != nil {
			t.Fatal(err)
		}
	}
	if p.Manuscript != "start" {
		t.Errorf("undone as far as it goes: got %q", p.Manuscript)
	}
}

func TestNewerSchemaIsRefused(t *testing.T) {
	t.Parallel()
	url := storetest.URL(t)
	conn, err := pgx.Connect(t.Context(), url)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.Background())
	if _, err := conn.Exec(t.Context(), `INSERT INTO goose_db_version (version_id, is_applied) VALUES (900, true)`); err != nil {
		t.Fatal(err)
	}
	_, err = store.Open(t.Context(), url)
	if err == nil || !strings.Contains(err.Error(), "newer rowproof") {
		t.Errorf("Open of a newer schema: got %v", err)
	}
	_, err = store.Open(t.Context(), "postgres://me:secret@[bad/x")
	if err == nil || strings.Contains(err.Error(), "secret") {
		t.Errorf("Open of no address: got %v", err)
	}
}
