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
	"rowproof/domain/lineage"
	"rowproof/domain/sizing"
	"rowproof/domain/studio"
	"rowproof/web"
)

// The pages on which a piece or a garment is drafted, and drafted anew.

// draftInputs are the fields of the page; kept as JSON with a pattern that is made.
type draftInputs struct {
	Form, Title, Sts, Rows, Who, Sizes, Ease, Excess, Yarn, Needle string
	Stitch                                                         int64
	TableFor                                                       string
	Table                                                          map[string]string // by field name, such as m-chest-0
}

// tableFor is what the table of measurements belongs to.
func (in draftInputs) tableFor() string { return in.Who + "|" + in.Sizes + "|" + in.Ease }

func readDraft(r *http.Request) draftInputs {
	f := func(name string) string {
		s := oneLine(studio.CleanManuscript(r.PostForm.Get(name)))
		if len([]rune(s)) > 300 {
			s = string([]rune(s)[:300])
		}
		return s
	}
	in := draftInputs{Form: f("form"), Title: f("title"), Sts: f("sts"), Rows: f("rows"), Who: f("who"), Sizes: f("sizes"), Ease: f("ease"),
		Excess: f("excess"), Yarn: f("yarn"), Needle: f("needle"), TableFor: f("table-for"), Table: map[string]string{}}
	in.Stitch, _ = strconv.ParseInt(r.PostForm.Get("stitch"), 10, 64)
	if in.TableFor != in.tableFor() {
		return in // other sizes: the table is filled again
	}
	for name := range r.PostForm {
		if strings.HasPrefix(name, "m-") && len(name) < 40 && len(in.Table) < 400 {
			in.Table[name] = f(name)
		}
	}
	return in
}

// request is what sizing drafts from. The error is for the person.
func (s *server) draftRequest(ctx context.Context, in draftInputs) (sizing.Request, error) {
	f, err := sizing.FormNamed(in.Form)
	if err != nil {
		return sizing.Request{}, err
	}
	r := sizing.Request{Form: in.Form, Title: in.Title, Yarn: in.Yarn, Needle: in.Needle}
	if r.Gauge, err = sizing.ParseGauge(in.Sts + "x" + in.Rows); err != nil {
		return r, err
	}
	if in.Excess != "" {
		cm, ok := typedNumber(in.Excess)
		if !ok || cm < 0 || cm > 2.5 {
			return r, errors.New("a cap is from 0 to 2.5 cm longer than its armhole")
		}
		r.Excess = sizing.Cm(cm)
	}
	if r.Sizes, err = sizing.SizesFrom(f, in.Who, in.Sizes, in.Ease); err != nil {
		return r, err
	}
	for i := range r.Sizes {
		for _, m := range f.Measures {
			text := in.Table[fmt.Sprintf("m-%s-%d", m.Key, i)]
			if text == "" {
				continue
			}
			cm, ok := typedNumber(text)
			if !ok || cm <= 0 || cm > 500 {
				return r, fmt.Errorf("%s of size %s is “%s”; write centimetres, up to 500", strings.ToLower(m.Name), r.Sizes[i].Label, text)
			}
			r.Sizes[i].Wants[m.Key] = sizing.Cm(cm)
		}
	}
	if in.Stitch > 0 {
		st, err := s.DB.Stitch(ctx, s.StudioID, in.Stitch)
		if errors.Is(err, studio.ErrNotFound) {
			return r, errors.New("this stitch is no longer in the library; choose another")
		}
		if err != nil {
			return r, err
		}
		if r.Stitch, err = draft.Stitch(st.Name, st.Manuscript, f.Round); err != nil {
			return r, fmt.Errorf("%s: %w", st.Name, err)
		}
	}
	return r, nil
}

// showDraft is the page for a new draft: forms to choose, or the fields of one.
func (s *server) showDraft(w http.ResponseWriter, r *http.Request) error {
	v := web.DraftView{Page: s.sharedFlash(r, "Draft a pattern", "studio"), Action: "/studio/draft", Heading: "Draft a pattern"}
	name := r.URL.Query().Get("form")
	if name == "" {
		for _, f := range sizing.Forms() {
			v.Forms = append(v.Forms, web.DraftForm{Name: f.Name, Title: f.Title, URL: "/studio/draft?form=" + url.QueryEscape(f.Name), Hint: formHints[f.Name]})
		}
		return s.render(w, r, http.StatusOK, web.Draft(v))
	}
	f, err := sizing.FormNamed(name)
	if err != nil {
		return fmt.Errorf("form %q: %w", name, studio.ErrNotFound)
	}
	in := draftInputs{Form: name, Title: f.Title, Sts: "20", Rows: "28"}
	if who := sizing.WearersFor(f); len(who) > 0 {
		in.Who = who[0]
	}
	switch f.Group {
	case "head", "hand":
		in.Sizes = "Child, Woman, Man"
	}
	if f.Group == "hand" {
		in.Sizes = "S=18, M=20, L=22"
	}
	return s.renderDraft(w, r, http.StatusOK, v, f, in)
}

