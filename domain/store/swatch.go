package store

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"time"

	"github.com/jackc/pgx/v5"

	"rowproof/domain/studio"
)

// Swatches: ListSwatches, Swatch, CreateSwatch, SaveSwatch, DeleteSwatch, SwatchPhoto.

type swatchRow struct {
	ID, StudioID                                     int64
	StitchID                                         *int64
	StitchName, Stitch, Yarn, Needle, Verdict, Note  string
	BeforeSts, BeforeWidth, BeforeRows, BeforeHeight *float64
	AfterSts, AfterWidth, AfterRows, AfterHeight     *float64
	Grams, WholeWidth, WholeHeight                   *float64
	BallMetres, BallGrams                            *float64
	Version                                          int
	CreatedAt, UpdatedAt                             time.Time
	RsHash, WsHash                                   string
	RsWidth, RsHeight, WsWidth, WsHeight             int
}

func (r swatchRow) domain() studio.Swatch {
	return studio.Swatch{
		ID: r.ID, StudioID: r.StudioID, StitchID: orZero(r.StitchID), StitchName: r.StitchName, Stitch: r.Stitch, Yarn: r.Yarn, Needle: r.Needle,
		Before: studio.Counted{Sts: orZero(r.BeforeSts), Width: orZero(r.BeforeWidth), Rows: orZero(r.BeforeRows), Height: orZero(r.BeforeHeight)},
		After:  studio.Counted{Sts: orZero(r.AfterSts), Width: orZero(r.AfterWidth), Rows: orZero(r.AfterRows), Height: orZero(r.AfterHeight)},
		Grams:  orZero(r.Grams), Width: orZero(r.WholeWidth), Height: orZero(r.WholeHeight), BallMetres: orZero(r.BallMetres), BallGrams: orZero(r.BallGrams),
		Verdict: r.Verdict, Note: r.Note, Version: r.Version, CreatedAt: r.CreatedAt, UpdatedAt: r.UpdatedAt,
		RS: studio.SwatchPhoto{Hash: r.RsHash, Width: r.RsWidth, Height: r.RsHeight}, WS: studio.SwatchPhoto{Hash: r.WsHash, Width: r.WsWidth, Height: r.WsHeight},
	}
}

// swatchColumns selects a swatchRow from swatchTables.
const swatchColumns = `w.id, w.studio_id, w.stitch_id, coalesce(s.name, '') AS stitch_name, w.stitch, w.yarn, w.needle, w.verdict, w.note,
	w.before_sts, w.before_width, w.before_rows, w.before_height, w.after_sts, w.after_width, w.after_rows, w.after_height,
	w.grams, w.whole_width, w.whole_height, w.ball_metres, w.ball_grams, w.version, w.created_at, w.updated_at,
	coalesce(rs.hash, '') AS rs_hash, coalesce(rs.width, 0) AS rs_width, coalesce(rs.height, 0) AS rs_height,
	coalesce(ws.hash, '') AS ws_hash, coalesce(ws.width, 0) AS ws_width, coalesce(ws.height, 0) AS ws_height`

const swatchTables = `swatch w
	LEFT JOIN stitch s ON s.id = w.stitch_id
	LEFT JOIN swatch_photo rs ON rs.swatch_id = w.id AND rs.side = 'rs'
	LEFT JOIN swatch_photo ws ON ws.swatch_id = w.id AND ws.side = 'ws'`

// ListSwatches returns the studio's swatches, newest first.
func (db *DB) ListSwatches(ctx context.Context, studioID int64) ([]studio.Swatch, error) {
	rows, err := list[swatchRow](ctx, db.pool, `
		SELECT `+swatchColumns+` FROM `+swatchTables+`
		WHERE w.studio_id = @studio
		ORDER BY w.created_at DESC, w.id DESC`, args{"studio": studioID})
	out := make([]studio.Swatch, len(rows))
	for i, r := range rows {
		out[i] = r.domain()
	}
	return out, fail(err, "listing the swatches of studio %d", studioID)
}

