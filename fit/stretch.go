package fit

import "math"

// stretch goes on along a Gauss–Newton step, twice as far each time, as long as the objective falls. It is for
// steps that hardly shrink, and lower the objective by nearly as much as the slope alone foretells, twice
// what the step does: the second derivatives of the residuals then cancel nearly all of the
// curvature that the step counts on, and the minimum is far.
func (v *solver) stretch(s *proposal, got sums) sums {
	for range mostStretches {
		if !v.extend(2) {
			return got
		}
		further := v.evaluate(v.trial, v.there, got.objective)
		if !(further.objective < got.objective) || !v.there.finite() {
			v.extend(0.5)
			return v.evaluate(v.trial, v.there, math.Inf(1))
		}
		got, s.whole = further, false
		s.length *= 2
	}
	return got
}

// extend makes the step so many times as long, unless that leaves the box.
func (v *solver) extend(factor float64) bool {
	for j, m := range v.move {
		lower, upper := v.p.bounds(j)
		if x := v.x[j] + factor*m*v.a.column[j]; v.bounded && !(x >= lower && x <= upper) {
			return false
		}
	}
	for j := range v.move {
		v.move[j] *= factor
		v.trial[j] = v.x[j] + v.move[j]*v.a.column[j]
	}
	v.measure()
	return true
}
