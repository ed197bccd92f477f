package handlers

import (
	"context"
	"fmt"
	"math"
	"net/http"
	"strconv"

	"rowproof/domain/review"
	"rowproof/domain/sizing"
	"rowproof/domain/studio"
	"rowproof/domain/yarn"
	"rowproof/web"
)

// What came off the needles of all knitters, beside what was worked out.

// told is one knitter's report with what her revision asked and gave.
type told struct {
	knitter studio.Knitter
	report  studio.KnitReport
	ask     knitAsk
	res     *review.Result
	size    int // place of her size in her revision
}

// reportsOf reads all reports on a pattern.
func (s *server) reportsOf(ctx context.Context, p studio.Pattern) ([]told, error) {
	reports, err := s.DB.KnitReports(ctx, s.StudioID, p.ID)
	if err != nil || len(reports) == 0 {
		return nil, err
	}
	proofs := map[int]*review.Result{}
	revs := map[int]studio.Revision{}
	var out []told
	for _, rep := range reports {
		k, err := s.DB.KnitterOfStudio(ctx, s.StudioID, p.ID, rep.KnitterID)
		if err != nil {
			return nil, err
		}
		if proofs[rep.Revision] == nil {
			rev, err := s.DB.Revision(ctx, s.StudioID, p.ID, rep.Revision)
			if err != nil {
				return nil, err
			}
			if proofs[rep.Revision], err = s.prove(ctx, rev.Manuscript); err != nil {
				return nil, err
			}
			revs[rep.Revision] = rev
		}
		x := told{knitter: k, report: rep, res: proofs[rep.Revision]}
		for i, z := range revs[rep.Revision].Sizes {
			if z.ID == k.SizeID {
				x.size = i
			}
		}
		x.ask = askingOf(x.res, x.size)
		out = append(out, x)
	}
	return out, nil
}

// usedRatio is what a knitter used of a yarn over what was worked out for her size.
type usedRatio struct {
	told
	yarn     studio.KnitYarn
	metres   float64
	planned  float64
	yarnRate yarn.Ratio
}

// ratiosOf are the ratios of one yarn. Where neither the pattern nor the knitter says how
// many metres weigh 100 g, nothing can be compared.
func ratiosOf(all []told, letter string) []usedRatio {
	var out []usedRatio
	for _, t := range all {
		for _, y := range t.report.Yarns {
			if y.Letter != letter || y.Grams <= 0 {
				continue
			}
			for _, a := range t.ask.yarns {
				perG := y.MPer100G
				if perG == 0 {
					perG = a.perG
				}
				if a.letter != letter || a.metres <= 0 || perG <= 0 {
					continue
				}
				u := usedRatio{told: t, yarn: y, metres: y.Grams * perG / 100, planned: a.metres}
				u.yarnRate = yarn.Ratio{Value: u.metres / u.planned, Trusted: y.Asked == "use", Left: y.Asked == "leave"}
				out = append(out, u)
			}
		}
	}
	return out
}

// learntOf is what the reports make of a yarn's estimate.
func learntOf(u yarn.Use, ratios []usedRatio) yarn.Learnt {
	rs := make([]yarn.Ratio, len(ratios))
	for i, r := range ratios {
		rs[i] = r.yarnRate
	}
	if len(u.Metres) == 0 {
		return yarn.Learnt{Factor: 1, Low: 1, High: 1}
	}
	return yarn.Learn(u.Metres[0], u.Low[0], u.High[0], rs)
}

// learnt puts what test knitters weighed on the yarn of a proved pattern, and says so: one
// note for each yarn that somebody weighed.
func (s *server) learnt(ctx context.Context, p studio.Pattern, res *review.Result) ([]string, error) {
	if len(res.Yarn.Uses) == 0 {
		return nil, nil
	}
	all, err := s.reportsOf(ctx, p)
	if err != nil || len(all) == 0 {
		return nil, err
	}
	var notes []string
	uses := make([]yarn.Use, len(res.Yarn.Uses))
	for i, u := range res.Yarn.Uses {
		uses[i] = u
		l := learntOf(u, ratiosOf(all, u.Yarn))
		if l.Used == 0 {
			continue
		}
		uses[i] = u.With(l)
		notes = append(notes, fmt.Sprintf("%s: what %s weighed is in these figures, %s against what was worked out.", knitYarnName(u.Yarn), plural(l.Used, "test knitter", "test knitters"), percent(l.Factor)))
	}
	res.Yarn.Uses = uses
	return notes, nil
}

