//go:build unix

package localdb

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// longestSocketFolder keeps folder + "/.s.PGSQL.5432.lock" within the 103 bytes
// that every unix allows for a socket's path (108 with the final zero on Linux,
// 104 on the BSDs).
const longestSocketFolder = 80

// account is who the server runs as; nil stands for whoever runs this process.
type account struct {
	name     string
	uid, gid uint32
}

// FolderError says which folder keeps the server's account from its data.
type FolderError struct {
	Folder  string // the folder that may not be entered
	Account string // the account that may not enter it
	Data    string // where it was going
}

func (e *FolderError) Error() string {
	return fmt.Sprintf("the account %q, which runs the private database, may not enter the folder %s on the way to %s; "+
		"allow it (chmod o+x %s) or choose a data folder elsewhere, for example under /var/lib",
		e.Account, e.Folder, e.Data, e.Folder)
}

// layOut makes the folders, gives them to the account that will run the server
// and checks that it can reach them.
func layOut(dir string, settings []Setting) (*cluster, error) {
	abs, err := filepath.Abs(dir)
	if err != nil {
		return nil, fmt.Errorf("finding the data folder %s: %w", dir, err)
	}
	if err := os.MkdirAll(abs, 0o755); err != nil {
		return nil, fmt.Errorf("making the data folder: %w", err)
	}
	if abs, err = filepath.EvalSymlinks(abs); err != nil {
		return nil, fmt.Errorf("finding the data folder %s: %w", dir, err)
	}
	c := &cluster{root: abs, settings: settings}
	if os.Geteuid() == 0 {
		if c.account, err = serverAccount(); err != nil {
			return nil, err
		}
		if bad := c.account.barred(abs); bad != "" {
			return nil, &FolderError{Folder: bad, Account: c.account.name, Data: abs}
		}
	}
	c.socket = filepath.Join(abs, "socket")
	if len(c.socket) > longestSocketFolder {
		sum := sha256.Sum256([]byte(abs))
		c.socket = filepath.Join("/tmp", "rowproof-"+hex.EncodeToString(sum[:8]))
	}
	if err := c.own(c.socket); err != nil {
		return nil, err
	}
	return c, nil
}

// serverAccount finds who may run the server in place of root.
func serverAccount() (*account, error) {
	for _, name := range []string{"postgres", "nobody"} {
		u, err := user.Lookup(name)
		if err != nil {
			continue
		}
		uid, err1 := strconv.ParseUint(u.Uid, 10, 32)
		gid, err2 := strconv.ParseUint(u.Gid, 10, 32)
		if err1 == nil && err2 == nil && uid != 0 {
			return &account{name: name, uid: uint32(uid), gid: uint32(gid)}, nil
		}
	}
	return nil, errors.New(`PostgreSQL does not run as root, and this machine has neither an account "postgres" nor "nobody"; ` +
		`run rowproof as an ordinary user or set DATABASE_URL`)
}

// barred returns the first folder on the way to path, path included, that the
// account may not enter, or "".
func (a *account) barred(path string) string {
	var way []string
	for p := path; ; p = filepath.Dir(p) {
		way = append(way, p)
		if p == filepath.Dir(p) {
			break
		}
	}
	for i := len(way) - 1; i >= 0; i-- {
		info, err := os.Stat(way[i])
		if err != nil {
			return way[i]
		}
		st, ok := info.Sys().(*syscall.Stat_t)
		if !ok {
			continue
		}
		bit := os.FileMode(0o001)
		switch {
		case st.Uid == a.uid:
			bit = 0o100
		case st.Gid == a.gid:
			bit = 0o010
		}
		if info.Mode().Perm()&bit == 0 {
			return way[i]
		}
	}
	return ""
}

