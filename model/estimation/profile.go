package estimation

import (
	"math"
	"slices"

	"fitcoil/fit"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
)

// Profiled is the profile-likelihood interval of an estimate beside the linear one.
type Profiled struct {
	*quantities.Estimate
	Profile [2]float64 // 95 %; infinite at an open end, NaN where it could not be found
	Better  bool       // the search came upon a better fit: no interval of this one holds
}

// worthTelling is by what part of a standard uncertainty an end of an interval has to differ.
const worthTelling = 0.1

// Differs tells whether an end differs from the linear one by more than a tenth of the
// standard uncertainty.
func (p *Profiled) Differs() bool {
	for i, v := range p.Profile {
		if !(math.Abs(v-p.Interval[i]) <= worthTelling*p.Uncertainty) {
			return true
		}
	}
	return false
}

// Profiles returns the profile-likelihood intervals of all quantities that have a linear
// one: each holds the values for which χ², least for that value with all else fitted anew,
// rises by no more than k², with the coverage factor k of the estimate. ok is false where the
// fit has too many unknowns for that. done is called after each, unless nil.
func (r *Result) Profiles(done func(i, n int)) (list []Profiled, ok bool) {
	if r.Problem.N > mostProfiled {
		return nil, false
	}
	var told []*quantities.Estimate
	for _, estimates := range [][]quantities.Estimate{r.Parameters, r.Derived} {
		for i := range estimates {
			if e := &estimates[i]; e.Determined && e.Bound == fit.Free && e.Name != quantities.StrayCapacitance {
				told = append(told, e)
			}
		}
	}
	for i, e := range told {
		list = append(list, r.profile(e))
		if done != nil {
			done(i+1, len(told))
		}
	}
	return list, true
}

// profile is that of one estimate, in straightened coordinates.
func (r *Result) profile(e *quantities.Estimate) Profiled {
	p, all := r.Problem, r.Problem.Quantities()
	q := all[slices.IndexFunc(all, func(q forward.Quantity) bool { return q.Key == e.Key })]
	solution := r.straightenedSolution()
	solution.ScaleDegrees = e.Degrees
	x, scratch := make([]float64, p.N), make([]float64, p.N)
	in := fit.Must(fit.Profile(p.straightened(), solution, SolverSettings(r.Session), func(y, grad []float64) float64 {
		slope := original(p.Model, x, y)
		if grad == nil {
			return q.Value(p.Model, x, scratch)
		}
		v := q.Value(p.Model, x, grad)
		grad[forward.AtL] -= grad[forward.AtC] // ln C = y[AtC] + 2 ln Ω(s) − y[AtL]
		if p.Share >= 0 {
			grad[p.Share] += 2 * slope * grad[forward.AtC]
		}
		return v
	}, 0.95))
	return Profiled{e, [2]float64{in.Lo, in.Hi}, in.Better != nil}
}
