package store

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"rowproof/domain/studio"
)

// The designer's own stitches:
//
//	ListStitches, ListDeletedStitches, Stitch, CreateStitch, SaveStitch, StitchVersions,
//	DeleteStitch, RestoreStitch, StitchGauges, AddStitchGauge, RemoveStitchGauge
//
// and where they are placed (stitch_use.go):
//
//	StitchUses, PatternStitches, StitchUse, PlaceStitch, TakeStitch, KeepStitch

type stitchRow struct {
	ID         int64
	StudioID   int64
	Slug       string
	Name       string
	Version    int
	Manuscript string
	Uses       int
	CreatedAt  time.Time
	UpdatedAt  time.Time
	DeletedAt  *time.Time
}

// stitchColumns selects a stitchRow from stitch s.
const stitchColumns = `s.id, s.studio_id, s.slug, s.name, s.version, s.manuscript, s.created_at, s.updated_at, s.deleted_at,
	(SELECT count(DISTINCT u.pattern_id) FROM stitch_use u JOIN pattern p ON p.id = u.pattern_id
		WHERE u.stitch_id = s.id AND p.deleted_at IS NULL AND ` + useStands + `)::int AS uses`

// ListStitches returns the studio's stitches by name.
func (db *DB) ListStitches(ctx context.Context, studioID int64) ([]studio.Stitch, error) {
	return db.listStitches(ctx, studioID, false)
}

// ListDeletedStitches returns the stitches in the studio's bin.
func (db *DB) ListDeletedStitches(ctx context.Context, studioID int64) ([]studio.Stitch, error) {
	return db.listStitches(ctx, studioID, true)
}

func (db *DB) listStitches(ctx context.Context, studioID int64, deleted bool) ([]studio.Stitch, error) {
	rows, err := list[stitchRow](ctx, db.pool, `
		SELECT `+stitchColumns+`
		FROM stitch s
		WHERE s.studio_id = @studio AND (s.deleted_at IS NOT NULL) = @deleted
		ORDER BY lower(s.name), s.id`, args{"studio": studioID, "deleted": deleted})
	out := make([]studio.Stitch, len(rows))
	for i, r := range rows {
		out[i] = studio.Stitch(r)
	}
	return out, fail(err, "listing the stitches of studio %d", studioID)
}

// Stitch returns a stitch that is not in the bin.
func (db *DB) Stitch(ctx context.Context, studioID, stitchID int64) (studio.Stitch, error) {
	s, err := readStitch(ctx, db.pool, studioID, stitchID)
	return s, fail(err, "reading stitch %d", stitchID)
}

func readStitch(ctx context.Context, c conn, studioID, stitchID int64) (studio.Stitch, error) {
	r, err := one[stitchRow](ctx, c, `
		SELECT `+stitchColumns+`
		FROM stitch s
		WHERE s.studio_id = @studio AND s.id = @stitch AND s.deleted_at IS NULL`,
		args{"studio": studioID, "stitch": stitchID})
	return studio.Stitch(r), err
}

// CreateStitch makes a stitch. A name that another stitch of the studio has is
// studio.ErrTaken. authorID is 0 for the program itself.
func (db *DB) CreateStitch(ctx context.Context, studioID int64, name, manuscript string, authorID int64) (studio.Stitch, error) {
	name, err := studio.ValidateStitch(name, manuscript)
	if err != nil {
		return studio.Stitch{}, err
	}
	var out studio.Stitch
	for attempt := 0; ; attempt++ {
		err = db.inTx(ctx, func(tx pgx.Tx) error {
			slug := studio.StitchSlug(name)
			taken, err := values[string](ctx, tx, `SELECT slug FROM stitch WHERE studio_id = @studio AND (slug = @slug OR slug LIKE @slug || '-%')`,
				args{"studio": studioID, "slug": slug})
			if err != nil {
				return err
			}
			used := map[string]bool{}
			for _, t := range taken {
				used[t] = true
			}
			id, err := value[int64](ctx, tx, `
				INSERT INTO stitch (studio_id, slug, name, manuscript)
				SELECT id, @slug, @name, @manuscript FROM studio WHERE id = @studio
				RETURNING id`,
				args{"studio": studioID, "slug": studio.FreeSlug(slug, func(s string) bool { return used[s] }), "name": name, "manuscript": manuscript})
			if err != nil {
				return err
			}
			if err := addStitchVersion(ctx, tx, id, 1, name, manuscript, authorID); err != nil {
				return err
			}
			out, err = readStitch(ctx, tx, studioID, id)
			return err
		})
		if !violates(err, "stitch_slug_once") || attempt == 20 {
			break
		}
	}
	return out, fail(stitchTaken(err), "making a stitch in studio %d", studioID)
}

