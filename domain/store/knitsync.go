package store

import (
	"context"
	"errors"
	"time"

	"github.com/jackc/pgx/v5"

	"rowproof/domain/studio"
)

// KnitEvent is something noted on a knitter's device. Exactly one of Place and Erratum
// is set, or neither for what could not be read: Problem says why.
type KnitEvent struct {
	Seq     int64
	At      time.Time
	Kind    string
	Place   *studio.Place
	Erratum *studio.NewErratum
	Photo   *Picture
	Problem string
}

// Taken is what became of a device's events.
type Taken struct {
	Upto    int64            // all events up to this number have arrived
	Refused map[int64]string // of those just taken, what could not be used, with the reason
}

// TakeEvents takes what was noted on a device, in the order of its numbers, each once:
// those that came before are passed over, and what stands behind a gap waits until the gap
// is closed. An event that cannot be used is taken, too, with its reason, so that it does
// not hold up the others. A device is known by its uuid and belongs to one knitter.
func (db *DB) TakeEvents(ctx context.Context, k studio.Knitter, device string, events []KnitEvent) (Taken, error) {
	out := Taken{Refused: map[int64]string{}}
	err := db.inTx(ctx, func(tx pgx.Tx) error {
		var err error
		// The row is locked by the update, so that two requests of one device take turns.
		out.Upto, err = value[int64](ctx, tx, `
			INSERT INTO knit_device (knitter_id, device) VALUES (@k, @device::uuid)
			ON CONFLICT (knitter_id, device) DO UPDATE SET upto = knit_device.upto
			RETURNING upto`, args{"k": k.ID, "device": device})
		if err != nil {
			return err
		}
		for _, e := range events {
			if e.Seq <= out.Upto {
				continue
			}
			if e.Seq != out.Upto+1 {
				break
			}
			problem, err := takeEvent(ctx, tx, k, e)
			if err != nil {
				return err
			}
			if problem != "" {
				out.Refused[e.Seq] = problem
			}
			_, err = tx.Exec(ctx, `
				INSERT INTO progress_event (knitter_id, device, seq, kind, at, problem) VALUES (@k, @device::uuid, @seq, @kind, @at, @problem)`,
				args{"k": k.ID, "device": device, "seq": e.Seq, "kind": e.Kind, "at": e.At, "problem": problem})
			if err != nil {
				return err
			}
			out.Upto = e.Seq
		}
		_, err = tx.Exec(ctx, `UPDATE knit_device SET upto = @upto WHERE knitter_id = @k AND device = @device::uuid`,
			args{"k": k.ID, "device": device, "upto": out.Upto})
		return err
	})
	return out, fail(err, "taking the notes of knitter %d", k.ID)
}

// takeEvent does what an event says. What is wrong with the event itself is told in
// problem.
func takeEvent(ctx context.Context, tx pgx.Tx, k studio.Knitter, e KnitEvent) (problem string, err error) {
	switch {
	case e.Erratum != nil:
		err = pgx.BeginFunc(ctx, tx, func(tx pgx.Tx) error { return writeNewErratum(ctx, tx, k, *e.Erratum, e.Photo) })
		var invalid *studio.InvalidError
		if errors.As(err, &invalid) {
			return invalid.Error(), nil
		}
		return "", err
	case e.Place != nil:
		return "", writePlace(ctx, tx, k, *e.Place, e.At)
	}
	if e.Problem == "" {
		return "it says nothing", nil
	}
	return e.Problem, nil
}

// writePlace notes where a knitter is, unless a later word is known.
func writePlace(ctx context.Context, tx pgx.Tx, k studio.Knitter, p studio.Place, at time.Time) error {
	_, err := tx.Exec(ctx, `
		UPDATE knitter SET place_row = (SELECT id FROM row_identity WHERE id = @row::bigint AND pattern_id = @pattern),
			place_words = @words, place_step = @step, place_of = @of, place_at = @at
		WHERE id = @k AND (place_at IS NULL OR place_at <= @at)`,
		args{"k": k.ID, "pattern": k.PatternID, "row": orNull(p.RowID), "words": studio.Clip(p.Words, 300), "step": p.Step, "of": p.Of, "at": at})
	return err
}
