package handlers

import (
	"errors"
	"fmt"
	"math"
	"net/http"
	"strconv"
	"strings"

	"rowproof/domain/notation"
	"rowproof/domain/review"
	"rowproof/domain/store"
	"rowproof/domain/studio"
	"rowproof/domain/yarn"
	"rowproof/web"
)

// What came off a test knitter's needles.

// knitAsk is what a revision lets ask about: its yarns, and the measurements it states or
// works out for her size.
type knitAsk struct {
	yarns    []askYarn
	measures []askMeasure
	gauge    string
}

type askYarn struct {
	letter string
	metres float64 // worked out for her size; 0 when it is not known
	perG   float64 // metres in 100 g of the ball the pattern states; 0 when it states none
	ballG  float64 // grams of a ball; 0 when not stated
}

type askMeasure struct {
	name string
	cm   float64 // what the pattern says; 0 when it says nothing
}

// asking tells what can be asked of a size of a revision; size -1 is the only one.
func (s *server) asking(r *http.Request, rev studio.Revision, size int) (knitAsk, error) {
	res, err := s.prove(r.Context(), rev.Manuscript)
	if err != nil {
		return knitAsk{}, err
	}
	return askingOf(res, max(size, 0)), nil
}

func askingOf(res *review.Result, size int) knitAsk {
	var a knitAsk
	balls := yarn.Balls(res.Manuscript)
	ball := func(letter string) (perG, ballG float64) {
		if b, ok := yarn.BallOf(balls, letter); ok && b.Metres > 0 && b.Grams > 0 {
			return b.Metres / b.Grams * 100, b.Grams
		}
		return 0, 0
	}
	seen := map[string]bool{}
	for _, u := range res.Yarn.Uses {
		y := askYarn{letter: u.Yarn}
		if size < len(u.Metres) {
			y.metres = u.Metres[size]
		}
		y.perG, y.ballG = ball(u.Yarn)
		a.yarns = append(a.yarns, y)
		seen[u.Yarn] = true
	}
	if len(a.yarns) == 0 {
		for _, b := range balls {
			if seen[b.Yarn] {
				continue
			}
			seen[b.Yarn] = true
			y := askYarn{letter: b.Yarn}
			y.perG, y.ballG = ball(b.Yarn)
			a.yarns = append(a.yarns, y)
		}
	}
	if len(a.yarns) == 0 {
		a.yarns = []askYarn{{}}
	}
	names := map[string]int{}
	for _, m := range res.Measurements {
		name := m.Name
		if m.Part != "" {
			name = m.Part + ", " + m.Name
		}
		if names[name]++; names[name] > 1 {
			name = fmt.Sprintf("%s (%d)", name, names[name])
		}
		x := askMeasure{name: sentenceCase(name)}
		if size < len(m.Cm) {
			x.cm = m.Cm[size]
		}
		if len(a.measures) < 40 {
			a.measures = append(a.measures, x)
		}
	}
	for _, g := range res.Manuscript.Gauges() {
		a.gauge = gaugeHint(g)
		break
	}
	return a
}

func gaugeHint(g notation.Gauge) string {
	switch {
	case g.Stitches > 0 && g.Rows > 0:
		return fmt.Sprintf("The pattern says %g stitches and %g rows.", g.Stitches, g.Rows)
	case g.Stitches > 0:
		return fmt.Sprintf("The pattern says %g stitches.", g.Stitches)
	}
	return ""
}

func (s *server) showKnitReport(w http.ResponseWriter, r *http.Request) error {
	k, err := s.knit(r)
	if err != nil {
		return err
	}
	v, _, err := s.knitReportView(r, k)
	if err != nil {
		return err
	}
	return s.render(w, r, http.StatusOK, web.KnitReport(v))
}

