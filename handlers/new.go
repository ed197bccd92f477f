package handlers

import (
	"errors"
	"net/http"
	"strings"

	"rowproof/domain/studio"
	"rowproof/web"
)

func (s *server) showNew(w http.ResponseWriter, r *http.Request) error {
	return s.render(w, r, http.StatusOK, web.New(web.NewView{Page: s.sharedFlash(r, "New pattern", "studio")}))
}

// manuscriptOf is the text of a form as it is kept: lines end in a line feed,
// where forms send two characters.
func manuscriptOf(r *http.Request, field string) string {
	t := strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(r.PostForm.Get(field))
	return studio.CleanManuscript(t)
}

func (s *server) createPasted(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	text := manuscriptOf(r, "manuscript")
	if strings.TrimSpace(text) == "" {
		v := web.NewView{Page: s.shared(r, "New pattern"), Problem: "There is no text in it yet."}
		v.Here = "studio"
		return s.render(w, r, http.StatusUnprocessableEntity, web.New(v))
	}
	return s.create(w, r, text)
}

func (s *server) createBlank(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	f := func(name string) string { return oneLine(studio.CleanManuscript(r.PostForm.Get(name))) }
	return s.create(w, r, startManuscript(f("title"), f("sizes"), f("gauge"), f("yarn"), f("needle"), f("piece"), f("begin")))
}

// startManuscript is the text a new pattern begins with; what is empty is left
// out, but for the title.
func startManuscript(title, sizes, gauge, yarn, needle, piece, begin string) string {
	var b strings.Builder
	if title == "" {
		title = "Untitled"
	}
	b.WriteString(title + "\n\n")
	heads := false
	for _, l := range [][2]string{{"Sizes", sizes}, {"Yarn", yarn}, {"Needles", needle}, {"Gauge", gauge}} {
		if l[1] != "" {
			b.WriteString(l[0] + ": " + l[1] + "\n")
			heads = true
		}
	}
	if heads {
		b.WriteString("\n")
	}
	if piece != "" {
		b.WriteString(piece + "\n")
	}
	if begin != "" {
		b.WriteString(strings.TrimRight(begin, ".") + ".\n")
	}
	b.WriteString("Row 1 (RS): Knit.\n")
	return b.String()
}

func (s *server) create(w http.ResponseWriter, r *http.Request, text string) error {
	res, err := s.prove(r.Context(), text)
	if err != nil {
		return err
	}
	p, err := s.DB.CreatePattern(r.Context(), s.StudioID, text, Project(res), account(r.Context()).ID)
	var invalid *studio.InvalidError
	if errors.As(err, &invalid) {
		v := web.NewView{Page: s.shared(r, "New pattern"), Manuscript: text, Problem: sentence(invalid.Field + " " + invalid.Problem)}
		v.Here = "studio"
		return s.render(w, r, http.StatusUnprocessableEntity, web.New(v))
	}
	if err != nil {
		return err
	}
	return s.done(w, r, patternURL(p), "")
}
