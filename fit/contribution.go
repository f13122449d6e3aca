package fit

import (
	"errors"
	"iter"
)

// Contributions yields by how much gᵀx shifts when the observation or the prior of each row is
// greater by one standard uncertainty, Scale included: cᵢu(xᵢ) of JCGM 100:2008, 5.1.3, with the
// rows as the input quantities. Their squares add up to the variance of gᵀx by the covariance c.
// It is an error if the lengths of p, r, c and the gradient don't agree.
func Contributions(p Problem, r Result, c Covariance, gradient []float64) (iter.Seq2[Row, float64], error) {
	if err := errors.Join(r.solves(p), lengths("gradient", c.p, gradient), lengths("solution", c.p, r.X)); err != nil {
		return nil, err
	}
	return func(yield func(Row, float64) bool) {
		g, y := make([]float64, c.length()), c.rowRoom()
		c.project(gradient, g)
		for _, part := range r.parts(p) {
			sign := -1.0 // a residual is (observed − model)/u, but (x − prior)/u
			if part.prior {
				sign = 1
			}
			done := false
			rows(part.Rows, r.X, p.width(), func(i int, _ float64, jac []float64) bool {
				done = !yield(Row{part.prior, i}, sign*y.along(jac, part.own(i), g)*part.of(i))
				return !done
			})
			if done {
				return
			}
		}
	}, nil
}
