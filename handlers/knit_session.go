package handlers

import (
	"context"
	"errors"
	"fmt"
	"net/http"

	"rowproof/domain/studio"
	"rowproof/web"
)

// Test knitters come in by a mailed link. The link shows a button, and the button lets
// in: programs that open every link of a mail use nothing up.

func (s *server) showKnitSignIn(w http.ResponseWriter, r *http.Request) error {
	if person(r.Context()).ID != 0 {
		return s.done(w, r, "/knit", "")
	}
	return s.render(w, r, http.StatusOK, web.KnitSignIn(web.KnitSignInView{Page: s.sharedFlash(r, "Your test knits", "knit")}))
}

// mailKnitLink answers the same whether somebody has that address or not.
func (s *server) mailKnitLink(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	ctx := r.Context()
	v := web.KnitSignInView{Page: s.shared(r, "Your test knits"), Email: web.Field{Value: r.PostForm.Get("email")}}
	v.Here = "knit"
	desk, base := s.desk(ctx)
	err := s.DB.WriteToPerson(ctx, s.StudioID, v.Email.Value, func(p studio.Person) studio.Letter {
		link, _ := s.entryLink(base, p, 0, signInTime)
		return desk.SignInLink(p, link, signInTime)
	})
	var invalid *studio.InvalidError
	if errors.As(err, &invalid) {
		v.Email.Problem = sentence("this " + invalid.Problem)
		return s.render(w, r, http.StatusUnprocessableEntity, web.KnitSignIn(v))
	}
	if err != nil {
		return err
	}
	v.Sent = true
	return s.render(w, r, http.StatusOK, web.KnitSignIn(v))
}

// desk is what the studio's letters have in common, and the address for their links.
func (s *server) desk(ctx context.Context) (studio.Desk, string) {
	d := studio.Desk{Studio: "Rowproof"}
	if st, err := s.DB.Studio(ctx, s.StudioID); err == nil {
		d.Studio = st.Name
	}
	return d, s.reach(ctx)
}

// deskFor is desk with the person's link to end all notices.
func (s *server) deskFor(d studio.Desk, base string, p studio.Person) studio.Desk {
	if base == "" { // nobody said under which address the studio is reached
		return d
	}
	d.Stop = s.stopLink(base, p)
	return d
}

func (s *server) showKnitEntry(w http.ResponseWriter, r *http.Request) error {
	token := r.URL.Query().Get("k")
	l, p, err := s.entering(r.Context(), token)
	if err != nil {
		return err
	}
	if here := person(r.Context()); here.ID == p.ID {
		return s.done(w, r, knitAfter(l), "")
	}
	v := web.KnitEntryView{Page: s.sharedFlash(r, "Your test knits", "knit"), Token: token, Name: p.Called()}
	return s.render(w, r, http.StatusOK, web.KnitEntry(v))
}

// entering checks an entry link.
func (s *server) entering(ctx context.Context, token string) (link, studio.Person, error) {
	l, err := s.links.read(forEntry, token, s.testOnlyClock())
	if err != nil {
		return l, studio.Person{}, err
	}
	p, err := s.DB.Person(ctx, s.StudioID, l.Person)
	if errors.Is(err, studio.ErrNotFound) || err == nil && p.Seal != l.Seal {
		err = errLink
	}
	return l, p, err
}

// knitAfter is where a link leads.
func knitAfter(l link) string {
	if l.Knit != 0 {
		return knitURL(l.Knit)
	}
	return "/knit"
}

func knitURL(knitter int64) string { return fmt.Sprintf("/knit/%d", knitter) }

func (s *server) enterKnit(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	ctx := r.Context()
	l, p, err := s.entering(ctx, r.PostForm.Get("k"))
	if err != nil {
		return err
	}
	if err := s.sessions.RenewToken(ctx); err != nil {
		return fmt.Errorf("renewing the session: %w", err)
	}
	s.sessions.Put(ctx, sessionPerson, p.ID)
	s.sessions.Put(ctx, sessionPersonSeal, p.Seal)
	return s.done(w, r, knitAfter(l), "")
}

// leaveKnitSession signs a test knitter out; everywhere, when she asks for it.
func (s *server) leaveKnitSession(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	ctx := r.Context()
	if p := person(ctx); p.ID != 0 && r.PostForm.Get("everywhere") != "" {
		if err := s.DB.EndSessions(ctx, s.StudioID, p.ID); err != nil {
			return err
		}
	}
	s.sessions.Remove(ctx, sessionPerson)
	s.sessions.Remove(ctx, sessionPersonSeal)
	return s.done(w, r, "/knit/sign-in", "You are signed out. What this device has not sent yet stays on it.")
}

// forgetMe deletes what is known of the test knitter who asks for it.
func (s *server) forgetMe(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	if err := s.DB.ForgetPerson(ctx, s.StudioID, person(ctx).ID); err != nil {
		return err
	}
	s.sessions.Remove(ctx, sessionPerson)
	s.sessions.Remove(ctx, sessionPersonSeal)
	return s.done(w, r, "/", "It is deleted. Thank you for what you have done.")
}

// showStopMail asks before it stops anything; stopMail also takes the post that a mail
// program sends by itself (RFC 8058).
func (s *server) showStopMail(w http.ResponseWriter, r *http.Request) error {
	token := r.URL.Query().Get("k")
	l, err := s.links.read(forStop, token, s.testOnlyClock())
	if err != nil {
		return err
	}
	p, err := s.DB.Person(r.Context(), s.StudioID, l.Person)
	if err != nil {
		return err
	}
	return s.render(w, r, http.StatusOK, web.StopMail(web.StopMailView{Page: s.sharedFlash(r, "Notices by mail", ""), Token: token, Stopped: p.MailStopped}))
}

func (s *server) stopMail(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	token := r.URL.Query().Get("k")
	l, err := s.links.read(forStop, token, s.testOnlyClock())
	if err != nil {
		return err
	}
	stop := r.PostForm.Get("do") != "resume"
	if err := s.DB.StopMail(r.Context(), s.StudioID, l.Person, stop); err != nil {
		return err
	}
	return s.render(w, r, http.StatusOK, web.StopMail(web.StopMailView{Page: s.shared(r, "Notices by mail"), Token: token, Stopped: stop, Done: true}))
}
