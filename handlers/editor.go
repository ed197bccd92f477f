package handlers

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"github.com/a-h/templ"

	"rowproof/domain/store"
	"rowproof/domain/studio"
	"rowproof/web"
)

func (s *server) showEditor(w http.ResponseWriter, r *http.Request) error {
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	return s.renderEditor(w, r, http.StatusOK, p, p.Manuscript, p.Version, "")
}

// renderEditor shows a text of a pattern, which need not be the one that is
// saved, with its proof.
func (s *server) renderEditor(w http.ResponseWriter, r *http.Request, status int, p studio.Pattern, text string, version int, problem string) error {
	res, err := s.prove(r.Context(), text)
	if err != nil {
		return err
	}
	v := web.EditorView{
		Page: s.sharedFlash(r, p.Title, "studio"), Tabs: s.tabs(r, p, "rows"),
		Manuscript: text, Version: strconv.Itoa(version), Saved: savedAt(p), Unsaved: text != p.Manuscript,
		CanUndo: p.CanUndo, CanRedo: p.CanRedo, Problem: problem, Proof: proofView(res), CheckURL: "/studio/check",
	}
	v.Script = "js/editor.js"
	if v.Unsaved {
		v.Saved = "Not saved yet"
	}
	return s.render(w, r, status, web.Editor(v))
}

func savedAt(p studio.Pattern) string {
	return "Saved " + p.UpdatedAt.Local().Format("2 January, 15:04")
}

// check proves a text that a page is typing. It keeps nothing: the answer
// carries the number the page gave the question, so that it can drop a stale one.
func (s *server) check(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	res, err := s.prove(r.Context(), manuscriptOf(r, "manuscript"))
	if err != nil {
		return err
	}
	p := proofView(res)
	notes, err := renderString(r.Context(), web.ProofNotes(p))
	if err != nil {
		return err
	}
	facts, err := renderString(r.Context(), web.ProofFacts(p))
	if err != nil {
		return err
	}
	s.json(w, http.StatusOK, map[string]any{
		"seq": r.PostForm.Get("seq"), "base": r.PostForm.Get("base"), "level": p.Level, "status": p.Status,
		"notes": notes, "facts": facts, "proof": json.RawMessage(p.Data),
	})
	return nil
}

func renderString(ctx context.Context, c templ.Component) (string, error) {
	var b bytes.Buffer
	if err := c.Render(ctx, &b); err != nil {
		return "", fmt.Errorf("render: %w", err)
	}
	return b.String(), nil
}

// saveEditor does what the button or the script says that sent the page: save,
// autosave, mended, check, mend-…, undo or redo. Text that was not saved yet is saved before an undo, so
// that nothing is lost by it.
func (s *server) saveEditor(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	text, base, do := manuscriptOf(r, "manuscript"), baseVersion(r), r.PostForm.Get("do")
	switch {
	case do == "check":
		return s.renderEditor(w, r, http.StatusOK, p, text, base, "")
	case do == "undo" || do == "redo":
		return s.stepBack(w, r, p, text, base, do)
	case strings.HasPrefix(do, "mend-"):
		mended, err := s.mended(r.Context(), text, do)
		if err != nil {
			return err
		}
		return s.save(w, r, p, mended, base, studio.Mended, "Mended. Undo takes it back.")
	case do == "mended": // by the script, in the page
		return s.save(w, r, p, text, base, studio.Mended, "")
	case do == "autosave":
		return s.save(w, r, p, text, base, studio.Autosaved, "")
	default:
		return s.save(w, r, p, text, base, studio.Saved, "Saved.")
	}
}

// mended applies the mend that a button names, "mend-2-0", to the text it was
// found in.
func (s *server) mended(ctx context.Context, text, button string) (string, error) {
	res, err := s.prove(ctx, text)
	if err != nil {
		return "", err
	}
	for i, f := range res.Findings {
		for j, m := range f.Mends {
			if mendValue(i, j) == button {
				return applyEdits(text, m.Edits), nil
			}
		}
	}
	return "", fmt.Errorf("%s: %w", button, studio.ErrNotFound)
}

// keep proves and saves a text.
func (s *server) keep(ctx context.Context, p studio.Pattern, text string, base int, why studio.Reason) (studio.Pattern, error) {
	res, err := s.prove(ctx, text)
	if err != nil {
		return p, err
	}
	return s.DB.SavePattern(ctx, s.StudioID, store.Save{
		PatternID: p.ID, BaseVersion: base, Manuscript: text, Projection: Project(res), AuthorID: account(ctx).ID, Reason: why,
	})
}

func (s *server) save(w http.ResponseWriter, r *http.Request, p studio.Pattern, text string, base int, why studio.Reason, flash string) error {
	saved, err := s.keep(r.Context(), p, text, base, why)
	var invalid *studio.InvalidError
	switch {
	case errors.As(err, &invalid) && !wantsJSON(r):
		return s.renderEditor(w, r, http.StatusUnprocessableEntity, p, text, base, sentence(invalid.Field+" "+invalid.Problem))
	case err != nil:
		return s.orConflict(w, r, p, err)
	}
	if wantsJSON(r) {
		s.json(w, http.StatusOK, map[string]any{
			"version": saved.Version, "saved": savedAt(saved), "title": saved.Title, "canUndo": saved.CanUndo, "canRedo": saved.CanRedo,
		})
		return nil
	}
	return s.done(w, r, patternURL(p), flash)
}

// orConflict goes to the page that shows both texts, when an error is a conflict.
func (s *server) orConflict(w http.ResponseWriter, r *http.Request, p studio.Pattern, err error) error {
	var c *studio.Conflict
	if !errors.As(err, &c) {
		return err
	}
	to := patternURL(p) + "/conflict/" + strconv.FormatInt(c.MineSnapshot, 10)
	if wantsJSON(r) {
		s.json(w, http.StatusConflict, map[string]string{"conflict": to})
		return nil
	}
	return s.done(w, r, to, "")
}

func (s *server) stepBack(w http.ResponseWriter, r *http.Request, p studio.Pattern, text string, base int, do string) error {
	ctx := r.Context()
	if r.PostForm.Has("manuscript") && text != p.Manuscript {
		kept, err := s.keep(ctx, p, text, base, studio.Saved)
		if err != nil {
			return s.orConflict(w, r, p, err)
		}
		base = kept.Version
	}
	step := s.DB.Undo
	if do == "redo" {
		step = s.DB.Redo
	}
	_, err := step(ctx, s.StudioID, p.ID, base, account(ctx).ID, s.projector(ctx))
	switch {
	case errors.Is(err, studio.ErrNothing):
		return s.done(w, r, patternURL(p), "There is nothing to "+do+".")
	case errors.Is(err, studio.ErrConflict):
		return s.done(w, r, patternURL(p), "The pattern was saved meanwhile; this is how it stands now.")
	case err != nil:
		return err
	}
	return s.done(w, r, patternURL(p), "")
}
