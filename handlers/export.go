package handlers

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/go-chi/chi/v5"

	"rowproof/domain/studio"
	"rowproof/web"
)

// All of a test knit to take away: as tables (RFC 4180) and as one JSON file.

func (s *server) showExport(w http.ResponseWriter, r *http.Request) error {
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	if !account(r.Context()).MayPublish() {
		return studio.ErrForbidden
	}
	at := patternURL(p) + "/test/export/"
	v := web.ExportView{Page: s.sharedFlash(r, p.Title, "studio"), Tabs: s.tabs(r, p, "test"), Files: []web.PrintLink{
		{Label: "Knitters", Hint: "CSV: who knitted which size, how far they are, how they want to be thanked", URL: at + "knitters.csv"},
		{Label: "Errata", Hint: "CSV: each with its row, its decision and the revision that put it right", URL: at + "errata.csv"},
		{Label: "Reports", Hint: "CSV: gauge, yarn, hours, fit", URL: at + "reports.csv"},
		{Label: "Measurements", Hint: "CSV: one line for each", URL: at + "measurements.csv"},
		{Label: "All of it", Hint: "JSON, with every word that was said", URL: at + "all.json"},
	}}
	return s.render(w, r, http.StatusOK, web.Export(v))
}

// exported is a test knit in one value.
type exported struct {
	Pattern  string            `json:"pattern"`
	Slug     string            `json:"slug"`
	Taken    time.Time         `json:"taken"`
	TestKnit exportedCall      `json:"test_knit"`
	Knitters []exportedKnitter `json:"knitters"`
	Errata   []exportedErratum `json:"errata"`
}

type exportedCall struct {
	Open     bool   `json:"open"`
	Revision int    `json:"revision"`
	Deadline string `json:"deadline,omitempty"`
	Wants    string `json:"wants"`
	Note     string `json:"private_note,omitempty"`
	Thanks   string `json:"thanks,omitempty"`
}

type exportedKnitter struct {
	ID       int64           `json:"id"`
	Name     string          `json:"name"`
	Email    string          `json:"email"`
	State    string          `json:"state"`
	Size     string          `json:"size,omitempty"`
	Revision int             `json:"revision,omitempty"`
	Where    string          `json:"where,omitempty"`
	Done     int             `json:"steps_done,omitempty"`
	Of       int             `json:"steps,omitempty"`
	Credit   string          `json:"thank_as,omitempty"`
	Report   *exportedReport `json:"report,omitempty"`
}

type exportedReport struct {
	Revision   int               `json:"revision"`
	BeforeSts  float64           `json:"sts_per_10cm_before,omitempty"`
	BeforeRows float64           `json:"rows_per_10cm_before,omitempty"`
	AfterSts   float64           `json:"sts_per_10cm_after,omitempty"`
	AfterRows  float64           `json:"rows_per_10cm_after,omitempty"`
	Yarns      []exportedYarn    `json:"yarns"`
	Measures   []studio.Measured `json:"measurements"`
	Hours      float64           `json:"hours,omitempty"`
	Fit        string            `json:"fit,omitempty"`
	Note       string            `json:"note,omitempty"`
	Photos     int               `json:"photographs"`
	MayShow    int               `json:"photographs_that_may_be_shown"`
	Updated    time.Time         `json:"updated"`
}

type exportedYarn struct {
	Letter   string  `json:"yarn,omitempty"`
	Grams    float64 `json:"grams,omitempty"`
	MPer100G float64 `json:"metres_per_100g,omitempty"`
	Asked    string  `json:"far_off,omitempty"`
}

type exportedErratum struct {
	ID          int64             `json:"id"`
	Knitter     string            `json:"knitter"`
	Size        string            `json:"size,omitempty"`
	Revision    int               `json:"revision"`
	Row         string            `json:"row"`
	Kind        string            `json:"kind"`
	Had         string            `json:"had,omitempty"`
	Did         string            `json:"did,omitempty"`
	Note        string            `json:"note,omitempty"`
	State       string            `json:"state"`
	DuplicateOf int64             `json:"told_first_in,omitempty"`
	FixedIn     int               `json:"fixed_in_revision,omitempty"`
	FixReason   string            `json:"settled_because,omitempty"`
	Noted       time.Time         `json:"noted"`
	Said        []exportedMessage `json:"said"`
}

