package fit_test

import (
	"math"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/near"
)

// The radius of a region of two: χ² of two degrees of freedom, 95 %, is 5.9915 (tables); F of
// 2 and 10, 95 %, is 4.1028 (tables).
func TestJointFactor(t *testing.T) {
	near.To(t, "known uncertainties", math.Pow(fit.JointFactor(0.95, math.Inf(1)), 2), 5.9915, 1e-4)
	near.To(t, "ten degrees of freedom", math.Pow(fit.JointFactor(0.95, 10), 2), 2*4.1028, 2e-4)
}

// boxBOD is an exponential of two parameters, of strong curvature.
func boxBOD() (fit.Problem, func(amplitude, rate float64) float64) {
	x := []float64{1, 2, 3, 5, 7, 10}
	y := []float64{109, 149, 149, 191, 213, 224} // NIST StRD, BoxBOD
	const u = 17
	residual := func(i int, a, b float64) float64 { return (y[i] - a*(1-math.Exp(-b*x[i]))) / u }
	p := fit.Problem{Params: 2, Data: fit.Rows{N: 6, Evaluate: func(b []float64, first int, r, jac []float64) {
		for i := range r {
			r[i] = residual(first+i, b[0], b[1])
			if jac != nil {
				e := math.Exp(-b[1] * x[first+i])
				jac[2*i], jac[2*i+1] = -(1-e)/u, -b[0]*x[first+i]*e/u
			}
		}
	}}}
	return p, func(a, b float64) (sum float64) {
		for i := range x {
			sum += residual(i, a, b) * residual(i, a, b)
		}
		return sum
	}
}

// Of a problem of two parameters, their region is where the squares themselves have risen to
// the limit: worked out here without the fit.
func TestContourIsWhereSquaresReachTheLimit(t *testing.T) {
	p, squares := boxBOD()
	r := solve(t, p, []float64{100, 0.75}, fit.Settings{})
	outline := fit.Must(fit.Contour(p, r, fit.Settings{}, element(0), element(1), 0.95, 24))
	if len(outline) != 24 {
		t.Fatalf("%d points", len(outline))
	}
	single := fit.Must(fit.Contour(p, r, fit.Settings{BlockRows: 1}, element(0), element(1), 0.95, 24)) // row by row
	around := 0.0
	for i, q := range outline {
		near.Times(t, "row by row", single[i][0], q[0], 1e-5)
		near.Times(t, "row by row", single[i][1], q[1], 1e-5)
		near.To(t, "rise", squares(q[0], q[1])-r.DataSquares, 5.9915, 0.02)
		next := outline[(i+1)%24]
		around += math.Remainder(math.Atan2((next[1]-r.X[1])/r.X[1], (next[0]-r.X[0])/r.X[0])-math.Atan2((q[1]-r.X[1])/r.X[1], (q[0]-r.X[0])/r.X[0]), 2*math.Pi)
	}
	near.To(t, "once around", math.Abs(around), 2*math.Pi, 1e-9)
	for _, q := range fit.Must(fit.ProfileCurve(p, r, fit.Settings{}, element(1), 2.5, 6)) {
		sum, n := math.Inf(1), 4000 // the best amplitude for that rate, on a grid
		for i := range n {
			sum = math.Min(sum, squares(120+180*float64(i)/float64(n), q.At))
		}
		near.To(t, "rise of the profile", q.Rise, sum-r.DataSquares, 1e-3)
	}
}

// In a linear problem, with a third parameter fitted anew, the region is the ellipse of the
// covariance, and the curve its parabola.
func TestContourOfLinearProblem(t *testing.T) {
	p := fit.Problem{Params: 3, Data: fit.Rows{N: 8, Evaluate: func(b []float64, first int, r, jac []float64) {
		for i := range r {
			x := float64(first + i)
			r[i] = (3 + x - b[0] - b[1]*x - b[2]*x*x + 0.2*math.Sin(5*x)) / 0.3
			if jac != nil {
				copy(jac[3*i:], []float64{-1 / 0.3, -x / 0.3, -x * x / 0.3})
			}
		}
	}}}
	r := solve(t, p, []float64{0, 0, 0}, fit.Settings{})
	c := r.Covariance()
	a, b := []float64{1, 0, 0}, []float64{0, 1, 0}
	va, _ := c.Variance(a)
	vb, _ := c.Variance(b)
	cov := c.Between(a, b)
	for _, q := range fit.Must(fit.Contour(p, r, fit.Settings{}, element(0), element(1), 0.95, 12)) {
		x, y := q[0]-r.X[0], q[1]-r.X[1]
		near.To(t, "Mahalanobis", (vb*x*x-2*cov*x*y+va*y*y)/(va*vb-cov*cov), 5.9915, 0.02)
	}
	curve := fit.Must(fit.ProfileCurve(p, r, fit.Settings{}, element(0), 2.5, 5))
	if len(curve) != 11 {
		t.Fatalf("%d points", len(curve))
	}
	for i, q := range curve {
		near.To(t, "parabola", q.Rise, (q.At-r.X[0])*(q.At-r.X[0])/va, 1e-5)
		if i > 0 && !(q.At > curve[i-1].At) {
			t.Errorf("out of order at %d", i)
		}
	}
}

// What no row fixes has neither, nor has a pair that is one quantity.
func TestNoContourOfUndetermined(t *testing.T) {
	p := product()
	r := solve(t, p, []float64{0.3, 0.7, 5}, fit.Settings{})
	if fit.Must(fit.ProfileCurve(p, r, fit.Settings{}, element(0), 2, 3)) != nil || fit.Must(fit.Contour(p, r, fit.Settings{}, element(0), element(1), 0.95, 8)) != nil {
		t.Error("a contour of what is not determined")
	}
	q, _ := boxBOD()
	r = solve(t, q, []float64{100, 0.75}, fit.Settings{})
	if fit.Must(fit.Contour(q, r, fit.Settings{}, element(0), element(0), 0.95, 8)) != nil {
		t.Error("a contour of one quantity")
	}
}

// Where the points of a bent region lie wide apart more are put between, at most as many again, until neighbours are
// no farther apart than three times what they are around a circle.
func TestContourIsFilledWhereItIsWide(t *testing.T) {
	p := fit.Problem{Params: 2, Data: fit.Rows{N: 2, Evaluate: func(b []float64, first int, r, jac []float64) {
		for i := range r {
			r[i] = []float64{b[0], b[1] - 0.8*b[0]*b[0]}[first+i]
			if jac != nil {
				copy(jac[2*i:], [][]float64{{1, 0}, {-1.6 * b[0], 1}}[first+i])
			}
		}
	}}}
	r := solve(t, p, []float64{0.1, 0.1}, fit.Settings{})
	const n = 24
	outline := fit.Must(fit.Contour(p, r, fit.Settings{}, element(0), element(1), 0.95, n))
	if !(len(outline) > n && len(outline) < 2*n) {
		t.Fatalf("%d points", len(outline))
	}
	wide := 3 * 2 * math.Pi * math.Sqrt(5.9915) / n
	for i, q := range outline {
		next := outline[(i+1)%len(outline)]
		if apart := math.Hypot(next[0]-q[0], next[1]-q[1]); !(apart <= wide*1.001) { // both are uncertain by one
			t.Errorf("%v and %v are %v apart", q, next, apart)
		}
	}
}
