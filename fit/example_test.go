package fit_test

import (
	"fmt"
	"math"

	"fitcoil/fit"
)

// A straight line through three readings, with what is known of its slope
// beforehand as a prior.
func Example() {
	x := []float64{0, 1, 2}
	y := []float64{1.02, 2.95, 5.05}
	const u = 0.05
	p := fit.Problem{
		Params: 2,
		Data: fit.Rows{N: len(x), Evaluate: func(b []float64, first int, r, jac []float64) {
			for i := range r {
				t := x[first+i]
				r[i] = (y[first+i] - b[0] - b[1]*t) / u
				if jac != nil {
					jac[2*i], jac[2*i+1] = -1/u, -t/u
				}
			}
		}},
		Prior: fit.Gaussians(2, []fit.Gaussian{{Param: 1, Mean: 2, Sigma: 0.01}}),
	}
	r, scatter, err := fit.SolveScaled(p, []float64{0, 0}, fit.Settings{})
	if err != nil || !r.Status.Converged() {
		fmt.Println(err, r.Status)
		return
	}
	slope := []float64{0, 1}
	v, determined := r.Covariance().Variance(slope)
	fmt.Printf("slope %.4f, u %.4f, determined %v\n", r.X[1], math.Sqrt(v), determined)
	fmt.Printf("from the prior %.0f %%, χ² %.2f on %d\n",
		100*math.Pow(fit.Must(r.Covariance().Along(p.Prior, r.X, slope))[0], 2)/v, scatter.ChiSquare, scatter.DegreesOfFreedom)
	// Output:
	// slope 2.0010, u 0.0096, determined true
	// from the prior 93 %, χ² 2.09 on 2
}
