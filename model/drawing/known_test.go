package drawing

import (
	"math"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
	"fitcoil/model/field"
	"fitcoil/model/quantities"
)

// A fit takes from a drawing the inductance, the winding's capacitance and the gain of the core with all of it in,
// each with its uncertainty; nothing of the top, of a hand or of the core as placed. Without a core, two.
func TestWhatAFitTakesFromADrawing(t *testing.T) {
	d := lantern()
	for _, core := range []bool{true, false} {
		if !core {
			d.Coil.Beads = field.Beads{}
			d.Variants = nil
		}
		out := must.Get(d.Predict(0.1)).In(t)
		p := out.Prediction
		want := map[quantities.Key]field.Value{{Name: quantities.Inductance}: p.Inductance, {Name: quantities.WindingCapacitance}: p.WindingCapacitance}
		if core {
			want[quantities.Key{Name: quantities.CoreGain, Core: "rod"}] = p.Core.Full
		} else if out.KnownCore() != nil || p.Core != nil {
			t.Errorf("no core, and %+v", out.KnownCore())
		}
		list := out.Known()
		if len(list) != len(want) {
			t.Errorf("%+v", list)
		}
		for _, k := range list {
			v, ok := want[k.Key]
			if !ok {
				t.Errorf("%+v is taken", k)
				continue
			}
			near.Times(t, k.Name, k.Value, v.Value, 1e-12)
			e := out.Find(k.Name)
			if e == nil || e.Core != k.Core || k.Uncertainty != e.Uncertainty || !(k.Uncertainty >= v.Relative*v.Value) || !(k.Uncertainty > 0) {
				t.Errorf("%+v of %+v", k, e)
			}
			delete(want, k.Key)
		}
		if len(want) > 0 {
			t.Errorf("not taken: %v", want)
		}
		// What hangs on a distance is not found by name.
		if out.Find(quantities.HandCapacitance) != nil || out.Find(quantities.TopCapacitance).Value != p.TopCapacitance.Value {
			t.Error("found by name")
		}
	}
	var none *Drawn
	if none.KnownCore() != nil {
		t.Error("a core without a drawing")
	}
}

// The effective pair resonates at the frequency drawn. Its inductance is as uncertain as the winding's; from
// ln L + ln C = −2 ln ω its capacitance has the rest of twice the frequency's, of which none may be left.
func TestEffectivePairOfADrawing(t *testing.T) {
	drawn := func(l, f float64) *Drawn { // relative uncertainties
		d := &Drawn{Prediction: &field.Prediction{}}
		d.EffectiveCapacitance = 8e-12
		d.add(quantities.Estimate{Key: quantities.Key{Name: quantities.Inductance}}, 1.3e-3, l)
		d.add(quantities.Estimate{Key: quantities.Key{Name: quantities.BareFrequency}}, 1.6e6, f)
		return d
	}
	p, ok := drawn(0.03, 0.025).Pair()
	if !ok || p.Inductance.Name != quantities.EffectiveInductance || p.Capacitance.Name != quantities.EffectiveCapacitance || p.Inductance.Unit != "H" || p.Capacitance.Unit != "F" || !math.IsInf(p.Degrees, 1) {
		t.Fatalf("%+v, %v", p, ok)
	}
	l, c := p.Inductance, p.Capacitance
	near.Times(t, "frequency", 1/(2*math.Pi*math.Sqrt(l.Value*c.Value)), 1.6e6, 1e-12)
	near.Times(t, "capacitance", c.Value, 8e-12, 1e-12)
	near.Times(t, "its uncertainty", c.Uncertainty/c.Value, 0.04, 1e-9) // 0.05² − 0.03² = 0.04²
	near.Times(t, "that of the inductance", l.Uncertainty/l.Value, 0.03, 1e-9)
	if !l.Determined || !c.Determined || l.Budget.Known != 1 {
		t.Errorf("%+v, %+v", l, c)
	}
	if _, ok := drawn(0.0501, 0.025).Pair(); ok {
		t.Error("an inductance less certain than the frequency lets it")
	}
	none := drawn(0.03, 0.025)
	none.EffectiveCapacitance = 0
	if _, ok := none.Pair(); ok {
		t.Error("without a capacitance")
	}
}

// Several drawings are worked out each in its place, and told of when done; what fails is told, the others stand.
func TestSeveralDrawings(t *testing.T) {
	var list []Drawing
	for _, turns := range []float64{100, 300, 200} {
		list = append(list, Drawing{Coil: field.Coil{Turns: turns, Diameter: 0.03, Length: 0.12, Wire: 0.3e-3, Slices: 8}})
	}
	done := 0
	out, err := PredictAll(list, func() { done++ })
	must.Do(t, err)
	if done != 3 {
		t.Errorf("told of %d", done)
	}
	for i, d := range out {
		near.Times(t, "inductance", d.Inductance.Value, list[i].Coil.Inductance(), 1e-12)
		if d.Drawing.Coil.Turns != list[i].Coil.Turns {
			t.Errorf("drawing %d has %v turns", i, d.Drawing.Coil.Turns)
		}
	}
	list[1].Coil.Diameter = -1
	if out, err = PredictAll(list, func() {}); err == nil || out[0] == nil || out[1] != nil || out[2] == nil {
		t.Errorf("%v, %v", out, err)
	}
}

// What a drawing says has no degrees of freedom that are few: its intervals are those of the normal distribution, 1.96
// standard uncertainties either way, of the logarithm; and of the material only what its data sheet gives a loss for.
func TestIntervalsOfADrawing(t *testing.T) {
	d := lantern()
	out := must.Get(d.Predict(0.1)).In(t)
	for _, e := range out.Estimates {
		by := math.Exp(1.959964 * e.Uncertainty / e.Value)
		near.Times(t, e.Name+" from", e.Interval[0], e.Value/by, 1e-6)
		near.Times(t, e.Name+" to", e.Interval[1], e.Value*by, 1e-6)
		if !math.IsInf(e.Degrees, 1) || !e.Determined || e.Unit == "" {
			t.Errorf("%+v", e)
		}
	}
	d.LossTangent = 0
	if e := must.Get(d.Predict()).In(t).Find(quantities.QualityCore); e != nil {
		t.Errorf("of a material without a loss: %+v", e)
	}
	// The resonator is of the winding drawn, not of one that is a little wider or longer.
	c := d.Coil
	var got, want field.Mode
	state := field.State{Inductance: 1e-3, Capacitance: 5e-12, Top: 1e-12, Cores: []field.Stretch{{From: 0.2, To: 0.9, Gain: 1.5, Capacitance: 0.1e-12}}}
	must.Get(d.Ladder()).In(t).Resonate(state, &got)
	must.Get(field.NewLadder(field.Shape{Diameter: c.Diameter, Length: c.Length, Core: c.Beads, Primary: c.Primary})).In(t).Resonate(state, &want)
	near.Times(t, "resonance", got.Omega, want.Omega, 1e-9)
	near.Times(t, "coupling", got.Coupling, want.Coupling, 1e-9)
}
