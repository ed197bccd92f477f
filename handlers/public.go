package handlers

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"

	"github.com/go-chi/chi/v5"

	"rowproof/domain/studio"
	"rowproof/web"
)

func (s *server) showFront(w http.ResponseWriter, r *http.Request) error {
	revs, err := s.DB.PublishedPatterns(r.Context())
	if err != nil {
		return err
	}
	v := web.FrontView{Page: s.sharedFlash(r, "", "public")}
	for _, rev := range revs {
		v.Patterns = append(v.Patterns, web.PublishedPattern{
			Title: rev.Title, URL: publicURL(rev.Slug), Dated: day(rev.Dated), Sizes: vector(rev.Sizes), Note: rev.Note, NotProved: !rev.Proved,
		})
	}
	return s.render(w, r, http.StatusOK, web.Front(v))
}

func publicURL(slug string) string { return "/p/" + slug }

// vector writes names of sizes the trade's way: "S (M, L)".
func vector(names []string) string {
	out := ""
	for i, n := range names {
		switch i {
		case 0:
			out = n
		case 1:
			out += " (" + n
		default:
			out += ", " + n
		}
	}
	if len(names) > 1 {
		out += ")"
	}
	return out
}

// published is the release that the address names, a numbered one or the newest,
// and what it is printed from.
func (s *server) published(r *http.Request) (rev studio.Revision, c copyToPrint, err error) {
	number := 0
	if n := chi.URLParam(r, "number"); n != "" {
		if number, err = strconv.Atoi(n); err != nil || number < 1 || number > 1<<30 {
			return rev, c, fmt.Errorf("revision %q: %w", n, studio.ErrNotFound)
		}
	}
	if rev, err = s.DB.PublishedRevision(r.Context(), chi.URLParam(r, "slug"), number); err != nil {
		return rev, c, err
	}
	c, err = ofRevision(rev)
	return rev, c, err
}

func (s *server) showPublic(w http.ResponseWriter, r *http.Request) error {
	rev, c, err := s.published(r)
	if err != nil {
		return err
	}
	v := web.PublicView{Page: s.sharedFlash(r, rev.Title, "public"), Edition: fmt.Sprintf("Revision %d, %s", rev.Number, day(rev.Dated))}
	if v.Body, err = s.fragment(r, c); err != nil {
		return err
	}
	since, lines, err := s.corrections(r.Context(), rev)
	if err != nil {
		return err
	}
	if since > 0 {
		v.Corrected, v.Corrections = fmt.Sprintf("Changed since revision %d", since), lines
	}
	st, err := s.DB.Studio(r.Context(), s.StudioID)
	if err != nil {
		return err
	}
	base := publicURL(rev.Slug)
	v.MySizeURL, v.WorkURL = base+"/my-size", base+"/work"
	if !rev.Latest {
		v.Latest, v.MySizeURL, v.WorkURL = base, "", ""
		base += "/revision/" + strconv.Itoa(rev.Number)
	}
	var asked error
	err = s.working(r.Context(), func() error {
		var c2 cloth
		if c2, asked = clothOf(r, c.manuscript); asked == nil {
			v.Fabric = c2.view(base + "/fabric")
			v.Fabric.Action, v.Fabric.Anchor = base, "fabric"
		}
		return nil
	})
	if err = errors.Join(err, asked); err != nil {
		return err
	}
	v.Prints, v.OneSize = printLinks(base, rev.Slug, st, c.manuscript.Sizes)
	return s.render(w, r, http.StatusOK, web.Public(v))
}

func (s *server) servePublicPrint(w http.ResponseWriter, r *http.Request) error {
	_, c, err := s.published(r)
	if err != nil {
		return err
	}
	return s.servePrint(w, r, c)
}
