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
// bead's add up to nil by construction. In an outer field of potential ψ, with
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
	t, p    *mat.SymDense // 1/m, of the fluxes
}

func newBody(b Beads, r resolution) *body {
	m := &body{beads: b, rings: r.rings}
	for i := range b.Count {
		m.ribbons = append(m.ribbons, b.surface(b.Start+float64(i)*b.pitch(), r)...)
	}
	m.one = len(m.ribbons) / b.Count
	n := m.one - 1
	m.t = mat.NewSymDense(b.Count*n, nil)
	m.p = mat.NewSymDense(b.Count*n, nil)
	t := m.volume()
	for d := range b.Count { // equal beads at equal distances couple equally
		p := m.coupling(d)
		for i := range b.Count - d {
			for j := range n {
				for k := range n {
					if d == 0 && k >= j {
						m.t.SetSym(i*n+j, i*n+k, t.At(j, k))
					}
					if d > 0 || k >= j {
						m.p.SetSym(i*n+j, (i+d)*n+k, p.At(j, k))
					}
				}
			}
		}
	}
	return m
}

// coupling returns the part of P between a bead and the d-th above it.
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

// fluxes turns rows that belong to the charges of ribbons into rows that belong
// to fluxes: the charge of ribbon k is g_k−1 − g_k, so that energy ∮qψ is
// −Σ g_k (ψ_k − ψ_k+1).
func (m *body) fluxes(psi *mat.Dense) *mat.Dense {
	_, columns := psi.Dims()
	n := m.one - 1
	h := mat.NewDense(n*m.beads.Count, columns, nil)
	for b := range m.beads.Count {
		for k := range n {
			for j := range columns {
				h.Set(b*n+k, j, psi.At(b*m.one+k, j)-psi.At(b*m.one+k+1, j))
			}
		}
	}
	return h
}

// volume returns the part of T that belongs to one bead.
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
	depth := a / 3.8317
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
