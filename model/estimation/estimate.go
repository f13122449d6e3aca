package estimation

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"fitcoil/fit"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
)

// wholly is the share of a variance from which on it counts as the whole.
const wholly = 0.99

// isDetermined tells whether a quantity of value v, with the standard uncertainty u,
// is known well enough to have a number. It is the one rule for that, whatever the
// quantity, beside that some row must fix it at all:
//
//   - Where priors on the coil, its core or a hand bring 99 % of the variance, the
//     readings tell it only together with something that they leave to the prior: it
//     has a number if u is at most 5 % of it, of g − 1 for a core's gain and alike for
//     other ratios.
//   - Where inductance and capacitance are not known apart (split), the solution
//     stands anywhere along a long valley: no capacitance of winding, top or core
//     has a number, and a positive quantity only if u is at most 10 % of it.
//   - A positive quantity, whose uncertainty is a factor, has a number if u is at
//     most 50 % of it; 25 % where priors bring more than 90 % of the variance
//     (b.Assumed).
//   - A quantity with a prior of its own (HasPrior) has a number if priors bring at
//     most half of the variance, so that the rest says more of it than they do; or
//     if u is at most 10 % of it, since the priors then leave it little room.
//   - Any other, which may be zero, likewise, with 25 % in place of 10 %.
//
// The tolerances of parts and known values are no such priors: somebody stated them.
func isDetermined(q *forward.Quantity, v, u float64, split bool, b quantities.Budget) bool {
	assumed := b.Assumed
	switch {
	case assumed-b.Bench >= wholly && u > Vague/10*math.Abs(v-q.Neutral):
		return false
	case !split && quantities.RestsOnSplit(q.Name):
		return false
	case q.HasPrior:
		return assumed <= 0.5 || u <= Vague/5*math.Abs(v)
	case !q.Positive:
		return assumed <= 0.5 || u <= Vague/2*math.Abs(v)
	case !split:
		return u <= Vague/5*math.Abs(v)
	case assumed > 0.9:
		return u <= Vague/2*math.Abs(v)
	}
	return u <= Vague*math.Abs(v)
}

// Estimate works out quantity q at the solution.
func (r *Result) Estimate(q forward.Quantity) quantities.Estimate {
	return r.estimateAt(r.Problem.Model, r.Solution.X, q)
}

// estimateAt is estimate with a forward model that may hold more unknowns than
// the fit: see With.
func (r *Result) estimateAt(f *forward.Model, x []float64, q forward.Quantity) quantities.Estimate {
	grad := make([]float64, f.N)
	e := quantities.Estimate{Key: q.Key, Unit: q.Unit, Covered: q.Covered}
	e.Equivalent = f.Line && f.Share >= 0 && (q.Name == quantities.WindingCapacitance || q.Name == quantities.TopCapacitance)
	e.Value = q.Value(f, x, grad)
	if !quantities.Finite(e.Value) || !quantities.Finite(grad...) || quantities.HandLaw(q.Name) && r.lawAtBound() {
		return e.Forget()
	}
	r.uncertainty(&e, grad)
	if q.Model != nil && e.Determined {
		e.Widen(e.Value * q.Model(f, x))
	}
	if e.Determined && !isDetermined(&q, e.Value, e.Uncertainty, r.splits(r.Covariance), e.Budget) {
		e.Determined = false
		e.Scattered = r.Scatter.Scale > 1 && isDetermined(&q, e.Value, e.Stated, r.splits(r.StatedCovariance), e.Budget)
	}
	if !e.Determined {
		return e.Forget()
	}
	r.Cover(&e, q.Positive)
	if q.Squared && e.Budget.Readings > 0.5 {
		reach := 2 * e.Coverage * e.Uncertainty * e.Value
		e.Interval = [2]float64{math.Sqrt(math.Max(0, e.Value*e.Value-reach)), math.Sqrt(e.Value*e.Value + reach)}
	}
	if q.Unsigned {
		e.Interval[0] = math.Max(e.Interval[0], 0)
	}
	if b := r.boundOf(q.Name); b != fit.Free {
		return r.atBound(e, q, b)
	}
	return e
}

// uncertainty fills in the standard uncertainty of a quantity with the gradient
// grad, and where it comes from. Elements of grad beyond the unknowns of the fit
// belong to parts that no reading shares.
func (r *Result) uncertainty(e *quantities.Estimate, grad []float64) {
	grad, own := grad[:r.Problem.N], floats.Dot(grad[r.Problem.N:], grad[r.Problem.N:])
	wide := r.Problem.Wide * r.Problem.Wide
	var shares [Origins]float64
	variance, determined := r.Shares.Of(grad, shares[:])
	stated := variance
	if r.Apart {
		stated, _ = r.StatedCovariance.Variance(grad)
	}
	e.Determined = determined
	e.Stated = math.Sqrt(stated + own)
	own *= wide
	e.Uncertainty = math.Sqrt(variance + own)
	e.Budget = NewBudget(shares, variance+own)
	if variance+own > 0 {
		e.Budget.Tolerance += own / (variance + own)
		e.Budget.Readings = math.Max(0, e.Budget.Readings-own/(variance+own))
	}
}

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