func (s *server) showNeedles(w http.ResponseWriter, r *http.Request) error {
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	ctx := r.Context()
	all, err := s.reportsOf(ctx, p)
	if err != nil {
		return err
	}
	v := web.NeedlesView{Page: s.sharedFlash(r, p.Title, "studio"), Tabs: s.tabs(r, p, "test"), Empty: len(all) == 0}
	if !v.Empty {
		res, err := s.prove(ctx, p.Manuscript)
		if err != nil {
			return err
		}
		v.YarnWhy = res.Yarn.Why
		for _, u := range res.Yarn.Uses {
			v.Yarns = append(v.Yarns, needlesYarn(res, u, all))
		}
		v.Gauge, v.Measures = gaugePlots(all), measurePlots(all)
		for _, t := range all {
			v.Reports = append(v.Reports, needlesReport(p, t))
		}
	}
	return s.render(w, r, http.StatusOK, web.Needles(v))
}

// answerNeedles notes what the designer says of a weight that stands far off.
func (s *server) answerNeedles(w http.ResponseWriter, r *http.Request) error {
	p, _, err := s.testKnit(r)
	if err != nil {
		return err
	}
	k, err := strconv.ParseInt(r.PostForm.Get("knitter"), 10, 64)
	answer := r.PostForm.Get("answer")
	if err != nil || answer != "use" && answer != "leave" {
		return fmt.Errorf("answering about yarn: %q: %w", answer, errBadForm)
	}
	if err := s.DB.AskAboutYarn(r.Context(), s.StudioID, p.ID, k, r.PostForm.Get("letter"), answer); err != nil {
		return err
	}
	said := "It is used."
	if answer == "leave" {
		said = "It is left out."
	}
	return s.done(w, r, patternURL(p)+"/test/needles", said)
}

// percent is a ratio as so much more or less: "+4 %".
func percent(ratio float64) string {
	n := int(math.Round((ratio - 1) * 100))
	if n < 0 {
		return fmt.Sprintf("−%d %%", -n)
	}
	return fmt.Sprintf("+%d %%", n)
}

// needlesYarn is one yarn of the pattern as it stands, with what was weighed.
func needlesYarn(res *review.Result, u yarn.Use, all []told) web.NeedlesYarn {
	ratios := ratiosOf(all, u.Yarn)
	l := learntOf(u, ratios)
	v := web.NeedlesYarn{Name: yarnHeading(u.Yarn, len(res.Yarn.Uses)),
		Formula: "The figure moves toward what was weighed, the more the more knitters agree: a normal mean of the logarithms, with the estimate’s own range before anybody weighed (Gelman et al., Bayesian Data Analysis, section 2.5)."}
	far := map[int]bool{}
	for _, i := range l.Far {
		far[i] = true
	}
	line := plotLine{label: "used / worked out"}
	for i, x := range ratios {
		row := web.NeedlesRatio{Knitter: x.knitter.Person.Called(), KnitterID: strconv.FormatInt(x.knitter.ID, 10), Letter: u.Yarn, Size: x.knitter.Size,
			Grams: fmt.Sprintf("%.0f", x.yarn.Grams), Metres: fmt.Sprintf("%.0f", x.metres), Planned: fmt.Sprintf("%.0f", x.planned), Ratio: fmt.Sprintf("%.2f", x.yarnRate.Value), State: "used"}
		switch {
		case x.yarnRate.Left:
			row.State, row.Asked = "left out", "leave"
		case far[i]:
			row.State, row.Ask = "stands far off: not used until you say so", true
		case x.yarnRate.Trusted:
			row.State, row.Asked = "used, as you said", "use"
		}
		v.Ratios = append(v.Ratios, row)
		line.dots = append(line.dots, plotDot{at: x.yarnRate.Value - 1, far: far[i] || x.yarnRate.Left,
			title: fmt.Sprintf("%s%s: %s", row.Knitter, inYourSize(studio.Knit{Knitter: x.knitter}), percent(x.yarnRate.Value))})
	}
	line.band = [2]float64{l.Low - 1, l.High - 1}
	if len(ratios) > 0 {
		v.Plot = plotOf("What was used against what was worked out, and the range that follows", "worked out", []plotLine{line})
	}
	switch {
	case l.Used == 0:
		v.Learnt = "Nobody has told a weight that can be used yet. The figures are as worked out."
	default:
		v.Learnt = fmt.Sprintf("From %s: %s against what was worked out, most likely %s to %s.", plural(l.Used, "knitter", "knitters"), percent(l.Factor), percent(l.Low), percent(l.High))
	}
	v.Table = learntTable(res, u, l)
	return v
}

