package handlers

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"rowproof/domain/review"
	"rowproof/domain/studio"
	"rowproof/web"
)

// The test knit of a pattern: opening it, its people, closing it.

// defaultWants is what knitters are asked for unless the designer says otherwise.
const defaultWants = `Gauge before and after blocking.
The yarn it took, weighed before and after, of each colour.
Finished measurements after blocking.
Any row that did not come out or was not clear, noted on the row where you met it.
How it fits, and how long it took.`

// showTest shows the test knit of a pattern, or the form to open one.
func (s *server) showTest(w http.ResponseWriter, r *http.Request) error {
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	t, err := s.DB.TestKnit(r.Context(), s.StudioID, p.ID)
	if errors.Is(err, studio.ErrNotFound) || err == nil && !t.Open && r.URL.Query().Get("open") == "new" {
		res, err := s.prove(r.Context(), p.Manuscript)
		if err != nil {
			return err
		}
		v, err := s.testOpenView(r, p, res)
		if err != nil {
			return err
		}
		v.Wants.Value = defaultWants
		for i := range v.Seats {
			v.Seats[i].Value = "1"
		}
		if t.ID != 0 {
			v.Last = fmt.Sprintf("Revision %d, closed %s", t.Revision, day(t.ClosedAt))
		}
		return s.render(w, r, http.StatusOK, web.TestOpen(v))
	}
	if err != nil {
		return err
	}
	v, err := s.testView(r, p, t)
	if err != nil {
		return err
	}
	return s.render(w, r, http.StatusOK, web.Test(v))
}

func (s *server) testOpenView(r *http.Request, p studio.Pattern, res *review.Result) (web.TestOpenView, error) {
	if !account(r.Context()).MayPublish() {
		return web.TestOpenView{}, studio.ErrForbidden
	}
	sizes, err := s.DB.Sizes(r.Context(), s.StudioID, p.ID)
	if err != nil {
		return web.TestOpenView{}, err
	}
	v := web.TestOpenView{Page: s.sharedFlash(r, p.Title, "studio"), Tabs: s.tabs(r, p, "test"), Gate: gateOf(r, p, res)}
	v.Seats = seatFields(sizes, func(id int64) string { return r.PostForm.Get(seatField(id)) })
	return v, nil
}

// seatFields are the fields for how many knitters each size wants.
func seatFields(sizes []studio.Size, value func(int64) string) []web.SeatField {
	if len(sizes) == 0 {
		sizes = []studio.Size{{}}
	}
	var out []web.SeatField
	for _, z := range sizes {
		out = append(out, web.SeatField{Name: seatField(z.ID), Label: sizeName(z.Label), Value: value(z.ID)})
	}
	return out
}

func seatField(size int64) string { return "seat-" + strconv.FormatInt(size, 10) }

// sizeName is a size as a heading.
func sizeName(label string) string {
	if label == "" {
		return "One size"
	}
	return "Size " + label
}

// readCall reads a call off a form. What is no number or no day is told as an
// [studio.InvalidError].
func readCall(r *http.Request) (studio.Call, error) {
	c := studio.Call{Wants: strings.TrimSpace(manuscriptOf(r, "wants")), Note: strings.TrimSpace(manuscriptOf(r, "note")), Offers: r.PostForm.Get("offers") != "", Wanted: map[int64]int{}}
	for name, vs := range r.PostForm {
		n, ok := strings.CutPrefix(name, "seat-")
		id, err := strconv.ParseInt(n, 10, 64)
		if !ok || err != nil || strings.TrimSpace(vs[0]) == "" {
			continue
		}
		if c.Wanted[id], err = strconv.Atoi(strings.TrimSpace(vs[0])); err != nil {
			return c, &studio.InvalidError{Field: "wanted", Problem: fmt.Sprintf("is “%.20s” for one size; write a number", vs[0])}
		}
	}
	if d := strings.TrimSpace(r.PostForm.Get("deadline")); d != "" {
		var err error
		if c.Deadline, err = time.Parse(time.DateOnly, d); err != nil {
			return c, &studio.InvalidError{Field: "deadline", Problem: "is a day, such as 2027-03-04"}
		}
	}
	return c, nil
}

// callFields shows what was typed, with what is wrong.
func callFields(r *http.Request, c *web.CallFields, invalid *studio.InvalidError) {
	c.Deadline.Value, c.Wants.Value, c.Note.Value = r.PostForm.Get("deadline"), manuscriptOf(r, "wants"), manuscriptOf(r, "note")
	c.Offers = r.PostForm.Get("offers") != ""
	if invalid == nil {
		return
	}
	switch invalid.Field {
	case "wanted":
		c.SeatsWrong = sentence("this " + invalid.Problem)
	case "deadline":
		c.Deadline.Problem = sentence("this " + invalid.Problem)
	case "wants":
		c.Wants.Problem = sentence("this " + invalid.Problem)
	default:
		c.Note.Problem = sentence("this " + invalid.Problem)
	}
}

