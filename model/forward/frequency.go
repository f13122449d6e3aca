package forward

import (
	"math"

	"fitcoil/model/readings"
)

// Frequency returns the resonance frequency of s [Hz] and, when grad isn't
// nil, writes ∂ln f/∂x to it: by all unknowns, or as in a row of the fit where it is
// that short (see Unknowns.Width).
func (f *Model) Frequency(x []float64, s *readings.State, grad []float64) float64 {
	k := f.Place(s)
	if k < 0 {
		return f.Ideal(x, s, grad)
	}
	model := f.ModelUncertainty(x, s)
	hz := f.Ideal(x, s, grad)
	if grad != nil {
		grad[k] = InCommon * model
	}
	return hz * math.Exp(InCommon*model*x[k])
}
