package coupling

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/diff/fd"

	"fitcoil/internal/near"
)

// Split peaks in units of the second frequency (computed, six digits), and the textbook's
// formula (f+² − f−²)/(f+² + f−²), which holds for equal circuits only.
func TestSplitPeaks(t *testing.T) {
	for _, c := range []struct{ f1, k, lower, upper, tuned float64 }{
		{1.00, 0.05, 0.975900, 1.025978, 0.050000},
		{1.00, 0.10, 0.953463, 1.054093, 0.100000},
		{1.01, 0.05, 0.980287, 1.031601, 0.050978},
		{1.05, 0.05, 0.990118, 1.061808, 0.069791},
		{1.05, 0.10, 0.971519, 1.086227, 0.111144},
		{1.05, 0.20, 0.932675, 1.149009, 0.205625},
		{0.90, 0.05, 0.895481, 1.006305, 0.116154},
		{0.90, 0.10, 0.884283, 1.022901, 0.144599},
	} {
		lower, upper := Peaks(c.f1, 1, c.k)
		l, u := lower.Frequency, upper.Frequency
		near.To(t, "lower", l, c.lower, 5.1e-7)
		near.To(t, "upper", u, c.upper, 5.1e-7)
		k, f2 := OfSplit(c.f1, l, u)
		near.To(t, "inverse", k, c.k, 1e-13)
		near.To(t, "the primary's own frequency", f2, 1, 1e-13)
		near.To(t, "inverse by both", math.Sqrt(1-math.Pow(c.f1/(l*u), 2)), c.k, 1e-12)
		near.To(t, "tuned formula", (u*u-l*l)/(u*u+l*l), c.tuned, 1e-6)
	}
}

// Equal circuits: f± = f0/√(1 ∓ k), a textbook's result.
func TestEqualCircuits(t *testing.T) {
	for _, k := range []float64{0.01, 0.2, 0.5, 0.9} {
		lower, upper := Peaks(3, 3, k)
		near.To(t, "lower", lower.Frequency, 3/math.Sqrt(1+k), 1e-13)
		near.To(t, "upper", upper.Frequency, 3/math.Sqrt(1-k), 1e-13)
	}
}

// The same coupled circuits by their matrix: eigenvalues of C⁻¹L⁻¹ (gonum would do as
// well; two by two it is a quadratic in 1/ω²).
func TestPeaksOfTheMatrix(t *testing.T) {
	const l1, l2, k, c1, c2 = 2.0, 3.0, 0.3, 0.7, 0.4
	m := k * math.Sqrt(l1*l2)
	// L I' + q/C = 0 for both: det(L ω² − 1/C) = 0 at each root.
	lower, upper := Peaks(1/math.Sqrt(l1*c1), 1/math.Sqrt(l2*c2), k)
	for _, p := range []Peak{lower, upper} {
		s := p.Frequency * p.Frequency
		near.To(t, "determinant", (l1*s-1/c1)*(l2*s-1/c2)-m*m*s*s, 0, 1e-13)
	}
}

func TestSlopes(t *testing.T) {
	for _, at := range [][]float64{{1.1, 1, 0.1}, {0.9, 1, 0.3}, {1, 1, 0.05}, {2, 1, 0.2}} {
		for which := range 2 {
			f := func(x []float64) float64 {
				lower, upper := Peaks(x[0], x[1], x[2])
				return math.Log([]Peak{lower, upper}[which].Frequency)
			}
			g := fd.Gradient(nil, f, at, &fd.Settings{Formula: fd.Central})
			lower, upper := Peaks(at[0], at[1], at[2])
			p := []Peak{lower, upper}[which]
			near.To(t, "∂/∂ln f1", p.PerF1, g[0]*at[0], 1e-6)
			near.To(t, "∂/∂ln f2", p.PerF2, g[1]*at[1], 1e-6)
			near.To(t, "∂/∂k", p.PerK, g[2], 1e-6)
		}
	}
}
