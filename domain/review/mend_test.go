package review

import (
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"rowproof/domain/finding"

	"golang.org/x/tools/txtar"
)

// TestMends: the mends of one wrong row, the best first.
func TestMends(t *testing.T) {
	for _, c := range []struct{ name, text, row, mend string }{
		{"a stitch too few in the middle keeps the columns",
			"Multiple of 6 sts + 5\nRow 1 (RS): Knit.\nRow 2: Purl.\nRow 3: Knit.\nRow 4: Purl.\nRow 5: K2, *k3b, k5; rep from * to last 3 sts, k3b, k2.\nRow 6: Purl.\nRow 7: Knit.\nRow 8: Purl.\nRow 9: Knit.\nRow 10: Purl.\nRow 11: K2, *k3b, k4; rep from * to last 3 sts, k3b, k2.",
			"11", "K2, *k3b, k5; rep from * to last 3 sts, k3b, k2."},
		{"a yarn over lost",
			"CO 25 sts.\nRow 1 (RS): K1, *k2, yo, sk2p, yo, k1; rep from * to end.\nRow 2: Purl.\nRow 3: K1, *k2, yo, sk2p, k1; rep from * to end. (25 sts)\nRow 4: Purl. 25 sts.",
			"3", "K1, *k2, yo, sk2p, yo, k1; rep from * to end. (25 sts)"},
		{"the bound of a repeat",
			"CO 24 sts.\nRow 1: K1, *p2, k2; rep from * to last 3 sts, p2, k1.\nRow 2: P1, *k2, p2; rep from * to last 2 sts, k2, p1.",
			"2", "P1, *k2, p2; rep from * to last 3 sts, k2, p1."},
		{"a stated count",
			"Sizes: S (M, L)\nCO 80 (88, 96) sts.\nRow 1: K2, ssk, k to last 4 sts, k2tog, k2. 78 (86, 95) sts.",
			"1", "K2, ssk, k to last 4 sts, k2tog, k2. 78 (86, 94) sts."},
		{"some sizes have stitches over",
			"Sizes: S (M, L)\nCO 80 (88, 96) sts. Join in the round.\nRnd 1: *K8, k2tog; rep from * around.",
			"1", "*K8, k2tog; rep from * to last 0 (8, 6) sts, k0 (8, 6)."},
		{"some sizes have stitches over, and the count is right",
			"Sizes: S (M, L)\nCO 80 (88, 96) sts. Join in the round.\nRnd 1: *P8, p2tog; rep from * around. 72 (80, 88) sts.",
			"1", "*P8, p2tog; rep from * to last 0 (8, 16) sts, p0 (8, 16). 72 (80, 88) sts."},
		{"no stitch among the sizes",
			"Sizes: S (M, L)\nCO 168 (175, 196) sts. Join in the round.\nRnd 1: *K7 (7, 8), m1l; rep from * to end. 192 (200, 224) sts.",
			"1", "*K7 (7, 7), m1l; rep from * to end. 192 (200, 224) sts."},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, f := range Check(c.text).Findings {
				if f.Row != c.row || f.Severity() != finding.Error {
					continue
				}
				for _, m := range f.Mends {
					if regexp.MustCompile(`\d, (yo|k1), \d`).MatchString(m.Text) {
						t.Errorf("a stitch among the sizes: %s", m.Text)
					}
				}
				if len(f.Mends) == 0 || f.Mends[0].Text != c.mend {
					t.Errorf("%s: mends %+v, want first %q", f.Message, f.Mends, c.mend)
				}
				return
			}
			t.Errorf("no error at row %s", c.row)
		})
	}
}

// TestMendsMend: of every wrong manuscript, each mend that is offered, done to the
// whole text, takes the finding away and brings no other error to its line.
func TestMendsMend(t *testing.T) {
	files, err := filepath.Glob("testdata/corpus/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatal("no corpus", err)
	}
	offered := 0
	for _, file := range files {
		ar, err := txtar.ParseFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(string(ar.Files[1].Data), `"errors"`) {
			continue
		}
		text := string(ar.Files[0].Data)
		r := Check(text)
		for _, f := range r.Findings {
			for _, m := range f.Mends {
				offered++
				for _, g := range prove(mendedText(r.Manuscript.Source, m)).Findings {
					if g.Severity() == finding.Error && g.Line == f.Line {
						t.Errorf("%s: %q is mended to %q, where stands %s: %s", filepath.Base(file), f.Message, m.Text, g.Code, g.Message)
					}
				}
			}
		}
	}
	if offered < 300 {
		t.Errorf("%d mends only were offered", offered)
	}
}

// mendedText does one mend to the lines of a manuscript.
func mendedText(source []string, m finding.Mend) string {
	lines := append([]string(nil), source...)
	for _, e := range m.Edits {
		rs := []rune(lines[e.Line-1])
		lines[e.Line-1] = string(rs[:e.Col-1]) + e.Text + string(rs[e.EndCol-1:])
	}
	return strings.Join(lines, "\n")
}
