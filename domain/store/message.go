package store

import (
	"context"
	"errors"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"

	"rowproof/domain/studio"
)

// The outbox: WriteLetter, Messages, Message, Resend, and writeLetter for the other
// transactions of the store. For package post, which sends for every studio of the
// database: SetQueue, Pool, MessageToSend, WaitingMessages, MarkSent, MarkTried,
// MarkFailed, MarkKept.

// Queue takes the job of sending a message, inside the transaction that writes it: both
// are there afterwards, or neither is.
type Queue interface {
	Enqueue(ctx context.Context, tx pgx.Tx, messageID int64) error
}

// SetQueue says who sends what is written from now on; nil: nobody, it waits in the outbox.
func (db *DB) SetQueue(q Queue) {
	if q == nil {
		db.queue.Store(nil)
		return
	}
	db.queue.Store(&q)
}

// Pool lends the connections to package post, whose jobs river keeps in this database.
// Nobody else asks for it: SQL of ours stands in this package.
func (db *DB) Pool() *pgxpool.Pool { return db.pool }

// enqueue puts a message on its way, if there is a queue.
func (db *DB) enqueue(ctx context.Context, tx pgx.Tx, messageID int64) error {
	q := db.queue.Load()
	if q == nil {
		return nil
	}
	return (*q).Enqueue(ctx, tx, messageID)
}

// WriteLetter writes a letter and puts it on its way. One whose key was written before is
// quietly not written again. A letter that cannot be sent is a [studio.InvalidError].
func (db *DB) WriteLetter(ctx context.Context, studioID int64, l studio.Letter) error {
	err := db.inTx(ctx, func(tx pgx.Tx) error { return db.writeLetter(ctx, tx, studioID, l) })
	return fail(err, "writing a letter of studio %d", studioID)
}

// writeLetter is WriteLetter inside another change, which it tells of.
func (db *DB) writeLetter(ctx context.Context, tx pgx.Tx, studioID int64, l studio.Letter) error {
	l, err := l.Validate()
	if err != nil {
		return err
	}
	var key *string
	if l.Key != "" {
		key = &l.Key
	}
	id, err := value[int64](ctx, tx, `
		INSERT INTO message (studio_id, key, kind, to_email, to_name, subject, body, calendar, unsubscribe_url)
		SELECT id, @key::text, @kind, @email, @name, @subject, @body, @calendar, @unsubscribe FROM studio WHERE id = @studio
		ON CONFLICT (studio_id, key) DO NOTHING
		RETURNING id`,
		args{"studio": studioID, "key": key, "kind": l.Kind, "email": l.ToEmail, "name": l.ToName, "subject": l.Subject, "body": l.Body,
			"calendar": l.Calendar, "unsubscribe": l.UnsubscribeURL})
	if errors.Is(err, studio.ErrNotFound) && key != nil {
		return nil // written before
	}
	if err != nil {
		return err
	}
	return db.enqueue(ctx, tx, id)
}

type messageRow struct {
	ID, StudioID                                              int64
	Key, Kind, ToEmail, ToName, Subject                       string
	Body, Calendar, UnsubscribeURL, MessageID, State, Problem string
	Attempts                                                  int
	CreatedAt, QueuedAt                                       time.Time
	SentAt                                                    *time.Time
}

func (r messageRow) domain() studio.Message {
	return studio.Message{
		Letter: studio.Letter{Kind: r.Kind, Key: r.Key, ToEmail: r.ToEmail, ToName: r.ToName, Subject: r.Subject, Body: r.Body,
			Calendar: r.Calendar, UnsubscribeURL: r.UnsubscribeURL},
		ID: r.ID, StudioID: r.StudioID, MessageID: r.MessageID, State: studio.MessageState(r.State), Attempts: r.Attempts, Problem: r.Problem,
		CreatedAt: r.CreatedAt, QueuedAt: r.QueuedAt, SentAt: r.SentAt,
	}
}

// messageHead selects a messageRow without the columns that are long.
const messageHead = `id, studio_id, coalesce(key, '') AS key, kind, to_email, to_name, subject, message_id, state, attempts, problem, created_at, queued_at, sent_at`

// Messages lists the studio's messages, newest first and at most limit of them, without
// body and calendar: those older than the message with the id before, or the newest where
// it is 0.
func (db *DB) Messages(ctx context.Context, studioID, before int64, limit int) ([]studio.Message, error) {
	rows, err := list[messageRow](ctx, db.pool, `
		SELECT `+messageHead+`, '' AS body, '' AS calendar, unsubscribe_url FROM message
		WHERE studio_id = @studio AND (@before::bigint = 0 OR id < @before::bigint)
		ORDER BY id DESC LIMIT @limit`, args{"studio": studioID, "before": before, "limit": limit})
	out := make([]studio.Message, len(rows))
	for i, r := range rows {
		out[i] = r.domain()
	}
	return out, fail(err, "listing the messages of studio %d", studioID)
}

