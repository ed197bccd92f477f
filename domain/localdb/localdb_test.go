//go:build unix

package localdb

import (
	"bufio"
	"context"
	"errors"
	"io"
	"log/slog"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
)

// testOnlyHold, set in the environment, turns the test binary into a process
// that starts the server in that folder and then waits to be killed.
const testOnlyHold = "ROWPROOF_TEST_ONLY_HOLD"

func TestMain(m *testing.M) {
	if dir := os.Getenv(testOnlyHold); dir != "" {
		srv, err := Start(context.Background(), dir, slog.New(slog.DiscardHandler))
		if err != nil {
			os.Stdout.WriteString("error " + err.Error() + "\n")
			os.Exit(1)
		}
		os.Stdout.WriteString("started " + strconv.Itoa(srv.proc.Pid) + "\n")
		_, _ = io.Copy(io.Discard, os.Stdin) // until killed, or the test is gone
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// folder makes a data folder that the server's account may reach, which
// t.TempDir's often is not.
func folder(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp("/tmp", "rowproof-localdb-")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	if err := os.Chmod(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	return dir
}

func context1m(t *testing.T) context.Context {
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	t.Cleanup(cancel)
	return ctx
}

func start(t *testing.T, dir string) *Server {
	t.Helper()
	srv, err := Start(context1m(t), dir, slog.New(slog.NewTextHandler(t.Output(), nil)))
	if err != nil {
		t.Fatalf("Start(%s): %v", dir, err)
	}
	t.Cleanup(func() {
		if err := srv.Stop(context.Background()); err != nil {
			t.Errorf("Stop: %v", err)
		}
	})
	return srv
}

func query(t *testing.T, srv *Server, sql string) string {
	t.Helper()
	conn, err := pgx.Connect(context1m(t), srv.URL())
	if err != nil {
		t.Fatalf("connecting to %s: %v", srv.URL(), err)
	}
	defer conn.Close(context.Background())
	rows, err := conn.Query(context1m(t), sql)
	if err != nil {
		t.Fatalf("%s: %v", sql, err)
	}
	got, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		t.Fatalf("%s: %v", sql, err)
	}
	return strings.Join(got, ",")
}

func TestStartStopStartKeepsData(t *testing.T) {
	dir := folder(t)
	srv := start(t, dir)
	query(t, srv, `CREATE TABLE wool (name text)`)
	query(t, srv, `INSERT INTO wool VALUES ('Shetland é')`)
	if err := srv.Stop(context1m(t)); err != nil {
		t.Fatalf("Stop: %v", err)
	}
	<-srv.Done()
	srv = start(t, dir)
	if got := query(t, srv, `SELECT name FROM wool`); got != "Shetland é" {
		t.Errorf("after a restart: got %q", got)
	}
	if got := query(t, srv, `SHOW listen_addresses`); got != "" {
		t.Errorf("the server listens on %q, want no network address", got)
	}
}

func TestServerKilledIsStartedAgain(t *testing.T) {
	dir := folder(t)
	srv := start(t, dir)
	query(t, srv, `CREATE TABLE wool (name text)`)
	query(t, srv, `INSERT INTO wool VALUES ('Gotland')`)
	if err := srv.proc.Kill(); err != nil {
		t.Fatal(err)
	}
	<-srv.Done()
	// The locks of the killed server now name a process that lives: this one.
	// PostgreSQL alone would refuse to start.
	pidFile := filepath.Join(dir, "postgres", "postmaster.pid")
	old, err := os.ReadFile(pidFile)
	if err != nil {
		t.Fatalf("a killed server should leave its lock: %v", err)
	}
	_, rest, _ := strings.Cut(string(old), "\n")
	if err := os.WriteFile(pidFile, []byte(strconv.Itoa(os.Getppid())+"\n"+rest), 0o600); err != nil {
		t.Fatal(err)
	}
	again := start(t, dir)
	if again.Adopted() {
		t.Error("a killed server was adopted")
	}
	if got := query(t, again, `SELECT name FROM wool`); got != "Gotland" {
		t.Errorf("after kill -9: got %q", got)
	}
}

func TestAppKilledTakesServerAlong(t *testing.T) {
	dir := folder(t)
	app := hold(t, dir)
	srv := start(t, dir) // adopts the running one
	if !srv.Adopted() {
		t.Fatal("a running server was not adopted")
	}
	query(t, srv, `CREATE TABLE wool (name text)`)
	query(t, srv, `INSERT INTO wool VALUES ('Texel')`)
	if err := srv.Stop(context1m(t)); err != nil {
		t.Fatal(err)
	}
	if got := query(t, srv, `SELECT name FROM wool`); got != "Texel" {
		t.Fatalf("Stop of an adopted server ended it: got %q", got)
	}

	if err := app.Process.Signal(syscall.SIGKILL); err != nil {
		t.Fatal(err)
	}
	_ = app.Wait()
	again := start(t, dir) // waits until the old one is gone
	if again.Adopted() {
		t.Fatal("the server outlived the killed app long enough to be adopted")
	}
	if got := query(t, again, `SELECT name FROM wool`); got != "Texel" {
		t.Errorf("after the app's kill -9: got %q", got)
	}
}

// hold starts another process that owns the server in dir.
func hold(t *testing.T, dir string) *exec.Cmd {
	t.Helper()
	app := exec.Command(os.Args[0])
	app.Env = append(os.Environ(), testOnlyHold+"="+dir)
	in, err := app.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { in.Close() })
	out, err := app.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := app.Start(); err != nil {
		t.Fatal(err)
	}
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil || !strings.HasPrefix(line, "started ") {
		t.Fatalf("the other process said %q, %v", line, err)
	}
	return app
}

func TestTwoStartAtOnce(t *testing.T) {
	dir := folder(t)
	type result struct {
		srv *Server
		err error
	}
	results := make(chan result, 3)
	for range cap(results) {
		go func() {
			srv, err := Start(context1m(t), dir, slog.New(slog.DiscardHandler))
			results <- result{srv, err}
		}()
	}
	owners := 0
	for range cap(results) {
		r := <-results
		if r.err != nil {
			t.Errorf("Start: %v", r.err)
			continue
		}
		if !r.srv.Adopted() {
			owners++
			defer r.srv.Stop(context.Background())
		}
	}
	if owners != 1 {
		t.Errorf("%d starts made a server, want 1", owners)
	}
}

func TestHalfMadeClusterIsMadeAnew(t *testing.T) {
	dir := folder(t)
	if err := os.MkdirAll(filepath.Join(dir, "postgres.tmp", "base"), 0o700); err != nil {
		t.Fatal(err)
	}
	srv := start(t, dir)
	if got := query(t, srv, `SELECT 'whole'`); got != "whole" {
		t.Errorf("got %q", got)
	}
}

func TestLongPath(t *testing.T) {
	dir := filepath.Join(folder(t), strings.Repeat("long-folder-name/", 8))
	srv := start(t, dir)
	t.Cleanup(func() {
		c, err := layOut(dir, nil)
		if err == nil {
			os.RemoveAll(c.socket)
		}
	})
	if got := query(t, srv, `SELECT 'in reach'`); got != "in reach" {
		t.Errorf("got %q", got)
	}
}

func TestAnotherMajorVersionIsRefused(t *testing.T) {
	dir := folder(t)
	data := filepath.Join(dir, "postgres")
	if err := os.Mkdir(data, 0o700); err != nil {
		t.Fatal(err)
	}
	version := filepath.Join(data, "PG_VERSION")
	if err := os.WriteFile(version, []byte("9.6\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	_, err := Start(context1m(t), dir, slog.New(slog.DiscardHandler))
	var wrong *VersionError
	if !errors.As(err, &wrong) || wrong.Made != "9.6" || wrong.Folder != data {
		t.Fatalf("Start on a 9.6 folder: got %v, want a VersionError", err)
	}
	if b, err := os.ReadFile(version); err != nil || string(b) != "9.6\n" {
		t.Errorf("the refused folder was touched: %q, %v", b, err)
	}
}

func TestForeignFolderIsRefused(t *testing.T) {
	dir := folder(t)
	if err := os.MkdirAll(filepath.Join(dir, "postgres", "letters"), 0o700); err != nil {
		t.Fatal(err)
	}
	_, err := Start(context1m(t), dir, slog.New(slog.DiscardHandler))
	if err == nil || !strings.Contains(err.Error(), "no PostgreSQL data folder") {
		t.Errorf("Start over somebody's files: got %v", err)
	}
}

func TestBarredFolderIsNamed(t *testing.T) {
	dir := folder(t)
	shut := filepath.Join(dir, "shut")
	if err := os.Mkdir(shut, 0o700); err != nil {
		t.Fatal(err)
	}
	a := &account{name: "knitter", uid: 64123, gid: 64123}
	if got := a.barred(filepath.Join(shut)); got != shut {
		t.Errorf("barred: got %q, want %q", got, shut)
	}
	if got := a.barred(dir); got != "" {
		t.Errorf("barred on an open way: got %q", got)
	}
	if os.Geteuid() != 0 {
		return // only root starts the server as somebody else
	}
	_, err := Start(context1m(t), filepath.Join(shut, "data"), slog.New(slog.DiscardHandler))
	var fe *FolderError
	if !errors.As(err, &fe) || fe.Folder != shut {
		t.Errorf("Start under a closed folder: got %v, want a FolderError naming %s", err, shut)
	}
}

func TestSocketFolderOfAnotherIsRefused(t *testing.T) {
	dir := folder(t)
	if err := os.Symlink("/tmp", filepath.Join(dir, "socket")); err != nil {
		t.Fatal(err)
	}
	_, err := Start(context1m(t), dir, slog.New(slog.DiscardHandler))
	if err == nil || !strings.Contains(err.Error(), "in the way") {
		t.Errorf("Start with a link for the socket folder: got %v", err)
	}
}
