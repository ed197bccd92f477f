package store

import (
	"context"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"rowproof/domain/studio"
)

type snapshotRow struct {
	ID         int64
	Version    *int
	ParentID   *int64
	ShowsID    *int64
	AuthorID   *int64
	AuthorName string
	Reason     studio.Reason
	CreatedAt  time.Time
	Published  bool
	Manuscript string
}

func (r snapshotRow) snapshot() studio.Snapshot {
	return studio.Snapshot{
		ID: r.ID, Version: orZero(r.Version), ParentID: orZero(r.ParentID), ShowsID: orZero(r.ShowsID),
		AuthorID: orZero(r.AuthorID), AuthorName: r.AuthorName, Reason: r.Reason, CreatedAt: r.CreatedAt,
		Published: r.Published, Manuscript: r.Manuscript,
	}
}

// readSteps reads what the rules of undo, redo and thinning need of a pattern's snapshots.
func readSteps(ctx context.Context, c conn, patternID int64) ([]studio.Snapshot, error) {
	rows, err := list[snapshotRow](ctx, c, `
		SELECT s.id, s.version, s.parent_id, s.shows_id, s.author_id, '' AS author_name, s.reason, s.created_at,
			EXISTS (SELECT FROM revision r WHERE r.snapshot_id = s.id) AS published, '' AS manuscript
		FROM snapshot s
		WHERE s.pattern_id = @pattern
		ORDER BY s.id`, args{"pattern": patternID})
	out := make([]studio.Snapshot, len(rows))
	for i, r := range rows {
		out[i] = r.snapshot()
	}
	return out, err
}

// snapshotColumns selects a snapshotRow from snapshot s left-joined to account a,
// but for the text.
const snapshotColumns = `s.id, s.version, s.parent_id, s.shows_id, s.author_id, coalesce(nullif(a.name, ''), a.email, '') AS author_name,
	s.reason, s.created_at, EXISTS (SELECT FROM revision r WHERE r.snapshot_id = s.id) AS published`

// Snapshots lists a pattern's texts, newest first, without the texts themselves.
func (db *DB) Snapshots(ctx context.Context, studioID, patternID int64) ([]studio.Snapshot, error) {
	rows, err := list[snapshotRow](ctx, db.pool, `
		SELECT `+snapshotColumns+`, '' AS manuscript
		FROM snapshot s LEFT JOIN account a ON a.id = s.author_id
		JOIN pattern p ON p.id = s.pattern_id
		WHERE p.studio_id = @studio AND p.id = @pattern AND p.deleted_at IS NULL
		ORDER BY s.id DESC`, args{"studio": studioID, "pattern": patternID})
	out := make([]studio.Snapshot, len(rows))
	for i, r := range rows {
		out[i] = r.snapshot()
	}
	return out, fail(err, "listing the texts of pattern %d", patternID)
}

// Snapshot returns one of a pattern's texts.
func (db *DB) Snapshot(ctx context.Context, studioID, patternID, snapshotID int64) (studio.Snapshot, error) {
	r, err := one[snapshotRow](ctx, db.pool, `
		SELECT `+snapshotColumns+`, s.manuscript
		FROM snapshot s LEFT JOIN account a ON a.id = s.author_id
		JOIN pattern p ON p.id = s.pattern_id
		WHERE p.studio_id = @studio AND p.id = @pattern AND p.deleted_at IS NULL AND s.id = @snapshot`,
		args{"studio": studioID, "pattern": patternID, "snapshot": snapshotID})
	return r.snapshot(), fail(err, "reading text %d of pattern %d", snapshotID, patternID)
}

// Undo brings back the text from which the one that stands was made, as a new
// version, with the very same rows. baseVersion is the version the person sees; when
// another stands, the error is a [*studio.Conflict]. studio.ErrNothing when
// there is nothing to undo.
func (db *DB) Undo(ctx context.Context, studioID, patternID int64, baseVersion int, authorID int64, project studio.Projector) (studio.Pattern, error) {
	p, err := db.step(ctx, studioID, patternID, baseVersion, authorID, studio.Undone, studio.UndoTarget, project)
	return p, fail(err, "undoing in pattern %d", patternID)
}

// Redo takes back an undo in the way of Undo. studio.ErrNothing when the last thing
// done was not an undo.
func (db *DB) Redo(ctx context.Context, studioID, patternID int64, baseVersion int, authorID int64, project studio.Projector) (studio.Pattern, error) {
	p, err := db.step(ctx, studioID, patternID, baseVersion, authorID, studio.Redone, studio.RedoTarget, project)
	return p, fail(err, "redoing in pattern %d", patternID)
}

func (db *DB) step(ctx context.Context, studioID, patternID int64, baseVersion int, authorID int64, reason studio.Reason,
	target func([]studio.Snapshot) (int64, bool), project studio.Projector) (studio.Pattern, error) {
	return db.change(ctx, studioID, patternID, func(tx pgx.Tx, p patternRow) (text, studio.Projection, error) {
		if p.Version != baseVersion {
			return text{}, studio.Projection{}, passedBy(p, baseVersion)
		}
		steps, err := readSteps(ctx, tx, patternID)
		if err != nil {
			return text{}, studio.Projection{}, err
		}
		id, ok := target(steps)
		if !ok {
			return text{}, studio.Projection{}, studio.ErrNothing
		}
		t, proj, err := oldText(ctx, tx, patternID, id, project)
		t.author, t.reason, t.shows = authorID, reason, id
		return t, proj, err
	})
}

