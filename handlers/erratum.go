package handlers

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"

	"rowproof/domain/errata"
	"rowproof/domain/lineage"
	"rowproof/domain/studio"
	"rowproof/web"
)

// One erratum for the designer: what was noted, the row then and now, what the prover says,
// the conversation and the decision.

func (s *server) erratum(r *http.Request) (studio.Pattern, studio.Erratum, error) {
	p, err := s.pattern(r)
	if err != nil {
		return p, studio.Erratum{}, err
	}
	n, err := id(r, "erratum")
	if err != nil {
		return p, studio.Erratum{}, err
	}
	e, err := s.DB.Erratum(r.Context(), s.StudioID, p.ID, n)
	return p, e, err
}

func (s *server) showErratum(w http.ResponseWriter, r *http.Request) error {
	p, e, err := s.erratum(r)
	if err != nil {
		return err
	}
	v, err := s.erratumView(r, p, e)
	if err != nil {
		return err
	}
	return s.render(w, r, http.StatusOK, web.Erratum(v))
}

func (s *server) erratumView(r *http.Request, p studio.Pattern, e studio.Erratum) (web.ErratumView, error) {
	ctx := r.Context()
	v := web.ErratumView{Page: s.sharedFlash(r, e.Label, "studio"), Tabs: s.tabs(r, p, "test"), ID: strconv.FormatInt(e.ID, 10), Base: strconv.Itoa(e.Version),
		Erratum: erratumFacts(e, erratumURL(p, e), false), RowURL: patternURL(p)}
	v.Said = said(e, false, v.Studio)
	was, err := s.readingAt(ctx, p.ID, e.RevisionID, e.Revision)
	if err != nil {
		return v, err
	}
	now, err := s.standing(ctx, p)
	if err != nil {
		return v, err
	}
	fate := errata.FateOf(e, was, now.reading)
	v.Row = rowThenNow(e, fate)
	if fate.Removed {
		heirs, err := s.DB.RowHeirs(ctx, s.StudioID, p.ID, e.RowID)
		if err != nil {
			return v, err
		}
		for _, h := range heirs {
			v.Row.Heirs = append(v.Row.Heirs, errata.Where(h.Piece, h.Head, h.Text)+": "+lineage.Body(h.Head, h.Text))
		}
	}
	v.Prover = now.says(e)
	if e.State == studio.Accepted && e.Fix == nil && !fate.Touched {
		newest, err := s.DB.Revisions(ctx, s.StudioID, p.ID)
		if err != nil {
			return v, err
		}
		v.CanSettle = len(newest) > 0 && newest[0].Number > e.Revision
	}
	all, err := s.DB.Errata(ctx, s.StudioID, p.ID)
	if err != nil {
		return v, err
	}
	// Those of the same row lead: they are the likely ones.
	for _, same := range []bool{true, false} {
		for _, o := range all {
			if o.ID != e.ID && o.State != studio.Duplicate && (o.RowID == e.RowID) == same {
				v.Firsts = append(v.Firsts, web.Choice{Value: strconv.FormatInt(o.ID, 10), Here: o.ID == e.DuplicateOf,
					Label: fmt.Sprintf("%s, %s: %s", o.Knitter, o.Label, lowerFirst(o.Kind.Words()))})
			}
		}
	}
	return v, nil
}

// rowThenNow shows what became of the row of an erratum.
func rowThenNow(e studio.Erratum, f errata.Fate) web.RowThenNow {
	v := web.RowThenNow{Known: f.Known, Was: f.Was, WasHead: f.WasHead, WasCount: countWords(f.WasCount), Touched: f.Touched}
	size := ""
	if e.Size != "" {
		size = " in size " + e.Size
	}
	switch {
	case f.Removed:
		v.Verdict = "The row no longer stands" + size + "."
	case f.Touched:
		v.Now, v.NowHead, v.NowCount = f.Now, f.NowHead, countWords(f.NowCount)
		v.Verdict = "The row has changed since it was read, and the change touches it" + size + "."
	case f.NowHead != f.WasHead:
		v.Now, v.NowHead, v.NowCount = f.Now, f.NowHead, countWords(f.NowCount)
		v.Verdict = "It goes by another number now; its words are the same" + size + "."
	default:
		v.Verdict = "The row has not changed since it was read" + size + "."
	}
	return v
}

func countWords(n int) string {
	if n < 0 {
		return ""
	}
	return "(" + plural(n, "st", "sts") + ")"
}

// decideErratum notes what the designer says. When somebody else was faster, both are shown
// and nothing is lost.
func (s *server) decideErratum(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	p, e, err := s.erratum(r)
	if err != nil {
		return err
	}
	d := studio.Decision{State: studio.ErratumState(r.PostForm.Get("state")), Body: manuscriptOf(r, "body"), Base: baseVersion(r)}
	d.DuplicateOf, _ = strconv.ParseInt(r.PostForm.Get("first"), 10, 64)
	err = s.DB.Decide(r.Context(), s.StudioID, p.ID, e.ID, account(r.Context()).ID, d, s.decided(r.Context(), p.Title))
	var invalid *studio.InvalidError
	var late *studio.DecidedMeanwhile
	again := func(status int, change func(*web.ErratumView)) error {
		now, err := s.DB.Erratum(r.Context(), s.StudioID, p.ID, e.ID)
		if err != nil {
			return err
		}
		v, err := s.erratumView(r, p, now)
		if err != nil {
			return err
		}
		v.Body.Value = manuscriptOf(r, "body")
		change(&v)
		return s.render(w, r, status, web.Erratum(v))
	}
	switch {
	case errors.As(err, &invalid):
		return again(http.StatusUnprocessableEntity, func(v *web.ErratumView) {
			if invalid.Field == "body" {
				v.Body.Problem = sentence("this " + invalid.Problem)
			} else {
				v.Problem = sentence(invalid.Field + " " + invalid.Problem)
			}
		})
	case errors.As(err, &late):
		return again(http.StatusConflict, func(v *web.ErratumView) {
			v.Meantime = fmt.Sprintf("Somebody else decided this meanwhile: it is “%s” now. You wanted “%s”; what you wrote is still below. Look, and decide again if you must.",
				late.Erratum.State.Words(), late.Mine.State.Words())
		})
	case err != nil:
		return err
	}
	said := "The knitter can read it now."
	if d.State != "" {
		said = "It is " + d.State.Words() + ". The knitter is told."
	}
	return s.done(w, r, erratumURL(p, e), said)
}

// settleErratum counts an accepted erratum as put right though its row did not change.
func (s *server) settleErratum(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	p, e, err := s.erratum(r)
	if err != nil {
		return err
	}
	reason := studio.Clip(manuscriptOf(r, "reason"), 2000)
	if reason == "" {
		v, err := s.erratumView(r, p, e)
		if err != nil {
			return err
		}
		v.Settle.Problem = "Say why it is right as the row stands."
		return s.render(w, r, http.StatusUnprocessableEntity, web.Erratum(v))
	}
	err = s.DB.SettleErratum(r.Context(), s.StudioID, p.ID, e.ID, account(r.Context()).ID, reason, s.decided(r.Context(), p.Title))
	if err != nil {
		return err
	}
	return s.done(w, r, erratumURL(p, e), "It is settled.")
}

func (s *server) serveErratumPhoto(w http.ResponseWriter, r *http.Request) error {
	p, e, err := s.erratum(r)
	if err != nil {
		return err
	}
	return s.serveErratumJPEG(w, r, p.ID, e.ID)
}
