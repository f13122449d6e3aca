package ringing

import (
	"math"
	"testing"

	"fitcoil/internal/near"
)

// The autocovariance, written out: with gaps as nothing, over what is used; of a series turned back
// both parts are records of the same noise.
func TestAutocovarianceByHand(t *testing.T) {
	c := autocovariance(average([]float64{1, 2, 3, 4}, 1, 0, 1, nil), []float64{1, -2, 3, -4}, 2)
	for k, want := range []float64{30. / 4, -20. / 4, 11. / 4} {
		near.To(t, "covariance", c[k], want, 1e-12)
	}
	s := &series{block: 1, sampling: 1, re: make([]float64, 2), im: make([]float64, 2)}
	c = autocovariance(s, []float64{1, 2, 3, 4}, 3)
	for k, want := range []float64{30. / 4, 14. / 4, 0, 0} {
		near.To(t, "of both parts", c[k], want, 1e-12)
	}
	gaps := average([]float64{1, 2, 3, 4}, 1, 0, 1, func(i int) bool { return i == 1 })
	near.To(t, "over what is used", autocovariance(gaps, []float64{1, 0, 3, -4}, 0)[0], 26./3, 1e-12)
}

// From the covariances of an autoregressive process of second order, by the equations of Yule and
// Walker, its coefficients come back, and n/2 degrees of freedom; from those of white noise none.
// Parameters fitted take their share.
func TestLevinsonByYuleAndWalker(t *testing.T) {
	const a1, a2, n = 0.6, -0.3, 4000.0
	c := []float64{1, a1 / (1 - a2)}
	for k := 2; k < 9; k++ {
		c = append(c, a1*c[k-1]+a2*c[k-2])
	}
	got := levinson(c, n)
	if len(got.coefficients) != 2 {
		t.Fatalf("%+v", got)
	}
	near.To(t, "a₁", got.coefficients[0], a1, 1e-12)
	near.To(t, "a₂", got.coefficients[1], a2, 1e-12)
	near.To(t, "innovation", got.innovation, 1-a1*c[1]-a2*c[2], 1e-12)
	near.To(t, "variance", got.variance, 1, 0)
	near.To(t, "degrees", got.degrees, n/2, 1e-9)
	// Order 1 pays from n ln(1 − r²) < −ln n on: 8.29 for 4000.
	for r, order := range map[float64]int{0.0454: 0, 0.0457: 1} {
		if got := levinson([]float64{1, r}, n); len(got.coefficients) != order {
			t.Errorf("correlation %v: %+v", r, got)
		}
	}
	if got := levinson([]float64{2, 3}, n); len(got.coefficients) != 0 || got.innovation != 2 || got.degrees != n { // impossible
		t.Errorf("%+v", got)
	}
	y := make([]float64, 32) // correlated at no lag
	y[0] = 1
	white := colourOf(average(y, 1, 0, 1, nil), y, 8)
	near.To(t, "variance beside eight parameters", white.variance, 1./24, 1e-12)
	near.To(t, "innovation", white.innovation, 1./24, 1e-12)
	near.To(t, "degrees", white.degrees, 24, 1e-12)
	red := redNoise(average(y, 1, 0, 1, nil), []float64{1, 1, -1, -1, 1, 1, -1, -1, 1, 1, -1, -1, 1, 1, -1, -1, 1, 1, -1, -1, 1, 1, -1, -1, 1, 1, -1, -1, 1, 1, -1, -1})
	near.To(t, "first order", red.coefficients[0], 1./32, 1e-12)
	near.To(t, "its innovation", red.innovation, 1-1./1024, 1e-12)
}

// Red noise x = r x' + w: rows count for (1 − r²)/(1 + r²) of as many independent ones (Bartlett);
// its density falls to half at 1 − 2r cos θ + r² = 2(1 − r)².
func TestRedNoise(t *testing.T) {
	const r = 0.8
	c := colour{variance: 1, innovation: 1 - r*r, coefficients: []float64{r}}
	near.To(t, "independence", c.independence(), (1-r*r)/(1+r*r), 1e-9)
	half := math.Acos((1 + r*r - 2*math.Pow(1-r, 2)) / 2 / r)
	near.To(t, "share around 0", c.local(0), half/math.Pi, 2e-3)
	near.To(t, "density at 0", c.density(0), (1+r)/(1-r), 1e-12)
	near.To(t, "density at π", c.density(math.Pi), (1-r)/(1+r), 1e-12)
	near.To(t, "either side", c.local(-0.5), c.local(0.5), 0)
	// Around 1, down to where it is half and up to where it is as low as that: the density falls.
	to := math.Acos(math.Max(-1, (1+r*r-2*(1+r*r-2*r*math.Cos(1)))/2/r))
	near.To(t, "share around 1", c.local(1), to/math.Pi, 3e-3)
	white := colour{innovation: 3}
	if white.local(1) != 1 || white.independence() != 1 || !white.white() || white.density(2) != 3 {
		t.Errorf("white noise: %v, %v", white.local(1), white.independence())
	}
}

// The mean square over what isn't left out; the beginning is even until its mean square is more
// than an F distribution allows once in 100 000: 100 to 900 rows, 1.792 (computed).
func TestEvenBeginning(t *testing.T) {
	s := &series{block: 1, sampling: 1, re: make([]float64, 1000), skip: make([]bool, 1000)}
	s.skip[1] = true
	near.To(t, "mean square", meanSquare(s, []float64{1, 9, 3}, 0, 3), 5, 1e-12)
	near.To(t, "of nothing", meanSquare(s, []float64{1, 9, 3}, 1, 2), 0, 0)
	s.skip = nil
	of := func(ratio, size float64, first float64) bool {
		res := make([]float64, 1000)
		for i := range res {
			res[i] = size
			if float64(i) < first {
				res[i] *= math.Sqrt(ratio)
			}
		}
		return (&ring{fit: &projection{series: s, tones: []tone{{2 * math.Pi / first, 0}}, coef: []float64{3, 4, 0}, residual: res}}).even()
	}
	if !of(1.78, 1, 100) || of(1.80, 1, 100) || !of(0.1, 1, 100) || !of(50, 0.9*5e-5/math.Sqrt(50), 100) || of(50, 1.1*5e-5/math.Sqrt(50), 100) || !of(50, 1, 501) {
		t.Error(of(1.78, 1, 100), of(1.80, 1, 100), of(0.1, 1, 100), of(50, 0.9*5e-5/math.Sqrt(50), 100), of(50, 1.1*5e-5/math.Sqrt(50), 100), of(50, 1, 501))
	}
}

// Cycles that stand out: until the amplitude is down to the noise of one cycle's mean.
func TestCyclesThatStandOut(t *testing.T) {
	s := &series{block: 1, sampling: 1e-3, re: make([]float64, 1000)}
	g := &ring{fit: &projection{series: s, tones: []tone{{2 * math.Pi * 50, 10}}, coef: []float64{3, 4, 0}}, colour: colour{innovation: 0.1}}
	near.To(t, "cycles", g.cycles(), 50*math.Log(5/math.Sqrt(0.2/20))/10, 1e-9)
	g.fit.tones[0].alpha = 1
	near.To(t, "all", g.cycles(), 50, 1e-9)
	g.fit.tones[0].alpha = 0
	near.To(t, "steady", g.cycles(), 50, 1e-9)
	g.fit.tones[0].alpha, g.colour.innovation = 10, 1e4
	near.To(t, "none", g.cycles(), 0, 0)
}