// formHints say what a form makes.
var formHints = map[string]string{
	"swatch": "A square to measure and to wash", "scarf": "A long rectangle", "blanket": "A rectangle with a garter border", "cowl": "A tube",
	"cushion": "One piece that folds round the pad", "hat": "From the brim up, its crown in eight wedges", "mitten": "With a gusset for the thumb",
	"triangle": "From the neck down, four stitches every second row", "crescent": "Grows at its edges, fast and then slower",
	"pullover": "Straight pieces, shoulders dropped", "cardigan": "The same, open, with bands", "raglan": "In the round from the neck down",
	"set-in": "Shaped armholes and a fitted cap",
}

// renderDraft fills the fields, and the table of measurements.
func (s *server) renderDraft(w http.ResponseWriter, r *http.Request, status int, v web.DraftView, f sizing.Form, in draftInputs) error {
	v.Form, v.SetIn = f.Name, f.Name == "set-in"
	if v.Tabs.Base == "" {
		v.Heading = f.Title
	}
	for to, from := range map[*web.Field]string{&v.Title: in.Title, &v.Sts: in.Sts, &v.Rows: in.Rows, &v.Sizes: in.Sizes, &v.Ease: in.Ease, &v.Excess: in.Excess, &v.Yarn: in.Yarn, &v.Needle: in.Needle} {
		to.Value = from
	}
	plain := "Stockinette stitch"
	if f.Group == "" && f.Name != "cowl" {
		plain = "Garter or stockinette stitch"
	}
	v.Stitches = []web.Choice{{Value: "", Label: plain, Here: in.Stitch == 0}}
	stitches, err := s.DB.ListStitches(r.Context(), s.StudioID)
	if err != nil {
		return err
	}
	for _, st := range stitches {
		v.Stitches = append(v.Stitches, web.Choice{Value: strconv.FormatInt(st.ID, 10), Label: st.Name, Here: st.ID == in.Stitch})
	}
	for _, who := range sizing.WearersFor(f) {
		v.Wearers = append(v.Wearers, web.Choice{Value: who, Label: sentenceCase(who), Here: who == in.Who})
	}
	if sizes, err := sizing.SizesFrom(f, in.Who, in.Sizes, in.Ease); err == nil {
		v.TableFor = in.tableFor()
		d, _ := sizing.Wanted(f, sizes)
		for _, sz := range sizes {
			v.Labels = append(v.Labels, sz.Label)
		}
		for _, m := range f.Measures {
			row := web.DraftMeasure{Name: m.Name}
			for i, sz := range sizes {
				name := fmt.Sprintf("m-%s-%d", m.Key, i)
				c := web.DraftCell{Name: name, Label: m.Name + ", size " + sz.Label, Value: in.Table[name]}
				if c.Value == "" && i < len(d[m.Key]) {
					c.Value = d[m.Key][i].Number(sizing.Metric)
				}
				row.Cells = append(row.Cells, c)
			}
			v.Measures = append(v.Measures, row)
		}
	}
	return s.render(w, r, status, web.Draft(v))
}

