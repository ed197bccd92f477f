package store

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"rowproof/domain/studio"
)

// Knitters of test knits: Knitters, KnitterOfStudio, Invite, TakeOffer, SeatKnitter, DeclineKnitter,
// WithdrawKnitter. What a knitter herself sees is asked by her person's id: KnitsOf,
// Knit, KnitRevision, OpenKnit, SeeChanges, LeaveKnit. Those that take a knitter or her id alone
// are for one that Knit has returned.

type knitterRow struct {
	ID          int64
	TestknitID  int64
	PatternID   int64
	PersonID    int64
	StudioID    int64
	Email       *string
	Name        string
	Seal        int
	MailStopped bool
	State       studio.KnitterState
	SizeID      *int64
	Size        string
	RevisionID  *int64
	Revision    int
	ChangedFrom *int64
	Offer       string
	PlaceRow    *int64
	PlaceWords  string
	PlaceStep   int
	PlaceOf     int
	PlaceAt     *time.Time
	Credit      string
	CreatedAt   time.Time
	BegunAt     *time.Time
	EndedAt     *time.Time
	Errata      int
	Reported    bool
}

func (r knitterRow) domain() studio.Knitter {
	return studio.Knitter{
		ID: r.ID, TestKnitID: r.TestknitID, PatternID: r.PatternID,
		Person: studio.Person{ID: r.PersonID, StudioID: r.StudioID, Email: orZero(r.Email), Name: r.Name, Seal: r.Seal, MailStopped: r.MailStopped},
		State:  r.State, SizeID: orZero(r.SizeID), Size: r.Size, RevisionID: orZero(r.RevisionID), Revision: r.Revision, ChangedFrom: orZero(r.ChangedFrom),
		Offer: r.Offer, Place: studio.Place{RowID: orZero(r.PlaceRow), Words: r.PlaceWords, Step: r.PlaceStep, Of: r.PlaceOf, At: orZero(r.PlaceAt)},
		Credit: r.Credit, CreatedAt: r.CreatedAt, BegunAt: orZero(r.BegunAt), EndedAt: orZero(r.EndedAt), Errata: r.Errata, Reported: r.Reported,
	}
}

// knitterSelect selects knitterRows; a WHERE follows.
const knitterSelect = `
	SELECT k.id, k.testknit_id, t.pattern_id, k.person_id, e.studio_id, e.email, e.name, e.seal, e.mail_stopped_at IS NOT NULL AS mail_stopped,
		k.state, k.size_id, coalesce(rs.label, z.label, '') AS size, k.revision_id, coalesce(r.number, 0) AS revision, k.changed_from, k.offer,
		k.place_row, k.place_words, k.place_step, k.place_of, k.place_at, k.credit, k.created_at, k.begun_at, k.ended_at,
		(SELECT count(*) FROM erratum x WHERE x.knitter_id = k.id)::integer AS errata,
		EXISTS (SELECT FROM knit_report kr WHERE kr.knitter_id = k.id) AS reported
	FROM knitter k
	JOIN testknit t ON t.id = k.testknit_id
	JOIN pattern p ON p.id = t.pattern_id AND p.deleted_at IS NULL
	JOIN person e ON e.id = k.person_id
	LEFT JOIN revision r ON r.id = k.revision_id
	LEFT JOIN size z ON z.id = k.size_id
	LEFT JOIN revision_size rs ON rs.revision_id = k.revision_id AND rs.size_id = k.size_id`

func knitters(rows []knitterRow) []studio.Knitter {
	out := make([]studio.Knitter, len(rows))
	for i, r := range rows {
		out[i] = r.domain()
	}
	return out
}

// Knitters lists the people of a test knit, by size, then as they came.
func (db *DB) Knitters(ctx context.Context, studioID, testKnitID int64) ([]studio.Knitter, error) {
	rows, err := list[knitterRow](ctx, db.pool, knitterSelect+`
		WHERE p.studio_id = @studio AND k.testknit_id = @id ORDER BY rs.ordinal NULLS LAST, k.id`, args{"studio": studioID, "id": testKnitID})
	return knitters(rows), fail(err, "listing the knitters of test knit %d", testKnitID)
}

// KnitterOfStudio returns a knitter of one of the studio's test knits, of that pattern.
func (db *DB) KnitterOfStudio(ctx context.Context, studioID, patternID, knitterID int64) (studio.Knitter, error) {
	r, err := one[knitterRow](ctx, db.pool, knitterSelect+`
		WHERE p.studio_id = @studio AND t.pattern_id = @pattern AND k.id = @id`, args{"studio": studioID, "pattern": patternID, "id": knitterID})
	return r.domain(), fail(err, "reading knitter %d", knitterID)
}

