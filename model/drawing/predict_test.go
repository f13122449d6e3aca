package drawing

import (
	"math"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
	"fitcoil/model/field"
	"fitcoil/model/quantities"
)

// lantern is an invented coil with a rod in it, a loop around its foot and a hand near, of which the
// turns' diameter and length, the ferrite's permeability and the loop's diameter are each known to a few per cent.
func lantern() Drawing {
	c := field.Coil{Turns: 300, Diameter: 0.03, Length: 0.12, Wire: 0.3e-3, Ball: 0.02, BallGap: 0.005, Slices: 10,
		Beads:   field.Beads{Diameter: 0.012, Length: 0.1, Count: 1, Start: 0.01, Permeability: 40},
		Primary: field.Primary{Turns: 2, Diameter: 0.045, Height: 0.01, Spacing: 0.004, Wire: 0.001}}
	wider, longer, stronger, loop := c, c, c, c
	wider.Diameter *= 1.02
	longer.Length *= 1.03
	stronger.Beads.Permeability *= 1.2
	loop.Primary.Diameter *= 1.03
	return Drawing{Coil: c, Variants: []field.Coil{wider, longer, stronger, loop}, Core: "rod", LossTangent: 0.01, LossFrequency: 0.5e6}
}

// Each estimate is off by what the field's computation is off by, and by what each dimension, moved by
// its standard uncertainty, does to it: to a frequency half of what it does to the inductance, and to a
// coupling with the core in half of what it does to the gain.
func TestEachDimensionCounts(t *testing.T) {
	d := lantern()
	const hand = 0.1
	out := must.Get(d.Predict(hand)).In(t)
	p := out.Prediction
	var l, g, k float64 // ln of each, by all variants
	for _, v := range d.Variants {
		l = math.Hypot(l, math.Log(v.Inductance()/d.Coil.Inductance()))
		g = math.Hypot(g, math.Log(must.Get(v.FullGain()).In(t)/must.Get(d.Coil.FullGain()).In(t)))
		k = math.Hypot(k, math.Log(v.Coupling()/d.Coil.Coupling()))
	}
	if !(l > 0.02 && g > 0.02 && k > 0.01) {
		t.Fatalf("variants move L by %v, the gain by %v, the coupling by %v", l, g, k)
	}
	// 1/Q of the material: tan δ at the frequency with the core, by how much of μ the inductance sees.
	q := 1 / (must.Get(d.Coil.GainSlope()).In(t) * 0.01 * p.Core.Frequency.Value / 0.5e6)
	for _, c := range []struct {
		name, core string
		of         field.Value
		more       float64
	}{
		{quantities.Inductance, "", p.Inductance, l},
		{quantities.WindingCapacitance, "", p.WindingCapacitance, 0},
		{quantities.TopCapacitance, "", p.TopCapacitance, 0},
		{quantities.BareFrequency, "", p.Frequency, l / 2},
		{quantities.CoreGain, "rod", p.Core.Full, g},
		{"gain_as_placed", "rod", p.Core.Gain, g},
		{"frequency_with_core", "rod", p.Core.Frequency, math.Hypot(l, g) / 2},
		{quantities.CoreCapacitance, "rod", p.Core.Capacitance, 0},
		{quantities.QualityCore, "rod", field.Value{Value: q, Relative: 0.4}, 0},
		{quantities.CouplingAtResonance, "", p.Primary.Air.Resonance, k},
		{quantities.CouplingOfWindings, "", p.Primary.Air.Windings, k},
		{quantities.CouplingAtResonance, "rod", p.Primary.Core.Resonance, math.Hypot(k, g/2)},
		{quantities.CouplingOfWindings, "rod", p.Primary.Core.Windings, math.Hypot(k, g/2)},
		{quantities.HandFrequencyDrop, "", field.Value{Value: p.Frequency.Value - p.Hands[0].Frequency.Value, Relative: p.Hands[0].Capacitance.Relative}, p.Frequency.Relative},
		{quantities.HandCapacitance, "", p.Hands[0].Capacitance, 0},
	} {
		var found *quantities.Estimate
		for i := range out.Estimates {
			e := &out.Estimates[i]
			if e.Name == c.name && e.Core == c.core {
				found = e
			}
		}
		if found == nil {
			t.Errorf("no %s", c.name)
			continue
		}
		if u := c.of.Value * math.Hypot(c.of.Relative, c.more); !(math.Abs(found.Value/c.of.Value-1) <= 1e-9) || !(math.Abs(found.Uncertainty/u-1) <= 1e-6) || !(math.Abs(found.Stated/u-1) <= 1e-6) || found.Budget != (quantities.Budget{Known: 1}) {
			t.Errorf("%s %s: %v ± %v, want %v ± %v", c.name, c.core, found.Value, found.Uncertainty, c.of.Value, u)
		}
	}
}

