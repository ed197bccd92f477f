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
	ms := notation.Read(p.Manuscript)
	return s.renderMaterials(w, r, http.StatusOK, p, materials{heads: readHeads(ms), stitches: readStitches(ms)}, p.Version)
}

// materials are what the forms of the page hold, and what is wrong with each. Sizes that
// are nil are those of the text.
type materials struct {
	heads                                       heads
	stitches                                    []stitch
	sizes                                       []string
	headsProblem, stitchesProblem, sizesProblem string
}

// savedMeanwhile is said when a form was made from an earlier text.
const savedMeanwhile = "The pattern was saved since this page was opened. Your fields are still here; look through them, then save again."

func (s *server) renderMaterials(w http.ResponseWriter, r *http.Request, status int, p studio.Pattern, m materials, version int) error {
	h, ms := m.heads, notation.Read(p.Manuscript)
	if m.sizes == nil {
		m.sizes = namesOfSizes(ms)
	}
	v := web.MaterialsView{
		Page: s.sharedFlash(r, p.Title, "studio"), Tabs: s.tabs(r, p, "materials"), Version: strconv.Itoa(version), Problem: m.headsProblem,
		Title: web.Field{Value: h.Title}, Sizes: web.Field{Value: h.Sizes}, Gauge: web.Field{Value: h.Gauge}, Yarn: web.Field{Value: h.Yarn},
		Needles: web.Field{Value: h.Needles}, Notes: web.Field{Value: h.Notes}, Abbreviations: web.Field{Value: h.Abbreviations},
		Stitches: stitchFields(m.stitches), StitchProblem: m.stitchesProblem, Others: otherHeads(ms),
		SizeRows: sizeRows(m.sizes), SizesProblem: m.sizesProblem,
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
		return s.renderMaterials(w, r, http.StatusConflict, p, materials{heads: now, stitches: readStitches(notation.Read(p.Manuscript)), headsProblem: savedMeanwhile}, p.Version)
	}
	ms := notation.Read(p.Manuscript)
	text := writeHeads(p.Manuscript, readHeads(ms), now)
	_, err = s.keep(r.Context(), p, text, base, studio.Form)
	var invalid *studio.InvalidError
	if errors.As(err, &invalid) {
		return s.renderMaterials(w, r, http.StatusUnprocessableEntity, p, materials{heads: now, stitches: readStitches(ms), headsProblem: sentence(invalid.Field + " " + invalid.Problem)}, base)
	}
	if err != nil {
		return s.orConflict(w, r, p, err)
	}
	return s.done(w, r, patternURL(p)+"/materials", "Saved into the manuscript.")
}