const messageSelect = `SELECT ` + messageHead + `, body, calendar, unsubscribe_url FROM message`

// Message returns a message whole.
func (db *DB) Message(ctx context.Context, studioID, messageID int64) (studio.Message, error) {
	r, err := one[messageRow](ctx, db.pool, messageSelect+` WHERE studio_id = @studio AND id = @id`, args{"studio": studioID, "id": messageID})
	return r.domain(), fail(err, "reading message %d", messageID)
}

// Resend puts a message on its way again that failed or was kept; one that waits or was
// sent is studio.ErrConflict. Its tries begin anew.
func (db *DB) Resend(ctx context.Context, studioID, messageID int64) error {
	err := db.inTx(ctx, func(tx pgx.Tx) error {
		r, err := one[messageRow](ctx, tx, messageSelect+` WHERE studio_id = @studio AND id = @id FOR UPDATE`, args{"studio": studioID, "id": messageID})
		if err != nil {
			return err
		}
		if !r.domain().MayResend() {
			return studio.ErrConflict
		}
		err = changeOne(ctx, tx, `UPDATE message SET state = 'waiting', attempts = 0, problem = '', queued_at = now() WHERE id = @id`, args{"id": messageID})
		if err != nil {
			return err
		}
		return db.enqueue(ctx, tx, messageID)
	})
	return fail(err, "sending message %d again", messageID)
}

// MessageToSend returns a message of any studio.
func (db *DB) MessageToSend(ctx context.Context, messageID int64) (studio.Message, error) {
	r, err := one[messageRow](ctx, db.pool, messageSelect+` WHERE id = @id`, args{"id": messageID})
	return r.domain(), fail(err, "reading message %d to send it", messageID)
}

// WaitingMessages lists the messages of all studios, oldest first, that wait without a job
// which would send them: they were written while there was no queue, or their job was lost.
func (db *DB) WaitingMessages(ctx context.Context) ([]int64, error) {
	ids, err := values[int64](ctx, db.pool, `
		SELECT m.id FROM message m
		WHERE m.state = 'waiting' AND NOT EXISTS (
			SELECT FROM river_job j
			WHERE j.kind = 'mail' AND j.finalized_at IS NULL AND j.args @> jsonb_build_object('message', m.id))
		ORDER BY m.id LIMIT 1000`, args{})
	return ids, fail(err, "looking for messages that wait")
}

// What is done with the job of a message when its end is noted, in the same transaction: a
// message sent again at once must find no job that seems to run still.
type withJob = func(ctx context.Context, tx pgx.Tx) error

// MarkSent notes that a mail server took a message.
func (db *DB) MarkSent(ctx context.Context, messageID int64, also ...withJob) error {
	return db.mark(ctx, messageID, `state = 'sent', sent_at = now(), attempts = attempts + 1, problem = @problem`, "", also...)
}

// MarkTried notes why a try failed after which there will be others.
func (db *DB) MarkTried(ctx context.Context, messageID int64, problem string) error {
	return db.mark(ctx, messageID, `attempts = attempts + 1, problem = @problem`, problem)
}

// MarkFailed notes that there are no more tries, and why.
func (db *DB) MarkFailed(ctx context.Context, messageID int64, problem string, also ...withJob) error {
	return db.mark(ctx, messageID, `state = 'failed', attempts = attempts + 1, problem = @problem`, problem, also...)
}

// MarkKept notes that there is no mail server: the message is to be read in the app.
func (db *DB) MarkKept(ctx context.Context, messageID int64, also ...withJob) error {
	return db.mark(ctx, messageID, `state = 'kept', problem = @problem`, "", also...)
}

// mark changes a message that waits; any other is studio.ErrNotFound. Of the problem, at
// most 2000 letters are kept.
func (db *DB) mark(ctx context.Context, messageID int64, set, problem string, also ...withJob) error {
	err := db.inTx(ctx, func(tx pgx.Tx) error {
		err := changeOne(ctx, tx, `UPDATE message SET `+set+` WHERE id = @id AND state = 'waiting'`,
			args{"id": messageID, "problem": shortened(studio.CleanManuscript(problem), 2000)})
		for _, f := range also {
			if err == nil {
				err = f(ctx, tx)
			}
		}
		return err
	})
	return fail(err, "noting what became of message %d", messageID)
}

func shortened(s string, letters int) string {
	if r := []rune(s); len(r) > letters {
		return string(r[:letters-1]) + "…"
	}
	return s
}