// Swatch returns a swatch.
func (db *DB) Swatch(ctx context.Context, studioID, swatchID int64) (studio.Swatch, error) {
	s, err := readSwatch(ctx, db.pool, studioID, swatchID)
	return s, fail(err, "reading swatch %d", swatchID)
}

func readSwatch(ctx context.Context, c conn, studioID, swatchID int64) (studio.Swatch, error) {
	r, err := one[swatchRow](ctx, c, `
		SELECT `+swatchColumns+` FROM `+swatchTables+`
		WHERE w.studio_id = @studio AND w.id = @swatch`, args{"studio": studioID, "swatch": swatchID})
	return r.domain(), err
}

// Picture is a photograph to keep: of a swatch, a row, a finished piece.
type Picture struct {
	JPEG, Small   []byte // for a swatch, no JPEG takes the photograph of that side away
	Width, Height int    // of JPEG, in pixels
}

// SwatchPictures are the photographs that a save changes, by side: "rs" and "ws".
type SwatchPictures map[string]Picture

// CreateSwatch keeps a swatch with its photographs. A stitch that is not the studio's is
// studio.ErrNotFound.
func (db *DB) CreateSwatch(ctx context.Context, studioID int64, s studio.Swatch, pictures SwatchPictures) (studio.Swatch, error) {
	if err := s.Validate(); err != nil {
		return studio.Swatch{}, err
	}
	var out studio.Swatch
	err := db.inTx(ctx, func(tx pgx.Tx) error {
		id, err := value[int64](ctx, tx, `
			INSERT INTO swatch (studio_id, stitch_id, stitch, yarn, needle, before_sts, before_width, before_rows, before_height,
				after_sts, after_width, after_rows, after_height, grams, whole_width, whole_height, ball_metres, ball_grams, verdict, note)
			SELECT st.id, @stitch_id::bigint, @stitch, @yarn, @needle, @before_sts::numeric, @before_width::numeric, @before_rows::numeric, @before_height::numeric,
				@after_sts::numeric, @after_width::numeric, @after_rows::numeric, @after_height::numeric,
				@grams::numeric, @whole_width::numeric, @whole_height::numeric, @ball_metres::numeric, @ball_grams::numeric, @verdict, @note
			FROM studio st WHERE st.id = @studio AND `+stitchIsOurs+`
			RETURNING id`, swatchArgs(studioID, s))
		if err != nil {
			return err
		}
		if err := keepPictures(ctx, tx, id, pictures); err != nil {
			return err
		}
		out, err = readSwatch(ctx, tx, studioID, id)
		return err
	})
	return out, fail(err, "keeping a swatch of studio %d", studioID)
}

// stitchIsOurs holds where no stitch is named, or one of the studio's.
const stitchIsOurs = `(@stitch_id::bigint IS NULL OR EXISTS (SELECT FROM stitch x WHERE x.id = @stitch_id::bigint AND x.studio_id = @studio))`

func swatchArgs(studioID int64, s studio.Swatch) args {
	return args{
		"studio": studioID, "stitch_id": orNull(s.StitchID), "stitch": s.Stitch, "yarn": s.Yarn, "needle": s.Needle, "verdict": s.Verdict, "note": s.Note,
		"before_sts": orNull(s.Before.Sts), "before_width": orNull(s.Before.Width), "before_rows": orNull(s.Before.Rows), "before_height": orNull(s.Before.Height),
		"after_sts": orNull(s.After.Sts), "after_width": orNull(s.After.Width), "after_rows": orNull(s.After.Rows), "after_height": orNull(s.After.Height),
		"grams": orNull(s.Grams), "whole_width": orNull(s.Width), "whole_height": orNull(s.Height), "ball_metres": orNull(s.BallMetres), "ball_grams": orNull(s.BallGrams),
	}
}

