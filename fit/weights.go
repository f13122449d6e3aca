package fit

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

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
