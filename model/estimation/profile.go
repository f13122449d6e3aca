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
	linear := p.LinearInterval()
	for i, v := range p.Profile {
		if !(math.Abs(v-linear[i]) <= worthTelling*p.Uncertainty) {
			return true
		}
	}
	return false
}

// Profiles returns the profile-likelihood intervals of all quantities that have a linear
// one and come from the unknowns of the fit alone, as quality factors don't: each holds the values for which χ², least for that value with all else fitted anew,
// rises by no more than k², with the coverage factor k of the estimate. ok is false where the
// fit has too many unknowns for that. done is called after each, unless nil.
func (r *Result) Profiles(done func(i, n int)) (list []Profiled, ok bool) {
	if r.Problem.N > mostProfiled {
		return nil, false
	}
	told := r.told()
	for i, e := range told {
		list = append(list, r.ProfileOf(e))
		if done != nil {
			done(i+1, len(told))
		}
	}
	return list, true
}

// Curved lists the quantities whose linear intervals profiles would move by more than a tenth of
// the standard uncertainty, as far as second derivatives of the readings foretell it.
func (r *Result) Curved() (list []*quantities.Estimate) {
	if r.Problem.N > mostProfiled || r.Session.Robust {
		return nil
	}
	ends, ok, err := fit.NewEnds(r.Problem.straightened(), r.straightenedSolution(), SolverSettings(r.Session))
	if err != nil || !ok {
		return nil
	}
	for _, e := range r.told() {
		p := Profiled{Estimate: e}
		p.Profile[0], p.Profile[1] = ends.Of(r.straightened(e.Key, false), e.Coverage)
		if p.Differs() {
			list = append(list, e)
		}
	}
	return list
}

// Quote makes an interval by profile likelihood that of its estimate, where both differ and it was
// found.
func (p *Profiled) Quote() {
	if e := p.Estimate; p.Differs() && !p.Better && !math.IsNaN(p.Profile[0]) && !math.IsNaN(p.Profile[1]) {
		e.Interval, e.Linear, e.ByProfile = p.Profile, p.LinearInterval(), true
	}
}

// told lists what has an interval, and a profile and trials that it may be compared with.
func (r *Result) told() (list []*quantities.Estimate) {
	for e := range r.All() {
		if r.hasProfile(e) {
			list = append(list, e)
		}
	}
	return list
}

// hasProfile tells whether an estimate has an interval, and a profile that it may be compared
// with: what the model of a quantity errs by is in no row.
func (r *Result) hasProfile(e *quantities.Estimate) bool {
	q, known := quantityOf(e.Key, r.Problem.Quantities())
	return known && q.Model == nil && e.Determined && e.Bound == fit.Free
}

// ProfileOf is that of one estimate that has an interval.
func (r *Result) ProfileOf(e *quantities.Estimate) Profiled {
	solution := r.straightenedSolution()
	solution.ScaleDegrees = e.Degrees
	in := fit.Must(fit.Profile(r.Problem.straightened(), solution, SolverSettings(r.Session), r.straightened(e.Key, false), 0.95))
	return Profiled{e, [2]float64{in.Lo, in.Hi}, in.Better != nil}
}

// straightened is a quantity, or the logarithm of one that is positive, in straightened
// coordinates.
func (r *Result) straightened(key quantities.Key, logarithm bool) fit.Quantity {
	p := r.Problem
	q, _ := quantityOf(key, p.Quantities())
	x, scratch := make([]float64, p.N), make([]float64, p.N)
	return func(y, grad []float64) float64 {
		slope := original(p.Model, x, y)
		g := grad
		if g == nil {
			g = scratch
		}
		v := q.Value(p.Model, x, g)
		if grad != nil {
			p.straight(grad, slope)
		}
		if !logarithm {
			return v
		}
		for j := range grad {
			grad[j] /= v
		}
		return math.Log(v)
	}
}

// straightenedSolution is the solution in straightened coordinates.
func (r *Result) straightenedSolution() fit.Result {
	p, s := r.Problem, r.Solution
	s.X, s.R, s.OwnRows = slices.Clone(s.X), slices.Clone(s.R), slices.Clone(s.OwnRows)
	omega, slope := p.PlainLine(s.X)
	s.X[forward.AtC] += s.X[forward.AtL] - 2*math.Log(omega)
	n := p.Common()
	for _, rows := range [][]float64{s.R, s.OwnRows} {
		for i := 0; i < len(rows); i += n {
			p.straight(rows[i:i+n], slope)
		}
	}
	triangular(s.R, n)
	return s
}
