package handlers

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strconv"

	"rowproof/domain/photo"
	"rowproof/domain/store"
)

// Photographs that forms bring and pages show.

// photoBody bounds a form with two photographs.
const photoBody = 2*photo.MostBytes + 1<<20

// readPhotoForm is readForm where the size that is bounded is that of photographs.
func readPhotoForm(r *http.Request) error {
	err := readForm(r)
	if errors.Is(err, errTooBig) {
		return fmt.Errorf("form: %w", errPhotosBig)
	}
	return err
}

// upload takes in the photograph of a field of the form, nil when none was chosen. problem
// tells the person why one cannot be taken.
func (s *server) upload(r *http.Request, field string) (p *store.Picture, problem string, err error) {
	if r.MultipartForm == nil || len(r.MultipartForm.File[field]) == 0 || r.MultipartForm.File[field][0].Size == 0 {
		return nil, "", nil
	}
	f, err := r.MultipartForm.File[field][0].Open()
	if err != nil {
		return nil, "", fmt.Errorf("photograph: %w", err)
	}
	defer f.Close()
	b, err := io.ReadAll(io.LimitReader(f, photo.MostBytes+1))
	if err != nil {
		return nil, "", fmt.Errorf("photograph: %w", err)
	}
	return s.takeIn(r.Context(), b)
}

// takeIn writes a photograph anew, without what the camera noted.
func (s *server) takeIn(ctx context.Context, file []byte) (*store.Picture, string, error) {
	var p photo.Photo
	var bad error
	if err := s.working(ctx, func() error { p, bad = photo.Read(file); return nil }); err != nil {
		return nil, "", err
	}
	switch {
	case errors.Is(bad, photo.ErrBig):
		return nil, "This is larger than 8 MiB, or has more pixels than a photograph needs.", nil
	case errors.Is(bad, photo.ErrKind):
		return nil, "This cannot be read as a JPEG or PNG picture.", nil
	case bad != nil:
		return nil, "", bad
	}
	return &store.Picture{JPEG: p.JPEG, Small: p.Small, Width: p.Width, Height: p.Height}, "", nil
}

// sendJPEG shows a photograph.
func sendJPEG(w http.ResponseWriter, b []byte) error {
	w.Header().Set("Content-Type", "image/jpeg")
	w.Header().Set("Content-Length", strconv.Itoa(len(b)))
	_, _ = w.Write(b) // the reader may have gone
	return nil
}
