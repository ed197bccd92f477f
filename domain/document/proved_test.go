package document

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
	"rowproof/domain/review"
)

var proofs = map[string]*review.Result{}

// checked proves a manuscript of the corpus once for all tests.
func checked(name, src string) *review.Result {
	if proofs[name] == nil {
		proofs[name] = review.Check(src)
	}
	return proofs[name]
}

// oneBracket makes "25 (26, 27) [28, 29]", a designer's own grouping of sizes, the grouping counts are compared in.
var oneBracket = strings.NewReplacer(") [", ", ", "] {", ", ", "] (", ", ", ") (", ", ", "] [", ", ", "[", "(", ": ", ", ", "}", ")", "]", ")")

// Over the whole corpus, with the real proof: every count the report says a row
// changes to stands in the print, in the row or in its table.
func TestProvedCountsArePrinted(t *testing.T) {
	for name, src := range corpus(t) {
		res := checked(name, src)
		if slices.ContainsFunc(res.Findings, func(f finding.Finding) bool { return f.Severity() == finding.Error }) {
			continue // behind an error no count is known
		}
		d := Build(Input{Manuscript: res.Manuscript, Report: res.Report, Size: -1})
		got := flat(text(t, d))
		got += oneBracket.Replace(got)
		for _, part := range res.Report.Parts {
			var prev Counts
			if part.CastOn != nil {
				prev = pick(intPtrs(part.CastOn), -1)
			}
			stands := prev // behind the row before, worked for the last time
			for _, row := range part.Rows {
				c := rowCounts(row, -1, false)
				if !c.Given() {
					continue
				}
				if row.Aside != nil { // the thumb's count stands in its place
					if f := countedAside(row, c, -1).Figures(); !strings.Contains(got, f) {
						t.Errorf("%s: %s, row %s: the print lacks %q of its thumb", name, part.Name, row.Row, f)
					}
					prev, stands = fill(c, prev), fill(rowCounts(row, -1, true), stands)
					continue
				}
				f := c.Figures()
				slashed := strings.NewReplacer(" (", " / ", ", ", " / ", ")", "").Replace(f) // as such a manuscript writes it
				first := !prev.Given()                                                       // nothing to change from
				ends := rowCounts(row, -1, true).Figures()
				if !first && !sameCounts(c, prev) && !strings.Contains(got, f) && !strings.Contains(got, slashed) && !strings.Contains(got, ends) && !strings.Contains(got, fill(rowCounts(row, -1, true), stands).Figures()) {
					t.Errorf("%s: %s, row %s: the print lacks %q", name, part.Name, row.Row, f)
				}
				prev, stands = fill(c, prev), fill(rowCounts(row, -1, true), stands)
			}
		}
	}
}

// In a pattern without errors, the count printed behind an item is the one its
// designer stated there: the proof has found no other.
func TestPrintedCountsAreTheStatedOnes(t *testing.T) {
	compared := 0
	for name, src := range corpus(t) {
		res := checked(name, src)
		if slices.ContainsFunc(res.Findings, func(f finding.Finding) bool { return f.Severity() == finding.Error }) {
			continue
		}
		tally := newTally(res.Manuscript, res.Report, -1, nil, WordsFor("en-US"))
		for _, it := range res.Manuscript.Items {
			a, known := tally.items[it]
			if !known || a.counts.Of > 0 {
				continue
			}
			stated := statedCounts(it)
			for i, st := range stated {
				if st.Kind != notation.CountAll || i+1 < len(stated) {
					continue
				}
				compared++
				for k, n := range a.counts.Each {
					if want := st.N.For(k); n != None && want >= 0 && n != want {
						t.Errorf("%s, line %d: %d sts stated, %d printed (size %d)", name, st.Line, want, n, k+1)
					}
				}
			}
		}
	}
	t.Logf("%d stated counts compared", compared)
}

func statedCounts(it notation.Item) []notation.Stated {
	switch it := it.(type) {
	case *notation.Row:
		return it.Stated
	case *notation.RepRows:
		return it.Stated
	case *notation.Shape:
		return it.Stated
	case *notation.Straight:
		return it.Stated
	}
	return nil
}

// A revision keeps its report as JSON; printed from it, the pattern says the same.
func TestFrozenReportPrintsTheSame(t *testing.T) {
	for name, src := range corpus(t) {
		res := checked(name, src)
		frozen, err := json.Marshal(res.Report)
		if err != nil {
			t.Fatal(err)
		}
		var thawed review.Report
		if err := json.Unmarshal(frozen, &thawed); err != nil {
			t.Fatal(err)
		}
		live := text(t, Build(Input{Manuscript: res.Manuscript, Report: res.Report, Size: -1}))
		kept := text(t, Build(Input{Manuscript: notation.Read(src), Report: &thawed, Size: -1}))
		if live != kept {
			t.Errorf("%s: printed from the frozen report:\n%s\nlive:\n%s", name, kept, live)
		}
	}
}

// A published revision prints from the report it went out with: a thumb's count is in it.
func TestThumbsCountSurvivesPublishing(t *testing.T) {
	res := review.Check("Thumb\n\nCO 42 sts.\nNext row (RS): K26, turn and cast on 1 st.\nNext row: P11, turn and cast on 1 st. 12 sts.\nOn these 12 sts. work 8 rows in stocking stitch.\nNext row: (K2tog) 6 times. 6 sts.\n")
	kept, err := json.Marshal(res.Report)
	if err != nil {
		t.Fatal(err)
	}
	out := &review.Report{}
	if err := json.Unmarshal(kept, out); err != nil {
		t.Fatal(err)
	}
	if got := text(t, Build(Input{Manuscript: res.Manuscript, Report: out, Size: -1})); !strings.Contains(got, "12 sts") || strings.Contains(got, "44 sts") {
		t.Errorf("printed:\n%s", got)
	}
}
