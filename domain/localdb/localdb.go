//go:build unix

// Package localdb runs a private PostgreSQL server as a child of this process,
// for a studio that has no database of its own.
//
// The two calls most people need:
//
//	srv, err := localdb.Start(ctx, "data", logger)  // srv.URL() is what pgx wants
//	err = srv.Stop(ctx)                             // last of all, after the pool is closed
//
// The folder given to [Start] holds:
//
//	postgres/      the cluster, made by initdb as postgres.tmp/ and renamed when whole
//	postgres.lock  held (flock) while a cluster is made or a server is started
//	postgres.log   what the server said since its last start
//	postgres-bin/  server binaries, only when the machine had none and they were downloaded
//	socket/        the unix socket; a folder under /tmp when the path would be too long
//
// The server listens on that socket only, never on a network port, and the
// socket's folder can be entered only by the account that runs the server (and
// root). When this process runs as root, which PostgreSQL refuses, the server
// runs as the account "postgres", or "nobody" where there is none.
//
// On Linux the server is stopped by the kernel when this process dies, however
// it dies. Where an earlier server is found running, it is used as it is and
// left running by [Server.Stop]; where an earlier one was killed, the locks it
// left are cleared.
package localdb

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"syscall"
	"time"

	"github.com/jackc/pgx/v5"
)

const (
	superuser = "rowproof" // database role made by initdb
	database  = "rowproof"

	// startLimit bounds waiting for another process' start, crash recovery
	// included, when the context has no earlier deadline.
	startLimit = 2 * time.Minute
)

// A Setting is one server parameter, as after `postgres -c`.
type Setting struct{ Name, Value string }

// Server is a running private PostgreSQL server.
type Server struct {
	url     string
	adopted bool
	proc    *os.Process   // nil when adopted
	done    chan struct{} // closed when our child has ended; never when adopted
	once    sync.Once
}

// URL returns a connection string for the database "rowproof" on the server.
func (s *Server) URL() string { return s.url }

// Adopted reports whether the server was found running, started by another process.
func (s *Server) Adopted() bool { return s.adopted }

// Done is closed when the server this process started has ended, by Stop or by
// itself. It is never closed for an adopted server.
func (s *Server) Done() <-chan struct{} { return s.done }

// Start starts the private server whose data is under dir, making dir and the
// database on first use, and returns when it answers. An error names what is
// wrong in words for the person who runs the studio: see [FolderError] and
// [VersionError].
func Start(ctx context.Context, dir string, logger *slog.Logger, settings ...Setting) (*Server, error) {
	ctx, cancel := context.WithTimeout(ctx, startLimit)
	defer cancel()
	c, err := layOut(dir, settings)
	if err != nil {
		return nil, err
	}
	unlock, err := lock(ctx, c.lockFile())
	if err != nil {
		return nil, err
	}
	defer unlock()
	srv, err := c.start(ctx, logger)
	if err != nil {
		return nil, fmt.Errorf("starting the private database in %s: %w", c.root, err)
	}
	return srv, nil
}

// Stop ends the server in PostgreSQL's fast way (open transactions are rolled
// back, data written out) and waits for it. When ctx ends first the server is
// told to drop everything at once; its data stays whole, and the next start
// replays the log. An adopted server is left running. Stop may be called twice.
func (s *Server) Stop(ctx context.Context) error {
	if s.adopted {
		return nil
	}
	var err error
	s.once.Do(func() { err = s.signal(syscall.SIGINT) })
	if err != nil {
		return fmt.Errorf("stopping the private database: %w", err)
	}
	select {
	case <-s.done:
		return nil
	case <-ctx.Done():
	}
	if err := s.signal(syscall.SIGQUIT); err != nil {
		return fmt.Errorf("stopping the private database: %w", err)
	}
	<-s.done
	return fmt.Errorf("the private database had to be stopped at once: %w", ctx.Err())
}

func (s *Server) signal(sig syscall.Signal) error {
	if err := s.proc.Signal(sig); err != nil && !errors.Is(err, os.ErrProcessDone) {
		return err
	}
	return nil
}