// knitReportView is the form as it stands; what was typed, when it was sent, over it.
func (s *server) knitReportView(r *http.Request, k studio.Knit) (web.KnitReportView, knitAsk, error) {
	rev, _, err := s.DB.KnitRevision(r.Context(), k)
	if err != nil {
		return web.KnitReportView{}, knitAsk{}, err
	}
	ask, err := s.asking(r, rev, knitSizeIndex(k, rev))
	if err != nil {
		return web.KnitReportView{}, ask, err
	}
	rep, err := s.DB.KnitReport(r.Context(), k.ID)
	if err != nil && !errors.Is(err, studio.ErrNotFound) {
		return web.KnitReportView{}, ask, err
	}
	sent := r.Method == http.MethodPost
	value := func(name string, stands float64) web.Field {
		if sent {
			return web.Field{Value: r.PostForm.Get(name)}
		}
		return web.Field{Value: shownDecimal(stands)}
	}
	words := func(name, stands string) web.Field {
		if sent {
			return web.Field{Value: manuscriptOf(r, name)}
		}
		return web.Field{Value: stands}
	}
	v := web.KnitReportView{
		Page: s.sharedFlash(r, "What came off the needles", "knit"), Back: knitURL(k.ID), Action: knitURL(k.ID) + "/report", Version: strconv.Itoa(rep.Version),
		Title: k.Title, GaugeHint: ask.gauge,
		BeforeSts: value("before-sts", rep.Before.Sts), BeforeRows: value("before-rows", rep.Before.Rows),
		AfterSts: value("after-sts", rep.After.Sts), AfterRows: value("after-rows", rep.After.Rows),
		Hours: value("hours", rep.Hours), Fit: words("fit", rep.Fit), Note: words("note", rep.Note), Credit: words("credit", k.Credit),
		MorePhotos: len(rep.Photos) < store.MostKnitPhotos,
	}
	if k.Size != "" {
		v.Size = "size " + k.Size
	}
	told := map[string]studio.KnitYarn{}
	for _, y := range rep.Yarns {
		told[y.Letter] = y
	}
	for i, y := range ask.yarns {
		n := strconv.Itoa(i)
		f := web.YarnField{Letter: y.letter, Label: knitYarnName(y.letter), GramsName: "grams-" + n, BallsName: "balls-" + n, RestName: "rest-" + n, MetresName: "metres-" + n,
			Grams: value("grams-"+n, told[y.letter].Grams), Balls: value("balls-"+n, 0), Rest: value("rest-"+n, 0), Metres: value("metres-"+n, told[y.letter].MPer100G)}
		if y.perG > 0 {
			f.Hint = fmt.Sprintf("The pattern’s has %.0f m in 100 g.", y.perG)
		}
		v.Yarns = append(v.Yarns, f)
	}
	measured := map[string]float64{}
	for _, m := range rep.Measures {
		measured[m.Name] = m.MM
	}
	for i, m := range ask.measures {
		f := web.MeasureField{Name: "measure-" + strconv.Itoa(i), Label: m.name, Field: value("measure-"+strconv.Itoa(i), measured[m.name]/10)}
		if m.cm > 0 {
			f.Hint = fmt.Sprintf("The rows give %.1f.", m.cm)
		}
		v.Measures = append(v.Measures, f)
	}
	for _, p := range rep.Photos {
		x := web.KnitPhotoLine{ID: strconv.FormatInt(p.ID, 10), Picture: web.Picture{URL: fmt.Sprintf("%s/photo/%d?small=1", knitURL(k.ID), p.ID), Alt: "Your photograph"}, Consent: "for the studio alone"}
		if p.Consent {
			x.Consent = "may be shown"
		}
		v.Photos = append(v.Photos, x)
	}
	return v, ask, nil
}

func knitYarnName(letter string) string {
	if letter == "" {
		return "The yarn"
	}
	return "Yarn " + letter
}

