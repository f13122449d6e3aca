package fit

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

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

// forgive calls a fit converged that stopped short of its digits, or crawled until
// its steps were used up, if the readings can't tell the difference: if the whole
// Gauss–Newton step that is left would change the fitted values by no more than
// Settings.Offset, counted in standard uncertainties.
func (v *solver) forgive() {
	if v.set.Offset <= 0 || v.status != RoundingLimited && v.status != Stalled && v.status != IterationLimit {
		return
	}
	v.radius, v.lambda = math.Inf(1), 0
	s := v.propose() // predicts ‖J s‖² of the step s
	if math.Sqrt(math.Max(0, s.predicted)) <= v.set.Offset*v.a.row {
		v.status = Converged
	}
}

// enough tells whether the whole Gauss–Newton step that is left is so far below
// Settings.Offset that all to come add up to less: to a tenth of it by the rate at which
// steps shrink, or though each be 0.99 of the one before.
func (v *solver) enough(s proposal) bool {
	most := v.set.Offset * v.a.row
	step := math.Sqrt(s.predicted)
	rate := s.size / v.last
	return step <= 0.01*most || v.last <= telling && rate < 0.99 && step <= 0.1*most*(1-rate)
}

// settleOwn takes the last, linear, step of the own parameters. Those at a bound are
// kept there while the fit goes on, and eliminated like the others for its result, which
// leaves it to Covariance to hold them.
func (v *solver) settleOwn() {
	if v.a.own == nil || v.status == StartNotFinite {
		return
	}
	o, e := v.here.own, v.a.own
	for i, d := range o.d {
		if d != 0 {
			limits := e.limits(i)
			o.x[i] = math.Min(math.Max(o.x[i]-o.q[i]/d, limits[0]), limits[1])
		}
	}
	e.final = true
	v.sum = v.evaluate(v.x, v.here, math.Inf(1))
}

// settleWeights replaces the triangle of a robust fit, whose rows count by how
// far off they happen to be, by one in which all data rows count by their
// common efficiency
//
//	a = m²/(s² K²),  m = mean ψ',  s² = Σψ²/(N − k),  K = 1 + (k/N)(1 − m)/m
//
// so that (JᵀJ)⁻¹ is the asymptotic covariance of the M-estimate (P. J. Huber,
// Robust Statistics, 1981, §7.6), for k parameters that the data determine. a is
// not allowed above what it is for normal residuals of the stated uncertainty,
// since stated uncertainties are not made smaller; with few rows, chance alone
// then lowers it somewhat.
func (v *solver) settleWeights() {
	if v.a.loss.k == 0 || v.status == StartNotFinite || v.p.Data.N == 0 {
		return
	}
	n := float64(v.p.Data.N)
	k := math.Max(0, math.Min(float64(v.p.Params+v.p.Own-v.p.Prior.N), n-1))
	m := math.Max(v.sum.inner, 0.5) / n
	s2 := v.sum.pull / (v.a.row * v.a.row) / (n - k)
	c := 1 + k/n*(1-m)/m
	inside := 2*distuv.UnitNormal.CDF(v.a.loss.k) - 1 // E ψ' of normal residuals
	v.a.even = math.Min(m*m/(s2*c*c), inside*inside/v.a.loss.normalPull())
	v.evaluate(v.x, v.here, math.Inf(1))
}