func stitchTaken(err error) error {
	if violates(err, "stitch_name_once") {
		return studio.ErrTaken
	}
	return err
}

func addStitchVersion(ctx context.Context, tx pgx.Tx, stitchID int64, version int, name, manuscript string, authorID int64) error {
	_, err := tx.Exec(ctx, `
		INSERT INTO stitch_version (stitch_id, version, name, manuscript, author_id)
		VALUES (@stitch, @version, @name, @manuscript, @author)`,
		args{"stitch": stitchID, "version": version, "name": name, "manuscript": manuscript, "author": orNull(authorID)})
	return err
}

// StitchSave is a new name or text for a stitch.
type StitchSave struct {
	StitchID    int64
	BaseVersion int // version it was written from
	Name        string
	Manuscript  string // cleaned with studio.CleanManuscript
	AuthorID    int64
}

// SaveStitch gives a stitch a new text, or another name. When neither is new, the
// version stays. When BaseVersion is no longer the last, nothing is changed and the
// error is a studio.ErrConflict, unless the other save said the very same.
func (db *DB) SaveStitch(ctx context.Context, studioID int64, s StitchSave) (studio.Stitch, error) {
	name, err := studio.ValidateStitch(s.Name, s.Manuscript)
	if err != nil {
		return studio.Stitch{}, err
	}
	var out studio.Stitch
	err = db.inTx(ctx, func(tx pgx.Tx) error {
		_, err := value[int64](ctx, tx, `SELECT id FROM stitch WHERE studio_id = @studio AND id = @stitch AND deleted_at IS NULL FOR UPDATE`,
			args{"studio": studioID, "stitch": s.StitchID})
		if err != nil {
			return err
		}
		was, err := readStitch(ctx, tx, studioID, s.StitchID)
		if err != nil {
			return err
		}
		switch {
		case was.Name == name && was.Manuscript == s.Manuscript:
			out = was
			return nil
		case was.Version != s.BaseVersion:
			return studio.ErrConflict
		}
		err = changeOne(ctx, tx, `
			UPDATE stitch SET name = @name, manuscript = @manuscript, version = version + 1, updated_at = now()
			WHERE id = @stitch AND version = @base`,
			args{"name": name, "manuscript": s.Manuscript, "stitch": s.StitchID, "base": s.BaseVersion})
		if err != nil {
			return err
		}
		if err := addStitchVersion(ctx, tx, s.StitchID, s.BaseVersion+1, name, s.Manuscript, s.AuthorID); err != nil {
			return err
		}
		out, err = readStitch(ctx, tx, studioID, s.StitchID)
		return err
	})
	return out, fail(stitchTaken(err), "saving stitch %d", s.StitchID)
}

// StitchVersions returns every text a stitch had, newest first.
func (db *DB) StitchVersions(ctx context.Context, studioID, stitchID int64) ([]studio.StitchVersion, error) {
	out, err := list[studio.StitchVersion](ctx, db.pool, `
		SELECT v.version, v.name, v.manuscript, coalesce(nullif(a.name, ''), a.email, '') AS author_name, v.created_at
		FROM stitch_version v
		JOIN stitch s ON s.id = v.stitch_id AND s.studio_id = @studio AND s.deleted_at IS NULL
		LEFT JOIN account a ON a.id = v.author_id
		WHERE v.stitch_id = @stitch
		ORDER BY v.version DESC`, args{"studio": studioID, "stitch": stitchID})
	return out, fail(err, "reading the texts of stitch %d", stitchID)
}

