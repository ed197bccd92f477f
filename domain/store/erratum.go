package store

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"rowproof/domain/studio"
)

// Errata of the studio: Errata, Erratum, Decide, Unfixed, SettleErratum, ErratumPhoto. A
// knitter's own, by her id: ErrataOfKnitter, ErratumOfKnitter, Answer, NoteErratum.

type erratumRow struct {
	ID          int64
	KnitterID   int64
	Knitter     string
	PatternID   int64
	RevisionID  int64
	Revision    int
	RowID       *int64
	SizeID      *int64
	Size        string
	Label       string
	Kind        studio.ErratumKind
	Had         string
	Did         string
	Note        string
	State       studio.ErratumState
	DuplicateOf *int64
	Version     int
	NotedAt     time.Time
	TakenAt     time.Time
	Photo       bool
	FixRevision *int64
	FixNumber   int
	FixReason   string
}

func (r erratumRow) domain() studio.Erratum {
	e := studio.Erratum{
		ID: r.ID, KnitterID: r.KnitterID, Knitter: r.Knitter, PatternID: r.PatternID, RevisionID: r.RevisionID, Revision: r.Revision, RowID: orZero(r.RowID),
		SizeID: orZero(r.SizeID), Size: r.Size, Label: r.Label, Kind: r.Kind, Had: r.Had, Did: r.Did, Note: r.Note, State: r.State,
		DuplicateOf: orZero(r.DuplicateOf), Version: r.Version, NotedAt: r.NotedAt, TakenAt: r.TakenAt, Photo: r.Photo,
	}
	if r.FixRevision != nil {
		e.Fix = &studio.ErratumFix{RevisionID: *r.FixRevision, Revision: r.FixNumber, Reason: r.FixReason}
	}
	return e
}

// erratumSelect selects erratumRows; a WHERE follows.
const erratumSelect = `
	SELECT x.id, x.knitter_id, CASE WHEN e.name <> '' THEN e.name ELSE split_part(coalesce(e.email, 'a knitter'), '@', 1) END AS knitter,
		t.pattern_id, x.revision_id, r.number AS revision, x.row_id, x.size_id, coalesce(rs.label, z.label, '') AS size, x.label, x.kind, x.had, x.did, x.note,
		x.state, x.duplicate_of, x.version, x.noted_at, x.taken_at, EXISTS (SELECT FROM erratum_photo f WHERE f.erratum_id = x.id) AS photo,
		f.revision_id AS fix_revision, coalesce(fr.number, 0) AS fix_number, coalesce(f.reason, '') AS fix_reason
	FROM erratum x
	JOIN knitter k ON k.id = x.knitter_id
	JOIN testknit t ON t.id = k.testknit_id
	JOIN pattern p ON p.id = t.pattern_id AND p.deleted_at IS NULL
	JOIN person e ON e.id = k.person_id
	JOIN revision r ON r.id = x.revision_id
	LEFT JOIN size z ON z.id = x.size_id
	LEFT JOIN revision_size rs ON rs.revision_id = x.revision_id AND rs.size_id = x.size_id
	LEFT JOIN erratum_fix f ON f.erratum_id = x.id
	LEFT JOIN revision fr ON fr.id = f.revision_id`

func errata(rows []erratumRow) []studio.Erratum {
	out := make([]studio.Erratum, len(rows))
	for i, r := range rows {
		out[i] = r.domain()
	}
	return out
}

// Errata lists all errata of a pattern, oldest first, without what was said of them.
func (db *DB) Errata(ctx context.Context, studioID, patternID int64) ([]studio.Erratum, error) {
	rows, err := list[erratumRow](ctx, db.pool, erratumSelect+`
		WHERE p.studio_id = @studio AND t.pattern_id = @pattern ORDER BY x.id`, args{"studio": studioID, "pattern": patternID})
	return errata(rows), fail(err, "listing the errata of pattern %d", patternID)
}

// Erratum returns one of a pattern's errata with all that was said of it.
func (db *DB) Erratum(ctx context.Context, studioID, patternID, id int64) (studio.Erratum, error) {
	r, err := one[erratumRow](ctx, db.pool, erratumSelect+`
		WHERE p.studio_id = @studio AND t.pattern_id = @pattern AND x.id = @id`, args{"studio": studioID, "pattern": patternID, "id": id})
	if err != nil {
		return studio.Erratum{}, fail(err, "reading erratum %d", id)
	}
	e, err := withMessages(ctx, db.pool, r.domain())
	return e, fail(err, "reading erratum %d", id)
}

