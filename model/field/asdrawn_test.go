package field

import (
	"errors"
	"math"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// A tube changes fields where it is more than air and has a wall; a coil's, as drawn, right beneath the turns, and its
// coating half a wire around them, unless the turns aren't known.
func TestInsulatorsOfADrawing(t *testing.T) {
	for tube, want := range map[Tube]bool{{Inner: 1, Outer: 2, Permittivity: 3}: true, {Inner: 2, Outer: 2, Permittivity: 3}: false, {Inner: 1, Outer: 2, Permittivity: 1}: false} {
		if tube.there() != want {
			t.Errorf("%+v: %v", tube, !want)
		}
	}
	c := Coil{Turns: 100, Diameter: 20 * mm, Length: 0.1, Wire: 0.5 * mm, Former: Tube{Inner: 15 * mm, Permittivity: 3}, Coating: Coating{Thickness: 1 * mm, Permittivity: 4}}
	list := c.Insulators()
	if len(list) != 2 {
		t.Fatalf("%+v", list)
	}
	for i, want := range [][3]float64{{15, 19.5, 3}, {20.5, 22.5, 4}} {
		near.To(t, "inner", list[i].Inner, want[0]*mm, 1e-12)
		near.To(t, "outer", list[i].Outer, want[1]*mm, 1e-12)
		near.To(t, "permittivity", list[i].Permittivity, want[2], 0)
	}
	near.To(t, "outside", c.outside(), (10.25+1)*mm, 1e-12)
	c.Coating.Permittivity = 1
	near.To(t, "bare", c.outside(), 10.25*mm, 1e-12)
	near.To(t, "top", c.top(), 0.1, 0)
	if c.Turns, c.Wire = 0, 0; c.Insulators() != nil {
		t.Error("where the turns begin isn't known")
	}
	c = Coil{Length: 0.1, Diameter: 20 * mm, Wire: 0.5 * mm, Ball: 0.03, BallGap: 0.01, Beads: Beads{Diameter: 10 * mm, Length: 0.05, Count: 1, Start: -0.05, Spacing: 1}}
	near.To(t, "top of the ball", c.top(), 0.14, 1e-15)
	for _, p := range [][3]float64{{0.02, 0.05, 0.00975}, {0.01025 + 0.003, 0.104, 0.005}, {0.03, 0.125, 0.015}, {0, 0.15, 0.01}, {0.008, -0.02, 0.003}, {0.005 + 0.003, -0.054, 0.005}, {0.001, 0.12, 0}} {
		near.To(t, "clearance", c.clearance(p[0], p[1]), p[2], 1e-12)
	}
}

// What a prediction tells of a mode is that of its circuit: the effective capacitance by how the frequency moves with what
// is added at the top (Rayleigh), −1/2C; the profile with the core that of the circuit with it, in the base's units.
func TestModesOfAPrediction(t *testing.T) {
	c := stand()
	c.Ball, c.BallGap, c.Slices = 12*mm, 10*mm, 16
	p := must.Get(c.Predict()).In(t)
	for _, core := range []bool{false, true} {
		k := must.Get(c.circuit(16, core, math.Inf(1), normal())).In(t)
		var m Mode
		at := func(added float64) float64 {
			k.resonate(added, &m)
			return math.Log(m.Omega)
		}
		const h = 1e-15
		slope := (at(h) - at(-h)) / (2 * h)
		at(0)
		told, f := p.Bare, p.Frequency
		if core {
			told, f = p.Core.Mode, p.Core.Frequency
		} else {
			near.Times(t, "effective capacitance", p.EffectiveCapacitance, -0.5/slope, 1e-6)
		}
		near.Times(t, "frequency", 2*math.Pi*f.Value, m.Omega, 1e-12)
		near.Times(t, "current at the base", told.Base, m.BaseCurrent, 1e-12)
		for i, v := range told.Voltage {
			near.To(t, "height", told.Height[i], 0.1*float64(i)/16, 1e-15)
			if i > 0 {
				near.To(t, "voltage", v, m.Voltage[i-1], 1e-12)
			}
			if i > 0 && i < 16 {
				near.Times(t, "current", told.Current[i]/told.Current[1], (m.Current[i]+m.Current[i-1])/(m.Current[1]+m.Current[0]), 1e-9)
			}
		}
	}
}

// A winding's own capacitance is what a large capacitor at the top leaves over, whatever stands in and around it. The
// coupling in air is M/√(L1 L2).
func TestOwnCapacitanceAndCoupling(t *testing.T) {
	c := Coil{Turns: 40, Diameter: 0.05, Length: 0.05, Wire: 1 * mm}
	own := must.Get(c.SelfCapacitance()).In(t)
	near.Times(t, "u", own.Relative, c.windingUncertainty(), 1e-12)
	k := must.Get(c.circuit(80, false, math.Inf(1), normal())).In(t)
	var m Mode
	k.resonate(1e-9, &m)
	near.Times(t, "beside 1 nF", 1/(m.Omega*m.Omega*c.Inductance())-1e-9, own.Value, 1e-3)
	full := c
	full.Ball, full.BallGap, full.Beads, full.Box = 20*mm, 5*mm, Beads{Diameter: 20 * mm, Length: 40 * mm, Count: 1, Permeability: 100}, Box{Diameter: 0.2, Bottom: -0.1, Top: 0.2}
	full.Primary = Primary{Turns: 1, Diameter: 80 * mm, Wire: 1 * mm, Metal: Grounded}
	if got := must.Get(full.SelfCapacitance()).In(t); got.Value != own.Value {
		t.Errorf("%v with what stands in and around it, %v without", got.Value, own.Value)
	}
	if _, err := (Coil{}).SelfCapacitance(); err == nil {
		t.Error("of no winding")
	}
	c.Primary = full.Primary
	mutual := 0.0
	for _, v := range c.Primary.row(c.Diameter, []float64{0, c.Length}) {
		mutual += v * c.Turns / c.Length
	}
	near.Times(t, "coupling", c.Coupling(), mutual/math.Sqrt(c.Primary.Inductance()*c.Inductance()), 1e-4)
}

// A winding holds 300 beads at most, of 2400 fields in all, five a bead and one by its length over its diameter.
func TestBeadsThatAWindingHolds(t *testing.T) {
	for _, k := range []struct {
		winding, length, spacing, diameter float64
		what                               string
		low                                float64
	}{
		{100, 0.34, 0, 8, "", 0}, {100, 0.33, 0, 8, "bead length", 100. / 300}, {100, 0.25, 0.09, 8, "", 0}, {100, 0.24, 0.09, 8, "bead length", 100./300 - 0.09},
		{2000, 6.8, 0, 2.2, "", 0}, {2000, 6.8, 0, 2.1, "bead diameter", 6.8 / (2400/(2000/6.8) - 5)}, {2000, 4.8, 2, 1.6, "", 0}, {2000, 4.8, 2, 1.5, "bead diameter", 4.8 / (2400/(2000/6.8) - 5)},
	} {
		c := Coil{Diameter: 20 * mm, Length: k.winding * mm, Beads: Beads{Diameter: k.diameter * mm, Length: k.length * mm, Spacing: k.spacing * mm, Count: 5}}
		var size *SizeError
		if err := c.CheckSizes(); errors.As(err, &size) != (k.what != "") || size != nil && (size.Quantity != k.what || math.Abs(size.Low/mm-k.low) > 1e-9) {
			t.Errorf("%+v: %+v", k, size)
		}
	}
}

// Medhurst states his table to 5 %; beyond its ends there is nothing.
func TestEndsOfMedhurstsTable(t *testing.T) {
	for ratio, want := range map[float64]bool{0.0999: false, 0.1001: true, 1: true, 49.9: true, 50.1: false} {
		v, ok := Medhurst(0.02, 0.02*ratio)
		if ok != want || ok && (v.Relative != 0.05 || !(v.Value > 0.45e-10*0.02)) {
			t.Errorf("%v: %+v, %v", ratio, v, ok)
		}
	}
}