// cluster is the private server's place on disk and the account it runs as.
type cluster struct {
	root     string // absolute, without symbolic links
	socket   string // folder of the unix socket
	account  *account
	settings []Setting
}

func (c *cluster) data() string     { return filepath.Join(c.root, "postgres") }
func (c *cluster) dataTmp() string  { return filepath.Join(c.root, "postgres.tmp") }
func (c *cluster) lockFile() string { return filepath.Join(c.root, "postgres.lock") }
func (c *cluster) logFile() string  { return filepath.Join(c.root, "postgres.log") }
func (c *cluster) binDir() string   { return filepath.Join(c.root, "postgres-bin") }

func (c *cluster) url(db string) string {
	u := url.URL{Scheme: "postgres", User: url.User(superuser), Path: "/" + db}
	u.RawQuery = url.Values{"host": {c.socket}, "sslmode": {"disable"}}.Encode()
	return u.String()
}

// start runs under the lock: adopt, or make, clear and run.
func (c *cluster) start(ctx context.Context, logger *slog.Logger) (*Server, error) {
	if running, err := c.adopt(ctx); err != nil || running {
		if err != nil {
			return nil, err
		}
		logger.Info("private database found running", slog.String("folder", c.root))
		return &Server{url: c.url(database), adopted: true, done: make(chan struct{})}, c.createDatabase(ctx)
	}
	bin, err := c.binaries(ctx, logger)
	if err != nil {
		return nil, err
	}
	if err := c.initialise(ctx, bin, logger); err != nil {
		return nil, err
	}
	if err := c.clearStaleLocks(); err != nil {
		return nil, err
	}
	srv, err := c.spawn(bin)
	if err != nil {
		return nil, err
	}
	err = c.waitReady(ctx, srv)
	if err == nil {
		err = c.createDatabase(ctx)
	}
	if err != nil {
		// The caller's context may be what ended; stopping gets its own time.
		stop, cancel := context.WithTimeout(context.WithoutCancel(ctx), 10*time.Second)
		defer cancel()
		return nil, errors.Join(err, srv.Stop(stop))
	}
	logger.Info("private database started", slog.String("folder", c.root), slog.Int("pid", srv.proc.Pid))
	return srv, nil
}

// adopt reports whether a server already answers for this cluster. While
// processes of an earlier server are still about, starting up or dying, it waits
// for them to do either.
func (c *cluster) adopt(ctx context.Context) (bool, error) {
	for {
		err := c.ping(ctx)
		if err == nil {
			return true, nil
		}
		if !c.inhabited() {
			return false, nil
		}
		if err := pause(ctx, 20*time.Millisecond); err != nil {
			return false, fmt.Errorf("an earlier database server in %s neither answers nor ends: %w", c.data(), err)
		}
	}
}

func (c *cluster) ping(ctx context.Context) error {
	ctx, cancel := context.WithTimeout(ctx, 2*time.Second)
	defer cancel()
	conn, err := pgx.Connect(ctx, c.url("postgres"))
	if err != nil {
		return err
	}
	return conn.Close(ctx)
}

// initialise makes the cluster unless there is one. A half-made one from a
// killed run is thrown away: only a whole one carries the final name.
func (c *cluster) initialise(ctx context.Context, bin string, logger *slog.Logger) error {
	if _, err := os.Stat(filepath.Join(c.data(), "PG_VERSION")); err == nil {
		return nil
	} else if entries, _ := os.ReadDir(c.data()); len(entries) > 0 {
		return fmt.Errorf("%s is not empty and is no PostgreSQL data folder; move it away and start again", c.data())
	}
	if err := os.RemoveAll(c.dataTmp()); err != nil {
		return fmt.Errorf("clearing a half-made database: %w", err)
	}
	if err := c.own(c.dataTmp()); err != nil {
		return err
	}
	args := []string{"-D", c.dataTmp(), "-U", superuser, "--auth-local=trust", "--auth-host=reject", "--encoding=UTF8", "--locale=C"}
	if slices.Contains(c.settings, Setting{"fsync", "off"}) {
		args = append(args, "--no-sync")
	}
	cmd := exec.CommandContext(ctx, filepath.Join(bin, "initdb"), args...)
	c.confine(cmd, c.dataTmp())
	if out, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("initdb: %w\n%s", err, strings.TrimSpace(string(out)))
	}
	if err := os.Remove(c.data()); err != nil && !errors.Is(err, os.ErrNotExist) {
		return fmt.Errorf("replacing the empty data folder: %w", err)
	}
	if err := os.Rename(c.dataTmp(), c.data()); err != nil {
		return fmt.Errorf("putting the new database in place: %w", err)
	}
	logger.Info("private database made", slog.String("folder", c.data()))
	return nil
}