func withMessages(ctx context.Context, c conn, e studio.Erratum) (studio.Erratum, error) {
	rows, err := list[struct {
		ByKnitter bool
		Author    string
		State     *studio.ErratumState
		Duplicate *int64
		Body      string
		At        time.Time
	}](ctx, c, `
		SELECT m.by_knitter, coalesce(nullif(a.name, ''), a.email, '') AS author, m.state, m.duplicate, m.body, m.at
		FROM erratum_message m LEFT JOIN account a ON a.id = m.account_id
		WHERE m.erratum_id = @id ORDER BY m.id`, args{"id": e.ID})
	for _, m := range rows {
		e.Messages = append(e.Messages, studio.ErratumMessage{ByKnitter: m.ByKnitter, Author: m.Author, State: orZero(m.State),
			Duplicate: orZero(m.Duplicate), Body: m.Body, At: m.At})
	}
	return e, err
}

// Decide notes what a designer says of an erratum. When it was decided by somebody else
// since the version she looked at, the error is a [*studio.DecidedMeanwhile] with what
// stands now and what she said; words alone are always taken. letter writes to its knitter.
func (db *DB) Decide(ctx context.Context, studioID, patternID, id, accountID int64, d studio.Decision, letter ErratumLetters) error {
	d, err := d.Validate()
	if err != nil {
		return err
	}
	err = db.inTx(ctx, func(tx pgx.Tx) error {
		e, err := lockErratum(ctx, tx, studioID, patternID, id)
		if err != nil {
			return err
		}
		if d.State != "" && d.Base != e.Version {
			return &studio.DecidedMeanwhile{Erratum: e, Mine: d}
		}
		if d.State == studio.Duplicate {
			first, err := values[int64](ctx, tx, `
				SELECT x.id FROM erratum x JOIN knitter k ON k.id = x.knitter_id JOIN testknit t ON t.id = k.testknit_id
				WHERE x.id = @first AND x.id <> @id AND t.pattern_id = @pattern AND x.state <> 'duplicate'`,
				args{"first": d.DuplicateOf, "id": id, "pattern": patternID})
			if err != nil {
				return err
			}
			if len(first) == 0 {
				return &studio.InvalidError{Field: "duplicate", Problem: "is not another erratum of this pattern that stands by itself"}
			}
		}
		if d.State != "" {
			_, err := tx.Exec(ctx, `UPDATE erratum SET state = @state, duplicate_of = @first::bigint, version = version + 1 WHERE id = @id`,
				args{"id": id, "state": d.State, "first": orNull(d.DuplicateOf)})
			if err != nil {
				return err
			}
			if d.State != studio.Accepted && d.State != studio.Duplicate { // no longer put right
				if _, err := tx.Exec(ctx, `DELETE FROM erratum_fix WHERE erratum_id = @id`, args{"id": id}); err != nil {
					return err
				}
			}
			if d.State == studio.Duplicate { // those that point here point on
				_, err := tx.Exec(ctx, `UPDATE erratum SET duplicate_of = @first WHERE duplicate_of = @id AND id <> @first`,
					args{"id": id, "first": d.DuplicateOf})
				if err != nil {
					return err
				}
			}
		}
		var state *studio.ErratumState
		if d.State != "" {
			state = &d.State
		}
		_, err = tx.Exec(ctx, `
			INSERT INTO erratum_message (erratum_id, account_id, by_knitter, state, duplicate, body)
			VALUES (@id, @account::bigint, false, @state, @first::bigint, @body)`,
			args{"id": id, "account": orNull(accountID), "state": state, "first": orNull(d.DuplicateOf), "body": d.Body})
		if err != nil {
			return err
		}
		return db.writeErratum(ctx, tx, studioID, id, letter)
	})
	return fail(err, "deciding erratum %d", id)
}

// ErratumLetters writes a letter about an erratum to its knitter. One without an address
// is not sent.
type ErratumLetters func(studio.Knitter, studio.Erratum) studio.Letter

func (db *DB) writeErratum(ctx context.Context, tx pgx.Tx, studioID, id int64, letter ErratumLetters) error {
	if letter == nil {
		return nil
	}
	r, err := one[erratumRow](ctx, tx, erratumSelect+` WHERE x.id = @id`, args{"id": id})
	if err != nil {
		return err
	}
	e, err := withMessages(ctx, tx, r.domain())
	if err != nil {
		return err
	}
	return db.writeTo(ctx, tx, studioID, e.KnitterID, func(k studio.Knitter) studio.Letter { return letter(k, e) })
}

