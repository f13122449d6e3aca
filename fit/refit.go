package fit

import "math"

const (
	refitSettled = 2e-2 // of a standard uncertainty: steps to come that are not worth taking; they tell nothing of means and ends
	refitTries   = 15
	refitGrown   = 2
	refitRows    = 1 << 20 // derivatives kept for the first guess
)

// refitter solves a problem again, with its rows shifted, from a solution nearby. It takes
// whole Gauss–Newton steps, which are few there; where they don't shrink, or would leave
// the bounds, Solve does the work.
type refitter struct {
	whole       Problem // shifted
	p           Problem // the same with the derivatives by parameters at a bound left out
	r           Result
	set         Settings
	v           solver
	data, prior []float64 // what residuals are shifted by
	jac         []float64 // weighted rows at r.X; nil: none are kept
	quick       bool
	x, move     []float64
	active      []bool // parameters that stand at a bound
	anyActive   bool
}

func newRefitter(p Problem, r Result, s Settings) *refitter {
	f := &refitter{r: r, data: make([]float64, p.Data.N), prior: make([]float64, p.Prior.N),
		x: make([]float64, p.Params), move: make([]float64, p.Params), active: make([]bool, p.Params)}
	f.p = p
	f.p.Data, f.p.Prior = shifted(p.Data, f.data), shifted(p.Prior, f.prior)
	whole := f.p.weighted(r.weights)
	f.p, f.whole = whole, whole
	f.p.Data.Evaluate, f.p.Prior.Evaluate = f.withoutActive(whole.Data.Evaluate), f.withoutActive(whole.Prior.Evaluate)
	f.set = s
	f.set.Loss = r.loss
	f.quick = p.Own == 0
	for j := range p.Params {
		f.quick = f.quick && r.AtBound[j] == Free && r.R[j*p.Params+j] != 0
	}
	if f.quick {
		f.v.prepare(&f.p, f.set.withDefaults())
		f.v.a.data, f.v.a.row = 1/r.Scale, 1
		for j := range f.v.a.column {
			f.v.a.column[j] = 1
		}
		f.keepRows()
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

// withoutActive leaves the derivatives by parameters at a bound out.
func (f *refitter) withoutActive(evaluate func(x []float64, first int, r, jac []float64)) func(x []float64, first int, r, jac []float64) {
	return func(x []float64, first int, r, jac []float64) {
		evaluate(x, first, r, jac)
		if !f.anyActive {
			return
		}
		p := len(f.active)
		for j, active := range f.active {
			for i := j; active && i < len(jac); i += p {
				jac[i] = 0
			}
		}
	}
}

// keepRows keeps the rows at the solution, if they aren't too many.
func (f *refitter) keepRows() {
	if (f.p.Data.N+f.p.Prior.N)*f.p.Params > refitRows {
		return
	}
	for _, part := range f.r.parts(f.p) {
		rows(part.Rows, f.r.X, f.p.Params, func(_ int, _ float64, jac []float64) bool {
			for _, v := range jac {
				f.jac = append(f.jac, v*part.weight)
			}
			return true
		})
	}
}

// solve returns the solution for the present shifts; ok is false where none was found. What
// it returns is overwritten by the next call.
func (f *refitter) solve() (x []float64, ok bool) {
	start := f.r.X
	if f.quick {
		clear(f.active)
		f.anyActive = false
		switch f.steps() {
		case refitted:
			return f.x, true
		case refitSlow:
			start = f.x
		}
	}
	r := solveAt(f.whole, start, f.set, f.r.Scale)
	return r.X, r.Status.Converged()
}

// outcome is how a few steps ended.
type outcome int

const (
	refitted outcome = iota
	refitSlow
	refitLost
)

// steps takes Gauss–Newton steps until those to come don't matter. A parameter that would
// pass a bound stays there.
func (f *refitter) steps() outcome {
	copy(f.x, f.r.X)
	last, grown := f.guess(), 0
	t := f.v.here
	for range refitTries {
		hit := f.hold()
		s := f.v.a.at(f.x, t, math.Inf(1))
		size := norm(t.q()) // of the step, in standard uncertainties
		if size > last {
			grown++ // where the rows bend, the guess leaves the valley, and the next step leads back
		}
		if !(s.objective < math.Inf(1)) || !t.finite() || grown > refitGrown || !f.backward(t) {
			return refitLost
		}
		for j, m := range f.move {
			f.x[j] += m
		}
		if !hit && (size == 0 || size*size <= refitSettled*last && !math.IsInf(last, 1)) {
			if f.hold() || f.anyActive && !f.rightlyActive(t) {
				return refitLost
			}
			return refitted
		}
		last = size
	}
	f.hold()
	return refitSlow
}

// hold puts parameters that have passed a bound back to it, and tells whether there are new ones.
func (f *refitter) hold() (hit bool) {
	for j, x := range f.x {
		lower, upper := f.whole.bounds(j)
		if f.active[j] || x > lower && x < upper {
			continue
		}
		f.x[j] = math.Max(lower, math.Min(x, upper))
		f.active[j], f.anyActive, hit = true, true, true
	}
	return hit
}

// rightlyActive tells whether the objective rises from all bounds inwards.
func (f *refitter) rightlyActive(t triangle) bool {
	f.anyActive = false
	f.v.a.at(f.x, t, math.Inf(1))
	for j, active := range f.active {
		slope := dot(t.column(j), t.q())
		lower, upper := f.whole.bounds(j)
		if active && (f.x[j] == lower && slope < 0 || f.x[j] == upper && slope > 0) {
			return false
		}
	}
	return true
}

// guess moves x to where it were if rows were straight, and returns how far that is, in
// standard uncertainties.
func (f *refitter) guess() (length float64) {
	p := f.p.Params
	if f.jac == nil {
		return math.Inf(1)
	}
	g := f.move
	clear(g)
	for i, e := range f.data {
		if f.r.weights != nil {
			e *= math.Sqrt(f.r.weights[i])
		}
		axpy(-e/f.r.Scale, f.jac[i*p:][:p], g)
	}
	for i, e := range f.prior {
		axpy(-e, f.jac[(len(f.data)+i)*p:][:p], g)
	}
	for j := range p { // Rᵀy = g
		for k := range j {
			g[j] -= f.r.R[k*p+j] * g[k]
		}
		g[j] /= f.r.R[j*p+j]
	}
	length = norm(g)
	for j := p - 1; j >= 0; j-- {
		g[j] -= dot(f.r.R[j*p+j+1:][:p-j-1], g[j+1:])
		g[j] /= f.r.R[j*p+j]
		f.x[j] += g[j]
	}
	return length
}

// backward solves R·move = −q.
func (f *refitter) backward(t triangle) bool {
	for j, v := range t.q() {
		f.move[j] = -v
	}
	for j := t.p - 1; j >= 0; j-- {
		c := t.column(j)
		if f.active[j] {
			f.move[j] = 0
			continue
		}
		if c[j] == 0 {
			return false
		}
		f.move[j] /= c[j]
		axpy(-f.move[j], c[:j], f.move[:j])
	}
	return true
}
