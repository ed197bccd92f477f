package handlers

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"rowproof/domain/notation"
	"rowproof/domain/studio"
	"rowproof/web"
)

// Inviting to a test knit, seating, moving and ending its knitters, and naming them in
// the pattern.

// invitation is the letter of a knitter who got a seat.
func (s *server) invitation(ctx context.Context, t studio.TestKnit) func(studio.Knitter) studio.Letter {
	desk, base := s.desk(ctx)
	return func(k studio.Knitter) studio.Letter {
		link, until := s.entryLink(base, k.Person, k.ID, inviteTime)
		l := s.deskFor(desk, base, k.Person).Invitation(k, t, link, until)
		l.Calendar = deadlineCalendar(t.Title, t.ID, t.Deadline, base+knitURL(k.ID), s.testOnlyClock())
		return l
	}
}

// invite gives somebody a seat and writes to her.
func (s *server) invite(w http.ResponseWriter, r *http.Request) error {
	p, t, err := s.testKnit(r)
	if err != nil {
		return err
	}
	o := studio.Offer{Name: r.PostForm.Get("name"), Email: r.PostForm.Get("email"), SizeID: sizeOf(r)}
	k, err := s.DB.Invite(r.Context(), s.StudioID, t.ID, o, s.invitation(r.Context(), t))
	var invalid *studio.InvalidError
	if errors.As(err, &invalid) || errors.Is(err, studio.ErrTaken) {
		v, verr := s.testView(r, p, t)
		if verr != nil {
			return verr
		}
		v.Invite.Name.Value, v.Invite.Email.Value = o.Name, o.Email
		switch {
		case invalid == nil:
			v.Invite.Email.Problem = "This person is in the test knit already."
		case invalid.Field == "name":
			v.Invite.Name.Problem = sentence("this " + invalid.Problem)
		default:
			v.Invite.Email.Problem = sentence("this " + invalid.Problem)
		}
		return s.render(w, r, http.StatusUnprocessableEntity, web.Test(v))
	}
	if err != nil {
		return err
	}
	return s.done(w, r, patternURL(p)+"/test", invitedWords(k, s.MailGoesOut))
}

func invitedWords(k studio.Knitter, goesOut bool) string {
	switch {
	case k.Person.MailStopped:
		return k.Person.Called() + " has the seat, but wants no mail: tell them yourself."
	case goesOut:
		return k.Person.Called() + " is invited; the link is in the mail."
	}
	return k.Person.Called() + " is invited; the letter with the link waits under Letters sent."
}

// sizeOf is the size chosen in a form; 0 for the only one.
func sizeOf(r *http.Request) int64 {
	n, err := strconv.ParseInt(r.PostForm.Get("size"), 10, 64)
	if err != nil || n < 0 {
		return 0
	}
	return n
}

// changeKnitter seats, moves or ends a knitter, or mails her link again.
func (s *server) changeKnitter(w http.ResponseWriter, r *http.Request) error {
	p, t, err := s.testKnit(r)
	if err != nil {
		return err
	}
	n, err := id(r, "knitter")
	if err != nil {
		return err
	}
	ctx := r.Context()
	k, err := s.DB.KnitterOfStudio(ctx, s.StudioID, p.ID, n)
	if err != nil {
		return err
	}
	desk, base := s.desk(ctx)
	said := ""
	switch do := r.PostForm.Get("do"); do {
	case "seat":
		k, err = s.DB.SeatKnitter(ctx, s.StudioID, t.ID, n, sizeOf(r), s.invitation(ctx, t))
		said = invitedWords(k, s.MailGoesOut)
	case "move":
		err = s.DB.MoveKnitter(ctx, s.StudioID, t.ID, n, sizeOf(r), func(k studio.Knitter) studio.Letter {
			link, _ := s.entryLink(base, k.Person, k.ID, inviteTime)
			return s.deskFor(desk, base, k.Person).Moved(k, t.Title, link)
		})
		said = k.Person.Called() + " has another size."
	case "link":
		err = s.DB.Remind(ctx, s.StudioID, t.ID, n, s.invitation(ctx, t))
		said = "The link is written again."
	case "end":
		err = s.DB.EndKnitter(ctx, s.StudioID, t.ID, n, func(k studio.Knitter) studio.Letter {
			return s.deskFor(desk, base, k.Person).NotNeeded(k, t.Title)
		})
		said = k.Person.Called() + " has no seat now. What was noted stays."
	case "forget":
		err = s.DB.ForgetPerson(ctx, s.StudioID, k.Person.ID)
		said = "Address, letters and photographs are deleted. What was noted on rows stays, without a name."
	default:
		return fmt.Errorf("changing knitter %d: %q: %w", n, do, errBadForm)
	}
	if err != nil {
		return err
	}
	return s.done(w, r, patternURL(p)+"/test", said)
}

// creditNames are the names under which knitters agreed to be thanked, each once.
func creditNames(people []studio.Knitter) []string {
	var out []string
	for _, k := range people {
		if k.Credit != "" && !slices.Contains(out, k.Credit) {
			out = append(out, k.Credit)
		}
	}
	return out
}

// creditLine thanks knitters in a pattern.
func creditLine(names []string) string { return "Test knitted by " + notation.And(names) + "." }

// creditKnitters puts the names of those who agreed into the notes of the pattern, in the
// place of an earlier line of thanks.
func (s *server) creditKnitters(w http.ResponseWriter, r *http.Request) error {
	p, t, err := s.testKnit(r)
	if err != nil {
		return err
	}
	people, err := s.DB.Knitters(r.Context(), s.StudioID, t.ID)
	if err != nil {
		return err
	}
	names := creditNames(people)
	if len(names) == 0 {
		return fmt.Errorf("nobody agreed to be named: %w", studio.ErrNothing)
	}
	was := readHeads(notation.Read(p.Manuscript))
	now := was
	var lines []string
	for _, l := range splitLines(was.Notes) {
		if !strings.HasPrefix(l, "Test knitted by ") {
			lines = append(lines, l)
		}
	}
	now.Notes = strings.Join(append(lines, creditLine(names)), "\n")
	if _, err := s.keep(r.Context(), p, writeHeads(p.Manuscript, was, now), p.Version, studio.Form); err != nil {
		return s.orConflict(w, r, p, err)
	}
	return s.done(w, r, patternURL(p)+"/test", "The notes of the pattern thank them.")
}
