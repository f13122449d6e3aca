package fit

import "slices"

// WithoutRow returns by how much gᵀx would change if the row was left out, and
// its variance then, both to first order, which is exact for a linear model.
// They are not determined if the row alone fixes something that gᵀx needs.
// After a robust fit, whose other rows would be weighted anew, the rest is
// solved again.
func WithoutRow(p Problem, r Result, row Row, gradient []float64) (shift, variance float64, determined bool) {
	if r.loss.k > 0 {
		return r.resolved(p.without(row), gradient)
	}
	c := r.Covariance()
	part := r.parts(p)[dataRows]
	if row.Prior {
		part = r.parts(p)[priorRows]
	}
	res, jac := make([]float64, 1), make([]float64, p.width())
	part.Evaluate(r.X, row.Index, res, jac)
	g, y := make([]float64, c.length()), c.rowRoom()
	determined = c.project(gradient, g)
	w, own := part.of(row.Index), part.own(row.Index)
	h, between := y.square(jac, own)*w*w, y.along(jac, own, g)*w
	variance = dot(g, g)
	free := 1 - h
	if free <= alone {
		return 0, variance, determined && between*between <= alone*variance
	}
	return between * (res[0] * w) / free, variance + between*between/free, determined
}

// resolved returns what became of gᵀx in a problem like the one solved.
func (r Result) resolved(p Problem, gradient []float64) (shift, variance float64, determined bool) {
	got := solveAt(p, r.X, Settings{Loss: r.loss}, r.Scale)
	for j, g := range gradient {
		shift += g * (got.X[j] - r.X[j])
	}
	variance, determined = got.Covariance().Variance(gradient)
	return shift, variance, determined && got.Status.Converged()
}

// without returns the problem less one row.
func (p Problem) without(row Row) Problem {
	from := &p.Data
	if row.Prior {
		from = &p.Prior
	}
	whole := *from
	*from = Rows{N: whole.N - 1, Own: slices.Clone(whole.Own), Evaluate: func(x []float64, first int, r, jac []float64) {
		head := max(0, min(len(r), row.Index-first))
		cut := head * p.width()
		if head > 0 {
			whole.Evaluate(x, first, r[:head], jac[:cut])
		}
		if head < len(r) {
			whole.Evaluate(x, first+head+1, r[head:], jac[cut:])
		}
	}}
	if from.Own != nil {
		from.Own = slices.Delete(from.Own, row.Index, row.Index+1)
	}
	return p
}
