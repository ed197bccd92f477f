package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestPicture(t *testing.T) {
	dir := t.TempDir()
	const rain, hat, cowl = "demo/rain-on-slate.txt", "demo/lantern-hat.txt", "demo/marsh-cowl.txt"
	out := func(name string) string { return filepath.Join(dir, name) }
	const png = "\x89PNG"
	for _, test := range []struct {
		name        string
		args        []string
		code        int
		file, holds string
		says        string
	}{
		{"a stitch pattern", []string{rain, "-o", out("a.png")}, 0, "a.png", png, ""},
		{"the wrong side, options first", []string{"-o", out("b.png"), "--side", "ws", rain}, 0, "b.png", png, ""},
		{"paths", []string{rain, "-o", out("c.svg")}, 0, "c.svg", "<svg", ""},
		{"a part", []string{cowl, "-o", out("d.png"), "--part", "edging"}, 0, "d.png", png, ""},
		{"a size", []string{hat, "-o", out("e.png"), "--size", "m"}, 0, "e.png", png, ""},
		{"colours", []string{rain, "-o", out("f.png"), "--colours", "A: #224466; B: #ffeecc"}, 0, "f.png", png, ""},
		{"no such colour", []string{rain, "-o", out("g.png"), "--colours", "A: mauvish"}, 2, "", "", "mauvish"},
		{"no such size", []string{hat, "-o", out("g.png"), "--size", "XXL"}, 2, "", "", `no size "XXL"; there are Child, S, M, L, XL`},
		{"no such part", []string{cowl, "-o", out("g.png"), "--part", "sleeve"}, 2, "", "", `no part "sleeve"`},
		{"no such side", []string{rain, "-o", out("g.png"), "--side", "up"}, 2, "", "", "rs or ws"},
		{"no such ending", []string{rain, "-o", out("g.gif")}, 2, "", "", ".png or .svg"},
		{"not yet", []string{rain, "-o", out("g.png"), "--computed"}, 2, "", "", "not built yet"},
		{"no output", []string{rain}, 2, "", "", "needs the file"},
		{"no file", []string{"nothing.txt", "-o", out("h.png")}, 2, "", "", "nothing.txt"},
		{"two files", []string{rain, cowl, "-o", out("j.png")}, 2, "", "", "is a second"},
		{"no rows", []string{"-", "-o", out("k.png")}, 2, "", "", "has no rows"},
		{"help", []string{"--help"}, 0, "", "", "rowproof picture FILE"},
	} {
		var stdout, stderr bytes.Buffer
		code := run(append([]string{"picture"}, test.args...), strings.NewReader("A title\n"), &stdout, &stderr)
		if code != test.code || !strings.Contains(stderr.String(), test.says) || test.says == "" && stderr.Len() > 0 {
			t.Errorf("%s: picture %s: exit %d, says %q; want %d, %q", test.name, test.args, code, stderr.String(), test.code, test.says)
		}
		if test.file == "" {
			continue
		}
		if b, err := os.ReadFile(out(test.file)); err != nil || !strings.Contains(string(b), test.holds) {
			t.Errorf("%s: %s does not hold %q, error %v", test.name, test.file, test.holds, err)
		}
	}
}
