package drawing

import (
	"math"

	"fitcoil/model/field"
	"fitcoil/model/quantities"
)

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
