// Package migrations carries the database's schema as numbered SQL files and
// applies them.
//
//	err := migrations.Up(ctx, db)
//
// House rules for the files: one subject each, in one transaction; names in the
// singular; every table and every column that does not speak for itself has a
// COMMENT; ranges and states are named CHECKs; a file that has been released is
// never edited, a new one is added. The tables of river (river_…) are river's, and
// look as river likes; their migration is a Go file.
package migrations

import (
	"context"
	"database/sql"
	"embed"
	"fmt"

	"github.com/pressly/goose/v3"
	"github.com/pressly/goose/v3/lock"
)

//go:embed *.sql 00008_river.go
var files embed.FS

// NewerError says that the database was last used by a newer rowproof.
type NewerError struct {
	Found int64 // schema number in the database
	Known int64 // highest schema number this program knows
}

func (e *NewerError) Error() string {
	return fmt.Sprintf("the database was last used by a newer rowproof (its schema is number %d, this program knows up to %d); "+
		"run the newer program, or restore a backup from before the upgrade", e.Found, e.Known)
}

// Up brings the database's schema to the newest one this program knows, and
// does nothing when it is there already. Several processes may call it at once:
// one works, the others wait. A schema newer than this program's is left alone
// and reported as a [*NewerError].
func Up(ctx context.Context, db *sql.DB) error {
	// Ask for the lock each second for five minutes; goose's own pause is five seconds.
	locker, err := lock.NewPostgresSessionLocker(lock.WithLockTimeout(1, 300))
	if err != nil {
		return fmt.Errorf("migrations: %w", err)
	}
	p, err := goose.NewProvider(goose.DialectPostgres, db, files,
		goose.WithSessionLocker(locker), goose.WithDisableGlobalRegistry(true), goose.WithGoMigrations(riverTables))
	if err != nil {
		return fmt.Errorf("migrations: %w", err)
	}
	found, known, err := p.GetVersions(ctx)
	if err != nil {
		return fmt.Errorf("migrations: reading the schema's number: %w", err)
	}
	if found > known {
		return &NewerError{Found: found, Known: known}
	}
	if found == known {
		return nil // the usual start takes no lock
	}
	if _, err := p.Up(ctx); err != nil {
		return fmt.Errorf("migrations: %w", err)
	}
	return nil
}

// Names lists the files in the order in which they apply.
func Names() []string {
	entries, err := files.ReadDir(".")
	if err != nil {
		panic("BUG: the embedded migrations cannot be listed: " + err.Error())
	}
	names := make([]string, len(entries)) // ReadDir sorts them
	for i, e := range entries {
		names[i] = e.Name()
	}
	return names
}

// Read returns the text of a file that Names lists: SQL, or Go.
func Read(name string) ([]byte, error) { return files.ReadFile(name) }
