package decisions

import (
	"math"

	"fitcoil/fit"
)

// randomEffects is the weighted mean of values that differ by more than their own
// uncertainties, with a variance between them.
type randomEffects struct {
	mean        float64
	uncertainty float64   // standard, of the mean
	between     float64   // standard deviation between values, beside their own uncertainties
	weights     []float64 // of the values in the mean; they sum to 1
	q           float64   // Σ (value − mean)²/u² by own uncertainties alone
	pValue      float64   // of a Q as large by chance; NaN for a single value
}

// newRandomEffects combines values with their own standard uncertainties u > 0, whose errors are
// independent, by the random-effects model of R. DerSimonian and N. Laird (Control. Clin.
// Trials 7, 1986, 177–188): the variance between them is
//
//	τ² = max(0, (Q − (n − 1))/(Σw − Σw²/Σw)),  w = 1/u²
//
// and the weights are 1/(u² + τ²). For n groups of equal size it is the analysis of variance
// of JCGM 100:2008, H.5.
func newRandomEffects(values, u []float64) (c randomEffects) {
	n := float64(len(values))
	mean := func(between float64) (sum, squares float64) {
		c.mean, c.weights = 0, make([]float64, len(values))
		for i, v := range values {
			w := 1 / (u[i]*u[i] + between)
			c.weights[i] = w
			sum += w
			squares += w * w
			c.mean += w * v
		}
		c.mean /= sum
		for i := range c.weights {
			c.weights[i] /= sum
		}
		return sum, squares
	}
	sum, squares := mean(0)
	for i, v := range values {
		c.q += (v - c.mean) * (v - c.mean) / (u[i] * u[i])
	}
	c.pValue = math.NaN()
	if n > 1 {
		c.pValue = fit.ChiSquareSurvival(c.q, n-1)
		between := math.Max(0, (c.q-(n-1))/(sum-squares/sum))
		sum, _ = mean(between)
		c.between = math.Sqrt(between)
	}
	c.uncertainty = 1 / math.Sqrt(sum)
	return c
}