type exportedMessage struct {
	By       string    `json:"by"`
	Decision string    `json:"decision,omitempty"`
	Body     string    `json:"body,omitempty"`
	At       time.Time `json:"at"`
}

func (s *server) exportOf(r *http.Request, p studio.Pattern) (exported, error) {
	ctx := r.Context()
	out := exported{Pattern: p.Title, Slug: p.Slug, Taken: s.testOnlyClock().UTC(), Knitters: []exportedKnitter{}, Errata: []exportedErratum{}}
	t, err := s.DB.TestKnit(ctx, s.StudioID, p.ID)
	if err != nil {
		return out, err
	}
	out.TestKnit = exportedCall{Open: t.Open, Revision: t.Revision, Wants: t.Wants, Note: t.Note, Thanks: t.Thanks}
	if !t.Deadline.IsZero() {
		out.TestKnit.Deadline = t.Deadline.Format(time.DateOnly)
	}
	reports, err := s.DB.KnitReports(ctx, s.StudioID, p.ID)
	if err != nil {
		return out, err
	}
	byKnitter := map[int64]*exportedReport{}
	for _, rep := range reports {
		x := &exportedReport{Revision: rep.Revision, BeforeSts: rep.Before.Sts, BeforeRows: rep.Before.Rows, AfterSts: rep.After.Sts, AfterRows: rep.After.Rows,
			Measures: rep.Measures, Hours: rep.Hours, Fit: rep.Fit, Note: rep.Note, Photos: len(rep.Photos), Updated: rep.UpdatedAt.UTC(), Yarns: []exportedYarn{}}
		for _, y := range rep.Yarns {
			e := exportedYarn{Letter: y.Letter, Grams: y.Grams, MPer100G: y.MPer100G}
			if y.Asked != "new" {
				e.Asked = y.Asked
			}
			x.Yarns = append(x.Yarns, e)
		}
		for _, ph := range rep.Photos {
			if ph.Consent {
				x.MayShow++
			}
		}
		byKnitter[rep.KnitterID] = x
	}
	people, err := s.DB.Knitters(ctx, s.StudioID, t.ID)
	if err != nil {
		return out, err
	}
	for _, k := range people {
		out.Knitters = append(out.Knitters, exportedKnitter{ID: k.ID, Name: k.Person.Name, Email: k.Person.Email, State: string(k.State), Size: k.Size, Revision: k.Revision,
			Where: k.Place.Words, Done: k.Place.Step, Of: k.Place.Of, Credit: k.Credit, Report: byKnitter[k.ID]})
	}
	es, err := s.DB.Errata(ctx, s.StudioID, p.ID)
	if err != nil {
		return out, err
	}
	for _, brief := range es {
		e, err := s.DB.Erratum(ctx, s.StudioID, p.ID, brief.ID)
		if err != nil {
			return out, err
		}
		x := exportedErratum{ID: e.ID, Knitter: e.Knitter, Size: e.Size, Revision: e.Revision, Row: e.Label, Kind: string(e.Kind), Had: e.Had, Did: e.Did, Note: e.Note,
			State: string(e.State), DuplicateOf: e.DuplicateOf, Noted: e.NotedAt.UTC(), Said: []exportedMessage{}}
		if e.Fix != nil {
			x.FixedIn, x.FixReason = e.Fix.Revision, e.Fix.Reason
		}
		for _, m := range e.Messages {
			by := orWords(m.Author, "studio")
			if m.ByKnitter {
				by = e.Knitter
			}
			x.Said = append(x.Said, exportedMessage{By: by, Decision: string(m.State), Body: m.Body, At: m.At.UTC()})
		}
		out.Errata = append(out.Errata, x)
	}
	return out, nil
}

