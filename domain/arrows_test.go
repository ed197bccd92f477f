package domain_test

import (
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// The rules of the house, as data. Each room may import the rooms behind its
// arrow and, through them, theirs; nothing else of ours. Source: the design's
// section on the house.
var arrows = map[string]struct {
	from []string // rooms it stands on
	pure bool     // neither net/http, pgx, templ nor gofpdf, directly or through another
	only []string // of the guarded libraries, those it may import
}{
	"finding":  {pure: true},
	"photo":    {pure: true},
	"notation": {from: []string{"finding"}, pure: true},
	"needle":   {from: []string{"notation", "finding"}, pure: true},
	"fabric":   {from: []string{"needle"}, pure: true},
	"sizing":   {from: []string{"notation"}, pure: true},
	"yarn":     {from: []string{"fabric", "sizing"}, pure: true},
	"chart":    {from: []string{"fabric", "notation"}, pure: true},
	"review":   {from: []string{"needle", "fabric", "sizing", "yarn"}, pure: true},
	"document": {from: []string{"review", "chart", "sizing", "yarn"}, pure: true},
	"lineage":  {from: []string{"notation"}, pure: true},
	"studio":   {from: []string{"lineage", "review"}, pure: true},
	"draft":    {from: []string{"sizing", "chart", "review", "studio", "lineage"}, pure: true},
	"shaping":  {from: []string{"sizing", "review"}, pure: true},
	"errata":   {from: []string{"notation", "lineage", "studio"}, pure: true},
	"working":  {from: []string{"document"}, pure: true},
	"picture":  {from: []string{"fabric", "chart", "yarn"}},
	"pdf":      {from: []string{"document", "picture"}, only: []string{gofpdf}},
	"store":    {from: []string{"studio"}, only: []string{pgx}},
	"localdb":  {only: []string{pgx}}, // asks its child whether it is up
	"post":     {from: []string{"store", "document", "pdf", "picture"}, only: []string{pgx}},
}

const (
	gofpdf = "github.com/jung-kurt/gofpdf"
	pgx    = "github.com/jackc/pgx"
)

// helpers of tests stand on more than their room does.
var testHelpers = map[string]string{"rowproof/domain/store/storetest": "localdb"}

// guarded libraries have one room each, or stay outside the domain.
var guarded = []string{"net/http", pgx, "github.com/a-h/templ", gofpdf}

type pkg struct {
	ImportPath string
	Imports    []string
	Deps       []string
}

func TestArrows(t *testing.T) {
	pkgs := listed(t)
	for path, p := range pkgs {
		name := room(path)
		if name == "" {
			continue
		}
		rule, ok := arrows[name]
		if !ok {
			t.Errorf("%s: no rule for the room %q; give it its arrows here", path, name)
			continue
		}
		may := reach(name)
		for _, d := range p.Deps {
			if !strings.HasPrefix(d, "rowproof/") {
				continue
			}
			if r := room(d); r != "" && r == testHelpers[path] {
				continue
			} else if r == "" && !strings.HasPrefix(d, "rowproof/assets") && !strings.HasPrefix(d, "rowproof/migrations") || r != "" && r != name && !may[r] {
				t.Errorf("%s imports %s, against the arrows", path, d)
			}
		}
		for _, lib := range guarded {
			if !rule.pure && (slices.Contains(rule.only, lib) || lib == "net/http") {
				continue
			}
			deps := p.Deps // a pure room may not even reach it
			if !rule.pure {
				deps = p.Imports
			}
			for _, d := range deps {
				if d == lib || strings.HasPrefix(d, lib+"/") {
					t.Errorf("%s imports %s", path, d)
				}
			}
		}
	}
	for name := range arrows {
		for _, r := range arrows[name].from {
			if _, ok := arrows[r]; !ok {
				t.Errorf("the arrow of %s leads to no room: %s", name, r)
			}
		}
	}
}

// reach gives the rooms that name stands on, directly or through another.
func reach(name string) map[string]bool {
	out := map[string]bool{}
	var walk func(string)
	walk = func(n string) {
		for _, r := range arrows[n].from {
			if !out[r] {
				out[r] = true
				walk(r)
			}
		}
	}
	walk(name)
	return out
}

// room is the room of a package, "" outside the domain.
func room(path string) string {
	rest, ok := strings.CutPrefix(path, "rowproof/domain/")
	if !ok {
		return ""
	}
	name, _, _ := strings.Cut(rest, "/")
	return name
}

func listed(t *testing.T) map[string]pkg {
	t.Helper()
	cmd := exec.Command("go", "list", "-deps", "-json=ImportPath,Imports,Deps", "./...")
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatal("go list:", err)
	}
	pkgs := map[string]pkg{}
	for dec := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p pkg
		if err := dec.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		pkgs[p.ImportPath] = p
	}
	return pkgs
}

// TestTopLevel holds the top level to what is fixed. What .gitignore names there is made by
// building and running, "make run" before "make test", and is no part of the project.
func TestTopLevel(t *testing.T) {
	fixed := []string{"cmd", "web", "handlers", "domain", "migrations", "assets", "go.mod", "go.sum", "README.md", "DEVELOPERS.md", "docker-compose.yml",
		".git", ".ci", ".gitignore", ".dockerignore", "LICENSE", "Dockerfile", "Makefile"}
	ignored, err := os.ReadFile("../.gitignore")
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(ignored)) {
		if name, ok := strings.CutPrefix(strings.TrimSpace(line), "/"); ok {
			fixed = append(fixed, strings.Trim(name, "/"))
		}
	}
	names, err := filepath.Glob("../*")
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range names {
		if b := filepath.Base(n); filepath.Ext(b) != ".test" && !slices.Contains(fixed, b) {
			t.Errorf("%s stands at the top level, which is fixed", b)
		}
	}
}
