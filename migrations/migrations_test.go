package migrations_test

import (
	"context"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5"

	"rowproof/domain/store"
	"rowproof/domain/store/storetest"
	"rowproof/migrations"
)

func TestMain(m *testing.M) { storetest.Main(m) }

// TestFilesAreNumbered: 1, 2, 3 …, none twice, each with a way back.
func TestFilesAreNumbered(t *testing.T) {
	form := regexp.MustCompile(`^(\d{5})_[a-z_]+\.(?:sql|go)$`)
	for i, name := range migrations.Names() {
		m := form.FindStringSubmatch(name)
		if m == nil {
			t.Errorf("%s: not named like 00001_subject.sql or .go", name)
			continue
		}
		if n, err := strconv.Atoi(m[1]); err != nil || n != i+1 {
			t.Errorf("%s: number %d, want %d", name, n, i+1)
		}
		b, err := migrations.Read(name)
		if err != nil || !strings.Contains(string(b), "-- +goose Down") {
			t.Errorf("%s: no way back, or %v", name, err)
		}
	}
}

// TestSchemaSpeaks: every table has a comment and every CHECK a name of its own, except
// in river's tables, which river makes.
func TestSchemaSpeaks(t *testing.T) {
	ctx := t.Context()
	conn, err := pgx.Connect(ctx, storetest.URL(t))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.Background())
	for _, test := range []struct{ what, sql string }{
		{"tables without a comment", `
			SELECT relname FROM pg_class
			WHERE relnamespace = 'public'::regnamespace AND relkind = 'r' AND relname NOT LIKE 'goose%' AND relname NOT LIKE 'river\_%'
				AND obj_description(oid, 'pg_class') IS NULL`},
		{"CHECKs that were not named", `
			SELECT conname FROM pg_constraint WHERE connamespace = 'public'::regnamespace AND contype = 'c' AND conname LIKE '%\_check'
				AND conrelid::regclass::text NOT LIKE 'river\_%'`},
		{"foreign keys without an index that leads with them", `
			SELECT c.conrelid::regclass::text || '.' || c.conname FROM pg_constraint c
			WHERE c.connamespace = 'public'::regnamespace AND c.contype = 'f' AND c.confdeltype IN ('c', 'a')
				AND c.confrelid IN ('pattern'::regclass, 'snapshot'::regclass, 'row_identity'::regclass, 'revision'::regclass)
				AND NOT EXISTS (SELECT FROM pg_index i WHERE i.indrelid = c.conrelid AND i.indkey[0] = c.conkey[1])`},
	} {
		rows, err := conn.Query(ctx, test.sql)
		if err != nil {
			t.Fatal(err)
		}
		found, err := pgx.CollectRows(rows, pgx.RowTo[string])
		if err != nil || len(found) != 0 {
			t.Errorf("%s: %v, %v", test.what, found, err)
		}
	}
}

func TestUpTwiceAndAtOnce(t *testing.T) {
	url := storetest.URL(t)
	conn, err := pgx.Connect(t.Context(), url)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.Background())
	// Back to an empty database, then several processes start together.
	if _, err := conn.Exec(t.Context(), `DROP SCHEMA public CASCADE; CREATE SCHEMA public`); err != nil {
		t.Fatal(err)
	}
	errs := make(chan error)
	for range 3 {
		go func() {
			db, err := store.Open(context.Background(), url)
			if err == nil {
				db.Close()
			}
			errs <- err
		}()
	}
	for range 3 {
		if err := <-errs; err != nil {
			t.Errorf("Open: %v", err)
		}
	}
	var n int
	if err := conn.QueryRow(t.Context(), `SELECT count(*) FROM goose_db_version WHERE version_id > 0`).Scan(&n); err != nil || n != len(migrations.Names()) {
		t.Errorf("%d migrations are noted, %v; want %d", n, err, len(migrations.Names()))
	}
}
