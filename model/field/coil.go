package field

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/mat"
)

// Coil is a drawing: a single-layer winding whose lower end is grounded, with
// what hangs on its upper end and stands in it, all on one vertical axis.
// Lengths are in m; a length of 0 means that the thing isn't there or isn't
// known.
type Coil struct {
	Turns    float64
	Diameter float64 // of the winding, from wire centre to wire centre
	Length   float64 // turns × pitch
	Wire     float64 // bare diameter
	Ball     float64 // diameter
	BallGap  float64 // from the winding's upper end to the ball
	Height   float64 // of the grounded end above a grounded plane
	Beads    Beads
	Hand     float64 // diameter of the grounded sphere that stands for a hand; 0: 0.1 m
	Slices   int     // 0: 40
}

// circuit is a coil as coupled slices.
type circuit struct {
	turns  float64
	length float64
	l, c   *mat.SymDense // H between slices, F between their upper ends
}

func (c Coil) check() error {
	switch {
	case !(c.Turns > 0 && c.Diameter > 0 && c.Length > 0):
		return errors.New("a coil needs turns, diameter and length above zero")
	case c.Wire*c.Turns > 1.0001*c.Length:
		return fmt.Errorf("%g turns of %g m wire don't fit on %g m", c.Turns, c.Wire, c.Length)
	case c.Beads.Count > 0 && !(c.Beads.Diameter < c.Diameter):
		return fmt.Errorf("beads of %g m don't fit into a winding of %g m", c.Beads.Diameter, c.Diameter)
	}
	return nil
}

// inductance returns the matrix of the winding in air.
func (c Coil) inductance(n int) *mat.SymDense {
	l := SliceInductance(c.Turns, c.Diameter, c.Length, n)
	wire := RoundWire(c.Turns, c.Diameter, c.Length, c.Wire) / float64(n)
	for i := range n {
		l.SetSym(i, i, l.At(i, i)-wire)
	}
	return l
}

// addCore adds what the core adds to l.
func (c Coil) addCore(l *mat.SymDense, r resolution) error {
	if c.Beads.Count == 0 {
		return nil
	}
	m := newMagnet(c.Beads, r)
	n := l.SymmetricDim()
	z := make([]float64, n+1)
	for i := range z {
		z[i] = c.Length * float64(i) / float64(n)
	}
	added, err := m.added(c.Diameter/2, z)
	if err != nil {
		return err
	}
	added.ScaleSym(c.Turns*c.Turns/(c.Length*c.Length), added)
	l.AddSym(l, added)
	return nil
}

// capacitance returns the matrix between the slices' upper ends, with a hand at
// the given distance above the top (+Inf: nobody near).
func (c Coil) capacitance(n int, hand float64, r resolution) (*mat.SymDense, error) {
	m := moments{plane: -c.Height, ground: c.Height > 0}
	r.most = math.Min(r.most, c.Length/c.Diameter/float64(n))
	edges := r.grade(c.Length / c.Diameter)
	for i := range edges {
		edges[i] *= c.Diameter / c.Length
	}
	for _, rib := range line(c.Diameter/2, 0, c.Diameter/2, c.Length, edges) {
		at := (rib.z0 + rib.z1) / 2 / c.Length * float64(n)
		k := min(int(at), n-1)
		up := at - float64(k)
		s := []share{{k, up}}
		if k > 0 {
			s = append(s, share{k - 1, 1 - up})
		}
		m.add([]ribbon{rib}, s...)
	}
	top := c.Length
	if c.Ball > 0 {
		m.add(sphere(c.Ball/2, c.Length+c.BallGap+c.Ball/2, r.grade(1)), share{n - 1, 1})
		top += c.BallGap + c.Ball
	}
	if !math.IsInf(hand, 1) {
		d := c.Hand
		if d == 0 {
			d = 0.1
		}
		m.add(sphere(d/2, top+hand+d/2, r.grade(1)))
	}
	b := c.Beads
	for i := range b.Count {
		z := b.Start + float64(i)*(b.Length+b.Spacing)
		m.add(b.surface(z, r), share{n + i, 1})
	}
	all, err := m.maxwell(n + b.Count)
	if err != nil || b.Count == 0 {
		return all, err
	}
	return float(all, n)
}

// float eliminates the conductors from n on, which carry no charge.
func float(c *mat.SymDense, n int) (*mat.SymDense, error) {
	k := c.SymmetricDim()
	var chol mat.Cholesky
	if !chol.Factorize(c.SliceSym(n, k)) {
		return nil, errors.New("two beads touch or overlap")
	}
	var x, y mat.Dense
	dense := mat.DenseCopyOf(c)
	cross := dense.Slice(n, k, 0, n)
	if err := chol.SolveTo(&x, cross); err != nil {
		return nil, err
	}
	y.Mul(cross.T(), &x)
	s := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			s.SetSym(i, j, c.At(i, j)-(y.At(i, j)+y.At(j, i))/2)
		}
	}
	return s, nil
}

// resonate finds the lowest mode with an added capacitance at the top.
func resonate(l, c *mat.SymDense, added float64, m *Mode) {
	n := l.SymmetricDim()
	m.reset(n)
	m.settle(func(q, v []float64) {
		blas64.Symv(1, c.RawSymmetric(), vector(v), 0, vector(q))
		q[n-1] += added * v[n-1]
	}, func(phi, i []float64) {
		blas64.Symv(1, l.RawSymmetric(), vector(i), 0, vector(phi))
	})
	m.PerTop = -0.5 / m.Capacitance
}

var _ = blas.Upper
