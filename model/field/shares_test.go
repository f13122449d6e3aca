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

// A gain is known to a hundredth, and where beads stand apart, to what gaps 50 µm wider do besides; the
// frequency with the core to half of that beside the bare one. All of it counts of any number of beads.
func TestUncertaintyOfAGain(t *testing.T) {
	c := Coil{Turns: 300, Diameter: 0.03, Length: 0.12, Wire: 0.3e-3, Slices: 12, Beads: Beads{Diameter: 0.012, Length: 0.1, Count: 1, Start: 0.01, Permeability: 100}}
	rod := must.Get(c.Predict()).In(t)
	c.Beads.Count, c.Beads.Length, c.Beads.Spacing = 4, 0.02, 0.001
	beads := must.Get(c.Predict()).In(t)
	c.Beads.Spacing += 5e-5
	wider := must.Get(c.Predict()).In(t)
	u := math.Hypot(0.01, math.Log(wider.Core.Gain.Value/beads.Core.Gain.Value))
	for _, k := range []struct {
		p *Prediction
		u float64
	}{{rod, 0.01}, {beads, u}} {
		near.Times(t, "as placed", k.p.Core.Gain.Relative, k.u, 1e-6)
		near.Times(t, "all along", k.p.Core.Full.Relative, k.u, 1e-6)
		near.Times(t, "frequency", k.p.Core.Frequency.Relative, math.Hypot(k.p.Frequency.Relative, k.u/2), 1e-6)
	}
}

// The equivalent rings as the drawing does, bare and with twice the effective capacitance put on the top.
func TestEquivalentBareAndLoaded(t *testing.T) {
	c := Coil{Turns: 300, Diameter: 0.03, Length: 0.12, Wire: 0.3e-3, Ball: 0.03, BallGap: 0.005}
	k := must.Get(c.circuit(12, false, math.Inf(1), normal())).In(t)
	eq := must.Get(c.equivalent(k)).In(t)
	var m Mode
	k.resonate(0, &m)
	bare, load := m.Omega, 2*m.Capacitance
	k.resonate(load, &m)
	near.Times(t, "bare", eq.omega(0), bare, 1e-9)
	near.Times(t, "loaded", eq.omega(load), m.Omega, 1e-9)
}
