package store_test

import (
	"context"
	"errors"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"rowproof/domain/store"
	"rowproof/domain/store/storetest"
	"rowproof/domain/studio"
)

func reminder(key string) studio.Letter {
	return studio.Letter{Kind: "reminder", Key: key, ToEmail: "Wilma@Ditch.example", ToName: " Wilma  Ørsted ", Subject: "Ditch Scarf: reports are due",
		Body: "Dear Wilma,\r\nit is time.\n", Calendar: "BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n", UnsubscribeURL: "https://knit.example/stop/x"}
}

// jobs notes what was enqueued, in a table of the same database and transaction.
type jobs struct{ err error }

func (j jobs) Enqueue(ctx context.Context, tx pgx.Tx, id int64) error {
	if j.err != nil {
		return j.err
	}
	_, err := tx.Exec(ctx, `INSERT INTO river_job (kind, args, max_attempts, state) VALUES ('mail', jsonb_build_object('message', $1::bigint), 12, 'available')`, id)
	return err
}

func TestLettersAreWrittenOnceAndWhole(t *testing.T) {
	b := newBench(t)
	ctx := t.Context()
	for range 2 {
		if err := b.db.WriteLetter(ctx, b.studio, reminder("reminder-7:knitter-12")); err != nil {
			t.Fatal(err)
		}
	}
	// Without a key as often as asked.
	for range 2 {
		if err := b.db.WriteLetter(ctx, b.studio, reminder("")); err != nil {
			t.Fatal(err)
		}
	}
	all, err := b.db.Messages(ctx, b.studio, 0, 10)
	if err != nil || len(all) != 3 {
		t.Fatalf("Messages: %d, %v; want 3", len(all), err)
	}
	if all[0].ID < all[2].ID || all[0].Body != "" || all[0].MessageID == all[1].MessageID || len(all[0].MessageID) != 32 {
		t.Errorf("the list is %+v", all)
	}
	m, err := b.db.Message(ctx, b.studio, all[2].ID)
	if err != nil {
		t.Fatal(err)
	}
	want := reminder("reminder-7:knitter-12")
	want.ToEmail, want.ToName, want.Body = "wilma@ditch.example", "Wilma Ørsted", "Dear Wilma,\nit is time.\n"
	if !reflect.DeepEqual(m.Letter, want) || m.State != studio.MessageWaiting || m.SentAt != nil || time.Since(m.QueuedAt) > time.Minute {
		t.Errorf("kept\n%+v\nwant\n%+v", m, want)
	}
	if page, err := b.db.Messages(ctx, b.studio, all[0].ID, 1); err != nil || len(page) != 1 || page[0].ID != all[1].ID {
		t.Errorf("the next page: %+v, %v", page, err)
	}
	_, err = b.db.Message(ctx, b.studio+1, m.ID)
	wantErr(t, "another studio's message", err, studio.ErrNotFound)
	if other, err := b.db.Messages(ctx, b.studio+1, 0, 10); err != nil || len(other) != 0 {
		t.Errorf("another studio's messages: %+v, %v", other, err)
	}
	wantErr(t, "a letter of no studio", b.db.WriteLetter(ctx, b.studio+1, reminder("")), studio.ErrNotFound)
	bad := reminder("")
	bad.Subject = "Hello\r\nBcc: everyone@ditch.example"
	wantErr(t, "a subject of two lines", b.db.WriteLetter(ctx, b.studio, bad), studio.ErrInvalid)
}

