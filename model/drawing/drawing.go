package drawing

import (
	"math"

	"fitcoil/model/field"
	"fitcoil/model/quantities"
	"fitcoil/model/resonator"
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
