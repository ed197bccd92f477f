package store

import (
	"context"
	"fmt"

	"github.com/jackc/pgx/v5"

	"rowproof/domain/studio"
)

// useStands says whether a line of pattern p heads the section of use u: an undo
// takes a placed section out of the text and leaves its row here, and a redo brings
// both together again. The signs cut off are those that a head may carry.
const useStands = `EXISTS (SELECT FROM string_to_table(p.manuscript, E'\n') AS l(line)
	WHERE lower(btrim(l.line, E' \t\r:#*_=')) = lower(u.heading))`

type useRow struct {
	ID             int64
	StitchID       int64
	StitchName     string
	StitchVersion  int
	StitchDeleted  bool
	PatternID      int64
	PatternTitle   string
	PatternDeleted bool
	Heading        string
	Form           studio.StitchForm
	Placed         int
	Answered       int
	Stands         bool
	Was, Now       string
}

// uses selects useRows; what follows narrows them.
const uses = `
	SELECT u.id, u.stitch_id, s.name AS stitch_name, s.version AS stitch_version, s.deleted_at IS NOT NULL AS stitch_deleted,
		u.pattern_id, p.title AS pattern_title, p.deleted_at IS NOT NULL AS pattern_deleted,
		u.heading, u.form, u.placed, u.answered, ` + useStands + ` AS stands, v.manuscript AS was, s.manuscript AS now
	FROM stitch_use u
	JOIN stitch s ON s.id = u.stitch_id AND s.studio_id = @studio
	JOIN pattern p ON p.id = u.pattern_id AND p.studio_id = @studio
	JOIN stitch_version v ON v.stitch_id = u.stitch_id AND v.version = u.answered
	`

func studioUses(rows []useRow) []studio.StitchUse {
	out := make([]studio.StitchUse, len(rows))
	for i, r := range rows {
		out[i] = studio.StitchUse(r)
	}
	return out
}

// StitchUses returns where a stitch is placed, by the title of the pattern.
func (db *DB) StitchUses(ctx context.Context, studioID, stitchID int64) ([]studio.StitchUse, error) {
	rows, err := list[useRow](ctx, db.pool, uses+`WHERE u.stitch_id = @stitch AND p.deleted_at IS NULL ORDER BY p.title, u.id`,
		args{"studio": studioID, "stitch": stitchID})
	return studioUses(rows), fail(err, "reading the uses of stitch %d", stitchID)
}

// PatternStitches returns what is placed in a pattern; 0 stands for all patterns of
// the studio that are not in the bin, of which only uses that lag behind their
// stitch are returned.
func (db *DB) PatternStitches(ctx context.Context, studioID, patternID int64) ([]studio.StitchUse, error) {
	rows, err := list[useRow](ctx, db.pool, uses+`
		WHERE p.deleted_at IS NULL AND (u.pattern_id = @pattern OR @pattern = 0 AND s.version > u.answered)
		ORDER BY u.pattern_id, u.id`, args{"studio": studioID, "pattern": patternID})
	return studioUses(rows), fail(err, "reading the stitches of pattern %d", patternID)
}

// StitchUse returns one use of a stitch in a pattern.
func (db *DB) StitchUse(ctx context.Context, studioID, patternID, useID int64) (studio.StitchUse, error) {
	r, err := one[useRow](ctx, db.pool, uses+`WHERE u.id = @use AND u.pattern_id = @pattern AND p.deleted_at IS NULL`,
		args{"studio": studioID, "use": useID, "pattern": patternID})
	return studio.StitchUse(r), fail(err, "reading use %d of a stitch", useID)
}

// Placing is a stitch put into a pattern: the pattern's new text, which has the
// section, and where the section came from.
type Placing struct {
	Save
	StitchID int64
	Version  int // of the stitch whose rows were written
	Heading  string
	Form     studio.StitchForm
}

