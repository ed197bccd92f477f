package handlers

import (
	"errors"
	"log/slog"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"rowproof/domain/review"
	"rowproof/domain/store"
	"rowproof/domain/studio"
	"rowproof/web"
)

// When a stitch changes, every pattern in which it stands is told: on its pages, in
// the list, and on a page that shows what changed and asks what to do.

func useURL(u studio.StitchUse) string {
	return "/studio/patterns/" + strconv.FormatInt(u.PatternID, 10) + "/stitch/" + strconv.FormatInt(u.ID, 10)
}

func stitchNotice(u studio.StitchUse) web.StitchNotice {
	name := u.Heading
	if !strings.EqualFold(u.Heading, u.StitchName) {
		name = u.Heading + " (" + u.StitchName + ")"
	}
	return web.StitchNotice{
		Text: name + " has changed since you placed it: version " + strconv.Itoa(u.Placed) + " → " + strconv.Itoa(u.StitchVersion) + ".",
		URL:  useURL(u),
	}
}

// stitchNotices tell a pattern of its changed stitches; 0 stands for all patterns.
// A page is shown without them rather than not at all.
func (s *server) stitchNotices(r *http.Request, pattern int64) map[int64][]web.StitchNotice {
	uses, err := s.DB.PatternStitches(r.Context(), s.StudioID, pattern)
	if err != nil {
		s.Logger.Error("notices of stitches failed", slog.Any("error", err))
		return nil
	}
	out := map[int64][]web.StitchNotice{}
	for _, u := range uses {
		if u.Changed() {
			out[u.PatternID] = append(out[u.PatternID], stitchNotice(u))
		}
	}
	return out
}

// stitchUse is the use of the address.
func (s *server) stitchUse(r *http.Request, p studio.Pattern) (studio.StitchUse, error) {
	n, err := id(r, "use")
	if err != nil {
		return studio.StitchUse{}, err
	}
	return s.DB.StitchUse(r.Context(), s.StudioID, p.ID, n)
}

func (s *server) showStitchChange(w http.ResponseWriter, r *http.Request) error {
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	u, err := s.stitchUse(r, p)
	if err != nil {
		return err
	}
	return s.renderStitchChange(w, r, http.StatusOK, p, u, "")
}

// taken is the text of a pattern with the newer rows of a stitch, not saved yet.
type taken struct {
	text  string
	lines []string // the section's new rows; nil where they cannot be written
	was   []string // its rows as they stand
	own   bool     // they are not what was placed
	why   string
	notes []string
	res   *review.Result
	worse []string // errors that come with it
}

// takeOver puts the newer rows of a stitch in the place of those that stand, in the
// form in which it was placed, and proves the pattern with them.
func takeOver(p studio.Pattern, u studio.StitchUse) taken {
	sec, ok := studio.FindSection(p.Manuscript, u.Heading)
	if !ok {
		return taken{why: "The section “" + u.Heading + "” is no longer in the pattern."}
	}
	out := taken{was: sec.Lines}
	before := stitchForm(review.Check(u.Was), u.Was, u.Form)
	even := func(lines []string) string { return strings.Join(strings.Fields(strings.Join(lines, " ")), " ") }
	out.own = before.lines != nil && even(before.lines) != even(sec.Lines)
	now := review.Check(u.Now)
	if n := now.Errors(); n > 0 {
		out.why = u.StitchName + " has " + plural(n, "error", "errors") + " as it stands now. Mend it on its own page first."
		return out
	}
	form := stitchForm(now, u.Now, u.Form)
	if form.lines == nil {
		out.why = "The new rows cannot be written " + lowerFormName(u.Form) + ": " + lowerFirstLetter(form.why)
		return out
	}
	out.lines, out.notes = form.lines, form.notes
	text, notes := withNames(p.Manuscript, studio.ReadStitch(u.Now), studio.ReadStitch(u.Was).Defines)
	out.notes = append(out.notes, notes...)
	out.text, _ = studio.ReplaceSection(text, u.Heading, form.lines)
	if sec, ok := studio.FindSection(out.text, u.Heading); !ok || !slices.Equal(sec.Lines[:min(len(sec.Lines), len(form.lines))], form.lines) {
		out.lines, out.why = nil, "Put in its place, the new rows would not be read as the section “"+u.Heading+"”."
		return out
	}
	out.res = review.Check(out.text)
	out.worse = newErrors(review.Check(p.Manuscript), out.res)
	return out
}

