package handlers

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"rowproof/domain/chart"
	"rowproof/domain/picture"
	"rowproof/domain/review"
	"rowproof/domain/studio"
	"rowproof/domain/working"
	"rowproof/web"
)

// The page on which a pattern is worked through row by row, on a phone. Readers have it of
// what is published; test knitters of their revision.

// workCopy is a pattern to be worked through by one person.
type workCopy struct {
	text     string // the manuscript of the revision
	size     int    // index
	title    string
	revision string // "Revision 2, 4 March 2026"
	key      string // of the project on the device, the same for all revisions: "p/ditch-scarf", "knit/12"
	edition  string // of the revision, as the device remembers it: "2"
	url      string // of the page
	back     string
	backTo   string
	here     string // which part of the navigation is lit

	// Of a test knitter.
	sync    string         // where what she notes is sent; "" for readers
	signIn  string         // where she comes in again
	rows    []int64        // ids of the rows by their ordinal; nil for readers
	changed map[int64]bool // rows that differ from the revision she had before
}

// Bounds on the charts of a page.
const (
	mostWorkCharts = 12
	mostWorkCells  = 6_000  // of one chart
	mostWorkLoops  = 60_000 // stitches worked out for one
)

func (s *server) showWork(w http.ResponseWriter, r *http.Request) error {
	rev, c, err := s.published(r)
	if err != nil {
		return err
	}
	base := publicURL(rev.Slug)
	sizes := c.manuscript.Sizes
	asked := r.URL.Query().Get("size")
	wish, err := readWish(url.Values{"size": {asked}}, max(1, len(sizes)))
	if len(sizes) > 1 && (asked == "" || err != nil) {
		v := web.WorkSizesView{Page: s.sharedFlash(r, "Work through "+rev.Title, "public"), Pattern: rev.Title, Back: base}
		status := http.StatusOK
		if err != nil {
			v.Problem, status = sentence(err.Error()), http.StatusUnprocessableEntity
		}
		for i, name := range sizes {
			v.Sizes = append(v.Sizes, web.PrintLink{Label: name, URL: base + "/work?size=" + strconv.Itoa(i+1)})
		}
		v.Style = "css/work.css"
		return s.render(w, r, status, web.WorkSizes(v))
	}
	mine := workCopy{
		text: rev.Manuscript, size: wish.size, title: rev.Title, revision: fmt.Sprintf("Revision %d, %s", rev.Number, day(rev.Dated)), edition: strconv.Itoa(rev.Number),
		key: "p/" + rev.Slug, url: base + "/work", back: base, backTo: "The pattern", here: "public",
	}
	if len(sizes) > 1 {
		mine.key += "/" + strconv.Itoa(wish.size+1)
		mine.url += "?size=" + strconv.Itoa(wish.size+1)
	}
	return s.workPage(w, r, mine)
}

// workPage lays a copy out and shows it.
func (s *server) workPage(w http.ResponseWriter, r *http.Request, c workCopy) error {
	v := web.WorkView{Page: s.sharedFlash(r, c.title, c.here), Pattern: c.title, Revision: c.revision, Back: c.back, BackTo: c.backTo, Notes: c.sync != ""}
	v.Script, v.Style = "js/work.js", "css/work.css"
	err := s.working(r.Context(), func() error { return workView(r.Context(), &v, c) })
	if err != nil {
		return err
	}
	return s.render(w, r, http.StatusOK, web.Work(v))
}

// workView fills the page.
func workView(ctx context.Context, v *web.WorkView, c workCopy) error {
	res := review.Check(c.text)
	plan, err := working.Steps(res, c.size)
	if errors.Is(err, working.ErrTooLong) {
		v.Problem = "This pattern has more than 20,000 rows in this size. That is too many to go through one by one; the prints hold it all."
		return nil
	}
	if err != nil {
		return err
	}
	if plan.Name != "" {
		v.Size = "Size " + plan.Name
	}
	if len(plan.Steps) == 0 {
		v.Problem = "There is nothing in this pattern that can be worked row by row."
		return nil
	}
	if n := res.Errors(); n > 0 {
		v.NotSure = plural(n, "error is", "errors are") + " left in these rows. Counts may be wrong."
	}
	for _, k := range studio.ErratumKinds {
		v.Kinds = append(v.Kinds, web.Choice{Value: string(k), Label: k.Words()})
	}
	data := newWorkData(plan, c)
	v.Charts = workCharts(ctx, res, plan, &data)
	v.Data = data
	v.Sections = workSections(plan)
	return nil
}

