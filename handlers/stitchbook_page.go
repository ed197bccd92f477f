package handlers

import (
	"bytes"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"github.com/go-chi/chi/v5"

	"rowproof/domain/chart"
	"rowproof/domain/document"
	"rowproof/domain/notation"
	"rowproof/domain/picture"
	"rowproof/domain/review"
	"rowproof/domain/studio"
	"rowproof/web"
)

// stitchPage is what the page of a stitch holds: the stitch as it stands, and the
// name and text shown, which need not be the saved ones.
type stitchPage struct {
	stitch        studio.Stitch
	name, text    string
	base          int
	problem       string
	conflict      bool
	gauge         web.StitchGaugeFields
	gaugeProblem  string
	gaugeFieldSet bool
}

func (s *server) renderStitch(w http.ResponseWriter, r *http.Request, status int, p stitchPage) error {
	st, ctx := p.stitch, r.Context()
	v := web.StitchView{
		Page: s.sharedFlash(r, st.Name, "stitches"), Heading: st.Name, Base: stitchURL(st.ID), Version: strconv.Itoa(p.base), Problem: p.problem,
		Name: web.Field{Value: p.name}, Manuscript: web.Field{Value: p.text}, Unsaved: p.text != st.Manuscript || p.name != st.Name,
		Gauge: p.gauge, GaugeProblem: p.gaugeProblem, Sets: setLinks(r, stitchURL(st.ID), symbolSet(r)),
	}
	v.Script = "js/stitchbook.js"
	if !p.gaugeFieldSet {
		v.Gauge.Over = "10"
	}
	if p.conflict {
		v.Conflict = compare(st.Manuscript, p.text, true)
	}
	err := s.working(ctx, func() error {
		res := review.Check(p.text)
		v.Proof = proofView(res)
		facts := []string{"version " + strconv.Itoa(st.Version), usedIn(st.Uses)}
		if m := multipleWords(res); m != "" {
			facts = append([]string{m}, facts...)
		}
		v.Facts = strings.Join(facts, " · ")
		v.Forms = stitchForms(res, p.text)
		if res.Errors() > 0 {
			v.Chart.Why = "Mend the rows first; then their chart is drawn."
		} else if sections := chart.Sections(res.Manuscript, res.Needle); len(sections) > 0 {
			v.Chart = sectionChart(res, sections[0], 0, symbolSet(r), "")
			v.Chart.DrawURL, v.Chart.Name = "", p.name
			v.WorkOver = workOver(p.name, res, 0)
		}
		v.Why = "Write some rows, and both sides are drawn here."
		saved := res
		if p.text != st.Manuscript {
			saved = review.Check(st.Manuscript)
		}
		if part := picture.Best(saved.Needle); part >= 0 {
			if _, _, err := picture.Swatch(saved.Manuscript, saved.Needle, part, 0); err != nil {
				v.Why = sentence("there is no picture: " + document.WhyNoChart(err))
				if saved.Errors() > 0 {
					v.Why = "Mend the rows, and both sides are drawn here."
				}
			} else {
				v.Why = ""
				v.RS = web.Picture{URL: stitchPicture(st, "rs"), Alt: "Picture of " + st.Name + " from the right side"}
				v.WS = web.Picture{URL: stitchPicture(st, "ws"), Alt: "Picture of " + st.Name + " from the wrong side"}
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	if err := s.aboutStitch(r, st, &v); err != nil {
		return err
	}
	return s.render(w, r, status, web.Stitch(v))
}

// aboutStitch adds gauges, uses and versions.
func (s *server) aboutStitch(r *http.Request, st studio.Stitch, v *web.StitchView) error {
	v.SwatchURL = swatchesURL + "/new?stitch=" + strconv.FormatInt(st.ID, 10)
	gauges, err := s.DB.StitchGauges(r.Context(), s.StudioID, st.ID)
	if err != nil {
		return err
	}
	for _, g := range gauges {
		v.Gauges = append(v.Gauges, gaugeLine(st, g))
	}
	uses, err := s.DB.StitchUses(r.Context(), s.StudioID, st.ID)
	if err != nil {
		return err
	}
	for _, u := range uses {
		l := web.StitchUseLine{Title: u.PatternTitle, URL: "/studio/patterns/" + strconv.FormatInt(u.PatternID, 10), Section: u.Heading, Gone: !u.Stands, Version: "version " + strconv.Itoa(u.Placed)}
		if u.Form != studio.StitchFlat {
			l.Section += ", " + lowerFormName(u.Form)
		}
		if u.Changed() {
			l.Changed, l.ChangedURL = "has version "+strconv.Itoa(u.Placed), useURL(u)
		}
		v.Uses = append(v.Uses, l)
	}
	versions, err := s.DB.StitchVersions(r.Context(), s.StudioID, st.ID)
	if err != nil {
		return err
	}
	for i, ver := range versions {
		l := web.StitchVersionLine{
			Version: "Version " + strconv.Itoa(ver.Version), When: moment(ver.CreatedAt), ISO: iso(ver.CreatedAt),
			URL: v.Base + "/versions/" + strconv.Itoa(ver.Version), Current: ver.Version == st.Version,
		}
		if ver.AuthorName != "" {
			l.Who = " by " + ver.AuthorName
		}
		if i+1 < len(versions) && versions[i+1].Name != ver.Name {
			l.Renamed = "called “" + versions[i+1].Name + "” before"
		}
		v.Versions = append(v.Versions, l)
	}
	return nil
}

// formNames are the forms for people.
var formNames = map[studio.StitchForm]string{studio.StitchFlat: "Flat", studio.StitchRound: "In the round", studio.StitchMirrored: "Mirrored"}

func lowerFormName(f studio.StitchForm) string { return strings.ToLower(formNames[f]) }

// stitchForms writes a stitch in its three forms, or says why it cannot.
func stitchForms(res *review.Result, text string) []web.StitchFormView {
	var out []web.StitchFormView
	for _, f := range studio.StitchForms {
		out = append(out, stitchForm(res, text, f).view())
	}
	return out
}

// writtenForm is a stitch written in a form.
type writtenForm struct {
	form  studio.StitchForm
	as    bool     // as the designer wrote it
	lines []string // nil where it cannot be written
	why   string
	notes []string
}

func stitchForm(res *review.Result, text string, f studio.StitchForm) writtenForm {
	out := writtenForm{form: f}
	part := picture.Best(res.Needle)
	if part < 0 {
		out.why = "There are no rows yet."
		return out
	}
	if res.Errors() > 0 {
		out.why = "Mend the rows first: what does not come out has no form."
		return out
	}
	w, ok, err := chart.InForm(res.Manuscript, res.Needle, part, chart.Form(f))
	round := res.Needle.Parts[part].Round
	switch {
	case f == studio.StitchFlat && !round, f == studio.StitchRound && round, err == nil && !ok:
		out.as, out.lines = true, studio.ReadStitch(text).Lines
		if p := res.Needle.Parts[part]; p.Stated == nil && p.CastOn == nil && p.Needs != nil && p.Needs.Of > 0 && len(out.lines) > 0 {
			out.lines = append([]string{statedMultiple(p.Needs.Of, p.Needs.Plus)}, out.lines...) // what a section needs to be a part of its own
		}
	case err != nil:
		out.why = sentence(document.WhyNoChart(err))
	default:
		out.lines, out.notes = w.Lines, w.Notes
	}
	return out
}

func (f writtenForm) view() web.StitchFormView {
	v := web.StitchFormView{ID: "form-" + string(f.form), Name: formNames[f.form], Rows: strings.Join(f.lines, "\n"), Why: f.why, Notes: f.notes}
	if f.as {
		v.Hint = "as written"
	}
	return v
}

// workOver is the line that works a stitch, over the smallest number of stitches
// from 20 up that its multiple allows, or over the one asked for.
func workOver(name string, res *review.Result, n int) string {
	of, plus := placedMultiple(res)
	if n == 0 && of > 0 {
		for n = of + plus; n < 20; n += of {
		}
	} else if n == 0 {
		n = plus
	}
	row := "Row 1"
	if part := picture.Best(res.Needle); part >= 0 && res.Needle.Parts[part].Round {
		row = "Rnd 1"
	}
	return studio.WorkOver(name, row, n)
}

// placedMultiple is the multiple of a stitch; of is 0 for a panel of plus stitches.
func placedMultiple(res *review.Result) (of, plus int) {
	for _, p := range res.Report.Parts {
		switch {
		case p.Multiple != nil:
			return p.Multiple.Of, p.Multiple.Plus
		case len(p.CastOn) > 0:
			return 0, p.CastOn[0]
		case p.NeedsMultiple != nil:
			return p.NeedsMultiple.Of, p.NeedsMultiple.Plus
		}
	}
	return 0, 0
}

// Pictures. An address names the version, so that a browser may keep what it has.

func stitchPicture(st studio.Stitch, side string) string {
	return stitchURL(st.ID) + "/picture.png?side=" + side + "&v=" + strconv.Itoa(st.Version)
}

// smallPicture is how many stitches and rows a picture in the list shows, and how
// many pixels it is wide.
const (
	smallStitches = 18
	smallRows     = 20
	smallPixels   = 288
)

func (s *server) serveStitchPicture(w http.ResponseWriter, r *http.Request) error {
	st, err := s.ownStitch(r)
	if err != nil {
		return err
	}
	q := r.URL.Query()
	side := q.Get("side")
	if side != "rs" && side != "ws" {
		return fmt.Errorf("side %q: %w", side, studio.ErrNotFound)
	}
	text, caching := st.Manuscript, "private, no-cache"
	if v := q.Get("v"); v != "" {
		ver, err := s.stitchVersion(r, st, v)
		if err != nil {
			return err
		}
		text, caching = ver.Manuscript, "private, max-age=31536000, immutable"
	}
	var b bytes.Buffer
	var cannot error
	err = s.working(r.Context(), func() error {
		c, err := clothOf(r, notation.Read(text))
		if err != nil || c.part < 0 {
			cannot = errors.Join(err, studio.ErrNotFound)
			return nil
		}
		f, window, err := picture.Swatch(c.ms, c.nd, c.part, c.size)
		if err != nil {
			cannot = fmt.Errorf("picture: %v: %w", err, studio.ErrNotFound)
			return nil
		}
		o := picture.Options{WS: side == "ws", Window: window, Gauge: picture.GaugeOf(c.ms), Colours: c.ways}
		if q.Get("small") != "" {
			o.Window.ToColumn = min(o.Window.ToColumn, o.Window.FromColumn+smallStitches)
			o.Window.ToRow = min(o.Window.ToRow, o.Window.FromRow+smallRows)
			o.Scale = min(32, max(8, smallPixels/max(1, o.Window.ToColumn-o.Window.FromColumn)))
		}
		return picture.PNG(&b, f, o)
	})
	var big *picture.TooLarge
	switch {
	case cannot != nil:
		return cannot
	case errors.As(err, &big):
		return fmt.Errorf("%v: %w", err, studio.ErrNotFound)
	case err != nil:
		return err
	}
	sendPNG(w, b.Bytes(), caching)
	return nil
}

// Versions.

func (s *server) showStitchVersion(w http.ResponseWriter, r *http.Request) error {
	st, err := s.ownStitch(r)
	if err != nil {
		return err
	}
	ver, err := s.stitchVersion(r, st, chi.URLParam(r, "version"))
	if err != nil {
		return err
	}
	v := web.StitchVersionView{
		Page: s.sharedFlash(r, st.Name, "stitches"), Heading: st.Name, Base: stitchURL(st.ID), Version: "Version " + strconv.Itoa(ver.Version),
		When: moment(ver.CreatedAt), ISO: iso(ver.CreatedAt), Stands: strconv.Itoa(st.Version), Lines: compare(ver.Manuscript, st.Manuscript, false),
		Same: ver.Manuscript == st.Manuscript, Name: ver.Name, Manuscript: ver.Manuscript,
	}
	if ver.AuthorName != "" {
		v.Who = " by " + ver.AuthorName
	}
	return s.render(w, r, http.StatusOK, web.StitchVersion(v))
}

// Gauges.

func gaugeLine(st studio.Stitch, g studio.StitchGauge) web.StitchGaugeLine {
	var figures, materials []string
	if g.Sts > 0 {
		figures = append(figures, decimal(g.Sts)+" sts")
	}
	if g.Rows > 0 {
		figures = append(figures, decimal(g.Rows)+" rows")
	}
	for _, m := range []string{g.Yarn, g.Needle} {
		if m != "" {
			materials = append(materials, m)
		}
	}
	return web.StitchGaugeLine{
		Figures: strings.Join(figures, " and ") + " = " + decimal(g.OverCM) + " cm", Materials: strings.Join(materials, ", "), Note: g.Note,
		RemoveURL: stitchURL(st.ID) + "/gauges/" + strconv.FormatInt(g.ID, 10) + "/remove",
	}
}

func decimal(f float64) string { return strconv.FormatFloat(f, 'f', -1, 64) }

// readDecimal reads a number as people type it; "" is 0, what is none is -1.
func readDecimal(s string) float64 {
	s = strings.ReplaceAll(strings.TrimSpace(s), ",", ".")
	if s == "" {
		return 0
	}
	f, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return -1
	}
	return f
}

func (s *server) addStitchGauge(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	st, err := s.ownStitch(r)
	if err != nil {
		return err
	}
	f := func(name string) string { return oneLine(studio.CleanManuscript(r.PostForm.Get(name))) }
	fields := web.StitchGaugeFields{Yarn: f("yarn"), Needle: f("needle"), Sts: f("sts"), Rows: f("rows"), Over: f("over"), Note: f("note")}
	g := studio.StitchGauge{Yarn: fields.Yarn, Needle: fields.Needle, Sts: readDecimal(fields.Sts), Rows: readDecimal(fields.Rows), OverCM: readDecimal(fields.Over), Note: fields.Note}
	_, err = s.DB.AddStitchGauge(r.Context(), s.StudioID, st.ID, g)
	var invalid *studio.InvalidError
	if errors.As(err, &invalid) {
		p := stitchPage{stitch: st, name: st.Name, text: st.Manuscript, base: st.Version, gauge: fields, gaugeFieldSet: true, gaugeProblem: sentence(invalid.Field + " " + invalid.Problem)}
		return s.renderStitch(w, r, http.StatusUnprocessableEntity, p)
	}
	if err != nil {
		return err
	}
	return s.done(w, r, stitchURL(st.ID)+"#gauges", "The gauge is noted.")
}

func (s *server) removeStitchGauge(w http.ResponseWriter, r *http.Request) error {
	st, err := s.ownStitch(r)
	if err != nil {
		return err
	}
	n, err := id(r, "gauge")
	if err != nil {
		return err
	}
	if err := s.DB.RemoveStitchGauge(r.Context(), s.StudioID, st.ID, n); err != nil {
		return err
	}
	return s.done(w, r, stitchURL(st.ID)+"#gauges", "The gauge is gone.")
}
