package model

import (
	"math"

	"gonum.org/v1/gonum/floats"

	"fitcoil/fit"
)

// vague is the relative standard uncertainty above which a positive quantity is
// called undetermined: its 95 % interval then spans a factor of seven, and the
// linear law of propagation means nothing.
const vague = 0.5

// wholly is the share of a variance from which on it counts as the whole.
const wholly = 0.99

// deserves tells whether a quantity of value v, with the standard uncertainty u,
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
//   - A quantity with a prior of its own (believed) has a number if priors bring at
//     most half of the variance, so that the rest says more of it than they do; or
//     if u is at most 10 % of it, since the priors then leave it little room.
//   - Any other, which may be zero, likewise, with 25 % in place of 10 %.
//
// The tolerances of parts and known values are no such priors: somebody stated them.
func (q *quantity) deserves(v, u float64, split bool, b Budget) bool {
	assumed := b.Assumed
	switch {
	case assumed-b.Bench >= wholly && u > vague/10*math.Abs(v-q.neutral):
		return false
	case !split && restsOnSplit(q.name):
		return false
	case q.believed:
		return assumed <= 0.5 || u <= vague/5*math.Abs(v)
	case !q.positive:
		return assumed <= 0.5 || u <= vague/2*math.Abs(v)
	case !split:
		return u <= vague/5*math.Abs(v)
	case assumed > 0.9:
		return u <= vague/2*math.Abs(v)
	}
	return u <= vague*math.Abs(v)
}

// estimate works out quantity q at the solution.
func (r *Result) estimate(q quantity) Estimate {
	return r.estimateAt(r.problem.forward, r.fit.X, q)
}

// estimateAt is estimate with a forward model that may hold more unknowns than
// the fit: see with.
func (r *Result) estimateAt(f *forward, x []float64, q quantity) Estimate {
	grad := make([]float64, f.n)
	e := Estimate{Name: q.name, Core: q.core, Part: q.part, Hand: q.hand, Unit: q.unit}
	e.Equivalent = f.line && f.share >= 0 && (q.name == WindingCapacitance || q.name == TopCapacitance)
	e.Value = q.value(f, x, grad)
	if !finite(e.Value) || !finite(grad...) || handLaw(q.name) && r.lawAtBound() {
		return e.forget()
	}
	r.uncertainty(&e, grad)
	if e.Determined && !q.deserves(e.Value, e.Uncertainty, r.splits(r.cov), e.Budget) {
		e.Determined = false
		e.scattered = q.deserves(e.Value, e.Stated, r.splits(r.stated), e.Budget)
	}
	if !e.Determined {
		return e.forget()
	}
	k := r.coverageFactor(e.Budget)
	e.Interval = interval(e.Value, e.Uncertainty, k, q.positive)
	if q.unsigned {
		e.Interval[0] = math.Max(e.Interval[0], 0)
	}
	if b := r.boundOf(q.name); b != fit.Free {
		return r.atBound(e, q, b)
	}
	return e
}

// uncertainty fills in the standard uncertainty of a quantity with the gradient
// grad, and where it comes from. Elements of grad beyond the unknowns of the fit
// belong to parts that no reading shares.
func (r *Result) uncertainty(e *Estimate, grad []float64) {
	grad, own := grad[:r.problem.n], floats.Dot(grad[r.problem.n:], grad[r.problem.n:])
	var shares [origins]float64
	variance, determined := r.shares.Of(grad, shares[:])
	stated := variance
	if r.apart {
		stated, _ = r.stated.Variance(grad)
	}
	e.Determined = determined
	e.Uncertainty, e.Stated = math.Sqrt(variance+own), math.Sqrt(stated+own)
	e.Budget = newBudget(shares, variance+own)
	if variance+own > 0 {
		e.Budget.Tolerance += own / (variance + own)
		e.Budget.Readings = math.Max(0, e.Budget.Readings-own/(variance+own))
	}
}

// newBudget splits the variance of a quantity, of which each kind of prior row
// contributes its share, and the readings the rest.
func newBudget(shares [origins]float64, variance float64) (b Budget) {
	if !(variance > 0) {
		return b
	}
	part := func(o origin) float64 { return math.Min(math.Max(shares[o]/variance, 0), 1) } // but for rounding
	b.Common = part(fromCommon)
	b.Bench = part(fromBench)
	b.Tolerance, b.Known, b.Assumed, b.Model = part(fromTolerance)+b.Common, part(fromKnown), part(fromAssumption)+b.Bench, part(fromModel)
	b.Readings = math.Max(0, 1-b.Tolerance-b.Known-b.Assumed-b.Model)
	return b
}

// coverageFactor returns the 95 % factor of Student's t. Tolerances, known values,
// priors and the model have no end of degrees of freedom; the readings those of
// fit.SolveScaled. The two combine by the Welch-Satterthwaite formula (JCGM 100:2008,
// G.4.1).
func (r *Result) coverageFactor(b Budget) float64 {
	return fit.CoverageFactor(0.95, r.fit.Degrees(1-b.Readings))
}

// interval returns value ± k·u; for a positive quantity the same in its
// logarithm.
func interval(value, u, k float64, positive bool) [2]float64 {
	if positive {
		factor := math.Exp(k * u / value)
		return [2]float64{value / factor, value * factor}
	}
	return [2]float64{value - k*u, value + k*u}
}

// forget leaves nothing of an undetermined estimate but its name.
func (e Estimate) forget() Estimate {
	nan := math.NaN()
	e.Value, e.Uncertainty, e.Stated = nan, nan, nan
	e.Interval = [2]float64{nan, nan}
	e.Determined, e.Budget = false, Budget{}
	return e
}

// unit returns the i-th of n unit vectors.
func unit(n, i int) []float64 {
	u := make([]float64, n)
	u[i] = 1
	return u
}

func finite(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}
