package fit_test

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"

	"fitcoil/fit"
	"fitcoil/internal/near"
)

// The biweight of a location, by hand: invented readings of which two are far off. Those
// beyond c count for nothing, the others by w = (1 − (r/c)²)² at a root of Σ w r, which
// bisection finds; the variance is 1/Σw, and the leverages are w/Σw.
func TestBiweightOfLocation(t *testing.T) {
	y := []float64{-0.9, -0.4, -0.1, 0.2, 0.3, 0.8, 1.3, 40, 55}
	const c = 4.685
	weight := func(r float64) float64 { return math.Pow(math.Max(0, 1-r*r/(c*c)), 2) }
	lo, hi := -1.0, 1.0
	for range 60 {
		x, sum := (lo+hi)/2, 0.0
		for _, v := range y {
			sum += weight(v-x) * (v - x)
		}
		if sum > 0 {
			lo = x
		} else {
			hi = x
		}
	}
	all := 0.0
	for _, v := range y {
		all += weight(v - lo)
	}
	p := location(y)
	r, sc, err := fit.SolveScaled(p, []float64{0}, fit.Settings{Loss: fit.Redescending(1.345, c)})
	if err != nil || !r.Status.Converged() {
		t.Fatal(err, r.Status)
	}
	near.To(t, "scale", sc.Scale, 1, 0) // what is left scatters as stated
	if !slices.Equal(r.Forgotten, []int{7, 8}) || sc.DegreesOfFreedom != 6 {
		t.Errorf("rows %v are forgotten, %d degrees of freedom are left", r.Forgotten, sc.DegreesOfFreedom)
	}
	squares := 0.0
	for _, v := range y[:7] {
		squares += (v - lo) * (v - lo)
	}
	near.To(t, "χ² of the others", sc.ChiSquare, squares, 1e-6)
	near.To(t, "location", r.X[0], lo, 1e-6)
	variance, _ := r.Covariance().Variance([]float64{1})
	near.To(t, "variance", variance, 1/all, 1e-6)
	for i, d := range fit.Must(fit.Diagnose(p, r)) {
		near.To(t, "leverage", d.Leverage, weight(y[i]-lo)/all, 1e-6)
		near.To(t, "residual", d.Residual, y[i]-lo, 1e-6)
	}
	near.To(t, "restated variance", variance, func() float64 { v, _ := fit.Must(r.Restated(p)).Variance([]float64{1}); return v }(), 1e-9)
}

// The constants that are customary: 95 % efficiency for normal residuals, (E ψ')²/E ψ², of
// Huber's ψ with 1.345 and of the biweight with 4.685, by quadrature; and E w/E w z², which
// the scale is multiplied by.
func TestCustomaryCorners(t *testing.T) {
	mean := func(f func(z float64) float64, edge float64) float64 {
		return 2 * quad.Fixed(func(z float64) float64 { return f(z) * distuv.UnitNormal.Prob(z) }, 0, edge, 200, nil, 0)
	}
	const k, c = 1.345, 4.685
	inner := mean(func(float64) float64 { return 1 }, k)
	near.To(t, "Huber", inner*inner/(mean(func(z float64) float64 { return z * z }, k)+k*k*(1-inner)), 0.95, 1e-4)
	w := func(z float64) float64 { s := 1 - z*z/(c*c); return s * s }
	slope := mean(func(z float64) float64 { return (1 - z*z/(c*c)) * (1 - 5*z*z/(c*c)) }, c)
	near.To(t, "biweight", slope*slope/mean(func(z float64) float64 { return math.Pow(z*w(z), 2) }, c), 0.95, 1e-4)
	const q = 1 / (c * c)
	near.To(t, "consistency", (1-2*q+3*q*q)/(1-6*q+15*q*q), mean(w, c)/mean(func(z float64) float64 { return w(z) * z * z }, c), 2e-4)
}
