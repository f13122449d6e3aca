package model

import (
	"iter"
	"slices"
)

// leadSigma is the standard uncertainty [F] with which nothing is expected of clips and
// leads: some centimetres of thin wire have some tenths of a picofarad (2πε₀l/(ln(2l/d) −
// 0.4) of a vertical wire gives 0.57 pF for 5 cm of 0.5 mm, after Skeldon, Reid, McInally,
// Dougan and Fulton, Am. J. Phys. 66, 1998), most of which is there without them too.
const leadSigma = 0.1e-12

// clipped tells whether something is clipped on the top, if only an empty clip, so that
// what clip and lead bring is there as well.
func (s *State) clipped() bool { return s.Clip || len(s.Parts) > 0 }

// addLead makes room for the lead's capacitance if one of states has it, or a value is
// known.
func (u *unknowns) addLead(states iter.Seq[*State], known []Known) {
	if u.lead < 0 && slices.ContainsFunc(known, func(k Known) bool { return k.Name == LeadCapacitance }) {
		u.lead = u.take(1)
	}
	for s := range states {
		if u.lead < 0 && s.clipped() {
			u.lead = u.take(1)
		}
	}
}

// leadCapacitance returns what clip and lead bring to state s [F]; none where x doesn't
// hold it.
func (f *forward) leadCapacitance(x []float64, s *State) float64 {
	if f.lead < 0 || !s.clipped() {
		return 0
	}
	return leadSigma * x[f.lead]
}

// leadQuantities is the lead's capacitance, if x holds it.
func leadQuantities(f *forward) []quantity {
	if f.lead < 0 {
		return nil
	}
	return []quantity{{name: LeadCapacitance, unit: "F", believed: true, value: func(f *forward, x, grad []float64) float64 {
		clear(grad)
		grad[f.lead] = leadSigma
		return leadSigma * x[f.lead]
	}}}
}
