package field

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// shorts is closed metal around a winding in the magnetic field. Its surface is cut into
// hoops; the current in each is such that no flux goes through it, as long as the metal is
// much thicker than its skin depth. From inductances L between windings they take M L⁻¹ Mᵀ,
// and they see a core's charges as well, so that its own field is screened.
type shorts struct {
	hoops []ribbon
	chol  mat.TriDense // Cholesky factor of the inductances between hoops
	half  *mat.Dense   // its inverse times the flux linkages with slices and primary, √H m
}

// shorts returns the closed metal around c's winding, in slices that end at the heights z, of
// one turn per metre, and its primary as last column where one is drawn; nil without any.
func (m Metal) shorts(diameter float64, z []float64, p Primary) (*shorts, error) {
	s := &shorts{}
	for _, q := range m.pieces(Primary{}, diameter, z[len(z)-1]) {
		if q.closed {
			s.hoops = append(s.hoops, q.surface...)
		}
	}
	k := len(s.hoops)
	if k == 0 {
		return nil, nil
	}
	own := mat.NewDense(k, k, nil)
	for i := range s.hoops {
		rho, height := s.hoops[i].at(0)
		for j := range s.hoops {
			own.Set(i, j, s.hoops[j].flux(rho, height))
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(symmetric(own)) {
		return nil, impossible(MetalTouches)
	}
	chol.LTo(&s.chol)
	columns := len(z) - 1
	if p.Turns > 0 {
		columns++
	}
	m1 := mat.NewDense(k, columns, nil)
	heights, weights := p.loops()
	for i := range s.hoops {
		rho, height := s.hoops[i].at(0)
		for j := range len(z) - 1 {
			m1.Set(i, j, loopSheet(rho, height, diameter/2, z[j], z[j+1], 12))
		}
		for t, h := range heights {
			m1.Set(i, columns-1, m1.At(i, columns-1)+weights[t]*LoopMutual(p.Diameter/2, rho, h-height))
		}
	}
	s.half = new(mat.Dense)
	return s, s.chol.SolveTo(s.half, false, m1)
}

// flux returns the flux linkage [H] of a loop through (ρ, z) with the current of r, one
// ampere spread evenly over its width.
func (r *ribbon) flux(rho, z float64) float64 {
	return r.integral(rho, z, -1, 1, 12, func(a, dz float64) float64 { return LoopMutual(a, rho, dz) }) / 2
}

// takes returns what s takes from the inductances between slices and primary [H m²].
func (s *shorts) takes() *mat.SymDense {
	_, n := s.half.Dims()
	m := mat.NewSymDense(n, nil)
	m.SymOuterK(1, s.half.T())
	return m
}

// screen brings the drives h of a body by slices and primary, and its own matrix P, to what
// the hoops leave of them.
func (s *shorts) screen(m *body, h *mat.Dense) (*mat.SymDense, error) {
	k := m.p.SymmetricDim()
	psi := mat.NewDense(len(m.ribbons), len(s.hoops), nil)
	for j := range s.hoops {
		radius, height := s.hoops[j].at(0)
		for i := range m.ribbons {
			psi.Set(i, j, m.ribbons[i].mean(func(rho, z float64) float64 { return hoopPotential(radius, rho, z-height) }))
		}
	}
	drive := m.drive(psi)
	var half, change mat.Dense
	if err := s.chol.SolveTo(&half, false, drive.T()); err != nil {
		return nil, err
	}
	change.Mul(half.T(), s.half)
	h.Sub(h, &change)
	p := mat.NewSymDense(k, nil)
	p.SymOuterK(Mu0, half.T())
	p.AddSym(p, m.p)
	return p, nil
}

// hoopPotential is the magnetic potential of one ampere in a hoop of the radius given, z below
// the point at radius rho: the slope of a half solenoid's (see solenoid) to its end. What is on
// the axis within the hoop may go through it; beside it, what is wider than the hoop stands
// wholly on one side, where the potential runs on.
func hoopPotential(radius, rho, z float64) float64 {
	v := -discAxial(radius, rho, z)
	if rho > radius {
		v -= math.Copysign(0.5, z)
	}
	return v
}

// driven is a core in a winding: how slices and primary drive it, and its own matrix, with
// what closed metal leaves of both.
type driven struct {
	h *mat.Dense
	p *mat.SymDense
}

// driven returns how m is driven by the slices of a winding of one turn per metre that end at
// z and, as last column, a primary where one is drawn.
func (m *body) driven(diameter float64, z []float64, p Primary, s *shorts) (d driven, err error) {
	d.h, d.p = m.solenoids(diameter/2, z), m.p
	if p.Turns > 0 {
		var both mat.Dense
		both.Augment(d.h, m.primary(p))
		d.h = &both
	}
	if s != nil {
		d.p, err = s.screen(m, d.h)
	}
	return d, err
}

// magnetic is a winding, with a primary where one is drawn, in the magnetic field.
type magnetic struct {
	l   *mat.SymDense // H, between the slices
	row []float64     // H, between the primary and the slices; nil without one
	own float64       // H, of the primary
}

// magnetic returns the inductances of n slices of c and its primary, with or without its core.
func (c Coil) magnetic(n int, core bool, r resolution) (*magnetic, error) {
	m, z, density := &magnetic{l: c.inductance(n)}, c.ends(n), c.Turns/c.Length
	if c.Primary.Turns > 0 {
		m.row, m.own = c.Primary.row(c.Diameter, z), c.Primary.Inductance()
		floats.Scale(density, m.row)
	}
	s, err := c.shorts(c.Diameter, z, c.Primary)
	if err != nil {
		return nil, err
	}
	if s != nil {
		m.add(s.takes(), density, -1)
	}
	if !core || c.Beads.Count == 0 {
		return m, nil
	}
	b := newBody(c.Beads, r)
	d, err := b.driven(c.Diameter, z, c.Primary, s)
	if err != nil {
		return nil, err
	}
	added, err := b.response(d.p, 1/(c.Beads.Permeability-1), d.h, Mu0)
	if err != nil {
		return nil, err
	}
	m.add(added, density, 1)
	return m, nil
}

// add adds sign times a, between slices of one turn per metre and the primary; density is in
// turns per metre.
func (m *magnetic) add(a *mat.SymDense, density, sign float64) {
	n := m.l.SymmetricDim()
	for i := range n {
		for j := i; j < n; j++ {
			m.l.SetSym(i, j, m.l.At(i, j)+sign*density*density*a.At(i, j))
		}
		if m.row != nil {
			m.row[i] += sign * density * a.At(i, n)
		}
	}
	if m.row != nil {
		m.own += sign * a.At(n, n)
	}
}

// inductance returns the inductance of the winding [H], with the same current in all turns.
func (m *magnetic) inductance() float64 { return mat.Sum(m.l) }

// windings returns the coupling of the windings, k = M/√(L1 L2), both with the same current
// in all turns.
func (m *magnetic) windings() float64 {
	return floats.Sum(m.row) / math.Sqrt(m.own*m.inductance())
}
