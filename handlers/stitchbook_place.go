package handlers

import (
	"errors"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
	"rowproof/domain/review"
	"rowproof/domain/store"
	"rowproof/domain/studio"
	"rowproof/web"
)

// The page of a pattern on which a stitch is placed: its rows become a section of
// the manuscript, under its name.

// placing is what the form of the page holds.
type placing struct {
	stitch  int64
	form    studio.StitchForm
	place   string // number of the section before which it comes, from 0; "end"
	problem string
	preview *web.StitchFormView
	heading string
}

func (s *server) showPlaceStitch(w http.ResponseWriter, r *http.Request) error {
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	in := placing{form: studio.StitchFlat, place: firstWorked(p.Manuscript)}
	if n, err := strconv.ParseInt(r.URL.Query().Get("stitch"), 10, 64); err == nil {
		in.stitch = n
	}
	return s.renderPlaceStitch(w, r, http.StatusOK, p, in)
}

// firstWorked is the place before the first section that is cast on; at the end
// where there is none.
func firstWorked(text string) string {
	ms := notation.Read(text)
	for i, sec := range studio.Pieces(text) {
		for _, it := range ms.Items {
			if b, ok := it.(*notation.Begin); ok && b.Line >= sec.From && b.Line < sec.To {
				return strconv.Itoa(i)
			}
		}
	}
	return "end"
}

func (s *server) renderPlaceStitch(w http.ResponseWriter, r *http.Request, status int, p studio.Pattern, in placing) error {
	stitches, err := s.DB.ListStitches(r.Context(), s.StudioID)
	if err != nil {
		return err
	}
	uses, err := s.DB.PatternStitches(r.Context(), s.StudioID, p.ID)
	if err != nil {
		return err
	}
	v := web.PatternStitchesView{
		Page: s.sharedFlash(r, p.Title, "studio"), Tabs: s.tabs(r, p, "stitch"), Version: strconv.Itoa(p.Version), Problem: in.problem,
		Preview: in.preview, Heading: in.heading, Action: patternURL(p) + "/stitch", Empty: len(stitches) == 0,
	}
	v.Script = "js/stitchbook.js"
	for _, st := range stitches {
		v.Stitches = append(v.Stitches, web.Choice{Value: strconv.FormatInt(st.ID, 10), Label: st.Name, Here: st.ID == in.stitch})
	}
	for _, f := range studio.StitchForms {
		v.Forms = append(v.Forms, web.Choice{Value: string(f), Label: formNames[f], Here: f == in.form})
	}
	for i, sec := range studio.Pieces(p.Manuscript) {
		n := strconv.Itoa(i)
		v.Places = append(v.Places, web.Choice{Value: n, Label: "Before " + sec.Heading, Here: n == in.place})
	}
	v.Places = append(v.Places, web.Choice{Value: "end", Label: "At the end", Here: in.place == "end"})
	err = s.working(r.Context(), func() error {
		for _, u := range uses {
			v.Placed = append(v.Placed, placedStitch(p, u))
		}
		return nil
	})
	if err != nil {
		return err
	}
	return s.render(w, r, status, web.PatternStitches(v))
}

// placedStitch tells of a stitch that stands in a pattern, with the line that works it.
func placedStitch(p studio.Pattern, u studio.StitchUse) web.PlacedStitch {
	l := web.PlacedStitch{ID: "placed-" + strconv.FormatInt(u.ID, 10), Name: u.StitchName, Section: u.Heading, Form: formNames[u.Form], Version: "version " + strconv.Itoa(u.Placed), Gone: !u.Stands}
	if !u.StitchDeleted {
		l.URL = stitchURL(u.StitchID)
	}
	if u.Changed() {
		n := stitchNotice(u)
		l.Notice = &n
	}
	sec, ok := studio.FindSection(p.Manuscript, u.Heading)
	if !ok {
		return l
	}
	res := review.Check(strings.Join(sec.Lines, "\n") + "\n")
	of, plus := placedMultiple(res)
	l.WorkOver = workOver(u.Heading, res, 0)
	if of > 0 {
		var counts []string
		for n := of + plus; len(counts) < 4; n += of {
			counts = append(counts, strconv.Itoa(n))
		}
		l.Over = "Over " + strings.Join(counts, ", ") + " … stitches."
	}
	return l
}

