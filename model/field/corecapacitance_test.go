package field

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"fitcoil/internal/must"
)

// What a core adds to the winding's capacitance is what, spread evenly along the
// winding, lowers the resonance as the core's own charges do: sought here by
// bisection, in the whole circuit with the ball, with the inductances left as they are
// in air. Bare and with a capacitor on the top, whose voltage rises evenly; the
// drawing and the ladder of a fit say the same.
func TestCoreCapacitanceIsThatOfAnEvenLine(t *testing.T) {
	for _, c := range []Coil{
		{Turns: 640, Diameter: 28.3e-3, Length: 0.24, Wire: 0.32e-3, Ball: 18e-3, Beads: Beads{Diameter: 16e-3, Length: 10e-3, Spacing: 4e-3, Count: 17, Start: 2e-3, Permeability: 120}},
		{Turns: 300, Diameter: 40e-3, Length: 0.12, Wire: 0.3e-3, Ball: 20e-3, Beads: Beads{Diameter: 20e-3, Length: 8e-3, Spacing: 2e-3, Count: 12, Start: 0, Permeability: 40}},
	} {
		c.Slices = 40
		p := must.Get(c.Predict()).In(t)
		l := must.Get(NewLadder(Shape{Diameter: c.Diameter, Length: c.Length, Core: c.Beads})).In(t)
		want := p.Core.Capacitance.Value
		if r := l.CoreCapacitance() / want; !(math.Abs(r-1) <= 0.2) { // without the ball, and in coarser ribbons
			t.Errorf("the ladder's core adds %v of the drawing's", r)
		}
		c.Beads = c.Beads.filling(0, c.Length)
		in := must.Get(c.circuit(c.Slices, true, math.Inf(1), normal())).In(t)
		air := must.Get(c.circuit(c.Slices, false, math.Inf(1), normal())).In(t)
		for _, at := range []struct{ added, within float64 }{{0, 0.2}, {20e-12, 0.02}} {
			var m Mode
			circuit{air.magnetic, in.c}.resonate(at.added, &m)
			omega := m.Omega
			low, high := 0.0, 10*want
			for range 50 {
				x := (low + high) / 2
				circuit{air.magnetic, withEven(air.c, x)}.resonate(at.added, &m)
				if m.Omega > omega {
					low = x
				} else {
					high = x
				}
			}
			if r := low / want; !(math.Abs(r-1) <= at.within) {
				t.Errorf("with %v F on the top an even line of %v F rings alike, %v of the core's", at.added, low, r)
			}
		}
	}
}

// withEven adds a capacitance spread evenly to those of the slices.
func withEven(c *mat.SymDense, x float64) *mat.SymDense {
	n := c.SymmetricDim()
	out := mat.NewSymDense(n, nil)
	out.CopySym(c)
	each := x / float64(n)
	for k := range n { // under a voltage linear within each slice, as even does
		below := each / 6
		if k > 0 {
			out.SetSym(k-1, k, out.At(k-1, k)+below)
			out.SetSym(k-1, k-1, out.At(k-1, k-1)+each/3)
		}
		out.SetSym(k, k, out.At(k, k)+each/3)
	}
	return out
}
