package handlers

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"time"

	"github.com/alexedwards/scs/v2"

	"rowproof/domain/store"
	"rowproof/domain/studio"
	"rowproof/web"
)

// sessionAccount is the key of the account's id in a session; sessionSeal, of the
// account's seal when it was begun, so that a new password ends it; sessionFlash, of
// what the next page says.
//
// sessionPerson and sessionPersonSeal are the same of a test knitter, who came in by a
// mailed link; a browser may be both.
const (
	sessionAccount    = "account"
	sessionSeal       = "seal"
	sessionPerson     = "person"
	sessionPersonSeal = "person-seal"
	sessionFlash      = "flash"
)

func newSessions(db *store.DB, secure bool) *scs.SessionManager {
	m := scs.New()
	m.Store = db.SessionStore()
	m.HashTokenInStore = true
	m.Lifetime = 30 * 24 * time.Hour
	m.IdleTimeout = 7 * 24 * time.Hour
	m.Cookie.Name = "rowproof"
	m.Cookie.HttpOnly = true
	m.Cookie.SameSite = http.SameSiteLaxMode
	m.Cookie.Path = "/"
	if secure {
		m.Cookie.Secure = true
		m.Cookie.Name = "__Host-rowproof"
	}
	return m
}

type (
	accountKey struct{}
	personKey  struct{}
)

// account is who is signed in; the zero value when nobody is.
func account(ctx context.Context) studio.Account {
	a, _ := ctx.Value(accountKey{}).(studio.Account)
	return a
}

// person is the test knitter who is signed in; the zero value when none is.
func person(ctx context.Context) studio.Person {
	p, _ := ctx.Value(personKey{}).(studio.Person)
	return p
}

// whoIs reads the account and the person of the session once for the request.
func (s *server) whoIs(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		ctx := r.Context()
		if id := s.sessions.GetInt64(ctx, sessionAccount); id != 0 {
			a, err := s.DB.Account(ctx, id)
			switch {
			case errors.Is(err, studio.ErrNotFound), err == nil && a.Seal != s.sessions.GetString(ctx, sessionSeal):
				err = s.sessions.Destroy(ctx)
			case err == nil && a.StudioID == s.StudioID:
				ctx = context.WithValue(ctx, accountKey{}, a)
			}
			if err != nil {
				s.fail(w, r, fmt.Errorf("account of the session: %w", err))
				return
			}
		}
		if id := s.sessions.GetInt64(ctx, sessionPerson); id != 0 {
			p, err := s.DB.Person(ctx, s.StudioID, id)
			switch {
			case errors.Is(err, studio.ErrNotFound), err == nil && p.Seal != s.sessions.GetInt(ctx, sessionPersonSeal):
				s.sessions.Remove(ctx, sessionPerson)
			case err != nil:
				s.fail(w, r, fmt.Errorf("person of the session: %w", err))
				return
			default:
				ctx = context.WithValue(ctx, personKey{}, p)
			}
		}
		next.ServeHTTP(w, r.WithContext(ctx))
	})
}

// knits lets test knitters through who came in by their link.
func (s *server) knits(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		switch {
		case person(r.Context()).ID != 0:
			next.ServeHTTP(w, r)
		case r.Method == http.MethodGet && !wantsJSON(r):
			http.Redirect(w, r, "/knit/sign-in", http.StatusSeeOther)
		default:
			s.fail(w, r, errKnitSignedIn)
		}
	})
}

// signedIn lets people with an account through. A page is asked for again after
// signing in; a form is not, so that the page before it keeps what was typed.
func (s *server) signedIn(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		switch {
		case account(r.Context()).ID != 0:
			next.ServeHTTP(w, r)
		case r.Method == http.MethodGet && !wantsJSON(r):
			http.Redirect(w, r, "/sign-in?next="+url.QueryEscape(r.URL.RequestURI()), http.StatusSeeOther)
		default:
			s.fail(w, r, errSignedIn)
		}
	})
}

// shared is what every page has in common.
func (s *server) shared(r *http.Request, title string) web.Page {
	ctx := r.Context()
	a := account(ctx)
	p := web.Page{Title: title, Studio: "Rowproof", Signed: a.ID != 0, Account: a.Name, Owner: a.MayPublish(), Knits: person(ctx).ID != 0}
	if p.Account == "" {
		p.Account = a.Email
	}
	if st, err := s.DB.Studio(ctx, s.StudioID); err == nil {
		p.Studio = st.Name
	}
	if !p.Signed {
		if has, err := s.DB.HasAccount(ctx); err == nil {
			p.Fresh = !has
		}
	}
	return p
}

