package handlers

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"rowproof/domain/errata"
	"rowproof/domain/finding"
	"rowproof/domain/review"
	"rowproof/domain/studio"
	"rowproof/web"
)

// Triage: all errata of a pattern, grouped so that what tells the same stands together,
// with what the prover says of the row beside it.

// proved is a revision, or the pattern as it stands, with its proof.
type proved struct {
	reading errata.Reading
	res     *review.Result
}

// standing is the pattern as it stands, with its proof.
func (s *server) standing(ctx context.Context, p studio.Pattern) (proved, error) {
	res, err := s.prove(ctx, p.Manuscript)
	if err != nil {
		return proved{}, err
	}
	r, err := s.asRevision(ctx, p, res)
	return proved{r, res}, err
}

// says is what the prover says of the row of an erratum, for its size.
func (p proved) says(e studio.Erratum) []string {
	size, ok := p.reading.Size(e.SizeID)
	if _, stands := p.reading.Row(e.RowID); !ok || !stands {
		return nil
	}
	out := append([]string{p.leaves(e)}, p.finds(e.RowID, size)...)
	if len(out) == 1 {
		out = append(out, "It finds nothing wrong with the row"+inSizeNamed(p.reading, size)+".")
	}
	return out
}

// leaves is the count after the row of an erratum, for its size; "" where neither stands.
func (p proved) leaves(e studio.Erratum) string {
	i, stands := p.reading.Row(e.RowID)
	size, ok := p.reading.Size(e.SizeID)
	if !stands || !ok {
		return ""
	}
	if n := p.reading.Count(i, size); n >= 0 {
		return "It leaves " + plural(n, "stitch", "stitches") + " after the row" + inSizeNamed(p.reading, size) + "."
	}
	return "It cannot tell the stitches after the row" + inSizeNamed(p.reading, size) + "."
}

// finds are the errors and warnings on a row, for the size at that place, or for every size
// at everySize.
func (p proved) finds(rowID int64, size int) []string {
	i, ok := p.reading.Row(rowID)
	rows := Project(p.res).Rows
	if !ok || i >= len(rows) {
		return nil
	}
	var out []string
	for _, f := range p.res.Findings {
		if f.Line == rows[i].Line && f.Severity() != finding.Note && (size == everySize || len(f.Sizes) == 0 || slices.Contains(f.Sizes, size)) {
			out = append(out, sentence(f.Message))
		}
	}
	return out
}

const everySize = -1

func inSizeNamed(r errata.Reading, size int) string {
	if size < len(r.Rev.Sizes) && r.Rev.Sizes[size].Label != "" {
		return " in size " + r.Rev.Sizes[size].Label
	}
	return ""
}

func (s *server) showTriage(w http.ResponseWriter, r *http.Request) error {
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	v, err := s.triageView(r, p)
	if err != nil {
		return err
	}
	return s.render(w, r, http.StatusOK, web.Triage(v))
}

// shownBy are the ways to group errata.
var shownBy = []struct{ key, label string }{{"row", "by row"}, {"piece", "by piece"}, {"size", "by size"}, {"knitter", "by knitter"}}

func (s *server) triageView(r *http.Request, p studio.Pattern) (web.TriageView, error) {
	ctx := r.Context()
	v := web.TriageView{Page: s.sharedFlash(r, p.Title, "studio"), Tabs: s.tabs(r, p, "test")}
	all, err := s.DB.Errata(ctx, s.StudioID, p.ID)
	if err != nil {
		return v, err
	}
	waiting := 0
	for _, e := range all {
		if e.State.Waits() {
			waiting++
		}
	}
	v.Total = plural(len(all), "erratum", "errata") + ", " + plural(waiting, "waits for you", "wait for you") + "."
	if len(all) == 0 {
		v.Total, v.None = "", "No knitter has noted anything yet."
		return v, nil
	}
	now, err := s.standing(ctx, p)
	if err != nil {
		return v, err
	}
	q := r.URL.Query()
	by := q.Get("by")
	if !slices.ContainsFunc(shownBy, func(b struct{ key, label string }) bool { return b.key == by }) {
		by = "row"
	}
	v.Filters = triageFilters(all, q, by)
	var shown []studio.Erratum
	for _, e := range all {
		if keeps(e, q) {
			shown = append(shown, e)
		}
	}
	if len(shown) == 0 {
		v.None = "None fits what you chose."
	}
	v.Groups = grouped(p, now, shown, by)
	return v, nil
}

// keeps reports whether the filters let an erratum through.
func keeps(e studio.Erratum, q url.Values) bool {
	state := q.Get("state")
	return (state == "" || state == string(e.State) || state == "waits" && e.State.Waits()) &&
		(q.Get("size") == "" || q.Get("size") == strconv.FormatInt(e.SizeID, 10)) &&
		(q.Get("knitter") == "" || q.Get("knitter") == strconv.FormatInt(e.KnitterID, 10)) &&
		(q.Get("kind") == "" || q.Get("kind") == string(e.Kind))
}

