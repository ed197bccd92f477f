package store

import (
	"context"
	"errors"
	"time"

	"github.com/jackc/pgx/v5"

	"rowproof/domain/studio"
)

type patternRow struct {
	ID             int64
	StudioID       int64
	Slug           string
	Title          string
	State          studio.State
	Version        int
	Manuscript     string
	Notes          string
	Errors         int
	Warnings       int
	CopiedFrom     *int64
	Revision       int
	HeadSnapshotID *int64
	CreatedAt      time.Time
	UpdatedAt      time.Time
	DeletedAt      *time.Time
}

func (r patternRow) pattern() studio.Pattern {
	return studio.Pattern{
		ID: r.ID, StudioID: r.StudioID, Slug: r.Slug, Title: r.Title, State: r.State, Version: r.Version,
		Manuscript: r.Manuscript, Notes: r.Notes, Errors: r.Errors, Warnings: r.Warnings, CopiedFrom: orZero(r.CopiedFrom),
		Revision: r.Revision, CreatedAt: r.CreatedAt, UpdatedAt: r.UpdatedAt, DeletedAt: r.DeletedAt,
	}
}

// patternColumns selects a patternRow from pattern p.
const patternColumns = `p.id, p.studio_id, p.slug, p.title, p.state, p.version, p.manuscript, p.notes, p.errors, p.warnings,
	p.copied_from, p.head_snapshot_id, p.created_at, p.updated_at, p.deleted_at,
	coalesce((SELECT max(r.number) FROM revision r WHERE r.pattern_id = p.id), 0) AS revision`

// listColumns is patternColumns without the text.
const listColumns = `p.id, p.studio_id, p.slug, p.title, p.state, p.version, '' AS manuscript, '' AS notes, p.errors, p.warnings,
	p.copied_from, p.head_snapshot_id, p.created_at, p.updated_at, p.deleted_at,
	coalesce((SELECT max(r.number) FROM revision r WHERE r.pattern_id = p.id), 0) AS revision`

// ListPatterns returns the studio's patterns, last changed first, without their texts.
func (db *DB) ListPatterns(ctx context.Context, studioID int64) ([]studio.Pattern, error) {
	return db.listPatterns(ctx, studioID, false)
}

// ListDeleted returns the patterns in the studio's bin, without their texts.
func (db *DB) ListDeleted(ctx context.Context, studioID int64) ([]studio.Pattern, error) {
	return db.listPatterns(ctx, studioID, true)
}

func (db *DB) listPatterns(ctx context.Context, studioID int64, deleted bool) ([]studio.Pattern, error) {
	rows, err := list[patternRow](ctx, db.pool, `
		SELECT `+listColumns+`
		FROM pattern p
		WHERE p.studio_id = @studio AND (p.deleted_at IS NOT NULL) = @deleted
		ORDER BY p.updated_at DESC, p.id DESC`, args{"studio": studioID, "deleted": deleted})
	if err != nil {
		return nil, fail(err, "listing the patterns of studio %d", studioID)
	}
	out := make([]studio.Pattern, len(rows))
	for i, r := range rows {
		out[i] = r.pattern()
	}
	return out, nil
}

// Pattern returns a pattern that is not in the bin.
func (db *DB) Pattern(ctx context.Context, studioID, patternID int64) (studio.Pattern, error) {
	p, err := readPattern(ctx, db.pool, studioID, patternID)
	return p, fail(err, "reading pattern %d", patternID)
}

// PatternBySlug returns a pattern that is not in the bin by its name in addresses.
// A draft's slug can change; for what the editor sends, use the id.
func (db *DB) PatternBySlug(ctx context.Context, studioID int64, slug string) (studio.Pattern, error) {
	id, err := value[int64](ctx, db.pool, `
		SELECT id FROM pattern WHERE studio_id = @studio AND slug = @slug AND deleted_at IS NULL`,
		args{"studio": studioID, "slug": slug})
	if err != nil {
		return studio.Pattern{}, fail(err, "reading pattern %q", slug)
	}
	return db.Pattern(ctx, studioID, id)
}

// readPattern reads a pattern with what can be undone and redone.
func readPattern(ctx context.Context, c conn, studioID, patternID int64) (studio.Pattern, error) {
	r, err := one[patternRow](ctx, c, `
		SELECT `+patternColumns+`
		FROM pattern p
		WHERE p.studio_id = @studio AND p.id = @pattern AND p.deleted_at IS NULL`,
		args{"studio": studioID, "pattern": patternID})
	if err != nil {
		return studio.Pattern{}, err
	}
	p := r.pattern()
	steps, err := readSteps(ctx, c, patternID)
	if err != nil {
		return studio.Pattern{}, err
	}
	_, p.CanUndo = studio.UndoTarget(steps)
	_, p.CanRedo = studio.RedoTarget(steps)
	return p, nil
}

// lockPattern reads a pattern and keeps others from changing it until the
// transaction ends.
func lockPattern(ctx context.Context, tx pgx.Tx, studioID, patternID int64) (patternRow, error) {
	return one[patternRow](ctx, tx, `
		SELECT `+patternColumns+`
		FROM pattern p
		WHERE p.studio_id = @studio AND p.id = @pattern AND p.deleted_at IS NULL
		FOR UPDATE OF p`,
		args{"studio": studioID, "pattern": patternID})
}

// CreatePattern makes a draft from a manuscript, which may be empty. The slug is
// made from the projection's title. authorID is 0 for the program itself.
func (db *DB) CreatePattern(ctx context.Context, studioID int64, manuscript string, p studio.Projection, authorID int64) (studio.Pattern, error) {
	out, err := db.createPattern(ctx, studioID, manuscript, p, authorID, nil)
	return out, fail(err, "making a pattern in studio %d", studioID)
}