// ensurePerson returns the person with an address, made when there is none. A name that
// is known is kept.
func ensurePerson(ctx context.Context, tx pgx.Tx, studioID int64, email, name string) (int64, error) {
	return value[int64](ctx, tx, `
		INSERT INTO person (studio_id, email, name) VALUES (@studio, @email, @name)
		ON CONFLICT (studio_id, email) DO UPDATE SET name = CASE WHEN person.name = '' THEN excluded.name ELSE person.name END
		RETURNING id`, args{"studio": studioID, "email": email, "name": name})
}

// Invite gives a person a size of an open test knit and writes to her. Somebody who is
// in it already is studio.ErrTaken; one who offered or was away gets the seat.
func (db *DB) Invite(ctx context.Context, studioID, testKnitID int64, o studio.Offer, letter Letters) (studio.Knitter, error) {
	o, err := o.Validate()
	if err != nil {
		return studio.Knitter{}, err
	}
	var out studio.Knitter
	err = db.onTestKnit(ctx, studioID, testKnitID, func(tx pgx.Tx, t studio.TestKnit) error {
		person, err := ensurePerson(ctx, tx, studioID, o.Email, o.Name)
		if err != nil {
			return err
		}
		id, err := value[int64](ctx, tx, `
			INSERT INTO knitter (testknit_id, person_id, state, offer) VALUES (@t, @person, 'offered', '')
			ON CONFLICT (testknit_id, person_id) DO UPDATE SET offer = knitter.offer
			RETURNING id`, args{"t": t.ID, "person": person})
		if err != nil {
			return err
		}
		out, err = db.seat(ctx, tx, studioID, t, id, o.SizeID, letter)
		return err
	})
	return out, fail(err, "inviting to test knit %d", testKnitID)
}

// seat gives a knitter who has no seat a size of an open test knit, and its newest
// revision.
func (db *DB) seat(ctx context.Context, tx pgx.Tx, studioID int64, t studio.TestKnit, knitterID, sizeID int64, letter Letters) (studio.Knitter, error) {
	k, err := one[knitterRow](ctx, tx, knitterSelect+` WHERE k.testknit_id = @t AND k.id = @id`, args{"t": t.ID, "id": knitterID})
	if err != nil {
		return studio.Knitter{}, err
	}
	if !t.Open {
		return studio.Knitter{}, studio.ErrConflict
	}
	if k.State.Seated() {
		return studio.Knitter{}, studio.ErrTaken
	}
	fits := false
	for _, s := range t.Seats {
		fits = fits || s.SizeID == sizeID
	}
	if !fits {
		return studio.Knitter{}, &studio.InvalidError{Field: "size", Problem: "is not one of this revision’s sizes"}
	}
	_, err = tx.Exec(ctx, `
		UPDATE knitter SET state = CASE WHEN begun_at IS NULL THEN 'invited' ELSE 'knitting' END, size_id = @size, revision_id = @revision, ended_at = NULL
		WHERE id = @id`, args{"id": knitterID, "size": orNull(sizeID), "revision": t.RevisionID})
	if err != nil {
		return studio.Knitter{}, err
	}
	k, err = one[knitterRow](ctx, tx, knitterSelect+` WHERE k.id = @id`, args{"id": knitterID})
	if err != nil {
		return studio.Knitter{}, err
	}
	return k.domain(), db.write(ctx, tx, studioID, letter, k.domain())
}

// TakeOffer notes that somebody would like to knit. It is public; the code is that of
// the page. One who is in it already changes nothing, and is not told apart. letter
// writes to the studio.
func (db *DB) TakeOffer(ctx context.Context, studioID int64, code string, o studio.Offer, letter Letters) error {
	o, err := o.Validate()
	if err != nil {
		return err
	}
	err = db.inTx(ctx, func(tx pgx.Tx) error {
		id, err := value[int64](ctx, tx, `
			SELECT t.id FROM testknit t JOIN pattern p ON p.id = t.pattern_id
			WHERE p.studio_id = @studio AND p.deleted_at IS NULL AND t.offer_code = @code AND t.state = 'open' FOR UPDATE OF t`,
			args{"studio": studioID, "code": code})
		if err != nil {
			return err
		}
		person, err := ensurePerson(ctx, tx, studioID, o.Email, o.Name)
		if err != nil {
			return err
		}
		made, err := values[int64](ctx, tx, `
			INSERT INTO knitter (testknit_id, person_id, state, size_id, offer)
			SELECT @t, @person, 'offered', (SELECT size_id FROM seat WHERE testknit_id = @t AND size_id = @size::bigint), @words
			ON CONFLICT (testknit_id, person_id) DO NOTHING
			RETURNING id`, args{"t": id, "person": person, "size": orNull(o.SizeID), "words": o.Words})
		if err != nil || len(made) == 0 {
			return err
		}
		return db.writeTo(ctx, tx, studioID, made[0], letter)
	})
	return fail(err, "taking an offer")
}

