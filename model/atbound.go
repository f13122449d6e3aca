package model

import (
	"math"
	"slices"

	"fitcoil/fit"
)

// boundOf tells whether the share of top capacitance has put a quantity to its
// limit, nil.
func (r *Result) boundOf(name string) fit.Bound {
	share := r.problem.share
	switch {
	case share < 0:
	case name == TopCapacitance && r.fit.AtBound[share] == fit.AtLower,
		name == WindingCapacitance && r.fit.AtBound[share] == fit.AtUpper:
		return fit.AtLower
	}
	return fit.Free
}

// lawAtBound tells whether an unknown of the hand's law stands where the fit keeps it
// within reason: then its readings follow no such law.
func (r *Result) lawAtBound() bool {
	k := r.problem.hand
	return k >= 0 && slices.ContainsFunc(r.fit.AtBound[k:k+3], func(b fit.Bound) bool { return b != fit.Free })
}

// mostProfiled is the number of unknowns up to which a profile, whose time goes with
// their cube, is worth waiting for; beyond, the quantity counts as undetermined.
const mostProfiled = 300

// atBound fills in what is known of quantity q at its bound, zero: no ±, but how large
// it may be with 95 %. That is the end of its profile, where χ², least for each value
// with all else fitted anew, has risen by k² over that at the bound.
func (r *Result) atBound(e Estimate, q quantity, b fit.Bound) Estimate {
	p, fitted := r.problem, r.fit
	if p.n > mostProfiled {
		return e.forget()
	}
	fitted.ScaleDegrees = r.fit.Degrees(1 - e.Budget.Readings)
	scratch := make([]float64, p.n)
	in := fit.Profile(p.Problem, fitted, solverSettings(r.session), func(x, grad []float64) float64 {
		if grad == nil {
			grad = scratch
		}
		return q.value(p.forward, x, grad)
	}, 0.95)
	if in.Better != nil || !finite(in.Hi) {
		return e.forget()
	}
	e.Bound, e.Interval = b, [2]float64{0, in.Hi}
	e.Uncertainty, e.Stated = math.NaN(), math.NaN()
	return e
}
