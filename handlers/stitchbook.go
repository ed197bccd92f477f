package handlers

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"rowproof/domain/notation"
	"rowproof/domain/picture"
	"rowproof/domain/review"
	"rowproof/domain/store"
	"rowproof/domain/studio"
	"rowproof/web"
)

// The designer's own stitches: the list, a new one, saving, the bin. (The special
// stitches of one pattern are in stitches.go.)

const stitchesURL = "/studio/stitches"

func stitchURL(id int64) string { return stitchesURL + "/" + strconv.FormatInt(id, 10) }

// ownStitch is the stitch of the address.
func (s *server) ownStitch(r *http.Request) (studio.Stitch, error) {
	n, err := id(r, "stitch")
	if err != nil {
		return studio.Stitch{}, err
	}
	return s.DB.Stitch(r.Context(), s.StudioID, n)
}

func (s *server) showStitches(w http.ResponseWriter, r *http.Request) error {
	list, err := s.DB.ListStitches(r.Context(), s.StudioID)
	if err != nil {
		return err
	}
	bin, err := s.DB.ListDeletedStitches(r.Context(), s.StudioID)
	if err != nil {
		return err
	}
	v := web.StitchListView{Page: s.sharedFlash(r, "Stitches", "stitches"), Bin: len(bin) > 0}
	err = s.working(r.Context(), func() error {
		for _, st := range list {
			v.Stitches = append(v.Stitches, stitchCard(st))
		}
		return nil
	})
	if err != nil {
		return err
	}
	return s.render(w, r, http.StatusOK, web.Stitches(v))
}

// stitchCard proves a stitch for the list.
func stitchCard(st studio.Stitch) web.StitchCard {
	c := web.StitchCard{Name: st.Name, URL: stitchURL(st.ID), Uses: usedIn(st.Uses), RestoreURL: stitchURL(st.ID) + "/restore"}
	if st.DeletedAt != nil {
		c.PutAway, c.ISO = moment(*st.DeletedAt), iso(*st.DeletedAt)
		return c
	}
	res := review.Check(st.Manuscript)
	p := proofView(res)
	c.Multiple, c.Proof, c.ProofLevel = multipleWords(res), p.Status, p.Level
	if part := picture.Best(res.Needle); part >= 0 {
		if _, _, err := picture.Swatch(res.Manuscript, res.Needle, part, 0); err == nil {
			c.Picture = web.Picture{URL: stitchPicture(st, "rs") + "&small=1", Alt: "The right side of " + st.Name}
		}
	}
	return c
}

func usedIn(n int) string {
	if n == 0 {
		return "not placed yet"
	}
	return "used in " + plural(n, "pattern", "patterns")
}

// multipleWords is the multiple of a stitch, "Multiple of 4 + 2"; what its rows need
// where none is stated.
func multipleWords(res *review.Result) string {
	for _, p := range res.Report.Parts {
		switch {
		case p.Multiple != nil && p.Multiple.Of == 0 && p.Multiple.Plus > 0:
			return plural(p.Multiple.Plus, "stitch", "stitches")
		case p.Multiple != nil && p.Multiple.Of > 0:
			return multipleOf(p.Multiple.Of, p.Multiple.Plus)
		case len(p.CastOn) > 0:
			return plural(p.CastOn[0], "stitch", "stitches")
		case p.NeedsMultiple != nil && p.NeedsMultiple.Of > 0:
			return multipleOf(p.NeedsMultiple.Of, p.NeedsMultiple.Plus)
		}
	}
	return ""
}

func multipleOf(of, plus int) string {
	if plus == 0 {
		return "Multiple of " + strconv.Itoa(of)
	}
	return "Multiple of " + strconv.Itoa(of) + " + " + strconv.Itoa(plus)
}

func (s *server) showStitchBin(w http.ResponseWriter, r *http.Request) error {
	list, err := s.DB.ListDeletedStitches(r.Context(), s.StudioID)
	if err != nil {
		return err
	}
	v := web.StitchListView{Page: s.sharedFlash(r, "The bin of stitches", "stitches")}
	for _, st := range list {
		v.Stitches = append(v.Stitches, stitchCard(st))
	}
	return s.render(w, r, http.StatusOK, web.StitchBin(v))
}

