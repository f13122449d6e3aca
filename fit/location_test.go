package fit_test

import (
	"math"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/near"
)

// location is where the readings y lie, with unit uncertainties.
func location(y []float64) fit.Problem {
	return fit.Problem{Params: 1, Data: fit.Rows{N: len(y), Evaluate: func(x []float64, first int, r, jac []float64) {
		for i := range r {
			r[i] = y[first+i] - x[0]
		}
		for i := range jac {
			jac[i] = -1
		}
	}}}
}

// Huber's estimate of a location, worked out by hand: with k = 1.5 and unit
// uncertainties, Σψ(y − x) = 0 has its root where the inner readings' sum and
// the outer ones' ± k cancel. The variance is K² s²/(m² N), with m the share of
// inner readings, s² = Σψ²/(N − 1) and K = 1 + (1 − m)/(m N) (P. J. Huber,
// Robust Statistics, 1981, § 6.5 and § 7.6). Invented readings.
func TestVarianceOfRobustLocation(t *testing.T) {
	y := []float64{-9, -6, -1.2, -0.7, 0.1, 0.4, 0.6, 0.8, 7, 8, 11}
	n := float64(len(y))
	p := location(y)
	r := solve(t, p, []float64{0.3}, fit.Settings{Loss: fit.Huber(1.5)})
	// Six inner readings that sum to 0, two below and three above:
	// 6x = −2·1.5 + 3·1.5.
	near.To(t, "location", r.X[0], 0.25, 1e-9)
	inner := 0.0
	for _, v := range y[2:8] {
		inner += (v - 0.25) * (v - 0.25)
	}
	m, s2 := 6/n, (inner+5*1.5*1.5)/(n-1)
	k := 1 + (1-m)/(m*n)
	variance, _ := r.Covariance().Variance([]float64{1})
	near.To(t, "standard uncertainty", math.Sqrt(variance), k*math.Sqrt(s2/n)/m, 1e-9)
}

// Whatever the corner, a reading beyond it pulls by it and no more: three zeros and a ten lie at k/3, as far as the
// ten is beyond, and at their mean without a loss or beyond all; the objective is Σρ, ρ = 2k|r| − k² beyond k.
func TestCornersOfALocation(t *testing.T) {
	for _, k := range []float64{0.1, 0.5, 0.8, 1, 1.2, 1.345, 2, 5, 7.4} {
		r := solve(t, location([]float64{0, 10, 0, 0}), []float64{1}, fit.Settings{Loss: fit.Huber(k)})
		near.Times(t, "location", r.X[0], k/3, 1e-9)
		near.Times(t, "objective", r.Objective, 3*k*k/9+2*k*(10-k/3)-k*k, 1e-9)
	}
	for _, s := range []fit.Settings{{}, {Loss: fit.Huber(7.6)}, {Loss: fit.Huber(100)}} {
		r := solve(t, location([]float64{0, 10, 0, 0}), []float64{1}, s)
		near.Times(t, "location", r.X[0], 2.5, 1e-9)
		near.Times(t, "objective", r.Objective, 3*6.25+56.25, 1e-9)
	}
}
