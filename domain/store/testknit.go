package store

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"rowproof/domain/studio"
)

// Test knits: OpenTestKnit, TestKnit, TestKnits, ChangeTestKnit, SendRevision, CloseTestKnit,
// OfferedTestKnit. Their knitters: knitter.go.

type testKnitRow struct {
	ID         int64
	PatternID  int64
	Title      string
	Slug       string
	RevisionID int64
	Revision   int
	Open       bool
	Deadline   *time.Time
	Wants      string
	Note       string
	OfferCode  *string
	Thanks     string
	Version    int
	CreatedAt  time.Time
	ClosedAt   *time.Time
}

func (r testKnitRow) domain() studio.TestKnit {
	return studio.TestKnit{
		ID: r.ID, PatternID: r.PatternID, Title: r.Title, Slug: r.Slug, RevisionID: r.RevisionID, Revision: r.Revision, Open: r.Open,
		Deadline: orZero(r.Deadline), Wants: r.Wants, Note: r.Note, OfferCode: orZero(r.OfferCode), Thanks: r.Thanks, Version: r.Version,
		CreatedAt: r.CreatedAt, ClosedAt: orZero(r.ClosedAt),
	}
}

// testKnitSelect selects testKnitRows; a WHERE follows.
const testKnitSelect = `
	SELECT t.id, t.pattern_id, r.title, p.slug, t.revision_id, r.number AS revision, t.state = 'open' AS open, t.deadline, t.wants, t.note,
		t.offer_code, t.thanks, t.version, t.created_at, t.closed_at
	FROM testknit t
	JOIN pattern p ON p.id = t.pattern_id AND p.deleted_at IS NULL
	JOIN revision r ON r.id = t.revision_id`

// OpenTestKnit opens a test knit of a pattern with a revision that was frozen for it.
// A pattern with an open one already is studio.ErrTaken.
func (db *DB) OpenTestKnit(ctx context.Context, studioID, revisionID int64, call studio.Call) (studio.TestKnit, error) {
	if err := call.Validate(now()); err != nil {
		return studio.TestKnit{}, err
	}
	var out studio.TestKnit
	err := db.inTx(ctx, func(tx pgx.Tx) error {
		id, err := value[int64](ctx, tx, `
			INSERT INTO testknit (pattern_id, revision_id, deadline, wants, note, offer_code)
			SELECT r.pattern_id, r.id, @deadline::date, @wants, @note, CASE WHEN @offers THEN `+freshCode+` END
			FROM revision r JOIN pattern p ON p.id = r.pattern_id
			WHERE r.id = @revision AND r.purpose = 'test' AND p.studio_id = @studio AND p.deleted_at IS NULL
			RETURNING id`,
			args{"studio": studioID, "revision": revisionID, "deadline": day(call.Deadline), "wants": call.Wants, "note": call.Note, "offers": call.Offers})
		if violates(err, "testknit_one_open") {
			return studio.ErrTaken
		}
		if err != nil {
			return err
		}
		if err := writeSeats(ctx, tx, id, revisionID, call.Wanted); err != nil {
			return err
		}
		out, err = readTestKnit(ctx, tx, studioID, id)
		return err
	})
	return out, fail(err, "opening a test knit of revision %d", revisionID)
}

// freshCode makes the code of a page that takes offers: 122 random bits.
const freshCode = `replace(gen_random_uuid()::text, '-', '')`

// day is a date for a column, null for none.
func day(t time.Time) *time.Time {
	if t.IsZero() {
		return nil
	}
	return &t
}

// writeSeats sets how many knitters each size of a revision wants. Sizes that the
// revision does not have are left out.
func writeSeats(ctx context.Context, tx pgx.Tx, testKnitID, revisionID int64, wanted map[int64]int) error {
	if _, err := tx.Exec(ctx, `DELETE FROM seat WHERE testknit_id = @id`, args{"id": testKnitID}); err != nil {
		return err
	}
	sizes, err := values[int64](ctx, tx, `SELECT size_id FROM revision_size WHERE revision_id = @revision ORDER BY ordinal`, args{"revision": revisionID})
	if err != nil {
		return err
	}
	if len(sizes) == 0 {
		sizes = []int64{0}
	}
	for _, s := range sizes {
		_, err := tx.Exec(ctx, `INSERT INTO seat (testknit_id, size_id, wanted) VALUES (@id, @size, @wanted)`,
			args{"id": testKnitID, "size": orNull(s), "wanted": wanted[s]})
		if err != nil {
			return err
		}
	}
	return nil
}

func readTestKnit(ctx context.Context, c conn, studioID, id int64) (studio.TestKnit, error) {
	r, err := one[testKnitRow](ctx, c, testKnitSelect+` WHERE t.id = @id AND p.studio_id = @studio`, args{"id": id, "studio": studioID})
	if err != nil {
		return studio.TestKnit{}, err
	}
	out := r.domain()
	out.Seats, err = readSeats(ctx, c, id)
	return out, err
}

