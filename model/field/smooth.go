package field

import "gonum.org/v1/gonum/mat"

// smoothModes returns the fluxes in which a bead of a row is described: how it
// would answer alone to the axial multipoles r^l P_l, l = 1, 2, …, if it were
// easy to polarise (a hundredth of its stiffness: with a tenth the gain is 0.03 % lower, with a
// thousandth the same within 0.001 %), and to an even field if it were hard to. Energies are least
// among these as well, so that the error is again the square of what is left
// out; five modes do for a bead as long as thick (docs/field.md). A single rod
// keeps all its fluxes.
func (m *body) smoothModes(t *mat.SymDense, p *mat.Dense) *mat.Dense {
	n := m.one - 1
	order := 4 + int(m.beads.Length/m.beads.Diameter)
	if m.beads.Count == 1 || order >= n {
		return identity(n)
	}
	h := m.fluxes(m.multipoles(order))
	soft := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			soft.SetSym(i, j, 0.01*t.At(i, j)+p.At(i, j))
		}
	}
	answers := mat.NewDense(n, order+1, nil)
	if !answer(answers.Slice(0, n, 0, order).(*mat.Dense), soft, h) ||
		!answer(answers.Slice(0, n, order, order+1).(*mat.Dense), t, h.Slice(0, n, 0, 1)) {
		return identity(n)
	}
	var qr mat.QR // an orthonormal basis of them
	qr.Factorize(answers)
	var q mat.Dense
	qr.QTo(&q)
	return mat.DenseCopyOf(q.Slice(0, n, 0, order+1))
}

// multipoles returns the potentials −r^l P_l, r from the bead's middle in radii,
// at the ribbons of the first bead.
func (m *body) multipoles(order int) *mat.Dense {
	b := m.beads
	a, middle := b.Diameter/2, b.Start+b.Length/2
	psi := mat.NewDense(m.one, order, nil)
	for i := range m.one {
		rho, z := m.ribbons[i].at(0)
		rho, z = rho/a, (z-middle)/a
		before, now := 1.0, z
		for l := range order {
			psi.Set(i, l, -now)
			k := float64(l + 1) // Bonnet's recurrence
			before, now = now, ((2*k+1)*z*now-k*(rho*rho+z*z)*before)/(k+1)
		}
	}
	return psi
}

// answer solves a x = h and tells whether it could.
func answer(x *mat.Dense, a mat.Symmetric, h mat.Matrix) bool {
	var chol mat.Cholesky
	return chol.Factorize(a) && chol.SolveTo(x, h) == nil
}

func identity(n int) *mat.Dense {
	m := mat.NewDense(n, n, nil)
	for i := range n {
		m.Set(i, i, 1)
	}
	return m
}

// symmetric returns the mean of m and its transpose.
func symmetric(m *mat.Dense) *mat.SymDense {
	n, _ := m.Dims()
	s := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			s.SetSym(i, j, (m.At(i, j)+m.At(j, i))/2)
		}
	}
	return s
}
