package handlers

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"github.com/aymanbagabas/go-udiff"

	"rowproof/domain/studio"
	"rowproof/web"
)

var reasons = map[studio.Reason]string{
	studio.Saved: "saved", studio.Autosaved: "saved while typing", studio.Mended: "a mend", studio.Form: "materials changed",
	studio.Created: "begun", studio.Copied: "begun as a copy", studio.Undone: "undone", studio.Redone: "redone",
	studio.Restored: "brought back", studio.Lost: "a text that was saved too late, kept aside",
}

func (s *server) showHistory(w http.ResponseWriter, r *http.Request) error {
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	snaps, err := s.DB.Snapshots(r.Context(), s.StudioID, p.ID)
	if err != nil {
		return err
	}
	v := web.HistoryView{Page: s.sharedFlash(r, p.Title, "studio"), Tabs: s.tabs(r, p, "history"), Version: strconv.Itoa(p.Version)}
	for _, sn := range snaps {
		v.Texts = append(v.Texts, historyText(p, sn))
	}
	return s.render(w, r, http.StatusOK, web.History(v))
}

func historyText(p studio.Pattern, sn studio.Snapshot) web.HistoryText {
	url := patternURL(p) + "/history/" + strconv.FormatInt(sn.ID, 10)
	t := web.HistoryText{
		Version: "Text " + strconv.Itoa(sn.Version), When: moment(sn.CreatedAt), ISO: iso(sn.CreatedAt), What: reasons[sn.Reason],
		URL: url, RestoreURL: url + "/restore", Current: sn.Version == p.Version, Lost: sn.Reason == studio.Lost, Published: sn.Published,
	}
	if t.Lost {
		t.Version = "Text kept aside"
	}
	if sn.AuthorName != "" {
		t.Who = " by " + sn.AuthorName
	}
	return t
}

// snapshot is the text that the address names.
func (s *server) snapshot(r *http.Request, p studio.Pattern) (studio.Snapshot, error) {
	n, err := id(r, "snapshot")
	if err != nil {
		return studio.Snapshot{}, err
	}
	return s.DB.Snapshot(r.Context(), s.StudioID, p.ID, n)
}

func (s *server) showSnapshot(w http.ResponseWriter, r *http.Request) error {
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	sn, err := s.snapshot(r, p)
	if err != nil {
		return err
	}
	t := historyText(p, sn)
	v := web.SnapshotView{
		Page: s.sharedFlash(r, p.Title, "studio"), Tabs: s.tabs(r, p, "history"), Version: strconv.Itoa(p.Version),
		Text: t, RestoreURL: t.RestoreURL, Same: sn.Manuscript == p.Manuscript, Lines: compare(sn.Manuscript, p.Manuscript, false),
	}
	return s.render(w, r, http.StatusOK, web.Snapshot(v))
}

func (s *server) restoreSnapshot(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	sn, err := s.snapshot(r, p)
	if err != nil {
		return err
	}
	ctx := r.Context()
	if _, err := s.DB.RestoreSnapshot(ctx, s.StudioID, p.ID, baseVersion(r), sn.ID, account(ctx).ID, s.projector(ctx)); err != nil {
		return fmt.Errorf("restoring: %w", err)
	}
	return s.done(w, r, patternURL(p), historyText(p, sn).Version+" is back. Undo takes it away again.")
}

// around is how many kept lines stand beside a changed one in a short comparison.
const around = 2

// compare lists two texts line by line. A short comparison leaves out what is far
// from any change.
func compare(was, now string, short bool) []web.DiffLine {
	var all []web.DiffLine
	add := func(kind, text string) {
		if text == "" {
			return
		}
		for _, l := range strings.Split(strings.TrimSuffix(text, "\n"), "\n") {
			all = append(all, web.DiffLine{Kind: kind, Text: l})
		}
	}
	if was != "" && !strings.HasSuffix(was, "\n") {
		was += "\n"
	}
	if now != "" && !strings.HasSuffix(now, "\n") {
		now += "\n"
	}
	at := 0
	for _, e := range udiff.Lines(was, now) {
		add("kept", was[at:e.Start])
		add("gone", was[e.Start:e.End])
		add("come", e.New)
		at = e.End
	}
	add("kept", was[at:])
	if !short {
		return all
	}
	near := make([]bool, len(all))
	for i, l := range all {
		if l.Kind != "kept" {
			for j := max(0, i-around); j <= min(len(all)-1, i+around); j++ {
				near[j] = true
			}
		}
	}
	var out []web.DiffLine
	for i, l := range all {
		switch {
		case near[i]:
			out = append(out, l)
		case len(out) == 0 || out[len(out)-1].Kind != "gap":
			out = append(out, web.DiffLine{Kind: "gap", Text: "…"})
		}
	}
	return out
}