// RestoreSnapshot makes one of a pattern's texts, a lost one too, its next
// version. Conflicts are as for Undo.
func (db *DB) RestoreSnapshot(ctx context.Context, studioID, patternID int64, baseVersion int, snapshotID, authorID int64, project studio.Projector) (studio.Pattern, error) {
	p, err := db.change(ctx, studioID, patternID, func(tx pgx.Tx, p patternRow) (text, studio.Projection, error) {
		if p.Version != baseVersion {
			return text{}, studio.Projection{}, passedBy(p, baseVersion)
		}
		t, proj, err := oldText(ctx, tx, patternID, snapshotID, project)
		t.author, t.reason = authorID, studio.Restored
		return t, proj, err
	})
	return p, fail(err, "restoring text %d of pattern %d", snapshotID, patternID)
}

// passedBy is the conflict of someone who had no text of their own to lose.
func passedBy(p patternRow, baseVersion int) error {
	return &studio.Conflict{PatternID: p.ID, Mine: p.Manuscript, Theirs: p.Manuscript, TheirsVersion: p.Version,
		Base: p.Manuscript, BaseVersion: baseVersion}
}

// oldText reads one of a pattern's texts with the identities its rows had, and projects it.
func oldText(ctx context.Context, tx pgx.Tx, patternID, snapshotID int64, project studio.Projector) (text, studio.Projection, error) {
	s, err := one[struct {
		Manuscript string
		RowIDs     []int64
		Lost       bool
	}](ctx, tx, `
		SELECT manuscript, row_ids, reason = 'conflict' AS lost
		FROM snapshot WHERE id = @snapshot AND pattern_id = @pattern`,
		args{"snapshot": snapshotID, "pattern": patternID})
	if err != nil {
		return text{}, studio.Projection{}, err
	}
	proj, err := project(s.Manuscript)
	if err != nil {
		return text{}, studio.Projection{}, fmt.Errorf("reading the text of snapshot %d: %w", snapshotID, err)
	}
	if err := studio.ValidateManuscript(s.Manuscript, proj); err != nil {
		return text{}, studio.Projection{}, err
	}
	t := text{manuscript: s.Manuscript, rowIDs: s.RowIDs}
	if s.Lost {
		t.rowIDs = nil // a lost text's rows were never identified
	}
	return t, proj, nil
}

// ThinSnapshots takes out the autosaves of all patterns that studio.Thin lets go,
// and returns how many. A pattern's are also thinned in passing as it is saved.
func (db *DB) ThinSnapshots(ctx context.Context, now time.Time) (int, error) {
	ids, err := values[int64](ctx, db.pool, `SELECT id FROM pattern ORDER BY id`, args{})
	if err != nil {
		return 0, fail(err, "thinning autosaves")
	}
	dropped := 0
	for _, id := range ids {
		err := db.inTx(ctx, func(tx pgx.Tx) error {
			before, err := value[int](ctx, tx, `
				SELECT count(s.id)::integer FROM snapshot s
				WHERE s.pattern_id = (SELECT p.id FROM pattern p WHERE p.id = @pattern FOR UPDATE)`, args{"pattern": id})
			if err != nil {
				return err
			}
			if err := thin(ctx, tx, id, now); err != nil {
				return err
			}
			after, err := value[int](ctx, tx, `SELECT count(*)::integer FROM snapshot WHERE pattern_id = @pattern`, args{"pattern": id})
			dropped += before - after
			return err
		})
		if err != nil {
			return dropped, fail(err, "thinning the autosaves of pattern %d", id)
		}
	}
	return dropped, nil
}

// thin takes a pattern's spare autosaves out. The pattern is locked.
func thin(ctx context.Context, tx pgx.Tx, patternID int64, now time.Time) error {
	steps, err := readSteps(ctx, tx, patternID)
	if err != nil {
		return err
	}
	drop, parents := studio.Thin(steps, now)
	if len(drop) == 0 {
		return nil
	}
	var children, news []int64
	for child, parent := range parents {
		children, news = append(children, child), append(news, parent)
	}
	_, err = tx.Exec(ctx, `
		UPDATE snapshot s SET parent_id = nullif(n.parent, 0)
		FROM unnest(@children::bigint[], @parents::bigint[]) AS n (child, parent)
		WHERE s.id = n.child AND s.pattern_id = @pattern`,
		args{"children": children, "parents": news, "pattern": patternID})
	if err != nil {
		return err
	}
	// Those that go may have been made from each other; their links go in the same
	// statement, which checks them at its end.
	_, err = tx.Exec(ctx, `DELETE FROM snapshot WHERE pattern_id = @pattern AND id = ANY (@drop)`,
		args{"pattern": patternID, "drop": drop})
	return err
}
