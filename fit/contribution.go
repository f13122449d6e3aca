package fit

import (
	"iter"
	"math"
)

// PriorShare returns the share of the variance of gᵀx that stems from the
// prior rows: 0 for what the data alone determine, 1 for what is merely copied
// from a prior.
func PriorShare(p Problem, r Result, gradient []float64) float64 {
	c := r.Covariance()
	g, y := make([]float64, c.length()), c.rowRoom()
	c.project(gradient, g)
	prior, total := 0.0, dot(g, g)
	rows(p.Prior, r.X, p.width(), func(i int, _ float64, jac []float64) bool {
		v := y.along(jac, p.Prior.own(i), g)
		prior += v * v
		return true
	})
	if total == 0 {
		return 0
	}
	return math.Min(1, prior/total)
}

// Contributions yields what each row contributes to the variance of gᵀx; they
// add up to the variance. It is the uncertainty budget of JCGM 100:2008, 5.1.3,
// with the rows as the input quantities.
func Contributions(p Problem, r Result, gradient []float64) iter.Seq2[Row, float64] {
	return func(yield func(Row, float64) bool) {
		c := r.Covariance()
		g, y := make([]float64, c.length()), c.rowRoom()
		c.project(gradient, g)
		for _, part := range r.parts(p) {
			done := false
			rows(part.Rows, r.X, p.width(), func(i int, _ float64, jac []float64) bool {
				v := y.along(jac, part.own(i), g) * part.of(i)
				done = !yield(Row{part.prior, i}, v*v)
				return !done
			})
			if done {
				return
			}
		}
	}
}
