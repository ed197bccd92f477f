package handlers

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"rowproof/domain/notation"
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

// testView is a test knit with its people.
func (s *server) testView(r *http.Request, p studio.Pattern, t studio.TestKnit) (web.TestView, error) {
	ctx := r.Context()
	now := s.testOnlyClock()
	v := web.TestView{
		Page: s.sharedFlash(r, p.Title, "studio"), Tabs: s.tabs(r, p, "test"), Open: t.Open, Wants: t.Wants, Note: t.Note, Thanks: t.Thanks,
		MailKept: !s.MailGoesOut, Version: strconv.Itoa(t.Version),
	}
	rev, err := s.DB.Revision(ctx, s.StudioID, p.ID, t.Revision)
	if err != nil {
		return v, err
	}
	v.Revision = fmt.Sprintf("Revision %d, frozen %s", rev.Number, day(rev.Dated))
	v.CanSend = rev.Manuscript != p.Manuscript
	if v.CanSend && t.Open {
		v.Behind = "The pattern has changed since. The knitters still read revision " + strconv.Itoa(rev.Number) + ", until you send them a new one."
	}
	if !t.Open {
		v.ClosedWhen = day(t.ClosedAt)
	}
	if !t.Deadline.IsZero() {
		v.Deadline, v.Late = deadlineWords(t.Deadline, now), t.Open && now.After(t.Deadline.AddDate(0, 0, 1))
		v.Call.Deadline.Value = t.Deadline.Format(time.DateOnly)
	}
	if t.OfferCode != "" {
		v.OfferURL = s.reach(ctx) + offerURL(t.OfferCode)
	}
	v.Call.Wants.Value, v.Call.Note.Value, v.Call.Offers = t.Wants, t.Note, t.OfferCode != ""
	for _, seat := range t.Seats {
		v.Call.Seats = append(v.Call.Seats, web.SeatField{Name: seatField(seat.SizeID), Label: sizeName(seat.Label), Value: strconv.Itoa(seat.Wanted)})
	}
	v.Invite.Sizes = seatChoices(t.Seats, 0)
	people, err := s.DB.Knitters(ctx, s.StudioID, t.ID)
	if err != nil {
		return v, err
	}
	seats := map[int64]int{}
	for i, seat := range t.Seats {
		seats[seat.SizeID] = i
		v.Seats = append(v.Seats, web.SeatRow{Size: sizeName(seat.Label), Wanted: fmt.Sprintf("%d of %d", seat.Taken, seat.Wanted),
			Nobody: seat.Nobody(), Short: seat.Taken < seat.Wanted})
	}
	names := creditNames(people)
	v.Credits, v.Credited = sentenceList(names), len(names) > 0 && strings.Contains(p.Manuscript, creditLine(names))
	seated, reported := 0, 0
	for _, k := range people {
		row := knitterRow(k, t, now)
		switch i, ok := seats[k.SizeID]; {
		case k.State == studio.Offered:
			v.Offers = append(v.Offers, row)
		case k.State.Seated() && ok:
			v.Seats[i].Knitters = append(v.Seats[i].Knitters, row)
		default:
			v.Gone = append(v.Gone, row)
		}
		if k.State.Seated() {
			seated++
			if k.Reported {
				reported++
			}
		}
	}
	v.Reports = fmt.Sprintf("%d of %s reported", reported, plural(seated, "knitter has", "knitters have"))
	es, err := s.DB.Errata(ctx, s.StudioID, p.ID)
	if err != nil {
		return v, err
	}
	waiting := 0
	for _, e := range es {
		if e.State.Waits() {
			waiting++
		}
	}
	v.Errata = plural(len(es), "noted", "noted") + ", " + plural(waiting, "waits for you", "wait for you")
	return v, nil
}

// deadlineWords is a day with how far off it is.
func deadlineWords(d, now time.Time) string {
	days := int(d.Sub(now.UTC().Truncate(24*time.Hour)).Hours() / 24)
	switch {
	case days == 0:
		return studio.Day(d) + ", today"
	case days == 1:
		return studio.Day(d) + ", tomorrow"
	case days > 1:
		return fmt.Sprintf("%s, in %d days", studio.Day(d), days)
	}
	return fmt.Sprintf("%s, %s ago", studio.Day(d), plural(-days, "day", "days"))
}

func offerURL(code string) string { return "/offer/" + code }

// seatChoices are the sizes to choose from; the one that fits best what is wanted is
// chosen when none is given.
func seatChoices(seats []studio.Seat, here int64) []web.Choice {
	if here == 0 {
		most := 0
		for _, s := range seats {
			if s.Wanted-s.Taken > most {
				most, here = s.Wanted-s.Taken, s.SizeID
			}
		}
	}
	var out []web.Choice
	for _, s := range seats {
		out = append(out, web.Choice{Value: strconv.FormatInt(s.SizeID, 10), Label: sizeName(s.Label), Here: s.SizeID == here})
	}
	return out
}

func knitterRow(k studio.Knitter, t studio.TestKnit, now time.Time) web.KnitterRow {
	row := web.KnitterRow{
		ID: strconv.FormatInt(k.ID, 10), Name: k.Person.Called(), Email: k.Person.Email, State: k.State.Words(), Wish: k.Offer,
		Sizes: seatChoices(t.Seats, k.SizeID), Seated: k.State == studio.Invited || k.State == studio.Knitting, Offered: k.State == studio.Offered, NoMail: k.Person.MailStopped,
	}
	if k.State == studio.Offered && k.Size != "" {
		row.Wish = strings.TrimSpace("Would like size " + k.Size + ".\n" + k.Offer)
	}
	if k.Place.Of > 0 && k.State.Seated() {
		row.Percent = strconv.Itoa(k.Place.Percent())
		row.Where = k.Place.Words
		row.When = "heard of " + ago(k.Place.At, now)
	}
	if k.State.Seated() && k.Revision != 0 && k.Revision != t.Revision {
		row.Revision = fmt.Sprintf("reads revision %d", k.Revision)
	}
	if k.Errata > 0 {
		row.Errata = plural(k.Errata, "erratum", "errata")
	}
	return row
}

// ago is a time as people say it.
func ago(t, now time.Time) string {
	switch d := now.Sub(t); {
	case d < 2*time.Minute:
		return "just now"
	case d < 2*time.Hour:
		return fmt.Sprintf("%d minutes ago", int(d.Minutes()))
	case d < 48*time.Hour:
		return fmt.Sprintf("%d hours ago", int(d.Hours()))
	}
	return day(t)
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
			v.Invite.Email.Problem = "She is in this test knit already."
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
		return k.Person.Called() + " has the seat, but wants no mail: tell her yourself."
	case goesOut:
		return k.Person.Called() + " is invited; her link is in the mail."
	}
	return k.Person.Called() + " is invited; her letter with the link waits under Letters sent."
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
		said = "Her link is written again."
	case "end":
		err = s.DB.EndKnitter(ctx, s.StudioID, t.ID, n, func(k studio.Knitter) studio.Letter {
			return s.deskFor(desk, base, k.Person).NotNeeded(k, t.Title)
		})
		said = k.Person.Called() + " has no seat now. What she noted stays."
	case "forget":
		err = s.DB.ForgetPerson(ctx, s.StudioID, k.Person.ID)
		said = "Her address, letters and photographs are deleted. What she noted on rows stays, without a name."
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
func creditLine(names []string) string { return "Test knitted by " + sentenceList(names) + "." }

// sentenceList writes names as a sentence does: "Ada, Bea and Cor".
func sentenceList(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

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
