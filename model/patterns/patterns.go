package patterns

import (
	"cmp"
	"math"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"fitcoil/stable"
)

// Trend returns Spearman's rank correlation ρ of the values with their order,
// and the two-sided probability of one as large without any trend, from
// Student's t with n − 2 degrees of freedom for ρ √((n−2)/(1−ρ²)) (Kendall &
// Stuart, The Advanced Theory of Statistics, vol. 2, § 31.19; good from ten
// values on). Fewer than six values, or all equal ones, give ρ = 0, p = 1.
func Trend(values []float64) (rho, p float64) {
	n := len(values)
	if n < 6 {
		return 0, 1
	}
	order := make([]float64, n)
	for i := range order {
		order[i] = float64(i)
	}
	rho = stat.Correlation(order, ranks(values), nil)
	if math.IsNaN(rho) {
		return 0, 1
	}
	nu := float64(n - 2)
	t := math.Abs(rho) * math.Sqrt(nu/math.Max(1-rho*rho, 1e-300))
	return rho, 2 * distuv.StudentsT{Mu: 0, Sigma: 1, Nu: nu}.Survival(t)
}

// ranks returns the rank of each value; equal ones share their mean rank.
func ranks(values []float64) []float64 {
	index := make([]int, len(values))
	for i := range index {
		index[i] = i
	}
	stable.Sort(index, func(a, b int) int { return cmp.Compare(values[a], values[b]) })
	out := make([]float64, len(values))
	for i := 0; i < len(index); {
		j := i
		for j < len(index) && values[index[j]] == values[index[i]] {
			j++
		}
		for k := i; k < j; k++ {
			out[index[k]] = float64(i+j-1) / 2
		}
		i = j
	}
	return out
}

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

// NormalPosition is where one of a sorted sample of standard normal numbers is
// to be expected: its median, and the limits that it lies within with 95 %
// probability.
type NormalPosition struct{ Expected, Low, High float64 }

// NormalOrder returns the position of the k-th smallest of n values, k from 1.
//
// The k-th smallest of n uniform numbers follows the Beta distribution with
// parameters k and n + 1 − k; its median and its 2.5 % and 97.5 % quantiles are
// carried to the normal scale by the inverse of the normal distribution (J. J.
// Filliben, Technometrics 17 (1975) 111; NIST/SEMATECH e-Handbook of Statistical
// Methods, 1.3.3.21). The limits hold for each value by itself, not for all at
// once, and for independent values: residuals of a fit are nearly so when there
// are many more of them than parameters.
func NormalOrder(k, n int) NormalPosition {
	if 2*k > n+1 { // mirrored from the lower half, where no digits are lost near one
		q := NormalOrder(n+1-k, n)
		return NormalPosition{-q.Expected, -q.High, -q.Low}
	}
	at := func(p float64) float64 {
		return mathext.NormalQuantile(mathext.InvRegIncBeta(float64(k), float64(n+1-k), p))
	}
	return NormalPosition{at(0.5), at(0.025), at(0.975)}
}

// enoughToPlot is the number of values from which a quantile–quantile plot says
// something of their distribution.
const enoughToPlot = 8

// EnoughForNormalPlot tells whether n values are enough to judge by a
// quantile–quantile plot whether they are normal. With fewer the limits are so
// wide that hardly anything falls outside.
func EnoughForNormalPlot(n int) bool { return n >= enoughToPlot }
