package fit

import "math"

// Restated returns the covariance of the parameters at the solution r of p with
// other uncertainties of the data: as the rows of p now state them. Nothing is
// solved: both covariances have the same Jacobian, and with a robust loss the same
// efficiency, so that smaller uncertainties never give a larger variance. It is an error
// if r is of another problem.
func (r Result) Restated(p Problem) (Covariance, error) {
	if err := r.solves(p); err != nil {
		return Covariance{}, err
	}
	var v solver
	p = p.weighted(r.weights)
	v.prepare(&p, Settings{Loss: r.loss}.withDefaults())
	v.a.unscaled(1)
	copy(v.x, r.X)
	if v.a.own != nil {
		copy(v.here.own.x, r.X[v.p.Params:])
		v.a.own.final = true
	}
	if !v.begin() {
		v.status = StartNotFinite
	}
	if r.loss.k > 0 && v.status != StartNotFinite {
		v.a.even = r.efficiency
		v.evaluate(v.x, v.here, math.Inf(1))
	}
	return v.result().covariance(make([]bool, p.Params)), nil
}
