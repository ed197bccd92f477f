package handlers

import (
	"errors"
	"net/http"
	"strconv"

	"rowproof/domain/notation"
	"rowproof/domain/studio"
	"rowproof/web"
)

func (s *server) showMaterials(w http.ResponseWriter, r *http.Request) error {
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	return s.renderMaterials(w, r, http.StatusOK, p, readHeads(notation.Read(p.Manuscript)), p.Version, "")
}

func (s *server) renderMaterials(w http.ResponseWriter, r *http.Request, status int, p studio.Pattern, h heads, version int, problem string) error {
	v := web.MaterialsView{
		Page: s.sharedFlash(r, p.Title, "studio"), Tabs: s.tabs(r, p, "materials"), Version: strconv.Itoa(version), Problem: problem,
		Title: web.Field{Value: h.Title}, Sizes: web.Field{Value: h.Sizes}, Gauge: web.Field{Value: h.Gauge}, Yarn: web.Field{Value: h.Yarn},
		Needles: web.Field{Value: h.Needles}, Notes: web.Field{Value: h.Notes}, Abbreviations: web.Field{Value: h.Abbreviations},
	}
	return s.render(w, r, status, web.Materials(v))
}

// saveMaterials carries the changed fields into the head lines of the text.
func (s *server) saveMaterials(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	now := heads{
		Title: manuscriptOf(r, "title"), Sizes: manuscriptOf(r, "sizes"), Gauge: manuscriptOf(r, "gauge"), Yarn: manuscriptOf(r, "yarn"),
		Needles: manuscriptOf(r, "needles"), Notes: manuscriptOf(r, "notes"), Abbreviations: manuscriptOf(r, "abbreviations"),
	}
	base := baseVersion(r)
	if base != p.Version {
		// The fields were read off an earlier text, so what is theirs and what was
		// changed since cannot be told apart: ask again, with what was typed kept.
		return s.renderMaterials(w, r, http.StatusConflict, p, now, p.Version,
			"The pattern was saved since this page was opened. Your fields are still here; look through them, then save again.")
	}
	text := writeHeads(p.Manuscript, readHeads(notation.Read(p.Manuscript)), now)
	_, err = s.keep(r.Context(), p, text, base, studio.Form)
	var invalid *studio.InvalidError
	if errors.As(err, &invalid) {
		return s.renderMaterials(w, r, http.StatusUnprocessableEntity, p, now, base, sentence(invalid.Field+" "+invalid.Problem))
	}
	if err != nil {
		return s.orConflict(w, r, p, err)
	}
	return s.done(w, r, patternURL(p)+"/materials", "Saved into the manuscript.")
}