// DeleteStitch puts a stitch in the bin. Patterns keep the rows placed in them.
func (db *DB) DeleteStitch(ctx context.Context, studioID, stitchID int64) error {
	err := changeOne(ctx, db.pool, `
		UPDATE stitch SET deleted_at = now() WHERE studio_id = @studio AND id = @stitch AND deleted_at IS NULL`,
		args{"studio": studioID, "stitch": stitchID})
	return fail(err, "deleting stitch %d", stitchID)
}

// RestoreStitch takes a stitch out of the bin, as it was. When its name is taken
// meanwhile, the error is studio.ErrTaken.
func (db *DB) RestoreStitch(ctx context.Context, studioID, stitchID int64) error {
	err := changeOne(ctx, db.pool, `
		UPDATE stitch SET deleted_at = NULL WHERE studio_id = @studio AND id = @stitch AND deleted_at IS NOT NULL`,
		args{"studio": studioID, "stitch": stitchID})
	return fail(stitchTaken(err), "restoring stitch %d", stitchID)
}

// StitchGauges returns the gauges measured in a stitch, oldest first.
func (db *DB) StitchGauges(ctx context.Context, studioID, stitchID int64) ([]studio.StitchGauge, error) {
	out, err := list[studio.StitchGauge](ctx, db.pool, `
		SELECT g.id, g.yarn, g.needle, coalesce(g.sts, 0)::float8 AS sts, coalesce(g.rows, 0)::float8 AS rows, g.over_cm::float8 AS over_cm, g.note
		FROM stitch_gauge g
		JOIN stitch s ON s.id = g.stitch_id AND s.studio_id = @studio AND s.deleted_at IS NULL
		WHERE g.stitch_id = @stitch
		ORDER BY g.id`, args{"studio": studioID, "stitch": stitchID})
	return out, fail(err, "reading the gauges of stitch %d", stitchID)
}

// AddStitchGauge notes a gauge measured in a stitch.
func (db *DB) AddStitchGauge(ctx context.Context, studioID, stitchID int64, g studio.StitchGauge) (int64, error) {
	if err := g.Validate(); err != nil {
		return 0, err
	}
	var id int64
	err := db.inTx(ctx, func(tx pgx.Tx) error {
		n, err := value[int](ctx, tx, `
			SELECT (SELECT count(*) FROM stitch_gauge g WHERE g.stitch_id = s.id)::int
			FROM stitch s WHERE s.studio_id = @studio AND s.id = @stitch AND s.deleted_at IS NULL FOR UPDATE`,
			args{"studio": studioID, "stitch": stitchID})
		if err != nil {
			return err
		}
		if n >= studio.MostStitchGauges {
			return &studio.InvalidError{Field: "gauge", Problem: "is one more than a stitch can have; remove another first"}
		}
		id, err = value[int64](ctx, tx, `
			INSERT INTO stitch_gauge (stitch_id, yarn, needle, sts, rows, over_cm, note)
			VALUES (@stitch, @yarn, @needle, @sts, @rows, @over, @note)
			RETURNING id`,
			args{"stitch": stitchID, "yarn": g.Yarn, "needle": g.Needle, "sts": orNull(g.Sts), "rows": orNull(g.Rows), "over": g.OverCM, "note": g.Note})
		return err
	})
	return id, fail(err, "noting a gauge of stitch %d", stitchID)
}

// RemoveStitchGauge takes a gauge away for good.
func (db *DB) RemoveStitchGauge(ctx context.Context, studioID, stitchID, gaugeID int64) error {
	err := changeOne(ctx, db.pool, `
		DELETE FROM stitch_gauge g USING stitch s
		WHERE s.id = g.stitch_id AND s.studio_id = @studio AND s.id = @stitch AND s.deleted_at IS NULL AND g.id = @gauge`,
		args{"studio": studioID, "stitch": stitchID, "gauge": gaugeID})
	return fail(err, "removing gauge %d of stitch %d", gaugeID, stitchID)
}
