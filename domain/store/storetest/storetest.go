// Package storetest gives tests a real database.
//
//	func TestMain(m *testing.M) { storetest.Main(m) }
//
//	db := storetest.New(t)   // empty, migrated, gone after the test
//
// The first call of a test run starts a private Postgres under /tmp (package
// localdb), or uses the server at ROWPROOF_TEST_DATABASE_URL, an address whose
// account may create databases. The migrations run once, into a template; each
// test's database is a copy of it, made in some tens of milliseconds. Tests may
// run in parallel.
package storetest

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"log/slog"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"rowproof/domain/localdb"
	"rowproof/domain/store"
	"rowproof/migrations"
)

// DatabaseURL is the environment variable that names a server to use.
const DatabaseURL = "ROWPROOF_TEST_DATABASE_URL"

// New returns an empty database with the whole schema, closed and dropped when
// the test ends.
func New(t testing.TB) *store.DB {
	t.Helper()
	db, err := store.Open(t.Context(), URL(t))
	if err != nil {
		t.Fatalf("opening the test's database: %v", err)
	}
	t.Cleanup(db.Close) // before the drop: cleanups run last first
	return db
}

// URL makes an empty database with the whole schema and returns its address, for
// tests that start the program itself. It is dropped when the test ends.
func URL(t testing.TB) string {
	t.Helper()
	s, err := theServer()
	if err != nil {
		t.Fatalf("starting a database server for the tests: %v", err)
	}
	name := fmt.Sprintf("rowproof_test_%d_%d", os.Getpid(), s.made.Add(1))
	sql := `CREATE DATABASE ` + name + ` TEMPLATE ` + s.template
	if s.fileCopy {
		sql += ` STRATEGY FILE_COPY`
	}
	if err := s.exec(t.Context(), sql); err != nil {
		t.Fatalf("making the test's database: %v", err)
	}
	t.Cleanup(func() {
		ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
		defer cancel()
		if err := s.exec(ctx, `DROP DATABASE `+name+` WITH (FORCE)`); err != nil {
			t.Errorf("dropping the test's database: %v", err)
		}
	})
	return withDatabase(s.url, name)
}

// Main runs a package's tests and then stops the server and removes its data.
// A package that does not call it leaves its data to the next run's sweep.
func Main(m *testing.M) {
	code := m.Run()
	mu.Lock()
	defer mu.Unlock()
	if running != nil && running.local != nil {
		ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
		defer cancel()
		if err := running.local.Stop(ctx); err != nil {
			fmt.Fprintln(os.Stderr, "storetest:", err)
		}
		os.RemoveAll(running.dir)
	}
	os.Exit(code)
}

// server is the one server of a test run.
type server struct {
	url      string // of its database "postgres", or the one it was given
	template string
	fileCopy bool // PostgreSQL 15: copies a small template three times faster than by log
	made     atomic.Int64
	local    *localdb.Server // nil when the server was given
	dir      string
}

var (
	mu      sync.Mutex
	running *server
	failed  error
)

func theServer() (*server, error) {
	mu.Lock()
	defer mu.Unlock()
	if running == nil && failed == nil {
		running, failed = startServer()
	}
	return running, failed
}

func startServer() (*server, error) {
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
	defer cancel()
	s := &server{url: os.Getenv(DatabaseURL)}
	if s.url == "" {
		sweep()
		var err error
		// Under /tmp and open to all: the account that runs the server must get in.
		if s.dir, err = os.MkdirTemp("/tmp", fmt.Sprintf("rowproof-test-%d-", os.Getpid())); err != nil {
			return nil, err
		}
		if err := os.Chmod(s.dir, 0o755); err != nil {
			return nil, err
		}
		s.local, err = localdb.Start(ctx, s.dir, slog.New(slog.DiscardHandler),
			localdb.Setting{Name: "fsync", Value: "off"}, localdb.Setting{Name: "synchronous_commit", Value: "off"},
			localdb.Setting{Name: "full_page_writes", Value: "off"}, localdb.Setting{Name: "shared_buffers", Value: "32MB"})
		if err != nil {
			return nil, err
		}
		s.url = s.local.URL()
	}
	return s, s.makeTemplate(ctx)
}

// makeTemplate makes the template unless another test process has. Its name
// follows the migrations, so that on a server that is kept a changed schema gets a new one.
func (s *server) makeTemplate(ctx context.Context) error {
	sum := sha256.New()
	for _, name := range migrations.Names() {
		b, err := migrations.Read(name)
		if err != nil {
			return err
		}
		sum.Write(b)
	}
	s.template = "rowproof_template_" + hex.EncodeToString(sum.Sum(nil)[:6])

	conn, err := pgx.Connect(ctx, s.url)
	if err != nil {
		return err
	}
	defer conn.Close(context.WithoutCancel(ctx))
	var version string
	if err := conn.QueryRow(ctx, `SHOW server_version_num`).Scan(&version); err != nil {
		return err
	}
	s.fileCopy = len(version) >= 6 && version >= "150000"
	if _, err := conn.Exec(ctx, `SELECT pg_advisory_lock(7309453)`); err != nil { // ends with the connection
		return err
	}
	var whole bool
	err = conn.QueryRow(ctx, `SELECT EXISTS (SELECT FROM pg_database WHERE datname = $1 AND datistemplate)`, s.template).Scan(&whole)
	if err != nil || whole {
		return err
	}
	for _, sql := range []string{`DROP DATABASE IF EXISTS ` + s.template, `CREATE DATABASE ` + s.template} {
		if _, err := conn.Exec(ctx, sql); err != nil {
			return err
		}
	}
	db, err := store.Open(ctx, withDatabase(s.url, s.template))
	if err != nil {
		return err
	}
	db.Close()
	// A template with connections cannot be copied.
	_, err = conn.Exec(ctx, `ALTER DATABASE `+s.template+` IS_TEMPLATE true ALLOW_CONNECTIONS false`)
	return err
}

func (s *server) exec(ctx context.Context, sql string) error {
	conn, err := pgx.Connect(ctx, s.url)
	if err != nil {
		return err
	}
	defer conn.Close(context.WithoutCancel(ctx))
	_, err = conn.Exec(ctx, sql)
	return err
}

func withDatabase(address, name string) string {
	u, err := url.Parse(address)
	if err != nil {
		panic("BUG: " + DatabaseURL + " must be a postgres:// address")
	}
	u.Path = "/" + name
	return u.String()
}

// sweep removes the data of test runs that ended without removing it.
func sweep() {
	dirs, err := filepath.Glob("/tmp/rowproof-test-*-*")
	if err != nil {
		return
	}
	for _, d := range dirs {
		pid, err := strconv.Atoi(strings.Split(filepath.Base(d), "-")[2])
		if err == nil && syscall.Kill(pid, 0) == syscall.ESRCH {
			os.RemoveAll(d)
		}
	}
}