// saveKnitReport keeps what she tells. A number that is none is shown to her with the rest
// of what she typed.
func (s *server) saveKnitReport(w http.ResponseWriter, r *http.Request) error {
	if err := readPhotoForm(r); err != nil {
		return err
	}
	ctx := r.Context()
	k, err := s.knit(r)
	if err != nil {
		return err
	}
	v, ask, err := s.knitReportView(r, k)
	if err != nil {
		return err
	}
	if rm, err := strconv.ParseInt(r.PostForm.Get("remove"), 10, 64); err == nil {
		if err := s.DB.RemoveKnitPhoto(ctx, k.ID, rm); err != nil && !errors.Is(err, studio.ErrNotFound) {
			return err
		}
	}
	rep, problem := typedKnitReport(r, ask, &v)
	finished := r.PostForm.Get("do") == "finish"
	if problem == "" {
		err = s.DB.SaveKnitReport(ctx, k.Knitter, baseVersion(r), rep, r.PostForm.Get("credit"), finished)
		var invalid *studio.InvalidError
		switch {
		case errors.As(err, &invalid):
			problem = sentence(invalid.Field + " " + invalid.Problem)
		case errors.Is(err, studio.ErrConflict):
			problem = "You changed this report on another page meanwhile. Open it again, and copy over what you typed here."
		case err != nil:
			return err
		}
	}
	if problem != "" {
		v.Problem = problem
		return s.render(w, r, http.StatusUnprocessableEntity, web.KnitReport(v))
	}
	pic, problem, err := s.upload(r, "photo")
	if err == nil && pic != nil {
		err = s.DB.AddKnitPhoto(ctx, k.Knitter, *pic, r.PostForm.Get("consent") != "", "Finished test knit of "+k.Title)
		var invalid *studio.InvalidError
		if errors.As(err, &invalid) {
			problem, err = sentence("this "+invalid.Problem), nil
		}
	}
	if err != nil {
		return err
	}
	if problem != "" { // the rest is kept
		again, _, err := s.knitReportView(r, k)
		if err != nil {
			return err
		}
		again.PhotoProblem = problem
		return s.render(w, r, http.StatusUnprocessableEntity, web.KnitReport(again))
	}
	if finished && k.State != studio.Finished {
		s.tell(r, k, k.Title+": a report has come", "", "%s has told what came off the needles"+inYourSize(k)+".", "/needles")
		return s.done(w, r, knitURL(k.ID), "Thank you. The studio has your report; you can still change it.")
	}
	if r.PostForm.Get("remove") != "" {
		return s.done(w, r, knitURL(k.ID)+"/report", "The photograph is taken away; the rest is kept.")
	}
	return s.done(w, r, knitURL(k.ID), "It is kept.")
}

// typedKnitReport reads the form. Numbers may have a comma; what is none is said in problem
// and at its field.
func typedKnitReport(r *http.Request, ask knitAsk, v *web.KnitReportView) (rep studio.KnitReport, problem string) {
	number := func(name string, at *web.Field) float64 {
		t := strings.TrimSpace(r.PostForm.Get(name))
		if t == "" {
			return 0
		}
		n, ok := typedNumber(t)
		if !ok || n <= 0 || math.IsInf(n, 0) {
			at.Problem = fmt.Sprintf("“%.20s” is no number above 0.", t)
			problem = "Some of what you typed is no number; it is marked below."
		}
		return n
	}
	rep.Before = studio.KnitGauge{Sts: number("before-sts", &v.BeforeSts), Rows: number("before-rows", &v.BeforeRows)}
	rep.After = studio.KnitGauge{Sts: number("after-sts", &v.AfterSts), Rows: number("after-rows", &v.AfterRows)}
	rep.Hours = number("hours", &v.Hours)
	rep.Fit, rep.Note = manuscriptOf(r, "fit"), manuscriptOf(r, "note")
	for i, y := range ask.yarns {
		f := &v.Yarns[i]
		grams, balls := number(f.GramsName, &f.Grams), number(f.BallsName, &f.Balls)
		rest := 0.0
		if t := strings.TrimSpace(r.PostForm.Get(f.RestName)); t != "" && t != "0" {
			rest = number(f.RestName, &f.Rest)
		}
		switch {
		case grams == 0 && balls > 0 && y.ballG == 0:
			f.Balls.Problem, problem = "The pattern does not say what a ball weighs; weigh it, and tell the grams.", "The yarn cannot be told in balls."
		case grams == 0 && balls > 0:
			if grams = balls*y.ballG - rest; grams <= 0 {
				f.Rest.Problem, problem = fmt.Sprintf("That is all of it: %g balls are %g g.", balls, balls*y.ballG), "More yarn is left than was begun."
			}
		}
		rep.Yarns = append(rep.Yarns, studio.KnitYarn{Letter: y.letter, Grams: grams, MPer100G: number(f.MetresName, &f.Metres)})
	}
	for i, m := range ask.measures {
		if cm := number(v.Measures[i].Name, &v.Measures[i].Field); cm > 0 {
			rep.Measures = append(rep.Measures, studio.Measured{Name: m.name, MM: cm * 10})
		}
	}
	return rep, problem
}

// serveKnitPhoto shows her a photograph of hers.
func (s *server) serveKnitPhoto(w http.ResponseWriter, r *http.Request) error {
	k, err := s.knit(r)
	if err != nil {
		return err
	}
	n, err := id(r, "photo")
	if err != nil {
		return err
	}
	b, err := s.DB.KnitPhoto(r.Context(), k.ID, n, r.URL.Query().Get("small") != "")
	if err != nil {
		return err
	}
	return sendJPEG(w, b)
}