func lockErratum(ctx context.Context, tx pgx.Tx, studioID, patternID, id int64) (studio.Erratum, error) {
	r, err := one[erratumRow](ctx, tx, erratumSelect+`
		WHERE p.studio_id = @studio AND t.pattern_id = @pattern AND x.id = @id FOR UPDATE OF x`,
		args{"studio": studioID, "pattern": patternID, "id": id})
	if err != nil {
		return studio.Erratum{}, err
	}
	return withMessages(ctx, tx, r.domain())
}

// Unfixed lists a pattern's accepted errata that are in no revision yet.
func (db *DB) Unfixed(ctx context.Context, studioID, patternID int64) ([]studio.Erratum, error) {
	rows, err := list[erratumRow](ctx, db.pool, erratumSelect+`
		WHERE p.studio_id = @studio AND t.pattern_id = @pattern AND x.state = 'accepted' AND f.erratum_id IS NULL ORDER BY x.id`,
		args{"studio": studioID, "pattern": patternID})
	return errata(rows), fail(err, "listing the accepted errata of pattern %d", patternID)
}

// noteFixes notes accepted errata of a pattern as put right in one of its revisions.
func noteFixes(ctx context.Context, tx pgx.Tx, patternID, revisionID int64, fixed []int64, reason string) error {
	_, err := tx.Exec(ctx, `
		INSERT INTO erratum_fix (erratum_id, revision_id, reason)
		SELECT x.id, r.id, @reason
		FROM erratum x JOIN knitter k ON k.id = x.knitter_id JOIN testknit t ON t.id = k.testknit_id
		JOIN revision r ON r.id = @revision AND r.pattern_id = t.pattern_id AND r.number > (SELECT number FROM revision WHERE id = x.revision_id)
		WHERE x.id = ANY (@fixed) AND t.pattern_id = @pattern AND x.state = 'accepted'
		ON CONFLICT DO NOTHING`, args{"pattern": patternID, "revision": revisionID, "fixed": fixed, "reason": reason})
	return err
}

// NoteFixes notes accepted errata as put right in a revision, whose rows really changed.
func (db *DB) NoteFixes(ctx context.Context, studioID, patternID, revisionID int64, fixed []int64) error {
	err := db.inTx(ctx, func(tx pgx.Tx) error {
		if _, err := lockPattern(ctx, tx, studioID, patternID); err != nil {
			return err
		}
		return noteFixes(ctx, tx, patternID, revisionID, fixed, "")
	})
	return fail(err, "noting what revision %d put right", revisionID)
}

// SettleErratum notes an accepted erratum as put right in the pattern's newest revision
// though its row did not change, with the reason. When there is no revision later than the
// one it was noted on, the error is studio.ErrNothing.
func (db *DB) SettleErratum(ctx context.Context, studioID, patternID, id, accountID int64, reason string, letter ErratumLetters) error {
	err := db.inTx(ctx, func(tx pgx.Tx) error {
		e, err := lockErratum(ctx, tx, studioID, patternID, id)
		if err != nil {
			return err
		}
		if e.State != studio.Accepted || e.Fix != nil {
			return studio.ErrConflict
		}
		newest, err := value[int64](ctx, tx, `SELECT id FROM revision WHERE pattern_id = @pattern ORDER BY number DESC LIMIT 1`, args{"pattern": patternID})
		if err != nil {
			return err
		}
		if newest == e.RevisionID {
			return studio.ErrNothing
		}
		if err := noteFixes(ctx, tx, patternID, newest, []int64{id}, reason); err != nil {
			return err
		}
		_, err = tx.Exec(ctx, `INSERT INTO erratum_message (erratum_id, account_id, by_knitter, body) VALUES (@id, @account::bigint, false, @body)`,
			args{"id": id, "account": orNull(accountID), "body": "Settled without changing the row: " + reason})
		if err != nil {
			return err
		}
		return db.writeErratum(ctx, tx, studioID, id, letter)
	})
	return fail(err, "settling erratum %d", id)
}

// ErratumPhoto returns the photograph of an erratum, or its small one, as JPEG.
func (db *DB) ErratumPhoto(ctx context.Context, studioID, patternID, id int64, small bool) ([]byte, error) {
	b, err := value[[]byte](ctx, db.pool, `
		SELECT CASE WHEN @small THEN f.small ELSE f.jpeg END
		FROM erratum_photo f JOIN erratum x ON x.id = f.erratum_id JOIN knitter k ON k.id = x.knitter_id
		JOIN testknit t ON t.id = k.testknit_id JOIN pattern p ON p.id = t.pattern_id
		WHERE p.studio_id = @studio AND t.pattern_id = @pattern AND f.erratum_id = @id`,
		args{"studio": studioID, "pattern": patternID, "id": id, "small": small})
	return b, fail(err, "reading the photograph of erratum %d", id)
}

