package sizing

import (
	"math"
	"slices"
	"strings"
	"testing"
)

// TestBodyTables reads every row of the published tables: each has a measure,
// least before most, marks, a source, and centimetres within one of its inches.
func TestBodyTables(t *testing.T) {
	rows := 0
	for _, text := range []string{womenText, menText, childrenText, headHandFootText} {
		tab, err := ReadTable(text)
		if err != nil {
			t.Fatal(err)
		}
		for _, row := range tab.Rows {
			rows++
			at := strings.Join(row[:3], " ")
			m, ok := bodyMeasure(tab, row)
			if !ok || m.Inches.Min <= 0 || m.Inches.Max < m.Inches.Min || m.Metric.Max < m.Metric.Min {
				t.Errorf("%s: %+v, %v", at, m, ok)
			}
			if m.Source == "" || m.Inches.Mark != "read" && m.Inches.Mark != "memory" || m.Metric.Mark != "converted" && m.Metric.Mark != "read" && m.Metric.Mark != "memory" {
				t.Errorf("%s: source %q, marks %q %q", at, m.Source, m.Inches.Mark, m.Metric.Mark)
			}
			// W79 and the head note of the tables: 1 cm.
			if tol := Cm(1) + 1e-6; m.Inches.Min-m.Metric.Min > tol || m.Metric.Min-m.Inches.Min > tol || m.Inches.Max-m.Metric.Max > tol || m.Metric.Max-m.Inches.Max > tol {
				if !strings.Contains(row[0], "uk") { // customs that print whole fives
					t.Errorf("%s: %v–%v in is %v–%v cm", at, m.Inches.Min.Inches(), m.Inches.Max.Inches(), m.Metric.Min.Cm(), m.Metric.Max.Cm())
				}
			}
		}
	}
	if rows != 413 {
		t.Errorf("%d rows of bodies, want all 413", rows)
	}
}

func TestBodies(t *testing.T) {
	for g, want := range map[Group]int{Women: 9, Men: 5, Children: 8, Babies: 5, Head: 6, Hand: 12, Foot: 12, Heads: 19, Hats: 9, BabiesUKNZ: 5, ChildrenUKNZ: 6, BabiesUK: 4, ByChest: 15} {
		if got := len(Bodies(g)); got != want {
			t.Errorf("%s: %d bodies, want %d", g, got, want)
		}
	}
	// Measures never fall from one size to the next.
	for _, g := range []Group{Women, Men, Children, Babies, Head} {
		bs := Bodies(g)
		for i := 1; i < len(bs); i++ {
			for _, m := range bs[i].Measures {
				was, ok := bs[i-1].Measure(m.Name)
				if !ok || m.Mid() < was.Mid() {
					t.Errorf("%s %s: %s falls to %v", g, bs[i].Size, m.Name, m.Mid())
				}
			}
		}
	}
	// W78, Yay For Yarn: to fit 30 to 62 in is the upper end of the nine ranges.
	for i, b := range Bodies(Women) {
		m, _ := b.Measure("chest")
		if want := []float64{30, 34, 38, 42, 46, 50, 54, 58, 62}[i]; math.Abs(m.Inches.Max.Inches()-want) > 1e-9 {
			t.Errorf("%s: bust up to %v in, want %v", b.Size, m.Inches.Max.Inches(), want)
		}
	}
	bs := Bodies(Women)
	bs[0].Measures[0].Name = "changed"
	if Bodies(Women)[0].Measures[0].Name != "bust" {
		t.Error("the tables can be changed from outside")
	}
}

