package findings

import (
	"math"

	"fitcoil/fit"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// driftSeen is the level of confidence from which on a drift is named: 2.6 of its own
// standard uncertainties.
const driftSeen = 0.99

// CheckDrift tells of a drift that the readings show by themselves.
func CheckDrift(r *estimation.Result) (f Finding, found bool) {
	p := r.Problem
	if p.Drift < 0 || p.Knows(quantities.Drift) {
		return f, false
	}
	v, u := p.ByReadings(estimation.Enlarged{Result: r.Solution}, p.Drift)
	q := p.DriftQuantities()[0]
	per := q.Value(p.Model, estimation.Unit(p.N, p.Drift), make([]float64, p.N))
	return Finding{Kind: Drifts, Name: quantities.Drift, Value: per * v, Other: per * u, Hourly: p.Log.Hours}, math.Abs(v) > fit.CoverageFactor(driftSeen, statedDegrees(r, r.Solution.ScaleDegrees))*u
}