func (s *server) showNewStitch(w http.ResponseWriter, r *http.Request) error {
	v := web.NewStitchView{Page: s.sharedFlash(r, "New stitch", "stitches"), Of: web.Field{Value: "6"}, Plus: web.Field{Value: "1"}}
	return s.render(w, r, http.StatusOK, web.NewStitch(v))
}

// createStitch begins a stitch from rows that were pasted, or from a multiple.
func (s *server) createStitch(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	v := web.NewStitchView{Page: s.shared(r, "New stitch"), Of: web.Field{Value: "6"}, Plus: web.Field{Value: "1"}}
	v.Here = "stitches"
	again := func() error { return s.render(w, r, http.StatusUnprocessableEntity, web.NewStitch(v)) }
	name, text := oneLine(manuscriptOf(r, "name")), manuscriptOf(r, "manuscript")
	nameField := &v.Name
	if r.PostForm.Get("do") == "blank" {
		name, nameField = oneLine(manuscriptOf(r, "blank-name")), &v.BlankName
		v.BlankName.Value, v.Of.Value, v.Plus.Value, v.Round = name, r.PostForm.Get("of"), r.PostForm.Get("plus"), r.PostForm.Get("worked") == "round"
		of, err := strconv.Atoi(strings.TrimSpace(v.Of.Value))
		if err != nil || of < 1 || of > 400 {
			v.Of.Problem = "A number from 1 to 400."
		}
		plus, err := strconv.Atoi(strings.TrimSpace(v.Plus.Value))
		if err != nil || plus < 0 || plus > 400 {
			v.Plus.Problem = "A number from 0 to 400."
		}
		if v.Of.Problem != "" || v.Plus.Problem != "" {
			return again()
		}
		text = blankStitch(of, plus, v.Round)
	} else {
		v.Name.Value, v.Manuscript.Value = name, text
		if strings.TrimSpace(text) == "" {
			v.Manuscript.Problem = "There are no rows in it yet."
			return again()
		}
		if name == "" { // a title that was pasted along
			name = notation.Read(text).Title
		}
	}
	st, err := s.DB.CreateStitch(r.Context(), s.StudioID, name, text, account(r.Context()).ID)
	var invalid *studio.InvalidError
	switch {
	case errors.As(err, &invalid) && invalid.Field == "manuscript":
		v.Manuscript.Problem = sentence("the text " + invalid.Problem)
		return again()
	case errors.As(err, &invalid):
		nameField.Problem = sentence("the name " + invalid.Problem)
		return again()
	case errors.Is(err, studio.ErrTaken):
		nameField.Problem = "Another stitch is called “" + name + "”. Rows could not tell them apart."
		return again()
	case err != nil:
		return err
	}
	return s.done(w, r, stitchURL(st.ID), "")
}

// blankStitch is the text of a stitch of plain knitting to begin with.
func blankStitch(of, plus int, round bool) string {
	if round {
		return statedMultiple(of, plus) + "\nRnd 1: Knit.\nRnd 2: Knit.\n"
	}
	return statedMultiple(of, plus) + "\nRow 1 (RS): Knit.\nRow 2: Purl.\n"
}

// statedMultiple states a multiple as the first line of a stitch.
func statedMultiple(of, plus int) string {
	if plus == 0 {
		return "Multiple of " + strconv.Itoa(of) + " sts."
	}
	return "Multiple of " + strconv.Itoa(of) + " sts + " + strconv.Itoa(plus) + "."
}

func (s *server) showStitch(w http.ResponseWriter, r *http.Request) error {
	st, err := s.ownStitch(r)
	if err != nil {
		return err
	}
	return s.renderStitch(w, r, http.StatusOK, stitchPage{stitch: st, name: st.Name, text: st.Manuscript, base: st.Version})
}

