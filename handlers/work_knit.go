package handlers

import (
	"fmt"
	"net/http"
	"strconv"

	"rowproof/domain/errata"
	"rowproof/domain/studio"
)

// showKnitWork is a test knitter's revision, to be worked through in her size. What the
// revision before said otherwise is marked.
func (s *server) showKnitWork(w http.ResponseWriter, r *http.Request) error {
	k, err := s.knit(r)
	if err != nil {
		return err
	}
	if k.State == studio.Invited {
		if err := s.DB.OpenKnit(r.Context(), k.ID); err != nil {
			return err
		}
	}
	rev, before, err := s.DB.KnitRevision(r.Context(), k)
	if err != nil {
		return err
	}
	base := knitURL(k.ID)
	c := workCopy{
		text: rev.Manuscript, size: max(0, knitSizeIndex(k, rev)), title: k.Title, revision: fmt.Sprintf("Revision %d, %s", rev.Number, day(rev.Dated)), edition: strconv.Itoa(rev.Number),
		key: "knit/" + strconv.FormatInt(k.ID, 10), url: base + "/work", back: base, backTo: "Test knit", here: "knit",
		sync: base + "/events", signIn: "/knit/sign-in", changed: map[int64]bool{},
	}
	for _, row := range rev.Rows {
		c.rows = append(c.rows, row.ID)
	}
	if before != nil {
		changes, _, err := s.between(r.Context(), *before, rev)
		if err != nil {
			return err
		}
		for _, ch := range changes {
			if _, ok := ch.For(k.SizeID); ok && ch.Kind != errata.Renumbered {
				c.changed[ch.RowID] = true
			}
		}
	}
	return s.workPage(w, r, c)
}
