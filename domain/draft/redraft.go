package draft

import (
	"fmt"
	"maps"
	"slices"

	"rowproof/domain/finding"
	"rowproof/domain/lineage"
	"rowproof/domain/notation"
	"rowproof/domain/review"
	"rowproof/domain/sizing"
)

// RefitDraft brings a drafted pattern to a reader's own gauge and main measurement, in one
// of its sizes: it is drafted again, what the designer wrote by hand is put in, and the numbers of
// the other sizes are taken out. text is hers, base what was drafted before she changed it, and r
// what it was drafted from. Where her text and the new numbers do not go together, the error says
// which row.
func RefitDraft(text, base string, r sizing.Request, size int, own Own) (*Refitted, error) {
	f, err := sizing.FormNamed(r.Form)
	if err != nil {
		return nil, err
	}
	if own.Gauge.Sts > 0 {
		r.Gauge.Sts = own.Gauge.Sts
	}
	if own.Gauge.Rows > 0 {
		r.Gauge.Rows = own.Gauge.Rows
	}
	if own.Width > 0 {
		r.Sizes = append([]sizing.DraftSize(nil), r.Sizes...)
		wants := maps.Clone(r.Sizes[size].Wants)
		wants[f.Measures[0].Key] = own.Width
		r.Sizes[size].Wants = wants
	}
	now, err := sizing.Make(r)
	if err != nil {
		return nil, err
	}
	merged := lineage.MergeDrafts(base, text, now.Manuscript).Text(nil)
	if ms := notation.Read(merged); len(ms.Sizes) > 1 {
		if size >= len(ms.Sizes) {
			return nil, fmt.Errorf("%w: it has other sizes than it was drafted for", ErrRefit)
		}
		if merged, err = notation.Resize(ms, merged, []notation.NewSize{{From: size}}); err != nil {
			return nil, fmt.Errorf("%w: %w", ErrRefit, err)
		}
	}
	out := &Refitted{Text: merged, Checked: review.Check(merged)}
	for _, x := range out.Checked.Findings {
		if x.Severity() == finding.Error {
			return nil, fmt.Errorf("%w: at these numbers row %s does not come out: %s", ErrRefit, orElse(x.Row, "1"), x.Message)
		}
	}
	for _, m := range now.Finished {
		if m.Part == "" {
			out.Notes = append(out.Notes, fmt.Sprintf("Finished %s: %s.", m.Name, m.Got[size]))
		}
	}
	for _, p := range now.Problems {
		if slices.Contains(p.Sizes, size) && len(p.Sizes) == 1 {
			out.Notes = append(out.Notes, p.Problem+".")
		}
	}
	return out, nil
}
