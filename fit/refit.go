package fit

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

const (
	refitSettled = 2e-2 // of a standard uncertainty: steps to come that are not worth taking; they tell nothing of means and ends
	refitTries   = 15
	refitGrown   = 2
	refitCurved  = 0.75 // of the length of a straight guess, by which curvature may change it
	refitNear    = 0.5  // standard uncertainties: shorter steps go by second derivatives, and by the Hessian of the step before
	refitStale   = 0.3  // of that one's length, above which its Hessian is worked out again
	refitFaded   = 0.25 // of the square of a column's length at the old solution, below which both are worth nothing
)

// refitter solves a problem again, with its rows shifted, from a solution nearby. It begins
// where the solution were if rows curved evenly, to second order along the way (after M. K.
// Transtrum and J. P. Sethna, arXiv:1201.5885), takes whole steps of Gauss and Newton from there,
// and at last such of Newton, with second derivatives as they are at the old solution; where
// steps don't shrink, Solve does the work. The Hessian only leads there: when to stop tells the
// exact gradient.
type refitter struct {
	p           Problem // shifted
	r           Result
	set         Settings
	v           solver
	data, prior []float64 // what residuals are shifted by
	quadratic   *quadratic
	quick       bool
	x, move     []float64
	residual    []float64
	square      []float64 // of the length of each column
	gradient    []float64 // half that of the objective
	hessian     []float64 // and half its Hessian, p × p, of which the lower half counts
	factor      []float64 // of Cholesky, the lower half
	active      []bool    // parameters that stand at a bound
	faded       bool      // a column has hardly any hold on the rows left
}

func newRefitter(p Problem, r Result, s Settings) *refitter {
	n := p.Params
	room := make([]float64, 4*n+2*packed(n)+2*(p.Data.N+p.Prior.N))
	cut := func(k int) []float64 {
		c := room[:k:k]
		room = room[k:]
		return c
	}
	f := &refitter{r: r, set: s, active: make([]bool, n), x: cut(n), move: cut(n), gradient: cut(n), square: cut(n), hessian: cut(packed(n)), factor: cut(packed(n)),
		data: cut(p.Data.N), prior: cut(p.Prior.N), residual: cut(p.Data.N + p.Prior.N)}
	f.p = p
	f.p.Data, f.p.Prior = shifted(p.Data, f.data), shifted(p.Prior, f.prior)
	f.p = f.p.weighted(r.weights)
	f.set.Loss = r.loss
	f.quick = p.Own == 0
	for j := range n {
		f.quick = f.quick && r.AtBound[j] == Free && r.R[j*n+j] != 0
	}
	if f.quick {
		f.v.prepare(&f.p, f.set.withDefaults())
		f.v.a.unscaled(1 / r.Scale)
		f.quadratic = newQuadratic(&f.v.a, &f.p, r.X, r.R)
	}
	return f
}

// shifted adds to the residuals of e.
func shifted(e Rows, by []float64) Rows {
	return Rows{N: e.N, Own: e.Own, Evaluate: func(x []float64, first int, r, jac []float64) {
		e.Evaluate(x, first, r, jac)
		for i := range r {
			r[i] += by[first+i]
		}
	}}
}

// solve returns the solution for the present shifts; ok is false where none was found. What
// it returns is overwritten by the next call.
func (f *refitter) solve() (x []float64, ok bool) {
	start := f.r.X
	if f.quick {
		clear(f.active)
		switch f.steps() {
		case refitted:
			return f.x, true
		case refitSlow:
			start = f.x
		}
	}
	r := solveAt(f.p, start, f.set, f.r.Scale)
	return r.X, r.Status.Converged()
}

// outcome is how a few steps ended.
type outcome int

const (
	refitted outcome = iota
	refitSlow
	refitLost
)

