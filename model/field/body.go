package field

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// body is a core that a field polarises, magnetically or electrically alike.
//
// Its polarisation M is described by the flux g of M that has entered through
// the surface up to a point of the meridian, which is the flux through the
// section there. The charges of the surface are differences of g, so that each
// bead's add up to zero by construction. In an outer field of potential ψ, with
// susceptibility χ = 1/κ, nature makes
//
//	½ κ ∫M² dV + ½ ∮ q φ[q] + ∮ q ψ
//
// least, φ being the charges' own potential: (κ T + P) g = h. Since the energy
// is least, its error is the square of M's. For T, M is taken to be even
// over a section, with the radial part that its change along the axis demands.
type body struct {
	beads   Beads
	ribbons []ribbon
	one     int           // ribbons of one bead; one less flux
	rings   int           // of a face
	modes   *mat.Dense    // fluxes of one bead × its modes, see smoothModes
	t, p    *mat.SymDense // 1/m, of the modes of all beads
}

// project brings a block of fluxes to modes.
func (m *body) project(block mat.Matrix) *mat.Dense {
	var half, whole mat.Dense
	half.Mul(block, m.modes)
	whole.Mul(m.modes.T(), &half)
	return &whole
}

// coupling returns the block of P between a bead's fluxes and the d-th's above.
func (m *body) coupling(d int) *mat.Dense {
	v := mat.NewDense(m.one, m.one, nil)
	lower, upper := m.ribbons[:m.one], m.ribbons[d*m.one:(d+1)*m.one]
	for i := range lower {
		for j := range upper {
			rho, z := lower[i].at(0)
			there := upper[j].potential(rho, z)
			rho, z = upper[j].at(0)
			v.Set(i, j, (there+lower[i].potential(rho, z))/2)
		}
	}
	n := m.one - 1
	p := mat.NewDense(n, n, nil)
	for i := range n {
		for j := range n {
			p.Set(i, j, v.At(i, j)-v.At(i+1, j)-v.At(i, j+1)+v.At(i+1, j+1))
		}
	}
	return p
}

// drive brings the potentials of outer fields, a row for each ribbon, to the
// right-hand sides h of the modes. The charge of ribbon k is g_k−1 − g_k, so
// that ∮qψ is −Σ g_k (ψ_k − ψ_k+1).
func (m *body) drive(psi *mat.Dense) *mat.Dense {
	_, columns := psi.Dims()
	_, k := m.modes.Dims()
	h := mat.NewDense(k*m.beads.Count, columns, nil)
	for b := range m.beads.Count {
		g := m.fluxes(psi.Slice(b*m.one, (b+1)*m.one, 0, columns))
		h.Slice(b*k, (b+1)*k, 0, columns).(*mat.Dense).Mul(m.modes.T(), g)
	}
	return h
}

// fluxes does the same for the fluxes of one bead.
func (m *body) fluxes(psi mat.Matrix) *mat.Dense {
	_, columns := psi.Dims()
	h := mat.NewDense(m.one-1, columns, nil)
	for k := range m.one - 1 {
		for j := range columns {
			h.Set(k, j, psi.At(k, j)-psi.At(k+1, j))
		}
	}
	return h
}

// zeroOfJ1 is the first zero of the Bessel function J1 beyond 0.
const zeroOfJ1 = 3.8317

// volume returns the block of T of one bead's fluxes.
func (m *body) volume() *mat.SymDense {
	n := m.one - 1
	t := mat.NewSymDense(n, nil)
	a := m.beads.Diameter / 2
	area := math.Pi * a * a
	add := func(i, j int, x float64) { // beyond both ends, on the axis, g is nil
		if i >= 0 && j < n {
			t.SetSym(i, j, t.At(i, j)+x)
		}
	}
	// Along a lateral ribbon the flux goes linearly from g_k−1 to g_k, and the
	// radial part of M is −(r/2) dM/dz.
	for k := m.rings; k < m.one-m.rings; k++ {
		h := m.ribbons[k].length()
		radial := a * a / (8 * h * area)
		add(k-1, k-1, h/(3*area)+radial)
		add(k, k, h/(3*area)+radial)
		add(k-1, k, h/(6*area)-radial)
	}
	// What is uneven on a face decays into the bead as exp(−jz/a), with j the
	// first zero of J1; its energy is that of the unevenness over a depth a/j.
	depth := a / zeroOfJ1
	face := func(first, edge int) {
		for k := first; k < first+m.rings; k++ {
			r0, r1 := m.ribbons[k].rho0, m.ribbons[k].rho1
			ring := math.Pi * math.Abs(r1*r1-r0*r0)
			add(k-1, k-1, depth/ring)
			add(k, k, depth/ring)
			add(k-1, k, -depth/ring)
		}
		add(edge, edge, -depth/area)
	}
	face(0, m.rings-1)
	face(m.one-m.rings, m.one-m.rings-1)
	return t
}
