package fit

import "math"

// result reports where the solver stands.
func (v *solver) result() Result {
	p := v.p.Params
	n := p + v.p.Own
	room := make([]float64, n+p*p)
	r := Result{
		X: room[:n:n], R: room[n:], Status: v.status,
		Iterations: v.iterations, Evaluations: v.evaluations,
		DataRows: v.p.Data.N, PriorRows: v.p.Prior.N, Params: n,
		AtBound: make([]Bound, n),
		Scale:   1 / v.a.data, ScaleDegrees: math.Inf(1),
		loss: v.a.loss, efficiency: 1, inner: 1, alike: v.p.Alike,
	}
	if n := v.p.Data.N; n > 0 && v.a.loss.k > 0 {
		r.inner = math.Max(v.sum.inner, 0.5) / float64(n)
	}
	if v.a.even > 0 {
		r.efficiency = v.a.even
	}
	copy(r.X, v.x)
	unit := 1 / v.a.row
	r.DataSquares = v.sum.data * unit * unit
	r.PriorSquares = v.sum.prior * unit * unit
	r.Objective = v.sum.objective * unit * unit
	r.pull = v.sum.pull * unit * unit
	for j := range p {
		for i, e := range v.here.column(j) {
			if v.status == StartNotFinite {
				break // no row says anything
			}
			r.R[i*p+j] = e * unit / v.a.column[j]
		}
	}
	if v.a.own != nil {
		v.ownResult(&r)
	}
	for j, x := range r.X {
		switch lower, upper := v.p.bounds(j); x {
		case lower:
			r.AtBound[j] = AtLower
		case upper:
			r.AtBound[j] = AtUpper
		}
	}
	return r
}

// ownResult reports where own parameters stand.
func (v *solver) ownResult(r *Result) {
	o, p := v.here.own, v.p.Params
	unit := 1 / v.a.row
	copy(r.X[p:], o.x)
	r.OwnDiagonal, r.OwnRows = make([]float64, len(o.d)), make([]float64, len(o.w))
	if v.status == StartNotFinite {
		return
	}
	for i, d := range o.d {
		r.OwnDiagonal[i] = d * unit
		for j := range p {
			r.OwnRows[i*p+j] = o.w[i*p+j] * unit / v.a.column[j]
		}
	}
}