// steps takes steps until those to come don't matter. A parameter that would pass a bound
// stays there, until the objective falls from it inwards.
func (f *refitter) steps() outcome {
	last, grown := f.guess(), 0
	held, near, fresh := f.hold(), false, true
	for range refitTries {
		fresh = fresh || held
		ok := f.slope(fresh, near)
		if f.faded && !fresh {
			fresh, ok = true, f.slope(true, false)
		}
		if !ok || fresh && !f.decompose() {
			return refitLost
		}
		size := f.step() // in standard uncertainties
		if size > last {
			grown++ // where the rows are curved, the guess leaves the valley, and the next step leads back
		}
		if !(size < math.Inf(1)) || grown > refitGrown {
			return refitLost
		}
		settled := !held && size*size <= refitSettled*last
		if held = f.hold(); settled && !held {
			if held = f.release(); !held {
				return refitted
			}
		}
		fresh = size > refitNear || !near || size > refitStale*last
		near, last = size <= refitNear, size
	}
	return refitSlow
}

// guess moves x to where it were if rows curved evenly, and returns the length of the last move
// on the way, in standard uncertainties.
func (f *refitter) guess() (length float64) {
	b, p, d := f.quadratic, f.p.Params, f.move
	clear(d)
	for i, e := range f.data {
		if f.r.weights != nil {
			e *= math.Sqrt(f.r.weights[i])
		}
		axpy(-e/f.r.Scale, b.jac[i*p:][:p], d)
	}
	for i, e := range f.prior {
		axpy(-e, b.jac[(len(f.data)+i)*p:][:p], d)
	}
	transposed(f.r.R, d)
	length = norm(d)
	substitute(f.r.R, d)
	copy(f.x, f.r.X)
	axpy(1, d, f.x)
	g := f.gradient
	clear(g)
	b.along(d, g, f.hessian)
	transposed(f.r.R, g)
	if size := norm(g); size <= refitCurved*length {
		length = math.Max(size, refitSettled)
		substitute(f.r.R, g)
		axpy(1, g, f.x)
	}
	return length
}

// slope writes the gradient at x, and if fresh the Hessian, with second derivatives if near;
// it is false where the gradient is no number.
func (f *refitter) slope(fresh, near bool) (ok bool) {
	a, at := &f.v.a, 0
	clear(f.gradient)
	if fresh {
		copy(f.hessian, f.quadratic.rest)
	}
	for j := range f.square {
		f.square[j] = f.quadratic.rest[packed(j)+j]
	}
	a.blocks(f.x, func(kind int, r []float64) {
		at += copy(f.residual[at:], r)
		for j := range f.gradient {
			c := a.loaded(j, len(r))
			f.gradient[j] += floats.Dot(r, c)
			if kind == priorRows {
				continue
			}
			f.square[j] += floats.Dot(c, c)
			if h := f.hessian[packed(j):]; fresh {
				for k := range j + 1 {
					h[k] += floats.Dot(c, a.loaded(k, len(r)))
				}
			}
		}
	})
	f.faded, ok = false, true
	for j, g := range f.gradient {
		f.faded = f.faded || f.square[j] < refitFaded*f.quadratic.square[j]
		ok = ok && !math.IsNaN(g) && !math.IsInf(g, 0)
	}
	if fresh && near && !f.faded {
		f.quadratic.add(f.residual, f.hessian)
	}
	return ok
}

// step takes a step, and returns its size in standard uncertainties.
func (f *refitter) step() (size float64) {
	m, p := f.move, f.p.Params
	for j, g := range f.gradient {
		m[j] = -g
		if f.active[j] {
			m[j] = 0
		}
	}
	for j := range p {
		v, row := m[j], f.factor[packed(j):][:j+1]
		for k, l := range row[:j] {
			v -= l * m[k]
		}
		m[j] = v / row[j]
	}
	size = norm(m)
	for j := p - 1; j >= 0; j-- {
		row := f.factor[packed(j):][:j+1]
		m[j] /= row[j]
		axpy(-m[j], row[:j], m)
		f.x[j] += m[j]
	}
	return size
}

