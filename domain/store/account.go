package store

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"

	"github.com/alexedwards/scs/pgxstore"
	"github.com/jackc/pgx/v5"

	"rowproof/domain/studio"
)

// firstRun is the advisory lock under which a studio or its first account is made.
const firstRun = 0x726f7770 // "rowp"

// EnsureStudio returns the installation's studio, making one with that name when
// there is none yet. Demo patterns can be put in before anyone has an account.
func (db *DB) EnsureStudio(ctx context.Context, name string) (studio.Studio, error) {
	var st studio.Studio
	err := db.inTx(ctx, func(tx pgx.Tx) error {
		if _, err := tx.Exec(ctx, `SELECT pg_advisory_xact_lock(@lock)`, args{"lock": int64(firstRun)}); err != nil {
			return err
		}
		var err error
		st, err = one[studio.Studio](ctx, tx, `SELECT id, name, settings FROM studio ORDER BY id LIMIT 1`, args{})
		if !errors.Is(err, studio.ErrNotFound) {
			return err
		}
		st = studio.Studio{Name: name}
		if err := st.Validate(); err != nil {
			return err
		}
		st.ID, err = value[int64](ctx, tx, `INSERT INTO studio (name) VALUES (@name) RETURNING id`, args{"name": name})
		return err
	})
	return st, fail(err, "making the studio")
}

// Studio returns a studio with its settings.
func (db *DB) Studio(ctx context.Context, studioID int64) (studio.Studio, error) {
	st, err := one[studio.Studio](ctx, db.pool, `SELECT id, name, settings FROM studio WHERE id = @studio`, args{"studio": studioID})
	return st, fail(err, "reading studio %d", studioID)
}

// UpdateStudio changes a studio's name and settings.
func (db *DB) UpdateStudio(ctx context.Context, st studio.Studio) error {
	if err := st.Validate(); err != nil {
		return err
	}
	err := changeOne(ctx, db.pool, `UPDATE studio SET name = @name, settings = @settings WHERE id = @studio`,
		args{"studio": st.ID, "name": st.Name, "settings": st.Settings})
	return fail(err, "updating studio %d", st.ID)
}

type accountRow struct {
	ID           int64
	StudioID     int64
	Email        string
	Name         string
	Role         studio.Role
	PasswordHash string
}

func (r accountRow) account() studio.Account {
	seal := sha256.Sum256([]byte(r.PasswordHash)) // of a salted hash: nobody can come back from it
	return studio.Account{ID: r.ID, StudioID: r.StudioID, Email: r.Email, Name: r.Name, Role: r.Role, Seal: hex.EncodeToString(seal[:16])}
}

// HasAccount reports whether the studio has been taken into use: whether anyone
// can sign in.
func (db *DB) HasAccount(ctx context.Context) (bool, error) {
	there, err := value[bool](ctx, db.pool, `SELECT EXISTS (SELECT FROM account)`, args{})
	return there, fail(err, "looking for accounts")
}

// CreateFirstAccount makes the owner's account of a new installation. When there
// is an account already, also when two first runs meet, the error is studio.ErrTaken.
func (db *DB) CreateFirstAccount(ctx context.Context, studioID int64, n studio.NewAccount) (studio.Account, error) {
	n, err := n.Validate()
	if err != nil {
		return studio.Account{}, err
	}
	// The hash takes long: not while holding the lock, and not for nothing.
	if there, err := db.HasAccount(ctx); err != nil || there {
		if err == nil {
			err = fmt.Errorf("the first account: %w", studio.ErrTaken)
		}
		return studio.Account{}, err
	}
	hash, err := studio.HashPassword(n.Password)
	if err != nil {
		return studio.Account{}, err
	}
	a := studio.Account{StudioID: studioID, Email: n.Email, Name: n.Name, Role: studio.Owner}
	err = db.inTx(ctx, func(tx pgx.Tx) error {
		if _, err := tx.Exec(ctx, `SELECT pg_advisory_xact_lock(@lock)`, args{"lock": int64(firstRun)}); err != nil {
			return err
		}
		var err error
		a.ID, err = value[int64](ctx, tx, `
			INSERT INTO account (studio_id, email, name, password_hash, role)
			SELECT @studio, @email, @name, @hash, 'owner'
			WHERE NOT EXISTS (SELECT FROM account)
			RETURNING id`,
			args{"studio": studioID, "email": n.Email, "name": n.Name, "hash": hash})
		if errors.Is(err, studio.ErrNotFound) {
			return studio.ErrTaken
		}
		return err
	})
	if err != nil {
		return studio.Account{}, fail(err, "making the first account")
	}
	return db.Account(ctx, a.ID)
}

