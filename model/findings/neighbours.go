package findings

import (
	"cmp"
	"math"

	"gonum.org/v1/gonum/floats"

	"fitcoil/model/estimation"
	"fitcoil/model/patterns"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/stable"
)

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