// sharedFlash is shared for pages inside a session, with what was just done.
func (s *server) sharedFlash(r *http.Request, title, here string) web.Page {
	p := s.shared(r, title)
	p.Here = here
	p.Flash = s.sessions.PopString(r.Context(), sessionFlash)
	return p
}

// done goes on to another page that says what was done.
func (s *server) done(w http.ResponseWriter, r *http.Request, to, flash string) error {
	if flash != "" {
		s.sessions.Put(r.Context(), sessionFlash, flash)
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

func (s *server) showSignIn(w http.ResponseWriter, r *http.Request) error {
	if account(r.Context()).ID != 0 {
		return s.done(w, r, "/studio", "")
	}
	v := web.SignInView{Page: s.sharedFlash(r, "Sign in", "sign-in"), Next: localPath(r.URL.Query().Get("next"))}
	if v.Fresh {
		return s.done(w, r, "/start", "")
	}
	return s.render(w, r, http.StatusOK, web.SignIn(v))
}

func (s *server) signIn(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	ctx := r.Context()
	email, next := r.PostForm.Get("email"), localPath(r.PostForm.Get("next"))
	a, err := s.authenticate(ctx, email, r.PostForm.Get("password"))
	if errors.Is(err, studio.ErrNotFound) || err == nil && a.StudioID != s.StudioID {
		v := web.SignInView{Page: s.shared(r, "Sign in"), Email: email, Next: next, Problem: "This address and password do not belong together."}
		v.Here = "sign-in"
		return s.render(w, r, http.StatusUnprocessableEntity, web.SignIn(v))
	}
	if err != nil {
		return err
	}
	if err := s.enter(ctx, a); err != nil {
		return err
	}
	return s.done(w, r, next, "")
}

// hashed does what hashes a password, as much at once as memory allows.
func (s *server) hashed(ctx context.Context, work func() (studio.Account, error)) (studio.Account, error) {
	select {
	case s.hashing <- struct{}{}:
		defer func() { <-s.hashing }()
		return work()
	case <-ctx.Done():
		return studio.Account{}, fmt.Errorf("waiting to hash a password: %w", ctx.Err())
	}
}

// authenticate checks a password.
func (s *server) authenticate(ctx context.Context, email, password string) (studio.Account, error) {
	return s.hashed(ctx, func() (studio.Account, error) { return s.DB.Authenticate(ctx, email, password) })
}

// enter makes the session the account's, under a new token.
func (s *server) enter(ctx context.Context, a studio.Account) error {
	if err := s.sessions.RenewToken(ctx); err != nil {
		return fmt.Errorf("renewing the session: %w", err)
	}
	s.sessions.Put(ctx, sessionAccount, a.ID)
	s.sessions.Put(ctx, sessionSeal, a.Seal)
	return nil
}

func (s *server) signOut(w http.ResponseWriter, r *http.Request) error {
	if err := s.sessions.Destroy(r.Context()); err != nil {
		return fmt.Errorf("signing out: %w", err)
	}
	http.Redirect(w, r, "/", http.StatusSeeOther)
	return nil
}

// localPath is a path of this site, or the studio's when it is none.
func localPath(p string) string {
	u, err := url.Parse(p)
	if err != nil || u.IsAbs() || u.Host != "" || !strings.HasPrefix(p, "/") || strings.HasPrefix(p, "//") || strings.ContainsAny(p, "\\\r\n\t") {
		return "/studio"
	}
	return p
}

// readForm reads a form, of either kind.
func readForm(r *http.Request) error {
	err := r.ParseForm() // first: ParseMultipartForm alone hides its error
	if err == nil {
		if err = r.ParseMultipartForm(manuscriptBody); errors.Is(err, http.ErrNotMultipart) {
			err = nil
		}
	}
	var big *http.MaxBytesError
	if errors.As(err, &big) {
		return fmt.Errorf("form: %w", errTooBig)
	}
	if err != nil {
		return fmt.Errorf("form: %w: %v", errBadForm, err)
	}
	if r.PostForm == nil {
		r.PostForm = url.Values{}
	}
	if r.MultipartForm != nil {
		for k, vs := range r.MultipartForm.Value {
			r.PostForm[k] = vs
		}
	}
	return nil
}
