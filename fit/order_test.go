package fit_test

import (
	"testing"

	"fitcoil/fit"
)

// SciPy 1.10.1, stats.spearmanr of invented values with their order.
func TestTrendAgainstSciPy(t *testing.T) {
	rho, p := fit.Trend([]float64{3, 1, 4, 1.5, 5, 9, 2, 6, 5.5, 3.5, 8, 9.7})
	near(t, "ρ", rho, 0.6643356643356644, 1e-12)
	near(t, "p", p, 0.018452718028445437, 1e-9)
	if rho, p := fit.Trend([]float64{1, 2, 3, 4, 5}); rho != 0 || p != 1 {
		t.Errorf("five values: ρ = %v, p = %v", rho, p)
	}
}

// JCGM 101:2008, 7.7.2: of M = 10,000 ordered values and q = 9500 within, the
// symmetric interval runs from value r = (M − q)/2 = 250 to value r + q = 9750;
// give or take one, so that as many lie below as above.
func TestIntervalOfOrderedValues(t *testing.T) {
	v := make([]float64, 10_000)
	for i := range v {
		v[i] = float64(i + 1)
	}
	lo, hi := fit.Sample{Values: [][]float64{v}}.Interval(0, 0.95)
	near(t, "lower end", lo, 250, 1)
	near(t, "upper end", hi, 9750, 1)
	if below, above := lo-1, 10_000-hi; below != above {
		t.Errorf("%v values below, %v above", below, above)
	}
}
