package handlers

import (
	"context"
	"fmt"
	"net/http"

	"rowproof/domain/errata"
	"rowproof/domain/review"
	"rowproof/domain/studio"
	"rowproof/web"
)

// Sending another revision to the knitters of a test: what it changes for each, from where
// she is, and which errata it puts right.

func (s *server) showTestRevision(w http.ResponseWriter, r *http.Request) error {
	p, t, err := s.testKnit(r)
	if err != nil {
		return err
	}
	res, err := s.prove(r.Context(), p.Manuscript)
	if err != nil {
		return err
	}
	v, err := s.testRevisionView(r, p, t, res)
	if err != nil {
		return err
	}
	return s.render(w, r, http.StatusOK, web.TestRevision(v))
}

func (s *server) testRevisionView(r *http.Request, p studio.Pattern, t studio.TestKnit, res *review.Result) (web.TestRevisionView, error) {
	ctx := r.Context()
	v := web.TestRevisionView{Page: s.sharedFlash(r, p.Title, "studio"), Tabs: s.tabs(r, p, "test"), Gate: gateOf(r, p, res), Note: web.Field{Value: manuscriptOf(r, "note")}}
	now, err := s.asRevision(ctx, p, res)
	if err != nil {
		return v, err
	}
	was, err := s.readingAt(ctx, p.ID, t.RevisionID, t.Revision)
	if err != nil {
		return v, err
	}
	v.Changes = lineWords(errata.Compare(was, now))
	people, err := s.touchedBy(ctx, p, t, now)
	if err != nil {
		return v, err
	}
	for _, k := range people {
		who := k.Person.Called()
		if k.Size != "" {
			who += " (size " + k.Size + ")"
		}
		switch {
		case k.sizeGone:
			who += fmt.Sprintf(": this size is no longer in the pattern; revision %d stays", k.Revision)
		case len(k.ahead)+len(k.past) == 0:
			who += ": no row"
		default:
			who += fmt.Sprintf(": %s still to come, %d worked already", plural(len(k.ahead), "row", "rows"), len(k.past))
		}
		v.Touched = append(v.Touched, who)
	}
	fixed, left, err := s.fixedBy(ctx, p, now)
	if err != nil {
		return v, err
	}
	for _, e := range fixed {
		v.Fixed = append(v.Fixed, erratumName(e))
	}
	for _, e := range left {
		v.Left = append(v.Left, erratumName(e))
	}
	return v, nil
}

// erratumName names an erratum in a list.
func erratumName(e studio.Erratum) string {
	n := e.Knitter + ", " + e.Label
	if e.Size != "" {
		n += ", size " + e.Size
	}
	return n + ": " + lowerFirst(e.Kind.Words())
}

// sendTestRevision freezes the pattern as it was looked at and gives it to the knitters.
func (s *server) sendTestRevision(w http.ResponseWriter, r *http.Request) error {
	p, t, err := s.testKnit(r)
	if err != nil {
		return err
	}
	ctx := r.Context()
	if !t.Open {
		return fmt.Errorf("sending to a closed test knit: %w", studio.ErrConflict)
	}
	if base := baseVersion(r); base != p.Version {
		return fmt.Errorf("sending version %d, %d stands: %w", base, p.Version, studio.ErrConflict)
	}
	res, err := s.prove(ctx, p.Manuscript)
	if err != nil {
		return err
	}
	note := manuscriptOf(r, "note")
	rev, err := s.freeze(r, p, res, note)
	if problem := gateProblem(err); problem != "" {
		v, verr := s.testRevisionView(r, p, t, res)
		if verr != nil {
			return verr
		}
		v.Gate.Problem = problem
		return s.render(w, r, http.StatusUnprocessableEntity, web.TestRevision(v))
	}
	if err != nil {
		return err
	}
	now, err := s.reading(ctx, rev)
	if err != nil {
		return err
	}
	fixed, _, err := s.fixedBy(ctx, p, now)
	if err != nil {
		return err
	}
	people, err := s.touchedBy(ctx, p, t, now)
	if err != nil {
		return err
	}
	lines := map[int64][]string{}
	for _, k := range people {
		lines[k.ID] = knitterLines(k.ahead, k.SizeID)
		for _, l := range knitterLines(k.past, k.SizeID) {
			lines[k.ID] = append(lines[k.ID], l+" (you are past it)")
		}
	}
	desk, base := s.desk(ctx)
	_, err = s.DB.SendRevision(ctx, s.StudioID, t.ID, rev.ID, erratumIDs(fixed), func(k studio.Knitter) studio.Letter {
		if len(lines[k.ID]) == 0 && note == "" {
			return studio.Letter{} // nothing of hers changed; the page tells her
		}
		link, _ := s.entryLink(base, k.Person, k.ID, inviteTime)
		return s.deskFor(desk, base, k.Person).NewRevision(k, p.Title, note, lines[k.ID], link)
	})
	if err != nil {
		return err
	}
	return s.done(w, r, patternURL(p)+"/test", fmt.Sprintf("Revision %d is with the knitters.", rev.Number))
}

// touched is a knitter who gets another draft, with the rows of her size that it changes.
type touched struct {
	studio.Knitter
	ahead, past []errata.Change
	sizeGone    bool // her size is no longer in it, and she keeps what she has
}

// touchedBy tells what a newer text changes for each knitter who is invited or knitting.
func (s *server) touchedBy(ctx context.Context, p studio.Pattern, t studio.TestKnit, now errata.Reading) ([]touched, error) {
	people, err := s.DB.Knitters(ctx, s.StudioID, t.ID)
	if err != nil {
		return nil, err
	}
	var out []touched
	for _, k := range people {
		if k.State != studio.Invited && k.State != studio.Knitting {
			continue
		}
		had, err := s.readingAt(ctx, p.ID, k.RevisionID, k.Revision)
		if err != nil {
			return nil, err
		}
		x := touched{Knitter: k}
		if _, stands := now.Size(k.SizeID); stands {
			x.ahead, x.past = errata.ForKnitter(errata.Compare(had, now), now, k.SizeID, k.Place.RowID)
		} else {
			x.sizeGone = true
		}
		out = append(out, x)
	}
	return out, nil
}
