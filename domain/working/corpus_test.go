package working

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"

	"rowproof/domain/needle"
	"rowproof/domain/notation"
	"rowproof/domain/review"
)

const corpus = "../review/testdata/corpus/"

// manuscripts reads the corpus; right says which have no error.
func manuscripts(t *testing.T) (texts map[string]string, right map[string]bool) {
	t.Helper()
	glob := os.Getenv("ROWPROOF_CORPUS")
	if glob == "" {
		glob = "*"
	}
	files, err := filepath.Glob(corpus + glob + ".txtar")
	if err != nil || len(files) == 0 {
		t.Fatal("no corpus", err)
	}
	texts, right = map[string]string{}, map[string]bool{}
	for _, f := range files {
		ar, err := txtar.ParseFile(f)
		if err != nil {
			t.Fatal(err)
		}
		name := strings.TrimSuffix(filepath.Base(f), ".txtar")
		for _, x := range ar.Files {
			switch x.Name {
			case "manuscript.txt":
				texts[name] = string(x.Data)
			case "expect.json":
				right[name] = strings.Contains(strings.ReplaceAll(string(x.Data), " ", ""), `"right":true`)
			}
		}
	}
	return texts, right
}

// TestCorpus lays out every manuscript at every size. The right ones are held to the
// report: each row as often as it says, with its counts the first and the last time; and
// to the text: every instruction that the size works has its step.
func TestCorpus(t *testing.T) {
	texts, right := manuscripts(t)
	for name, text := range texts {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			res := review.Check(text)
			for size := range max(1, len(res.Manuscript.Sizes)) {
				p, err := Steps(res, size)
				if err != nil {
					t.Fatal(err)
				}
				sound(t, p)
				if right[name] && res.Errors() == 0 {
					everyInstruction(t, res, p)
					sameCounts(t, res, p)
				}
			}
		})
	}
}

// sound holds what every plan must be.
func sound(t *testing.T, p *Plan) {
	t.Helper()
	for i, s := range p.Steps {
		if s.Line < 0 || s.Line >= len(p.Lines) || s.By >= len(p.Lines) {
			t.Fatalf("step %d has line %d, by %d, of %d", i, s.Line, s.By, len(p.Lines))
		}
		if l := p.Lines[s.Line]; l.Text == "" && l.Head == "" {
			t.Errorf("step %d says nothing: %+v", i, s)
		}
		if s.Pass > s.Passes || s.Passes > 0 && s.Pass < 1 || s.Passes == 1 {
			t.Errorf("step %d is repeat %d of %d", i, s.Pass, s.Passes)
		}
		if s.Count < Unknown {
			t.Errorf("step %d has %d stitches", i, s.Count)
		}
	}
	behind := 0
	for _, o := range p.Loops {
		if o.From < behind || o.To < o.From || o.To >= len(p.Steps) {
			t.Errorf("loop %+v of %d steps; the one before ends at %d", o, len(p.Steps), behind)
		}
		behind = o.To + 1
	}
}

func everyInstruction(t *testing.T, res *review.Result, p *Plan) {
	t.Helper()
	have := map[int]bool{}
	for _, s := range p.Steps {
		have[p.Lines[s.Line].Row] = true
		if s.By >= 0 {
			have[p.Lines[s.By].Row] = true
		}
	}
	for _, o := range p.Loops {
		if o.By >= 0 {
			have[p.Lines[o.By].Row] = true
		}
	}
	l := newLayer(res, p.Size)
	for i, in := range notation.Instructions(res.Manuscript) {
		if !have[i] && in.For(p.Size) && !l.nothing(in.Item) && worked(res, in.Item, p.Size) {
			t.Errorf("size %q: no step for line %d %q", p.Name, in.Span.Line, notation.TextAt(res.Manuscript.Source, in.Span))
		}
	}
}

// worked says by the report alone whether a size works an item: it is so where no entry
// of its line says otherwise.
func worked(res *review.Result, it notation.Item, size int) bool {
	for _, p := range res.Needle.Parts {
		for _, e := range p.Rows {
			if e.Line >= it.Place().Line && e.Line <= it.Place().EndLine && p.CastOn != nil && size < len(e.Times) {
				return e.Times[size] > 0
			}
		}
		if s, ok := p.Sentences[it]; ok && p.CastOn != nil && size < len(s.After) {
			return s.After[size].Known
		}
	}
	return true
}

// sameCounts compares the steps with the entries of the needle's own result.
func sameCounts(t *testing.T, res *review.Result, p *Plan) {
	t.Helper()
	type seen struct {
		times       int
		first, last int
	}
	inLoop := map[int]bool{}
	for _, o := range p.Loops {
		for i := o.From; i <= o.To; i++ {
			inLoop[p.Steps[i].Line] = true
		}
	}
	got := map[[2]any]seen{}
	under := map[[2]any]bool{} // worked as part of another piece, too
	for _, s := range p.Steps {
		line := p.Lines[s.Line]
		k := [2]any{line.Row, line.Number}
		x := got[k]
		if by := strings.ToLower(p.Lines[max(0, s.By)].Text); s.By >= 0 && (strings.Contains(by, "as ") || strings.Contains(by, "like ") || strings.Contains(by, "to correspond ")) {
			under[k] = true
		}
		if x.times == 0 {
			x.first = s.Count
		}
		x.times++
		x.last = s.Count
		got[k] = x
	}
	l := newLayer(res, p.Size)
	for _, part := range res.Needle.Parts {
		if part.CastOn == nil {
			continue
		}
		seenRow := map[[2]any]bool{}
		for _, e := range part.Rows {
			if e.Row == nil || p.Size >= len(e.Times) || e.Times[p.Size] == 0 {
				continue
			}
			i := l.ordinalOf(e.Row)
			number := ""
			if e.Number > 0 || e.Row.Head.Letter != "" {
				number = e.Name
			}
			k := [2]any{i, number}
			x := got[k]
			if seenRow[k] || under[k] || copied(res.Needle, e) {
				continue // worked in other parts, too
			}
			seenRow[k] = true
			loop := false
			for n := range p.Lines {
				loop = loop || inLoop[n] && p.Lines[n].Row == i
			}
			switch {
			case x.times == 0:
				t.Errorf("size %q: row %s on line %d has no step", p.Name, e.Name, e.Line)
			case !loop && x.times != e.Times[p.Size]:
				t.Errorf("size %q: row %s on line %d is worked %d times, the report has %d", p.Name, e.Name, e.Line, x.times, e.Times[p.Size])
			case e.First[p.Size].Known && x.first != e.First[p.Size].N:
				t.Errorf("size %q: row %s on line %d ends with %d, the report has %d", p.Name, e.Name, e.Line, x.first, e.First[p.Size].N)
			case !loop && e.Last[p.Size].Known && x.last != e.Last[p.Size].N:
				t.Errorf("size %q: row %s on line %d ends with %d the last time, the report has %d", p.Name, e.Name, e.Line, x.last, e.Last[p.Size].N)
			}
		}
	}
}

// copied says that the row of an entry is worked in more than one part.
func copied(res *needle.Result, e *needle.Entry) bool {
	n := 0
	for _, p := range res.Parts {
		for _, o := range p.Rows {
			if o.Span == e.Span && o.Name == e.Name {
				n++
			}
		}
	}
	return n > 1
}
