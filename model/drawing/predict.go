package drawing

import (
	"errors"
	"math"
	"runtime"
	"sync"

	"gonum.org/v1/gonum/floats"

	"fitcoil/model/field"
	"fitcoil/model/quantities"
	"fitcoil/workers"
)

// primarySpread returns the relative standard uncertainty of the couplings that comes from
// the dimensions.
func (d Drawing) primarySpread(p *field.Prediction) (u float64) {
	shift := make([]float64, len(d.Variants))
	workers.On(len(shift), func(i int) {
		shift[i] = math.Log(d.Variants[i].Coupling() / p.Primary.Air.Windings.Value)
	})
	return floats.Norm(shift, 2)
}

// Predict works out what d says, with a hand at the given distances [m]. It
// fails where the drawing is impossible.
func (d Drawing) Predict(hands ...float64) (*Drawn, error) {
	p, err := d.Coil.Predict(hands...)
	if err != nil {
		return nil, err
	}
	out := &Drawn{Prediction: p, Drawing: d}
	inductance, gain := d.spread(p)
	l := math.Hypot(p.Inductance.Relative, inductance)
	out.add(quantities.Estimate{Key: quantities.Key{Name: quantities.Inductance}, Unit: "H"}, p.Inductance.Value, l)
	out.add(quantities.Estimate{Key: quantities.Key{Name: quantities.WindingCapacitance}, Unit: "F"}, p.WindingCapacitance.Value, p.WindingCapacitance.Relative)
	out.add(quantities.Estimate{Key: quantities.Key{Name: quantities.TopCapacitance}, Unit: "F"}, p.TopCapacitance.Value, p.TopCapacitance.Relative)
	out.add(quantities.Estimate{Key: quantities.Key{Name: quantities.BareFrequency}, Unit: "Hz"}, p.Frequency.Value, math.Hypot(p.Frequency.Relative, inductance/2))
	if c := p.Core; c != nil {
		g := math.Hypot(c.Full.Relative, gain)
		out.add(quantities.Estimate{Key: quantities.Key{Name: quantities.CoreGain, Core: d.Core}, Unit: "1"}, c.Full.Value, g)
		out.add(quantities.Estimate{Key: quantities.Key{Name: "gain_as_placed", Core: d.Core}, Unit: "1"}, c.Gain.Value, math.Hypot(c.Gain.Relative, gain))
		out.add(quantities.Estimate{Key: quantities.Key{Name: "frequency_with_core", Core: d.Core}, Unit: "Hz"}, c.Frequency.Value,
			math.Hypot(c.Frequency.Relative, math.Hypot(inductance, gain)/2))
		out.add(quantities.Estimate{Key: quantities.Key{Name: quantities.CoreCapacitance, Core: d.Core}, Unit: "F"}, c.Capacitance.Value, c.Capacitance.Relative)
	}
	if q, ok := d.coreQuality(p); ok {
		out.add(quantities.Estimate{Key: quantities.Key{Name: quantities.QualityCore, Core: d.Core}, Unit: "1"}, q, materialLoss)
	}
	if c := p.Primary; c != nil {
		core := d.primarySpread(p)
		couple := func(name, core string, v field.Value, spread float64) {
			out.add(quantities.Estimate{Key: quantities.Key{Name: name, Core: core}, Unit: "1"}, v.Value, math.Hypot(v.Relative, spread))
		}
		couple(quantities.CouplingAtResonance, "", c.Air.Resonance, core)
		couple(quantities.CouplingOfWindings, "", c.Air.Windings, core)
		if c.Core != nil {
			couple(quantities.CouplingAtResonance, d.Core, c.Core.Resonance, math.Hypot(core, gain/2))
			couple(quantities.CouplingOfWindings, d.Core, c.Core.Windings, math.Hypot(core, gain/2))
		}
	}
	for _, h := range p.Hands {
		out.add(quantities.Estimate{Key: quantities.Key{Name: quantities.HandCapacitance, Hand: h.Distance}, Unit: "F"}, h.Capacitance.Value, h.Capacitance.Relative)
		drop := p.Frequency.Value - h.Frequency.Value
		out.add(quantities.Estimate{Key: quantities.Key{Name: quantities.HandFrequencyDrop, Hand: h.Distance}, Unit: "Hz"}, drop, math.Hypot(h.Capacitance.Relative, p.Frequency.Relative))
	}
	return out, nil
}

// spread returns the relative standard uncertainties of inductance and gain that
// come from the dimensions.
func (d Drawing) spread(p *field.Prediction) (inductance, gain float64) {
	shift, change := make([]float64, len(d.Variants)), make([]float64, len(d.Variants))
	l := d.Coil.Inductance()
	workers.On(len(d.Variants), func(i int) {
		v := d.Variants[i]
		change[i] = math.Log(v.Inductance() / l)
		if p.Core == nil || v.Beads == d.Coil.Beads && v.Diameter == d.Coil.Diameter && v.Length == d.Coil.Length {
			return
		}
		if g, err := v.FullGain(); err == nil {
			shift[i] = math.Log(g / p.Core.Full.Value)
		}
	})
	return floats.Norm(change, 2), floats.Norm(shift, 2)
}

// PredictAll works out several drawings on all processors, and calls done after
// each. The first failure is returned.
func PredictAll(drawings []Drawing, done func()) ([]*Drawn, error) {
	out, failed := make([]*Drawn, len(drawings)), make([]error, len(drawings))
	next := make(chan int, len(drawings))
	for i := range drawings {
		next <- i
	}
	close(next)
	var lock sync.Mutex
	workers.On(min(runtime.GOMAXPROCS(0), len(drawings)), func(int) {
		for i := range next {
			out[i], failed[i] = drawings[i].Predict()
			lock.Lock()
			done()
			lock.Unlock()
		}
	})
	return out, errors.Join(failed...)
}

// materialLoss is the relative standard uncertainty of a ferrite's loss tangent from its data
// sheet: grades, temperature and how it grows with frequency (common practice).
const materialLoss = 0.4

// coreQuality returns the quality factor that the core's material leaves by itself with the core
// where it is drawn, 1/(p·tan δ) with p = ∂ln g/∂ln μ′ and tan δ in proportion to frequency, as
// it is far below the material's resonance.
func (d Drawing) coreQuality(p *field.Prediction) (q float64, ok bool) {
	if d.LossTangent == 0 || p.Core == nil {
		return 0, false
	}
	slope, err := d.Coil.GainSlope()
	q = 1 / (slope * d.LossTangent * p.Core.Frequency.Value / d.LossFrequency)
	return q, err == nil && slope > 0
}