// openTest freezes a revision and opens the test knit with it.
func (s *server) openTest(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	ctx := r.Context()
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	if t, err := s.DB.TestKnit(ctx, s.StudioID, p.ID); err == nil && t.Open {
		return fmt.Errorf("opening a second test knit: %w", studio.ErrTaken)
	}
	res, err := s.prove(ctx, p.Manuscript)
	if err != nil {
		return err
	}
	if base := baseVersion(r); base != p.Version {
		return fmt.Errorf("testing version %d, %d stands: %w", base, p.Version, studio.ErrConflict)
	}
	call, err := readCall(r)
	if err == nil {
		err = call.Validate(s.testOnlyClock())
	}
	var invalid *studio.InvalidError
	again := func(problem string) error {
		v, err := s.testOpenView(r, p, res)
		if err != nil {
			return err
		}
		callFields(r, &v.CallFields, invalid)
		v.Gate.Problem = problem
		return s.render(w, r, http.StatusUnprocessableEntity, web.TestOpen(v))
	}
	if errors.As(err, &invalid) {
		return again("")
	}
	if err != nil {
		return err
	}
	rev, err := s.freeze(r, p, res, "")
	if problem := gateProblem(err); problem != "" {
		return again(problem)
	}
	if err != nil {
		return err
	}
	if _, err := s.DB.OpenTestKnit(ctx, s.StudioID, rev.ID, call); err != nil {
		return err
	}
	return s.done(w, r, patternURL(p)+"/test", fmt.Sprintf("Revision %d is frozen, and the test knit is open. Invite somebody.", rev.Number))
}

// freeze makes a test revision of a pattern as it was looked at.
func (s *server) freeze(r *http.Request, p studio.Pattern, res *review.Result, note string) (studio.Revision, error) {
	reason := func(i int) string { return studio.CleanManuscript(r.PostForm.Get(reasonField(i))) }
	pub, err := publication(p, res, s.Version, note, reason)
	if err != nil {
		return studio.Revision{}, err
	}
	pub.Purpose = studio.Test
	return s.DB.Publish(r.Context(), s.StudioID, p.ID, account(r.Context()).ID, pub)
}

// testKnit is the test knit of the address' pattern, for the owner to change.
func (s *server) testKnit(r *http.Request) (studio.Pattern, studio.TestKnit, error) {
	if err := readForm(r); err != nil {
		return studio.Pattern{}, studio.TestKnit{}, err
	}
	if !account(r.Context()).MayPublish() {
		return studio.Pattern{}, studio.TestKnit{}, studio.ErrForbidden
	}
	p, err := s.pattern(r)
	if err != nil {
		return p, studio.TestKnit{}, err
	}
	t, err := s.DB.TestKnit(r.Context(), s.StudioID, p.ID)
	return p, t, err
}

// changeCall changes what a test knit asks for.
func (s *server) changeCall(w http.ResponseWriter, r *http.Request) error {
	p, t, err := s.testKnit(r)
	if err != nil {
		return err
	}
	call, err := readCall(r)
	if err == nil && call.Deadline.Equal(t.Deadline) && !t.Deadline.IsZero() && t.Deadline.Before(s.testOnlyClock()) {
		call.Deadline = time.Time{} // a day that has passed stands; Validate asks for a coming one
		err = call.Validate(s.testOnlyClock())
		call.Deadline = t.Deadline
	}
	if err == nil {
		_, err = s.DB.ChangeTestKnit(r.Context(), s.StudioID, t.ID, baseVersion(r), call)
	}
	var invalid *studio.InvalidError
	if errors.As(err, &invalid) {
		v, verr := s.testView(r, p, t)
		if verr != nil {
			return verr
		}
		for i := range v.Call.Seats {
			v.Call.Seats[i].Value = r.PostForm.Get(v.Call.Seats[i].Name)
		}
		callFields(r, &v.Call, invalid)
		return s.render(w, r, http.StatusUnprocessableEntity, web.Test(v))
	}
	if err != nil {
		return err
	}
	return s.done(w, r, patternURL(p)+"/test", "The call is changed.")
}

// closeTest ends a test knit and thanks its knitters.
func (s *server) closeTest(w http.ResponseWriter, r *http.Request) error {
	p, t, err := s.testKnit(r)
	if err != nil {
		return err
	}
	thanks := studio.Clip(manuscriptOf(r, "thanks"), 4000)
	desk, base := s.desk(r.Context())
	err = s.DB.CloseTestKnit(r.Context(), s.StudioID, t.ID, thanks, func(k studio.Knitter) studio.Letter {
		link, _ := s.entryLink(base, k.Person, k.ID, inviteTime)
		return s.deskFor(desk, base, k.Person).ThankYou(k, t.Title, thanks, link)
	})
	if err != nil {
		return err
	}
	return s.done(w, r, patternURL(p)+"/test", "The test knit is closed, and its knitters are thanked.")
}