// saveStitch does what the button says that sent the page: save, check or mend-….
func (s *server) saveStitch(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	st, err := s.ownStitch(r)
	if err != nil {
		return err
	}
	p := stitchPage{stitch: st, name: oneLine(manuscriptOf(r, "name")), text: manuscriptOf(r, "manuscript"), base: baseVersion(r)}
	flash := "Saved."
	switch do := r.PostForm.Get("do"); {
	case do == "check":
		return s.renderStitch(w, r, http.StatusOK, p)
	case strings.HasPrefix(do, "mend-"):
		if p.text, err = s.mended(r.Context(), p.text, do); err != nil {
			return err
		}
		flash = "Mended and saved. The text before it is below, among the versions."
	}
	saved, err := s.DB.SaveStitch(r.Context(), s.StudioID, store.StitchSave{StitchID: st.ID, BaseVersion: p.base, Name: p.name, Manuscript: p.text, AuthorID: account(r.Context()).ID})
	var invalid *studio.InvalidError
	switch {
	case errors.As(err, &invalid):
		words := map[string]string{"name": "the name ", "manuscript": "the text "}[invalid.Field]
		p.problem = sentence(words + invalid.Problem)
		return s.renderStitch(w, r, http.StatusUnprocessableEntity, p)
	case errors.Is(err, studio.ErrTaken):
		p.problem = "Another stitch is called “" + p.name + "”. Rows could not tell them apart."
		return s.renderStitch(w, r, http.StatusUnprocessableEntity, p)
	case errors.Is(err, studio.ErrConflict):
		// read again: it is what was saved meanwhile that counts
		if p.stitch, err = s.DB.Stitch(r.Context(), s.StudioID, st.ID); err != nil {
			return err
		}
		p.problem = "This stitch was saved meanwhile, by someone else or in another tab. Your text is still here, and compared below with the one that stands; saving it replaces that one, which stays among the versions."
		p.base, p.conflict = p.stitch.Version, true
		return s.renderStitch(w, r, http.StatusConflict, p)
	case err != nil:
		return err
	}
	if told, err := s.toldOf(r, saved); err != nil {
		return err
	} else if told > 0 && saved.Version > st.Version {
		flash += " " + sentence(plural(told, "pattern that uses it is", "patterns that use it are")+" told")
	}
	return s.done(w, r, stitchURL(st.ID), flash)
}

// toldOf counts the patterns that are told of a stitch.
func (s *server) toldOf(r *http.Request, st studio.Stitch) (int, error) {
	uses, err := s.DB.StitchUses(r.Context(), s.StudioID, st.ID)
	if err != nil {
		return 0, err
	}
	told := map[int64]bool{}
	for _, u := range uses {
		if u.Changed() {
			told[u.PatternID] = true
		}
	}
	return len(told), nil
}

func (s *server) deleteStitch(w http.ResponseWriter, r *http.Request) error {
	st, err := s.ownStitch(r)
	if err != nil {
		return err
	}
	if err := s.DB.DeleteStitch(r.Context(), s.StudioID, st.ID); err != nil {
		return err
	}
	return s.done(w, r, stitchesURL, "“"+st.Name+"” is in the bin. Patterns keep the rows they have; you can take it out again.")
}

func (s *server) restoreStitch(w http.ResponseWriter, r *http.Request) error {
	n, err := id(r, "stitch")
	if err != nil {
		return err
	}
	err = s.DB.RestoreStitch(r.Context(), s.StudioID, n)
	if errors.Is(err, studio.ErrTaken) {
		return s.done(w, r, stitchesURL+"/bin", "Another stitch has its name now. Give that one another name first.")
	}
	if err != nil {
		return err
	}
	return s.done(w, r, stitchURL(n), "The stitch is back.")
}

// stitchVersion is the text of a stitch that the address names.
func (s *server) stitchVersion(r *http.Request, st studio.Stitch, version string) (studio.StitchVersion, error) {
	n, err := strconv.Atoi(version)
	if err != nil {
		return studio.StitchVersion{}, fmt.Errorf("version %q: %w", version, studio.ErrNotFound)
	}
	all, err := s.DB.StitchVersions(r.Context(), s.StudioID, st.ID)
	if err != nil {
		return studio.StitchVersion{}, err
	}
	for _, v := range all {
		if v.Version == n {
			return v, nil
		}
	}
	return studio.StitchVersion{}, fmt.Errorf("version %d of stitch %d: %w", n, st.ID, studio.ErrNotFound)
}
