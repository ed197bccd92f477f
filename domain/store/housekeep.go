package store

import (
	"context"
	"log/slog"
	"time"
)

const (
	sessionSweep  = 5 * time.Minute
	snapshotSweep = time.Hour
)

// Housekeep takes out expired sessions every five minutes and spare autosaves
// every hour, beginning at once, until ctx ends. What fails is logged and tried
// again in its turn. Several processes may do it on one database.
func (db *DB) Housekeep(ctx context.Context, logger *slog.Logger) {
	sessions, snapshots := time.NewTicker(sessionSweep), time.NewTicker(snapshotSweep)
	defer sessions.Stop()
	defer snapshots.Stop()
	sweep := func(what string, f func() (int, error)) {
		n, err := f()
		if err != nil && ctx.Err() == nil {
			logger.Error("housekeeping failed", slog.String("of", what), slog.Any("error", err))
		} else if n > 0 {
			logger.Info("housekeeping", slog.String("of", what), slog.Int("removed", n))
		}
	}
	sweepSessions := func() { sweep("sessions", func() (int, error) { return db.DeleteExpiredSessions(ctx) }) }
	sweepSnapshots := func() { sweep("autosaves", func() (int, error) { return db.ThinSnapshots(ctx, now()) }) }
	sweepSessions()
	sweepSnapshots()
	for {
		select {
		case <-ctx.Done():
			return
		case <-sessions.C:
			sweepSessions()
		case <-snapshots.C:
			sweepSnapshots()
		}
	}
}

// DeleteExpiredSessions takes out the sessions that are past their time, and
// returns how many.
func (db *DB) DeleteExpiredSessions(ctx context.Context) (int, error) {
	tag, err := db.pool.Exec(ctx, `DELETE FROM sessions WHERE expiry < now()`)
	return int(tag.RowsAffected()), fail(err, "sweeping sessions")
}