// SaveSwatch changes a swatch; s.Version is the one it started from, and another one that
// stands is studio.ErrConflict. Photographs that are not in pictures stay.
func (db *DB) SaveSwatch(ctx context.Context, studioID int64, s studio.Swatch, pictures SwatchPictures) (studio.Swatch, error) {
	if err := s.Validate(); err != nil {
		return studio.Swatch{}, err
	}
	var out studio.Swatch
	err := db.inTx(ctx, func(tx pgx.Tx) error {
		stands, err := value[int](ctx, tx, `SELECT version FROM swatch WHERE studio_id = @studio AND id = @swatch FOR UPDATE`,
			args{"studio": studioID, "swatch": s.ID})
		if err != nil {
			return err
		}
		if stands != s.Version {
			return studio.ErrConflict
		}
		a := swatchArgs(studioID, s)
		a["swatch"] = s.ID
		err = changeOne(ctx, tx, `
			UPDATE swatch SET stitch_id = @stitch_id, stitch = @stitch, yarn = @yarn, needle = @needle,
				before_sts = @before_sts, before_width = @before_width, before_rows = @before_rows, before_height = @before_height,
				after_sts = @after_sts, after_width = @after_width, after_rows = @after_rows, after_height = @after_height,
				grams = @grams, whole_width = @whole_width, whole_height = @whole_height, ball_metres = @ball_metres, ball_grams = @ball_grams,
				verdict = @verdict, note = @note, version = version + 1, updated_at = now()
			WHERE studio_id = @studio AND id = @swatch AND `+stitchIsOurs, a)
		if err != nil {
			return err
		}
		if err := keepPictures(ctx, tx, s.ID, pictures); err != nil {
			return err
		}
		out, err = readSwatch(ctx, tx, studioID, s.ID)
		return err
	})
	return out, fail(err, "saving swatch %d", s.ID)
}

func keepPictures(ctx context.Context, tx pgx.Tx, swatchID int64, pictures SwatchPictures) error {
	for side, p := range pictures {
		var err error
		if len(p.JPEG) == 0 {
			_, err = tx.Exec(ctx, `DELETE FROM swatch_photo WHERE swatch_id = @swatch AND side = @side`, args{"swatch": swatchID, "side": side})
		} else {
			sum := sha256.Sum256(p.JPEG)
			_, err = tx.Exec(ctx, `
				INSERT INTO swatch_photo (swatch_id, side, jpeg, small, width, height, hash)
				VALUES (@swatch, @side, @jpeg, @small, @width, @height, @hash)
				ON CONFLICT (swatch_id, side) DO UPDATE SET jpeg = EXCLUDED.jpeg, small = EXCLUDED.small, width = EXCLUDED.width, height = EXCLUDED.height, hash = EXCLUDED.hash`,
				args{"swatch": swatchID, "side": side, "jpeg": p.JPEG, "small": p.Small, "width": p.Width, "height": p.Height, "hash": hex.EncodeToString(sum[:8])})
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// DeleteSwatch takes a swatch away for good, with its photographs.
func (db *DB) DeleteSwatch(ctx context.Context, studioID, swatchID int64) error {
	err := changeOne(ctx, db.pool, `DELETE FROM swatch WHERE studio_id = @studio AND id = @swatch`, args{"studio": studioID, "swatch": swatchID})
	return fail(err, "deleting swatch %d", swatchID)
}

// SwatchPhoto returns the photograph of a side, "rs" or "ws", as JPEG; small is the one
// for lists.
func (db *DB) SwatchPhoto(ctx context.Context, studioID, swatchID int64, side string, small bool) ([]byte, error) {
	b, err := value[[]byte](ctx, db.pool, `
		SELECT CASE WHEN @small THEN p.small ELSE p.jpeg END
		FROM swatch_photo p JOIN swatch w ON w.id = p.swatch_id
		WHERE w.studio_id = @studio AND w.id = @swatch AND p.side = @side`,
		args{"studio": studioID, "swatch": swatchID, "side": side, "small": small})
	return b, fail(err, "reading the photograph %s of swatch %d", side, swatchID)
}
