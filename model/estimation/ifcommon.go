package estimation

import (
	"math"
	"slices"

	"fitcoil/model/forward"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// IfCommon returns by what the uncertainty of e is multiplied where those parts err all alike of
// which nobody said how much of their tolerances they have in common; 1 where there are none.
//
// With s_i what the own error of part i of a lot brings to e, and s what they have in common
// does, a share c of the variance, an error of one standard uncertainty in all of them shifts e
// by s/√c. So e, as it was estimated, then has a variance larger by s²/c − s² − Σ s_i².
func (r *Result) IfCommon(e *quantities.Estimate) float64 {
	sources := r.Sources(e)
	variance := 1.0
	for _, lot := range sources {
		if lot.Kind != CommonSource || lot.Assumption.Kind != AssumedCommon {
			continue
		}
		variance += lot.Share * (1/forward.CommonShare - 1)
		for _, s := range sources {
			if s.Kind == PartSource && slices.Contains(lot.Assumption.Names, s.Part) {
				variance -= s.Share
			}
		}
	}
	return math.Sqrt(math.Max(variance, 0)) // but for rounding
}

// MostIfCommon returns the largest of these factors for the inductances and capacitances
// that an answer begins with, and the parts without a value.
func (r *Result) MostIfCommon() float64 {
	most := 1.0
	for e := range r.All() {
		switch e.Name {
		case quantities.PartCapacitance:
			if k := slices.IndexFunc(r.Problem.Parts, func(p readings.Part) bool { return p.Name == e.Part }); k >= 0 && r.Problem.Parts[k].Known {
				continue
			}
			fallthrough
		case quantities.Inductance, quantities.EffectiveInductance, quantities.EffectiveCapacitance:
			most = max(most, r.IfCommon(e))
		}
	}
	return most
}