// PlaceStitch saves the text of a pattern with a stitch put in, under the rules of
// SavePattern, and notes the use in the same transaction. A save that loses notes none.
func (db *DB) PlaceStitch(ctx context.Context, studioID int64, pl Placing) (studio.Pattern, error) {
	if !pl.Form.Valid() {
		return studio.Pattern{}, fmt.Errorf("BUG: placing stitch %d in the form %q: %w", pl.StitchID, pl.Form, studio.ErrInvalid)
	}
	p, err := db.saveWith(ctx, studioID, pl.Save, func(tx pgx.Tx) error {
		tag, err := tx.Exec(ctx, `
			INSERT INTO stitch_use (stitch_id, pattern_id, heading, form, placed, answered)
			SELECT v.stitch_id, @pattern, @heading, @form, v.version, v.version
			FROM stitch_version v JOIN stitch s ON s.id = v.stitch_id AND s.studio_id = @studio AND s.deleted_at IS NULL
			WHERE v.stitch_id = @stitch AND v.version = @version
			ON CONFLICT ON CONSTRAINT stitch_use_heading_once DO UPDATE
			SET stitch_id = excluded.stitch_id, form = excluded.form, placed = excluded.placed, answered = excluded.answered, placed_at = now()`,
			args{"studio": studioID, "stitch": pl.StitchID, "pattern": pl.PatternID, "version": pl.Version, "heading": pl.Heading, "form": pl.Form})
		if err == nil && tag.RowsAffected() == 0 {
			err = studio.ErrNotFound
		}
		return err
	})
	return p, fail(err, "placing stitch %d in pattern %d", pl.StitchID, pl.PatternID)
}

// TakeStitch saves the text of a pattern with the newer rows of a stitch taken over,
// under the rules of SavePattern, and notes that use useID now holds that version.
func (db *DB) TakeStitch(ctx context.Context, studioID int64, s Save, useID int64, version int) (studio.Pattern, error) {
	p, err := db.saveWith(ctx, studioID, s, func(tx pgx.Tx) error {
		return changeOne(ctx, tx, `
			UPDATE stitch_use u SET placed = @version, answered = @version
			FROM stitch_version v
			WHERE v.stitch_id = u.stitch_id AND v.version = @version AND u.id = @use AND u.pattern_id = @pattern AND u.answered <= @version`,
			args{"version": version, "use": useID, "pattern": s.PatternID})
	})
	return p, fail(err, "taking over version %d of a stitch in pattern %d", version, s.PatternID)
}

// saveWith is SavePattern that writes something more in the same transaction.
func (db *DB) saveWith(ctx context.Context, studioID int64, s Save, more func(tx pgx.Tx) error) (studio.Pattern, error) {
	if !s.Reason.ByCaller() {
		return studio.Pattern{}, fmt.Errorf("BUG: saving pattern %d with the reason %q: %w", s.PatternID, s.Reason, studio.ErrInvalid)
	}
	if err := studio.ValidateManuscript(s.Manuscript, s.Projection); err != nil {
		return studio.Pattern{}, err
	}
	return db.change(ctx, studioID, s.PatternID, func(tx pgx.Tx, p patternRow) (text, studio.Projection, error) {
		t := text{manuscript: s.Manuscript, author: s.AuthorID, reason: s.Reason}
		switch {
		case p.Manuscript == s.Manuscript:
			t = text{}
		case p.Version != s.BaseVersion:
			return keepLoser(ctx, tx, p, t, s.BaseVersion)
		}
		if err := more(tx); err != nil {
			return text{}, studio.Projection{}, err
		}
		return t, s.Projection, nil
	})
}

// KeepStitch notes that a pattern keeps the rows it has, though the stitch has come
// to the given version: the designer is not asked again until it changes once more.
func (db *DB) KeepStitch(ctx context.Context, studioID, patternID, useID int64, version int) error {
	err := changeOne(ctx, db.pool, `
		UPDATE stitch_use u SET answered = @version
		FROM stitch_version v, pattern p
		WHERE v.stitch_id = u.stitch_id AND v.version = @version AND u.id = @use AND u.answered <= @version
			AND p.id = u.pattern_id AND p.id = @pattern AND p.studio_id = @studio AND p.deleted_at IS NULL`,
		args{"studio": studioID, "pattern": patternID, "use": useID, "version": version})
	return fail(err, "keeping the rows of use %d", useID)
}

// copyUses lets a copy of a pattern be told of its stitches as the pattern is.
func copyUses(ctx context.Context, tx pgx.Tx, from, to int64) error {
	_, err := tx.Exec(ctx, `
		INSERT INTO stitch_use (stitch_id, pattern_id, heading, form, placed, answered)
		SELECT stitch_id, @to, heading, form, placed, answered FROM stitch_use WHERE pattern_id = @from`, args{"from": from, "to": to})
	return err
}
