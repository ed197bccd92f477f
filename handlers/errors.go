package handlers

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"strings"

	"github.com/a-h/templ"

	"rowproof/domain/studio"
	"rowproof/web"
)

// handler answers a request or returns why it could not. It has written nothing
// when it returns an error.
type handler func(w http.ResponseWriter, r *http.Request) error

// Errors of the app itself.
var (
	errBusy         = errors.New("too many checks at once")
	errTooBig       = errors.New("the request is too big")
	errPhotosBig    = errors.New("the photographs are too big")
	errTooMany      = errors.New("too many tries")
	errNoMethod     = errors.New("method not allowed")
	errBadForm      = errors.New("the form cannot be read")
	errSignedIn     = errors.New("not signed in")
	errKnitSignedIn = errors.New("no test knitter is signed in")
	errForeign      = errors.New("the request came from another site")
	errNotOurs      = errors.New("the request was sent to a name that is not ours")
)

// meanings are what errors mean to the person: status, heading and words. The
// first that fits is taken; what fits none is a 500 and nothing more is told.
var meanings = []struct {
	err        error
	status     int
	head, text string
}{
	{studio.ErrNotFound, http.StatusNotFound, "Not found", "There is nothing at this address, or it is not public."},
	{studio.ErrForbidden, http.StatusForbidden, "Not allowed", "Your account may not do this."},
	{studio.ErrConflict, http.StatusConflict, "Saved meanwhile", "The pattern was saved by someone else, or in another tab, since you opened it. Open it again and look."},
	{studio.ErrNothing, http.StatusConflict, "Nothing to do", "There is nothing to undo or redo."},
	{studio.ErrTaken, http.StatusConflict, "Taken", "This is already in use."},
	{studio.ErrUnproved, http.StatusUnprocessableEntity, "Not proved", "Errors are left without a reason."},
	{studio.ErrInvalid, http.StatusUnprocessableEntity, "This does not fit", "Something in what you sent cannot be kept."},
	{errSignedIn, http.StatusUnauthorized, "Sign in first", "Your session has ended. Sign in again; what you typed is still in the page before this one."},
	{errKnitSignedIn, http.StatusUnauthorized, "Sign in first", "Ask for a new link at /knit/sign-in. Nothing is lost: what you noted stays on this device until it is sent."},
	{errLink, http.StatusGone, "This link is no longer good", "It has passed its time, or a newer one was made. Ask for a new one; it comes by mail."},
	{errForeign, http.StatusForbidden, "Not from here", "This request came from another site, and was not carried out."},
	{errNotOurs, http.StatusMisdirectedRequest, "Not this address", "The studio does not know itself by this name. Whoever runs it can start it with --url and the address you used."},
	{errBusy, http.StatusServiceUnavailable, "Busy", "Many patterns are being proved at this moment. Try again in a few seconds."},
	{errTooBig, http.StatusRequestEntityTooLarge, "Too long", "A manuscript may have up to 1 MiB of text. This is longer."},
	{errPhotosBig, http.StatusRequestEntityTooLarge, "Too large", "A photograph may have up to 8 MiB. Go back and choose smaller ones; what you typed is still in the page before this one."},
	{errTooMany, http.StatusTooManyRequests, "Too many tries", "Wait a minute, then try again."},
	{errNoMethod, http.StatusMethodNotAllowed, "Not possible", "This address cannot be used in this way."},
	{errBadForm, http.StatusBadRequest, "Not understood", "What the browser sent could not be read."},
	{context.DeadlineExceeded, http.StatusServiceUnavailable, "Too slow", "This took too long and was stopped. Try again."},
}

// page makes a handler of net/http.
func (s *server) page(h handler) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if err := h(w, r); err != nil {
			s.fail(w, r, err)
		}
	}
}

// fail turns an error into a status, a page and a log line. It is the only place
// that does.
func (s *server) fail(w http.ResponseWriter, r *http.Request, err error) {
	status, head, text := http.StatusInternalServerError, "Something broke", "This is our fault, not yours. What was saved is safe; it has been written to the log."
	for _, m := range meanings {
		if errors.Is(err, m.err) {
			status, head, text = m.status, m.head, m.text
			break
		}
	}
	var invalid *studio.InvalidError
	if errors.As(err, &invalid) {
		text = sentence(invalid.Field + " " + invalid.Problem)
	}
	switch {
	case r.Context().Err() == context.Canceled:
		s.Logger.Info("request given up", slog.String("path", r.URL.Path))
		return // nobody is there to read
	case status >= 500:
		s.Logger.Error("request failed", slog.String("method", r.Method), slog.String("path", r.URL.Path), slog.Int("status", status), slog.Any("error", err))
	default:
		s.Logger.Info("request refused", slog.String("method", r.Method), slog.String("path", r.URL.Path), slog.Int("status", status), slog.Any("error", err))
	}
	if wantsJSON(r) {
		s.json(w, status, map[string]string{"error": head, "text": text})
		return
	}
	v := web.ErrorView{Page: s.shared(r, head), Head: head, Text: text, Back: "/", BackLabel: "To the front page"}
	switch {
	case errors.Is(err, errLink), errors.Is(err, errKnitSignedIn):
		v.Back, v.BackLabel = "/knit/sign-in", "Ask for a link"
	case status == http.StatusUnauthorized:
		v.Back, v.BackLabel = "/sign-in", "Sign in"
	case v.Signed:
		v.Back, v.BackLabel = "/studio", "To the studio"
	}
	if err := s.render(w, r, status, web.Error(v)); err != nil {
		s.Logger.Error("error page failed", slog.Any("error", err))
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		w.WriteHeader(http.StatusInternalServerError)
		w.Write(s.lastResort)
	}
}

// render writes a page, whole or not at all.
func (s *server) render(w http.ResponseWriter, r *http.Request, status int, c templ.Component) error {
	var b bytes.Buffer
	if err := c.Render(r.Context(), &b); err != nil {
		return fmt.Errorf("render: %w", err)
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	_, _ = w.Write(b.Bytes()) // the reader may have gone
	return nil
}

// json writes a value for a script of ours.
func (s *server) json(w http.ResponseWriter, status int, v any) {
	b, err := json.Marshal(v)
	if err != nil {
		s.Logger.Error("json failed", slog.Any("error", err))
		status, b = http.StatusInternalServerError, []byte(`{"error":"Something broke"}`)
	}
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	_, _ = w.Write(b)
}

// wantsJSON reports whether a script asks.
func wantsJSON(r *http.Request) bool {
	return strings.HasPrefix(r.Header.Get("Accept"), "application/json")
}

func renderLastResort() ([]byte, error) {
	var b bytes.Buffer
	v := web.ErrorView{Page: web.Page{Title: "Something broke", Studio: "Rowproof"}, Head: "Something broke", Text: "The page could not be shown. What was saved is safe."}
	if err := web.Error(v).Render(context.Background(), &b); err != nil {
		return nil, fmt.Errorf("last-resort page: %w", err)
	}
	return b.Bytes(), nil
}

func notFound(http.ResponseWriter, *http.Request) error         { return studio.ErrNotFound }
func methodNotAllowed(http.ResponseWriter, *http.Request) error { return errNoMethod }
func tooMany(http.ResponseWriter, *http.Request) error          { return errTooMany }

// sentence dresses a message for people: "title is empty" gives "Title is empty."
func sentence(s string) string {
	if s = strings.TrimSpace(s); s == "" {
		return s
	}
	r := []rune(s)
	s = strings.ToUpper(string(r[:1])) + string(r[1:])
	if !strings.ContainsAny(s[len(s)-1:], ".!?") {
		s += "."
	}
	return s
}
