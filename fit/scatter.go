package fit

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Scatter compares the scatter of the residuals with the stated uncertainties.
type Scatter struct {
	// ChiSquare is Σr² of all rows, data and priors, at the solution for the
	// stated uncertainties; DegreesOfFreedom is rows − parameters determined.
	ChiSquare        float64
	DegreesOfFreedom int
	// PValue is the probability of a larger ChiSquare if model and stated
	// uncertainties are right; NaN without degrees of freedom.
	PValue float64
	// Birge is the ratio of the data's scatter to its stated uncertainties,
	// √(Σr²/Redundancy) over the data rows alone, when they are weighted by
	// Scale; NaN if Redundancy is too small to tell.
	Birge float64
	// Redundancy is the number of data rows less the sum of their leverages:
	// the part of their scatter that the parameters and priors leave free.
	Redundancy float64
	// Scale is the factor S applied to the stated uncertainties of the data.
	Scale float64
}

const (
	// leastRedundancy is the least that is taken as evidence on the scatter:
	// less than one residual's worth says next to nothing. One reading repeated
	// is worth one but for rounding, which must not decide.
	leastRedundancy = 1 - 1e-6
	scaleSettled    = 1e-9
	extremeScale    = 1e100 // beyond which S and 1/S is no scatter of readings
	patience        = 5     // rounds for a fit to converge: with a larger scale it often does
	scaleRounds     = 100   // by then the tolerance is above one
)

// chooseScale returns the next S and its degrees of freedom, given the ratio of
// scatter to uncertainty under the present S.
func chooseScale(birge, present, redundancy float64, u Uncertainty) (scale, degrees float64) {
	scale = birge * present
	usable := scale > 1/extremeScale && scale < extremeScale
	if u == Relative {
		if redundancy < 1e-9 || !usable {
			return present, 0
		}
		return scale, redundancy
	}
	if redundancy < leastRedundancy || !usable {
		return 1, Trusted(1, 1)
	}
	scale = math.Max(scale, 1)
	return scale, Trusted(scale, redundancy)
}

// Trusted returns the degrees of freedom of uncertainties enlarged by S, for which
// there was the given redundancy: see SolveScaled.
func Trusted(scale, redundancy float64) float64 {
	return Doubted(scale, redundancy, 0.75*math.Exp(-redundancy*redundancy/64))
}

// Doubted is Trusted for another δ, by how much S² may be too small by chance.
func Doubted(scale, redundancy, doubt float64) float64 {
	excess := 1 - (1-doubt)/(scale*scale)
	return redundancy / (excess * excess)
}

// Scatter compares the residuals at the solution with the stated uncertainties,
// without any scaling. Its Redundancy is left open.
func (r Result) Scatter() Scatter {
	sc := Scatter{ChiSquare: r.DataSquares + r.PriorSquares, DegreesOfFreedom: r.DegreesOfFreedom(),
		PValue: math.NaN(), Scale: 1}
	if n := float64(sc.DegreesOfFreedom); n > 0 {
		sc.PValue = ChiSquareSurvival(sc.ChiSquare, n)
	}
	return sc
}

// LargestChiSquare returns the χ² that is exceeded with the probability p; NaN unless p is
// between 0 and 1 and degrees > 0.
func LargestChiSquare(p float64, degrees int) float64 {
	if !(p >= 0 && p <= 1 && degrees > 0) {
		return math.NaN()
	}
	return distuv.ChiSquared{K: float64(degrees)}.Quantile(1 - p)
}

// ChiSquareSurvival returns the probability that χ² with n degrees of freedom is above v;
// NaN unless n > 0.
func ChiSquareSurvival(v, n float64) float64 {
	if !(n > 0) || math.IsNaN(v) {
		return math.NaN()
	}
	return distuv.ChiSquared{K: n}.Survival(v)
}

// RatioSurvival returns the probability that the ratio of two variances, estimated with n and m
// degrees of freedom, is above v where both are one (R. A. Fisher's F); NaN unless n, m > 0.
func RatioSurvival(v, n, m float64) float64 {
	if !(n > 0) || !(m > 0) || math.IsNaN(v) {
		return math.NaN()
	}
	return distuv.F{D1: n, D2: m}.Survival(v)
}
