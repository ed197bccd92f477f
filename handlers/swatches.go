package handlers

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"

	"github.com/go-chi/chi/v5"

	"rowproof/domain/studio"
	"rowproof/web"
)

// The studio's swatches: the list, one, and its deletion. Forms and photographs are in
// swatches_form.go.

const swatchesURL = "/studio/swatches"

func swatchURL(id int64) string { return swatchesURL + "/" + strconv.FormatInt(id, 10) }

// swatch is the swatch of the address.
func (s *server) swatch(r *http.Request) (studio.Swatch, error) {
	n, err := id(r, "swatch")
	if err != nil {
		return studio.Swatch{}, err
	}
	return s.DB.Swatch(r.Context(), s.StudioID, n)
}

func (s *server) showSwatches(w http.ResponseWriter, r *http.Request) error {
	list, err := s.DB.ListSwatches(r.Context(), s.StudioID)
	if err != nil {
		return err
	}
	v := web.SwatchListView{Page: s.sharedFlash(r, "Swatches", "stitches")}
	for _, sw := range list {
		c := web.SwatchCard{Name: sw.Name(), URL: swatchURL(sw.ID), Yarn: sw.Yarn, Verdict: sw.Verdict, Gauge: gaugeWords(sw)}
		switch {
		case sw.RS.Hash != "":
			c.Picture = web.Picture{URL: photoURL(sw, "rs", sw.RS) + "&small=1", Alt: "The right side of " + sw.Name()}
		case sw.WS.Hash != "":
			c.Picture = web.Picture{URL: photoURL(sw, "ws", sw.WS) + "&small=1", Alt: "The wrong side of " + sw.Name()}
		}
		v.Swatches = append(v.Swatches, c)
	}
	return s.render(w, r, http.StatusOK, web.Swatches(v))
}

// gaugeWords is "22 sts, 30 rows to 10 cm, washed".
func gaugeWords(sw studio.Swatch) string {
	sts, rows := sw.After.Per10()
	state := ", washed"
	if sts == 0 && rows == 0 {
		sts, rows = sw.Before.Per10()
		state = ", not washed"
	}
	switch {
	case sts == 0 && rows == 0:
		return ""
	case rows == 0:
		return decimal(sts) + " sts to 10 cm" + state
	case sts == 0:
		return decimal(rows) + " rows to 10 cm" + state
	}
	return decimal(sts) + " sts, " + decimal(rows) + " rows to 10 cm" + state
}

func (s *server) showSwatch(w http.ResponseWriter, r *http.Request) error {
	return s.renderSwatch(w, r, false)
}

func (s *server) showDeleteSwatch(w http.ResponseWriter, r *http.Request) error {
	return s.renderSwatch(w, r, true)
}

func (s *server) renderSwatch(w http.ResponseWriter, r *http.Request, confirm bool) error {
	sw, err := s.swatch(r)
	if err != nil {
		return err
	}
	v := web.SwatchView{Page: s.sharedFlash(r, sw.Name(), "stitches"), Name: sw.Name(), Base: swatchURL(sw.ID), Note: sw.Note, Confirm: confirm,
		DeleteURL: swatchURL(sw.ID) + "/delete", When: moment(sw.CreatedAt), ISO: iso(sw.CreatedAt),
		GaugeLine: sw.GaugeLine(), WeightLine: sw.WeightLine(), Figures: swatchFigures(sw)}
	v.Script = "js/stitchbook.js"
	if sw.StitchID != 0 {
		switch _, err := s.DB.Stitch(r.Context(), s.StudioID, sw.StitchID); {
		case err == nil:
			v.StitchURL = stitchURL(sw.StitchID)
		case !errors.Is(err, studio.ErrNotFound): // not found: it is in the bin
			return err
		}
	}
	fact := func(label string, lines ...string) {
		if lines[0] != "" {
			v.Facts = append(v.Facts, web.HeadLine{Label: label, Lines: lines})
		}
	}
	fact("Yarn", sw.Yarn)
	fact("Needle", sw.Needle)
	fact("Verdict", sw.Verdict)
	if sw.Grams > 0 {
		weight := decimal(sw.Grams) + " g"
		if sw.Width > 0 && sw.Height > 0 {
			weight += ", " + decimal(sw.Width) + " by " + decimal(sw.Height) + " cm"
		}
		fact("Weight", weight)
	}
	if m := sw.Metres(); m > 0 {
		fact("Yarn in it", fmt.Sprintf("%s m, by %s m in %s g", decimal(m), decimal(sw.BallMetres), decimal(sw.BallGrams)))
	}
	switch {
	case sw.Grams > 0 && v.WeightLine == "":
		v.NoWeight = "Say how wide and how high the whole swatch is, and a line for the yarn of a pattern stands here."
	case sw.Grams == 0:
		v.NoWeight = "Weigh the swatch, and a line for the yarn of a pattern stands here."
	}
	v.RS, v.WS = photoView(sw, "rs", sw.RS, "right"), photoView(sw, "ws", sw.WS, "wrong")
	v.Photographed = v.RS.URL != "" || v.WS.URL != ""
	return s.render(w, r, http.StatusOK, web.Swatch(v))
}

