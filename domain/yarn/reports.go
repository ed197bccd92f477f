package yarn

import (
	"math"
	"slices"
)

// Ratio is what one knitter used of a yarn, over what was worked out for her size.
type Ratio struct {
	Value float64 // used over worked out, above 0
	// Trusted was looked at by the designer and stays in, however far off it stands.
	Trusted bool
	// Left was looked at by the designer and stays out.
	Left bool
}

// Learnt is what the weighed yarn of test knitters makes of an estimate: the factor to put
// on it, and the interval of the factor in which it lies 19 times out of 20.
type Learnt struct {
	Factor, Low, High float64
	Used              int   // ratios that went into it
	Far               []int // places of ratios that stand far off and are not used until somebody says so
}

const (
	// between is how much knitters at the same gauge differ in yarn, as a standard
	// deviation of the logarithm: about one in ten (common practice, from memory).
	between = 0.10
	// betweenWeight is how many knitters that common practice counts for, against the spread
	// of those who reported.
	betweenWeight = 4
	// farOff is from how many standard deviations a ratio is asked about.
	farOff = 2.5
	// of19in20 is the two-sided point of the normal distribution for 19 times out of 20.
	of19in20 = 1.96
)

// Learn shrinks the ratios of test knitters toward the estimate. The logarithms of the
// ratios are taken as normal about an unknown factor; before anybody reports, that factor
// is 1, and its interval the estimate's own, low to high over the middle. With n ratios of
// mean m and variance v between knitters, and t for the variance of the estimate itself,
//
//	factor   = exp( (n·m/v) / (n/v + 1/t) )
//	interval = factor · exp( ± 1.96 / sqrt(n/v + 1/t) )
//
// the normal mean with known variance and a normal prior (A. Gelman et al., Bayesian Data
// Analysis, 3rd edition, 2013, section 2.5), where v is pooled from common practice and
// the spread of the reports (the same, section 2.6: an inverse-χ² prior with 4 degrees of
// freedom). So the factor moves little for one report and follows many, and the interval
// never grows.
//
// A ratio that stands more than 2.5 standard deviations off what the others would foretell
// is not used before it is trusted; the farthest is taken out first, and the rest are
// looked at again. An estimate without an interval (low or high not above 0) learns
// nothing.
func Learn(middle, low, high float64, ratios []Ratio) Learnt {
	out := Learnt{Factor: 1, Low: 1, High: 1}
	if !(low > 0 && middle > 0 && high > low) {
		return out
	}
	t := math.Log(high/low) / (2 * of19in20)
	t *= t
	in := map[int]float64{}
	for i, r := range ratios {
		if r.Value > 0 && !r.Left && !math.IsInf(r.Value, 0) {
			in[i] = math.Log(r.Value)
		}
	}
	for {
		worst, at := farOff, -1
		for i := range in {
			if ratios[i].Trusted {
				continue
			}
			y := in[i]
			others := without(in, i)
			m, s := posterior(others, t)
			if z := math.Abs(y-m) / math.Sqrt(s+spread(others)); z > worst || z == worst && at >= 0 && i < at {
				worst, at = z, i
			}
		}
		if at < 0 {
			break
		}
		delete(in, at)
		out.Far = append(out.Far, at)
	}
	slices.Sort(out.Far)
	ys := without(in, -1)
	m, s := posterior(ys, t)
	out.Used = len(ys)
	out.Factor = math.Exp(m)
	// The interval of the estimate lies as it lies about its middle; what was learnt narrows it.
	shrink := math.Sqrt(s / t)
	out.Low = math.Exp(m + shrink*math.Log(low/middle))
	out.High = math.Exp(m + shrink*math.Log(high/middle))
	return out
}

// without are the values but one, in the order of their places.
func without(in map[int]float64, but int) []float64 {
	keys := make([]int, 0, len(in))
	for i := range in {
		if i != but {
			keys = append(keys, i)
		}
	}
	slices.Sort(keys)
	out := make([]float64, len(keys))
	for i, k := range keys {
		out[i] = in[k]
	}
	return out
}

// spread is the variance between knitters: common practice and the reports, pooled.
func spread(ys []float64) float64 {
	sum, mean := 0.0, 0.0
	for _, y := range ys {
		mean += y / float64(len(ys))
	}
	for _, y := range ys {
		sum += (y - mean) * (y - mean)
	}
	return (betweenWeight*between*between + sum) / (betweenWeight + max(0, float64(len(ys)-1)))
}

// posterior is the mean and variance of the logarithm of the factor.
func posterior(ys []float64, t float64) (mean, variance float64) {
	v := spread(ys)
	sum := 0.0
	for _, y := range ys {
		sum += y
	}
	variance = 1 / (float64(len(ys))/v + 1/t)
	return sum / v * variance, variance
}

// With puts what was learnt on a use: the figures of every size, and their intervals.
func (u Use) With(l Learnt) Use {
	out := Use{Yarn: u.Yarn}
	for i := range u.Metres {
		out.Metres = append(out.Metres, u.Metres[i]*l.Factor)
		out.Low = append(out.Low, u.Metres[i]*l.Low)
		out.High = append(out.High, u.Metres[i]*l.High)
	}
	return out
}
