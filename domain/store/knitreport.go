package store

import (
	"context"
	"encoding/json"
	"errors"
	"time"

	"github.com/jackc/pgx/v5"

	"rowproof/domain/studio"
)

// What came off the needles: KnitReport, SaveKnitReport, KnitReports, AskAboutYarn, KnitPhoto,
// AddKnitPhoto, RemoveKnitPhoto.

type knitReportRow struct {
	KnitterID  int64
	RevisionID int64
	Revision   int
	BeforeSts  *float64
	BeforeRows *float64
	AfterSts   *float64
	AfterRows  *float64
	Measures   json.RawMessage
	Hours      *float64
	Fit        string
	Note       string
	Version    int
	UpdatedAt  time.Time
}

const knitReportSelect = `
	SELECT kr.knitter_id, kr.revision_id, r.number AS revision, kr.before_sts::float8, kr.before_rows::float8, kr.after_sts::float8, kr.after_rows::float8,
		kr.measures, kr.hours::float8, kr.fit, kr.note, kr.version, kr.updated_at
	FROM knit_report kr JOIN revision r ON r.id = kr.revision_id`

func (r knitReportRow) domain(ctx context.Context, c conn) (studio.KnitReport, error) {
	out := studio.KnitReport{
		KnitterID: r.KnitterID, RevisionID: r.RevisionID, Revision: r.Revision, Before: studio.KnitGauge{Sts: orZero(r.BeforeSts), Rows: orZero(r.BeforeRows)},
		After: studio.KnitGauge{Sts: orZero(r.AfterSts), Rows: orZero(r.AfterRows)}, Hours: orZero(r.Hours), Fit: r.Fit, Note: r.Note,
		Version: r.Version, UpdatedAt: r.UpdatedAt,
	}
	if err := json.Unmarshal(r.Measures, &out.Measures); err != nil {
		return out, err
	}
	var err error
	out.Yarns, err = list[studio.KnitYarn](ctx, c, `
		SELECT letter, coalesce(grams, 0)::float8 AS grams, coalesce(m_per_100g, 0)::float8 AS m_per100_g, asked
		FROM knit_yarn WHERE knitter_id = @k ORDER BY letter`, args{"k": r.KnitterID})
	if err != nil {
		return out, err
	}
	out.Photos, err = list[studio.KnitPhoto](ctx, c, `
		SELECT id, width, height, consent, alt FROM knit_photo WHERE knitter_id = @k ORDER BY id`, args{"k": r.KnitterID})
	return out, err
}

// KnitReport returns what a knitter told; one who told nothing yet is studio.ErrNotFound.
func (db *DB) KnitReport(ctx context.Context, knitterID int64) (studio.KnitReport, error) {
	r, err := one[knitReportRow](ctx, db.pool, knitReportSelect+` WHERE kr.knitter_id = @k`, args{"k": knitterID})
	if err != nil {
		return studio.KnitReport{}, fail(err, "reading the report of knitter %d", knitterID)
	}
	out, err := r.domain(ctx, db.pool)
	return out, fail(err, "reading the report of knitter %d", knitterID)
}

// KnitReports returns what all knitters of a pattern told.
func (db *DB) KnitReports(ctx context.Context, studioID, patternID int64) ([]studio.KnitReport, error) {
	rows, err := list[knitReportRow](ctx, db.pool, knitReportSelect+`
		JOIN knitter k ON k.id = kr.knitter_id JOIN testknit t ON t.id = k.testknit_id JOIN pattern p ON p.id = t.pattern_id
		WHERE p.studio_id = @studio AND t.pattern_id = @pattern ORDER BY kr.knitter_id`, args{"studio": studioID, "pattern": patternID})
	if err != nil {
		return nil, fail(err, "reading the reports on pattern %d", patternID)
	}
	out := make([]studio.KnitReport, len(rows))
	for i, r := range rows {
		if out[i], err = r.domain(ctx, db.pool); err != nil {
			return nil, fail(err, "reading the reports on pattern %d", patternID)
		}
	}
	return out, nil
}