// serveExport sends one of the files.
func (s *server) serveExport(w http.ResponseWriter, r *http.Request) error {
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	if !account(r.Context()).MayPublish() {
		return studio.ErrForbidden
	}
	file := chi.URLParam(r, "file")
	tables := map[string]func(exported) [][]string{"knitters.csv": knitterTable, "errata.csv": errataTable, "reports.csv": reportTable, "measurements.csv": measureLines}
	if tables[file] == nil && file != "all.json" {
		return fmt.Errorf("export %q: %w", file, studio.ErrNotFound)
	}
	all, err := s.exportOf(r, p)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", p.Slug+"-"+file))
	if file == "all.json" {
		w.Header().Set("Content-Type", "application/json")
		e := json.NewEncoder(w)
		e.SetIndent("", "  ")
		return e.Encode(all)
	}
	w.Header().Set("Content-Type", "text/csv; charset=utf-8; header=present")
	c := csv.NewWriter(w)
	c.UseCRLF = true // RFC 4180, 2.1
	for _, row := range tables[file](all) {
		for i := range row {
			row[i] = safeCell(row[i])
		}
		if err := c.Write(row); err != nil {
			return fmt.Errorf("export %s: %w", file, err)
		}
	}
	c.Flush()
	return c.Error()
}

// safeCell keeps a spreadsheet from taking what somebody wrote for a formula.
func safeCell(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		if _, err := strconv.ParseFloat(s, 64); err != nil {
			return "'" + s
		}
	}
	return s
}

func decimalOrNone(f float64) string {
	if f == 0 {
		return ""
	}
	return strconv.FormatFloat(f, 'f', -1, 64)
}

func numberOrNone(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

func knitterTable(x exported) [][]string {
	out := [][]string{{"name", "email", "state", "size", "revision", "where", "steps done", "steps", "thank as"}}
	for _, k := range x.Knitters {
		out = append(out, []string{k.Name, k.Email, k.State, k.Size, numberOrNone(k.Revision), k.Where, numberOrNone(k.Done), numberOrNone(k.Of), k.Credit})
	}
	return out
}

func errataTable(x exported) [][]string {
	out := [][]string{{"erratum", "knitter", "size", "revision", "row", "kind", "had", "did instead", "note", "state", "told first in", "fixed in revision", "settled because", "noted"}}
	for _, e := range x.Errata {
		out = append(out, []string{strconv.FormatInt(e.ID, 10), e.Knitter, e.Size, strconv.Itoa(e.Revision), e.Row, e.Kind, e.Had, e.Did, e.Note, e.State,
			numberOrNone(int(e.DuplicateOf)), numberOrNone(e.FixedIn), e.FixReason, e.Noted.Format(time.RFC3339)})
	}
	return out
}

func reportTable(x exported) [][]string {
	out := [][]string{{"knitter", "size", "revision", "sts per 10 cm before", "rows per 10 cm before", "sts per 10 cm after", "rows per 10 cm after", "yarn", "grams", "metres per 100 g", "hours", "fit", "note"}}
	for _, k := range x.Knitters {
		if k.Report == nil {
			continue
		}
		r := k.Report
		yarns := r.Yarns
		if len(yarns) == 0 {
			yarns = []exportedYarn{{}}
		}
		for _, y := range yarns {
			out = append(out, []string{k.Name, k.Size, strconv.Itoa(r.Revision), decimalOrNone(r.BeforeSts), decimalOrNone(r.BeforeRows), decimalOrNone(r.AfterSts), decimalOrNone(r.AfterRows),
				y.Letter, decimalOrNone(y.Grams), decimalOrNone(y.MPer100G), decimalOrNone(r.Hours), r.Fit, r.Note})
		}
	}
	return out
}

func measureLines(x exported) [][]string {
	out := [][]string{{"knitter", "size", "revision", "measurement", "cm"}}
	for _, k := range x.Knitters {
		if k.Report == nil {
			continue
		}
		for _, m := range k.Report.Measures {
			out = append(out, []string{k.Name, k.Size, strconv.Itoa(k.Report.Revision), m.Name, decimalOrNone(m.MM / 10)})
		}
	}
	return out
}
