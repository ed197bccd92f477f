package handlers

import (
	"errors"
	"net/http"
	"strconv"

	"rowproof/domain/store"
	"rowproof/domain/studio"
	"rowproof/web"
)

// swatchFields are the fields of the form by their names, as typed.
type swatchFields map[string]string

var swatchFieldNames = []string{"stitch-id", "stitch", "yarn", "needle", "before-sts", "before-width", "before-rows", "before-height",
	"after-sts", "after-width", "after-rows", "after-height", "grams", "width", "height", "ball-metres", "ball-grams", "verdict"}

// fieldsOfSwatch shows a swatch as fields.
func fieldsOfSwatch(sw studio.Swatch) swatchFields {
	f := swatchFields{"stitch": sw.Stitch, "yarn": sw.Yarn, "needle": sw.Needle, "verdict": sw.Verdict, "note": sw.Note}
	if sw.StitchID != 0 {
		f["stitch-id"] = strconv.FormatInt(sw.StitchID, 10)
	}
	for name, n := range map[string]float64{
		"before-sts": sw.Before.Sts, "before-width": sw.Before.Width, "before-rows": sw.Before.Rows, "before-height": sw.Before.Height,
		"after-sts": sw.After.Sts, "after-width": sw.After.Width, "after-rows": sw.After.Rows, "after-height": sw.After.Height,
		"grams": sw.Grams, "width": sw.Width, "height": sw.Height, "ball-metres": sw.BallMetres, "ball-grams": sw.BallGrams,
	} {
		f[name] = shownDecimal(n)
	}
	return f
}

// typedSwatch reads the fields off a form.
func typedSwatch(r *http.Request) swatchFields {
	f := swatchFields{"note": manuscriptOf(r, "note")}
	for _, name := range swatchFieldNames {
		f[name] = oneLine(studio.CleanManuscript(r.PostForm.Get(name)))
	}
	return f
}

// swatch is what the fields say. What is no number is -1, which Validate refuses.
func (f swatchFields) swatch() studio.Swatch {
	n := func(name string) float64 { return readDecimal(f[name]) }
	stitchID, err := strconv.ParseInt(f["stitch-id"], 10, 64)
	if err != nil || stitchID < 0 {
		stitchID = 0
	}
	return studio.Swatch{
		StitchID: stitchID, Stitch: f["stitch"], Yarn: f["yarn"], Needle: f["needle"], Verdict: f["verdict"], Note: f["note"],
		Before: studio.Counted{Sts: n("before-sts"), Width: n("before-width"), Rows: n("before-rows"), Height: n("before-height")},
		After:  studio.Counted{Sts: n("after-sts"), Width: n("after-width"), Rows: n("after-rows"), Height: n("after-height")},
		Grams:  n("grams"), Width: n("width"), Height: n("height"), BallMetres: n("ball-metres"), BallGrams: n("ball-grams"),
	}
}

// swatchForm is the page of the form.
type swatchForm struct {
	swatch        studio.Swatch // that stands; ID 0 for a new one
	fields        swatchFields
	base          int
	problem       string
	photoProblems map[string]string // by side
}

func (s *server) renderSwatchForm(w http.ResponseWriter, r *http.Request, status int, p swatchForm) error {
	stitches, err := s.DB.ListStitches(r.Context(), s.StudioID)
	if err != nil {
		return err
	}
	field := func(name string) web.Field { return web.Field{Value: p.fields[name]} }
	counts := func(prefix, legend, hint string) web.SwatchCountFields {
		return web.SwatchCountFields{Prefix: prefix, Legend: legend, Hint: hint, Sts: field(prefix + "-sts"), Width: field(prefix + "-width"), Rows: field(prefix + "-rows"), Height: field(prefix + "-height")}
	}
	v := web.SwatchFormView{
		Heading: "New swatch", Action: swatchesURL + "/new", Back: swatchesURL, BackLabel: "Swatches", Problem: p.problem,
		Stitch: field("stitch"), Yarn: field("yarn"), Needle: field("needle"),
		Before: counts("before", "Before washing", "As it comes off the needle, flat and not stretched."),
		After:  counts("after", "After washing", "Washed and dried as the piece will be."),
		Grams:  field("grams"), Width: field("width"), Height: field("height"), BallMetres: field("ball-metres"), BallGrams: field("ball-grams"),
		Verdict: field("verdict"), Note: field("note"),
		Photos: []web.SwatchPhotoField{
			{Side: "rs", Label: "Right side", Has: p.swatch.RS.Hash != "", Problem: p.photoProblems["rs"]},
			{Side: "ws", Label: "Wrong side", Has: p.swatch.WS.Hash != "", Problem: p.photoProblems["ws"]},
		},
	}
	if p.swatch.ID != 0 {
		v.Heading, v.Action, v.Back, v.BackLabel = p.swatch.Name(), swatchURL(p.swatch.ID)+"/edit", swatchURL(p.swatch.ID), "The swatch"
		v.Version = strconv.Itoa(p.base)
	}
	v.Page = s.sharedFlash(r, v.Heading, "stitches")
	v.Stitches = []web.Choice{{Label: "none; its words say it", Here: p.fields["stitch-id"] == ""}}
	for _, st := range stitches {
		n := strconv.FormatInt(st.ID, 10)
		v.Stitches = append(v.Stitches, web.Choice{Value: n, Label: st.Name, Here: p.fields["stitch-id"] == n})
	}
	if id := p.fields["stitch-id"]; id != "" && p.swatch.StitchID != 0 && id == strconv.FormatInt(p.swatch.StitchID, 10) {
		if last := v.Stitches; !anyChosen(last) { // in the bin; it stays chosen
			v.Stitches = append(v.Stitches, web.Choice{Value: id, Label: p.swatch.StitchName + " (in the bin)", Here: true})
		}
	}
	return s.render(w, r, status, web.SwatchForm(v))
}

