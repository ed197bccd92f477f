package yarn

import (
	"math"
	"strings"
	"testing"
)

// TestNeedleTable reads every row, and checks the sizes against one another.
func TestNeedleTable(t *testing.T) {
	facts := NeedleFacts()
	if len(facts) != 87 {
		t.Errorf("%d rows of needles, want all 87", len(facts))
	}
	for _, f := range facts {
		if f.Source == "" || f.Mark != "read" && f.Mark != "memory" {
			t.Errorf("%+v", f)
		}
	}
	ns := Needles()
	if len(ns) != 28 {
		t.Fatalf("%d metric sizes", len(ns))
	}
	us, uk := map[string]bool{}, map[string]bool{}
	for i, n := range ns {
		if i > 0 && n.MM <= ns[i-1].MM {
			t.Errorf("%v mm after %v", n.MM, ns[i-1].MM)
		}
		if n.US != "" && us[n.US] || n.UK != "" && uk[n.UK] {
			t.Errorf("%+v: a number given twice", n)
		}
		us[n.US], uk[n.UK] = true, true
		if n.US != "" && n.US == n.UK && n.MM != 4.5 { // where the two systems meet
			t.Errorf("%+v", n)
		}
	}
	for i, n := range JapaneseNeedles() { // sizes step by 0.3 mm from 2.1
		if i < 16 && math.Abs(n.MM-(2.1+0.3*float64(i))) > 1e-9 {
			t.Errorf("Japanese %s is %v mm", n.JP, n.MM)
		}
	}
}

func TestParseNeedle(t *testing.T) {
	for s, want := range map[string]string{
		"4 mm": "4 mm (US 6)", "4.0mm circular": "4 mm (US 6)", "US 6 (4 mm)": "4 mm (US 6)", "4,5 mm": "4.5 mm (US 7)", "US 7": "4.5 mm (US 7)",
		"US 10½": "6.5 mm (US 10½)", "us size 10.5": "6.5 mm (US 10½)", "US 10 1/2": "6.5 mm (US 10½)", "U.S. 000": "1.5 mm (US 000)", "UK 8": "4 mm (US 6)", "old UK no. 10": "3.25 mm (US 3)",
		"7 mm": "7 mm", "Japanese 6": "3.9 mm", "jp 13": "6 mm", "3.9 mm": "3.9 mm", "80 cm circular, 3.75 mm": "3.75 mm (US 5)",
	} {
		n, err := ParseNeedle(s)
		if err != nil || n.Text(false) != want {
			t.Errorf("ParseNeedle(%q) = %q, %v, want %q", s, n.Text(false), err, want)
		}
	}
	for _, s := range []string{"", "size 6", "6", "US 12", "UK 15", "500 mm", "0 mm", strings.Repeat("mm", 9999)} {
		if n, err := ParseNeedle(s); err == nil || !strings.Contains(err.Error(), "4 mm or US 6") {
			t.Errorf("ParseNeedle(%q) = %+v, %v", s, n, err)
		}
	}
	if n, _ := NeedleOfMM(4); n.Text(true) != "4 mm (old UK 8)" {
		t.Errorf("%s", n.Text(true))
	}
	if n, ok := NeedleOfMM(4.2); ok || NearestNeedle(4.2).MM != 4 {
		t.Errorf("%v %v", n, ok)
	}
}
