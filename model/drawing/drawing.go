package drawing

import (
	"errors"
	"math"
	"runtime"
	"sync"

	"gonum.org/v1/gonum/floats"

	"fitcoil/model/field"
	"fitcoil/model/quantities"
	"fitcoil/model/resonator"
	"fitcoil/workers"
)

// Drawing is a coil as drawn, with what is uncertain in it.
type Drawing struct {
	Coil field.Coil
	// Variants are the coil with one dimension each moved by its standard
	// uncertainty.
	Variants []field.Coil
	Core     string // the name that logs have for the beads
	// LossTangent is tan δ of the beads' material at LossFrequency [Hz]; 0: not known.
	LossTangent, LossFrequency float64
}

// Drawn is what a drawing says of a coil. The estimates have the names of a
// fit's; their uncertainty is that of the field model and of the dimensions.
type Drawn struct {
	*field.Prediction
	Drawing   Drawing
	Estimates []quantities.Estimate
}

// Find returns the estimate of that name, or nil.
func (d *Drawn) Find(name string) *quantities.Estimate {
	for i := range d.Estimates {
		if e := &d.Estimates[i]; e.Name == name && e.Hand == 0 {
			return e
		}
	}
	return nil
}

func (d *Drawn) add(e quantities.Estimate, value, relative float64) {
	d.Estimates = append(d.Estimates, drawnEstimate(e, value, relative))
}

// drawnEstimate fills in e from a value known beforehand.
func drawnEstimate(e quantities.Estimate, value, relative float64) quantities.Estimate {
	e.Value, e.Determined = value, true
	e.Uncertainty = relative * math.Abs(value)
	e.Stated = e.Uncertainty
	e.Cover(math.Inf(1), value > 0)
	e.Budget.Known = 1
	return e
}

// Known returns what a fit may take from the drawing: inductance, winding
// capacitance and the gain of the core. Not the top's capacitance: what stands
// around the coil adds to it.
func (d *Drawn) Known() (known []quantities.Known) {
	for _, name := range []string{quantities.Inductance, quantities.WindingCapacitance, quantities.CoreGain} {
		if e := d.Find(name); e != nil {
			known = append(known, quantities.Known{Key: quantities.Key{Name: name, Core: e.Core}, Value: e.Value, Uncertainty: e.Uncertainty})
		}
	}
	return known
}

// KnownCore returns what the resonator has to know of the core drawn; nil without a drawing or
// a core.
func (d *Drawn) KnownCore() *resonator.DrawnCore {
	if d == nil || d.Core == nil {
		return nil
	}
	c := &d.Drawing.Coil
	return &resonator.DrawnCore{Name: d.Drawing.Core, Length: c.Beads.Whole(), Gap: c.Beads.Spacing / c.Length}
}

// Ladder returns the resonator of the winding drawn.
func (d Drawing) Ladder() (*field.Ladder, error) {
	return field.NewLadder(d.Coil.Shape())
}

// Beads returns the stretch of the winding that the beads cover as drawn, and whether that counts
// as all in.
func (d *Drawn) Beads() (from, to float64, allIn bool) {
	c := &d.Drawing.Coil
	from, to = c.Beads.Start/c.Length, (c.Beads.Start+c.Beads.Whole())/c.Length
	return math.Max(from, 0), math.Min(to, 1), from < field.Nearly && to > 1-field.Nearly
}

// BeyondTop returns how far the beads as drawn reach beyond the winding's top, as a part of its
// length; 0 where that is nothing to speak of.
func (d *Drawn) BeyondTop() float64 {
	c := &d.Drawing.Coil
	if beyond := (c.Beads.Start+c.Beads.Whole()-c.Beads.Spacing)/c.Length - 1; beyond > field.Nearly {
		return beyond
	}
	return 0
}

// CrossCheck sets a drawn winding, by itself, against coils that were measured.
type CrossCheck struct {
	Shape    float64              // length over diameter
	Drawn    quantities.Estimate  // self-capacitance as drawn
	Measured *quantities.Estimate // the same of coils of this shape, by Medhurst's table; nil beyond its ends
}

// SelfCapacitance is the name of what a CrossCheck compares.
const SelfCapacitance = "self_capacitance"

// CrossCheck compares the winding of d with Medhurst's table.
func (d Drawing) CrossCheck() (*CrossCheck, error) {
	c := d.Coil
	self, err := c.SelfCapacitance()
	if err != nil {
		return nil, err
	}
	out := &CrossCheck{Shape: c.Length / c.Diameter, Drawn: drawnEstimate(quantities.Estimate{Key: quantities.Key{Name: SelfCapacitance}, Unit: "F"}, self.Value, self.Relative)}
	if m, ok := field.Medhurst(c.Diameter, c.Length); ok {
		e := drawnEstimate(quantities.Estimate{Key: quantities.Key{Name: SelfCapacitance}, Unit: "F"}, m.Value, m.Relative)
		out.Measured = &e
	}
	return out, nil
}

// Pair returns the effective pair of the coil as drawn. What is uncertain in its
// inductance, the dimensions of the winding, isn't what is in its capacitance, the
// electrodes and what stands around them.
func (d *Drawn) Pair() (p quantities.Pair, ok bool) {
	l, f := d.Find(quantities.Inductance), d.Find(quantities.BareFrequency)
	c := d.Prediction.EffectiveCapacitance
	omega := 2 * math.Pi * f.Value
	ul := l.Uncertainty / l.Value
	u2 := math.Pow(2*f.Uncertainty/f.Value, 2) - ul*ul // of ln C, as ln LC = −2 ln ω
	if !(c > 0 && u2 > 0) {
		return p, false
	}
	p.Inductance = drawnEstimate(quantities.Estimate{Key: quantities.Key{Name: quantities.EffectiveInductance}, Unit: "H"}, 1/(omega*omega*c), ul)
	p.Capacitance = drawnEstimate(quantities.Estimate{Key: quantities.Key{Name: quantities.EffectiveCapacitance}, Unit: "F"}, c, math.Sqrt(u2))
	p.Degrees = math.Inf(1)
	return p, true
}

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