func anyChosen(cs []web.Choice) bool {
	for _, c := range cs {
		if c.Here {
			return true
		}
	}
	return false
}

func (s *server) showNewSwatch(w http.ResponseWriter, r *http.Request) error {
	f := swatchFields{}
	if n := r.URL.Query().Get("stitch"); n != "" {
		f["stitch-id"] = n
	}
	return s.renderSwatchForm(w, r, http.StatusOK, swatchForm{fields: f})
}

func (s *server) showEditSwatch(w http.ResponseWriter, r *http.Request) error {
	sw, err := s.swatch(r)
	if err != nil {
		return err
	}
	return s.renderSwatchForm(w, r, http.StatusOK, swatchForm{swatch: sw, fields: fieldsOfSwatch(sw), base: sw.Version})
}

// photographs takes in what a form brings: problems by side tell what cannot be taken.
func (s *server) photographs(r *http.Request) (store.SwatchPictures, map[string]string, error) {
	pictures, problems := store.SwatchPictures{}, map[string]string{}
	for _, side := range []string{"rs", "ws"} {
		if r.PostForm.Get("remove-"+side) != "" {
			pictures[side] = store.Picture{}
		}
		p, problem, err := s.upload(r, "photo-"+side)
		switch {
		case err != nil:
			return nil, nil, err
		case problem != "":
			problems[side] = problem
		case p != nil:
			pictures[side] = *p
		}
	}
	return pictures, problems, nil
}

func (s *server) createSwatch(w http.ResponseWriter, r *http.Request) error {
	if err := readPhotoForm(r); err != nil {
		return err
	}
	p := swatchForm{fields: typedSwatch(r)}
	return s.keepSwatch(w, r, p, func(sw studio.Swatch, pictures store.SwatchPictures) (studio.Swatch, error) {
		return s.DB.CreateSwatch(r.Context(), s.StudioID, sw, pictures)
	})
}

func (s *server) saveSwatch(w http.ResponseWriter, r *http.Request) error {
	if err := readPhotoForm(r); err != nil {
		return err
	}
	stands, err := s.swatch(r)
	if err != nil {
		return err
	}
	p := swatchForm{swatch: stands, fields: typedSwatch(r), base: baseVersion(r)}
	return s.keepSwatch(w, r, p, func(sw studio.Swatch, pictures store.SwatchPictures) (studio.Swatch, error) {
		sw.ID, sw.Version = stands.ID, p.base
		return s.DB.SaveSwatch(r.Context(), s.StudioID, sw, pictures)
	})
}

// keepSwatch keeps what a form says, or shows it again with what is wrong.
func (s *server) keepSwatch(w http.ResponseWriter, r *http.Request, p swatchForm, keep func(studio.Swatch, store.SwatchPictures) (studio.Swatch, error)) error {
	pictures, problems, err := s.photographs(r)
	if err != nil {
		return err
	}
	again := func(status int, problem string) error {
		if len(pictures) > 0 {
			problem += " Choose the photographs again, too."
		}
		p.problem, p.photoProblems = problem, problems
		return s.renderSwatchForm(w, r, status, p)
	}
	if len(problems) > 0 {
		return again(http.StatusUnprocessableEntity, "A photograph could not be taken; nothing is kept yet.")
	}
	sw := p.fields.swatch()
	if sw.StitchID != 0 {
		sw.Stitch = "" // the stitch has a name of its own
	}
	kept, err := keep(sw, pictures)
	var invalid *studio.InvalidError
	switch {
	case errors.As(err, &invalid):
		return again(http.StatusUnprocessableEntity, sentence(invalid.Field+" "+invalid.Problem))
	case errors.Is(err, studio.ErrConflict):
		if p.swatch, err = s.swatch(r); err != nil {
			return err
		}
		p.base = p.swatch.Version
		return again(http.StatusConflict, "This swatch was saved meanwhile, by someone else or in another tab. What you typed is still here; keeping it replaces what stands.")
	case err != nil:
		return err
	}
	return s.done(w, r, swatchURL(kept.ID), "Kept.")
}
