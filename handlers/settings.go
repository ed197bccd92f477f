package handlers

import (
	"errors"
	"fmt"
	"net/http"
	"strings"

	"rowproof/domain/studio"
	"rowproof/web"
)

func (s *server) showSettings(w http.ResponseWriter, r *http.Request) error {
	st, err := s.DB.Studio(r.Context(), s.StudioID)
	if err != nil {
		return err
	}
	return s.render(w, r, http.StatusOK, web.Settings(s.settingsView(r, st)))
}

func (s *server) settingsView(r *http.Request, st studio.Studio) web.SettingsView {
	v := web.SettingsView{Page: s.sharedFlash(r, "Settings", "settings"), Paper: st.Settings.Paper}
	v.Name.Value, v.Author.Value, v.BaseURL.Value = st.Name, st.Settings.Author, st.Settings.BaseURL
	return v
}

func (s *server) saveSettings(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	ctx := r.Context()
	if !account(ctx).MayManage() {
		return studio.ErrForbidden
	}
	st, err := s.DB.Studio(ctx, s.StudioID)
	if err != nil {
		return err
	}
	st.Name = strings.TrimSpace(r.PostForm.Get("name"))
	st.Settings.Author = strings.TrimSpace(r.PostForm.Get("author"))
	st.Settings.BaseURL = strings.TrimRight(strings.TrimSpace(r.PostForm.Get("base_url")), "/")
	st.Settings.Paper = r.PostForm.Get("paper")
	err = s.DB.UpdateStudio(ctx, st)
	var invalid *studio.InvalidError
	if errors.As(err, &invalid) {
		v := s.settingsView(r, st)
		problem := sentence(invalid.Field + " " + invalid.Problem)
		switch invalid.Field {
		case "author":
			v.Author.Problem = problem
		case "base_url":
			v.BaseURL.Problem = problem
		default:
			v.Name.Problem = problem
		}
		return s.render(w, r, http.StatusUnprocessableEntity, web.Settings(v))
	}
	if err != nil {
		return err
	}
	return s.done(w, r, "/studio/settings", "The settings are saved.")
}

// changePassword ends every other session of the account: they were begun under
// the old password's seal.
func (s *server) changePassword(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	ctx := r.Context()
	a := account(ctx)
	problem := ""
	_, err := s.authenticate(ctx, a.Email, r.PostForm.Get("current"))
	switch {
	case errors.Is(err, studio.ErrNotFound):
		problem = "The present password is not right."
	case err != nil:
		return err
	default:
		var invalid *studio.InvalidError
		next := r.PostForm.Get("password")
		a, err = s.hashed(ctx, func() (studio.Account, error) { return s.DB.SetPassword(ctx, s.StudioID, a.ID, next) })
		if errors.As(err, &invalid) {
			problem = sentence(invalid.Field + " " + invalid.Problem)
		} else if err != nil {
			return fmt.Errorf("changing the password: %w", err)
		}
	}
	if problem != "" {
		st, err := s.DB.Studio(ctx, s.StudioID)
		if err != nil {
			return err
		}
		v := s.settingsView(r, st)
		v.Password.Problem = problem
		return s.render(w, r, http.StatusUnprocessableEntity, web.Settings(v))
	}
	if err := s.enter(ctx, a); err != nil {
		return err
	}
	return s.done(w, r, "/studio/settings", "The password is changed. Whoever was signed in elsewhere is signed out.")
}
