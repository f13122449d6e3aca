package field

import (
	"errors"

	"gonum.org/v1/gonum/mat"
)

// moments is an electrostatic problem of coaxial conductors: each ribbon has a
// constant charge density, and takes its potential in its middle.
type moments struct {
	ribbons []ribbon
	shares  [][]share // of each ribbon: its potential as a mean of conductors'
	plane   float64   // m, height of a grounded plane
	ground  bool      // whether there is one
}

// share is a weight of conductor k. A ribbon without shares is grounded.
type share struct {
	k      int
	weight float64
}

func (m *moments) add(rs []ribbon, shares ...share) {
	for _, r := range rs {
		m.ribbons = append(m.ribbons, r)
		m.shares = append(m.shares, shares)
	}
}

// maxwell returns the capacitance matrix [F] of n conductors: charges from
// potentials, everything else grounded.
func (m *moments) maxwell(n int) (*mat.SymDense, error) {
	k := len(m.ribbons)
	p := mat.NewDense(k, k, nil)
	w := mat.NewDense(k, n, nil)
	for i := range m.ribbons {
		rho, z := m.ribbons[i].at(0)
		for j := range m.ribbons {
			v := m.ribbons[j].potential(rho, z)
			if m.ground {
				v -= m.ribbons[j].potential(rho, 2*m.plane-z)
			}
			p.Set(i, j, v)
		}
		for _, s := range m.shares[i] {
			w.Set(i, s.k, s.weight)
		}
	}
	var charge, c mat.Dense
	if err := charge.Solve(p, w); err != nil {
		return nil, errors.New("two conductors touch or overlap")
	}
	c.Mul(w.T(), &charge)
	s := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			s.SetSym(i, j, (c.At(i, j)+c.At(j, i))/2)
		}
	}
	return s, nil
}
