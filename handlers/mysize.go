package handlers

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"rowproof/domain/draft"
	"rowproof/domain/notation"
	"rowproof/domain/sizing"
	"rowproof/domain/studio"
	"rowproof/web"
)

// A reader makes a published pattern her own size. The address holds all that she
// asked for; nothing is kept.

// wish is what the address asks for.
type wish struct {
	size int // index
	own  draft.Own
}

// readWish reads the fields; the error is for the person.
func readWish(q url.Values, sizes int) (wish, error) {
	var w wish
	if v := q.Get("size"); v != "" {
		n, err := strconv.Atoi(v)
		if err != nil || n < 1 || n > sizes {
			return w, fmt.Errorf("there is no size %s", v)
		}
		w.size = n - 1
	}
	for _, f := range []struct {
		name, what string
		low, high  float64
		set        func(float64)
	}{
		{"sts", "stitches to 10 cm", 4, 80, func(x float64) { w.own.Gauge.Sts = x }},
		{"rows", "rows to 10 cm", 4, 120, func(x float64) { w.own.Gauge.Rows = x }},
		{"width", "width in cm", 2, 400, func(x float64) { w.own.Width = sizing.Cm(x) }},
		{"height", "height in cm", 2, 400, func(x float64) { w.own.Height = sizing.Cm(x) }},
	} {
		v := strings.TrimSpace(q.Get(f.name))
		if v == "" {
			continue
		}
		x, ok := typedNumber(v)
		if !ok || x < f.low || x > f.high {
			return w, fmt.Errorf("%s is “%.20s”; write a number from %g to %g", f.what, v, f.low, f.high)
		}
		f.set(x)
	}
	return w, nil
}

func (s *server) showMySize(w http.ResponseWriter, r *http.Request) error {
	rev, c, err := s.published(r)
	if err != nil {
		return err
	}
	q := r.URL.Query()
	base := publicURL(rev.Slug)
	v := web.MySizeView{Page: s.sharedFlash(r, "Make it my size", "public"), Pattern: rev.Title, Back: base, Action: base + "/my-size",
		WidthLabel: "Width, cm", WidthHint: "Of the first piece; round it, for one in the round. Empty: as the pattern has it.", HasHeight: true}
	for to, name := range map[*web.Field]string{&v.Sts: "sts", &v.Rows: "rows", &v.Width: "width", &v.Height: "height"} {
		to.Value = q.Get(name)
	}
	for _, g := range c.manuscript.Gauges() {
		v.GaugeHint = fmt.Sprintf("The pattern’s: %g and %g.", g.Stitches, g.Rows)
		break
	}
	if f, ok := s.formOf(r.Context(), rev.PatternID); ok {
		v.WidthLabel, v.HasHeight = f.Measures[0].Name+", cm", false
		v.WidthHint = "Finished. Empty: as the pattern has it."
	}
	wish, err := readWish(q, len(c.manuscript.Sizes))
	for i, name := range c.manuscript.Sizes {
		v.Sizes = append(v.Sizes, web.Choice{Value: strconv.Itoa(i + 1), Label: name, Here: i == wish.size})
	}
	asked := wish.own != draft.Own{}
	if err != nil {
		v.Problem = sentence(err.Error())
		return s.render(w, r, http.StatusUnprocessableEntity, web.MySize(v))
	}
	if !asked {
		return s.render(w, r, http.StatusOK, web.MySize(v))
	}
	mine, err := s.inMySize(r.Context(), rev, wish)
	switch {
	case err != nil && mySizeProblem(err) == "":
		return err
	case err != nil:
		v.Problem = mySizeProblem(err)
		return s.render(w, r, http.StatusUnprocessableEntity, web.MySize(v))
	}
	v.Ready, v.Notes, v.Amounts = true, mine.Notes, amountsOf(mine.Checked, nil)
	if v.Body, err = s.fragment(r, mySizePrint(rev, mine)); err != nil {
		return err
	}
	ask := url.Values{}
	for _, name := range []string{"size", "sts", "rows", "width", "height"} {
		if x := q.Get(name); x != "" {
			ask.Set(name, x)
		}
	}
	v.PDF = base + "/my-size/" + rev.Slug + ".pdf?" + ask.Encode()
	v.Text = base + "/my-size/" + rev.Slug + ".txt?" + ask.Encode()
	return s.render(w, r, http.StatusOK, web.MySize(v))
}

