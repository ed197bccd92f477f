package handlers

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"time"

	"github.com/go-chi/chi/v5"

	"rowproof/domain/errata"
	"rowproof/domain/studio"
	"rowproof/web"
)

// The pages of a test knitter: her test knits, and one of them. Whose it is stands in the
// session; what is not hers is not found.

// knit is the test knit of the address, if it is hers.
func (s *server) knit(r *http.Request) (studio.Knit, error) {
	n, err := id(r, "knitter")
	if err != nil {
		return studio.Knit{}, err
	}
	return s.DB.Knit(r.Context(), s.StudioID, person(r.Context()).ID, n)
}

func (s *server) showKnits(w http.ResponseWriter, r *http.Request) error {
	p := person(r.Context())
	list, err := s.DB.KnitsOf(r.Context(), s.StudioID, p.ID)
	if err != nil {
		return err
	}
	v := web.KnitListView{Page: s.sharedFlash(r, "Your test knits", "knit"), Name: p.Called()}
	now := s.testOnlyClock()
	for _, k := range list {
		c := web.KnitCard{Title: k.Title, Size: knitSize(k), URL: knitURL(k.ID), State: k.State.Words(), Changed: k.ChangedFrom != 0}
		if k.Place.Of > 0 {
			c.Percent, c.Where = strconv.Itoa(k.Place.Percent()), k.Place.Words
		}
		if !k.Deadline.IsZero() && k.Open && k.State != studio.Finished {
			c.Deadline = deadlineWords(k.Deadline, now)
		}
		v.Knits = append(v.Knits, c)
	}
	return s.render(w, r, http.StatusOK, web.KnitList(v))
}

// knitSize is her size as a heading; "" for a pattern of one.
func knitSize(k studio.Knit) string {
	if k.Size == "" {
		return ""
	}
	return "Size " + k.Size
}

func (s *server) showKnit(w http.ResponseWriter, r *http.Request) error {
	k, err := s.knit(r)
	if err != nil {
		return err
	}
	ctx := r.Context()
	if k.State == studio.Invited {
		if err := s.DB.OpenKnit(ctx, k.ID); err != nil {
			return err
		}
	}
	rev, before, err := s.DB.KnitRevision(ctx, k)
	if err != nil {
		return err
	}
	now := s.testOnlyClock()
	base := knitURL(k.ID)
	v := web.KnitView{
		Page: s.sharedFlash(r, k.Title, "knit"), Title: k.Title, Size: knitSize(k), Revision: fmt.Sprintf("Revision %d, %s", rev.Number, day(rev.Dated)), Base: base,
		Open: k.Open, Finished: k.State == studio.Finished, Wants: k.Wants, Thanks: k.Thanks, CanLeave: k.Open && k.State != studio.Finished,
		Report: "You have not told yet.", ReportLink: "Tell the studio",
	}
	if k.Place.Of > 0 {
		v.Where, v.Percent = k.Place.Words, strconv.Itoa(k.Place.Percent())
	}
	if !k.Deadline.IsZero() {
		v.Deadline, v.Calendar = deadlineWords(k.Deadline, now), base+"/deadline.ics"
	}
	if before != nil {
		changes, reading, err := s.between(ctx, *before, rev)
		if err != nil {
			return err
		}
		ahead, past := errata.ForKnitter(changes, reading, k.SizeID, k.Place.RowID)
		v.Changed, v.Ahead, v.Past, v.Note = true, knitterLines(ahead, k.SizeID), knitterLines(past, k.SizeID), rev.Note
	}
	es, err := s.DB.ErrataOfKnitter(ctx, k.ID)
	if err != nil {
		return err
	}
	for _, e := range es {
		v.Errata = append(v.Errata, web.KnitErratum{Label: e.Label, Kind: e.Kind.Words(), State: e.State.Words(), Fixed: fixedWords(e),
			URL: base + "/errata/" + strconv.FormatInt(e.ID, 10), When: day(e.NotedAt)})
	}
	if rep, err := s.DB.KnitReport(ctx, k.ID); err == nil {
		v.Report, v.ReportLink = "You told on "+day(rep.UpdatedAt)+"; you can still change it.", "Change it"
		if k.State != studio.Finished {
			v.Report, v.ReportLink = "You began to tell on "+day(rep.UpdatedAt)+".", "Go on telling"
		}
	} else if !errors.Is(err, studio.ErrNotFound) {
		return err
	}
	v.Prints = []web.PrintLink{
		{Label: "On this page", Hint: "the whole pattern" + inYourSize(k), URL: base + "/read"},
		{Label: "PDF, A4", Hint: "to print", URL: base + "/" + k.Slug + ".pdf?paper=a4"},
		{Label: "PDF, US Letter", Hint: "to print, in North America", URL: base + "/" + k.Slug + ".pdf?paper=letter"},
		{Label: "Plain text", Hint: "for a screen reader", URL: base + "/" + k.Slug + ".txt"},
	}
	return s.render(w, r, http.StatusOK, web.Knit(v))
}

func inYourSize(k studio.Knit) string {
	if k.Size == "" {
		return ""
	}
	return " in size " + k.Size
}

// fixedWords says in which revision an erratum was put right.
func fixedWords(e studio.Erratum) string {
	if e.Fix == nil {
		return ""
	}
	if e.Fix.Reason != "" {
		return fmt.Sprintf("settled with revision %d", e.Fix.Revision)
	}
	return fmt.Sprintf("fixed in revision %d", e.Fix.Revision)
}