// ErrataOfKnitter lists what a knitter noted, newest first.
func (db *DB) ErrataOfKnitter(ctx context.Context, knitterID int64) ([]studio.Erratum, error) {
	rows, err := list[erratumRow](ctx, db.pool, erratumSelect+` WHERE x.knitter_id = @k ORDER BY x.id DESC`, args{"k": knitterID})
	return errata(rows), fail(err, "listing the errata of knitter %d", knitterID)
}

// ErratumOfKnitter returns one of a knitter's errata with all that was said of it.
func (db *DB) ErratumOfKnitter(ctx context.Context, knitterID, id int64) (studio.Erratum, error) {
	r, err := one[erratumRow](ctx, db.pool, erratumSelect+` WHERE x.knitter_id = @k AND x.id = @id`, args{"k": knitterID, "id": id})
	if err != nil {
		return studio.Erratum{}, fail(err, "reading erratum %d", id)
	}
	e, err := withMessages(ctx, db.pool, r.domain())
	return e, fail(err, "reading erratum %d", id)
}

// Answer notes what a knitter says about her erratum. One that the studio had asked back
// about is new again.
func (db *DB) Answer(ctx context.Context, knitterID, id int64, body string) error {
	d, err := studio.Decision{Body: body}.Validate()
	if err != nil {
		return err
	}
	err = db.inTx(ctx, func(tx pgx.Tx) error {
		err := changeOne(ctx, tx, `
			UPDATE erratum SET state = CASE state WHEN 'asked' THEN 'open' ELSE state END, version = version + CASE state WHEN 'asked' THEN 1 ELSE 0 END
			WHERE id = @id AND knitter_id = @k`, args{"id": id, "k": knitterID})
		if err != nil {
			return err
		}
		_, err = tx.Exec(ctx, `INSERT INTO erratum_message (erratum_id, by_knitter, body) VALUES (@id, true, @body)`, args{"id": id, "body": d.Body})
		return err
	})
	return fail(err, "answering about erratum %d", id)
}

// writeNewErratum keeps what a knitter noted; the same once more (by its uuid) changes
// nothing. A row that is not of her revision is studio.ErrInvalid.
func writeNewErratum(ctx context.Context, tx pgx.Tx, k studio.Knitter, e studio.NewErratum, photo *Picture) error {
	e, err := e.Validate()
	if err != nil {
		return err
	}
	if e.RowID != 0 {
		n, err := value[int](ctx, tx, `
			SELECT count(*) FROM row_identity WHERE id = @row AND pattern_id = @pattern`, args{"row": e.RowID, "pattern": k.PatternID})
		if err != nil {
			return err
		}
		if n == 0 {
			return &studio.InvalidError{Field: "row", Problem: "is not a row of this pattern"}
		}
	}
	at := e.At
	if at.IsZero() || at.After(now().Add(24*time.Hour)) {
		at = now()
	}
	made, err := values[int64](ctx, tx, `
		INSERT INTO erratum (knitter_id, client_uuid, revision_id, row_id, size_id, label, kind, had, did, note, noted_at)
		VALUES (@k, @uuid::uuid, @revision, @row::bigint, @size::bigint, @label, @kind, @had, @did, @note, @at)
		ON CONFLICT (client_uuid) DO NOTHING RETURNING id`,
		args{"k": k.ID, "uuid": e.UUID, "revision": k.RevisionID, "row": orNull(e.RowID), "size": orNull(k.SizeID), "label": e.Label,
			"kind": e.Kind, "had": e.Had, "did": e.Did, "note": e.Note, "at": at})
	if err != nil || len(made) == 0 || photo == nil {
		return err
	}
	_, err = tx.Exec(ctx, `INSERT INTO erratum_photo (erratum_id, jpeg, small, width, height) VALUES (@id, @jpeg, @small, @width, @height)`,
		args{"id": made[0], "jpeg": photo.JPEG, "small": photo.Small, "width": photo.Width, "height": photo.Height})
	return err
}

// NoteErratum keeps what a knitter noted on a page that needs no script.
func (db *DB) NoteErratum(ctx context.Context, k studio.Knitter, e studio.NewErratum, photo *Picture) error {
	err := db.inTx(ctx, func(tx pgx.Tx) error { return writeNewErratum(ctx, tx, k, e, photo) })
	return fail(err, "noting an erratum of knitter %d", k.ID)
}
