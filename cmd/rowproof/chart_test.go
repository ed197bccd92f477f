package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestChart(t *testing.T) {
	dir := t.TempDir()
	const rain, hat, cowl = "demo/rain-on-slate.txt", "demo/lantern-hat.txt", "demo/marsh-cowl.txt"
	out := func(name string) string { return filepath.Join(dir, name) }
	for _, test := range []struct {
		name, args  string
		code        int
		file, holds string
		says        string
	}{
		{"a stitch pattern", rain + " -o " + out("a.svg"), 0, "a.svg", "Chart of Rain on Slate, Rain stitch: ", ""},
		{"options first", "-o " + out("b.svg") + " --symbols jis " + rain, 0, "b.svg", "repeat of 6 sts", ""},
		{"a part", cowl + " -o " + out("c.svg") + " --part edging", 0, "c.svg", "Edging", "drawn, but rowproof check"},
		{"a size", hat + " -o " + out("d.svg") + " --size m", 0, "d.svg", "<svg", ""},
		{"no such size", hat + " -o " + out("g.svg") + " --size XXL", 2, "", "", `no size "XXL"; there are Child, S, M, L, XL`},
		{"no such part", cowl + " -o " + out("g.svg") + " --part sleeve", 2, "", "", `no part "sleeve"; there are Body, Edging`},
		{"no such set", rain + " -o " + out("g.svg") + " --symbols runes", 2, "", "", "plain or jis"},
		{"no such ending", rain + " -o " + out("g.png"), 2, "", "", ".svg"},
		{"no output", rain, 2, "", "", "needs the file"},
		{"no file", "nothing.txt -o " + out("h.svg"), 2, "", "", "nothing.txt"},
		{"two files", rain + " " + cowl + " -o " + out("j.svg"), 2, "", "", "is a second"},
		{"no rows", "- -o " + out("k.svg"), 2, "", "", "has no rows"},
		{"help", "--help", 0, "", "", "rowproof chart FILE"},
	} {
		var stdout, stderr bytes.Buffer
		code := run(append([]string{"chart"}, strings.Fields(test.args)...), strings.NewReader("A title\n"), &stdout, &stderr)
		if code != test.code || !strings.Contains(stderr.String(), test.says) || test.says == "" && stderr.Len() > 0 {
			t.Errorf("%s: chart %s: exit %d, says %q; want %d, %q", test.name, test.args, code, stderr.String(), test.code, test.says)
		}
		if test.file == "" {
			continue
		}
		if b, err := os.ReadFile(out(test.file)); err != nil || !strings.Contains(string(b), test.holds) {
			t.Errorf("%s: %s does not hold %q, error %v", test.name, test.file, test.holds, err)
		}
	}
}
