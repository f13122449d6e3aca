package ringing

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The density of an autoregressive process of second order, found from its
// samples, against the formula that made them.
func TestColour(t *testing.T) {
	const n, a1, a2, sd = 40000, 1.5, -0.8, 0.3
	rng := rand.New(rand.NewPCG(2, 2))
	next := autoregressive(a1, a2, sd)(rng)
	y := make([]float64, n)
	for i := range y {
		y[i] = next()
	}
	c := colourOf(average(y, 1, 0, 1, nil), y, 0, nil)
	near(t, "variance", c.variance, sd*sd, 0.05*sd*sd)
	w := sd * sd * (1 + a2) * ((1-a2)*(1-a2) - a1*a1) / (1 - a2)
	for _, theta := range []float64{0.1, 0.577, 1, 2, 3} {
		sin1, cos1 := math.Sincos(theta)
		sin2, cos2 := math.Sincos(2 * theta)
		want := w / (math.Pow(1-a1*cos1-a2*cos2, 2) + math.Pow(a1*sin1+a2*sin2, 2))
		near(t, "density", c.density(theta), want, 0.1*want)
	}
	// The mean of the density over all frequencies is the variance.
	near(t, "γ_0", c.autocovariance(1)[0], c.variance, 1e-6)
}

func TestWhiteNoiseStaysWhite(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2))
	coloured := 0
	for range 200 {
		y := make([]float64, 400)
		for i := range y {
			y[i] = rng.NormFloat64()
		}
		if !colourOf(average(y, 1, 0, 1, nil), y, 0, nil).white() {
			coloured++
		}
	}
	if coloured > 20 {
		t.Errorf("%d of 200 white records are called coloured", coloured)
	}
}

// The correction for what a fit has taken, against the mean over many
// residuals of noise of known colour.
func TestTaken(t *testing.T) {
	const n, trials, lags = 120, 4000, 4
	rng := rand.New(rand.NewPCG(3, 3))
	s := average(make([]float64, n), 1, 0, 1, nil)
	p := project(s, []tone{{2 * math.Pi / 20, 0}})
	p.at(make([]float64, 2))
	p.coef = []float64{1, 0.5, 0}
	j := p.jacobian()
	noise := autoregressive(0.8, 0, 1)
	var mean [lags]float64
	for range trials {
		next := noise(rng)
		y := make([]float64, n)
		for i := range y {
			y[i] = next()
		}
		residual, _ := j.without(y, nil)
		for k, c := range autocovariance(s, residual, lags-1) {
			mean[k] += c / trials
		}
	}
	c := colour{variance: 1, innovation: 1 - 0.64, coefficients: []float64{0.8}}
	for k, taken := range s.taken(j.q, c, lags) {
		near(t, "autocovariance", mean[k]+taken, math.Pow(0.8, float64(k)), 0.02)
		if k == 0 && taken < 0.05 {
			t.Errorf("nothing was taken: %g", taken)
		}
	}
}
