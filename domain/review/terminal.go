package review

import (
	"fmt"
	"io"
	"strings"

	"rowproof/domain/finding"
)

// Terminal prints a result for a person: each finding with its row quoted, the
// place marked, and the mend; then what was proved.
func Terminal(w io.Writer, name string, r *Result, colour bool) {
	paint := func(code, s string) string {
		if !colour {
			return s
		}
		return "\x1b[" + code + "m" + s + "\x1b[0m"
	}
	tone := map[finding.Severity]string{finding.Error: "1;31", finding.Warning: "1;33", finding.Note: "1;36"}
	n := map[finding.Severity]int{}
	for _, f := range r.Findings {
		sev := f.Severity()
		n[sev]++
		where := fmt.Sprintf("%s:%d:%d", name, f.Line, f.Col)
		fmt.Fprintf(w, "%s: %s", paint(tone[sev], string(sev)), paint("1", f.Message))
		fmt.Fprintf(w, "\n  %s %s", paint("2", "at"), where)
		if f.Row != "" {
			fmt.Fprintf(w, ", row %s", strings.TrimPrefix(f.Row, "Row "))
		}
		if f.Part != "" {
			fmt.Fprintf(w, " of %s", f.Part)
		}
		if len(f.Sizes) > 0 {
			var s []string
			for _, i := range f.Sizes {
				if i < len(r.Manuscript.Sizes) {
					s = append(s, r.Manuscript.Sizes[i])
				}
			}
			fmt.Fprintf(w, ", size %s", strings.Join(s, ", "))
		}
		fmt.Fprintf(w, "  %s\n", paint("2", "["+string(f.Code)+"]"))
		quote(w, r, f, paint, tone[sev])
		for i, m := range f.Mends {
			lead := "mend:"
			if i > 0 {
				lead = "  or:"
			}
			fmt.Fprintf(w, "  %s %s\n", paint("1;32", lead), m.Text)
		}
		fmt.Fprintln(w)
	}
	summary(w, r, n, paint)
}

// quote prints the line of a finding with a caret below its place.
func quote(w io.Writer, r *Result, f finding.Finding, paint func(code, s string) string, tone string) {
	if f.Line < 1 || f.Line > len(r.Manuscript.Source) {
		return
	}
	src := []rune(strings.ReplaceAll(r.Manuscript.Source[f.Line-1], "\t", " "))
	const width = 96
	start := 0
	if f.Col-1 > width-20 {
		start = f.Col - 1 - 30
	}
	end := min(len(src), start+width)
	num := fmt.Sprintf("%5d │ ", f.Line)
	fmt.Fprintf(w, "%s%s\n", paint("2", num), string(src[start:end]))
	last := len(src) + 1
	if f.EndLine == f.Line {
		last = f.EndCol
	}
	from := max(0, f.Col-1-start)
	n := max(1, min(last-1-start, end-start)-from)
	fmt.Fprintf(w, "%s%s%s\n", paint("2", "      │ "), strings.Repeat(" ", from), paint(tone, strings.Repeat("^", n)))
}

func summary(w io.Writer, r *Result, n map[finding.Severity]int, paint func(code, s string) string) {
	for _, p := range r.Report.Parts {
		name := p.Name
		if name == "" {
			name = r.Report.Title
		}
		if name == "" {
			name = "pattern"
		}
		var facts []string
		if p.NeedsMultiple != nil && p.NeedsMultiple.Of > 1 {
			facts = append(facts, fmt.Sprintf("multiple of %d + %d", p.NeedsMultiple.Of, p.NeedsMultiple.Plus))
		}
		if p.CastOn != nil {
			facts = append(facts, "cast on "+vector(p.CastOn))
		}
		if p.FinalCounts != nil {
			v := make([]int, len(p.FinalCounts))
			for i, c := range p.FinalCounts {
				v[i] = *c
			}
			sts := " sts"
			if vector(v) == "1" {
				sts = " st"
			}
			facts = append(facts, "ends with "+vector(v)+sts)
		}
		proved := paint("1;31", "not proved")
		switch {
		case p.Proved == "all":
			proved = paint("1;32", "proved")
		case p.Proved != "":
			proved = paint("1;32", "proved for "+p.Proved)
		}
		fmt.Fprintf(w, "%s: %s, %s", name, several(len(p.Rows), "row"), proved)
		if len(facts) > 0 {
			fmt.Fprintf(w, " (%s)", strings.Join(facts, "; "))
		}
		fmt.Fprintln(w)
	}
	fmt.Fprintf(w, "%s, %s, %s\n", several(n[finding.Error], "error"), several(n[finding.Warning], "warning"), several(n[finding.Note], "note"))
}

// vector writes numbers the way the trade does: 83 (95, 107).
func vector(v []int) string {
	same := true
	for _, x := range v {
		same = same && x == v[0]
	}
	if len(v) == 0 {
		return ""
	}
	if same {
		return fmt.Sprint(v[0])
	}
	s := make([]string, len(v)-1)
	for i, x := range v[1:] {
		s[i] = fmt.Sprint(x)
	}
	return fmt.Sprintf("%d (%s)", v[0], strings.Join(s, ", "))
}

// several writes "1 error", "2 errors".
func several(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}
