package handlers

import (
	"fmt"
	"net/http"
	"strconv"
	"time"

	"github.com/go-chi/chi/v5"

	"rowproof/domain/studio"
	"rowproof/web"
)

// What the pages of one pattern share.

func patternURL(p studio.Pattern) string { return "/studio/patterns/" + strconv.FormatInt(p.ID, 10) }

// id reads a number out of the address; what is none is not found.
func id(r *http.Request, name string) (int64, error) {
	n, err := strconv.ParseInt(chi.URLParam(r, name), 10, 64)
	if err != nil || n < 1 {
		return 0, fmt.Errorf("%s %q: %w", name, chi.URLParam(r, name), studio.ErrNotFound)
	}
	return n, nil
}

// pattern is the pattern of the address.
func (s *server) pattern(r *http.Request) (studio.Pattern, error) {
	n, err := id(r, "id")
	if err != nil {
		return studio.Pattern{}, err
	}
	return s.DB.Pattern(r.Context(), s.StudioID, n)
}

func (s *server) tabs(r *http.Request, p studio.Pattern, here string) web.Tabs {
	t := web.Tabs{Title: p.Title, State: string(p.State), StateLabel: stateLabel(p.State), Base: patternURL(p), Here: here, Owner: account(r.Context()).MayPublish()}
	if p.State.Public() {
		t.Public = publicURL(p.Slug)
	}
	t.Notices = s.stitchNotices(r, p.ID)[p.ID]
	return t
}

func stateLabel(st studio.State) string {
	switch st {
	case studio.Draft:
		return "Draft"
	case studio.Testing:
		return "In test"
	case studio.Published:
		return "Published"
	case studio.Revised:
		return "Revised"
	}
	return string(st)
}

// baseVersion is the version a form was made from; 0 when it does not say.
func baseVersion(r *http.Request) int {
	n, err := strconv.Atoi(r.PostForm.Get("base"))
	if err != nil || n < 0 {
		return 0
	}
	return n
}

func day(t time.Time) string    { return studio.Day(t.Local()) }
func moment(t time.Time) string { return t.Local().Format("2 January 2006, 15:04") }
func iso(t time.Time) string    { return t.UTC().Format(time.RFC3339) }
