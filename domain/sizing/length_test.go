package sizing

import (
	"math"
	"strings"
	"testing"
)

// TestPrintedLengths holds to the trade's rounding: half centimetres and quarter
// inches, each from the source.
func TestPrintedLengths(t *testing.T) {
	for _, c := range []struct {
		l              Length
		metric, inches string
	}{
		{Cm(92), "92", "36¼"}, // 36.22
		{In(36), "91.5", "36"},
		{In(0.75), "2", "¾"}, // 1.905 cm
		{Cm(0), "0", "0"},
		{Cm(-2.5), "-2.5", "-1"},
		{Cm(-0.1), "0", "0"},
		{In(2.5), "6.5", "2½"},
		{Cm(10), "10", "4"}, // 3.94
		{Cm(0.25), "0.5", "0"},
		{In(20.125), "51", "20¼"}, // halves away from zero
		// W79, Caron CAK0329: 53.5, 58.5, 63.5, 67.5, 71 cm.
		{In(21), "53.5", "21"}, {In(23), "58.5", "23"}, {In(25), "63.5", "25"}, {In(26.5), "67.5", "26½"}, {In(28), "71", "28"},
		{Length(math.NaN()), "?", "?"},
	} {
		if m, i := c.l.Number(Metric), c.l.Number(Imperial); m != c.metric || i != c.inches {
			t.Errorf("%.3f mm prints %q and %q, want %q and %q", float64(c.l), m, i, c.metric, c.inches)
		}
	}
	// From one rounded unit to the other would give another number: 31.6 cm is
	// 12½ in, but 31.5 cm is 12.4 and 12½ in is 31.75 cm, printed 32.
	if l := Cm(31.6); l.Text(Imperial) != "12½ in" || l.Text(Metric) != "31.5 cm" || l.Rounded(Imperial).Number(Metric) != "32" {
		t.Errorf("%s, %s, %s", l.Text(Imperial), l, l.Rounded(Imperial))
	}
}

func TestVectors(t *testing.T) {
	for got, want := range map[string]string{
		Lengths([]Length{Cm(92), Cm(102), Cm(112)}, Metric): "92 (102, 112) cm",
		Lengths([]Length{In(36), In(40.25)}, Imperial):      "36 (40¼) in",
		Lengths([]Length{Cm(20.1), Cm(19.9)}, Metric):       "20 cm",
		Lengths(nil, Metric):                                "",
		Vector([]int{83, 95, 107}):                          "83 (95, 107)",
		Vector([]int{5, 5}):                                 "5",
		Vector([]int{Skip, 0, 3}):                           "- (0, 3)",
		Vector(nil):                                         "",
	} {
		if got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

func TestParseGauge(t *testing.T) {
	for in, want := range map[string]Gauge{
		"20x28": {20, 28}, "20 x 28.5": {20, 28.5}, " 22,5 × 30 ": {22.5, 30}, "18X24": {18, 24}, "20/28": {20, 28},
	} {
		if g, err := ParseGauge(in); err != nil || g != want {
			t.Errorf("ParseGauge(%q) = %v, %v", in, g, err)
		}
	}
	for _, in := range []string{"", "20", "20x", "x28", "twenty x 28", "-20x28", "0x28", "20x0", "20x900", "1e9x3", "20x28x30", strings.Repeat("2", 500)} {
		_, err := ParseGauge(in)
		if err == nil || !strings.Contains(err.Error(), "20x28") && !strings.Contains(err.Error(), "up to 200") {
			t.Errorf("ParseGauge(%q): err = %v, want one that says what to write", in, err)
		}
	}
	if g, err := ParseGauge((Gauge{20, 28.5}).String()); err != nil || g != (Gauge{20, 28.5}) {
		t.Errorf("round trip: %v, %v", g, err)
	}
}

func TestGauge(t *testing.T) {
	g := Gauge{20, 25}
	if g.StitchWidth() != Cm(0.5) || g.RowHeight() != Cm(0.4) || g.Width(83) != Cm(41.5) || g.Height(10) != Cm(4) {
		t.Errorf("%v %v %v %v", g.StitchWidth(), g.RowHeight(), g.Width(83), g.Height(10))
	}
	if (Gauge{}).StitchWidth() != 0 || (Gauge{}).Check() == nil || (Gauge{20, math.NaN()}).Check() == nil {
		t.Error("no gauge is taken for one")
	}
	m := Measured{Sts: 33, Width: Cm(15), Rows: 42, Height: Cm(14)}.Gauge()
	if math.Abs(m.Sts-22) > 1e-9 || math.Abs(m.Rows-30) > 1e-9 {
		t.Errorf("measured: %v", m)
	}
	if p := PerInch(5, 7); math.Abs(p.Sts-19.685) > 1e-3 || math.Abs(p.Rows-27.559) > 1e-3 {
		t.Errorf("per inch: %v", p)
	}
	if z := Over(20, 28, 0); z != (Gauge{}) {
		t.Errorf("over nothing: %v", z)
	}
}
