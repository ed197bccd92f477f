package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Every form drafts from the command line, and rowproof check proves what it writes.
func TestDraftCommand(t *testing.T) {
	stitch := filepath.Join(t.TempDir(), "pebble.txt")
	if err := os.WriteFile(stitch, []byte("Pebble\nMultiple of 4 sts + 2.\nRow 1 (RS): Knit.\nRow 2: Purl.\nRow 3: K1, *k2, p2; rep from * to last st, k1.\nRow 4: Purl.\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		args, holds string
	}{
		{"swatch --gauge 20x28", "CO 30 sts."},
		{"scarf --gauge 20x28 --stitch " + stitch, "of Pebble"},
		{"blanket --gauge 18.5x26 --sizes small=70,large=110", "Sizes: small (large)"},
		{"cowl --gauge 20x28 --stitch " + stitch + " --title Harrow", "Harrow\n"},
		{"cushion --gauge 20x28 --with width=45", "CO 90 sts."},
		{"hat --gauge 20x28 --sizes Child,Woman,Man", "Sizes: Child (Woman, Man)"},
		{"mitten --gauge 24x32 --sizes 18,20,22", "Sizes: 1 (2, 3)"},
		{"triangle --gauge 20x32", "Inc row (RS): K2, yo, k to m"},
		{"crescent --gauge 20x32", "Third section"},
		{"pullover --gauge 20x28", "Sizes: XS (S, M, L, 1X, 2X, 3X, 4X, 5X)"},
		{"cardigan --gauge 20x28 --body men", "Buttonhole band"},
		{"raglan --gauge 22x30 --body children", "Division rnd"},
		{"--gauge 20x28 set-in --sizes S,M,L --ease close", "Shape cap"},
	} {
		var stdout, stderr bytes.Buffer
		if code := run(append([]string{"draft"}, strings.Fields(test.args)...), strings.NewReader(""), &stdout, &stderr); code != 0 || !strings.Contains(stdout.String(), test.holds) {
			t.Errorf("draft %s: exit %d, says %q, no %q in\n%s", test.args, code, stderr.String(), test.holds, stdout.String())
			continue
		}
		var report, says bytes.Buffer
		if code := run([]string{"check", "-"}, strings.NewReader(stdout.String()), &report, &says); code != 0 {
			t.Errorf("draft %s is not proved:\n%s", test.args, report.String())
		}
	}
	for args, says := range map[string]string{
		"cape --gauge 20x28":                      `no form "cape"; there are swatch`,
		"scarf":                                   "for example 20x28",
		"scarf --gauge 20":                        "stitches and rows",
		"":                                        "needs a form",
		"scarf --gauge 20x28 --with height=3":     `no measurement "height"`,
		"scarf --gauge 20x28 --with width":        "key=cm",
		"set-in --gauge 20x28 --sizes Giant":      `no size "Giant"`,
		"set-in --gauge 20x28 --body dogs":        "women, men, children, babies",
		"set-in --gauge 20x28 --ease tentlike":    `no ease "tentlike"`,
		"scarf --gauge 20x28 --sizes S":           "write its width in cm",
		"scarf --gauge 20x28 --stitch nowhere.md": "nowhere.md",
	} {
		var stdout, stderr bytes.Buffer
		if code := run(append([]string{"draft"}, strings.Fields(args)...), strings.NewReader(""), &stdout, &stderr); code != 2 || !strings.Contains(stderr.String(), says) || stdout.Len() > 0 {
			t.Errorf("draft %s: exit %d, says %q; want 2, %q", args, code, stderr.String(), says)
		}
	}
}
