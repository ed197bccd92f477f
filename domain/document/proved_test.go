package document

import (
	"strings"
	"testing"

	"rowproof/domain/review"
)

// Over the whole corpus, with the real proof: every count the report says a row
// changes to stands in the print, in the row or in its table.
func TestProvedCountsArePrinted(t *testing.T) {
	for name, src := range corpus(t) {
		res := review.Check(src)
		d := Build(Input{Manuscript: res.Manuscript, Report: res.Report, Size: -1})
		got := flat(text(t, d))
		for _, part := range res.Report.Parts {
			var prev Counts
			if part.CastOn != nil {
				prev = pick(intPtrs(part.CastOn), -1)
			}
			for _, row := range part.Rows {
				c := rowCounts(row, -1, false)
				if !c.Given() {
					continue
				}
				f := c.Figures()
				first := !prev.Given() // nothing to change from
				ends := rowCounts(row, -1, true).Figures()
				if !first && !sameCounts(c, prev) && !strings.Contains(got, f) && !strings.Contains(got, ends) {
					t.Errorf("%s: %s, row %s: the print lacks %q", name, part.Name, row.Row, f)
				}
				prev = fill(c, prev)
			}
		}
	}
}
