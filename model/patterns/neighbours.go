package patterns

import (
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// fewestNeighbours is how many values tell a pattern from chance.
const fewestNeighbours = 12

// Neighbours returns the lag-1 autocorrelation ρ = Σ(vᵢ − v̄)(vᵢ₊₁ − v̄)/Σ(vᵢ − v̄)² of the
// values in their order, and the probability that neighbours agree as much without any
// pattern: of ρ√n as a normal deviate, which errs on the side of chance (G. E. P. Box and
// G. M. Jenkins, Time Series Analysis, 1976, § 2.1.6, from memory), or of as few runs of
// one sign (A. Wald and J. Wolfowitz, Ann. Math. Statist. 11, 1940, 147–162), the less
// likely of the two, twice. Fewer than twelve values, or all equal ones, give ρ = 0, p = 1.
func Neighbours(values []float64) (rho, p float64) {
	if len(values) < fewestNeighbours {
		return 0, 1
	}
	rho = autocorrelation(values)
	if math.IsNaN(rho) {
		return 0, 1
	}
	p = distuv.UnitNormal.Survival(rho * math.Sqrt(float64(len(values))))
	return rho, math.Min(1, 2*math.Min(p, fewRuns(values)))
}

func autocorrelation(values []float64) float64 {
	mean := stat.Mean(values, nil)
	var product, square, last float64
	for _, v := range values {
		product += last * (v - mean)
		last = v - mean
		square += last * last
	}
	return product / square
}

// fewRuns returns the probability of as few runs of values of one sign.
func fewRuns(values []float64) float64 {
	runs, n := 0.0, float64(len(values))
	above := 0.0
	for i, v := range values {
		if v > 0 {
			above++
		}
		if i == 0 || (v > 0) != (values[i-1] > 0) {
			runs++
		}
	}
	pairs := 2 * above * (n - above)
	if pairs == 0 {
		return 1 // all of one sign: no pattern of signs, if a bias
	}
	sigma := math.Sqrt(pairs * (pairs - n) / (n * n * (n - 1)))
	return distuv.UnitNormal.Survival((pairs/n + 1 - runs - 0.5) / sigma)
}