func triageFilters(all []studio.Erratum, q url.Values, by string) []web.TriageFilter {
	group := web.TriageFilter{Name: "by", Label: "Show"}
	for _, b := range shownBy {
		group.Choices = append(group.Choices, web.Choice{Value: b.key, Label: b.label, Here: b.key == by})
	}
	state := web.TriageFilter{Name: "state", Label: "State", Choices: []web.Choice{{Label: "all"}, {Value: "waits", Label: "waiting for you", Here: q.Get("state") == "waits"}}}
	for _, st := range studio.ErratumStates {
		state.Choices = append(state.Choices, web.Choice{Value: string(st), Label: st.Words(), Here: q.Get("state") == string(st)})
	}
	kind := web.TriageFilter{Name: "kind", Label: "What", Choices: []web.Choice{{Label: "all"}}}
	for _, k := range studio.ErratumKinds {
		kind.Choices = append(kind.Choices, web.Choice{Value: string(k), Label: k.Words(), Here: q.Get("kind") == string(k)})
	}
	of := func(name, label string, value func(studio.Erratum) (int64, string)) web.TriageFilter {
		f := web.TriageFilter{Name: name, Label: label, Choices: []web.Choice{{Label: "all"}}}
		seen := map[int64]bool{}
		for _, e := range all {
			if id, words := value(e); !seen[id] && words != "" {
				seen[id] = true
				n := strconv.FormatInt(id, 10)
				f.Choices = append(f.Choices, web.Choice{Value: n, Label: words, Here: q.Get(name) == n})
			}
		}
		return f
	}
	out := []web.TriageFilter{group, state, kind, of("knitter", "Knitter", func(e studio.Erratum) (int64, string) { return e.KnitterID, e.Knitter })}
	if size := of("size", "Size", func(e studio.Erratum) (int64, string) { return e.SizeID, e.Size }); len(size.Choices) > 2 {
		out = append(out, size)
	}
	return out
}

// group is what errata are put together by, in the order in which groups are shown.
type group struct {
	rank int   // rows that stand, then rows that are gone, then the pattern as a whole
	at   int64 // place of a row that stands, id of one that is gone
	name string
}

const (
	rowStands = iota
	rowGone
	wholePattern
)

// groupOf tells what an erratum is put under.
func groupOf(e studio.Erratum, now proved, by string) group {
	i, stands := now.reading.Row(e.RowID)
	switch by {
	case "piece":
		if stands {
			return group{name: orWords(now.reading.Rev.Rows[i].Piece, "The pattern")}
		}
		return group{rank: rowGone, name: "Rows that no longer stand, and the pattern as a whole"}
	case "size":
		return group{name: sizeName(e.Size)}
	case "knitter":
		return group{name: e.Knitter}
	}
	switch {
	case e.RowID == 0:
		return group{rank: wholePattern, name: "The pattern as a whole"}
	case !stands:
		return group{rank: rowGone, at: e.RowID, name: e.Label}
	}
	row := now.reading.Rev.Rows[i]
	return group{at: int64(i), name: errata.Where(row.Piece, row.Head, row.Text)}
}

// grouped puts errata together: by row in the order of the pattern, and otherwise as the
// pieces, sizes or knitters first come.
func grouped(p studio.Pattern, now proved, es []studio.Erratum, by string) []web.TriageGroup {
	var groups []group
	members := map[int][]studio.Erratum{}
	for _, e := range es {
		g := groupOf(e, now, by)
		k := slices.IndexFunc(groups, func(have group) bool {
			return have == g || g.rank == rowGone && g.at != 0 && have.rank == rowGone && have.at == g.at // its labels may differ
		})
		if k < 0 {
			k = len(groups)
			groups = append(groups, g)
		}
		members[k] = append(members[k], e)
	}
	order := make([]int, len(groups))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(groups[a].rank, groups[b].rank), cmp.Compare(groups[a].at, groups[b].at))
	})
	var out []web.TriageGroup
	for _, k := range order {
		g := web.TriageGroup{Head: groups[k].name}
		list := members[k]
		slices.SortStableFunc(list, func(a, b studio.Erratum) int { return strings.Compare(string(a.Kind), string(b.Kind)) })
		for _, e := range list {
			g.Lines = append(g.Lines, triageLine(p, e))
		}
		if by == "row" {
			ofRow(&g, p, list, now)
		}
		out = append(out, g)
	}
	return out
}

