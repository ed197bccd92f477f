// Package handlers is the web app: it reads the request, calls the domain,
// builds the view and renders it. Nothing about knitting is decided here.
//
//	h, err := handlers.New(handlers.Config{DB: db, StudioID: st.ID, Logger: logger})
//	http.Server{Handler: h}
//
// One file per page or action. A handler returns an error; errors.go alone turns
// errors into pages.
package handlers

import (
	"context"
	"fmt"
	"io/fs"
	"log/slog"
	"net/http"
	"runtime"
	"strings"
	"time"

	"github.com/alexedwards/scs/v2"
	"github.com/go-chi/chi/v5"

	"rowproof/assets"
	"rowproof/domain/store"
)

// Config is what the web app needs.
type Config struct {
	DB       *store.DB
	StudioID int64
	Logger   *slog.Logger
	// URL is where people reach the app, "https://knit.example"; empty: this
	// machine only. With https, cookies are sent over it alone.
	URL string
	// Reach is where it listens, for links in mail when neither URL nor the settings say more.
	Reach string
	// MailGoesOut: a mail server is set. Without one letters wait in the outbox.
	MailGoesOut bool
	Version     string // of the program; stands in revisions as their checker
	// testOnlyClock replaces time.Now; nil for the clock.
	testOnlyClock func() time.Time
}

// requestTime bounds the work on one request. Setting a long pattern in type
// takes well under a second.
const requestTime = 20 * time.Second

// Signing in is tried this often a minute from one address before it must wait.
const signInTries = 10

type server struct {
	Config
	sessions *scs.SessionManager
	links    signer // of links that are mailed
	read     readings
	// proving holds a place for each check that may run at once; hashing, one
	// for each password that may be checked, at 64 MiB each.
	proving, hashing chan struct{}
	lastResort       []byte // error page for when no page can be rendered
}

// New wires the web app. It fails when the last-resort error page cannot be
// rendered.
func New(c Config) (http.Handler, error) {
	s, err := newServer(c)
	if err != nil {
		return nil, err
	}
	return s.routes()
}

// Hourly is what the app wants done once an hour: reminding test knitters.
func Hourly(c Config) ([]func(context.Context) error, error) {
	s, err := newServer(c)
	if err != nil {
		return nil, err
	}
	return []func(context.Context) error{s.remind}, nil
}

func newServer(c Config) (*server, error) {
	s := &server{
		Config:  c,
		proving: make(chan struct{}, max(2, runtime.GOMAXPROCS(0))),
		hashing: make(chan struct{}, 2),
	}
	if s.testOnlyClock == nil {
		s.testOnlyClock = time.Now
	}
	s.sessions = newSessions(c.DB, strings.HasPrefix(c.URL, "https://"))
	s.sessions.ErrorFunc = func(w http.ResponseWriter, r *http.Request, err error) {
		s.fail(w, r, fmt.Errorf("session: %w", err))
	}
	key, err := c.DB.Secret(context.Background(), c.StudioID, "links")
	if err != nil {
		return nil, fmt.Errorf("handlers: %w", err)
	}
	s.links = newSigner(key)
	if s.lastResort, err = renderLastResort(); err != nil {
		return nil, fmt.Errorf("handlers: %w", err)
	}
	return s, nil
}

func (s *server) health(w http.ResponseWriter, r *http.Request) error {
	if err := s.DB.Ping(r.Context()); err != nil {
		return fmt.Errorf("health: %w", err)
	}
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	_, err := fmt.Fprintln(w, "ok")
	return err
}

// robots keeps what is private out of search engines, where they listen.
func robots(w http.ResponseWriter, r *http.Request) error {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	_, err := fmt.Fprint(w, "User-agent: *\nDisallow: /studio\nDisallow: /sign-in\nDisallow: /start\n")
	return err
}

// asset serves an embedded file. The hash in the address stands for the content
// of all of them, so a browser may keep it for good; an old hash still finds the
// present file, uncached.
func asset(files fs.FS) http.HandlerFunc {
	serve := http.FileServerFS(files)
	return func(w http.ResponseWriter, r *http.Request) {
		name := chi.URLParam(r, "*")
		if info, err := fs.Stat(files, name); err != nil || info.IsDir() {
			http.NotFound(w, r)
			return
		}
		if chi.URLParam(r, "hash") == assets.Hash {
			w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
		} else {
			w.Header().Set("Cache-Control", "no-cache")
		}
		r2 := r.Clone(r.Context())
		r2.URL.Path, r2.URL.RawPath = "/"+name, ""
		serve.ServeHTTP(w, r2)
	}
}
