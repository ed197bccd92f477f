package review

import (
	"fmt"
	"slices"

	"rowproof/domain/finding"
	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

// Resize gives text with other sizes (see notation.Resize), worked again: it errs where
// a size would not come to the counts, row by row, of the size it comes from, so that
// nothing written for a size is lost unseen. Text with an error in it is not held so: what
// its sizes work is not told.
func Resize(text string, plan []notation.NewSize) (string, error) {
	ms := notation.Read(text)
	out, err := notation.Resize(ms, text, plan)
	if err != nil || out == text {
		return out, err
	}
	now := notation.Read(out)
	if len(now.Sizes) != len(plan) {
		return "", fmt.Errorf("the text would read as %d sizes, not %d; the list of sizes is written in a way that cannot be changed here", len(now.Sizes), len(plan))
	}
	was, is := needle.Work(ms), needle.Work(now)
	if failed(ms.Findings) || failed(was.Findings) {
		return out, nil
	}
	for k, s := range plan {
		if row, ok := sameCounts(was, s.From, is, k); !ok {
			name := now.Sizes[k]
			if name != "" {
				name = " in size " + name
			}
			return "", fmt.Errorf("%s would come out otherwise%s; write its numbers in one list for all sizes, then try again", row, name)
		}
	}
	return out, nil
}

func failed(l finding.List) bool {
	return slices.ContainsFunc(l.Findings, func(f finding.Finding) bool { return f.Severity() == finding.Error })
}

// rowWorked is what one size works of a row.
type rowWorked struct {
	number, times int
	first, last   needle.Count
	name          string
}

func workedBy(r *needle.Result, size int) (out []rowWorked) {
	for _, p := range r.Parts {
		for _, e := range p.Rows {
			if size < len(e.Times) && size < len(e.First) && size < len(e.Last) && e.Times[size] > 0 && e.First[size].Known {
				out = append(out, rowWorked{e.Number, e.Times[size], e.First[size], e.Last[size], fmt.Sprintf("“%s” on line %d", e.Name, e.Line)})
			}
		}
	}
	return out
}

// sameCounts holds the rows of a size against those of another text's size; row is the
// first that differs.
func sameCounts(a *needle.Result, sizeA int, b *needle.Result, sizeB int) (row string, same bool) {
	x, y := workedBy(a, sizeA), workedBy(b, sizeB)
	for i := range min(len(x), len(y)) {
		if x[i].number != y[i].number || x[i].times != y[i].times || x[i].first != y[i].first || x[i].last != y[i].last {
			return x[i].name, false
		}
	}
	if len(x) > len(y) {
		return x[len(y)].name, false
	}
	if len(y) > len(x) {
		return y[len(x)].name, false
	}
	return "", true
}