// knitterLines writes changes for one size alone.
func knitterLines(changes []errata.Change, size int64) []string {
	var out []string
	for _, c := range changes {
		if only, ok := c.For(size); ok {
			c.Sizes, c.EverySize = []errata.SizeChange{only}, true
			c.Was, c.Now = only.Was, only.Now
			out = append(out, lineWords([]errata.Change{c})...)
		}
	}
	return out
}

// seeChanges notes that she has seen what a new draft changed.
func (s *server) seeChanges(w http.ResponseWriter, r *http.Request) error {
	k, err := s.knit(r)
	if err != nil {
		return err
	}
	if err := s.DB.SeeChanges(r.Context(), k.ID); err != nil {
		return err
	}
	return s.done(w, r, knitURL(k.ID), "")
}

// leaveKnit gives her seat back and tells the studio.
func (s *server) leaveKnit(w http.ResponseWriter, r *http.Request) error {
	k, err := s.knit(r)
	if err != nil {
		return err
	}
	err = s.DB.LeaveKnit(r.Context(), s.StudioID, k.ID, s.toStudio(r.Context(), k.Title+": a knitter gave the seat back",
		func(k studio.Knitter) string {
			return k.Person.Called() + " cannot go on with the test knit" + inYourSize(studio.Knit{Knitter: k}) + "."
		}))
	if err != nil {
		return err
	}
	return s.done(w, r, "/knit", "Your seat is given back. Thank you for what you have done.")
}

// toStudio is a letter to the owner about a knitter.
func (s *server) toStudio(ctx context.Context, subject string, words func(studio.Knitter) string) func(studio.Knitter) studio.Letter {
	desk, base := s.desk(ctx)
	return func(k studio.Knitter) studio.Letter {
		owner, err := s.DB.OwnerOf(ctx, s.StudioID)
		if err != nil {
			return studio.Letter{}
		}
		return desk.ToStudio(owner, subject, words(k), base+"/studio/patterns/"+strconv.FormatInt(k.PatternID, 10)+"/test")
	}
}

// copyOfKnit is what she may print: her revision.
func (s *server) copyOfKnit(r *http.Request) (studio.Knit, studio.Revision, copyToPrint, error) {
	k, err := s.knit(r)
	if err != nil {
		return k, studio.Revision{}, copyToPrint{}, err
	}
	rev, _, err := s.DB.KnitRevision(r.Context(), k)
	if err != nil {
		return k, rev, copyToPrint{}, err
	}
	c, err := ofRevision(rev)
	return k, rev, c, err
}

// knitSizeIndex is the place of her size among those of her revision; -1 for a pattern of
// one size.
func knitSizeIndex(k studio.Knit, rev studio.Revision) int {
	for i, z := range rev.Sizes {
		if z.ID == k.SizeID {
			return i
		}
	}
	return -1
}

func (s *server) showKnitRead(w http.ResponseWriter, r *http.Request) error {
	k, rev, c, err := s.copyOfKnit(r)
	if err != nil {
		return err
	}
	v := web.KnitReadView{Page: s.sharedFlash(r, k.Title, "knit"), Title: k.Title, Back: knitURL(k.ID)}
	if v.Body, err = s.fragmentOf(r, c, knitSizeIndex(k, rev)); err != nil {
		return err
	}
	return s.render(w, r, http.StatusOK, web.KnitRead(v))
}

func (s *server) serveKnitPrint(w http.ResponseWriter, r *http.Request) error {
	k, rev, c, err := s.copyOfKnit(r)
	if err != nil {
		return err
	}
	if chi.URLParam(r, "file") == "deadline.ics" {
		return s.serveDeadline(w, r, k)
	}
	q := r.URL.Query()
	q.Del("size")
	if i := knitSizeIndex(k, rev); i >= 0 {
		q.Set("size", strconv.Itoa(i+1))
	}
	r.URL.RawQuery = q.Encode()
	return s.servePrint(w, r, c)
}

// serveDeadline is the day of her report for a calendar.
func (s *server) serveDeadline(w http.ResponseWriter, r *http.Request, k studio.Knit) error {
	cal := deadlineCalendar(k.Title, k.TestKnitID, k.Deadline, s.reach(r.Context())+knitURL(k.ID), s.testOnlyClock())
	if cal == "" {
		return fmt.Errorf("a deadline that was not set: %w", studio.ErrNotFound)
	}
	w.Header().Set("Content-Type", "text/calendar; charset=utf-8")
	w.Header().Set("Content-Disposition", `attachment; filename="test-knit.ics"`)
	_, err := fmt.Fprint(w, cal)
	return err
}

// remind mails knitters a week and a day before their reports are due, each once.
func (s *server) remind(ctx context.Context) error {
	desk, base := s.desk(ctx)
	now := s.testOnlyClock()
	return s.DB.RemindKnitters(ctx, s.StudioID, now, []int{7, 1}, func(k studio.Knitter, title string, deadline time.Time, left, due int) studio.Letter {
		link, _ := s.entryLink(base, k.Person, k.ID, inviteTime)
		return s.deskFor(desk, base, k.Person).Reminder(k, title, deadline, left, due, link)
	})
}