func sentenceCase(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// makeDraft works out measurements, shows a draft, or makes a pattern of it.
func (s *server) makeDraft(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	in := readDraft(r)
	f, err := sizing.FormNamed(in.Form)
	if err != nil {
		return fmt.Errorf("form %q: %w", in.Form, studio.ErrNotFound)
	}
	v := web.DraftView{Page: s.shared(r, "Draft a pattern"), Action: "/studio/draft"}
	v.Here = "studio"
	if r.PostForm.Get("do") == "measure" {
		if _, err := sizing.SizesFrom(f, in.Who, in.Sizes, in.Ease); err != nil {
			v.Problem = sentence(err.Error())
			return s.renderDraft(w, r, http.StatusUnprocessableEntity, v, f, in)
		}
		in.Table = nil
		return s.renderDraft(w, r, http.StatusOK, v, f, in)
	}
	d, err := s.draftNow(r.Context(), in)
	if err != nil {
		if v.Problem = draftProblem(err); v.Problem == "" {
			return err
		}
		return s.renderDraft(w, r, http.StatusUnprocessableEntity, v, f, in)
	}
	if r.PostForm.Get("do") == "make" {
		return s.keepDraft(w, r, d, in)
	}
	v.Result = draftResult(d)
	return s.renderDraft(w, r, http.StatusOK, v, f, in)
}

// draftNow drafts and proves.
func (s *server) draftNow(ctx context.Context, in draftInputs) (d *draft.Proved, err error) {
	req, err := s.draftRequest(ctx, in)
	if err != nil {
		return nil, &draftError{err}
	}
	err = s.working(ctx, func() error {
		var err error
		d, err = draft.Make(req)
		if err != nil {
			err = &draftError{err}
		}
		return err
	})
	return d, err
}

// draftError is what a person asked for that cannot be drafted.
type draftError struct{ error }

func (e *draftError) Unwrap() error { return e.error }

// draftProblem is what to tell the person; "" where it is no fault of hers.
func draftProblem(err error) string {
	var d *draftError
	if !errors.As(err, &d) {
		return ""
	}
	return sentence(strings.TrimPrefix(d.Error(), "cannot be drafted: "))
}

// keepDraft makes a pattern of a draft.
func (s *server) keepDraft(w http.ResponseWriter, r *http.Request, d *draft.Proved, in draftInputs) error {
	p, err := s.DB.CreatePattern(r.Context(), s.StudioID, d.Manuscript, Project(d.Checked), account(r.Context()).ID)
	if err != nil {
		return err
	}
	if err := s.setDrafted(r.Context(), p.ID, in, d.Manuscript); err != nil {
		return err
	}
	return s.done(w, r, patternURL(p), "Drafted. The text is yours: change what you like; “Draft it anew”, under Amounts, keeps your words.")
}

func (s *server) setDrafted(ctx context.Context, pattern int64, in draftInputs, text string) error {
	b, err := json.Marshal(in)
	if err != nil {
		return fmt.Errorf("inputs of a draft: %w", err)
	}
	return s.DB.SetPieceForm(ctx, s.StudioID, studio.PieceForm{PatternID: pattern, Form: in.Form, Inputs: b, Generated: text})
}

// drafted gives the draft that a pattern was last made from, worked out again.
func (s *server) drafted(ctx context.Context, p studio.Pattern) (*sizing.Draft, studio.PieceForm, error) {
	f, err := s.DB.PieceForm(ctx, s.StudioID, p.ID)
	if err != nil {
		return nil, f, err
	}
	var in draftInputs
	if err := json.Unmarshal(f.Inputs, &in); err != nil {
		return nil, f, fmt.Errorf("inputs of the draft of pattern %d: %w", p.ID, err)
	}
	req, err := s.draftRequest(ctx, in)
	if err != nil {
		return nil, f, err
	}
	d, err := sizing.Make(req)
	return d, f, err
}

// draftResult is a draft on the page.
func draftResult(d *draft.Proved) *web.DraftResult {
	v := &web.DraftResult{Manuscript: d.Manuscript, Proof: "Every row proved, in every size"}
	v.Finished = web.NumberTable{Caption: "Finished measurements", Columns: sizeColumns(d.Checked.Manuscript.Sizes)}
	for _, m := range d.Finished {
		row := web.NumberRow{Name: sentenceCase(m.Name)}
		for i, got := range m.Got {
			cell := got.Text(sizing.Metric)
			if want := m.Want[i]; want > 0 && got-want > 2.5 || want > 0 && want-got > 2.5 {
				cell += fmt.Sprintf(" (%+.1f)", (got - want).Cm())
			}
			row.Cells = append(row.Cells, cell)
		}
		v.Finished.Rows = append(v.Finished.Rows, row)
	}
	for _, p := range d.Problems {
		v.Problems = append(v.Problems, problemWords(p, d.Checked.Manuscript.Sizes))
	}
	v.Pieces = pieceDrawings(d.Pieces, "piece")
	v.Amounts = amountsOf(d.Checked, nil)
	return v
}

// problemWords says what does not come out as wanted, and what would mend it.
func problemWords(p sizing.DraftProblem, sizes []string) string {
	var names []string
	for _, i := range p.Sizes {
		if i < len(sizes) && sizes[i] != "" {
			names = append(names, sizes[i])
		}
	}
	s := p.Problem
	if len(names) > 0 {
		s = "size " + strings.Join(names, ", ") + ": " + s
	}
	if len(p.Choices) > 0 {
		s += ". What mends it: " + strings.Join(p.Choices, ", or ")
	}
	return sentence(s)
}

// showRedraft is the page on which a drafted pattern is drafted anew.
func (s *server) showRedraft(w http.ResponseWriter, r *http.Request) error {
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	v, f, in, err := s.redraftView(r, p)
	if err != nil {
		return err
	}
	return s.renderDraft(w, r, http.StatusOK, v, f, in)
}

func (s *server) redraftView(r *http.Request, p studio.Pattern) (web.DraftView, sizing.Form, draftInputs, error) {
	var in draftInputs
	v := web.DraftView{Page: s.sharedFlash(r, p.Title, "studio"), Tabs: s.tabs(r, p, "amounts"), Action: patternURL(p) + "/draft", Version: strconv.Itoa(p.Version)}
	kept, err := s.DB.PieceForm(r.Context(), s.StudioID, p.ID)
	if err != nil {
		return v, sizing.Form{}, in, err
	}
	if err := json.Unmarshal(kept.Inputs, &in); err != nil {
		return v, sizing.Form{}, in, fmt.Errorf("inputs of the draft of pattern %d: %w", p.ID, err)
	}
	f, err := sizing.FormNamed(kept.Form)
	return v, f, in, err
}

// redraft shows what a new draft changes in the text, and puts it in.
func (s *server) redraft(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	v, f, _, err := s.redraftView(r, p)
	if err != nil {
		return err
	}
	in := readDraft(r)
	in.Form = f.Name
	if baseVersion(r) != p.Version {
		v.Problem = savedMeanwhile
		return s.renderDraft(w, r, http.StatusConflict, v, f, in)
	}
	if r.PostForm.Get("do") == "measure" {
		in.Table = nil
		return s.renderDraft(w, r, http.StatusOK, v, f, in)
	}
	d, err := s.draftNow(r.Context(), in)
	if err != nil {
		if v.Problem = draftProblem(err); v.Problem == "" {
			return err
		}
		return s.renderDraft(w, r, http.StatusUnprocessableEntity, v, f, in)
	}
	kept, err := s.DB.PieceForm(r.Context(), s.StudioID, p.ID)
	if err != nil {
		return err
	}
	merged := lineage.MergeDrafts(kept.Generated, p.Manuscript, d.Manuscript)
	take := make([]bool, merged.Choices())
	for i := range take {
		take[i] = r.PostForm.Get(fmt.Sprintf("choice-%d", i)) == "theirs"
	}
	text := merged.Text(take)
	if r.PostForm.Get("do") == "take" {
		if _, err := s.keep(r.Context(), p, text, p.Version, studio.Form); err != nil {
			return s.orConflict(w, r, p, err)
		}
		if err := s.setDrafted(r.Context(), p.ID, in, d.Manuscript); err != nil {
			return err
		}
		return s.done(w, r, patternURL(p), "Drafted anew. Undo takes it back.")
	}
	m := &web.DraftMerge{Same: text == p.Manuscript && len(take) == 0, Lines: compare(p.Manuscript, text, true)}
	res, err := s.prove(r.Context(), text)
	if err != nil {
		return err
	}
	m.Proof = "Every row proved, in every size."
	if n := res.Errors(); n > 0 {
		m.Proof = "With your changes the text would have " + plural(n, "error", "errors") + "; the rows page shows them."
	}
	n := 0
	for _, piece := range merged.Pieces {
		if !piece.Choice {
			continue
		}
		c := web.DraftChoice{Name: fmt.Sprintf("choice-%d", n), Mine: piece.Mine, Theirs: piece.Theirs, Take: take[n]}
		if c.Mine == lineage.Gone {
			c.Mine = ""
		}
		if c.Theirs == lineage.Gone {
			c.Theirs = ""
		}
		m.Choices = append(m.Choices, c)
		n++
	}
	v.Merge = m
	v.Result = draftResult(d)
	return s.renderDraft(w, r, http.StatusOK, v, f, in)
}
