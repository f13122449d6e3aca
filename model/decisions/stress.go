package decisions

import (
	"fitcoil/model/estimation"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
	"fitcoil/model/voltage"
)

// stress returns where the voltage stands in state s, by the fitted mode; nil where the
// winding isn't drawn. A core partly in sticks out at the end that it covers.
func stress(r *estimation.Result, f *forward.Model, x []float64, s *readings.State) *voltage.Stress {
	l, ok := f.Resonator.(*resonator.Ladder)
	if !ok || r.Session.Drawn == nil {
		return nil
	}
	c := r.Session.Drawn.Drawing.Coil
	core := s.Core != "" && l.Knows(s.Core)
	switch b := &c.Beads; {
	case core && s.From == 0 && s.To < 1:
		b.Start = s.To*c.Length - b.Whole() + b.Spacing/2
	case core && s.From > 0 && s.To == 1:
		b.Start = s.From*c.Length + b.Spacing/2
	}
	f.At(x, s)
	if !quantities.Finite(f.Resonance.Omega) {
		return nil
	}
	out := voltage.Of(c, l.Profile(c.Length), core)
	return &out
}