// yarnHeading names a yarn where there are several.
func yarnHeading(letter string, yarns int) string {
	if yarns < 2 {
		return ""
	}
	return knitYarnName(letter)
}

// learntTable sets the figures of each size before and after the reports.
func learntTable(res *review.Result, u yarn.Use, l yarn.Learnt) web.NumberTable {
	t := web.NumberTable{Caption: "Yarn of each size, as worked out and with what was weighed", Columns: sizeColumns(res.Manuscript.Sizes)}
	after := u.With(l)
	ball, known := yarn.BallOf(yarn.Balls(res.Manuscript), u.Yarn)
	swatch := 0.0
	for _, g := range res.Manuscript.Gauges() {
		if g.Stitches > 0 && g.Rows > 0 && u.Yarn == res.Yarn.Uses[0].Yarn {
			swatch = yarn.SwatchMetres(sizing.Gauge{Sts: g.Stitches, Rows: g.Rows})
			break
		}
	}
	rows := []web.NumberRow{{Name: "worked out, m"}, {Name: "range, m"}, {Name: "with what was weighed, m"}, {Name: "range, m"}}
	balls := []web.NumberRow{{Name: "balls to buy, as worked out"}, {Name: "balls to buy, now"}}
	for i := range u.Metres {
		rows[0].Cells = append(rows[0].Cells, fmt.Sprintf("%.0f", u.Metres[i]))
		rows[1].Cells = append(rows[1].Cells, fmt.Sprintf("%.0f–%.0f", u.Low[i], u.High[i]))
		rows[2].Cells = append(rows[2].Cells, fmt.Sprintf("%.0f", after.Metres[i]))
		rows[3].Cells = append(rows[3].Cells, fmt.Sprintf("%.0f–%.0f", after.Low[i], after.High[i]))
		balls[0].Cells = append(balls[0].Cells, strconv.Itoa(yarn.ToBuy(u, i, ball, swatch).Balls))
		balls[1].Cells = append(balls[1].Cells, strconv.Itoa(yarn.ToBuy(after, i, ball, swatch).Balls))
	}
	t.Rows = rows
	if known && ball.Metres > 0 {
		t.Rows = append(t.Rows, balls...)
	}
	return t
}

// gaugePlots set gauges after blocking against the pattern's.
func gaugePlots(all []told) []web.Plot {
	var out []web.Plot
	for _, kind := range []struct {
		title   string
		planned func(told) float64
		had     func(told) float64
	}{
		{"Stitches over 10 cm, against the pattern’s", func(t told) float64 { return gaugeOf(t.res).Sts }, func(t told) float64 { return t.report.After.Sts }},
		{"Rows over 10 cm, against the pattern’s", func(t told) float64 { return gaugeOf(t.res).Rows }, func(t told) float64 { return t.report.After.Rows }},
	} {
		lines := bySize(all, func(t told, add func(float64, string)) {
			if p, h := kind.planned(t), kind.had(t); p > 0 && h > 0 {
				add(h/p-1, fmt.Sprintf("%s: %g, planned %g, %s", t.knitter.Person.Called(), h, p, percent(h/p)))
			}
		})
		if len(lines) > 0 {
			out = append(out, plotOf(kind.title, "planned", lines))
		}
	}
	return out
}

// gaugeOf is the first whole gauge that a pattern states, over 10 cm.
func gaugeOf(res *review.Result) sizing.Gauge {
	for _, g := range res.Manuscript.Gauges() {
		if g.Stitches > 0 {
			return sizing.Gauge{Sts: g.Stitches, Rows: g.Rows}
		}
	}
	return sizing.Gauge{}
}