func TestLetterAndJobAreOneTransaction(t *testing.T) {
	b := newBench(t)
	ctx := t.Context()
	waiting := func() []int64 {
		t.Helper()
		ids, err := b.db.WaitingMessages(ctx)
		if err != nil {
			t.Fatal(err)
		}
		return ids
	}
	if err := b.db.WriteLetter(ctx, b.studio, reminder("before")); err != nil {
		t.Fatal(err)
	}
	before := waiting()
	if len(before) != 1 {
		t.Fatalf("without a queue %v wait without a job", before)
	}
	b.db.SetQueue(jobs{})
	if err := b.db.WriteLetter(ctx, b.studio, reminder("after")); err != nil {
		t.Fatal(err)
	}
	if got := waiting(); !slices.Equal(got, before) {
		t.Errorf("with a queue %v wait without a job, want %v", got, before)
	}
	broken := errors.New("no more jobs")
	b.db.SetQueue(jobs{broken})
	wantErr(t, "a letter whose job is refused", b.db.WriteLetter(ctx, b.studio, reminder("lost")), broken)
	if all, err := b.db.Messages(ctx, b.studio, 0, 10); err != nil || len(all) != 2 {
		t.Errorf("after it there are %d messages, %v; want 2", len(all), err)
	}
	b.db.SetQueue(nil)
	if err := b.db.WriteLetter(ctx, b.studio, reminder("lost")); err != nil {
		t.Errorf("its key is taken: %v", err)
	}
}

func TestWhatBecomesOfAMessage(t *testing.T) {
	b := newBench(t)
	ctx := t.Context()
	write := func() int64 {
		t.Helper()
		if err := b.db.WriteLetter(ctx, b.studio, reminder("")); err != nil {
			t.Fatal(err)
		}
		all, err := b.db.Messages(ctx, b.studio, 0, 1)
		if err != nil {
			t.Fatal(err)
		}
		return all[0].ID
	}
	is := func(id int64, state studio.MessageState, attempts int, problem string) {
		t.Helper()
		m, err := b.db.MessageToSend(ctx, id)
		if err != nil || m.State != state || m.Attempts != attempts || m.Problem != problem || (m.SentAt != nil) != (state == studio.MessageSent) {
			t.Errorf("message %d is %s after %d tries, %q, sent %v, error %v; want %s after %d, %q", id, m.State, m.Attempts, m.Problem, m.SentAt, err, state, attempts, problem)
		}
	}
	sent := write()
	for _, err := range []error{b.db.MarkTried(ctx, sent, "451 later\x00"), b.db.MarkSent(ctx, sent)} {
		if err != nil {
			t.Error(err)
		}
	}
	is(sent, studio.MessageSent, 2, "")
	wantErr(t, "sent twice", b.db.MarkSent(ctx, sent), studio.ErrNotFound)
	wantErr(t, "failed after it was sent", b.db.MarkFailed(ctx, sent, "550 no"), studio.ErrNotFound)
	wantErr(t, "sending again what was sent", b.db.Resend(ctx, b.studio, sent), studio.ErrConflict)

	failed := write()
	if err := b.db.MarkTried(ctx, failed, "451 later"); err != nil {
		t.Error(err)
	}
	is(failed, studio.MessageWaiting, 1, "451 later")
	wantErr(t, "sending again what waits", b.db.Resend(ctx, b.studio, failed), studio.ErrConflict)
	if err := b.db.MarkFailed(ctx, failed, strings.Repeat("é", 3000)); err != nil {
		t.Error(err)
	}
	is(failed, studio.MessageFailed, 2, strings.Repeat("é", 1999)+"…")
	wantErr(t, "another studio's Resend", b.db.Resend(ctx, b.studio+1, failed), studio.ErrNotFound)
	if err := b.db.Resend(ctx, b.studio, failed); err != nil {
		t.Error(err)
	}
	is(failed, studio.MessageWaiting, 0, "")

	kept := write()
	if err := b.db.MarkKept(ctx, kept); err != nil {
		t.Error(err)
	}
	is(kept, studio.MessageKept, 0, "")
	if err := b.db.Resend(ctx, b.studio, kept); err != nil {
		t.Error(err)
	}
	is(kept, studio.MessageWaiting, 0, "")
}

// A pool of one connection would wait for itself while migrating.
func TestOpenWithOneConnection(t *testing.T) {
	t.Parallel()
	url := storetest.URL(t)
	sep := "?"
	if strings.Contains(url, "?") {
		sep = "&"
	}
	conn, err := pgx.Connect(t.Context(), url)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.Background())
	if _, err := conn.Exec(t.Context(), `DROP SCHEMA public CASCADE; CREATE SCHEMA public`); err != nil {
		t.Fatal(err)
	}
	db, err := store.Open(t.Context(), url+sep+"pool_max_conns=1")
	if err != nil {
		t.Fatal(err)
	}
	db.Close()
}
