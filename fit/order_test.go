package fit_test

import (
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/near"
)

// JCGM 101:2008, 7.7.2: of M = 10,000 ordered values and q = 9500 within, the
// symmetric interval runs from value r = (M − q)/2 = 250 to value r + q = 9750;
// give or take one, so that as many lie below as above.
func TestIntervalOfOrderedValues(t *testing.T) {
	v := make([]float64, 10_000)
	for i := range v {
		v[i] = float64(i + 1)
	}
	lo, hi := fit.Sample{Values: [][]float64{v}}.Interval(0, 0.95)
	near.To(t, "lower end", lo, 250, 1)
	near.To(t, "upper end", hi, 9750, 1)
	if below, above := lo-1, 10_000-hi; below != above {
		t.Errorf("%v values below, %v above", below, above)
	}
}
