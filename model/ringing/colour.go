package ringing

import (
	"math"

	"gonum.org/v1/gonum/dsp/fourier"
	"gonum.org/v1/gonum/floats"
)

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

// colourOf fits the model to the residuals that params fitted parameters have left; what
// they have taken is put at their share of everything.
func colourOf(s *series, residual []float64, params int) colour {
	n := float64(s.used())
	best := levinson(autocovariance(s, residual, min(mostOrders, s.used()/10)), n)
	share := n / (n - float64(params))
	best.innovation *= share
	best.variance *= share
	best.degrees *= 1 / share
	return best
}

// redNoise returns the model of first order, which knows whether slow noise
// outweighs fast, and nothing of lines and humps.
func redNoise(s *series, residual []float64) colour {
	c := autocovariance(s, residual, 1)
	r := math.Max(-0.999, math.Min(0.999, c[1]/c[0]))
	return colour{variance: c[0], innovation: c[0] * (1 - r*r), coefficients: []float64{r}}
}

// levinson fits autoregressive models to the autocovariance c of n numbers by
// Levinson's recursion, and returns the one with the least Bayesian information
// criterion (Schwarz, Ann. Statist. 6 (1978) 461): for white noise that of
// order 0.
func levinson(c []float64, n float64) colour {
	best := colour{variance: c[0], innovation: c[0], degrees: n}
	bic := n * math.Log(c[0])
	a := []float64{}
	v := c[0]
	for k := 1; k < len(c) && v > 0; k++ {
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
			best.innovation, best.coefficients, best.degrees = v, a, n/float64(k)
		}
	}
	return best
}

// autocovariance returns the sums of products of residuals 0 … lags rows apart
// over the number of residuals. Real and imaginary parts count as two records
// of the same noise.
func autocovariance(s *series, residual []float64, lags int) []float64 {
	c, n := make([]float64, lags+1), len(s.re)
	for part := 0; part < len(residual); part += n {
		for k := range min(len(c), n) {
			c[k] += floats.Dot(residual[part:part+n-k], residual[part+k:part+n])
		}
	}
	floats.Scale(1/float64(s.used()), c)
	return c
}

// colouring returns ΣQ, Σ being the covariance of noise of colour c: the
// columns filtered by its density, with zero padding against the circle's
// closing.
func (s *series) colouring(q [][]float64, c colour) [][]float64 {
	out := make([][]float64, len(q))
	if c.white() {
		for i, col := range q {
			out[i] = append([]float64(nil), col...)
			floats.Scale(c.innovation, out[i])
		}
		return out
	}
	n := len(s.re)
	size := quick(n + n/8 + mostOrders)
	fft := fourier.NewCmplxFFT(size)
	density := make([]float64, size/2+1)
	for k := range density {
		density[k] = c.density(2*math.Pi*float64(k)/float64(size)) / float64(size)
	}
	for i, col := range q {
		out[i] = make([]float64, len(col))
	}
	z, f := make([]complex128, size), make([]complex128, size)
	from, to := s.records(q), s.records(out)
	for i, r := range from {
		clear(z)
		for m := range n {
			z[m] = complex(r[0][m], r[1][m])
		}
		fft.Coefficients(f, z)
		for k := range f {
			f[k] *= complex(density[min(k, size-k)], 0)
		}
		fft.Sequence(z, f)
		for m := range n {
			to[i][0][m], to[i][1][m] = real(z[m]), imag(z[m])
		}
	}
	for _, col := range out {
		s.blank(col)
	}
	return out
}

// records returns the columns as real and imaginary parts of complex ones: of a
// column its own, or, where columns are real, of two at a time, since an even
// density keeps them apart.
func (s *series) records(columns [][]float64) (list [][2][]float64) {
	n := len(s.re)
	if s.im != nil {
		for _, c := range columns {
			list = append(list, [2][]float64{c[:n], c[n:]})
		}
		return list
	}
	for i := 0; i < len(columns); i += 2 {
		r := [2][]float64{columns[i], make([]float64, n)}
		if i+1 < len(columns) {
			r[1] = columns[i+1]
		}
		list = append(list, r)
	}
	return list
}

// local returns the share of all frequencies over which the density around
// theta stays above half of what it is there: what the noise at theta is
// known from.
func (c colour) local(theta float64) float64 {
	if c.white() {
		return 1
	}
	const points = 1024 // from 0 to π
	theta = math.Abs(theta)
	half := c.density(theta) / 2
	n := 1
	for at := theta + math.Pi/points; at < math.Pi && c.density(at) > half; at += math.Pi / points {
		n++
	}
	for at := theta - math.Pi/points; at > 0 && c.density(at) > half; at -= math.Pi / points {
		n++
	}
	return math.Min(1, float64(n)/points)
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
