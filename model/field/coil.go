package field

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/mat"
)

// Coil is a drawing: a single-layer winding whose lower end is grounded, with
// what hangs on its upper end and stands in it, all on one vertical axis. A
// length of 0 means that the thing isn't there or isn't known.
type Coil struct {
	Turns    float64
	Diameter float64 // m, of the winding, from wire centre to wire centre
	Length   float64 // m, turns × pitch
	Wire     float64 // m, bare diameter; 0: 0.85 of the pitch, as enamelled wire wound close
	Ball     float64 // m, diameter
	BallGap  float64 // m, from the winding's upper end up to the ball
	Height   float64 // m, of the grounded end above a grounded plane
	Beads    Beads
	Primary  Primary
	Former   Tube
	Coating  Coating
	Metal            // what stands around
	Hand     float64 // m, diameter of the grounded sphere that stands for a hand; 0: 0.1
	Slices   int     // 0: 80
}

// Check returns what makes c impossible, nil if nothing does.
func (c Coil) Check() error {
	b := c.Beads
	if err := c.CheckSizes(); err != nil {
		return err
	}
	switch {
	case !(c.Turns > 0 && c.Diameter > 0 && c.Length > 0):
		return errors.New("turns, winding diameter and winding length must be above zero")
	case c.Wire < 0 || c.Ball < 0 || c.BallGap < 0 || c.Height < 0 || c.Hand < 0:
		return errors.New("no length may be negative")
	case c.Slices < 0 || c.Slices == 1:
		return errors.New("a coil needs two slices or more")
	case c.checkInsulators() != nil:
		return c.checkInsulators()
	case c.Primary.check(b) != nil:
		return c.Primary.check(b)
	case c.checkMetal() != nil:
		return c.checkMetal()
	case b.Count == 0:
		return nil
	case !(b.Count > 0 && b.Diameter > 0 && b.Length > 0 && b.Spacing >= 0):
		return errors.New("beads need a diameter and a length above zero")
	case b.Diameter >= c.Diameter-c.Wire:
		return fmt.Errorf("beads %.4g mm thick don't fit into a winding %.4g mm wide", 1e3*b.Diameter, 1e3*(c.Diameter-c.Wire))
	case !(b.Permeability > 1):
		return fmt.Errorf("bead permeability %g: expected above 1", b.Permeability)
	case b.permittivity() < 1:
		return fmt.Errorf("bead permittivity %g: expected above 1", b.Permittivity)
	}
	return nil
}

// wire returns the bare diameter of the wire [m].
func (c Coil) wire() float64 {
	if c.Wire == 0 {
		return 0.85 * c.Length / c.Turns
	}
	return c.Wire
}

// ends returns the ends of n slices [m].
func (c Coil) ends(n int) []float64 {
	z := make([]float64, n+1)
	for i := range z {
		z[i] = c.Length * float64(i) / float64(n)
	}
	return z
}

// inductance returns the inductances between n slices in air [H]. The
// correction for round wire acts between near turns: it is each slice's own.
func (c Coil) inductance(n int) *mat.SymDense {
	l := SliceInductance(c.Turns, c.Diameter, c.Length, n)
	wire := RoundWire(c.Turns, c.Diameter, c.Length, c.wire()) / float64(n)
	for i := range n {
		l.SetSym(i, i, l.At(i, i)-wire)
	}
	return l
}

// electrodes returns the conductors, with a hand at the given distance above
// the top, +Inf when nobody is near: conductor k is the upper end of slice k.
// Between two ends the potential is linear.
func (c Coil) electrodes(n int, hand float64, r resolution) electrodes {
	e := electrodes{n: n, plane: -c.Height, ground: c.Height > 0}
	bands := c.bands(n, r)
	for i := range len(bands) - 1 {
		band := ribbon{rho0: c.Diameter / 2, z0: bands[i], rho1: c.Diameter / 2, z1: bands[i+1]}
		at := (band.z0 + band.z1) / 2 / c.Length * float64(n)
		k := min(int(at), n-1)
		shares := []share{{k, at - float64(k)}}
		if k > 0 {
			shares = append(shares, share{k - 1, 1 - shares[0].weight})
		}
		e.add([]ribbon{band}, shares...)
	}
	top := c.Length
	if c.Ball > 0 {
		e.add(sphere(c.Ball/2, c.Length+c.BallGap+c.Ball/2, spherical().grade(1)), share{n - 1, 1})
		top += c.BallGap + c.Ball
	}
	for _, q := range c.pieces(c.Primary, c.Diameter, c.Length) {
		if q.floating {
			e.add(q.surface, share{n + e.free, 1})
			e.free++
		} else {
			e.add(q.surface)
		}
	}
	if !math.IsInf(hand, 1) {
		e.add(sphere(c.hand()/2, top+hand+c.hand()/2, spherical().grade(1)))
	}
	return e
}

// bands returns the heights at which the winding is cut into ribbons [m].
func (c Coil) bands(n int, r resolution) []float64 {
	fine := r // the charge of a thin edge crowds more than that of a right angle
	fine.most = math.Min(r.most, c.Length/c.Diameter/float64(n))
	fine.edge = math.Min(r.edge/4, fine.most/2)
	z := fine.grade(c.Length / c.Diameter)
	for i := range z {
		z[i] *= c.Length
	}
	return z
}

// hand returns the diameter of the sphere that stands for a hand [m].
func (c Coil) hand() float64 {
	if c.Hand == 0 {
		return 0.1
	}
	return c.Hand
}

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