func TestFind(t *testing.T) {
	for _, c := range []struct {
		g     Group
		label string
		want  string
	}{
		{Women, "XS", "X-Small"}, {Women, "x-small", "X-Small"}, {Women, "Extra Small", "X-Small"}, {Women, "m", "Medium"}, {Women, "Med.", "Medium"},
		{Women, "XL", "1X"}, {Women, "X-Large", "1X"}, {Women, "XXL", "2X"}, {Women, "2XL", "2X"}, {Women, "XX", "2X"}, {Women, "5xl", "5X"}, {Women, " Size L ", "Large"},
		{Men, "XL", "X-Large"}, {Men, "2X", "XX-Large"}, {Men, "xxl", "XX-Large"}, {Men, "S", "Small"},
		{Children, "4", "4"}, {Children, "4T", "4"}, {Children, "age 6", "6"}, {Children, "10 yrs", "10"}, {Children, "12 years", "12"},
		{Babies, "6", "6 months"}, {Babies, "6m", "6 months"}, {Babies, "18 mos.", "18 months"}, {Babies, "2 years", "24 months"}, {Babies, "24-months", "24 months"},
		{ByChest, "5y", "5 years"}, {ByChest, "9 months", "9 months"}, {BabiesUK, "3–6 mths", "3-6 months"},
		{Head, "woman", "Woman"}, {Hand, "woman", "Woman"}, {Heads, "adult", "Adult"}, {Foot, "woman shoe 6-9", "woman shoe 6-9"},
	} {
		b, err := Find(c.g, c.label)
		if err != nil || b.Size != c.want {
			t.Errorf("Find(%s, %q) = %q, %v, want %q", c.g, c.label, b.Size, err, c.want)
		}
	}
	for _, label := range []string{"", "7X", "36 months", "36", strings.Repeat("x", 9999)} {
		if b, err := Find(Women, label); err == nil || !strings.Contains(err.Error(), "X-Small, Small") || len(err.Error()) > 200 {
			t.Errorf("Find(%q) = %v, %v", label, b.Size, err)
		}
	}
	if _, err := Find("dogs", "M"); err == nil {
		t.Error("a group that is not there was found")
	}
	if b, err := Find(BabiesUK, "36 months"); err == nil {
		t.Errorf("36 months is %s", b.Size)
	}
}

func TestDerive(t *testing.T) {
	b, err := Find(Women, "M")
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string][2]float64{ // cm, as common practice has them
		"neck_width": {15, 19}, "shoulder_width": {11, 14}, "shoulder_slope": {2, 3}, "wrist": {15, 16}, "front_neck_depth": {6, 8.5}, "back_neck_depth": {2, 2.5},
	} {
		d, err := b.Derive(name)
		if err != nil || d.Value < Cm(want[0]) || d.Value > Cm(want[1]) || d.Rule == "" {
			t.Errorf("%s of a woman's M: %+v, %v, want %v cm", name, d, err, want)
		}
	}
	// W26, The Girl from Auntie after Thomas 1938: 17 in of back waist give 7.08 in.
	d, err := Body{Measures: []BodyMeasure{{Name: "back_waist_length", Inches: Extent{Min: In(17), Max: In(17)}}}}.Derive("armhole_depth")
	if err != nil || math.Abs(d.Value.Inches()-7.083) > 0.001 {
		t.Errorf("W26: %+v, %v", d, err)
	}
	// The table's own figure goes before a proportion, and says no rule.
	if l, rule, err := b.Take("armhole_depth"); err != nil || rule != "" || l != In(7.25) {
		t.Errorf("armhole: %v %q %v", l, rule, err)
	}
	for _, g := range []Group{Women, Men, Children, Babies} {
		for _, name := range []string{"neck_width", "shoulder_slope", "wrist", "front_neck_depth"} {
			was := Length(0)
			for _, b := range Bodies(g) {
				d, err := b.Derive(name)
				if err != nil || d.Value < was || d.Value <= 0 {
					t.Errorf("%s %s: %s = %v after %v, %v", g, b.Size, name, d.Value, was, err)
				}
				was = d.Value
			}
		}
	}
	for _, name := range []string{"tail", "hand_length"} {
		if _, err := b.Derive(name); err == nil {
			t.Errorf("%s was derived", name)
		}
	}
	if !slices.Contains(Derivable(), "wrist") {
		t.Error("Derivable")
	}
	for _, b := range Bodies(Heads) { // Rhyflower's crown lengths, which the proportion claims to fit
		if m, ok := b.Measure("crown_length"); ok {
			if d, err := b.Derive("crown_length"); err != nil || math.Abs(float64(d.Value-m.Mid())) > 10 {
				t.Errorf("%s: crown %v, table %v, %v", b.Size, d.Value, m.Mid(), err)
			}
		}
	}
}
