package fit

import "math"

// newton finishes a fit by Newton's method with the whole Hessian of half the
// objective, JᵀJ + Σ r ∇²r, from differences of the exact gradient Jᵀr. Where
// residuals are large and curved, Gauss–Newton steps shrink slowly or must be
// damped for ever, and near the minimum the objective is too flat to steer by;
// the gradient is not. The Hessian also tells a minimum from a saddle. It
// reports whether the steps settled at a minimum.
func (v *solver) newton() bool {
	v.hold()
	var free []int
	for j, active := range v.active {
		if !active {
			free = append(free, j)
		}
	}
	v.newtons++
	h, ok := v.hessian(free)
	fresh := 1
	last := math.Inf(1)
	for range newtonTries {
		if !ok || !v.newtonStep(h, free) {
			return false
		}
		size := v.measure()
		if size <= negligible {
			return v.stationary(free)
		}
		got := v.evaluate(v.trial, v.there, math.Inf(1))
		if !(got.objective <= v.sum.objective*(1+1e-9)) || !v.there.finite() {
			return false
		}
		size = v.accept(got)
		rest := v.remaining(size, last)
		if rest <= polished {
			return v.stationary(free)
		}
		slow := size > 0.5*last
		last = size
		if slow {
			if fresh == newtonFresh {
				return math.Max(size, rest) <= settled && v.stationary(free)
			}
			h, ok = v.hessian(free)
			fresh++
			last = math.Inf(1)
		}
	}
	return false
}

// stationary reports whether each column is orthogonal to the residuals or has
// faded from what it was. On a plateau where the fit started neither is true,
// however short steps seem beside what would change the residuals there.
func (v *solver) stationary(free []int) bool {
	g := make([]float64, len(free))
	v.gradient(v.here, free, g)
	return norm(g) <= newtonSlope*math.Sqrt(v.sum.objective)
}

// curvature is a Hessian in scaled parameters, by its eigenvalues.
type curvature struct {
	s    singular
	rank int
}

// hessian takes differences of the gradient along each free parameter. It
// reports whether they could be taken, the Hessian has no direction of descent,
// and the objective rises visibly when the parameters change by their own size
// along all directions but as many as never had a hold on it: else a parameter
// is running away, or stands where the slope vanishes but no minimum is.
func (v *solver) hessian(free []int) (curvature, bool) {
	n := len(free)
	g, a := make([]float64, n), make([]float64, n*n)
	v.gradient(v.here, free, g)
	for k, j := range free {
		copy(v.trial, v.x)
		shift := newtonShift * v.floor / v.norms[j]
		if x := newtonShift * math.Abs(v.x[j]/v.a.column[j]); x > 0 {
			shift = math.Min(shift, x)
		}
		lower, upper := v.p.bounds(j)
		if v.x[j]+shift*v.a.column[j] > upper {
			shift = -shift
		}
		v.trial[j] = v.x[j] + shift*v.a.column[j]
		shift = (v.trial[j] - v.x[j]) / v.a.column[j]
		if v.trial[j] < lower || shift == 0 || math.IsInf(shift, 0) {
			return curvature{}, false
		}
		v.evaluate(v.trial, v.there, math.Inf(1))
		if !v.there.finite() {
			return curvature{}, false
		}
		col := a[k*n:][:n]
		v.gradient(v.there, free, col)
		for i := range col {
			col[i] = (col[i] - g[i]) / shift * v.inverse[j]
		}
	}
	for i := range n {
		for k := range i {
			mean := (a[i*n+k] + a[k*n+i]) / 2
			a[i*n+k], a[k*n+i] = mean, mean
		}
	}
	c := curvature{s: newSingular(a, n, n)}
	if n > 0 {
		c.rank = c.s.rank(newtonRank)
	}
	if math.IsNaN(norm(c.s.sigma)) || n-c.rank > v.fewestLost {
		return c, false
	}
	for k := range c.rank {
		z := c.s.right(k)
		own := v.ownSize(z, free)
		rise := c.s.sigma[k] * own * own
		if dot(c.s.u(k), z) < 0 || rise <= newtonRise*v.sum.objective {
			return c, false
		}
	}
	return c, true
}

// gradient writes Jᵀr of the free parameters, scaled.
func (v *solver) gradient(t triangle, free []int, g []float64) {
	for k, j := range free {
		g[k] = dot(t.column(j), t.q()) * v.inverse[j]
	}
}

// newtonStep writes the trial. It reports whether the step stays in the box and
// leaves no slope along directions without curvature.
func (v *solver) newtonStep(h curvature, free []int) bool {
	n := len(free)
	g, z := make([]float64, n), make([]float64, n)
	v.gradient(v.here, free, g)
	for k := range n {
		along := dot(h.s.right(k), g)
		if k < h.rank {
			axpy(-along/h.s.sigma[k], h.s.right(k), z)
		} else if math.Abs(along) > settled*v.floor*math.Max(v.floor, math.Sqrt(v.sum.objective)) {
			return false
		}
	}
	clear(v.move)
	copy(v.trial, v.x)
	for k, j := range free {
		v.move[j] = z[k] * v.inverse[j]
		v.trial[j] = v.x[j] + v.move[j]*v.a.column[j]
		lower, upper := v.p.bounds(j)
		if v.trial[j] < lower || v.trial[j] > upper {
			return false
		}
	}
	return true
}

// remaining returns what the undamped steps to come will add up to, if they go
// on shrinking as the last did, from the size before; if that is not known, or
// the last is too large to say, as much as the last.
func (v *solver) remaining(last, before float64) float64 {
	if last <= negligible || last > telling || math.IsInf(before, 1) {
		return last
	}
	rate := math.Min(last/before, 0.99)
	return last * rate / (1 - rate)
}

// ranAway reports whether more directions have lost their hold than at some
// earlier x, so much that moving the parameters along one of them by their own
// size would change nothing that can be seen beside the residuals that are
// left. A minimum is not found there but lost sight of.
func (v *solver) ranAway() bool {
	s := &v.step
	lost := s.lost()
	if lost <= v.fewestLost || v.sum.objective == 0 {
		return false
	}
	w := make([]float64, v.p.Params)
	for k := s.n - lost; k < s.n; k++ {
		z := s.svd.right(k)
		own := v.ownSize(z, s.free)
		clear(w)
		for i, j := range s.free {
			axpy(z[i]*v.inverse[j]*own, v.here.column(j), w)
		}
		if norm(w) <= 1e-6*math.Sqrt(v.sum.objective) {
			return true
		}
	}
	return false
}

// ownSize returns how far along the scaled direction z of the free parameters
// the first of them has moved by its unit.
func (v *solver) ownSize(z []float64, free []int) float64 {
	most := 0.0
	for i, j := range free {
		most = math.Max(most, math.Abs(z[i]*v.inverse[j])/v.unit(j))
	}
	return 1 / most
}
