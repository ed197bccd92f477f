//go:build unix

package localdb

import (
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestDownloadBringsOnlyTheBinaries(t *testing.T) {
	var asked []string
	repository := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		asked = append(asked, r.URL.Path)
		if !strings.HasSuffix(r.URL.Path, ".jar") {
			http.NotFound(w, r) // no checksum beside it
			return
		}
		http.ServeFile(w, r, filepath.Join("testdata", "server.jar"))
	}))
	defer repository.Close()
	testOnlyRepository = repository.URL
	defer func() { testOnlyRepository = "" }()

	c, err := layOut(folder(t), nil)
	if err != nil {
		t.Fatal(err)
	}
	bin, err := c.download(context1m(t), downloads[0].version, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatalf("download: %v (asked for %q)", err, asked)
	}
	if want := filepath.Join(c.binDir(), "bin"); bin != want {
		t.Errorf("download: got %s, want %s", bin, want)
	}
	if got := installed(context1m(t), []string{bin}); len(got) != 1 || got[0].major != 15 {
		t.Errorf("what was downloaded is not seen as a server: %v", got)
	}
	left, err := filepath.Glob(filepath.Join(c.root, "postgres-download-*"))
	if err != nil || len(left) != 0 {
		t.Errorf("left over: %v, %v", left, err)
	}
	if _, err := os.Stat(c.data()); !os.IsNotExist(err) {
		t.Errorf("the download made a data folder: %v", err)
	}
}

func TestNoServerNoDownloadIsSaidPlainly(t *testing.T) {
	repository := httptest.NewServer(http.NotFoundHandler())
	defer repository.Close()
	testOnlyRepository = repository.URL
	defer func() { testOnlyRepository = "" }()
	c, err := layOut(folder(t), nil)
	if err != nil {
		t.Fatal(err)
	}
	_, err = c.download(context1m(t), downloads[0].version, slog.New(slog.DiscardHandler))
	if err == nil || !strings.Contains(err.Error(), "install PostgreSQL") {
		t.Errorf("download from nowhere: got %v", err)
	}
}
