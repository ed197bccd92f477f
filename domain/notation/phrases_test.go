package notation

import (
	"bufio"
	"flag"
	"go/ast"
	goparser "go/parser"
	"go/token"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "rewrite testdata/phrases.txt; read the difference")

// TestPhrases reads each phrase of the craft (the ways of writing that the
// project promises to read) and compares it with how the writer puts what was
// read. The file holds a phrase, and indented under it the same in our words.
func TestPhrases(t *testing.T) {
	const name = "testdata/phrases.txt"
	f, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var out strings.Builder
	var phrase string
	var want []string
	n := 0
	flush := func() {
		if phrase == "" {
			return
		}
		n++
		got := readPhrase(phrase)
		out.WriteString(phrase + "\n")
		for _, l := range got {
			out.WriteString("    " + l + "\n")
		}
		if g, w := strings.Join(got, "\n"), strings.Join(want, "\n"); g != w && !*update {
			t.Errorf("%s\nis read as\n%s\nwant\n%s", phrase, g, w)
		}
		phrase, want = "", nil
	}
	for sc := bufio.NewScanner(f); sc.Scan(); {
		switch line := sc.Text(); {
		case strings.HasPrefix(line, "    "):
			want = append(want, strings.TrimPrefix(line, "    "))
		case line == "" || strings.HasPrefix(line, "# "):
			flush()
			out.WriteString(line + "\n")
		default:
			flush()
			phrase = line
		}
	}
	flush()
	if n < 100 {
		t.Errorf("only %d phrases", n)
	}
	if *update {
		if err := os.WriteFile(name, []byte(out.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// readPhrase reads a phrase in the surroundings it needs and writes what came of
// it: kinds of items and their words, and what the reader had to say.
func readPhrase(s string) []string {
	const before = "A Pattern\nSizes: S (M, L)\nBack\nCO 83 (95, 107) sts.\nRow 1: Knit.\n"
	ms := Read("A Pattern\n" + map[bool]string{true: "", false: "Sizes: S (M, L)\n"}[strings.HasPrefix(s, "Sizes:")] + strings.TrimPrefix(before, "A Pattern\nSizes: S (M, L)\n") + s + "\n")
	line := strings.Count(before, "\n") + 1
	if strings.HasPrefix(s, "Sizes:") {
		line--
	}
	var out []string
	for _, it := range ms.Items {
		if _, blank := it.(*Blank); blank || lineOf(it) < line {
			continue
		}
		one := &Manuscript{Sizes: ms.Sizes, Own: ms.Own, Items: []Item{it}}
		kind := strings.TrimPrefix(reflect.TypeOf(it).String(), "*notation.")
		text := strings.TrimSpace(Write(one))
		if kind != "Sizes" {
			text = strings.TrimSpace(strings.TrimPrefix(text, "Sizes: S (M, L)"))
		}
		out = append(out, kind+": "+text)
	}
	for _, f := range ms.Findings.Findings {
		if f.Line >= line {
			out = append(out, "! "+string(f.Code))
		}
	}
	return out
}

func lineOf(it Item) int {
	return reflect.ValueOf(it).Elem().FieldByName("Span").FieldByName("Line").Interface().(int)
}

// TestPhraseLists: two lists that begin alike and are as long are two lists; which of them is
// asked first must not matter.
func TestPhraseLists(t *testing.T) {
	for range 2 {
		p := &parser{toks: scanLine("casting off now", 1), quiet: true}
		if _, ok := p.words(0, "bo", "bind|cast off"); ok {
			t.Error("“casting off” is read as “cast off”")
		}
		if _, ok := p.words(0, "bo", "bind|cast|casting|binding off"); !ok {
			t.Error("“casting off” is not found in a list that has it")
		}
	}
}

// TestPhraseWords: the words of a phrase are asked for as the reader folds them ("needle", never
// "needles"); others would never be met.
func TestPhraseWords(t *testing.T) {
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	asked := 0
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		set := token.NewFileSet()
		file, err := goparser.ParseFile(set, name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok {
				return true
			}
			f, ok := call.Fun.(*ast.SelectorExpr)
			if !ok || f.Sel.Name != "words" && f.Sel.Name != "find" && f.Sel.Name != "phrase" {
				return true
			}
			for _, arg := range call.Args {
				lit, ok := arg.(*ast.BasicLit)
				if !ok || lit.Kind != token.STRING {
					continue
				}
				asked++
				pattern, _ := strconv.Unquote(lit.Value)
				for _, w := range strings.FieldsFunc(pattern, func(c rune) bool { return strings.ContainsRune(" |?", c) }) {
					if folded(w) != w {
						t.Errorf("%s: “%s” is never met: it is folded to “%s”", set.Position(lit.Pos()), w, folded(w))
					}
				}
			}
			return true
		})
	}
	if asked < 500 {
		t.Errorf("only %d phrases are looked at", asked)
	}
}
