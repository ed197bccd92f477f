package handlers

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"rowproof/domain/notation"
	"rowproof/domain/studio"
	"rowproof/web"
)

// The page of a test knit: its sizes and who knits them.

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
	v.Credits, v.Credited = notation.And(names), len(names) > 0 && strings.Contains(p.Manuscript, creditLine(names))
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