// SaveKnitReport keeps what a knitter tells. finished says that she is through. When her
// report was changed since base, in another tab, the error is studio.ErrConflict. A yarn
// whose weight she changed is asked about anew.
func (db *DB) SaveKnitReport(ctx context.Context, k studio.Knitter, base int, rep studio.KnitReport, credit string, finished bool) error {
	rep, err := rep.Validate()
	if err != nil {
		return err
	}
	if credit, err = studio.PersonName(credit); err != nil {
		return err
	}
	measures, err := json.Marshal(rep.Measures)
	if err != nil {
		return fail(err, "writing the measurements of knitter %d", k.ID)
	}
	if rep.Measures == nil {
		measures = []byte("[]")
	}
	err = db.inTx(ctx, func(tx pgx.Tx) error {
		err := changeOne(ctx, tx, `
			UPDATE knitter SET credit = @credit, state = CASE WHEN @finished AND state IN ('invited', 'knitting') THEN 'finished' ELSE state END,
				begun_at = coalesce(begun_at, now()), ended_at = CASE WHEN @finished THEN coalesce(ended_at, now()) ELSE ended_at END
			WHERE id = @k AND state IN ('invited', 'knitting', 'finished')`, args{"k": k.ID, "credit": credit, "finished": finished})
		if err != nil {
			return err
		}
		stands, err := value[int](ctx, tx, `SELECT version FROM knit_report WHERE knitter_id = @k FOR UPDATE`, args{"k": k.ID})
		if err != nil && !errors.Is(err, studio.ErrNotFound) {
			return err
		}
		if stands != base {
			return studio.ErrConflict
		}
		_, err = tx.Exec(ctx, `
			INSERT INTO knit_report (knitter_id, revision_id, before_sts, before_rows, after_sts, after_rows, measures, hours, fit, note)
			VALUES (@k, @revision, @bs::numeric, @br::numeric, @as::numeric, @ar::numeric, @measures, @hours::numeric, @fit, @note)
			ON CONFLICT (knitter_id) DO UPDATE SET revision_id = excluded.revision_id, before_sts = excluded.before_sts, before_rows = excluded.before_rows,
				after_sts = excluded.after_sts, after_rows = excluded.after_rows, measures = excluded.measures, hours = excluded.hours,
				fit = excluded.fit, note = excluded.note, version = knit_report.version + 1, updated_at = now()`,
			args{"k": k.ID, "revision": k.RevisionID, "bs": orNull(rep.Before.Sts), "br": orNull(rep.Before.Rows), "as": orNull(rep.After.Sts),
				"ar": orNull(rep.After.Rows), "measures": measures, "hours": orNull(rep.Hours), "fit": rep.Fit, "note": rep.Note})
		if err != nil {
			return err
		}
		for _, y := range rep.Yarns {
			_, err = tx.Exec(ctx, `
				INSERT INTO knit_yarn (knitter_id, letter, grams, m_per_100g) VALUES (@k, @letter, @grams::numeric, @metres::numeric)
				ON CONFLICT (knitter_id, letter) DO UPDATE SET
					asked = CASE WHEN knit_yarn.grams IS DISTINCT FROM excluded.grams OR knit_yarn.m_per_100g IS DISTINCT FROM excluded.m_per_100g
						THEN 'new' ELSE knit_yarn.asked END,
					grams = excluded.grams, m_per_100g = excluded.m_per_100g`,
				args{"k": k.ID, "letter": y.Letter, "grams": orNull(y.Grams), "metres": orNull(y.MPer100G)})
			if err != nil {
				return err
			}
		}
		return nil
	})
	return fail(err, "keeping the report of knitter %d", k.ID)
}

// AskAboutYarn notes what the designer says of a weight that stands far off: "use" or
// "leave".
func (db *DB) AskAboutYarn(ctx context.Context, studioID, patternID, knitterID int64, letter, answer string) error {
	err := changeOne(ctx, db.pool, `
		UPDATE knit_yarn y SET asked = @answer
		FROM knitter k JOIN testknit t ON t.id = k.testknit_id JOIN pattern p ON p.id = t.pattern_id
		WHERE y.knitter_id = k.id AND p.studio_id = @studio AND t.pattern_id = @pattern AND k.id = @k AND y.letter = @letter`,
		args{"studio": studioID, "pattern": patternID, "k": knitterID, "letter": letter, "answer": answer})
	return fail(err, "answering about the yarn of knitter %d", knitterID)
}

// MostKnitPhotos bounds the photographs of one test knit.
const MostKnitPhotos = 8

// AddKnitPhoto keeps a photograph of a finished test knit.
func (db *DB) AddKnitPhoto(ctx context.Context, k studio.Knitter, p Picture, consent bool, alt string) error {
	err := changeOne(ctx, db.pool, `
		INSERT INTO knit_photo (knitter_id, jpeg, small, width, height, consent, alt)
		SELECT @k, @jpeg::bytea, @small::bytea, @width::integer, @height::integer, @consent::boolean, @alt::text
		WHERE (SELECT count(*) FROM knit_photo WHERE knitter_id = @k) < @most`,
		args{"k": k.ID, "jpeg": p.JPEG, "small": p.Small, "width": p.Width, "height": p.Height, "consent": consent, "alt": studio.Clip(alt, 500), "most": MostKnitPhotos})
	if errors.Is(err, studio.ErrNotFound) {
		err = &studio.InvalidError{Field: "photo", Problem: "would be one too many; take one away first"}
	}
	return fail(err, "keeping a photograph of knitter %d", k.ID)
}

// RemoveKnitPhoto takes away a knitter's photograph.
func (db *DB) RemoveKnitPhoto(ctx context.Context, knitterID, photoID int64) error {
	err := changeOne(ctx, db.pool, `DELETE FROM knit_photo WHERE knitter_id = @k AND id = @id`, args{"k": knitterID, "id": photoID})
	return fail(err, "taking away photograph %d", photoID)
}

// KnitPhoto returns a photograph of a knitter, or its small one, as JPEG.
func (db *DB) KnitPhoto(ctx context.Context, knitterID, photoID int64, small bool) ([]byte, error) {
	b, err := value[[]byte](ctx, db.pool, `
		SELECT CASE WHEN @small THEN small ELSE jpeg END FROM knit_photo WHERE knitter_id = @k AND id = @id`,
		args{"k": knitterID, "id": photoID, "small": small})
	return b, fail(err, "reading photograph %d", photoID)
}
