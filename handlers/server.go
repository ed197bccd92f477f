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
	"fmt"
	"io/fs"
	"log/slog"
	"net/http"
	"runtime"
	"strings"
	"time"

	"github.com/alexedwards/scs/v2"
	"github.com/go-chi/chi/v5"
	"github.com/go-chi/chi/v5/middleware"
	"github.com/go-chi/httprate"

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
	URL     string
	Version string // of the program; stands in revisions as their checker
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
	// proving holds a place for each check that may run at once; hashing, one
	// for each password that may be checked, at 64 MiB each.
	proving, hashing chan struct{}
	lastResort       []byte // error page for when no page can be rendered
}

// New wires the web app. It fails when the last-resort error page cannot be
// rendered.
func New(c Config) (http.Handler, error) {
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
	var err error
	if s.lastResort, err = renderLastResort(); err != nil {
		return nil, fmt.Errorf("handlers: %w", err)
	}
	return s.routes()
}

// routes are all addresses of the app, each on its line.
func (s *server) routes() (http.Handler, error) {
	files, err := fs.Sub(assets.Web, ".")
	if err != nil {
		return nil, fmt.Errorf("handlers: assets: %w", err)
	}
	// A password is tried a few times a minute, wherever it is asked for.
	fewTries := httprate.Limit(signInTries, time.Minute, httprate.WithKeyFuncs(httprate.KeyByIP), httprate.WithLimitHandler(s.page(tooMany)))
	r := chi.NewRouter()
	r.Use(s.logged, s.guarded, deadline, middleware.GetHead)

	// Without a session.
	r.Get("/healthz", s.page(s.health))
	r.Get("/assets/{hash}/*", asset(files))
	r.Get("/robots.txt", s.page(robots))

	r.Group(func(r chi.Router) {
		r.Use(s.sessions.LoadAndSave, s.whoIs)
		r.NotFound(s.page(notFound))
		r.MethodNotAllowed(s.page(methodNotAllowed))

		// Everybody.
		r.Get("/", s.page(s.showFront))
		r.Get("/p/{slug}", s.page(s.showPublic))
		r.Get("/p/{slug}/my-size", s.page(s.showMySize))
		r.Get("/p/{slug}/my-size/{file}", s.page(s.serveMySize))
		r.Get("/p/{slug}/{file}", s.page(s.servePublicPrint))
		r.Get("/p/{slug}/fabric/{side}", s.page(s.servePublicPicture))
		r.Get("/p/{slug}/revision/{number}", s.page(s.showPublic))
		r.Get("/p/{slug}/revision/{number}/fabric/{side}", s.page(s.servePublicPicture))
		r.Get("/p/{slug}/revision/{number}/{file}", s.page(s.servePublicPrint))

		// Coming and going.
		r.Group(func(r chi.Router) {
			r.Use(limitedBody(smallBody))
			r.Get("/start", s.page(s.showStart))
			r.Get("/sign-in", s.page(s.showSignIn))
			r.Post("/sign-out", s.page(s.signOut))
			r.Group(func(r chi.Router) {
				r.Use(fewTries)
				r.Post("/start", s.page(s.makeFirstAccount))
				r.Post("/sign-in", s.page(s.signIn))
			})
		})

		// Swatches, whose forms bring photographs.
		r.Group(s.swatchRoutes)

		// The studio.
		r.Route("/studio", func(r chi.Router) {
			r.Use(s.signedIn, limitedBody(manuscriptBody), noStore)
			r.Get("/", s.page(s.showList))
			r.Get("/bin", s.page(s.showBin))
			r.Get("/settings", s.page(s.showSettings))
			r.Post("/settings", s.page(s.saveSettings))
			r.With(fewTries).Post("/password", s.page(s.changePassword))
			r.Get("/new", s.page(s.showNew))
			r.Post("/new", s.page(s.createPasted))
			r.Get("/draft", s.page(s.showDraft))
			r.Post("/draft", s.page(s.makeDraft))
			r.Get("/shaping", s.page(s.showShapings))
			r.Get("/shaping/{task}", s.page(s.showShaping))
			r.Post("/new/blank", s.page(s.createBlank))
			r.Post("/check", s.page(s.check))

			// The designer's own stitches.
			r.Get("/stitches", s.page(s.showStitches))
			r.Get("/stitches/bin", s.page(s.showStitchBin))
			r.Get("/stitches/new", s.page(s.showNewStitch))
			r.Post("/stitches/new", s.page(s.createStitch))
			r.Get("/stitches/{stitch}", s.page(s.showStitch))
			r.Post("/stitches/{stitch}", s.page(s.saveStitch))
			r.Get("/stitches/{stitch}/picture.png", s.page(s.serveStitchPicture))
			r.Get("/stitches/{stitch}/versions/{version}", s.page(s.showStitchVersion))
			r.Post("/stitches/{stitch}/gauges", s.page(s.addStitchGauge))
			r.Post("/stitches/{stitch}/gauges/{gauge}/remove", s.page(s.removeStitchGauge))
			r.Post("/stitches/{stitch}/delete", s.page(s.deleteStitch))
			r.Post("/stitches/{stitch}/restore", s.page(s.restoreStitch))

			// One pattern.
			r.Get("/patterns/{id}", s.page(s.showEditor))
			r.Post("/patterns/{id}", s.page(s.saveEditor))
			r.Get("/patterns/{id}/amounts", s.page(s.showAmounts))
			r.Get("/patterns/{id}/draft", s.page(s.showRedraft))
			r.Post("/patterns/{id}/draft", s.page(s.redraft))
			r.Get("/patterns/{id}/materials", s.page(s.showMaterials))
			r.Post("/patterns/{id}/materials", s.page(s.saveMaterials))
			r.Post("/patterns/{id}/stitches", s.page(s.saveStitches))
			r.Post("/patterns/{id}/sizes", s.page(s.saveSizes))
			r.Get("/patterns/{id}/stitch", s.page(s.showPlaceStitch))
			r.Post("/patterns/{id}/stitch", s.page(s.savePlaceStitch))
			r.Get("/patterns/{id}/stitch/{use}", s.page(s.showStitchChange))
			r.Post("/patterns/{id}/stitch/{use}", s.page(s.answerStitchChange))
			r.Get("/patterns/{id}/chart", s.page(s.showChart))
			r.Get("/patterns/{id}/chart/draw", s.page(s.showDraw))
			r.Post("/patterns/{id}/chart/draw", s.page(s.saveDraw))
			r.Post("/patterns/{id}/chart/check", s.page(s.checkDraw))
			r.Get("/patterns/{id}/fabric", s.page(s.showFabric))
			r.Post("/patterns/{id}/fabric", s.page(s.saveColours))
			r.Get("/patterns/{id}/fabric/{side}", s.page(s.serveDraftPicture))
			r.Get("/patterns/{id}/history", s.page(s.showHistory))
			r.Get("/patterns/{id}/history/{snapshot}", s.page(s.showSnapshot))
			r.Post("/patterns/{id}/history/{snapshot}/restore", s.page(s.restoreSnapshot))
			r.Get("/patterns/{id}/conflict/{snapshot}", s.page(s.showConflict))
			r.Get("/patterns/{id}/notes", s.page(s.showNotes))
			r.Post("/patterns/{id}/notes", s.page(s.addNote))
			r.Post("/patterns/{id}/notes/{note}", s.page(s.editNote))
			r.Post("/patterns/{id}/notes/{note}/remove", s.page(s.removeNote))
			r.Get("/patterns/{id}/prints", s.page(s.showPrints))
			r.Get("/patterns/{id}/prints/{file}", s.page(s.serveDraftPrint))
			r.Get("/patterns/{id}/publish", s.page(s.showPublish))
			r.Post("/patterns/{id}/publish", s.page(s.publish))
			r.Post("/patterns/{id}/copy", s.page(s.copyPattern))
			r.Post("/patterns/{id}/delete", s.page(s.deletePattern))
			r.Post("/patterns/{id}/restore", s.page(s.restorePattern))
		})
	})
	return r, nil
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
