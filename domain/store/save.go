package store

import (
	"context"
	"errors"
	"fmt"

	"github.com/jackc/pgx/v5"

	"rowproof/domain/studio"
)

// Save is a new text for a pattern.
type Save struct {
	PatternID   int64
	BaseVersion int    // version it was written from
	Manuscript  string // cleaned with studio.CleanManuscript
	Projection  studio.Projection
	AuthorID    int64         // 0 for the program itself
	Reason      studio.Reason // Saved, Autosaved, Mended or Form
}

// SavePattern gives a pattern a new text and returns it as it then stands. When the
// text is not new, the version stays and only what is read off it is written again.
// When BaseVersion is no longer the last, the text is kept as a snapshot beside the
// pattern's own and the error is a [*studio.Conflict] with both texts and the
// last that they had in common; when the other save had the very same text, there
// is no conflict.
func (db *DB) SavePattern(ctx context.Context, studioID int64, s Save) (studio.Pattern, error) {
	if !s.Reason.ByCaller() {
		return studio.Pattern{}, fmt.Errorf("BUG: saving pattern %d with the reason %q: %w", s.PatternID, s.Reason, studio.ErrInvalid)
	}
	if err := studio.ValidateManuscript(s.Manuscript, s.Projection); err != nil {
		return studio.Pattern{}, err
	}
	p, err := db.change(ctx, studioID, s.PatternID, func(tx pgx.Tx, p patternRow) (text, studio.Projection, error) {
		t := text{manuscript: s.Manuscript, author: s.AuthorID, reason: s.Reason}
		if p.Manuscript == s.Manuscript {
			return text{}, s.Projection, nil
		}
		if p.Version != s.BaseVersion {
			return keepLoser(ctx, tx, p, t, s.BaseVersion)
		}
		return t, s.Projection, nil
	})
	return p, fail(err, "saving pattern %d", s.PatternID)
}

// text is a text that a pattern is to have. The zero text stands for the one it has.
type text struct {
	manuscript string
	author     int64
	reason     studio.Reason
	shows      int64   // snapshot whose text it is, for undo and redo
	rowIDs     []int64 // identities of its rows when they are known, else nil
}

// change locks a pattern, asks f for its next text and writes it with all that
// hangs on it. A conflict that f returns is committed, with the loser's text, before it is reported.
func (db *DB) change(ctx context.Context, studioID, patternID int64,
	f func(tx pgx.Tx, p patternRow) (text, studio.Projection, error)) (studio.Pattern, error) {
	var out studio.Pattern
	var conflict *studio.Conflict
	err := db.inTx(ctx, func(tx pgx.Tx) error {
		p, err := lockPattern(ctx, tx, studioID, patternID)
		if err != nil {
			return err
		}
		t, proj, err := f(tx, p)
		if c, ok := asConflict(err); ok {
			conflict = c
			return nil
		}
		if err != nil {
			return err
		}
		if t.reason == "" {
			err = writeProjection(ctx, tx, patternID, p.Version, proj, nil)
		} else {
			err = appendText(ctx, tx, p, t, proj)
		}
		if err != nil {
			return err
		}
		out, err = readPattern(ctx, tx, studioID, patternID)
		return err
	})
	if err == nil && conflict != nil {
		return studio.Pattern{}, conflict
	}
	return out, err
}

// thinEvery is after how many versions a pattern's autosaves are thinned in passing.
const thinEvery = 50

// appendText makes a text the pattern's next version: snapshot, projection, pattern.
// The pattern is locked; version 0 stands for one that was just made.
func appendText(ctx context.Context, tx pgx.Tx, p patternRow, t text, proj studio.Projection) error {
	version := p.Version + 1
	snapshot, err := value[int64](ctx, tx, `
		INSERT INTO snapshot (pattern_id, version, parent_id, shows_id, author_id, reason, manuscript)
		VALUES (@pattern, @version, @parent, @shows, @author, @reason, @manuscript)
		RETURNING id`,
		args{"pattern": p.ID, "version": version, "parent": p.HeadSnapshotID, "shows": orNull(t.shows), "author": orNull(t.author),
			"reason": t.reason, "manuscript": t.manuscript})
	if err != nil {
		return err
	}
	// The lock makes the version in the WHERE clause sure to fit; should a writer
	// ever forget the lock, it loses here and not a text.
	err = changeOne(ctx, tx, `
		UPDATE pattern
		SET version = @version, manuscript = @manuscript, head_snapshot_id = @snapshot, updated_at = now()
		WHERE id = @pattern AND version = @base`,
		args{"pattern": p.ID, "version": version, "base": max(p.Version, 1), "manuscript": t.manuscript, "snapshot": snapshot})
	if err != nil {
		return err
	}
	if err := writeProjection(ctx, tx, p.ID, version, proj, t.rowIDs); err != nil {
		return err
	}
	if version%thinEvery == 0 {
		return thin(ctx, tx, p.ID, now())
	}
	return nil
}

// keepLoser keeps the text of a save that lost and returns the conflict. A stale
// tab that tries again with the same text adds nothing.
func keepLoser(ctx context.Context, tx pgx.Tx, p patternRow, t text, baseVersion int) (text, studio.Projection, error) {
	base, err := one[struct {
		ID         int64
		Version    int
		Manuscript string
	}](ctx, tx, `
		SELECT id, version, manuscript
		FROM snapshot
		WHERE pattern_id = @pattern AND version <= @base
		ORDER BY version DESC LIMIT 1`, args{"pattern": p.ID, "base": baseVersion})
	if errors.Is(err, studio.ErrNotFound) {
		return text{}, studio.Projection{}, &studio.InvalidError{Field: "version", Problem: "is not one of this pattern's"}
	}
	if err != nil {
		return text{}, studio.Projection{}, err
	}
	if baseVersion > p.Version {
		return text{}, studio.Projection{}, &studio.InvalidError{Field: "version", Problem: "is not yet one of this pattern's"}
	}
	same := args{"pattern": p.ID, "parent": base.ID, "author": orNull(t.author), "manuscript": t.manuscript}
	kept, err := value[int64](ctx, tx, `
		SELECT id FROM snapshot
		WHERE pattern_id = @pattern AND reason = 'conflict' AND parent_id = @parent
			AND author_id IS NOT DISTINCT FROM @author::bigint AND manuscript = @manuscript
		ORDER BY id LIMIT 1`, same)
	if errors.Is(err, studio.ErrNotFound) {
		kept, err = value[int64](ctx, tx, `
			INSERT INTO snapshot (pattern_id, parent_id, author_id, reason, manuscript)
			VALUES (@pattern, @parent, @author, 'conflict', @manuscript)
			RETURNING id`, same)
	}
	if err != nil {
		return text{}, studio.Projection{}, err
	}
	author, err := value[string](ctx, tx, `
		SELECT coalesce(nullif(a.name, ''), a.email, '')
		FROM snapshot s LEFT JOIN account a ON a.id = s.author_id
		WHERE s.id = @head`, args{"head": p.HeadSnapshotID})
	if err != nil {
		return text{}, studio.Projection{}, err
	}
	return text{}, studio.Projection{}, &studio.Conflict{
		PatternID: p.ID, Mine: t.manuscript, MineSnapshot: kept,
		Theirs: p.Manuscript, TheirsVersion: p.Version, TheirsAuthor: author,
		Base: base.Manuscript, BaseVersion: base.Version,
	}
}
