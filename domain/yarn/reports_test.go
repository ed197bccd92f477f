package yarn

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func ratios(vs ...float64) []Ratio {
	var out []Ratio
	for _, v := range vs {
		out = append(out, Ratio{Value: v})
	}
	return out
}

// By hand, for an estimate of 900 to 1100 about 1000 m and two knitters who used 1.05 and
// 1.15 of it: t = (ln(1100/900)/3.92)² = 0.0026206; the mean of the logarithms 0.0942761 with
// squares about it 0.0041379, so v = (4·0.01 + 0.0041379)/5 = 0.0088276; then
// 1/(2/v + 1/t) = 0.0016444 and exp(0.1885522/0.0088276·0.0016444) = 1.03575.
func TestLearnByHand(t *testing.T) {
	got := Learn(1000, 900, 1100, ratios(1.05, 1.15))
	if math.Abs(got.Factor-1.03575) > 0.0001 || got.Used != 2 || len(got.Far) != 0 {
		t.Errorf("Learn = %+v, want a factor of 1.03575 from two", got)
	}
	// ln(900/1000)·sqrt(0.0016444/0.0026206) = −0.08346 and +0.07550 about ln 1.03575 = 0.03513.
	if math.Abs(got.Low-math.Exp(0.03513-0.08346)) > 0.0005 || math.Abs(got.High-math.Exp(0.03513+0.07550)) > 0.0005 {
		t.Errorf("its interval is %.4f to %.4f", got.Low, got.High)
	}
}

func TestLearn(t *testing.T) {
	for _, c := range []struct {
		name         string
		ratios       []Ratio
		low, high    float64 // bounds for the factor
		used, farOut int
	}{
		{"nobody", nil, 1, 1, 0, 0},
		{"one knitter moves it a little", ratios(1.1), 1.005, 1.05, 1, 0},
		{"ten who agree move it nearly all the way", ratios(1.1, 1.11, 1.09, 1.1, 1.12, 1.08, 1.1, 1.1, 1.11, 1.09), 1.07, 1.1, 10, 0},
		{"one who weighed the wrong ball is asked about", ratios(1.02, 0.98, 1.9, 1.01), 0.98, 1.03, 3, 1},
		{"alone and far off, too", ratios(2.0), 1, 1, 0, 1},
		{"unless she is trusted", []Ratio{{Value: 2, Trusted: true}}, 1.05, 1.6, 1, 0},
		{"left out for good", []Ratio{{Value: 1.1, Left: true}, {Value: 1}}, 0.99, 1.01, 1, 0},
		{"two far off, taken out one by one", ratios(1, 1.02, 0.99, 3, 0.2), 0.98, 1.03, 3, 2},
		{"nothing weighed", ratios(0, math.Inf(1)), 1, 1, 0, 0},
	} {
		got := Learn(1000, 920, 1080, c.ratios)
		if got.Factor < c.low || got.Factor > c.high || got.Used != c.used || len(got.Far) != c.farOut {
			t.Errorf("%s: %+v", c.name, got)
		}
	}
	if got := Learn(1000, 0, 0, ratios(2)); got.Factor != 1 {
		t.Errorf("an estimate without an interval learnt %+v", got)
	}
}

// The interval never grows, holds the factor, and lies between what was thought and what
// was weighed.
func TestLearnProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		side := rapid.Float64Range(0.02, 0.4).Draw(t, "side")
		low, high := 1000*(1-side), 1000*(1+side)
		rs := rapid.SliceOfN(rapid.Float64Range(0.5, 2), 0, 12).Draw(t, "ratios")
		got := Learn(1000, low, high, ratios(rs...))
		if got.Low > got.Factor || got.High < got.Factor {
			t.Fatalf("%+v does not hold its factor", got)
		}
		if got.High/got.Low > high/low*(1+1e-9) {
			t.Fatalf("%+v is wider than %g to %g", got, low, high)
		}
		if got.Used+len(got.Far) != len(rs) {
			t.Fatalf("%+v of %d", got, len(rs))
		}
		least, most := 1.0, 1.0
		for _, r := range rs {
			least, most = min(least, r), max(most, r)
		}
		if got.Factor < least-1e-9 || got.Factor > most+1e-9 {
			t.Fatalf("%+v lies outside %g to %g", got, least, most)
		}
		// The order in which they came says nothing.
		back := make([]float64, len(rs))
		for i, r := range rs {
			back[len(rs)-1-i] = r
		}
		if again := Learn(1000, low, high, ratios(back...)); math.Abs(again.Factor-got.Factor) > 1e-9 || again.Used != got.Used {
			t.Fatalf("in another order %+v, not %+v", again, got)
		}
	})
}