// SeatKnitter gives somebody who offered, or no longer knitted, a size.
func (db *DB) SeatKnitter(ctx context.Context, studioID, testKnitID, knitterID, sizeID int64, letter Letters) (studio.Knitter, error) {
	var out studio.Knitter
	err := db.onTestKnit(ctx, studioID, testKnitID, func(tx pgx.Tx, t studio.TestKnit) (err error) {
		out, err = db.seat(ctx, tx, studioID, t, knitterID, sizeID, letter)
		return err
	})
	return out, fail(err, "seating knitter %d", knitterID)
}

// MoveKnitter gives a knitter who has not reported another size.
func (db *DB) MoveKnitter(ctx context.Context, studioID, testKnitID, knitterID, sizeID int64, letter Letters) error {
	err := db.onTestKnit(ctx, studioID, testKnitID, func(tx pgx.Tx, t studio.TestKnit) error {
		err := changeOne(ctx, tx, `
			UPDATE knitter SET size_id = @size::bigint
			WHERE id = @id AND testknit_id = @t AND state IN ('invited', 'knitting')
				AND EXISTS (SELECT FROM revision_size s WHERE s.revision_id = knitter.revision_id AND s.size_id = @size::bigint)`,
			args{"id": knitterID, "t": t.ID, "size": orNull(sizeID)})
		if err != nil {
			return err
		}
		return db.writeTo(ctx, tx, studioID, knitterID, letter)
	})
	return fail(err, "moving knitter %d", knitterID)
}

// EndKnitter takes a knitter's seat, or declines her offer. What she noted stays.
func (db *DB) EndKnitter(ctx context.Context, studioID, testKnitID, knitterID int64, letter Letters) error {
	err := db.onTestKnit(ctx, studioID, testKnitID, func(tx pgx.Tx, t studio.TestKnit) error {
		err := changeOne(ctx, tx, `
			UPDATE knitter SET state = CASE state WHEN 'offered' THEN 'declined' ELSE 'withdrawn' END, ended_at = now()
			WHERE id = @id AND testknit_id = @t AND state IN ('offered', 'invited', 'knitting')`, args{"id": knitterID, "t": t.ID})
		if err != nil {
			return err
		}
		return db.writeTo(ctx, tx, studioID, knitterID, letter)
	})
	return fail(err, "ending the part of knitter %d", knitterID)
}

// Remind writes to a knitter of a test knit: her link once more.
func (db *DB) Remind(ctx context.Context, studioID, testKnitID, knitterID int64, letter Letters) error {
	err := db.onTestKnit(ctx, studioID, testKnitID, func(tx pgx.Tx, t studio.TestKnit) error {
		k, err := one[knitterRow](ctx, tx, knitterSelect+` WHERE k.id = @id AND k.testknit_id = @t`, args{"id": knitterID, "t": t.ID})
		if err != nil {
			return err
		}
		if !k.State.Seated() {
			return studio.ErrNotFound
		}
		return db.write(ctx, tx, studioID, letter, k.domain())
	})
	return fail(err, "writing to knitter %d again", knitterID)
}

// KnitsOf lists the test knits that a person is seated in, newest first.
func (db *DB) KnitsOf(ctx context.Context, studioID, personID int64) ([]studio.Knit, error) {
	rows, err := list[knitterRow](ctx, db.pool, knitterSelect+`
		WHERE e.studio_id = @studio AND k.person_id = @person AND k.state IN ('invited', 'knitting', 'finished') ORDER BY k.id DESC`,
		args{"studio": studioID, "person": personID})
	if err != nil {
		return nil, fail(err, "listing the test knits of person %d", personID)
	}
	out := make([]studio.Knit, len(rows))
	for i, r := range rows {
		if out[i], err = knitOf(ctx, db.pool, r.domain()); err != nil {
			return nil, fail(err, "listing the test knits of person %d", personID)
		}
	}
	return out, nil
}

// Knit returns a test knit as its knitter may see it: her own seat, her own revision,
// nothing of others and no private note. What is not hers is studio.ErrNotFound.
func (db *DB) Knit(ctx context.Context, studioID, personID, knitterID int64) (studio.Knit, error) {
	r, err := one[knitterRow](ctx, db.pool, knitterSelect+`
		WHERE e.studio_id = @studio AND k.person_id = @person AND k.id = @id AND k.state IN ('invited', 'knitting', 'finished')`,
		args{"studio": studioID, "person": personID, "id": knitterID})
	if err != nil {
		return studio.Knit{}, fail(err, "reading the test knit of knitter %d", knitterID)
	}
	out, err := knitOf(ctx, db.pool, r.domain())
	return out, fail(err, "reading the test knit of knitter %d", knitterID)
}

