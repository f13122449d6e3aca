package field

import (
	"math"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// A shorted ring takes from the primary's own inductance what it takes from any loop, the square
// of their mutual inductance over its own (two coupled circuits, a textbook matter).
func TestRingTakesFromThePrimary(t *testing.T) {
	const a, r = 0.05, 0.0005
	p := Primary{Turns: 1, Diameter: 0.04, Height: 0.03, Wire: 0.001}
	c := Coil{Turns: 100, Diameter: 0.02, Length: 0.1, Wire: 0.3e-3, Primary: p, Metal: Metal{Ring: Ring{Diameter: 2 * a, Thickness: 2 * r}}}
	m := must.Get(c.magnetic(1, false, normal())).In(t)
	mutual := LoopMutual(a, p.Diameter/2, p.Height)
	near.Times(t, "taken by a ring", p.Inductance()-m.own, mutual*mutual/loopSelf(a, r), 3e-3)
}

// What a bare frequency may be off by: half of the inductance's share, and of each capacitance by
// how the frequency moves with it, here moved by a hundredth.
func TestUncertaintyOfTheBareFrequency(t *testing.T) {
	c := Coil{Turns: 300, Diameter: 0.03, Length: 0.12, Wire: 0.3e-3, Ball: 0.03, BallGap: 0.005, Slices: 12}
	p := must.Get(c.Predict()).In(t)
	l := must.Get(NewLadder(c.Shape())).In(t)
	frequency := func(winding, top float64) float64 {
		var m Mode
		l.Resonate(State{Inductance: p.Inductance.Value, Capacitance: winding * p.WindingCapacitance.Value, Top: top * p.TopCapacitance.Value}, &m)
		return m.Omega
	}
	perWinding := math.Log(frequency(1.01, 1)/frequency(0.99, 1)) / 0.02
	perTop := math.Log(frequency(1, 1.01)/frequency(1, 0.99)) / 0.02
	want := math.Hypot(p.Inductance.Relative/2, math.Hypot(perWinding*p.WindingCapacitance.Relative, perTop*p.TopCapacitance.Relative))
	near.Times(t, "of the frequency", p.Frequency.Relative, want, 1e-3)
	near.Times(t, "both together", perWinding+perTop, -0.5, 1e-3)
}

// A hand's drop of the frequency is as uncertain as its capacitance, and the bare frequency besides.
func TestUncertaintyOfTheFrequencyWithAHand(t *testing.T) {
	c := Coil{Turns: 300, Diameter: 0.03, Length: 0.12, Wire: 0.3e-3, Ball: 0.03, BallGap: 0.005, Slices: 12}
	p := must.Get(c.Predict(0.05)).In(t)
	h := p.Hands[0]
	drop := (p.Frequency.Value - h.Frequency.Value) * h.Capacitance.Relative
	near.Times(t, "u", h.Frequency.Value*h.Frequency.Relative, math.Hypot(h.Frequency.Value*p.Frequency.Relative, drop), 1e-9)
}
