package field

import (
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/mat"
)

// circuit is a coil as coupled sections.
type circuit struct {
	*magnetic
	c *mat.SymDense // F, of the upper ends of the slices
}

// circuit returns c with or without its core.
func (c Coil) circuit(n int, core bool, hand float64, r resolution) (k circuit, err error) {
	solved, err := c.electric(n, hand, r)
	if err != nil {
		return k, err
	}
	if k.magnetic, err = c.magnetic(n, core, r); err != nil {
		return k, err
	}
	k.c = solved.maxwell()
	if !core || c.Beads.Count == 0 {
		return k, nil
	}
	added, err := solved.core(newBody(c.Beads, r))
	if err != nil {
		return k, err
	}
	k.c.AddSym(k.c, added)
	return k, nil
}

// electric returns the winding and what stands around it, but for its core, in the electric
// field.
func (c Coil) electric(n int, hand float64, r resolution) (*charged, error) {
	solved, err := c.electrodes(n, hand, r).solve()
	if err != nil {
		return nil, err
	}
	return solved, solved.insulate(shells(c.Insulators(), c.bands(n, r)))
}

// resonate finds the lowest mode with an added capacitance [F] at the top.
func (k circuit) resonate(added float64, m *Mode) {
	n := k.l.SymmetricDim()
	m.reset(n)
	m.settle(func(q, v []float64) {
		blas64.Symv(1, k.c.RawSymmetric(), vector(v), 0, vector(q))
		q[n-1] += added * v[n-1]
	}, func(phi, i []float64) {
		blas64.Symv(1, k.l.RawSymmetric(), vector(i), 0, vector(phi))
	})
	m.finish()
}

// gain returns the inductance gain of the core drawn.
func (c Coil) gain() (float64, error) {
	c.Primary = Primary{}
	k, err := c.magnetic(1, true, normal())
	if err != nil {
		return 0, err
	}
	air, err := c.magnetic(1, false, normal())
	if err != nil {
		return 0, err
	}
	return k.inductance() / air.inductance(), nil
}
