package fit

import (
	"fmt"
	"math"
)

// Consensus is the weighted mean of values that differ by more than their own
// uncertainties, with a variance between them.
type Consensus struct {
	Mean        float64
	Uncertainty float64   // standard, of the mean
	Between     float64   // standard deviation between values, beside their own uncertainties
	Weights     []float64 // of the values in the mean; they sum to 1
	Q           float64   // Σ (value − mean)²/u² by own uncertainties alone
	PValue      float64   // of a Q as large by chance; NaN for a single value
}

// NewConsensus combines values with their own standard uncertainties u > 0, whose errors are
// independent, by the random-effects model of R. DerSimonian and N. Laird (Control. Clin.
// Trials 7, 1986, 177–188): the variance between them is
//
//	τ² = max(0, (Q − (n − 1))/(Σw − Σw²/Σw)),  w = 1/u²
//
// and the weights are 1/(u² + τ²). For n groups of equal size it is the analysis of variance
// of JCGM 100:2008, H.5. It is an error if there is no value, or one without such a u.
func NewConsensus(values, u []float64) (c Consensus, err error) {
	if len(values) == 0 || len(u) != len(values) {
		return c, fmt.Errorf("fit: %d values with %d uncertainties", len(values), len(u))
	}
	for i, v := range u {
		if !(v > 0) || math.IsInf(v, 1) {
			return c, fmt.Errorf("fit: the standard uncertainty %g of value %d isn't a positive number", v, i)
		}
	}
	n := float64(len(values))
	mean := func(between float64) (sum, squares float64) {
		c.Mean, c.Weights = 0, make([]float64, len(values))
		for i, v := range values {
			w := 1 / (u[i]*u[i] + between)
			c.Weights[i] = w
			sum += w
			squares += w * w
			c.Mean += w * v
		}
		c.Mean /= sum
		for i := range c.Weights {
			c.Weights[i] /= sum
		}
		return sum, squares
	}
	sum, squares := mean(0)
	for i, v := range values {
		c.Q += (v - c.Mean) * (v - c.Mean) / (u[i] * u[i])
	}
	c.PValue = math.NaN()
	if n > 1 {
		c.PValue = ChiSquareSurvival(c.Q, n-1)
		between := math.Max(0, (c.Q-(n-1))/(sum-squares/sum))
		sum, _ = mean(between)
		c.Between = math.Sqrt(between)
	}
	c.Uncertainty = 1 / math.Sqrt(sum)
	return c, nil
}
