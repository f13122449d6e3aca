package fit

import (
	"math"
	"testing"
)

// Two rows that tell two parameters apart by e, of {1, 1} and {1, 1+e}: the
// inverse of the 2 × 2 matrix has the variances (1+(1+e)²)/e² and 2/e². What
// double precision still resolves is determined, what it doesn't isn't.
func TestNearlyAlikeColumns(t *testing.T) {
	for _, e := range []float64{1e-2, 1e-5, 1e-8} {
		c := newOwnCovariance([]float64{1, 1, 1, 1 + e}, 2, nil, nil)
		if c.Rank() != 2 {
			t.Errorf("e = %g: rank %d", e, c.Rank())
		}
		for j, want := range []float64{(1 + (1+e)*(1+e)) / (e * e), 2 / (e * e)} {
			g := make([]float64, 2)
			g[j] = 1
			if v, ok := c.Variance(g); !ok || !(math.Abs(v/want-1) <= 1e-14/e+1e-12) {
				t.Errorf("e = %g: variance %v of parameter %d (%v), want %v", e, v, j, ok, want)
			}
		}
	}
	c := newOwnCovariance([]float64{1, 1, 1, 1 + 1e-13}, 2, nil, nil)
	if _, ok := c.Variance([]float64{1, 0}); ok || c.Rank() != 1 {
		t.Errorf("columns alike to 13 digits: rank %d", c.Rank())
	}
	if v, ok := c.Variance([]float64{1, 1}); !ok || !(math.Abs(v-0.5) <= 1e-6) {
		t.Errorf("their sum has the variance %v (%v), want ½", v, ok)
	}
}