// serveMySize sends the print of a reader's own size.
func (s *server) serveMySize(w http.ResponseWriter, r *http.Request) error {
	rev, c, err := s.published(r)
	if err != nil {
		return err
	}
	wish, err := readWish(r.URL.Query(), len(c.manuscript.Sizes))
	if err != nil {
		return fmt.Errorf("%w: %w", err, studio.ErrNotFound)
	}
	mine, err := s.inMySize(r.Context(), rev, wish)
	if err != nil {
		if p := mySizeProblem(err); p != "" {
			return fmt.Errorf("%s: %w", p, studio.ErrNotFound)
		}
		return err
	}
	q := r.URL.Query()
	q.Del("size") // it is of one size
	r.URL.RawQuery = q.Encode()
	return s.servePrint(w, r, mySizePrint(rev, mine))
}

func mySizePrint(rev studio.Revision, mine *draft.Refitted) copyToPrint {
	return copyToPrint{slug: rev.Slug, manuscript: mine.Checked.Manuscript, report: mine.Checked.Report, worked: mine.Checked.Needle, revision: rev.Number, dated: rev.Dated}
}

// mySizeProblem is what to tell the reader; "" where it is no fault of hers.
func mySizeProblem(err error) string {
	if errors.Is(err, draft.ErrRefit) || errors.Is(err, sizing.ErrDraft) {
		return sentence(err.Error())
	}
	return draftProblem(err)
}

// formOf is the form that a pattern was drafted from.
func (s *server) formOf(ctx context.Context, pattern int64) (sizing.Form, bool) {
	kept, err := s.DB.PieceForm(ctx, s.StudioID, pattern)
	if err != nil {
		return sizing.Form{}, false
	}
	f, err := sizing.FormNamed(kept.Form)
	return f, err == nil
}

// inMySize makes a revision a reader's own size. One that was drafted is drafted anew for
// the one size, and the designer's words are kept; another has its numbers refitted.
func (s *server) inMySize(ctx context.Context, rev studio.Revision, w wish) (out *draft.Refitted, err error) {
	kept, err := s.DB.PieceForm(ctx, s.StudioID, rev.PatternID)
	drafted := err == nil
	if err != nil && !errors.Is(err, studio.ErrNotFound) {
		return nil, err
	}
	var was sizing.Request
	if drafted {
		var in draftInputs
		if err := json.Unmarshal(kept.Inputs, &in); err != nil {
			return nil, fmt.Errorf("inputs of the draft of pattern %d: %w", rev.PatternID, err)
		}
		if was, err = s.draftRequest(ctx, in); err != nil || w.size >= len(was.Sizes) {
			drafted = false // drafted from what is no longer there
		}
	}
	err = s.working(ctx, func() error {
		var err error
		if drafted {
			out, err = draft.RefitDraft(rev.Manuscript, kept.Generated, was, w.size, w.own)
			return err
		}
		text, err := oneSizeOf(rev.Manuscript, w.size)
		if err == nil {
			out, err = draft.Refit(text, w.own)
		}
		return err
	})
	return out, err
}

// oneSizeOf is the text of a pattern with the numbers of one size alone.
func oneSizeOf(text string, size int) (string, error) {
	ms := notation.Read(text)
	if len(ms.Sizes) < 2 {
		return text, nil
	}
	one, err := notation.Resize(ms, text, []notation.NewSize{{From: size}})
	if err != nil {
		return "", fmt.Errorf("%w: %w", draft.ErrRefit, err)
	}
	return one, nil
}
