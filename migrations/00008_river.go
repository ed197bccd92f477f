package migrations

import (
	"context"
	"database/sql"
	"fmt"
	"log/slog"

	"github.com/pressly/goose/v3"
	"github.com/riverqueue/river/riverdriver/riverdatabasesql"
	"github.com/riverqueue/river/rivermigrate"
)

// riverTables are the tables of river, which keeps the jobs, as river's own migrations up
// to number 8 (river v0.51.2) make them. A river that needs more gets a migration of its
// own behind the others; this number stays. Not in a transaction, as river wants it: its
// migrations note one by one what is done, and go on from there.
var riverTables = goose.NewGoMigration(8,
	&goose.GoFunc{RunDB: migrateRiver(rivermigrate.DirectionUp, 8)},
	&goose.GoFunc{RunDB: migrateRiver(rivermigrate.DirectionDown, -1)}) // the way back, "-- +goose Down": all of them

// migrateRiver brings river's tables to a number of river's own; -1 takes them all away.
func migrateRiver(direction rivermigrate.Direction, target int) func(context.Context, *sql.DB) error {
	return func(ctx context.Context, db *sql.DB) error {
		m, err := rivermigrate.New(riverdatabasesql.New(db), &rivermigrate.Config{Logger: slog.New(slog.DiscardHandler)})
		if err != nil {
			return fmt.Errorf("river: %w", err)
		}
		if _, err := m.Migrate(ctx, direction, &rivermigrate.MigrateOpts{TargetVersion: target}); err != nil {
			return fmt.Errorf("river: %w", err)
		}
		return nil
	}
}
