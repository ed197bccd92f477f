package handlers

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/review"
	"rowproof/domain/store"
	"rowproof/domain/studio"
	"rowproof/web"
)

func (s *server) showPublish(w http.ResponseWriter, r *http.Request) error {
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	res, err := s.prove(r.Context(), p.Manuscript)
	if err != nil {
		return err
	}
	v, err := s.publishView(r, p, res)
	if err != nil {
		return err
	}
	return s.render(w, r, http.StatusOK, web.Publish(v))
}

// gateOf is what stands before a revision goes out: each error with the field for the reason
// to leave it.
func gateOf(r *http.Request, p studio.Pattern, res *review.Result) web.Gate {
	g := web.Gate{Version: strconv.Itoa(p.Version), Number: strconv.Itoa(p.Revision + 1), Empty: true}
	for _, part := range res.Report.Parts {
		g.Empty = g.Empty && len(part.Rows) == 0
	}
	warnings := 0
	for i, f := range res.Findings {
		switch f.Severity() {
		case finding.Warning:
			warnings++
		case finding.Error:
			e := web.GateError{Name: reasonField(i), Where: where(res, f), Message: sentence(f.Message), Reason: r.PostForm.Get(reasonField(i))}
			e.Missing = r.Method == http.MethodPost && strings.TrimSpace(e.Reason) == ""
			g.Errors = append(g.Errors, e)
		}
	}
	if warnings > 0 {
		g.Warnings = plural(warnings, "warning stands.", "warnings stand.")
	}
	return g
}

func (s *server) publishView(r *http.Request, p studio.Pattern, res *review.Result) (web.PublishView, error) {
	if !account(r.Context()).MayPublish() {
		return web.PublishView{}, studio.ErrForbidden
	}
	v := web.PublishView{
		Page: s.sharedFlash(r, p.Title, "studio"), Tabs: s.tabs(r, p, "publish"), Gate: gateOf(r, p, res),
		URL: publicURL(p.Slug), Note: web.Field{Value: r.PostForm.Get("note")},
	}
	infos, err := s.DB.Revisions(r.Context(), s.StudioID, p.ID)
	if err != nil {
		return v, err
	}
	last := 0
	for _, i := range infos {
		if i.Purpose == studio.Release {
			last = max(last, i.Number)
			rel := web.Release{Label: "Revision " + strconv.Itoa(i.Number), Dated: day(i.Dated), Note: i.Note, URL: publicURL(i.Slug) + "/revision/" + strconv.Itoa(i.Number)}
			v.Earlier = append(v.Earlier, rel)
		}
	}
	if last > 0 {
		if v.Changes, err = s.changesSince(r.Context(), p, res, last); err != nil {
			return v, err
		}
	}
	return v, nil
}

// reasonField names the field for the reason to leave the i-th finding.
func reasonField(i int) string { return "reason-" + strconv.Itoa(i) }

func (s *server) publish(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	res, err := s.prove(r.Context(), p.Manuscript)
	if err != nil {
		return err
	}
	if base := baseVersion(r); base != p.Version {
		return fmt.Errorf("publishing version %d, %d stands: %w", base, p.Version, studio.ErrConflict)
	}
	reason := func(i int) string { return studio.CleanManuscript(r.PostForm.Get(reasonField(i))) }
	pub, err := publication(p, res, s.Version, manuscriptOf(r, "note"), reason)
	if err != nil {
		return err
	}
	rev, err := s.DB.Publish(r.Context(), s.StudioID, p.ID, account(r.Context()).ID, pub)
	if problem := gateProblem(err); problem != "" {
		v, verr := s.publishView(r, p, res)
		if verr != nil {
			return verr
		}
		v.Problem = problem
		return s.render(w, r, http.StatusUnprocessableEntity, web.Publish(v))
	}
	if err != nil {
		return fmt.Errorf("publishing: %w", err)
	}
	if err := s.noteFixes(r.Context(), p, rev); err != nil {
		return err
	}
	p, err = s.DB.Pattern(r.Context(), s.StudioID, p.ID)
	if err != nil {
		return err
	}
	return s.done(w, r, publicURL(p.Slug), "It is published.")
}

// gateProblem is what to tell a designer whose revision did not go out; "" where it is
// no matter of reasons.
func gateProblem(err error) string {
	var invalid *studio.InvalidError
	switch {
	case errors.As(err, &invalid):
		return sentence(invalid.Field + " " + invalid.Problem)
	case errors.Is(err, studio.ErrUnproved):
		return "Each error that is left needs its reason."
	}
	return ""
}

// publication is what is known of a checked text that goes out; reason gives why
// the i-th finding is left, when it is an error.
func publication(p studio.Pattern, res *review.Result, checker, note string, reason func(i int) string) (studio.Publication, error) {
	report, err := json.Marshal(res.Report)
	if err != nil {
		return studio.Publication{}, fmt.Errorf("report of pattern %d: %w", p.ID, err)
	}
	rows := Project(res).Rows
	pub := studio.Publication{Purpose: studio.Release, Version: p.Version, Report: report, Checker: checker, Note: note, Counts: rowCounts(res, rows)}
	for i, f := range res.Findings {
		if f.Severity() != finding.Error {
			continue
		}
		left := studio.ErrorLeft{Code: string(f.Code), Row: -1, Reason: reason(i)}
		for j, row := range rows {
			if row.Line == f.Line {
				left.Row = j
			}
		}
		pub.Left = append(pub.Left, left)
	}
	return pub, nil
}

// Demo is a pattern to begin with.
type Demo struct {
	Manuscript string
	Published  bool   // it goes out at once; it has no errors
	Note       string // what readers are told of it
}

// AddDemos puts patterns into a studio in the name of the program itself.
func AddDemos(ctx context.Context, db *store.DB, studioID int64, checker string, demos []Demo) error {
	for _, d := range demos {
		text := studio.CleanManuscript(d.Manuscript)
		res := review.Check(text)
		p, err := db.CreatePattern(ctx, studioID, text, Project(res), 0)
		if err != nil {
			return fmt.Errorf("demo pattern: %w", err)
		}
		if !d.Published {
			continue
		}
		pub, err := publication(p, res, checker, d.Note, func(int) string { return "" })
		if err != nil {
			return err
		}
		if _, err := db.Publish(ctx, studioID, p.ID, 0, pub); err != nil {
			return fmt.Errorf("publishing demo pattern %q: %w", p.Title, err)
		}
	}
	return nil
}
