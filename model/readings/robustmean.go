package readings

import (
	"math"
	"slices"
)

// Huber is the corner of the robust loss, in standard uncertainties: for normal
// errors it keeps 95 % of the efficiency of least squares (Huber, Robust
// Statistics, 1981, § 4.5, with the usual 1.345 from memory).
const Huber = 1.345

// sample keeps the readings of a group for a robust mean: d, the frequencies less the
// first, and the root of the weight of each.
type sample struct{ d, root []float64 }

// normalMAD is what the median of the absolute deviations is multiplied by to be the
// standard deviation of normal ones: 1/Φ⁻¹(¾) (P. J. Huber, Robust Statistics, 1981,
// § 5.1, from memory).
const normalMAD = 1.482602218505602

// leastSample is how many readings tell misread ones among them: of fewer, the mean
// counts, and Huber's loss in the fit bounds what it can do.
const leastSample = 8

// pseudo puts pseudo-values in the place of the d of a group: m + s·ψ(z)/a, z = (d − m)/s,
// where m is Huber's estimate of location, s the uncertainty of each reading or what their
// median deviation makes of it, if that is more, and a the mean of ψ'. Their weighted
// mean is m, and its variance by their scatter is that of the estimate (ibid., ch. 7, from
// memory), so that all that is done with readings can be done with them.
func (s *sample) pseudo(uncertainty float64) {
	if len(s.d) < leastSample {
		return
	}
	unit := func(i int) float64 { return uncertainty / s.root[i] }
	m := middle(slices.Clone(s.d))
	deviations := make([]float64, len(s.d))
	for i, d := range s.d {
		deviations[i] = math.Abs(d-m) / unit(i)
	}
	scale := math.Max(1, normalMAD*middle(deviations))
	var inside float64
	for range 50 {
		var pull, slope, all float64
		for i, d := range s.d {
			w := s.root[i] * s.root[i]
			z := (d - m) / (scale * unit(i))
			all += w
			if math.Abs(z) <= Huber {
				slope += w
			}
			pull += w * scale * unit(i) * clip(z)
		}
		inside = slope / all
		if slope == 0 {
			return
		}
		step := pull / slope
		if m += step; math.Abs(step) <= 1e-9*uncertainty {
			break
		}
	}
	for i, d := range s.d {
		u := scale * unit(i)
		s.d[i] = m + u*clip((d-m)/u)/inside
	}
}

// clip is Huber's ψ.
func clip(z float64) float64 { return math.Min(math.Max(z, -Huber), Huber) }

// middle orders the values and returns their median.
func middle(v []float64) float64 {
	slices.Sort(v)
	n := len(v)
	return (v[(n-1)/2] + v[n/2]) / 2
}
