package yarn

import (
	"slices"
	"strings"
	"testing"

	"rowproof/domain/sizing"
)

// TestWeightTable reads every row, and holds the standard's own eight categories
// to their figures (Craft Yarn Council, as reproduced in full by 222 Handspun).
func TestWeightTable(t *testing.T) {
	facts := WeightFacts()
	if len(facts) != 73 {
		t.Errorf("%d rows of weights, want all 73", len(facts))
	}
	for _, f := range facts {
		if f.Source == "" || f.Mark != "read" && f.Mark != "memory" {
			t.Errorf("%+v", f)
		}
		for _, r := range []Range{f.Sts, f.Needle, f.Metres, f.Wraps} {
			if r.HasMin && r.HasMax && r.Max < r.Min {
				t.Errorf("%s %d: %v", f.Table, f.Category, r)
			}
		}
	}
	want := []struct{ name, sts, needle, metres, wraps string }{
		{"Lace", "33–40", "1.5–2.25", "484 and up", "30 and up"},
		{"Super Fine", "27–32", "2.25–3.25", "383–484", "14–30"},
		{"Fine", "23–26", "3.25–3.75", "242–383", "12–18"},
		{"Light", "21–24", "3.75–4.5", "182–242", "11–15"},
		{"Medium", "16–20", "4.5–5.5", "121–181", "9–12"},
		{"Bulky", "12–15", "5.5–8", "81–121", "6–9"},
		{"Super Bulky", "7–11", "8–12.75", "up to 81", "5–6"},
		{"Jumbo", "up to 6", "12.75 and up", "", "1–4"},
	}
	classes := Classes()
	if len(classes) != len(want) {
		t.Fatalf("%d classes", len(classes))
	}
	for i, c := range classes {
		w := want[i]
		if c.Number != i || c.Names[0] != w.name || c.Sts.String() != w.sts || c.Needle.String() != w.needle || c.Metres.String() != w.metres || c.Wraps.String() != w.wraps {
			t.Errorf("class %d: %v %v %v %v %v", i, c, c.Sts, c.Needle, c.Metres, c.Wraps)
		}
	}
	if s := classes[4].String(); s != "4 Medium (Worsted, Afghan, Aran)" {
		t.Errorf("String = %q", s)
	}
}

func numbers(cs []Class) []int {
	var out []int
	for _, c := range cs {
		out = append(out, c.Number)
	}
	return out
}

func TestClasses(t *testing.T) {
	for name, want := range map[string][]int{
		"worsted": {4}, "Worsted weight": {4}, "worsted-weight wool": {4}, "DK": {3}, "double knitting": {3}, "light worsted": {3}, "4": {4}, "#6": {6},
		"Fingering": {0, 1}, "roving": {6, 7}, "Aran": {4}, "8 ply": {3}, "10 ply": {4}, "12-ply": {4, 5}, "4 ply": {1, 2}, "sport": {2}, "laceweight": {0},
		"cobweb": {0}, "chunky": {5}, "super chunky": {6}, "jumbo": {7}, "": nil, "wool": nil, "spaghetti": nil,
	} {
		if got := numbers(ClassesNamed(name)); !slices.Equal(got, want) {
			t.Errorf("ClassesNamed(%q) = %v, want %v", name, got, want)
		}
	}
	for sts, want := range map[float64][]int{18: {4}, 23.5: {2, 3}, 20.4: {4}, 20.6: {3}, 28: {1}, 50: {0}, 3: {7}, 0: nil, -1: nil, 11.4: {6}, 11.6: {5}} {
		if got := numbers(ClassByGauge(sts)); !slices.Equal(got, want) {
			t.Errorf("ClassByGauge(%v) = %v, want %v", sts, got, want)
		}
	}
	for m, want := range map[float64][]int{800: {0}, 420: {1}, 300: {2}, 200: {3}, 150: {4}, 100: {5}, 60: {6}, 0: nil} {
		if got := numbers(ClassByMetres(m)); !slices.Equal(got, want) {
			t.Errorf("ClassByMetres(%v) = %v, want %v", m, got, want)
		}
	}
}

func TestDisagreements(t *testing.T) {
	for _, c := range []struct {
		g      sizing.Gauge
		needle float64
		class  string
		want   []string // who
	}{
		{sizing.Gauge{Sts: 18, Rows: 24}, 5, "worsted", nil},
		{sizing.Gauge{Sts: 21, Rows: 28}, 4, "worsted", nil}, // a stitch and a size beyond
		{sizing.Gauge{Sts: 26, Rows: 34}, 3.25, "worsted", []string{"gauge", "needle"}},
		{sizing.Gauge{Sts: 26, Rows: 34}, 3.25, "", nil},
		{sizing.Gauge{Sts: 26, Rows: 34}, 6, "", []string{"needle"}},
		{sizing.Gauge{Sts: 18, Rows: 24}, 4, "lace", nil}, // lace on large needles
		{sizing.Gauge{}, 8, "DK", []string{"needle"}},
		{sizing.Gauge{Sts: 22}, 0, "8 ply", nil},
		{sizing.Gauge{Sts: 22}, 4, "unheard of", nil},
		{sizing.Gauge{}, 4, "", nil},
		{sizing.Gauge{Sts: 5}, 20, "Jumbo", nil},
	} {
		got := Disagreements(c.g, c.needle, c.class)
		var who []string
		for _, d := range got {
			who = append(who, d.Who)
		}
		if !slices.Equal(who, c.want) {
			t.Errorf("Disagreements(%v, %v, %q) = %v, want %v", c.g, c.needle, c.class, got, c.want)
		}
	}
	d := Disagreements(sizing.Gauge{Sts: 26}, 3, "worsted")
	if len(d) != 2 || d[0].String() != "the gauge of 26 sts = 10 cm does not go with 4 Medium (Worsted, Afghan, Aran), which has 16–20 sts = 10 cm" ||
		!strings.Contains(d[1].String(), "the needle of 3 mm does not go with") {
		t.Errorf("%v", d)
	}
	if d, ok := MetresDisagree("worsted", 400); !ok || d.Who != "metres" || d.Range.String() != "121–181" {
		t.Errorf("%v %v", d, ok)
	}
	for class, m := range map[string]float64{"worsted": 190, "jumbo": 20, "": 200, "DK": 0} {
		if d, ok := MetresDisagree(class, m); ok {
			t.Errorf("%q and %v m: %v", class, m, d)
		}
	}
}
