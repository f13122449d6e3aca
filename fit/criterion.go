package fit

import "math"

// DegreesOfFreedom returns the number of rows whose errors are their own less that of the parameters they
// determine, or 0. Rows Forgotten don't count, parameters at a bound are not free, and directions that no
// row fixes use up nothing.
func (r Result) DegreesOfFreedom() int {
	return max(0, r.DataRows-len(r.Forgotten)-int(math.Round(r.alike))+r.PriorRows-r.hat().rank)
}

// AICc returns the corrected Akaike criterion
//
//	Σr² + 2k + 2k(k+1)/(n − k − 1)
//
// (C. M. Hurvich and C.-L. Tsai, Biometrika 76, 1989, 297–307) of a solution
// by stated uncertainties: Σr² over data and priors stands for −2 ln L, of
// which the constant Σ ln 2πu² is dropped, so that only fits to the same
// readings with the same uncertainties compare; n is the number of data rows
// and k the number of parameters that they pay for, the sum of their
// leverages (all parameters if there are no priors). It is +Inf for n < k + 2,
// where the last term outgrows all that the readings say. It is an error if r is of
// another problem.
func AICc(p Problem, r Result) (float64, error) {
	if err := r.solves(p); err != nil {
		return math.NaN(), err
	}
	n := float64(r.DataRows-len(r.Forgotten)) - r.alike
	k := n - r.redundancy(p)
	if n-k-1 < 1-1e-9 {
		return math.Inf(1), nil
	}
	return r.DataSquares + r.PriorSquares + 2*k + 2*k*(k+1)/(n-k-1), nil
}
