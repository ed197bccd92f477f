package review

import (
	"fmt"
	"slices"
	"sort"
	"strings"
	"unicode"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// This file looks for mends: for a row that does not come out, corrections that
// are proved themselves, with the rows that follow. A mend changes one number of
// the row (a count, an ending, a bound of a repeat, the 2 of a k2tog) or adds
// stitches at its end. Those that keep the texture's columns where the
// neighbouring rows have them come first, then those nearest to what was written.

// mendable are the codes for which mends are sought.
var mendable = map[finding.Code]bool{
	"stitches-left-over": true, "runs-out-of-stitches": true, "repeat-stops-midway": true,
	"stated-count-differs": true, "too-few-rows-under-drop": true, "count-never-reached": true,
	"cast-on-not-multiple": true, "multiple-differs": true,
}

const (
	maxMends      = 3       // shown for one finding
	maxCandidates = 200     // tried for one finding
	mendBudget    = 120_000 // rows × sizes that may be worked in the search, over one manuscript
	mendSteps     = 900_000 // and steps of the needle, reading among them: some half a second
	readingSteps  = 2       // of the needle, for a byte that is read
	maxMendLine   = 2000    // bytes of a line that is looked at
	maxMended     = 12      // findings of one manuscript for which mends are sought
)

// mend adds mends to the findings of r.
func mend(text string, r *Result) {
	done := 0
	budget, steps := mendBudget, mendSteps
	for i := range r.Findings {
		f := &r.Findings[i]
		if !mendable[f.Code] || done >= maxMended || f.Line < 1 || f.Line > len(r.Manuscript.Source) {
			continue
		}
		done++
		f.Mends = mendsFor(r, f, &budget, &steps)
	}
}

// candidate is one changed line.
type candidate struct {
	edit  finding.Edit
	line  string // the whole line as it would read
	dist  int    // how far from what was written
	given bool   // it has the count that the row gives: tried first
	left  int    // errors that are left elsewhere, most of them because of this one
	score float64
}

func mendsFor(r *Result, f *finding.Finding, budget, steps *int) []finding.Mend {
	ms := r.Manuscript
	lines := frame(r, f)
	cost := 10
	for _, l := range lines {
		if l != "" {
			cost += len(ms.Sizes)
		}
	}
	if p := partAt(r.Needle.Parts, f.Line); p != nil {
		cost += len(p.Rows) * len(ms.Sizes)
	}
	if *budget -= cost; *budget < 0 || cost > mendBudget/8 {
		return nil
	}
	cands := candidates(r, f)
	limit := maxCandidates
	sort.SliceStable(cands, func(i, j int) bool {
		if cands[i].given != cands[j].given {
			return cands[i].given
		}
		return cands[i].dist < cands[j].dist
	})
	if len(cands) > limit {
		cands = cands[:limit]
	}
	before := errorsIn(prove(strings.Join(lines, "\n")))
	if before[place{f.Line, f.Code}] == 0 { // the part goes on with what another has left: it cannot be tried alone
		lines = slices.Clone(ms.Source)
		cost = 10 + len(lines)*len(ms.Sizes)
		if before = errorsIn(prove(strings.Join(lines, "\n"))); before[place{f.Line, f.Code}] == 0 {
			return nil
		}
	}
	var good []candidate
	seen := map[string]bool{} // two roads may lead to one line
	alone := newTrial(r, f)
	size, mine := 0, *steps*2/3 // what a finding may use of what is left
	for _, l := range lines {
		size += len(l)
	}
	for _, c := range cands {
		if len(good) >= 24 {
			break
		}
		if seen[c.line] {
			continue
		}
		seen[c.line] = true
		if alone != nil && alone.fails(c.line) {
			continue
		}
		if *budget -= cost; *budget < 0 || *steps < 0 || mine < 0 {
			break
		}
		was := lines[f.Line-1]
		lines[f.Line-1] = c.line
		tried := prove(strings.Join(lines, "\n"))
		after := errorsIn(tried)
		lines[f.Line-1] = was
		*steps -= tried.Needle.Steps + readingSteps*size
		mine -= tried.Needle.Steps + readingSteps*size
		if !better(before, after, f.Line) {
			continue
		}
		for _, n := range after {
			c.left += n
		}
		c.score = alignment(tried, f) + echo(tried, f)
		good = append(good, c)
	}
	sort.SliceStable(good, func(i, j int) bool {
		if good[i].left != good[j].left {
			return good[i].left < good[j].left
		}
		if d := good[i].score - good[j].score; d > 0.02 || d < -0.02 {
			return d > 0
		}
		return good[i].dist < good[j].dist
	})
	var out []finding.Mend
	for _, c := range good {
		if len(out) == maxMends {
			break
		}
		out = append(out, finding.Mend{Text: bodyText(ms, f, c.line), Edits: []finding.Edit{c.edit}})
	}
	return out
}

// frame is the manuscript with the lines of other parts emptied, so that a try
// costs what the part costs. Line numbers stay.
func frame(r *Result, f *finding.Finding) []string {
	lines := append([]string(nil), r.Manuscript.Source...)
	parts := r.Needle.Parts
	for i, p := range parts {
		end := len(lines) + 1
		if i+1 < len(parts) {
			end = parts[i+1].Line
		}
		if f.Line >= p.Line && f.Line < end || p.Name != "" && mentions(lines, p.Name, end) {
			continue
		}
		for k := p.Line; k < end; k++ {
			lines[k-1] = ""
		}
	}
	return lines
}

// mentions says that a later line speaks of the part: "work as for Back", "of Pebble".
func mentions(lines []string, name string, from int) bool {
	n := strings.ToLower(name)
	for k := from; k <= len(lines); k++ {
		if strings.Contains(strings.ToLower(lines[k-1]), n) {
			return true
		}
	}
	return false
}

// place names an error so that two checks can be compared.
type place struct {
	line int
	code finding.Code
}

func errorsIn(r *Result) map[place]int {
	out := map[place]int{}
	for _, f := range r.Findings {
		if s := f.Severity(); s == finding.Error || f.Code == "row-not-understood" {
			out[place{f.Line, f.Code}]++
		}
	}
	return out
}

// better: no error is left on the line, and none is new elsewhere.
func better(before, after map[place]int, line int) bool {
	for p, n := range after {
		if p.line == line || before[p] < n {
			return false
		}
	}
	return true
}

// candidates changes the numbers of the line one by one.
func candidates(r *Result, f *finding.Finding) []candidate {
	src := r.Manuscript.Source[f.Line-1]
	if len(src) > maxMendLine {
		return nil
	}
	rs := []rune(src)
	from := headEnd(r, f)
	var out []candidate
	add := func(at finding.Span, text string, dist int) {
		if at.Col < 1 || at.EndCol-1 > len(rs) || at.EndCol < at.Col {
			return
		}
		line := string(rs[:at.Col-1]) + text + string(rs[at.EndCol-1:])
		out = append(out, candidate{edit: finding.Edit{Span: at, Text: text}, line: line, dist: dist})
	}
	results := worked(r, f)
	for _, t := range notation.Numbers(src, f.Line) {
		if t.Col < from {
			continue
		}
		tog := takesTogether(rs, t.EndCol-1)
		for d := 1; d <= 8; d++ {
			for _, v := range [2]int{t.Val - d, t.Val + d} {
				if tog && (v < 2 || v > 3) {
					continue
				}
				if v >= 1 || v == 0 && f.Code == "stated-count-differs" && !countsRows(rs, t.EndCol-1) {
					add(t.Span, fmt.Sprint(v), d)
				}
			}
		}
		// a stated count, or a number that is far off: what the row gives
		for _, v := range results {
			if d := v - t.Val; (d > 8 || d < -8) && !tog {
				add(t.Span, fmt.Sprint(v), 9)
				out[len(out)-1].given = true
			}
		}
	}
	// a yarn over or a stitch that was left out, or a decrease that takes one too few
	if f.Code != "cast-on-not-multiple" && f.Code != "multiple-differs" && from > 1 {
		for i, c := range rs {
			if i+1 < from || c != ',' && c != '*' {
				continue
			}
			if c == ',' && betweenNumbers(rs, i) {
				continue // of a list of sizes
			}
			if c == '*' && i+1 < len(rs) && (rs[i+1] == ';' || rs[i+1] == ' ') || strings.Contains(strings.ToLower(string(rs[:i])), "rep from") {
				break
			}
			at := finding.Span{Line: f.Line, Col: i + 2, EndLine: f.Line, EndCol: i + 2}
			if c == ',' {
				add(at, " yo,", 4)
				add(at, " k1,", 5)
			} else {
				add(at, "yo, ", 4)
				add(at, "k1, ", 5)
			}
		}
		if at := strings.Index(strings.ToLower(src), "k1, psso"); at > 0 {
			col := len([]rune(src[:at])) + 1
			add(finding.Span{Line: f.Line, Col: col, EndLine: f.Line, EndCol: col + 2}, "k2tog", 4)
		}
	}
	// stitches more at the end
	if f.Code == "stitches-left-over" || f.Code == "repeat-stops-midway" {
		end := len(strings.TrimRight(src, " .;"))
		if at := strings.LastIndexAny(src, "(–—"); at > 0 && at > from && !strings.Contains(src[at:], "tog") && strings.Contains(src[at:], "st") {
			end = min(end, len(strings.TrimRight(src[:at], " .;–—(")))
		}
		col := len([]rune(src[:end])) + 1
		for n := 1; n <= 6; n++ {
			for _, st := range []string{"k", "p"} {
				add(finding.Span{Line: f.Line, Col: col, EndLine: f.Line, EndCol: col}, fmt.Sprintf(", %s%d", st, n), n+2)
			}
		}
	}
	return append(out, restOfSizes(r, f)...)
}

// countsRows says that the number that ends at i is one of rows: of "the last 2 rounds" there are some.
func countsRows(rs []rune, i int) bool {
	rest := strings.ToLower(strings.TrimSpace(string(rs[min(i, len(rs)):])))
	return strings.HasPrefix(rest, "row") || strings.HasPrefix(rest, "rnd") || strings.HasPrefix(rest, "round")
}

// takesTogether says that the number that ends at i is of stitches worked together: "k2tog", "P 3 tog".
func takesTogether(rs []rune, i int) bool {
	return strings.HasPrefix(strings.ToLower(strings.TrimSpace(string(rs[min(i, len(rs)):]))), "tog")
}

// betweenNumbers says that the comma at i parts two numbers: "K7 (7, 7, 8)".
func betweenNumbers(rs []rune, i int) bool {
	j := i + 1
	for j < len(rs) && rs[j] == ' ' {
		j++
	}
	return i > 0 && unicode.IsDigit(rs[i-1]) && j < len(rs) && (unicode.IsDigit(rs[j]) || rs[j] == '-' || rs[j] == '–')
}

// worked lists the counts that the finding's row gives.
func worked(r *Result, f *finding.Finding) []int {
	var out []int
	for _, p := range r.Needle.Parts {
		for _, e := range p.Rows {
			if f.Line >= e.Span.Line && f.Line <= e.Span.EndLine {
				for i := range e.First {
					if e.First[i].Known {
						out = append(out, e.First[i].N)
					}
					if e.Last[i].Known {
						out = append(out, e.Last[i].N)
					}
				}
			}
		}
	}
	// a sentence about rows: what is on the needle behind it
	if len(out) == 0 {
		for _, p := range r.Needle.Parts {
			for _, e := range p.Rows {
				if e.Line < f.Line {
					for i := range e.Last {
						if e.Last[i].Known {
							out = append(out, e.Last[i].N)
						}
					}
				}
			}
		}
	}
	if len(out) > 40 {
		out = out[len(out)-40:]
	}
	return out
}

// headEnd is the column from which the line's numbers may be changed.
func headEnd(r *Result, f *finding.Finding) int {
	for _, it := range r.Manuscript.Items {
		if row, ok := it.(*notation.Row); ok && row.Span.Line == f.Line && row.Head.Span.Line == f.Line {
			return row.Head.Span.EndCol
		}
	}
	return 1
}

// bodyText is the row as it would read, without its head.
func bodyText(ms *notation.Manuscript, f *finding.Finding, line string) string {
	for _, it := range ms.Items {
		if row, ok := it.(*notation.Row); ok && row.Span.Line == f.Line && row.Head.Span.Line == f.Line {
			rs := []rune(line)
			if at := row.Head.Span.EndCol - 1; at < len(rs) {
				return strings.TrimLeft(strings.TrimSpace(string(rs[at:])), ":.–— -")
			}
		}
	}
	return strings.TrimSpace(line)
}
