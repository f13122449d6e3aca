package fit

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// CoverageFactor returns the k for which an interval of ± k standard
// uncertainties covers with probability level, by Student's distribution of
// the given degrees of freedom, which need not be whole; the normal one for
// +Inf; +Inf for none; NaN for a level that isn't between 0 and 1.
func CoverageFactor(level, degrees float64) float64 {
	switch {
	case !(level > 0 && level < 1):
		return math.NaN()
	case !(degrees > 0):
		return math.Inf(1)
	case math.IsInf(degrees, 1):
		return distuv.UnitNormal.Quantile((1 + level) / 2)
	case degrees > manyDegrees:
		return manyDegreesFactor(distuv.UnitNormal.Quantile((1+level)/2), degrees)
	}
	return studentQuantile(level, degrees)
}

// studentQuantile returns the t that Student's distribution exceeds on one side or the other
// with probability 1 − level. Newton's method goes in ln t, of which the logarithm of the tail
// is a concave function: one step from below leads past the root, and all others down to it.
func studentQuantile(level, degrees float64) float64 {
	d := distuv.StudentsT{Sigma: 1, Nu: degrees}
	t := distuv.UnitNormal.Quantile((1 + level) / 2)
	if degrees > 2 {
		t = manyDegreesFactor(t, degrees)
	}
	for range studentTries {
		tail := d.Survival(t)
		step := math.Log(2*tail/(1-level)) * tail / (t * d.Prob(t))
		t *= math.Exp(math.Min(step, 2))
		if math.Abs(step) < 1e-8 { // the next would be about its square
			break
		}
	}
	return t
}

const studentTries = 200

// Chance returns the probability that Student's t of the given degrees of freedom, the
// normal deviate for +Inf, is at least as far from 0 as t; NaN unless degrees > 0.
func Chance(t, degrees float64) float64 {
	if !(degrees > 0) || math.IsNaN(t) {
		return math.NaN()
	}
	t = math.Abs(t)
	if degrees > manyDegrees {
		return 2 * distuv.UnitNormal.Survival(t)
	}
	return 2 * distuv.StudentsT{Sigma: 1, Nu: degrees}.Survival(t)
}

// manyDegrees is where the series of manyDegreesFactor has all digits. The
// inverse of the distribution loses them as the degrees of freedom grow, down to
// eight, and not alike for neighbouring degrees.
const manyDegrees = 1e3

// manyDegreesFactor returns the quantile of Student's distribution that belongs
// to the normal one z (M. Abramowitz and I. A. Stegun, Handbook of Mathematical
// Functions, 1964, 26.7.5).
func manyDegreesFactor(z, degrees float64) float64 {
	q, n := z*z, 1/degrees
	return z * (1 + n*((q+1)/4+n*(((5*q+16)*q+3)/96+n*((((3*q+19)*q+17)*q-15)/384+n*((((79*q+776)*q+1482)*q-1920)*q-945)/92160))))
}
