package estimation

import "fitcoil/model/quantities"

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