// own makes path a private folder (0700) of the server's account. A folder of
// anybody else's, or a symbolic link put in its place, is refused: under /tmp
// the name can be guessed.
func (c *cluster) own(path string) error {
	err := os.Mkdir(path, 0o700)
	made := err == nil
	if err != nil && !errors.Is(err, os.ErrExist) {
		return fmt.Errorf("making a folder for the database: %w", err)
	}
	uid, gid := os.Geteuid(), os.Getegid()
	if c.account != nil {
		uid, gid = int(c.account.uid), int(c.account.gid)
	}
	if made {
		if err := os.Chown(path, uid, gid); err != nil {
			return fmt.Errorf("making a folder for the database: %w", err)
		}
		return nil
	}
	info, err := os.Lstat(path)
	if err != nil {
		return fmt.Errorf("looking at a folder of the database: %w", err)
	}
	st, ok := info.Sys().(*syscall.Stat_t)
	if !info.IsDir() || !ok || (int(st.Uid) != uid && int(st.Uid) != os.Geteuid()) {
		return fmt.Errorf("%s is in the way: the private database needs a folder of that name of its own; remove it and start again", path)
	}
	if int(st.Uid) != uid {
		if err := os.Lchown(path, uid, gid); err != nil {
			return fmt.Errorf("taking over a folder of the database: %w", err)
		}
	}
	if info.Mode().Perm() != 0o700 {
		if err := os.Chmod(path, 0o700); err != nil {
			return fmt.Errorf("closing a folder of the database: %w", err)
		}
	}
	return nil
}

// confine sets a command to run as the server's account, standing in dir, with
// nothing of our environment: no PG* variables, no secrets.
func (c *cluster) confine(cmd *exec.Cmd, dir string) {
	cmd.Dir = dir
	cmd.Env = []string{"PATH=/usr/local/bin:/usr/bin:/bin", "LC_ALL=C", "TZ=UTC"}
	// A group of its own: Ctrl-C in the terminal reaches us alone, and the
	// server is stopped in its turn, after the pool.
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	if c.account != nil {
		cmd.SysProcAttr.Credential = &syscall.Credential{Uid: c.account.uid, Gid: c.account.gid, Groups: []uint32{c.account.gid}}
	}
}

// lock takes the cluster's start lock, waiting for another process until ctx ends.
func lock(ctx context.Context, path string) (unlock func(), err error) {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return nil, fmt.Errorf("opening the database's lock: %w", err)
	}
	for {
		err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
		if err == nil {
			return func() { f.Close() }, nil
		}
		if !errors.Is(err, syscall.EWOULDBLOCK) && !errors.Is(err, syscall.EINTR) {
			f.Close()
			return nil, fmt.Errorf("locking %s: %w", path, err)
		}
		if err := pause(ctx, 20*time.Millisecond); err != nil {
			f.Close()
			return nil, fmt.Errorf("waiting for another process to start the database (%s): %w", path, err)
		}
	}
}

// inhabited reports whether any process stands in the data folder, which every
// process of a PostgreSQL server does. Without /proc the answer is no.
func (c *cluster) inhabited() bool {
	links, err := filepath.Glob("/proc/[0-9]*/cwd")
	if err != nil {
		return false
	}
	for _, l := range links {
		if at, err := os.Readlink(l); err == nil && at == c.data() {
			return true
		}
	}
	return false
}

// clearStaleLocks removes what a killed server left behind: its process id may
// by now belong to someone else, which PostgreSQL takes for a running server.
// Called only under the lock, when no server answers. Without /proc there is no
// telling, and PostgreSQL's own rules decide.
func (c *cluster) clearStaleLocks() error {
	if _, err := os.Stat("/proc/self/cwd"); err != nil {
		return nil
	}
	if c.inhabited() {
		return fmt.Errorf("another server stands in %s", c.data())
	}
	for _, path := range []string{
		filepath.Join(c.data(), "postmaster.pid"),
		filepath.Join(c.socket, ".s.PGSQL.5432"),
		filepath.Join(c.socket, ".s.PGSQL.5432.lock"),
	} {
		if err := os.Remove(path); err != nil && !errors.Is(err, os.ErrNotExist) {
			return fmt.Errorf("clearing the lock of a killed server: %w", err)
		}
	}
	return nil
}

// dataMajor returns the major version that made the cluster, or "" when there is none.
func (c *cluster) dataMajor() (string, error) {
	b, err := os.ReadFile(filepath.Join(c.data(), "PG_VERSION"))
	if errors.Is(err, os.ErrNotExist) {
		return "", nil
	}
	if err != nil {
		return "", fmt.Errorf("reading the version of the database: %w", err)
	}
	return strings.TrimSpace(string(b)), nil
}
