package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestPrint(t *testing.T) {
	dir := t.TempDir()
	hat, cowl := "demo/lantern-hat.txt", "demo/marsh-cowl.txt"
	out := func(name string) string { return filepath.Join(dir, name) }
	for _, test := range []struct {
		name, args  string
		code        int
		file, holds string // of what is printed
		says        string // on standard error
	}{
		{"pdf", hat + " -o " + out("a.pdf"), 0, "a.pdf", "%PDF-1.7", ""},
		{"options first", "-o " + out("b.pdf") + " --paper letter --edition large-print " + hat, 0, "b.pdf", "%PDF-1.7", ""},
		{"text", hat + " -o " + out("c.txt"), 0, "c.txt", "88 (96, 104, 112, 120)", ""},
		{"one size", hat + " -o " + out("d.txt") + " --size m", 0, "d.txt", "104", ""},
		{"html", hat + " -o " + out("e.html"), 0, "e.html", "<!DOCTYPE html>", ""},
		{"inches", hat + " -o " + out("k.txt") + " --units imperial", 0, "k.txt", "4 inches in", ""},
		{"charts", "demo/rain-on-slate.txt --edition chart -o " + out("m.html"), 0, "m.html", "Chart of Rain stitch", ""},
		{"charts as text", "demo/rain-on-slate.txt --edition chart -o " + out("n.txt"), 0, "n.txt", "*k4b, k5; rep from * to end", ""},
		{"no such edition", hat + " --edition braille -o " + out("o.pdf"), 2, "", "", "large-print or chart"},
		{"no such units", hat + " -o " + out("l.txt") + " --units ells", 2, "", "", "metric or imperial or both"},
		{"errors are said", cowl + " -o " + out("f.txt"), 0, "f.txt", "ot proved", "errors in it"},
		{"no such size", hat + " -o " + out("g.pdf") + " --size XXL", 2, "", "", `no size "XXL"; there are Child, S, M, L, XL`},
		{"no such ending", hat + " -o " + out("g.doc"), 2, "", "", ".pdf, .html and .txt can"},
		{"no output", hat, 2, "", "", "needs the file"},
		{"no file", "nothing.txt -o " + out("h.pdf"), 2, "", "", "nothing.txt"},
		{"no such paper", hat + " -o " + out("i.pdf") + " --paper a5", 2, "", "", "a4 or letter"},
		{"two files", hat + " " + cowl + " -o " + out("j.pdf"), 2, "", "", "is a second"},
	} {
		var stdout, stderr bytes.Buffer
		code := run(append([]string{"print"}, strings.Fields(test.args)...), strings.NewReader(""), &stdout, &stderr)
		if code != test.code || !strings.Contains(stderr.String(), test.says) || test.says == "" && stderr.Len() > 0 {
			t.Errorf("%s: print %s: exit %d, says %q; want %d, %q", test.name, test.args, code, stderr.String(), test.code, test.says)
		}
		if test.file == "" {
			continue
		}
		if b, err := os.ReadFile(out(test.file)); err != nil || !strings.Contains(string(b), test.holds) {
			t.Errorf("%s: %s does not hold %q, error %v", test.name, test.file, test.holds, err)
		}
	}
}

func TestCommands(t *testing.T) {
	for _, test := range []struct {
		args string
		code int
		says string
	}{
		{"", 2, "rowproof check"},
		{"help", 0, "rowproof check"},
		{"version", 0, "rowproof "},
		{"knit", 2, `no command "knit"`},
		{"check demo/lantern-hat.txt", 0, ""},
		{"check demo/marsh-cowl.txt", 1, "mend"},
		{"check nothing.txt", 2, "nothing.txt"},
		{"serve --help", 0, "--addr"},
		{"serve twice", 2, `"twice" is not understood`},
	} {
		var out bytes.Buffer
		if code := run(strings.Fields(test.args), strings.NewReader(""), &out, &out); code != test.code || !strings.Contains(out.String(), test.says) {
			t.Errorf("rowproof %s: exit %d, says %q; want %d, %q", test.args, code, out.String(), test.code, test.says)
		}
	}
}
