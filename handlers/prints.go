package handlers

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"github.com/go-chi/chi/v5"

	"rowproof/domain/document"
	"rowproof/domain/needle"
	"rowproof/domain/notation"
	"rowproof/domain/pdf"
	"rowproof/domain/picture"
	"rowproof/domain/review"
	"rowproof/domain/sizing"
	"rowproof/domain/studio"
	"rowproof/web"
)

// copyToPrint is what an edition is made of.
type copyToPrint struct {
	slug       string
	manuscript *notation.Manuscript
	report     *review.Report
	revision   int  // 0 for a draft
	test       bool // the revision is for test knitters alone
	dated      time.Time
	pictures   *document.Pictures
	worked     *needle.Result // nil: not worked yet
	pattern    int64
	pieces     []sizing.Outline // where it was drafted, and stands as it was
}

// ofRevision is a revision with the report it went out with.
func ofRevision(rev studio.Revision) (copyToPrint, error) {
	c := copyToPrint{pattern: rev.PatternID, slug: rev.Slug, manuscript: notation.Read(rev.Manuscript), report: &review.Report{}, revision: rev.Number, test: rev.Purpose == studio.Test, dated: rev.Dated}
	if err := json.Unmarshal(rev.Report, c.report); err != nil {
		return c, fmt.Errorf("report of %s revision %d: %w", rev.Slug, rev.Number, err)
	}
	return c, nil
}

// pictured adds the pictures of the fabric, for a file to take away that shows
// them; a page draws them itself.
func (c copyToPrint) pictured(st studio.Studio, kind string) copyToPrint {
	if kind != "txt" {
		c = c.work()
		c.pictures = pdf.FabricPictures(c.manuscript, c.worked, st.Settings.Language)
	}
	return c
}

// withPieces adds the schematics of a pattern that was drafted and is still cast on so. A
// draft that cannot be made again has none.
func (s *server) withPieces(ctx context.Context, c copyToPrint) copyToPrint {
	d, _, err := s.drafted(ctx, studio.Pattern{ID: c.pattern})
	switch {
	case errors.Is(err, studio.ErrNotFound):
	case err != nil:
		s.Logger.Warn("no schematics", "pattern", c.pattern, "error", err)
	case draftStands(d, c.manuscript):
		c.pieces = d.Pieces
	}
	return c
}

// work works the rows of a revision, once for all that is drawn of them.
func (c copyToPrint) work() copyToPrint {
	if c.worked == nil {
		c.worked = needle.Work(c.manuscript)
	}
	return c
}

// build makes the document: of one size, or of all for -1.
func (c copyToPrint) build(st studio.Studio, size int, charts bool) *document.Document {
	in := document.Input{
		Manuscript: c.manuscript, Report: c.report, Worked: c.worked, Revision: c.revision, Test: c.test, Date: c.dated,
		Designer: st.Settings.Author, Lang: st.Settings.Language, Size: size, Charts: charts, Pictures: c.pictures,
		Colours: picture.Solids(c.manuscript), Schematics: c.pieces,
	}
	if st.Settings.BaseURL != "" && c.revision > 0 && !c.test {
		in.URL = st.Settings.BaseURL + "/p/" + c.slug
	}
	return document.Build(in)
}

// fragment is the document as HTML to stand in a page.
func (s *server) fragment(r *http.Request, c copyToPrint) (string, error) {
	return s.fragmentOf(r, c, -1)
}

// fragmentOf is fragment for one size; -1 for all.
func (s *server) fragmentOf(r *http.Request, c copyToPrint, size int) (string, error) {
	st, err := s.DB.Studio(r.Context(), s.StudioID)
	if err != nil {
		return "", err
	}
	c = s.withPieces(r.Context(), c)
	var b strings.Builder
	err = s.working(r.Context(), func() error { return c.build(st, size, false).HTMLFragment(&b) })
	return b.String(), err
}

// printLinks are the prints below an address, the studio's own paper first, and
// those of one size.
func printLinks(base, slug string, st studio.Studio, sizes []string) (all, one []web.PrintLink) {
	file := base + "/" + slug
	a4 := web.PrintLink{Label: "PDF, A4", Hint: "for most of the world’s printers", URL: file + ".pdf?paper=a4"}
	letter := web.PrintLink{Label: "PDF, US Letter", Hint: "for printers in North America", URL: file + ".pdf?paper=letter"}
	all = []web.PrintLink{a4, letter}
	first := "a4"
	if st.Settings.Paper == "letter" {
		all = []web.PrintLink{letter, a4}
		first = "letter"
	}
	all = append(all,
		web.PrintLink{Label: "PDF, large print", Hint: "22-point letters, one column", URL: file + ".pdf?type=large&paper=" + first},
		web.PrintLink{Label: "PDF, charts", Hint: "a chart in the place of the rows it shows", URL: file + ".pdf?edition=chart&paper=" + first},
		web.PrintLink{Label: "PDF, inches and yards", Hint: "measures in inches, yards and ounces", URL: file + ".pdf?units=imperial&paper=" + first},
		web.PrintLink{Label: "PDF, centimetres and metres", Hint: "measures in cm, m and g", URL: file + ".pdf?units=metric&paper=" + first},
		web.PrintLink{Label: "Plain text", Hint: "for screen readers and notes", URL: file + ".txt"},
		web.PrintLink{Label: "Web page", Hint: "one file that needs nothing else", URL: file + ".html"},
	)
	if len(sizes) > 1 {
		for i, name := range sizes {
			one = append(one, web.PrintLink{Label: name, URL: file + ".pdf?size=" + strconv.Itoa(i+1) + "&paper=" + first})
		}
	}
	return all, one
}

