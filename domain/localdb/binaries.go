//go:build unix

package localdb

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"sort"
	"strconv"
	"strings"

	embeddedpostgres "github.com/fergusstrange/embedded-postgres"
)

// oldest is the lowest major version of PostgreSQL that the migrations run on.
const oldest = 13

// downloads names the build to fetch for each major version when the machine
// has no server; the first is for a new studio.
var downloads = []struct {
	major   string
	version embeddedpostgres.PostgresVersion
}{
	{"15", embeddedpostgres.V15},
	{"13", embeddedpostgres.V13},
	{"14", embeddedpostgres.V14},
	{"16", embeddedpostgres.V16},
	{"17", embeddedpostgres.V17},
	{"18", embeddedpostgres.V18},
}

// testOnlyRepository is where the tests download from.
var testOnlyRepository string

// VersionError says that the data folder was made by another major version of
// PostgreSQL than any that can be run here.
type VersionError struct {
	Folder string   // the data folder
	Made   string   // major version that made it
	Have   []string // major versions on this machine, newest first
}

func (e *VersionError) Error() string {
	have := "none"
	if len(e.Have) > 0 {
		have = strings.Join(e.Have, ", ")
	}
	return fmt.Sprintf("the data in %s was written by PostgreSQL %s, and a server of another major version cannot read it "+
		"(on this machine: %s); nothing was changed. Install PostgreSQL %s again, or dump the data with it "+
		"and load the dump into a new folder", e.Folder, e.Made, have, e.Made)
}

// installation is a folder with postgres and initdb in it.
type installation struct {
	dir   string
	major int
}

var versionLine = regexp.MustCompile(`\(PostgreSQL\) (\d+)`)

// candidates lists the folders that may hold a server: PATH, then the usual places.
func candidates() []string {
	dirs := filepath.SplitList(os.Getenv("PATH"))
	for _, pattern := range []string{
		"/usr/lib/postgresql/*/bin", "/usr/pgsql-*/bin", "/usr/libexec/postgresql*", "/usr/local/pgsql/bin",
		"/opt/homebrew/opt/postgresql@*/bin", "/usr/local/opt/postgresql@*/bin",
		"/Applications/Postgres.app/Contents/Versions/*/bin",
	} {
		found, err := filepath.Glob(pattern)
		if err != nil {
			panic("BUG: bad pattern in the list of usual places: " + pattern)
		}
		dirs = append(dirs, found...)
	}
	return dirs
}

// installed asks each folder's server for its version, newest first. Folders
// without a whole server are left out.
func installed(ctx context.Context, dirs []string) []installation {
	var out []installation
	seen := map[string]bool{}
	for _, d := range dirs {
		if real, err := filepath.EvalSymlinks(d); err == nil {
			d = real
		}
		if seen[d] {
			continue
		}
		seen[d] = true
		if _, err := os.Stat(filepath.Join(d, "initdb")); err != nil {
			continue
		}
		cmd := exec.CommandContext(ctx, filepath.Join(d, "postgres"), "--version")
		cmd.Env = []string{}
		line, err := cmd.Output()
		if err != nil {
			continue
		}
		if m := versionLine.FindSubmatch(line); m != nil {
			if n, err := strconv.Atoi(string(m[1])); err == nil && n >= oldest {
				out = append(out, installation{d, n})
			}
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].major > out[j].major })
	return out
}

// binaries returns the folder of a server that can run this cluster: of the
// version that made it, or for a new one the newest on the machine; downloaded
// when the machine has none at all.
func (c *cluster) binaries(ctx context.Context, logger *slog.Logger) (string, error) {
	made, err := c.dataMajor()
	if err != nil {
		return "", err
	}
	// Downloaded ones come last, so that an installed server of the same version wins.
	have := installed(ctx, append(candidates(), filepath.Join(c.binDir(), "bin")))
	var majors []string
	for _, in := range have {
		if made == "" || made == strconv.Itoa(in.major) {
			return in.dir, nil
		}
		if m := strconv.Itoa(in.major); len(majors) == 0 || majors[len(majors)-1] != m {
			majors = append(majors, m)
		}
	}
	wrong := &VersionError{Folder: c.data(), Made: made, Have: majors}
	if len(have) > 0 {
		return "", wrong
	}
	for _, d := range downloads {
		if made == "" || made == d.major {
			return c.download(ctx, d.version, logger)
		}
	}
	return "", wrong
}

// download brings server binaries into postgres-bin/ through the embedded-postgres
// library, which can only fetch them on the way to starting a server of its own.
// It is shown a scratch folder that claims to hold data, so that it neither runs
// initdb nor gets a server going (nor wipes anything of ours); whether it brought
// the binaries is then seen from the binaries.
func (c *cluster) download(ctx context.Context, v embeddedpostgres.PostgresVersion, logger *slog.Logger) (string, error) {
	logger.Info("no PostgreSQL on this machine: downloading its server, once", slog.String("version", string(v)))
	scratch, err := os.MkdirTemp(c.root, "postgres-download-")
	if err != nil {
		return "", fmt.Errorf("downloading PostgreSQL: %w", err)
	}
	defer os.RemoveAll(scratch)
	if err := os.Chmod(scratch, 0o755); err != nil {
		return "", fmt.Errorf("downloading PostgreSQL: %w", err)
	}
	major, _, _ := strings.Cut(string(v), ".")
	decoy := filepath.Join(scratch, "decoy")
	if err := os.Mkdir(decoy, 0o700); err != nil {
		return "", fmt.Errorf("downloading PostgreSQL: %w", err)
	}
	if err := os.WriteFile(filepath.Join(decoy, "PG_VERSION"), []byte(major+"\n"), 0o600); err != nil {
		return "", fmt.Errorf("downloading PostgreSQL: %w", err)
	}
	port, err := freePort()
	if err != nil {
		return "", fmt.Errorf("downloading PostgreSQL: %w", err)
	}
	fetched := filepath.Join(scratch, "server")
	config := embeddedpostgres.DefaultConfig().
		Version(v).Port(port).Logger(io.Discard).
		CachePath(filepath.Join(scratch, "cache")).RuntimePath(filepath.Join(scratch, "run")).
		BinariesPath(fetched).DataPath(decoy)
	if testOnlyRepository != "" {
		config = config.BinaryRepositoryURL(testOnlyRepository)
	}
	lib := embeddedpostgres.NewDatabase(config)
	ended := make(chan error, 1)
	go func() { ended <- lib.Start() }()
	select {
	case err = <-ended:
	case <-ctx.Done():
		return "", fmt.Errorf("downloading PostgreSQL: %w", ctx.Err())
	}
	if _, statErr := os.Stat(filepath.Join(fetched, "bin", "postgres")); statErr != nil {
		return "", errors.Join(errors.New("this machine has no PostgreSQL server and none could be downloaded; "+
			"install PostgreSQL (on Debian: apt install postgresql) or set DATABASE_URL"), err)
	}
	if err := os.RemoveAll(c.binDir()); err != nil {
		return "", fmt.Errorf("downloading PostgreSQL: %w", err)
	}
	if err := os.Rename(fetched, c.binDir()); err != nil {
		return "", fmt.Errorf("downloading PostgreSQL: %w", err)
	}
	return filepath.Join(c.binDir(), "bin"), nil
}

// freePort returns a port nobody listens on: the library insists on one.
func freePort() (uint32, error) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return 0, err
	}
	defer l.Close()
	addr, ok := l.Addr().(*net.TCPAddr)
	if !ok {
		return 0, fmt.Errorf("BUG: a tcp listener at %v", l.Addr())
	}
	return uint32(addr.Port), nil
}
