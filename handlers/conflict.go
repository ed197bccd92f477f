package handlers

import (
	"fmt"
	"net/http"
	"strconv"

	"rowproof/domain/studio"
	"rowproof/web"
)

// showConflict shows a text that was saved too late beside the one that stands,
// both against the last they had in common.
func (s *server) showConflict(w http.ResponseWriter, r *http.Request) error {
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	mine, err := s.snapshot(r, p)
	if err != nil {
		return err
	}
	if mine.Reason != studio.Lost {
		return fmt.Errorf("text %d was not saved too late: %w", mine.ID, studio.ErrNotFound)
	}
	base := ""
	if mine.ParentID != 0 {
		b, err := s.DB.Snapshot(r.Context(), s.StudioID, p.ID, mine.ParentID)
		if err != nil {
			return err
		}
		base = b.Manuscript
	}
	v := web.ConflictView{
		Page: s.sharedFlash(r, p.Title, "studio"), Tabs: s.tabs(r, p, "rows"),
		Mine: mine.Manuscript, Base: base, MineLines: compare(base, mine.Manuscript, true), TheirsLines: compare(base, p.Manuscript, true),
		TheirsVersion: strconv.Itoa(p.Version), SaveURL: patternURL(p),
	}
	snaps, err := s.DB.Snapshots(r.Context(), s.StudioID, p.ID)
	if err != nil {
		return err
	}
	for _, sn := range snaps {
		switch {
		case sn.Version != p.Version:
		case sn.AuthorID != 0 && sn.AuthorID == account(r.Context()).ID:
			v.TheirsWho = " in another tab"
		case sn.AuthorName != "":
			v.TheirsWho = " by " + sn.AuthorName
		}
	}
	return s.render(w, r, http.StatusOK, web.Conflict(v))
}
