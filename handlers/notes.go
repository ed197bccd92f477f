package handlers

import (
	"errors"
	"net/http"
	"strconv"

	"rowproof/domain/studio"
	"rowproof/web"
)

func (s *server) showNotes(w http.ResponseWriter, r *http.Request) error {
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	return s.renderNotes(w, r, http.StatusOK, p, "", "")
}

func (s *server) renderNotes(w http.ResponseWriter, r *http.Request, status int, p studio.Pattern, draft, problem string) error {
	notes, err := s.DB.Notes(r.Context(), s.StudioID, p.ID)
	if err != nil {
		return err
	}
	v := web.NotesView{Page: s.sharedFlash(r, p.Title, "studio"), Tabs: s.tabs(r, p, "notes"), Draft: draft, Problem: problem}
	for _, n := range notes {
		id := strconv.FormatInt(n.ID, 10)
		url := patternURL(p) + "/notes/" + id
		note := web.PrivateNote{ID: id, When: moment(n.CreatedAt), Body: n.Body, EditURL: url, RemoveURL: url + "/remove"}
		if n.Author != "" {
			note.Who = ", " + n.Author
		}
		v.Notes = append(v.Notes, note)
	}
	return s.render(w, r, status, web.Notes(v))
}

func (s *server) addNote(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	body := manuscriptOf(r, "body")
	_, err = s.DB.AddNote(r.Context(), s.StudioID, p.ID, account(r.Context()).ID, body)
	var invalid *studio.InvalidError
	if errors.As(err, &invalid) {
		return s.renderNotes(w, r, http.StatusUnprocessableEntity, p, body, sentence(invalid.Field+" "+invalid.Problem))
	}
	if err != nil {
		return err
	}
	return s.done(w, r, patternURL(p)+"/notes", "The note is kept.")
}

func (s *server) editNote(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	n, err := id(r, "note")
	if err != nil {
		return err
	}
	if err := s.DB.EditNote(r.Context(), s.StudioID, p.ID, n, manuscriptOf(r, "body-"+strconv.FormatInt(n, 10))); err != nil {
		return err
	}
	return s.done(w, r, patternURL(p)+"/notes", "The note is changed.")
}

func (s *server) removeNote(w http.ResponseWriter, r *http.Request) error {
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	n, err := id(r, "note")
	if err != nil {
		return err
	}
	if err := s.DB.RemoveNote(r.Context(), s.StudioID, p.ID, n); err != nil {
		return err
	}
	return s.done(w, r, patternURL(p)+"/notes", "The note is gone.")
}
