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

// driftSure is how many of its standard uncertainties are enough where few readings show how much
// they scatter, so that the level takes more: it is a drift then, or they scatter more than stated.
const driftSure = 3.3

// CheckDrift tells of a drift that the readings of r show by themselves: as large as it is
// among the estimates of told, which is r or the same with tolerances widened. A drift that is
// undetermined there is none to tell of.
func CheckDrift(r, told *estimation.Result) (f Finding, found bool) {
	p := r.Problem
	if p.Drift < 0 || p.Knows(quantities.Drift) {
		return f, false
	}
	v, u := p.ByReadings(estimation.Enlarged{Result: r.Solution}, p.Drift)
	far, seen := math.Abs(v)/u, fit.CoverageFactor(driftSeen, statedDegrees(r, r.Solution.ScaleDegrees))
	if !(far > math.Min(driftSure, seen)) {
		return f, false
	}
	e := told.Find(quantities.Key{Name: quantities.Drift})
	return Finding{Kind: Drifts, Name: quantities.Drift, Value: e.Value, Other: e.Uncertainty, Hourly: p.Log.Hours, OrScatter: !(far > seen)}, e.Determined
}