// placed is a stitch put into the text of a pattern, not saved yet.
type placed struct {
	text    string
	heading string
	form    writtenForm
	notes   []string
	res     *review.Result // of the text
}

// errCannotPlace is why a stitch cannot be placed, in words for the person.
type errCannotPlace struct{ why string }

func (e *errCannotPlace) Error() string { return e.why }

// putIn puts a stitch into the text of a pattern and proves it.
func putIn(p studio.Pattern, st studio.Stitch, form studio.StitchForm, place string) (placed, error) {
	var out placed
	own := review.Check(st.Manuscript)
	if n := own.Errors(); n > 0 {
		return out, &errCannotPlace{st.Name + " has " + plural(n, "error", "errors") + ". Mend it on its own page first; then it can be placed."}
	}
	if out.form = stitchForm(own, st.Manuscript, form); out.form.lines == nil {
		return out, &errCannotPlace{st.Name + " cannot be written " + map[studio.StitchForm]string{studio.StitchFlat: "flat", studio.StitchRound: "in the round", studio.StitchMirrored: "mirrored"}[form] + ": " + lowerFirstLetter(out.form.why)}
	}
	pieces := studio.Pieces(p.Manuscript)
	out.heading = freeHeading(pieces, st.Name, form)
	text, notes := withNames(p.Manuscript, studio.ReadStitch(st.Manuscript), nil)
	line := 0 // at the end
	if n, err := strconv.Atoi(place); err == nil && n >= 0 && n < len(pieces) {
		if now := studio.Pieces(text); len(now) == len(pieces) && now[n].Heading == pieces[n].Heading {
			line = now[n].Line // the lines brought along may have moved it
		}
	}
	out.notes = append(out.form.notes, notes...)
	out.text = studio.PlaceSection(text, out.heading, out.form.lines, line)
	sec, ok := studio.FindSection(out.text, out.heading)
	if !ok || !slices.Equal(sec.Lines, out.form.lines) || len(studio.Pieces(out.text)) != len(pieces)+1 {
		return out, &errCannotPlace{"At that place the rows of " + st.Name + " would not be read as a section of their own. Choose another place."}
	}
	out.res = review.Check(out.text)
	if worse := newErrors(review.Check(p.Manuscript), out.res); len(worse) > 0 {
		return out, &errCannotPlace{"With " + st.Name + " at that place the pattern would have " + plural(len(worse), "error", "errors") + " more: " + worse[0] + " Nothing was changed."}
	}
	return out, nil
}

func lowerFirstLetter(s string) string {
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}

// newErrors are the errors of a text that the one before it had not, in words.
func newErrors(was, now *review.Result) []string {
	had := map[string]int{}
	key := func(f finding.Finding) string {
		return string(f.Code) + "\x00" + f.Part + "\x00" + f.Row + "\x00" + f.Message
	}
	for _, f := range was.Findings {
		if f.Severity() == finding.Error {
			had[key(f)]++
		}
	}
	var out []string
	for _, f := range now.Findings {
		if f.Severity() != finding.Error {
			continue
		}
		if had[key(f)]--; had[key(f)] < 0 {
			out = append(out, where(now, f)+": "+sentence(f.Message))
		}
	}
	return out
}

// freeHeading heads the section of a stitch: by its name, or where a section of
// that name stands already by its form and name, or with a number.
func freeHeading(pieces []studio.Section, name string, form studio.StitchForm) string {
	taken := func(h string) bool {
		return slices.ContainsFunc(pieces, func(s studio.Section) bool { return strings.EqualFold(s.Heading, h) })
	}
	if !taken(name) {
		return name
	}
	if word := map[studio.StitchForm]string{studio.StitchRound: "Round ", studio.StitchMirrored: "Mirrored "}[form]; word != "" && !taken(word+name) {
		return word + name
	}
	for n := 2; ; n++ {
		if h := name + " " + strconv.Itoa(n); !taken(h) {
			return h
		}
	}
}

