// Package post sends what the studio writes, and does what is due each hour. Letters
// stand in the store's outbox; sending one is a job, which river keeps in the same
// database.
//
//	p, err := post.Start(ctx, db, post.Config{SMTP: smtp}, logger)
//	…
//	err = p.Stop(ctx)
//
// A letter and its job are written in one transaction, so nothing is lost when a process
// is killed, and several processes may share a database: each job is worked by one of
// them. What is promised is at least once: between the mail server's yes and our note of
// it a process can die, and the mail goes out a second time. It has the same Message-ID
// then, by which mail programs know it for the same.
//
// A job ends in one of three ways: the server took the mail; it refused the recipient for
// good (a code from 500), or 12 tries over about eleven hours failed; or there is no
// server, and the letter is kept to be read in the app.
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

	"rowproof/domain/store"
)

// Config says how mail goes out and what else is due.
type Config struct {
	SMTP *SMTP // nil: mail is kept in the outbox
	// Hourly are called one after another at the start and then once an hour, in one of
	// the processes on a database, and once more where one of them failed; each must bear
	// that. They have ten minutes together.
	Hourly []func(ctx context.Context) error

	test testOptions
}

// testOptions shorten what tests would wait for, and break what they want broken.
type testOptions struct {
	retry     func(try int) time.Duration // until the next try
	sweep     time.Duration               // between sweeps
	timeout   time.Duration               // of a job
	rescue    time.Duration               // until a job of a dead process is taken over
	afterSend func()                      // between the mail server's yes and our note
}

const (
	maxTries    = 12               // at sending one message
	sendTime    = 2 * time.Minute  // for connecting, and again for sending; content may be scanned meanwhile
	jobTime     = 5 * time.Minute  // over both
	rescueTime  = 10 * time.Minute // after it, the job of a dead process is taken over
	noteTime    = 10 * time.Second // for noting what became of a message
	hourlyTime  = 10 * time.Minute
	sweepTime   = time.Minute
	mailWorkers = 4 // mails that one process sends at a time
)

// Post sends mail until it is stopped.
type Post struct {
	client *river.Client[pgx.Tx]
}

// Start begins to send what waits in the outbox and becomes the queue of db for what is
// written from now on. ctx bounds the starting alone.
func Start(ctx context.Context, db *store.DB, c Config, logger *slog.Logger) (*Post, error) {
	o := c.test
	if o.sweep == 0 {
		o.sweep = sweepTime
	}
	if o.timeout == 0 {
		o.timeout, o.rescue = jobTime, rescueTime
	}
	workers := river.NewWorkers()
	err := errors.Join(
		river.AddWorkerSafely(workers, &mailWorker{db: db, smtp: c.SMTP, logger: logger, test: o}),
		river.AddWorkerSafely(workers, &sweepWorker{db: db, logger: logger}),
		river.AddWorkerSafely(workers, &hourlyWorker{due: c.Hourly, logger: logger}),
	)
	if err != nil {
		return nil, fmt.Errorf("starting the post: %w", err)
	}
	config := &river.Config{
		Queues:               map[string]river.QueueConfig{river.QueueDefault: {MaxWorkers: mailWorkers}, houseQueue: {MaxWorkers: 1}},
		Workers:              workers,
		JobTimeout:           o.timeout,
		RescueStuckJobsAfter: o.rescue,
		Logger:               slog.New(errorsOnly{logger.Handler()}),
		PeriodicJobs: []*river.PeriodicJob{
			periodic(o.sweep, sweepArgs{}),
			periodic(time.Hour, hourlyArgs{}),
		},
	}
	if o.retry != nil {
		config.RetryPolicy = retryPolicy(o.retry)
		config.FetchPollInterval = 100 * time.Millisecond
		config.TestOnly = true
	}
	client, err := river.NewClient(riverpgxv5.New(db.Pool()), config)
	if err != nil {
		return nil, fmt.Errorf("starting the post: %w", err)
	}
	p := &Post{client: client}
	db.SetQueue(p)
	if err := client.Start(context.WithoutCancel(ctx)); err != nil {
		return nil, fmt.Errorf("starting the post: %w", err)
	}
	// The first sweep at once; the periodic one waits until a process leads the others.
	if err := sweep(ctx, db, client, logger); err != nil {
		return nil, errors.Join(fmt.Errorf("starting the post: %w", err), p.Stop(ctx))
	}
	return p, nil
}

// Stop ends the post: jobs that run may end while ctx lasts, then they are told to give
// up. What waits is sent after the next start. The database must still be open.
func (p *Post) Stop(ctx context.Context) error {
	err := p.client.Stop(ctx)
	if err == nil {
		return nil
	}
	last, cancel := context.WithTimeout(context.WithoutCancel(ctx), time.Second)
	defer cancel()
	if p.client.StopAndCancel(last) == nil {
		return nil
	}
	return fmt.Errorf("stopping the post: a job did not end: %w", err)
}

// Enqueue makes the job of sending a message, in the transaction that writes it. A
// message that has one which is not done gets no second one.
func (p *Post) Enqueue(ctx context.Context, tx pgx.Tx, messageID int64) error {
	if _, err := p.client.InsertTx(ctx, tx, mailArgs{Message: messageID}, nil); err != nil {
		return fmt.Errorf("enqueuing message %d: %w", messageID, err)
	}
	return nil
}

func periodic(every time.Duration, args river.JobArgs) *river.PeriodicJob {
	return river.NewPeriodicJob(river.PeriodicInterval(every), func() (river.JobArgs, *river.InsertOpts) { return args, nil },
		&river.PeriodicJobOpts{RunOnStart: true})
}

// errorsOnly keeps what river tells of its daily work out of the log. A mail that was not
// sent is logged by its worker.
type errorsOnly struct{ slog.Handler }

func (h errorsOnly) Enabled(ctx context.Context, l slog.Level) bool {
	return l >= slog.LevelError && h.Handler.Enabled(ctx, l)
}

func (h errorsOnly) WithAttrs(as []slog.Attr) slog.Handler {
	return errorsOnly{h.Handler.WithAttrs(as)}
}

func (h errorsOnly) WithGroup(name string) slog.Handler { return errorsOnly{h.Handler.WithGroup(name)} }
