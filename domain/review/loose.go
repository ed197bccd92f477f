package review

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// This file holds the checks of words: letters with two meanings, stitches left
// on holders.

func init() {
	checks = append(checks,
		check{"ambiguous-abbreviation", ambiguousLetters},
		check{"holder-not-emptied", holders},
		check{"unexplained-stitch", unexplained},
		check{"size-order", sizeOrder},
		check{"nothing-to-prove", nothing},
		check{"unused-definition", unusedDefinitions},
	)
}

// rowsOf calls f for every row of the manuscript.
func rowsOf(ms *notation.Manuscript, f func(*notation.Row)) {
	for _, it := range ms.Items {
		if r, ok := it.(*notation.Row); ok {
			f(r)
		}
	}
}

// ambiguousLetters: k1b is "knit into the row below" in most lists of today and
// "knit into the back" in older UK ones (reference: printed lists A3, A17, A22 of
// the project's abbreviation table). It is said once.
func ambiguousLetters(in Input) {
	said := map[string]bool{}
	rowsOf(in.Manuscript, func(r *notation.Row) {
		notation.Each(r.Body, func(o notation.Op) {
			d, ok := o.(*notation.Do)
			if !ok || d.Unsure == "" || said[d.Unsure] {
				return
			}
			said[d.Unsure] = true
			f := finding.Finding{Code: "ambiguous-abbreviation", Span: d.Span, Row: r.Name(),
				Message: fmt.Sprintf("“%s” means “knit into the stitch below” in some lists and “knit through the back” in others; it is read as the first, define which is meant", d.Unsure)}
			locate(in.Needle, &f)
			in.Out.Add(f)
		})
	})
}

// reEachSide are words that tell what both sides are worked like, one after the other.
var reEachSide = regexp.MustCompile(`(?i)\b(?:each|both|the two|one) (?:side|shoulder|half|at a time)|separately`)

// holders: stitches put on a holder that no later word takes up again.
func holders(in Input) {
	ms := in.Manuscript
	type put struct {
		at   finding.Span
		row  string
		line int
	}
	var last *put
	worked := false // something was knitted since
	for _, it := range ms.Items {
		switch it := it.(type) {
		case *notation.Row:
			notation.Each(it.Body, func(o notation.Op) {
				if h, ok := o.(*notation.Hold); ok {
					last = &put{h.Span, it.Name(), it.Span.EndLine}
				}
			})
		case *notation.HoldAll:
			last = &put{it.Span, "", it.Span.EndLine}
			worked = false
			if it.Side && reEachSide.MatchString(it.Words) {
				last = nil // the words go for the side that waits, too
			}
		case *notation.Straight:
			if it.Over.Given() && strings.Contains(strings.ToLower(it.Words), " all ") { // "Continue in the round over all 56 sts"
				last = nil
			}
		case *notation.Prose:
			if it.Lay != nil && it.Lay.All.Given() {
				last = nil
			}
		}
		switch it.(type) {
		case *notation.Row, *notation.Straight, *notation.Shape, *notation.RepRows:
			worked = true
		}
	}
	if last == nil || !worked && last.row == "" {
		return // a piece that ends on a holder waits for another
	}
	for n := last.line; n <= len(ms.Source); n++ {
		s := strings.ToLower(ms.Source[n-1])
		if n == last.line {
			rs := []rune(ms.Source[n-1])
			s = strings.ToLower(string(rs[min(len(rs), max(0, last.at.EndCol-1)):]))
		}
		for _, w := range []string{"holder", "held", "waste yarn", "scrap yarn", "graft", "kitchener", "three-needle", "3-needle", "return", "resume", "thumb", "sleeve sts", "pick up", "join shoulders", "live sts", "join the pieces", "all pieces", "sts at centre front", "sts at center front", "of back neck", "across back neck", "rem sts", "rem. sts", "remaining sts", "remaining stitches", "from the thread", "off the thread"} {
			if strings.Contains(s, w) {
				return
			}
		}
	}
	f := finding.Finding{Code: "holder-not-emptied", Span: last.at, Row: last.row, Message: "these stitches stay on the holder: nothing is done with them afterwards"}
	locate(in.Needle, &f)
	in.Out.Add(f)
}

