package model

import (
	"math"

	"fitcoil/fit"
	"fitcoil/model/field"
)

// Drawing is a coil as drawn, with what is uncertain in it.
type Drawing struct {
	Coil field.Coil
	// Variants are the coil with one dimension each moved by its standard
	// uncertainty.
	Variants []field.Coil
	Core     string // the name that logs have for the beads
}

// Drawn is what a drawing says of a coil. The estimates have the names of a
// fit's; their uncertainty is that of the field model and of the dimensions.
type Drawn struct {
	*field.Prediction
	Drawing   Drawing
	Estimates []Estimate
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
	out.add(Estimate{Name: Inductance, Unit: "H"}, p.Inductance.Value, l)
	out.add(Estimate{Name: WindingCapacitance, Unit: "F"}, p.WindingCapacitance.Value, p.WindingCapacitance.Relative)
	out.add(Estimate{Name: TopCapacitance, Unit: "F"}, p.TopCapacitance.Value, p.TopCapacitance.Relative)
	out.add(Estimate{Name: BareFrequency, Unit: "Hz"}, p.Frequency.Value, math.Hypot(p.Frequency.Relative, inductance/2))
	if c := p.Core; c != nil {
		g := math.Hypot(c.Full.Relative, gain)
		out.add(Estimate{Name: CoreGain, Core: d.Core, Unit: "1"}, c.Full.Value, g)
		out.add(Estimate{Name: "gain_as_placed", Core: d.Core, Unit: "1"}, c.Gain.Value, math.Hypot(c.Gain.Relative, gain))
		out.add(Estimate{Name: "frequency_with_core", Core: d.Core, Unit: "Hz"}, c.Frequency.Value,
			math.Hypot(c.Frequency.Relative, math.Hypot(inductance, gain)/2))
		out.add(Estimate{Name: CoreCapacitance, Core: d.Core, Unit: "F"}, c.Capacitance.Value, c.Capacitance.Relative)
	}
	for _, h := range p.Hands {
		out.add(Estimate{Name: HandCapacitance, Hand: h.Distance, Unit: "F"}, h.Capacitance.Value, h.Capacitance.Relative)
		drop := p.Frequency.Value - h.Frequency.Value
		out.add(Estimate{Name: HandFrequencyDrop, Hand: h.Distance, Unit: "Hz"}, drop, math.Hypot(h.Capacitance.Relative, p.Frequency.Relative))
	}
	return out, nil
}

func (d *Drawn) add(e Estimate, value, relative float64) {
	d.Estimates = append(d.Estimates, drawnEstimate(e, value, relative))
}

// drawnEstimate fills in e from a value known beforehand.
func drawnEstimate(e Estimate, value, relative float64) Estimate {
	e.Value, e.Determined = value, true
	e.Uncertainty = relative * math.Abs(value)
	e.Stated = e.Uncertainty
	e.Interval = interval(value, e.Uncertainty, 1.96, value > 0)
	e.Budget.Known = 1
	return e
}

// spread returns the relative standard uncertainties of inductance and gain that
// come from the dimensions.
func (d Drawing) spread(p *field.Prediction) (inductance, gain float64) {
	shift := make([]float64, len(d.Variants))
	l := d.Coil.Inductance()
	for _, v := range d.Variants {
		change := math.Log(v.Inductance() / l)
		inductance += change * change
	}
	fit.OnWorkers(len(d.Variants), func(i int) {
		v := d.Variants[i]
		if p.Core == nil || v.Beads == d.Coil.Beads {
			return
		}
		if g, err := v.FullGain(); err == nil {
			shift[i] = math.Log(g / p.Core.Full.Value)
		}
	})
	for _, s := range shift {
		gain += s * s
	}
	return math.Sqrt(inductance), math.Sqrt(gain)
}

// Find returns the estimate of that name, or nil.
func (d *Drawn) Find(name string) *Estimate {
	for i := range d.Estimates {
		if e := &d.Estimates[i]; e.Name == name && e.Hand == 0 {
			return e
		}
	}
	return nil
}

// Known returns what a fit may take from the drawing: inductance, winding
// capacitance and the gain of the core. Not the top's capacitance: what stands
// around the coil adds to it.
func (d *Drawn) Known() (known []Known) {
	for _, name := range []string{Inductance, WindingCapacitance, CoreGain} {
		if e := d.Find(name); e != nil {
			known = append(known, Known{Name: name, Core: e.Core, Value: e.Value, Uncertainty: e.Uncertainty})
		}
	}
	return known
}

// core returns what the resonator has to know of the core drawn; nil without a drawing or
// a core.
func (d *Drawn) core() *ladderCore {
	if d == nil || d.Core == nil {
		return nil
	}
	c := &d.Drawing.Coil
	return &ladderCore{Name: d.Drawing.Core, Length: c.Beads.Whole(), Gap: c.Beads.Spacing / c.Length}
}

// Ladder returns the resonator of the winding drawn.
func (d Drawing) Ladder() (*field.Ladder, error) {
	c := d.Coil
	return field.NewLadder(field.Shape{Diameter: c.Diameter, Length: c.Length, Height: c.Height, Core: c.Beads})
}

// Check compares a quantity as drawn with what the readings say without any help
// from the drawing.
type Check struct {
	Drawn, Readings Estimate
	Sigmas          float64 // readings less drawing, over the standard uncertainty of the difference; NaN while undetermined
}

// compareWithDrawing compares the drawing of r, if there is one, with a fit that doesn't
// know it.
func (r *Result) compareWithDrawing() ([]Check, Pairs) {
	s := r.session
	drawn := s.Drawn
	if drawn == nil {
		return nil, r.pairs(r)
	}
	s.Drawn = nil
	alone, err := fitOnly(s)
	if err != nil {
		return nil, r.pairs(nil)
	}
	return checks(drawn, alone), r.pairs(alone)
}

func checks(drawn *Drawn, alone *Result) (out []Check) {
	for _, e := range drawn.Estimates {
		o := alone.Find(e.Name, e.Core, "", e.Hand)
		if o == nil {
			continue
		}
		c := Check{Drawn: e, Readings: *o, Sigmas: math.NaN()}
		if o.Determined && finite(o.Uncertainty) {
			c.Sigmas = (o.Value - e.Value) / math.Hypot(o.Uncertainty, e.Uncertainty)
		}
		out = append(out, c)
	}
	return out
}

// stray is the top's capacitance beyond what the drawing knows of: mount, bench,
// wires.
func (r *Result) stray() (Estimate, bool) {
	d := r.session.Drawn
	top := r.Find(TopCapacitance, "", "", 0)
	if d == nil || top == nil || d.Drawing.Coil.Ball == 0 {
		return Estimate{}, false
	}
	own := d.Find(TopCapacitance)
	e := *top
	e.Name = StrayCapacitance
	if !e.Determined || !finite(e.Uncertainty) {
		return e.forget(), true
	}
	e.Value -= own.Value
	e.Uncertainty, e.Stated = math.Hypot(e.Uncertainty, own.Uncertainty), math.Hypot(e.Stated, own.Uncertainty)
	share := own.Uncertainty / e.Uncertainty
	scale := 1 - share*share
	e.Budget = e.Budget.scaled(scale)
	e.Budget.Known += 1 - scale
	e.Interval = interval(e.Value, e.Uncertainty, r.coverageFactor(e.Budget), false)
	return e, true
}
