package patterns

import (
	"math"
	"testing"
)

// Spearman's ρ by his formula for untied ranks, ρ = 1 − 6 Σd²/(n(n²−1)).
func TestTrendAgainstSpearmansFormula(t *testing.T) {
	values := []float64{3.1, 2.7, 9.4, 4.4, 8.0, 7.2, 11, 6.9}
	ranks := []float64{2, 1, 7, 3, 6, 5, 8, 4}
	sum := 0.0
	for i, r := range ranks {
		d := r - float64(i+1)
		sum += d * d
	}
	want := 1 - 6*sum/(8*63)
	rho, p := Trend(values)
	if !(math.Abs(rho-want) <= 1e-12) {
		t.Errorf("ρ = %v, want %v", rho, want)
	}
	// ρ = 0.5476, n = 8: t = 1.603 with 6 degrees of freedom; the two-sided 10 %
	// point is 1.943 and the 20 % point 1.440 (tables of Student's t).
	if !(p > 0.10 && p < 0.20) {
		t.Errorf("ρ = %v: p = %v, want between 0.10 and 0.20", rho, p)
	}
	if rho, p := Trend([]float64{1, 1, 1, 1, 1, 1, 1}); rho != 0 || p != 1 {
		t.Errorf("equal values: ρ = %v, p = %v", rho, p)
	}
	if rho, _ := Trend([]float64{1, 2, 2, 3, 4, 5, 6}); !(rho > 0.98 && rho < 1) {
		t.Errorf("rising with a tie: ρ = %v", rho)
	}
}

// SciPy 1.10.1, stats.spearmanr of invented values with their order.
func TestTrendAgainstSciPy(t *testing.T) {
	rho, p := Trend([]float64{3, 1, 4, 1.5, 5, 9, 2, 6, 5.5, 3.5, 8, 9.7})
	if !(math.Abs(rho-0.6643356643356644) <= 1e-12) || !(math.Abs(p-0.018452718028445437) <= 1e-9) {
		t.Errorf("ρ = %v, p = %v", rho, p)
	}
	if rho, p := Trend([]float64{1, 2, 3, 4, 5}); rho != 0 || p != 1 {
		t.Errorf("five values: ρ = %v, p = %v", rho, p)
	}
}

// From how many values on something is told: a trend from six, which is as likely as 2·6!⁻¹ where they
// rise one after the other (to the approximation by Student's t), neighbours from twelve, a normal plot
// from eight; nothing of values that are all equal.
func TestFewestValues(t *testing.T) {
	for n := 2; n < 16; n++ {
		rising, equal := make([]float64, n), make([]float64, n)
		for i := range rising {
			rising[i] = float64(i)
		}
		if rho, p := Trend(rising); (rho > 0.999 && p < 1e-3) != (n >= 6) || n < 6 && p != 1 {
			t.Errorf("%d values: trend %v, p %v", n, rho, p)
		}
		if rho, p := Neighbours(rising); (rho > 0.5 && p < 0.05) != (n >= 12) || n < 12 && (rho != 0 || p != 1) {
			t.Errorf("%d values: neighbours %v, p %v", n, rho, p)
		}
		for _, of := range []func([]float64) (float64, float64){Trend, Neighbours} {
			if rho, p := of(equal); rho != 0 || p != 1 {
				t.Errorf("%d equal values: %v, p %v", n, rho, p)
			}
		}
		if EnoughForNormalPlot(n) != (n >= 8) {
			t.Errorf("%d values for a normal plot", n)
		}
	}
}