// FindAccountByEmail returns the account with an address, in any case.
func (db *DB) FindAccountByEmail(ctx context.Context, email string) (studio.Account, error) {
	r, err := db.accountByEmail(ctx, email)
	return r.account(), err
}

func (db *DB) accountByEmail(ctx context.Context, email string) (accountRow, error) {
	email, err := studio.NormalEmail(email)
	if err != nil {
		return accountRow{}, studio.ErrNotFound // no account has such an address
	}
	r, err := one[accountRow](ctx, db.pool, `
		SELECT id, studio_id, email, name, role, password_hash FROM account WHERE email = @email`, args{"email": email})
	return r, fail(err, "finding an account by its address")
}

// Account returns the account that is signed in.
func (db *DB) Account(ctx context.Context, id int64) (studio.Account, error) {
	r, err := one[accountRow](ctx, db.pool, `
		SELECT id, studio_id, email, name, role, password_hash FROM account WHERE id = @id`, args{"id": id})
	return r.account(), fail(err, "reading account %d", id)
}

// Authenticate returns the account with that address and password. When either is
// wrong the error is studio.ErrNotFound, and took the same time.
func (db *DB) Authenticate(ctx context.Context, email, password string) (studio.Account, error) {
	r, err := db.accountByEmail(ctx, email)
	if err != nil && !errors.Is(err, studio.ErrNotFound) {
		return studio.Account{}, err
	}
	ok, err := studio.CheckPassword(password, r.PasswordHash)
	if err != nil {
		return studio.Account{}, fmt.Errorf("account %d: %w", r.ID, err)
	}
	if !ok {
		return studio.Account{}, fmt.Errorf("signing in: %w", studio.ErrNotFound)
	}
	return r.account(), nil
}

// SetPassword gives an account of the studio a new password, and returns it under
// its new seal.
func (db *DB) SetPassword(ctx context.Context, studioID, accountID int64, password string) (studio.Account, error) {
	a, err := db.Account(ctx, accountID)
	if err != nil {
		return a, err
	}
	if err := studio.ValidatePassword(password, a.Email); err != nil {
		return a, err
	}
	hash, err := studio.HashPassword(password)
	if err != nil {
		return a, err
	}
	err = changeOne(ctx, db.pool, `UPDATE account SET password_hash = @hash WHERE id = @id AND studio_id = @studio`,
		args{"id": accountID, "studio": studioID, "hash": hash})
	if err != nil {
		return a, fail(err, "setting the password of account %d", accountID)
	}
	return db.Account(ctx, accountID)
}

// SessionStore keeps the sessions of an scs.SessionManager in this database.
// Expired ones are not found, and taken out by Housekeep. (The library's own sweeper
// is not used: stopping it races with its start.)
func (db *DB) SessionStore() *pgxstore.PostgresStore {
	return pgxstore.NewWithCleanupInterval(db.pool, 0)
}

// OwnerOf returns the owner's account of a studio.
func (db *DB) OwnerOf(ctx context.Context, studioID int64) (studio.Account, error) {
	r, err := one[accountRow](ctx, db.pool, `
		SELECT id, studio_id, email, name, role, password_hash FROM account WHERE studio_id = @studio AND role = 'owner'`, args{"studio": studioID})
	return r.account(), fail(err, "reading the owner of studio %d", studioID)
}
