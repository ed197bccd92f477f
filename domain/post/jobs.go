package post

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/riverqueue/river"
	"github.com/riverqueue/river/riverdriver/riverpgxv5"
	"github.com/riverqueue/river/rivertype"

	"rowproof/domain/store"
	"rowproof/domain/studio"
)

// houseQueue is the queue of what is not mail, so that a slow mail server does not hold
// it up.
const houseQueue = "house"

// undone are the states of a job that is still to be done, in which it is the only one of
// its kind, and of its message.
var undone = []rivertype.JobState{
	rivertype.JobStateAvailable, rivertype.JobStatePending, rivertype.JobStateRunning, rivertype.JobStateRetryable, rivertype.JobStateScheduled,
}

// mailArgs send one message. Kind and key are known to store.WaitingMessages.
type mailArgs struct {
	Message int64 `json:"message"`
}

func (mailArgs) Kind() string { return "mail" }

func (mailArgs) InsertOpts() river.InsertOpts {
	return river.InsertOpts{MaxAttempts: maxTries, UniqueOpts: river.UniqueOpts{ByArgs: true, ByState: undone}}
}

type mailWorker struct {
	river.WorkerDefaults[mailArgs]
	db     *store.DB
	smtp   *SMTP
	logger *slog.Logger
	test   testOptions
}

// Work sends a message and notes what became of it. It may be called again for a message
// that is sent already.
func (w *mailWorker) Work(ctx context.Context, job *river.Job[mailArgs]) error {
	id := job.Args.Message
	m, err := w.db.MessageToSend(ctx, id)
	if errors.Is(err, studio.ErrNotFound) {
		return nil // deleted meanwhile
	}
	if err != nil {
		return err
	}
	if m.State != studio.MessageWaiting {
		return nil
	}
	if w.smtp == nil {
		return w.db.MarkKept(ctx, id, completing(job))
	}
	st, err := w.db.Studio(ctx, m.StudioID)
	if err != nil {
		return err
	}
	err = w.smtp.send(ctx, st.Name, m)
	// What came of it is noted even if we were told to stop meanwhile.
	noting, cancel := context.WithTimeout(context.WithoutCancel(ctx), noteTime)
	defer cancel()
	if err == nil {
		if w.test.afterSend != nil {
			w.test.afterSend()
		}
		return w.db.MarkSent(noting, id, completing(job))
	}
	return w.failed(noting, job, m, err)
}

// completing ends a job in the transaction that notes what became of its message. River
// notes an end by itself only a little later, and until then a message that is sent again
// would get no job, for it seems to have one.
func completing(job *river.Job[mailArgs]) func(context.Context, pgx.Tx) error {
	return func(ctx context.Context, tx pgx.Tx) error {
		_, err := river.JobCompleteTx[*riverpgxv5.Driver](ctx, tx, job)
		if errors.Is(err, rivertype.ErrNotFound) {
			return nil // taken from us meanwhile; what the mail server said holds all the same
		}
		return err
	}
}

// failed notes a try that failed, and returns the error that tells river to try again, or
// nil where there are no more tries.
func (w *mailWorker) failed(ctx context.Context, job *river.Job[mailArgs], m studio.Message, err error) error {
	words, code, forGood := refusal(err)
	log := w.logger.With(slog.Int64("message", m.ID), slog.String("kind", m.Kind), slog.Int("try", m.Attempts+1))
	switch {
	case forGood:
		// The words of the server name the recipient; they stand in the outbox.
		log.Warn("mail refused for good; see the outbox", slog.Int("code", code))
	case m.Attempts+1 >= maxTries:
		log.Warn("mail given up; see the outbox", slog.Int("code", code))
		words = fmt.Sprintf("given up after %d tries: %s", maxTries, words)
	default:
		log.Info("mail not sent yet", slog.Int("code", code))
		return errors.Join(err, w.db.MarkTried(ctx, m.ID, words))
	}
	return w.db.MarkFailed(ctx, m.ID, words, completing(job)) // an error: it is tried again
}

// sweepArgs look for messages that wait without a job.
type sweepArgs struct{}

func (sweepArgs) Kind() string { return "mail-sweep" }

func (sweepArgs) InsertOpts() river.InsertOpts {
	return river.InsertOpts{Queue: houseQueue, MaxAttempts: 1, UniqueOpts: river.UniqueOpts{ByState: undone}}
}

type sweepWorker struct {
	river.WorkerDefaults[sweepArgs]
	db     *store.DB
	logger *slog.Logger
}

func (w *sweepWorker) Work(ctx context.Context, _ *river.Job[sweepArgs]) error {
	return sweep(ctx, w.db, river.ClientFromContext[pgx.Tx](ctx), w.logger)
}

// sweep enqueues what waits without a job.
func sweep(ctx context.Context, db *store.DB, client *river.Client[pgx.Tx], logger *slog.Logger) error {
	ids, err := db.WaitingMessages(ctx)
	if err != nil {
		return err
	}
	for _, id := range ids {
		if _, err := client.Insert(ctx, mailArgs{Message: id}, nil); err != nil {
			return fmt.Errorf("enqueuing message %d: %w", id, err)
		}
	}
	if len(ids) > 0 {
		logger.Info("mail that waited is on its way", slog.Int("messages", len(ids)))
	}
	return nil
}

// hourlyArgs do what is due each hour.
type hourlyArgs struct{}

func (hourlyArgs) Kind() string { return "hourly" }

func (hourlyArgs) InsertOpts() river.InsertOpts {
	return river.InsertOpts{Queue: houseQueue, MaxAttempts: 2, UniqueOpts: river.UniqueOpts{ByState: undone}}
}

type hourlyWorker struct {
	river.WorkerDefaults[hourlyArgs]
	due    []func(context.Context) error
	logger *slog.Logger
}

func (w *hourlyWorker) Timeout(*river.Job[hourlyArgs]) time.Duration { return hourlyTime }

// Work calls all that is due, even where one fails.
func (w *hourlyWorker) Work(ctx context.Context, _ *river.Job[hourlyArgs]) error {
	var all error
	for _, f := range w.due {
		if err := f(ctx); err != nil {
			w.logger.Error("what is due each hour failed", slog.Any("error", err))
			all = errors.Join(all, err)
		}
	}
	return all
}

// retryPolicy is river's own in the app, and a short one in tests.
type retryPolicy func(try int) time.Duration

func (p retryPolicy) NextRetry(job *rivertype.JobRow) time.Time {
	return time.Now().Add(p(job.Attempt))
}
