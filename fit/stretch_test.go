package fit

import (
	"math"
	"testing"
)

// Where second derivatives cancel all but a ten-thousandth of the curvature that Gauss–Newton steps count on,
// each goes a ten-thousandth of the way; the minimum at 0 is found in a few dozen nevertheless. (Each step taken as it
// is, 2000 come half of it.)
func TestCancelledCurvature(t *testing.T) {
	const c, left = 10.0, 1e-4
	p := Problem{Params: 1, Data: Rows{N: 2, Evaluate: func(x []float64, _ int, res, jac []float64) {
		res[0], res[1] = x[0], c-x[0]*x[0]/(2*c)*(1-left)
		if jac != nil {
			jac[0], jac[1] = 1, -x[0]/c*(1-left)
		}
	}}}
	for _, start := range []float64{0.3, -0.3, 0.05} {
		r, err := Solve(p, []float64{start}, Settings{})
		if err != nil || !r.Status.Converged() || !(math.Abs(r.X[0]) <= 1e-6) || r.Iterations > 60 {
			t.Errorf("from %v: %v, %v after %d iterations, %v", start, r.Status, r.X, r.Iterations, err)
		}
	}
}
