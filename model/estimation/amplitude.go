package estimation

import (
	"math"

	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// AmplitudeShares is what explains the amplitude of the bare coil with a core over that
// without, as factors whose product it is. With the same current in the drive, the voltage at
// the top is Q·ωM times that: it goes as Q·k/√C, with C the effective capacitance.
type AmplitudeShares struct {
	Core        string
	Amplitude   float64
	Quality     float64 // of the quality factor
	Capacitance float64 // of 1/√C
	Coupling    float64 // of the coupling; NaN where it isn't known in both
	Rest        float64 // of what else changes, the coupling where it isn't known
}

// AmplitudeShares works that out for a core; ok is false where the amplitude or the quality
// factor wasn't read of the bare coil with the core and without, or the fit has no impedance.
func (r *Result) AmplitudeShares(core string) (s AmplitudeShares, ok bool) {
	log := r.Session.Log
	s = AmplitudeShares{Core: core, Amplitude: readings.BareRatio(log, core, false), Quality: readings.BareRatio(log, core, true), Coupling: math.NaN()}
	z, f := r.Find(quantities.Key{Name: quantities.ImpedanceRatio, Core: core}), r.Find(quantities.Key{Name: quantities.FrequencyRatio, Core: core})
	if z == nil || f == nil || !z.Determined || !f.Determined {
		return s, false
	}
	s.Capacitance = math.Sqrt(z.Value * f.Value) // Z = 1/(ωC)
	s.Rest = s.Amplitude / (s.Quality * s.Capacitance)
	air, with := r.Find(quantities.Key{Name: quantities.CouplingAtResonance}), r.Find(quantities.Key{Name: quantities.CouplingAtResonance, Core: core})
	if air != nil && with != nil && air.Determined && with.Determined {
		s.Coupling = with.Value / air.Value
		s.Rest /= s.Coupling
	}
	return s, s.Rest > 0
}
