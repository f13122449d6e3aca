package fit

import "math"

// Solve minimises the sum over all rows from start.
//
// Converged means that every free parameter is settled to 1e-8 of itself or,
// near zero, to 1e-8 of the change that moved the residuals by one standard
// uncertainty where they changed fastest (or by their root mean square at the
// start, if that is less):
// the last Gauss–Newton step, and the steps that its rate of shrinking lets
// expect, add up to less. Directions that no row fixes stay where the shortest
// steps left them; they do not stand in the way of convergence, but Covariance calls them
// undetermined.
//
// Steps are those of Levenberg and Marquardt in a trust region (Moré 1978) as
// long as the objective can tell them apart, then whole Gauss–Newton steps as
// long as they shrink. Where residuals are too curved for that, Newton's method
// finishes; a step along which the objective falls by what the slope alone foretells is gone on
// with. A fit that goes on for hundreds of steps begins afresh from where they
// have led.
//
// An error means that the problem is malformed (see ErrUnwritten). All else is told by the
// Status of the result.
func Solve(p Problem, start []float64, s Settings) (Result, error) {
	if err := check(p, start, s); err != nil {
		return Result{}, err
	}
	r := solveAt(p, start, s, 1)
	if r.Status == StartNotFinite {
		return r, written(p, start)
	}
	return r, nil
}

// solveAt solves a checked problem with the uncertainties of the data
// multiplied by scale.
func solveAt(p Problem, start []float64, s Settings, scale float64) Result {
	var v solver
	v.prepare(&p, s.withDefaults())
	return v.solve(start, scale)
}

// run iterates until a status is reached.
func (v *solver) run() {
	if !v.begin() {
		v.status = StartNotFinite
		return
	}
	v.last = math.Inf(1)
	patient := crawling
	for v.iterations < v.set.MaxIterations {
		s := v.propose()
		if s.whole && s.size <= negligible {
			v.finish(s.size)
			return
		}
		if s.whole && v.enough(s) && !v.ranAway() {
			v.status = Converged
			return
		}
		if v.iterations++; v.iterations == patient {
			patient *= 2
			v.afresh()
			continue
		}
		slow := s.whole && s.size > 0.5*v.last
		if s.level && !v.clipped && (slow || !s.whole) && v.newtons < newtonCalls && v.newton() {
			v.status = Converged
			return
		}
		got, ratio := v.try(s)
		if slow && !s.level && ratio > straight {
			got = v.stretch(&s, got)
		}
		if ratio < leastRatio && s.whole && (s.level || s.size <= settled) {
			v.finish(math.Max(s.size, v.remaining(s.size, v.last)))
			return
		}
		if v.advance(s, got, ratio) {
			return
		}
	}
	v.status = IterationLimit
}

// try evaluates the trial and returns the ratio of the actual to the predicted
// reduction. Where the objective cannot show a difference, the steps must: the
// ratio is then 1 if they shrink.
func (v *solver) try(s proposal) (got sums, ratio float64) {
	limit := v.sum.objective
	blind := s.level && v.lambda == 0
	if blind {
		limit *= 1 + 1e-9
	}
	got = v.evaluate(v.trial, v.there, limit)
	switch reduction := v.sum.objective - got.objective; {
	case !v.there.finite() || !(got.objective < math.Inf(1)):
		return got, math.Inf(-1)
	case blind && got.objective < limit:
		if v.clipped || s.size <= 0.9*v.last {
			return got, 1
		}
		return got, 0
	case s.predicted > 0:
		return got, reduction / s.predicted
	case reduction > 0: // more than a prediction that is nothing but rounding
		return got, 1
	}
	return got, 0
}

// advance takes the trial or refuses it. It reports whether a status is
// reached.
func (v *solver) advance(s proposal, got sums, ratio float64) bool {
	blind := s.level && v.lambda == 0
	if !blind {
		v.adjust(s, ratio)
	}
	if !(ratio >= leastRatio) {
		if v.refused++; blind || v.refused > mostRefused || v.radius <= negligible*v.scaledNorm() {
			v.fail()
			return true
		}
		return false
	}
	v.refused = 0
	size := v.accept(got)
	if rest := v.remaining(size, v.last); s.whole && s.level && rest <= polished {
		v.finish(rest)
		return true
	}
	v.last = math.Inf(1)
	if s.whole {
		v.last = size
	}
	return false
}

// adjust sets the radius and the next guess of λ from the ratio of the actual
// to the predicted reduction. A bad step is shortened to the minimum of the
// parabola through what is known along it.
func (v *solver) adjust(s proposal, ratio float64) {
	if v.iterations == 1 {
		v.radius = math.Min(v.radius, s.length)
	}
	switch {
	case ratio < 0.25:
		shrink := 0.1
		if slope := v.slope(); slope > 0 && !math.IsInf(ratio, -1) {
			shrink = math.Max(0.1, math.Min(0.5, 0.5*slope/(slope-ratio*s.predicted)))
		}
		v.radius = shrink * math.Min(v.radius, 10*s.length)
		v.lambda /= shrink
	case ratio > 0.75 || v.lambda == 0:
		v.radius = 2 * s.length
		v.lambda /= 2
	}
}

// slope returns −d‖r‖²/dt along the step, −2 qᵀR·move.
func (v *solver) slope() float64 {
	sum := 0.0
	for j, m := range v.move {
		sum -= 2 * m * dot(v.here.column(j), v.here.q())
	}
	return sum
}

// finish tells a converged fit from one that stopped short, by what the steps
// not taken would add up to.
func (v *solver) finish(rest float64) {
	switch {
	case rest <= settled && !v.ranAway():
		v.status = Converged
	case v.newton():
		v.status = Converged
	case v.ranAway():
		v.status = Runaway
	default:
		v.status = RoundingLimited
	}
}

// fail names why no step is left.
func (v *solver) fail() {
	switch {
	case v.newton():
		v.status = Converged
	case v.ranAway():
		v.status = Runaway
	default:
		v.status = Stalled
	}
}

// solve runs from start, once.
func (v *solver) solve(start []float64, scale float64) Result {
	v.a.unscaled(1 / scale)
	copy(v.x, start)
	if v.a.own != nil {
		copy(v.here.own.x, start[v.p.Params:])
	}
	v.fewestLost = v.p.Params
	v.run()
	v.forgive()
	v.settleOwn()
	v.settleWeights()
	return v.result()
}

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
