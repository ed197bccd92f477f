package handlers

import (
	"net/url"
	"strconv"
	"strings"
	"testing"
)

const sizedVest = "A Vest\nSizes: S (M, L)\nFinished chest: 92 (102, 112) cm\n\nCO 90 (100, 110) sts.\nRow 1 (RS): K5 (6, 7), k to end.\nRow 2: Purl.\nSize L only:\nRow 3 (RS): Knit.\nRow 4: Purl.\n"

// TestSizesForm adds, moves and drops sizes without scripts; nothing written for the
// others is lost, and undo brings back what was.
func TestSizesForm(t *testing.T) {
	a := newApp(t)
	a.owner()
	p := a.add(sizedVest)
	v := a.signedIn()
	u := patternURL(p)
	press := func(do string, more ...string) answer {
		form := url.Values{"base": {strconv.Itoa(a.now(p).Version)}, "do": {do}}
		for i := 0; i+1 < len(more); i += 2 {
			form.Set(more[i], more[i+1])
		}
		return v.post(u+"/sizes", form)
	}
	for _, c := range []struct {
		do    string
		more  []string
		lines []string
	}{
		{"add-1", []string{"new-size", "M/L"}, []string{"Sizes: S (M, M/L, L)", "Finished chest: 92 (102, 102, 112) cm", "CO 90 (100, 100, 110) sts.", "K5 (6, 6, 7), k", "Size L only:"}},
		{"up-3", nil, []string{"Sizes: S (M, L, M/L)", "CO 90 (100, 110, 100) sts."}},
		{"remove-0", nil, []string{"Sizes: M (L, M/L)", "CO 100 (110, 100) sts."}},
		{"names", []string{"size-0", "Medium", "size-1", "Large", "size-2", "Between"}, []string{"Sizes: Medium (Large, Between)", "Size Large only:"}},
		{"remove-1", nil, []string{"Sizes: Medium (Between)", "CO 100 (100) sts.\nRow 1 (RS): K6 (6), k to end.\nRow 2: Purl.\n"}},
		{"remove-1", nil, []string{"Sizes: One size (Medium)", "Finished chest: 102 cm", "CO 100 sts."}},
	} {
		before := a.now(p).Manuscript
		got := press(c.do, c.more...)
		if got.status != 303 {
			t.Fatalf("%s: %d %s", c.do, got.status, got.body)
		}
		for _, l := range c.lines {
			if !strings.Contains(a.now(p).Manuscript, l) {
				t.Errorf("%s: no %q in\n%s", c.do, l, a.now(p).Manuscript)
			}
		}
		after := a.now(p).Manuscript
		form := url.Values{"base": {strconv.Itoa(a.now(p).Version)}, "manuscript": {after}}
		for _, step := range []struct{ do, want string }{{"undo", before}, {"redo", after}} {
			form.Set("do", step.do)
			form.Set("base", strconv.Itoa(a.now(p).Version))
			form.Set("manuscript", a.now(p).Manuscript)
			if got := v.post(u, form); got.status != 303 || a.now(p).Manuscript != step.want {
				t.Fatalf("%s of %s: %d\n%s", step.do, c.do, got.status, a.now(p).Manuscript)
			}
		}
	}
	for _, c := range []struct {
		do, problem string
		more        []string
	}{
		{"add-0", "Say what the new size is called", nil},
		{"add-0", "Give the present size a name", []string{"new-size", "L"}},
		{"remove-0", "That cannot be done", nil},
		{"up-7", "There is no such size", nil},
		{"add-0", "two sizes are called", []string{"size-0", "L", "new-size", "L"}},
	} {
		if got := press(c.do, c.more...); got.status != 422 || !strings.Contains(got.body, c.problem) {
			t.Errorf("%s %v: %d, no %q", c.do, c.more, got.status, c.problem)
		}
	}
	if got := press("add-0", "size-0", "S", "new-size", "L"); got.status != 303 || !strings.Contains(a.now(p).Manuscript, "Sizes: S (L)\n") {
		t.Errorf("one size to two: %d\n%s", got.status, a.now(p).Manuscript)
	}
	if got := v.post(u+"/sizes", url.Values{"base": {"1"}, "do": {"remove-0"}}); got.status != 409 || !strings.Contains(got.body, "do again what you meant") {
		t.Errorf("from an earlier text: %d", got.status)
	}
}
