package handlers

import (
	"net/http"
	"strings"

	"rowproof/domain/studio"
	"rowproof/web"
)

func (s *server) showList(w http.ResponseWriter, r *http.Request) error {
	ps, err := s.DB.ListPatterns(r.Context(), s.StudioID)
	if err != nil {
		return err
	}
	v := web.ListView{Page: s.sharedFlash(r, "Studio", "studio")}
	notices := s.stitchNotices(r, 0)
	for _, p := range ps {
		l := listed(p)
		l.Notices = notices[p.ID]
		v.Patterns = append(v.Patterns, l)
	}
	return s.render(w, r, http.StatusOK, web.List(v))
}

func listed(p studio.Pattern) web.ListedPattern {
	l := web.ListedPattern{
		Title: p.Title, URL: patternURL(p), State: string(p.State), StateLabel: stateLabel(p.State),
		Changed: moment(p.UpdatedAt), ChangedISO: iso(p.UpdatedAt), ProofLevel: "clear", Proof: "no errors",
		CopyURL: patternURL(p) + "/copy", DeleteURL: patternURL(p) + "/delete", RestoreURL: patternURL(p) + "/restore",
	}
	var said []string
	if p.Warnings > 0 {
		l.ProofLevel = "warning"
		said = append(said, plural(p.Warnings, "warning", "warnings"))
	}
	if p.Errors > 0 {
		l.ProofLevel = "error"
		said = append([]string{plural(p.Errors, "error", "errors")}, said...)
	}
	if len(said) > 0 {
		l.Proof = strings.Join(said, ", ")
	}
	return l
}

func (s *server) showBin(w http.ResponseWriter, r *http.Request) error {
	ps, err := s.DB.ListDeleted(r.Context(), s.StudioID)
	if err != nil {
		return err
	}
	v := web.ListView{Page: s.sharedFlash(r, "The bin", "studio")}
	for _, p := range ps {
		l := listed(p)
		if p.DeletedAt != nil {
			l.Changed, l.ChangedISO = moment(*p.DeletedAt), iso(*p.DeletedAt)
		}
		v.Patterns = append(v.Patterns, l)
	}
	return s.render(w, r, http.StatusOK, web.Bin(v))
}

func (s *server) deletePattern(w http.ResponseWriter, r *http.Request) error {
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	if err := s.DB.DeletePattern(r.Context(), s.StudioID, p.ID); err != nil {
		return err
	}
	return s.done(w, r, "/studio", "“"+p.Title+"” is in the bin. You can take it out again there.")
}

func (s *server) restorePattern(w http.ResponseWriter, r *http.Request) error {
	n, err := id(r, "id")
	if err != nil {
		return err
	}
	if err := s.DB.RestorePattern(r.Context(), s.StudioID, n); err != nil {
		return err
	}
	return s.done(w, r, "/studio", "The pattern is back.")
}

// copyPattern begins a new pattern from another one's text, under another title.
func (s *server) copyPattern(w http.ResponseWriter, r *http.Request) error {
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	retitle := func(text string) string {
		res, err := s.prove(r.Context(), text)
		if err != nil {
			return text
		}
		was := readHeads(res.Manuscript)
		now := was
		now.Title = studio.CopyTitle(p.Title)
		return writeHeads(text, was, now)
	}
	c, err := s.DB.CopyPattern(r.Context(), s.StudioID, p.ID, account(r.Context()).ID, retitle, s.projector(r.Context()))
	if err != nil {
		return err
	}
	return s.done(w, r, patternURL(c), "This is a copy of “"+p.Title+"”. Change what you like.")
}
