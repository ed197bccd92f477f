package handlers

import (
	"errors"
	"net/http"
	"strconv"

	"rowproof/domain/studio"
	"rowproof/web"
)

func (s *server) showStart(w http.ResponseWriter, r *http.Request) error {
	v := web.StartView{Page: s.sharedFlash(r, "Begin your studio", ""), Shortest: strconv.Itoa(studio.ShortestPassword)}
	if !v.Fresh {
		return s.done(w, r, "/sign-in", "")
	}
	return s.render(w, r, http.StatusOK, web.Start(v))
}

// makeFirstAccount makes the owner's account, while there is none: the store
// sees to it that two first runs at once do not make two.
func (s *server) makeFirstAccount(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	ctx := r.Context()
	n := studio.NewAccount{Email: r.PostForm.Get("email"), Name: r.PostForm.Get("name"), Password: r.PostForm.Get("password")}
	a, err := s.hashed(ctx, func() (studio.Account, error) { return s.DB.CreateFirstAccount(ctx, s.StudioID, n) })
	var invalid *studio.InvalidError
	if errors.As(err, &invalid) {
		v := web.StartView{
			Page: s.shared(r, "Begin your studio"), Shortest: strconv.Itoa(studio.ShortestPassword),
			Name: web.Field{Value: n.Name}, Email: web.Field{Value: n.Email},
		}
		problem := sentence(invalid.Field + " " + invalid.Problem)
		switch invalid.Field {
		case "email":
			v.Email.Problem = problem
		case "name":
			v.Name.Problem = problem
		default:
			v.Password.Problem = problem
		}
		return s.render(w, r, http.StatusUnprocessableEntity, web.Start(v))
	}
	if err != nil {
		return err
	}
	if err := s.enter(ctx, a); err != nil {
		return err
	}
	return s.done(w, r, "/studio", "Your account is made. Welcome to your studio.")
}
