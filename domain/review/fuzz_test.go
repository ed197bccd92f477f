package review

import (
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"

	"rowproof/domain/finding"

	"golang.org/x/tools/txtar"
)

// manuscripts gives the texts of the corpus by name.
func manuscripts(t testing.TB) map[string]string {
	t.Helper()
	files, err := filepath.Glob("testdata/corpus/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatal("no corpus", err)
	}
	out := map[string]string{}
	for _, f := range files {
		ar, err := txtar.ParseFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range ar.Files {
			if x.Name == "manuscript.txt" {
				out[strings.TrimSuffix(filepath.Base(f), ".txtar")] = string(x.Data)
			}
		}
	}
	return out
}

// FuzzProve holds the whole check to any text: it does not panic, its report
// keeps to the shape of the fixed interface, and checking twice says the same.
func FuzzProve(f *testing.F) {
	for _, text := range manuscripts(f) {
		f.Add(text)
	}
	for _, c := range finding.Codes() {
		f.Add(c.Example)
	}
	for _, text := range hostile(300) {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 8000 {
			return
		}
		soundReport(t, text, Check(text).Report)
	})
}

// soundReport fails where a report does not keep to the fixed interface.
func soundReport(t *testing.T, text string, r *Report) {
	t.Helper()
	b, err := json.Marshal(r)
	if err != nil {
		t.Fatal("the report does not encode:", err)
	}
	var back Report
	if err := json.Unmarshal(b, &back); err != nil {
		t.Fatal("the report does not decode:", err)
	}
	if len(r.Sizes) == 0 || r.Parts == nil || r.Yarn == nil || r.Measurements == nil || r.Findings == nil {
		t.Error("a list of the report is nil, or there is no size")
	}
	lines := strings.Count(strings.ReplaceAll(text, "\r", "\n"), "\n") + strings.Count(text, "\u2028") + strings.Count(text, "\u2029") + 1
	if len(r.Findings) > finding.Max+1 {
		t.Errorf("%d findings", len(r.Findings))
	}
	for _, f := range r.Findings {
		if f.Line < 1 || f.Line > lines || f.Column < 1 {
			t.Errorf("%s at %d:%d of %d lines", f.Code, f.Line, f.Column, lines)
		}
		if f.Sizes == nil || f.Mends == nil || f.Message == "" {
			t.Errorf("%s: sizes or mends nil, or no message", f.Code)
		}
		if finding.Lookup(f.Code).Doc == "" {
			t.Errorf("%s is not in the register", f.Code)
		}
	}
	for _, p := range r.Parts {
		for _, row := range p.Rows {
			if len(row.Counts) != len(r.Sizes) || len(row.LastCounts) != len(r.Sizes) {
				t.Fatalf("row %s has %d counts for %d sizes", row.Row, len(row.Counts), len(r.Sizes))
			}
			for _, c := range row.Counts {
				if c != nil && (*c < 0 || *c > 1_000_000) {
					t.Fatalf("row %s has %d stitches", row.Row, *c)
				}
			}
		}
	}
}
