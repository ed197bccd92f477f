package store

import (
	"context"
	"strings"
	"time"
	"unicode/utf8"

	"rowproof/domain/studio"
)

// Notes returns the studio's private notes on a pattern, oldest first.
func (db *DB) Notes(ctx context.Context, studioID, patternID int64) ([]studio.Note, error) {
	type row struct {
		ID        int64
		Author    string
		Body      string
		CreatedAt time.Time
		UpdatedAt time.Time
	}
	rows, err := list[row](ctx, db.pool, `
		SELECT t.id, coalesce(nullif(a.name, ''), a.email, '') AS author, t.body, t.created_at, t.updated_at
		FROM note t `+ofPattern+` LEFT JOIN account a ON a.id = t.author_id
		ORDER BY t.id`, args{"studio": studioID, "pattern": patternID})
	out := make([]studio.Note, len(rows))
	for i, r := range rows {
		out[i] = studio.Note(r)
	}
	return out, fail(err, "reading the notes on pattern %d", patternID)
}

// AddNote writes a private note on a pattern and returns its id.
func (db *DB) AddNote(ctx context.Context, studioID, patternID, authorID int64, body string) (int64, error) {
	body, err := noteBody(body)
	if err != nil {
		return 0, err
	}
	id, err := value[int64](ctx, db.pool, `
		INSERT INTO note (pattern_id, author_id, body)
		SELECT p.id, @author, @body FROM pattern p WHERE p.id = @pattern AND p.studio_id = @studio AND p.deleted_at IS NULL
		RETURNING id`,
		args{"studio": studioID, "pattern": patternID, "author": orNull(authorID), "body": body})
	return id, fail(err, "writing a note on pattern %d", patternID)
}

// EditNote changes a private note.
func (db *DB) EditNote(ctx context.Context, studioID, patternID, noteID int64, body string) error {
	body, err := noteBody(body)
	if err != nil {
		return err
	}
	err = changeOne(ctx, db.pool, `
		UPDATE note SET body = @body, updated_at = now()
		WHERE id = (SELECT t.id FROM note t `+ofPattern+` WHERE t.id = @note)`,
		args{"studio": studioID, "pattern": patternID, "note": noteID, "body": body})
	return fail(err, "changing note %d", noteID)
}

// RemoveNote takes a private note away for good.
func (db *DB) RemoveNote(ctx context.Context, studioID, patternID, noteID int64) error {
	err := changeOne(ctx, db.pool, `
		DELETE FROM note WHERE id = (SELECT t.id FROM note t `+ofPattern+` WHERE t.id = @note)`,
		args{"studio": studioID, "pattern": patternID, "note": noteID})
	return fail(err, "removing note %d", noteID)
}

func noteBody(s string) (string, error) {
	s = strings.TrimSpace(studio.CleanManuscript(s))
	if n := utf8.RuneCountInString(s); n == 0 || n > 20000 {
		return "", &studio.InvalidError{Field: "note", Problem: "needs 1 to 20,000 letters"}
	}
	return s, nil
}