// CopyPattern makes a draft with the text of another pattern of the studio, as a
// start for a new one, with the colours of its yarns. Its rows are new rows:
// errata of the one do not reach the other. edit, when not nil, changes the text
// before it is read, to give it another title for example.
func (db *DB) CopyPattern(ctx context.Context, studioID, patternID, authorID int64, edit func(string) string, project studio.Projector) (studio.Pattern, error) {
	from, err := db.Pattern(ctx, studioID, patternID)
	if err != nil {
		return studio.Pattern{}, err
	}
	text := from.Manuscript
	if edit != nil {
		text = edit(text)
	}
	p, err := project(text)
	if err != nil {
		return studio.Pattern{}, fail(err, "copying pattern %d", patternID)
	}
	out, err := db.createPattern(ctx, studioID, text, p, authorID, &patternID)
	return out, fail(err, "copying pattern %d", patternID)
}

func (db *DB) createPattern(ctx context.Context, studioID int64, manuscript string, p studio.Projection, authorID int64, copyOf *int64) (studio.Pattern, error) {
	if err := studio.ValidateManuscript(manuscript, p); err != nil {
		return studio.Pattern{}, err
	}
	var out studio.Pattern
	err := db.withFreeSlug(ctx, studio.Slug(p.ShownTitle()), func(tx pgx.Tx, slug string) error {
		// The SELECT makes a studio that is not there an ErrNotFound.
		id, err := value[int64](ctx, tx, `
			INSERT INTO pattern (studio_id, slug, title, manuscript, copied_from)
			SELECT id, @slug, @title, @manuscript, @copy FROM studio WHERE id = @studio
			RETURNING id`,
			args{"studio": studioID, "slug": slug, "title": p.ShownTitle(), "manuscript": manuscript, "copy": copyOf})
		if err != nil {
			return err
		}
		reason := studio.Created
		if copyOf != nil {
			reason = studio.Copied
		}
		err = appendText(ctx, tx, patternRow{ID: id}, text{manuscript: manuscript, author: authorID, reason: reason}, p)
		if err != nil {
			return err
		}
		if copyOf != nil {
			if err := copyColours(ctx, tx, *copyOf, id); err != nil {
				return err
			}
			if err := copyUses(ctx, tx, *copyOf, id); err != nil {
				return err
			}
		}
		out, err = readPattern(ctx, tx, studioID, id)
		return err
	})
	return out, err
}

// withFreeSlug runs f with slug, or slug-2, slug-3 … that no pattern has. When
// another transaction takes the same one first, it tries the next.
func (db *DB) withFreeSlug(ctx context.Context, slug string, f func(tx pgx.Tx, slug string) error) error {
	for attempt := 0; ; attempt++ {
		err := db.inTx(ctx, func(tx pgx.Tx) error {
			taken, err := values[string](ctx, tx, `SELECT slug FROM pattern WHERE slug = @slug OR slug LIKE @slug || '-%'`,
				args{"slug": slug}) // no letter of a slug is special in LIKE
			if err != nil {
				return err
			}
			used := map[string]bool{}
			for _, t := range taken {
				used[t] = true
			}
			return f(tx, studio.FreeSlug(slug, func(s string) bool { return used[s] }))
		})
		if !violates(err, "pattern_slug_key") || attempt == 20 {
			return err
		}
	}
}

// SetSlug changes the name in addresses of a pattern of which no release is out.
// The slug of another pattern is studio.ErrTaken; after a release it is fixed,
// and the error is studio.ErrForbidden.
func (db *DB) SetSlug(ctx context.Context, studioID, patternID int64, slug string) error {
	if studio.Slug(slug) != slug {
		return &studio.InvalidError{Field: "slug", Problem: "takes lower-case letters, digits and single hyphens"}
	}
	err := db.inTx(ctx, func(tx pgx.Tx) error {
		p, err := lockPattern(ctx, tx, studioID, patternID)
		if err != nil {
			return err
		}
		if p.State.Public() {
			return studio.ErrForbidden
		}
		err = changeOne(ctx, tx, `UPDATE pattern SET slug = @slug WHERE id = @pattern`, args{"slug": slug, "pattern": patternID})
		if violates(err, "pattern_slug_key") {
			return studio.ErrTaken
		}
		return err
	})
	return fail(err, "naming pattern %d", patternID)
}

// DeletePattern puts a pattern in the bin. Its public page goes; nothing else is lost.
func (db *DB) DeletePattern(ctx context.Context, studioID, patternID int64) error {
	err := changeOne(ctx, db.pool, `
		UPDATE pattern SET deleted_at = now() WHERE studio_id = @studio AND id = @pattern AND deleted_at IS NULL`,
		args{"studio": studioID, "pattern": patternID})
	return fail(err, "deleting pattern %d", patternID)
}

// RestorePattern takes a pattern out of the bin, as it was.
func (db *DB) RestorePattern(ctx context.Context, studioID, patternID int64) error {
	err := changeOne(ctx, db.pool, `
		UPDATE pattern SET deleted_at = NULL WHERE studio_id = @studio AND id = @pattern AND deleted_at IS NOT NULL`,
		args{"studio": studioID, "pattern": patternID})
	return fail(err, "restoring pattern %d", patternID)
}

// asConflict unwraps a conflict from an error of a transaction.
func asConflict(err error) (*studio.Conflict, bool) {
	var c *studio.Conflict
	ok := errors.As(err, &c)
	return c, ok
}
