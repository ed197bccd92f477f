package store

import (
	"context"
	"crypto/rand"
	"errors"

	"github.com/jackc/pgx/v5"

	"rowproof/domain/studio"
)

// People who sign in by a mailed link: Person, PersonByEmail, WriteToPerson, StopMail,
// EndSessions, Secret.

const personSelect = `
	SELECT id, studio_id, coalesce(email, '') AS email, name, seal, mail_stopped_at IS NOT NULL AS mail_stopped FROM person`

// Person returns a person of the studio.
func (db *DB) Person(ctx context.Context, studioID, personID int64) (studio.Person, error) {
	p, err := one[studio.Person](ctx, db.pool, personSelect+` WHERE studio_id = @studio AND id = @id`, args{"studio": studioID, "id": personID})
	return p, fail(err, "reading person %d", personID)
}

// WriteToPerson writes to the person with an address, if she is seated in a test knit: her
// link to sign in. Nobody with that address is no error, so that nothing can be found
// out about who knits.
func (db *DB) WriteToPerson(ctx context.Context, studioID int64, email string, letter func(studio.Person) studio.Letter) error {
	email, err := studio.NormalEmail(email)
	if err != nil {
		return err
	}
	err = db.inTx(ctx, func(tx pgx.Tx) error {
		p, err := one[studio.Person](ctx, tx, personSelect+`
			WHERE studio_id = @studio AND email = @email
				AND EXISTS (SELECT FROM knitter k WHERE k.person_id = person.id AND k.state IN ('invited', 'knitting', 'finished'))`,
			args{"studio": studioID, "email": email})
		if errors.Is(err, studio.ErrNotFound) {
			return nil
		}
		if err != nil {
			return err
		}
		return db.writeLetter(ctx, tx, studioID, letter(p))
	})
	return fail(err, "writing a link to sign in")
}

// StopMail notes whether a person wants no more notices.
func (db *DB) StopMail(ctx context.Context, studioID, personID int64, stop bool) error {
	err := changeOne(ctx, db.pool, `
		UPDATE person SET mail_stopped_at = CASE WHEN @stop THEN coalesce(mail_stopped_at, now()) END
		WHERE studio_id = @studio AND id = @id`, args{"studio": studioID, "id": personID, "stop": stop})
	return fail(err, "noting whether person %d wants mail", personID)
}

// EndSessions ends every session and link of a person: where she lost her phone.
func (db *DB) EndSessions(ctx context.Context, studioID, personID int64) error {
	err := changeOne(ctx, db.pool, `UPDATE person SET seal = seal + 1 WHERE studio_id = @studio AND id = @id`, args{"studio": studioID, "id": personID})
	return fail(err, "ending the sessions of person %d", personID)
}

// ForgetPerson deletes what is known of a person: address and name, every letter to her, her
// offers, credits, photographs and what she said of fit and hours; her seats are given
// back, her sessions and links end. What she noted on rows stays, under nobody's name: it
// belongs to the pattern. So do weights, gauges and measurements, which name nobody.
func (db *DB) ForgetPerson(ctx context.Context, studioID, personID int64) error {
	err := db.inTx(ctx, func(tx pgx.Tx) error {
		p, err := one[studio.Person](ctx, tx, personSelect+` WHERE studio_id = @studio AND id = @id FOR UPDATE`, args{"studio": studioID, "id": personID})
		if err != nil {
			return err
		}
		hers := args{"id": p.ID}
		for _, sql := range []string{
			`DELETE FROM knit_photo f USING knitter k WHERE k.id = f.knitter_id AND k.person_id = @id`,
			`DELETE FROM erratum_photo f USING erratum x, knitter k WHERE x.id = f.erratum_id AND k.id = x.knitter_id AND k.person_id = @id`,
			`UPDATE knit_report r SET fit = '', note = '', hours = NULL FROM knitter k WHERE k.id = r.knitter_id AND k.person_id = @id`,
			`UPDATE knitter SET offer = '', credit = '', ended_at = coalesce(ended_at, now()),
				state = CASE state WHEN 'offered' THEN 'declined' WHEN 'invited' THEN 'withdrawn' WHEN 'knitting' THEN 'withdrawn' ELSE state END
				WHERE person_id = @id`,
			`UPDATE person SET email = NULL, name = '', seal = seal + 1 WHERE id = @id`,
		} {
			if _, err := tx.Exec(ctx, sql, hers); err != nil {
				return err
			}
		}
		_, err = tx.Exec(ctx, `DELETE FROM message WHERE studio_id = @studio AND to_email = @email`, args{"studio": studioID, "email": p.Email})
		return err
	})
	return fail(err, "forgetting person %d", personID)
}

// Secret returns the studio's key of 64 bytes for a purpose, made on first use.
func (db *DB) Secret(ctx context.Context, studioID int64, purpose string) ([]byte, error) {
	fresh := make([]byte, 64)
	if _, err := rand.Read(fresh); err != nil {
		return nil, fail(err, "making the key for %s", purpose)
	}
	var key []byte
	err := db.inTx(ctx, func(tx pgx.Tx) error {
		_, err := tx.Exec(ctx, `INSERT INTO secret (studio_id, purpose, key) VALUES (@studio, @purpose, @key) ON CONFLICT DO NOTHING`,
			args{"studio": studioID, "purpose": purpose, "key": fresh})
		if err != nil {
			return err
		}
		key, err = value[[]byte](ctx, tx, `SELECT key FROM secret WHERE studio_id = @studio AND purpose = @purpose`,
			args{"studio": studioID, "purpose": purpose})
		return err
	})
	return key, fail(err, "reading the key for %s", purpose)
}
