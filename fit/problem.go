package fit

// Rows is a block of N equations r(x) = 0 that a solution should meet.
//
// Evaluate writes the standardised residuals (observed − model)/u, which are
// dimensionless, of the rows first … first+len(r)−1 into r. When jac is not
// nil it has len(r)·p elements and receives the derivatives ∂r/∂x, row after
// row. Where the model does not exist at x, Evaluate writes NaN: the solver
// then takes a shorter step. Evaluate keeps no reference to its arguments,
// and may be called from several goroutines for different rows when
// Settings.Workers is above one; a panic there reaches the caller of Solve as a
// WorkerPanic.
type Rows struct {
	N        int
	Evaluate func(x []float64, first int, r, jac []float64)
}

// Problem is a weighted nonlinear least-squares problem: find the x of Params
// elements that makes the sum of squares of all rows of Data and Prior least.
//
// Data holds what was observed; Prior what was known beforehand, as further
// rows of the same kind (see Gaussians). They are kept apart since the scatter
// of the data says nothing on the uncertainty of a prior.
//
// Lower and Upper bound x from below and above; nil, or an infinite element,
// means no bound.
type Problem struct {
	Params       int
	Data, Prior  Rows
	Lower, Upper []float64
}

// Gaussian is the prior knowledge that x[Param] is Mean with the standard
// uncertainty Sigma, both in the unit of x[Param].
type Gaussian struct {
	Param       int
	Mean, Sigma float64
}

// Gaussians returns the rows (x[Param] − Mean)/Sigma for a problem of p
// parameters.
func Gaussians(p int, priors []Gaussian) Rows {
	return Rows{N: len(priors), Evaluate: func(x []float64, first int, r, jac []float64) {
		clear(jac)
		for i := range r {
			g := priors[first+i]
			r[i] = (x[g.Param] - g.Mean) / g.Sigma
			if jac != nil {
				jac[i*p+g.Param] = 1 / g.Sigma
			}
		}
	}}
}