// ofRow adds what is known of the row that errata stand on.
func ofRow(g *web.TriageGroup, p studio.Pattern, es []studio.Erratum, now proved) {
	row := es[0].RowID
	g.Alike = alike(p, es)
	i, stands := now.reading.Row(row)
	g.Gone = !stands && row != 0
	if !stands {
		return
	}
	g.Now = strings.Join(strings.Fields(now.reading.Rev.Rows[i].Text), " ")
	g.Prover = now.finds(row, everySize)
	told := map[int64]bool{}
	for _, e := range es {
		if said := now.leaves(e); said != "" && !told[e.SizeID] {
			g.Prover = append(g.Prover, said)
		}
		told[e.SizeID] = true
	}
}

func orWords(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

func erratumURL(p studio.Pattern, e studio.Erratum) string {
	return patternURL(p) + "/test/errata/" + strconv.FormatInt(e.ID, 10)
}

func triageLine(p studio.Pattern, e studio.Erratum) web.TriageLine {
	l := web.TriageLine{ID: strconv.FormatInt(e.ID, 10), URL: erratumURL(p, e), Base: strconv.Itoa(e.Version), Label: e.Label, Knitter: e.Knitter, Kind: e.Kind.Words(),
		State: e.State.Words(), StateKey: string(e.State), When: day(e.NotedAt), Fixed: fixedWords(e), Photo: e.Photo}
	if e.Size != "" {
		l.Size = "size " + e.Size
	}
	for _, w := range []struct{ label, text string }{{"had ", e.Had}, {"did ", e.Did}, {"", e.Note}} {
		if w.text != "" {
			if l.Words != "" {
				l.Words += " · "
			}
			l.Words += w.label + studio.Clip(strings.Join(strings.Fields(w.text), " "), 120)
		}
	}
	return l
}

// alike finds errata of one row and one kind that still wait: the first that was noted, or
// one that was accepted, can take the others along.
func alike(p studio.Pattern, es []studio.Erratum) []web.TriageAlike {
	var out []web.TriageAlike
	for _, kind := range studio.ErratumKinds {
		var first *studio.Erratum
		var others []web.TriageLine
		sorted := slices.Clone(es)
		slices.SortStableFunc(sorted, func(a, b studio.Erratum) int { // accepted ones lead
			if (a.State == studio.Accepted) != (b.State == studio.Accepted) {
				if a.State == studio.Accepted {
					return -1
				}
				return 1
			}
			return int(a.ID - b.ID)
		})
		for i, e := range sorted {
			switch {
			case e.Kind != kind:
			case first == nil && (e.State.Waits() || e.State == studio.Accepted):
				first = &sorted[i]
			case first != nil && e.State.Waits():
				others = append(others, triageLine(p, e))
			}
		}
		if first == nil || len(others) == 0 {
			continue
		}
		out = append(out, web.TriageAlike{First: strconv.FormatInt(first.ID, 10), Others: others,
			Words:  plural(len(others), "other says", "others say") + " the same of this row: “" + kind.Words() + "”.",
			Button: "Keep with " + first.Knitter + "’s"})
	}
	return out
}

// keepTogether takes near-duplicates as told before.
func (s *server) keepTogether(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	first, err := strconv.ParseInt(r.PostForm.Get("first"), 10, 64)
	if err != nil {
		return fmt.Errorf("keeping errata together: %w", errBadForm)
	}
	kept, late := 0, 0
	for _, o := range r.PostForm["other"] {
		id, base, _ := strings.Cut(o, ":")
		n, err1 := strconv.ParseInt(id, 10, 64)
		b, err2 := strconv.Atoi(base)
		if err1 != nil || err2 != nil {
			return fmt.Errorf("keeping errata together: %q: %w", o, errBadForm)
		}
		err := s.DB.Decide(r.Context(), s.StudioID, p.ID, n, account(r.Context()).ID,
			studio.Decision{State: studio.Duplicate, DuplicateOf: first, Base: b}, s.decided(r.Context(), p.Title))
		switch {
		case errors.Is(err, studio.ErrConflict):
			late++
		case err != nil:
			return err
		default:
			kept++
		}
	}
	said := plural(kept, "erratum is kept with it.", "errata are kept with it.")
	if late > 0 {
		said += " " + plural(late, "was decided by somebody else meanwhile and stands as they left it.", "were decided by somebody else meanwhile and stand as they left them.")
	}
	return s.done(w, r, patternURL(p)+"/test/errata", said)
}

// decided is the letter to a knitter about her erratum.
func (s *server) decided(ctx context.Context, title string) func(studio.Knitter, studio.Erratum) studio.Letter {
	desk, base := s.desk(ctx)
	return func(k studio.Knitter, e studio.Erratum) studio.Letter {
		return s.deskFor(desk, base, k.Person).Decided(k, e, title, base+knitURL(k.ID)+"/errata/"+strconv.FormatInt(e.ID, 10))
	}
}
