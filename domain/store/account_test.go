package store_test

import (
	"errors"
	"sync"
	"testing"
	"time"

	"rowproof/domain/store/storetest"
	"rowproof/domain/studio"
)

func TestFirstAccountIsMadeOnce(t *testing.T) {
	t.Parallel()
	db := storetest.New(t)
	ctx := t.Context()
	if there, err := db.HasAccount(ctx); err != nil || there {
		t.Fatalf("HasAccount of a new installation: got %v, %v", there, err)
	}
	var wg sync.WaitGroup
	errs := make([]error, 4)
	for i := range errs {
		wg.Go(func() {
			st, err := db.EnsureStudio(ctx, "Lindgrove Knits")
			if err != nil {
				errs[i] = err
				return
			}
			_, errs[i] = db.CreateFirstAccount(ctx, st.ID, studio.NewAccount{Email: string(rune('a'+i)) + "@example.org", Password: password})
		})
	}
	wg.Wait()
	made := 0
	for _, err := range errs {
		if err == nil {
			made++
		} else if !errors.Is(err, studio.ErrTaken) {
			t.Errorf("got %v, want ErrTaken", err)
		}
	}
	if made != 1 {
		t.Errorf("%d first accounts were made", made)
	}
	if there, err := db.HasAccount(ctx); err != nil || !there {
		t.Errorf("HasAccount: got %v, %v", there, err)
	}
}

func TestAuthenticate(t *testing.T) {
	b := newBench(t)
	ctx := t.Context()
	if b.owner.Email != "runa@example.org" || b.owner.Role != studio.Owner || !b.owner.MayPublish() {
		t.Errorf("the owner: got %+v", b.owner)
	}
	got, err := b.db.Authenticate(ctx, " RUNA@example.org", password)
	if err != nil || got != b.owner {
		t.Errorf("Authenticate: got %+v, %v", got, err)
	}
	for _, test := range []struct{ email, password string }{
		{"runa@example.org", "twelve purl row"}, {"runa@example.org", ""}, {"nobody@example.org", password}, {"no address", password},
	} {
		_, err := b.db.Authenticate(ctx, test.email, test.password)
		wantErr(t, "Authenticate("+test.email+", "+test.password+")", err, studio.ErrNotFound)
	}
	if got, err := b.db.FindAccountByEmail(ctx, "Runa@Example.ORG"); err != nil || got != b.owner {
		t.Errorf("FindAccountByEmail: got %+v, %v", got, err)
	}
	if got, err := b.db.Account(ctx, b.owner.ID); err != nil || got != b.owner {
		t.Errorf("Account: got %+v, %v", got, err)
	}
	_, err = b.db.SetPassword(ctx, b.studio, b.owner.ID, "short")
	wantErr(t, "a short password", err, studio.ErrInvalid)
	_, err = b.db.SetPassword(ctx, b.studio+1, b.owner.ID, "thirteen knit rows")
	wantErr(t, "another studio's SetPassword", err, studio.ErrNotFound)
	if changed, err := b.db.SetPassword(ctx, b.studio, b.owner.ID, "thirteen knit rows"); err != nil || changed.Seal == got.Seal {
		t.Fatalf("SetPassword: seal %q, was %q, error %v", changed.Seal, got.Seal, err)
	}
	_, err = b.db.Authenticate(ctx, "runa@example.org", password)
	wantErr(t, "the old password", err, studio.ErrNotFound)
}

func TestStudioSettings(t *testing.T) {
	b := newBench(t)
	ctx := t.Context()
	want := studio.Studio{ID: b.studio, Name: "Lindgrove", Settings: studio.Settings{Author: "Runa Holt", Paper: "letter", Units: "imperial"}}
	if err := b.db.UpdateStudio(ctx, want); err != nil {
		t.Fatal(err)
	}
	if got, err := b.db.Studio(ctx, b.studio); err != nil || got != want {
		t.Errorf("Studio: got %+v, %v", got, err)
	}
	if got, err := b.db.EnsureStudio(ctx, "Another"); err != nil || got != want {
		t.Errorf("EnsureStudio of one there: got %+v, %v", got, err)
	}
	want.Settings.Paper = "papyrus"
	wantErr(t, "no such paper", b.db.UpdateStudio(ctx, want), studio.ErrInvalid)
}

func TestSessionStore(t *testing.T) {
	t.Parallel()
	db := storetest.New(t)
	s := db.SessionStore()
	if err := s.Commit("token", []byte("data"), time.Now().Add(time.Hour)); err != nil {
		t.Fatal(err)
	}
	if err := s.Commit("stale", []byte("data"), time.Now().Add(-time.Hour)); err != nil {
		t.Fatal(err)
	}
	if got, found, err := s.Find("token"); err != nil || !found || string(got) != "data" {
		t.Errorf("Find: got %q, %v, %v", got, found, err)
	}
	if _, found, err := s.Find("stale"); err != nil || found {
		t.Errorf("Find of an expired session: got %v, %v", found, err)
	}
	if n, err := db.DeleteExpiredSessions(t.Context()); err != nil || n != 1 {
		t.Errorf("DeleteExpiredSessions: got %d, %v", n, err)
	}
	if err := s.Delete("token"); err != nil {
		t.Fatal(err)
	}
	if _, found, err := s.Find("token"); err != nil || found {
		t.Errorf("Find of a deleted session: got %v, %v", found, err)
	}
}
