package field

import (
	"errors"

	"gonum.org/v1/gonum/mat"
)

// electrodes is an electrostatic problem of coaxial conductors by the method
// of moments: potentials are matched in the middle of each ribbon, and the
// coefficients of potential made symmetric, as they are in nature.
type electrodes struct {
	n       int // conductors with a potential of their own
	ribbons []ribbon
	shares  [][]share
	ground  bool    // whether there is a grounded plane
	plane   float64 // m, its height
}

// share says that a ribbon's potential is a mean that conductor k has this
// weight in. A ribbon without shares is grounded.
type share struct {
	k      int
	weight float64
}

func (e *electrodes) add(rs []ribbon, shares ...share) {
	for _, r := range rs {
		e.ribbons = append(e.ribbons, r)
		e.shares = append(e.shares, shares)
	}
}

// potential returns the potential × ε0 at (ρ, z) of one coulomb on r.
func (e *electrodes) potential(r *ribbon, rho, z float64) float64 {
	v := r.potential(rho, z)
	if e.ground {
		v -= r.potential(rho, 2*e.plane-z)
	}
	return v
}

// charged is an electrostatic problem solved.
type charged struct {
	electrodes
	half *mat.Dense   // L⁻¹ W, of the Cholesky factor L of the coefficients and the shares W
	l    mat.TriDense // L
}

func (e electrodes) solve() (*charged, error) {
	k := len(e.ribbons)
	p := mat.NewDense(k, k, nil)
	w := mat.NewDense(k, e.n, nil)
	for i := range e.ribbons {
		rho, z := e.ribbons[i].at(0)
		for j := range e.ribbons {
			p.Set(i, j, e.potential(&e.ribbons[j], rho, z))
		}
		for _, s := range e.shares[i] {
			w.Set(i, s.k, s.weight)
		}
	}
	sym := mat.NewSymDense(k, nil)
	for i := range k {
		for j := i; j < k; j++ {
			sym.SetSym(i, j, (p.At(i, j)+p.At(j, i))/2)
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(sym) {
		return nil, errors.New("two conductors touch or overlap")
	}
	c := &charged{electrodes: e, half: new(mat.Dense)}
	chol.LTo(&c.l)
	if err := c.half.Solve(&c.l, w); err != nil {
		return nil, err
	}
	return c, nil
}

// maxwell returns the capacitance matrix [F]: charges from potentials.
func (c *charged) maxwell() *mat.SymDense {
	s := mat.NewSymDense(c.n, nil)
	s.SymOuterK(Eps0, c.half.T())
	return s
}

// core returns what a core adds to the capacitance matrix [F]: a dielectric,
// or floating conductors. Its charges see each other with what the conductors,
// held at their potentials, screen off. A plane's image of the core is left
// out: the winding stands between.
func (c *charged) core(m *body) (*mat.SymDense, error) {
	if m.beads.permittivity() <= 1 {
		return mat.NewSymDense(c.n, nil), nil
	}
	k := len(m.ribbons)
	b := mat.NewDense(k, len(c.ribbons), nil)
	for i := range m.ribbons {
		rho, z := m.ribbons[i].at(0)
		for j := range c.ribbons {
			b.Set(i, j, c.potential(&c.ribbons[j], rho, z))
		}
	}
	var half, h mat.Dense
	if err := half.Solve(&c.l, m.drive(b).T()); err != nil {
		return nil, err
	}
	h.Mul(half.T(), c.half)
	p := mat.NewSymDense(m.p.SymmetricDim(), nil)
	p.SymOuterK(-1, half.T())
	p.AddSym(p, m.p)
	added, err := m.response(p, 1/(m.beads.permittivity()-1), &h, Eps0)
	if err != nil {
		return nil, errors.New("the core touches the ball or the winding: leave a ball gap, or let the core end lower")
	}
	return added, nil
}