// sizeOrder: stitch counts do not fall from one size to the next. Only cast-ons
// are asked; intervals and repeats may go either way. Where the count stated next falls
// at the same size, it is meant: the larger sizes of a yoke that is increased once more.
func sizeOrder(in Input) {
	for k, it := range in.Manuscript.Items {
		b, ok := it.(*notation.Begin)
		if !ok || b.How != "cast on" || len(b.N.Vals) < 3 {
			continue
		}
		prev := -1
		for i, v := range b.N.Vals {
			if v == notation.Skip {
				continue
			}
			if prev >= 0 && v < prev {
				if fallsAgain(in.Manuscript.Items[k+1:], i) {
					break
				}
				f := finding.Finding{Code: "size-order", Span: b.N.Span, Row: "cast-on", Sizes: []int{i},
					Message: fmt.Sprintf("size %s casts on %d sts, fewer than the size before it with %d", in.Manuscript.Sizes[min(i, len(in.Manuscript.Sizes)-1)], v, prev)}
				locate(in.Needle, &f)
				in.Out.Add(f)
				break
			}
			prev = v
		}
	}
}

// fallsAgain says that the first counts stated for each size behind a cast-on fall at size i, too.
func fallsAgain(items []notation.Item, i int) bool {
	for _, it := range items {
		var stated []notation.Stated
		switch it := it.(type) {
		case *notation.Begin:
			return false
		case *notation.Row:
			stated = it.Stated
		case *notation.RepRows:
			stated = it.Stated
		case *notation.Shape:
			stated = it.Stated
		case *notation.Straight:
			stated = it.Stated
		}
		for _, s := range stated {
			if s.Kind == notation.CountAll && len(s.N.Vals) > i && s.N.Vals[i-1] >= 0 {
				return s.N.Vals[i] < s.N.Vals[i-1]
			}
		}
	}
	return false
}

// unexplained: a stitch of the designer's own whose definition cannot be worked.
// It is said once, where it is first used.
func unexplained(in Input) {
	said := map[string]bool{}
	rowsOf(in.Manuscript, func(r *notation.Row) {
		notation.Each(r.Body, func(o notation.Op) {
			d, ok := o.(*notation.Do)
			if !ok || said[d.Key] {
				return
			}
			if s := in.Manuscript.Own[d.Key]; s != nil && s.NoBody {
				said[d.Key] = true
				f := finding.Finding{Code: "row-not-understood", Span: d.Span, Row: r.Name(),
					Message: fmt.Sprintf("“%s” is explained in words that cannot be worked; say how many stitches it uses and makes, “(uses 3 sts, makes 3)”", s.Name)}
				locate(in.Needle, &f)
				in.Out.Add(f)
			}
		})
	})
}

// nothing: words, but no cast-on, multiple or row among them.
func nothing(in Input) {
	if len(in.Needle.Parts) > 0 || len(in.Manuscript.Findings.Findings) > 0 {
		return
	}
	for n, l := range in.Manuscript.Source {
		if strings.TrimSpace(l) != "" {
			in.Out.Addf("nothing-to-prove", finding.Span{Line: n + 1, Col: 1, EndLine: n + 1, EndCol: 2}, "no cast-on, multiple or row is found here; begin with “CO 40 sts” or “Multiple of 6 + 5”, then “Row 1: …”")
			return
		}
	}
}

// namedApart says that a definition names several stitches at once, "m1L / m1R", and a row works one of them.
func namedApart(ms *notation.Manuscript, name string) bool {
	parts := strings.Split(name, " / ")
	if len(parts) < 2 {
		return false
	}
	found := false
	rowsOf(ms, func(r *notation.Row) {
		for n := r.Span.Line; n <= r.Span.EndLine && n <= len(ms.Source) && n > 0; n++ {
			for _, word := range strings.FieldsFunc(ms.Source[n-1], func(c rune) bool {
				return c == ' ' || c == ',' || c == '.' || c == ';' || c == '*' || c == '(' || c == ')'
			}) {
				found = found || slices.ContainsFunc(parts, func(part string) bool { return strings.EqualFold(word, strings.TrimSpace(part)) })
			}
		}
	})
	return found
}

// unusedDefinitions: a stitch of the designer's own that no row works.
func unusedDefinitions(in Input) {
	ms := in.Manuscript
	used := map[string]bool{}
	var walk func(ops []notation.Op)
	walk = func(ops []notation.Op) {
		notation.Each(ops, func(o notation.Op) {
			if d, ok := o.(*notation.Do); ok && !used[d.Key] {
				used[d.Key] = true
				if s := ms.Own[d.Key]; s != nil {
					walk(s.Body)
				}
			}
		})
	}
	rowsOf(ms, func(r *notation.Row) { walk(r.Body) })
	for _, it := range ms.Items {
		d, ok := it.(*notation.Define)
		if !ok {
			continue
		}
		key := "own:" + strings.ToLower(strings.Trim(d.Name, "\"“”' "))
		if s := ms.Own[key]; s != nil && !used[key] && !namedApart(ms, d.Name) {
			in.Out.Add(finding.Finding{Code: "unused-definition", Span: d.Span, Message: fmt.Sprintf("“%s” is explained, but no row uses it", d.Name)})
		}
	}
}