// workSections is the list of steps: each instruction where it is worked first, and
// sentences that repeat in the place of what they repeat.
func workSections(p *working.Plan) []web.WorkSection {
	var out []web.WorkSection
	loops := map[int]working.Loop{} // by the step behind them
	for _, o := range p.Loops {
		loops[o.To+1] = o
	}
	place := ""
	add := func(step int, it web.WorkItem) {
		l := p.Lines[p.Steps[min(step, len(p.Steps)-1)].Line]
		if here := workPlace(l); len(out) == 0 || here != place && !it.Again {
			place = here
			out = append(out, web.WorkSection{ID: "section-" + strconv.Itoa(len(out)+1), Head: here})
		}
		out[len(out)-1].Items = append(out[len(out)-1].Items, it)
	}
	again := func(o working.Loop) {
		if o.By < 0 || o.By == p.Steps[o.To].Line {
			return
		}
		add(o.To, web.WorkItem{Text: p.Lines[o.By].Text, Again: true, Step: strconv.Itoa(o.From), Last: strconv.Itoa(o.To)})
	}
	for i := 0; i < len(p.Steps); i++ {
		if o, ok := loops[i]; ok {
			again(o)
		}
		st := p.Steps[i]
		l := p.Lines[st.Line]
		to := i // the steps that this item stands for
		switch {
		case st.By >= 0:
			for to+1 < len(p.Steps) && p.Steps[to+1].By == st.By {
				to++
			}
			l = p.Lines[st.By]
			l.Head, l.Like = "", ""
		case st.Head != "":
			for to+1 < len(p.Steps) && p.Steps[to+1].Line == st.Line && p.Steps[to+1].Head != "" {
				to++
			}
		}
		it := web.WorkItem{ID: "step-" + strconv.Itoa(i), Step: strconv.Itoa(i), Head: l.Head, Text: l.Text, Like: l.Like, Again: st.By >= 0, Note: st.Kind == working.Words}
		if to > i {
			it.Last = strconv.Itoa(to)
		}
		last := p.Steps[to]
		if last.Change != 0 || st.Kind == working.Begin {
			it.Count = workCount(last)
		}
		if st.Before != "" {
			add(i, web.WorkItem{Text: st.Before, Note: true})
		}
		add(i, it)
		i = to
	}
	if o, ok := loops[len(p.Steps)]; ok {
		again(o)
	}
	return out
}

// workPlace is the head that a line stands under: "Back, Shape armholes".
func workPlace(l working.Line) string {
	if l.Piece == "" || l.Section == "" {
		return l.Piece + l.Section
	}
	return l.Piece + ", " + l.Section
}

// workCount is what is on the needle after a step, in words.
func workCount(s working.Step) string {
	switch {
	case s.Count >= 0:
		return plural(s.Count, "stitch", "stitches")
	case s.Stitches != "":
		return s.Stitches + " stitches"
	}
	return ""
}

// workCharts draws the charts of those sections whose rows can be found in one, and
// tells each line its row.
func workCharts(ctx context.Context, res *review.Result, p *working.Plan, data *workData) []web.WorkChart {
	var out []web.WorkChart
	for _, sec := range chart.Sections(res.Manuscript, res.Needle) {
		if len(out) >= mostWorkCharts || ctx.Err() != nil {
			break
		}
		lines := map[string][]int{} // of the plan, by the number of their row
		for i, l := range p.Lines {
			if l.Number != "" && l.At >= sec.From && l.At <= sec.To {
				lines[l.Number] = append(lines[l.Number], i)
			}
		}
		if len(lines) == 0 || !smallPart(res, sec.Part, p.Size) {
			continue
		}
		c, err := chart.Make(res.Manuscript, res.Needle, sec.Part, chart.Options{Size: p.Size, From: sec.From, To: sec.To, Colours: picture.Solids(res.Manuscript)})
		if err != nil || c.Through || c.Columns*len(c.Rows) > mostWorkCells || len(c.Key) < 2 && len(c.Yarns) == 0 {
			continue
		}
		found := false
		for k := range c.Rows {
			for _, i := range lines[c.Rows[k].Number] {
				if data.Lines[i].Chart == nil {
					data.Lines[i].Chart, found = &[2]int{len(out), k}, true
				}
			}
		}
		var b strings.Builder
		id := "chart-" + strconv.Itoa(len(out))
		if !found || c.SVG(&b, id, pageLook) != nil {
			continue
		}
		out = append(out, web.WorkChart{ID: id + "-figure", Name: "Chart of " + sectionName(res.Manuscript, sec), SVG: b.String()})
	}
	return out
}

// smallPart says that a part is small enough to be charted while somebody waits.
func smallPart(res *review.Result, part, size int) bool {
	loops := 0
	for _, e := range res.Needle.Parts[part].Rows {
		if size < len(e.Times) && size < len(e.First) && size < len(e.Last) {
			loops += min(e.Times[size], 1<<20) * min(max(e.First[size].N, e.Last[size].N), 1<<20)
		}
	}
	return loops <= mostWorkLoops
}

// showWorking lists what was begun on this device; its script fills it.
func (s *server) showWorking(w http.ResponseWriter, r *http.Request) error {
	v := web.WorkingView{Page: s.shared(r, "On your needles")}
	v.Script, v.Style, v.Here = "js/working.js", "css/work.css", "public"
	return s.render(w, r, http.StatusOK, web.Working(v))
}