// printPolicy is the Content-Security-Policy of a web page to take away.
var printPolicy = "default-src 'none'; img-src data:; style-src " + document.StyleSource() + "; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// servePrint sends an edition as a file: PDF, text or HTML by its ending.
func (s *server) servePrint(w http.ResponseWriter, r *http.Request, c copyToPrint) error {
	file := chi.URLParam(r, "file")
	name, kind, ok := strings.Cut(file, ".")
	if !ok || name != c.slug {
		return fmt.Errorf("print %q: %w", file, studio.ErrNotFound)
	}
	st, err := s.DB.Studio(r.Context(), s.StudioID)
	if err != nil {
		return err
	}
	q := r.URL.Query()
	size := -1
	if v := q.Get("size"); v != "" {
		n, err := strconv.Atoi(v)
		if err != nil || n < 1 || n > len(c.manuscript.Sizes) {
			return fmt.Errorf("print of size %q: %w", v, studio.ErrNotFound)
		}
		size = n - 1
	}
	opt := pdf.Options{Large: q.Get("type") == "large"}
	if paper := q.Get("paper"); paper == "letter" || paper == "" && st.Settings.Paper == "letter" {
		opt.Paper = pdf.Letter
	}
	charts := q.Get("edition") == "chart"
	if e := q.Get("edition"); e != "" && !charts {
		return fmt.Errorf("edition %q: %w", e, studio.ErrNotFound)
	}
	units := document.Units(q.Get("units"))
	switch units {
	case document.AsWritten, document.Metric, document.Imperial, document.Both:
	default:
		return fmt.Errorf("print in units %q: %w", units, studio.ErrNotFound)
	}
	write := map[string]struct {
		mime string
		to   func(io.Writer, *document.Document) error
	}{
		"pdf":  {"application/pdf", func(w io.Writer, d *document.Document) error { return pdf.Write(w, d, opt) }},
		"txt":  {"text/plain; charset=utf-8", func(w io.Writer, d *document.Document) error { return d.Text(w) }},
		"html": {"text/html; charset=utf-8", func(w io.Writer, d *document.Document) error { return d.HTML(w) }},
	}
	format, ok := write[kind]
	if !ok {
		return fmt.Errorf("print %q: %w", file, studio.ErrNotFound)
	}
	c = s.withPieces(r.Context(), c)
	var b bytes.Buffer
	if err := s.working(r.Context(), func() error { return format.to(&b, c.pictured(st, kind).build(st, size, charts).InUnits(units)) }); err != nil {
		return fmt.Errorf("print %q: %w", file, err)
	}
	if kind == "html" { // it brings its own style, and nothing else at all
		w.Header().Set("Content-Security-Policy", printPolicy)
	}
	w.Header().Set("Content-Type", format.mime)
	w.Header().Set("Content-Disposition", `inline; filename="`+url.PathEscape(fileName(c, size, charts, units, opt))+"."+kind+`"`)
	w.Header().Set("Content-Length", strconv.Itoa(b.Len()))
	_, _ = w.Write(b.Bytes()) // the reader may have gone
	return nil
}

func fileName(c copyToPrint, size int, charts bool, units document.Units, opt pdf.Options) string {
	name := c.slug
	if c.revision > 0 {
		name += "-r" + strconv.Itoa(c.revision)
	} else {
		name += "-draft"
	}
	if charts {
		name += "-charts"
	}
	if size >= 0 {
		name += "-" + studio.Slug(c.manuscript.Sizes[size])
	}
	if opt.Large {
		name += "-large"
	}
	if units != document.AsWritten {
		name += "-" + string(units)
	}
	return name
}

// draft is the pattern of the address as it stands, checked.
func (s *server) draft(r *http.Request) (p studio.Pattern, c copyToPrint, err error) {
	if p, err = s.pattern(r); err != nil {
		return p, c, err
	}
	res, err := s.prove(r.Context(), p.Manuscript)
	if err != nil {
		return p, c, err
	}
	return p, copyToPrint{pattern: p.ID, slug: p.Slug, manuscript: res.Manuscript, report: res.Report, worked: res.Needle, dated: p.UpdatedAt}, nil
}

func (s *server) showPrints(w http.ResponseWriter, r *http.Request) error {
	p, c, err := s.draft(r)
	if err != nil {
		return err
	}
	v := web.PrintsView{Page: s.sharedFlash(r, p.Title, "studio"), Tabs: s.tabs(r, p, "prints")}
	if v.Body, err = s.fragment(r, c); err != nil {
		return err
	}
	v.Body = demote(v.Body)
	st, err := s.DB.Studio(r.Context(), s.StudioID)
	if err != nil {
		return err
	}
	v.Links, v.OneSize = printLinks(patternURL(p)+"/prints", p.Slug, st, c.manuscript.Sizes)
	return s.render(w, r, http.StatusOK, web.Prints(v))
}

// demote makes the document's title a second heading, for a page that has its own.
func demote(fragment string) string {
	return strings.NewReplacer("<h1>", `<h2 class="title-in">`, "</h1>", "</h2>").Replace(fragment)
}

func (s *server) serveDraftPrint(w http.ResponseWriter, r *http.Request) error {
	_, c, err := s.draft(r)
	if err != nil {
		return err
	}
	return s.servePrint(w, r, c)
}
