package forward

import "math"

// Drifted returns the factor on frequencies read at a moment from −½ to ½ of the session,
// and its logarithm's derivative to x[drift].
func (f *Model) Drifted(x []float64, moment float64) (factor, slope float64) {
	if f.Drift < 0 {
		return 1, 0
	}
	slope = DriftSigma * moment
	return math.Exp(x[f.Drift] * slope), slope
}