func readSeats(ctx context.Context, c conn, testKnitID int64) ([]studio.Seat, error) {
	return list[studio.Seat](ctx, c, `
		SELECT coalesce(s.size_id, 0) AS size_id, coalesce(rs.label, z.label, '') AS label, s.wanted,
			(SELECT count(*) FROM knitter k WHERE k.testknit_id = t.id AND k.size_id IS NOT DISTINCT FROM s.size_id
				AND k.state IN ('invited', 'knitting', 'finished'))::integer AS taken
		FROM seat s
		JOIN testknit t ON t.id = s.testknit_id
		LEFT JOIN revision_size rs ON rs.revision_id = t.revision_id AND rs.size_id = s.size_id
		LEFT JOIN size z ON z.id = s.size_id
		WHERE s.testknit_id = @id
		ORDER BY rs.ordinal NULLS LAST, s.size_id`, args{"id": testKnitID})
}

// TestKnit returns a pattern's test knit: the open one, else the last that was closed.
// None is studio.ErrNotFound.
func (db *DB) TestKnit(ctx context.Context, studioID, patternID int64) (studio.TestKnit, error) {
	id, err := value[int64](ctx, db.pool, `
		SELECT t.id FROM testknit t JOIN pattern p ON p.id = t.pattern_id
		WHERE p.studio_id = @studio AND t.pattern_id = @pattern
		ORDER BY (t.state = 'open') DESC, t.id DESC LIMIT 1`, args{"studio": studioID, "pattern": patternID})
	if err != nil {
		return studio.TestKnit{}, fail(err, "reading the test knit of pattern %d", patternID)
	}
	t, err := readTestKnit(ctx, db.pool, studioID, id)
	return t, fail(err, "reading the test knit of pattern %d", patternID)
}

// ChangeTestKnit gives an open test knit another call. When base is no longer its
// version the error is studio.ErrConflict.
func (db *DB) ChangeTestKnit(ctx context.Context, studioID, id int64, base int, call studio.Call) (studio.TestKnit, error) {
	if err := call.Validate(now()); err != nil {
		return studio.TestKnit{}, err
	}
	var out studio.TestKnit
	err := db.onTestKnit(ctx, studioID, id, func(tx pgx.Tx, t studio.TestKnit) error {
		if !t.Open || t.Version != base {
			return studio.ErrConflict
		}
		_, err := tx.Exec(ctx, `
			UPDATE testknit SET deadline = @deadline::date, wants = @wants, note = @note, version = version + 1,
				offer_code = CASE WHEN NOT @offers THEN NULL ELSE coalesce(offer_code, `+freshCode+`) END
			WHERE id = @id`, args{"id": id, "deadline": day(call.Deadline), "wants": call.Wants, "note": call.Note, "offers": call.Offers})
		if err != nil {
			return err
		}
		if err := writeSeats(ctx, tx, id, t.RevisionID, call.Wanted); err != nil {
			return err
		}
		out, err = readTestKnit(ctx, tx, studioID, id)
		return err
	})
	return out, fail(err, "changing test knit %d", id)
}

// onTestKnit runs f in a transaction that holds a test knit of the studio.
func (db *DB) onTestKnit(ctx context.Context, studioID, id int64, f func(pgx.Tx, studio.TestKnit) error) error {
	return db.inTx(ctx, func(tx pgx.Tx) error {
		t, err := lockTestKnit(ctx, tx, studioID, id)
		if err != nil {
			return err
		}
		return f(tx, t)
	})
}

// lockTestKnit locks a test knit of the studio and reads it.
func lockTestKnit(ctx context.Context, tx pgx.Tx, studioID, id int64) (studio.TestKnit, error) {
	_, err := value[int64](ctx, tx, `
		SELECT t.id FROM testknit t JOIN pattern p ON p.id = t.pattern_id
		WHERE t.id = @id AND p.studio_id = @studio FOR UPDATE OF t`, args{"id": id, "studio": studioID})
	if err != nil {
		return studio.TestKnit{}, err
	}
	return readTestKnit(ctx, tx, studioID, id)
}

