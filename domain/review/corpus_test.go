package review

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"rowproof/domain/finding"

	"golang.org/x/tools/txtar"
)

type expectRow struct {
	Row   string   `json:"row"`
	Line  int      `json:"line"`
	Sizes []string `json:"sizes"`
}

// expectNeeds is a needed multiple; min is compared only where it is given.
type expectNeeds struct {
	Of, Plus int
	Min      *int
}

func (e expectNeeds) met(n *NeededMultiple) bool {
	return n != nil && e.Of == n.Of && e.Plus == n.Plus && (e.Min == nil || *e.Min == n.Min)
}

// readExpect reads an expect.json; where one number stands for all sizes, it is
// given to each.
func readExpect(b []byte, sizes int) (expect, error) {
	var loose map[string]any
	var e expect
	if err := json.Unmarshal(b, &loose); err != nil {
		return e, err
	}
	each := func(v any) any {
		n, one := v.(float64)
		if !one {
			return v
		}
		out := make([]any, sizes)
		for i := range out {
			out[i] = n
		}
		return out
	}
	parts, _ := loose["parts"].([]any)
	for _, p := range parts {
		part, _ := p.(map[string]any)
		for _, k := range []string{"cast_on", "final_counts"} {
			if v, ok := part[k]; ok {
				part[k] = each(v)
			}
		}
		for _, k := range []string{"counts", "last_counts", "times"} {
			rows, _ := part[k].(map[string]any)
			for name, v := range rows {
				rows[name] = each(v)
			}
		}
	}
	b, err := json.Marshal(loose)
	if err != nil {
		return e, err
	}
	return e, json.Unmarshal(b, &e)
}

type expectPart struct {
	Name   *string           `json:"name"`
	Worked string            `json:"worked"`
	Mult   *Multiple         `json:"multiple"`
	Needs  *expectNeeds      `json:"needs_multiple"`
	CastOn []int             `json:"cast_on"`
	Final  []int             `json:"final_counts"`
	Change *int              `json:"change_per_repeat"`
	Counts map[string][]*int `json:"counts"`
	Last   map[string][]*int `json:"last_counts"`
	Times  map[string][]int  `json:"times"`
	Sts    map[string][2]int `json:"stitches"`
}

type expect struct {
	Right    bool         `json:"right"`
	Parts    []expectPart `json:"parts"`
	Errors   []expectRow  `json:"errors"`
	Warnings []expectRow  `json:"warnings"`
	Max      *int         `json:"max_warnings"`
}

