package fit_test

import (
	"math"
	"testing"

	"fitcoil/fit"
)

// Upper critical values of the F distribution (NIST/SEMATECH e-Handbook, 1.3.6.7.3, to three
// decimals), and the two tests of lack of fit of the load cell there (4.6.1; from memory).
func TestRatioOfVariances(t *testing.T) {
	for _, c := range []struct{ v, n, m, p, room float64 }{
		{39.863, 1, 1, 0.10, 1e-5}, {2.348, 10, 20, 0.05, 1e-4}, {3.708, 3, 10, 0.05, 1e-4}, {4.103, 5, 20, 0.01, 1e-5},
		{0.8107, 17, 20, 1 - 0.333818, 5e-5}, {214.7464, 18, 20, 0, 1e-9},
	} {
		if p := fit.RatioSurvival(c.v, c.n, c.m); !(math.Abs(p-c.p) <= c.room) {
			t.Errorf("F = %g with %g and %g degrees of freedom: %g, want %g", c.v, c.n, c.m, p, c.p)
		}
	}
	for _, p := range []float64{fit.RatioSurvival(1, 0, 1), fit.RatioSurvival(1, 1, 0), fit.RatioSurvival(math.NaN(), 1, 1)} {
		if !math.IsNaN(p) {
			t.Errorf("%g without degrees of freedom", p)
		}
	}
}
