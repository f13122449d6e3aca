package findings

import (
	"cmp"
	"math"

	"gonum.org/v1/gonum/floats"

	"fitcoil/fit"
	"fitcoil/model/estimation"
	"fitcoil/model/patterns"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/stable"
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

// patternLevel is the share of sessions without a pattern in which chance may show one
// along each of the orders below.
const patternLevel = 0.005

// faint is the root mean square of standardised residuals below which a pattern in them
// is far below what is stated anyway, or rounding. With none, and with 0.5, the same is told of
// simulated sessions (TestWhatIsTold); without it, exact data would have patterns of rounding.
const faint = 0.1

// mostAlike bounds the autocorrelation by which readings count for fewer: to a nineteenth of
// them, uncertainties 4.4 times as large. A plain choice: beyond, the few that are left don't show
// what the autocorrelation is.
const mostAlike = 0.9

// CheckNeighbours tells of a pattern in the residuals, along run order or along the capacitance
// added: the errors of neighbours are alike, as of the settings of one switched bank. With
// the lag-1 autocorrelation ρ, n readings are worth n(1 − ρ)/(1 + ρ) (G. V. Bayley and J. M.
// Hammersley, J. R. Statist. Soc. Suppl. 8, 1946, 184–197, for an autoregression, from
// memory).
func CheckNeighbours(r *estimation.Result) (f Finding, found bool) {
	type residual struct{ value, added float64 }
	var list []residual
	shared := map[readings.StateKey]bool{}
	for k, i := range r.Problem.Rows {
		o := &r.Readings[i]
		if r.Problem.Factor(k) > r.Session.Counts() { // of those that share a rounding error, one
			if key := o.Key(); shared[key] {
				continue
			} else {
				shared[key] = true
			}
		}
		if quantities.Finite(o.Standardised) {
			list = append(list, residual{o.Standardised, r.Problem.Added(r.Solution.X, &o.State)})
		}
	}
	along := func(name string) {
		values := make([]float64, len(list))
		for i, o := range list {
			values[i] = o.value
		}
		if floats.Norm(values, 2) < faint*math.Sqrt(float64(len(values))) {
			return
		}
		if rho, p := patterns.Neighbours(values); p < patternLevel && rho > f.Value {
			f, found = Finding{Kind: NeighboursAlike, Name: name, Value: math.Min(rho, mostAlike), Other: p}, true
		}
	}
	along(RunOrder)
	stable.Sort(list, func(a, b residual) int { return cmp.Compare(a.added, b.added) })
	along(AddedOrder)
	return f, found
}

// The orders in which neighbours are compared.
const (
	RunOrder   = "run order"
	AddedOrder = "added capacitance"
)