// SendRevision gives an open test knit a newer test revision of its pattern. Knitters who
// are invited or knitting get it, from where they are; those who have reported stay with
// theirs. letter writes to each of those who got it; a letter without an address is
// not sent. The accepted errata in fixed are noted as put right in it.
func (db *DB) SendRevision(ctx context.Context, studioID, id, revisionID int64, fixed []int64, letter Letters) (studio.TestKnit, error) {
	var out studio.TestKnit
	err := db.onTestKnit(ctx, studioID, id, func(tx pgx.Tx, t studio.TestKnit) error {
		if !t.Open {
			return studio.ErrConflict
		}
		err := changeOne(ctx, tx, `
			UPDATE testknit t SET revision_id = r.id, version = t.version + 1
			FROM revision r
			WHERE t.id = @id AND r.id = @revision AND r.pattern_id = t.pattern_id AND r.purpose = 'test' AND r.id > t.revision_id`,
			args{"id": id, "revision": revisionID})
		if err != nil {
			return err
		}
		wanted := map[int64]int{}
		for _, s := range t.Seats {
			wanted[s.SizeID] = s.Wanted
		}
		if err := writeSeats(ctx, tx, id, revisionID, wanted); err != nil {
			return err
		}
		_, err = tx.Exec(ctx, `
			UPDATE knitter k SET changed_from = coalesce(k.changed_from, CASE WHEN k.state = 'knitting' THEN k.revision_id END), revision_id = @revision
			WHERE k.testknit_id = @id AND k.state IN ('invited', 'knitting')
				AND (k.size_id IS NULL OR EXISTS (SELECT FROM revision_size s WHERE s.revision_id = @revision AND s.size_id = k.size_id))`,
			args{"id": id, "revision": revisionID})
		if err != nil {
			return err
		}
		if err := noteFixes(ctx, tx, t.PatternID, revisionID, fixed, ""); err != nil {
			return err
		}
		got, err := values[int64](ctx, tx, `
			SELECT id FROM knitter WHERE testknit_id = @id AND state IN ('invited', 'knitting') AND revision_id = @revision ORDER BY id`,
			args{"id": id, "revision": revisionID})
		if err != nil {
			return err
		}
		for _, k := range got {
			if err := db.writeTo(ctx, tx, studioID, k, letter); err != nil {
				return err
			}
		}
		out, err = readTestKnit(ctx, tx, studioID, id)
		return err
	})
	return out, fail(err, "sending revision %d to test knit %d", revisionID, id)
}

// Letters writes a letter to a knitter, inside the change that it tells of. One
// without an address is not sent.
type Letters func(studio.Knitter) studio.Letter

// write sends what a Letters says, where there is one to whom it may be sent: somebody
// who wants no notices gets none.
func (db *DB) write(ctx context.Context, tx pgx.Tx, studioID int64, letter Letters, k studio.Knitter) error {
	if letter == nil {
		return nil
	}
	l := letter(k)
	if l.ToEmail == "" || l.ToEmail == k.Person.Email && k.Person.MailStopped {
		return nil
	}
	return db.writeLetter(ctx, tx, studioID, l)
}

// writeTo is write to the knitter with an id, as she now stands.
func (db *DB) writeTo(ctx context.Context, tx pgx.Tx, studioID, knitterID int64, letter Letters) error {
	k, err := one[knitterRow](ctx, tx, knitterSelect+` WHERE k.id = @id`, args{"id": knitterID})
	if err != nil {
		return err
	}
	return db.write(ctx, tx, studioID, letter, k.domain())
}

// CloseTestKnit ends a test knit with a word of thanks. Its knitters keep what they may
// read. letter writes to each who was seated.
func (db *DB) CloseTestKnit(ctx context.Context, studioID, id int64, thanks string, letter Letters) error {
	err := db.onTestKnit(ctx, studioID, id, func(tx pgx.Tx, t studio.TestKnit) error {
		if !t.Open {
			return studio.ErrConflict
		}
		_, err := tx.Exec(ctx, `
			UPDATE testknit SET state = 'closed', closed_at = now(), offer_code = NULL, thanks = @thanks, version = version + 1 WHERE id = @id`,
			args{"id": id, "thanks": thanks})
		if err != nil {
			return err
		}
		seated, err := values[int64](ctx, tx, `
			SELECT id FROM knitter WHERE testknit_id = @id AND state IN ('invited', 'knitting', 'finished') ORDER BY id`, args{"id": id})
		if err != nil {
			return err
		}
		for _, k := range seated {
			if err := db.writeTo(ctx, tx, studioID, k, letter); err != nil {
				return err
			}
		}
		return nil
	})
	return fail(err, "closing test knit %d", id)
}

// OfferedTestKnit returns the open test knit whose page for offers has that code. It is
// public: no note of the studio's comes with it.
func (db *DB) OfferedTestKnit(ctx context.Context, studioID int64, code string) (studio.TestKnit, error) {
	r, err := one[testKnitRow](ctx, db.pool, testKnitSelect+`
		WHERE p.studio_id = @studio AND t.offer_code = @code AND t.state = 'open'`, args{"studio": studioID, "code": code})
	if err != nil {
		return studio.TestKnit{}, fail(err, "reading a page that takes offers")
	}
	out := r.domain()
	out.Note = ""
	out.Seats, err = readSeats(ctx, db.pool, out.ID)
	return out, fail(err, "reading a page that takes offers")
}
