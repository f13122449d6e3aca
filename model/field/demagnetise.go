package field

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Spheroid returns the demagnetising factor along the axis of a prolate
// spheroid m times as long as thick, m ≥ 1:
//
//	N = [m/√(m²−1) ln(m + √(m²−1)) − 1]/(m²−1)
//
// (Stoner, Phil. Mag. 36 (1945) 803; Osborn, Phys. Rev. 67 (1945) 351). It isn't
// a cylinder's, which is 20-25 % off at m = 10.
func Spheroid(m float64) float64 {
	q := m*m - 1
	if q < 1e-3 { // the bracket cancels
		return 1./3 - q*(2./15-q*8./105)
	}
	return (m/math.Sqrt(q)*math.Log(m+math.Sqrt(q)) - 1) / q
}

// Cylinder returns the demagnetising factors along the axis of a cylinder m
// times as long as thick, of susceptibility chi > 0, in an even field: the
// fluxmetric (ballistic) one, of the section in the middle, and the
// magnetometric one, of the mean over the volume. For chi → 0 the latter is
// 1 − Nagaoka(1/m).
func Cylinder(m, chi float64) (fluxmetric, magnetometric float64) {
	rod := Beads{Diameter: 1, Length: m, Count: 1}
	b := newBody(rod, normal())
	z := mat.NewDense(len(b.ribbons), 1, nil)
	for i := range b.ribbons {
		_, at := b.ribbons[i].at(0)
		z.Set(i, 0, -at) // the potential of a field of 1 A/m
	}
	h := b.drive(z)
	a := mat.NewSymDense(b.p.SymmetricDim(), nil)
	a.ScaleSym(1/chi, b.t)
	a.AddSym(a, b.p)
	var chol mat.Cholesky
	chol.Factorize(a)
	var g mat.Dense
	if err := chol.SolveTo(&g, h); err != nil {
		return math.NaN(), math.NaN()
	}
	middle := g.At(b.one/2-1, 0) / (math.Pi / 4)
	mean := mat.Dot(h.ColView(0), g.ColView(0)) / (math.Pi / 4 * m)
	return 1/middle - 1/chi, 1/mean - 1/chi
}
