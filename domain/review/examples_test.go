package review

import (
	"regexp"
	"strings"
	"testing"

	"rowproof/domain/finding"
)

// TestExamples runs the example of every code of the register: it raises that
// code, at that severity, and nothing worse.
func TestExamples(t *testing.T) {
	for _, info := range finding.Codes() {
		if info.Example == "" {
			continue
		}
		t.Run(string(info.Code), func(t *testing.T) {
			var others []string
			hit := false
			for _, f := range Check(info.Example).Report.Findings {
				switch {
				case f.Code == info.Code:
					hit = true
					if f.Severity != info.Severity {
						t.Errorf("severity %s, want %s", f.Severity, info.Severity)
					}
				case info.Code == "multiple-differs" && f.Code == "repeat-stops-midway": // the row where it is felt
				case f.Severity == finding.Error || info.Severity != finding.Error:
					others = append(others, string(f.Code)+": "+f.Message)
				}
			}
			if !hit {
				t.Errorf("the example does not raise it:\n%s", info.Example)
			}
			if len(others) > 0 {
				t.Errorf("the example raises others too: %s\n%s", strings.Join(others, "; "), info.Example)
			}
		})
	}
}

// TestCodes polices the register: names, titles and what the help pages say.
func TestCodes(t *testing.T) {
	name := regexp.MustCompile(`^[a-z][a-z0-9]*(-[a-z0-9]+)*$`)
	for _, info := range finding.Codes() {
		if !name.MatchString(string(info.Code)) {
			t.Errorf("%q is not lower case with hyphens", info.Code)
		}
		if info.Title == "" || strings.HasSuffix(info.Title, ".") {
			t.Errorf("%s: title %q is empty or ends with a full stop", info.Code, info.Title)
		}
		if !strings.HasSuffix(info.Doc, ".") {
			t.Errorf("%s: doc %q is no sentence", info.Code, info.Doc)
		}
		switch info.Severity {
		case finding.Error, finding.Warning, finding.Note:
		default:
			t.Errorf("%s: severity %q", info.Code, info.Severity)
		}
	}
}
