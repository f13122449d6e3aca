package estimation

import (
	"math"
	"slices"

	"fitcoil/fit"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
)

// boundOf tells whether the share of top capacitance has put a quantity to its
// limit, zero.
func (r *Result) boundOf(name string) fit.Bound {
	share := r.Problem.Share
	switch {
	case share < 0:
	case name == quantities.TopCapacitance && r.Solution.AtBound[share] == fit.AtLower,
		name == quantities.WindingCapacitance && r.Solution.AtBound[share] == fit.AtUpper:
		return fit.AtLower
	}
	return fit.Free
}

// lawAtBound tells whether an unknown of the hand's law stands where the fit keeps it
// within reason: then its readings follow no such law.
func (r *Result) lawAtBound() bool {
	k := r.Problem.Hand
	return k >= 0 && slices.ContainsFunc(r.Solution.AtBound[k:k+3], func(b fit.Bound) bool { return b != fit.Free })
}

// mostProfiled is the number of unknowns up to which a profile, whose time goes with
// their cube, is worth waiting for; beyond, the quantity counts as undetermined.
const mostProfiled = 300

// atBound fills in what is known of quantity q at its bound, zero: no ±, but how large
// it may be with 95 %. That is the end of its profile, where χ², least for each value
// with all else fitted anew, has risen by k² over that at the bound.
func (r *Result) atBound(e quantities.Estimate, q forward.Quantity, b fit.Bound) quantities.Estimate {
	p, fitted := r.Problem, r.Solution
	if p.N > mostProfiled {
		return e.Forget()
	}
	fitted.ScaleDegrees = r.degrees(e.Budget)
	scratch := make([]float64, p.N)
	in := fit.Must(fit.Profile(p.Problem, fitted, SolverSettings(r.Session), func(x, grad []float64) float64 {
		if grad == nil {
			grad = scratch
		}
		return q.Value(p.Model, x, grad)
	}, 0.95))
	if in.Better != nil || !quantities.Finite(in.Hi) {
		return e.Forget()
	}
	e.Bound, e.Interval = b, [2]float64{0, in.Hi}
	e.Uncertainty, e.Stated = math.NaN(), math.NaN()
	return e
}
