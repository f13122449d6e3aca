package fit

import "math"

// hold marks the parameters that stand at a bound with the descent direction
// pointing out of the box, or exactly along it.
func (v *solver) hold() {
	if !v.bounded {
		return
	}
	for j, x := range v.x {
		lower, upper := v.p.bounds(j)
		v.active[j] = false
		if x > lower && x < upper {
			continue
		}
		g := dot(v.here.column(j), v.here.q())
		v.active[j] = lower == upper || (x <= lower && g >= 0) || (x >= upper && g <= 0)
	}
}

// propose solves for the next step and writes the trial.
//
// A step that would leave the box is clipped: the parameter that meets its bound
// first goes there and no further, and the rest is solved for again. The model
// is never worse for it than at the point where the step left the box.
func (v *solver) propose() proposal {
	v.hold()
	copy(v.fixed, v.active)
	clear(v.move)
	left := v.radius
	v.step.load(v.here, v.inverse, v.fixed, v.move)
	v.lambda = v.step.solve(left, v.lambda)
	v.clipped = false
	for v.bounded {
		j := v.firstHit()
		if j < 0 {
			break
		}
		v.clipped = true
		z := v.move[j] * v.d[j]
		left = math.Sqrt(math.Max(0, left*left-z*z))
		v.step.load(v.here, v.inverse, v.fixed, v.move)
		v.lambda = v.step.solve(left, v.lambda)
	}
	for k, j := range v.step.free {
		v.move[j] = v.step.z[k] * v.inverse[j]
	}
	if !v.step.damped || v.iterations < telltale {
		v.fewestLost = min(v.fewestLost, v.step.lost())
	}
	length := 0.0
	for j, m := range v.move {
		z := m * v.d[j]
		length += z * z
		x := v.x[j] + m*v.a.column[j]
		if v.bounded {
			lower, upper := v.p.bounds(j)
			if v.fixed[j] && m != 0 {
				x = upper
				if m < 0 {
					x = lower
				}
			}
			x = math.Min(math.Max(x, lower), upper)
		}
		v.trial[j] = x
	}
	predicted := v.predict()
	return proposal{length: math.Sqrt(length), predicted: predicted, size: v.measure(),
		whole: v.lambda == 0 && !v.clipped, level: predicted <= noise*v.sum.objective}
}

// measure measures the step as Solve measures convergence.
func (v *solver) measure() float64 {
	v.size = 0
	for j, m := range v.move {
		if v.trial[j] == v.x[j] {
			continue
		}
		if s := math.Abs(m) / v.unit(j); !(s <= v.size) {
			v.size = s
		}
	}
	return v.size
}

// unit is what a step of parameter j is measured by: its own size, but no less
// than what once moved the residuals visibly. Where its column fades, that must
// not grow, or a runaway would look like a small step; and where a step that is
// small so measured changes the column much, nothing can be said of how far a
// visible change is, and the parameter's own size alone counts (see scale).
func (v *solver) unit(j int) float64 {
	return math.Abs(v.x[j]/v.a.column[j]) + v.floors[j]*v.inverse[j]
}

// firstHit finds the free parameter whose bound is the first that the step
// meets, fixes it there, and returns its index, or −1.
func (v *solver) firstHit() int {
	first, nearest := -1, 1.0
	var at float64
	for k, j := range v.step.free {
		m := v.step.z[k] * v.inverse[j]
		lower, upper := v.p.bounds(j)
		room := (upper - v.x[j]) / v.a.column[j]
		if m < 0 {
			room = (lower - v.x[j]) / v.a.column[j]
		}
		if m == 0 || math.Abs(m) <= math.Abs(room) {
			continue
		}
		if share := room / m; share < nearest {
			first, nearest, at = j, share, room
		}
	}
	if first >= 0 {
		v.fixed[first] = true
		v.move[first] = at
	}
	return first
}

// predict returns the reduction ‖q‖² − ‖R·move + q‖² that the linear model
// promises.
func (v *solver) predict() float64 {
	w := v.step.e[:v.p.Params]
	clear(w)
	for j, m := range v.move {
		axpy(m, v.here.column(j), w)
	}
	sum := 0.0
	for i, q := range v.here.q() {
		sum -= w[i] * (2*q + w[i])
	}
	return sum
}
