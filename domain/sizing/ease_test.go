package sizing

import (
	"math"
	"strings"
	"testing"
)

func TestEaseTable(t *testing.T) {
	if n := len(Eases("")); n != 34 {
		t.Errorf("%d classes of ease, want all 34", n)
	}
	for _, e := range Eases("") {
		if e.Class == "" || e.Place == "" || e.Source == "" || e.Mark != "read" && e.Mark != "memory" {
			t.Errorf("%+v", e)
		}
		if d := e.Inches.Min - e.Metric.Min; math.Abs(float64(d)) > 10 {
			t.Errorf("%s %s: %v in, %v", e.System, e.Class, e.Inches.Min.Inches(), e.Metric.Min)
		}
	}
}

func TestEase(t *testing.T) {
	// W78, Yay For Yarn: to fit 30 to 62 in plus 2 in.
	for _, body := range []float64{30, 34, 38, 42, 46, 50, 54, 58, 62} {
		e, err := ParseEase("2 in", "chest")
		if got := e.Apply(In(body)).Inches(); err != nil || math.Abs(got-body-2) > 1e-9 {
			t.Errorf("W78: %v gives %v, %v", body, got, err)
		}
	}
	// W79, Caron CAK0329 2021: a child's vest has 5 to 6 in.
	vest, err := EaseNamed("child vest", "chest")
	if err != nil {
		t.Fatal(err)
	}
	for body, want := range map[float64]float64{21: 26, 23: 28, 25: 30, 26.5: 32, 28: 34} {
		if lo, hi := vest.Range(In(body)); In(want) < lo-1e-6 || In(want) > hi+1e-6 {
			t.Errorf("W79: %v gives %v to %v, source %v", body, lo.Inches(), hi.Inches(), want)
		}
	}
	for _, c := range []struct {
		class, place string
		body, want   Length
	}{
		{"classic", "bust", In(40), In(43)},
		{"Very close", "chest", In(40), In(37)},
		{"close", "chest", In(40), In(40)}, // the newer meaning
		{"oversized", "chest", In(40), In(46)},
		{"standard", "chest", In(40), In(43)},
		{"stockinette or rib", "head", In(22), In(22 * 0.875)}, // KG: 18.7–19.8 in
		{"-10%", "foot", Cm(24), Cm(21.6)},
		{"−2,5 cm", "chest", Cm(90), Cm(87.5)},
		{"+10 cm", "chest", Cm(90), Cm(100)},
	} {
		e, err := ParseEase(c.class, c.place)
		if got := e.Apply(c.body); err != nil || math.Abs(float64(got-c.want)) > 1e-6 {
			t.Errorf("%s at the %s of %v: %v, %v, want %v", c.class, c.place, c.body, got, err, c.want)
		}
	}
	for place, want := range map[string][2]Length{"chest": {Cm(95), Cm(100)}, "head": {Cm(78), Cm(82)}, "hand": {Cm(90), Cm(91)}, "foot": {Cm(81), Cm(81)}, "cross back of a chair": {Cm(90), Cm(90)}} {
		if got := UsualEase(place).Apply(Cm(90)); got < want[0]-1e-6 || got > want[1]+1e-6 {
			t.Errorf("usual ease at the %s of 90 cm: %v", place, got)
		}
	}
	for _, s := range []string{"snug", "", "-100%", "5 miles"} {
		if _, err := ParseEase(s, "chest"); err == nil || !strings.Contains(err.Error(), "give") {
			t.Errorf("ParseEase(%q): %v", s, err)
		}
	}
}