// decompose writes Cholesky's factor of the Hessian of the parameters that aren't at a bound;
// it is false where that has no minimum.
func (f *refitter) decompose() bool {
	copy(f.factor, f.hessian)
	for j, active := range f.active {
		row := f.factor[packed(j):][:j+1]
		square := row[j]
		for k := range j {
			if active || f.active[k] {
				row[k] = 0
				continue
			}
			above, v := f.factor[packed(k):][:k+1], row[k]
			for i, l := range above[:k] {
				v -= l * row[i]
			}
			v /= above[k]
			row[k] = v
			square -= v * v
		}
		if active {
			square = 1
		}
		if !(square > 0) {
			return false
		}
		row[j] = math.Sqrt(square)
	}
	return true
}

// hold puts parameters that have passed a bound back to it, and tells whether there are new ones.
func (f *refitter) hold() (hit bool) {
	for j, x := range f.x {
		lower, upper := f.p.bounds(j)
		if f.active[j] || x >= lower && x <= upper {
			continue
		}
		f.x[j] = math.Max(lower, math.Min(x, upper))
		f.active[j], hit = true, true
	}
	return hit
}

// release lets go of parameters at a bound from which the objective falls inwards, and tells
// whether there are any.
func (f *refitter) release() (any bool) {
	if !slices.Contains(f.active, true) {
		return false
	}
	f.slope(false, false)
	for j, slope := range f.gradient {
		lower, upper := f.p.bounds(j)
		if f.active[j] && (f.x[j] == lower && slope < 0 || f.x[j] == upper && slope > 0) {
			f.active[j], any = false, true
		}
	}
	return any
}

// Ends foretells the ends of profile-likelihood intervals to second order, from how the rows
// curve at a solution, for a small part of the work of Profile. With v the direction in
// which a quantity Q has its steepest rise, of the length of its standard uncertainty σ by the
// whole Hessian JᵀJ + Σ r T, T the second derivatives of a row, the objective along the profile is
// s² where
//
//	Q = Q̂ + σ s + ½ s² (vᵀQ″v − σ Σ (J v)(vᵀT v))
//
// to second order in s (after D. M. Bates and D. G. Watts, Nonlinear Regression Analysis,
// 1988, ch. 6; the expansion is our own).
type Ends struct {
	f          *refitter
	x, v, room []float64
}

// NewEnds prepares them; ok is false where parameters are own or at a bound, or the Hessian
// is none of a minimum. It is an error if r is of another problem.
func NewEnds(p Problem, r Result, s Settings) (e *Ends, ok bool, err error) {
	if err := r.solves(p); err != nil {
		return nil, false, err
	}
	f := newRefitter(p, r, s)
	if !f.quick || len(f.quadratic.at) == 0 {
		return nil, false, nil
	}
	copy(f.x, r.X)
	if !f.slope(true, true) || !f.decompose() {
		return nil, false, nil
	}
	n := p.Params
	return &Ends{f, make([]float64, n), make([]float64, n), make([]float64, packed(n))}, true, nil
}

// Of returns the ends at the distance k, a coverage factor.
func (e *Ends) Of(quantity Quantity, k float64) (lo, hi float64) {
	f := e.f
	value := quantity(f.r.X, f.gradient)
	copy(e.v, f.gradient)
	f.step() // leaves −H⁻¹g
	sigma := math.Sqrt(-dot(e.v, f.move))
	for j, m := range f.move {
		e.v[j] = -m / sigma
	}
	curved := 0.0
	f.quadratic.each(e.v, e.room, func(straight, second float64) { curved += 2 * straight * second })
	at := func(s float64) float64 {
		for j, v := range e.v {
			e.x[j] = f.r.X[j] + s*v
		}
		return quantity(e.x, nil)
	}
	curve := (at(k) + at(-k) - 2*value) / (k * k)
	shift := k * k / 2 * (curve - sigma*curved)
	return value - k*sigma + shift, value + k*sigma + shift
}
