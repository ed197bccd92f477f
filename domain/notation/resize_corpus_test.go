package notation_test

import (
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"rowproof/domain/finding"
	"rowproof/domain/needle"
	"rowproof/domain/notation"

	"golang.org/x/tools/txtar"
)

// sized gives the manuscripts of the corpus that have several sizes.
func sized(t *testing.T) map[string]string {
	files, err := filepath.Glob("../review/testdata/corpus/*.txtar")
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
			if strings.Contains(f, "-parametric") {
				continue // names of stitches that look like lists, X4(1;3)R: there are no sizes
			}
			if x.Name == "manuscript.txt" && len(notation.Read(string(x.Data)).Sizes) > 1 {
				out[strings.TrimSuffix(filepath.Base(f), ".txtar")] = string(x.Data)
			}
		}
	}
	if len(out) < 100 {
		t.Fatalf("only %d manuscripts of the corpus have sizes", len(out))
	}
	return out
}

// numbers are what one size works: the counts after every row.
func numbers(r *needle.Result, size, sizes int) []string {
	var out []string
	at := func(c []needle.Count) string {
		if len(c) <= size || !c[size].Known {
			return "-"
		}
		return fmt.Sprint(c[size].N)
	}
	for _, p := range r.Parts {
		cast := "-" // told for the first size alone, where a piece without rows is worked as another
		if len(p.CastOn) == sizes && len(p.Rows) > 0 {
			cast = fmt.Sprint(p.CastOn[size])
		}
		out = append(out, cast+" to "+at(p.Final))
		for _, row := range p.Rows {
			if len(row.Times) > size && row.Times[size] > 0 && at(row.First) != "-" {
				out = append(out, fmt.Sprintf("%d: %s %s x%d", row.Number, at(row.First), at(row.Last), row.Times[size]))
			}
		}
	}
	return out
}

func TestResizeReversed(t *testing.T) {
	for name, text := range sized(t) {
		ms := notation.Read(text)
		var plan []notation.NewSize
		for i := range ms.Sizes {
			plan = append(plan, notation.NewSize{From: len(ms.Sizes) - 1 - i})
		}
		once, err := notation.Resize(ms, text, plan)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if once == text {
			t.Errorf("%s: nothing is reversed", name)
		}
		twice, err := notation.Resize(notation.Read(once), once, plan)
		if err != nil {
			t.Errorf("%s, again: %v", name, err)
		} else if twice != text {
			t.Errorf("%s: reversed twice it differs\n%s", name, diff(text, twice))
		}
	}
}

func TestResizeDropped(t *testing.T) {
	for name, text := range sized(t) {
		ms := notation.Read(text)
		was := needle.Work(ms)
		for drop := range ms.Sizes {
			var plan []notation.NewSize
			for i := range ms.Sizes {
				if i != drop {
					plan = append(plan, notation.NewSize{From: i})
				}
			}
			resized(t, fmt.Sprintf("%s without size %d", name, drop+1), was, text, plan)
		}
	}
}

func TestResizeDoubled(t *testing.T) {
	for name, text := range sized(t) {
		ms := notation.Read(text)
		was := needle.Work(ms)
		if len(ms.Sizes) >= notation.MaxResized {
			continue
		}
		for double := range ms.Sizes {
			var plan []notation.NewSize
			for i := range ms.Sizes {
				plan = append(plan, notation.NewSize{From: i})
				if i == double {
					plan = append(plan, notation.NewSize{From: i, Name: "Between"})
				}
			}
			resized(t, fmt.Sprintf("%s with size %d twice", name, double+1), was, text, plan)
		}
	}
}

// TestResizeAtRandom drops, doubles and reorders sizes all at once.
func TestResizeAtRandom(t *testing.T) {
	for name, text := range sized(t) {
		ms := notation.Read(text)
		was := needle.Work(ms)
		for seed := range uint64(6) {
			r := rand.New(rand.NewPCG(seed, uint64(len(text))))
			var plan []notation.NewSize
			for _, i := range r.Perm(len(ms.Sizes)) {
				if r.IntN(4) > 0 {
					plan = append(plan, notation.NewSize{From: i})
				}
				if r.IntN(4) == 0 {
					name := "Size" + string(rune('a'+len(plan)))
					if strings.Contains(ms.Sizes[0], "/") {
						name = "S/" + name // one stroke among names without would part them
					}
					plan = append(plan, notation.NewSize{From: i, Name: name})
				}
			}
			if len(plan) > 0 && len(plan) <= notation.MaxResized {
				resized(t, fmt.Sprintf("%s with %v", name, plan), was, text, plan)
			}
		}
	}
}

// resized holds every size of a resized text against the one it comes from.
func resized(t *testing.T, name string, was *needle.Result, text string, plan []notation.NewSize) {
	t.Helper()
	ms := notation.Read(text)
	got, err := notation.Resize(ms, text, plan)
	if err != nil {
		t.Errorf("%s: %v", name, err)
		return
	}
	read := notation.Read(got)
	is := needle.Work(read)
	if wrong(ms.Findings) || wrong(was.Findings) {
		return // where numbers are missing, what a size works is not told
	}
	if len(read.Sizes) != len(plan) {
		t.Errorf("%s: %d sizes %q, want %d\n%s", name, len(read.Sizes), read.Sizes, len(plan), diff(text, got))
		return
	}
	for k, s := range plan {
		if a, b := numbers(was, s.From, len(ms.Sizes)), numbers(is, k, len(plan)); !reflect.DeepEqual(a, b) {
			t.Errorf("%s: size %d\n%s\n%s", name, k+1, diff(strings.Join(a, "\n"), strings.Join(b, "\n")), diff(text, got))
			return
		}
	}
}

func wrong(l finding.List) bool {
	return slices.ContainsFunc(l.Findings, func(f finding.Finding) bool { return f.Severity() == finding.Error })
}

// diff shows the lines that differ.
func diff(a, b string) string {
	x, y := strings.Split(a, "\n"), strings.Split(b, "\n")
	for len(x) > 0 && len(y) > 0 && x[0] == y[0] {
		x, y = x[1:], y[1:]
	}
	for len(x) > 0 && len(y) > 0 && x[len(x)-1] == y[len(y)-1] {
		x, y = x[:len(x)-1], y[:len(y)-1]
	}
	return "- " + strings.Join(x, "\n- ") + "\n+ " + strings.Join(y, "\n+ ")
}
