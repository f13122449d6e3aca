package field

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// Where things stand: the ball's lowest point is a gap above the winding, the
// hand's the distance above the ball.
func TestElectrodes(t *testing.T) {
	c := lighthouse()
	c.BallGap = 0.003
	e := c.electrodes(10, 0.07, normal())
	lowest, highest := math.Inf(1), math.Inf(-1)
	hand := math.Inf(1)
	for i := range e.ribbons {
		if e.ribbons[i].radius == 0 {
			continue
		}
		for _, x := range []float64{-1, 1} {
			_, z := e.ribbons[i].at(x)
			if len(e.shares[i]) > 0 {
				lowest, highest = math.Min(lowest, z), math.Max(highest, z)
			} else {
				hand = math.Min(hand, z)
			}
		}
	}
	near.Times(t, "ball's lowest point", lowest, 0.223, 1e-12)
	near.Times(t, "ball's highest point", highest, 0.239, 1e-12)
	near.Times(t, "hand's lowest point", hand, 0.309, 1e-12)
}

// The potential along the winding is linear between the ends of slices, and 1
// everywhere above the first if all ends are at 1.
func TestLinearPotential(t *testing.T) {
	c := lighthouse()
	e := c.electrodes(10, math.Inf(1), normal())
	for i := range e.ribbons {
		_, z := e.ribbons[i].at(0)
		sum, mean := 0.0, 0.0
		for _, s := range e.shares[i] {
			sum += s.weight
			mean += s.weight * c.Length * float64(s.k+1) / 10
		}
		if z < c.Length {
			near.Times(t, "linear potential", mean, z, 1e-9)
		}
		if z > c.Length/10 {
			near.Times(t, "common potential", sum, 1, 1e-12)
		}
	}
}

// The lost internal inductance is µ0/8π a metre of wire: 78.5 m of it in a
// winding of 500 turns of 50 mm lose 3.93 µH (Rosa and Grover 1912).
func TestInductanceUncertainty(t *testing.T) {
	c := Coil{Turns: 500, Diameter: 0.05, Length: 0.25, Wire: 0.4e-3}
	l := mat.Sum(c.inductance(4))
	near.Times(t, "uncertainty", c.inductanceUncertainty(l), math.Hypot(0.001, 0.5*3.927e-6/l), 1e-3)
}

// A ball far from everything adds its own capacitance to a winding so small
// that it screens nothing.
func TestSmallWinding(t *testing.T) {
	c := Coil{Turns: 10, Diameter: 1e-4, Length: 1e-4, Ball: 0.02, BallGap: 0.02}
	k := must.Get(c.circuit(10, false, math.Inf(1), normal())).In(t)
	near.Times(t, "capacitance of the top", k.c.At(9, 9), 1.1127e-12, 0.01)
}