// Beads as drawn are those that a log names: where they begin and end along the winding, all
// in where less than a thirtieth is left at either end, and how wide their gaps are in parts of its length.
func TestBeadsOfALog(t *testing.T) {
	d := &Drawn{Prediction: &field.Prediction{Core: &field.CorePrediction{}}, Drawing: Drawing{Core: "beads", Coil: field.Coil{Length: 0.2, Beads: field.Beads{Count: 4, Length: 0.03, Spacing: 0.01, Start: 0.02}}}}
	if from, to, allIn := d.Beads(); !(math.Abs(from-0.1) <= 1e-12) || !(math.Abs(to-0.9) <= 1e-12) || allIn {
		t.Errorf("%v to %v, all in: %v", from, to, allIn)
	}
	c := d.KnownCore()
	if c.Name != "beads" || !(math.Abs(c.Length-0.16) <= 1e-12) || !(math.Abs(c.Gap-0.05) <= 1e-12) {
		t.Errorf("%+v", c)
	}
	b := &d.Drawing.Coil.Beads
	for _, c := range []struct {
		start, length, from, to, beyond float64
		allIn                           bool
	}{{0.005, 0.0375, 0.025, 0.975, 0, true}, {0.005, 0.035, 0.025, 0.925, 0, false}, {-0.02, 0.0475, 0, 1, 0, true}, {0.03, 0.05, 0.15, 1, 0.3, false}} {
		b.Start, b.Length = c.start, c.length
		from, to, allIn := d.Beads()
		if !(math.Abs(from-c.from) <= 1e-12) || !(math.Abs(to-c.to) <= 1e-12) || allIn != c.allIn || !(math.Abs(d.BeyondTop()-c.beyond) <= 1e-12) {
			t.Errorf("%+v: %v to %v, all in: %v, %v beyond", c, from, to, allIn, d.BeyondTop())
		}
	}
}

// Beside the self-capacitance as drawn stands that of Medhurst's table: of a coil twice as long as wide,
// 0.50 pF for each centimetre of its diameter, to a twentieth (R. G. Medhurst, Wireless Engineer 24, 1947).
func TestCrossCheckWithMedhurst(t *testing.T) {
	d := Drawing{Coil: field.Coil{Turns: 50, Diameter: 0.05, Length: 0.1, Wire: 0.5e-3, Slices: 10}}
	c := must.Get(d.CrossCheck()).In(t)
	near.To(t, "shape", c.Shape, 2, 1e-12)
	near.Times(t, "measured", c.Measured.Value, 5*0.50e-12, 1e-9)
	near.Times(t, "to", c.Measured.Uncertainty, 0.05*c.Measured.Value, 1e-9)
	self := must.Get(d.Coil.SelfCapacitance()).In(t)
	near.Times(t, "drawn", c.Drawn.Value, self.Value, 1e-9)
	near.Times(t, "to", c.Drawn.Uncertainty, self.Relative*self.Value, 1e-9)
	d.Coil.Length = 5
	if c := must.Get(d.CrossCheck()).In(t); c.Measured != nil {
		t.Errorf("of a coil a hundred times as long as wide: %+v", c.Measured)
	}
}
