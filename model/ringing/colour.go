package ringing

import "math"

// colour is the spectrum of the noise between the rows of a series, as an
// autoregressive model: e_m = Σ a_k e_{m−k} + w_m with white w. The residuals
// near a tone are few and thinned by the fit itself; a smooth spectrum through
// all of them says more than they do (Berk, Ann. Statist. 2 (1974) 489).
type colour struct {
	variance     float64   // of the rows, V²
	innovation   float64   // of w, V²
	coefficients []float64 // a_1, a_2, …; none means white
	degrees      float64   // degrees of freedom with which density is known
}

const mostOrders = 40

// colourOf fits the model to the residuals of a series with params fitted
// parameters. The order is the one with the least Bayesian information
// criterion (Schwarz, Ann. Statist. 6 (1978) 461): for white noise it is 0.
func colourOf(s *series, residual []float64, params int) colour {
	used := s.used()
	free := float64(used - params)
	orders := min(mostOrders, used/10)
	c := autocovariance(s, residual, orders)
	// The fit has taken its parameters' share of the scatter.
	inflate := float64(used) / free

	best := colour{variance: c[0] * inflate, innovation: c[0] * inflate, degrees: free}
	n := float64(used)
	bic := n * math.Log(c[0])
	a := []float64{}
	v := c[0]
	for k := 1; k <= orders && v > 0; k++ {
		// Levinson's recursion.
		r := c[k]
		for i, ai := range a {
			r -= ai * c[k-1-i]
		}
		r /= v
		next := make([]float64, k)
		for i := range a {
			next[i] = a[i] - r*a[k-2-i]
		}
		next[k-1] = r
		a = next
		v *= 1 - r*r
		if !(v > 0) || math.Abs(r) >= 1 {
			break // gaps can make the autocovariance impossible
		}
		if b := n*math.Log(v) + float64(k)*math.Log(n); b < bic {
			bic = b
			best.innovation, best.coefficients = v*inflate, a
			best.degrees = free / float64(k)
		}
	}
	return best
}

// autocovariance returns the mean products of residuals 0 … lags rows apart.
// Real and imaginary parts count as two records of the same noise.
func autocovariance(s *series, residual []float64, lags int) []float64 {
	n := len(s.re)
	c := make([]float64, lags+1)
	used := float64(s.used())
	for part := 0; part < len(residual); part += n {
		r := residual[part : part+n]
		for lag := range c {
			var sum float64
			for i, v := range r[:n-lag] {
				sum += v * r[i+lag]
			}
			c[lag] += sum / used
		}
	}
	return c
}

func (c colour) white() bool { return len(c.coefficients) == 0 }

// density returns the variance that white noise of the same density at theta
// rad per row would have, in V².
func (c colour) density(theta float64) float64 {
	re, im := 1.0, 0.0
	for k, a := range c.coefficients {
		sin, cos := math.Sincos(float64(k+1) * theta)
		re -= a * cos
		im += a * sin
	}
	return c.innovation / (re*re + im*im)
}

// independence returns the share of the rows that would carry as much about
// the variance if they were independent: 1/Σρ² over all lags, positive and
// negative, ρ being the autocorrelation (Bartlett). It equals, by Parseval,
// the square of the mean density over the mean square density.
func (c colour) independence() float64 {
	if c.white() {
		return 1
	}
	const points = 1024
	var mean, square float64
	for k := range points {
		d := c.density(math.Pi * (float64(k) + 0.5) / points)
		mean += d / points
		square += d * d / points
	}
	return mean * mean / square
}