// spawn starts the server. Pdeathsig is bound to the thread that forks, so that
// one goroutine keeps its thread from the start of the server to its end.
func (c *cluster) spawn(bin string) (*Server, error) {
	log, err := os.OpenFile(c.logFile(), os.O_CREATE|os.O_WRONLY|os.O_TRUNC|os.O_APPEND, 0o600)
	if err != nil {
		return nil, fmt.Errorf("opening the database's log: %w", err)
	}
	defer log.Close()
	args := []string{"-D", c.data(), "-k", c.socket, "-c", "listen_addresses=", "-c", "unix_socket_permissions=0700",
		"-c", "max_connections=60", "-c", "shared_buffers=64MB"}
	for _, s := range c.settings {
		args = append(args, "-c", s.Name+"="+s.Value)
	}
	cmd := exec.Command(filepath.Join(bin, "postgres"), args...)
	c.confine(cmd, c.data())
	dieWithParent(cmd.SysProcAttr)
	cmd.Stdout, cmd.Stderr = log, log

	srv := &Server{url: c.url(database), done: make(chan struct{})}
	started := make(chan error, 1)
	go func() {
		runtime.LockOSThread()
		defer runtime.UnlockOSThread()
		defer close(srv.done)
		err := cmd.Start()
		srv.proc = cmd.Process
		started <- err
		if err == nil {
			_ = cmd.Wait() // how it ended is in the log; that it ended is what matters
		}
	}()
	if err := <-started; err != nil {
		return nil, fmt.Errorf("starting %s: %w", cmd.Path, err)
	}
	return srv, nil
}

func (c *cluster) waitReady(ctx context.Context, srv *Server) error {
	for {
		err := c.ping(ctx)
		if err == nil {
			return nil
		}
		select {
		case <-srv.done:
			return fmt.Errorf("the server ended while starting; its last words:\n%s", c.lastWords())
		default:
		}
		if perr := pause(ctx, 10*time.Millisecond); perr != nil {
			return fmt.Errorf("the server does not answer (%w); its last words:\n%s", err, c.lastWords())
		}
	}
}

func (c *cluster) createDatabase(ctx context.Context) error {
	conn, err := pgx.Connect(ctx, c.url("postgres"))
	if err != nil {
		return fmt.Errorf("making the database: %w", err)
	}
	defer conn.Close(context.WithoutCancel(ctx))
	var there bool
	err = conn.QueryRow(ctx, `SELECT EXISTS (SELECT FROM pg_database WHERE datname = $1)`, database).Scan(&there)
	if err == nil && !there {
		_, err = conn.Exec(ctx, `CREATE DATABASE `+pgx.Identifier{database}.Sanitize())
	}
	if err != nil {
		return fmt.Errorf("making the database: %w", err)
	}
	return nil
}

// lastWords returns the end of the server's log, at most 2 kB.
func (c *cluster) lastWords() string {
	f, err := os.Open(c.logFile())
	if err != nil {
		return err.Error()
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.Size() > 2048 {
		if _, err := f.Seek(-2048, io.SeekEnd); err != nil {
			return err.Error()
		}
	}
	b, err := io.ReadAll(f)
	if err != nil {
		return err.Error()
	}
	return strings.TrimSpace(string(b))
}

// pause waits d or until ctx ends, and returns the context's error then.
func pause(ctx context.Context, d time.Duration) error {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-t.C:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}
