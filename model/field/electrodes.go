package field

import (
	"gonum.org/v1/gonum/mat"
)

// electrodes is an electrostatic problem of coaxial conductors by the method
// of moments: potentials are matched in the middle of each ribbon, and the
// coefficients of potential made symmetric, as they are in nature.
type electrodes struct {
	n       int // conductors with a potential of their own
	free    int // floating conductors, numbered from n on: each without net charge
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

// potentials returns the potentials × ε0 of one coulomb on each of the ribbons from, in
// columns, in the middles of others, in rows.
func (e *electrodes) potentials(from, at []ribbon) *mat.Dense {
	p := mat.NewDense(len(at), len(from), nil)
	for i := range at {
		rho, z := at[i].at(0)
		for j := range from {
			p.Set(i, j, e.potential(&from[j], rho, z))
		}
	}
	return p
}

// charged is an electrostatic problem solved.
type charged struct {
	electrodes
	half *mat.Dense   // L⁻¹ W, of the Cholesky factor L of the coefficients and the shares W; with insulators, more rows
	l    mat.TriDense // L
	free *mat.Dense   // an orthonormal basis of L⁻¹ W of the floating conductors; nil without one
	dressed
}

// lower returns L⁻¹ x, less what floating conductors take of it by their potential: they
// keep no net charge, whatever the others do.
func (c *charged) lower(x mat.Matrix) (*mat.Dense, error) {
	var half mat.Dense
	if err := c.l.SolveTo(&half, false, x); err != nil {
		return nil, err
	}
	if c.free != nil {
		var along, gone mat.Dense
		along.Mul(c.free.T(), &half)
		gone.Mul(c.free, &along)
		half.Sub(&half, &gone)
	}
	return &half, nil
}

func (e electrodes) solve() (*charged, error) {
	k := len(e.ribbons)
	p := e.potentials(e.ribbons, e.ribbons)
	w := mat.NewDense(k, e.n+e.free, nil)
	for i := range e.ribbons {
		for _, s := range e.shares[i] {
			w.Set(i, s.k, s.weight)
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(symmetric(p)) {
		return nil, impossible(ConductorsTouch)
	}
	c := &charged{electrodes: e}
	chol.LTo(&c.l)
	if e.free > 0 {
		free, err := c.lower(w.Slice(0, k, e.n, e.n+e.free))
		if err != nil {
			return nil, err
		}
		var qr mat.QR
		qr.Factorize(free)
		var q mat.Dense
		qr.QTo(&q)
		c.free = mat.DenseCopyOf(q.Slice(0, k, 0, e.free))
	}
	var err error
	c.half, err = c.lower(w.Slice(0, k, 0, e.n))
	return c, err
}

// maxwell returns the capacitance matrix [F]: charges from potentials.
func (c *charged) maxwell() *mat.SymDense {
	s := mat.NewSymDense(c.n, nil)
	s.SymOuterK(Eps0, c.half.T())
	return s
}

// core returns what a core adds to the capacitance matrix [F]: a dielectric,
// or floating conductors. Its charges see each other with what the conductors,
// held at their potentials, screen off, and with the insulators. A plane's image of the
// core is left out: the winding stands between.
func (c *charged) core(m *body) (*mat.SymDense, error) {
	if m.beads.permittivity() <= 1 {
		return mat.NewSymDense(c.n, nil), nil
	}
	half, err := c.lower(m.drive(c.potentials(c.ribbons, m.ribbons)).T())
	if err != nil {
		return nil, err
	}
	if half, err = c.dress(m, half); err != nil {
		return nil, err
	}
	var h mat.Dense
	h.Mul(half.T(), c.half)
	p := mat.NewSymDense(m.p.SymmetricDim(), nil)
	p.SymOuterK(-1, half.T())
	p.AddSym(p, m.p)
	added, err := m.response(p, 1/(m.beads.permittivity()-1), &h, Eps0)
	if err != nil {
		return nil, impossible(CoreTouches)
	}
	return added, nil
}

// dressed is what insulators are among conductors that are held at their potentials.
type dressed struct {
	shells []ribbon     // surfaces of all insulators
	b      *mat.Dense   // charges of them for the unknown fluxes
	seen   *mat.Dense   // lower() of the potentials of these at the conductors
	a      mat.TriDense // Cholesky factor of the fluxes' matrix κT + P
}

// dress brings lower() of a core's potentials at the conductors to what it is with the
// insulators: rows A⁻¹ of how they see the core below it.
func (c *charged) dress(m *body, half *mat.Dense) (*mat.Dense, error) {
	if c.b == nil {
		return half, nil
	}
	var direct, screened, root, both mat.Dense
	direct.Mul(m.drive(c.potentials(c.shells, m.ribbons)), c.b)
	screened.Mul(half.T(), c.seen)
	direct.Sub(&direct, &screened)
	if err := c.a.SolveTo(&root, false, direct.T()); err != nil {
		return nil, err
	}
	both.Stack(half, &root)
	return &both, nil
}