// compare says what in a report is not as expected.
func compare(want expect, r *Report) []string {
	var bad []string
	say := func(f string, a ...any) { bad = append(bad, fmt.Sprintf(f, a...)) }
	var errs, warns []ReportFinding
	for _, f := range r.Findings {
		switch f.Severity {
		case finding.Error:
			errs = append(errs, f)
		case finding.Warning:
			warns = append(warns, f)
		}
	}
	if want.Right {
		for _, f := range errs {
			say("error on a right pattern: line %d row %q %s: %s %v", f.Line, f.Row, f.Code, f.Message, f.Sizes)
		}
	}
	for _, e := range want.Errors {
		if !found(errs, e) {
			say("not blamed: row %q line %d sizes %v; errors: %s", e.Row, e.Line, e.Sizes, brief(errs))
		}
	}
	for _, e := range want.Warnings {
		if !found(warns, e) {
			say("not warned: row %q line %d; warnings: %s", e.Row, e.Line, brief(warns))
		}
	}
	if want.Right && want.Max != nil && len(warns) > *want.Max {
		say("%d warnings, at most %d: %s", len(warns), *want.Max, brief(warns))
	}
	for i, wp := range want.Parts {
		if i >= len(r.Parts) {
			say("part %d missing (%d parts)", i, len(r.Parts))
			continue
		}
		p := r.Parts[i]
		if wp.Worked != "" && wp.Worked != p.Worked {
			say("part %d worked %s, want %s", i, p.Worked, wp.Worked)
		}
		if wp.Mult != nil && (p.Multiple == nil || *wp.Mult != *p.Multiple) {
			say("part %d multiple %v, want %v", i, show(p.Multiple), *wp.Mult)
		}
		if wp.Needs != nil && !wp.Needs.met(p.NeedsMultiple) {
			say("part %d needs %v, want %v", i, show(p.NeedsMultiple), *wp.Needs)
		}
		if wp.CastOn != nil && !reflect.DeepEqual(wp.CastOn, p.CastOn) {
			say("part %d cast on %v, want %v", i, p.CastOn, wp.CastOn)
		}
		if wp.Final != nil && vals(p.FinalCounts) != fmt.Sprint(wp.Final) {
			say("part %d final %v, want %v", i, vals(p.FinalCounts), wp.Final)
		}
		if wp.Change != nil && (p.ChangePerRepeat == nil || *p.ChangePerRepeat != *wp.Change) {
			say("part %d change %v, want %d", i, show(p.ChangePerRepeat), *wp.Change)
		}
		row := func(name string) *Row {
			for k := range p.Rows {
				if strings.EqualFold(p.Rows[k].Row, name) {
					return &p.Rows[k]
				}
			}
			say("part %d row %q missing", i, name)
			return nil
		}
		for n, c := range wp.Counts {
			if q := row(n); q != nil && vals(q.Counts) != vals(c) {
				say("part %d row %s counts %v, want %v", i, n, vals(q.Counts), vals(c))
			}
		}
		for n, c := range wp.Last {
			if q := row(n); q != nil && vals(q.LastCounts) != vals(c) {
				say("part %d row %s last counts %v, want %v", i, n, vals(q.LastCounts), vals(c))
			}
		}
		for n, c := range wp.Times {
			if q := row(n); q != nil && !reflect.DeepEqual(q.Times, c) {
				say("part %d row %s times %v, want %v", i, n, q.Times, c)
			}
		}
		for n, c := range wp.Sts {
			if q := row(n); q != nil && (q.Stitches == nil || q.Stitches.Of != c[0] || q.Stitches.Plus != c[1]) {
				say("part %d row %s stitches %v, want %v", i, n, show(q.Stitches), c)
			}
		}
	}
	return bad
}

func show(v any) string {
	b, _ := json.Marshal(v)
	return string(b)
}

func vals(c []*int) string {
	if c == nil {
		return "null"
	}
	s := make([]string, len(c))
	for i, v := range c {
		s[i] = "null"
		if v != nil {
			s[i] = fmt.Sprint(*v)
		}
	}
	return "[" + strings.Join(s, " ") + "]"
}

func found(fs []ReportFinding, e expectRow) bool {
	for _, f := range fs {
		if (e.Row == "" || strings.EqualFold(f.Row, e.Row)) && (e.Line == 0 || f.Line == e.Line) {
			if e.Sizes == nil || fmt.Sprint(f.Sizes) == fmt.Sprint(e.Sizes) || len(e.Sizes) == 1 && e.Sizes[0] == "" && len(f.Sizes) == 0 {
				return true
			}
		}
	}
	return false
}

func brief(fs []ReportFinding) string {
	var s []string
	for _, f := range fs {
		s = append(s, fmt.Sprintf("%d/%q/%s/%v: %s", f.Line, f.Row, f.Code, f.Sizes, f.Message))
	}
	return strings.Join(s, " | ")
}

// TestCorpus runs every manuscript of the corpus; it may be narrowed with
// ROWPROOF_CORPUS, a glob.
func TestCorpus(t *testing.T) {
	glob := os.Getenv("ROWPROOF_CORPUS")
	if glob == "" {
		glob = "*"
	}
	files, err := filepath.Glob("testdata/corpus/" + glob + ".txtar")
	more, _ := filepath.Glob("testdata/more/" + glob + ".txtar") // of the same kind, read by this test alone
	files = append(files, more...)
	if err != nil || len(files) == 0 {
		t.Fatal("no corpus", err)
	}
	for _, f := range files {
		t.Run(strings.TrimSuffix(filepath.Base(f), ".txtar"), func(t *testing.T) {
			ar, err := txtar.ParseFile(f)
			if err != nil {
				t.Fatal(err)
			}
			var text string
			var expected []byte
			for _, x := range ar.Files {
				switch x.Name {
				case "manuscript.txt":
					text = string(x.Data)
				case "expect.json":
					expected = x.Data
				}
			}
			rep := Check(text).Report
			want, err := readExpect(expected, len(rep.Sizes))
			if err != nil {
				t.Fatal(err)
			}
			for _, b := range compare(want, rep) {
				t.Error(b)
			}
		})
	}
}
