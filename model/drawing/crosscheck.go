package drawing

import (
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