func (s *server) renderStitchChange(w http.ResponseWriter, r *http.Request, status int, p studio.Pattern, u studio.StitchUse, problem string) error {
	v := web.StitchChangeView{
		Page: s.sharedFlash(r, p.Title, "studio"), Tabs: s.tabs(r, p, "stitch"), Heading: u.StitchName, Version: strconv.Itoa(p.Version),
		Stitch: strconv.Itoa(u.StitchVersion), StitchURL: stitchURL(u.StitchID), Text: stitchNotice(u).Text, Problem: problem, Action: useURL(u),
	}
	v.Tabs.Notices = nil // the page itself tells of it
	if !u.Changed() {
		v.Text = ""
		return s.render(w, r, status, web.StitchChange(v))
	}
	for _, c := range studio.StitchChanges(u.Was, u.Now) {
		v.Rows = append(v.Rows, web.StitchRowChange(c))
	}
	err := s.working(r.Context(), func() error {
		t := takeOver(p, u)
		v.Why, v.Own, v.Notes, v.Worse = t.why, t.own, t.notes, t.worse
		if t.lines == nil {
			return nil
		}
		v.Lines = compare(strings.Join(t.was, "\n"), strings.Join(t.lines, "\n"), false)
		v.Same = slices.Equal(t.was, t.lines)
		proof := proofView(t.res)
		v.Level, v.Proof = proof.Level, proof.Status
		return nil
	})
	if err != nil {
		return err
	}
	return s.render(w, r, status, web.StitchChange(v))
}

// answerStitchChange takes the new rows over, or keeps what stands.
func (s *server) answerStitchChange(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	u, err := s.stitchUse(r, p)
	if err != nil {
		return err
	}
	seen, err := strconv.Atoi(r.PostForm.Get("stitch"))
	if err != nil || seen != u.StitchVersion {
		return s.renderStitchChange(w, r, http.StatusConflict, p, u, u.StitchName+" has changed again since this page was opened. This is how it stands now.")
	}
	if r.PostForm.Get("do") == "keep" {
		if err := s.DB.KeepStitch(r.Context(), s.StudioID, p.ID, u.ID, seen); err != nil {
			return err
		}
		return s.done(w, r, patternURL(p)+"/stitch", "The pattern keeps its rows. You will be told when "+u.StitchName+" changes again.")
	}
	if baseVersion(r) != p.Version {
		return s.renderStitchChange(w, r, http.StatusConflict, p, u, "The pattern was saved since this page was opened. Look at the rows once more.")
	}
	if !u.Changed() {
		return s.renderStitchChange(w, r, http.StatusOK, p, u, "")
	}
	var t taken
	if err := s.working(r.Context(), func() error { t = takeOver(p, u); return nil }); err != nil {
		return err
	}
	if t.lines == nil {
		return s.renderStitchChange(w, r, http.StatusUnprocessableEntity, p, u, t.why)
	}
	_, err = s.DB.TakeStitch(r.Context(), s.StudioID, store.Save{
		PatternID: p.ID, BaseVersion: p.Version, Manuscript: t.text, Projection: Project(t.res), AuthorID: account(r.Context()).ID, Reason: studio.Form,
	}, u.ID, seen)
	var invalid *studio.InvalidError
	if errors.As(err, &invalid) {
		return s.renderStitchChange(w, r, http.StatusUnprocessableEntity, p, u, sentence(invalid.Field+" "+invalid.Problem))
	}
	if err != nil {
		return s.orConflict(w, r, p, err)
	}
	flash := "The new rows of " + u.StitchName + " stand in the manuscript. Undo, among the rows, brings the old ones back."
	if len(t.worse) > 0 {
		flash = "The new rows of " + u.StitchName + " stand in the manuscript, with " + plural(len(t.worse), "error", "errors") + " to mend."
	}
	return s.done(w, r, patternURL(p), flash)
}
