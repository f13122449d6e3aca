package forward

import (
	"math"

	"fitcoil/model/resonator"
)

// PlainLine returns Ω(s) and d ln Ω/ds of the uniform line with L = C = 1.
func (f *Model) PlainLine(x []float64) (omega, slope float64) {
	if f.Share < 0 {
		return 1, 0
	}
	s := x[f.Share]
	r := &f.plainMode
	f.plain.Resonate(resonator.Winding{Inductance: 1, Capacitance: 1 - s, Top: s}, r)
	return r.Omega, r.PerTop - r.PerWinding
}

// LumpedCapacitance returns the coil's capacitance as the lumped picture sees it, with the full
// inductance [F].
func (f *Model) LumpedCapacitance(x []float64) float64 {
	omega, _ := f.PlainLine(x)
	return math.Exp(x[AtC]) / (omega * omega)
}
