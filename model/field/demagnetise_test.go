package field

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// Prolate spheroids, by the closed form of E. C. Stoner, Phil. Mag. 36 (1945) 803, and
// J. A. Osborn, Phys. Rev. 67 (1945) 351, and by their integral, which agree (computed).
func TestSpheroid(t *testing.T) {
	for _, c := range []struct{ m, n float64 }{
		{1, 0.333333}, {1.5, 0.232981}, {2, 0.173564}, {3, 0.108709}, {4, 0.0754072}, {5, 0.0558210},
		{6, 0.0432297}, {8, 0.0284214}, {10, 0.0202859}, {12, 0.0152965}, {15, 0.0107485},
		{20, 0.00674905}, {25, 0.00467108}, {30, 0.00344421}, {40, 0.00211585}, {50, 0.00144297},
		{100, 0.000429899},
	} {
		if got := spheroid(c.m); !(math.Abs(got/c.n-1) <= 5e-6) {
			t.Errorf("m = %g: N = %.8f, by the closed form %g", c.m, got, c.n)
		}
	}
	if a, b := spheroid(math.Sqrt(1.000999)), spheroid(math.Sqrt(1.001001)); !(math.Abs(a/b-1) <= 1e-5) {
		t.Errorf("series and closed form part: %g, %g", a, b)
	}
}

// Cylinders: computed independently by boundary elements, anchored by Nm(χ→0) =
// 1 − K_Nagaoka, which is exact, and checked by finite elements (finiteelement_test.go).
func TestCylinder(t *testing.T) {
	for _, c := range []struct{ m, chi, nf, nm float64 }{
		{1, 1e-4, 0.2322, 0.311577}, {1, 100, 0.2277, 0.2600}, {1, 400, 0.2275, 0.2593}, {1, 1e8, 0.2275, 0.2590},
		{2, 1e-4, 0.0935, 0.181864}, {2, 100, 0.1175, 0.1417}, {2, 400, 0.1179, 0.1411}, {2, 1e8, 0.1180, 0.1409},
		{5, 1e-4, 0.0189, 0.079907}, {5, 100, 0.03885, 0.05135}, {5, 400, 0.03962, 0.05079}, {5, 1e8, 0.03988, 0.05060},
		{10, 1e-4, 0.00493, 0.041193}, {10, 100, 0.01414, 0.02106}, {10, 400, 0.01499, 0.02041}, {10, 1e8, 0.01530, 0.02018},
		{20, 1e-4, 0.00125, 0.020908}, {20, 100, 0.00426, 0.00827}, {20, 400, 0.00503, 0.00757}, {20, 1e8, 0.00536, 0.00729},
		{50, 1e-4, 0.0002, 0.008438}, {50, 100, 0.00054, 0.00257}, {50, 400, 0.00092, 0.00199}, {50, 1e8, 0.00121, 0.00170},
	} {
		nf, nm := cylinder(c.m, c.chi)
		atMost, last := 0.01, 5e-6 // the table's last digits round
		if c.chi < 1 {
			atMost, last = 0.05, 5e-5 // M isn't even over the section then: see docs/field.md
		}
		if !(math.Abs(nf-c.nf) <= atMost*c.nf+last) {
			t.Errorf("m = %g, χ = %g: Nf = %.5f, by boundary elements %g", c.m, c.chi, nf, c.nf)
		}
		if !(math.Abs(nm-c.nm) <= 0.01*c.nm) {
			t.Errorf("m = %g, χ = %g: Nm = %.5f, by boundary elements %g", c.m, c.chi, nm, c.nm)
		}
	}
}

// The same solution's flux density in the middle of a rod over that of the
// even field. Its last column is 0.8 % below its own 1/Nf at l/d = 50, which
// this follows.
func TestRodPermeability(t *testing.T) {
	for _, c := range []struct{ m, chi, mu float64 }{
		{1, 100, 4.25}, {1, 400, 4.36}, {1, 1e8, 4.40}, {2, 100, 7.92}, {2, 400, 8.33}, {2, 1e8, 8.47},
		{5, 100, 20.67}, {5, 400, 23.80}, {5, 1e8, 25.07}, {10, 100, 41.84}, {10, 400, 57.3}, {10, 1e8, 65.3},
		{20, 100, 70.8}, {20, 400, 133.0}, {20, 1e8, 186}, {50, 100, 95.9}, {50, 400, 293}, {50, 1e8, 819},
	} {
		nf, _ := cylinder(c.m, c.chi)
		m := 1 / (nf + 1/c.chi)
		if got := 1 - nf*m + m; !(math.Abs(got/c.mu-1) <= 0.01) {
			t.Errorf("m = %g, χ = %g: B/μ0H0 = %.2f, by boundary elements %g", c.m, c.chi, got, c.mu)
		}
	}
}

// spheroid returns the demagnetising factor along the axis of a prolate
// spheroid m times as long as thick, m ≥ 1:
//
//	N = [m/√(m²−1) ln(m + √(m²−1)) − 1]/(m²−1)
//
// (Stoner, Phil. Mag. 36 (1945) 803; Osborn, Phys. Rev. 67 (1945) 351). It isn't
// a cylinder's, which is 20-25 % off at m = 10.
func spheroid(m float64) float64 {
	q := m*m - 1
	if q < 1e-3 { // the bracket cancels
		return 1./3 - q*(2./15-q*8./105)
	}
	return (m/math.Sqrt(q)*math.Log(m+math.Sqrt(q)) - 1) / q
}

// cylinder returns the demagnetising factors along the axis of a cylinder m
// times as long as thick, of susceptibility chi > 0, in an even field: the
// fluxmetric (ballistic) one, of the section in the middle, and the
// magnetometric one, of the mean over the volume. For chi → 0 the latter is
// 1 − Nagaoka(1/m).
func cylinder(m, chi float64) (fluxmetric, magnetometric float64) {
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
