package forward

import (
	"slices"

	"fitcoil/model/readings"
)

// addCoupling makes room for the coupling in s.
func (u *Unknowns) addCoupling(s *readings.State) {
	c := u.Coupled(s)
	if c == nil {
		u.Couplings = append(u.Couplings, CoupledUnknown{Stretch: s.Stretch(), At: u.Take(1)})
		c = &u.Couplings[len(u.Couplings)-1]
	}
	if s.Primary.Kind == readings.PrimaryTuned && c.TunedAt(s) < 0 {
		c.Tuned = append(c.Tuned, TunedUnknown{s.Primary.Capacitance, u.Take(1)})
	}
}

// Coupled returns the coupling that s needs; nil where x doesn't hold it.
func (u *Unknowns) Coupled(s *readings.State) *CoupledUnknown {
	for i := range u.Couplings {
		if c := &u.Couplings[i]; c.Stretch == s.Stretch() {
			return c
		}
	}
	return nil
}

// TunedAt returns where the primary's own frequency in s stands; −1 for nowhere.
func (c *CoupledUnknown) TunedAt(s *readings.State) int {
	for _, t := range c.Tuned {
		if t.Farad == s.Primary.Capacitance {
			return t.At
		}
	}
	return -1
}

// SplitPairs tells whether x holds the peaks of split pairs. Where these contradict one
// another there is no valley to walk along, however long.
func (u *Unknowns) SplitPairs() bool {
	return slices.ContainsFunc(u.Couplings, func(c CoupledUnknown) bool { return len(c.Tuned) > 0 })
}

// Reference is the state in which the coupling c is the unknown.
func (c *CoupledUnknown) Reference() readings.State {
	s := readings.Bare()
	s.Core, s.From, s.To = c.Core, c.From, c.To
	return s
}

// deepest tells whether no other coupling of the core of c has it cover more.
func (u *Unknowns) deepest(c *CoupledUnknown) bool {
	for i := range u.Couplings {
		o := &u.Couplings[i]
		if o.Core == c.Core && o.To-o.From > c.To-c.From {
			return false
		}
	}
	return true
}
