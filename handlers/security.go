package handlers

import (
	"context"
	"log/slog"
	"net"
	"net/http"
	"net/url"
	"strings"
	"time"

	"github.com/go-chi/chi/v5/middleware"
)

// contentPolicy lets a page use what this server serves and nothing else; no
// script or style stands in the pages themselves.
const contentPolicy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; " +
	"connect-src 'self'; manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// Bounds on what a request may carry. A manuscript has up to 1 MiB; a form sends
// two characters for a line end that counts as one, hence twice as much.
const (
	smallBody      = 64 << 10
	manuscriptBody = 2<<20 + 64<<10
)

// ourName reports whether a request was sent to a name of ours: that of the public
// address, this machine's, or a bare number. Any other name can be made to point
// here by somebody else, who would then share our origin (DNS rebinding).
func (s *server) ourName(host string) bool {
	name := host
	if h, _, err := net.SplitHostPort(host); err == nil {
		name = h
	}
	name = strings.ToLower(strings.Trim(name, "[]"))
	if name == "localhost" || strings.HasSuffix(name, ".localhost") || net.ParseIP(name) != nil {
		return true
	}
	u, err := url.Parse(s.URL)
	return err == nil && u.Hostname() != "" && strings.EqualFold(name, u.Hostname())
}

// guarded sets the headers that keep a page to itself, and refuses requests that
// change something from another site or were sent to a name that is not ours.
func (s *server) guarded(next http.Handler) http.Handler {
	cross := http.NewCrossOriginProtection()
	cross.SetDenyHandler(s.page(func(http.ResponseWriter, *http.Request) error { return errForeign }))
	protected := cross.Handler(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", contentPolicy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "camera=(), geolocation=(), microphone=()")
		if !s.ourName(r.Host) && r.URL.Path != "/healthz" {
			s.fail(w, r, errNotOurs)
			return
		}
		protected.ServeHTTP(w, r)
	})
}

// logged writes one line for each request and turns a panic into an error page.
func (s *server) logged(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		start := time.Now()
		ww := middleware.NewWrapResponseWriter(w, r.ProtoMajor)
		defer func() {
			if p := recover(); p != nil {
				if p == http.ErrAbortHandler {
					panic(p)
				}
				s.Logger.Error("panic", slog.Any("panic", p), slog.String("path", r.URL.Path))
				if ww.Status() == 0 {
					ww.Header().Set("Content-Type", "text/html; charset=utf-8")
					ww.WriteHeader(http.StatusInternalServerError)
					_, _ = ww.Write(s.lastResort)
				}
			}
			s.Logger.Debug("request", slog.String("method", r.Method), slog.String("path", r.URL.Path),
				slog.Int("status", ww.Status()), slog.Int("bytes", ww.BytesWritten()), slog.Duration("took", time.Since(start)))
		}()
		next.ServeHTTP(ww, r)
	})
}

// deadline bounds the work on a request.
func deadline(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		ctx, cancel := context.WithTimeout(r.Context(), requestTime)
		defer cancel()
		next.ServeHTTP(w, r.WithContext(ctx))
	})
}

func limitedBody(bytes int64) func(http.Handler) http.Handler {
	return func(next http.Handler) http.Handler {
		return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			r.Body = http.MaxBytesReader(w, r.Body, bytes)
			next.ServeHTTP(w, r)
		})
	}
}

// noStore keeps private pages out of caches.
func noStore(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Cache-Control", "no-store")
		next.ServeHTTP(w, r)
	})
}
