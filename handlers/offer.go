package handlers

import (
	"errors"
	"net/http"
	"strings"

	"github.com/go-chi/chi/v5"

	"rowproof/domain/studio"
	"rowproof/web"
)

// The page that takes offers to knit. It shows what the call says and no row of the pattern.

func (s *server) showOffer(w http.ResponseWriter, r *http.Request) error {
	t, err := s.DB.OfferedTestKnit(r.Context(), s.StudioID, chi.URLParam(r, "code"))
	if err != nil {
		return err
	}
	return s.render(w, r, http.StatusOK, web.Offer(s.offerView(r, t)))
}

func (s *server) offerView(r *http.Request, t studio.TestKnit) web.OfferView {
	v := web.OfferView{Page: s.sharedFlash(r, "Test knit: "+t.Title, ""), Pattern: t.Title, Wants: t.Wants, Action: offerURL(t.OfferCode), Sizes: seatChoices(t.Seats, sizeOf(r))}
	if !t.Deadline.IsZero() {
		v.Deadline = studio.Day(t.Deadline)
	}
	var free []string
	for _, seat := range t.Seats {
		if seat.Taken < seat.Wanted && seat.Label != "" {
			free = append(free, seat.Label)
		}
	}
	if len(free) > 0 {
		v.Wanted = "Knitters are still wanted for " + strings.Join(free, ", ") + "."
	}
	v.Name.Value, v.Email.Value, v.Words.Value = r.PostForm.Get("name"), r.PostForm.Get("email"), manuscriptOf(r, "words")
	return v
}

func (s *server) takeOffer(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	ctx := r.Context()
	code := chi.URLParam(r, "code")
	t, err := s.DB.OfferedTestKnit(ctx, s.StudioID, code)
	if err != nil {
		return err
	}
	o := studio.Offer{Name: r.PostForm.Get("name"), Email: r.PostForm.Get("email"), SizeID: sizeOf(r), Words: manuscriptOf(r, "words")}
	err = s.DB.TakeOffer(ctx, s.StudioID, code, o, s.toStudio(ctx, t.Title+": somebody offers to knit", func(k studio.Knitter) string {
		words := k.Person.Called() + " (" + k.Person.Email + ") offers to knit" + inYourSize(studio.Knit{Knitter: k}) + "."
		if k.Offer != "" {
			words += "\n\n" + k.Offer
		}
		return words
	}))
	v := s.offerView(r, t)
	var invalid *studio.InvalidError
	if errors.As(err, &invalid) {
		field := map[string]*web.Field{"name": &v.Name, "words": &v.Words}[invalid.Field]
		if field == nil {
			field = &v.Email
		}
		field.Problem = sentence("this " + invalid.Problem)
		return s.render(w, r, http.StatusUnprocessableEntity, web.Offer(v))
	}
	if err != nil {
		return err
	}
	v.Done = true
	return s.render(w, r, http.StatusOK, web.Offer(v))
}