// withNames gives the text of a pattern with the special stitches and yarns that a
// stitch's rows name, where it does not have them. What the pattern explains by
// itself stays, unless it says what the stitch said before, was; notes tell of it.
func withNames(text string, t studio.StitchText, was []studio.NamedStitch) (string, []string) {
	var notes []string
	have := readStitches(notation.Read(text))
	now := slices.Clone(have)
	for _, d := range t.Defines {
		i := slices.IndexFunc(now, func(s stitch) bool { return strings.EqualFold(s.name, d.Name) })
		switch {
		case i < 0:
			now = append(now, stitch{name: d.Name, words: d.Words})
		case now[i].words == d.Words:
		case slices.ContainsFunc(was, func(w studio.NamedStitch) bool { return strings.EqualFold(w.Name, d.Name) && w.Words == now[i].words }):
			now[i].words = d.Words
		default:
			notes = append(notes, "The pattern explains "+d.Name+" in words of its own; they stay.")
		}
	}
	if !slices.Equal(have, now) {
		text = writeStitches(text, now)
	}
	ms := notation.Read(text)
	var missing []string
	for _, y := range t.Yarns {
		if !slices.ContainsFunc(ms.Yarns, func(n string) bool { return strings.EqualFold(n, y) }) {
			missing = append(missing, y)
		}
	}
	if len(missing) > 0 {
		heads := readHeads(ms)
		with := heads
		with.Yarn = strings.TrimSpace(heads.Yarn + "\n" + strings.Join(missing, ", "))
		text = writeHeads(text, heads, with)
	}
	return text, notes
}

// savePlaceStitch shows what would be placed, or places it.
func (s *server) savePlaceStitch(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	in := placing{form: studio.StitchForm(r.PostForm.Get("form")), place: r.PostForm.Get("place")}
	in.stitch, _ = strconv.ParseInt(r.PostForm.Get("stitch"), 10, 64)
	again := func(status int, problem string) error {
		in.problem = problem
		return s.renderPlaceStitch(w, r, status, p, in)
	}
	if baseVersion(r) != p.Version {
		return again(http.StatusConflict, "The pattern was saved since this page was opened. Look at the place once more, then place the stitch.")
	}
	st, err := s.DB.Stitch(r.Context(), s.StudioID, in.stitch)
	if errors.Is(err, studio.ErrNotFound) || !in.form.Valid() {
		return again(http.StatusUnprocessableEntity, "Choose a stitch and its form.")
	}
	if err != nil {
		return err
	}
	var pl placed
	var cannot *errCannotPlace
	err = s.working(r.Context(), func() error {
		var err error
		pl, err = putIn(p, st, in.form, in.place)
		return err
	})
	if errors.As(err, &cannot) {
		return again(http.StatusUnprocessableEntity, cannot.why)
	}
	if err != nil {
		return err
	}
	if r.PostForm.Get("do") == "show" {
		view := pl.form.view()
		view.Notes = pl.notes
		in.preview, in.heading = &view, pl.heading
		return again(http.StatusOK, "")
	}
	_, err = s.DB.PlaceStitch(r.Context(), s.StudioID, store.Placing{
		Save:     store.Save{PatternID: p.ID, BaseVersion: p.Version, Manuscript: pl.text, Projection: Project(pl.res), AuthorID: account(r.Context()).ID, Reason: studio.Form},
		StitchID: st.ID, Version: st.Version, Heading: pl.heading, Form: in.form,
	})
	var invalid *studio.InvalidError
	if errors.As(err, &invalid) {
		return again(http.StatusUnprocessableEntity, sentence(invalid.Field+" "+invalid.Problem))
	}
	if err != nil {
		return s.orConflict(w, r, p, err)
	}
	return s.done(w, r, patternURL(p)+"/stitch", "“"+pl.heading+"” stands in the manuscript. Undo, among the rows, takes it out again.")
}