func knitOf(ctx context.Context, c conn, k studio.Knitter) (studio.Knit, error) {
	t, err := one[struct {
		Title    string
		Slug     string
		Open     bool
		Deadline *time.Time
		Wants    string
		Thanks   string
	}](ctx, c, `
		SELECT r.title, p.slug, t.state = 'open' AS open, t.deadline, t.wants, t.thanks
		FROM testknit t JOIN pattern p ON p.id = t.pattern_id JOIN revision r ON r.id = @revision
		WHERE t.id = @t`, args{"t": k.TestKnitID, "revision": k.RevisionID})
	return studio.Knit{Knitter: k, Title: t.Title, Slug: t.Slug, Open: t.Open, Deadline: orZero(t.Deadline), Wants: t.Wants, Thanks: t.Thanks}, err
}

// KnitRevision returns what a knitter works from, and what she had before when she was
// given another since she last looked (else nil).
func (db *DB) KnitRevision(ctx context.Context, k studio.Knit) (rev studio.Revision, before *studio.Revision, err error) {
	if rev, err = readRevision(ctx, db.pool, k.RevisionID); err != nil {
		return rev, nil, fail(err, "reading the revision of knitter %d", k.ID)
	}
	if k.ChangedFrom != 0 {
		b, err := readRevision(ctx, db.pool, k.ChangedFrom)
		if err != nil {
			return rev, nil, fail(err, "reading the revision that knitter %d had", k.ID)
		}
		before = &b
	}
	return rev, before, nil
}

// OpenKnit notes that an invited knitter has begun.
func (db *DB) OpenKnit(ctx context.Context, knitterID int64) error {
	_, err := db.pool.Exec(ctx, `UPDATE knitter SET state = 'knitting', begun_at = now() WHERE id = @id AND state = 'invited'`, args{"id": knitterID})
	return fail(err, "beginning the test knit of knitter %d", knitterID)
}

// SeeChanges notes that a knitter has seen what her newest revision changed.
func (db *DB) SeeChanges(ctx context.Context, knitterID int64) error {
	_, err := db.pool.Exec(ctx, `UPDATE knitter SET changed_from = NULL WHERE id = @id`, args{"id": knitterID})
	return fail(err, "noting that knitter %d saw the changes", knitterID)
}

// LeaveKnit is a knitter's own word that she will not go on.
func (db *DB) LeaveKnit(ctx context.Context, studioID, knitterID int64, letter Letters) error {
	err := db.inTx(ctx, func(tx pgx.Tx) error {
		err := changeOne(ctx, tx, `
			UPDATE knitter SET state = 'withdrawn', ended_at = now() WHERE id = @id AND state IN ('invited', 'knitting')`, args{"id": knitterID})
		if err != nil {
			return err
		}
		return db.writeTo(ctx, tx, studioID, knitterID, letter)
	})
	return fail(err, "ending the part of knitter %d", knitterID)
}

// RemindKnitters writes to those who have not reported so many days before the deadline of
// their test knit. A reminder is written once: its letter has a key. One that was missed,
// because the studio was off, is written later, unless a nearer one is due.
func (db *DB) RemindKnitters(ctx context.Context, studioID int64, at time.Time, daysBefore []int,
	letter func(k studio.Knitter, title string, deadline time.Time, left, due int) studio.Letter) error {
	rows, err := list[struct {
		ID        int64
		Title     string
		Deadline  time.Time
		CreatedAt time.Time
	}](ctx, db.pool, `
		SELECT k.id, r.title, t.deadline, k.created_at
		FROM knitter k JOIN testknit t ON t.id = k.testknit_id JOIN revision r ON r.id = k.revision_id
		JOIN pattern p ON p.id = t.pattern_id
		WHERE p.studio_id = @studio AND p.deleted_at IS NULL AND t.state = 'open' AND t.deadline >= @today::date
			AND k.state IN ('invited', 'knitting')`, args{"studio": studioID, "today": at})
	if err != nil {
		return fail(err, "looking for deadlines")
	}
	today := at.UTC().Truncate(24 * time.Hour)
	for _, r := range rows {
		left := int(r.Deadline.Sub(today).Hours() / 24)
		due := 0
		for _, d := range daysBefore {
			if left <= d && (due == 0 || d < due) {
				due = d
			}
		}
		if due == 0 || r.CreatedAt.After(r.Deadline.AddDate(0, 0, -due)) { // she has only just come
			continue
		}
		err := db.inTx(ctx, func(tx pgx.Tx) error {
			return db.writeTo(ctx, tx, studioID, r.ID, func(k studio.Knitter) studio.Letter { return letter(k, r.Title, r.Deadline, left, due) })
		})
		if err != nil {
			return fail(err, "reminding knitter %d", r.ID)
		}
	}
	return nil
}
