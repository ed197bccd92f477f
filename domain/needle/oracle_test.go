package needle

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"
	"pgregory.net/rapid"

	"rowproof/domain/notation"
)

// expanded works every part of a manuscript with a cast-on again, one loop at a
// time, and compares the counts after every row with those of the closed forms.
func expanded(t interface{ Errorf(string, ...any) }, name, text string) {
	ms := notation.Read(text)
	res := Work(ms)
	budget := 100 * workBudget
	for n, p := range res.Parts {
		if p.CastOn == nil || p.Proved == "" {
			continue
		}
		var lanes []*lane
		total := 0
		for i, v := range p.CastOn {
			l := newLane(i, K(v))
			l.round = p.Round
			l.cols = newColumns(v)
			lanes = append(lanes, l)
			total += v
		}
		if total > 20000 || placesPatterns(p) || asAnother(p) {
			continue
		}
		again := *p
		again.Rows, again.Final = nil, nil
		r := &run{shared: newShared(), ms: ms, res: &Result{}, part: &again, lanes: lanes, rowsPer10: rowGauge(ms),
			w:       &worker{ms: ms, budget: &budget, own: map[string]effect{}},
			numbers: map[int]*def{}, words: map[string]*def{}, scopes: map[string]map[int]*def{}, all: map[string]*Part{}}
		r.items(p.items)
		if len(again.Rows) != len(p.Rows) {
			continue // rows of other pieces are worked here, which this run does not know
		}
		for k, e := range again.Rows {
			if fmt.Sprint(e.First) != fmt.Sprint(p.Rows[k].First) || fmt.Sprint(e.Last) != fmt.Sprint(p.Rows[k].Last) {
				t.Errorf("%s, part %d, row %s: loop by loop %v … %v, in closed form %v … %v", name, n, e.Name, e.First, e.Last, p.Rows[k].First, p.Rows[k].Last)
			}
		}
		for i, l := range lanes {
			if have := len(l.cols.left) + len(l.cols.right); !l.tainted && l.total().D != have {
				t.Errorf("%s, part %d, size %d: %d loops followed, %d counted", name, n, i, have, l.total().D)
			}
		}
	}
}

// asAnother: rows of another piece are worked in this one, which a run of one part alone does not know.
func asAnother(p *Part) bool {
	return slices.ContainsFunc(p.items, func(it notation.Item) bool {
		_, ok := it.(*notation.As)
		return ok
	})
}

// placesPatterns: rows of other parts are worked within this one's, which the
// oracle's run by itself does not know.
func placesPatterns(p *Part) bool {
	found := false
	for _, it := range p.items {
		if row, ok := it.(*notation.Row); ok {
			notation.Each(row.Body, func(o notation.Op) {
				if _, ok := o.(*notation.PattOver); ok {
					found = true
				}
			})
		}
	}
	return found
}

// TestLoopByLoop holds the closed forms against their oracle over the corpus.
func TestLoopByLoop(t *testing.T) {
	files, err := filepath.Glob("../review/testdata/corpus/*.txtar")
	if err != nil || len(files) < 120 {
		t.Fatal("no corpus: ", len(files), err)
	}
	for _, f := range files {
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		expanded(t, filepath.Base(f), string(txtar.Parse(b).Files[0].Data))
	}
}

// body draws the text of a random row body that uses up a known number of stitches.
func body(t *rapid.T, depth int) (string, int) {
	n := rapid.IntRange(1, 4).Draw(t, "ops")
	var out []string
	in := 0
	for range n {
		switch k := rapid.IntRange(0, 8).Draw(t, "op"); {
		case k <= 2:
			v := rapid.IntRange(1, 5).Draw(t, "n")
			out = append(out, fmt.Sprintf("%s%d", []string{"k", "p", "sl "}[k], v))
			in += v
		case k == 3:
			out, in = append(out, "yo, k2tog"), in+2
		case k == 4:
			out, in = append(out, "sl 1, k1, psso"), in+2
		case k == 5:
			out, in = append(out, "kfb"), in+1
		case k == 6:
			out, in = append(out, "(k1, yo, k1) in next st"), in+1
		case k == 7:
			out, in = append(out, "sl 2 sts to cn and hold in front, k2, k2 from cn"), in+4
		default:
			if depth > 2 {
				out, in = append(out, "k1"), in+1
				continue
			}
			b, w := body(t, depth+1)
			v := rapid.IntRange(1, 3).Draw(t, "times")
			out = append(out, fmt.Sprintf("[%s] %d times", b, v))
			in += w * v
		}
	}
	return strings.Join(out, ", "), in
}

// TestRandomRows draws rows with a repeat, casts on what they need for some
// number of repeats, and wants them proved, at that number by closed forms and
// loop by loop, and for every multiple.
func TestRandomRows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		head, a := body(t, 0)
		rep, b := body(t, 0)
		tail, c := body(t, 0)
		n := rapid.IntRange(1, 6).Draw(t, "repeats")
		row := fmt.Sprintf("Row 1 (RS): %s, *%s; rep from * to last %d sts, %s.", head, rep, c, tail)
		text := fmt.Sprintf("CO %d sts.\n%s\n", a+n*b+c, row)
		res := Work(notation.Read(text))
		if fs := errors(res); len(fs) > 0 || len(res.Parts) != 1 {
			t.Fatalf("%s%v", text, fs)
		}
		if need := res.Parts[0].Needs; need == nil || need.Of != b || need.Plus != (a+c)%b {
			t.Fatalf("%sneeds %+v, want a multiple of %d plus %d", text, need, b, (a+c)%b)
		}
		expanded(t, "random", text)
		for extra := 1; extra < b; extra++ { // any other number is refused
			text := fmt.Sprintf("CO %d sts.\n%s\n", a+n*b+c+extra, row)
			if fs := errors(Work(notation.Read(text))); len(fs) == 0 {
				t.Fatalf("%sis proved, but cannot be", text)
			}
		}
		text = fmt.Sprintf("Multiple of %d + %d\n%s\n", b, a+c, row)
		res = Work(notation.Read(text))
		if fs := errors(res); len(fs) > 0 || res.Parts[0].Proved != "all" {
			t.Fatalf("%s%v, proved %q", text, fs, res.Parts[0].Proved)
		}
	})
}

func errors(r *Result) []string {
	var out []string
	for _, f := range r.Findings.Findings {
		if f.Severity() == "error" {
			out = append(out, f.Message)
		}
	}
	return out
}
