package estimation

import (
	"math"

	"fitcoil/model/quantities"
)

// stray is the top's capacitance beyond what the drawing knows of: mount, bench,
// wires.
func (r *Result) stray() (quantities.Estimate, bool) {
	d := r.Session.Drawn
	top := r.Find(quantities.Key{Name: quantities.TopCapacitance})
	if d == nil || top == nil || d.Drawing.Coil.Ball == 0 {
		return quantities.Estimate{}, false
	}
	own := d.Find(quantities.TopCapacitance)
	e := *top
	e.Name = quantities.StrayCapacitance
	if !e.Determined || !quantities.Finite(e.Uncertainty) {
		return e.Forget(), true
	}
	e.Value -= own.Value
	e.Uncertainty, e.Stated = math.Hypot(e.Uncertainty, own.Uncertainty), math.Hypot(e.Stated, own.Uncertainty)
	share := own.Uncertainty / e.Uncertainty
	scale := 1 - share*share
	e.Budget = e.Budget.Scaled(scale)
	e.Budget.Known += 1 - scale
	r.Cover(&e, false)
	return e, true
}

// forgetCouplings leaves couplings undetermined whose coil, in the same state of the core and
// the primary open, has no frequency: what peaks or a shorted primary say of them is then the
// prior. And those of windings whose coupling at resonance, from which they follow, is.
func (r *Result) forgetCouplings() {
	for i := range r.Problem.Couplings {
		c := &r.Problem.Couplings[i]
		open := c.Reference()
		known := r.Frequency(open, nil).Determined
		for k := range r.Derived {
			e := &r.Derived[k]
			if e.Core != c.Core || !quantities.OfCoupling(e.Name) {
				continue
			}
			if at := r.Find(quantities.Key{Name: quantities.CouplingAtResonance, Core: e.Core}); !known || !at.Determined {
				*e = e.Forget()
			}
		}
	}
}