// measurePlots set finished measurements against what the rows give.
func measurePlots(all []told) []web.Plot {
	var names []string
	seen := map[string]bool{}
	for _, t := range all {
		for _, m := range t.report.Measures {
			if !seen[m.Name] {
				seen[m.Name] = true
				names = append(names, m.Name)
			}
		}
	}
	var out []web.Plot
	for _, name := range names {
		lines := bySize(all, func(t told, add func(float64, string)) {
			for _, m := range t.report.Measures {
				for _, a := range t.ask.measures {
					if m.Name == name && a.name == name && a.cm > 0 {
						cm := m.MM / 10
						add(cm/a.cm-1, fmt.Sprintf("%s: %.1f cm, planned %.1f cm, %s", t.knitter.Person.Called(), cm, a.cm, percent(cm/a.cm)))
					}
				}
			}
		})
		if len(lines) > 0 {
			out = append(out, plotOf(name+", against what the rows give", "planned", lines))
		}
	}
	return out
}

// bySize makes a line of a plot for each size somebody told of.
func bySize(all []told, of func(told, func(float64, string))) []plotLine {
	var lines []plotLine
	at := map[string]int{}
	for _, t := range all {
		of(t, func(dev float64, title string) {
			label := sizeName(t.knitter.Size)
			i, ok := at[label]
			if !ok {
				i = len(lines)
				at[label] = i
				lines = append(lines, plotLine{label: label})
			}
			lines[i].dots = append(lines[i].dots, plotDot{at: dev, title: title, far: math.Abs(dev) > 0.1})
		})
	}
	return lines
}

func needlesReport(p studio.Pattern, t told) web.NeedlesReport {
	v := web.NeedlesReport{Knitter: t.knitter.Person.Called(), When: "told " + day(t.report.UpdatedAt), Revision: fmt.Sprintf("revision %d", t.report.Revision),
		Fit: t.report.Fit, Note: t.report.Note, Credit: t.knitter.Credit}
	if t.knitter.Size != "" {
		v.Size = "size " + t.knitter.Size
	}
	gauge := func(label string, g studio.KnitGauge) {
		switch {
		case g.Sts > 0 && g.Rows > 0:
			v.Facts = append(v.Facts, web.LabelledFact{Label: label, Value: fmt.Sprintf("%g sts and %g rows over 10 cm", g.Sts, g.Rows)})
		case g.Sts > 0:
			v.Facts = append(v.Facts, web.LabelledFact{Label: label, Value: fmt.Sprintf("%g sts over 10 cm", g.Sts)})
		case g.Rows > 0:
			v.Facts = append(v.Facts, web.LabelledFact{Label: label, Value: fmt.Sprintf("%g rows over 10 cm", g.Rows)})
		}
	}
	gauge("Gauge before blocking", t.report.Before)
	gauge("Gauge after blocking", t.report.After)
	for _, y := range t.report.Yarns {
		if y.Grams > 0 {
			v.Facts = append(v.Facts, web.LabelledFact{Label: sentenceCase(knitYarnName(y.Letter)), Value: fmt.Sprintf("%g g", y.Grams)})
		}
	}
	for _, m := range t.report.Measures {
		v.Facts = append(v.Facts, web.LabelledFact{Label: m.Name, Value: fmt.Sprintf("%.1f cm", m.MM/10)})
	}
	if t.report.Hours > 0 {
		v.Facts = append(v.Facts, web.LabelledFact{Label: "Hours", Value: fmt.Sprintf("%g", t.report.Hours)})
	}
	for _, ph := range t.report.Photos {
		x := web.KnitPhotoLine{Picture: web.Picture{URL: fmt.Sprintf("%s/test/knitters/%d/photo/%d?small=1", patternURL(p), t.knitter.ID, ph.ID), Alt: ph.Alt}, Consent: "for the studio alone"}
		if ph.Consent {
			x.Consent = "may be shown"
		}
		v.Photos = append(v.Photos, x)
	}
	return v
}

// serveKnitterPhoto shows the studio a knitter's photograph.
func (s *server) serveKnitterPhoto(w http.ResponseWriter, r *http.Request) error {
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	n, err := id(r, "knitter")
	if err != nil {
		return err
	}
	k, err := s.DB.KnitterOfStudio(r.Context(), s.StudioID, p.ID, n)
	if err != nil {
		return err
	}
	ph, err := id(r, "photo")
	if err != nil {
		return err
	}
	b, err := s.DB.KnitPhoto(r.Context(), k.ID, ph, r.URL.Query().Get("small") != "")
	if err != nil {
		return err
	}
	return sendJPEG(w, b)
}
