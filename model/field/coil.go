package field

import (
	"math"

	"gonum.org/v1/gonum/floats"
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
	floats.Scale(c.Length, z)
	return z
}

// hand returns the diameter of the sphere that stands for a hand [m].
func (c Coil) hand() float64 {
	if c.Hand == 0 {
		return 0.1
	}
	return c.Hand
}