func photoURL(sw studio.Swatch, side string, p studio.SwatchPhoto) string {
	return swatchURL(sw.ID) + "/" + side + ".jpg?v=" + p.Hash
}

func photoView(sw studio.Swatch, side string, p studio.SwatchPhoto, word string) web.Photo {
	if p.Hash == "" {
		return web.Photo{}
	}
	return web.Photo{Picture: web.Picture{URL: photoURL(sw, side, p), Alt: "Photograph of the " + word + " side of " + sw.Name()},
		Width: strconv.Itoa(p.Width), Height: strconv.Itoa(p.Height)}
}

// swatchFigures is the table of what was counted.
func swatchFigures(sw studio.Swatch) []web.SwatchFigure {
	bs, br := sw.Before.Per10()
	as, ar := sw.After.Per10()
	wide, high, okWide, okHigh := sw.Washing()
	var out []web.SwatchFigure
	line := func(what string, before, after, change float64, ok bool, less, more string) {
		if before == 0 && after == 0 {
			return
		}
		f := web.SwatchFigure{What: what, Before: "–", After: "–", Change: "–"}
		if before > 0 {
			f.Before = decimal(before)
		}
		if after > 0 {
			f.After = decimal(after)
		}
		switch {
		case !ok:
		case change < 0:
			f.Change = decimal(-change) + " % " + less
		case change > 0:
			f.Change = decimal(change) + " % " + more
		default:
			f.Change = "as it was"
		}
		out = append(out, f)
	}
	line("Stitches", bs, as, wide, okWide, "narrower", "wider")
	line("Rows", br, ar, high, okHigh, "shorter", "longer")
	return out
}

func (s *server) deleteSwatch(w http.ResponseWriter, r *http.Request) error {
	sw, err := s.swatch(r)
	if err != nil {
		return err
	}
	if err := s.DB.DeleteSwatch(r.Context(), s.StudioID, sw.ID); err != nil {
		return err
	}
	return s.done(w, r, swatchesURL, "The swatch is deleted.")
}

// serveSwatchPhoto sends a photograph. Its address holds a hash of it.
func (s *server) serveSwatchPhoto(w http.ResponseWriter, r *http.Request) error {
	n, err := id(r, "swatch")
	if err != nil {
		return err
	}
	side := map[string]string{"rs.jpg": "rs", "ws.jpg": "ws"}[chi.URLParam(r, "side")]
	if side == "" {
		return fmt.Errorf("side %q: %w", chi.URLParam(r, "side"), studio.ErrNotFound)
	}
	b, err := s.DB.SwatchPhoto(r.Context(), s.StudioID, n, side, r.URL.Query().Has("small"))
	if err != nil {
		return err
	}
	w.Header().Set("Cache-Control", "private, max-age=31536000, immutable")
	return sendJPEG(w, b)
}

// shownDecimal is a number in a field, "" for 0.
func shownDecimal(f float64) string {
	if f == 0 {
		return ""
	}
	return decimal(f)
}
