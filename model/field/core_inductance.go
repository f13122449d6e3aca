package field

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// solenoids returns how the slices [z_i, z_i+1] of a winding of one turn per metre
// magnetise the core: one column h each [m].
//
// The field of a slice has a potential inside the bore, so that the flux of M
// through the slice, by reciprocity μ0 ∫M·H dV, is −μ0 ∮ ψ q, that is μ0 hᵀg.
func (m *body) solenoids(radius float64, z []float64) *mat.Dense {
	psi := mat.NewDense(len(m.ribbons), len(z)-1, nil)
	for i := range m.ribbons {
		below := m.ribbons[i].solenoid(radius, z[0])
		for j, end := range z[1:] {
			above := m.ribbons[i].solenoid(radius, end)
			psi.Set(i, j, above-below)
			below = above
		}
	}
	return m.drive(psi)
}

// solenoid returns the mean over r of the potential of half a solenoid of one
// ampere per metre that comes from far below and ends at height end.
func (r *ribbon) solenoid(radius, end float64) float64 {
	if rho, z := r.at(0); math.Abs(z-end) > 2*r.length() {
		return discPotential(radius, rho, z-end)
	}
	return r.mean(func(rho, z float64) float64 { return discPotential(radius, rho, z-end) })
}

// response returns scale·hᵀ (κT + P)⁻¹ h.
func (m *body) response(p mat.Symmetric, kappa float64, h *mat.Dense, scale float64) (*mat.SymDense, error) {
	a := mat.NewSymDense(p.SymmetricDim(), nil)
	a.ScaleSym(kappa, m.t)
	a.AddSym(a, p)
	var chol mat.Cholesky
	if !chol.Factorize(a) {
		return nil, impossible(BeadsOverlap)
	}
	// With κT + P = L Lᵀ it is the square of L⁻¹ h, thus symmetric.
	var l mat.TriDense
	chol.LTo(&l)
	var half mat.Dense
	if err := l.SolveTo(&half, false, h); err != nil {
		return nil, err
	}
	_, n := h.Dims()
	s := mat.NewSymDense(n, nil)
	s.SymOuterK(scale, half.T())
	return s, nil
}
